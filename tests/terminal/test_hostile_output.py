"""Nothing that a file, a name or a person brings can drive the terminal, through whichever command it is shown."""

from __future__ import annotations

import io
import json
import shutil
from pathlib import Path

import pytest
from talking import SMALL

from faultfinder.cli import main
from faultfinder.job import events as happened
from faultfinder.job.record.record import Record
from faultfinder.terminal.console.printed import print_json

NASTY = "\x1b]0;owned\x07\x1b[2J\x9b31m\u202egnirts\u2066\ufeff\x7f\ue000\U000e0041\x85\u2028"


def _safe(text: str) -> None:
    bad = sorted({repr(c) for c in text if not c.isprintable() and c != "\n"})
    assert not bad, (bad, text[:2000])


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Jobs, rules, a log and a meter whose names and texts are hostile."""
    monkeypatch.setenv("FAULTFINDER_JOBS", str(tmp_path / "jobs"))
    monkeypatch.setenv("FAULTFINDER_METER", "")
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO()))
    name = "x\x1b[2J\u202ey"
    rules = tmp_path / name
    rules.mkdir()
    shutil.copy(SMALL / "fan_heater.yaml", rules / "fan_heater.yaml")
    (rules / f"bad{name}.yaml").write_text("causes: {a: {titel: 1, }, }\n")
    good = tmp_path / f"good{name}"
    good.mkdir()
    shutil.copy(SMALL / "fan_heater.yaml", good / "fan_heater.yaml")
    (good / "cases").mkdir()
    (good / "cases" / f"{name}.yaml").write_text(
        '- {answer: no_heat, is: yes}\n- {answer: "a\\x1b[2Jb\\u202e", is: yes}\n- {likely: {fan_worn: 0.9}}\n'
    )
    for job in ("plain", name):
        path = tmp_path / "jobs" / f"{job}.yaml"
        with Record.create(path, happened.Opened(str(good))) as record:
            for event in (
                happened.Complaint(f"stays cold {NASTY}"),
                happened.Answered("no_heat", "yes"),
                happened.Noted(NASTY),
                happened.DangerSeen("gas_smell"),
                happened.Restarted(NASTY),
                happened.Answered(NASTY, "yes"),
                happened.FactGiven("volts", f"230 V{NASTY}"),
                happened.Answered("element_resistance", reads=f"33{NASTY}"),
            ):
                record.append(event)
        with path.open("ab") as file:
            file.write(
                f'- {{note: x{NASTY}}}\n- {{\x1b[2J: 1}}\n- {{answer: no_heat, is: "\\x1b[2J"}}\n'.encode()
            )
    log = tmp_path / f"log{name}.csv"
    log.write_text(
        f"time,power {NASTY}(W)\n" + "".join(f"{n},{1000 + n}\n" for n in range(30)) + f"3{NASTY},{NASTY}\n"
    )
    (tmp_path / "meter.txt").write_text(f"resistance up to {NASTY} ohm: 1 %\n")
    return tmp_path


NAME = "x\x1b[2J\u202ey"
COMMANDS = (
    ["jobs"],
    ["jobs", NASTY],
    ["jobs", "--json"],
    ["report", "JOB"],
    ["report", "JOB", "--form", "workshop"],
    ["report", "JOB", "--json"],
    ["report", "JOB", "--html", "-"],
    ["report", NASTY],
    ["replay", "JOB"],
    ["replay", "JOB", "--show"],
    ["replay", "JOB", "--json"],
    ["replay", NASTY],
    ["resume", "JOB"],
    ["resume", NASTY],
    ["check", "BAD"],
    ["check", "BAD", "--json"],
    ["check", NASTY],
    ["check", "--about", NASTY],
    ["try", "GOOD"],
    ["try", "GOOD", "--json"],
    ["compare", "GOOD", "BAD"],
    ["compare", "GOOD", "GOOD"],
    ["table", "GOOD"],
    ["table", "BAD"],
    ["history"],
    ["history", "--json"],
    ["history", "--import", "LOG"],
    ["trace", "LOG"],
    ["trace", "LOG", "--json"],
    ["trace", "LOG", "--column", NASTY],
    ["trace", "LOG", "--job", "JOB"],
    ["trace", NASTY],
    ["assess", "--pack", "GOOD", f"volts={NASTY}"],
    ["assess", "--pack", "GOOD", f"{NASTY}=1"],
    ["assess", "--pack", "GOOD", f"element {NASTY}"],
    ["assess", "--pack", "GOOD", "--json", "element OL"],
    ["assess", NASTY],
    ["prepare", "--pack", "GOOD", "--said", f"stays cold {NASTY}"],
    ["prepare", "--pack", "GOOD", "--json", "--said", f"stays cold {NASTY}"],
    ["practise", NASTY],
    ["score", NASTY],
    [NASTY],
    ["--pack", NASTY],
    ["--pack", "GOOD"],
    ["assess", "--frobnicate", NASTY],
)


@pytest.mark.slow
@pytest.mark.parametrize(
    "command", COMMANDS, ids=lambda command: " ".join(command)[:30].encode("unicode_escape").decode()
)
def test_no_command_lets_through_what_could_drive_the_terminal(
    command: list[str], home: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    places = {
        "JOB": str(home / "jobs" / f"{NAME}.yaml"),
        "BAD": str(home / NAME),
        "GOOD": str(home / f"good{NAME}"),
        "LOG": str(home / f"log{NAME}.csv"),
    }
    try:
        status = main([places.get(word, word) for word in command])
    except SystemExit as leaving:
        status = int(leaving.code or 0)
    out, err = capsys.readouterr()
    assert status in (0, 1, 2)
    assert out + err
    _safe(out)
    _safe(err)
    if "--json" in command and out:
        json.loads(out)


def test_a_bad_meter_is_told_safely(
    home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FAULTFINDER_METER", str(home / "meter.txt"))
    assert main(["assess", "--pack", str(SMALL), "element OL"]) == 2
    _safe("".join(capsys.readouterr()))


def test_json_carries_every_text_and_shows_none_that_could_drive_a_terminal(
    capsys: pytest.CaptureFixture[str],
) -> None:
    value = {"a": NASTY, "b": ["\ud800", "Ω", float("inf")], NASTY: 1}
    print_json(value)
    out = capsys.readouterr().out
    _safe(out)
    assert "Ω" in out
    assert json.loads(out) == {"a": NASTY, "b": ["\ud800", "Ω", "OL"], NASTY: 1}
