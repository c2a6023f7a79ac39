"""What the workshop has seen as a file to hand to other vans, and theirs read: YAML, a line a job.

`- {job: 5d1f…, pack: …, facts: {…}, by_clock: …, put_right: […], closings: [{at: …, state: …, minutes: …,
found: […]}]}` (on one line)

It holds what is counted and nothing that tells whose job it was: no words of the customer, no notes, no readings, of
the time only the day, of the facts only choices. A job has the same key wherever it is counted, so files may overlap.
Reading is strict: what cannot be right is told with its line, and nothing of the file is taken.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from pathlib import Path
from types import MappingProxyType

from faultfinder.errors import FaultFinderError
from faultfinder.job.history.history import ClosedJob, Closing, together
from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.whole_file import refusals_told, write_whole
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar, read_nodes
from faultfinder.safety.gate import CLOSINGS
from faultfinder.text.catalogue import say

FORMAT = 1
OTHERS = "other_vans.history"
"""The file in the jobs folder that keeps what was taken in from others."""
MAX_FILE = 50_000_000
MAX_LINE = 50_000
_ID = re.compile(r"[a-z][a-z0-9_]{0,79}\Z")
_CHOICE = re.compile(r"[A-Za-z0-9_]{1,80}\Z")
_KEY = re.compile(r"[0-9a-f]{16}\Z")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}\Z")


class HistoryFileError(FaultFinderError):
    """The file is no history, or is damaged; the message names the first line that is wrong."""


def written(jobs: Iterable[ClosedJob], choices: Mapping[str, Iterable[str]] | None = None) -> str:
    """The text of a history file. choices: pack -> its facts that are choices; only these are told (all without)."""
    lines = [
        "# What a workshop has found, a line a job; nothing in it tells whose job it was.",
        f"- {{history: {FORMAT}}}",
    ]
    for job in sorted(jobs, key=lambda each: each.key):
        allowed = None if choices is None else set(choices.get(job.pack, ()))
        lines.append(_line(job, allowed))
    return "\n".join(lines) + "\n"


def _line(job: ClosedJob, allowed: set[str] | None) -> str:
    closings = ", ".join(
        f'{{at: "{_day(each.at)}", state: {each.state}, minutes: {each.minutes:.10g}, found: {_list(each.found)}}}'
        for each in job.closings
    )
    told = ", ".join(
        f'{name}: "{value}"'
        for name, value in job.facts.items()
        if _ID.match(name) and _CHOICE.match(value) and (allowed is None or name in allowed)
    )
    return (
        f'- {{job: "{job.key}", pack: "{_pack(job.pack)}", facts: {{{told}}}, by_clock: {job.by_clock:.10g}, '
        f"put_right: {_list(job.put_right)}, closings: [{closings}]}}"
    )


def _list(names: Iterable[str]) -> str:
    return "[" + ", ".join(name for name in names if _ID.match(name)) + "]"


def _day(at: str) -> str:
    return at[:10] if _DAY.match(at[:10]) else ""


def _pack(name: str) -> str:
    return re.sub(r"[^\w.-]", "-", name)[:80]


# -- reading --------------------------------------------------------------------------------------------


def read_history(data: bytes, file: str = "") -> list[ClosedJob]:
    """The jobs of a history file. Raises HistoryFileError."""
    name = plain_text(file) or "history"
    if len(data) > MAX_FILE:
        raise HistoryFileError(say("exchange_has_bytes_no_history", name=name, count=f"{len(data):,}"))
    jobs: list[ClosedJob] | None = None
    for number, raw in enumerate(data.split(b"\n"), start=1):
        line = raw.strip()
        if not line or line.startswith(b"#"):
            continue
        try:
            mapping = _mapping(line, file)
            if jobs is None:
                jobs = _begun(mapping)
            else:
                jobs.append(_job(mapping))
        except _Wrong as wrong:
            told = say("exchange_nothing_taken", name=name, number=number, wrong=plain_text(str(wrong)))
            raise HistoryFileError(told) from None
    if jobs is None:
        raise HistoryFileError(say("exchange_no_history_file_does", name=name, format=FORMAT))
    return together(jobs)


class _Wrong(Exception):
    """What is wrong with a line."""


def _mapping(line: bytes, file: str) -> dict[str, Node]:
    if len(line) > MAX_LINE:
        raise _Wrong(say("exchange_line_bytes", count=f"{len(line):,}"))
    sink = Sink()
    node = read_nodes(line, file, sink)
    if sink.has_errors:
        raise _Wrong(sink.problems[0].message)
    if not isinstance(node, ListNode) or len(node.items) != 1 or not isinstance(node.items[0], MapNode):
        raise _Wrong(say("exchange_line"))
    return {key.text: value for key, value in node.items[0].pairs}


def _begun(mapping: Mapping[str, Node]) -> list[ClosedJob]:
    """No job yet, behind a first line that is right."""
    if set(mapping) != {"history"}:
        raise _Wrong(say("exchange_history_file_begins_with", format=FORMAT))
    found = _text(mapping, "history")
    if found != str(FORMAT):
        raise _Wrong(say("exchange_format_not_known_here", found=plain_text(found)[:20], format=FORMAT))
    return []


def _job(mapping: Mapping[str, Node]) -> ClosedJob:
    wanted = ("job", "pack", "facts", "by_clock", "put_right", "closings")
    if set(mapping) != set(wanted):
        raise _Wrong(say("exchange_job_has_keys", names=", ".join(wanted)))
    key, pack = _text(mapping, "job"), _text(mapping, "pack")
    if not _KEY.match(key):
        raise _Wrong(say("exchange_key_job_16_hexadecimal"))
    if not pack or pack != _pack(pack):
        raise _Wrong(say("exchange_name_pack_not_right"))
    closings = mapping["closings"]
    if not isinstance(closings, ListNode) or not closings.items:
        raise _Wrong(say("exchange_job_closed_at_least"))
    return ClosedJob(
        key=key,
        pack=pack,
        facts=MappingProxyType(_facts(mapping["facts"])),
        closings=tuple(_closing(node) for node in closings.items),
        put_right=_names(mapping["put_right"]),
        by_clock=_number(mapping, "by_clock"),
    )


def _closing(node: Node) -> Closing:
    if not isinstance(node, MapNode):
        raise _Wrong(say("exchange_closing"))
    mapping = {key.text: value for key, value in node.pairs}
    if set(mapping) != {"at", "state", "minutes", "found"}:
        raise _Wrong(say("exchange_closing_has_keys_at"))
    at, state = _text(mapping, "at"), _text(mapping, "state")
    if state not in CLOSINGS:
        raise _Wrong(say("exchange_job_closed_as_one", names=", ".join(CLOSINGS)))
    if at and not _DAY.match(at):
        raise _Wrong(say("exchange_at_day_such_as"))
    return Closing(at, state, _names(mapping["found"]), _number(mapping, "minutes"))


def _facts(node: Node) -> dict[str, str]:
    if not isinstance(node, MapNode):
        raise _Wrong(say("exchange_facts_mapping"))
    facts = {}
    for key, value in node.pairs:
        if not isinstance(value, Scalar) or not _ID.match(key.text) or not _CHOICE.match(value.text):
            raise _Wrong(say("exchange_fact_id_choice"))
        facts[key.text] = value.text
    return facts


def _names(node: Node) -> tuple[str, ...]:
    if not isinstance(node, ListNode):
        raise _Wrong(say("exchange_list_causes_expected"))
    names = [item.text for item in node.items if isinstance(item, Scalar)]
    if len(names) != len(node.items) or not all(_ID.match(name) for name in names):
        raise _Wrong(say("exchange_cause_id_such_as"))
    return tuple(names)


def _text(mapping: Mapping[str, Node], key: str) -> str:
    node = mapping[key]
    if not isinstance(node, Scalar):
        raise _Wrong(say("exchange_text", what=key))
    return node.text


def _number(mapping: Mapping[str, Node], key: str) -> float:
    text = _text(mapping, key)
    value = float(text) if re.fullmatch(r"\d{1,7}(\.\d{1,9})?", text) else math.nan
    if not value <= 1e6:
        raise _Wrong(say("exchange_number_minutes", what=key))
    return value


# -- what others have seen ------------------------------------------------------------------------------


def of_others(folder: Path, files: Disk) -> list[ClosedJob]:
    """What was taken in before. Raises HistoryFileError or RecordError where that file is damaged."""
    path = folder / OTHERS
    if not files.exists(path):
        return []
    return read_history(_read(path, files), str(path))


def take_in(folder: Path, paths: Iterable[Path], files: Disk) -> None:
    """Take in history files and keep them beside the records: all of them or, where one is wrong, none.

    Raises HistoryFileError or RecordError.
    """
    new = [read_history(_read(path, files), str(path)) for path in paths]
    write_whole(folder / OTHERS, written(together(of_others(folder, files), *new)), files, over=True)


def _read(path: Path, files: Disk) -> bytes:
    with refusals_told("cannot_be_read", path, reading=True):
        return files.read(path)
