"""The driver of a conversation: rules edited while it is open are taken up with a word, the answers kept."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest
from talking import BEGUN, SMALL, chat, text

from faultfinder.dialogue.converse import start
from faultfinder.dialogue.pages import LINES
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.say import Ask, Said
from faultfinder.exits import Exit
from faultfinder.job.events import Answered, DangerSeen, Opened
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.record import Record, read_record
from faultfinder.job.state import fold
from faultfinder.knowledge.load import load_pack
from faultfinder.terminal.console.session import _sized, converse


class Scripted:
    """A face that types a script; a step may be something to do before the next line."""

    def __init__(self, script: Sequence[str | Callable[[], object]]) -> None:
        self.script = list(script)
        self.heard: list[Said] = []

    def show(self, said: Sequence[Said]) -> None:
        self.heard += said

    def ask(self, ask: Ask) -> str:
        while self.script and not isinstance(self.script[0], str):
            step = self.script.pop(0)
            assert callable(step)
            step()
        if not self.script:
            raise EOFError
        return str(self.script.pop(0))


def held(tmp_path: Path, *script: str | Callable[[], object]) -> Scripted:
    folder = tmp_path / "rules"
    pack = load_pack(folder)
    face = Scripted(script)
    opened = Opened(pack.name, pack.version, pack.fingerprint)
    with Record.create(tmp_path / "job.yaml", opened) as record:
        job, _ = fold(pack, [opened])
        status = converse(face, record, start(job, "job"), rules=lambda: load_pack(folder))
    assert status is Exit.OK
    return face


def edited(tmp_path: Path, old: str, new: str) -> Callable[[], object]:
    file = tmp_path / "rules" / "fan_heater.yaml"
    return lambda: file.write_text(file.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")


def test_edited_rules_are_taken_up_with_a_word_and_the_answers_kept(tmp_path: Path) -> None:
    shutil.copytree(SMALL, tmp_path / "rules")
    change = edited(tmp_path, "title: Element broken", "title: Element burnt through")
    face = held(tmp_path, *BEGUN, "element OL", change, "rules", "likely")
    told = text(face.heard)
    assert "the answers kept" in told
    assert "Element burnt through 0.9" in told
    answered = [e for e in read_record(tmp_path / "job.yaml").events if isinstance(e, Answered)]
    assert [event.observation for event in answered] == [
        "no_heat",
        "smell_hot",
        "element_resistance",
    ]


def test_rules_that_do_not_load_are_told_and_the_old_ones_go_on(tmp_path: Path) -> None:
    shutil.copytree(SMALL, tmp_path / "rules")
    change = edited(tmp_path, "title: Element broken", "titel: Element broken")
    face = held(tmp_path, *BEGUN, change, "rules", "element OL")
    told = text(face.heard)
    assert "fan_heater.yaml:" in told and "titel" in told
    assert "Element broken 0.9" in told


def test_a_record_that_is_taken_away_meanwhile_is_told_before_anything_is_acknowledged(
    tmp_path: Path,
) -> None:
    shutil.copytree(SMALL, tmp_path / "rules")
    path = tmp_path / "job.yaml"
    face = held(tmp_path, *BEGUN, path.unlink, "element OL")
    beside = tmp_path / "job-kept-1.yaml"
    heard = text(face.heard)
    assert heard.index("was removed while this job was open") < heard.index("Element broken 0.9")
    assert not path.exists() and str(beside) in heard.splitlines()[-1]
    contents = read_record(beside)
    assert contents.problems == ()
    assert [e.observation for e in contents.events if isinstance(e, Answered)] == [
        "no_heat",
        "smell_hot",
        "element_resistance",
    ]


def test_it_is_noticed_at_the_end_too_before_the_job_is_said_to_be_saved(tmp_path: Path) -> None:
    for number, last in enumerate(((), ("stop",))):
        folder = tmp_path / str(number)
        shutil.copytree(SMALL, folder / "rules")
        cut = (folder / "job.yaml").write_bytes
        face = held(folder, *BEGUN, lambda cut=cut: cut(b""), *last)
        heard = text(face.heard)
        assert "was changed or replaced by something else" in heard
        assert str(folder / "job-kept-1.yaml") in heard.splitlines()[-1]


def test_an_answer_that_cannot_be_kept_is_kept_in_no_part(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk is full for as long as the turn of three events is tried, whatever part of it would still fit."""
    shutil.copytree(SMALL, tmp_path / "rules")
    path = tmp_path / "job.yaml"
    room = [10**9]
    append = Disk.append

    def full(disk: Disk, handle: int, data: bytes) -> int:
        return append(disk, handle, data[: max(0, room[0] - disk.size(handle))])

    monkeypatch.setattr(Disk, "append", full)
    tried = []

    def a_little_more_room() -> None:
        tried.append(path.stat().st_size)
        room[0] = tried[0] + 60 * len(tried)

    # A sign off the danger list is two events: the sign, and the symptom that goes with it.
    script: list[str | Callable[[], object]] = ["stays cold"]
    for _ in range(6):
        script += [a_little_more_room, "8"]
    face = held(tmp_path, *script)
    assert text(face.heard).count("The answer was not kept") == tried.count(tried[0]) - 1 >= 3
    contents = read_record(path)
    signs = [e for e in contents.events if isinstance(e, DangerSeen)]
    smelt = [e for e in contents.events if isinstance(e, Answered) and e.observation == "smell_hot"]
    assert len(signs) == len(smelt) == 1 and contents.problems == ()


def test_a_list_that_is_shown_in_pages_is_answered_as_it_was_shown_when_the_screen_grows() -> None:
    tall = cast(Any, SimpleNamespace(lines=60))
    turn = chat("stays cold").turn
    assert turn.talk.lines == LINES and _sized(tall, turn).talk.lines == 60
    shown = replace(turn, talk=replace(turn.talk, current=AskTest("inlet_look")))
    assert _sized(tall, shown).talk.lines == LINES
    low = cast(Any, SimpleNamespace(lines=8))
    assert _sized(low, turn).talk.lines == LINES
