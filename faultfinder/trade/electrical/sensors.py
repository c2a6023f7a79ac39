"""Temperature sensors: what resistance is right at this temperature, and what temperature a resistance means.

NTC by beta: R = R25 exp(B (1/T - 1/298.15)); by Steinhart and Hart: 1/T = A + B ln R + C (ln R)³.
Platinum: IEC 60751 with A = 3.9083e-3, B = -5.775e-7, C = -4.183e-12 below 0 C; tolerance classes of the same.
Resistances in ohm, temperatures in degrees Celsius.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.trade.inputs import FormulaError, within

_ZERO = 273.15
_A, _B, _C = 3.9083e-3, -5.775e-7, -4.183e-12

PLATINUM_TOLERANCE: Mapping[str, tuple[float, float]] = MappingProxyType(
    {"AA": (0.10, 0.0017), "A": (0.15, 0.002), "B": (0.30, 0.005)}
)
"""Class -> kelvin at 0 C, and kelvin more for each degree from 0."""


def _kelvin(celsius: float) -> float:
    return within("the temperature", celsius, -100, 400, "C") + _ZERO


def _beta(beta: float) -> float:
    return within("the beta value", beta, 500, 10_000, "K")


def ntc_ohms(r25: float, beta: float, celsius: float) -> float:
    """What an NTC of `r25` ohm at 25 C has at `celsius` (-100 to 400), by its beta value (500 to 10 000 K)."""
    within("the resistance at 25 C", r25, 0, 1e9, "ohm", above=True)
    return r25 * math.exp(_beta(beta) * (1 / _kelvin(celsius) - 1 / (25 + _ZERO)))


def ntc_celsius(r25: float, beta: float, ohms: float) -> float:
    """Which temperature an NTC has that measures `ohms` (above 0), by its beta value."""
    within("the resistance at 25 C", r25, 0, 1e9, "ohm", above=True)
    within("the resistance", ohms, 0, 1e9, "ohm", above=True)
    inverse = 1 / (25 + _ZERO) + math.log(ohms / r25) / _beta(beta)
    if inverse <= 0:
        raise FormulaError(f"{ohms:g} ohm is beyond what beta {beta:g} K can mean.")
    return 1 / inverse - _ZERO


def ntc_beta_range(
    r25: float,
    beta: float,
    celsius: float,
    r25_percent: float = 5.0,
    beta_percent: float = 3.0,
    known_from: float = 25.0,
    known_to: float = 85.0,
) -> tuple[float, float]:
    """Between which resistances a healthy NTC lies at `celsius`, by beta with its tolerances.

    A beta formula meets the true curve at known_from and known_to only, the two temperatures that beta was taken
    at. Published tables leave it by up to 2.3 % between them and by 0.27 % a kelvin outside (-12 % at -20 C, seen
    on a 10 kohm table): 2.5 % at the middle and 0.3 % a kelvin are added, chosen to cover that.
    Range: tolerance at 25 C 0 to 100 %, tolerance of beta 0 to 100 %, end of the beta value's interval above
    known_from to 400 C.
    """
    middle = ntc_ohms(r25, beta, celsius)
    within("the tolerance at 25 C", r25_percent, 0, 100, "%")
    within("the tolerance of beta", beta_percent, 0, 100, "%")
    tilt = abs(ntc_ohms(r25, beta * (1 + beta_percent / 100), celsius) / middle - 1) if beta_percent else 0.0
    within("the end of the beta value's interval", known_to, known_from, 400, "C", above=True)
    place = (celsius - known_from) / (known_to - known_from)
    bend = 0.025 * max(0.0, 4 * place * (1 - place))
    outside = max(known_from - celsius, celsius - known_to, 0.0) * 0.003
    share = r25_percent / 100 + tilt + bend + outside
    return middle / (1 + share), middle * (1 + share)


@dataclass(frozen=True, slots=True)
class SteinhartHart:
    """1/T = a + b ln R + c (ln R)³, T in kelvin, R in ohm."""

    a: float
    b: float
    c: float

    @classmethod
    def through(cls, points: Sequence[tuple[float, float]]) -> SteinhartHart:
        """The curve through three points (celsius, ohm). Raises FormulaError unless they are three and distinct."""
        for celsius, ohms in points:
            _kelvin(celsius)
            within("a resistance", ohms, 0, 1e9, "ohm", above=True)
        if len(points) != 3 or len({ohms for _, ohms in points}) != 3 or len({t for t, _ in points}) != 3:
            raise FormulaError("the curve needs three points of different temperature and resistance.")
        logs = [math.log(ohms) for _, ohms in points]
        inverses = [1 / _kelvin(celsius) for celsius, _ in points]
        slope_2 = (inverses[1] - inverses[0]) / (logs[1] - logs[0])
        slope_3 = (inverses[2] - inverses[0]) / (logs[2] - logs[0])
        c = (slope_3 - slope_2) / (logs[2] - logs[1]) / math.fsum(logs)
        b = slope_2 - c * (logs[0] ** 2 + logs[0] * logs[1] + logs[1] ** 2)
        return cls(inverses[0] - (b + logs[0] ** 2 * c) * logs[0], b, c)

    def celsius(self, ohms: float) -> float:
        """Which temperature `ohms` (above 0) means."""
        log = math.log(within("the resistance", ohms, 0, 1e9, "ohm", above=True))
        inverse = self.a + self.b * log + self.c * log**3
        if inverse <= 0:
            raise FormulaError(f"{ohms:g} ohm is beyond this curve.")
        return 1 / inverse - _ZERO

    def ohms(self, celsius: float) -> float:
        """What resistance the curve has at `celsius`: bisection on celsius(), which falls as ohms rise."""
        target = 1 / _kelvin(celsius)
        low, high = math.log(1e-3), math.log(1e9)
        for _ in range(100):
            middle = (low + high) / 2
            if self.a + self.b * middle + self.c * middle**3 < target:
                low = middle
            else:
                high = middle
        return math.exp((low + high) / 2)


def platinum_ohms(r0: float, celsius: float) -> float:
    """What a platinum sensor of `r0` ohm at 0 C (Pt100: 100) has at `celsius`, -200 to 850. IEC 60751."""
    within("the resistance at 0 C", r0, 0, 1e6, "ohm", above=True)
    t = within("the temperature", celsius, -200, 850, "C")
    share = 1 + _A * t + _B * t * t
    return r0 * (share if t >= 0 else share + _C * (t - 100) * t**3)


def platinum_tolerance_kelvin(tolerance_class: str, celsius: float) -> float:
    """How far (± K) a platinum sensor of class AA, A or B may be off at `celsius`. IEC 60751.

    Range: temperature -200 to 850 C.
    """
    if tolerance_class not in PLATINUM_TOLERANCE:
        raise FormulaError(f'no class "{tolerance_class}"; there are: {", ".join(PLATINUM_TOLERANCE)}')
    at_zero, each = PLATINUM_TOLERANCE[tolerance_class]
    return at_zero + each * abs(within("the temperature", celsius, -200, 850, "C"))


def platinum_range(r0: float, tolerance_class: str, celsius: float) -> tuple[float, float]:
    """Between which resistances a healthy platinum sensor of that class lies at `celsius`. IEC 60751.

    Where the class would reach beyond -200 to 850 C the end of the scale holds.
    """
    kelvin = platinum_tolerance_kelvin(tolerance_class, celsius)
    low, high = max(celsius - kelvin, -200.0), min(celsius + kelvin, 850.0)
    return platinum_ohms(r0, low), platinum_ohms(r0, high)
