"""An observation to be made, or a question that sets several."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue import offers, present
from faultfinder.dialogue.choosing import NotTaken, option, several
from faultfinder.dialogue.pieces import access_of, elsewhere, typed_pieces
from faultfinder.dialogue.prompts.which import take
from faultfinder.dialogue.said_of_signs import sign_lines
from faultfinder.dialogue.say import Ask, Line, Said, Tone, caution, note, question
from faultfinder.dialogue.talk import Prompt, Reply, Talk, after
from faultfinder.dialogue.typed import NotUnderstood, Typed, name_of
from faultfinder.dialogue.words import say
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need, Observation, Question
from faultfinder.safety import gate as safety

READING, SEVERAL, ONE = "help_reading", "help_several", "help_one"


@dataclass(frozen=True, slots=True)
class AskTest(Prompt):
    """An observation or a question that sets several; `proof` when it proves a repair."""

    target: str
    proof: bool = False
    kind: ClassVar[str] = "test"

    def key(self) -> str:
        return f"test:{self.target}"

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        item = offers.item_of(talk, self.target)
        said: list[Said] = []
        instruction = safety.instruction_for_observation(talk.gate, item)
        said += [caution(text) for text in instruction.own]
        text = say("prove_this", ask=item.ask) if self.proof else item.ask
        said.append(question(text))
        said += present.healthy_line(talk.case, item)
        shown = present.test_options(item)
        said += shown
        step = offers.step_to(talk, self.target)
        if step is not None and not self.proof:
            said.append(present.step_line(step))
        words = tuple(each.word for each in shown)
        reads = isinstance(item, Observation) and item.reading is not None
        label = name_of(self.target) if reads else "answer"
        if isinstance(item, Observation) and item.reading is not None:
            return said, Ask(label, words, takes="value", unit=item.reading.unit)
        many = isinstance(item, Question) and item.several
        return said, Ask(label, words, takes="several" if many else "one")

    def how(self, talk: Talk) -> list[Said]:
        item = offers.item_of(talk, self.target)
        instruction = safety.instruction_for_observation(talk.gate, item)
        return present.instruction_said(instruction) or [Line(say("how_none"))]

    def why(self, talk: Talk) -> list[Said]:
        return why_test(talk, self.target)

    def help(self, talk: Talk) -> str:
        item = offers.item_of(talk, self.target)
        if isinstance(item, Question):
            return say(SEVERAL if item.several else ONE)
        return say(READING if item.reading is not None else ONE)

    def about(self, talk: Talk) -> str:
        step = offers.step_to(talk, self.target)
        return step.reasons[0].cause if step is not None and step.reasons else ""

    def minutes(self, talk: Talk) -> float:
        return offers.item_of(talk, self.target).minutes

    def advised(self, talk: Talk) -> list[Event]:
        return advised_of(talk, [self.target])

    def take(self, talk: Talk, line: str) -> Reply:
        item = offers.item_of(talk, self.target)
        if isinstance(item, Question):
            return answer_question(talk, item, line)
        if item.reading is None:
            try:
                word = option(line, tuple(answer.id for answer in item.answers))
            except NotTaken as refusal:
                return take(talk, elsewhere(talk, line, refusal, self.target))
            return take(talk, [Typed(self.target, word)])
        return take(talk, typed_pieces(talk, line, self.target) or [NotUnderstood(line)])

    def skip(self, talk: Talk, because: str) -> Reply:
        event: Event = happened.Skipped(self.target, because)
        ending = talk.chosen if talk.chosen.startswith("close:") else ""
        now = replace(after(talk, [event]), chosen=ending, wanted=None)
        return now, [event], [note(say("skipped", name=name_of(self.target)))]

    def told_again(self, talk: Talk, left: Sequence[Event]) -> str | None:
        match left[0]:
            case happened.Answered(observation=name, reads=reads, value=value) if name == self.target:
                return reads or value
            case happened.Chosen(question=name, value=ticked) if name == self.target:
                return " ".join(ticked)
            case happened.Skipped(observation=name, because=because) if name == self.target:
                return "dk" if because == "dont_know" else "can't"
        return None


def why_test(talk: Talk, target: str) -> list[Said]:
    """Why a test is made: the rule's own words, and what each answer would do."""
    item = offers.item_of(talk, target)
    step = offers.step_to(talk, target)
    said: list[Said] = [Line(item.why)] if item.why else []
    if step is not None and step.reasons:
        return said + present.why_step(talk.case, step)
    return said or [Line(say("why_proof"))]


def advised_of(talk: Talk, targets: Sequence[str]) -> list[Event]:
    """What is written down of instructions that are to be had from here on."""
    events: list[Event] = []
    for target in targets:
        need = offers.item_of(talk, target).need
        if need not in (Need.ANYWHERE, Need.COVERS_ON):
            events.append(happened.Advised(target, str(need)))
    return events


def answer_question(talk: Talk, item: Question, line: str) -> Reply:
    """A question that sets several observations, answered by numbers or words."""
    words = tuple(choice.id for choice in item.choices)
    try:
        chosen = several(line, (*words, "none")) if item.several else [option(line, words)]
    except NotTaken as refusal:
        return take(talk, elsewhere(talk, line, refusal))
    return choose(talk, item, chosen)


def choose(talk: Talk, item: Question, chosen: Sequence[str]) -> Reply:
    """The choices ticked, written down, and what they set told."""
    before = talk.case.confidence()
    event = happened.Chosen(item.id, tuple(chosen), access=access_of(talk, item.need))
    events: list[Event] = [event]
    sets = talk.case.choices(item, chosen)
    pack = talk.job.pack
    signs = [sign for name, answer in sets.items() if (sign := pack.observations[name].danger.get(answer))]
    events += [happened.DangerSeen(sign) for sign in signs]
    ending = talk.chosen if talk.chosen.startswith("close:") else ""
    talk = replace(after(talk, events), chosen=ending)
    said: list[Said] = [
        Line(
            say(
                "answer_taken",
                name=name_of(name),
                answer=present.answer_text(pack.observations[name], answer),
            ),
            Tone.CHANGE,
        )
        for name, answer in sets.items()
        if answer != pack.observations[name].healthy
    ]
    talk, out = offers.changes(talk, before, [*said, *sign_lines(signs)])
    return talk, events, out
