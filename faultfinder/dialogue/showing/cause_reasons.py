"""Why a cause stands where it stands, in words."""

from __future__ import annotations

import math

from faultfinder.dialogue.say import Line, Said, heading, under
from faultfinder.dialogue.showing import present
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.reasons import odds_factor, reasons, state_between
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, name_of, percent

REASONS = 8
"""Reasons told for one cause; chosen: a screen of a phone."""
NOTICED = 0.9
"""Share of its chance below which it is told that nobody spoke of what a cause would show; chosen."""
NAMED = 3
"""Symptoms named then; chosen."""


def why_cause(case: Case, cause: str) -> list[Said]:
    """What speaks for and against a cause, strongest first."""
    lines = []
    for reason in reasons(case, cause)[:REASONS]:
        text = say(
            "why_for" if reason.decibans > 0 else "why_against",
            odds=odds_factor(reason.decibans),
            name=name_of(reason.observation),
            answer=name_of(reason.answer),
        )
        if reason.through and reason.through != cause:
            text += f"; {_accounted(case, reason.observation, reason.through)}"
        lines.append(text)
    head = f"{present.cause_title(case, cause)}: {percent(case.confidence()[cause])}"
    said: list[Said] = under(head, lines) if lines else [heading(head), Line(say("why_nothing"))]
    if (share := case.unmentioned().get(cause, 1.0)) < NOTICED:
        shown = {name: case.links.told[name].get(cause, 0.0) for name in case.not_spoken_of()}
        most = sorted((name for name in shown if shown[name] > 0.0), key=lambda name: -shown[name])[:NAMED]
        odds = odds_factor(10.0 * math.log10(share))
        said.append(Line(say("why_not_spoken_of", odds=odds, names=choices(map(name_of, most))), indent=2))
    return said


def _accounted(case: Case, observation: str, by: str) -> str:
    """That another cause already accounts for what was seen, by its state's own words where it has one."""
    state = state_between(case, by, observation)
    what = case.pack.states[state].accounts_for if state is not None else say("why_it")
    return say("why_accounted", cause=present.cause_title(case, by), what=what)
