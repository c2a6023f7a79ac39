"""What shared states and the cause "a plate value is wrong" do for the dryer pack, held against it without them.

Strengths are the pack's own (common practice, no source); what is shown is how they combine.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from types import MappingProxyType

import pytest

from faultfinder import Case, load_pack
from faultfinder.knowledge.model import Link, Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.evidence.links import turn_round

AIR = {
    "takes_too_long": "yes",
    "outlet_airflow": "weak",
    "damp_on_timed": "yes",
    "dry_minutes": "190 min",
    "water_lost_per_hour": "1.1 kg",
}
"""Five ways to notice that little air goes through; a healthy machine of these facts does far better in each."""
FACTS = {"type": "vented", "volts": 230, "total_watts": 2500, "rated_load_kg": 7}


@cache
def dryer() -> Pack:
    return load_pack("tumble_dryer")


def without_states(pack: Pack) -> Pack:
    """The same causes show by themselves what their states show, each sign for itself; the strengths to one sign the
    same."""
    reach = turn_round(pack).reach
    causes = {}
    for name, cause in pack.causes.items():
        shows = dict(cause.shows)
        for state, by in reach.items():
            if name not in by:
                continue
            for link in pack.states[state].shows.values():
                pushes = tuple(by[name] * push for push in link.pushes)
                pushes = (1.0 - sum(pushes[1:]), *pushes[1:])
                old = shows.get(link.observation)
                if old is None or old.pushes[0] > pushes[0]:
                    shows[link.observation] = Link(link.observation, pushes)
        bringers: dict[str, float] = {}
        for bringer, weight in cause.brought_on_by.items():
            for each, through in reach.get(bringer, {bringer: 1.0}).items():
                if each != name:
                    bringers[each] = max(bringers.get(each, 0.0), through * weight)
        causes[name] = replace(cause, shows=MappingProxyType(shows), brought_on_by=MappingProxyType(bringers))
    flat = {name: replace(cause, brought_on_by=MappingProxyType({})) for name, cause in causes.items()}
    return replace(pack, causes=MappingProxyType(flat), states=MappingProxyType({}))


def answered(pack: Pack, answers: Mapping[str, str]) -> Case:
    case = Case(pack, facts=FACTS)
    for name, answer in answers.items():
        case.record(name, answer)
    return case


def chances(pack: Pack, answers: Mapping[str, str]) -> dict[str, float]:
    return answered(pack, answers).confidence()


def exactly(monkeypatch: pytest.MonkeyPatch) -> None:
    """Room enough that no link is deleted."""
    monkeypatch.setattr(constants, "ENTRIES", 10**7)


@pytest.mark.slow
def test_five_signs_of_weak_air_tell_once_which_blockage_is_the_likelier(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A filmed filter makes the air low more surely than a starved room does. That counts once, however many signs of
    low air there are; without the state every sign counts it again. Worn seals are not held to it: they let air pass
    the drum, which slows drying by itself. A property of the rules, so no link may be deleted."""
    exactly(monkeypatch)
    pack, flat = dryer(), without_states(dryer())
    one, five = {"outlet_airflow": "weak"}, AIR
    assert answered(pack, five).exact

    def shift(pack: Pack, weaker: str) -> float:
        first, last = chances(pack, one), chances(pack, five)
        return (last[weaker] / last["filter_coated"]) / (first[weaker] / first["filter_coated"])

    for weaker in ("room_starved", "filter_not_seating"):
        assert 0.95 < shift(pack, weaker) < 1.05, weaker
        assert shift(flat, weaker) < 0.8, weaker


@pytest.mark.slow
def test_five_signs_of_weak_air_with_links_deleted_are_off_by_no_more_than_twice_what_is_told(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """An eighth of the room that there is: with all of it they are exact."""
    monkeypatch.setattr(constants, "ENTRIES", constants.ENTRIES // 8)
    thinned = answered(dryer(), AIR)
    found, told = thinned.confidence(), thinned.standard_error
    assert not thinned.exact and told > 0.0
    exactly(monkeypatch)
    truly = chances(dryer(), AIR)
    assert max(abs(found[name] - truly[name]) for name in truly) < 2.0 * told < 0.1


@pytest.mark.slow
def test_five_signs_of_weak_air_are_not_taken_for_two_blockages() -> None:
    """All that they say is that the air is low: the faults expected rise about half as much as where each counts
    alone, and none of the blockages is settled by them."""
    blockages = turn_round(dryer()).reach["air_low"].keys()

    def expected(pack: Pack, answers: Mapping[str, str]) -> float:
        found = chances(pack, answers)
        return sum(found[name] for name in blockages if name in found)

    def rise(pack: Pack) -> float:
        return expected(pack, AIR) - expected(pack, {"outlet_airflow": "weak"})

    assert 1.9 * rise(dryer()) < rise(without_states(dryer()))
    found = chances(dryer(), AIR)
    assert max(found[name] for name in blockages if name in found) < 0.5


PLATE = {"type": "vented", "sections": "two", "volts": 230, "total_watts": 2900}
PLATE |= {"high_section_watts": 1150, "low_section_watts": 1550}
READ = {
    "supply_volts_under_load": "232 V",
    "current_on_high": "9.6A",
    "high_section_resistance": "58R",
    "low_section_resistance": "43R",
}
"""All as on a machine of four fifths of that power: both sections and the current agree with one another."""


def blamed(pack: Pack, **further: str) -> dict[str, float]:
    case = Case(pack, facts=PLATE)
    for name, answer in {**READ, **further}.items():
        case.record(name, answer)
    return case.confidence()


@pytest.mark.slow
def test_a_wrong_plate_value_explains_three_readings_that_agree() -> None:
    pack = dryer()
    without = replace(
        pack, causes=MappingProxyType({n: c for n, c in pack.causes.items() if n != "plate_value_wrong"})
    )
    prior = Case(pack, facts=PLATE).confidence()["plate_value_wrong"]
    with_it, blames = blamed(pack), blamed(without)
    assert with_it["plate_value_wrong"] > 5.0 * prior
    # Only the selector stands before it: half of those that fail lose a section, which the current alone would fit.
    assert sorted(with_it, key=lambda name: -with_it[name])[:2] == [
        "heat_selector_failed",
        "plate_value_wrong",
    ]
    cleared = blamed(pack, selector_resistance="0.1R")
    assert max(cleared, key=lambda name: cleared[name]) == "plate_value_wrong"
    # Without it, parts that are sound take the blame.
    heating = ("heat_selector_failed", "heater_wiring_burnt", "high_section_open")
    assert all(blames[name] > 1.1 * with_it[name] for name in heating)
