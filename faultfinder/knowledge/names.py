"""Which names a pack knows, and how a name that stands in a rule is looked up."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.read import Conditions, Entry, Gathered, Values
from faultfinder.knowledge.shapes import Name
from faultfinder.knowledge.suggest import did_you_mean

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


@dataclass(slots=True)
class Names:
    """All ids of a pack with what must be known to check a mention of them."""

    sink: Sink
    complete: bool
    """False where a file could not be read: then an unknown name may stand in it, and none is told."""
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Fact id -> its choices; empty for a number."""
    answers: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Observation id -> its answers, healthy first."""
    causes: dict[str, Mark] = field(default_factory=dict)
    states: dict[str, Mark] = field(default_factory=dict)
    questions: dict[str, Mark] = field(default_factory=dict)
    instruments: dict[str, Mark] = field(default_factory=dict)

    def unknown(self, sort: str, name: Name, what: str, known: Iterable[str], of: str = "") -> None:
        if self.complete:
            message = f'{what}: unknown {sort} "{name.text}"' + (f" of {of}" if of else "")
            hint = did_you_mean(name.text, known)
            other = "" if of else self._sort_of(name.text)
            if other:
                meant = _SETS if (sort, other) == ("observation", "question") else _WHAT_STANDS.get(sort, "")
                hint = f"{_a(other)} has that name" + (f"; {meant}" if meant else "")
            self.sink.error(name.mark, "unknown-name", message, hint)

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
            return True
        self.unknown(sort, name, what, names, of)
        return False

    def answer_ok(self, observation: str, name: Name, what: str) -> bool:
        return self.known_in("answer", name, what, self.answers[observation], observation)

    def applies(self, conditions: Conditions, what: str) -> Frozen:
        """Fact conditions with known facts and choices only; the rest is told."""
        result: dict[str, tuple[str, ...]] = {}
        for name, values in conditions:
            if not self.known_in("fact", name, what, self.choices):
                continue
            choices = self.choices[name.text]
            if not choices:
                self.sink.error(
                    name.mark,
                    "wrong-fact",
                    f"{what}: {name.text} is a number; only a fact with choices can be asked for here",
                )
                continue
            known = [v.text for v in values if self.known_in("choice", v, what, choices, name.text)]
            if known:
                result[name.text] = tuple(known)
        return MappingProxyType(result)

    def only_if(self, conditions: Conditions, what: str) -> Frozen:
        """Answer conditions on other observations; the rest is told."""
        result: dict[str, tuple[str, ...]] = {}
        for name, values in conditions:
            if not self.known_in("observation", name, what, self.answers):
                continue
            known = [v.text for v in values if self.answer_ok(name.text, v, what)]
            if known:
                result[name.text] = tuple(known)
        return MappingProxyType(result)


def collect(gathered: Gathered, sink: Sink, complete: bool) -> Names:
    """All names of the pack; one given twice is told, and the first one stands."""
    names = Names(sink, complete)
    taken: dict[str, tuple[str, Mark]] = {}
    for section in ("causes", "states", "observations", "asks"):
        for entry in _once(gathered, section, taken, sink):
            if section == "observations":
                names.answers[entry.id] = answer_ids(entry.values)
            else:
                {"causes": names.causes, "states": names.states, "asks": names.questions}[section][
                    entry.id
                ] = entry.mark
    seen: dict[str, tuple[str, Mark]] = {k: v for k, v in taken.items() if v[0] == "observation"}
    for entry in _once(gathered, "facts", seen, sink):
        choices = entry.values.pairs("choices")
        names.choices[entry.id] = tuple(name.text for name, _ in choices)
    for name, _ in gathered.instruments:
        if name.text in names.instruments:
            _tell_twice("instrument", name.text, name.mark, "instrument", names.instruments[name.text], sink)
        names.instruments.setdefault(name.text, name.mark)
    return names


def known_names(
    listed: Iterable[Name], sort: str, known: Iterable[str], what: str, names: Names
) -> list[str]:
    """The listed names that exist; the others are told."""
    return [name.text for name in listed if names.known_in(sort, name, what, known)]


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
