"""A fault worth putting right: whether, and whether it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.hearing.choosing import NotTaken, option
from faultfinder.dialogue.hearing.pieces import access_of, elsewhere
from faultfinder.dialogue.hearing.work_told import WorkTold, line_of_work, work_told
from faultfinder.dialogue.prompts.which import take
from faultfinder.dialogue.say import Ask, Line, Said, Tone, caution, heading, note, options, question
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


@dataclass(frozen=True, slots=True)
class AskRemedy(Prompt):
    """Whether to put a cause right now; where its access is there, with the instruction, so that it can be done."""

    cause: str
    kind: ClassVar[str] = "remedy"

    def key(self) -> str:
        return f"remedy:{self.cause}"

    def _at_hand(self, talk: Talk) -> bool:
        return safety.permits(talk.gate, safety.remedy_need(talk.job.pack.causes[self.cause]))

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item = talk.job.pack.causes[self.cause]
        first = done_pairs(item) if self._at_hand(talk) else [("do", say("remedy_do"))]
        pairs = [*first, ("later", say("remedy_later")), ("cannot", say("remedy_cannot"))]
        said = self.told_how(talk) if self._at_hand(talk) else []
        parts = not self._at_hand(talk)
        said += present.remedy_said(talk.case, item, parts=parts)
        return [*said, *options(pairs)], Ask(
            say("label_remedy"), tuple(word for word, _ in pairs), takes="one"
        )

    def told_how(self, talk: Talk) -> list[Said]:
        if not self._at_hand(talk):
            return [Line(say("how_later"))]
        return _instruction(talk, self.cause)

    def why(self, talk: Talk) -> list[Said]:
        return why_cause(talk.case, self.cause)

    def about(self, talk: Talk) -> str:
        return self.cause

    def minutes(self, talk: Talk) -> float:
        return talk.job.pack.causes[self.cause].minutes if self._at_hand(talk) else 0.0

    def advised(self, talk: Talk) -> list[Event]:
        if not self._at_hand(talk):
            return []
        need = safety.remedy_need(talk.job.pack.causes[self.cause])
        return [happened.Advised(self.cause, str(need), work="remedy")]

    def take(self, talk: Talk, line: str) -> Reply:
        item = talk.job.pack.causes[self.cause]
        plain = line.strip().casefold()
        if self._at_hand(talk):
            words = tuple(word for word, _ in done_pairs(item))
            if (told := done_told(item, line, words)) is not None:
                return mended(talk, self.cause, told)
        else:
            words = ("do",)
            # Whoever says that it is done is led to it: its access was not confirmed.
            line = "do" if plain in ("do", "yes", "y", "ok") or work_told(item, line) is not None else line
        if plain in ("not now", "no", "no thanks", "tomorrow"):
            line = "later"
        try:
            word = option(line, (*words, "later", "cannot"))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        if word == "do":
            event = happened.RemedyStarted(self.cause, item.minutes)
            return replace(after(talk, [event]), chosen=""), [event], []
        events: list[Event] = []
        if word == "cannot":
            events = [happened.Declined(self.cause, "cannot")]
        return replace(after(talk, events), declined=talk.declined | {self.cause}, chosen=""), events, []

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "cannot" if because == "cannot_here" else "later")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        match left[0]:
            case happened.RemedyStarted(cause=cause) if cause == self.cause:
                return "do"
            case happened.PutRight(cause=cause) if cause == self.cause:
                return done_again(talk, left)
            case happened.Declined(cause=cause) if cause == self.cause:
                return "cannot"
            case happened.Noted():
                return None
        return "later"


@dataclass(frozen=True, slots=True)
class AskRemedyDone(Prompt):
    """Whether the remedy that was begun is done."""

    cause: str
    kind: ClassVar[str] = "remedy_done"

    def key(self) -> str:
        return f"remedy_done:{self.cause}"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item = talk.job.pack.causes[self.cause]
        said: list[Said] = [heading(item.remedy)]
        pairs = [("not_done", say("remedy_not_done"))]
        try:
            said += _instruction(talk, self.cause)
        except Refused as refusal:
            said.append(caution(str(refusal)))
        else:
            pairs = [*done_pairs(item), *pairs]
        said += [question(say("remedy_done_ask")), *options(pairs)]
        return said, Ask(say("label_remedy"), tuple(word for word, _ in pairs), takes="one")

    def told_how(self, talk: Talk) -> list[Said]:
        return _instruction(talk, self.cause)

    def why(self, talk: Talk) -> list[Said]:
        return why_cause(talk.case, self.cause)

    def about(self, talk: Talk) -> str:
        return self.cause

    def advised(self, talk: Talk) -> list[Event]:
        need = safety.remedy_need(talk.job.pack.causes[self.cause])
        if not safety.permits(talk.gate, need):
            return []
        return [happened.Advised(self.cause, str(need), work="remedy")]

    def take(self, talk: Talk, line: str) -> Reply:
        need = safety.remedy_need(talk.job.pack.causes[self.cause])
        item = talk.job.pack.causes[self.cause]
        words = tuple(word for word, _ in done_pairs(item)) if safety.permits(talk.gate, need) else ()
        if words and (told := done_told(item, line, words)) is not None:
            return mended(talk, self.cause, told)
        if line.strip().casefold() in ("no", "later", "cannot"):
            line = "not_done"
        try:
            option(line, (*words, "not_done"))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        events: list[Event] = [happened.RemedyLeft(self.cause)]
        return replace(after(talk, events), declined=talk.declined | {self.cause}), events, []

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "not_done")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        match left[0]:
            case happened.PutRight(cause=cause) if cause == self.cause:
                return done_again(talk, left)
            case happened.RemedyLeft():
                return "not_done"
        return None


@dataclass(frozen=True, slots=True)
class AskHandOver(Prompt):
    """A remedy for a licensed person, to be taken note of."""

    cause: str
    kind: ClassVar[str] = "hand_over"

    def key(self) -> str:
        return f"hand_over:{self.cause}"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item = talk.job.pack.causes[self.cause]
        chance = percent(talk.case.confidence()[self.cause])
        text = say("hand_over", remedy=item.remedy, cause=item.title, chance=chance)
        shown = options([("ok", say("hand_over_ok"))])
        return [question(text), *shown], Ask(say("label_hand_over"), ("ok",), takes="one")

    def why(self, talk: Talk) -> list[Said]:
        return why_cause(talk.case, self.cause)

    def about(self, talk: Talk) -> str:
        return self.cause

    def take(self, talk: Talk, line: str) -> Reply:
        if line.strip().casefold() not in ("yes", "y", "done", "understood"):
            try:
                option(line, ("ok",))
            except NotTaken as refusal:
                return take(talk, elsewhere(talk, line, refusal))
        event = happened.Declined(self.cause, "licensed")
        return replace(after(talk, [event]), declined=talk.declined | {self.cause}), [event], []

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "ok")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        first = left[0]
        return "ok" if isinstance(first, happened.Declined) and first.cause == self.cause else None


def done_pairs(cause: Cause) -> list[tuple[str, str]]:
    """How a remedy may have been carried out: with the parts that the rules propose, or without any."""
    if not cause.parts:
        return [("done", say("remedy_done"))]
    return [
        ("done", say("remedy_done_with", parts=", ".join(cause.parts))),
        ("done_without", say("remedy_done_without")),
    ]


def done_told(cause: Cause, line: str, words: tuple[str, ...]) -> WorkTold | None:
    """The remedy as a line says that it is done: by an option, or in words of one's own; None where it is not."""
    if (told := work_told(cause, line)) is not None:
        return told
    try:
        word = option(line, (*words, "later", "cannot", "not_done"))
    except NotTaken:
        return None
    return {"done": WorkTold(cause.parts), "done_without": WorkTold(())}.get(word)


def done_again(talk: Talk, left: Sequence[Event]) -> str:
    """The line that leads to a remedy carried out and the parts that it took."""
    first = left[0]
    assert isinstance(first, happened.PutRight)
    used = []
    for event in left[1:]:
        if not isinstance(event, happened.PartUsed):
            break
        used.append(event.part)
    return line_of_work(talk.job.pack.causes[first.cause], tuple(used), first.minutes)


def _instruction(talk: Talk, cause: str) -> list[Said]:
    """How it is put right, as the gate gives it. Raises Refused where its access is not there."""
    item = talk.job.pack.causes[cause]
    return present.instruction_said(safety.instruction_for_remedy(talk.gate, item, talk.job.pack.cautions))


def mended(talk: Talk, cause: str, told: WorkTold) -> Reply:
    """The remedy was carried out, with these parts."""
    item = talk.job.pack.causes[cause]
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
