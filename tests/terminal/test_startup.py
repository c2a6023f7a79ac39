"""Which pack is meant by what a person types at the first question."""

from __future__ import annotations

import io
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace

import pytest

from faultfinder.dialogue.say import Ask, Said, error, note
from faultfinder.terminal import own_meter, startup
from faultfinder.terminal.console import plain
from faultfinder.terminal.console.ahead import SaidAhead
from faultfinder.terminal.console.plain import PlainFace
from faultfinder.terminal.startup import ask_pack, jobs_folder, pick_face


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
        ("3", "washing_machine"),
        ("washing machine", "washing_machine"),
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


class Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def on_windows(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """The branch of Windows, with the user's own folders there; no rights elsewhere are needed."""
    streams = SimpleNamespace(platform="win32", stdin=Screen("1\n"), stdout=Screen(), stderr=Screen())
    for module in (startup, own_meter, plain):
        monkeypatch.setattr(module, "sys", streams)
    for name in (
        "FAULTFINDER_JOBS",
        "FAULTFINDER_PLAIN",
        "ACCESSIBLE",
        "TERM",
        "XDG_DATA_HOME",
        "FAULTFINDER_METER",
    ):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "local"))
    monkeypatch.setenv("APPDATA", str(tmp_path / "roaming"))
    return tmp_path


def test_on_windows_records_and_settings_stand_in_the_users_own_folders(
    on_windows: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert jobs_folder() == on_windows / "local" / "faultfinder" / "jobs"
    assert own_meter.settings_folder() == on_windows / "roaming" / "faultfinder"
    monkeypatch.setenv("FAULTFINDER_JOBS", str(on_windows / "mine"))
    assert jobs_folder() == on_windows / "mine"
    assert jobs_folder("given") == Path("given")
    monkeypatch.delenv("FAULTFINDER_JOBS")
    monkeypatch.delenv("LOCALAPPDATA")
    monkeypatch.setattr(Path, "home", lambda: on_windows)
    assert jobs_folder() == on_windows / ".local" / "share" / "faultfinder" / "jobs"


def test_a_console_that_cannot_be_driven_gets_plain_lines_and_no_escapes(
    on_windows: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """TERM is not set there, and is no sign of a dumb terminal; a console without a screen buffer is one."""
    made = []

    def no_console(*, colour: bool) -> None:
        made.append(colour)
        raise RuntimeError("No console screen buffer found")

    monkeypatch.setattr("faultfinder.terminal.console.rich.RichFace", no_console)
    face = pick_face(plain=False)
    assert made == [True] and isinstance(face, PlainFace)
    face.show([error("no"), note("yes")])
    assert face.ask(Ask("machine", status="as found")) == "1"
    written = startup.sys.stdout.getvalue()  # type: ignore[attr-defined]
    assert "no" in written and "[as found]" in written and "\x1b" not in written
