"""What the dialogue says, as plain data: a view decides how it looks at its width, with or without colour."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from functools import partial


class Tone(StrEnum):
    """What a line is for. Meaning is always in the words too, never in the tone alone."""

    PLAIN = "plain"
    HEADING = "heading"
    QUESTION = "question"
    HOW = "how"
    CAUTION = "caution"
    STOP = "stop"
    CHANGE = "change"
    NOTE = "note"
    ERROR = "error"


@dataclass(frozen=True, slots=True)
class Line:
    """A paragraph, wrapped by the view. A line feed in `text` begins a new line."""

    text: str
    tone: Tone = Tone.PLAIN
    indent: int = 0


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that may be answered: typed as its number or its word."""

    number: int
    word: str
    text: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A text drawing, never wrapped; `words` is the same for those who cannot see it, empty where it was said."""

    text: str
    words: str


@dataclass(frozen=True, slots=True)
class Bar:
    """A fault and how likely it is now (0..1), and before the last answer (None: not said)."""

    text: str
    chance: float
    before: float | None = None


Said = Line | Option | Drawing | Bar


@dataclass(frozen=True, slots=True)
class CardItem:
    """One line of a list that is ticked line by line: what its answers are, and what it takes ('tick', 'value',
    'value or none', 'list'), in which unit; `ticked`: it is answered already."""

    id: str
    answers: tuple[tuple[str, str], ...]
    takes: str = "tick"
    unit: str = ""
    ticked: bool = False


@dataclass(frozen=True, slots=True)
class Ask:
    """What the person is asked for now: a short label, and the words that would be understood.

    texts: the options shown, as (word, text). names: what else may be typed here, for completion; under the kind of
    name that may follow a command (see commands.py), or under an empty text. kind, key: what is asked for, for
    programs; takes: 'one' or 'several' of the words, 'value' in `unit`, free 'words', a 'line' of facts, or a 'card'
    with its items. status: how the job stands, in one short line.
    """

    label: str
    words: tuple[str, ...] = ()
    texts: tuple[tuple[str, str], ...] = ()
    names: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    kind: str = ""
    key: str = ""
    takes: str = ""
    unit: str = ""
    items: tuple[CardItem, ...] = ()
    status: str = ""


heading = partial(Line, tone=Tone.HEADING)
question = partial(Line, tone=Tone.QUESTION)
caution = partial(Line, tone=Tone.CAUTION)
note = partial(Line, tone=Tone.NOTE)
error = partial(Line, tone=Tone.ERROR)


def under(head: str, lines: Iterable[str]) -> list[Said]:
    """A heading with its lines under it."""
    return [heading(head), *(Line(text, indent=2) for text in lines)]


def options(pairs: Iterable[tuple[str, str]]) -> list[Option]:
    """Numbered from 1 in the order given, as (word, text)."""
    return [Option(number, word, text) for number, (word, text) in enumerate(pairs, 1)]


def choice(
    said: Sequence[Said], label: str, pairs: Sequence[tuple[str, str]], takes: str = "one"
) -> tuple[list[Said], Ask]:
    """What is said, then the options as (word, text), and the question for one of them, or for several."""
    return [*said, *options(pairs)], Ask(label, tuple(word for word, _ in pairs), takes=takes)
