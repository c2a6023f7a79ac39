"""Which pack is meant by what a person types at the first question."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from faultfinder.dialogue.say import Ask, Said
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


@pytest.mark.parametrize("line", ["", "3", "0", "electric", "takes ages", "²"])
def test_what_fits_none_or_several_is_asked_again(line: str) -> None:
    face = Typing(line, "2")
    chosen = ask_pack(face)
    assert chosen is not None and chosen.name == "tumble_dryer"
    assert face.shown == 2


def test_leaving_picks_nothing() -> None:
    assert ask_pack(Typing("stop")) is None
    assert ask_pack(Typing()) is None
