"""Node trees -> values by key, as the tables in keys.py say; what does not fit is told, the rest goes on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar, cast

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink, Unfit
from faultfinder.knowledge.schema.keys import FILE, TABLES, Key, Table
from faultfinder.knowledge.schema.nearest_name import did_you_mean, nearest
from faultfinder.knowledge.schema.typo_hints import key_meant, said_at_the_other_end
from faultfinder.knowledge.schema.value_types import (
    Name,
    attempt,
    attempts,
    check_name,
    quoted,
    wrong_shape,
)
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar, mark_of

Pairs = tuple[tuple[Name, Any], ...]
Conditions = tuple[tuple[Name, tuple[Name, ...]], ...]
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Values:
    """The values of one mapping by key; a key left out, or unreadable, is not there."""

    node: MapNode
    values: Mapping[str, Any]

    def has(self, key: str) -> bool:
        return key in self.values

    def mark(self, *path: str) -> Mark:
        """Where a value stands; of a list or mapping, where its key stands; else the nearest thing above."""
        return mark_of(self.node, path)

    def count(self, key: str) -> int:
        """How many pairs the mapping under a key has in the file, readable or not; 2 for a word such as yes_no."""
        node = self.node.get(key)
        return len(node.pairs) if isinstance(node, MapNode) else 2

    def get(self, key: str, default: Value) -> Value:
        """The value of a key, of the sort that the default has."""
        return cast(Value, self.values.get(key, default))

    def text(self, key: str, default: str = "") -> str:
        return self.get(key, default)

    def name(self, key: str) -> Name | None:
        return cast("Name | None", self.values.get(key))

    def names(self, key: str) -> tuple[Name, ...]:
        return cast("tuple[Name, ...]", self.values.get(key, ()))

    def pairs(self, key: str) -> Pairs:
        return cast(Pairs, self.values.get(key, ()))

    def rows(self, key: str) -> tuple[Values, ...]:
        """The mappings of a list."""
        return cast("tuple[Values, ...]", self.values.get(key, ()))

    def told_inside(self, name: str, what: str, sink: Sink) -> bool:
        """Whether a key that is missing is there: misspelt, which is told already; or one step too far right, under
        another key, which is told as well, or in the lines of a text, which is told now."""
        hints = (f'"{name}"', f"write {name}")
        for key, value in self.node.pairs:
            if any(
                p.mark == key.mark and p.code == "unknown-key" and any(hint in p.hint for hint in hints)
                for p in sink.problems
            ):
                return True
            if isinstance(value, MapNode):
                inside = value.key(name)
                if inside is not None and any(problem.mark == inside.mark for problem in sink.problems):
                    return True
            elif isinstance(value, Scalar) and key.text != "drawing":
                for line, mark in value.lines_below():
                    if line.startswith(f"{name}:"):
                        message = (
                            f"{what}: {name} stands inside the text of {key.text}, and means nothing there"
                        )
                        sink.error(mark, "missing-key", message, f"line it up with {key.text}")
                        return True
        return False


@dataclass(frozen=True, slots=True)
class Entry:
    """One item of a section: a cause, state, observation, question, fact or choice."""

    id: str
    mark: Mark
    values: Values
    sub_system: str


@dataclass(slots=True)
class Gathered:
    """Everything that all files say, before names are resolved. Sections keep the order of the files."""

    packs: list[Values] = field(default_factory=list)
    instruments: list[tuple[Name, str]] = field(default_factory=list)
    glossary: list[tuple[Name, str]] = field(default_factory=list)
    sections: dict[str, list[Entry]] = field(default_factory=dict)
    roots: list[MapNode] = field(default_factory=list)
    """The files as they stand, in order."""

    def texts(self) -> Iterator[tuple[Scalar, Scalar]]:
        """Every text with the key it stands under."""
        for root in self.roots:
            yield from _texts(root)

    def entries(self, section: str) -> list[Entry]:
        return self.sections.get(section, [])


def _texts(node: Node) -> Iterator[tuple[Scalar, Scalar]]:
    if isinstance(node, MapNode):
        for key, value in node.pairs:
            if isinstance(value, Scalar):
                yield key, value
            else:
                yield from _texts(value)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _texts(item)


def inner_names(node: MapNode, key: str) -> Iterator[Scalar]:
    """The names in the mapping that stands under a key; none where it is no mapping."""
    inner = node.get(key)
    if isinstance(inner, MapNode):
        yield from (name for name, _ in inner.pairs)


def gather(node: Node, sub_system: str, gathered: Gathered, sink: Sink) -> None:
    """Adds what one file says to `gathered`."""
    if not isinstance(node, MapNode):
        hint = "a worked case stands in the folder cases of the pack" if _is_a_case(node) else ""
        sink.take(wrong_shape(node, "a rule file", "a mapping with keys such as causes:", hint))
        return
    gathered.roots.append(node)
    for key, value in _known_pairs(node, FILE, "", sink, set()):
        if key.several:
            found = read_entries(value, cast(Table, key.shape), key.name, sub_system, sink)
            gathered.sections.setdefault(key.name, []).extend(found)
        elif key.name == "pack":
            values = _read(value, key, key.name, sink)
            gathered.packs.extend([values] if values is not None else [])
        else:
            getattr(gathered, key.name).extend(_read(value, key, key.name, sink) or ())


def _is_a_case(node: Node) -> bool:
    """Whether a file looks like a job record: a list whose first line opens a job."""
    first = node.items[0] if isinstance(node, ListNode) and node.items else None
    return isinstance(first, MapNode) and first.get("opened") is not None


def read_entries(node: Node, table: Table, what: str, sub_system: str, sink: Sink) -> Iterator[Entry]:
    """The items of a section: id -> mapping."""
    if isinstance(node, Scalar) and not node.text:
        sink.error(node.mark, "missing-value", f"{what} has no value", "leave the key out where it is empty")
    elif not isinstance(node, MapNode):
        sink.take(wrong_shape(node, what, "a mapping from ids"))
    else:
        for number, (key, value) in enumerate(node.pairs):
            if FILE.key(key.text) is not None and not (
                isinstance(value, MapNode) and value.pairs and table.key(value.pairs[0][0].text)
            ):
                if _section_slipped(node, number, sink):
                    return
                continue
            try:
                yield _entry(node, number, table, what, sub_system, sink)
            except Unfit as unfit:
                sink.take(unfit)


def _entry(node: MapNode, number: int, table: Table, what: str, sub_system: str, sink: Sink) -> Entry:
    key, value = node.pairs[number]
    name = check_name(key.text, key.mark, what)
    if isinstance(value, MapNode):
        sink.slipped |= _beside(node, number, table)
        return Entry(name.text, key.mark, read_table(value, table, name.text, sink, key.mark), sub_system)
    if table.key(name.text) is not None and number:
        owner = node.pairs[number - 1][0].text
        message = f"{name.text} is a key of {table.of}, and stands beside {owner}"
        raise Unfit(name.mark, "key-not-here", message, f"move it right, under {owner}")
    raise wrong_shape(value, name.text, f"a mapping that describes {table.of}")


def _beside(node: MapNode, number: int, table: Table) -> set[str]:
    """Keys that stand behind an entry at its own indentation: they slipped left, and are told as that."""
    found = set()
    for key, value in node.pairs[number + 1 :]:
        if table.key(key.text) is None or isinstance(value, MapNode):
            break
        found.add(key.text)
    return found


def _section_slipped(node: MapNode, number: int, sink: Sink) -> bool:
    """Tells that a part of the file stands inside another one; true where all that follows belongs to it."""
    key, value = node.pairs[number]
    sink.error(key.mark, "key-not-here", f"{key.text} stands inside another part", "begin it at the margin")
    follows = not isinstance(value, MapNode)
    inside = value.pairs if isinstance(value, MapNode) else node.pairs[number + 1 :]
    sink.lost |= {name.text for name, _ in inside}
    return follows


def read_table(node: Node, table: Table, what: str, sink: Sink, at: Mark | None = None) -> Values:
    """The values of one mapping. `what` names the item in messages; `at` is where missing keys are told."""
    if not isinstance(node, MapNode):
        raise wrong_shape(node, what, f"a mapping that describes {table.of}")
    values: dict[str, Any] = {}
    before, sink.slipped = sink.slipped, set()
    there: set[str | None] = set()
    for key, value in _known_pairs(node, table, what, sink, there):
        if isinstance(key.shape, Table) and not key.several:
            # A key of it that stands beside it is told there.
            beside = {name.text for name, _ in node.pairs}
            sink.slipped |= (beside & set(key.shape.names)) - set(table.names)
        read = _read(value, key, f"{what}: {key.name}" if what else key.name, sink)
        if read is not None:
            values[key.name] = read
    there |= sink.slipped | before | {key.text for key, _ in node.pairs}
    sink.slipped = set()
    lacking = [key for key in table.keys if key.required and key.name not in there]
    missing = [key for key in lacking if not Values(node, values).told_inside(key.name, what, sink)]
    if len(missing) == 1:
        message = f'{what}: the key "{missing[0].name}" is missing'
        sink.error(at or node.mark, "missing-key", message, _help(missing[0]))
    elif missing:
        hint = f"{table.of} needs {', '.join(key.name for key in missing)}"
        sink.error(at or node.mark, "missing-key", f"{what}: {len(missing)} keys are missing", hint)
    return Values(node, values)


def _read(node: Node, key: Key, what: str, sink: Sink) -> Any:
    """The value of a key; None where it cannot be read, which is told."""
    shape = key.shape
    if not isinstance(shape, Table):
        return attempt(shape.read, node, what, sink)

    def table(item: Node, what: str, sink: Sink) -> Values:
        return read_table(item, shape, what, sink)

    if not key.several:
        return attempt(table, node, what, sink)
    if not key.listed:
        return tuple(read_entries(node, shape, what, "", sink))
    if isinstance(node, ListNode):
        return attempts(table, ((item, what) for item in node.items), sink)
    sink.take(wrong_shape(node, what, "a list of mappings ('- ...')"))
    return None


def _help(key: Key) -> str:
    text = key.help[0].lower() + key.help[1:] if key.help[1:2].islower() else key.help
    return f"{key.name} is: {text.rstrip('.')}"


def _known_pairs(
    node: MapNode, table: Table, what: str, sink: Sink, misspelt: set[str | None]
) -> Iterator[tuple[Key, Node]]:
    """The pairs whose keys the table has; the others are told, and the keys they may have meant are noted."""
    for name, value in node.pairs:
        key = table.key(name.text)
        if key is not None:
            yield key, value
        elif what and name.text not in sink.lost and _an_entry(value, table):
            message = f"{name.text} stands inside {what}"
            sink.error(name.mark, "key-not-here", message, f"line it up with {what}")
            sink.lost.add(name.text)
        elif name.text not in sink.lost:  # else it is told where it stands
            misspelt.add(_tell_unknown(name, value, node, table, what, sink))


def _tell_unknown(
    name: Scalar, value: Node, node: MapNode, table: Table, what: str, sink: Sink
) -> str | None:
    """Tells an unknown key; gives the key that was meant, where one is near."""
    front = f"{what}: " if what else ""
    belongs = _belongs(name.text, table, node)
    elsewhere = "stands under" in belongs or (belongs and isinstance(value, MapNode))
    meant = _meant(name.text, table, node) if table is FILE or not elsewhere else None
    other_end = said_at_the_other_end(name.text, table.names)
    hint = other_end or (f"write {meant}" if meant else belongs or did_you_mean(name.text, table.names))
    sink.error(name.mark, "unknown-key", f"{front}{table.of} has no key {quoted(name.text)}", hint)
    near = nearest(name.text, table.names)
    if table is FILE and isinstance(value, MapNode):
        # A whole part under a wrong name: what stands in it is known, and so is that the part is there.
        sink.lost |= {key.text for key, _ in value.pairs} | {near or ""}
    return meant or near


def _meant(name: str, table: Table, node: MapNode) -> str | None:
    """The key that another word stands for, where no key is spelt like it."""
    near, given = nearest(name, table.names), [key.text for key, _ in node.pairs]
    if table is FILE:  # what stands in a part says more than how its name is spelt
        section = _section_of(node.get(name), given)
        return section if section != near else None
    return None if near else key_meant(name, table.names, given)


def _section_of(value: Node | None, given: list[str]) -> str | None:
    """The part of a file whose items have the keys that the items here have: at least two of them."""
    items = (
        [item for _, item in value.pairs if isinstance(item, MapNode)] if isinstance(value, MapNode) else []
    )
    keys = {key.text for item in items[:3] for key, _ in item.pairs}
    fitting = {
        key.name: len(keys & set(key.shape.names))
        for key in FILE.keys
        if isinstance(key.shape, Table) and key.several and key.name not in given
    }
    best = max(fitting, key=lambda name: fitting[name], default="")
    return best if best and fitting[best] >= 2 else None


def _an_entry(value: Node, table: Table) -> bool:
    """Whether something describes another item of the same sort: it slipped too far right."""
    known = [name for name, _ in value.pairs if table.key(name.text)] if isinstance(value, MapNode) else []
    return len(known) >= 3 and any(key.required for key in table.keys)


def _belongs(name: str, table: Table, node: MapNode) -> str:
    """Where a key belongs that is none here: under another key that stands here, or to another sort of thing."""
    for key in table.keys:
        if isinstance(key.shape, Table) and not key.several and key.shape.key(name) and node.key(key.name):
            return f"it stands under {key.name}: move it right"
    if nearest(name, table.names) is not None:
        return ""
    of = [other.of for other in TABLES if other is not table and other.key(name) is not None]
    return f"it is a key of {of[0]}" if len(of) == 1 else ""
