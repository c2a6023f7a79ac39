"""The open jobs of a folder, for whoever takes one up again without its name at hand."""

from __future__ import annotations

from pathlib import Path

from faultfinder.dialogue.say import Ask, error, note, options, question
from faultfinder.errors import FaultFinderError
from faultfinder.job.history.index import listed
from faultfinder.job.history.search import OPEN, Job
from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.whole_file import refusals_told
from faultfinder.terminal.console.alarm import left_for_danger
from faultfinder.terminal.console.console import Face
from faultfinder.terminal.console.printed import shown
from faultfinder.text.catalogue import say
from faultfinder.text.format import moment, quoted

MOST = 6
"""Jobs offered, the latest; chosen so that they fit a phone."""
WORDS_SHOWN = 60
"""Letters of a complaint beside a job that is offered; chosen."""


def offered(face: Face, folder: Path) -> Path | None:
    """The job that the person chooses of the latest open ones; None when they leave. Raises FaultFinderError where
    none is open."""
    with refusals_told("cannot_be_looked_at", folder, reading=True):
        jobs = [job for job in listed(folder, Disk()) if job.state == OPEN]
    if not jobs:
        raise FaultFinderError(say("open_jobs_none", folder=folder))
    latest = jobs[:MOST]
    names = [job.name for job in latest]
    asked = question(say("open_jobs_which" if len(jobs) > 1 else "open_jobs_one"))
    face.show([asked, *options([(job.name, _told(job)) for job in latest])])
    if len(jobs) > MOST:
        face.show([note(say("open_jobs_more", count=len(jobs) - MOST))])
    while True:
        try:
            typed = face.ask(Ask(say("label_job"), (*names, "stop"))).strip().casefold()
        except (EOFError, KeyboardInterrupt):
            return None
        if typed in ("stop", "quit", "exit", "none") or left_for_danger(face, typed):
            return None
        if not typed and len(jobs) == 1:
            return latest[0].path  # there is nothing to choose
        if typed.isascii() and typed.isdigit() and 1 <= int(typed[:6]) <= len(latest):
            return latest[int(typed[:6]) - 1].path
        fits = [job.path for job in jobs if typed and typed in job.name.casefold()]
        if len(fits) == 1:
            return fits[0]
        face.show([error(say("open_jobs_choose"))])


def _told(job: Job) -> str:
    when = moment(job.last or job.began)
    complaint = f', "{shown(quoted(job.complaint, WORDS_SHOWN))}"' if job.complaint else ""
    return f"{plain_text(job.name)}, {when}{complaint}" if when else f"{plain_text(job.name)}{complaint}"
