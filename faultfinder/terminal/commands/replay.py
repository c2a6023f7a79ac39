"""`faultfinder replay`: records run through the program again; differences told; status 1 when any differs."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TextIO

from faultfinder.arguments import add_json
from faultfinder.dialogue.transcript import Transcript, retell
from faultfinder.exits import Exit
from faultfinder.job.cases.replay import Replayed, replay
from faultfinder.job.record.lines import Contents, RecordError
from faultfinder.job.record.record import read_record
from faultfinder.terminal.commands.new_job import pack_of
from faultfinder.terminal.console.plain import PlainFace
from faultfinder.terminal.console.printed import aside, print_json, shown, tell
from faultfinder.text.catalogue import say

TRANSCRIPT_COLUMNS = 72


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `replay`."""
    command.add_argument("records", nargs="+", metavar="FILE", help=say("arguments_records_run"))
    command.add_argument("--pack", default="", help=say("arguments_replay_against_pack_instead"))
    command.add_argument("--show", action="store_true", help=say("arguments_print_conversation"))
    add_json(command)


def run(asked: argparse.Namespace) -> int:
    """Replay each record; status 0 when all hold, 1 when one does not, 2 when one cannot be read."""
    worst = Exit.OK
    rows = []
    for name in asked.records:
        try:
            contents = read_record(Path(name))
            pack = pack_of(contents, Path(name), asked.pack)
            result = replay(pack, contents.events)
        except RecordError as problem:
            aside(f"faultfinder: {problem}")
            worst = Exit.WRONG_USE
            continue
        holds = result.holds and not contents.damaged
        if not holds and worst is Exit.OK:
            worst = Exit.PROBLEMS
        rows.append(
            {
                "record": name,
                "holds": holds,
                "expectations": result.expectations,
                "rules_changed": result.state.rules_changed,
                "problems": [str(problem) for problem in contents.problems],
                "misses": [{"line": contents.lines[m.position], "what": str(m)} for m in result.misses],
            }
        )
        if not asked.json:
            _tell(name, contents, result)
        if asked.show:
            write_transcript(retell(pack, contents.events), sys.stdout)
    if asked.json:
        print_json(rows)
    return worst


def _tell(name: str, contents: Contents, result: Replayed) -> None:
    for problem in contents.problems:
        print(shown(str(problem)))
    for miss in result.misses:
        print(shown(f"{name}:{contents.lines[miss.position]}: {miss}"))
    changed = say("replay_rules_have_changed_since") if result.state.rules_changed else ""
    key = "replay_holds_expectations" if result.holds and not contents.damaged else "replay_failed"
    tell(key, name=name, expectations=result.expectations, changed=changed)


def write_transcript(retold: Transcript, sink: TextIO) -> None:
    """The conversation of a record as text, as the plain face shows it."""
    face = PlainFace(sys.stdin, sink, TRANSCRIPT_COLUMNS)
    face.show(retold.opening)
    for told in retold.told:
        sink.write(f"{told.ask.label}> {shown(told.line)}\n")
        face.show(told.said)
    if retold.differs:
        sink.write(say("replay_differs_here", differs=shown(retold.differs)) + "\n")
