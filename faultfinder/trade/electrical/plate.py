"""Whether the values of a rating plate and of a part's marking go together, and which to rely on if not.

The order of trust, chosen: what is marked on the part that is fitted, then the plate's voltage, then its
power, then its current (which is often rounded up for the fuse). A tolerance of power is that of IEC
60335-1, 10.1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from faultfinder.text.catalogue import say
from faultfinder.trade.electrical.power_tolerance import Load, power_band
from faultfinder.trade.inputs import number_text, within


@dataclass(frozen=True, slots=True)
class PlateCheck:
    """What a comparison of two plate values says: whether they agree, which is relied on, and a sentence."""

    agrees: bool
    rely_on: str
    words: str


def ohms_against_watts(watts: float, ohms: float, volts: float, hot_factor: float = 1.05) -> PlateCheck:
    """Whether a marked element resistance (cold) can give the plate's heating power at the plate's volts.

    Allowed is the tolerance of the power, and the resistance cold or hot by at most hot_factor.
    Range: resistance above 0, voltage above 0 to 10 000 V, hot factor 1 to 2.
    """
    within("the resistance", ohms, 0, math.inf, "ohm", above=True, below=True)
    within("the voltage", volts, 0, 1e4, "V", above=True)
    least, most = power_band(watts, Load.HEATING)
    within("the hot factor", hot_factor, 1, 2)
    cold_watts = volts**2 / ohms
    r, u, p = number_text(ohms), number_text(volts), number_text(watts)
    if cold_watts >= least and cold_watts / hot_factor <= most:
        return PlateCheck(True, "both", say("plate_ohm_at_v_goes", ohms=r, volts=u, watts=p))
    gives, low, high = (f"{each:.0f}" for each in (cold_watts, least, most))
    words = say("plate_ohm_at_v_gives", ohms=r, volts=u, cold_watts=gives, watts=p, least=low, most=high)
    return PlateCheck(False, "ohms", words)


def amps_against_watts(watts: float, amps: float, volts: float) -> PlateCheck:
    """Whether the plate's current goes with its power: not below 90 %, not above 150 % of P / V.

    Above is usual (motors, a current rounded up to the fuse's), so the upper limit is wide; both chosen.
    """
    within("the power", watts, 0, 1e5, "W", above=True)
    within("the current", amps, 0, 1e3, "A", above=True)
    ratio = amps * within("the voltage", volts, 0, 1e4, "V", above=True) / watts
    i, u, p = number_text(amps), number_text(volts), number_text(watts)
    if 0.9 <= ratio <= 1.5:
        return PlateCheck(True, "both", say("plate_goes_with_w", amps=i, watts=p))
    words = say("plate_w_at_v_plate", watts=p, volts=u, would_be=f"{watts / volts:.1f}", amps=i)
    return PlateCheck(False, "watts", words)


def parts_against_watts(watts: float, parts: Sequence[float], doubt: float = 0.0) -> PlateCheck:
    """Whether the watts of the parts (heater sections, motor) add up to the plate's power.

    Allowed is the tolerance of the power, and `doubt` watts of parts that are assumed.
    Range: doubt 0 to 100 000 W, power of a part 0 to 100 000 W.
    """
    total = math.fsum(within("the power of a part", part, 0, 1e5, "W") for part in parts)
    least, most = power_band(watts, Load.HEATING)
    within("the doubt", doubt, 0, 1e5, "W")
    least, most = least - doubt, most + doubt
    p, whole, low, high = number_text(watts), f"{total:.0f}", f"{least:.0f}", f"{most:.0f}"
    if least <= total <= most:
        return PlateCheck(True, "both", say("plate_parts_w_in_all", total=whole, watts=p))
    words = say("plate_parts_add_up_w", total=whole, watts=p, least=low, most=high)
    return PlateCheck(False, "parts", words)
