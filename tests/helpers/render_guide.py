"""Writes the reference part of rules/GUIDE.md anew, from the tables that the loader and the checker themselves use:
python tests/helpers/render_guide.py"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from faultfinder.knowledge.authoring.pages import pages
from faultfinder.knowledge.instructions.acts import ACTS, acts_of
from faultfinder.knowledge.model import Kind, Need
from faultfinder.knowledge.schema.keys import TABLES, Key, Table
from faultfinder.knowledge.schema.strength_words import (
    DANGER_SIGNS,
    HOW_COMMON,
    PART_COSTS,
    RELIABILITY,
    STRENGTH,
)
from faultfinder.trade.functions import SIGNATURES
from faultfinder.trade.readings.units import QUANTITIES

GUIDE = Path(__file__).resolve().parent.parent.parent / "rules" / "GUIDE.md"
BEGIN = "<!-- reference: made from the checker's own tables; do not edit below this line -->"
"""The line of the guide below which everything is made by `reference`."""


PLAIN_FUNCTIONS: Mapping[str, str] = {
    "min": "min(a, b, ...): the smallest of 2 to 8 numbers",
    "max": "max(a, b, ...): the largest of 2 to 8 numbers",
    "abs": "abs(a): the number without its sign",
    "sqrt": "sqrt(a): the square root",
    "exp": "exp(a): e to the power a",
    "log": "log(a): the natural logarithm",
}
"""Name -> what it gives, for the guide."""


def reference() -> str:
    """Everything below BEGIN in the guide: every key, word, function, unit and code."""
    parts = [BEGIN, "", "## Reference", ""]
    for table in TABLES:
        parts += _table(table)
    parts += _acts()
    parts += _words()
    parts += _functions()
    parts += _units()
    parts += _codes()
    return "\n".join(parts).rstrip() + "\n"


def _table(table: Table) -> Iterable[str]:
    where = "A file" if table.name == "file" else f"`{table.name}:`"
    yield f"### {where}: {table.of}"
    yield ""
    for key in table.keys:
        yield from _key(key)
        yield ""


def _key(key: Key) -> Iterable[str]:
    yield f"**`{key.name}`**{' (required)' if key.required else ''}  "
    yield f"{key.help}  "
    yield f"Value: {_value(key)}." + _more(key)


def _value(key: Key) -> str:
    if not isinstance(key.shape, Table):
        return key.shape.words
    if key.listed:
        return f"list of mappings, see `{key.shape.name}:`"
    if key.several:
        return f"mapping from id to {key.shape.of}, see `{key.shape.name}:`"
    return f"mapping, see `{key.shape.name}:`"


def _more(key: Key) -> str:
    default = f" Default: {key.default}." if key.default else ""
    return default + (f" Example: `{key.example}`." if key.example else "")


def _pairs(
    title: str, first: str, second: str, rows: Mapping[str, str] | Mapping[str, float] | Mapping[Kind, float]
) -> Iterable[str]:
    yield f"#### {title}"
    yield ""
    yield f"| {first} | {second} |"
    yield "|---|---|"
    for word, meaning in rows.items():
        shown = f"{meaning:g}" if isinstance(meaning, float) else meaning
        yield f"| `{word}` | {shown} |"
    yield ""


def _acts() -> Iterable[str]:
    yield "### Acts"
    yield ""
    yield "What a step of an instruction does, and the accesses whose instructions may have it."
    yield ""
    yield "| act | what it covers | with access | example |"
    yield "|---|---|---|---|"
    for name, act in ACTS.items():
        needs = [need for need in Need if name in acts_of(need)]
        shown = "any" if len(needs) == len(Need) else ", ".join(needs)
        yield f"| `{name}` | {act.says} | {shown} | {act.example} |"
    yield ""


def _words() -> Iterable[str]:
    yield "### Words and their numbers"
    yield ""
    yield from _pairs("Strength of a link", "word", "chance", STRENGTH)
    yield from _pairs("How common a cause is", "word", "chance in a job", HOW_COMMON)
    yield from _pairs("What parts cost", "word", "minutes of labour", PART_COSTS)
    yield from _pairs("How reliable an answer is", "kind", "chance that it is true", RELIABILITY)
    yield from _pairs("Danger signs", "id", "sign, and what it leads to", DANGER_SIGNS)


def _functions() -> Iterable[str]:
    yield "### Functions in expressions"
    yield ""
    yield "Numbers in, one number out; units stand in the names of what goes in."
    yield ""
    for words in (*PLAIN_FUNCTIONS.values(), *SIGNATURES.values()):
        yield f"- `{words.split(': ', 1)[0]}`: {words.split(': ', 1)[1]}"
    yield ""


def _units() -> Iterable[str]:
    yield "### Quantities and units"
    yield ""
    yield "| quantity | units, the base unit first |"
    yield "|---|---|"
    for name, quantity in QUANTITIES.items():
        units = dict.fromkeys([quantity.base, *(unit.name for unit in quantity.units.values())])
        yield f"| `{name}` | {', '.join(f'`{unit}`' for unit in units)} |"
    yield ""


def _codes() -> Iterable[str]:
    yield "### What the checker tells"
    yield ""
    yield "An error keeps the pack from loading; a warning does not."
    yield "`faultfinder check --about CODE` shows the reason with a bad and a good example."
    yield ""
    for level in ("error", "warning"):
        yield f"#### {level.capitalize()}s"
        yield ""
        for code in pages().values():
            if code.level == level:
                yield f"- `{code.id}`: {code.title}"
        yield ""


def main() -> None:
    written_by_hand = GUIDE.read_text(encoding="utf-8").split(BEGIN)[0]
    GUIDE.write_text(written_by_hand + reference(), encoding="utf-8")


if __name__ == "__main__":
    main()
