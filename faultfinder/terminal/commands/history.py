"""`faultfinder history`: how common each fault really was here, return visits and minutes, and several vans together.

It only shows: rules are blended with what was seen where somebody switches that on, and then it is said.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from faultfinder.arguments import add_folder, add_json, add_replace
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.job.history.exchange import take_in, written
from faultfinder.job.history.history import WEIGHT, ClosedJob, Count, blend_of, counts, of_pack, totals
from faultfinder.job.history.index import seen
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.whole_file import refusals_told, write_whole
from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Pack
from faultfinder.terminal.console.printed import shown
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.console.render import carried, wrap
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words, minutes_text, name_of, percent


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `history`."""
    add_folder(command)
    add_json(command)
    command.add_argument("--export", metavar="FILE", help=say("arguments_write_counts_down_put"))
    add_replace(command)
    command.add_argument(
        "--import",
        dest="import",
        nargs="+",
        metavar="FILE",
        default=[],
        help=say("arguments_add_these_counts"),
    )


def run(asked: argparse.Namespace) -> int:
    """Take in what others have seen, count all, and write or show it; status 1 where a record is left out."""
    folder = jobs_folder(asked.folder)
    disk = Disk()
    taken = [Path(name) for name in getattr(asked, "import", None) or ()]
    jobs, problems = _seen(folder, disk)
    if taken:
        before = len(jobs)
        take_in(folder, taken, disk)
        jobs, problems = _seen(folder, disk)
        print(say("history_taken_in_jobs_were", count=len(jobs) - before), file=sys.stderr)
    for problem in problems:
        print(shown(f"faultfinder: {problem}"), file=sys.stderr)
    packs = {name: _pack(name, folder) for name in sorted({job.pack for job in jobs})}
    target = getattr(asked, "export", "") or ""
    if target:
        choices = {name: _choices(pack) for name, pack in packs.items() if pack is not None}
        write_whole(target, written(jobs, choices), over=getattr(asked, "replace", False))
        print(shown(say("history_written_jobs", count=len(jobs), target=target)))
    elif asked.json:
        print(json.dumps([_mapping(name, pack, jobs) for name, pack in packs.items()], indent=1))
    else:
        _show(packs, jobs, folder)
    return Exit.PROBLEMS if problems else Exit.OK


def _seen(folder: Path, disk: Disk) -> tuple[list[ClosedJob], tuple[str, ...]]:
    with refusals_told("cannot_be_looked_at", folder, reading=True), Progress(say("reading_the_records")):
        return seen(folder, disk)


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
    width = max(20, min(shutil.get_terminal_size((76, 24)).columns, 76))
    lines: list[str] = []
    if not jobs:
        lines += wrap(say("history_no_closed_job_in", folder=folder), width)
    for name, pack in packs.items():
        lines += [""] if lines else []
        lines += _told(name, pack, jobs, width)
    sys.stdout.write(carried("\n".join(lines) + "\n", sys.stdout.encoding or "utf-8"))


def _told(name: str, pack: Pack | None, jobs: Sequence[ClosedJob], width: int) -> Iterator[str]:
    mine = of_pack(name, jobs)
    if pack is None:
        yield from wrap(say("history_closed_jobs_its_rules", name=name, count=len(mine)), width)
        return
    total = totals(pack, jobs)
    yield from wrap(say("history_closed_jobs", title=pack.title, jobs=total.jobs), width)
    facts = [f"{closing_words(state)} {count}" for state, count in sorted(total.states.items())]
    facts += [
        say("history_return_visits", returned=total.returned),
        say("history_nothing_found", nothing_found=total.nothing_found),
    ]
    yield from wrap(", ".join(facts), width, "  ", "  ")
    if total.minutes:
        text = say("history_half_them_took_less", minutes=minutes_text(total.minutes))
        text += say("history_by_clock", by_clock=minutes_text(total.by_clock)) if total.by_clock else "."
        yield from wrap(text, width, "  ", "  ")
    found = sorted(counts(pack, jobs).values(), key=lambda count: (-count.found, count.cause))
    for count in found:
        if count.found:
            yield from _cause(pack, count, width)
    if total.unknown:
        gone = ", ".join(name_of(cause) for cause in total.unknown)
        yield from wrap(say("history_found_but_no_longer", gone=gone), width, "  ", "    ")
    yield from wrap(
        say("history_blended_what_rules_chance", weight=f"{WEIGHT:g}"),
        width,
    )


def _cause(pack: Pack, count: Count, width: int) -> Iterator[str]:
    cause = pack.causes[count.cause]
    yield from wrap(
        say("history_jobs", title=cause.title, found=count.found, jobs=count.jobs), width, "- ", "  "
    )
    text = say(
        "history_by_itself_rules_say",
        by_itself=percent(count.by_itself / count.jobs, 1),
        how_common=percent(cause.how_common, 1),
    )
    if not cause.after_our_work:
        text += say("history_blended", cause=percent(blend_of(cause, count), 1))
    yield from wrap(text, width, "  ", "  ")
    more = []
    if count.returned:
        more.append(say("history_return_visits", returned=count.returned))
    if count.missed:
        more.append(say("history_found_only_then", missed=count.missed))
    if count.minutes:
        more.append(say("history_half_took_less_than", minutes=minutes_text(count.minutes)))
    if more:
        yield from wrap("; ".join(more), width, "  ", "  ")


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
        "causes": {
            count.cause: {
                "jobs": count.jobs,
                "found": count.found,
                "by_itself": count.by_itself,
                "returned": count.returned,
                "missed": count.missed,
                "minutes": count.minutes,
                "how_common": pack.causes[count.cause].how_common,
                "blended": None
                if pack.causes[count.cause].after_our_work
                else blend_of(pack.causes[count.cause], count),
            }
            for count in counts(pack, jobs).values()
        },
    }
