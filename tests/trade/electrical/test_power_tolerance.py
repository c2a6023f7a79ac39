"""The tolerance of rated power: IEC 60335-1, 10.1, Table 1, on both sides of every kink."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.power_tolerance import Load, power_band
from faultfinder.trade.inputs import FormulaError

HEAT, MOTOR = Load.HEATING, Load.MOTOR


@pytest.mark.parametrize(
    ("watts", "load", "least", "most"),
    [
        (25, HEAT, 0, 30),
        (25.01, HEAT, 22.509, 27.511),
        (200, HEAT, 180, 220),
        (200.01, HEAT, 180.009, 220.01),  # 20 W rule, the same at the kink
        (400, HEAT, 360, 420),  # 20 W and 5 % meet
        (500, HEAT, 450, 525),
        (25, MOTOR, 0, 30),
        (26, MOTOR, 0, 31.2),
        (300, MOTOR, 0, 360),
        (300.01, MOTOR, 0, 360.01),  # 60 W rule, the same at the kink
        (400, MOTOR, 0, 460),  # 60 W and 15 % meet
        (1000, MOTOR, 0, 1150),
    ],
)
def test_power_band_at_the_kinks(watts: float, load: Load, least: float, most: float) -> None:
    assert power_band(watts, load) == (pytest.approx(least), pytest.approx(most))


def test_a_larger_appliance_is_never_allowed_less() -> None:
    """Law: the most allowed grows with the rated power (above 25 W, where the table itself steps down)."""
    for load in Load:
        most = [power_band(watts, load)[1] for watts in range(26, 3000)]
        assert most == sorted(most)


@pytest.mark.parametrize("watts", [0, -1, math.inf, math.nan])
def test_no_power_has_no_band(watts: float) -> None:
    with pytest.raises(FormulaError):
        power_band(watts)
