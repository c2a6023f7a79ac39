"""The command through a pipe: no control codes, clear refusals, exit statuses, nothing lost."""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
from pathlib import Path

import pytest
from running import command, converse, environment, run, run_here
from talking import OPEN, OPENED, SMALL

from faultfinder.job import events as happened
from faultfinder.job.record.record import read_record


@pytest.mark.slow
def test_a_whole_job_goes_through_a_pipe_without_a_control_code(tmp_path: Path) -> None:
    repaired = ("OL", "done", "26.4")
    done = converse(tmp_path, *OPENED, *OPEN, *repaired, "stop")
    assert done.returncode == 0
    assert done.stderr == ""
    assert "Element broken" in done.stdout
    assert all(character >= " " or character == "\n" for character in done.stdout)
    (record,) = tmp_path.glob("*.yaml")
    kinds = [type(event) for event in read_record(record).events]
    assert kinds.count(happened.PutRight) == 1


@pytest.mark.slow
def test_the_end_of_input_leaves_with_everything_kept(tmp_path: Path) -> None:
    done = converse(tmp_path, *OPENED[:1])
    assert done.returncode == 0
    assert "Go on later with" in done.stdout
    (record,) = tmp_path.glob("*.yaml")
    assert any(isinstance(event, happened.Answered) for event in read_record(record).events)


@pytest.mark.slow
def test_a_job_is_taken_up_again_by_its_name(tmp_path: Path) -> None:
    converse(tmp_path, *OPENED, "element OL")
    (record,) = tmp_path.glob("*.yaml")
    again = run(tmp_path, "resume", record.stem, "--pack", str(SMALL), lines=["likely", "stop"])
    assert again.returncode == 0
    assert "Element broken" in again.stdout
    assert any(isinstance(event, happened.Resumed) for event in read_record(record).events)


@pytest.mark.slow
def test_a_job_begun_with_rules_of_ones_own_says_how_to_find_them_from_elsewhere(tmp_path: Path) -> None:
    run_here(tmp_path, "--pack", str(SMALL), lines=OPENED[:1])
    (record,) = tmp_path.glob("*.yaml")
    for command_ in ("resume", "report"):
        done = run_here(tmp_path, command_, record.stem)
        assert done.returncode == 2
        assert "begun with the rules 'small_pack', which are not here" in done.stderr
        assert "--pack" in done.stderr and len(done.stderr.splitlines()) == 1


@pytest.mark.slow
@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("resume", "no-such-job"), "no record"),
        (("--pack", "no_such_pack"), "no_such_pack"),
        (("--pack", "tumble_driar"), "tumble_dryer"),
        (("check", "/nowhere/at/all"), "nowhere"),
        (("replay", "/nowhere.yaml"), "no record"),
        (("assess", "colour=blue"), "is not a fact"),
        (("assess", "high section 230 V"), "not understood"),
        (("frobnicate",), "invalid choice"),
    ],
)
def test_wrong_use_gets_one_clear_line_and_status_2(
    tmp_path: Path, arguments: tuple[str, ...], says: str
) -> None:
    # One of them as a process of its own: there the status is what a shell sees.
    done = (run if arguments[0] == "resume" else run_here)(tmp_path, *arguments)
    assert done.returncode == 2 or (arguments[0] == "check" and done.returncode == 1)
    assert says in done.stderr + done.stdout
    assert "Traceback" not in done.stderr


@pytest.mark.slow
def test_a_broken_rule_file_names_the_line_and_no_job_is_begun(tmp_path: Path) -> None:
    broken = tmp_path / "pack.yaml"
    broken.write_text(
        "pack: {title: X, version: '1', summary: s}\ncauses:\n  a: {titel: A}\n", encoding="utf-8"
    )
    done = run_here(tmp_path / "jobs", "--pack", str(broken))
    assert done.returncode == 2
    assert f"{broken}:3:" in done.stderr and "titel" in done.stderr
    assert not (tmp_path / "jobs").exists()


@pytest.mark.slow
def test_a_torn_record_is_told_and_goes_on(tmp_path: Path) -> None:
    run_here(tmp_path, "--pack", str(SMALL), lines=[*OPENED, "element OL"])
    (record,) = tmp_path.glob("*.yaml")
    with record.open("ab") as file:
        file.write(b"- {answer: cut_out_cont")
    again = run(tmp_path, "resume", str(record), "--pack", str(SMALL), lines=["stop"])
    assert again.returncode == 0
    assert str(record) in again.stderr
    assert "Traceback" not in again.stderr


@pytest.mark.slow
def test_bytes_that_are_no_text_are_no_trouble(tmp_path: Path) -> None:
    done = subprocess.run(
        command("--pack", str(SMALL)),
        input=b"\xff\xfe\x00bad\n\x1b[31m\n" + b"9" * 50_000 + b"\n",
        capture_output=True,
        env=environment(tmp_path),
        timeout=60,
        check=False,
    )
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr


@pytest.mark.slow
def test_assess_prints_json_that_a_script_can_read(tmp_path: Path) -> None:
    done = run_here(
        tmp_path, "assess", "--json", "--pack", str(SMALL), "supply=single_phase", "volts=230", "element OL"
    )
    assert done.returncode == 0
    told = json.loads(done.stdout)
    assert told["confidence"]["element_open"] > 0.5
    assert told["findings"][0]["answer"] == "open"
    assert "Take one lead off" not in done.stdout, "an instruction for an open machine left the gate"


@pytest.mark.slow
def test_check_prints_problems_with_their_place_and_a_status(tmp_path: Path) -> None:
    clean = run_here(tmp_path, "check", str(SMALL))
    assert clean.returncode == 0
    assert "0 errors" in clean.stdout


@pytest.mark.slow
def test_a_killed_process_loses_nothing_it_had_acknowledged(tmp_path: Path) -> None:
    """Answers go in one by one; the process is killed at a random moment after the n-th was acknowledged."""
    for seed in range(3):  # many more in tests/job/test_killed.py
        folder = tmp_path / str(seed)
        stop_after = random.Random(seed).randint(1, len(OPENED))
        process = subprocess.Popen(
            command("--pack", str(SMALL)),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=environment(folder),
        )
        assert process.stdin and process.stdout
        heard = b""
        for line in OPENED[:stop_after]:
            heard = _until_prompt(process.stdout.fileno(), heard)
            process.stdin.write(line.encode() + b"\n")
            process.stdin.flush()
        heard = _until_prompt(process.stdout.fileno(), heard)
        process.send_signal(signal.SIGKILL)
        assert process.wait() == -signal.SIGKILL
        process.stdin.close()
        process.stdout.close()
        (record,) = folder.glob("*.yaml")
        events = read_record(record).events
        assert (b"Taken: no heat" in heard) == any(isinstance(e, happened.Answered) for e in events)
        assert (b"Taken: supply" in heard) <= (sum(isinstance(e, happened.FactGiven) for e in events) == 4)


def _until_prompt(handle: int, heard: bytes) -> bytes:
    """Read until a new prompt stands."""
    before = heard.count(b"> ")
    while heard.count(b"> ") == before:
        data = os.read(handle, 65536)
        if not data:
            break
        heard += data
    return heard
