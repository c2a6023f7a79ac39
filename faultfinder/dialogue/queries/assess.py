"""Facts and findings judged without a dialogue: what each reading ought to have been, what it says, what next.

Names steps and prints no instruction: how to do a thing is the safety gate's to say, in a job.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from faultfinder.dialogue.hearing.line_parser import NotUnderstood, Typed, Which, read_line, read_piece
from faultfinder.dialogue.hearing.names import fact_and_value
from faultfinder.dialogue.showing.present import facts_text
from faultfinder.dialogue.showing.reading import expected_of
from faultfinder.errors import BadAnswer, BadFact, FaultFinderError
from faultfinder.knowledge.formulas.bands import facts_behind
from faultfinder.knowledge.formulas.plate import PlateFinding, contradictions
from faultfinder.knowledge.model import Kind, Observation, Pack
from faultfinder.knowledge.schema.nearest_name import nearest
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.step import Step
from faultfinder.reasoning.evidence.answers import Judged
from faultfinder.reasoning.evidence.facts import FactValue, possible
from faultfinder.reasoning.inference.conflict import Conflict, conflict
from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity, name_of, quoted
from faultfinder.trade.readings.meter import Meter
from faultfinder.trade.readings.reading import parse_reading

POINTS = 3
"""Causes that a finding is said to speak for, or against; chosen."""
_CLEAR = 0.01
"""A change of chance by less says nothing; chosen."""
_FACTS = 10
_NAMES = 6
"""Observations named where a piece could be several; chosen for a small screen."""


class Change(NamedTuple):
    """A cause's chance before any finding, and with one finding alone."""

    cause: str
    before: float
    after: float


@dataclass(frozen=True, slots=True)
class Verdict:
    """One finding: how it was judged, and the causes that it speaks for and against most by itself.

    expected: what it ought to have been, in the observation's unit; None where only a band says it. off: (reading -
    expected) / expected, for a finite reading. stands_on: the facts behind its limits, in words.
    """

    judged: Judged
    expected: float | None
    off: float | None
    stands_on: str
    points_to: tuple[Change, ...]
    clears: tuple[Change, ...]

    @property
    def observation(self) -> str:
        return self.judged.given.observation


@dataclass(frozen=True, slots=True)
class Assessment:
    """All findings together: verdicts, likely causes (chance above 3 % or the first three), the best next steps."""

    case: Case
    contradictions: tuple[PlateFinding, ...]
    """Facts that do not go together, and which of them the verdicts rely on."""
    verdicts: tuple[Verdict, ...]
    likely: tuple[tuple[str, float], ...]
    steps: tuple[Step, ...]
    done: str
    clash: Conflict | None = None
    """Whether the findings fit badly together, and which fits least."""


def split_given(pack: Pack, given: Iterable[str]) -> tuple[dict[str, FactValue], list[str]]:
    """Facts apart from findings: `fact=value`, or a choice by itself (`vented`).

    Raises BadFact for a fact that is none.
    """
    facts: dict[str, FactValue] = {}
    findings: list[str] = []
    for word in given:
        name, equals, value = word.partition("=")
        key = name.strip().replace(" ", "_")
        if not equals and (choice := _fact_of_choice(pack, word)) is not None:
            facts[choice] = word.strip().casefold()
        elif not equals:
            findings.append(word)
        elif key in pack.facts:
            facts[key] = value.strip()
        elif found := fact_and_value(pack.facts, f"{name} {value}"):
            facts[found[0]] = found[1]
        elif key in pack.observations or isinstance(
            read_piece(list(pack.observations.values()), f"{name} {value}"), Typed
        ):
            findings.append(f"{name} {value}")  # 'high section = OL' is a reading all the same
        else:
            meant = _facts_meant(pack, key)
            raise BadFact(say("assess_no_fact_of", what=quoted(name.strip()), name=pack.name, pack=meant))
    return facts, findings


def _facts_meant(pack: Pack, key: str) -> str:
    """The fact that may have been meant, by its spelling or by a word of its question; else some of them."""
    near = nearest(key, pack.facts)
    words = [word for word in key.casefold().split("_") if len(word) > 2]
    asked = [fact.id for fact in pack.facts.values() if any(word in fact.ask.casefold() for word in words)]
    if near or 0 < len(asked) <= _NAMES:
        return say("did_you_mean", text=near or "' or '".join(asked))
    some = ", ".join(list(pack.facts)[:_FACTS])
    return say("some_facts", facts=some, count=max(0, len(pack.facts) - _FACTS))


def _fact_of_choice(pack: Pack, word: str) -> str | None:
    """The one fact that has this word among its choices; None where it is none's, or says nothing (yes, no)."""
    wanted = word.strip().casefold()
    found = [fact.id for fact in pack.facts.values() if fact.kind == "choice" and wanted in fact.choices]
    return found[0] if len(found) == 1 and len(wanted) > 3 else None


def understood(pack: Pack, given: Sequence[str]) -> int:
    """How much of what was given a pack understands: tells which was meant when none takes it all. A fact counts
    more than a finding, which may be near to many things."""
    count = 0
    for word in given:
        try:
            facts, findings = split_given(pack, [word])
            take(Case(pack, facts), findings)
            count += 2 if facts else 1
        except FaultFinderError:
            name, equals, _ = word.partition("=")
            count += bool(equals and nearest(name, pack.facts))  # a slip of spelling
    return count


def take(
    case: Case, findings: Iterable[str], kind: Callable[[Observation], Kind | None] | None = None
) -> list[Judged]:
    """Record typed findings in a case; `kind` says how each came to be known, else as its rule says.

    Raises BadAnswer naming what is not understood or not clear.
    """
    judged: list[Judged] = []
    known = [item for item in case.pack.observations.values() if possible(item.applies, case.facts)]
    for line in findings:
        for piece in read_line(known, line):
            if isinstance(piece, NotUnderstood):
                because = piece.because or say("say_what")
                raise BadAnswer(say("not_understood", text=piece.piece, hint=because))
            if isinstance(piece, Which):
                if len(piece.observations) > 1:
                    raise BadAnswer(say("which_could_be", piece=piece.piece, names=_could_be(case, piece)))
                meant = f"{name_of(piece.observations[0])} {piece.answer}"
                if meant.casefold() == name_of(piece.piece).casefold():
                    raise BadAnswer(say("assess_no_meter_shows", text=meant))
                raise BadAnswer(say("did_you_mean", text=meant))
            how = kind(case.pack.observations[piece.observation]) if kind is not None else None
            # A symptom is typed because it is what is wrong.
            judged += case.record(piece.observation, piece.answer, kind=how, complaint=True)
    return judged


def _could_be(case: Case, which: Which) -> str:
    """The observations that a piece may mean, those first whose healthy value it is nearest to, with that value."""
    named: list[tuple[float, str]] = []
    for name in which.observations:
        item = case.pack.observations[name]
        expected = expected_of(case, item) if item.reading is not None else None
        if item.reading is None or expected is None:
            named.append((math.inf, name_of(name)))
            continue
        unit = item.reading.unit
        try:
            value = parse_reading(which.answer, item.reading.quantity, unit).value
        except FaultFinderError:
            value = math.inf
        far = abs(math.log(value / expected)) if 0 < value < math.inf and expected > 0 else 99.0
        shown = format_quantity(expected, unit)
        named.append((far, say("which_expected", name=name_of(name), expected=shown)))
    words = [words for _, words in sorted(named, key=lambda each: each[0])]
    names = ", ".join(words[:_NAMES])
    left = len(words) - _NAMES
    return say("which_more", names=names, count=left) if left > 0 else names


def assess(pack: Pack, given: Iterable[str], meter: Meter | None = None) -> Assessment:
    """Judge facts and findings given as words, read with `meter`. Raises BadFact, BadAnswer, UnknownName."""
    facts, findings = split_given(pack, given)
    case = Case(pack, facts, meter)
    odd = contradictions(pack, case.facts)
    judged = take(case, findings)
    prior = {} if case.outside else Case(pack, facts).confidence()
    verdicts = tuple(_verdict(case, item, prior) for item in judged)
    if case.outside:
        return Assessment(case, odd, verdicts, (), (), case.outside)
    now = case.confidence()
    order = sorted(now, key=lambda name: -now[name])
    likely = tuple((name, now[name]) for place, name in enumerate(order) if now[name] > 0.03 or place < 3)
    done = case.done
    steps = tuple(case.next_steps(5))
    return Assessment(case, odd, verdicts, likely[:12], steps, str(done) if done else "", conflict(case))


def _verdict(case: Case, judged: Judged, prior: dict[str, float]) -> Verdict:
    given = judged.given
    observation = case.pack.observations[given.observation]
    expected = off = None
    stands_on = ""
    if observation.reading is not None:
        expected = expected_of(case, observation)
        if expected is not None and given.reading is not None and math.isfinite(given.reading.value):
            off = (given.reading.value - expected) / expected
        stands_on = facts_text(case, facts_behind(case.pack, observation, case.facts))
    alone = Case(case.pack, dict(case.facts), case.meter)
    changes: list[Change] = []
    if not alone.outside:
        alone.record(observation.id, given.text, kind=given.kind, complaint=given.complaint)
        changes = [Change(name, prior[name], after) for name, after in alone.confidence().items()]
    changes.sort(key=lambda each: each.before - each.after)
    points = tuple(each for each in changes[:POINTS] if each.after > each.before + _CLEAR)
    changes.sort(key=lambda each: each.after - each.before)
    clears = tuple(each for each in changes[:POINTS] if each.after < each.before - _CLEAR)
    return Verdict(judged, expected, off, stands_on, points, clears)
