"""`faultfinder jobs`: the open and closed jobs, those that hold all the words; status 1 where one is damaged."""

from __future__ import annotations

import argparse
import json
import shutil
import sys

from faultfinder.exits import Exit
from faultfinder.job.history_index import listed
from faultfinder.job.line import plain_text
from faultfinder.job.record import RecordError
from faultfinder.job.report_words import minutes_text, moment, name_of
from faultfinder.job.seam import Disk
from faultfinder.job.search import OPEN, UNREADABLE, Job, as_mapping
from faultfinder.job.whole_file import reason_of
from faultfinder.terminal.before import jobs_folder
from faultfinder.terminal.render import carried, shown, wrap

STATES = {
    OPEN: "open",
    "fit_for_use": "closed, fit for use",
    "left_isolated": "closed, LEFT OUT OF USE",
    "handed_over": "closed, handed over",
    UNREADABLE: "CANNOT BE READ",
}
LONGEST = 160
"""Letters of a complaint that are shown; chosen."""


def run(asked: argparse.Namespace) -> int:
    """List them, latest first."""
    folder = jobs_folder(asked.folder)
    words = " ".join(asked.words).split()
    try:
        found = listed(folder, Disk(), words)
    except OSError as error:
        raise RecordError(f"{folder} cannot be looked at: {reason_of(error, reading=True)}.") from error
    status = Exit.PROBLEMS if any(job.damaged for job in found) else Exit.OK
    if asked.json:
        print(json.dumps([as_mapping(job) for job in found], indent=1))
        return status
    width = max(20, min(shutil.get_terminal_size((76, 24)).columns, 76))
    lines = [line for job in found for line in told(job, width)]
    if not found:
        lines = wrap(f"No jobs in {folder}" + (f" with: {' '.join(words)}" if words else "") + ".", width)
    sys.stdout.write(carried("\n".join(lines) + "\n", sys.stdout.encoding or "utf-8"))
    return status


def told(job: Job, width: int) -> list[str]:
    """A job in lines: its name and state, when and how long, the complaint, and what is wrong with its record."""
    lines = wrap(f"{plain_text(job.name)}  {STATES.get(job.state, name_of(job.state))}", width, "", "  ")
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
        lines += wrap("Found: " + ", ".join(name_of(name) for name in job.found), width, "  ", "    ")
    for problem in job.problems:
        lines += wrap(f"PROBLEM: {plain_text(problem)}", width, "  ", "    ")
    return lines
