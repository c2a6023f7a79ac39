"""A logged temperature: rise, opening and closing temperature and time, from curves made with these figures."""

from __future__ import annotations

import math
import random

import pytest
from reading_once import shipped

from faultfinder.dialogue.queries.trace import offers, read_trace, said
from faultfinder.dialogue.queries.trace_plot import plot
from faultfinder.reasoning.case import Case
from faultfinder.trade.cycle_temperature import read_temperature, temperature_figures, warmth_of


def curve(
    opens: float, closes: float, times: int, noise: float = 0.0, seed: int = 1
) -> list[tuple[float, float]]:
    """(minutes, C): from 21 C up to `opens`, down to `closes` and up again `times` times, then cold."""
    chance = random.Random(seed)
    corners = [(0.0, 21.0), (3.0, 21.0), (20.0, opens)]
    at = 20.0
    for _ in range(times):
        corners += [(at + 3, closes), (at + 6, opens)]
        at += 6
    corners.append((at + 15, 24.0))
    out, step = [], 0.5
    for n in range(int(corners[-1][0] / step) + 1):
        now = n * step
        before = max(c for c in corners if c[0] <= now)
        after = min((c for c in corners if c[0] > now), default=before)
        share = (now - before[0]) / (after[0] - before[0]) if after != before else 0.0
        out.append((now, before[1] + share * (after[1] - before[1]) + chance.uniform(-noise, noise)))
    return out


def text_of(points: list[tuple[float, float]], header: str = "min;Exhaust °C") -> str:
    return "\n".join([header, *(f"{at:.1f};{value:.2f}" for at, value in points)]) + "\n"


@pytest.mark.parametrize("times", [1, 3, 6])
@pytest.mark.parametrize("noise", [0.0, 0.8])
def test_opening_closing_and_time_come_back(times: int, noise: float) -> None:
    log = read_temperature(text_of(curve(68.0, 57.0, times, noise)))
    assert log is not None and log.quantity == "temperature"
    found = {figure.name: figure.value for figure in temperature_figures(log)}
    assert len(warmth_of(log).peaks) == times
    assert found["opening_temperature"] == pytest.approx(68, abs=0.1 + noise)
    assert found["temperature_swing"] == pytest.approx(11, abs=0.2 + 2 * noise)
    assert found["temperature_rise"] == pytest.approx(47, abs=0.1 + 2 * noise)
    assert found["run_time"] == pytest.approx(20 + 6 * times - 4, abs=2)


def test_a_heat_that_never_goes_off_by_itself_has_no_opening_temperature() -> None:
    log = read_temperature(text_of(curve(63.0, 57.0, 0)))
    assert log is not None
    names = {figure.name for figure in temperature_figures(log)}
    assert "opening_temperature" not in names and "run_time" in names


def test_fahrenheit_is_converted() -> None:
    points = [(at, value * 9 / 5 + 32) for at, value in curve(68.0, 57.0, 2)]
    log = read_temperature(text_of(points, "min;Exhaust (F)"))
    assert log is not None and max(log.values) == pytest.approx(68, abs=0.1)


def test_a_log_that_begins_warm_or_breaks_off_tells_no_time() -> None:
    points = curve(68.0, 57.0, 2)
    for part in (points[30:], points[:-28]):
        log = read_temperature(text_of(part))
        assert log is not None
        assert "run_time" not in {figure.name for figure in temperature_figures(log)}


def test_a_log_of_temperature_alone_is_drawn_and_told() -> None:
    trace = read_trace(text_of(curve(68.0, 57.0, 3)))
    assert trace.warm is trace.log
    drawing = plot(trace.log, (), (), 70)
    words = " ".join(getattr(item, "text", "") for item in said(trace, drawing))
    assert "went off by itself 3 times, at about 68 C" in words and "heat was" not in words


def test_two_channels_stand_over_one_line_of_time() -> None:
    rows = [
        f"{at * 60:.0f},{2400 if 3 <= at < 38 else 1:.0f},{value:.1f}" for at, value in curve(68.0, 57.0, 3)
    ]
    trace = read_trace("\n".join(["time (s),power (W),exhaust (C)", *rows]))
    assert trace.warm is not None and trace.log.quantity == "power"
    names = {figure.name for figure in trace.figures}
    assert {"highest_level", "opening_temperature"} <= names
    drawing = plot(trace.log, trace.summary.levels, trace.summary.runs, 70, second=trace.warm)
    assert any("*" in line for line in drawing) and any("#" in line for line in drawing)
    assert all(len(line) <= 70 for line in drawing)
    assert sum("68 C" in line for line in drawing) == 1


def test_rubbish_is_no_temperature() -> None:
    for text in ("", "a;b\n1;2\n", "min;Exhaust °C\n1;x\n2;y\n", "min;Exhaust °C\n" + "1;9e99\n" * 5):
        assert read_temperature(text) is None
    flat = read_temperature("min;Exhaust °C\n" + "".join(f"{n};21\n" for n in range(9)))
    assert flat is not None and temperature_figures(flat) == () and math.isfinite(warmth_of(flat).highest)


@pytest.mark.slow
def test_a_jobs_machine_is_offered_the_temperature_at_which_its_heat_goes_off() -> None:
    """A thermostat marked 65 that the log shows going off at 38 opens early; one that goes off at 61 is as marked."""
    pack = shipped("tumble_dryer")
    for opens, band, early in ((61.0, "normal", False), (38.0, "low", True), (93.0, "high", False)):
        case = Case(pack, {"type": "vented", "thermostat_opens_c": "65"})
        trace = read_trace(text_of(curve(opens, opens - 8.0, 4)))
        (offer,) = [each for each in offers(case, trace.figures) if each.figure.name == "opening_temperature"]
        assert offer.observation == "heat_off_temperature" and offer.judged.answer == band
        before = case.confidence()["thermostat_opens_early"]
        case.record(offer.observation, offer.text)
        assert (case.confidence()["thermostat_opens_early"] > 5 * before) is early
