"""From what is said to lines: nothing wider than the screen, figures with their units, room before a question."""

from __future__ import annotations

import random

import pytest
from prompt_toolkit.completion import CompleteEvent
from prompt_toolkit.document import Document
from prompt_toolkit.utils import get_cwidth
from talking import BEGUN, OPENED, chat

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.say import Bar, Drawing, Line, Option, Said, Tone, heading, question
from faultfinder.terminal.console.render import carried, lines, wrap
from faultfinder.terminal.console.rich import Words


def shown(said: list[Said], width: int, *, bars: bool = True) -> list[str]:
    return [line for _, line in lines(said, width, bars=bars)]


def test_a_figure_is_never_parted_from_its_unit() -> None:
    text = "It settles at 7.4 A, which is 37 % below about 11.5 A; wait 35 min, then 0.2 Mohm and 240 V or 3 kWh."
    for width in range(20, 80):
        out = wrap(text, width)
        assert " ".join(out) == text
        for whole in ("7.4 A", "37 %", "11.5 A", "35 min", "0.2 Mohm", "240 V", "3 kWh"):
            assert any(whole in line for line in out), (width, whole)


def test_a_numbered_step_hangs_under_its_number() -> None:
    said: list[Said] = [Line("1. Pull the machine out far enough.\n2. Look.", Tone.HOW)]
    assert shown(said, 24) == ["1. Pull the machine out", "   far enough.", "2. Look."]


def test_a_question_has_a_free_line_before_it_but_not_after_its_heading() -> None:
    assert shown([Line("Taken."), question("How?")], 40) == ["Taken.", "", "Question: How?"]
    assert shown([question("How?")], 40) == ["Question: How?"]
    assert shown([Line("x"), heading("Proof:"), question("How?")], 40) == [
        "x",
        "",
        "Proof:",
        "Question: How?",
    ]


def test_bars_need_a_wide_screen_and_are_never_the_only_sign() -> None:
    bar: list[Said] = [Bar("Vent hose crushed", 0.954, 0.18)]
    assert shown(bar, 76) == ["  ██████████ 95 % (was 18 %) Vent hose crushed"]
    assert shown(bar, 40) == shown(bar, 40, bars=False) == ["  95 % (was 18 %): Vent hose crushed"]


@pytest.mark.slow
def test_nothing_runs_over_the_edge_whatever_is_said() -> None:
    """1,000 texts of odd words at odd widths, in cells; no word is lost but where it is cut to fit."""
    chance = random.Random(11)
    alphabet = ["plate", "x" * 50, "漢字漢字", "10", "min", "%", "Ω", "1.", "é", "-"]
    for _ in range(1000):
        text = " ".join(chance.choice(alphabet) for _ in range(chance.randrange(1, 12)))
        width = chance.randrange(20, 77)
        said: list[Said] = [
            Line(text),
            Option(3, "w", text),
            Bar(text, 0.5),
            question(text),
            Drawing("", text),
        ]
        for line in shown(said, width):
            assert get_cwidth(line) <= width
        assert "".join("".join(wrap(text, width)).split()) == "".join(text.split())


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp437", "no-such-encoding"])
def test_what_a_terminal_cannot_carry_is_said_in_plainer_signs(encoding: str) -> None:
    text = carried("33 Ω, 8 µF, 20 °C → ≤ ± – … █ 漢", encoding)
    text.encode("ascii" if encoding == "no-such-encoding" else encoding)
    assert "ohm" in text or encoding == "cp437"


# -- a whole conversation on a phone --------------------------------------------------------------------

SCREEN = 30
"""Lines of a phone held upright at 40 columns; a small window has 24."""


@pytest.mark.slow
@pytest.mark.parametrize(
    "lines_typed", [(), BEGUN[:1], BEGUN[:2], BEGUN[:3], BEGUN, OPENED, (*OPENED, "1 2"), (*OPENED, "help")]
)
def test_every_turn_of_the_small_pack_fits_a_phone(lines_typed: tuple[str, ...]) -> None:
    turn = chat(*lines_typed).turn
    out = lines(turn.said, 40)
    assert len(out) <= SCREEN - 1
    assert all(get_cwidth(line) <= 40 for _, line in out)


# -- completion -----------------------------------------------------------------------------------------


def offered(typed: str) -> list[str]:
    completer = Words()
    talking = chat(*BEGUN)
    at = [step.target for step in offers.doable(talking.talk)].index("inlet_look")
    talking.say(f"do {at + 1}")
    ask = talking.turn.ask
    completer.words, completer.names = ask.words, ask.names
    return [each.text for each in completer.get_completions(Document(typed), CompleteEvent())]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("typed", "want"),
    [
        ("cl", ["clear"]),
        ("el", ["element resistance"]),
        ("res el", ["element resistance"]),
        ("clear; cut", ["cut out continuity"]),
        ("what if cut", ["cut out continuity"]),
        ("shows cut", ["Cut-out open"]),
        ("rule out fan", ["Fan bearing worn"]),
        ("explain c", ["cut-out"]),
        ("why bear", ["Fan bearing worn"]),
        ("likel", ["likely"]),
        ("", []),
        ("xyz", []),
    ],
)
def test_names_are_completed_by_the_letters_typed_and_by_what_stands_before(
    typed: str, want: list[str]
) -> None:
    assert offered(typed) == want
