"""The conversation as lines of JSON: each line fits its schema, and a whole job can be held with nothing else."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess
from typing import Any

import pytest
from program_walk import GOOD_FIGURES
from running import run, run_here
from talking import BEGUN, OPEN, SMALL

from faultfinder.dialogue.say import Ask
from faultfinder.errors import BadAnswer
from faultfinder.terminal.commands.talk import LONGEST, SCHEMA, JsonFace, answer_of


def fits(value: Any, schema: dict[str, Any], where: str = "line") -> None:
    """Whether a value is as the schema says; only what the schema uses is looked at."""
    names = {
        "object": dict,
        "array": list,
        "string": str,
        "integer": int,
        "number": (int, float),
        "null": type(None),
    }
    if "const" in schema:
        assert value == schema["const"], where
    if "enum" in schema:
        assert value in schema["enum"], (where, value)
    if "type" in schema:
        kinds = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
        assert any(isinstance(value, names[kind]) for kind in kinds), (where, value)
    if isinstance(value, dict):
        assert set(schema.get("required", ())) <= set(value), where
        for key, under in schema.get("properties", {}).items():
            if key in value:
                fits(value[key], under, f"{where}.{key}")
    if isinstance(value, list) and "items" in schema:
        for number, item in enumerate(value):
            fits(item, schema["items"], f"{where}[{number}]")


def held(
    folder: Path, *answers: str, by: Callable[..., CompletedProcess[str]] = run_here
) -> list[dict[str, Any]]:
    done = by(folder, "talk", str(SMALL), "--json", lines=list(answers))
    assert done.returncode == 0, done.stderr
    out = [json.loads(line) for line in done.stdout.splitlines()]
    for line in out:
        fits(line, dict(SCHEMA))
    return out


@pytest.mark.slow
def test_every_line_fits_the_schema_and_the_job_is_kept(tmp_path: Path) -> None:
    out = held(
        tmp_path, *BEGUN, "inlet look clear; flex look whole", *OPEN, "OL", "done", "26.4", "stop", by=run
    )
    kinds = [line["prompt"]["kind"] for line in out if line["prompt"]]
    assert kinds[:3] == ["complaint", "dangers", "machine"] and kinds[3] in ("test", "card")
    assert kinds.count("card") >= 3 and "remedy" in kinds
    assert out[-1]["prompt"] is None
    events = [event["event"] for line in out for event in line["events"]]
    assert "put_right" in events and events.count("confirm") >= 16
    assert next(tmp_path.glob("*.yaml"))


@pytest.mark.slow
def test_a_program_can_tick_a_card_from_what_the_prompt_says(tmp_path: Path) -> None:
    (card,) = [
        line["prompt"]
        for line in held(tmp_path, *BEGUN, "inlet look clear; flex look whole", OPEN[0], "stop")
        if line["prompt"] and line["prompt"]["id"] == "card:dead"
    ]
    assert [item["takes"] for item in card["items"]] == ["value"] * 5
    assert {item["unit"] for item in card["items"]} == {"V"}
    answer = ", ".join(f"{n}: {GOOD_FIGURES[item['id']]}" for n, item in enumerate(card["items"], 1))
    out = held(tmp_path / "again", *BEGUN, "inlet look clear; flex look whole", OPEN[0], answer, "stop")
    assert any(event.get("outcome") == "dead" for line in out for event in line["events"])


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("yes\n", "yes"),
        ('"1 2"\n', "1 2"),
        ('{"answer": "OL"}\n', "OL"),
        ('"belt" is broken\n', '"belt" is broken'),
        ('{"answer": 2, "prompt": "test:x"}\n', "2"),
        ('{"answer": [1, "scorching"]}', "1 scorching"),
        ('{"answer": ""}', ""),
    ],
)
def test_an_answer_is_a_line_a_string_or_an_object(line: str, answer: str) -> None:
    assert answer_of(line, "test:x") == answer


@pytest.mark.parametrize(
    "line",
    [
        "{bad",
        '{"answer": "none"',
        '{"x": 1}',
        "{}",
        "[]",
        '{"answer": null}',
        '{"answer": true}',
        '{"answer": {"a": 1}}',
        '{"answer": [null]}',
        '{"answer": "none", "prompt": "test:y"}',
        '{"answer": "none", "prompt": null}',
        '{"answer": "none"} {"answer": "none"}',
        "[" * 5000,
    ],
)
def test_what_is_no_answer_or_one_to_another_prompt_is_refused(line: str) -> None:
    with pytest.raises(BadAnswer):
        answer_of(line, "test:x")


def test_the_rest_of_a_line_far_too_long_is_no_answer() -> None:
    face = JsonFace(io.StringIO("x" * (LONGEST + 5) + "\nnone\n"), io.StringIO())
    ask = Ask("x", kind="dangers", key="dangers")
    assert len(face.ask(ask)) > 4_000
    assert face.ask(ask) == "none"


@pytest.mark.slow
def test_nothing_is_recorded_for_what_is_no_answer(tmp_path: Path) -> None:
    odd = ['{"answer": null}', '{"answer": "1", "prompt": "test:gone"}', "{", "[]"]
    out = held(tmp_path, "stays cold", *odd, '{"answer": "none", "prompt": "dangers"}')
    begun = next(n for n, line in enumerate(out) if line["prompt"] and line["prompt"]["kind"] == "dangers")
    refused = out[begun + 1 : begun + 1 + len(odd)]
    assert all(line["prompt"]["id"] == "dangers" and not line["events"] for line in refused)
    assert all(line["said"][0]["tone"] == "error" for line in refused)
    assert out[begun + 1 + len(odd)]["prompt"]["kind"] == "machine" and out[-1]["prompt"] is None


def test_the_end_of_input_is_told_as_a_last_line() -> None:
    sink = io.StringIO()
    face = JsonFace(io.StringIO(""), sink)
    with pytest.raises(EOFError):
        face.ask(Ask("x", kind="test", key="test:x"))
    first, last = map(json.loads, sink.getvalue().splitlines())
    assert first["prompt"]["id"] == "test:x" and last["prompt"] is None


@pytest.mark.slow
def test_the_schema_is_printed(tmp_path: Path) -> None:
    done = run_here(tmp_path, "talk", "--schema")
    assert json.loads(done.stdout)["properties"]["format"]["const"] == SCHEMA["properties"]["format"]["const"]
