"""A vent run: its pressure loss, and what it costs in airflow.

Lengths in m, diameters and roughness in mm, flows in m³/h, pressures in Pa, air at 20 C (1.2 kg/m³,
1.5e-5 m²/s). Sources: Darcy-Weisbach; Colebrook 1939 for the friction factor, 64/Re below Re 2300.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from faultfinder.trade.inputs import within

_DENSITY = 1.2
_VISCOSITY = 1.5e-5


def friction_factor(reynolds: float, relative_roughness: float) -> float:
    """The Darcy friction factor: 64/Re in laminar flow (Re up to 2300), else Colebrook solved to 1e-14.

    reynolds above 0 to 1e9, relative roughness 0 to 0.2. Between 2300 and 4000 flow may do either; the
    turbulent value, the higher one, is given.
    """
    within("the Reynolds number", reynolds, 0, 1e9, above=True)
    rough = within("the relative roughness", relative_roughness, 0, 0.2) / 3.7
    if reynolds <= 2300:
        return 64 / reynolds
    root = 8.0
    for _ in range(100):
        inside = rough + 2.51 * root / reynolds
        error = root + 2 * math.log10(inside)
        step = error / (1 + 2 * 2.51 / (reynolds * inside * math.log(10)))
        root -= step
        if abs(step) < 1e-14 * root:
            break
    return 1 / root**2


@dataclass(frozen=True, slots=True)
class Duct:
    """A round run: straight length (m), diameter (mm), wall roughness (mm) and the sum of its fittings' K."""

    metres: float
    millimetres: float
    roughness_mm: float
    fittings_k: float = 0.0

    def __post_init__(self) -> None:
        within("the length", self.metres, 0, 200, "m")
        within("the diameter", self.millimetres, 20, 1000, "mm")
        within("the roughness", self.roughness_mm, 0, 0.2 * self.millimetres, "mm")
        within("the loss coefficient", self.fittings_k, 0, 1000)


def duct_pressure(duct: Duct, m3_per_hour: float) -> float:
    """The pressure (Pa) that drives that flow through the run: (f L / D + K) rho v² / 2.

    Range: airflow 0 to 10 000 m³/h.
    """
    within("the airflow", m3_per_hour, 0, 1e4, "m3/h")
    if m3_per_hour == 0:
        return 0.0
    diameter = duct.millimetres / 1000
    speed = m3_per_hour / 3600 / (math.pi * diameter**2 / 4)
    factor = friction_factor(speed * diameter / _VISCOSITY, duct.roughness_mm / duct.millimetres)
    return (factor * duct.metres / diameter + duct.fittings_k) * _DENSITY * speed**2 / 2


def flow_left(duct: Duct, free_m3_per_hour: float, blocked_pascal: float) -> float:
    """Which flow is left with the run fitted, of a fan that moves `free_m3_per_hour` without it.

    The fan is taken as p = blocked_pascal (1 - (q / free)²), chosen: what it presses when blocked falls
    with the square of the flow. Bisection, to 1e-9 of the free flow.
    Range: free airflow above 0 to 10 000 m³/h, fan's pressure above 0 to 10 000 Pa.
    """
    within("the free airflow", free_m3_per_hour, 0, 1e4, "m3/h", above=True)
    within("the fan's pressure", blocked_pascal, 0, 1e4, "Pa", above=True)
    low, high = 0.0, free_m3_per_hour
    for _ in range(40):
        middle = (low + high) / 2
        spare = blocked_pascal * (1 - (middle / free_m3_per_hour) ** 2) - duct_pressure(duct, middle)
        low, high = (middle, high) if spare > 0 else (low, middle)
    return (low + high) / 2
