"""The plate rules of a pack: which of its facts must go together, each of them a number in its base unit."""

from __future__ import annotations

from collections.abc import Mapping

from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.model import Fact, PlateRule
from faultfinder.knowledge.schema.read import Values
from faultfinder.knowledge.schema.value_types import Name
from faultfinder.trade.readings.units import QUANTITIES

_OF = {"watts": "power", "volts": "voltage", "ohms": "resistance", "amps": "current", "less": "power"}


def plate_rules(header: Values | None, facts: Mapping[str, Fact], names: Names) -> tuple[PlateRule, ...]:
    """The rules that stand in `pack: plate:`; what is wrong with them is told."""
    if header is None or not header.has("plate"):
        return ()
    rules = []
    rows: tuple[Values, ...] = header.values["plate"]
    for row in rows:
        told = len(names.sink.problems)
        ids: dict[str, str] = {}
        for key, quantity in _OF.items():
            name = row.name(key)
            if name is not None and _fits(name, quantity, facts, names):
                ids[key] = name.text
        parts = tuple(name.text for name in row.names("parts") if _fits(name, "power", facts, names))
        compared = [key for key in ("ohms", "amps", "parts") if row.has(key)]
        mark = row.mark("watts")
        if len(compared) != 1:
            what = "pack: plate: one of ohms, amps and parts is held against the watts"
            names.sink.error(mark, "plate-rule", what, "write one rule for each")
        elif compared != ["parts"] and not row.has("volts"):
            names.sink.error(
                mark, "plate-rule", f"pack: plate: {compared[0]} hold at some volts", "name the fact"
            )
        if len(names.sink.problems) == told and "watts" in ids:
            rules.append(
                PlateRule(
                    watts=ids["watts"],
                    volts=ids.get("volts", ""),
                    ohms=ids.get("ohms", ""),
                    amps=ids.get("amps", ""),
                    less=ids.get("less", ""),
                    parts=parts,
                    mark=mark,
                )
            )
    return tuple(rules)


def _fits(name: Name, quantity: str, facts: Mapping[str, Fact], names: Names) -> bool:
    if not names.known_in("fact", name, "pack: plate", facts):
        return False
    unit = QUANTITIES[quantity].base
    if facts[name.text].unit == unit:
        return True
    what = f"pack: plate: {name.text} must be a number in {unit} to be {QUANTITIES[quantity].title}"
    names.sink.error(name.mark, "plate-rule", what)
    return False
