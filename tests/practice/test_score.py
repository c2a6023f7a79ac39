"""Whole jobs on practice machines, and what the figures come to."""

from __future__ import annotations

import math
import random

import pytest

from faultfinder.job.audit import audit
from faultfinder.job.events import Closed
from faultfinder.job.state import fold
from faultfinder.knowledge.model import Access, Need, Pack
from faultfinder.practice.description import Description
from faultfinder.practice.draw import draw_job
from faultfinder.practice.figures import calibration, mean, summary
from faultfinder.practice.making import draw_fault, draw_machine
from faultfinder.practice.policies import CheckList, knowing, the_tools, work_through
from faultfinder.practice.score import (
    WAYS,
    Claim,
    Options,
    Trial,
    judged_truth,
    log_loss,
    silent_faults,
    still_told,
    trials,
)
from faultfinder.practice.technician import MOST_STEPS, Work, arrive
from faultfinder.practice.written import read_job

_DONE: dict[tuple[int, float], list[Trial]] = {}
"""Trials on the lamp that one test made, for the others."""


def all_ways(lamp: Pack, lamp_machines: Description, seeds: range, wrong: float = 0.0) -> list[Trial]:
    for seed in seeds:
        if (seed, wrong) not in _DONE:
            _DONE[seed, wrong] = list(trials(lamp, lamp_machines, seed, Options(wrong=wrong)))
    return [each for seed in seeds for each in _DONE[seed, wrong]]


@pytest.mark.slow
def test_the_same_seeds_give_the_same_figures(lamp: Pack, lamp_machines: Description) -> None:
    once = all_ways(lamp, lamp_machines, range(1, 4), 0.3)
    again = [each for seed in range(1, 4) for each in trials(lamp, lamp_machines, seed, Options(wrong=0.3))]
    assert once == again


@pytest.mark.slow
def test_right_answers_lead_to_the_faults_and_no_safety_rule_is_broken(
    lamp: Pack, lamp_machines: Description
) -> None:
    done = all_ways(lamp, lamp_machines, range(1, 13))
    figures = summary(done, lamp)
    assert set(figures.ways) == set(WAYS)
    for way in figures.ways.values():
        assert way.machines == 12 and way.violations == 0
    assert figures.ways["knowing"].found == 1.0
    assert figures.ways["knowing"].parts_for_nothing.value == 0.0
    assert figures.ways["tool"].found > 0.85
    least = figures.ways["knowing"].minutes.value
    assert all(way.minutes.value >= 0.8 * least for way in figures.ways.values())


@pytest.mark.slow
def test_wrong_answers_cost_something(lamp: Pack, lamp_machines: Description) -> None:
    right = summary(all_ways(lamp, lamp_machines, range(1, 13)), lamp).ways["tool"]
    wrong = summary(all_ways(lamp, lamp_machines, range(1, 13), 0.3), lamp).ways["tool"]
    assert wrong.found < right.found or wrong.minutes.value > right.minutes.value


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(1, 13))
def test_every_record_folds_back_without_trouble_and_ends_closed(
    lamp: Pack, lamp_machines: Description, seed: int
) -> None:
    work = work_through(arrive(draw_job(lamp, lamp_machines, str(seed))), the_tools)
    state, troubles = fold(lamp, work.events)
    assert not troubles
    assert state.closed is not None and isinstance(work.events[-1], Closed)
    assert state.minutes == work.state.minutes
    assert audit(work.events, lamp).clean


def job_with(lamp: Pack, lamp_machines: Description, *causes: str) -> Work:
    job = draw_job(lamp, lamp_machines, "7")
    machine = job.machine.sound()
    chance = random.Random(1)
    machine = machine.with_faults(draw_fault(machine, cause, chance) for cause in causes)
    complaint = {"dark": "yes"} if "yes" in machine.answer("dark") else {"flickers": "yes"}
    return arrive(type(job)(machine, complaint, {"kind": "plain", "connection": "plug"}, "7"))


def test_a_fuse_put_in_over_its_cause_blows_again(lamp: Pack, lamp_machines: Description) -> None:
    """The fault that comes back is what the proof loop is for."""
    work = job_with(lamp, lamp_machines, "cord_chafed", "fuse_blown")
    short = [("cord_mohm", "is", 0.005)]
    cord = work.machine.faults[0]
    work.machine = work.machine.with_faults((type(cord)("cord_chafed", tuple(short)), work.machine.faults[1]))
    # Insulation keeps it from running while the cord is bad; put right in the wrong order it never gets that far.
    work.put_right("fuse_blown")
    assert work.machine.causes == {"cord_chafed"}
    work.put_right("cord_chafed")
    assert work.machine.causes == frozenset()
    assert work.for_nothing == ()


def test_a_remedy_for_a_fault_that_is_not_there_is_counted(lamp: Pack, lamp_machines: Description) -> None:
    work = job_with(lamp, lamp_machines, "bulb_blown")
    work.put_right("switch_worn")
    assert work.for_nothing == ("switch_worn",) and work.parts_for_nothing == 1
    assert work.machine.causes == {"bulb_blown"}


def test_a_check_list_asks_in_its_order(lamp: Pack, lamp_machines: Description) -> None:
    work = work_through(job_with(lamp, lamp_machines, "switch_worn"), CheckList(lamp_machines.check_list))
    asked = [step.target for step in work.path if step.kind == "ask"]
    place = [lamp_machines.check_list.index(name) for name in dict.fromkeys(asked[:5])]
    assert place == sorted(place)


def test_who_knows_the_faults_puts_them_right_and_nothing_else(
    lamp: Pack, lamp_machines: Description
) -> None:
    work = knowing(job_with(lamp, lamp_machines, "bulb_blown"))
    assert work.mended == ("bulb_blown",)
    assert work.state.closed is not None and work.state.closed.state == "fit_for_use"


def test_a_fault_that_no_test_shows_is_silent(lamp: Pack, lamp_machines: Description) -> None:
    work = job_with(lamp, lamp_machines, "bulb_blown")
    assert silent_faults(work.machine) == ()
    fault = work.machine.faults[0]
    nothing = type(fault)("bulb_blown", (("bulb_break", "is", 0.0),))
    assert silent_faults(work.machine.with_faults((nothing,))) == ("bulb_blown",)
    grave = type(fault)("switch_worn", (("switch_ohms", "is", 0.05),))
    assert silent_faults(work.machine.with_faults((grave,))) == (), "fire and shock always count"


def test_a_part_renewed_under_another_name_of_its_fault_is_not_renewed_for_nothing(
    pack: Pack, description: Description
) -> None:
    text = (
        "practice: {seed: 5, machine: {type: vented, control: electronic}, "
        "faults: {thermistor_reads_cold: {}}, complaint: {too_hot: yes}}"
    )
    work = arrive(read_job(text.encode(), "cold.yaml", pack, description))
    work.put_right("thermistor_reads_hot")
    assert work.for_nothing == () and work.machine.causes == frozenset()
    work.put_right("thermistor_open")
    assert work.for_nothing == ("thermistor_open",)


def test_what_was_handed_on_as_grave_is_left_with_the_supply_cut_though_it_speaks_for_little_now(
    pack: Pack, description: Description
) -> None:
    text = (
        "practice: {seed: 5, machine: {type: heat_pump}, faults: {container_full: {}}, "
        "complaint: {container_light_on: yes}}"
    )
    work = arrive(read_job(text.encode(), "full.yaml", pack, description))
    assert work.reach(Need.IN_USE)
    work.hand_over("hp_charge_lost")
    assert work.unsafe() == [] and work.close()
    assert work.state.closed is not None and work.state.closed.state == "handed_over"
    assert work.state.gate.access is Access.ISOLATED


@pytest.mark.slow
def test_what_is_still_complained_of_is_seen_on_the_machine_as_it_was_left(
    lamp: Pack, lamp_machines: Description
) -> None:
    work = job_with(lamp, lamp_machines, "bulb_blown", "switch_worn")
    (told,) = work.job.complaint
    assert still_told(work.job, work.machine) == (told,)
    assert still_told(work.job, work.machine.sound()) == ()
    done = all_ways(lamp, lamp_machines, range(1, 8))
    figures = summary(done, lamp)
    assert figures.ways["knowing"].still_told == 0
    for way, found in figures.ways.items():
        assert found.still_told == sum(bool(each.still_told) for each in done if each.way == way)


def test_a_fault_that_another_hides_is_not_silent(pack: Pack, description: Description) -> None:
    """A loose panel rattles only while the machine runs: with a dead socket nobody hears it, without one they do."""
    machine = draw_machine(pack, description, "5", words={"type": "vented"})
    chance = random.Random(1)
    loose, dead = (draw_fault(machine, cause, chance) for cause in ("panel_loose", "socket_dead"))
    both = machine.with_faults((loose, dead))
    assert judged_truth(both) == judged_truth(machine.with_faults((dead,)))
    assert silent_faults(both) == ()


# -- figures ---------------------------------------------------------------------------------------------


def test_a_mean_comes_with_its_interval() -> None:
    """1, 2, 3, 4: mean 2.5, standard deviation 1.29099, half width 1.96 * 1.29099 / 2."""
    found = mean([1.0, 2.0, 3.0, 4.0])
    assert found.value == 2.5 and found.half_width == pytest.approx(1.26517, abs=1e-4)
    assert mean([]).count == 0 and math.isinf(mean([3.0]).half_width)


def test_calibration_counts_what_was_claimed_and_what_was_so() -> None:
    claims = [Claim("a", 0.25, False), Claim("b", 0.25, True), Claim("c", 0.97, True), Claim("d", 1.0, True)]
    bins = calibration(claims)
    assert [(each.count, each.claimed, each.came_true) for each in bins] == [
        (2, 0.25, 0.5),
        (2, pytest.approx(0.985), 1.0),
    ]


def test_log_loss_is_nothing_for_certainty_and_the_logarithm_of_the_chance_else() -> None:
    assert log_loss({"a": 1.0, "b": 0.0}, ("a",)) == 0.0
    assert log_loss({"a": 0.5, "b": 0.1}, ("a",)) == pytest.approx(math.log(2) - math.log(0.9))
    assert log_loss({"a": 0.0}, ("a",)) == pytest.approx(-math.log(1e-6))


@pytest.mark.slow
def test_pairs_are_compared_machine_by_machine(lamp: Pack, lamp_machines: Description) -> None:
    done = all_ways(lamp, lamp_machines, range(1, 6))
    figures = summary(done, lamp)
    tool = {each.seed: each for each in done if each.way == "tool"}
    other = {each.seed: each for each in done if each.way == "random"}
    differences = [tool[seed].minutes - other[seed].minutes for seed in tool]
    assert figures.paired["random"].minutes.value == pytest.approx(sum(differences) / len(differences))
    assert all(each.first_done_right is (bool(each.done) and each.done[0] in each.true) for each in done)
    assert figures.minutes_share["random"] == pytest.approx(
        sum(each.minutes for each in tool.values()) / sum(each.minutes for each in other.values())
    )


@pytest.mark.slow
def test_a_whole_job_on_the_shipped_pack_keeps_the_rules(pack: Pack, description: Description) -> None:
    """Somebody who knows the faults, so that it takes a moment: access, return tests, proofs and closing."""
    for seed in (1, 2):
        work = knowing(arrive(draw_job(pack, description, str(seed)), salt="knowing"))
        assert work.state.closed is not None
        assert audit(work.events, pack).clean
        true = {fault.cause for fault in work.job.machine.faults}
        assert true <= {*work.mended, *work.handed}


@pytest.mark.slow
def test_the_check_list_stops_where_the_tool_would_and_makes_its_last_round(
    pack: Pack, description: Description
) -> None:
    """Held to one standard of stopping: once the search is over, what is left is looked at as the tool does."""
    work = arrive(draw_job(pack, description, "12"), salt="list")  # a short one
    work_through(work, CheckList(description.check_list))
    assert work.state.closed is not None and work.steps < MOST_STEPS
    rounds = {item.id for item in pack.questions.values() if item.last_round}
    assert rounds & {step.target for step in work.path}


@pytest.mark.slow
def test_a_test_of_what_the_machine_has_not_is_told_so_and_not_answered(
    pack: Pack, description: Description
) -> None:
    """A heater with one coil has no high section: whoever is sent to measure it says so, and nothing is recorded."""
    jobs = (draw_job(pack, description, str(seed)) for seed in range(50))
    job = next(
        job for job in jobs if job.machine.facts().get("sections") == "one" and "sections" not in job.facts
    )
    work = arrive(job)
    work.ask("high_section_resistance")
    assert work.state.facts["sections"] == "one"
    assert work.case.latest("high_section_resistance") is None
    assert "high_section_open" not in work.case.applicable
