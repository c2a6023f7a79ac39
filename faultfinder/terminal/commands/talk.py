"""`faultfinder talk --json`: the same conversation as lines of JSON, for a program that puts a face of its own to it.

Out: one JSON object a line (SCHEMA). In: one line an answer, as a person would type it; or a JSON string, or an
object {"answer": ..., "prompt": ...}, whose prompt may be left out: where it is the id of another prompt than the one
that stands, nothing is taken. The conversation ends with an object whose prompt is null.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping, Sequence
from dataclasses import fields
from pathlib import Path
from types import MappingProxyType
from typing import Any, TextIO

from faultfinder.dialogue.say import Ask, Bar, Drawing, Line, Option, Said, error
from faultfinder.dialogue.talk import Turn
from faultfinder.errors import BadAnswer
from faultfinder.exits import Exit
from faultfinder.job.events import Event
from faultfinder.knowledge.shipped import shipped_packs
from faultfinder.terminal.console.console import Face
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

LONGEST = 100_000
"""Characters of a line that are read at all."""
SCHEMA: Mapping[str, Any] = MappingProxyType(
    json.loads(Path(__file__).with_name("talk_schema.json").read_text(encoding="utf-8"))
)
"""What a line out is, as a JSON Schema."""
FORMAT = SCHEMA["properties"]["format"]["const"]
"""The version of the lines, as `format` in each of them."""


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("pack", nargs="?", metavar="PACK", default="", help=say("arguments_pack"))
    command.add_argument("--json", action="store_true", help=say("talk_lines_json_out_answer"))
    command.add_argument("--schema", action="store_true", help=say("talk_print_schema_lines_leave"))
    command.add_argument("--resume", metavar="JOB", default="", help=say("talk_go_on_with_job"))
    command.add_argument("--no-record", action="store_true", dest="no_record", help=say("talk_keep_nothing"))
    command.add_argument("--folder", default="", metavar="FOLDER", help=say("talk_where_jobs_kept"))


def run(asked: argparse.Namespace) -> int:
    """Hold a conversation in lines of JSON."""
    if asked.schema:
        print(json.dumps(dict(SCHEMA), indent=1))
        return Exit.OK
    if not asked.json:
        from faultfinder.terminal.commands.conversation import run as new_or_resumed

        asked.command, asked.job = ("resume", asked.resume) if asked.resume else ("new", "")
        return new_or_resumed(asked)
    from faultfinder.terminal.commands import new_job

    folder = jobs_folder(asked.folder) if not asked.no_record else Path()
    face: Face = JsonFace(sys.stdin, sys.stdout)
    if asked.resume:
        asked.job = asked.resume
        status = new_job.resumed(asked, face, folder)
    else:
        status = new_job.begun(asked, face, folder, asked.pack or next(iter(shipped_packs().values())))
    return status


class JsonFace:
    """Writes one object for each prompt; nothing else goes to the sink. lines: its lists come whole, since another
    program shows them."""

    lines = 10_000

    def __init__(self, source: TextIO, sink: TextIO) -> None:
        self._source = source
        self._sink = sink
        self._said: list[Said] = []
        self._turn: Turn | None = None
        self._events: list[Event] = []

    def show(self, said: Sequence[Said]) -> None:
        self._said += said

    def recorded(self, turn: Turn) -> None:
        """The turn whose events are kept now."""
        self._turn = turn
        self._events += turn.events

    def ask(self, ask: Ask) -> str:
        """The next answer; what is none is told so, and the same is asked again. Raises EOFError at the end of
        input."""
        while True:
            self._write(ask)
            try:
                return answer_of(self._line(), ask.key)
            except BadAnswer as problem:
                self.show([error(str(problem))])

    def _line(self) -> str:
        line = more = self._source.readline(LONGEST)
        if not line:
            self.last()
            raise EOFError
        while len(more) >= LONGEST and not more.endswith("\n"):
            # The rest of a line that is far too long is thrown away, so that it is not taken for answers.
            more = self._source.readline(LONGEST)
        return line

    def last(self) -> None:
        """The last object: nothing is asked any more."""
        self._write(None)

    def _write(self, ask: Ask | None) -> None:
        value = as_mapping(self._turn, self._said, self._events, ask)
        self._said, self._events = [], []
        self._sink.write(json.dumps(value, ensure_ascii=True, allow_nan=False) + "\n")
        self._sink.flush()


def answer_of(line: str, prompt: str = "") -> str:
    """What a line that comes in answers: the text itself, a JSON string, or the object's `answer`, a text, a number
    or a list of them; its `prompt`, where it has one, is the id of the prompt that it is meant for. Raises BadAnswer
    for an object or a list that is none, says no answer, or is meant for another prompt: nothing is guessed."""
    text = line.strip()
    if text[:1] not in ('"', "{", "["):
        return text
    try:
        value = json.loads(text)
    except (ValueError, RecursionError) as problem:
        if text[:1] == '"':
            return text  # a person may begin with a quotation mark
        raise BadAnswer(say("talk_no_json", problem=problem)) from problem
    if isinstance(value, Mapping):
        meant_for = value.get("prompt", prompt)
        if meant_for != prompt:
            raise BadAnswer(say("talk_other_prompt", meant=str(meant_for)[:60], asked=prompt))
        value = value.get("answer")
    parts = value if isinstance(value, list) else [value]
    if not parts or any(isinstance(part, bool) or not isinstance(part, str | int | float) for part in parts):
        raise BadAnswer(say("talk_no_answer"))
    return " ".join(map(str, parts))


def as_mapping(
    turn: Turn | None, said: Sequence[Said], events: Sequence[Event], ask: Ask | None
) -> dict[str, Any]:
    """One line out."""
    gate = turn.talk.gate if turn is not None else None
    return {
        "format": FORMAT,
        "said": [_said(item) for item in said],
        "events": [event_mapping(event) for event in events],
        "prompt": _prompt(ask) if ask is not None else None,
        "access": str(gate.access) if gate is not None else "",
        "danger": str(gate.danger) if gate is not None else "none",
        "signs": list(gate.signs) if gate is not None else [],
        "minutes": round(turn.talk.job.minutes, 1) if turn is not None else 0.0,
        "status": ask.status if ask is not None else "",
        "job": turn.talk.path if turn is not None else "",
    }


def event_mapping(event: Event) -> dict[str, Any]:
    """An event under its key's name, with its fields as they stand in the record."""
    out: dict[str, Any] = {"event": event.KEY}
    for each in fields(event):
        value = getattr(event, each.name)
        if value not in ("", (), None):
            out[each.name] = list(value) if isinstance(value, tuple) else value
    return out


def _prompt(ask: Ask) -> dict[str, Any]:
    shown = dict(ask.texts)
    words = ask.words or tuple(shown)
    return {
        "kind": ask.kind,
        "id": ask.key,
        "label": ask.label,
        "takes": ask.takes,
        "unit": ask.unit,
        "options": [{"id": word, "text": shown.get(word, name_of(word))} for word in words],
        "items": [
            {
                "id": item.id,
                "takes": item.takes,
                "unit": item.unit,
                "ticked": item.ticked,
                "answers": [{"id": word, "text": text} for word, text in item.answers],
            }
            for item in ask.items
        ],
    }


def _said(item: Said) -> dict[str, Any]:
    match item:
        case Line(text, tone, _):
            return {"is": "line", "text": text, "tone": str(tone)}
        case Option(number, word, text):
            return {"is": "option", "text": text, "number": number, "id": word}
        case Drawing(text, words):
            return {"is": "drawing", "text": text, "words": words}
        case Bar(text, chance, before):
            return {"is": "bar", "text": text, "chance": round(chance, 4), "before": before}
