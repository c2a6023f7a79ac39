"""Several cycles in one log."""

from __future__ import annotations

import pytest
from logs import CYCLE, MOTOR, logged, with_gap

from faultfinder.trade.cycle.csv_text import CycleLog, read_cycle_log
from faultfinder.trade.cycle.log import FLOOR, cycle_summary
from faultfinder.trade.cycle.parts import PARTED, cut, cycles_of

IDLE = 1.0
RUN = 2250.0
"""Seconds that CYCLE runs: all but its standby."""


def log_of(*pieces: tuple[float, float], text: str = "") -> CycleLog:
    return read_cycle_log(text or logged(pieces))


def found(log: CycleLog) -> list[tuple[int, int]]:
    return [(round(start), round(end)) for start, end in cycles_of(log, FLOOR["power"])]


def test_one_cycle_is_one_and_begins_and_ends_with_its_running() -> None:
    assert found(log_of(*CYCLE)) == [(60, 60 + int(RUN) - 10)]


@pytest.mark.parametrize(("idle", "count"), [(PARTED - 20, 1), (PARTED + 20, 2)])
def test_a_long_standby_parts_two_cycles_and_a_shorter_one_does_not(idle: float, count: int) -> None:
    assert len(found(log_of((MOTOR, 600), (IDLE, idle), (MOTOR, 600)))) == count


def test_stirring_against_creases_belongs_to_its_cycle_and_a_short_blip_is_none() -> None:
    stirring = ((IDLE, 540.0), (MOTOR, 30.0)) * 5
    assert len(found(log_of(*CYCLE, *stirring))) == 1
    assert len(found(log_of(*CYCLE, (IDLE, 3600), (60, 60), (IDLE, 600)))) == 1


def test_a_machine_that_never_runs_has_no_cycle() -> None:
    assert found(log_of((IDLE, 7200))) == []


def test_what_was_not_logged_parts_nothing() -> None:
    text = with_gap(logged(((MOTOR, 600), (IDLE, 1800), (MOTOR, 600))), 62, 238)
    assert len(found(log_of(text=text))) == 1


def test_a_cycle_cut_out_of_a_day_is_the_cycle_by_itself() -> None:
    """Law: its figures are those of the same cycle logged alone."""
    alone = cycle_summary(log_of(*CYCLE))
    day = log_of((IDLE, 3600), *CYCLE, (IDLE, 7200), (MOTOR, 900), (IDLE, 3600), *CYCLE, (IDLE, 600))
    spans = cycles_of(day, FLOOR["power"])
    assert len(spans) == 3
    for span in (spans[0], spans[2]):
        told = cycle_summary(cut(day, *span))
        assert (told.first_cut_out, told.cool_down, told.heater_on, told.duty) == pytest.approx(
            (alone.first_cut_out, alone.cool_down, alone.heater_on, alone.duty)
        )
    assert cycle_summary(cut(day, *spans[1])).heating_starts == 0


def test_breaks_keep_their_places_in_a_cut() -> None:
    text = with_gap(logged(((IDLE, 3600), (MOTOR, 3000), (IDLE, 3600))), 400, 450)
    log = log_of(text=text)
    (span,) = cycles_of(log, FLOOR["power"])
    part = cut(log, *span)
    (place,) = part.breaks
    assert part.seconds[place] - part.seconds[place - 1] == pytest.approx(510)
    assert part.seconds[0] == 0


def test_a_cut_with_hardly_a_row_gives_all() -> None:
    log = log_of(*CYCLE)
    assert cut(log, 1e6, 1e6 + 10) == log
