"""Which names a pack knows, and how a name that stands in a rule is looked up."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean, nearest
from faultfinder.knowledge.schema.read import Conditions, Entry, Gathered, Values, inner_names
from faultfinder.knowledge.schema.typo_hints import key_names
from faultfinder.knowledge.schema.value_types import Name
from faultfinder.knowledge.syntax.nodes import MapNode, Scalar

Frozen = Mapping[str, tuple[str, ...]]

SECTION_WORD = {
    "facts": "fact",
    "causes": "cause",
    "states": "state",
    "observations": "observation",
    "asks": "question",
}


_WHAT_STANDS = {
    "cause or state": "name the fault that brings it on, not what is seen of it",
    "observation": "here stands what is asked or measured; what a fault brings on says so itself, in brought_on_by",
}
"""Sort -> what belongs where the name of something of another sort stands."""


_SETS = "name the observations that it sets"


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


@dataclass(frozen=True, slots=True)
class _Unknown:
    """A name that nothing has: which sort was wanted, where, of what, and what there is."""

    sort: str
    name: Name
    what: str
    known: tuple[str, ...]
    of: str


def _words_of(gathered: Gathered) -> Counter[str]:
    """How often each word stands in the texts of the pack."""
    return Counter(
        word
        for _, text in gathered.texts()
        if " " in text.text
        for word in re.findall("[a-z]+", text.text.lower())
    )


def _several(each: _Unknown) -> str:
    """What to write where several choices, or all but one, are named in words: 'corded or cordless', 'not corded'."""
    if each.sort not in ("choice", "answer"):
        return ""
    parts = re.split(r" or | and | ?/ ?| ?\| ?", each.name.text)
    if len(parts) > 1 and all(part in each.known for part in parts):
        return f"write [{', '.join(parts)}]"
    but = re.fullmatch(r"(?:not |no |!|non[- ])(\w+)", each.name.text)
    if but is not None and but[1] in each.known:
        return f"write [{', '.join(name for name in each.known if name != but[1])}]"
    return ""


@dataclass(slots=True)
class Names:
    """All ids of a pack with what must be known to check a mention of them."""

    sink: Sink
    complete: bool
    """False where a file could not be read: then an unknown name may stand in it, and none is told."""
    gathered: Gathered = field(default_factory=Gathered)
    pending: list[_Unknown] = field(default_factory=list)
    named: Counter[tuple[str, str]] = field(default_factory=Counter)
    """(what it is of, name) -> how often it is named."""
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Fact id -> its choices; empty for a number."""
    answers: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Observation id -> its answers, healthy first."""
    causes: dict[str, Mark] = field(default_factory=dict)
    states: dict[str, Mark] = field(default_factory=dict)
    unread: set[str] = field(default_factory=set)
    """Facts whose choices could not be read, and sorts of things none of which could, which is told there."""
    texts: dict[str, dict[str, str]] = field(default_factory=dict)
    """Fact or observation -> the words of its choices or answers."""
    empty: set[tuple[str, str]] = field(default_factory=set)
    """Where (such as "fan_stuck: shows") an observation stands without a value."""
    questions: dict[str, Mark] = field(default_factory=dict)
    instruments: dict[str, Mark] = field(default_factory=dict)

    def unknown(self, sort: str, name: Name, what: str, known: Iterable[str], of: str = "") -> None:
        """Notes an unknown name; `tell_unknown` tells it, once it is known which of two spellings is the odd one."""
        if self.complete and name.text not in self.sink.lost and sort not in self.unread:
            self.pending.append(_Unknown(sort, name, what, tuple(known), of))

    def tell_unknown(self, places: Callable[[str, str], Mark | None]) -> None:
        """Tells what is unknown: where it is named, or where it stands itself, if that is the odd spelling.

        places: (what it is of, name) -> where that name stands itself.
        """
        groups: dict[tuple[str, str, str], list[_Unknown]] = {}
        for each in self.pending:
            near = nearest(each.name.text, each.known) if not self._other(each) else None
            groups.setdefault((each.of or each.sort, each.name.text, near or ""), []).append(each)
        for (_, spelt, near), mentions in groups.items():
            mark = places(mentions[0].of, near) if near else None
            if mark is not None and self._odd_at_home(mentions[0].of, spelt, near, len(mentions)):
                times = "once" if len(mentions) == 1 else f"{len(mentions)} times"
                message = f'{mentions[0].sort} "{near}" is spelt "{spelt}" where it is named ({times})'
                self.sink.error(mark, "unknown-name", message, f'did you mean "{spelt}"?')
                continue
            for each in mentions:
                self._tell(each)
        self.pending.clear()

    def _odd_at_home(self, of: str, spelt: str, near: str, times: int) -> bool:
        """Whether a name is misspelt where it stands itself: nothing else names it so, and the other spelling is
        that of the texts, or is used again and again."""
        if self.named[(of, near)]:
            return False
        texts = _words_of(self.gathered)
        odd = [word for word in near.split("_") if word not in spelt.split("_")]
        usual = [word for word in spelt.split("_") if word not in near.split("_")]
        in_texts = sum(texts[word] for word in usual) - sum(texts[word] for word in odd)
        return in_texts > 0 or (in_texts == 0 and times > 1)

    def _tell(self, each: _Unknown) -> None:
        message = f'{each.what}: unknown {each.sort} "{each.name.text}"' + (
            f" of {each.of}" if each.of else ""
        )
        hint = self._by_text(each) or _several(each) or did_you_mean(each.name.text, each.known)
        other = self._other(each)
        if other:
            meant = (
                _SETS
                if (each.sort, other) == ("observation", "question")
                else _WHAT_STANDS.get(each.sort, "")
            )
            hint = f"{_a(other)} has that name" + (f"; {meant}" if meant else "")
        elif (
            each.sort != "fact"
            and each.name.text in key_names()
            and nearest(each.name.text, each.known) is None
            and not each.of
        ):
            place = each.what.rpartition(": ")[2]
            hint = f"if the key {each.name.text} is meant, line it up with {place}"
        elif each.sort == "observation" and (owner := self._answer_of(each)):
            hint = f"it is an answer of {owner}: move it right, under {owner}"
        self.sink.error(each.name.mark, "unknown-name", message, hint)

    def _other(self, each: _Unknown) -> str:
        return "" if each.of else self._sort_of(each.name.text)

    def _by_text(self, each: _Unknown) -> str:
        """The name whose words were written in place of it."""
        for name, text in self.texts.get(each.of, {}).items():
            if text.casefold() == each.name.text.casefold():
                return f"write {name}"
        return ""

    def _answer_of(self, each: _Unknown) -> str:
        """The observation that an answer stands beside in place of under."""
        for other, answers in self.answers.items():
            if each.name.text in answers and (each.what, other) in self.empty:
                return other
        return ""

    def _sort_of(self, name: str) -> str:
        """What sort of thing has this name, or nothing."""
        for sort, known in (
            ("cause", self.causes),
            ("state", self.states),
            ("observation", self.answers),
            ("question", self.questions),
            ("fact", self.choices),
            ("instrument", self.instruments),
        ):
            if name in known:
                return sort
        return ""

    def known_in(self, sort: str, name: Name, what: str, known: Iterable[str], of: str = "") -> bool:
        names = list(known)
        if name.text in names:
            self.named[(of, name.text)] += 1
            return True
        self.unknown(sort, name, what, names, of)
        return False

    def listed(self, sort: str, listed: Iterable[Name], what: str) -> tuple[str, ...]:
        """Those of the listed causes, observations or instruments that exist; the others are told."""
        tables: dict[str, Mapping[str, object]] = {
            "cause": self.causes,
            "observation": self.answers,
            "instrument": self.instruments,
        }
        return tuple(name.text for name in listed if self.known_in(sort, name, what, tables[sort]))

    def listed_under(self, key: str, sort: str, entry: Entry) -> tuple[str, ...]:
        """The same of what stands under a key of an item."""
        return self.listed(sort, entry.values.names(key), f"{entry.id}: {key}")

    def answer_ok(self, observation: str, name: Name, what: str) -> bool:
        return self.known_in("answer", name, what, self.answers[observation], observation)

    def applies(self, conditions: Conditions, what: str) -> Frozen:
        """Fact conditions with known facts and choices only; the rest is told."""
        for name, _ in conditions:
            if name.text in self.choices and not self.choices[name.text] and name.text not in self.unread:
                message = f"{what}: {name.text} is a number; only a fact with choices can be asked for here"
                self.sink.error(name.mark, "wrong-fact", message)
        return self._conditions(conditions, what, "fact", "choice", self.choices)

    def only_if(self, conditions: Conditions, what: str) -> Frozen:
        """Answer conditions on other observations; the rest is told."""
        return self._conditions(conditions, what, "observation", "answer", self.answers)

    def _conditions(
        self, conditions: Conditions, what: str, sort: str, inner: str, known: Mapping[str, tuple[str, ...]]
    ) -> Frozen:
        result: dict[str, tuple[str, ...]] = {}
        for name, values in conditions:
            if self.known_in(sort, name, what, known) and (there := known[name.text]):
                kept = tuple(v.text for v in values if self.known_in(inner, v, what, there, name.text))
                if kept:
                    result[name.text] = kept
        return MappingProxyType(result)


def collect(gathered: Gathered, sink: Sink, complete: bool) -> Names:
    """All names of the pack; one given twice is told, and the first one stands."""
    names = Names(sink, complete, gathered)
    names.empty = set(_empty_links(gathered))
    taken: dict[str, tuple[str, Mark]] = {}
    for section in ("causes", "states", "observations", "asks"):
        for entry in _once(gathered, section, taken, sink):
            if section == "observations":
                names.answers[entry.id] = answer_ids(entry.values)
                names.texts[entry.id] = {name.text: text for name, text in entry.values.pairs("answers")}
            else:
                {"causes": names.causes, "states": names.states, "asks": names.questions}[section][
                    entry.id
                ] = entry.mark
    seen: dict[str, tuple[str, Mark]] = {k: v for k, v in taken.items() if v[0] == "observation"}
    for entry in _once(gathered, "facts", seen, sink):
        choices = entry.values.pairs("choices")
        if not choices and entry.values.node.get("choices") is not None:
            names.unread.add(entry.id)
        names.texts.setdefault(entry.id, {name.text: text for name, text in choices})
        names.choices[entry.id] = tuple(name.text for name, _ in choices)
    parts = [root.get("instruments") for root in gathered.roots]
    if any(part is not None and not isinstance(part, MapNode) for part in parts):
        names.unread.add("instrument")
    for name, _ in gathered.instruments:
        if name.text in names.instruments:
            _tell_twice("instrument", name.text, name.mark, "instrument", names.instruments[name.text], sink)
        names.instruments.setdefault(name.text, name.mark)
    return names


def _empty_links(gathered: Gathered) -> Iterator[tuple[str, str]]:
    for section in ("causes", "states"):
        for entry in gathered.entries(section):
            shows = entry.values.node.get("shows")
            for name, value in shows.pairs if isinstance(shows, MapNode) else ():
                if isinstance(value, Scalar) and not value.text:
                    yield f"{entry.id}: shows", name.text


def places(gathered: Gathered) -> Callable[[str, str], Mark | None]:
    """Where names stand themselves: (the observation or fact they are of, or nothing; name) -> place."""
    found: dict[tuple[str, str], Mark] = {}
    for section, entries in gathered.sections.items():
        for entry in entries:
            found[("", entry.id)] = entry.mark
            for key in (
                ("answers", "bands")
                if section == "observations"
                else ("choices",)
                if section == "facts"
                else ()
            ):
                for name in inner_names(entry.values.node, key):
                    found[(entry.id, name.text)] = name.mark
    for instrument, _ in gathered.instruments:
        found.setdefault(("", instrument.text), instrument.mark)
    return lambda of, name: found.get((of, name))


def answer_ids(values: Values) -> tuple[str, ...]:
    """Answers of an observation, healthy first: its bands where it has some."""
    pairs = values.pairs("bands") or values.pairs("answers")
    return tuple(name.text for name, _ in pairs)


def _once(gathered: Gathered, section: str, taken: dict[str, tuple[str, Mark]], sink: Sink) -> list[Entry]:
    """The entries of a section, each id once; a second one is told and dropped for good. One that has the
    name of something of another sort is told and kept, so that what names it is not told as well."""
    kept = []
    own: set[str] = set()
    for entry in gathered.entries(section):
        first = taken.get(entry.id)
        if first is None:
            taken[entry.id] = (SECTION_WORD[section], entry.mark)
        else:
            _tell_twice(SECTION_WORD[section], entry.id, entry.mark, *first, sink)
        if entry.id not in own:
            own.add(entry.id)
            kept.append(entry)
    gathered.sections[section] = kept
    return kept


def _tell_twice(sort: str, name: str, mark: Mark, first_sort: str, first: Mark, sink: Sink) -> None:
    sink.error(
        mark,
        "duplicate-id",
        f'the {sort} "{name}" has the name of {"another" if sort == first_sort else "a"} {first_sort}',
        f"the first stands at {first}; rename one",
    )
