"""The editor schema of rule files: JSON Schema (draft 07) from the same table of keys that loading uses.

An editor that knows the schema completes keys, shows their help and marks what cannot be. It sees one file at
a time, so it knows no names of other files and no sums; `check` does. Draft 07 is the newest that editors'
YAML servers read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.schema.keys import FILE, Key, OfKind, Table
from faultfinder.knowledge.schema.value_types import ID_PATTERN, Schema, from_ids

DRAFT = "http://json-schema.org/draft-07/schema#"


Ids = Mapping[str, Sequence[str]]
"""Sort of thing -> the ids of it, to be offered where one belongs; any other that is well formed is allowed too,
since a new one may stand in a file that is not saved yet."""


def ids_of(pack: Pack) -> Ids:
    """What a pack knows, by the words of the key table."""
    observations = list(pack.observations)
    return {
        "cause or state": [*pack.causes, *pack.states],
        "observation": observations,
        "fact": list(pack.facts),
        "instrument": list(pack.instruments),
        "group": sorted({cause.group for cause in pack.causes.values() if cause.group}),
    }


def editor_schema(pack: Pack | None = None) -> Schema:
    """The whole schema, ready for `json.dumps`; with a pack, its ids are offered where they belong."""
    whole = _whole()
    if pack is not None:
        _offer(FILE, whole, ids_of(pack))
    return whole


def _offer(table: Table, schema: Schema, ids: Ids) -> None:
    """Writes the ids into the schema of a table, key by key."""
    for key in table.keys:
        there = schema["properties"][key.name]
        if isinstance(key.shape, Table):
            inner = there
            if key.several:
                inner = there["items"] if key.listed else there["patternProperties"][ID_PATTERN]
            _offer(key.shape, inner, ids)
            continue
        known = list(ids.get(key.shape.of, ()))
        if not known:
            continue
        if there.get("type") == "object":
            value = there["patternProperties"][ID_PATTERN]
            there["properties"] = {name: value for name in known}
        elif there.get("type") == "array":
            there["items"] = {"anyOf": [{"enum": known}, there["items"]]}
        else:
            described = {name: there.pop(name) for name in ("description", "examples") if name in there}
            schema["properties"][key.name] = {"anyOf": [{"enum": known}, there], **described}


def _whole() -> Schema:
    return {
        "$schema": DRAFT,
        "title": "faultfinder rule file",
        "description": "One file of a rule pack: causes, what they show, and how it is looked for.",
        **_table(FILE),
    }


def _table(table: Table) -> Schema:
    required = [key.name for key in table.keys if key.required]
    schema: Schema = {
        "type": "object",
        "properties": {key.name: _key(key) for key in table.keys},
        "additionalProperties": False,
    }
    if required:
        schema["required"] = required
    if table.by_kind:
        schema["allOf"] = [_of_kind(kind, keys) for kind, keys in table.by_kind.items()]
    return schema


def _of_kind(kind: str, keys: OfKind) -> Schema:
    """What the kind of an item asks for: keys that it needs, keys that it may not have."""
    then: Schema = {}
    if keys.needed:
        then["required"] = list(keys.needed)
    if keys.refused:
        then["properties"] = dict.fromkeys(keys.refused, False)
    return {"if": {"properties": {"kind": {"const": str(kind)}}, "required": ["kind"]}, "then": then}


def _key(key: Key) -> Schema:
    schema = _value(key)
    schema["description"] = _description(key)
    if key.example:
        schema["examples"] = [key.example]
    return schema


def _value(key: Key) -> Schema:
    if not isinstance(key.shape, Table):
        return dict(key.shape.schema)
    inner = _table(key.shape)
    if not key.several:
        return inner
    if key.listed:
        return {"type": "array", "items": inner}
    return from_ids(inner)


def _description(key: Key) -> str:
    parts: list[Any] = [key.help]
    if key.default:
        parts.append(f"Default: {key.default}.")
    return " ".join(parts)
