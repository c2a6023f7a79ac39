"""Which pack is meant by what a person types at the first question."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from faultfinder.dialogue.say import Ask, Said
from faultfinder.terminal.console.ahead import SaidAhead
from faultfinder.terminal.startup import ask_pack


class Typing:
    """A face at which these lines are typed."""

    def __init__(self, *lines: str) -> None:
        self.lines = list(lines)
        self.shown = 0

    def show(self, said: Sequence[Said]) -> None:
        self.shown += 1

    def ask(self, ask: Ask) -> str:
        if not self.lines:
            raise EOFError
        return self.lines.pop(0)


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("1", "electric_oven"),
        ("2", "tumble_dryer"),
        ("tumble", "tumble_dryer"),
        ("dryer takes ages", "tumble_dryer"),
        ("Oven", "electric_oven"),
        ("tum", "tumble_dryer"),
        ("tumble_dryer", "tumble_dryer"),
    ],
)
def test_a_number_or_any_word_of_its_name_picks_a_pack(line: str, name: str) -> None:
    chosen = ask_pack(Typing(line))
    assert chosen is not None and chosen.name == name


@pytest.mark.parametrize("line", ["", "9", "0", "electric", "takes ages", "²"])
def test_what_fits_none_or_several_is_asked_again(line: str) -> None:
    face = Typing(line, "2")
    chosen = ask_pack(face)
    assert chosen is not None and chosen.name == "tumble_dryer"
    assert face.shown == 2


def test_leaving_picks_nothing() -> None:
    assert ask_pack(Typing("stop")) is None
    assert ask_pack(Typing()) is None


@pytest.mark.parametrize(
    ("lines", "kept"),
    [
        (["clothes still damp after 2 hours", "2"], "clothes still damp after 2 hours"),
        (["It hums loudly", "stays cold now", "dryer"], "stays cold now"),
        (["dryer Takes ages", "1"], "dryer Takes ages"),
        (["electric tumble dryer"], ""),
        (["tumbel", "2"], ""),
        (["7 8", "2"], ""),
    ],
)
def test_a_complaint_said_before_the_machine_is_not_asked_for_again(lines: list[str], kept: str) -> None:
    said: list[str] = []
    assert ask_pack(Typing(*lines), said) is not None
    assert (said[-1] if said else "") == kept


def test_what_was_said_ahead_answers_its_own_prompt_once() -> None:
    face = SaidAhead(Typing("first", "second"), "complaint", "takes ages")
    prompts = [Ask("machine", ()), Ask("complaint", ()), Ask("complaint", ())]
    assert [face.ask(prompt) for prompt in prompts] == ["first", "takes ages", "second"]
    with pytest.raises(AttributeError):
        _ = face.recorded
