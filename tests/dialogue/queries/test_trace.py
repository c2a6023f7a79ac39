"""A logged cycle in words, what it offers, and what taking a reading writes down."""

from __future__ import annotations

from dataclasses import replace

import pytest
from logs import CYCLE, HIGH, LOW, MOTOR, logged, with_gap
from talking import text

from faultfinder.dialogue.queries.trace import (
    Offer,
    as_mapping,
    chosen,
    events_for,
    offers,
    offers_said,
    read_trace,
    said,
)
from faultfinder.errors import Refused, UnknownName
from faultfinder.job.audit import audit
from faultfinder.job.events import ACCESS_LOGGED, Answered, Closed, FactGiven, Noted, Opened, PutRight
from faultfinder.job.state import JobState, begin, fold, replayed
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Need, Pack
from faultfinder.reasoning.case import Case
from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.figures import FIGURES

FACTS = {"type": "vented", "volts": "240", "total_watts": "2500"}


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


@pytest.fixture(scope="module")
def job(dryer: Pack) -> JobState:
    state, troubles = fold(dryer, [FactGiven(name, value) for name, value in FACTS.items()])
    assert not troubles
    return state


def offered(pack: Pack, log: str = "", **facts: str) -> tuple[Offer, ...]:
    return offers(Case(pack, {**FACTS, **facts}), read_trace(log or logged()).figures)


def test_a_cycle_is_told_in_words() -> None:
    trace = read_trace(with_gap(logged(), 150, 170))
    assert text(said(trace, ["####", "+--"])).splitlines() == [
        "Logged cycle: 37.2 min, 'power (W)', a row every 10 s",
        "####",
        "+--",
        "Light: the value rose and fell within that column. x: not logged.",
        "It settles at:",
        "2450 W: with heat (or compressor); 21.5 min, 58 %",
        "200 W: without heat (motor, fan); 12.5 min, 34 %",
        "1 W: standby; 3 min, 8 %",
        "Heat:",
        "On 3 times, 21.5 min in all.",
        "On 91 % of the time from first on to last off.",
        "Went off first after 20 min.",
        "Cool-down: 9.9 min.",
        "Energy: 0.926 kWh.",
        "On at minutes 1.4-21.4, 23.4-24.8, 28.3-28.4.",
        "Odd in the log:",
        "line 152: nothing was logged for 210 s.",
    ]


IDLE = 1.0
DAY = ((IDLE, 3600), (MOTOR, 900), (IDLE, 3600), *CYCLE, (IDLE, 3600), (HIGH, 600), (IDLE, 600))


@pytest.mark.slow
def test_of_several_cycles_the_longest_is_taken_unless_another_is_asked_for() -> None:
    day = logged(DAY)
    trace = read_trace(day)
    assert (trace.number, len(trace.starts), trace.chosen) == (2, 3, False)
    assert trace.summary == read_trace(day, cycle=2).summary
    heard = text(said(trace, ()))
    assert "3 cycles in this log, begun at minute 60, 136, 235.5." in heard
    assert "This is number 2, the longest. Another: --cycle 1." in heard
    third = read_trace(day, cycle=3)
    assert third.summary.heating_starts == 1 and "number 3, as asked" in text(said(third, ()))
    for cycle in (0, 4, -1):
        with pytest.raises(CycleLogError, match=f"no cycle {cycle}; the log has 3"):
            read_trace(day, cycle=cycle)


def test_run_time_and_volts_of_a_long_log_are_those_of_its_cycle() -> None:
    lines = [
        f"{line},{228 if float(line.partition(',')[2]) > 1000 else 236}"
        for line in logged(DAY).splitlines()[1:]
    ]
    day = "time (s),power (W),voltage (V)\n" + "\n".join(lines)
    found = {each.name: each.value for each in read_trace(day).figures}
    assert found["run_time"] == pytest.approx(37.5, abs=0.1)
    assert (found["volts_heating"], found["volts_drop"]) == (pytest.approx(228), pytest.approx(8))


@pytest.mark.slow
def test_one_cycle_is_not_spoken_of_and_a_log_without_any_is_whole() -> None:
    assert "cycles in this log" not in text(said(read_trace(logged()), ()))
    idle = read_trace(logged(((IDLE, 7200),)))
    assert idle.starts == () and idle.summary.logged == pytest.approx(7200)
    assert read_trace(logged(), cycle=1).chosen


@pytest.mark.slow
def test_a_log_with_many_unread_rows_is_warned_of() -> None:
    lines = logged().splitlines()
    lines[20:40] = ["200,error"] * 20
    assert "CAUTION" not in text(said(read_trace(logged()), ()))
    heard = text(said(read_trace("\n".join(lines)), ()))
    assert "20 of 243 rows could not be read: do not rely on the levels" in heard


def test_a_cycle_without_heat_or_levels_says_so() -> None:
    heard = text(said(read_trace(logged(((MOTOR, 900),))), ()))
    assert "No heat was seen." in heard
    steep = "time,power (W)\n" + "".join(f"{t},{t * 40}\n" for t in range(60))
    assert "No steady level" in text(said(read_trace(steep), ()))


@pytest.mark.slow
def test_the_readings_are_those_that_the_rules_name_and_this_machine_has(dryer: Pack) -> None:
    found = offered(dryer)
    assert [offer.observation for offer in found] == ["dry_minutes", "power_on_high", "heat_on_share"]
    assert [(offer.text, offer.judged.answer) for offer in found] == [
        ("37.5 min", "normal"),
        ("2450 W", "normal"),
        ("100 %", "normal"),
    ]
    assert "hp_minutes" in [offer.observation for offer in offered(dryer, type="heat_pump")]


@pytest.mark.slow
def test_two_levels_of_heat_offer_low_high_and_their_ratio_in_amps(dryer: Pack) -> None:
    amps = logged(((0.8, 60), (7.4, 600), (10.4, 600), (0.8, 60)), "time_s,current_A")
    found = {offer.observation: offer.text for offer in offered(dryer, amps)}
    assert found["current_on_high"] == "10.4 A"
    assert found["current_on_low"] == "7.4 A"
    assert found["low_to_high_current"] == "71.2 %"


def test_every_figure_that_the_rules_name_can_be_taken_as_the_reading_it_is_for(dryer: Pack) -> None:
    named = [item for item in dryer.observations.values() if item.reading and item.reading.logged]
    assert {item.reading.logged for item in named if item.reading} >= {
        "highest_level",
        "heat_share",
        "volts_drop",
    }
    for item in named:
        assert item.reading is not None
        assert item.reading.quantity in FIGURES[item.reading.logged].quantities
        assert item.need in (Need.IN_USE, Need.ANYWHERE), "a log is made with the covers on"


def test_offers_are_chosen_by_number_or_the_beginning_of_their_names(dryer: Pack) -> None:
    found = offered(dryer)
    names = [each.observation for each in found]
    for words, expected in (
        ("", []),
        ("none", []),
        ("all", names),
        ("1", names[:1]),
        ("3, 1", [names[0], names[2]]),
        ("power", ["power_on_high"]),
        ("heat_on_share dry", ["dry_minutes", "heat_on_share"]),
        ("2 2 power", ["power_on_high"]),
    ):
        assert [each.observation for each in chosen(found, words)] == expected, words
    for words, message in (
        ("4", "none of the readings"),
        ("xyz", "none of the readings"),
        ("1 o", "several"),
        ("0", "none"),
    ):
        with pytest.raises(UnknownName, match=message):
            chosen(found, words)
    with pytest.raises(UnknownName, match="Offered: nothing"):
        chosen((), "1")


def test_taking_readings_writes_them_down_as_logged_with_the_covers_on(dryer: Pack, job: JobState) -> None:
    found = offers(replayed(job), read_trace(logged()).figures)
    after, events = events_for(job, chosen(found, "power heat"), "cycle.csv")
    assert events == [
        Noted("readings from the logged cycle cycle.csv"),
        Answered("power_on_high", reads="2450 W", access=ACCESS_LOGGED),
        Answered("heat_on_share", reads="100 %", access=ACCESS_LOGGED),
    ]
    assert [given.name for given in after.given[-2:]] == ["power_on_high", "heat_on_share"]
    assert after.minutes == job.minutes, "a log was made while other work went on"
    assert after.gate == job.gate, "it confirms no access"
    again, troubles = fold(dryer, [*(FactGiven(name, value) for name, value in FACTS.items()), *events])
    assert not troubles and again.given == after.given
    assert audit([Opened("tumble_dryer"), *events]).violations == ()


def test_what_stands_already_is_said_and_replaced(dryer: Pack, job: JobState) -> None:
    figures = read_trace(logged()).figures
    after, _ = events_for(job, chosen(offers(replayed(job), figures), "power"), "cycle.csv")
    case = replayed(after)
    found = offers(case, figures)
    assert [offer.now for offer in found] == ["", "2450 W", ""]
    heard = text(offers_said(case, found, numbered=True))
    assert (
        "2 power_on_high: Power on high heat, at the measured volts: 2450 W. As it should be, 2 % below"
        in heard
    )
    assert "It would replace 2450 W." in heard
    assert "A log does not say how the machine was set" in heard


def test_after_a_repair_it_is_a_new_answer_about_the_machine_as_it_is(dryer: Pack, job: JobState) -> None:
    figures = read_trace(logged()).figures
    after, events = events_for(job, chosen(offers(replayed(job), figures), "power"), "before.csv")
    mended, troubles = fold(
        dryer,
        [
            *(FactGiven(n, v) for n, v in FACTS.items()),
            *events,
            PutRight("vent_hose_crushed", access="isolated"),
        ],
    )
    assert not troubles
    found = offers(replayed(mended), figures)
    assert all(offer.now == "" for offer in found)


def test_a_closed_job_takes_nothing(dryer: Pack, job: JobState) -> None:
    found = offers(replayed(job), read_trace(logged()).figures)
    closed = replace(job, closed=Closed("left_isolated"))
    with pytest.raises(Refused, match="closed"):
        events_for(closed, found[:1], "cycle.csv")
    assert events_for(closed, (), "cycle.csv") == (closed, [])


@pytest.mark.slow
def test_nothing_that_fits_is_said() -> None:
    pack = load_pack("tumble_dryer")
    assert offers(Case(pack), ()) == ()
    assert "None that this pack asks for." in text(offers_said(Case(pack), (), numbered=False))


def test_plain_data_has_all_of_it(dryer: Pack) -> None:
    trace = read_trace(logged(((MOTOR, 60), (LOW, 700), (HIGH, 700), (MOTOR, 60))))
    mapping = as_mapping(trace, offers(Case(dryer, FACTS), trace.figures))
    assert [level["kind"] for level in mapping["levels"]] == ["motor", "heat", "heat"]
    assert mapping["odd"] == [] and mapping["unit"] == "W" and mapping["cool_down_s"] is None
    assert {each["name"] for each in mapping["figures"]} >= {"highest_level", "lower_heat_level", "energy"}
    assert mapping["readings"][0].keys() == {
        "observation",
        "reads",
        "figure",
        "answer",
        "on_the_edge",
        "healthy",
    }


def test_a_case_is_not_changed_by_being_offered_readings(dryer: Pack) -> None:
    case = Case(dryer, FACTS)
    offers(case, read_trace(logged(CYCLE)).figures)
    assert case.answers == () and begin(dryer).given == ()
