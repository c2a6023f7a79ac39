"""`faultfinder report`: a job written up, as Markdown, as an HTML page or as JSON; status 1 for a damaged record."""

from __future__ import annotations

import argparse
import json
import re
import shutil
import sys

from faultfinder.exits import Exit
from faultfinder.job.record import read_record, write_whole
from faultfinder.job.report import report_of
from faultfinder.job.report_json import mapping
from faultfinder.job.report_page import page
from faultfinder.job.report_says import CUSTOMER, WORKSHOP
from faultfinder.job.report_text import markdown
from faultfinder.terminal.before import jobs_folder
from faultfinder.terminal.new_job import find_job, pack_of
from faultfinder.terminal.render import carried, shown, wrap

_LEAD = re.compile(r"^(\s*(?:[-#>]+ )?)(.*)$")


def run(asked: argparse.Namespace) -> int:
    """Write the report where it was asked for; what is wrong with the record goes to the error stream."""
    path = find_job(asked.job, jobs_folder(asked.folder))
    contents = read_record(path)
    pack = pack_of(contents, path, getattr(asked, "pack", ""))
    form = getattr(asked, "form", "") or CUSTOMER
    problems = [str(problem) for problem in contents.problems]
    report = report_of(
        pack,
        contents.events,
        job=path.stem,
        workshop=form == WORKSHOP,
        problems=problems,
        lines=contents.lines,
    )
    for problem in report.problems:
        print(shown(f"faultfinder: {problem}"), file=sys.stderr)
    target = getattr(asked, "html", "") or ""
    if asked.json:
        # ASCII, so that no character of a text can drive the terminal.
        print(json.dumps(mapping(report, form), indent=1, allow_nan=False))
    elif target == "-":
        _print(page(report, form))
    elif target:
        write_whole(target, page(report, form), over=getattr(asked, "replace", False))
        print(shown(f"Written: {target}"))
    else:
        text = markdown(report, form)
        _print(wrapped(text, shutil.get_terminal_size((76, 24)).columns) if sys.stdout.isatty() else text)
    return Exit.PROBLEMS if contents.damaged else Exit.OK


def wrapped(text: str, columns: int) -> str:
    """Markdown broken to the width of a screen, the marks of lists and quotes kept."""
    out: list[str] = []
    for line in text.splitlines():
        found = _LEAD.match(line)
        lead, words = (found[1], found[2]) if found else ("", line)
        rest = lead if lead.strip() == ">" else " " * len(lead)
        out += wrap(words, max(20, columns), lead, rest) if words else [line]
    return "\n".join(out) + "\n"


def _print(text: str) -> None:
    sys.stdout.write(carried(text, sys.stdout.encoding or "utf-8"))
