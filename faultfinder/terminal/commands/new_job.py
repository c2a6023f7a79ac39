"""A new job: its record is opened, or one is taken up again, and the conversation begins."""

from __future__ import annotations

import argparse
import os
import re
import secrets
from dataclasses import replace
from pathlib import Path

from faultfinder.dialogue.converse import start
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.events import Answered, Corrected, MeterUsed, Opened, opening
from faultfinder.job.history.history import in_lines
from faultfinder.job.history.search import record_names
from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import Contents, RecordError
from faultfinder.job.record.record import SUFFIX, Record, job_path
from faultfinder.job.record.whole_file import refusals_told
from faultfinder.job.state import JobState, apply, begin, fold
from faultfinder.job.workshop.attachments import read_about
from faultfinder.job.workshop.bring_in import letters
from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import PackNotFound, RuleFileError
from faultfinder.terminal.commands.open_jobs import offered
from faultfinder.terminal.console.attachment_words import about_of, keep_about
from faultfinder.terminal.console.console import Face
from faultfinder.terminal.console.printed import aside
from faultfinder.terminal.console.session import converse, now
from faultfinder.terminal.own_meter import OwnMeter, own_meter
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words


def find_job(name: str, folder: Path) -> Path:
    """A record by its file, by its name in the jobs folder, or by the first letters of its name or of what stands
    behind the day. Raises RecordError, naming them, where several begin so."""
    as_file = Path(name)
    try:
        # What is no folder is read as a record, and told if it is none.
        if os.path.lexists(as_file) and not as_file.is_dir():
            return as_file
    except OSError:
        pass  # no name that a file can have
    path = job_path(folder, name)
    if os.path.lexists(path):
        return path
    begins = path.name.removesuffix(SUFFIX).casefold()
    try:
        names = record_names(folder, Disk())
    except OSError:
        return path
    stems = [each.removesuffix(SUFFIX) for each in names]
    found = [stem for stem in stems if stem.casefold().startswith(begins) or _behind_the_day(stem, begins)]
    if len(found) > 1:
        some = ", ".join(plain_text(stem) for stem in found[:MOST_NAMED])
        more = (" " + say("trace_more", count=len(found) - MOST_NAMED)) if len(found) > MOST_NAMED else ""
        raise RecordError(say("new_job_may_type_more_its", name=plain_text(name), some=some, more=more))
    return folder / f"{found[0]}{SUFFIX}" if found else path


MOST_NAMED = 6
"""Jobs named where several begin with what was typed; chosen."""


def _behind_the_day(stem: str, begins: str) -> bool:
    """Whether the letters behind the day of a name of the program's own begin so."""
    return re.fullmatch(r"\d{4}-\d\d-\d\d-[a-z]+", stem) is not None and stem[11:].startswith(begins)


def short_name(path: Path) -> str:
    """What a record is called for a person: its name alone where that finds it, else its file."""
    try:
        return path.stem if path == job_path(jobs_folder(), path.stem) else str(path)
    except FaultFinderError:
        return str(path)


RANDOM_LETTERS = 6
"""19 letters to choose from make 47 million names a day: four vans of 50 jobs each meet by chance once in two
thousand days, and then the copy is named anew. Chosen."""


def new_path(folder: Path) -> Path:
    """A record's name that is not taken, here nor on another machine: the day and letters by lot."""
    day = now().date().isoformat()
    while True:
        path = job_path(folder, f"{day}-{letters(secrets.randbits(64), RANDOM_LETTERS)}")
        # A link to nowhere stands in the way as well.
        if not os.path.lexists(path):
            return path


def begun(asked: argparse.Namespace, face: Face, folder: Path, chosen: str | Path) -> int:
    """A new job by the pack chosen."""
    pack = load_pack(chosen)
    meter = own_meter()
    about = _about(getattr(asked, "about", ""))
    if getattr(asked, "no_record", False):
        job = _with_seen(begin(pack), None, folder, asked)
        return converse(face, None, start(replace(job, meter=meter.meter if meter else None)))
    opened = Opened(pack.name, pack.version, pack.fingerprint, at=now().isoformat())
    path = new_path(folder)
    with Record.create(path, opened) as record:
        if about:
            keep_about(path, about)
        for problem in record.contents.problems:
            aside(problem)
        job, _ = fold(pack, [opened])
        job = _with_seen(_with_meter(job, record, meter), record, folder, asked)
        return converse(face, record, start(job, short_name(path)), rules=lambda: load_pack(chosen))


def _about(named: str) -> dict[str, str]:
    """Who and where as a file says. Raises RecordError for one that cannot be read, before anything is begun."""
    if not named:
        return {}
    with refusals_told("cannot_be_read", named, reading=True):
        return read_about(Disk().read(Path(named)), named)


def _with_meter(job: JobState, record: Record, meter: OwnMeter | None) -> JobState:
    """The job with the person's own meter, noted in the record where it does not stand there yet; without a file
    of one, the meter that the record names goes on to count."""
    if meter is None or meter.meter == job.meter:
        return job
    aside(say("new_job_faultfinder_readings_count_with", path=meter.path))
    used = MeterUsed(meter.ranges, at=now().isoformat())
    record.append(used)
    return apply(job, used)


def _with_seen(job: JobState, record: Record | None, folder: Path, asked: argparse.Namespace) -> JobState:
    """The job with what the workshop has seen, where that is switched on and not in its record yet."""
    from faultfinder.terminal.workshop_counts import asked_for, seen_event

    if job.seen is not None or not asked_for(asked):
        return job
    seen = seen_event(job.pack, folder)
    if seen is None:
        aside(f"faultfinder: {say('seen_none')}")
        return job
    parts = in_lines(replace(seen, at=now().isoformat()))
    if record is not None:
        record.append(*parts)
    for part in parts:
        job = apply(job, part)
    return job


def pack_of(contents: Contents, path: Path, named: str = "") -> Pack:
    """The pack that a record names, or the one asked for. Raises RecordError where the record names none."""
    opened = opening(contents.events)
    if opened is None and not named:
        raise RecordError(say("new_job_does_not_begin_with", path=path))
    wanted = named or (opened.pack if opened else "").replace("\0", "?")
    beside = path.parent / wanted
    if not named and wanted not in shipped_packs() and beside.exists():
        return load_pack(beside)
    try:
        pack = load_pack(wanted)
        if opened is not None and _for_another(opened, contents, pack):
            begun, here = plain_text(opened.pack), plain_text(pack.name)
            raise RecordError(say("new_job_begun_with_rules_for", path=path, pack=begun, name=here))
        return pack
    except PackNotFound as problem:
        if named:
            raise
        text = say("new_job_begun_with_rules_which", path=path, wanted=plain_text(wanted))
        raise RecordError(text) from problem


def _for_another(opened: Opened, contents: Contents, pack: Pack) -> bool:
    """Whether a pack is for another appliance than the one that a job was begun with: of the rules of that name, or
    where they are not here of what was answered, it knows less than half."""
    if Path(opened.pack).name == pack.name:
        return False
    try:
        names = set(load_pack(opened.pack).observations)
    except (PackNotFound, RuleFileError, ValueError):
        names = {event.observation for event in contents.events if isinstance(event, Answered | Corrected)}
    return 2 * len(names & set(pack.observations)) < len(names)


def resumed(asked: argparse.Namespace, face: Face, folder: Path) -> int:
    """A job taken up again."""
    found = find_job(asked.job, folder) if asked.job else offered(face, folder)
    if found is None:
        return Exit.OK
    path, named = found, getattr(asked, "pack", "")
    about = _about(getattr(asked, "about", ""))
    with Record.open(path) as record:
        if about:
            keep_about(path, {**about_of(path), **about})
        contents = record.contents
        for problem in contents.problems:
            aside(problem)
        if contents.damaged:
            aside(say("new_job_faultfinder_damaged_what_can", path=path))
        pack = pack_of(contents, path, named)
        job, troubles = fold(pack, contents.events)
        for position, why in troubles:
            aside(say("line_not_taken", file=path, line=contents.lines[position], why=why))
        if job.rules_changed:
            aside(say("new_job_faultfinder_rules_have_changed"))
        if job.closed is not None:
            aside(say("new_job_faultfinder_job_closed", state=closing_words(job.closed.state)))
        if job.closed is None:
            job = _with_meter(job, record, own_meter())
            job = _with_seen(job, record, folder, asked)
        try:
            turn = start(job, short_name(path), resumed=True)
        except FaultFinderError as problem:
            aside(f"faultfinder: {problem}")
            return Exit.WRONG_USE
        return converse(face, record, turn, rules=lambda: pack_of(contents, path, named))
