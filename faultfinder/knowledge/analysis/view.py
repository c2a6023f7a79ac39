"""What a check looks at: the pack as far as it could be built, with the places of everything in it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar, cast

from faultfinder.knowledge.analysis.band_trials import Flaw, flaws
from faultfinder.knowledge.analysis.effects import Effects
from faultfinder.knowledge.analysis.machines import Machine, machines
from faultfinder.knowledge.formulas.bands import facts_behind
from faultfinder.knowledge.formulas.expression import ExpressionError
from faultfinder.knowledge.model import (
    Cause,
    Mark,
    Need,
    Observation,
    Pack,
    Question,
    ReadingSpec,
    State,
    Step,
)
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.read import Entry, Gathered
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar, mark_of, reached

Item = Cause | State | Observation | Question
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Said:
    """A text that people read: of which item, under which key, where; `subject` is all that its item says."""

    item: str
    key: str
    mark: Mark
    text: str
    subject: str = ""


def _line(entry: Entry) -> int:
    return entry.mark.line


def first_letter(node: Node, path: tuple[str, ...]) -> Mark:
    """Where the first letter of a scalar stands, behind its quote where it has one."""
    there = reached(node, path)
    return there.mark.moved(1) if isinstance(there.node, Scalar) and not there.node.plain else there.mark


def once(find: Callable[[View], Value]) -> Callable[[View], Value]:
    """What several checks ask of a view is worked out once."""

    def kept(view: View) -> Value:
        if find not in view.notes:
            view.notes[find] = find(view)
        return cast(Value, view.notes[find])

    return kept


class View:
    """A pack with the files it came from. thorough: try many plate values where a check tries some."""

    def __init__(self, pack: Pack, gathered: Gathered, start: Mark, *, thorough: bool) -> None:
        self.pack = pack
        self.gathered = gathered
        self.start = start
        self.thorough = thorough
        self.notes: dict[object, object] = {}
        """What one check found that another can use; see `once`."""

    @cached_property
    def _items(self) -> dict[str, Entry]:
        sections = self.gathered.sections.items()
        return {entry.id: entry for name, entries in sections if name != "facts" for entry in entries}

    @cached_property
    def _facts(self) -> dict[str, Entry]:
        return {entry.id: entry for entry in self.gathered.entries("facts")}

    def _node(self, item: str, key: str) -> Node | None:
        """What stands under a key of an item."""
        return self._items[item].values.node.get(key)

    def mark(self, item: str, *path: str) -> Mark:
        """Where an item's value stands (`mark("belt_broken", "shows", "no_heat")`, `mark("no_heat", "said", "0")`);
        else the item itself."""
        entry = self._items[item]
        if not path or entry.values.node.get(path[0]) is None:
            return entry.mark
        return mark_of(entry.values.node, path)

    def fact_mark(self, fact: str, *path: str) -> Mark:
        entry = self._facts[fact]
        return mark_of(entry.values.node, path) if path else entry.mark

    def text_mark(self, item: str, *path: str) -> Mark:
        """Where the first letter of a text stands, behind its quote where it has one."""
        return first_letter(self._items[item].values.node, path)

    def fact_text_mark(self, fact: str, *path: str) -> Mark:
        """The same of a fact's text."""
        return first_letter(self._facts[fact].values.node, path)

    def objection(self, item: str, *path: str, says: str, hint: str = "") -> Objection:
        """What a check has against a value of an item, told where `mark` finds it."""
        return Objection(self.mark(item, *path), f"{item}: {says}", hint)

    def key_mark(self, item: str, *path: str) -> Mark:
        """Where the last key of a path stands."""
        return reached(self._items[item].values.node, path).key

    @cached_property
    def _starts(self) -> dict[str, list[Entry]]:
        """File -> every item in it, from the top."""
        found: dict[str, list[Entry]] = {}
        for entry in [*self._items.values(), *self._facts.values()]:
            found.setdefault(entry.mark.file, []).append(entry)
        return {file: sorted(entries, key=_line) for file, entries in found.items()}

    def item_at(self, mark: Mark) -> Entry | None:
        """The item in whose lines a place lies; nothing above the first one of a file."""
        starts = self._starts.get(mark.file, [])
        at = bisect_right(starts, mark.line, key=_line)
        return starts[at - 1] if at else None

    def item_mark(self, item: str, key: str, name: str) -> Mark:
        """Where a name stands in a list."""
        node = self._node(item, key)
        for each in node.items if isinstance(node, ListNode) else ():
            if isinstance(each, Scalar) and each.text == name:
                return each.mark
        return self.mark(item, key)

    def answer_text_mark(self, observation: Observation, answer: str) -> Mark:
        """Where an answer's text stands; a band without one, its name."""
        key = "answers" if self.given(observation.id, "answers") else "bands"
        return self.mark(observation.id, key, answer)

    def limit_mark(self, observation: str, band: str, end: int) -> Mark:
        """Where the low (0) or high (1) limit of a band stands."""
        return self.text_mark(observation, "bands", band, str(end))

    def written(self, item: str, *path: str) -> str | None:
        """The text as it stands in the file, or None where the key is not given or no scalar."""
        node: Node | None = self._items[item].values.node
        for part in path:
            node = node.get(part) if isinstance(node, MapNode) else None
        return node.text if isinstance(node, Scalar) else None

    def empty_list(self, item: str, key: str) -> bool:
        """Whether a list stands under a key with nothing in it."""
        node = self._node(item, key)
        return isinstance(node, ListNode) and not node.items

    def answer_mark(self, observation: Observation, answer: str) -> Mark:
        key = "bands" if observation.reading is not None else "answers"
        return self.mark(observation.id, key, answer)

    def facts_behind(self, observation: Observation) -> tuple[str, ...]:
        """Number facts that a reading's limits stand on; none where a limit cannot be read."""
        try:
            return facts_behind(self.pack, observation)
        except ExpressionError:
            return ()

    @cached_property
    def band_flaws(self) -> dict[str, list[Flaw]]:
        """What is wrong with the bands of each reading."""
        # A band that could not be read would be told as a gap as well.
        whole = (
            each
            for each, spec in self.readings
            if self._items[each.id].values.count("bands") == len(spec.bands)
        )
        return {each.id: flaws(self.pack, each, thorough=self.thorough) for each in whole}

    def given(self, item: str, key: str) -> bool:
        """Whether a key stands in the file, whatever its value."""
        return self._node(item, key) is not None

    def pack_mark(self, *path: str) -> Mark:
        if not self.gathered.packs:
            return self.start
        return mark_of(self.gathered.packs[0].node, path)

    @cached_property
    def machines(self) -> list[Machine]:
        return machines(self.pack)

    @cached_property
    def effects(self) -> list[Effects]:
        """Effects of single faults, one for each sort of machine."""
        return [Effects(self.pack, machine) for machine in self.machines]

    @cached_property
    def bringers(self) -> dict[str, Cause | State]:
        """Causes and states by id: all that can bring something on."""
        return {**self.pack.causes, **self.pack.states}

    @cached_property
    def brought_on(self) -> dict[str, list[str]]:
        """Cause or state -> what it brings on directly."""
        found: dict[str, list[str]] = {}
        for name, item in self.bringers.items():
            for bringer in item.brought_on_by:
                found.setdefault(bringer, []).append(name)
        return found

    def texts(self, item: Item) -> Iterator[tuple[tuple[str, ...], str]]:
        """The texts of an item that tell people to do something: (path of keys, text)."""
        keys = ("title", "remedy", "advice") if isinstance(item, Cause) else ("ask", "why")
        for key in ("title",) if isinstance(item, State) else keys:
            yield (key,), getattr(item, key)
        for key, _, steps in _instructions(item):
            yield from (((key, str(number)), step.text) for number, step in enumerate(steps))
        if isinstance(item, Observation):
            if item.probes is not None:
                yield ("probes", "words"), item.probes.words
            yield from ((("answers", answer.id), answer.text) for answer in item.answers)
        elif isinstance(item, Question):
            yield from ((("choices", choice.id, "text"), choice.text) for choice in item.choices)

    def steps(self) -> Iterator[tuple[Item, str, Need, Step]]:
        """Every step of every instruction: of which item, under which key, shown with which access."""
        for item in self.items():
            for key, need, steps in _instructions(item):
                yield from ((item, key, need, step) for step in steps)

    @cached_property
    def said(self) -> tuple[Said, ...]:
        """Every text of the pack that people read."""
        return tuple(self._all_said())

    def _all_said(self) -> Iterator[Said]:
        for item in self.items():
            texts = list(self.texts(item))
            subject = " ".join([item.id.replace("_", " "), *(text for _, text in texts)])
            for path, text in texts:
                yield Said(item.id, path[0], self.mark(item.id, *path), text, subject)
        for fact in self.pack.facts.values():
            subject = " ".join([fact.id.replace("_", " "), fact.ask, fact.how, *fact.choices.values()])
            yield Said(fact.id, "ask", self.fact_mark(fact.id, "ask"), fact.ask, subject)
            yield Said(fact.id, "how", self.fact_mark(fact.id, "how"), fact.how, subject)
            for choice, text in fact.choices.items():
                yield Said(fact.id, "choices", self.fact_mark(fact.id, "choices", choice), text, subject)
        for rule in self.pack.outside:
            yield Said("pack", "outside", rule.mark, rule.say)
        yield Said("pack", "title", self.pack_mark("title"), self.pack.title)
        yield Said("pack", "summary", self.pack_mark("summary"), self.pack.summary)
        for section, pairs in (
            ("instruments", self.gathered.instruments),
            ("glossary", self.gathered.glossary),
        ):
            for name, text in pairs:
                yield Said(section, name.text, name.mark, text)

    @property
    def asked(self) -> list[Observation | Question]:
        """Everything that can be asked."""
        return [*self.pack.observations.values(), *self.pack.questions.values()]

    @property
    def readings(self) -> list[tuple[Observation, ReadingSpec]]:
        return [(each, each.reading) for each in self.pack.observations.values() if each.reading is not None]

    def items(self) -> Iterator[Item]:
        yield from self.pack.causes.values()
        yield from self.pack.states.values()
        yield from self.pack.observations.values()
        yield from self.pack.questions.values()


def _instructions(item: Item) -> tuple[tuple[str, Need, tuple[Step, ...]], ...]:
    """The instructions of an item: key, access with which it is shown, steps."""
    match item:
        case Cause():
            return (
                ("remedy_how", item.remedy_need, item.remedy_steps),
                ("then_run", Need.IN_USE, item.then_run),
            )
        case State():
            return ()
    return (("how", item.need, item.how_steps),)
