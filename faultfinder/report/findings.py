"""A job written up from its record: what was found and how surely, what was done, and how the machine was left.

`report_of` is pure: (pack, events) -> `Report`. Every figure is from the record or worked out from the rules; what
could not be taken is told, not skipped. Two forms: the customer's, and with `workshop` the full evidence, which
costs two engine runs an answer. How it is worded and drawn stands in text.py and page.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from hashlib import sha256
from types import MappingProxyType
from typing import NamedTuple

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import (
    Closed,
    Event,
    MeterUsed,
    PictureTaken,
    PutRight,
    ReturnTested,
    TakenBack,
)
from faultfinder.job.history.history import clock_minutes
from faultfinder.job.return_tests import source_of
from faultfinder.job.workshop.attachments import kind_of
from faultfinder.job.workshop.prices import PriceList
from faultfinder.knowledge.model import Observation, Pack, Question
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND, GRAVE_SETTLED, LEFT_OPEN, TALK
from faultfinder.reasoning.decision.last_round import unproved
from faultfinder.reasoning.decision.scope import price_list, raised
from faultfinder.reasoning.decision.test_selection import mendings
from faultfinder.report.measurements import (
    contradictions_told,
    costs,
    evidence_of,
    fact_lines,
    measured,
    seen,
    service,
)
from faultfinder.report.model import (
    Fault,
    Left,
    Part,
    Picture,
    Possible,
    Report,
    ReturnTest,
    Rules,
    SignMet,
    Taken,
    Undone,
    Work,
)
from faultfinder.report.timeline import Walked, told_case, walk
from faultfinder.safety.dangers import SIGNS, customer_notice
from faultfinder.safety.gate import access_words, not_isolated, owed_tests
from faultfinder.text.catalogue import say


def report_of(
    pack: Pack,
    events: Iterable[Event],
    *,
    job: str = "",
    workshop: bool = False,
    problems: Sequence[str] = (),
    lines: Sequence[int] = (),
    about: Mapping[str, str] = MappingProxyType({}),
    pictures: Mapping[str, bytes] = MappingProxyType({}),
    prices: PriceList | None = None,
) -> Report:
    """The report of a record. job: its name. problems: what reading the file told. lines: the line number of each
    event, to name what could not be taken (without: its number from 1). about: who and where. pictures: bytes of the
    pictures that the record names. prices: the workshop's own list of parts."""
    walked = walk(pack, events)
    state = walked.state
    case, recorded, mended = told_case(state)
    chances = _chances(case)
    readings, looks = measured(case, recorded), seen(case, recorded)
    answers = {item.observation: item.counted for item in (*readings, *looks)}
    found = _found(case, chances, walked, mended, answers)
    not_done = _not_done(case, chances, walked)
    possible, grave = _left_over(case, chances, walked, {item.cause for item in not_done})
    causes = [item.cause for item in found]
    weighed = workshop and chances.begin
    return Report(
        title=pack.title,
        job=job,
        began=walked.times[0] if walked.times else "",
        ended=walked.ended,
        minutes=state.closed.minutes if state.closed and state.closed.minutes else state.minutes,
        reopened=max(0, len(walked.of(Closed)) - (state.closed is not None)),
        rules=_rules(walked),
        complaint=state.complaint,
        outside=case.outside or "",
        exact=not chances.begin or case.exact,
        facts=fact_lines(state, case, readings),
        found=found,
        done=_done(walked),
        readings=readings,
        looks=looks,
        tests=_tests(walked),
        left=_left(walked, chances),
        not_done=not_done,
        possible=possible,
        not_looked_at=grave,
        advice=_advice(pack, [*causes, *state.put_right]),
        service=service(case, walked, causes),
        costs=costs(case, readings),
        signs=_signs(walked),
        skipped=_skipped(walked),
        unproved=_unproved(walked, case),
        without=tuple(
            pack.instruments[given.name] for given in dict.fromkeys(state.given) if given.kind == "without"
        ),
        meter=next((event.ranges for event in reversed(walked.of(MeterUsed))), ()),
        notes=state.notes,
        cautions=(say("caution_first"), say("caution_limits")),
        contradictions=contradictions_told(case),
        problems=(*problems, *_troubles(walked, lines, chances)),
        evidence=evidence_of(case, chances.begin, chances.now, causes, possible, recorded)
        if weighed
        else None,
        about=tuple((field, words) for field, words in about.items() if words),
        parts=_parts(walked, prices),
        money=prices.money if prices else "",
        clock_minutes=clock_minutes(walked.events),
        pictures=tuple(
            _picture(event, works, pictures)
            for event, works in walked.after_works
            if isinstance(event, PictureTaken)
        ),
    )


def _parts(walked: Walked, prices: PriceList | None) -> tuple[Part, ...]:
    """The parts used, each name once with all of its pieces."""
    out = []
    for name, count in walked.parts.items():
        listed = prices.find(name) if prices else None
        out.append(Part(name, count, listed.price, listed.stock) if listed else Part(name, count))
    return tuple(out)


def _picture(event: PictureTaken, works: int, pictures: Mapping[str, bytes]) -> Picture:
    data = pictures.get(event.file, b"")
    same = bool(data) and sha256(data).hexdigest() == event.hash and bool(kind_of(data))
    return Picture(event.file, event.words, event.at, works, data if same else b"", bool(data) and not same)


def _tests(walked: Walked) -> tuple[ReturnTest, ...]:
    """Every return test in order, with the work that went before it and where its limit stands."""
    state, made = walked.state, iter(walked.state.tests)
    out: list[ReturnTest] = []
    for event, works in walked.after_works:
        if isinstance(event, ReturnTested):
            test, last = next(made), works == len(state.put_right)
            source = source_of(test, state.pack, state.facts)
            out.append(
                ReturnTest(test.test, test.outcome, test.reads, test.limit, test.at, works, last, source)
            )
        elif isinstance(event, TakenBack):
            latest = max((n for n, each in enumerate(out) if each.test == event.action), default=None)
            if latest is not None:
                out[latest] = replace(out[latest], taken_back=True)
    return tuple(out)


class _Chances(NamedTuple):
    """Every cause's chance at the job's begin and now; empty where they cannot be worked out, with the trouble."""

    begin: Mapping[str, float]
    now: Mapping[str, float]
    trouble: str = ""


def _chances(case: Case) -> _Chances:
    try:
        return _Chances({}, {}) if case.outside else _Chances(case.found(), case.confidence())
    except FaultFinderError as error:
        return _Chances({}, {}, str(error))


def _found(
    case: Case,
    chances: _Chances,
    walked: Walked,
    mended: Mapping[str, int],
    answers: Mapping[str, tuple[Taken, ...]],
) -> tuple[Fault, ...]:
    """What was there when the job began, likeliest first, and whatever else was put right or named at the end."""
    pack, begin = case.pack, chances.begin
    closed = walked.state.closed
    named = {name for name in closed.found if name in pack.causes} if closed else set()
    known = {name for name, chance in begin.items() if chance > FOUND} | set(mended) | named
    names = [name for name in pack.causes if name in known]
    with_it = {each: works for name, works in mended.items() for each in pack.causes[name].also_mends}
    mended = {**with_it, **mended}
    out = []
    for name in sorted(names, key=lambda each: -begin.get(each, 0.0)):
        cause = pack.causes[name]
        proof, how = _proof(case, name, mended, answers, chances.now)
        bringers = {each: begin.get(each, 0.0) for each in (case.links.ancestors[name] - {name}) & known}
        fault = Fault(
            cause=name,
            title=cause.title,
            chance=begin.get(name, 0.0),
            now=chances.now.get(name, 0.0),
            put_right=name in mended,
            hazard=cause.hazard.value,
            remedy=cause.remedy,
            parts=cause.parts,
            proof=proof,
            how=how,
            proofs=cause.proof,
            named=name in named,
            brought_on_by=tuple(item.title for item in _possible(case, bringers)),
        )
        out.append(fault)
    return tuple(out)


def _proof(
    case: Case,
    cause: str,
    mended: Mapping[str, int],
    answers: Mapping[str, tuple[Taken, ...]],
    now: Mapping[str, float],
) -> tuple[str, tuple[str, ...]]:
    """Whether the observations that the rules name as proof show the repair, and which do. What is on the edge of
    healthy, or is explained by another fault that is likely there still, says nothing against it."""
    if cause not in mended:
        return "", ()
    others = [c for name, c in case.pack.causes.items() if name != cause and now.get(name, 0.0) > FOUND]
    asks: dict[str, list[str]] = {"still": [], "proved": [], "other": []}
    for name in case.pack.causes[cause].proof:
        since = [take for take in answers.get(name, ()) if take.works >= mended[cause]]
        if not since:
            continue
        if since[-1].healthy:
            says = "proved"
        elif now.get(cause, 1.0) <= FOUND and any(name in other.shows for other in others):
            says = "other"
        else:
            says = "still"
        if says != "still" or not since[-1].on_edge:
            asks[says].append(case.pack.observations[name].ask)
    return next(((says, tuple(of)) for says, of in asks.items() if of), ("unproved", ()))


def _not_done(case: Case, chances: _Chances, walked: Walked) -> tuple[Undone, ...]:
    """What is likely there now and worth putting right, or was begun and left; likeliest first."""
    if case.outside:
        return ()
    pack, now = case.pack, chances.now
    names = [name for name, chance in now.items() if chance > FOUND]
    if now:
        about = raised(case)
        concerned = {name: cost for name, cost in price_list(case).items() if name in about}
        steps = mendings(case, concerned)
        names += [step.target for step in steps if step.target not in names]
    declined = walked.state.declined
    names += [name for name in (*walked.unfinished, *declined) if name not in names]
    out = []
    for name in sorted(names, key=lambda each: -now.get(each, 0.0)):
        cause, chance = pack.causes[name], now.get(name, 0.0)
        why = "again" if name in walked.state.put_right else "advised"
        why = declined.get(name) or ("left" if name in walked.unfinished else why)
        why = "licensed" if cause.hand_to else why
        out.append(Undone(name, cause.title, cause.remedy, cause.parts, chance, cause.hazard.value, why))
    return tuple(out)


def _left_over(
    case: Case, chances: _Chances, walked: Walked, told: set[str]
) -> tuple[tuple[Possible, ...], tuple[Possible, ...]]:
    """What is neither found nor ruled out, and what is grave, not ruled out and was not looked at."""
    now, causes = chances.now, case.pack.causes
    named = set(walked.state.closed.not_looked_at) if walked.state.closed else set()
    if not now:
        return (), _possible(case, {name: 0.0 for name in named if name in causes})
    price, about = price_list(case), raised(case)
    left, grave = {}, {}
    for name, cost in price.items():
        if name in told:
            continue
        if name in about and now[name] > LEFT_OPEN and cost.regret(now[name]) > TALK:
            left[name] = now[name]
        elif causes[name].hazard.grave and (now[name] > GRAVE_SETTLED or name in named):
            grave[name] = now[name]
    return _possible(case, left), _possible(case, grave)


def _possible(case: Case, chances: Mapping[str, float]) -> tuple[Possible, ...]:
    causes = case.pack.causes
    return tuple(
        Possible(name, causes[name].title, chance, causes[name].hazard.value)
        for name, chance in sorted(chances.items(), key=lambda pair: (-pair[1], pair[0]))
    )


def _done(walked: Walked) -> tuple[Work, ...]:
    out = []
    for event in walked.of(PutRight):
        cause = walked.state.pack.causes[event.cause]
        minutes = event.minutes or cause.minutes
        out.append(Work(cause.id, cause.title, cause.remedy, cause.parts, minutes, event.at))
    return tuple(out)


def _left(walked: Walked, chances: _Chances) -> Left:
    """How the machine was left, and the notice where it must not be used."""
    state = walked.state
    gate, causes = state.gate, state.pack.causes
    leaving = state.closed.state if state.closed else "refused" if walked.claimed else "open"
    unsafe = tuple(
        causes[name].title
        for name, chance in chances.now.items()
        if chance > FOUND and causes[name].hazard.grave
    )
    owed = owed_tests(gate)
    unfit = gate.signs or gate.stop or unsafe or owed or leaving in ("left_isolated", "refused")
    return Left(
        state=leaving,
        recorded=walked.claimed,
        access=access_words(gate.access),
        notice=customer_notice(gate.signs) if unfit else "",
        stopped=bool(gate.stop),
        unsafe=unsafe,
        owed=owed,
        as_found=not_isolated(gate),
    )


def _rules(walked: Walked) -> Rules:
    pack, opened, seen_before = walked.state.pack, walked.state.opened, walked.state.seen
    return Rules(
        pack.name,
        pack.version,
        pack.fingerprint,
        opened.version if opened else "",
        opened.fingerprint if opened else "",
        seen_before.jobs if seen_before else 0,
        seen_before.weight if seen_before else 0.0,
    )


def _signs(walked: Walked) -> tuple[SignMet, ...]:
    open_now = walked.state.gate.signs
    return tuple(
        SignMet(sign, SIGNS[sign].told, at, sign not in open_now, sign in walked.lifted)
        for sign, at in walked.signs.items()
    )


def _unproved(walked: Walked, case: Case) -> tuple[str, ...]:
    closed = walked.state.closed
    if closed is None or closed.state != "fit_for_use":
        return ()
    return tuple(case.pack.observations[name].ask.rstrip("?") for name in unproved(case))


def _skipped(walked: Walked) -> tuple[tuple[str, str], ...]:
    """What was passed over and never answered."""
    pack, given = walked.state.pack, walked.state.given
    answered = {item.name for item in given if item.kind == "answer"}
    why = {item.name: str(item.value) for item in given if item.kind == "skip" and item.name not in answered}
    asked: dict[str, Observation | Question] = {**pack.observations, **pack.questions}
    return tuple((asked[name].ask, because) for name, because in why.items())


def _advice(pack: Pack, causes: Sequence[str]) -> tuple[str, ...]:
    told = [pack.causes[name].advice.strip() for name in dict.fromkeys(causes)]
    return tuple(dict.fromkeys(text for text in told if text))


def _troubles(walked: Walked, lines: Sequence[int], chances: _Chances) -> Iterator[str]:
    """What could not be taken, and why nothing could be reckoned."""
    for position, why in walked.troubles:
        yield say("not_taken", line=lines[position] if position < len(lines) else position + 1, why=why)
    if chances.trouble:
        yield say("no_reckoning", why=chances.trouble)
