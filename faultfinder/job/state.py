"""What the events of a job come to: the safety gate, the facts, and what a Case is to be told, in order.

`apply` is pure: (state, event) -> state. It raises a FaultFinderError, the state unchanged, for an event that
cannot be (an unknown name, a reading that cannot be read, a safety rule broken), so whoever calls it before
writing the event down keeps every record foldable. Probabilities are none of its business: `JobState.given`
lists what to replay into a Case, and `replayed` does it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType

from faultfinder.errors import FaultFinderError, Refused, UnknownName
from faultfinder.job import events as happened
from faultfinder.job import forgotten_dangers as forgotten
from faultfinder.job.events import Event
from faultfinder.job.findings import titles as unsafe_findings
from faultfinder.job.forgotten_dangers import Lost
from faultfinder.job.history.history import blended
from faultfinder.job.return_tests import held_to_its_reading, reading_of
from faultfinder.job.told import (
    Given,
    answered,
    answers_of,
    chosen,
    corrected,
    give,
    known_name,
    sign_brought,
    sign_came_of,
    take,
    withdrawn,
)
from faultfinder.knowledge.model import Access, Need, Observation, Pack, Question
from faultfinder.knowledge.schema.strength_words import SAFETY_CHOICES
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.facts import outside, possible, read_fact
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import RETURN_TESTS
from faultfinder.safety.dangers import FORGOTTEN, SIGNS
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import Meter, meter_from_text

SAFETY_FACTS: Mapping[str, tuple[str, ...]] = SAFETY_CHOICES
"""Facts that the safety rules rest on: taken for every machine, whether or not its pack asks for them."""


@dataclass(frozen=True, slots=True)
class JobState:
    """A job so far. minutes: by the minutes that the pack states for what was done, access changes included."""

    pack: Pack
    gate: Gate = Gate()
    facts: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    given: tuple[Given, ...] = ()
    """What to tell a Case, in order; corrections stand in the place of what they corrected."""
    put_right: tuple[str, ...] = ()
    complaint: str = ""
    notes: tuple[str, ...] = ()
    tests: tuple[happened.ReturnTested, ...] = ()
    """Every return test made, in order, with what was measured."""
    remedy: happened.RemedyStarted | None = None
    """The remedy under way."""
    declined: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """Cause -> why its remedy is not carried out in this job: one of events.DECLINED."""
    taken_back: tuple[str, ...] = ()
    """Observations whose unsafe finding was taken back with nothing in its place: it stands until it is made anew."""
    brought: Mapping[str, frozenset[str]] = field(default_factory=lambda: MappingProxyType({}))
    """Danger sign -> the readings that brought it; an empty name: somebody saw, heard or reported it."""
    latest: tuple[str, ...] = ()
    """The observations answered by the event before this one: a sign that follows came of them."""
    still_lost: tuple[Lost, ...] = ()
    """What stands in the record, these rules do not know any more, and nobody has dealt with by name: it stands
    against 'fit for use', here and in the gate."""
    before_failure: Gate | None = None
    """The gate before the return test that failed just now, for a slip of the finger; None once anything was done."""
    lost_open: bool = False
    """Whether something of it may have been a danger, and nobody has been told by a sign of its own yet."""
    minutes: float = 0.0
    opened: happened.Opened | None = None
    meter: Meter | None = None
    """The person's own meter, where the record says its accuracy."""
    seen: happened.SeenBefore | None = None
    """What the workshop has seen, where that counts: the pack then has those numbers."""
    closed: happened.Closed | None = None
    dangers_told: bool = False
    """Whether the danger list was answered, or a sign told by itself; what stands now is the gate's."""

    @property
    def mended(self) -> frozenset[str]:
        """What was put right: causes whose remedy was carried out, and what those remedies also mend."""
        causes = self.pack.causes
        return frozenset(self.put_right).union(*(causes[name].also_mends for name in self.put_right))

    @property
    def rules_changed(self) -> bool:
        """Whether the job was begun with other rules than these."""
        return bool(
            self.opened and self.opened.fingerprint and self.opened.fingerprint != self.pack.fingerprint
        )


def begin(pack: Pack) -> JobState:
    """A job on which nothing has happened yet."""
    return _facts_taken(JobState(pack), {})


def fold(pack: Pack, events: Iterable[Event]) -> tuple[JobState, list[tuple[int, str]]]:
    """What a whole record comes to, and what in it cannot be: (position of the event, why), that event left out."""
    state, troubles = begin(pack), list[tuple[int, str]]()
    for position, step in enumerate(each_step(pack, events)):
        state, _, why = step
        troubles += [(position, why)] if why else []
    return at_the_end(state), troubles


def each_step(pack: Pack, events: Iterable[Event]) -> Iterator[tuple[JobState, Event, str]]:
    """The job after every event of its record, with that event and why it could not be taken; empty where it was.

    What `apply` would not take is no evidence, but what these rules do not know any more keeps what it meant for
    safety.
    """
    state = begin(pack)
    for event in events:
        why = ""
        try:
            state = apply(state, event)
        except FaultFinderError as error:
            why = str(error)
            state = state if isinstance(error, Refused) else _kept_as_lost(state, event)
        yield state, event, why


def at_the_end(state: JobState) -> JobState:
    """The job at the end of its record: what may have been a danger and is not known any more stands as a sign."""
    if not (state.lost_open and state.still_lost) or state.closed is not None:
        return state
    return replace(state, gate=safety.danger_seen(state.gate, LOST_SIGN))


def replayed(state: JobState) -> Case:
    """A Case that was told everything, its access state the gate's."""
    return _told(Case(state.pack, meter=state.meter), state, 0)


def followed(state: JobState, case: Case, before: JobState) -> Case:
    """The same where a Case was told everything of the job as it was `before`: only what came after is told to
    another one, unless something earlier was corrected. The Case given stays as it was."""
    known = len(before.given)
    if state.given[:known] != before.given or state.meter != before.meter or state.pack is not before.pack:
        return replayed(state)
    return _told(case.fork(), state, known)


def _told(case: Case, state: JobState, known: int) -> Case:
    for given in state.given[known:]:
        take(case, given)
    case.access = state.gate.access
    return case


LOST_SIGN = FORGOTTEN
TEST_FAILED = "return_test_failed"


def _kept_as_lost(state: JobState, event: Event) -> JobState:
    """What these rules do not know any more of a record (another version named it otherwise) is no evidence, and what
    it means for safety stays: work done owes its tests, and what may have been a danger is taken for one."""
    gate = state.gate
    match event:
        case happened.PutRight():
            # Written by hand, it may have been anything.
            inside = event.inside or not (event.access or event.work)
            gate = safety.work_done(gate, inside=inside, electrical=event.electrical)
            name, told = event.cause, say("told_put_right", what=event.work or event.cause)
        case happened.Answered() | happened.Corrected() | happened.Chosen():
            name, told = _as_written(event)
            if isinstance(event, happened.Answered) and event.inside:
                gate = safety.reading_brought(gate, Need.OPEN_DEAD)
        case happened.DangerSeen():
            name, told = event.sign, say("told_danger_sign", sign=event.sign)
        case happened.Advised(access=Need.OPEN_DEAD):
            return replace(state, gate=safety.instruction_given(gate, Need.OPEN_DEAD))
        case _:
            return state
    remedy = None if isinstance(event, happened.PutRight) else state.remedy
    return _lost(replace(state, gate=gate, remedy=remedy, latest=(), before_failure=None), name, told)


def _lost(state: JobState, name: str, told: str) -> JobState:
    """Something may have been a danger, and these rules do not know it any more."""
    still = (*forgotten.without(state.still_lost, name), Lost(name, told))
    return replace(state, still_lost=still, lost_open=True)


def _meant(state: JobState, event: _Telling) -> tuple[str, ...]:
    """What an event means for safety by these rules."""
    pack = state.pack
    if isinstance(event, happened.Chosen):
        sets = Case(pack).choices(pack.questions[event.question], event.value)
        known = [
            (pack.observations[name], (answer,)) for name, answer in sets.items() if name in pack.observations
        ]
        return forgotten.meant(known)
    item = pack.observations[event.observation]
    return forgotten.meant([(item, answers_of(state, item, event))])


def marked(state: JobState, event: Event) -> Event:
    """An event as it is written down: with what it means for safety by these rules, so that no later rules forget."""
    return replace(event, meant=_meant(state, event)) if isinstance(event, _Telling) else event


def _remembered(state: JobState, event: Event) -> JobState:
    """The job with what an answer meant when it was given, where these rules dropped it."""
    if not isinstance(event, _Telling) or not event.meant:
        return state
    dropped = [each for each in event.meant if each not in _meant(state, event)]
    for sign in dropped:
        if sign in SIGNS:
            state = sign_brought(state, sign, ("",))
    return _lost(state, *_as_written(event)) if dropped else state


_Telling = happened.Answered | happened.Corrected | happened.Chosen


def _as_written(event: _Telling) -> tuple[str, str]:
    """What was answered, by its name in the record and as it stands there."""
    if isinstance(event, happened.Chosen):
        return event.question, f"{event.question}: {', '.join(event.value)}"
    return event.observation, f"{event.observation}: {event.reads or event.value}"


# -- one event ------------------------------------------------------------------------------------------


def apply(state: JobState, event: Event) -> JobState:
    """The job after an event. Raises a FaultFinderError for one that cannot be, the state unchanged."""
    after = _remembered(_applied(state, event), event)
    before = after.before_failure if _undoes_nothing(event) else None
    if after.gate.forgotten and not after.still_lost:
        after = replace(after, gate=safety.all_dealt_with(after.gate))
    return replace(after, latest=_answered_by(after, event), before_failure=before)


def _undoes_nothing(event: Event) -> bool:
    """Whether a return test that failed just now may still be a slip of the finger after this event."""
    return isinstance(event, happened.ReturnTested | happened.Noted | happened.Declined | happened.Expect)


def _answered_by(state: JobState, event: Event) -> tuple[str, ...]:
    """The observations that a danger sign written next came of."""
    match event:
        case happened.Answered() | happened.Corrected():
            return (event.observation,)
        case happened.DangerSeen() | happened.Noted() | happened.Declined() | happened.Expect():
            return state.latest
    return ()


def _applied(state: JobState, event: Event) -> JobState:
    pack, gate = state.pack, state.gate
    if isinstance(event, happened.Expect | happened.PictureTaken | happened.PartUsed):
        return state  # kept for the replay or the report; nothing is concluded from them
    if state.closed is not None and not isinstance(event, happened.Noted | happened.Resumed):
        raise Refused(say("state_job_closed_take_up"))
    match event:
        case happened.Opened():
            if state.opened is not None:
                raise Refused(say("state_record_begins_once_opened"))
            return replace(state, opened=event)
        case happened.MeterUsed():
            return replace(state, meter=meter_from_text("\n".join(event.ranges)) if event.ranges else None)
        case happened.SeenBefore():
            return replace(state, seen=event, pack=blended(pack, event))
        case happened.FactGiven():
            return _fact(state, event)
        case happened.Complaint():
            return replace(state, complaint=f"{state.complaint} {event.text}".strip())
        case happened.Noted():
            return replace(state, notes=(*state.notes, event.text))
        case happened.Answered():
            return answered(state, event)
        case happened.Chosen():
            return chosen(state, event)
        case happened.Corrected():
            return corrected(state, event)
        case happened.Withdrawn():
            return withdrawn(state, event)
        case happened.Skipped():
            _item(pack, event.observation)
            return give(state, Given("skip", event.observation, event.because))
        case happened.Without():
            known_name(event.instrument, pack.instruments, "instrument")
            return give(state, Given("without", event.instrument))
        case happened.Reassembled():
            return give(state, Given("reassembled", "")) if event.value else state
        case happened.RanAgain():
            return give(state, Given("ran_again", "")) if event.value else state
        case happened.DealtWith():
            return replace(state, still_lost=forgotten.dealt_with(state.still_lost, event))
        case happened.RemedyStarted():
            known_name(event.cause, pack.causes, "cause")
            return replace(state, remedy=event)
        case happened.RemedyLeft():
            known_name(event.cause, pack.causes, "cause")
            return replace(state, remedy=None)
        case happened.Declined():
            known_name(event.cause, pack.causes, "cause")
            known_name(event.because, happened.DECLINED, "reason")
            return replace(state, declined=MappingProxyType({**state.declined, event.cause: event.because}))
        case happened.PutRight():
            return _put_right(state, event)
        case happened.DangerSeen():
            return _danger_seen(state, event)
        case happened.Confirmed():
            moved = _moved(state, safety.confirm(gate, event.action, event.outcome))
            return replace(moved, dangers_told=True) if event.action == "dangers_answered" else moved
        case happened.ReturnTested():
            known_name(event.test, RETURN_TESTS, "return_test")
            return _return_tested(state, held_to_its_reading(pack, state.facts, event))
        case happened.TakenBack():
            if state.before_failure is not None and state.tests[-1].test == event.action:
                # A slip of the finger, seen at once: the value never was, and is asked for again.
                return replace(state, gate=state.before_failure)
            return replace(state, gate=safety.corrected(gate, event.action))
        case happened.Advised():
            return replace(state, gate=_advised(state, event))
        case happened.Paused():
            return replace(state, gate=safety.paused(gate, event.minutes, event.allowed))
        case happened.Restarted():
            return replace(state, gate=safety.restart_after_stop(gate, event.reason))
        case happened.Resumed():
            return replace(state, gate=safety.resumed(gate), closed=None)
        case happened.Closed():
            return _closed(state, event)
    raise Refused(say("state_event_cannot_taken_here", what=event.KEY))


def _danger_seen(state: JobState, event: happened.DangerSeen) -> JobState:
    """A sign told by itself, or written down after the answer that it came with."""
    known_name(event.sign, SIGNS, "danger_sign")
    # A sign that stood already came with an answer, and was not told by itself.
    told = state.dangers_told or (event.sign not in state.gate.signs and event.sign != LOST_SIGN)
    items = [state.pack.observations[name] for name in state.latest]
    by = [item.id for item in items if item.reading is not None and event.sign in item.danger.values()]
    state = replace(state, lost_open=state.lost_open and event.sign != LOST_SIGN, dangers_told=told)
    return sign_brought(state, event.sign, by or ("",))


def _return_tested(state: JobState, event: happened.ReturnTested) -> JobState:
    """A return test made. One that failed by a reading that counted for it is lifted with that reading; one that
    passed is the pack's own reading of the same thing too, so that nobody measures it twice."""
    before = state.gate
    state = _moved(state, safety.confirm(before, event.test, event.outcome))
    failed = event.outcome == "failed"
    state = replace(state, tests=(*state.tests, event), before_failure=before if failed else None)
    if not failed:
        item = reading_of(state.pack, state.facts, event)
        given = Given("answer", item.id, event.reads, of_test=True, at=event.at) if item else None
        return give(state, given) if given else state
    return sign_came_of(state, TEST_FAILED, {event.of}, before)


def _fact(state: JobState, event: happened.FactGiven) -> JobState:
    name, value = event.fact, "" if event.value == "unknown" else event.value
    own = name in state.pack.facts
    if not own and name not in SAFETY_FACTS:
        known_name(name, [*state.pack.facts, *SAFETY_FACTS], "fact")
    if value and own:
        read_fact(state.pack.facts[name], value)
    elif value and value not in SAFETY_FACTS[name]:
        raise UnknownName(
            say("state_no_can", value=value[:40], name=name, names=", ".join(SAFETY_FACTS[name]))
        )
    facts = {known: text for known, text in state.facts.items() if known != name}
    if value:
        facts[name] = value
    state = _facts_taken(state, facts)
    return give(state, Given("fact", name, value)) if own else state


def _facts_taken(state: JobState, facts: Mapping[str, str]) -> JobState:
    strict = dict(facts)
    refrigerant = state.pack.facts.get("refrigerant")
    if refrigerant is not None and "refrigerant" not in facts and possible(refrigerant.applies, facts):
        strict["refrigerant"] = "unknown"
    return replace(state, facts=MappingProxyType(dict(facts)), gate=safety.facts_known(state.gate, strict))


def _put_right(state: JobState, event: happened.PutRight) -> JobState:
    cause = state.pack.causes[known_name(event.cause, state.pack.causes, "cause")]
    gate = safety.remedy_done(state.gate, cause)
    minutes = state.minutes + (event.minutes if event.minutes > 0 else cause.minutes)
    done = (*state.put_right, cause.id)
    still = MappingProxyType({name: why for name, why in state.declined.items() if name != cause.id})
    state = replace(state, gate=gate, put_right=done, remedy=None, declined=still, minutes=minutes)
    return give(state, Given("put_right", cause.id))


def _closed(state: JobState, event: happened.Closed) -> JobState:
    unsafe = [
        cause.title
        for name in event.found
        if (cause := state.pack.causes.get(name)) and cause.hazard.grave and name not in state.mended
    ]
    if not state.rules_changed:
        # A job that was closed under other rules stays closed; one under way is asked by the conversation.
        unsafe += unsafe_findings(state)
    elif not state.lost_open:
        unsafe += forgotten.titles(state.still_lost)
    if reason := safety.why_not_close(state.gate, event.state, unsafe) or _why_not_ours(state, event.state):
        raise Refused(reason)
    return replace(state, closed=event)


def _why_not_ours(state: JobState, closing: str) -> str:
    """Why a machine that the pack is not for cannot be called fit for use; empty where it is for it."""
    known = {name: value for name, value in state.facts.items() if name in state.pack.facts}
    if closing != "fit_for_use" or outside(state.pack, known) is None:
        return ""
    return say("state_machine_outside_rules_nothing")


def _advised(state: JobState, event: happened.Advised) -> Gate:
    """An instruction may only be noted as given where the gate permits it."""
    cause = state.pack.causes.get(event.item)
    if cause is None:
        need = _item(state.pack, event.item).need
    else:
        need = Need.IN_USE if event.work == happened.PROVING_RUN else safety.remedy_need(cause)
    if not safety.permits(state.gate, need):
        raise Refused(say("state_instruction_for_may_not", item=event.item))
    return safety.instruction_given(state.gate, need)


def _moved(state: JobState, gate: Gate) -> JobState:
    """The gate may have reached another access state: its minutes count, and covers back on are noted."""
    minutes = state.minutes
    if gate.access is not state.gate.access and gate.access is not Access.AS_FOUND:
        minutes += state.pack.access_minutes.get(gate.access, 0.0)
    state_after = replace(state, gate=gate, minutes=minutes)
    if state.gate.covers_off and not gate.covers_off:
        return give(state_after, Given("reassembled", ""))
    if gate.access is Access.IN_USE is not state.gate.access and _may_return(state):
        return give(state_after, Given("ran_again", ""))
    return state_after


def _may_return(state: JobState) -> bool:
    """Whether something was put right that comes back while what brings it on is left; what rules that changed under
    way do not know any more says nothing."""
    mended = (state.pack.causes.get(name) for name in state.mended)
    return any(cause is not None and cause.returns > 0.0 for cause in mended)


def _item(pack: Pack, name: str) -> Observation | Question:
    if name in pack.questions:
        return pack.questions[name]
    known_name(name, [*pack.observations, *pack.questions], "observation")
    return pack.observations[name]
