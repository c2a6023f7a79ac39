"""Findings that are a hazard in themselves: they forbid 'fit for use' until they are looked at again and gone.

Which answers are is data: `unsafe` in the rule of an observation, each with the measurements that alone can rule out
what would be worst behind it. A finding with such measurements is dealt with only when one of them was good and the
finding was then tried again and is gone; one without, when it is tried again and gone. What tries it again is data
too (`tried_by`): the same question, or an observation at the machine where telling is not enough. No probability
comes into it.
What was brought, and not made where its access was confirmed in this job, may be a finding and clears none: nobody
knows of a log when it was taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

from faultfinder.errors import FaultFinderError
from faultfinder.job.forgotten_dangers import titles as lost
from faultfinder.knowledge.model import Kind, Need, Observation, Question
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.reasoning.evidence.facts import facts_of_pack, possible
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, name_of

if TYPE_CHECKING:
    from faultfinder.job.state import JobState
    from faultfinder.job.told import Given


AT_REST = (Need.COVERS_ON, Need.ISOLATED, Need.OPEN_DEAD)
"""Where what is found is found without running the machine."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One that stands. tests: observations of which one must be good before it is tried again; empty where that was
    done or is not asked. again: observations of which one tries it again. untold: what it was is not known any more,
    for it was taken back."""

    observation: str
    answer: str
    tests: tuple[str, ...] = ()
    again: tuple[str, ...] = ()

    @property
    def untold(self) -> bool:
        return not self.answer


def open_findings(state: JobState) -> tuple[Finding, ...]:
    """The findings that stand against 'fit for use' now, in the order of the rules."""
    unsafe = [item for item in state.pack.observations.values() if item.unsafe]
    if not unsafe or not (state.given or state.taken_back):
        return ()
    tests = {name for item in unsafe for group in (item.tried_by, *item.unsafe.values()) for name in group}
    wanted = tests.union(item.id for item in unsafe)
    told: dict[str, list[_Told]] = {name: [] for name in wanted}
    for place, given in enumerate(state.given):
        for name, answer, made in _answers(state, given, wanted):
            told[name].append(_Told(place, answer, made))
    found = (_stands(state, item, told) for item in unsafe)
    return tuple(each for each in found if each is not None)


def not_to_be_run(state: JobState, case: Case) -> frozenset[Need]:
    """Running it, while something stands against 'fit for use' that was seen or measured on the machine at rest, and
    nothing that may be behind it was put right since: it is not run over that to find out more."""
    for finding in open_findings(state):
        item = _item(state, finding.observation)
        if not finding.untold and item.need in AT_REST and not case.askable(item):
            return frozenset({Need.IN_USE})
    return frozenset()


def in_words(state: JobState, finding: Finding) -> str:
    """A finding as a person reads it, with what deals with it."""
    item = _item(state, finding.observation)
    texts = (answer.text for answer in item.answers if answer.id == finding.answer)
    text = next(texts, say("findings_taken_back"))
    names = choices(name_of(name) for name in finding.tests)
    first = (say("findings_first_good_then", names=names) + " ") if names else ""
    longer = say("findings_for_longer_than_took") if item.unsafe.get(finding.answer) else ""
    again = say("findings_look_at_again", longer=longer)
    if other := choices(name_of(name) for name in finding.again if name != finding.observation):
        again = say("findings_other_good", other=other, longer=longer)
    return f"{item.ask.rstrip('?. ')}: {text} ({first}{again})"


def titles(state: JobState) -> list[str]:
    """What stands against 'fit for use' beside the causes, for people: findings, and what is not known any more."""
    gone = () if state.lost_open else state.still_lost
    return [*(in_words(state, finding) for finding in open_findings(state)), *lost(gone)]


def _item(state: JobState, name: str) -> Observation:
    return state.pack.observations[name]


class _Told(NamedTuple):
    """One answer: its place among all that was given, and whether it was made and not only told."""

    place: int
    answer: str
    made: bool


def _stands(state: JobState, item: Observation, told: Mapping[str, Sequence[_Told]]) -> Finding | None:
    if item.id in state.taken_back:
        return Finding(item.id, "", again=(item.id,))
    bad = [each for each in told[item.id] if each.answer in item.unsafe]
    if not bad:
        return None
    last = bad[-1]
    tests = tuple(test for test in item.unsafe[last.answer] if _applies(state, test))
    # What somebody only told of a test is no measurement; the last one that was made counts.
    measured = {test: [each for each in told[test] if each.made][-1:] for test in tests}
    good = [
        e.place for test, made in measured.items() for e in made if e.answer == _item(state, test).healthy
    ]
    again = tuple(each for each in item.tried_by if _applies(state, each)) or (item.id,)
    tried = [(each, _item(state, name)) for name in again for each in told[name] if each.place > last.place]
    gone = max((each.place for each, by in tried if _shows_gone(item, by, each)), default=-1)
    if gone >= 0 and (not tests or any(place < gone for place in good)):
        return None
    return Finding(item.id, last.answer, () if good else tests, again)


def _shows_gone(item: Observation, by: Observation, told: _Told) -> bool:
    """Whether a finding that was tried again is gone."""
    return told.answer not in item.unsafe if by is item else told.made and told.answer == by.healthy


def _applies(state: JobState, test: str) -> bool:
    return possible(_item(state, test).applies, facts_of_pack(state.pack, state.facts))


def _choices(state: JobState, question: Question, given: Given) -> dict[str, str]:
    """What choices set, with what was corrected since."""
    sets = Case(state.pack).choices(question, given.value)
    for name, value in given.instead:
        if value:
            item = _item(state, name)
            sets[name] = understand(item, value, 0).answer or _band(state, item, replace(given, value=value))
        else:
            sets.pop(name, None)
    return sets


def _answers(state: JobState, given: Given, wanted: set[str]) -> Iterator[tuple[str, str, bool]]:
    """(observation, answer, whether it was made and not only told) of one thing given."""
    if given.kind != "answer":
        return
    if isinstance(given.value, tuple):
        question = state.pack.questions[given.name]
        if wanted.isdisjoint(question.observations):
            return
        found, made = _choices(state, question, given), False
    elif given.name in wanted:
        item = _item(state, given.name)
        understood = understand(item, given.value, 0, Kind.TOLD if given.told else None)
        found, made = {item.id: understood.answer or _band(state, item, given)}, not given.told
    else:
        return
    for name, answer in found.items():
        if name in wanted and (not given.brought or answer in _item(state, name).unsafe):
            yield name, answer, made


def _band(state: JobState, item: Observation, given: Given) -> str:
    read = facts_of_pack(state.pack, state.facts)
    try:
        understood = understand(item, str(given.value), 0, None)
        return judge(state.pack, item, understood, read, state.meter).answer
    except FaultFinderError:
        return ""
