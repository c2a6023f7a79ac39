"""The danger list; and urgent words, heard before anything else at every prompt: asked back once, then taken or the
line goes on.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import ClassVar

from faultfinder.dialogue.hearing.choosing import (
    NOTHING,
    NotTaken,
    beside_options,
    by_text,
    option,
    options_and_words,
    several,
)
from faultfinder.dialogue.hearing.complaint import matched
from faultfinder.dialogue.hearing.danger_words import unasked_signs
from faultfinder.dialogue.prompts.close import AskReason
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms, symptom_list
from faultfinder.dialogue.prompts.machine import anything
from faultfinder.dialogue.say import Ask, Line, Said, Tone, choice, note, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import ASKED, LEAVE_NOW, SIGNS, asked_of, denied_by_none, told_at_once
from faultfinder.safety.urgent import heard
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of


@dataclass(frozen=True, slots=True)
class AskDangers(Prompt):
    """The danger list."""

    kind: ClassVar[str] = "dangers"
    stays: ClassVar[bool] = True

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        pairs = [(sign, say(f"sign_{sign}")) for sign in _asked(talk)]
        pairs.append(("none", say("danger_option_none")))
        return choice([question(say("danger_ask"))], say("label_danger"), pairs, "several")

    def take(self, talk: Talk, line: str) -> Reply:
        """Which of the danger signs are there; none confirms the list."""
        if line.casefold().strip(" .!") in (*NOTHING, "0") or _NONE_OF_IT.fullmatch(line.strip(" .!")):
            line = "none"
        try:
            chosen = _chosen(line, _asked(talk))
        except NotTaken as refusal:
            if (reply := self._with_words(talk, line)) is not None:
                return reply
            try:
                return anything(talk, line, refusal)
            except NotTaken as other:
                raise self._meant(talk, line) or other from other
        signs = [word for word in chosen if word != "none"]
        if signs:
            return danger_reply(talk, signs)
        events: list[Event] = []
        if any(action.id == "dangers_answered" for action in safety.open_actions(talk.gate)):
            events = [happened.Confirmed("dangers_answered"), *_denied(talk)]
        key = "danger_no_more" if talk.gate.signs else "danger_none"
        return replace(after(talk, events), dangers_done=True, current=Over()), events, [Line(say(key))]

    def _with_words(self, talk: Talk, line: str) -> Reply | None:
        """Signs by number with words of one's own beside them: the signs are taken at once, and the list stands
        for what the words say, unless work is stopped. None where the line is no such thing."""
        numbers, beside = options_and_words(talk, line)
        try:
            signs = several(" ".join(numbers), _asked(talk)) if numbers else []
        except NotTaken:
            return None
        if not signs:
            return None
        now, events, said = danger_reply(talk, signs)
        now = now if now.gate.stop else replace(now, dangers_done=False)
        return now, events, [*said, beside_options(beside)]

    def _meant(self, talk: Talk, line: str) -> NotTaken | None:
        """The sign that a customer's words for it seem to name, asked back; None where they name none."""
        names = matched(symptom_list(talk), line)
        item = talk.pack.observations[names[0]] if names else None
        asked = _asked(talk)
        sign = next((each for each in item.danger.values() if each in asked), "") if item is not None else ""
        if not sign:
            return None
        return NotTaken(say("danger_meant", sign=say(f"sign_{sign}"), number=asked.index(sign) + 1))


_NONE_OF_IT = re.compile(
    r"(?:no|nope|nah)?[,.]?\s*(?:none|nothing|not any)"
    r"(?: (?:of|like|at|all|that|those|these|them|this|there|here|mate))+",
    re.IGNORECASE,
)
"""None of the list, in words of one's own: 'nope none of that'."""


def _denied(talk: Talk) -> list[Event]:
    """What is told with 'none': the symptoms that the list asks for in other words are not there either."""
    return [
        happened.Answered(item.id, item.healthy)
        for item in denied_by_none(talk.pack, talk.gate.signs)
        if talk.case.latest(item.id) is None and possible(item.applies, talk.case.facts)
    ]


def _asked(talk: Talk) -> tuple[str, ...]:
    """The signs of the list: that of a refrigerant not where the machine is known to have none."""
    pack = talk.pack
    fact = pack.facts.get("refrigerant")
    has_none = fact is not None and not possible(fact.applies, talk.case.facts)
    return tuple(sign for sign in asked_of(pack) if not (has_none and sign == "refrigerant_signs"))


SAY_NOTHING_OF_IT = frozenset({"yes", "yeah", "only", "just", "it", "is", "it's", "its", "number", "nr"})
"""Words beside a number of the list that leave it as it is: 'yes, only 3'."""


def _chosen(line: str, offered: Sequence[str]) -> list[str]:
    """The signs chosen: by the numbers of the list, or by name whether they stand in it or not."""
    parts = [part for part in re.split(r"[\s,;]+", line.casefold().replace("\u2019", "'")) if part]
    if any(part.isdecimal() for part in parts):
        parts = [part for part in parts if part not in SAY_NOTHING_OF_IT]
    unoffered = [part for part in parts if part in ASKED and part not in offered]
    rest = [part for part in parts if part not in unoffered]
    return [*unoffered, *(several(" ".join(rest), (*offered, "none")) if rest or not unoffered else ())]


def danger_reply(talk: Talk, signs: Sequence[str]) -> Reply:
    """Danger signs were met: they are written down, the pack's own symptoms for them too, and the person told."""
    events: list[Event] = [happened.DangerSeen(sign) for sign in signs]
    for item in talk.pack.observations.values():
        given = talk.case.latest(item.id)
        new = given is None or given.answer == item.healthy  # what was denied before is told now
        if (
            new
            and possible(item.applies, talk.case.facts)
            and item.need is Need.ANYWHERE
            and item.reading is None
        ):
            events += [
                happened.Answered(item.id, each) for each, sign in item.danger.items() if sign in signs
            ]
    now = replace(after(talk, events), dangers_done=True, wanted=None, chosen="", current=Over())
    return now, events, present.sign_lines(signs)


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


@dataclass(frozen=True, slots=True)
class AskUrgent(Prompt):
    """Whether words that sounded like danger are meant so; `line` was typed at `before`. ticking: with
    options of a list beside the words."""

    signs: tuple[str, ...]
    line: str
    before: Prompt
    ticking: bool = False
    kind: ClassVar[str] = "urgent"
    stays: ClassVar[bool] = True

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        """What to do if it is so, first; then the question."""
        said: list[Said] = [Line(text, Tone.STOP) for text in told_at_once(self.signs)]
        what = "; ".join(SIGNS[sign].ask[:1].lower() + SIGNS[sign].ask[1:] for sign in self.signs)
        said.append(question(say("urgent_ask", what=what)))
        return choice(said, say("label_is_it_so"), [(word, say(f"urgent_{word}")) for word in WORDS])

    def take(self, talk: Talk, line: str) -> Reply:
        before = replace(talk, current=self.before)
        if more := tuple(sign for sign in heard(line) if sign not in self.signs):
            return replace(talk, current=replace(self, signs=(*self.signs, *more))), [], []
        word = "now" if line.casefold().strip(" .!") in ("yes", "y") or heard(line) else option(line, WORDS)
        if word == "no":
            # What is done with the line itself stands in converse.py.
            return replace(before, current=self.before if self.before.stays else Over()), [], []
        signs = self.signs
        if word == "earlier":
            signs = tuple(dict.fromkeys(EARLIER.get(sign, sign) for sign in signs))
        now, events, told = met(before, signs, self.line)
        if isinstance(self.before, AskComplaint) and not now.gate.stop:
            kept = replace(now, current=self.before, dangers_done=before.dangers_done)
            now, more_events, more_said = self.before.take(kept, self.line)
            return now, [*events, *more_events], [*told, *more_said]
        anew = self.ticking and not now.gate.stop
        return now, events, [*told, note(say("ticks_anew"))] if anew else told

    def denied(self, line: str) -> bool:
        """Whether a line says that it was not meant."""
        try:
            return not heard(line) and option(line, WORDS) == "no"
        except NotTaken:
            return False


def urgent_heard(talk: Talk, line: str) -> Reply | None:
    """The question back where a line holds urgent words that were not met already; None where it holds none, or is
    one of the answers offered, or names an observation of the pack."""
    if isinstance(talk.current, AskUrgent | AskReason | Over) or _is_offered(talk, line):
        return None
    asked = ASKED_NEXT if isinstance(talk.current, AskComplaint | AskSymptoms) else frozenset()
    kinds = talk.pack.title.casefold().split()
    ticked, beside = options_and_words(talk, line)
    said = heard(line, kinds) or heard(beside, kinds)
    signs = tuple(sign for sign in said if sign not in talk.gate.signs and sign not in asked)
    plain = " ".join(line.casefold().replace("_", " ").split())
    named = any(name_of(name) in plain for name in talk.pack.observations if " " in name_of(name))
    if not signs or named:
        return None
    if talk.gate.stop:
        signs = tuple(sign for sign in signs if sign in LEAVE_NOW)
        return met(talk, signs, line) if signs else None
    return replace(talk, current=AskUrgent(signs, line, talk.current, bool(ticked))), [], []


def unfit_heard(talk: Talk, line: str) -> Reply | None:
    """The question back where a line that no prompt may understand tells of a machine unfit for use; None where it
    tells of none that is not met already, or where words of a customer or about dangers are asked for."""
    if isinstance(talk.current, AskUrgent | AskReason | AskComplaint | AskSymptoms | Over):
        return None
    signs = tuple(sign for sign in unasked_signs(line, _asked(talk)) if sign not in talk.gate.signs)
    return (replace(talk, current=AskUrgent(signs, line, talk.current)), [], []) if signs else None


def _is_offered(talk: Talk, line: str) -> bool:
    """Whether the line is an answer that was offered, by its word, its number or its text."""
    words = talk.asked.words
    several = line.casefold().replace(",", " ").split()
    if several and (all(word in words for word in several) or "_".join(several) in words):
        return True
    return by_text(talk, line) in words


def met(talk: Talk, signs: tuple[str, ...], line: str) -> Reply:
    """The signs are there: written down and told; where it stops the work the words themselves are kept too."""
    now, events, said = danger_reply(talk, signs)
    now = replace(now, dangers_done=talk.dangers_done)
    if not now.gate.stop:
        return now, events, said
    noted = happened.Noted(say("note_typed", line=line))
    return replace(after(now, [noted]), dangers_done=talk.dangers_done), [*events, noted], said
