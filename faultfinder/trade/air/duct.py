"""A vent run: its pressure loss, and what it costs in airflow.

Lengths in m, diameters and roughness in mm, flows in m³/h, pressures in Pa, air at 20 C (1.2 kg/m³,
1.5e-5 m²/s). Sources: Darcy-Weisbach; Colebrook 1939 for the friction factor, 64/Re below Re 2300; L = K
D / f for fittings; roughness of ducts as tabled by ASHRAE; residential code IRC M1502 for the lengths
allowed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

_DENSITY = 1.2
_VISCOSITY = 1.5e-5

ROUGHNESS_MM: Mapping[str, float] = MappingProxyType(
    {"smooth_metal": 0.06, "galvanised": 0.09, "plastic": 0.03, "flexible": 3.66}
)
"""Wall roughness: aluminium 0.0002 ft, galvanised 0.09 mm, flexible 0.012 ft (ASHRAE); plastic chosen."""

BEND_K: Mapping[str, float] = MappingProxyType(
    {"mitred_90": 1.2, "smooth_90": 0.34, "mitred_45": 0.30, "smooth_45": 0.20, "flap": 1.0, "outlet": 1.0}
)
"""Loss coefficients: mitred bends, and smooth ones of r/D = 1, as pipe-flow tables give them; the outlet loses all
its velocity by definition; a hanging flap chosen."""

BEND_FEET: Mapping[str, float] = MappingProxyType(
    {"mitred_45": 2.5, "mitred_90": 5.0, "smooth_6in_45": 1.0, "smooth_6in_90": 1.75}
    | {"smooth_8in_45": 1.0, "smooth_8in_90": 1 + 7 / 12, "smooth_10in_45": 0.75, "smooth_10in_90": 1.5}
)
"""What each bend takes off the length allowed, in feet: IRC table M1502.4.4.1 (2012 edition), 4 in duct."""

_ALLOWED_FEET = ((2012, 35.0), (2006, 25.0))


def hydraulic_mm(width_mm: float, height_mm: float) -> float:
    """The hydraulic diameter of a rectangular duct: 4 A / P.

    Range: width above 0 to 10 000 mm, height above 0 to 10 000 mm.
    """
    within("the width", width_mm, 0, 1e4, "mm", above=True)
    within("the height", height_mm, 0, 1e4, "mm", above=True)
    return 2 * width_mm * height_mm / (width_mm + height_mm)


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


def equivalent_metres(k: float, millimetres: float, friction: float) -> float:
    """Which straight length loses as much as a fitting of loss coefficient k: K D / f.

    Range: loss coefficient 0 to 10 000, diameter above 0 to 10 000 mm, friction factor above 0 to 1.
    """
    within("the loss coefficient", k, 0, 1e4)
    within("the diameter", millimetres, 0, 1e4, "mm", above=True)
    return k * millimetres / 1000 / within("the friction factor", friction, 0, 1, above=True)


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


def allowed_feet(edition: int, bends: Sequence[str]) -> float:
    """How long (ft) a vent run may be with those bends by the IRC of that year; never below 0.

    35 ft since the 2012 edition, 25 ft in 2006; what is quoted of the 2009 edition differs, so that the shorter
    run holds for it. Each bend takes BEND_FEET off. Raises FormulaError for
    an earlier edition or an unknown bend.
    """
    for year, feet in _ALLOWED_FEET:
        if edition >= year:
            unknown = [bend for bend in bends if bend not in BEND_FEET]
            if unknown:
                raise FormulaError(f'no bend "{unknown[0]}"; there are: {", ".join(BEND_FEET)}')
            return max(0.0, feet - math.fsum(BEND_FEET[bend] for bend in bends))
    raise FormulaError(f"the lengths of the {edition} edition are not known here; 2006 and later are.")
