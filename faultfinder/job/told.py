"""What was told in a job: the things given, in order, and what an answer, a choice or a correction comes to.

Each function makes a new state out of an old one, or raises a FaultFinderError; see `apply` in state.py.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING

from faultfinder.errors import UnknownName
from faultfinder.job import events as happened
from faultfinder.job import forgotten_dangers as forgotten
from faultfinder.job.findings import open_findings
from faultfinder.job.return_tests import outside_its_limit
from faultfinder.knowledge.model import Kind, Need, Observation, Pack
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.reasoning.evidence.facts import facts_of_pack
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say

if TYPE_CHECKING:
    from faultfinder.job.state import JobState


@dataclass(frozen=True, slots=True)
class Given:
    """One thing to tell a Case. kind: fact, answer, skip, without, put_right, reassembled or ran_again.

    value: the fact's text (or empty: unknown again), the answer or reading, the choices, or why it was skipped.
    told: somebody only said so of a thing to look at or measure. complaint: what the job began with. access: as in
    the record. instead: of choices, what was corrected since, as (observation, answer or reading; empty: taken back).
    of_test: the value of a return test. at: when it was said. was: what a correction took the place of.
    """

    kind: str
    name: str
    value: str | tuple[str, ...] = ""
    told: bool = False
    complaint: bool = False
    access: str = ""
    instead: tuple[tuple[str, str], ...] = ()
    of_test: bool = False
    at: str = field(default="", compare=False)
    was: str = field(default="", compare=False)

    @property
    def brought(self) -> bool:
        """Its access was not confirmed in this job: evidence, and nothing that safety relies on."""
        return self.access in (happened.ACCESS_NOT_CONFIRMED, happened.ACCESS_LOGGED)


def take(case: Case, given: Given) -> None:
    """Tell a Case one thing. Raises what the Case raises."""
    if given.kind == "fact":
        case.set_fact(given.name, str(given.value) or None)
    elif given.kind == "answer":
        kind = Kind.TOLD if given.told else None
        item = case.pack.observations.get(given.name)
        again = item is not None and not given.complaint and case.counts_beside(item, kind)
        case.record(given.name, given.value, kind=kind, complaint=given.complaint, again=again)
        for name, value in given.instead:
            if value:
                case.record(name, value)
            elif case.given(name, case.epoch) is not None:
                case.withdraw(name)
    elif given.kind == "skip":
        case.skip(given.name, str(given.value))
    elif given.kind == "without":
        case.without(given.name)
    elif given.kind == "put_right":
        case.put_right(given.name)
    elif given.kind == "ran_again":
        case.ran_again()
    else:
        case.reassembled()


# -- answers, choices, corrections ---------------------------------------------------------------------


def answered(state: JobState, event: happened.Answered) -> JobState:
    observation = _observation(state.pack, event.observation)
    value = _value(observation, event.value, event.reads)
    told = event.how == "told"
    complaint = _is_complaint(state, observation, value)
    given = Given("answer", observation.id, value, told, complaint, event.access, at=event.at)
    understand(observation, value, 0, Kind.TOLD if told else None)
    # A log was made while other work went on; reading it takes no time of the job.
    minutes = 0.0 if event.access == happened.ACCESS_LOGGED else observation.minutes
    state = replace(give(state, given), minutes=state.minutes + minutes)
    answers = answers_of(state, observation, event)
    if not (told or given.brought) and observation.healthy in answers:
        # Looked at again, and as it should be.
        state = replace(state, still_lost=forgotten.without(state.still_lost, observation.id))
    return _held_to_the_test(_seen(state, observation, answers, told), observation, event.reads)


def answers_of(
    state: JobState, observation: Observation, event: happened.Answered | happened.Corrected
) -> tuple[str, ...]:
    """The answers that an event stands for where one of them may be a danger: what was written, and what its reading
    says of this machine, whatever was written."""
    if not observation.danger or not event.reads or observation.reading is None:
        return (event.value,)
    known = facts_of_pack(state.pack, state.facts)
    given = understand(observation, event.reads, 0)
    return event.value, judge(state.pack, observation, given, known, state.meter).answer


def _is_complaint(state: JobState, observation: Observation, value: str) -> bool:
    """Whether a symptom is told as what the job is about: it is there, and was told before anything was asked, looked
    at or measured. That another symptom is not there may be told with it."""
    if not observation.symptom or value == observation.healthy:
        return False
    return all(each.kind == "fact" or each.complaint or _denied(state, each) for each in state.given)


def _denied(state: JobState, given: Given) -> bool:
    item = state.pack.observations.get(given.name)
    return given.kind == "answer" and item is not None and item.symptom and given.value == item.healthy


def _value(observation: Observation, value: str, reads: str) -> str:
    """What counts: the reading as typed where there is one, else the answer."""
    if not value and not reads:
        raise UnknownName(say("state_has_no_answer_give", id=observation.id))
    known = [answer.id for answer in observation.answers]
    if value and value not in known:
        hint = did_you_mean(value[:80], known)
        told = say("state_no_answer", value=value[:40], id=observation.id, hint=hint)
        raise UnknownName(told.strip("; "))
    return reads or value


def _seen(state: JobState, observation: Observation, answers: Iterable[str], told: bool) -> JobState:
    """What an answer means for safety: its danger sign, and covers that must have been off."""
    back = tuple(name for name in state.taken_back if name != observation.id)
    state = replace(state, taken_back=back)
    if not told:
        state = replace(state, gate=safety.reading_brought(state.gate, observation.need))
    by = (observation.id if observation.reading is not None else "",)
    for sign in {observation.danger[answer]: None for answer in answers if answer in observation.danger}:
        state = sign_brought(state, sign, by)
    return state


def sign_brought(state: JobState, sign: str, by: Iterable[str]) -> JobState:
    """A danger sign was met. by: the readings that it came of; an empty name for all else."""
    before = state.gate
    return sign_came_of(replace(state, gate=safety.danger_seen(before, sign)), sign, by, before)


def sign_came_of(state: JobState, sign: str, by: Iterable[str], before: Gate) -> JobState:
    """The job with the readings that a sign came of, beside those of earlier where it stood `before`."""
    earlier = state.brought.get(sign, frozenset()) if sign in before.signs else frozenset()
    return replace(state, brought=MappingProxyType({**state.brought, sign: earlier.union(by)}))


def _signs_lifted(state: JobState, observation: str) -> JobState:
    """A reading was corrected: a sign that it alone had brought is lifted; the record keeps both."""
    for sign, by in state.brought.items():
        if by == {observation} and sign in state.gate.signs:
            state = replace(state, gate=safety.sign_lifted(state.gate, sign))
    brought = {sign: by - {observation} for sign, by in state.brought.items()}
    return replace(state, brought=MappingProxyType({sign: by for sign, by in brought.items() if by}))


def withdrawn(state: JobState, event: happened.Withdrawn) -> JobState:
    """An answer taken back, or all that the choices of a question set. What of it was unsafe in itself is made anew
    before the machine is fit."""
    name = event.observation
    names = state.pack.questions[name].observations if name in state.pack.questions else (name,)
    stood = {finding.observation for finding in open_findings(state)}.intersection(names)
    back = (*state.taken_back, *(each for each in names if each in stood and each not in state.taken_back))
    place = _latest(state, name)
    if state.given[place].name == name:
        given = state.given[:place] + state.given[place + 1 :]
    else:
        given = _with_another(state, place, name, "", event.at)
    return replace(state, given=given, taken_back=back)


def chosen(state: JobState, event: happened.Chosen) -> JobState:
    asked = state.pack.questions[known_name(event.question, state.pack.questions, "question")]
    sets = Case(state.pack).choices(asked, event.value)
    state = give(state, Given("answer", asked.id, event.value, access=event.access, at=event.at))
    state = replace(state, minutes=state.minutes + asked.minutes)
    for name, answer in sets.items():
        state = _seen(state, state.pack.observations[name], (answer,), told=asked.need is Need.ANYWHERE)
    return state


def corrected(state: JobState, event: happened.Corrected) -> JobState:
    observation = _observation(state.pack, event.observation)
    value = _value(observation, event.value, event.reads)
    place = _latest(state, observation.id)
    understand(observation, value, 0, Kind.TOLD if state.given[place].told else None)
    given = _with_another(state, place, observation.id, value, event.at)
    state = _signs_lifted(replace(state, given=given), observation.id)
    state = replace(state, still_lost=forgotten.without(state.still_lost, observation.id))
    seen = _seen(state, observation, answers_of(state, observation, event), told=True)
    return _held_to_the_test(seen, observation, event.reads)


def _held_to_the_test(state: JobState, observation: Observation, reads: str) -> JobState:
    """A reading that a return test makes too has one limit with it: outside of that it is a danger sign, whatever its
    band is called."""
    if not outside_its_limit(state.pack, state.facts, observation, reads):
        return state
    return sign_brought(state, "earth_or_insulation_bad", (observation.id,))


def _with_another(state: JobState, place: int, name: str, value: str, at: str) -> tuple[Given, ...]:
    """What was given, with another answer to an observation in one place; empty: taken back out of choices."""
    there = state.given[place]
    was = there.value if isinstance(there.value, str) else ", ".join(there.value)
    corrected = replace(there, was=was)
    if there.name == name:
        corrected = replace(corrected, value=value, at=at or there.at)
    else:
        others = tuple(pair for pair in there.instead if pair[0] != name)
        corrected = replace(corrected, instead=(*others, (name, value)))
    return (*state.given[:place], corrected, *state.given[place + 1 :])


def _answers_it(state: JobState, given: Given, name: str) -> bool:
    """Whether something given answers an observation, by itself or by the choices of a question."""
    if given.kind != "answer" or given.name == name:
        return given.kind == "answer"
    question = state.pack.questions.get(given.name)
    if question is None or name not in question.observations or (name, "") in given.instead:
        return False
    return name in Case(state.pack).choices(question, given.value)


def _latest(state: JobState, name: str) -> int:
    places = [n for n, each in enumerate(state.given) if _answers_it(state, each, name)]
    if not places:
        raise UnknownName(say("state_has_not_been_answered", name=name[:40]))
    return places[-1]


def give(state: JobState, given: Given) -> JobState:
    return replace(state, given=(*state.given, given))


def _observation(pack: Pack, name: str) -> Observation:
    return pack.observations[known_name(name, pack.observations, "observation")]


def known_name(name: str, known: Iterable[str], what: str) -> str:
    """The name, if it is known; raises UnknownName with the nearest known one. what: a code of what it names."""
    names = list(known)
    if name not in names:
        hint = did_you_mean(name[:80], names)
        told = say("state_there_no", what=say(f"what_{what}"), name=name[:40], hint=hint)
        raise UnknownName(told.strip("; "))
    return name
