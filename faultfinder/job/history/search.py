"""The jobs in a folder: open or closed, and found by any words in their records. Pure but for the disk it is given.

A job is found when every word asked for stands somewhere in its record: a complaint, a note, a fact, an answer, a
part of an id, the time, the state or the file's name; small and capital letters are alike. What cannot be read, or
only in part, is listed and told, never passed over.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path

from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import Contents, moment_of
from faultfinder.job.record.record import SUFFIX
from faultfinder.text.catalogue import say

OPEN, CLOSED, UNREADABLE = "open", "closed", "unreadable"
SOME = 3
"""Problems of one record that are shown; chosen."""


@dataclass(frozen=True, slots=True)
class Job:
    """One record of a folder. state: how it was closed, 'open', or 'unreadable'. began, last: as in the record, or
    empty. minutes: by the times in the rules, None while open. found: cause ids named at the end. words: all that
    is searched. problems: what is wrong with the file, a sentence each."""

    name: str
    path: Path
    state: str
    pack: str = ""
    began: str = ""
    last: str = ""
    complaint: str = ""
    minutes: float | None = None
    found: tuple[str, ...] = ()
    words: str = ""
    damaged: bool = False
    problems: tuple[str, ...] = ()


def fitting(found: Iterable[Job], words: Sequence[str]) -> list[Job]:
    """Those of the jobs that hold all the words, latest first."""
    sought = [word.casefold() for word in words]
    fit = (job for job in found if all(_fits(job, word) for word in sought))
    return sorted(fit, key=lambda job: (latest_at(job), job.name), reverse=True)


def _fits(job: Job, word: str) -> bool:
    """Whether a word stands in a job; `open` and `closed` ask for its state, since every record has such ids."""
    if word in (OPEN, CLOSED):
        return (job.state == OPEN) == (word == OPEN) and job.state != UNREADABLE
    return word in job.words


def latest_at(job: Job) -> float:
    """When it was last written to, as seconds; a time without a zone counts as UTC, none as long ago."""
    try:
        return moment_of(job.last).timestamp()
    except ValueError:
        return -math.inf


def record_names(folder: Path, files: Disk) -> list[str]:
    """The names of the records in a folder, in order; none where there is no such folder. Raises OSError."""
    try:
        names = files.names(folder)
    except FileNotFoundError:
        return []
    return [name for name in names if name.endswith(SUFFIX) and not name.startswith(".")]


ODD = (ArithmeticError, ValueError, RecursionError)
"""What one record may still raise by holding what nobody thought of: it is told, and the others are read all the
same."""


def odd(path: Path, error: Exception) -> str:
    """What is told of a record that makes such trouble."""
    return say("search_cannot_understood", path=path, name=type(error).__name__, why=error)


def unreadable(path: Path, problem: str) -> Job:
    """What can be said of a record that cannot be read."""
    name = path.name.removesuffix(SUFFIX)
    words = f"{name} {UNREADABLE} damaged".casefold()
    return Job(name, path, UNREADABLE, words=words, problems=(problem,), damaged=True)


def job_of(path: Path, contents: Contents) -> Job:
    """What a record's contents say of its job."""
    name = path.name.removesuffix(SUFFIX)
    events = contents.events
    times = [at for event in events if (at := event.at)]
    closed = closing(events)
    state = closed.state if closed else OPEN
    opened = happened.opening(events)
    complaint = " ".join(event.text for event in events if isinstance(event, happened.Complaint))
    problems = [str(problem) for problem in contents.problems]
    if not events and not contents.damaged:
        problems.append(say("search_holds_nothing_ever_kept", path=path))
    if len(problems) > SOME:
        problems = [*problems[:SOME], say("trace_more", count=len(problems) - SOME)]
    words = [name, state, "damaged" if contents.damaged else "", *_words(events)]
    return Job(
        name=name,
        path=path,
        state=state,
        pack=opened.pack if opened else "",
        began=times[0] if times else "",
        last=times[-1] if times else "",
        complaint=complaint,
        minutes=closed.minutes if closed else None,
        found=closed.found if closed else (),
        words="\n".join(_searched(word) for word in words if word),
        problems=tuple(problems),
        damaged=contents.damaged or not events,
    )


def closing(events: Iterable[Event]) -> happened.Closed | None:
    """How the job was closed; None while it is open, or was taken up again."""
    closed: happened.Closed | None = None
    for event in events:
        if isinstance(event, happened.Closed):
            closed = event
        elif isinstance(event, happened.Resumed):
            closed = None
    return closed


def _words(events: Iterable[Event]) -> Iterable[str]:
    """Every text in the events, each once, whatever it is called."""
    seen: dict[str, None] = {}
    for event in events:
        if isinstance(event, happened.Expect):
            continue
        for field in fields(event):
            value = getattr(event, field.name)
            if isinstance(value, str):
                seen[value] = None
            elif isinstance(value, tuple):
                seen.update((text, None) for text in value if isinstance(text, str))
            elif field.name == "minutes" and value:
                seen[f"{value:.0f} min"] = None
    return seen


def _searched(text: str) -> str:
    """A text as words are looked for in it: ids with and without their underlines, times with and without the T."""
    plain = text.casefold()
    spaced = plain.replace("_", " ")
    if len(plain) > 10 and plain[4:5] == plain[7:8] == "-" and plain[10] == "t":
        spaced = plain.replace("t", " ", 1)
    return plain if plain == spaced else f"{plain}\n{spaced}"


def as_mapping(job: Job) -> Mapping[str, object]:
    """A job for `--json`: all of it but what is searched."""
    told = {field.name: getattr(job, field.name) for field in fields(job) if field.name != "words"}
    return {**told, "path": str(job.path), "found": list(job.found), "problems": list(job.problems)}
