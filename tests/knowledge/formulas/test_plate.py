"""Plate facts against one another: what is told, what counts, and what follows where a fact is missing."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from rule_files import write_pack

from faultfinder.knowledge.formulas.bands import expected_value, fact_values, limit_spreads
from faultfinder.knowledge.formulas.plate import contradictions, relied_on
from faultfinder.knowledge.load import check_pack, load_pack
from faultfinder.knowledge.model import Pack

LAMP = """
pack:
  title: Lamp
  version: "1"
  plate:
    - {watts: coil_watts, ohms: coil_ohms, volts: volts}
    - {watts: total_watts, parts: [coil_watts, lid_watts, motor_watts]}
    - {watts: total_watts, amps: plate_amps, volts: volts}
facts:
  volts: {ask: Voltage, kind: number, unit: V, range: [200, 260], class_value: 230, spread: 0.02}
  total_watts: {ask: Power, kind: number, unit: W, range: [100, 4000], class_value: 2400, spread: 0.2}
  coil_watts: {ask: Coil, kind: number, unit: W, range: [100, 4000], class_value: 0.5 * total_watts, spread: 0.2}
  lid_watts: {ask: Lid, kind: number, unit: W, range: [100, 4000], class_value: 0.4 * total_watts, spread: 0.2}
  motor_watts: {ask: Motor, kind: number, unit: W, range: [10, 400], class_value: 200, spread: 0.25}
  coil_ohms: {ask: Marked resistance, kind: number, unit: ohm, range: [10, 400]}
  plate_amps: {ask: Rated current, kind: number, unit: A, range: [1, 16]}
causes:
  coil_open:
    title: Coil open
    how_common: rare
    hazard: none
    remedy: Replace the coil
    minutes: 10
    if_missed: 60
    shows: {coil_resistance: {open: always}}
observations:
  coil_resistance:
    kind: reading
    ask: Resistance of the coil
    quantity: resistance
    unit: ohm
    let: {healthy: volts ** 2 / coil_watts}
    expected: healthy
    bands: {normal: [0, 1.2 * healthy], open: [1.2 * healthy, OL]}
    access: isolated
    minutes: 2
"""


@pytest.fixture(scope="module")
def lamp(tmp_path_factory: pytest.TempPathFactory) -> Pack:
    return load_pack(write_pack(tmp_path_factory.mktemp("lamp"), lamp=LAMP))


@cache
def dryer() -> Pack:
    return load_pack(Path(__file__).parents[3] / "rules" / "tumble_dryer")


def told(pack: Pack, **given: float) -> list[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    return [(found.watts, found.others, found.relied_on) for found in contradictions(pack, given)]


def healthy(pack: Pack, **given: float) -> float:
    found = expected_value(pack.observations["coil_resistance"], fact_values(pack, given))
    assert found is not None
    return found


def test_power_against_element_resistance_relies_on_what_is_marked_on_the_part(lamp: Pack) -> None:
    """240 V on 60 ohm is 960 W and no 1400."""
    given = {"volts": 240.0, "coil_watts": 1400.0, "coil_ohms": 60.0}
    (found,) = contradictions(lamp, given)
    assert (found.watts, found.others, found.relied_on) == ("coil_watts", ("coil_ohms",), ("coil_ohms",))
    assert "60 ohm at 240 V gives 960 W, not 1400 W" in found.check.words
    assert fact_values(lamp, given)["coil_watts"] == pytest.approx(960)
    assert healthy(lamp, **given) == pytest.approx(60)


def test_facts_that_go_together_are_taken_as_they_are(lamp: Pack) -> None:
    """IEC 60335-1, 10.1: -10 to +5 % of the power of a heating appliance."""
    given = {"volts": 240.0, "coil_watts": 1400.0, "coil_ohms": 41.14}
    assert told(lamp, **given) == [] and relied_on(lamp, given) == (lamp, given)
    assert fact_values(lamp, given)["coil_watts"] == 1400


def test_at_the_edges_of_the_tolerance(lamp: Pack) -> None:
    for ohms, agrees in ((45.7, True), (45.8, False), (37.4, True), (37.2, False)):
        assert bool(told(lamp, volts=240, coil_watts=1400, coil_ohms=ohms)) is not agrees, ohms


def test_watts_are_worked_out_where_only_the_ohms_are_known(lamp: Pack) -> None:
    assert fact_values(lamp, {"volts": 240.0, "coil_ohms": 60.0})["coil_watts"] == pytest.approx(960)
    assert fact_values(lamp, {"coil_ohms": 60.0})["coil_watts"] == pytest.approx(230**2 / 60)
    observation = lamp.observations["coil_resistance"]
    known = limit_spreads(lamp, observation, {"volts": 240.0, "coil_ohms": 60.0})[0][1]
    unknown = limit_spreads(lamp, observation, {"volts": 240.0})[0][1]
    assert 0 < known < unknown / 4


def test_without_the_voltage_facts_contradict_where_no_usual_one_lets_them_agree(lamp: Pack) -> None:
    """230 V give or take 6 %, 1400 W less 10 or more 5 %, hot by 5 %: 216.2² / 1543.5 to 243.8² / 1260 ohm."""
    given = {"coil_watts": 1400.0, "coil_ohms": 60.0}
    (found,) = contradictions(lamp, given)
    assert found.relied_on == ("coil_ohms",) and "60 ohm at 230 V gives 882 W" in found.check.words
    assert fact_values(lamp, given)["coil_watts"] == pytest.approx(230**2 / 60)
    for ohms, agrees in ((47.1, True), (47.3, False), (30.4, True), (30.2, False)):
        assert bool(told(lamp, coil_watts=1400, coil_ohms=ohms)) is not agrees, ohms
    assert told(lamp, total_watts=2400, plate_amps=4) == [("total_watts", ("plate_amps",), ("total_watts",))]
    assert told(lamp, total_watts=2400, plate_amps=9.2) == []


def test_power_against_the_plates_amps_relies_on_the_power(lamp: Pack) -> None:
    given = {"volts": 230.0, "total_watts": 2400.0, "plate_amps": 4.0}
    assert told(lamp, **given) == [("total_watts", ("plate_amps",), ("total_watts",))]
    assert fact_values(lamp, given)["total_watts"] == 2400
    assert fact_values(lamp, {"volts": 230.0, "plate_amps": 10.0})["total_watts"] == 2300
    assert told(lamp, volts=230, total_watts=2300, plate_amps=13) == []


def test_the_parts_are_relied_on_before_the_power_and_a_small_part_may_be_assumed(lamp: Pack) -> None:
    given = {"total_watts": 1800.0, "coil_watts": 1400.0, "lid_watts": 900.0}
    assert told(lamp, **given) == [("total_watts", ("coil_watts", "lid_watts"), ("coil_watts", "lid_watts"))]
    assert fact_values(lamp, given)["total_watts"] == 2500
    assert told(lamp, total_watts=2400, coil_watts=1400, lid_watts=900) == []
    assert told(lamp, total_watts=1800, coil_watts=1400) == []


def test_what_is_not_given_contradicts_nothing(lamp: Pack) -> None:
    assert told(lamp) == []
    assert told(lamp, coil_watts=1400, coil_ohms=33) == []  # at 240 V it is so


def test_two_contradictions_of_one_fact_are_both_told_and_the_first_rule_counts(lamp: Pack) -> None:
    given = {
        "volts": 240.0,
        "total_watts": 4000.0,
        "coil_watts": 1400.0,
        "lid_watts": 900.0,
        "plate_amps": 5.0,
    }
    assert [watts for watts, _, _ in told(lamp, **given)] == ["total_watts", "total_watts"]
    assert fact_values(lamp, given)["total_watts"] == 2500


@pytest.mark.parametrize(
    "rule, message",
    [
        ("{watts: coil_watts, ohms: coil_ohms}", "ohms hold at some volts"),
        ("{watts: coil_watts}", "one of ohms, amps and parts"),
        (
            "{watts: coil_watts, ohms: coil_ohms, amps: plate_amps, volts: volts}",
            "one of ohms, amps and parts",
        ),
        (
            "{watts: coil_ohms, amps: plate_amps, volts: volts}",
            "coil_ohms must be a number in W to be a power",
        ),
        ("{watts: coil_wats, amps: plate_amps, volts: volts}", 'unknown fact "coil_wats"'),
        ("{watts: coil_watts, parts: [volts]}", "volts must be a number in W"),
    ],
)
def test_a_rule_that_compares_nothing_is_told(rule: str, message: str, tmp_path: Path) -> None:
    text = LAMP.replace("{watts: coil_watts, ohms: coil_ohms, volts: volts}", rule, 1)
    _, problems = check_pack(write_pack(tmp_path, lamp=text))
    assert [p for p in problems if p.is_error and message in p.message], [str(p) for p in problems]


@pytest.mark.slow
def test_the_dryer_says_which_of_its_facts_go_together() -> None:
    """Common practice, no source: 240 V, sections of 1400 and 900 W, motor of 180 W, about 2500 W in all."""
    plate = {"volts": 240.0, "total_watts": 2500.0, "high_section_watts": 900.0, "low_section_watts": 1400.0}
    assert told(dryer(), **plate) == []
    assert told(dryer(), **plate | {"rated_amps": 10.5, "high_section_ohms": 64.0}) == []
    swapped = told(dryer(), **plate | {"high_section_ohms": 41.0})
    assert swapped == [("high_section_watts", ("high_section_ohms",), ("high_section_ohms",))]
    one_coil = {"volts": 240.0, "total_watts": 2500.0, "coil_ohms": 24.8, "motor_watts": 180.0}
    assert told(dryer(), **one_coil) == []
    assert told(dryer(), **one_coil | {"coil_ohms": 40.0})[0][0] == "total_watts"
    assert fact_values(dryer(), one_coil | {"coil_ohms": 40.0})["total_watts"] == pytest.approx(1620)
