"""Before the visit: what is likely, what to take, what to ask on the telephone, and whether to switch off until then.

Names work and prints no instruction. The customer's own words are matched to symptoms and shown; they count only when
somebody says that they do.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from faultfinder.dialogue.hearing.complaint import by_clause
from faultfinder.dialogue.queries.assess import split_given, take
from faultfinder.dialogue.queries.assess_in_words import step_mapping
from faultfinder.errors import BadAnswer
from faultfinder.knowledge.model import Cause, Kind, Need, Observation, Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.advice import worth_asking
from faultfinder.reasoning.decision.scope import concerned, raised
from faultfinder.reasoning.decision.step import Step
from faultfinder.reasoning.evidence.facts import nearest, possible
from faultfinder.reasoning.inference.any_of import chance_of_any
from faultfinder.safety.dangers import LEAVE_NOW, asked_of
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of
from faultfinder.trade.readings.meter import Meter

LIKELY_SHOWN = 8
LEAST_LIKELY = 0.03
PARTS_SHOWN = 8
LEAST_PART = 0.02
"""A part with less chance stays in the store; chosen."""
LEAST_INSTRUMENT = 0.05
QUESTIONS_SHOWN = 6
SHOWS_IT = 0.5
"""A reading shows a fault that pushes it this surely; chosen."""
GRAVE_OFF = 0.3
"""Chance of a fault that can burn or shock, raised by what was told, from which the machine is better off; chosen."""
GRAVE_WATCH = 0.1
"""The same, from which it is used only while somebody is there; or by so much what was told raised the chance of any
grave fault, where it doubled none. Chosen."""


class Use(StrEnum):
    """What may be done with the machine until the visit."""

    LEAVE = "leave"
    """Get out, call for help: a sign of the first danger list."""
    OFF_NOW = "off_now"
    """Switch off and unplug: a sign of the second list."""
    OFF = "off"
    """Better not used: a fault that can burn or shock is likely enough."""
    WATCHED = "watched"
    """Only while somebody is there and awake."""
    AS_USUAL = "as_usual"


@dataclass(frozen=True, slots=True)
class UntilThen:
    """The advice, the danger signs it rests on, what of them is only suggested by the customer's words, and the grave
    faults that what was told has made likelier (cause, chance), with the chance that any of them is there."""

    use: Use
    signs: tuple[str, ...]
    perhaps: tuple[str, ...]
    faults: tuple[tuple[str, float], ...]
    chance: float


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A symptom that the customer's words seem to speak of; its answers that would be a complaint. `best`: no other
    fits the same words better."""

    observation: str
    answers: tuple[str, ...]
    best: bool


@dataclass(frozen=True, slots=True)
class Wanted:
    """A part or instrument with the chance that it is needed, and the likeliest causes that need it.

    saves: minutes of a second visit that having it along is expected to save (parts only).
    """

    name: str
    chance: float
    causes: tuple[str, ...]
    saves: float = 0.0


@dataclass(frozen=True, slots=True)
class Preparation:
    """All of it. `counted`: what was told and counts, as (observation, answer). `opened`: chance that something
    behind the covers has to be mended."""

    case: Case
    until_then: UntilThen
    suggested: tuple[Suggestion, ...]
    counted: tuple[tuple[str, str], ...]
    likely: tuple[tuple[str, float], ...] = ()
    parts: tuple[Wanted, ...] = ()
    instruments: tuple[Wanted, ...] = ()
    opened: float = 0.0
    facts: tuple[str, ...] = ()
    """Facts without which the job cannot go on, still unknown."""
    plate: tuple[str, ...] = ()
    """What else stands on the rating plate and is unknown."""
    questions: tuple[Step, ...] = ()


def prepare(
    pack: Pack, given: Iterable[str], said: str = "", count_said: bool = False, meter: Meter | None = None
) -> Preparation:
    """What follows from what was told on the telephone. `given`: facts as FACT=VALUE, symptoms by their names, other
    findings as a technician types them; all are taken as told. `count_said`: what fits the words of `said` best
    counts too.

    Raises BadFact, BadAnswer, UnknownName for what cannot be understood.
    """
    case = case_told(pack, given, meter)
    suggested = _suggested(case, said)
    if count_said:
        for each in suggested:
            # Where several answers are a complaint, the words do not say which.
            if each.best and len(each.answers) == 1:
                case.record(each.observation, each.answers[0], kind=Kind.TOLD, complaint=True)
        suggested = tuple(each for each in suggested if case.latest(each.observation) is None)
    counted = tuple((answer.observation, case.judged(answer).answer) for answer in case.answers)
    if case.outside:
        return Preparation(case, _until_then(case, suggested, {}), suggested, counted)
    now = case.confidence()
    likely = sorted((name for name in now if now[name] >= LEAST_LIKELY), key=lambda name: -now[name])
    inside = [name for name in case.applicable if pack.causes[name].remedy_need is Need.OPEN_DEAD]
    unknown = [
        fact
        for fact in pack.facts.values()
        if fact.id not in case.facts and possible(fact.applies, case.facts)
    ]
    return Preparation(
        case,
        _until_then(case, suggested, now),
        suggested,
        counted,
        tuple((name, now[name]) for name in likely[:LIKELY_SHOWN]),
        _parts(case, now),
        _instruments(case, now),
        chance_of_any(case, {"inside": inside})["inside"],
        tuple(fact.id for fact in unknown if fact.required),
        tuple(fact.id for fact in unknown if not fact.required and "plate" in fact.where.casefold()),
        tuple(worth_asking(case, Need.ANYWHERE, QUESTIONS_SHOWN)),
    )


# -- what was told ----------------------------------------------------------------------------------------


def case_told(pack: Pack, given: Iterable[str], meter: Meter | None = None) -> Case:
    """A case that was told these facts and findings. Raises BadFact, BadAnswer, UnknownName."""
    facts, findings = split_given(pack, given)
    case = Case(pack, facts, meter)
    for finding in findings:
        _told(case, finding)
    return case


def _told(case: Case, finding: str) -> None:
    """Take one finding. A symptom that is named counts as complained of; what is told of a thing to see, hear or
    smell is only told, and a figure stays a reading."""
    name = "_".join(finding.casefold().replace("_", " ").split())
    item = case.pack.observations.get(name)
    if item is None or not item.symptom:
        try:
            take(case, [finding], kind=lambda item: None if item.kind is Kind.READING else Kind.TOLD)
        except BadAnswer as problem:
            symptoms = [each.id for each in symptoms_of(case.pack)]
            raise BadAnswer(f"{problem}{nearest(name, symptoms)}") from None
        return
    answers = _complaints(item)
    if len(answers) != 1:
        known = ", ".join(answers)
        raise BadAnswer(say("prepare_answer_which", name=name_of(name), all_answers=known, answer=answers[0]))
    case.record(name, answers[0], kind=Kind.TOLD, complaint=True)


def symptoms_of(pack: Pack) -> list[Observation]:
    """What customers complain of."""
    return [item for item in pack.observations.values() if item.symptom]


def _complaints(item: Observation) -> tuple[str, ...]:
    return tuple(answer.id for answer in item.answers[1:])


def _suggested(case: Case, said: str) -> tuple[Suggestion, ...]:
    """Symptoms that the words seem to speak of and that were not told anyway."""
    symptoms = [item for item in symptoms_of(case.pack) if possible(item.applies, case.facts)]
    by_name = {item.id: item for item in symptoms}
    clauses = by_clause(symptoms, said)
    best = {clause[0] for clause in clauses}
    told = {name for clause in clauses for name in clause if case.latest(name) is not None}
    # A clause that speaks of what was told anyway is spoken for.
    left = [clause for clause in clauses if clause[0] not in told]
    names = dict.fromkeys(name for clause in left for name in clause if name not in told)
    return tuple(Suggestion(name, _complaints(by_name[name]), name in best) for name in names)


# -- until the visit --------------------------------------------------------------------------------------


def _until_then(case: Case, suggested: Sequence[Suggestion], confidence: Mapping[str, float]) -> UntilThen:
    told = [(given.observation, case.judged(given).answer) for given in case.answers]
    signs = _signs(case, told)
    perhaps = _signs(case, [(each.observation, answer) for each in suggested for answer in each.answers])
    perhaps = [sign for sign in perhaps if sign not in signs]
    grave, chance, _ = _grave(case, raised(case)) if confidence else ([], 0.0, 0.0)
    doubled = chance >= GRAVE_WATCH
    if confidence and not doubled:
        # What half of all complain of can double no chance. Many grave faults, each a little likelier, do count.
        several, of_any, rise = _grave(case, concerned(case))
        if rise >= GRAVE_WATCH:
            grave, chance = several, of_any
    faults = tuple((name, confidence[name]) for name in sorted(grave, key=lambda name: -confidence[name])[:3])
    if any(sign in LEAVE_NOW for sign in signs):
        use = Use.LEAVE
    elif signs:
        use = Use.OFF_NOW
    elif chance >= GRAVE_OFF and doubled:
        use = Use.OFF
    else:
        use = Use.WATCHED if chance >= GRAVE_WATCH else Use.AS_USUAL
    return UntilThen(use, tuple(signs), tuple(perhaps), faults, chance)


def _signs(case: Case, told: Iterable[tuple[str, str]]) -> list[str]:
    """The danger signs that answers are."""
    signs = (case.pack.observations[name].danger.get(answer) for name, answer in told)
    return list(dict.fromkeys(sign for sign in signs if sign))


def _grave(case: Case, about: Collection[str]) -> tuple[list[str], float, float]:
    """Those that can burn or shock, the chance that any of them is there, and by how much what was told raised it."""
    grave = [name for name in about if case.pack.causes[name].hazard.grave]
    if not grave:
        return [], 0.0, 0.0
    untold = Case(case.pack, facts=case.facts)
    now, before = (chance_of_any(each, {"grave": grave})["grave"] for each in (case, untold))
    return grave, now, now - before


# -- what to take -----------------------------------------------------------------------------------------


def _wanted(
    case: Case, groups: Mapping[str, Collection[str]], now: Mapping[str, float], least: float
) -> tuple[Wanted, ...]:
    """Each group's chance, likeliest first; its causes likeliest first."""
    out = []
    for name, chance in chance_of_any(case, groups).items():
        if chance >= least:
            likeliest = sorted(groups[name], key=lambda cause: -now[cause])[:3]
            saves = sum(now[cause] * case.pack.causes[cause].if_missed for cause in groups[name])
            out.append(Wanted(name, chance, tuple(likeliest), saves))
    return tuple(sorted(out, key=lambda each: (-each.chance, each.name)))


def _parts(case: Case, now: Mapping[str, float]) -> tuple[Wanted, ...]:
    groups: dict[str, list[str]] = {}
    for name in case.applicable:
        cause = case.pack.causes[name]
        for part in () if cause.hand_to else cause.parts:
            groups.setdefault(part, []).append(name)
    return _wanted(case, groups, now, LEAST_PART)[:PARTS_SHOWN]


def _instruments(case: Case, now: Mapping[str, float]) -> tuple[Wanted, ...]:
    """An instrument is needed where a fault is there that it shows, or whose repair it proves."""
    groups: dict[str, dict[str, None]] = {}
    for name in case.applicable:
        for item in _tells(case, case.pack.causes[name]):
            for instrument in item.instruments:
                groups.setdefault(instrument, {})[name] = None
    return _wanted(case, groups, now, LEAST_INSTRUMENT)


def _tells(case: Case, cause: Cause) -> list[Observation]:
    """What shows the cause most surely by itself, and what proves its repair."""
    names = [link.observation for link in cause.shows.values() if sum(link.pushes[1:]) >= SHOWS_IT] + list(
        cause.proof
    )
    items = [case.pack.observations[name] for name in dict.fromkeys(names)]
    return [item for item in items if possible(item.applies, case.facts)]


def as_mapping(result: Preparation) -> dict[str, Any]:
    """The preparation as plain data for JSON: names, chances and titles; no instruction."""
    case, until = result.case, result.until_then

    def wanted(each: Wanted, beside: Mapping[str, Any]) -> dict[str, Any]:
        return {"name": each.name, **beside, "chance": each.chance, "causes": list(each.causes)}

    return {
        "pack": case.pack.name,
        "facts": dict(case.facts),
        "outside": case.outside,
        "until_then": {
            "use": str(until.use),
            "danger_signs": list(until.signs),
            "perhaps": list(until.perhaps),
            "grave_chance": until.chance,
            "grave": dict(until.faults),
        },
        "suggested": [
            {"observation": each.observation, "answers": list(each.answers), "counted": False}
            for each in result.suggested
        ],
        "counted": [{"observation": name, "answer": answer} for name, answer in result.counted],
        "likely": dict(result.likely),
        "parts": [wanted(each, {"saves_minutes": each.saves}) for each in result.parts],
        "instruments": [
            wanted(each, {"title": case.pack.instruments[each.name]}) for each in result.instruments
        ],
        "opened": result.opened,
        "ask_dangers": [] if case.outside else list(asked_of(case.pack)),
        "ask_facts": [*result.facts, *result.plate],
        "ask": [step_mapping(step) for step in result.questions],
    }
