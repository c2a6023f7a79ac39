"""A fault worth putting right: whether, and whether it is done."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue import present
from faultfinder.dialogue.cause_reasons import why_cause
from faultfinder.dialogue.choosing import NotTaken, option
from faultfinder.dialogue.messages import say
from faultfinder.dialogue.pieces import access_of, elsewhere
from faultfinder.dialogue.prompts.which import take
from faultfinder.dialogue.say import Ask, Line, Said, Tone, caution, heading, options, question
from faultfinder.dialogue.talk import Prompt, Reply, Talk, after
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need
from faultfinder.safety import gate as safety


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
        first = ("done", say("remedy_done")) if self._at_hand(talk) else ("do", say("remedy_do"))
        pairs = [first, ("later", say("remedy_later")), ("cannot", say("remedy_cannot"))]
        said = self.told_how(talk) if self._at_hand(talk) else []
        said += present.remedy_said(talk.case, item, talk.case.confidence()[self.cause])
        return [*said, *options(pairs)], Ask("remedy", tuple(word for word, _ in pairs), takes="one")

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
        first = "done" if self._at_hand(talk) else "do"
        plain = line.strip().casefold()
        if plain in ("done", "do", "yes", "y", "ok") or (
            first == "done" and _says_done(talk, self.cause, line)
        ):
            line = first
        elif plain in ("not now", "no", "no thanks", "tomorrow"):
            line = "later"
        try:
            word = option(line, (first, "later", "cannot"))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        if word == "done":
            return mended(talk, self.cause)
        if word == "do":
            event = happened.RemedyStarted(self.cause, talk.job.pack.causes[self.cause].minutes)
            return replace(after(talk, [event]), chosen=""), [event], []
        events: list[Event] = []
        if word == "cannot":
            events = [happened.Noted(say("note_not_mended", title=talk.job.pack.causes[self.cause].title))]
        return replace(after(talk, events), declined=talk.declined | {self.cause}, chosen=""), events, []

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "cannot" if because == "cannot_here" else "later")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        match left[0]:
            case happened.RemedyStarted(cause=cause) if cause == self.cause:
                return "do"
            case happened.PutRight(cause=cause) if cause == self.cause:
                return "done"
            case happened.Noted(text=text):
                title = talk.job.pack.causes[self.cause].title
                return "cannot" if text == say("note_not_mended", title=title) else None
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
            pairs.insert(0, ("done", say("remedy_done")))
        said += [question(say("remedy_done_ask")), *options(pairs)]
        return said, Ask("remedy", tuple(word for word, _ in pairs), takes="one")

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
        words = ("done", "not_done") if safety.permits(talk.gate, need) else ("not_done",)
        plain = line.strip().casefold()
        if words[0] == "done" and (plain in ("yes", "y", "ok") or _says_done(talk, self.cause, line)):
            line = "done"
        elif plain in ("no", "later", "cannot"):
            line = "not_done"
        try:
            word = option(line, words)
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        if word == "done":
            return mended(talk, self.cause)
        events: list[Event] = [happened.RemedyLeft(self.cause)]
        return replace(after(talk, events), declined=talk.declined | {self.cause}), events, []

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "not_done")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        match left[0]:
            case happened.PutRight(cause=cause) if cause == self.cause:
                return "done"
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
        chance = present.percent(talk.case.confidence()[self.cause])
        text = say("hand_over", remedy=item.remedy, cause=item.title, chance=chance)
        shown = options([("ok", say("hand_over_ok"))])
        return [question(text), *shown], Ask("hand over", ("ok",), takes="one")

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
        item = talk.job.pack.causes[self.cause]
        event = happened.Noted(say("note_licensed", remedy=item.remedy))
        return replace(after(talk, [event]), declined=talk.declined | {self.cause}), [event], []

    def skip(self, talk: Talk, because: str) -> Reply:
        return self.take(talk, "ok")

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        first, item = left[0], talk.job.pack.causes[self.cause]
        noted = isinstance(first, happened.Noted) and first.text == say("note_licensed", remedy=item.remedy)
        return "ok" if noted else None


_DONE = (
    "done",
    "fixed",
    "replaced",
    "changed",
    "renewed",
    "mended",
    "repaired",
    "cleaned",
    "cleared",
    "swapped",
)
"""Words for a remedy that was carried out."""


def _says_done(talk: Talk, cause: str, line: str) -> bool:
    """Whether a line says that this very remedy is done: such a word, and none that is not of the fault's own."""
    words = re.findall(r"[^\W_]+", line.casefold())
    item = talk.job.pack.causes[cause]
    own = set(
        re.findall(r"[^\W_]+", f"{item.id} {item.title} {item.remedy} {' '.join(item.parts)}".casefold())
    )
    verb = [word for word in words if word in _DONE or any(_stem(word) == _stem(each) for each in own)]
    rest = [
        word for word in words if word not in _DONE and word not in ("it", "the", "new", "now", "all", "and")
    ]
    said = bool(words) and (words[0] in _DONE or words[0].endswith("ed"))
    return said and bool(verb) and all(any(_stem(word) == _stem(each) for each in own) for word in rest)


def _stem(word: str) -> str:
    return re.sub(r"(ened|ed|en|ing|s|e)$", "", word)


def _instruction(talk: Talk, cause: str) -> list[Said]:
    """How it is put right, as the gate gives it. Raises Refused where its access is not there."""
    item = talk.job.pack.causes[cause]
    return present.instruction_said(safety.instruction_for_remedy(talk.gate, item, talk.job.pack.cautions))


def mended(talk: Talk, cause: str) -> Reply:
    """The remedy was carried out."""
    item = talk.job.pack.causes[cause]
    need = safety.remedy_need(item)
    event = happened.PutRight(
        cause,
        access=access_of(talk, need),
        inside=need is Need.OPEN_DEAD,
        electrical=item.touches_electrics,
        work=item.remedy,
    )
    talk = replace(after(talk, [event]), declined=frozenset(), chosen="")
    # Nothing was learnt by it: what is likely now is told with the proof.
    taken = Line(say("remedy_taken", remedy=item.remedy), Tone.CHANGE)
    return talk, [event], [taken, *present.also_said(talk.case, item)]
