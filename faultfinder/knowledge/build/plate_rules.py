"""The plate rules of a pack: which of its facts must go together, each of them a number in its base unit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.model import Fact, PlateRule
from faultfinder.knowledge.schema.read import Values
from faultfinder.knowledge.schema.value_types import Name
from faultfinder.trade.readings.units import QUANTITIES

_OF = {"watts": "power", "volts": "voltage", "ohms": "resistance", "amps": "current", "less": "power"}


def plate_rules(rows: Iterable[Values], facts: Mapping[str, Fact], names: Names) -> tuple[PlateRule, ...]:
    """The rules that stand in `pack: plate:`; what is wrong with them is told."""
    rules = []
    for row in rows:
        told = len(names.sink.problems)
        given = {key: row.name(key) for key in _OF}
        ids = {key: name.text for key, name in given.items() if name and _fits(name, _OF[key], facts, names)}
        parts = tuple(name.text for name in row.names("parts") if _fits(name, "power", facts, names))
        compared = [key for key in ("ohms", "amps", "parts") if row.has(key)]
        mark = row.mark("watts")
        if len(compared) != 1:
            what = "pack: plate: one of ohms, amps and parts is held against the watts"
            names.sink.error(mark, "plate-rule", what, "write one rule for each")
        elif compared != ["parts"] and not row.has("volts"):
            what = f"pack: plate: {compared[0]} hold at some volts"
            names.sink.error(mark, "plate-rule", what, "name the fact")
        if len(names.sink.problems) == told and "watts" in ids:
            rules.append(PlateRule(**ids, parts=parts, mark=mark))
    return tuple(rules)


def _fits(name: Name, quantity: str, facts: Mapping[str, Fact], names: Names) -> bool:
    if not names.has("fact", name, "pack: plate"):
        return False
    unit = QUANTITIES[quantity].base
    if facts[name.text].unit == unit:
        return True
    what = f"pack: plate: {name.text} must be a number in {unit} to be {QUANTITIES[quantity].title}"
    names.sink.error(name.mark, "plate-rule", what)
    return False
