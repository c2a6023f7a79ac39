"""The gate in the words of a job: what is asked, what is refused and why."""

from __future__ import annotations

import dataclasses

import gate_walk
import pytest

from faultfinder.errors import Refused
from faultfinder.knowledge.model import Access, Kind, Need, Observation, Probes, Step
from faultfinder.safety.actions import ACTIONS
from faultfinder.safety.dangers import (
    ASKED,
    LEAVE_NOW,
    Danger,
    customer_notice,
    stop_text,
    told_at_once,
)
from faultfinder.safety.gate import (
    Gate,
    asked_after_stop,
    cautions_at,
    confirm,
    corrected,
    danger_seen,
    facts_known,
    instruction_for_observation,
    instruction_for_remedy,
    instruction_given,
    leading_sign,
    may_close,
    not_isolated,
    open_actions,
    owed_tests,
    paused,
    permits,
    reading_brought,
    remedy_done,
    remedy_need,
    restart_after_stop,
    resumed,
    way,
    why_not_close,
)
from faultfinder.text.catalogue import say

READING = Observation(
    "heater",
    Kind.READING,
    "Resistance of the heater, cold",
    (),
    (),
    0.99,
    Need.OPEN_DEAD,
    4,
    how_steps=(Step("lead_off", "Take one lead off first."),),
    probes=Probes("o--[heater]--o", "One probe on each end."),
)
IN_USE_READING = dataclasses.replace(
    READING, id="current", need=Need.IN_USE, how_steps=(Step("measure_running", "Read amps."),)
)
DEAD_LIST = [
    "tester_proved",
    "dead_line_neutral",
    "dead_line_earth",
    "dead_neutral_earth",
    "tester_proved_again",
]


def go(gate: Gate, need: Need) -> Gate:
    for action in way(gate, need):
        gate = confirm(gate, action.id, action.outcomes[0].id)
    assert permits(gate, need)
    return gate


def ids(gate: Gate, need: Need) -> list[str]:
    return [action.id for action in way(gate, need)]


def new(connection: str = "plug", **facts: str) -> Gate:
    return facts_known(Gate(), {"connection": connection, **facts})


def opened() -> Gate:
    return go(new(), Need.OPEN_DEAD)


def test_before_the_first_switch_on_the_lists_and_looks_are_asked_one_by_one() -> None:
    assert ids(new(), Need.IN_USE) == [
        "dangers_answered",
        "plug_flex_whole",
        "casing_whole",
        "notices_looked_up",
        "supply_on",
    ]


def test_an_instruction_for_an_open_machine_names_the_way_and_shows_nothing() -> None:
    with pytest.raises(Refused) as refusal:
        instruction_for_observation(new(), READING)
    assert str(refusal.value) == (
        "'Resistance of the heater, cold' needs the machine open and proved dead. "
        "Now it is: as found, nothing confirmed. "
        "First: Switch the machine off and wait until everything stands still."
    )


def test_an_instruction_comes_out_once_its_state_is_confirmed() -> None:
    shown = instruction_for_observation(opened(), READING)
    assert (shown.how, shown.probes) == ("Take one lead off first.", READING.probes)
    assert shown.cautions == (say("caution_no_bridging"),) and shown.own == ()


def test_what_a_pack_says_of_an_act_is_shown_with_every_step_of_it_and_once() -> None:
    own = {"vacuum": ("Not near warm fluff.",), "uncover": ("Air the room.",)}
    cause = gate_walk.a_cause("fluff", Need.OPEN_DEAD)
    for acts, told in ((["vacuum", "look", "vacuum"], own["vacuum"]), (["clean"], ()), (["uncover"], ())):
        steps = tuple(Step(act, "Work.") for act in acts)
        shown = instruction_for_remedy(opened(), dataclasses.replace(cause, remedy_steps=steps), own)
        assert shown.own == told
        looked = dataclasses.replace(READING, how_steps=steps)
        assert instruction_for_observation(opened(), looked, own).own == told
    assert cautions_at(new(), "covers_off", own)[-1] == "Air the room."
    assert cautions_at(new(), "covers_off")[-1] != "Air the room."


def test_a_breaker_is_worked_only_with_the_plug_out() -> None:
    """On a machine that hangs on an isolator or on nothing the same breaker feeds the machine itself."""
    step = (Step("breaker", "Switch it on once."),)
    looked = dataclasses.replace(READING, need=Need.ISOLATED, how_steps=step)
    assert instruction_for_observation(go(new("plug"), Need.ISOLATED), looked).how == "Switch it on once."
    with pytest.raises(Refused):
        instruction_for_observation(go(new("isolator"), Need.ISOLATED), looked)


def test_opening_asks_for_the_instruments_before_the_first_screw() -> None:
    """EAWR reg. 13/14, GS38 (order of proving dead): tester, three pairs, tester again."""
    assert ids(new(), Need.OPEN_DEAD) == [
        "switched_off",
        "plug_out",
        "plug_in_sight",
        "tester_here",
        "return_testers_here",
        "covers_off",
        *DEAD_LIST,
        "capacitors_discharged",
        "board_waited",
        "parts_cooled",
        "parts_at_rest",
    ]


@pytest.mark.parametrize("first", range(1, 5))
def test_proving_dead_in_any_other_order_is_refused(first: int) -> None:
    """Check value C2-a: any other order, or one pair alone, proves nothing."""
    gate = new()
    for action in way(gate, Need.OPEN_DEAD)[:6]:
        gate = confirm(gate, action.id, action.outcomes[0].id)
    with pytest.raises(Refused, match="It is not the turn of"):
        confirm(gate, DEAD_LIST[first], "dead" if "dead" in DEAD_LIST[first] else "done")
    assert not permits(gate, Need.OPEN_DEAD)


def test_a_tester_that_fails_afterwards_voids_what_it_showed() -> None:
    gate = new()
    for action in way(gate, Need.OPEN_DEAD)[:10]:
        gate = confirm(gate, action.id, action.outcomes[0].id)
    gate = confirm(gate, "tester_proved_again", "tester_fails")
    assert ids(gate, Need.OPEN_DEAD)[:5] == DEAD_LIST


def test_an_isolator_is_locked_and_its_key_kept() -> None:
    assert ids(new("isolator"), Need.ISOLATED) == ["switched_off", "isolator_locked", "key_kept"]


def test_a_fixed_connection_is_handed_to_an_electrician() -> None:
    with pytest.raises(Refused, match="Hand it to an electrician"):
        way(new("fixed"), Need.ISOLATED)
    assert may_close(new("fixed"), "handed_over")


def test_an_unknown_connection_is_asked_for() -> None:
    with pytest.raises(Refused, match="Say first how the machine is connected"):
        way(new(""), Need.ISOLATED)


def test_a_pause_after_isolation_leads_back_the_short_way() -> None:
    gate = paused(opened(), 11)
    assert gate.access is Access.AS_FOUND and gate.covers_off
    assert ids(gate, Need.OPEN_DEAD) == ["still_isolated", "nobody_else", *DEAD_LIST]


@pytest.mark.parametrize(
    ("minutes", "allowed", "lost"), [(10, 0, 0), (10.1, 0, 1), (40, 45, 0), (46, 45, 1), (-1, 45, 1)]
)
def test_a_pause_counts_from_ten_minutes_or_the_stated_work(
    minutes: float, allowed: float, lost: int
) -> None:
    assert (paused(opened(), minutes, allowed) != opened()) == bool(lost)


def test_no_number_of_minutes_counts_as_a_pause() -> None:
    assert paused(opened(), float("nan")).access is Access.AS_FOUND


def test_not_sure_on_the_short_way_is_the_full_list() -> None:
    gate = confirm(resumed(opened()), "still_isolated", "not_sure")
    assert ids(gate, Need.OPEN_DEAD)[:4] == ["switched_off", "plug_out", "plug_in_sight", "tester_proved"]
    assert len(ids(gate, Need.OPEN_DEAD)) == 3 + 9


def test_not_sure_while_proving_dead_again_is_the_full_list_of_proving() -> None:
    gate = resumed(opened())
    for action in ("still_isolated", "nobody_else", "tester_proved"):
        gate = confirm(gate, action, "done")
    gate = confirm(gate, "dead_line_neutral", "not_sure")
    assert len(ids(gate, Need.OPEN_DEAD)) == 9


def test_what_was_opened_owes_four_tests_before_it_runs() -> None:
    assert ids(opened(), Need.IN_USE)[:6] == [
        "earth_inside",
        "insulation_inside",
        "inside_clear",
        "covers_on",
        "earth_at_plug",
        "insulation_at_plug",
    ]


def test_a_machine_without_earth_owes_no_earth_test() -> None:
    assert owed_tests(go(new(protection="class_ii"), Need.OPEN_DEAD)) == (
        "insulation_inside",
        "insulation_at_plug",
    )


def test_an_electrical_part_touched_with_covers_on_owes_the_tests_at_the_plug() -> None:
    gate = go(new(), Need.ISOLATED)
    assert owed_tests(remedy_done(gate, gate_walk.CAUSES["flex"])) == ("earth_at_plug", "insulation_at_plug")
    assert owed_tests(remedy_done(gate, gate_walk.CAUSES["filter"])) == ()


def test_no_remedy_is_done_in_use_nor_on_a_connected_electrical_part() -> None:
    assert remedy_need(gate_walk.CAUSES["badly_written"]) is Need.OPEN_DEAD
    assert remedy_need(gate_walk.CAUSES["flex"]) is Need.ISOLATED


def test_a_licensed_remedy_is_never_instructed() -> None:
    cause = gate_walk.a_cause("charge", Need.ANYWHERE, hand_to="licensed")
    with pytest.raises(Refused, match="for a licensed person: hand it over"):
        instruction_for_remedy(new(), cause)


def test_skipped_tests_lead_only_to_left_isolated() -> None:
    gate = confirm(opened(), "earth_inside", "skipped")
    with pytest.raises(Refused, match="Not measured here: earth inside"):
        way(gate, Need.IN_USE)
    gate = go(gate, Need.COVERS_ON)
    assert "earth inside" in why_not_close(gate, "fit_for_use")
    assert may_close(gate, "left_isolated")


def test_a_skipped_test_can_be_measured_after_all() -> None:
    gate = confirm(opened(), "earth_inside", "skipped")
    gate = confirm(gate, "earth_inside", "passed")
    assert go(gate, Need.IN_USE).access is Access.IN_USE


def test_without_testers_the_machine_can_be_opened_and_is_left_disconnected() -> None:
    gate = go(new(), Need.ISOLATED)
    gate = confirm(confirm(gate, "tester_here", "done"), "return_testers_here", "not_here")
    gate = go(gate, Need.OPEN_DEAD)
    with pytest.raises(Refused, match="end the job with the machine left disconnected"):
        way(gate, Need.IN_USE)


def test_a_failed_test_is_a_danger_sign_until_all_pass_again() -> None:
    gate = confirm(confirm(opened(), "earth_inside", "passed"), "insulation_inside", "failed")
    assert gate.danger is Danger.OUT_OF_USE and len(owed_tests(gate)) == 4
    assert not may_close(go(gate, Need.COVERS_ON), "fit_for_use")
    assert may_close(go(gate, Need.IN_USE), "fit_for_use")


def test_work_inside_makes_what_was_measured_inside_stale() -> None:
    gate = confirm(opened(), "insulation_inside", "passed")
    assert "insulation_inside" not in owed_tests(gate)
    assert "insulation_inside" in owed_tests(instruction_given(gate, Need.OPEN_DEAD))


def test_voltage_found_is_a_stop_and_ends_with_an_electrician() -> None:
    gate = new()
    for action in way(gate, Need.OPEN_DEAD)[:7]:
        gate = confirm(gate, action.id, action.outcomes[0].id)
    gate = confirm(gate, "dead_line_neutral", "voltage_found")
    with pytest.raises(Refused) as refusal:
        instruction_for_observation(gate, READING)
    assert str(refusal.value) == say("stop_voltage")
    assert not may_close(gate, "left_isolated") and not may_close(gate, "handed_over")
    gate = confirm(gate, "covers_back_or_guarded", "cannot")
    assert may_close(gate, "handed_over")


def test_a_leave_now_sign_permits_nothing_and_ends_left_isolated() -> None:
    gate = danger_seen(opened(), "smoke_or_flame")
    assert not any(permits(gate, need) for need in Need)
    assert may_close(gate, "left_isolated") and not may_close(gate, "fit_for_use")
    assert [action.id for action in open_actions(gate)] == ["supply_cut_from_afar"]
    for change in (resumed(gate), paused(gate, 600), corrected(gate, "plug_out")):
        assert change.stop


def test_a_restart_is_deliberate_has_a_reason_and_owes_the_tests() -> None:
    gate = danger_seen(new(), "burning_smell_now")
    with pytest.raises(Refused, match="needs its reason"):
        restart_after_stop(gate, "  ")
    with pytest.raises(Refused, match="Nothing is stopped"):
        restart_after_stop(new(), "why not")
    gate = restart_after_stop(gate, "seen by the fire service; it was the oven next door")
    assert gate.danger is Danger.OUT_OF_USE
    assert ids(gate, Need.IN_USE)[:5] == [
        "switched_off",
        "plug_out",
        "plug_in_sight",
        "earth_at_plug",
        "insulation_at_plug",
    ]


def test_a_tingle_reported_keeps_the_machine_off_until_it_is_measured() -> None:
    gate = danger_seen(new(), "tingle")
    assert (
        not permits(gate, Need.COVERS_ON) and not permits(gate, Need.IN_USE) and permits(gate, Need.ANYWHERE)
    )
    with pytest.raises(Refused, match="Hand it to an electrician"):
        way(dataclasses.replace(gate, connection="fixed"), Need.IN_USE)
    gate = go(gate, Need.IN_USE)
    assert gate.danger is Danger.NONE


def test_a_reading_brought_from_an_open_machine_is_taken_and_owes_the_tests() -> None:
    gate = reading_brought(go(new(), Need.IN_USE), Need.OPEN_DEAD)
    assert gate.access is Access.AS_FOUND and len(owed_tests(gate)) == 4
    assert reading_brought(opened(), Need.OPEN_DEAD) == opened()
    assert reading_brought(new(), Need.IN_USE) == new()


def test_another_connection_than_the_one_isolated_throws_doubt_on_it() -> None:
    gate = facts_known(go(new("plug"), Need.ISOLATED), {"connection": "isolator"})
    assert gate.access is Access.AS_FOUND and ids(gate, Need.ISOLATED)[1] == "isolator_locked"


def test_a_test_taken_back_is_owed_again() -> None:
    gate = go(opened(), Need.IN_USE)
    assert owed_tests(gate) == ()
    assert "insulation_at_plug" in owed_tests(corrected(gate, "insulation_at_plug"))
    assert "insulation_inside" in owed_tests(corrected(gate, "insulation_inside"))


def test_fit_for_use_needs_it_to_have_run_and_nothing_unsafe_found() -> None:
    gate = go(new(), Need.IN_USE)
    assert may_close(gate, "fit_for_use")
    assert "Earth path open" in why_not_close(gate, "fit_for_use", ["Earth path open"])
    assert "has run again" in why_not_close(go(new(), Need.ISOLATED), "fit_for_use")
    assert not may_close(gate, "left_isolated")


def test_a_job_cannot_end_with_the_covers_off() -> None:
    for closing in ("fit_for_use", "left_isolated", "handed_over"):
        assert not may_close(opened(), closing)


def test_a_machine_left_open_that_turns_out_to_be_fixed_can_be_covered_and_handed_over() -> None:
    gate = facts_known(opened(), {"connection": "fixed"})
    gate = confirm(gate, "covers_on_unproved", "done")
    assert may_close(gate, "handed_over")


def test_near_flammable_refrigerant_the_caution_stands_with_every_step_at_the_machine() -> None:
    for value, told in (("flammable", True), ("unknown", True), ("not_flammable", False)):
        gate = go(new(refrigerant=value), Need.IN_USE)
        assert (
            say("caution_flammable") in instruction_for_observation(gate, IN_USE_READING).cautions
        ) == told
        assert (say("caution_flammable") in cautions_at(gate, "covers_off")) == told
    assert cautions_at(gate, "plug_out") == ()


def test_a_live_reading_carries_the_caution_against_probes_in_a_socket() -> None:
    (caution,) = instruction_for_observation(go(new(), Need.IN_USE), IN_USE_READING).cautions
    assert "never with probes in a socket" in caution


def test_each_stop_tells_what_to_do() -> None:
    assert stop_text("gas_smell") == say("stop_gas") and stop_text("smoke_or_flame") == say("stop_leave")
    assert "Cut its supply" in stop_text("tingle")
    assert customer_notice(("tingle", "wet_found")) == (
        "DO NOT USE THIS MACHINE. The machine gave a tingle or shock. The machine or its plug was wet. "
        "It stays out of use until it is repaired and tested."
    )


def test_an_action_out_of_turn_or_unknown_says_whose_turn_it_is() -> None:
    with pytest.raises(Refused) as refusal:
        confirm(new(), "covers_off", "done")
    assert str(refusal.value) == (
        "It is not the turn of 'covers_off': now 'dangers_answered' or 'switched_off' can be confirmed."
    )
    with pytest.raises(Refused, match="'perhaps' is not an answer to 'switched_off': done, not_sure, cannot"):
        confirm(new(), "switched_off", "perhaps")
    assert set(ACTIONS) >= {"covers_off"}


def test_a_machine_that_people_had_to_leave_is_not_called_isolated_unless_somebody_cut_it() -> None:
    found = danger_seen(new(), "smoke_or_flame")
    assert not_isolated(found)
    assert not_isolated(confirm(found, "supply_cut_from_afar", "cannot"))
    assert not not_isolated(confirm(found, "supply_cut_from_afar", "done"))
    assert not not_isolated(danger_seen(go(new(), Need.ISOLATED), "smoke_or_flame"))
    live = danger_seen(danger_seen(go(new(), Need.ISOLATED), "voltage_when_isolated"), "smoke_or_flame")
    assert not_isolated(live)
    assert not not_isolated(go(new(), Need.IN_USE))


@pytest.mark.parametrize("sign", sorted(ASKED))
def test_after_a_stop_the_supply_is_asked_about_only_where_no_spark_can_set_fire(sign: str) -> None:
    """Public advice on gas: touch no switch."""
    gate = danger_seen(danger_seen(new(), "tingle"), sign)
    action = asked_after_stop(gate)
    if sign not in LEAVE_NOW or sign in ("gas_smell", "refrigerant_signs"):
        assert action is None
    else:
        assert action is not None and action.id == "supply_cut_from_afar"
        assert asked_after_stop(confirm(gate, action.id, "cannot")) is None


def test_of_several_signs_the_one_that_sends_people_away_is_told_and_gas_before_all() -> None:
    assert told_at_once(["tingle", "smoke_or_flame"]) == (say("stop_leave"),)
    assert told_at_once(["smoke_or_flame", "gas_smell", "wet_found"]) == (say("stop_gas"),)
    assert told_at_once(["tingle", "wet_found"]) == (say("stop_out_of_use"),)
    assert leading_sign(danger_seen(danger_seen(new(), "smoke_or_flame"), "gas_smell")) == "gas_smell"


def test_tests_inside_come_before_the_covers_go_back_but_stand_in_nobodys_way() -> None:
    gate = opened()
    assert ids(gate, Need.COVERS_ON)[:2] == ["earth_inside", "insulation_inside"]
    for outcome in ("skipped", "failed"):
        after = confirm(gate, "earth_inside", outcome)
        after = confirm(after, "insulation_inside", "passed") if outcome == "skipped" else after
        assert ids(after, Need.COVERS_ON) == ["inside_clear", "covers_on"]


def test_a_notice_names_what_was_found_and_what_is_still_to_be_measured() -> None:
    assert customer_notice(("tingle",), ("Earth path high or broken",), owed=True) == (
        "DO NOT USE THIS MACHINE. The machine gave a tingle or shock. "
        "Found and not put right: Earth path high or broken. Its electrical tests are still to be made. "
        "It stays out of use until it is repaired and tested."
    )
