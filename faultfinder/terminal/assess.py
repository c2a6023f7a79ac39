"""`faultfinder assess`: facts and findings in, what they say out, as lines or JSON."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from typing import Any

from faultfinder.dialogue.assess import Assessment, as_mapping, assess
from faultfinder.dialogue.present import cause_title, contradictions_said
from faultfinder.dialogue.say import Bar, Line, Said, heading, note
from faultfinder.dialogue.typed import name_of
from faultfinder.dialogue.words import minutes_text
from faultfinder.exits import Exit
from faultfinder.reasoning.step import StepKind
from faultfinder.safety.actions import OPENING_NOTICE
from faultfinder.safety.gate import ACCESS_WORDS
from faultfinder.terminal.own_meter import own_meter
from faultfinder.terminal.packs import pack_for
from faultfinder.terminal.plain import PlainFace
from faultfinder.terminal.render import percent
from faultfinder.terminal.seen import with_seen


def run(asked: argparse.Namespace) -> int:
    """Judge what was given; status 0, or 2 through the error for what cannot be read."""
    meter = own_meter()
    pack, seen = with_seen(asked, pack_for(asked.pack, asked.given))
    result = assess(pack, asked.given, meter.meter if meter else None)
    if asked.json:
        print_json({**as_mapping(result), "meter": str(meter.path) if meter else None, "seen": seen})
    else:
        columns = shutil.get_terminal_size((76, 24)).columns
        told = said(result)
        if meter is not None:
            told.append(note(f"Readings count with the accuracy of your meter, from {meter.path}."))
        if seen:
            told.append(note(seen))
        PlainFace(sys.stdin, sys.stdout, columns).show(told)
    return Exit.OK


def print_json(value: Any) -> None:
    """One JSON document on standard output; infinities as text, so that every reader can read it."""
    json.dump(_finite(value), sys.stdout, indent=1, ensure_ascii=False, allow_nan=False)
    sys.stdout.write("\n")


def _finite(value: Any) -> Any:
    if isinstance(value, float) and value in (float("inf"), float("-inf")):
        return "OL" if value > 0 else "-OL"
    if isinstance(value, dict):
        return {str(key): _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value


def said(result: Assessment) -> list[Said]:
    """The assessment for a person."""
    case = result.case
    if case.outside:
        return [Line(case.outside)]
    out: list[Said] = contradictions_said(case)
    for verdict in result.verdicts:
        out.append(heading(f"{name_of(verdict.observation)}: {verdict.given}"))
        edge = " (on the edge)" if verdict.on_the_edge else ""
        off = f", {verdict.off * 100:+.0f} % off" if verdict.off is not None else ""
        out.append(Line(f"{verdict.text}{edge}{off}. Healthy: {verdict.healthy}.", indent=2))
        if verdict.stands_on:
            out.append(Line(f"Worked out from {verdict.stands_on}.", indent=2))
        for cause, before, after in verdict.points_to:
            text = f"By itself: {cause_title(case, cause)} {percent(before)} -> {percent(after)}."
            out.append(Line(text, indent=2))
    out.append(heading("Likely faults:"))
    out += [Bar(cause_title(case, name), chance) for name, chance in result.likely]
    out.append(heading("Worth doing next:"))
    for step in result.steps:
        access = ACCESS_WORDS[step.access]
        if step.kind is StepKind.CHANGE_ACCESS:
            text = f"{step.kind}: {access} ({minutes_text(step.minutes)})"
        else:
            worth = minutes_text(step.worth)
            text = f"{step.kind}: {step.title} ({access}; {minutes_text(step.minutes)}, saves {worth})"
        out.append(Line(text, indent=2))
    if result.done:
        out.append(Line(result.done, indent=2))
    out.append(Line(OPENING_NOTICE))
    return out
