"""Urgent words are heard before anything else, at every prompt: asked back once, then taken or the line goes on."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from faultfinder.dialogue.choosing import NotTaken, by_text, option
from faultfinder.dialogue.say import Ask, Line, Said, Tone, options, question
from faultfinder.dialogue.talk import AskComplaint, AskReason, AskSymptoms, AskUrgent, Over, Talk
from faultfinder.dialogue.typed import name_of
from faultfinder.dialogue.words import say
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.safety.dangers import LEAVE_NOW, SIGNS, told_at_once
from faultfinder.safety.urgent import heard

Reply = tuple[Talk, list[Event], list[Said]]

EARLIER: Mapping[str, str] = MappingProxyType(
    {
        "smoke_or_flame": "burning_smell_earlier",
        "burning_smell_now": "burning_smell_earlier",
        "water_on_live_parts": "wet_found",
    }
)
"""What a sign comes to where it was earlier and is gone; the others are the same then."""
ASKED_NEXT = frozenset({"burning_smell_now", "tingle"})
"""What a customer complains of: their words are offered as symptoms, and the danger list follows at once."""
WORDS = ("now", "earlier", "no")


def urgent_heard(talk: Talk, line: str) -> Reply | None:
    """The question back where a line holds urgent words that were not met already; None where it holds none, or is
    one of the answers offered, or names an observation of the pack."""
    if isinstance(talk.current, AskUrgent | AskReason | Over) or _is_offered(talk, line):
        return None
    asked = ASKED_NEXT if isinstance(talk.current, AskComplaint | AskSymptoms) else frozenset()
    signs = tuple(sign for sign in heard(line) if sign not in talk.gate.signs and sign not in asked)
    plain = " ".join(line.casefold().replace("_", " ").split())
    named = any(name_of(name) in plain for name in talk.job.pack.observations if " " in name_of(name))
    if not signs or named:
        return None
    if talk.gate.stop:
        signs = tuple(sign for sign in signs if sign in LEAVE_NOW)
        return _met(talk, signs, line) if signs else None
    return replace(talk, current=AskUrgent(signs, line, talk.current)), [], []


def _is_offered(talk: Talk, line: str) -> bool:
    """Whether the line is an answer that was offered, by its word, its number or its text."""
    words = talk.asked.words
    plain = line.casefold().strip()
    several = plain.replace(",", " ").split()
    if several and all(word in words for word in several):
        return True
    return plain in words or plain.replace(" ", "_") in words or by_text(talk, line) in words


def put_urgent(talk: Talk, current: AskUrgent) -> tuple[Talk, list[Said], Ask]:
    """What to do if it is so, first; then the question."""
    said: list[Said] = [Line(text, Tone.STOP) for text in told_at_once(current.signs)]
    what = "; ".join(SIGNS[sign].ask[:1].lower() + SIGNS[sign].ask[1:] for sign in current.signs)
    said.append(question(say("urgent_ask", what=what)))
    return talk, [*said, *options([(word, say(f"urgent_{word}")) for word in WORDS])], Ask("is it so", WORDS)


def urgent_reply(talk: Talk, line: str, taken: Callable[[Talk, str], Reply]) -> Reply:
    """Whether it was meant. `taken`: what goes on with the line where it was not."""
    current = talk.current
    assert isinstance(current, AskUrgent)
    before = replace(talk, current=current.before)
    if more := tuple(sign for sign in heard(line) if sign not in current.signs):
        return replace(talk, current=replace(current, signs=(*current.signs, *more))), [], []
    word = "now" if line.casefold().strip(" .!") in ("yes", "y") or heard(line) else option(line, WORDS)
    if word == "no":
        try:
            return taken(before, current.line)
        except NotTaken:
            # It is no answer to what was asked either: that is asked again.
            return before, [], [Line(say("not_understood", text=current.line[:40], hint=""), Tone.ERROR)]
    signs = current.signs
    if word == "earlier":
        signs = tuple(dict.fromkeys(EARLIER.get(sign, sign) for sign in signs))
    now, events, said = _met(before, signs, current.line)
    if isinstance(current.before, AskComplaint) and not now.gate.stop:
        kept = replace(now, current=current.before, dangers_done=before.dangers_done)
        now, more_events, more_said = taken(kept, current.line)
        return now, [*events, *more_events], [*said, *more_said]
    return now, events, said


def _met(talk: Talk, signs: tuple[str, ...], line: str) -> Reply:
    """The signs are there: written down and told; where it stops the work the words themselves are kept too."""
    from faultfinder.dialogue.beginning import danger_reply

    now, events, said = danger_reply(talk, signs)
    now = replace(now, dangers_done=talk.dangers_done)
    if not now.gate.stop:
        return now, events, said
    noted = happened.Noted(f"typed: {line}")
    job = replace(now.job, notes=(*now.job.notes, noted.text))
    return replace(now, job=job), [*events, noted], said
