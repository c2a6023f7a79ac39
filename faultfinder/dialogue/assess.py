"""Facts and findings judged without a dialogue: what each reading ought to have been, what it says, what next.

Names steps and prints no instruction: how to do a thing is the safety gate's to say, in a job.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Any

from faultfinder.dialogue.commands import fact_and_value
from faultfinder.dialogue.present import answer_text, band_text, facts_text
from faultfinder.dialogue.typed import NotUnderstood, Which, name_of, read_line
from faultfinder.errors import BadAnswer, BadFact
from faultfinder.knowledge.bands import expected_value, fact_values, facts_behind, limits
from faultfinder.knowledge.model import Kind, Observation, Pack
from faultfinder.knowledge.plate import PlateFinding, contradictions
from faultfinder.reasoning.advise import FOUND
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.facts import FactValue, possible
from faultfinder.reasoning.given import Judged
from faultfinder.reasoning.step import Step
from faultfinder.trade.meter import Meter
from faultfinder.trade.reading import format_quantity


@dataclass(frozen=True, slots=True)
class Verdict:
    """One finding: what it was taken as, what is healthy, and the causes it speaks for most by itself.

    off: (reading - expected) / expected, where there is an expected value; None otherwise.
    """

    observation: str
    given: str
    answer: str
    text: str
    healthy: str
    off: float | None
    on_the_edge: bool
    stands_on: str
    points_to: tuple[tuple[str, float, float], ...]
    """(cause, chance before any finding, chance with this finding alone)."""


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


def split_given(pack: Pack, given: Iterable[str]) -> tuple[dict[str, FactValue], list[str]]:
    """`fact=value` words apart from findings. Raises BadFact for a fact that is none."""
    facts: dict[str, FactValue] = {}
    findings: list[str] = []
    for word in given:
        name, equals, value = word.partition("=")
        if not equals:
            findings.append(word)
            continue
        key = name.strip().replace(" ", "_")
        if key in pack.facts:
            facts[key] = value.strip()
            continue
        found = fact_and_value(pack.facts, f"{name} {value}")
        if found is None:
            raise BadFact(f"'{name.strip()}' is no fact of {pack.name}. Facts: {', '.join(pack.facts)}.")
        facts[found[0]] = found[1]
    return facts, findings


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
                because = piece.because or "No observation of this machine goes by that name and answer."
                raise BadAnswer(f"'{piece.piece}' is not understood. {because}")
            if isinstance(piece, Which):
                names = ", ".join(name_of(name) for name in piece.observations[:8])
                raise BadAnswer(f"'{piece.piece}' could be any of: {names}. Add a word.")
            how = kind(case.pack.observations[piece.observation]) if kind is not None else None
            judged += case.record(piece.observation, piece.answer, kind=how)
    return judged


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
    return Assessment(case, odd, verdicts, likely[:12], steps, str(done) if done else "")


def _verdict(case: Case, judged: Judged, prior: dict[str, float]) -> Verdict:
    observation = case.pack.observations[judged.given.observation]
    healthy, off, stands_on = _healthy(case, observation, judged)
    alone = Case(case.pack, dict(case.facts), case.meter)
    points: tuple[tuple[str, float, float], ...] = ()
    if not alone.outside:
        alone.record(observation.id, judged.given.text)
        after = alone.confidence()
        order = sorted(after, key=lambda name: prior[name] - after[name])
        points = tuple(
            (name, prior[name], after[name]) for name in order[:3] if after[name] > prior[name] + 0.01
        )
    return Verdict(
        observation.id,
        judged.given.text,
        judged.answer,
        answer_text(observation, judged.answer),
        healthy,
        off,
        judged.on_the_edge,
        stands_on,
        points,
    )


def _healthy(case: Case, observation: Observation, judged: Judged) -> tuple[str, float | None, str]:
    if observation.reading is None:
        return answer_text(observation, observation.healthy), None, ""
    values = fact_values(case.pack, case.facts)
    low, high = limits(observation, values)[0]
    unit = observation.reading.unit
    text = band_text(low, high, unit)
    off = None
    expected = expected_value(observation, values)
    if expected is not None and math.isfinite(expected) and expected != 0.0:
        text = f"about {format_quantity(expected, unit)} ({text})"
        reading = judged.given.reading
        if reading is not None and math.isfinite(reading.value):
            off = (reading.value - expected) / expected
    return text, off, facts_text(case, facts_behind(case.pack, observation, case.facts))


def as_mapping(result: Assessment) -> dict[str, Any]:
    """The assessment as plain data for JSON: names, numbers and titles; no instruction."""
    case = result.case
    found = {} if case.outside else case.found()
    return {
        "pack": case.pack.name,
        "facts": dict(case.facts),
        "contradictions": [
            {
                "facts": [found.watts, *found.others],
                "relied_on": list(found.relied_on),
                "words": found.check.words,
            }
            for found in result.contradictions
        ],
        "outside": case.outside,
        "findings": [
            {
                "observation": verdict.observation,
                "given": verdict.given,
                "answer": verdict.answer,
                "healthy": verdict.healthy,
                "off": verdict.off,
                "on_the_edge": verdict.on_the_edge,
                "stands_on": verdict.stands_on,
                "points_to": [
                    {"cause": cause, "before": before, "after": after}
                    for cause, before, after in verdict.points_to
                ],
            }
            for verdict in result.verdicts
        ],
        "confidence": {} if case.outside else case.confidence(),
        "found": [name for name, chance in found.items() if chance > FOUND],
        "explanations": []
        if case.outside
        else [{"causes": sorted(causes), "probability": chance} for causes, chance in case.explanations(3)],
        "next_steps": [step_mapping(step) for step in result.steps],
        "done": result.done or None,
    }


def step_mapping(step: Step) -> dict[str, Any]:
    """A step as plain data: it names the work and what each answer would do."""
    return {
        "kind": str(step.kind),
        "target": step.target,
        "title": step.title,
        "access": str(step.access),
        "minutes": step.minutes,
        "worth": step.worth,
        "reasons": [
            {
                "answer": reason.answer,
                "chance": reason.chance,
                "cause": reason.cause,
                "before": reason.before,
                "after": reason.after,
            }
            for reason in step.reasons
        ],
    }
