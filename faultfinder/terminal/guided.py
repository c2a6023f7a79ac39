"""The guided work: pick the face, the pack and the record, then converse."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
from dataclasses import replace
from pathlib import Path

from faultfinder.dialogue.converse import start
from faultfinder.dialogue.say import Ask, error, options, question
from faultfinder.dialogue.words import say
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.events import MeterUsed, Opened
from faultfinder.job.history import in_lines
from faultfinder.job.record import Contents, Record, RecordError, job_path
from faultfinder.job.state import JobState, apply, begin, fold
from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Pack
from faultfinder.terminal.own_meter import OwnMeter, own_meter
from faultfinder.terminal.plain import PlainFace
from faultfinder.terminal.session import Face, converse, now


def jobs_folder(given: str = "") -> Path:
    """Where records are kept: as given, else FAULTFINDER_JOBS, else the user's data folder."""
    if given or os.environ.get("FAULTFINDER_JOBS"):
        return Path(given or os.environ["FAULTFINDER_JOBS"])
    home = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(home) / "faultfinder" / "jobs"


def find_job(name: str, folder: Path) -> Path:
    """A record by its file or by its name in the jobs folder. Raises RecordError."""
    as_file = Path(name)
    if as_file.is_file():
        return as_file
    return job_path(folder, name)


def short_name(path: Path) -> str:
    """What a record is called for a person: its name alone where that finds it, else its file."""
    return path.stem if path == job_path(jobs_folder(), path.stem) else str(path)


def new_path(folder: Path) -> Path:
    """A record's name that is not taken: the day and a number."""
    day = now().date().isoformat()
    number = 1
    while job_path(folder, f"{day}-{number}").exists():
        number += 1
    return job_path(folder, f"{day}-{number}")


def pick_face(plain: bool) -> Face:
    """The face for this terminal: the plain one for pipes, dumb terminals and when it is asked for."""
    wish = plain or os.environ.get("FAULTFINDER_PLAIN") or os.environ.get("ACCESSIBLE")
    dumb = os.environ.get("TERM", "") in ("", "dumb", "unknown") and os.name != "nt"
    at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    if not (wish or dumb) and at_terminal:
        from faultfinder.terminal.rich import RichFace

        try:
            return RichFace(colour=not os.environ.get("NO_COLOR"))
        except Exception as trouble:  # a console that cannot be driven: any error of its library
            print(f"faultfinder: plain lines, since the terminal cannot do more: {trouble}", file=sys.stderr)
    columns = shutil.get_terminal_size((76, 24)).columns
    return PlainFace(sys.stdin, sys.stdout, columns, echo=not sys.stdin.isatty())


def guided(asked: argparse.Namespace) -> int:
    """A new job, or one taken up again."""
    for stream in (sys.stdin, sys.stdout):
        # What a pipe carries that is no text becomes '?', instead of an error of ours.
        stream.reconfigure(errors="replace")  # type: ignore[union-attr]
    folder = jobs_folder(getattr(asked, "folder", ""))
    face = pick_face(getattr(asked, "plain", False))
    if asked.command == "resume":
        return _resume(face, find_job(asked.job, folder), asked)
    pack = load_pack(getattr(asked, "pack", "")) if getattr(asked, "pack", "") else ask_pack(face)
    if pack is None:
        return Exit.OK
    meter = own_meter()
    if getattr(asked, "no_record", False):
        job = _with_seen(begin(pack), None, folder, asked)
        return converse(face, None, start(replace(job, meter=meter.meter if meter else None)))
    opened = Opened(pack.name, pack.version, pack.fingerprint, at=now().isoformat())
    path = new_path(folder)
    with Record.create(path, opened) as record:
        job, _ = fold(pack, [opened])
        job = _with_seen(_with_meter(job, record, meter), record, folder, asked)
        return converse(
            face,
            record,
            start(job, short_name(path)),
            rules=lambda: load_pack(getattr(asked, "pack", "") or pack.name),
        )


def _with_meter(job: JobState, record: Record, meter: OwnMeter | None) -> JobState:
    """The job with the person's own meter, noted in the record where it does not stand there yet; without a file
    of one, the meter that the record names goes on to count."""
    if meter is None or meter.meter == job.meter:
        return job
    print(f"faultfinder: readings count with the accuracy of your meter, from {meter.path}.", file=sys.stderr)
    used = MeterUsed(meter.ranges, at=now().isoformat())
    record.append(used)
    return apply(job, used)


def _with_seen(job: JobState, record: Record | None, folder: Path, asked: argparse.Namespace) -> JobState:
    """The job with what the workshop has seen, where that is switched on and not in its record yet."""
    from faultfinder.terminal.seen import asked_for, seen_event

    if job.seen is not None or not asked_for(asked):
        return job
    seen = seen_event(job.pack, folder)
    if seen is None:
        print(f"faultfinder: {say('seen_none')}", file=sys.stderr)
        return job
    for part in in_lines(replace(seen, at=now().isoformat())):
        if record is not None:
            record.append(part)
        job = apply(job, part)
    return job


def ask_pack(face: Face) -> Pack | None:
    """The pack of a new job: the only shipped one, or the one the person chooses; None when they leave."""
    packs = [load_pack(folder) for folder in shipped_packs().values()]
    if len(packs) == 1:
        return packs[0]
    names = tuple(pack.name for pack in packs)
    face.show([question("What machine is it?"), *options([(pack.name, pack.title) for pack in packs])])
    while True:
        try:
            line = face.ask(Ask("machine", (*names, "stop"))).strip().casefold()
        except (EOFError, KeyboardInterrupt):
            return None
        if line in ("stop", "quit", "exit"):
            return None
        by_number = {str(number): pack for number, pack in enumerate(packs, 1)}
        fitting = [by_number[line]] if line in by_number else _by_words(packs, line)
        if len(fitting) == 1:
            return fitting[0]
        face.show(
            [error(f"Type one of: {', '.join(f'{n} {pack.title}' for n, pack in enumerate(packs, 1))}.")]
        )


def _by_words(packs: list[Pack], line: str) -> list[Pack]:
    """The packs whose name or title holds every word typed."""
    words = line.split()
    return [
        pack
        for pack in packs
        if words and all(word in f"{pack.name} {pack.title}".casefold() for word in words)
    ]


def pack_of(contents: Contents, path: Path, named: str = "") -> Pack:
    """The pack that a record names, or the one asked for. Raises RecordError where the record names none."""
    opened = next((event for event in contents.events if isinstance(event, Opened)), None)
    if opened is None and not named:
        raise RecordError(f"{path} does not begin with 'opened': it names no pack. Give one with --pack.")
    wanted = named or (opened.pack if opened else "")
    beside = path.parent / wanted
    if not named and wanted not in shipped_packs() and beside.exists():
        return load_pack(beside)
    return load_pack(wanted)


def _resume(face: Face, path: Path, asked: argparse.Namespace) -> int:
    named, folder = getattr(asked, "pack", ""), jobs_folder(getattr(asked, "folder", ""))
    with Record.open(path) as record:
        contents = record.contents
        for problem in contents.problems:
            print(problem, file=sys.stderr)
        if contents.damaged:
            print(
                f"faultfinder: {path} is damaged; what can be read is read. Look at it before you rely on it.",
                file=sys.stderr,
            )
        pack = pack_of(contents, path, named)
        job, troubles = fold(pack, contents.events)
        for position, why in troubles:
            print(f"{path}:{contents.lines[position]}: not taken: {why}", file=sys.stderr)
        if job.rules_changed:
            print("faultfinder: the rules have changed since this job began.", file=sys.stderr)
        if job.closed is not None:
            print(f"faultfinder: this job is closed ({job.closed.state}).", file=sys.stderr)
        if job.closed is None:
            job = _with_meter(job, record, own_meter())
            job = _with_seen(job, record, folder, asked)
        try:
            turn = start(job, short_name(path), resumed=True)
        except FaultFinderError as problem:
            print(f"faultfinder: {problem}", file=sys.stderr)
            return Exit.WRONG_USE
        return converse(face, record, turn, rules=lambda: pack_of(contents, path, named))
