"""The conversation as lines of JSON: each line fits its schema, and a whole job can be held with nothing else."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import pytest
from program_walk import GOOD_FIGURES
from running import run
from talking import BEGUN, OPEN, SMALL

from faultfinder.terminal.commands.talk import SCHEMA, JsonFace, answer_of


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


def held(folder: Path, *answers: str) -> list[dict[str, Any]]:
    done = run(folder, "talk", str(SMALL), "--json", lines=list(answers))
    assert done.returncode == 0, done.stderr
    out = [json.loads(line) for line in done.stdout.splitlines()]
    for line in out:
        fits(line, dict(SCHEMA))
    return out


@pytest.mark.slow
def test_every_line_fits_the_schema_and_the_job_is_kept(tmp_path: Path) -> None:
    out = held(tmp_path, *BEGUN, "inlet look clear; flex look whole", *OPEN, "OL", "done", "26.4", "stop")
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
        ("{bad\n", "{bad"),
        ('{"x": 1}\n', ""),
    ],
)
def test_an_answer_is_a_line_a_string_or_an_object(line: str, answer: str) -> None:
    assert answer_of(line) == answer


def test_the_end_of_input_is_told_as_a_last_line() -> None:
    sink = io.StringIO()
    face = JsonFace(io.StringIO(""), sink)
    with pytest.raises(EOFError):
        from faultfinder.dialogue.say import Ask

        face.ask(Ask("x", kind="test", key="test:x"))
    first, last = map(json.loads, sink.getvalue().splitlines())
    assert first["prompt"]["id"] == "test:x" and last["prompt"] is None


@pytest.mark.slow
def test_the_schema_is_printed(tmp_path: Path) -> None:
    done = run(tmp_path, "talk", "--schema")
    assert json.loads(done.stdout)["properties"]["format"]["const"] == SCHEMA["properties"]["format"]["const"]
