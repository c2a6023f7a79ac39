"""What the workshop has seen: counted rightly, blended as a Beta prior is, against brute force and simulation."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import replace
from itertools import product
from types import MappingProxyType

import pytest
from packs import cause, observation, pack, random_pack, state
from reporting import ISOLATE, events
from talking import small_pack

from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Answered, Opened, SeenBefore
from faultfinder.job.history.history import (
    WEIGHT,
    ClosedJob,
    Closing,
    blend,
    blended,
    by_itself,
    clock_minutes,
    closed_job,
    counts,
    in_lines,
    of_pack,
    seen_before,
    together,
    totals,
)
from faultfinder.job.record.event_codec import MAX_LINE, parse_line, to_line
from faultfinder.job.state import fold, replayed
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case

CLOSE = ("fact: connection, is: plug", *ISOLATE)


def job(
    key: str, *found: str, name: str = "made", facts: dict[str, str] | None = None, minutes: float = 0.0
) -> ClosedJob:
    closing = Closing("2026-03-02", "fit_for_use", found, minutes)
    return ClosedJob(key, name, MappingProxyType(facts or {}), (closing,))


# -- records as jobs ------------------------------------------------------------------------------------


def test_an_open_job_and_one_taken_up_again_do_not_count() -> None:
    opened = events("opened: small_pack")
    closed = events(*CLOSE, "closed: left_isolated")
    assert closed_job("k", opened) is None
    assert closed_job("k", [*opened, *closed]) is not None
    assert closed_job("k", [*opened, *closed, happened.Resumed("again")]) is None
    assert closed_job("k", closed) is None


def test_a_return_visit_is_a_job_closed_again_and_what_was_found_only_then_was_missed() -> None:
    told = events(
        "opened: small_pack",
        *CLOSE,
        "put_right: fan_worn",
        "closed: left_isolated, found: [fan_worn], minutes: 30",
        "resumed: it squeals again",
        "put_right: element_open",
        "closed: left_isolated, found: [fan_worn, element_open], minutes: 75",
    )
    kept = closed_job("k", told)
    assert kept is not None
    assert (kept.returns, kept.found, kept.missed) == (1, ("fan_worn", "element_open"), ("element_open",))
    assert kept.put_right == ("fan_worn", "element_open")
    assert kept.facts == {"connection": "plug"}
    assert [each.minutes for each in kept.closings] == [30, 75]


def test_a_fact_taken_back_is_no_more_known() -> None:
    kept = closed_job(
        "k", events("opened: x", "fact: a, is: b", "fact: a, is: unknown", "closed: handed_over")
    )
    assert kept is not None and kept.facts == {}


def test_minutes_by_the_clock_leave_out_pauses_resumptions_nights_and_clocks_gone_back() -> None:
    told = events(
        'opened: x, at: "2026-03-02T09:00:00"',
        'note: a, at: "2026-03-02T09:10:00"',
        "note: no time",
        'pause: 30, at: "2026-03-02T09:40:00"',
        'note: b, at: "2026-03-02T09:45:00"',
        'note: c, at: "2026-03-02T09:44:00"',
        'note: next day, at: "2026-03-03T09:00:00"',
        'note: d, at: "2026-03-03T09:05:00"',
        'resumed: later, at: "2026-03-03T09:20:00"',
        'note: e, at: "2026-03-03T09:21:30"',
    )
    assert clock_minutes(told) == pytest.approx(10 + 5 + 5 + 1.5)


def test_the_same_job_counts_once_and_its_later_state_wins() -> None:
    first = job("a", "x")
    later = replace(first, closings=(*first.closings, *first.closings))
    assert together([first], [later, job("b")]) == [later, job("b")]
    assert together([later], [first]) == [later]


# -- counting -------------------------------------------------------------------------------------------


def test_a_cause_counts_only_over_machines_on_which_it_can_arise() -> None:
    rules = pack([cause("a", 0.1, {}), cause("b", 0.1, {})], [observation("o")])
    rules = replace(
        rules,
        facts=small_pack().facts,
        causes=MappingProxyType(
            {
                **rules.causes,
                "b": replace(rules.causes["b"], applies=MappingProxyType({"connection": ("plug",)})),
            }
        ),
    )
    jobs = [
        job("1", "a", "b", facts={"connection": "plug"}),
        job("2", "b", facts={"connection": "fixed"}),
        job("3", "b"),
        job("4", facts={"connection": "nonsense"}),
        job("5", "a", "b", name="other"),
    ]
    counted = counts(rules, jobs)
    assert (counted["a"].jobs, counted["a"].found) == (4, 1)
    assert (counted["b"].jobs, counted["b"].found) == (3, 2)
    assert len(of_pack("made", jobs)) == 4


def test_counts_name_returns_misses_and_middle_minutes() -> None:
    rules = pack([cause("a", 0.1, {})], [observation("o")])
    again = replace(
        job("1"), closings=(Closing("", "fit_for_use", (), 20.0), Closing("", "handed_over", ("a",), 50.0))
    )
    jobs = [again, job("2", "a", minutes=30), job("3", "a", minutes=90), job("4", "gone")]
    count = counts(rules, jobs)["a"]
    assert (count.jobs, count.found, count.returned, count.missed, count.minutes) == (4, 3, 1, 1, 50.0)
    total = totals(rules, jobs)
    assert (total.jobs, total.returned, total.nothing_found, total.minutes) == (4, 1, 0, 50.0)
    assert total.states == {"handed_over": 1, "fit_for_use": 3}
    assert total.unknown == ("gone",)


def test_no_jobs_count_as_nothing() -> None:
    rules = pack([cause("a", 0.1, {})], [observation("o")])
    assert counts(rules, [])["a"].jobs == 0
    assert totals(rules, []).jobs == 0
    assert seen_before(rules, counts(rules, [])) is None


def by_enumeration(rules: Pack, wanted: str, found: frozenset[str]) -> float:
    """P(its own leak fired | it is present, exactly these causes present) over every state's presence."""
    states = list(rules.states)
    own = rules.causes[wanted].how_common
    both = either = 0.0
    for present in product((False, True), repeat=len(states)):
        on = {name for name, there in zip(states, present, strict=True) if there} | (found - {wanted})
        weight = 1.0
        for name, there in zip(states, present, strict=True):
            spared = 1.0
            for by, chance in rules.states[name].brought_on_by.items():
                spared *= 1.0 - chance if by in on else 1.0
            weight *= 1.0 - spared if there else spared
        spared = 1.0
        for by, chance in rules.causes[wanted].brought_on_by.items():
            spared *= 1.0 - chance if by in on else 1.0
        both += weight * own
        either += weight * (1.0 - (1.0 - own) * spared)
    return both / either


def test_how_far_a_fault_came_by_itself_is_what_enumeration_says() -> None:
    """Random packs with states in between, against summing over every state's presence."""
    chance = random.Random(11)
    for _ in range(60):
        rules = random_pack(chance, causes=6, observations=6, states=2)
        lonely = [name for name in rules.causes if rules.causes[name].brought_on_by]
        if not lonely:
            continue
        wanted = chance.choice(lonely)
        through = {**rules.causes[wanted].brought_on_by, "s0": 0.4, "s1": 0.3}
        bringers = {
            name: MappingProxyType({by: w for by, w in item.brought_on_by.items() if by != wanted})
            for name, item in rules.states.items()
        }
        rules = replace(
            rules,
            states=MappingProxyType(
                {n: replace(s, brought_on_by=bringers[n]) for n, s in rules.states.items()}
            ),
            causes=MappingProxyType(
                {
                    **rules.causes,
                    wanted: replace(rules.causes[wanted], brought_on_by=MappingProxyType(through)),
                }
            ),
        )
        found = frozenset(name for name in rules.causes if chance.random() < 0.5) | {wanted}
        assert by_itself(rules, wanted, found) == pytest.approx(
            by_enumeration(rules, wanted, found), abs=1e-12
        )


def test_a_fault_that_nothing_found_can_bring_on_came_by_itself() -> None:
    rules = pack(
        [cause("a", 0.1, {}), cause("b", 0.1, {}, brought_on_by={"a": 0.8})],
        [observation("o")],
        [state("s", {"a": 0.5}, {})],
    )
    assert by_itself(rules, "b", ["b"]) == 1.0
    # 0.1 / (1 - 0.9 * 0.2)
    assert by_itself(rules, "b", ["a", "b"]) == pytest.approx(0.1 / 0.82)


# -- blending -------------------------------------------------------------------------------------------


def test_blending_is_the_mean_of_the_beta_distribution_after_counting() -> None:
    """Against numeric integration of prior times likelihood (midpoints, 20,000 steps)."""
    for how_common, jobs, found, weight in [(0.05, 20, 3, 50.0), (0.3, 5, 5, 10.0), (0.04, 200, 1, 50.0)]:
        a, b = weight * how_common + found, weight * (1 - how_common) + jobs - found
        steps = 20_000
        total = mean = 0.0
        for n in range(steps):
            p = (n + 0.5) / steps
            density = p ** (a - 1) * (1 - p) ** (b - 1)
            total += density
            mean += p * density
        assert blend(how_common, jobs, found, weight) == pytest.approx(mean / total, rel=2e-3)


def test_blending_moves_from_the_rules_to_the_counts_and_never_past_either() -> None:
    chance = random.Random(3)
    for _ in range(500):
        how_common, jobs = chance.uniform(0.001, 0.5), chance.randint(1, 500)
        found = chance.uniform(0, jobs)
        mixed = blend(how_common, jobs, found)
        low, high = sorted((how_common, found / jobs))
        assert low - 1e-12 <= mixed <= high + 1e-12
        assert (
            abs(blend(how_common, jobs * 10, found * 10) - found / jobs) <= abs(mixed - found / jobs) + 1e-12
        )
    assert blend(0.2, 0, 0) == pytest.approx(0.2)
    assert blend(0.02, WEIGHT, WEIGHT) == pytest.approx(0.51)


@pytest.mark.parametrize(
    ("jobs", "found", "weight"), [(5, 6, 50), (5, -1, 50), (5, 1, 0), (5, 1, float("nan"))]
)
def test_counts_that_cannot_be_are_refused(jobs: float, found: float, weight: float) -> None:
    with pytest.raises(FaultFinderError):
        blend(0.1, jobs, found, weight)


def blend_with(rules: Pack, jobs: Sequence[ClosedJob], weight: float = WEIGHT) -> Pack:
    event = seen_before(rules, counts(rules, jobs), weight)
    return rules if event is None else blended(rules, event)


def test_a_blended_pack_differs_in_how_common_only() -> None:
    rules = small_pack()
    jobs = [job(str(n), "element_open", "our_own_work", name="small_pack") for n in range(50)]
    mixed = blend_with(rules, jobs)
    assert mixed.causes["element_open"].how_common == pytest.approx((50 * 0.05 + 50) / 100)
    assert mixed.causes["fan_worn"].how_common == pytest.approx(rules.causes["fan_worn"].how_common / 2)
    assert mixed.causes["our_own_work"] == rules.causes["our_own_work"]
    back = {
        name: replace(item, how_common=rules.causes[name].how_common) for name, item in mixed.causes.items()
    }
    assert back == dict(rules.causes)
    assert replace(mixed, causes=rules.causes) == rules
    assert seen_before(rules, counts(rules, [])) is None


def test_a_case_works_on_a_blended_pack() -> None:
    rules = small_pack()
    jobs = [job(str(n), "fan_worn", name="small_pack") for n in range(200)]
    before, after = Case(rules), Case(blend_with(rules, jobs))
    for each in (before, after):
        each.record("air_weak", "yes")
    assert after.confidence()["fan_worn"] > 0.9 > before.confidence()["fan_worn"]


def test_a_record_carries_the_blended_numbers_so_that_it_comes_out_the_same_elsewhere() -> None:
    """The event goes through a record's line and back; the job then works with its numbers, whatever was seen since,
    and its rules still count as the ones it was begun with."""
    rules = small_pack()
    event = seen_before(rules, counts(rules, [job(str(n), "fan_worn", name="small_pack") for n in range(7)]))
    assert event is not None
    line = parse_line(to_line(event))
    assert line.event == event and line.checked
    opened = Opened(rules.name, rules.version, rules.fingerprint)
    state, troubles = fold(rules, [opened, event, Answered("air_weak", "yes")])
    assert not troubles and not state.rules_changed and state.seen == event
    case = Case(blended(rules, event))
    case.record("air_weak", "yes", complaint=True)
    assert replayed(state).confidence() == case.confidence()


def test_numbers_of_a_great_pack_stand_on_several_lines_that_come_to_the_same() -> None:
    chances = tuple((f"cause_{n:074d}", 0.123456) for n in range(450))
    parts = in_lines(SeenBefore(1000, 50.0, chances))
    assert len(parts) == 3 and tuple(pair for part in parts for pair in part.chances) == chances
    for part in parts:
        assert len(to_line(part)) < MAX_LINE and parse_line(to_line(part)).event == part


def test_numbers_for_causes_that_the_rules_no_longer_have_are_passed_over() -> None:
    rules = small_pack()
    event = SeenBefore(3, 50.0, (("gone", 0.5), ("fan_worn", 1.0)))
    mixed = blended(rules, event)
    assert set(mixed.causes) == set(rules.causes)
    assert 0.9 < mixed.causes["fan_worn"].how_common < 1.0


def test_numbers_stay_inside_what_a_rule_may_say() -> None:
    rules = pack([cause("a", 0.5, {})], [observation("o")])
    all_found = [job(str(n), "a") for n in range(10)]
    assert blend_with(rules, all_found, 1e-9).causes["a"].how_common < 1.0
    none_found = [job(str(n)) for n in range(10)]
    assert blend_with(rules, none_found, 1e-9).causes["a"].how_common > 0.0


def test_a_workshop_that_sees_other_machines_than_the_rules_say_learns_their_chances() -> None:
    """4,000 simulated jobs of a world whose chances are not the rules': the blend comes within four standard errors.

    What brings what on is as the rules say. Counting every fault, brought on or not, would miss by far.
    """
    chance = random.Random(20260302)
    true = {"a": 0.15, "b": 0.02}
    rules = pack(
        [cause("a", 0.05, {}), cause("b", 0.02, {}, brought_on_by={"a": 0.6})],
        [observation("o")],
    )
    jobs = []
    for n in range(4000):
        a = chance.random() < true["a"]
        b = chance.random() < true["b"] or (a and chance.random() < 0.6)
        jobs.append(job(str(n), *(name for name, there in (("a", a), ("b", b)) if there)))
    counted = counts(rules, jobs)
    mixed = blend_with(rules, jobs, 10.0)
    for name, value in true.items():
        error = (value * (1 - value) / 4000) ** 0.5
        assert mixed.causes[name].how_common == pytest.approx(value, abs=4 * error + 10 * 0.1 / 4000)
    assert counted["b"].found / 4000 > 0.1
