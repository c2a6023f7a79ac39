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
from faultfinder.job.findings import open_findings
from faultfinder.job.findings import titles as unsafe_findings
from faultfinder.job.forgotten_dangers import Lost
from faultfinder.job.history.history import blended
from faultfinder.job.return_tests import held_to_its_reading, outside_its_limit, reading_of
from faultfinder.knowledge.model import Access, Kind, Need, Observation, Pack, Question
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.strength_words import SAFETY_CHOICES
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.reasoning.evidence.facts import facts_of_pack, outside, possible, read_fact
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import RETURN_TESTS
from faultfinder.safety.dangers import FORGOTTEN, SIGNS
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import Meter, meter_from_text

SAFETY_FACTS: Mapping[str, tuple[str, ...]] = SAFETY_CHOICES
"""Facts that the safety rules rest on: taken for every machine, whether or not its pack asks for them."""


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
    steps = list(each_step(pack, events))
    state = steps[-1][0] if steps else begin(pack)
    return at_the_end(state), [(position, why) for position, (_, _, why) in enumerate(steps) if why]


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


def take(case: Case, given: Given) -> None:
    """Tell a Case one thing. Raises what the Case raises."""
    if given.kind == "fact":
        case.set_fact(given.name, str(given.value) or None)
    elif given.kind == "answer":
        kind = Kind.TOLD if given.told else None
        item = case.pack.observations.get(given.name)
        again = item is not None and Kind.TOLD not in (item.kind, kind) and not given.complaint
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
    return forgotten.meant([(item, _answers_of(state, item, event))])


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
            state = _sign_brought(state, sign, ("",))
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
            return _answered(state, event)
        case happened.Chosen():
            return _chosen(state, event)
        case happened.Corrected():
            return _corrected(state, event)
        case happened.Withdrawn():
            return _withdrawn(state, event)
        case happened.Skipped():
            _item(pack, event.observation)
            return _give(state, Given("skip", event.observation, event.because))
        case happened.Without():
            _known(event.instrument, pack.instruments, "instrument")
            return _give(state, Given("without", event.instrument))
        case happened.Reassembled():
            return _give(state, Given("reassembled", "")) if event.value else state
        case happened.RanAgain():
            return _give(state, Given("ran_again", "")) if event.value else state
        case happened.DealtWith():
            return replace(state, still_lost=forgotten.dealt_with(state.still_lost, event))
        case happened.RemedyStarted():
            _known(event.cause, pack.causes, "cause")
            return replace(state, remedy=event)
        case happened.RemedyLeft():
            _known(event.cause, pack.causes, "cause")
            return replace(state, remedy=None)
        case happened.Declined():
            _known(event.cause, pack.causes, "cause")
            _known(event.because, happened.DECLINED, "reason")
            return replace(state, declined=MappingProxyType({**state.declined, event.cause: event.because}))
        case happened.PutRight():
            return _put_right(state, event)
        case happened.DangerSeen():
            return _danger_seen(state, event)
        case happened.Confirmed():
            moved = _moved(state, safety.confirm(gate, event.action, event.outcome))
            return replace(moved, dangers_told=True) if event.action == "dangers_answered" else moved
        case happened.ReturnTested():
            _known(event.test, RETURN_TESTS, "return_test")
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
    _known(event.sign, SIGNS, "danger_sign")
    # A sign that stood already came with an answer, and was not told by itself.
    told = state.dangers_told or (event.sign not in state.gate.signs and event.sign != LOST_SIGN)
    items = [state.pack.observations[name] for name in state.latest]
    by = [item.id for item in items if item.reading is not None and event.sign in item.danger.values()]
    state = replace(state, lost_open=state.lost_open and event.sign != LOST_SIGN, dangers_told=told)
    return _sign_brought(state, event.sign, by or ("",))


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
        return _give(state, given) if given else state
    return _sign_came_of(state, TEST_FAILED, {event.of}, before)


def _fact(state: JobState, event: happened.FactGiven) -> JobState:
    name, value = event.fact, "" if event.value == "unknown" else event.value
    own = name in state.pack.facts
    if not own and name not in SAFETY_FACTS:
        _known(name, [*state.pack.facts, *SAFETY_FACTS], "fact")
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
    return _give(state, Given("fact", name, value)) if own else state


def _facts_taken(state: JobState, facts: Mapping[str, str]) -> JobState:
    strict = dict(facts)
    refrigerant = state.pack.facts.get("refrigerant")
    if refrigerant is not None and "refrigerant" not in facts and possible(refrigerant.applies, facts):
        strict["refrigerant"] = "unknown"
    return replace(state, facts=MappingProxyType(dict(facts)), gate=safety.facts_known(state.gate, strict))


def _answered(state: JobState, event: happened.Answered) -> JobState:
    observation = _observation(state.pack, event.observation)
    value = _value(observation, event.value, event.reads)
    told = event.how == "told"
    complaint = _is_complaint(state, observation, value)
    given = Given("answer", observation.id, value, told, complaint, event.access, at=event.at)
    understand(observation, value, 0, Kind.TOLD if told else None)
    # A log was made while other work went on; reading it takes no time of the job.
    minutes = 0.0 if event.access == happened.ACCESS_LOGGED else observation.minutes
    state = replace(_give(state, given), minutes=state.minutes + minutes)
    answers = _answers_of(state, observation, event)
    if not (told or given.brought) and observation.healthy in answers:
        # Looked at again, and as it should be.
        state = replace(state, still_lost=forgotten.without(state.still_lost, observation.id))
    return _held_to_the_test(_seen(state, observation, answers, told), observation, event.reads)


def _answers_of(
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
        state = _sign_brought(state, sign, by)
    return state


def _sign_brought(state: JobState, sign: str, by: Iterable[str]) -> JobState:
    """A danger sign was met. by: the readings that it came of; an empty name for all else."""
    before = state.gate
    return _sign_came_of(replace(state, gate=safety.danger_seen(before, sign)), sign, by, before)


def _sign_came_of(state: JobState, sign: str, by: Iterable[str], before: Gate) -> JobState:
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


def _withdrawn(state: JobState, event: happened.Withdrawn) -> JobState:
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


def _chosen(state: JobState, event: happened.Chosen) -> JobState:
    asked = state.pack.questions[_known(event.question, state.pack.questions, "question")]
    sets = Case(state.pack).choices(asked, event.value)
    state = _give(state, Given("answer", asked.id, event.value, access=event.access, at=event.at))
    state = replace(state, minutes=state.minutes + asked.minutes)
    for name, answer in sets.items():
        state = _seen(state, state.pack.observations[name], (answer,), told=asked.need is Need.ANYWHERE)
    return state


def _corrected(state: JobState, event: happened.Corrected) -> JobState:
    observation = _observation(state.pack, event.observation)
    value = _value(observation, event.value, event.reads)
    place = _latest(state, observation.id)
    understand(observation, value, 0, Kind.TOLD if state.given[place].told else None)
    given = _with_another(state, place, observation.id, value, event.at)
    state = _signs_lifted(replace(state, given=given), observation.id)
    state = replace(state, still_lost=forgotten.without(state.still_lost, observation.id))
    seen = _seen(state, observation, _answers_of(state, observation, event), told=True)
    return _held_to_the_test(seen, observation, event.reads)


def _held_to_the_test(state: JobState, observation: Observation, reads: str) -> JobState:
    """A reading that a return test makes too has one limit with it: outside of that it is a danger sign, whatever its
    band is called."""
    if not outside_its_limit(state.pack, state.facts, observation, reads):
        return state
    return _sign_brought(state, "earth_or_insulation_bad", (observation.id,))


def _with_another(state: JobState, place: int, name: str, value: str, at: str) -> tuple[Given, ...]:
    """What was given, with another answer to an observation in one place; empty: taken back out of choices."""
    there = state.given[place]
    was = there.value if isinstance(there.value, str) else ", ".join(there.value)
    corrected = replace(there, at=at or there.at, was=was)
    if there.name == name:
        corrected = replace(corrected, value=value)
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


def _put_right(state: JobState, event: happened.PutRight) -> JobState:
    cause = state.pack.causes[_known(event.cause, state.pack.causes, "cause")]
    gate = safety.remedy_done(state.gate, cause)
    minutes = state.minutes + (event.minutes if event.minutes > 0 else cause.minutes)
    done = (*state.put_right, cause.id)
    still = MappingProxyType({name: why for name, why in state.declined.items() if name != cause.id})
    state = replace(state, gate=gate, put_right=done, remedy=None, declined=still, minutes=minutes)
    return _give(state, Given("put_right", cause.id))


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
        return _give(state_after, Given("reassembled", ""))
    if gate.access is Access.IN_USE is not state.gate.access and _may_return(state):
        return _give(state_after, Given("ran_again", ""))
    return state_after


def _may_return(state: JobState) -> bool:
    """Whether something was put right that comes back while what brings it on is left."""
    return any(state.pack.causes[name].returns > 0.0 for name in state.mended)


def _give(state: JobState, given: Given) -> JobState:
    return replace(state, given=(*state.given, given))


def _observation(pack: Pack, name: str) -> Observation:
    return pack.observations[_known(name, pack.observations, "observation")]


def _item(pack: Pack, name: str) -> Observation | Question:
    if name in pack.questions:
        return pack.questions[name]
    _known(name, [*pack.observations, *pack.questions], "observation")
    return pack.observations[name]


def _known(name: str, known: Iterable[str], what: str) -> str:
    """The name, if it is known; raises UnknownName with the nearest known one."""
    names = list(known)
    if name not in names:
        hint = did_you_mean(name[:80], names)
        told = say("state_there_no", what=say(f"what_{what}"), name=name[:40], hint=hint)
        raise UnknownName(told.strip("; "))
    return name
