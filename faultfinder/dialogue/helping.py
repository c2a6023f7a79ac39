"""What `help` says: first what the question at hand takes, then the words that work at any prompt."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.dialogue.flow import item_of
from faultfinder.dialogue.say import Line, Said, heading
from faultfinder.dialogue.talk import (
    AskAction,
    AskClose,
    AskComplaint,
    AskCorrect,
    AskDangers,
    AskFact,
    AskGo,
    AskNewAnswer,
    AskPlate,
    AskReason,
    AskRemedy,
    AskRemedyDone,
    AskStopped,
    AskSymptoms,
    AskTest,
    AskWhich,
    Current,
    Talk,
)
from faultfinder.knowledge.model import Observation, Question
from faultfinder.safety.actions import RETURN_TESTS

READING, SEVERAL, ONE, RETURN_TEST = "reading", "several", "one", "return test"

HERE: Mapping[type[Current] | str, str] = MappingProxyType(
    {
        READING: "Type what the meter shows: 33R, OL, 7.4A, 4k7. No value: dk, or can't.",
        SEVERAL: "Type the numbers of all that you see, such as 1 3; none for none of them.",
        ONE: "Type the number of what you see, or its first letters.",
        AskComplaint: "Type what the customer says; spelling does not matter. Enter shows a list.",
        AskSymptoms: "Type the numbers of what is complained of, such as 1 3; more shows all.",
        AskDangers: "Type the numbers of what is or was there, such as 6 8; else none.",
        AskFact: "Type the value or the number; Enter where it is not known.",
        AskPlate: "Type name and value, several parted by ; and Enter for none: volts 240; amps 10.",
        AskGo: "yes leads there action by action; no keeps to what can be done without.",
        AskAction: "Do it, then confirm it. Whoever is not sure says so: nothing is lost by it.",
        RETURN_TEST: "Type what the tester shows, with its unit: 0.08 ohm, 200 Mohm.",
        AskRemedy: "do begins the work; later goes on looking; cannot leaves it undone, noted.",
        AskRemedyDone: "Say done only once it is done: from then on it counts as put right.",
        AskCorrect: "Type the number of the answer that was wrong; Enter for none.",
        AskNewAnswer: "Type what it really is; Enter takes the answer back altogether.",
        AskWhich: "Type the number of the one you meant.",
        AskClose: "Say how the machine is left; what that still needs is asked for then.",
        AskStopped: "End it, or say that it goes on; nothing else can be done here.",
        AskReason: "Type why it is safe now; it is kept with your words.",
    }
)
"""What may be typed at each kind of question."""

ALWAYS: tuple[tuple[str, str], ...] = (
    ("why", "why this; why CAUSE too"),
    ("likely", "the faults and their chances"),
    ("steps", "what else is worth doing"),
    ("high OL; 7.4A", "readings, by letters"),
    ("what if high OL", "tried, not kept"),
    ("dk", "don't know; can't: not here"),
    ("correct", "change an earlier answer"),
    ("explain WORD", "what it means"),
    ("danger", "report a danger sign"),
    ("stop", "leave, all is kept"),
)
"""What works at any prompt, at most a line of a phone each."""

MORE: tuple[tuple[str, str], ...] = (
    ("do 2", "take the second of the steps"),
    ("what else would show it", "or CAUSE"),
    ("rule it out", "or rule out CAUSE"),
    ("plate volts 240", "a plate fact more"),
    ("note TEXT", "a remark for the record"),
    ("about", "who and where, kept apart"),
    ("photo FILE", "a picture, and words to it"),
    ("part NAME x2", "a part that was used"),
    ("rules", "take up rules that were edited"),
    ("end", "end the job, say how it is left"),
)


def help_said(talk: Talk, more: bool = False) -> list[Said]:
    """The help for what is asked now; `more`: the rarer words instead."""
    said: list[Said] = []
    here = _here(talk)
    if here and not more:
        said.append(Line(here))
    said.append(heading("More words:" if more else "At any prompt:"))
    said += [Line(f"{word}: {what}", indent=2) for word, what in (MORE if more else ALWAYS)]
    if not more:
        said.append(Line("help more: the rarer words", indent=2))
    return said


def _here(talk: Talk) -> str:
    match talk.current:
        case AskTest(target, _):
            return HERE[_kind(item_of(talk, target))]
        case AskAction(action, _) if action in RETURN_TESTS:
            return HERE[RETURN_TEST]
    return HERE.get(type(talk.current), "")


def _kind(item: Observation | Question) -> str:
    if isinstance(item, Question):
        return SEVERAL if item.several else ONE
    return READING if item.reading is not None else ONE
