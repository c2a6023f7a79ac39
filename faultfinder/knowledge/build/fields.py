"""What an item's keys say -> the fields of the same names of what is built from it, every name looked up."""

from __future__ import annotations

from dataclasses import fields
from functools import cache
from typing import Any

from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.schema.keys import Table
from faultfinder.knowledge.schema.read import Entry
from faultfinder.knowledge.schema.value_types import Shape, Sort


@cache
def _fields(item: type) -> frozenset[str]:
    return frozenset(each.name for each in fields(item))


def given_fields(entry: Entry, table: Table, item: type, names: Names) -> dict[str, Any]:
    """The keys that are given and are fields of the item. Names that nothing has are told, and left out."""
    found: dict[str, Any] = {"id": entry.id, "mark": entry.mark}
    known = _fields(item)
    if "sub_system" in known:
        found["sub_system"] = entry.sub_system
    for key in table.keys:
        if key.name not in known or not entry.values.has(key.name):
            continue
        value, what = entry.values.values[key.name], f"{entry.id}: {key.name}"
        match key.shape:
            case Shape(sort=Sort.IDS, of=of):
                value = names.listed(of, value, what)
            case Shape(sort=Sort.CONDITIONS, of=of, inner=inner):
                value = names.conditions(of, inner, value, what)
            case Shape(sort=Sort.ID):
                value = value.text
        found[key.name] = value
    return found


def told_missing(entry: Entry, keys: tuple[str, ...], why: str, names: Names) -> None:
    """Tells the keys that an item of its kind needs and has not."""
    for key in keys:
        if entry.values.node.get(key) is None and not entry.values.told_inside(key, entry.id, names.sink):
            names.sink.error(entry.mark, "missing-key", f'{entry.id}: the key "{key}" is missing', why)
