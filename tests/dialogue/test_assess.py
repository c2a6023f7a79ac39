"""Facts and findings judged without a dialogue."""

from __future__ import annotations

import pytest
from talking import small_pack

from faultfinder.dialogue.assess import as_mapping, assess
from faultfinder.dialogue.present import contradictions_said
from faultfinder.errors import BadAnswer, BadFact
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.trade.meter import meter_from_text


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


def test_a_reading_is_held_against_what_it_ought_to_have_been() -> None:
    """230 V and 2000 W: 26.45 ohm."""
    (verdict,) = assess(small_pack(), ["volts=230", "watts=2000", "element resistance OL"]).verdicts
    assert (verdict.given, verdict.answer) == ("OL", "open")
    assert verdict.healthy.startswith("about 26.4 ohm") or verdict.healthy.startswith("about 26.5 ohm")
    assert [cause for cause, _, _ in verdict.points_to] == ["element_open"]


def test_power_against_element_resistance_is_told_with_what_is_relied_on(dryer: Pack) -> None:
    given = [
        "type=vented",
        "volts=240",
        "high section watts=1400",
        "high section ohms=60",
        "high section 59 ohm",
    ]
    result = assess(dryer, given)
    (line,) = contradictions_said(result.case)
    assert line.text == (  # type: ignore[union-attr]
        "These do not go together: high section watts 1400 W, high section ohms 60 ohm. 60 ohm at 240 V gives "
        "960 W, not 1400 W (1260 to 1470 W): one of them is not of this machine. The resistance marked on the part "
        "is relied on."
    )
    (verdict,) = result.verdicts
    assert verdict.healthy.startswith("about 60 ohm") and verdict.answer == "normal"
    assert (
        verdict.stands_on
        == "volts 240 V, high section watts 960 W (not the 1400 W given), high section ohms 60 ohm"
    )
    mapping = as_mapping(result)["contradictions"]
    assert mapping[0]["facts"] == ["high_section_watts", "high_section_ohms"]
    assert mapping[0]["relied_on"] == ["high_section_ohms"]


def test_facts_that_go_together_are_not_spoken_of(dryer: Pack) -> None:
    result = assess(dryer, ["type=vented", "volts=240", "high section ohms=60", "high section 59 ohm"])
    assert contradictions_said(result.case) == [] and as_mapping(result)["contradictions"] == []
    assert (
        result.verdicts[0].stands_on
        == "volts 240 V, high section watts 960 W (worked out), high section ohms 60 ohm"
    )


def test_a_contradiction_said_before_is_not_said_again(dryer: Pack) -> None:
    case = assess(dryer, ["type=vented", "volts=240", "total watts=2400", "rated amps=5"]).case
    assert len(contradictions_said(case)) == 1 and contradictions_said(case, case) == []


def test_the_own_meter_counts(dryer: Pack) -> None:
    given = ["type=vented", "volts=240", "high section ohms=60", "high section 51 ohm"]
    coarse = assess(dryer, given, meter_from_text("resistance up to 200 ohm: 5 % + 5 digits of 1 ohm"))
    assert coarse.verdicts[0].on_the_edge


@pytest.mark.parametrize(
    "given, message",
    [
        ("voltage=", "no fact of"),
        ("=240", "no fact of"),
        ("nonsense", "not understood"),
        ("5.8A", "could be any of"),
        ("high section -46 ohm", "not understood"),
    ],
)
def test_what_is_not_understood_is_told(dryer: Pack, given: str, message: str) -> None:
    with pytest.raises((BadFact, BadAnswer), match=message):
        assess(dryer, ["type=vented", given])
