"""Holding a conversation in a test: lines in, what was said and recorded out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path

from faultfinder.dialogue.converse import reply, start
from faultfinder.dialogue.say import Bar, Drawing, Line, Option, Said
from faultfinder.dialogue.talk import Prompt, Talk, Turn
from faultfinder.job.events import Event
from faultfinder.job.state import begin
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS

SMALL = Path(__file__).parent / "small_pack"
MORNING = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)

BEGUN = ("stays cold", "none", "single phase; connection plug; volts 230; watts 2000")
"""Lines that lead from the beginning of a job on the small pack to its first step."""
OPENED = (*BEGUN, "inlet look clear; flex look whole")
"""Lines that lead on to where the machine would have to be opened."""
ISOLATED = ("1 2 3",)
OPEN = ("1 2 3 4 5 6", "230 0 0 0 230", "1 2 3 4")
"""The cards from a machine as it was found to open and proved dead, all well."""


def passing(action: str) -> str:
    """What leads on past a safety action: its first answer, or for a return test a value within every limit."""
    if action in RETURN_TESTS:
        return "0.05 ohm" if action.startswith("earth") else "200 Mohm"
    return ACTIONS[action].outcomes[0].id


@cache
def small_pack() -> Pack:
    return load_pack(SMALL)


def text(said: Iterable[Said]) -> str:
    """All that was said, a line an item."""
    out = []
    for item in said:
        match item:
            case Line(words, _, _):
                out.append(words)
            case Option(number, word, words):
                out.append(f"{number} {word}: {words}")
            case Drawing(drawing, words):
                out.append(f"{drawing}\n{words}")
            case Bar(words, chance, _):
                out.append(f"{words} {chance:.3f}")
    return "\n".join(out)


@dataclass
class Chat:
    """A conversation under way: `say(line)` answers, `events` is what a record would hold."""

    turn: Turn
    events: list[Event] = field(default_factory=list)
    at: datetime = MORNING

    @property
    def talk(self) -> Talk:
        return self.turn.talk

    @property
    def current(self) -> Prompt:
        return self.turn.talk.current

    def again(self) -> Chat:
        """The same conversation from here, for another test: what is typed in one is not typed in the other."""
        return replace(self, events=list(self.events))

    def say(self, *lines: str, minutes: float = 0.5) -> str:
        """Type lines, each so many minutes after the last; returns all that was said."""
        heard = []
        for line in lines:
            self.at += timedelta(minutes=minutes)
            self.turn = reply(self.turn.talk, line, self.at)
            self.events += self.turn.events
            heard.append(text(self.turn.said))
        return "\n".join(heard)


def chat(*lines: str, pack: Pack | None = None) -> Chat:
    """A new job, with these lines already typed."""
    talking = Chat(start(begin(pack or small_pack())))
    talking.events += talking.turn.events
    talking.say(*lines)
    return talking
