"""What is told together: one stop of the last round, or what is on offer and answered in a word."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.agenda.rounds import TOGETHER, standing_choices
from faultfinder.dialogue.hearing.choosing import NotTaken, beside_options, option, options_and_words
from faultfinder.dialogue.hearing.line_parser import Typed
from faultfinder.dialogue.hearing.names import why_not
from faultfinder.dialogue.pages import COLUMNS, OPTION, lines_of
from faultfinder.dialogue.prompts.test import PUT_OFF, advised_of, chosen_of
from faultfinder.dialogue.prompts.which import access_of, answered_one, elsewhere, take, typed_one
from faultfinder.dialogue.say import Ask, CardItem, Line, Option, Said, caution, note, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Observation, Question
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

ALL_WELL = ("none", "nothing", "all well", "all fine", "ok", "no", "fine", "well")
LONGEST = COLUMNS - OPTION
"""Characters of a line of the list: one line of a phone."""
BESIDE = 5
"""Lines beside the list: the question, 'none', an example, the prompt and the status line."""


@dataclass(frozen=True, slots=True)
class AskRound(Prompt):
    """What is looked at in one place of the last round."""

    place: str
    targets: tuple[str, ...]
    kind: ClassVar[str] = "round"
    of: ClassVar[str] = "place"

    def _items(self, talk: Talk) -> list[Observation | Question]:
        return [offers.item_of(talk, target) for target in self.targets]

    def _read(self, talk: Talk) -> list[Observation]:
        """Those that are measured."""
        return [
            item for item in self._items(talk) if isinstance(item, Observation) and item.reading is not None
        ]

    def _offers_none(self, talk: Talk) -> bool:
        """Whether 'none' stands on the list: where all is measured, nothing is well unread."""
        return len(self._read(talk)) < len(self.targets)

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        read = self._read(talk)
        only_read = not self._offers_none(talk)
        said: list[Said] = [question(say("round_readings" if only_read else f"round_{self.place}"))]
        shown = []
        for number, (item, text) in enumerate(zip(self._items(talk), self._texts(talk), strict=True), 1):
            said.append(Option(number, item.id, text))
            takes, unit = ("value", item.reading.unit) if item in read and item.reading else ("list", "")
            shown.append(CardItem(item.id, present.answers_of(item), takes, unit))
        if not only_read:
            said.append(Option(0, "none", say("round_none_so" if self.place == TOGETHER else "round_well")))
        if read:
            forms = (f"{self.targets.index(item.id) + 1}: {_form(item)}" for item in read)
            form = "; ".join([*([] if only_read else ["none"]), *forms])
            said.append(note(say("round_read", form=form)))
        words = (*self.targets, "none") if not read else ()
        return said, Ask(say("label_round"), words, takes="card", items=tuple(shown))

    def _texts(self, talk: Talk) -> list[str]:
        """The first sentence of each question, whole where all of them fit the screen, else in one line each."""
        whole = [sentence_of(item) for item in self._items(talk)]
        if sum(lines_of(text, OPTION) for text in whole) <= talk.lines - BESIDE:
            return whole
        return [shortened(text) for text in whole]

    def told_how(self, talk: Talk) -> list[Said]:
        said: list[Said] = []
        for number, item in enumerate(self._items(talk), 1):
            said.append(Line(say("card_step", number=number, text=item.ask)))
            if item not in self._read(talk):
                said.append(Line("; ".join(text for _, text in present.answers_of(item)), indent=2))
            try:
                told = safety.instruction_for_observation(talk.gate, item, talk.pack.cautions)
            except Refused as refusal:
                said.append(caution(str(refusal)))
            else:
                said += present.instruction_said(told)
        return said

    def why(self, talk: Talk) -> list[Said]:
        return [Line(say("round_why_together" if self.place == TOGETHER else "round_why"))]

    def minutes(self, talk: Talk) -> float:
        return sum(item.minutes for item in self._items(talk))

    def advised(self, talk: Talk) -> list[Event]:
        return advised_of(talk, self.targets)

    # -- what is typed ---------------------------------------------------------------------------------

    def take(self, talk: Talk, line: str) -> Reply:
        items = self._items(talk)
        well = later = False
        picked: list[str] = []
        values: dict[str, str] = {}
        try:
            for part in _parts(line):
                if part.casefold() in ALL_WELL or (part == "0" and self._offers_none(talk)):
                    well = True
                elif part.casefold().strip(" .!") in PUT_OFF:
                    later = True
                elif found := self._value(talk, part, values):
                    if values.setdefault(*found) != found[1]:
                        raise NotTaken(say("round_twice", what=offers.item_of(talk, found[0]).ask))
                else:
                    picked += _numbers(part, tuple(item.id for item in items))
        except NotTaken as refusal:
            try:
                return take(talk, elsewhere(talk, line, refusal))
            except NotTaken:
                return self._with_words(talk, line, refusal)
        if later and talk.ending:
            raise NotTaken(say("round_not_later"))
        if later and not well:
            return self._put_off(talk, picked, values)
        if not (well or picked or values):
            raise NotTaken(say("round_choose"))
        reads = {item.id for item in self._read(talk)}
        if len(reads) == len(items) and not values:
            if not picked:
                return self.skip(talk, "cannot_here")  # none of them was measured
            raise NotTaken(say("round_type_readings"))
        if wrong := [name for name in picked if name in reads]:
            raise NotTaken(say("round_value", what=offers.item_of(talk, wrong[0]).ask))
        return self._taken(talk, well or bool(picked), picked, values)

    def _with_words(self, talk: Talk, line: str, refusal: NotTaken) -> Reply:
        """What is numbered, and words of one's own beside it; of the rest nothing is said then. Raises the refusal
        where the line is no such thing."""
        numbers, beside = options_and_words(talk, line)
        try:
            picked = _numbers(" ".join(numbers), self.targets) if numbers else []
        except NotTaken:
            picked = []
        if not picked or any(item.id in picked for item in self._read(talk)):
            raise refusal
        now, events, said = self._taken(talk, False, picked, {})
        try:
            now, more, told = take(now, elsewhere(now, beside, refusal))
        except NotTaken:
            return now, events, [*said, beside_options(beside)]
        return now, [*events, *more], [*said, *told]

    def _value(self, talk: Talk, part: str, values: dict[str, str]) -> tuple[str, str] | None:
        """What a part says of something measured: by its number, by its name, or by its unit alone."""
        read = {item.id: item for item in self._read(talk)}
        only_numbers = re.fullmatch(r"[0-9 ]+", part) is not None
        numbered = re.fullmatch(r"([0-9]{1,2})\s*[:= ]\s*(.+)", part)
        if numbered and 1 <= int(numbered[1]) <= len(self.targets):
            name, value = self.targets[int(numbered[1]) - 1], numbered[2]
            if name in read:
                if because := why_not(read[name], value):
                    raise NotTaken(because)
                return name, value
            typed = None if only_numbers else typed_one(talk, value, name)
            if typed is not None and typed.observation == name:
                return name, typed.answer
        if only_numbers:
            return None
        fits = [name for name, item in read.items() if name not in values and not why_not(item, part)]
        if len(fits) == 1 or (fits and re.fullmatch(r"[<>]?[0-9.]+", part) is None):
            return fits[0], part
        typed = typed_one(talk, part)
        return (typed.observation, typed.answer) if typed and typed.observation in self.targets else None

    def _taken(self, talk: Talk, rest_well: bool, picked: Sequence[str], values: dict[str, str]) -> Reply:
        """What was said of each, in the order of the list; what is ticked and needs more words is asked next."""
        events: list[Event] = []
        said: list[Said] = []
        now = talk
        queue: list[str] = []
        for item in self._items(talk):
            measured = isinstance(item, Observation) and item.reading is not None
            only = item.answers[1].id if isinstance(item, Observation) and len(item.answers) == 2 else ""
            if item.id in picked and item.id not in values and not only:
                queue.append(item.id)
                continue
            if item.id in values or item.id in picked:
                now, more, told = answered_one(now, Typed(item.id, values.get(item.id, only)))
            elif rest_well and not measured:
                now, more, told = _well(now, item)
            else:
                continue
            events += more
            said += told
        ending = "" if picked or values else talk.ending
        # Where it was going is chosen anew, with what was told.
        now = replace(now, queue=(*talk.queue, *queue), current=Over(), chosen=ending, wanted=None)
        return offers.changes(now, talk.case.confidence(), events, said)

    def _put_off(self, talk: Talk, picked: Sequence[str], values: dict[str, str]) -> Reply:
        """What was told of it is taken; the rest is asked later, and stays in reach by its name."""
        rest = [target for target in self.targets if target not in picked and target not in values]
        now, events, said = self._taken(talk, False, picked, values)
        said = [note(say("round_put_off", names=", ".join(map(name_of, rest)))), *said] if rest else said
        return replace(now, declined=now.declined | set(rest)), events, said

    def skip(self, talk: Talk, because: str) -> Reply:
        """What of it was not seen is left out, all of it."""
        events: list[Event] = [happened.Skipped(target, because) for target in self.targets]
        names = ", ".join(map(name_of, self.targets))
        return replace(after(talk, events), wanted=None), events, [note(say("skipped", name=names))]


def _well(talk: Talk, item: Observation | Question) -> Reply:
    """Looked at, and nothing wrong with it but what stands already."""
    if isinstance(item, Question):
        return chosen_of(talk, item, [*standing_choices(talk, item), "none"])
    event = happened.Answered(item.id, item.healthy, access=access_of(talk, item.need))
    return after(talk, [event]), [event], []


def _form(item: Observation) -> str:
    """How a reading is typed, a gap before its unit: a figure could be typed as if it had been measured."""
    unit = item.reading.unit if item.reading is not None else "1"
    return "__" if unit == "1" else f"__ {unit}"


def sentence_of(item: Observation | Question) -> str:
    """The first sentence of its question."""
    return re.split(r"(?<=[?.])\s|:\s", item.ask.strip())[0].rstrip(".")


def shortened(text: str) -> str:
    """In one line of a phone; what does not fit is left out at a word's end."""
    return text if len(text) <= LONGEST else text[: LONGEST - 2].rsplit(" ", 1)[0] + "..."


def _parts(line: str) -> list[str]:
    return [part.strip() for part in re.split(r"[;,](?![0-9])|,(?=\s)", line) if part.strip()]


def _numbers(part: str, names: tuple[str, ...]) -> list[str]:
    """The things of a part that is numbers or names only."""
    words = part.casefold().split()
    if all(word.isdecimal() for word in words) or len(words) == 1:
        return [option(word, names) for word in words]
    raise NotTaken(say("round_choose"))
