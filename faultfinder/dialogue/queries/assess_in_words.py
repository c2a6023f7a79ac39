"""An assessment in words for a person, and as plain data for a script."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import asdict
from types import MappingProxyType
from typing import Any

from faultfinder.dialogue.queries.assess import Assessment, Change, Verdict
from faultfinder.dialogue.say import Bar, Line, Said, Tone, heading, note, under
from faultfinder.dialogue.showing.present import cause_title, clash_line, contradictions_said
from faultfinder.dialogue.showing.reading import against, answer_words, healthy_words
from faultfinder.knowledge.model import answer_text
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.step import Step, StepKind
from faultfinder.reasoning.inference.reasons import reasons, unexplained
from faultfinder.safety.gate import access_words
from faultfinder.text.catalogue import say
from faultfinder.text.format import minutes_text, name_of, percent

LIKELY_SHOWN = 6
STEPS_SHOWN = 3
"""Chosen for a small screen; the plain data has all."""


def said(result: Assessment) -> list[Said]:
    """The assessment for a person: each reading in a line, what it says, the likely faults, what next."""
    case = result.case
    if case.outside:
        return [Line(case.outside)]
    out: list[Said] = contradictions_said(case)
    for verdict in result.verdicts:
        out += [*([Line("")] if out else []), *_verdict_said(case, verdict)]
    if result.clash is not None:
        out += [Line(""), clash_line(case, result.clash.fits_least)]
    if not result.verdicts and not case.facts:
        out.append(note(say("assess_empty")))
    out.append(heading(say("assess_likely")))
    out += [Bar(cause_title(case, name), chance) for name, chance in result.likely[:LIKELY_SHOWN]]
    steps = [_step_words(step) for step in result.steps[:STEPS_SHOWN]]
    out += under(say("assess_next"), [*steps, *([result.done] if result.done else [])])
    return [*out, Line(""), note(say("opening_notice"))]


def _verdict_said(case: Case, verdict: Verdict) -> list[Said]:
    judged = verdict.judged
    observation = case.pack.observations[verdict.observation]
    words, name = answer_words(case, observation, judged), name_of(observation.id)
    if observation.reading is None:
        text = say("answer_taken", name=name, answer=words)
    else:
        beside = against(case, observation, judged)
        text = say("assess_verdict", name=name, given=judged.given.text, answer=words, against=beside)
    lines = []
    if verdict.points_to:
        lines.append(say("assess_for", causes=_causes(case, verdict.points_to)))
    if verdict.clears and (judged.answer == observation.healthy or not verdict.points_to):
        lines.append(say("assess_against", causes=_causes(case, verdict.clears)))
    if not verdict.points_to and not verdict.clears:
        lines.append(say("assess_nothing"))
    if verdict.stands_on:
        lines.append(say("from_facts", facts=verdict.stands_on))
    return [Line(text, Tone.CHANGE), *(Line(line, indent=2) for line in lines)]


def _causes(case: Case, changes: tuple[Change, ...]) -> str:
    return "; ".join(
        say("assess_cause", cause=cause_title(case, name), before=percent(before), after=percent(after))
        for name, before, after in changes
    )


def _step_words(step: Step) -> str:
    access, minutes = access_words(step.access), minutes_text(step.minutes)
    kind = say(f"kind_{step.kind.name.lower()}")
    if step.kind is StepKind.CHANGE_ACCESS:
        return say("assess_way", kind=kind, access=access, minutes=minutes)
    key, worth = "assess_step_last" if step.last else "assess_step", minutes_text(step.worth)
    return say(key, kind=kind, title=step.title, access=access, minutes=minutes, worth=worth)


def as_mapping(result: Assessment) -> dict[str, Any]:
    """The assessment as plain data for JSON: names, numbers and titles; no instruction."""
    case, clash = result.case, result.clash
    return {
        "pack": case.pack.name,
        "facts": dict(case.facts),
        "contradictions": [
            {"facts": [each.watts, *each.others], "relied_on": [*each.relied_on], "words": each.check.words}
            for each in result.contradictions
        ],
        "outside": case.outside,
        "findings": [_verdict_mapping(case, verdict) for verdict in result.verdicts],
        "conflict": clash and {"fits_least": clash.fits_least, "nats": clash.conf},
        **(OUTSIDE if case.outside else _reckoned(result)),
        "next_steps": [step_mapping(step) for step in result.steps],
        "done": result.done or None,
    }


OUTSIDE: Mapping[str, Any] = MappingProxyType(
    {
        **{"confidence": {}, "exact": True, "standard_error": 0.0, "error_rate": 0.0},
        **{"answers_doubted": False, "found": [], "explanations": [], "reasons": {}},
    }
)
"""What is reckoned of a machine that the pack is not for: nothing."""


def _reckoned(result: Assessment) -> dict[str, Any]:
    case = result.case
    return {
        "confidence": case.confidence(),
        "exact": case.exact,
        "standard_error": case.standard_error,
        "error_rate": case.error_rate,
        "answers_doubted": case.answers_doubted,
        "found": [name for name, chance in case.found().items() if chance > FOUND],
        "explanations": [
            {"causes": sorted(causes), "probability": chance, "unexplained": unexplained(case, causes)}
            for causes, chance in case.explanations(3)
        ],
        "reasons": {name: _reasons(case, name) for name, _ in result.likely},
    }


def _reasons(case: Case, cause: str) -> list[dict[str, Any]]:
    """What speaks for and against a cause, strongest first, as numbers (see reasoning/inference/reasons.py)."""
    return [
        {
            "observation": reason.observation,
            "answer": reason.answer,
            "decibans": _finite(reason.decibans),
            "left_out": _finite(reason.left_out),
            "through": reason.through,
        }
        for reason in reasons(case, cause)
    ]


def _finite(decibans: float) -> float | None:
    """JSON has no infinity: None where an answer makes a cause certain or impossible."""
    return round(decibans, 3) if math.isfinite(decibans) else None


def _verdict_mapping(case: Case, verdict: Verdict) -> dict[str, Any]:
    """A finding with its figures, in the observation's unit; `weights` before the doubt of the whole reading."""
    judged = verdict.judged
    observation = case.pack.observations[verdict.observation]
    reading, spec = judged.given.reading, observation.reading
    healthy = answer_text(observation, observation.healthy)
    low, high = judged.limits[0] if judged.limits else (None, None)
    return {
        "observation": observation.id,
        "given": judged.given.text,
        "value": reading.value if reading is not None else None,
        "unit": spec.unit if spec is not None else None,
        "expected": verdict.expected,
        "healthy_from": low,
        "healthy_to": high,
        "uncertainty": judged.uncertainty if reading is not None and not reading.over_range else None,
        "answer": judged.answer,
        "weights": dict(zip((answer.id for answer in observation.answers), judged.weights, strict=True)),
        "healthy": healthy_words(case, observation) if spec is not None else healthy,
        "off": verdict.off,
        "on_the_edge": judged.on_the_edge,
        "stands_on": verdict.stands_on,
        "points_to": [change._asdict() for change in verdict.points_to],
        "clears": [change._asdict() for change in verdict.clears],
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
        "reasons": [asdict(reason) for reason in step.reasons],
    }
