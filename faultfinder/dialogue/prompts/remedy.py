"""A fault worth putting right: whether, and whether it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.hearing.choosing import NotTaken, option
from faultfinder.dialogue.hearing.work_told import WorkTold, work_told
from faultfinder.dialogue.prompts.which import access_of, elsewhere, take
from faultfinder.dialogue.say import Ask, Line, Said, Tone, caution, choice, heading, note, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.showing.cause_reasons import why_cause
from faultfinder.dialogue.talk import Prompt, Reply, Talk, after
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Cause, Need
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import percent


class _OfCause(Prompt):
    """Something that is asked of a cause."""

    __slots__ = ()
    cause: str
    of: ClassVar[str] = "cause"

    def _item(self, talk: Talk) -> Cause:
        return talk.pack.causes[self.cause]

    def _at_hand(self, talk: Talk) -> bool:
        """Whether the access that the remedy needs is there."""
        return safety.permits(talk.gate, safety.remedy_need(self._item(talk)))

    def why(self, talk: Talk) -> list[Said]:
        return why_cause(talk.case, self.cause)

    def about(self, talk: Talk) -> str:
        return self.cause

    def told_how(self, talk: Talk) -> list[Said]:
        """How it is put right, as the gate gives it. Raises Refused where its access is not there."""
        told = safety.instruction_for_remedy(talk.gate, self._item(talk), talk.pack.cautions)
        return present.instruction_said(told)

    def advised(self, talk: Talk) -> list[Event]:
        if not self._at_hand(talk):
            return []
        need = safety.remedy_need(self._item(talk))
        return [happened.Advised(self.cause, str(need), work="remedy")]

    def _pairs(self, talk: Talk) -> list[tuple[str, str]]:
        """How the remedy may have been carried out, once it can be: with the parts that the rules propose, or without
        any."""
        parts = self._item(talk).parts
        if not self._at_hand(talk):
            return []
        if not parts:
            return [("done", say("remedy_done"))]
        with_parts = say("remedy_done_with", parts=", ".join(parts))
        return [("done", with_parts), ("done_without", say("remedy_done_without"))]

    def _told_done(self, talk: Talk, line: str) -> WorkTold | None:
        """The remedy as a line says that it is done: by an option, or in words of one's own; None where it is not."""
        if not (pairs := self._pairs(talk)):
            return None
        if (told := work_told(self._item(talk), line)) is not None:
            return told
        try:
            word = option(line, (*(word for word, _ in pairs), "later", "cannot", "not_done"))
        except NotTaken:
            return None
        return {"done": WorkTold(self._item(talk).parts), "done_without": WorkTold(())}.get(word)

    def _put_aside(self, talk: Talk, events: list[Event]) -> Reply:
        """Not wanted now; whoever slipped, or thinks better of it, is told what brings it back."""
        said: list[Said] = [note(say("remedy_left", title=self._item(talk).title))]
        return replace(after(talk, events), declined=talk.declined | {self.cause}), events, said

    def _elsewhere(self, talk: Talk, line: str, words: Sequence[str]) -> str | Reply:
        """The word that a line is, or what it says of something else."""
        try:
            return option(line, tuple(words))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))


@dataclass(frozen=True, slots=True)
class AskRemedy(_OfCause):
    """Whether to put a cause right now; where its access is there, with the instruction, so that it can be done."""

    cause: str
    kind: ClassVar[str] = "remedy"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item, at_hand = self._item(talk), self._at_hand(talk)
        first = self._pairs(talk) or [("do", say("remedy_do"))]
        pairs = [*first, ("later", say("remedy_later")), ("cannot", say("remedy_cannot"))]
        said = self.told_how(talk) if at_hand else []
        said += present.remedy_said(talk.case, item, parts=not at_hand)
        return choice(said, say("label_remedy"), pairs)

    def told_how(self, talk: Talk) -> list[Said]:
        if not self._at_hand(talk):
            return [Line(say("how_later"))]
        return _OfCause.told_how(self, talk)

    def minutes(self, talk: Talk) -> float:
        return self._item(talk).minutes if self._at_hand(talk) else 0.0

    def take(self, talk: Talk, line: str) -> Reply:
        item, plain = self._item(talk), line.strip().casefold()
        if (told := self._told_done(talk, line)) is not None:
            return mended(talk, self.cause, told)
        words = [word for word, _ in self._pairs(talk)] or ["do"]
        if words == ["do"] and (plain in ("do", "yes", "y", "ok") or work_told(item, line) is not None):
            line = "do"  # whoever says that it is done is led to it: its access was not confirmed
        if plain in ("not now", "no", "no thanks", "tomorrow"):
            line = "later"
        word = self._elsewhere(talk, line, (*words, "later", "cannot"))
        if not isinstance(word, str):
            return word
        if word == "do":
            event = happened.RemedyStarted(self.cause, item.minutes)
            return replace(after(talk, [event]), chosen=""), [event], []
        events: list[Event] = [happened.Declined(self.cause, "cannot")] if word == "cannot" else []
        return self._put_aside(replace(talk, chosen=""), events)

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "cannot" if because == "cannot_here" else "later")


@dataclass(frozen=True, slots=True)
class AskRemedyDone(_OfCause):
    """Whether the remedy that was begun is done."""

    cause: str
    kind: ClassVar[str] = "remedy_done"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        said: list[Said] = [heading(self._item(talk).remedy)]
        try:
            said += self.told_how(talk)
            pairs = self._pairs(talk)
        except Refused as refusal:
            said.append(caution(str(refusal)))
            pairs = []
        pairs.append(("not_done", say("remedy_not_done")))
        return choice([*said, question(say("remedy_done_ask"))], say("label_remedy"), pairs)

    def take(self, talk: Talk, line: str) -> Reply:
        if (told := self._told_done(talk, line)) is not None:
            return mended(talk, self.cause, told)
        if line.strip().casefold() in ("no", "later", "cannot"):
            line = "not_done"
        word = self._elsewhere(talk, line, (*(word for word, _ in self._pairs(talk)), "not_done"))
        return self._put_aside(talk, [happened.RemedyLeft(self.cause)]) if isinstance(word, str) else word

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "not_done")


@dataclass(frozen=True, slots=True)
class AskHandOver(_OfCause):
    """A remedy for a licensed person, to be taken note of."""

    cause: str
    kind: ClassVar[str] = "hand_over"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item, chance = self._item(talk), percent(talk.case.confidence()[self.cause])
        text = say("hand_over", remedy=item.remedy, cause=item.title, chance=chance)
        return choice([question(text)], say("label_hand_over"), [("ok", say("hand_over_ok"))])

    def told_how(self, talk: Talk) -> list[Said]:
        return []

    def advised(self, talk: Talk) -> list[Event]:
        return []

    def take(self, talk: Talk, line: str) -> Reply:
        if line.strip().casefold() in ("yes", "y", "done", "understood"):
            line = "ok"
        word = self._elsewhere(talk, line, ("ok",))
        aside = [happened.Declined(self.cause, "licensed")]
        return (*self._put_aside(talk, [*aside])[:2], []) if isinstance(word, str) else word

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "ok")


def mended(talk: Talk, cause: str, told: WorkTold) -> Reply:
    """The remedy was carried out, with these parts."""
    item = talk.pack.causes[cause]
    need = safety.remedy_need(item)
    event = happened.PutRight(
        cause,
        access=access_of(talk, need),
        inside=need is Need.OPEN_DEAD,
        electrical=item.touches_electrics,
        work=item.remedy,
        minutes=told.minutes,
    )
    events: list[Event] = [event, *(happened.PartUsed(part) for part in told.parts)]
    now = after(talk, events)
    # What was put off is worth asking again; what cannot be done here is not.
    now = replace(now, declined=frozenset(now.job.declined), chosen="")
    # Nothing was learnt by it: what is likely now is told with the proof.
    taken = Line(say("remedy_taken", remedy=item.remedy), Tone.CHANGE)
    said: list[Said] = [taken, *present.also_said(talk.case, item)]
    if told.parts:
        said.append(note(say("remedy_with", parts=", ".join(told.parts))))
    return now, events, said
