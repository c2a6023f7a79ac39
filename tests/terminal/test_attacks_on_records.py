"""Attacks on records through the commands: whatever lies in the folder is told, and nothing foreign is written to."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from running import converse, run_here
from talking import OPENED, SMALL

from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import Record

AT = 'at: "2026-01-02T10:00:00Z"'
OVEN = f"- {{opened: electric_oven, {AT}}}\n- {{answer: trips_supply, is: yes, {AT}}}\n"
NEWER = (
    f"- {{opened: tumble_dryer, format: 9, {AT}}}\n- {{answer: takes_too_long, is: yes}}\n- {{swept: x}}\n"
)


def lay(folder: Path, text: str, name: str = "2026-01-02-abcdef.yaml") -> Path:
    path = folder / name
    path.write_text(text)
    path.chmod(0o600)
    return path


@pytest.mark.parametrize("command", ["resume", "report"])
def test_a_record_of_another_appliance_is_not_taken_for_this_one(command: str, tmp_path: Path) -> None:
    """Two appliances trip the supply: one answer that both know makes no dryer of an oven."""
    path = lay(tmp_path, OVEN)
    done = run_here(tmp_path, "--pack", "tumble_dryer", command, path.stem, "--pack", "tumble_dryer")
    assert done.returncode == 2 and "is for another appliance" in done.stderr
    assert path.read_text() == OVEN


@pytest.mark.slow
def test_a_copy_of_the_rules_under_a_name_of_ones_own_is_the_same_appliance(tmp_path: Path) -> None:
    converse(tmp_path, *OPENED[:1])
    (path,) = tmp_path.glob("*.yaml")
    copy = tmp_path / "ours"
    copy.mkdir()
    for file in SMALL.glob("*.yaml"):
        (copy / file.name).write_bytes(file.read_bytes())
    done = run_here(tmp_path, "report", path.stem, "--pack", str(copy))
    assert "another appliance" not in done.stderr and done.returncode == 0


@pytest.mark.slow
def test_what_a_newer_version_wrote_is_read_and_never_written_to(tmp_path: Path) -> None:
    path = lay(tmp_path, NEWER)
    done = run_here(tmp_path, "resume", path.stem)
    assert done.returncode == 2 and "newer version" in done.stderr
    with pytest.raises(RecordError, match="left as it is|left as it was|it was left"):
        Record.open(path)
    assert run_here(tmp_path, "report", path.stem).returncode == 1
    assert path.read_text() == NEWER


@pytest.mark.slow
@pytest.mark.parametrize("rules", ["../../../../etc", "/dev/zero", "/etc/passwd", "", "\\e[31m", "a" * 5000])
def test_a_record_that_names_rules_elsewhere_leads_nowhere(rules: str, tmp_path: Path) -> None:
    path = lay(tmp_path, f'- {{opened: "{rules}", {AT}}}\n')
    for command in ("resume", "report"):
        done = run_here(tmp_path, command, path.stem)
        assert done.returncode == 2 and "\x1b" not in done.stdout + done.stderr
    listed = run_here(tmp_path, "jobs", "--json")
    assert [each["name"] for each in json.loads(listed.stdout)] == [path.stem]


def test_a_link_is_no_record_whatever_it_leads_to(tmp_path: Path) -> None:
    real = lay(tmp_path, OVEN, "2026-01-02-realer.yaml")
    before = real.read_bytes()
    (tmp_path / "2026-01-03-linked.yaml").symlink_to(real)
    done = run_here(tmp_path, "resume", "2026-01-03-linked")
    assert done.returncode == 2 and "link" in done.stderr
    assert real.read_bytes() == before


def test_halves_that_a_cut_off_write_left_are_cleared_and_told(tmp_path: Path) -> None:
    lay(tmp_path, OVEN)
    (tmp_path / ".2026-01-02-abcdef.html.part").write_text("half")
    done = run_here(tmp_path, "jobs")
    assert done.returncode == 0 and ".2026-01-02-abcdef.html.part" in done.stderr
    assert ".part" not in run_here(tmp_path, "jobs").stderr
