"""`faultfinder history`: how common each fault really was here, return visits and minutes, and several vans together.

It only shows: rules are blended with what was seen where somebody switches that on, and then it is said.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from faultfinder.arguments import add_folder, add_json, add_replace
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.history.exchange import take_in, written
from faultfinder.job.history.history import WEIGHT, ClosedJob, Count, blend_of, counts, of_pack, totals
from faultfinder.job.history.index import seen
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.whole_file import reason_of, write_whole
from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Cause, Pack
from faultfinder.terminal.console.printed import aside, tell
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.console.render import screen_width, wrap, write_out
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words, minutes_text, name_of, percent


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `history`."""
    add_folder(command)
    add_json(command)
    add_these = say("arguments_add_these_counts")
    command.add_argument("--export", metavar="FILE", help=say("arguments_write_counts_down_put"))
    add_replace(command)
    command.add_argument("--import", dest="taken", nargs="+", metavar="FILE", default=[], help=add_these)


def run(asked: argparse.Namespace) -> int:
    """Take in what others have seen, count all, and write or show it; status 1 where a record is left out."""
    folder = jobs_folder(asked.folder)
    disk = Disk()
    jobs, problems = _seen(folder, disk)
    if asked.taken:
        before = len(jobs)
        take_in(folder, [Path(name) for name in asked.taken], disk)
        jobs, problems = _seen(folder, disk)
        aside(say("history_taken_in_jobs_were", count=len(jobs) - before))
    for problem in problems:
        aside(f"faultfinder: {problem}")
    packs = {name: _pack(name, folder) for name in sorted({job.pack for job in jobs})}
    if asked.export:
        choices = {name: _choices(pack) for name, pack in packs.items() if pack is not None}
        write_whole(asked.export, written(jobs, choices), over=asked.replace)
        tell("history_written_jobs", count=len(jobs), target=asked.export)
    elif asked.json:
        print(json.dumps([_mapping(name, pack, jobs) for name, pack in packs.items()], indent=1))
    else:
        _show(packs, jobs, folder)
    return Exit.PROBLEMS if problems else Exit.OK


def _seen(folder: Path, disk: Disk) -> tuple[list[ClosedJob], tuple[str, ...]]:
    try:
        with Progress(say("reading_the_records")):
            return seen(folder, disk)
    except OSError as error:
        raise RecordError(
            say("cannot_be_looked_at", what=folder, why=reason_of(error, reading=True))
        ) from error


def _pack(name: str, folder: Path) -> Pack | None:
    """The rules of that name: shipped, or beside the records; None where they are not here."""
    beside = folder / Path(name).name
    try:
        if name in shipped_packs():
            return load_pack(name)
        return load_pack(beside) if beside.exists() else None
    except FaultFinderError:
        return None


def _choices(pack: Pack) -> list[str]:
    return [name for name, fact in pack.facts.items() if fact.kind == "choice"]


def _show(packs: dict[str, Pack | None], jobs: Sequence[ClosedJob], folder: Path) -> None:
    """One paragraph after another, an empty line between two packs."""
    told = [[*_told(name, pack, jobs)] for name, pack in packs.items()]
    told = told if jobs else [[(say("history_no_closed_job_in", folder=folder), "", "")]]
    width = screen_width()
    texts = ("\n".join(line for each in some for line in wrap(each[0], width, *each[1:])) for some in told)
    write_out("\n\n".join(texts) + "\n")


Paragraph = tuple[str, str, str]
"""A text, and what its first line and its others begin with."""


def _told(name: str, pack: Pack | None, jobs: Sequence[ClosedJob]) -> Iterator[Paragraph]:
    if pack is None:
        yield say("history_closed_jobs_its_rules", name=name, count=len(of_pack(name, jobs))), "", ""
        return
    total = totals(pack, jobs)
    yield say("history_closed_jobs", title=pack.title, jobs=total.jobs), "", ""
    facts = [f"{closing_words(state)} {count}" for state, count in sorted(total.states.items())]
    facts.append(say("history_return_visits", returned=total.returned))
    facts.append(say("history_nothing_found", nothing_found=total.nothing_found))
    yield ", ".join(facts), "  ", "  "
    if total.minutes:
        text = say("history_half_them_took_less", minutes=minutes_text(total.minutes))
        text += say("history_by_clock", by_clock=minutes_text(total.by_clock)) if total.by_clock else "."
        yield text, "  ", "  "
    for count in sorted(counts(pack, jobs).values(), key=lambda count: (-count.found, count.cause)):
        if count.found:
            yield from _cause(pack, count)
    if total.unknown:
        gone = ", ".join(name_of(cause) for cause in total.unknown)
        yield say("history_found_but_no_longer", gone=gone), "  ", "    "
    yield say("history_blended_what_rules_chance", weight=f"{WEIGHT:g}"), "", ""


def _cause(pack: Pack, count: Count) -> Iterator[Paragraph]:
    cause = pack.causes[count.cause]
    yield say("history_jobs", title=cause.title, found=count.found, jobs=count.jobs), "- ", "  "
    text = say(
        "history_by_itself_rules_say",
        by_itself=percent(count.by_itself / count.jobs, 1),
        how_common=percent(cause.how_common, 1),
    )
    if not cause.after_our_work:
        text += say("history_blended", cause=percent(blend_of(cause, count), 1))
    yield text, "  ", "  "
    more = []
    if count.returned:
        more.append(say("history_return_visits", returned=count.returned))
    if count.missed:
        more.append(say("history_found_only_then", missed=count.missed))
    if count.minutes:
        more.append(say("history_half_took_less_than", minutes=minutes_text(count.minutes)))
    if more:
        yield "; ".join(more), "  ", "  "


def _mapping(name: str, pack: Pack | None, jobs: Sequence[ClosedJob]) -> dict[str, Any]:
    if pack is None:
        return {"pack": name, "jobs": len(of_pack(name, jobs)), "rules": None}
    total = totals(pack, jobs)
    return {
        "pack": name,
        "rules": {"version": pack.version, "fingerprint": pack.fingerprint},
        "jobs": total.jobs,
        "returned": total.returned,
        "nothing_found": total.nothing_found,
        "minutes": total.minutes,
        "by_clock": total.by_clock,
        "states": dict(total.states),
        "unknown": list(total.unknown),
        "weight": WEIGHT,
        "causes": {name: _count(pack.causes[name], count) for name, count in counts(pack, jobs).items()},
    }


def _count(cause: Cause, count: Count) -> dict[str, Any]:
    blended = None if cause.after_our_work else blend_of(cause, count)
    known = {name: value for name, value in asdict(count).items() if name != "cause"}
    return {**known, "how_common": cause.how_common, "blended": blended}
