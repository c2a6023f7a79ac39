"""The views of practice: an exercise from a pipe, and the figures of a score."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from pathlib import Path

import pytest
from asked import asked

from faultfinder.cli import main
from faultfinder.dialogue.say import Ask, Said
from faultfinder.exits import Exit
from faultfinder.terminal.commands import practise, score
from faultfinder.text.catalogue import say

LAMP = str(Path(__file__).parent.parent / "practice" / "bench_lamp")
WRITTEN = """
practice:
  seed: 4
  machine: {kind: plain}
  faults: {bulb_blown: {}}
  complaint: {dark: yes}
  says: No light
"""


def practised(
    lines: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    **more: object,
) -> tuple[int, str]:
    file = tmp_path / "lamp.yaml"
    file.write_text(WRITTEN, encoding="utf-8")
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    status = practise.run(asked("practise", pack=LAMP, machine=str(file), plain=True, **more))
    return status, capsys.readouterr().out


def test_an_exercise_from_a_pipe_ends_with_the_review(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = (
        "help\nlist bulb\n1\nactions plug\ndo switched off\ndo plug out\ndo plug in sight\n"
        "ask bulb resistance\nfaults bulb\nright 1\ndo dangers\ndo plug flex\ndo casing\ndo notices\ndo supply on\n"
        "ask dark\nwhere\nclose fit\n"
    )
    status, out = practised(lines, tmp_path, monkeypatch, capsys)
    assert status == Exit.OK
    assert 'The owner says: "No light."' in out
    assert "Bulb blown: found" in out and "The tool's way on the same machine" in out
    assert "OL" in out


def test_an_unsafe_act_ends_it_with_status_1(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out = practised("do covers off\n", tmp_path, monkeypatch, capsys)
    assert status == Exit.PROBLEMS
    assert "UNSAFE: The covers were taken off" in out and "NOT FOUND" in out


def test_words_that_are_not_understood_change_nothing_and_the_end_of_input_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out = practised("do nothing\nask resistance\nright bulb\n\n", tmp_path, monkeypatch, capsys)
    assert status in (Exit.INTERRUPTED, Exit.PROBLEMS)
    assert "There is no action 'nothing'" in out
    assert "That could be one of these" in out


def test_the_review_can_be_had_as_json(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out = practised("give up\n", tmp_path, monkeypatch, capsys, json=True)
    assert status == Exit.PROBLEMS
    review = json.loads(out[out.index("\n{") :])
    assert review["faults"] == [{"cause": "bulb_blown", "found": False, "brought_on_by": ""}]
    assert review["left"] == ["bulb_blown"]


def test_several_actions_in_a_line_are_done_in_turn_until_one_does_not_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = (
        "do switched off, plug out, tester here, plug in sight\nwhere\nactions plug in sight\ndo 9\ndo 1 1\n"
    )
    _, out = practised(lines, tmp_path, monkeypatch, capsys)
    assert "Not now: something else comes first" in out
    assert "The machine is as found" in out and "supply cut" not in out.split("where")[1].split("actions")[0]
    assert "1  plug in sight: Lay the plug where you see it" in out
    assert "The last list ends at" in out


def test_words_that_fit_several_become_a_list_whose_number_means_what_was_begun(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = "do switched off, plug out, plug in sight\nright blown\n1\nlist resistance\n1\n"
    _, out = practised(lines, tmp_path, monkeypatch, capsys)
    picked = out.split("one of these")[1]
    assert "Done:" in picked or "Noted for a licensed person" in picked
    assert "Question: Resistance" in picked


def test_a_word_alone_says_what_belongs_to_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _, out = practised("ask\nhow\ndo\nright\nclose\n", tmp_path, monkeypatch, capsys)
    for word in ("ask", "how", "do", "right", "close"):
        assert say(f"practise_missing_{word}") in " ".join(out.split())


def test_an_instruction_is_given_only_where_its_access_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = "how bulb resistance\ndo switched off, plug out, plug in sight\nhow bulb resistance\n"
    _, out = practised(lines, tmp_path, monkeypatch, capsys)
    before, after = out.split("plug in sight", 1)
    assert "needs the supply cut" in before and say("practise_no_how") not in before
    assert say("practise_no_how") in after


def test_a_reading_may_be_taken_again_and_the_same_slip_is_told_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    lines = (
        "do switched off, plug out, plug in sight\nbulb resistance\nbulb resistance\n"
        "do covers on\ndo covers on\ngive up\n"
    )
    _, out = practised(lines, tmp_path, monkeypatch, capsys)
    assert out.split("The faults")[0].count("OL") == 2
    assert "(2 times): out of turn: All covers back on" in out


class Stubborn:
    """A face that is interrupted at its first two prompts."""

    def __init__(self, typed: list[type[BaseException] | str]) -> None:
        self.typed = typed
        self.said: list[Said] = []

    def show(self, said: Sequence[Said]) -> None:
        self.said += said

    def ask(self, ask: Ask) -> str:
        following = self.typed.pop(0)
        if isinstance(following, str):
            return following
        raise following


@pytest.mark.parametrize("again", [True, False])
def test_an_interruption_loses_nothing_and_a_second_one_leaves(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, again: bool
) -> None:
    face = Stubborn(
        [KeyboardInterrupt, KeyboardInterrupt if again else "where", KeyboardInterrupt, "give up"]
    )
    monkeypatch.setattr(practise, "pick_face", lambda plain: face)
    file = tmp_path / "lamp.yaml"
    file.write_text(WRITTEN, encoding="utf-8")
    request = asked("practise", pack=LAMP, machine=str(file))
    if again:
        with pytest.raises(KeyboardInterrupt):
            practise.run(request)
    else:
        assert practise.run(request) == Exit.PROBLEMS
        assert any("Bulb blown: NOT FOUND" in getattr(item, "text", "") for item in face.said)


@pytest.mark.parametrize(
    "words",
    [
        ["practise", LAMP, "--level", "hardest"],
        ["practise", LAMP, "--wrong", "2"],
        ["practise", LAMP, "--seed", "x"],
        ["score", LAMP, "--machines", "0"],
        ["score", LAMP, "--machines", "1.5"],
        ["score", LAMP, "--vary", "3"],
        ["score", LAMP, "--wrong", "-0.1"],
        ["score", LAMP, "--ways", "guess"],
        ["score", LAMP, "--processes", "0"],
    ],
)
def test_wrong_arguments_are_told_with_status_2(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == Exit.WRONG_USE
    assert words[2] in capsys.readouterr().err


def scored(capsys: pytest.CaptureFixture[str], **more: object) -> tuple[int, str]:
    status = score.run(asked("score", pack=LAMP, machines=6, processes=1, **more))
    return status, capsys.readouterr().out


@pytest.mark.slow
def test_the_score_prints_every_way_the_pairs_the_claims_and_where_it_fails(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, out = scored(capsys)
    assert status == Exit.OK
    assert out.startswith("seeds 1 to 6, 0 % wrong answers, physics varied by 0 %")
    for words in ("the tool: 6 machines", "the check list:", "at random:", "knowing the faults:"):
        assert words in out
    assert "the tool minus the check list, machine by machine" in out
    assert "claims of 0.2 and more" in out and "violations of the safety rules: 0" in out


@pytest.mark.slow
def test_the_score_fits_a_phone_without_breaking_words(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    _, wide = scored(capsys)
    monkeypatch.setenv("COLUMNS", "40")
    _, narrow = scored(capsys)
    assert max(map(len, narrow.splitlines())) <= 40
    assert narrow.split() == wide.split()


@pytest.mark.slow
def test_the_score_as_json_is_the_same_whatever_the_processes(capsys: pytest.CaptureFixture[str]) -> None:
    _, one = scored(capsys, json=True, ways=["tool", "knowing"])
    status = score.run(asked("score", pack=LAMP, machines=6, json=True, ways=["tool", "knowing"]))
    two = capsys.readouterr().out
    assert status == Exit.OK and one == two
    assert json.loads(one)["ways"]["tool"]["machines"] == 6
