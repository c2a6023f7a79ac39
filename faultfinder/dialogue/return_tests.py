"""The return tests: the limit that holds for this machine, and a typed reading held against it.

The limits are those of in-service testing (trade/in_service_limits.py), by class and flex where they are known and
the strictest where they are not. A reading is never shortened to a mere 'passed': it stands in the record beside
its limit.
"""

from __future__ import annotations

from collections.abc import Mapping

from faultfinder.dialogue.say import Line, Said
from faultfinder.dialogue.words import say
from faultfinder.trade.in_service_limits import Limit, Protection, earth_path_limit, insulation_limit
from faultfinder.trade.reading import ReadingError, format_quantity, parse_reading

FLEX_FACT, CLASS_FACT = "flex_metres", "protection"


def limit_for(test: str, facts: Mapping[str, object]) -> Limit:
    """The limit of a return test on this machine."""
    if test.startswith("earth"):
        metres = None
        if FLEX_FACT in facts:
            try:
                metres = parse_reading(str(facts[FLEX_FACT]), "length", "m").value
            except ReadingError:
                metres = None
        return earth_path_limit(metres=metres)
    known = str(facts.get(CLASS_FACT, ""))
    protection = Protection(known) if known in tuple(Protection) else None
    return insulation_limit(protection=protection)


def limit_text(test: str, limit: Limit) -> str:
    side = "at most" if test.startswith("earth") else "at least"
    return f"{side} {format_quantity(limit.value, limit.unit)}"


def limit_said(test: str, facts: Mapping[str, object]) -> list[Said]:
    """What the person is told of the limit, with where it stands."""
    limit = limit_for(test, facts)
    text = say("return_limit", limit=limit_text(test, limit), source=limit.source)
    if limit.strictest:
        text += " " + say("return_strictest")
    return [Line(text), Line(say("return_type"))]


def judged(test: str, text: str, facts: Mapping[str, object]) -> tuple[str, str, str]:
    """(outcome, reading as shown, limit) of a typed reading. Raises ReadingError where it cannot be read."""
    limit = limit_for(test, facts)
    reading = parse_reading(text, "resistance", limit.unit)
    earth = test.startswith("earth")
    passed = reading.value <= limit.value if earth else reading.value >= limit.value
    return ("passed" if passed else "failed"), text, limit_text(test, limit)
