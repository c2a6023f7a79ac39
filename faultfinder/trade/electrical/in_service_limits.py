"""Limits of the tests after a repair: earth path, insulation and leakage, the strictest of the countries' rules.

Rules known here, as quoted by training pages and tester manuals unless said otherwise:
- UK: IET Code of Practice for in-service inspection and testing. Earth path 0.1 ohm + the flex; insulation at 500 V
  d.c. 1 Mohm (class I), 2 Mohm (class II), 0.3 Mohm (class I heating above 3 kW; the boundary is from memory: at
  3.0 kW exactly the stricter 1 Mohm is kept). Leakage of class II 0.25 mA up to the 4th edition (2012), 5 mA in the
  5th (2020).
- DE: DIN VDE 0701-0702:2008. Earth path 0.3 ohm up to 5 m, 0.1 ohm more for each further 7.5 m begun, at most 1 ohm;
  insulation as in the UK or less (class III 0.25 Mohm). Protective conductor current 3.5 mA, above 3.5 kW of heating
  1 mA a kW up to 10 mA; touch current 0.5 mA.
- AU_NZ: AS/NZS 3760 as quoted: earth path 1 ohm.
Limits are for a pass; no dangerous test voltage (flash test) is ever asked for. Resistances in ohm and Mohm, currents
in mA, lengths in m, cross-sections in mm².
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from faultfinder.text.catalogue import say
from faultfinder.trade.electrical.supply import conductor_milliohm_per_metre
from faultfinder.trade.inputs import within


class Protection(StrEnum):
    """Class of protection against electric shock."""

    CLASS_I = "class_i"
    CLASS_II = "class_ii"
    CLASS_III = "class_iii"


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with where it stands; `strictest` where other rules may allow more."""

    value: float
    unit: str
    source: str
    strictest: bool = False


def earth_path_limits(metres: float | None = None, square_mm: float | None = None) -> dict[str, float]:
    """Rules -> up to which resistance (ohm) the earth path of a corded class I appliance is in order by them.

    An unknown flex adds nothing, an unknown cross-section counts as the thickest (4 mm²).
    Range: flex 0 to 100 m.
    """
    length = 0.0 if metres is None else within("the flex", metres, 0, 100, "m")
    flex = length * conductor_milliohm_per_metre(4.0 if square_mm is None else square_mm) / 1000
    steps = math.ceil(max(0.0, length - 5) / 7.5 - 1e-9)
    return {"UK": 0.1 + flex, "DE": min(0.3 + 0.1 * steps, 1.0), "AU_NZ": 1.0}


def earth_path_limit(metres: float | None = None, square_mm: float | None = None) -> Limit:
    """The strictest of `earth_path_limits`, with its source."""
    limits = earth_path_limits(metres, square_mm)
    rules = min(limits, key=lambda each: limits[each])
    return Limit(limits[rules], "ohm", say(f"earth_limit_{rules.lower()}"), True)


def insulation_limit(protection: Protection | None = None, heating_kw: float = 0.0) -> Limit:
    """From which insulation resistance (Mohm, 500 V d.c.) on the appliance is in order, by the UK's rules: the others
    ask for no more. An unknown class counts as class II, the strictest; class III as class I, for want of a figure.

    heating_kw: rated power of the heating, 0 to 30 kW.
    """
    within("the heating power", heating_kw, 0, 30, "kW")
    source = say("limit_iet_code_practice")
    if protection in (None, Protection.CLASS_II):
        return Limit(2.0, "Mohm", say("limit_class_ii", source=source, limit="2 Mohm"), True)
    if protection is Protection.CLASS_I and heating_kw > 3.0:
        return Limit(0.3, "Mohm", say("limit_class_i_heating_above", source=source), True)
    return Limit(1.0, "Mohm", say("limit_class_i", source=source, limit="1 Mohm"), True)


def protective_current_limit(heating_kw: float) -> float:
    """Up to which current (mA) in the protective conductor a class I appliance is in order, by DIN VDE 0701-0702.

    Range: heating power 0 to 30 kW.
    """
    return 3.5 if within("the heating power", heating_kw, 0, 30, "kW") <= 3.5 else min(heating_kw, 10.0)


TOUCH_CURRENT_MA = {"UK_4": 0.25, "DE": 0.5, "UK_5": 5.0}
"""Up to which current (mA) from touchable metal that is not earthed is in order; of the UK, by edition."""
