"""What the customer complained of, tried again on the machine before it is called fit for use."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken, several
from faultfinder.dialogue.prompts.complaint import symptom_text, symptom_word
from faultfinder.dialogue.prompts.test import PUT_OFF
from faultfinder.dialogue.prompts.which import elsewhere, take
from faultfinder.dialogue.say import Ask, Line, Said, choice, note, question
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Access, Need
from faultfinder.text.catalogue import say

TRIAL = "trial"
"""Stands among what was declined: whoever said that it was not tried is not asked at once again."""


@dataclass(frozen=True, slots=True)
class AskTrial(Prompt):
    """Which of the complaints are still there, now that it was tried."""

    complaints: tuple[str, ...]
    kind: ClassVar[str] = "trial"

    def pairs(self, talk: Talk) -> list[tuple[str, str, str]]:
        """(word, name, the answer complained of) of each."""
        out = []
        for name in self.complaints:
            given = talk.case.latest(name)
            wrong = given is not None and talk.case.amiss(given)
            answer = talk.case.judged(given).answer if given is not None and wrong else ""
            answer = answer or talk.pack.observations[name].answers[-1].id
            out.append((symptom_word(talk, name, answer), name, answer))
        return out

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        pairs = [(word, symptom_text(talk, name, answer)) for word, name, answer in self.pairs(talk)]
        pairs += [("gone", say("trial_gone")), ("untried", say("trial_untried"))]
        return choice([question(say("trial_ask"))], say("label_trial"), pairs, "several")

    def told_how(self, talk: Talk) -> list[Said]:
        return [Line(say("trial_how"))]

    def why(self, talk: Talk) -> list[Said]:
        return [Line(say("trial_why"))]

    def minutes(self, talk: Talk) -> float:
        return max((talk.pack.observations[name].minutes for name in self.complaints), default=0.0)

    def take(self, talk: Talk, line: str) -> Reply:
        pairs = self.pairs(talk)
        plain = line.strip().casefold().rstrip(".!")
        if plain in ("none", "no", "nothing", "ok"):
            raise NotTaken(say("trial_was_it"))
        if plain in (*PUT_OFF, "not tried"):
            return self.skip(talk, "cannot_here")
        line = "gone" if plain in ("all gone", "tried", "fixed") else line
        try:
            chosen = several(line, (*(word for word, _, _ in pairs), "gone", "untried"))
        except NotTaken as refusal:
            if not line.strip(" ,;."):
                raise NotTaken(say("trial_was_it")) from None
            return take(talk, elsewhere(talk, line, refusal))
        if "untried" in chosen:
            return self.skip(talk, "cannot_here")
        still = [word for word in chosen if word != "gone"]
        events: list[Event] = []
        for word, name, answer in pairs:
            item = talk.pack.observations[name]
            value = answer if word in still else item.healthy
            events.append(happened.Answered(name, value, access=str(Access.IN_USE)))
        now, key = replace(after(talk, events), current=Over()), "trial_all_gone"
        if still:
            now, key = replace(now, chosen="", declined=frozenset(now.job.declined)), "trial_goes_on"
        return offers.changes(now, talk.case.confidence(), events, [note(say(key))])

    def skip(self, talk: Talk, because: str) -> Reply:
        event = happened.Noted(say("note_untried"))
        now = replace(after(talk, [event]), declined=talk.declined | {TRIAL}, chosen="", current=Over())
        return now, [event], [note(say("trial_not"))]


def trial_due(talk: Talk) -> tuple[str, ...]:
    """The complaints that are to be tried again now; only on a machine that may run."""
    if TRIAL in talk.declined or Need.IN_USE in talk.case.unreachable:
        return ()
    return tuple(offers.complaints_to_try(talk))
