"""The views of practice: an exercise from a pipe, and the figures of a score."""

from __future__ import annotations

import argparse
import io
import json
from pathlib import Path

import pytest

from faultfinder.exits import Exit
from faultfinder.terminal import practise, score

LAMP = str(Path(__file__).parent.parent / "practice" / "bench_lamp")
WRITTEN = """
practice:
  seed: 3
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
    asked = argparse.Namespace(pack=LAMP, machine=str(file), plain=True, **more)
    status = practise.run(asked)
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
    assert "That could be:" in out


def test_the_review_can_be_had_as_json(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out = practised("give up\n", tmp_path, monkeypatch, capsys, json=True)
    assert status == Exit.PROBLEMS
    review = json.loads(out[out.index("\n{") :])
    assert review["faults"] == [{"cause": "bulb_blown", "found": False, "brought_on_by": ""}]
    assert review["left"] == ["bulb_blown"]


def scored(capsys: pytest.CaptureFixture[str], **more: object) -> tuple[int, str]:
    status = score.run(argparse.Namespace(pack=LAMP, machines=6, first=1, processes=1, **more))
    return status, capsys.readouterr().out


def test_the_score_prints_every_way_the_pairs_the_claims_and_where_it_fails(
    capsys: pytest.CaptureFixture[str],
) -> None:
    status, out = scored(capsys)
    assert status == Exit.OK
    assert out.startswith("seeds 1 to 6, 0% wrong answers, physics varied by 0%")
    for words in ("the tool: 6 machines", "the check list:", "at random:", "knowing the faults:"):
        assert words in out
    assert "the tool less the check list, machine by machine" in out
    assert "claims of 0.2 and more" in out and "violations of the safety rules: 0" in out


def test_the_score_as_json_is_the_same_whatever_the_processes(capsys: pytest.CaptureFixture[str]) -> None:
    _, one = scored(capsys, json=True, ways=["tool", "knowing"])
    status = score.run(
        argparse.Namespace(pack=LAMP, machines=6, first=1, processes=2, json=True, ways=["tool", "knowing"])
    )
    two = capsys.readouterr().out
    assert status == Exit.OK and one == two
    assert json.loads(one)["ways"]["tool"]["machines"] == 6
