"""The drawing of a logged cycle."""

from __future__ import annotations

import random

import pytest
from logs import CYCLE, HIGH, MOTOR, logged, with_gap

from faultfinder.dialogue.queries.trace_plot import ASCII, BLOCKS, plot
from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.csv_text import read_cycle_log
from faultfinder.trade.cycle.log import cycle_summary


def drawn(text: str, width: int = 38, height: int = 8, glyphs: object = ASCII) -> list[str]:
    log = read_cycle_log(text)
    told = cycle_summary(log)
    return plot(log, told.levels, told.runs, width, height, glyphs)  # type: ignore[arg-type]


def test_a_cycle_on_a_phone() -> None:
    assert drawn(logged(CYCLE), 38, 4) == [
        "2450 W | ##############: :###:",
        "       | ##############: :###:",
        "       | ##############: :###:",
        " 200 W |:###########################:",
        "   1 W +------------------------------",
        "  heat   =============== -===-",
        "        0             20      40.3 min",
    ]


@pytest.mark.parametrize("width", [20, 38, 60, 118, 158])
@pytest.mark.parametrize("glyphs", [ASCII, BLOCKS])
def test_no_line_is_wider_than_it_may_be(width: int, glyphs: object) -> None:
    for text in (logged(CYCLE), logged(((1, 30), (2, 30), (1, 30))), with_gap(logged(CYCLE), 40, 90)):
        lines = drawn(text, width, glyphs=glyphs)
        assert max(map(len, lines)) <= max(width, 20) and len(lines) in (10, 11)


def test_a_gap_is_empty_and_marked_at_the_floor() -> None:
    lines = drawn(with_gap(logged(((MOTOR, 3000),)), 100, 200), 48)
    floor = next(line for line in lines if "+" in line)
    body = floor.split("+")[1]
    marked = [at for at, cell in enumerate(body) if cell == "x"]
    assert 10 <= len(marked) <= 16 and marked == list(range(marked[0], marked[-1] + 1))
    top = lines[0].split("|")[1]
    assert top[marked[1] : marked[-1]].strip() == ""


def test_a_heater_that_cycles_faster_than_a_column_is_light_above_the_motor() -> None:
    lines = drawn(logged(((HIGH, 30), (MOTOR, 30)) * 60), 40)
    top = lines[0].split("|")[1]
    assert set(top) <= {":"} and len(top) > 20
    assert set(lines[7].split("|")[1]) == {"#"}


def test_levels_that_meet_in_one_row_keep_the_higher_name() -> None:
    lines = drawn(logged(((2400, 600), (2200, 600), (100, 600))), 40, 4)
    assert lines[0].startswith("2400 W |") and lines[1].startswith("       |")


def test_rows_further_apart_than_columns_hold_their_value() -> None:
    text = "time (min),power (W)\n" + "".join(f"{t},{HIGH}\n" for t in range(0, 50, 10))
    top = drawn(text, 60)[0].split("|")[1]
    assert top.count("#") >= len(top) - 1


@pytest.mark.slow
def test_any_log_that_can_be_read_can_be_drawn() -> None:
    """Law: whatever the values and times, lines come out, none too wide, made of the glyphs alone."""
    chance = random.Random(5)
    for _ in range(150):
        rows = chance.randint(3, 60)
        at, lines = 0.0, ["t,power (W)"]
        for _ in range(rows):
            at += chance.choice((0.001, 1, 1, 5, 5000, -20))
            lines.append(f"{at},{chance.choice((0, 0, 1, 200, 2400, 1e5, 0.001))}")
        try:
            found = drawn("\n".join(lines), chance.choice((20, 38, 117)))
        except CycleLogError:
            continue
        assert found and max(map(len, found)) <= 117


@pytest.mark.parametrize(("minutes", "end"), [(39.98, "40 min"), (90.7, "90.7 min"), (1440, "1440 min")])
def test_the_time_line_ends_in_minutes_however_long(minutes: float, end: str) -> None:
    step = minutes * 60 / 100
    rows = "".join(f"{place * step:.3f},{HIGH}\n" for place in range(101))
    assert drawn("time (s),power (W)\n" + rows)[-1].endswith(f" {end}")
