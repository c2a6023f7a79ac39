"""Times of a log: clocks, dates in either order, and rows of one minute."""

from __future__ import annotations

import random
from datetime import date, timedelta

import pytest

from faultfinder.trade.cycle.times import looks_like_a_time, seconds_of, spread_equal


def steps(cells: list[str], unit: str = "") -> list[float | None]:
    found = seconds_of([[cell] for cell in cells], unit, False)
    assert found[0] is not None
    return [None if each is None else each - found[0] for each in found]


@pytest.mark.parametrize(
    ("cells", "unit", "expected"),
    [
        (["0", "1.5", "3"], "min", [0, 90, 180]),
        (["0", "5", "10"], "Elapsed", [0, 5, 10]),
        (["1700000000000", "1700000005000"], "", [0, 5]),
        (["23:59:50", "00:00:00"], "", [0, -86390]),
        (["12:00:00 AM", "12:00:05 pm"], "", [0, 43205]),
        (["2026-02-28T23:59:55Z", "2026-03-01T00:00:00Z"], "", [0, 5]),
        (["0:10", "1:10"], "m:s", [0, 60]),
        (["10:00:00", "10:61:00", "nine"], "", [0, None, None]),
    ],
)
def test_times_are_read_from_anywhere(cells: list[str], unit: str, expected: list[float | None]) -> None:
    assert steps(cells, unit) == expected


@pytest.mark.parametrize("pattern", ["%d/%m/%Y", "%m/%d/%Y", "%Y-%m-%d", "%d.%m.%y"])
def test_the_order_of_day_and_month_is_that_in_which_the_log_spans_less(pattern: str) -> None:
    """Law: whatever the day it began, a log over midnight goes on by its own steps. Both orders may be dates."""
    for start in (
        date(2026, 3, 2),
        date(2026, 2, 1),
        date(2026, 11, 12),
        date(2024, 2, 28),
        date(2026, 12, 31),
    ):
        following = start + timedelta(days=1)
        cells = [
            f"{start:{pattern}} 23:59:50",
            f"{following:{pattern}} 00:00:00",
            f"{following:{pattern}} 00:00:10",
        ]
        assert steps(cells) == [0, 10, 20], (pattern, start)


def test_a_date_that_can_only_be_read_one_way_decides_for_all_rows() -> None:
    assert steps(["01/12/2026 10:00", "01/13/2026 10:00"]) == [0, 86400]
    assert steps(["12/01/2026 10:00", "13/01/2026 10:00"]) == [0, 86400]


def test_alike_the_day_is_first() -> None:
    (only,) = seconds_of([["03/02/2026 00:00"]], "", False)
    assert only == date(2026, 2, 3).toordinal() * 86400


def test_a_day_that_is_none_is_no_time() -> None:
    assert seconds_of([["30/02/2026 10:00"], ["01/03/2026 10:00"]], "", False)[0] is None


def test_rows_of_one_minute_are_spread_up_to_the_next() -> None:
    assert spread_equal([0, 0, 60, 60, 60, 120]) == pytest.approx([0, 30, 60, 80, 100, 120])
    assert spread_equal([0, 1, 2]) == [0, 1, 2]
    assert spread_equal([5, 5, 5]) == [5, 5, 5]
    assert spread_equal([0, 0, 60, 60]) == pytest.approx([0, 30, 60, 90])
    assert spread_equal([0, 60, 120, 120, 600]) == pytest.approx([0, 60, 120, 150, 600]), "not into a gap"


def test_spread_rows_never_pass_one_another() -> None:
    """Law: rising times stay rising, and each stays before what follows it."""
    chance = random.Random(3)
    for _ in range(100):
        times = sorted(60.0 * chance.randrange(20) for _ in range(chance.randrange(1, 60)))
        spread = spread_equal(times)
        assert spread == sorted(spread)
        for time, placed in zip(times, spread, strict=True):
            later = [each for each in times if each > time]
            assert time <= placed and (not later or placed < later[0])


def test_a_clock_looks_like_a_time_and_a_number_does_not() -> None:
    assert looks_like_a_time("2026-03-02T23:20:00Z") and looks_like_a_time("9:05")
    assert not looks_like_a_time("2400") and not looks_like_a_time("2026-03-02")
