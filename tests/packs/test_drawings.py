"""Every reading of the shipped packs that is made at the machine shows where the meter goes, drawn and in words."""

from __future__ import annotations

import pytest
from prompt_toolkit.utils import get_cwidth

from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Need, Observation

READINGS = [
    pytest.param(observation, id=f"{name}-{observation.id}")
    for name in shipped_packs()
    for observation in load_pack(name).observations.values()
    if observation.reading is not None and observation.need is not Need.ANYWHERE
]


def test_there_are_readings_at_the_machine() -> None:
    assert len(READINGS) > 80


@pytest.mark.slow
@pytest.mark.parametrize("observation", READINGS)
def test_a_reading_at_the_machine_is_drawn_and_said_in_words(observation: Observation) -> None:
    """At most 38 columns wide, so that a phone of 40 shows it with its margin, and no higher than a few lines."""
    assert observation.probes is not None
    drawing = observation.probes.drawing.rstrip("\n").split("\n")
    assert 1 <= len(drawing) <= 8 and drawing[0].strip()
    assert all(get_cwidth(line) <= 38 for line in drawing)
    assert all(character.isascii() for line in drawing for character in line)
    assert len(observation.probes.words.split()) >= 4


@pytest.mark.parametrize("observation", [each for each in READINGS if each.values[0].need is Need.OPEN_DEAD])
def test_a_reading_with_the_covers_off_says_where_both_probes_go(observation: Observation) -> None:
    """By their colours, or as one probe and the other; a reading without probes (a thermometer, a look) says so."""
    assert observation.probes is not None
    words = observation.probes.words.casefold()
    assert ("red" in words and "black" in words) or "probe" in words or "lead" in words or "sensor" in words
