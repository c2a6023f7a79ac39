"""Facts and findings judged without a dialogue."""

from __future__ import annotations

import json
import random

import pytest
from talking import small_pack, text

from faultfinder.dialogue.queries.assess import assess, split_given, take, understood
from faultfinder.dialogue.queries.assess_in_words import as_mapping, said
from faultfinder.dialogue.say import Line
from faultfinder.dialogue.showing.present import clash_line, contradictions_said
from faultfinder.errors import BadAnswer, BadFact, FaultFinderError
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case
from faultfinder.trade.readings.meter import meter_from_text
from faultfinder.trade.readings.units import QUANTITIES


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


def test_a_reading_is_held_against_what_it_ought_to_have_been() -> None:
    """230 V and 2000 W: 26.45 ohm."""
    (verdict,) = assess(small_pack(), ["volts=230", "watts=2000", "element resistance OL"]).verdicts
    assert (verdict.judged.given.text, verdict.judged.answer) == ("OL", "open")
    assert verdict.expected == pytest.approx(26.45) and verdict.off is None
    assert [cause for cause, _, _ in verdict.points_to] == ["element_open"]


@pytest.mark.slow
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
        "960 W, not 1400 W (1260 to 1470 W): one of them does not belong to this machine. The resistance marked "
        "on the part is relied on."
    )
    (verdict,) = result.verdicts
    assert verdict.expected == pytest.approx(60) and verdict.judged.answer == "normal"
    assert (
        verdict.stands_on
        == "high section watts 960 W (not the 1400 W given), volts 240 V, high section ohms 60 ohm"
    )
    mapping = as_mapping(result)["contradictions"]
    assert mapping[0]["facts"] == ["high_section_watts", "high_section_ohms"]
    assert mapping[0]["relied_on"] == ["high_section_ohms"]


@pytest.mark.slow
def test_facts_that_go_together_are_not_spoken_of(dryer: Pack) -> None:
    result = assess(dryer, ["type=vented", "volts=240", "high section ohms=60", "high section 59 ohm"])
    assert contradictions_said(result.case) == [] and as_mapping(result)["contradictions"] == []
    assert (
        result.verdicts[0].stands_on
        == "high section watts 960 W (worked out), volts 240 V, high section ohms 60 ohm"
    )


@pytest.mark.slow
def test_a_contradiction_said_before_is_not_said_again(dryer: Pack) -> None:
    case = assess(dryer, ["type=vented", "volts=240", "total watts=2400", "rated amps=5"]).case
    assert len(contradictions_said(case)) == 1 and contradictions_said(case, case) == []


@pytest.mark.slow
def test_the_own_meter_counts(dryer: Pack) -> None:
    given = ["type=vented", "volts=240", "high section ohms=60", "high section 51 ohm"]
    coarse = assess(dryer, given, meter_from_text("resistance up to 200 ohm: 5 % + 5 digits of 1 ohm"))
    assert coarse.verdicts[0].judged.on_the_edge


@pytest.mark.slow
def test_a_reading_and_a_plate_are_answered_in_a_line(dryer: Pack) -> None:
    result = assess(dryer, ["vented", "volts=230", "total_watts=2700", "7.4A high"])
    first, speaks = said(result)[:2]
    assert text([first]) == (
        "current on high 7.4A: As with one section alone, 37 % below about 11.8 A (11 to 13.2 A)."
    )
    assert text([speaks]).startswith("Points to: High section of the heater open ")


@pytest.mark.slow
def test_a_healthy_reading_says_what_it_speaks_against(dryer: Pack) -> None:
    heard = text(said(assess(dryer, ["vented", "volts=240", "total_watts=2400", "10A high"])))
    assert "current on high 10A: As it should be, just as expected, about 10 A" in heard
    assert "Points away from: " in heard and "Points to" not in heard


@pytest.mark.slow
def test_a_value_that_is_the_limit_itself_is_not_spoken_of_as_usual(dryer: Pack) -> None:
    """35 ft of run in all, 5 ft less for each right-angle bend: 10.7 - 2 * 1.5 = 7.7 m."""
    heard = text(said(assess(dryer, ["vented", "vent_bends=2", "vent run 3 m"])))
    assert "vent run length 3 m: Within what is allowed, healthy is below 7.7 m." in heard


@pytest.mark.slow
def test_a_reading_between_two_answers_names_both(dryer: Pack) -> None:
    given = ["vented", "volts=240", "high section ohms=60", "high section 51 ohm"]
    heard = text(said(assess(dryer, given)))
    assert "high section resistance 51 ohm: on the borderline between 'As it should be' (" in heard
    assert "%) and 'Too low' (" in heard and "15 % below about 60 ohm (50.4 to 75 ohm)." in heard


@pytest.mark.slow
def test_a_reading_held_against_what_is_only_assumed_is_on_no_edge(dryer: Pack) -> None:
    heard = text(said(assess(dryer, ["vented", "volts=230", "total_watts=2700", "high section 58.5R"])))
    assert "high section watts not known, 5 % above about 56 ohm" in heard and "borderline" not in heard


@pytest.mark.slow
def test_what_a_script_needs_stands_in_the_plain_data(dryer: Pack) -> None:
    """230 V, 2700 W: the heater's 10.96 A and the motor's 180 W at 0.6 in all 11.78 A."""
    (finding,) = as_mapping(assess(dryer, ["vented", "volts=230", "total_watts=2700", "7.4A high"]))[
        "findings"
    ]
    assert (finding["value"], finding["unit"], finding["answer"]) == (7.4, "A", "one_section")
    assert finding["expected"] == pytest.approx(11.78, abs=0.01)
    assert finding["healthy_from"] < 11.78 < finding["healthy_to"]
    assert finding["off"] == pytest.approx(7.4 / finding["expected"] - 1)
    assert finding["uncertainty"] > 0
    assert sum(finding["weights"].values()) == pytest.approx(1)
    assert finding["points_to"][0]["cause"] == "high_section_open"
    assert "cutout_open" in [each["cause"] for each in finding["clears"]]


@pytest.mark.slow
def test_the_reasons_for_each_likely_fault_stand_in_the_plain_data_as_numbers(dryer: Pack) -> None:
    told = as_mapping(assess(dryer, ["vented", "volts=240", "high section OL", "outlet_airflow weak"]))
    (reason,) = told["reasons"]["high_section_open"]
    assert (reason["observation"], reason["answer"]) == ("high_section_resistance", "open")
    assert reason["decibans"] > 10 and reason["left_out"] > 10 and reason["through"] is None
    first = told["explanations"][0]
    assert first["causes"] == ["filter_clogged", "high_section_open"] and first["unexplained"] == []
    alone = as_mapping(assess(dryer, ["vented", "high section OL", "noise_squeal yes"]))["explanations"]
    assert ["noise_squeal"] in [each["unexplained"] for each in alone] or alone[0]["unexplained"] == []
    json.dumps(told["reasons"], allow_nan=False)


@pytest.mark.slow
def test_readings_that_fit_badly_together_are_said_with_the_one_that_fits_least(dryer: Pack) -> None:
    plate = ["vented", "volts=240", "total_watts=2400"]
    result = assess(dryer, [*plate, "10A high", "high section OL"])
    heard = text(said(result))
    assert "These answers do not fit well together. The one that fits least: current on high." in heard
    assert "wrong range" in heard
    told = clash_line(result.case, "takes_too_long")
    assert isinstance(told, Line) and "ask again" in told.text and "range" not in told.text, (
        "no meter is in it"
    )
    result.case.record("high_section_resistance", "OL", again=True)
    twice = clash_line(result.case, "high_section_resistance")
    assert isinstance(twice, Line) and "answered twice" in twice.text and "again" not in twice.text, (
        "nobody is sent to it a third time"
    )
    assert as_mapping(result)["conflict"]["fits_least"] == "current_on_high"
    agreeing = assess(dryer, [*plate, "7.4A high", "high section OL"])
    assert agreeing.clash is None and as_mapping(agreeing)["conflict"] is None
    assert "do not fit" not in text(said(agreeing))


def test_what_a_reading_could_be_is_named_with_the_nearest_first(dryer: Pack) -> None:
    with pytest.raises(BadAnswer) as refused:
        assess(dryer, ["vented", "volts=240", "high section ohms=60", "low section ohms=33", "33 ohm"])
    assert str(refused.value).startswith(
        "'33 ohm' could be any of: low section resistance (about 33 ohm), "
    ) and str(refused.value).endswith(" more. Add a word.")


def test_a_choice_by_itself_is_its_fact_unless_it_says_nothing_of_one(dryer: Pack) -> None:
    facts, findings = split_given(dryer, ["Vented", "timer", "yes", "high section OL"])
    assert facts == {"type": "vented", "control": "timer"} and findings == ["yes", "high section OL"]


def test_a_reading_may_be_written_with_an_equals_sign(dryer: Pack) -> None:
    facts, findings = split_given(dryer, ["volts=240", "high section = OL"])
    assert facts == {"volts": "240"} and [each.split() for each in findings] == [["high", "section", "OL"]]


@pytest.mark.slow
def test_whatever_is_given_is_taken_or_refused_in_words(dryer: Pack) -> None:
    """Seeded: names, figures, units, facts and rubbish in any order; nothing but our own refusals comes out."""
    chance = random.Random(17)
    names = [name.replace("_", " ") for name in dryer.observations]
    units = [symbol for quantity in QUANTITIES.values() for symbol in quantity.units]
    figures = [
        "33",
        "OL",
        "-3",
        "1e9",
        "12,5",
        "4k7",
        "∞",
        "0.2",
        "32-34",
        "33 ± 1",
        "1:50",
        "½",
        "OL@",
        "> 5",
        "=",
    ]

    def word() -> str:
        kind = chance.randrange(5)
        if kind == 0:
            return chance.choice(names)
        if kind == 1:
            return chance.choice(figures) + chance.choice(["", " "]) + chance.choice(units)
        if kind == 2:
            return f"{chance.choice(list(dryer.facts))}={chance.choice(figures)}"
        if kind == 3:
            return f"{chance.choice(names)} {chance.choice(figures)}{chance.choice(['', *units])}"
        return "".join(chr(chance.randrange(32, 0x2FFF)) for _ in range(chance.randrange(1, 12)))

    taken = 0
    for _ in range(120):
        try:
            facts, findings = split_given(dryer, [word() for _ in range(chance.randrange(1, 3))])
            take(Case(dryer, facts), findings)
            taken += 1
        except FaultFinderError as refused:
            assert str(refused) and len(str(refused)) < 900
    assert taken > 1


@pytest.mark.slow
def test_which_pack_was_meant_is_told_by_what_it_understands(dryer: Pack) -> None:
    oven = load_pack("electric_oven")
    given = ["type=vented", "share 0.64"]
    assert understood(dryer, given) > understood(oven, given)
    # A slip of spelling counts too.
    assert understood(dryer, ["tipe=vented"]) > understood(oven, ["tipe=vented"])


@pytest.mark.slow
@pytest.mark.parametrize(
    "given, message",
    [
        ("voltage=230", "Did you mean 'volts' or 'supply_volts'"),
        ("tipe=vented", "Did you mean 'type'"),
        ("colour=blue", "Facts: .* more"),
        ("curent hgih 7.4", "Did you mean 'current on high 7.4'"),
        ("current on high", "What does it read. Type it after the name: current on high"),
        ("33", "Say what was measured"),
        ("low to high current 0.64", "64 % or 0.64 %"),
        ("current high 5 kA", "from 0 to 200 A"),
        ("high section 7.4A", "is a current .A.; a resistance in ohm is wanted here"),
        ("high_section_resistance=7.4A", "is a current .A.; a resistance in ohm is wanted here"),
        ("current_on_high=OL", "no meter shows that there"),
        ("voltage=", "not a fact of"),
        ("=240", "not a fact of"),
        ("nonsense", "not understood"),
        ("7.4A", "could be any of"),
        ("high section -33 ohm", "not understood"),
    ],
)
def test_what_is_not_understood_is_told(dryer: Pack, given: str, message: str) -> None:
    with pytest.raises((BadFact, BadAnswer), match=message):
        assess(dryer, ["type=vented", given])
