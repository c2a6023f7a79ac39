"""`faultfinder jobs`: the open and closed jobs, those that hold all the words; status 1 where one is damaged."""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Iterator, Sequence
from pathlib import Path

from faultfinder.arguments import add_folder, add_json, between
from faultfinder.exits import Exit
from faultfinder.job.history.index import listed
from faultfinder.job.history.search import OPEN, UNREADABLE, Job, as_mapping, latest_at
from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import SUFFIX
from faultfinder.job.record.whole_file import clear_halves, reason_of
from faultfinder.job.workshop.bring_in import AT_ODDS, KNOWN, LEFT, LONGER, NEW, Brought, bring_in
from faultfinder.job.workshop.forget import forget, same_job
from faultfinder.terminal.commands.new_job import find_job
from faultfinder.terminal.console.printed import aside, shown
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.console.render import screen_width, wrap, write_out
from faultfinder.terminal.console.session import now
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import has, say
from faultfinder.text.format import minutes_text, moment, name_of

STATES = {OPEN: "open", UNREADABLE: "unreadable"}
"""States that a job is listed in besides those that it can be closed in -> the last word of their key."""
LONGEST = 160
"""Letters of a complaint that are shown; chosen."""


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `jobs`."""
    records, days = say("arguments_bring_in_records_other"), say("arguments_with_forget_from_every")
    command.add_argument("words", nargs="*", metavar="WORD", help=say("arguments_only_jobs_whose_record"))
    command.add_argument("--import", dest="bring_in", nargs="+", metavar="FOLDER", default=[], help=records)
    command.add_argument("--forget", nargs="*", metavar="JOB", help=say("arguments_remove_person_from_these"))
    command.add_argument("--older-than", type=between(0, 100_000), metavar="DAYS", help=days)
    add_folder(command)
    add_json(command)


def run(asked: argparse.Namespace) -> int:
    """List them, latest first; or bring in those of other folders, or take the person from some."""
    folder = jobs_folder(asked.folder)
    if asked.bring_in:
        return bring(folder, [Path(name) for name in asked.bring_in], asked.json)
    if asked.forget is not None:
        return forget_jobs(folder, asked.forget, asked.older_than)
    words = " ".join(asked.words).split()
    try:
        for name in clear_halves(folder, Disk()) if folder.is_dir() else ():
            aside(say("jobs_faultfinder_removed_what_write", name=name))
        with Progress(say("reading_the_records")):
            found = listed(folder, Disk(), words)
    except OSError as error:
        raise RecordError(
            say("cannot_be_looked_at", what=folder, why=reason_of(error, reading=True))
        ) from error
    status = Exit.PROBLEMS if any(job.damaged for job in found) else Exit.OK
    if asked.json:
        print(json.dumps([as_mapping(job) for job in found], indent=1))
        return status
    width = screen_width()
    if not found:
        beside = f" {say('jobs_with', names=' '.join(words))}" if words else ""
        _print(wrap(f"{say('jobs_no_jobs_in', folder=folder)}{beside}.", width))
    else:
        _print([line for job in found for line in told(job, width)])
    return status


KINDS = {NEW: "new", KNOWN: "known", LONGER: "longer", AT_ODDS: "at_odds", LEFT: "left"}
"""What became of a record that was brought in -> the last word of its key."""


def bring(folder: Path, sources: Sequence[Path], as_json: bool) -> int:
    """Bring records in and tell what became of each; status 1 where one was left or is at odds."""
    with Progress(say("jobs_bringing_in")) as progress:
        found = bring_in(folder, sources, Disk(), progress.at)
    if as_json:
        rows = [
            {"source": str(each.source), "kind": each.kind, "name": each.name, "why": each.why}
            for each in found
        ]
        print(json.dumps(rows, indent=1))
    else:
        _print([*_brought(found)])
    return Exit.PROBLEMS if any(each.kind in (LEFT, AT_ODDS) for each in found) else Exit.OK


def _brought(found: Sequence[Brought]) -> Iterator[str]:
    width = screen_width()
    yield from wrap(say("jobs_records_looked_at", count=len(found)), width)
    for kind, word in KINDS.items():
        some = [each for each in found if each.kind == kind]
        if not some:
            continue
        yield from wrap(say(f"brought_{word}", count=len(some)), width)
        if kind != KNOWN:
            for each in some:
                yield from wrap(_one(each), width, "  ", "    ")


def _one(each: Brought) -> str:
    source = plain_text(each.source.name.removesuffix(SUFFIX))
    if each.kind == LEFT:
        return f"{plain_text(str(each.source))}: {plain_text(each.why)}"
    name = plain_text(each.name)
    return source if name == source else say("jobs_here_called", source=source, name=name)


def forget_jobs(folder: Path, names: Sequence[str], older_than: int | None) -> int:
    """Take the person from jobs by name, or by age; status 1 where something could not be done or is left over."""
    if not names and older_than is None:
        raise RecordError(say("jobs_name_jobs_forget_give"))
    paths = [find_job(name, folder) for name in names]
    if older_than is not None:
        latest = now().timestamp() - older_than * 86_400
        old = (job for job in listed(folder, Disk()) if -math.inf < latest_at(job) <= latest)
        paths += [job.path for job in old if job.state != UNREADABLE]
    status, lines, width = Exit.OK, [], screen_width()
    for path in dict.fromkeys(each for named in paths for each in same_job(named, Disk())):
        try:
            done = forget(path, Disk())
        except RecordError as error:
            aside(f"faultfinder: {error}")
            status = Exit.PROBLEMS
            continue
        gone = say("jobs_removed", names=", ".join(map(plain_text, done.removed))) if done.removed else ""
        lines += wrap(say("jobs_forgotten", stem=plain_text(path.stem), gone=gone), width, "", "  ")
        if done.still:
            status = Exit.PROBLEMS
            still = ", ".join(map(plain_text, done.still))
            lines += wrap(say("jobs_look_at_they_hold", names_left=still), width, "  ", "    ")
    _print(lines or [say("jobs_no_job_old")])
    return status


def _print(lines: Sequence[str]) -> None:
    write_out("\n".join(lines) + "\n")


def _state(state: str) -> str:
    key = f"job_state_{STATES.get(state, state)}"
    return say(key) if has(key) else name_of(state)


def told(job: Job, width: int) -> list[str]:
    """A job in lines: its name and state, when and how long, the complaint, and what is wrong with its record."""
    lines = wrap(f"{plain_text(job.name)}  {_state(job.state)}", width, "", "  ")
    facts = [moment(job.last or job.began)] if job.last or job.began else []
    if job.minutes:
        facts.append(minutes_text(job.minutes))
    if job.pack:
        facts.append(name_of(job.pack))
    if facts:
        lines += wrap(", ".join(facts), width, "  ", "  ")
    if job.complaint:
        text = job.complaint if len(job.complaint) <= LONGEST else job.complaint[: LONGEST - 3] + "..."
        lines += wrap(f'"{shown(text)}"', width, "  ", "  ")
    if job.found:
        found = say("jobs_found", names=", ".join(map(name_of, job.found)))
        lines += wrap(found, width, "  ", "    ")
    for problem in job.problems:
        lines += wrap(say("jobs_problem", problem=plain_text(problem)), width, "  ", "    ")
    return lines
