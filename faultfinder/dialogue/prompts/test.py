"""An observation to be made, or a question that sets several."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.agenda.rounds import standing_choices
from faultfinder.dialogue.hearing.choosing import (
    NOTHING,
    NotTaken,
    beside_options,
    likeliest,
    nearest_text,
    not_understood,
    option,
    options_and_words,
    several,
)
from faultfinder.dialogue.hearing.danger_words import without_denied
from faultfinder.dialogue.hearing.free_text import as_read
from faultfinder.dialogue.hearing.line_parser import Piece, Typed, Which
from faultfinder.dialogue.pages import page_from, question_lines
from faultfinder.dialogue.prompts.which import access_of, elsewhere, take, typed_pieces
from faultfinder.dialogue.say import Ask, Line, Option, Said, Tone, caution, error, note, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.model import Need, Observation, Question
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

WORTH_LINES = 2
"""Lines of what a test takes and saves, on a narrow screen."""
SLIPPED = 2.5
"""How many times a bare figure lies beyond what is healthy to be asked back with its unit; chosen."""
FEW = 6
"""Answers up to which all are named where one is not understood; chosen for a small screen."""
PUT_OFF = ("later", "not now", "skip", "skip it", "something else", "other")
THAT_IS_ALL = (
    *("", "yes", "ok", "done", "all", "that's all", "thats all", "that is all", "no more", "nothing else"),
)
_OFF = re.compile(r"(?:(?:un-?tick|take off|remove|minus|without|not)(?![a-z])|-)\s*([0-9].*|[a-z_]+)")


@dataclass(frozen=True, slots=True)
class AskTest(Prompt):
    """An observation or a question that sets several; `proof` when it proves a repair. A long list stands in pages:
    `first` is the first answer of this one; `ticked`: what was ticked so far of several."""

    target: str
    proof: bool = False
    first: int = 0
    ticked: tuple[str, ...] = ()
    kind: ClassVar[str] = "test"
    of: ClassVar[str] = "target"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item = offers.item_of(talk, self.target)
        said: list[Said] = []
        for run in runs_to_show(talk, self.target) if self.proof and not self.first else []:
            said.append(note(say("then_run", cause=talk.pack.causes[run.id].title)))
            said += present.instruction_said(run)
        try:
            instruction = safety.instruction_for_observation(talk.gate, item, talk.pack.cautions)
        except Refused as refusal:
            said.append(caution(str(refusal)))
        else:
            shown_before = talk.shown == str(item.need) or self.first or self.ticked
            first = () if shown_before else instruction.cautions
            said += [caution(text) for text in (*first, *instruction.own)]
        step = offers.step_to(talk, self.target)
        if self.target == offers.closing_reading(talk) and (step is None or step.last):
            said.append(note(say("closes_with")))  # it is made for the closing alone
        if isinstance(item, Observation) and not self.proof:
            said += present.once_more(talk.case, item)
        worth = [] if step is None or self.proof else [present.minutes_line(step)]
        said.append(question(self._question(talk, item)))
        if isinstance(item, Observation) and item.reading is not None:
            said += [*present.healthy_line(talk.case, item), *worth]
            # What is a return test is good by its figure alone.
            words = tuple(a.id for a in item.answers if not (item.return_test and a.id == item.healthy))
            return said, Ask(name_of(self.target), words, takes="value", unit=item.reading.unit)
        many = isinstance(item, Question) and item.several
        options = present.test_options(item)
        start, end = self._page(talk, item)
        left_out = {*self.ticked, "none"} if many else set[str]()  # one of several answers may be called none
        shown = [each for each in options[start:end] if each.word not in left_out]
        if many:
            shown.append(options[-1])
        if any(each.word not in left_out for each in options[end : len(present.answer_texts(item))]):
            shown.append(Option(0, "more", say("more_of_them")))
        said += shown
        if not self.ticked and not self.first:
            said += worth
        words = tuple(each.word for each in options)
        return said, Ask(say("label_answer"), words, takes="several" if many else "one")

    def _question(self, talk: Talk, item: Observation | Question) -> str:
        text = say("prove_this", ask=item.ask) if self.proof else item.ask
        if not isinstance(item, Question) or not (self.ticked or self.first):
            return text
        if self.first:
            return say("ticks_page", count=len(self.ticked))
        what = "; ".join(choice.text for choice in item.choices if choice.id in self.ticked)
        if not self._new(talk, item):
            # Its first sentence alone: "number all, what was told before too" is for who begins.
            return say("told_before_more", ask=_first_sentence(text), what=what)
        return say("ticked_more", what=what)

    def _new(self, talk: Talk, item: Question) -> list[str]:
        """What was ticked here, beside what stood already."""
        standing = standing_choices(talk, item)
        return [word for word in self.ticked if word not in standing]

    def _page(self, talk: Talk, item: Observation | Question) -> tuple[int, int]:
        many = isinstance(item, Question) and item.several
        others = question_lines(self._question(talk, item)) + (1 if many else 0) + WORTH_LINES
        return self.first, page_from(present.answer_texts(item), self.first, others, talk.lines)

    def before_last(self, talk: Talk) -> Prompt | None:
        """The page before this one, or this one with nothing ticked."""
        item = offers.item_of(talk, self.target)
        if not isinstance(item, Question) or not item.several:
            return replace(self, first=0) if self.first else None
        if not self.first:
            new = self._new(talk, item)
            return replace(self, ticked=tuple(w for w in self.ticked if w not in new)) if new else None
        page = replace(self, first=0, ticked=())
        while (end := page._page(talk, item)[1]) < self.first:
            page = replace(page, first=end)
        before = [choice.id for choice in item.choices[: page.first]]
        return replace(page, ticked=tuple(word for word in self.ticked if word in before))

    def told_how(self, talk: Talk) -> list[Said]:
        item = offers.item_of(talk, self.target)
        instruction = safety.instruction_for_observation(talk.gate, item, talk.pack.cautions)
        return present.instruction_said(instruction) or [Line(say("how_none"))]

    def why(self, talk: Talk) -> list[Said]:
        return why_test(talk, self.target)

    def help(self, talk: Talk) -> str:
        item = offers.item_of(talk, self.target)
        if isinstance(item, Question) and item.several:
            return say("help_several")
        return say(
            "help_reading" if isinstance(item, Observation) and item.reading is not None else "help_one"
        )

    def about(self, talk: Talk) -> str:
        step = offers.step_to(talk, self.target)
        reasons = talk.case.reasoned(step).reasons if step is not None else ()
        return reasons[0].cause if reasons else ""

    def minutes(self, talk: Talk) -> float:
        return offers.item_of(talk, self.target).minutes

    def advised(self, talk: Talk) -> list[Event]:
        if self.first or self.ticked:
            # Written down when its first page was shown.
            return []
        events = advised_of(talk, [self.target])
        for run in runs_to_show(talk, self.target) if self.proof else []:
            events.append(happened.Advised(run.id, str(Need.IN_USE), work=happened.PROVING_RUN))
        return events

    def take(self, talk: Talk, line: str) -> Reply:
        item = offers.item_of(talk, self.target)
        own = {word for word, _ in present.answers_of(item)}
        if (
            plain := line.casefold().strip(" .!")
        ) in PUT_OFF and plain not in own:  # 'other' may be an answer
            return self._put_off(talk)
        line = without_denied(line)
        if not isinstance(item, Question) and item.reading is not None:
            line = as_read(item, line)
            self._ask_back(talk, item, line)
            unheard = not_understood(line, _reading_hint(item))
            return take(talk, typed_pieces(talk, line, self.target), unheard)
        start, end = self._page(talk, item)
        more = end < len(present.answer_texts(item))
        if more and line.casefold().strip() in ("more", "m", "0"):
            return replace(talk, current=replace(self, first=end)), [], []
        if isinstance(item, Question) and item.several:
            return self._several(talk, item, line, end if more else None)
        try:
            word = option(line, tuple(word for word, _ in present.answers_of(item)))
        except NotTaken as refusal:
            if isinstance(item, Question):
                return take(talk, elsewhere(talk, line, refusal, self.target))
            return take(talk, self._or_nearest(talk, line, refusal))
        if isinstance(item, Question):
            return choose(talk, item, [word])
        return take(talk, [Typed(self.target, word)])

    def _or_nearest(self, talk: Talk, line: str, refusal: NotTaken) -> list[Piece]:
        """What the line says of other observations; where that is nothing certain, the answer that it comes nearest
        to, to be asked back. Raises the refusal where there is none."""
        near = likeliest(present.answers_of(offers.item_of(talk, self.target)), line)
        asked_back: list[Piece] = [Which(line, near, (self.target,))] if near else []
        try:
            pieces = elsewhere(talk, line, refusal, self.target)
        except NotTaken:
            if asked_back:
                return asked_back
            raise
        unsure = any(isinstance(piece, Which) for piece in pieces)
        observations = talk.pack.observations
        told = (
            each.observation for each in pieces if isinstance(each, Typed) and each.observation != self.target
        )
        # 'too hot to hold' while it is asked how hot it is answers that, and is no complaint
        if asked_back and any(observations[name].symptom for name in told):
            return asked_back
        return asked_back if unsure and near in ("yes", "no") else pieces

    def _ask_back(self, talk: Talk, item: Observation, line: str) -> None:
        """A bare figure that may be the number of an option, or has slipped a place: asked back with its unit."""
        assert item.reading is not None
        unit, figure = item.reading.unit, line.strip().rstrip(".")
        if re.fullmatch(r"[0-9]{1,4}", figure) is None or unit == "1" or figure == "0":
            return
        given = understand(item, figure, 0)
        judged = judge(talk.pack, item, given, talk.case.facts, talk.case.meter)
        if judged.answer == item.healthy or given.reading is None:
            return
        low, high = limits(item, fact_values(talk.pack, talk.case.facts))[0]
        of_supply = item.reading.quantity in ("current", "power", "voltage")
        too_high = math.isfinite(high) and given.reading.value > SLIPPED * high
        too_low = math.isfinite(low) and given.reading.value * SLIPPED < low
        a_number = len(figure) == 1 and (of_supply or too_high or too_low)
        if a_number or (of_supply and too_high):
            raise NotTaken(say("with_its_unit", text=figure, reads=f"{figure} {unit}"))

    def _several(self, talk: Talk, item: Question, line: str, more: int | None) -> Reply:
        """What is ticked counts; what is not, once the person says that it is all."""
        words = tuple(choice.id for choice in item.choices)
        plain = line.casefold().strip(" .!")
        if plain in (*NOTHING, "0") or ((self.ticked or self.first) and plain in THAT_IS_ALL):
            line = "none"
        taken_off = _OFF.fullmatch(plain)
        try:
            chosen = several(taken_off.group(1) if taken_off else line, (*words, "none"))
        except NotTaken as refusal:
            hint = say("ticks_choose")
            if near := nearest_text(talk, line):
                hint = say("ticks_meant", option=near)
            short = NotTaken(not_understood(line, hint))
            try:
                heard = elsewhere(talk, line, short if near or len(words) > FEW else refusal)
            except NotTaken:
                numbers, beside = options_and_words(talk, line)
                if not numbers:
                    raise
                return self._with_words(talk, item, numbers, beside, more)
            now, events, said = take(talk, heard)
            return self.gone_on(talk, now), events, said
        if taken_off:
            left = tuple(word for word in self.ticked if word not in chosen)
            return replace(talk, current=replace(self, ticked=left)), [], []
        ticked = self._with(talk, item, [word for word in chosen if word != "none"])
        if more is not None:
            return replace(talk, current=replace(self, first=more, ticked=ticked)), [], []
        if "none" in chosen or self.first:
            return choose(talk, item, [*ticked, "none"])
        return replace(talk, current=replace(self, ticked=ticked)), [], []

    def _with_words(
        self, talk: Talk, item: Question, numbers: Sequence[str], beside: str, more: int | None
    ) -> Reply:
        """What is ticked by number, and what the words beside it say of other things, where they say something."""
        words = several(" ".join(numbers), tuple(choice.id for choice in item.choices))
        here = replace(talk, current=replace(self, ticked=self._with(talk, item, words)))
        ticked, events, said = self._several(talk, item, " ".join(numbers), more)
        begun = ticked.current
        try:
            now, others, told = take(ticked, elsewhere(ticked, beside, NotTaken("")))
        except NotTaken as refusal:
            return here, [], [error(str(refusal)) if str(refusal) else beside_options(beside)]
        now = begun.gone_on(ticked, now)
        if isinstance(begun, AskTest) and isinstance(now.current, Over):
            told.append(note(say("ticks_anew")))
        return now, [*events, *others], [*said, *told]

    def gone_on(self, talk: Talk, now: Talk) -> Talk:
        """After something else was told in the midst of a list: back to it with its ticks, unless that changed where
        the machine stands."""
        begun, open_still = bool(self.ticked or self.first), isinstance(now.current, Over)
        alike = (now.gate.signs, now.gate.stop, now.gate.access) == (
            talk.gate.signs,
            talk.gate.stop,
            talk.gate.access,
        )
        return (
            replace(now, current=self, chosen=talk.chosen or self.target)
            if begun and open_still and alike
            else now
        )

    def _with(self, talk: Talk, item: Question, new: Sequence[str]) -> tuple[str, ...]:
        """What is ticked with these as well. Raises NotTaken where two of them cannot both be told; what stood
        already gives way."""
        by_id = {choice.id: choice for choice in item.choices}
        fresh = list(dict.fromkeys((*self._new(talk, item), *new)))
        told: dict[str, str] = {}
        for word in fresh:
            for name, answer in by_id[word].sets.items():
                other = told.setdefault(name, word)
                if by_id[other].sets[name] != answer:
                    both = by_id[other], by_id[word]
                    texts = "; ".join(f"{item.choices.index(each) + 1} {each.text}" for each in both)
                    raise NotTaken(say("ticks_clash", texts=texts))
        left = (word for word in self.ticked if word not in fresh)
        return (*(word for word in left if told.keys().isdisjoint(by_id[word].sets)), *fresh)

    def _put_off(self, talk: Talk) -> Reply:
        """Not now: something else is asked. Nothing is written down of it, and it stays in reach by its name."""
        now = replace(self._passed(talk), declined=talk.declined | {self.target})
        return now, [], [note(say("test_put_off", name=name_of(self.target)))]

    def _passed(self, talk: Talk) -> Talk:
        return replace(talk, chosen="" if self.proof else talk.ending, wanted=None, current=Over())

    def skip(self, talk: Talk, because: str) -> Reply:
        events: list[Event] = [happened.Skipped(name, because) for name in self._skipped(talk)]
        return self._passed(after(talk, events)), events, [note(say("skipped", name=name_of(self.target)))]

    def _skipped(self, talk: Talk) -> list[str]:
        """What is passed over: with a short list the looks that it stands for, which nobody is asked for one by one
        then. What was complained of is not: it is tried again before the end."""
        item = offers.item_of(talk, self.target)
        if not isinstance(item, Question) or len(item.choices) > FEW:
            return [self.target]
        looks = [talk.pack.observations[name] for name in item.observations]
        alike = [look for look in looks if not look.symptom and talk.case.need_of(look) is item.need]
        return [self.target, *(look.id for look in alike if talk.case.latest(look.id) is None)]


def _first_sentence(text: str) -> str:
    first = re.split(r"(?<=[.?!])\s", text)[0]
    return first if first[-1] in ".?!" else f"{first}."


def _reading_hint(item: Observation) -> str:
    """What a reading is asked in, and how it is passed."""
    assert item.reading is not None
    unit = item.reading.unit
    return say("reading_hint_bare") if unit == "1" else say("reading_hint", unit=unit)


def runs_to_show(talk: Talk, target: str) -> list[safety.Instruction]:
    """How the machine is run to prove what was put right: with a proof of it seen in use, or where it has none,
    with the complaint, once the machine may be in use again. One for each cause that says so."""
    if not safety.permits(talk.gate, Need.IN_USE):
        return []
    observations = talk.pack.observations
    complaint = target in observations and observations[target].symptom
    runs = []
    for name in dict.fromkeys(talk.job.put_right):
        cause = talk.pack.causes[name]
        seen = [proof for proof in cause.proof if observations[proof].need is Need.IN_USE]
        if target in seen or (complaint and not seen and name == talk.job.put_right[-1]):
            instruction = safety.instruction_for_run(talk.gate, cause, talk.pack.cautions)
            runs += [instruction] if instruction.how else []
    return runs


def why_test(talk: Talk, target: str) -> list[Said]:
    """Why a test is made: the rule's own words, and what each answer would do."""
    item, step = offers.item_of(talk, target), offers.step_to(talk, target)
    said: list[Said] = [Line(item.why)] if item.why else []
    if isinstance(item, Observation) and present.once_more(talk.case, item):
        said.insert(0, Line(say("why_once_more")))
    reasoned = talk.case.reasoned(step) if step is not None else None
    if reasoned is None or not reasoned.reasons:
        return said or [Line(say("why_proof"))]
    return [*said, present.minutes_line(reasoned, worth=True), *present.why_step(talk.case, reasoned)]


def advised_of(talk: Talk, targets: Sequence[str]) -> list[Event]:
    """What is written down of instructions that are to be had from here on."""
    needs = {target: offers.item_of(talk, target).need for target in targets}
    without = Need.ANYWHERE, Need.COVERS_ON
    return [happened.Advised(target, str(need)) for target, need in needs.items() if need not in without]


def choose(talk: Talk, item: Question, chosen: Sequence[str]) -> Reply:
    """The choices ticked, written down, and what they set told, and what that changes."""
    before = talk.case.confidence()
    talk, events, said = chosen_of(talk, item, chosen)
    return offers.changes(talk, before, events, said)


def chosen_of(talk: Talk, item: Question, chosen: Sequence[str]) -> Reply:
    """The choices ticked, written down, and what they set told."""
    event = happened.Chosen(item.id, tuple(chosen), access=access_of(talk, item.need))
    events: list[Event] = [event]
    sets = talk.case.choices(item, chosen)
    pack = talk.pack
    signs = [sign for name, answer in sets.items() if (sign := pack.observations[name].danger.get(answer))]
    events += [happened.DangerSeen(sign) for sign in signs]
    talk = replace(after(talk, events), chosen=talk.ending, current=Over())
    said: list[Said] = []
    for name, answer in sets.items():
        if answer != pack.observations[name].healthy:
            told = present.answer_text(pack.observations[name], answer)
            said.append(Line(say("answer_taken", name=name_of(name), answer=told), Tone.CHANGE))
    return talk, events, [*said, *present.sign_lines(signs)]
