"""What a slow machine costs."""

from __future__ import annotations

import pytest

from faultfinder.trade.energy_cost import (
    cost_a_year,
    cycle_kwh,
    wasted_kwh,
)
from faultfinder.trade.inputs import FormulaError


def test_energy_of_a_cycle() -> None:
    assert cycle_kwh(2400, 60) == pytest.approx(2.4)
    assert cycle_kwh(0, 60) == cycle_kwh(2400, 0) == 0


def test_a_machine_that_uses_less_wastes_nothing() -> None:
    assert wasted_kwh(4, 2.5) == 1.5
    assert wasted_kwh(2, 2.5) == 0


def test_cost_of_a_year() -> None:
    assert cost_a_year(1.5, 160, 0.30) == pytest.approx(72)


def test_impossible_energies_are_refused() -> None:
    for call in (lambda: cycle_kwh(-1, 10),):
        with pytest.raises(FormulaError):
            call()
