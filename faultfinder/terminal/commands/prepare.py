"""`faultfinder prepare`: before the visit, from what was said on the telephone."""

from __future__ import annotations

import argparse

from faultfinder.arguments import add_json, add_seen
from faultfinder.dialogue.hearing.complaint import matched
from faultfinder.dialogue.queries.prepare import (
    Preparation,
    Suggestion,
    UntilThen,
    Use,
    as_mapping,
    case_told,
    prepare,
    symptoms_of,
)
from faultfinder.dialogue.say import Bar, Line, Option, Said, Tone, caution, heading, note
from faultfinder.dialogue.showing.present import cause_title, contradictions_said
from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.exits import Exit
from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Pack, answer_text
from faultfinder.safety.dangers import SIGNS, asked_of, stop_text
from faultfinder.terminal.console.plain import plain_face
from faultfinder.terminal.console.printed import print_json
from faultfinder.terminal.own_meter import own_meter
from faultfinder.terminal.packs import pack_for, several
from faultfinder.terminal.workshop_counts import with_seen
from faultfinder.text.catalogue import say
from faultfinder.text.format import minutes_text, name_of, percent


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    parser.add_argument("given", nargs="*", metavar="GIVEN", help=say("prepare_fact_value_name_symptom"))
    parser.add_argument("--said", default="", metavar="WORDS", help=say("prepare_customers_own_words_shown"))
    parser.add_argument("--yes", action="store_true", help=say("prepare_what_words_seem_say"))
    parser.add_argument("--pack", default="", help=say("arguments_pack"))
    add_seen(parser)
    add_json(parser)


def run(asked: argparse.Namespace) -> int:
    """Prepare a visit; status 0, or 2 through the error for what cannot be read."""
    pack, seen = with_seen(asked, _pack_for(asked))
    meter = own_meter()
    result = prepare(pack, asked.given, asked.said, asked.yes, meter.meter if meter else None)
    if asked.json:
        print_json({"said": asked.said, "seen": seen, **as_mapping(result)})
    else:
        told: list[Said] = [note(seen)] if seen else []
        plain_face().show([*told, *said(result, asked.said)])
    return Exit.OK


def _pack_for(asked: argparse.Namespace) -> Pack:
    """The pack named, or the one that the facts, the symptoms named or else the customer's words are of."""
    try:
        return pack_for(asked.pack, [word for word in asked.given if "=" in word])
    except UnknownName:
        if asked.pack:
            raise
        fitting: list[Pack] = []
        troubles: list[FaultFinderError] = []
        for folder in shipped_packs().values():
            pack = load_pack(folder)
            try:
                case_told(pack, asked.given)
                fitting.append(pack)
            except FaultFinderError as problem:
                troubles.append(problem)
        if not fitting and troubles:
            # The one that knows a name near to it says more.
            near = say("did_you_mean", text="\0").partition("\0")[0]
            raise max(troubles, key=lambda problem: near in str(problem)) from None
        if len(fitting) > 1 and asked.said:
            fitting = [pack for pack in fitting if matched(symptoms_of(pack), asked.said)]
        if len(fitting) != 1:
            raise (several(fitting) if fitting else UnknownName(say("packs_name_one"))) from None
        return fitting[0]


def said(result: Preparation, words: str) -> list[Said]:
    """The preparation for a person: what cannot wait first."""
    case = result.case
    until = _until_said(result, result.until_then)
    if case.outside:
        return [*(until if result.until_then.signs else ()), Line(case.outside)]
    out = [*until, *contradictions_said(case)]
    if words.strip() and not result.suggested and not result.counted:
        out.append(note(say("suggested_none")))
    if result.suggested:
        out.append(heading(say("suggested_head")))
        out += [_suggested(result, each) for each in result.suggested]
    if result.counted:
        pairs = (
            f"{name_of(name)}: {answer_text(case.pack.observations[name], answer)}"
            for name, answer in result.counted
        )
        out.append(note(say("counted", what="; ".join(pairs))))
    out.append(heading(say("likely_head")))
    out += [Bar(cause_title(case, name), chance) for name, chance in result.likely] or [
        Line(say("likely_none"))
    ]
    out += _to_take(result)
    return out + _to_ask(result)


def _until_said(result: Preparation, until: UntilThen) -> list[Said]:
    told = " ".join(SIGNS[sign].told for sign in until.signs)
    faults = ", ".join(cause_title(result.case, name) for name, _ in until.faults)
    out: list[Said] = [heading(say("until_head"))]
    match until.use:
        case Use.LEAVE:
            worst = next(text for text in map(stop_text, until.signs) if text.startswith("STOP"))
            out.append(Line(say("until_leave", text=f"{told} {worst}"), Tone.STOP))
        case Use.OFF_NOW:
            out.append(Line(say("until_off_now", told=told), Tone.STOP))
        case Use.OFF | Use.WATCHED:
            out.append(caution(say(f"until_{until.use}", chance=percent(until.chance), faults=faults)))
        case Use.AS_USUAL:
            out.append(Line(say("until_as_usual")))
    if until.perhaps:
        told = " ".join(SIGNS[sign].told for sign in until.perhaps)
        out.append(caution(say("until_perhaps", signs=told)))
    return out


def _suggested(result: Preparation, each: Suggestion) -> Line:
    item = result.case.pack.observations[each.observation]
    answers = ""
    if len(each.answers) > 1:
        texts = "; ".join(f"{answer} ({answer_text(item, answer)})" for answer in each.answers)
        answers = say("suggested_which", answers=texts)
    text = say("suggested_line", ask=item.ask, answers=answers, name=item.id)
    return Line(" ".join(text.split()), indent=2)


def _to_take(result: Preparation) -> list[Said]:
    case = result.case
    out: list[Said] = [heading(say("parts_head"))]
    if not result.parts:
        out.append(Line(say("parts_none"), indent=2))
    for part in result.parts:
        cause = cause_title(case, part.causes[0])
        out.append(Line(say("part_line", chance=percent(part.chance), part=part.name, cause=cause), indent=2))
    out.append(heading(say("instruments_head")))
    for each in result.instruments:
        what = case.pack.instruments[each.name]
        out.append(Line(say("instrument_line", chance=percent(each.chance), what=what), indent=2))
    out.append(Line(say("opened", chance=percent(result.opened)), indent=2))
    return out


def _to_ask(result: Preparation) -> list[Said]:
    case = result.case
    facts = case.pack.facts
    out: list[Said] = []
    if not result.until_then.signs:
        out.append(heading(say("phone_dangers")))
        out += [Line(SIGNS[sign].ask, indent=2) for sign in asked_of(case.pack)]
    if result.facts or result.plate:
        out.append(heading(say("phone_facts")))
        for name in result.facts:
            choices = " / ".join(facts[name].choices.values())
            out.append(Line(f"{facts[name].ask} {choices}".strip(), indent=2))
        if result.plate:
            plate = ", ".join(facts[name].ask.rstrip("?") for name in result.plate)
            out.append(Line(say("phone_plate", facts=plate), indent=2))
    out.append(heading(say("phone_head")))
    if not result.questions:
        out.append(Line(say("phone_none"), indent=2))
    for number, step in enumerate(result.questions, 1):
        text = say("phone_line", ask=step.title, worth=minutes_text(step.worth))
        out.append(Option(number, step.target, text))
    return out
