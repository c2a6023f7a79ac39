"""The editor schema of rule files: JSON Schema (draft 07) from the same table of keys that loading uses.

An editor that knows the schema completes keys, shows their help and marks what cannot be. It sees one file at
a time, so it knows no names of other files and no sums; `check` does. Draft 07 is the newest that editors'
YAML servers read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

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
    return {
        "$schema": DRAFT,
        "title": "faultfinder rule file",
        "description": "One file of a rule pack: causes, what they show, and how it is looked for.",
        **_table(FILE, ids_of(pack) if pack is not None else {}),
    }


def _table(table: Table, ids: Ids) -> Schema:
    schema: Schema = {
        "type": "object",
        "properties": {key.name: _key(key, ids) for key in table.keys},
        "additionalProperties": False,
    }
    if required := [key.name for key in table.keys if key.required]:
        schema["required"] = required
    if table.by_kind:
        schema["allOf"] = [_of_kind(kind, keys) for kind, keys in table.by_kind.items()]
    return schema


def _of_kind(kind: str, keys: OfKind) -> Schema:
    """What the kind of an item asks for: keys that it needs, keys that it may not have."""
    then: Schema = {"required": list(keys.needed)}
    if keys.refused:
        then["properties"] = dict.fromkeys(keys.refused, False)
    return {"if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]}, "then": then}


def _key(key: Key, ids: Ids) -> Schema:
    default = f" Default: {key.default}." if key.default else ""
    schema = {**_value(key, ids), "description": key.help + default}
    return {**schema, "examples": [key.example]} if key.example else schema


def _value(key: Key, ids: Ids) -> Schema:
    if isinstance(key.shape, Table):
        inner = _table(key.shape, ids)
        several: Schema = {"type": "array", "items": inner} if key.listed else from_ids(inner)
        return several if key.several else inner
    schema, known = key.shape.schema, list(ids.get(key.shape.of, ()))
    if not known:
        return schema
    if schema.get("type") == "object":
        return {**schema, "properties": dict.fromkeys(known, schema["patternProperties"][ID_PATTERN])}
    if schema.get("type") == "array":
        return {**schema, "items": {"anyOf": [{"enum": known}, schema["items"]]}}
    return {"anyOf": [{"enum": known}, schema]}
