"""The danger list: what is there now, or was."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.hearing.choosing import NOTHING, NotTaken, several
from faultfinder.dialogue.hearing.complaint import matched
from faultfinder.dialogue.prompts.complaint import symptom_list
from faultfinder.dialogue.prompts.line_answers import anything
from faultfinder.dialogue.say import Ask, Line, Said, choice, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import ASKED, SAYS_IT_ALL, asked_of
from faultfinder.text.catalogue import say


@dataclass(frozen=True, slots=True)
class AskDangers(Prompt):
    """The danger list."""

    kind: ClassVar[str] = "dangers"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        pairs = [(sign, say(f"sign_{sign}")) for sign in _asked(talk)]
        pairs.append(("none", say("danger_option_none")))
        return choice([question(say("danger_ask"))], say("label_danger"), pairs, "several")

    def take(self, talk: Talk, line: str) -> Reply:
        """Which of the danger signs are there; none confirms the list."""
        if line.casefold().strip(" .!") in (*NOTHING, "0"):
            line = "none"
        try:
            chosen = _chosen(line, _asked(talk))
        except NotTaken as refusal:
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
        return replace(after(talk, events), dangers_done=True), events, [Line(say(key))]

    def _meant(self, talk: Talk, line: str) -> NotTaken | None:
        """The sign that a customer's words for it seem to name, asked back; None where they name none."""
        names = matched(symptom_list(talk), line)
        item = talk.job.pack.observations[names[0]] if names else None
        asked = _asked(talk)
        sign = next((each for each in item.danger.values() if each in asked), "") if item is not None else ""
        if not sign:
            return None
        return NotTaken(say("danger_meant", sign=say(f"sign_{sign}"), number=asked.index(sign) + 1))

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        first = left[0]
        if isinstance(first, happened.DangerSeen):
            return first.sign
        if isinstance(first, happened.Confirmed) and first.action == "dangers_answered":
            return "none"
        return None


def _denied(talk: Talk) -> list[Event]:
    """What is told with 'none': the symptoms that the list asks for in other words are not there either."""
    signs = SAYS_IT_ALL.intersection(_asked(talk)).difference(talk.gate.signs)
    return [
        happened.Answered(item.id, item.healthy)
        for item in talk.job.pack.observations.values()
        if item.symptom
        and item.need is Need.ANYWHERE
        and len(item.answers) == 2
        and not signs.isdisjoint(item.danger.values())
        and talk.case.latest(item.id) is None
        and possible(item.applies, talk.case.facts)
    ]


def _asked(talk: Talk) -> tuple[str, ...]:
    """The signs of the list: that of a refrigerant not where the machine is known to have none."""
    pack = talk.job.pack
    fact = pack.facts.get("refrigerant")
    has_none = fact is not None and not possible(fact.applies, talk.case.facts)
    return tuple(sign for sign in asked_of(pack) if not (has_none and sign == "refrigerant_signs"))


def _chosen(line: str, offered: Sequence[str]) -> list[str]:
    """The signs chosen: by the numbers of the list, or by name whether they stand in it or not."""
    parts = [part for part in re.split(r"[\s,;]+", line.casefold()) if part]
    unoffered = [part for part in parts if part in ASKED and part not in offered]
    rest = [part for part in parts if part not in unoffered]
    return [*unoffered, *(several(" ".join(rest), (*offered, "none")) if rest or not unoffered else ())]


def danger_reply(talk: Talk, signs: Sequence[str]) -> Reply:
    """Danger signs were met: they are written down, the pack's own symptoms for them too, and the person told."""
    events: list[Event] = [happened.DangerSeen(sign) for sign in signs]
    for item in talk.job.pack.observations.values():
        for answer, sign in item.danger.items():
            given = talk.case.latest(item.id)
            new = given is None or given.answer == item.healthy  # what was denied before is told now
            if sign in signs and new and possible(item.applies, talk.case.facts):
                if item.need is Need.ANYWHERE and item.reading is None:
                    events.append(happened.Answered(item.id, answer))
    now = replace(after(talk, events), dangers_done=True, wanted=None, chosen="", current=Over())
    return now, events, present.sign_lines(signs)
