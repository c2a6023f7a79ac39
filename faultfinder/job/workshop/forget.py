"""A job without the person: who and where goes, and so does every free text; the technical record stays.

Free texts are the complaint in the customer's words, remarks, words at pictures, the reason to go on after a stop and
what was done about something that the rules had forgotten:
whatever a person wrote freely may name somebody. What was answered, measured and done is untouched, so that the job
comes out the same and is counted as before.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from html import escape
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import REMOVED, Event
from faultfinder.job.history.index import INDEX
from faultfinder.job.history.search import ODD, record_names
from faultfinder.job.record.event_codec import Place, mark_of, plain_text, to_line
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import SUFFIX, Record, header, read_record
from faultfinder.job.record.whole_file import clear_halves, put_in_place, refusals_told
from faultfinder.job.workshop.attachments import about_path, beside, read_about
from faultfinder.text.catalogue import say
from faultfinder.text.english import SENTENCES as ENGLISH

LEAST = 3
"""Shorter texts are not looked for in other files: they stand everywhere."""


def forgotten(events: Iterable[Event]) -> tuple[Event, ...]:
    """The events without what a person wrote freely."""
    return tuple(
        replace(event, **{event.FREE: REMOVED}) if event.FREE and getattr(event, event.FREE) else event
        for event in events
    )


def free_texts(events: Iterable[Event]) -> tuple[str, ...]:
    """What a person wrote freely in a record, each text once."""
    texts = dict.fromkeys(str(getattr(event, event.FREE)) for event in events if event.FREE)
    return tuple(text for text in texts if text.strip() and text != REMOVED)


def is_forgotten(lines: Sequence[str]) -> bool:
    """Whether the entries of a record, as they read, were pruned."""
    return any(f'"{REMOVED}"' in line for line in lines)


# -- on the disk ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Forgotten:
    """What was done for one record. removed: names of files that are gone. still: names of files in the folder that
    hold words of the person and are none of the program's own: they are left, and must be looked at."""

    record: Path
    removed: tuple[str, ...] = ()
    still: tuple[str, ...] = ()


def forget(record: Path, files: Disk) -> Forgotten:
    """Take the person from a job: its record is written again without free texts, and its file of who and where, its
    pictures, the index over the folder and every report of the program's own that names it are removed. Raises
    RecordError where the record is damaged or in use: then nothing has been done."""
    with Record.open(record, files) as held:
        contents = held.contents
        if contents.damaged or not contents.events:
            raise RecordError(say("forget_damaged_nothing_forgotten_put", record=plain_text(str(record))))
        folder = record.parent
        mine = beside(record, files)
        about = about_path(record)
        person = read_about(files.read(about)) if about in mine else {}
        sought = _sought([*free_texts(contents.events), *person.values()])
        new = forgotten(contents.events)
        # A whole record, its lines numbered anew and each with its own check.
        mark = mark_of(new[0])
        lines = (to_line(event, Place(mark, number)) + "\n" for number, event in enumerate(new, 1))
        with refusals_told("cannot_be_written", record):
            put_in_place(record, (header() + "".join(lines)).encode("utf-8"), files)
    # The index over the folder holds what is searched: it is made anew from the records.
    removed = [*mine, *(folder / name for name in files.names(folder) if name.startswith(INDEX))]
    halves = clear_halves(folder, files)
    still = []
    for name in files.names(folder):
        path = folder / name
        if path in removed or path == record or not files.is_file(path):
            continue
        try:
            text = files.read(path).decode("utf-8", "replace")
        except OSError:
            still.append(name)
            continue
        if is_report(text) and names_job(text, record):
            removed.append(path)
        elif any(word in text for word in sought) and not name.endswith(SUFFIX):
            still.append(name)
    for path in removed:
        with refusals_told("cannot_be_removed", path):
            files.remove(path)
    files.sync_folder(folder)
    return Forgotten(record, (*halves, *(path.name for path in removed)), tuple(still))


def same_job(record: Path, files: Disk) -> list[Path]:
    """The record and every other of the folder that is of the same job: what went on in a file beside it, or was
    brought in at odds with it. Raises RecordError where there is no such record."""
    first = forgotten(read_record(record, files).events[:2])
    out = [record]
    for name in record_names(record.parent, files):
        path = record.with_name(name)
        if path == record:
            continue
        try:
            if len(first) == 2 and forgotten(read_record(path, files).events[:2]) == first:
                out.append(path)
        except (FaultFinderError, *ODD):
            continue
    return out


def _sought(texts: Iterable[str]) -> tuple[str, ...]:
    """The texts as they may stand in a file: plain, in HTML, in JSON."""
    out: dict[str, None] = {}
    for text in texts:
        if len(text.strip()) >= LEAST:
            out.update(dict.fromkeys((text, escape(text, quote=True), json.dumps(text)[1:-1])))
    return tuple(out)


def is_report(text: str) -> bool:
    """Whether a text is a report of the program's own: a page, its JSON, or its Markdown."""
    head, keys = text[:600], ("report_title", "report_title_workshop")
    # Its title, in the language of now or in the one that others fall back on.
    titles = [*(say(key, pack="") for key in keys), *(ENGLISH[key].format(pack="") for key in keys)]
    return (
        'name="generator" content="faultfinder"' in head
        or (head.startswith('{\n "format": ') and '"form": ' in head)
        or head.startswith(tuple(f"# {title}" for title in titles))
    )


def names_job(text: str, record: Path) -> bool:
    """Whether a report is of this job."""
    name = record.name.removesuffix(SUFFIX)
    ways = {name, escape(name), name.replace("_", "\\_")}
    return any(re.search(rf"(?<![\w-]){re.escape(way)}(?![\w-])", text) for way in ways)
