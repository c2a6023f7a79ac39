"""What a logged cycle yields by name, and what it must not claim."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from logs import HIGH, LOW, MOTOR, logged

from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.csv_text import CycleLog, other_log, read_cycle_log
from faultfinder.trade.cycle.figures import FIGURES, LevelKind, figures, kind_of, run_of
from faultfinder.trade.cycle.log import levels_of
from faultfinder.trade.readings.units import QUANTITIES

WHOLE = ((1, 60), (MOTOR, 30), (HIGH, 900), (MOTOR, 300), (HIGH, 900), (MOTOR, 600), (1, 120))
"""(watts, seconds): heat on for 15 minutes, off for 5, on again, cool-down."""


def log_of(
    pieces: Sequence[tuple[float, float]], header: str = "time (s),power (W)", step: float = 5.0
) -> CycleLog:
    return read_cycle_log(logged(pieces, header, step))


def found(log: CycleLog) -> dict[str, float]:
    return {figure.name: round(figure.value, 3) for figure in figures([log])}


def test_a_whole_cycle_yields_its_figures() -> None:
    assert found(log_of(WHOLE)) == {
        "highest_level": 2450,
        "heat_share": 0.75,
        "run_time": 45.5,
        "first_cut_out": 15,
        "cool_down": pytest.approx(10, abs=0.1),
        "energy": pytest.approx((1800 * HIGH + 930 * MOTOR + 180) / 3.6e6, rel=0.01),
    }


def test_every_figure_says_what_it_is_and_is_of_a_known_quantity() -> None:
    for name, kind in FIGURES.items():
        assert name.replace("_", "").replace("20", "").isalpha() and kind.says
        assert set(kind.quantities) <= set(QUANTITIES)
    for figure in figures([log_of(WHOLE)]):
        assert figure.quantity in FIGURES[figure.name].quantities
        assert figure.unit in QUANTITIES[figure.quantity].units


def test_levels_are_named_by_what_runs() -> None:
    log = log_of(((1, 60), (MOTOR, 60), (LOW, 300), (HIGH, 300), (MOTOR, 120), (1, 60)))
    levels = levels_of(log)
    assert [kind_of(level, log, levels) for level in levels] == [
        LevelKind.STANDBY,
        LevelKind.MOTOR,
        LevelKind.HEAT,
        LevelKind.HEAT,
    ]


def test_two_levels_of_heat_are_compared_and_three_are_not() -> None:
    two = found(log_of(((MOTOR, 60), (LOW, 600), (HIGH, 600), (MOTOR, 60))))
    assert (two["lower_heat_level"], two["highest_level"]) == (LOW, HIGH)
    assert two["lower_by_higher"] == pytest.approx(LOW / HIGH, abs=1e-3)
    three = found(log_of(((MOTOR, 60), (1000, 600), (1500, 600), (HIGH, 600), (MOTOR, 60))))
    one = found(log_of(((MOTOR, 60), (HIGH, 600), (MOTOR, 60))))
    assert "lower_heat_level" not in three and "lower_heat_level" not in one
    assert "lower_by_higher" not in three and "lower_by_higher" not in one


def test_a_level_of_heat_held_for_less_than_a_minute_is_no_setting() -> None:
    assert "lower_heat_level" not in found(log_of(((MOTOR, 60), (LOW, 50), (HIGH, 600), (MOTOR, 60))))


def test_a_machine_that_never_heats_has_a_share_of_nothing() -> None:
    cold = found(log_of(((1, 60), (MOTOR, 3000), (1, 60))))
    assert (cold["heat_share"], cold["highest_level"]) == (0, MOTOR)
    assert found(log_of(((1, 60), (MOTOR, 500), (1, 60)))).get("heat_share") is None
    assert found(log_of(((1, 600),))) == {"energy": pytest.approx(0, abs=0.01)}


def test_a_share_needs_ten_minutes_that_were_logged() -> None:
    assert "heat_share" not in found(log_of(((MOTOR, 60), (HIGH, 590))))
    assert found(log_of(((MOTOR, 60), (HIGH, 610))))["heat_share"] == 1
    hole = logged(((MOTOR, 60), (HIGH, 300)), step=5.0) + "3000,2450\n3005,2450\n3010,2450"
    assert "heat_share" not in found(read_cycle_log(hole))


def test_a_run_time_is_claimed_only_of_a_whole_run_without_a_break() -> None:
    assert "run_time" not in found(log_of(WHOLE[1:]))
    assert "run_time" not in found(log_of(WHOLE[:-1]))
    lines = logged(WHOLE, step=5.0).splitlines()
    assert "run_time" not in found(read_cycle_log("\n".join(lines[:100] + lines[150:])))
    assert run_of(log_of(WHOLE)) == (60, 2785)
    assert run_of(log_of(((1, 60),))) is None


def test_after_twenty_minutes_needs_the_start_and_the_time() -> None:
    assert "after_20_minutes" not in found(log_of(((1, 60), (MOTOR, 1400), (1, 60))))
    assert found(log_of(((1, 60), (540, 1600), (1, 60))))["after_20_minutes"] == 540
    assert "after_20_minutes" not in found(log_of(((1, 60), (540, 1200), (200, 400), (1, 60))))
    assert "after_20_minutes" not in found(log_of(((540, 1700), (1, 60))))


VOLTS = """time,Voltage (V),Power (W),Current (A)
""" + "".join(
    f"{t},{volts},{watts},{watts / volts:.3f}\n"
    for t, volts, watts in [
        (10 * n, 228 if 6 <= n % 60 < 50 else 236, HIGH if 6 <= n % 60 < 50 else MOTOR) for n in range(180)
    ]
)


def test_the_other_columns_of_the_same_log_yield_theirs() -> None:
    log = read_cycle_log(VOLTS)
    amps, volts = other_log(VOLTS, log, "current"), other_log(VOLTS, log, "voltage")
    assert amps is not None and volts is not None and other_log(VOLTS, log, "power") is None
    values = {(each.name, each.unit): each.value for each in figures([log, amps], volts)}
    assert values["highest_level", "A"] == pytest.approx(HIGH / 228, rel=1e-3)
    assert values["highest_level", "W"] == HIGH
    assert values["volts_heating", "V"] == 228 and values["volts_drop", "V"] == 8


def test_volts_over_another_time_are_not_put_together() -> None:
    log = read_cycle_log(VOLTS)
    short = read_cycle_log("\n".join(VOLTS.splitlines()[:100]), quantities=("voltage",))
    assert not [each for each in figures([log], short) if each.quantity == "voltage"]


def test_a_column_of_another_quantity_is_refused_by_name() -> None:
    with pytest.raises(CycleLogError, match=r"'Voltage \(V\)' is a voltage; a power or a current is wanted"):
        read_cycle_log(VOLTS, "Voltage (V)")


def test_no_log_yields_nothing() -> None:
    assert figures([]) == ()
