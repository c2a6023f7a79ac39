"""What a dryer engineer holds the rules to, beside the worked cases: joints, what trips, what is measured before
what, what is charged. Common practice, no source, where none is named.
"""

from __future__ import annotations

import re

import pytest
from dryer_lines import judged, likely, the_pack

from faultfinder.knowledge.model import Observation

JOINTS = (
    "flex_continuity",
    "fuse_continuity",
    "mains_filter_continuity",
    "selector_resistance",
    "cutout_resistance",
    "cycling_thermostat_resistance",
    "heater_lead_resistance",
    "door_switch_continuity",
)
"""Readings of what the whole current goes through."""


@pytest.mark.slow
@pytest.mark.parametrize("name", JOINTS)
def test_three_tenths_of_an_ohm_are_good_and_half_an_ohm_is_not(name: str) -> None:
    """0.5 ohm at 10.4 A (2400 W at 230 V) is 54 W in one place: P = I^2 R. With the leads zeroed, as it says."""
    facts = "vented | control=timer | flex_metres=0"
    _, (good,) = judged(f"{facts} | {name} 0R2")
    _, (bad,) = judged(f"{facts} | {name} 0R5")
    healthy = the_pack().observations[name].answers[0].id
    assert good.answer == healthy and bad.answer != healthy
    assert re.search("(?i)zero", the_pack().observations[name].how)


@pytest.mark.slow
@pytest.mark.parametrize(
    "line, cleared",
    [
        ("vented | trips_supply yes | trip_device rcd | trips_without_dryer no", "house_rcd_weary"),
        ("vented | trips_supply yes | trip_device rcd", "shared_circuit_loaded"),
        ("vented | plug_fuse=yes | trips_supply yes | trip_device fuse", "shared_circuit_loaded"),
        ("heat_pump | takes_too_long yes | hp_minutes_grown 2.1", "hp_is_that_slow"),
        ("heat_pump | takes_too_long yes | hp_frost_look iced", "hp_charge_lost"),
    ],
)
def test_what_a_finding_clears_is_cleared(line: str, cleared: str) -> None:
    assert dict(likely(line))[cleared] < 0.1


@pytest.mark.slow
@pytest.mark.parametrize("minutes, answer", [(170, "normal"), (230, "normal"), (285, "long"), (300, "long")])
def test_five_hours_are_no_healthy_time_for_eight_kilograms(minutes: int, answer: str) -> None:
    """Labels of 8 kg heat pumps say some 160 to 230 minutes; judgement, no source."""
    _, (verdict,) = judged(f"heat_pump | hp_watts=850 | rated_load_kg=8 | hp_minutes {minutes} min")
    assert verdict.answer == answer


def test_minutes_charged_are_those_stood_by() -> None:
    """A run that nobody watches is charged with what is done at the machine: the meter goes on first."""

    def unwatched(item: Observation) -> bool:
        long = re.search(r"\b([2-9]\d minutes|for an hour)\b", item.how)
        return long is not None and "tay with it" not in item.how

    long_ones = [
        item for item in the_pack().observations.values() if item.need == "in_use" and unwatched(item)
    ]
    assert len(long_ones) > 5
    assert [item.id for item in long_ones if item.minutes > 8] == []


def test_a_drain_kit_is_one_machine_in_four_until_it_is_told() -> None:
    line = "container_light_on yes"
    unknown, fitted = (
        dict(likely(f"{facts} | {line}")).get("drain_kit_hose_high", 0.0)
        for facts in ("condenser", "condenser | drain_kit=yes")
    )
    assert unknown < 0.5 * fitted


def test_a_choked_motor_is_proved_by_a_run_that_makes_it_hot() -> None:
    assert "soak_run" in the_pack().causes["motor_choked"].proof


@pytest.mark.parametrize("standing", ["drum_not_turning", "motor_hum_no_turn"])
def test_no_noise_is_counted_against_the_turns_of_a_drum_that_stands(standing: str) -> None:
    pack = the_pack()
    for name in ("rhythm_once_a_turn", "rhythm_flutter", "rhythm_fast"):
        assert pack.observations[name].in_vain_after[standing] == ("yes",)


def test_what_is_only_cleaned_is_no_part_to_carry() -> None:
    cleaned = [cause for cause in the_pack().causes.values() if cause.remedy.startswith("Clean")]
    assert len(cleaned) >= 8
    assert [
        cause.id for cause in cleaned if cause.parts and not re.search("replace|renew", cause.remedy)
    ] == []


def test_what_comes_as_a_set_is_mended_with_it() -> None:
    causes = the_pack().causes
    assert "cutout_open" in causes["thermostat_stuck_closed"].also_mends
    assert "cabinet_dust" in causes["motor_choked"].also_mends


def test_the_meters_category_is_told_alike_everywhere() -> None:
    text = " ".join(
        [
            *the_pack().instruments.values(),
            *(item.how for item in the_pack().observations.values()),
        ]
    )
    assert set(re.findall(r"CAT I+V?", text)) == {"CAT II"}


@pytest.mark.slow
@pytest.mark.parametrize(
    "line, first, before",
    [
        (
            "condenser | sections=two | control=timer | low_heat_only yes | low_to_high_current 100 % "
            "| heat_missing_on high",
            "high_section_resistance",
            "high_section_open",
        ),
        ("vented | motor_hum_no_turn yes | start_response hums", "drum_turned_by_hand", "motor_winding_main"),
        ("vented | noise_thump yes | rhythm_flutter yes", "drum_turned_by_hand", "motor_winding_main"),
    ],
)  # fmt: skip
def test_it_is_looked_at_or_measured_before_the_part(line: str, first: str, before: str) -> None:
    case, _ = judged(line)
    steps = [step.target for step in case.next_steps(6)]
    assert before not in steps or first in steps[: steps.index(before)]


@pytest.mark.slow
def test_two_takes_of_one_reading_cancel_and_two_moments_do_not() -> None:
    """Why cold and warm are two observations: rules/GUIDE.md."""
    facts = "vented | control=timer | trips_supply yes | trip_device rcd | trip_moment after_a_while"
    moments = f"{facts} | insulation_resistance 90M | insulation_dial_on_heat 70M | insulation_dial_warm 0.3M"
    assert dict(likely(moments))["element_to_earth"] > 0.9
    once, _ = judged(f"{facts} | element_insulation 0.3M")
    twice, _ = judged(f"{facts} | element_insulation 0.3M")
    twice.record("element_insulation", "normal", again=True)
    assert twice.confidence()["element_to_earth"] < 0.7 < once.confidence()["element_to_earth"]
