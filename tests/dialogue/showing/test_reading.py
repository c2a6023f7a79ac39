"""A reading on one line against its limits: the mark stands where the reading lies, whatever the limits are."""

from __future__ import annotations

import math
import random

from talking import small_pack

from faultfinder import Case
from faultfinder.dialogue.showing.reading import CELLS, drawn, scale

INF = math.inf
MARKS = "\u25cf\u25c6\u25cb\u25b6\u25c0"


def test_a_scale_has_one_mark_on_the_right_side_of_its_healthy_stretch() -> None:
    chance = random.Random(20261130)
    for _ in range(2_000):
        low = chance.choice([-INF, 0.0, chance.uniform(0, 100), 10 ** chance.uniform(-3, 6)])
        high = chance.choice([INF, low + chance.uniform(0.01, 50) if math.isfinite(low) else 5.0])
        value = chance.choice([INF, 0.0, chance.uniform(-10, 300), 10 ** chance.uniform(-3, 7)])
        line = scale(low, high, value, on_edge=False, healthy=low <= value <= high)
        if not math.isfinite(low) and not math.isfinite(high):
            assert line == ""
            continue
        assert len(line) == CELLS and sum(line.count(mark) for mark in MARKS) == 1
        at = next(n for n, cell in enumerate(line) if cell in MARKS)
        first, last = line.find("\u2592"), line.rfind("\u2592")
        if first >= 0 and value > high:
            assert at >= last
        elif first >= 0 and value < low:
            assert at <= first


def test_a_line_says_value_and_limits_and_fits() -> None:
    case = Case(small_pack(), {"watts": 2000, "volts": 230})
    for typed, mark in (("26R", "\u25cf"), ("40R", "\u25c6"), ("OL", "\u25b6"), ("29.1R", "\u25cb")):
        case.record("element_resistance", typed)
        given = case.latest("element_resistance")
        assert given is not None
        (drawing,) = drawn(case, case.pack.observations["element_resistance"], case.judged(given))
        assert mark in drawing.text and "23.8 to 29.1 ohm" in drawing.text and len(drawing.text) <= 70


def test_an_answer_that_is_no_figure_has_no_line() -> None:
    case = Case(small_pack(), {"watts": 2000})
    case.record("element_resistance", "high")
    case.record("no_heat", "yes")
    for name in ("element_resistance", "no_heat"):
        given = case.latest(name)
        assert given is not None
        assert drawn(case, case.pack.observations[name], case.judged(given)) == []
