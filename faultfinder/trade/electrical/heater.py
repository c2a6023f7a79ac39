"""A heater of two sections and a motor: which sections are live on which setting, and what the line draws.

Ordinary arrangements: a common lead and one lead a section; low heat runs one section alone, or both in
series; high heat runs both side by side. The table of currents for each state of the sections is what a
reading of the line current is compared with. Ohm, volt, ampere, watt; open is math.inf.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from faultfinder.trade.electrical.circuit import (
    current_through,
    line_current,
    parallel,
    resistance_of,
    series,
)
from faultfinder.trade.inputs import within


class Arrangement(StrEnum):
    """How low heat is made."""

    ONE_SECTION_ON_LOW = "one section on low"
    SERIES_ON_LOW = "both in series on low"


class Setting(StrEnum):
    """What the machine is set to."""

    OFF = "off"
    LOW = "low"
    HIGH = "high"


def live_sections(arrangement: Arrangement, setting: Setting) -> tuple[str, ...]:
    """Which sections ('low', 'added') carry current on that setting when both are whole."""
    if setting is Setting.OFF:
        return ()
    if setting is Setting.LOW and arrangement is Arrangement.ONE_SECTION_ON_LOW:
        return ("low",)
    return ("low", "added")


@dataclass(frozen=True, slots=True)
class TwoSections:
    """A heater: the section that low heat uses, and the one that high heat adds (ohm, hot)."""

    low_ohms: float
    added_ohms: float
    arrangement: Arrangement = Arrangement.ONE_SECTION_ON_LOW

    def __post_init__(self) -> None:
        within("the low section", self.low_ohms, 0, math.inf, "ohm", above=True)
        within("the added section", self.added_ohms, 0, math.inf, "ohm", above=True)

    @classmethod
    def from_watts(
        cls,
        low_watts: float,
        added_watts: float,
        volts: float,
        arrangement: Arrangement = Arrangement.ONE_SECTION_ON_LOW,
    ) -> TwoSections:
        """From what each section takes by itself at `volts`."""
        return cls(resistance_of(low_watts, volts), resistance_of(added_watts, volts), arrangement)

    def ohms(self, setting: Setting) -> float:
        """What the heater has between its live ends on that setting; open when nothing is connected."""
        if setting is Setting.OFF:
            return math.inf
        if setting is Setting.HIGH:
            return parallel(self.low_ohms, self.added_ohms)
        if self.arrangement is Arrangement.SERIES_ON_LOW:
            return series(self.low_ohms, self.added_ohms)
        return self.low_ohms

    def with_open(self, *sections: str) -> TwoSections:
        """The same heater with those sections ('low', 'added') open."""
        return TwoSections(
            math.inf if "low" in sections else self.low_ohms,
            math.inf if "added" in sections else self.added_ohms,
            self.arrangement,
        )


@dataclass(frozen=True, slots=True)
class Expected:
    """What one state of the heater draws: line amperes with the motor running, heater watts, by setting."""

    state: str
    line_amps: dict[Setting, float]
    heater_watts: dict[Setting, float]


def current_table(
    heater: TwoSections, volts: float, motor_watts: float, power_factor: float
) -> tuple[Expected, ...]:
    """Line current and heater power on each setting, for both whole, either open and both open, in that order."""
    states = (
        ("both whole", heater),
        ("low section open", heater.with_open("low")),
        ("added section open", heater.with_open("added")),
        ("both open", heater.with_open("low", "added")),
    )
    rows = []
    for name, state in states:
        amps = {setting: current_through(state.ohms(setting), volts) for setting in Setting}
        rows.append(
            Expected(
                name,
                {
                    setting: line_current(each, motor_watts, power_factor, volts)
                    for setting, each in amps.items()
                },
                {setting: each * volts for setting, each in amps.items()},
            )
        )
    return tuple(rows)
