"""Which names a pack knows, and how a name that stands in a rule is looked up."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean, nearest
from faultfinder.knowledge.schema.read import Conditions, Entry, Gathered, inner_names
from faultfinder.knowledge.schema.typo_hints import key_names
from faultfinder.knowledge.schema.value_types import Name
from faultfinder.knowledge.syntax.nodes import MapNode, Scalar

Frozen = Mapping[str, tuple[str, ...]]

_SECTIONS = {
    "causes": "cause",
    "states": "state",
    "observations": "observation",
    "asks": "question",
    "facts": "fact",
}
"""Section of a file -> what one of its items is called."""
_INNER = {"observation": ("bands", "answers"), "fact": ("choices",)}
"""What has names of its own inside -> the keys under which they stand."""
_WHAT_STANDS = {
    "cause or state": "name the fault that brings it on, not what is seen of it",
    "observation": "only what is asked or measured belongs here; what a fault brings on says so itself, "
    "in brought_on_by",
}
"""Sort -> what belongs where the name of something of another sort stands."""


@dataclass(frozen=True, slots=True)
class _Unknown:
    """A name that nothing has: which sort was wanted, where, of what, and what there is."""

    sort: str
    name: Name
    what: str
    known: tuple[str, ...]
    of: str

    def several(self) -> str:
        """What to write where several choices, or all but one, are named in words: 'corded or cordless'."""
        if self.sort not in ("choice", "answer"):
            return ""
        parts = re.split(r" or | and | ?/ ?| ?\| ?", self.name.text)
        if len(parts) > 1 and all(part in self.known for part in parts):
            return f"write [{', '.join(parts)}]"
        but = re.fullmatch(r"(?:not |no |!|non[- ])(\w+)", self.name.text)
        if but is not None and but[1] in self.known:
            return f"write [{', '.join(name for name in self.known if name != but[1])}]"
        return ""


@dataclass(slots=True)
class Names:
    """All ids of a pack with what must be known to check a mention of them."""

    sink: Sink
    complete: bool
    """False where a file could not be read: then an unknown name may stand in it, and none is told."""
    gathered: Gathered
    marks: dict[str, dict[str, Mark]] = field(default_factory=dict)
    """Sort of thing -> where each one stands."""
    bringers: dict[str, Mark] = field(default_factory=dict)
    """The same of all that can bring something on: causes and states."""
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Fact id -> its choices; empty for a number."""
    answers: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Observation id -> its answers, healthy first."""
    shaken: set[str] = field(default_factory=set)
    """Observations whose first answer could not be read, which is told there: nobody knows the healthy one."""
    texts: dict[str, dict[str, str]] = field(default_factory=dict)
    """Fact or observation -> the words of its choices or answers."""
    unread: set[str] = field(default_factory=set)
    """Facts whose choices could not be read, and sorts of things none of which could, which is told there."""
    pending: list[_Unknown] = field(default_factory=list)
    named: Counter[tuple[str, str]] = field(default_factory=Counter)
    """(what it is of, name) -> how often it is named."""

    def known(self, sort: str, of: str = "") -> Collection[str]:
        """The names of a sort of thing; of answers and choices, those of one observation or fact."""
        if sort == "answer":
            return self.answers[of]
        if sort == "choice":
            return self.choices[of]
        if sort == "cause or state":
            return self.bringers
        return self.marks[sort]

    def has(self, sort: str, name: Name, what: str, of: str = "") -> bool:
        """Whether there is one of that name; else it is told."""
        known = self.known(sort, of)
        if name.text in known:
            self.named[of, name.text] += 1
            return True
        self.unknown(sort, name, what, known, of)
        return False

    def unknown(self, sort: str, name: Name, what: str, known: Iterable[str], of: str = "") -> None:
        """Notes an unknown name; `tell_unknown` tells it, once it is known which of two spellings is the odd one."""
        if self.complete and name.text not in self.sink.lost and sort not in self.unread:
            self.pending.append(_Unknown(sort, name, what, tuple(known), of))

    def is_healthy(self, answer: str, observation: str) -> bool:
        """Whether it is the healthy answer, for sure."""
        return observation not in self.shaken and answer == self.answers[observation][0]

    def listed(self, sort: str, listed: Iterable[Name], what: str) -> tuple[str, ...]:
        """Those of the listed causes, observations or instruments that exist; the others are told."""
        return tuple(name.text for name in listed if self.has(sort, name, what))

    def conditions(self, sort: str, inner: str, conditions: Conditions, what: str) -> Frozen:
        """Conditions with known facts and choices, or observations and answers, only; the rest is told."""
        result: dict[str, tuple[str, ...]] = {}
        for name, values in conditions:
            if not self.has(sort, name, what):
                continue
            if self.known(inner, name.text):
                kept = tuple(value.text for value in values if self.has(inner, value, what, name.text))
                if kept:
                    result[name.text] = kept
            elif sort == "fact" and name.text not in self.unread:
                message = f"{what}: {name.text} is a number; only a fact with choices can be asked for here"
                self.sink.error(name.mark, "wrong-fact", message)
        return MappingProxyType(result)

    def applies(self, conditions: Conditions, what: str) -> Frozen:
        return self.conditions("fact", "choice", conditions, what)

    def tell_unknown(self) -> None:
        """Tells what is unknown: where it is named, or where it stands itself, if that is the odd spelling."""
        groups: dict[tuple[str, str, str], list[_Unknown]] = {}
        for each in self.pending:
            near = nearest(each.name.text, each.known) if not self._other(each) else None
            groups.setdefault((each.of or each.sort, each.name.text, near or ""), []).append(each)
        for (_, spelt, near), mentions in groups.items():
            mark = self._place(mentions[0].of, near) if near else None
            if mark is not None and self._odd_at_home(mentions[0].of, spelt, near, len(mentions)):
                times = "once" if len(mentions) == 1 else f"{len(mentions)} times"
                message = f'{mentions[0].sort} "{near}" is spelt "{spelt}" where it is named ({times})'
                self.sink.error(mark, "unknown-name", message, f'did you mean "{spelt}"?')
                continue
            for each in mentions:
                of = f" of {each.of}" if each.of else ""
                message = f'{each.what}: unknown {each.sort} "{each.name.text}"{of}'
                self.sink.error(each.name.mark, "unknown-name", message, self._meant(each))

    def _place(self, of: str, name: str) -> Mark | None:
        """Where a name stands itself, among those of an observation or fact where it is of one."""
        if not of:
            return next((marks[name] for marks in self.marks.values() if name in marks), None)
        for section, sort in _SECTIONS.items():
            for entry in self.gathered.entries(section) if sort in _INNER else ():
                for key in _INNER[sort] if entry.id == of else ():
                    for inner in inner_names(entry.values.node, key):
                        if inner.text == name:
                            return inner.mark
        return None

    def _odd_at_home(self, of: str, spelt: str, near: str, times: int) -> bool:
        """Whether a name is misspelt where it stands itself: nothing else names it so, and the other spelling is
        that of the texts, or is used again and again."""
        if self.named[of, near]:
            return False
        odd = [word for word in near.split("_") if word not in spelt.split("_")]
        usual = [word for word in spelt.split("_") if word not in near.split("_")]
        texts = Counter(
            word
            for _, text in self.gathered.texts()
            if " " in text.text
            for word in re.findall("[a-z]+", text.text.lower())
        )
        in_texts = sum(texts[word] for word in usual) - sum(texts[word] for word in odd)
        return in_texts > 0 or (in_texts == 0 and times > 1)

    def _meant(self, each: _Unknown) -> str:
        """What to write in place of an unknown name."""
        name = each.name.text
        if other := self._other(each):
            meant = _WHAT_STANDS.get(each.sort, "")
            if (each.sort, other) == ("observation", "question"):
                meant = "name the observations that it sets"
            a = "an" if other[0] in "aeiou" else "a"
            return f"{a} {other} has that name" + (f"; {meant}" if meant else "")
        key = each.sort != "fact" and not each.of and name in key_names()
        if key and nearest(name, each.known) is None:
            return f"if the key {name} is meant, line it up with {each.what.rpartition(': ')[2]}"
        if each.sort == "observation" and (owner := self._answer_of(each)):
            return f"it is an answer of {owner}: move it right, under {owner}"
        by_text = (
            id for id, text in self.texts.get(each.of, {}).items() if text.casefold() == name.casefold()
        )
        if (written := next(by_text, "")) != "":
            return f"write {written}"
        return each.several() or did_you_mean(name, each.known)

    def _other(self, each: _Unknown) -> str:
        """What other sort of thing has the name, or nothing."""
        if each.of:
            return ""
        return next((sort for sort, marks in self.marks.items() if each.name.text in marks), "")

    def _answer_of(self, each: _Unknown) -> str:
        """The observation, without a value of its own, that an answer stands beside in place of under."""
        for entry in [*self.gathered.entries("causes"), *self.gathered.entries("states")]:
            shows = entry.values.node.get("shows") if each.what == f"{entry.id}: shows" else None
            empty = {
                name.text
                for name, value in (shows.pairs if isinstance(shows, MapNode) else ())
                if isinstance(value, Scalar) and not value.text
            }
            for other, answers in self.answers.items():
                if other in empty and each.name.text in answers:
                    return other
        return ""


def collect(gathered: Gathered, sink: Sink, complete: bool) -> Names:
    """All names of the pack; one given twice is told, and the first one stands."""
    names = Names(sink, complete, gathered)
    taken: dict[str, tuple[str, Mark]] = {}
    for section, sort in _SECTIONS.items():
        if sort == "fact":  # which may have the name of a cause, but none of an observation
            taken = {name: first for name, first in taken.items() if first[0] == "observation"}
        entries = _once(gathered, section, sort, taken, sink)
        names.marks[sort] = {entry.id: entry.mark for entry in entries}
        for entry in entries:
            pairs = entry.values.pairs("choices" if sort == "fact" else "answers")
            # The answers of a reading are its bands.
            inner = tuple(name.text for name, _ in entry.values.pairs("bands") or pairs)
            if sort == "fact":
                names.choices[entry.id] = inner
                meant = entry.values.text("kind") == "choice" or entry.values.node.get("choices") is not None
                if not inner and meant:
                    names.unread.add(entry.id)
            elif sort == "observation":
                names.answers[entry.id] = inner
                first = next(
                    (each for key in _INNER[sort] for each in inner_names(entry.values.node, key)), None
                )
                if first is not None and first.text not in inner[:1]:
                    names.shaken.add(entry.id)
            if sort in _INNER:
                names.texts.setdefault(entry.id, {name.text: text for name, text in pairs})
    names.bringers = {**names.marks["cause"], **names.marks["state"]}
    parts = [root.get("instruments") for root in gathered.roots]
    if any(part is not None and not isinstance(part, MapNode) for part in parts):
        names.unread.add("instrument")
    instruments = names.marks.setdefault("instrument", {})
    for name, _ in gathered.instruments:
        if name.text in instruments:
            _tell_twice("instrument", name.text, name.mark, "instrument", instruments[name.text], sink)
        instruments.setdefault(name.text, name.mark)
    return names


def _once(
    gathered: Gathered, section: str, sort: str, taken: dict[str, tuple[str, Mark]], sink: Sink
) -> list[Entry]:
    """The entries of a section, each id once; a second one is told and dropped for good. One that has the
    name of something of another sort is told and kept, so that what names it is not told as well."""
    kept: dict[str, Entry] = {}
    for entry in gathered.entries(section):
        if entry.id in taken:
            _tell_twice(sort, entry.id, entry.mark, *taken[entry.id], sink)
        taken.setdefault(entry.id, (sort, entry.mark))
        kept.setdefault(entry.id, entry)
    gathered.sections[section] = list(kept.values())
    return gathered.sections[section]


def _tell_twice(sort: str, name: str, mark: Mark, first_sort: str, first: Mark, sink: Sink) -> None:
    a = "another" if sort == first_sort else "a"
    message = f'the {sort} "{name}" has the name of {a} {first_sort}'
    sink.error(mark, "duplicate-id", message, f"the first stands at {first}; rename one")
