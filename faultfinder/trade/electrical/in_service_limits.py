"""Limits of the tests after a repair: earth path, insulation and leakage, by the country's rules.

Rules known here, as quoted by training pages and tester manuals unless said otherwise:
- `UK`: IET Code of Practice for in-service inspection and testing. Earth path 0.1 ohm + the flex;
  insulation at 500 V d.c. 1 Mohm (class I), 2 Mohm (class II), 0.3 Mohm (class I heating above 3 kW).
  Leakage up to the 4th edition (2012) 0.25 mA class II, 0.75 mA hand-held and portable, 3.5 mA other
  class I, heating 0.75 mA a kW up to 5 mA; 5th edition (2020) 5 mA for all. The boundary at 3 kW is from
  memory: at 3.0 kW exactly the stricter 1 Mohm is kept here.
- `DE`: DIN VDE 0701-0702:2008. Earth path 0.3 ohm up to 5 m, 0.1 ohm more for each further 7.5 m begun,
  at most 1 ohm; insulation 1, 2, 0.25 Mohm (class I, II, III), 0.3 Mohm with heating elements switched
  on. Protective conductor current 3.5 mA, above 3.5 kW of heating 1 mA a kW up to 10 mA; touch current
  0.5 mA.
- `AU_NZ`: AS/NZS 3760 as quoted: earth path 1 ohm. Insulation 1 Mohm is taken from the UK's figure (chosen).
- `EU_production`: EN 50106:2008 A.1, routine test of makers (read in its text): corded 0.2 ohm or 0.1
ohm + flex. What is not known takes the strictest of what it could be. Limits are for a pass; no
dangerous test voltage (flash test) is ever asked for. Resistances in ohm and Mohm, currents in mA,
lengths in m, cross-sections in mm².
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from faultfinder.text.catalogue import say
from faultfinder.trade.electrical.supply import conductor_milliohm_per_metre
from faultfinder.trade.inputs import FormulaError, within

RULES = ("UK", "DE", "AU_NZ", "EU_production")


class Protection(StrEnum):
    """Class of protection against electric shock."""

    CLASS_I = "class_i"
    CLASS_II = "class_ii"
    CLASS_III = "class_iii"


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit with where it stands; `strictest` where something was not known."""

    value: float
    unit: str
    source: str
    strictest: bool = False


def flex_ohms(metres: float, square_mm: float) -> float:
    """The resistance of the earth conductor of a flex (0 to 100 m), by IEC 60228 class 5."""
    return within("the flex", metres, 0, 100, "m") * conductor_milliohm_per_metre(square_mm) / 1000


def earth_path_limit(
    rules: str | None = None, metres: float | None = None, square_mm: float | None = None
) -> Limit:
    """Up to which resistance (ohm) the earth path of a corded class I appliance is in order.

    An unknown flex adds nothing, an unknown cross-section counts as the thickest (4 mm²): the strictest.
    Unknown rules: the lowest limit of all. Raises FormulaError for rules that are not in RULES.
    """
    if rules is None:
        best = min(
            (earth_path_limit(each, metres, square_mm) for each in RULES), key=lambda limit: limit.value
        )
        return Limit(best.value, best.unit, best.source, True)
    lead = 0.0 if metres is None else flex_ohms(metres, 4.0 if square_mm is None else square_mm)
    unknown = metres is None or square_mm is None
    if rules == "UK":
        value = 0.1 + lead
    elif rules == "DE":
        extra = 0 if metres is None else math.ceil(max(0.0, metres - 5) / 7.5 - 1e-9)
        value, unknown = min(0.3 + 0.1 * extra, 1.0), metres is None
    elif rules == "AU_NZ":
        value, unknown = 1.0, False
    elif rules == "EU_production":
        value = max(0.2, 0.1 + lead)
    else:
        raise _unknown_rules(rules)
    return Limit(value, "ohm", say(f"earth_limit_{rules.lower()}"), unknown)


def insulation_limit(
    rules: str | None = None,
    protection: Protection | None = None,
    heating_kw: float | None = None,
    elements_on: bool = False,
) -> Limit:
    """From which insulation resistance (Mohm, 500 V d.c.) on the appliance is in order.

    `heating_kw` is the rated power of a heating appliance, None where it is not one or not known;
    `elements_on` says that the heating elements were in the circuit that was measured. Unknown class:
    class II, the strictest.
    Range: heating power 0 to 30 kW.
    """
    if rules is None:
        best = max(
            (insulation_limit(each, protection, heating_kw, elements_on) for each in RULES),
            key=lambda limit: limit.value,
        )
        return Limit(best.value, best.unit, best.source, True)
    if rules not in RULES:
        raise _unknown_rules(rules)
    power = 0.0 if heating_kw is None else within("the heating power", heating_kw, 0, 30, "kW")
    name = "DIN VDE 0701-0702" if rules == "DE" else say("limit_iet_code_practice")
    if protection is None or protection is Protection.CLASS_II:
        return Limit(2.0, "Mohm", say("limit_class_ii", source=name, limit="2 Mohm"), protection is None)
    if protection is Protection.CLASS_III:
        # Only the German rules give a figure for it; the UK's for class I is the stricter one to fall back on.
        return (
            Limit(0.25, "Mohm", say("limit_class_iii", source=name, limit="0.25 Mohm"))
            if rules == "DE"
            else _class_i(name, True)
        )
    if rules == "DE" and elements_on and power > 0:
        return Limit(0.3, "Mohm", say("limit_class_i_heating_elements", name=name))
    if rules == "UK" and power > 3.0:
        return Limit(0.3, "Mohm", say("limit_class_i_heating_above", name=name))
    return _class_i(name, False)


def _class_i(name: str, strictest: bool) -> Limit:
    return Limit(1.0, "Mohm", say("limit_class_i", source=name, limit="1 Mohm"), strictest)


def leakage_limit(
    rules: str | None = None,
    protection: Protection | None = None,
    edition: int | None = None,
    portable: bool | None = None,
    heating_kw: float | None = None,
) -> Limit:
    """Up to which protective conductor or touch current (mA) the appliance is in order.

    `edition` counts the UK Code of Practice (4 covers the earlier ones). Unknown: the strictest. A
    stationary class I appliance that heats has the heating row of the 4th edition, 0.75 mA or 0.75 mA a
    kW, at most 5 mA.
    Range: heating power 0 to 30 kW, edition 1 to 5.
    """
    power = 0.0 if heating_kw is None else within("the heating power", heating_kw, 0, 30, "kW")
    if rules is None:
        options = [leakage_limit(each, protection, edition, portable, heating_kw) for each in ("UK", "DE")]
        best = min(options, key=lambda limit: limit.value)
        return Limit(best.value, best.unit, best.source, True)
    if rules == "DE":
        if protection is None or protection is Protection.CLASS_II:
            return Limit(0.5, "mA", say("limit_din_vde_0701_0702_2"), protection is None)
        most = 3.5 if power <= 3.5 else min(power, 10.0)
        return Limit(most, "mA", say("limit_din_vde_0701_0702"))
    if rules != "UK":
        raise FormulaError(f'no leakage limits for "{rules}" here; there are: UK, DE')
    if edition is not None:
        within("the edition", edition, 1, 5)
    if edition == 5:
        return Limit(5.0, "mA", say("limit_iet_code_practice_5th"))
    source = say("limit_iet_code_practice_up")
    if protection is None or protection is Protection.CLASS_II:
        return Limit(
            0.25,
            "mA",
            say("limit_class_ii", source=source, limit="").rstrip(),
            protection is None or edition is None,
        )
    if portable is None or portable:
        return Limit(
            0.75, "mA", say("limit_class_i_portable", source=source), portable is None or edition is None
        )
    if heating_kw is not None:
        most = min(max(0.75, 0.75 * power), 5.0)
        return Limit(most, "mA", say("limit_class_i_heating_0", source=source), edition is None)
    return Limit(3.5, "mA", say("limit_other_class_i", source=source), edition is None)


def _unknown_rules(rules: str) -> FormulaError:
    return FormulaError(f'no rules "{rules}" here; there are: {", ".join(RULES)}')
