"""`faultfinder report`: a job written up, as Markdown, as an HTML page or as JSON; status 1 for a damaged record."""

from __future__ import annotations

import argparse
import json
import os
import re
import shutil
import sys
from pathlib import Path

from faultfinder.arguments import add_folder, add_job, add_json, add_replace
from faultfinder.exits import Exit
from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import read_record
from faultfinder.job.record.whole_file import reason_of, write_whole
from faultfinder.job.workshop.prices import PriceList, read_prices
from faultfinder.report.findings import report_of
from faultfinder.report.json import mapping
from faultfinder.report.model import FORMS, WORKSHOP
from faultfinder.report.page import page
from faultfinder.report.text import markdown
from faultfinder.terminal.commands.new_job import find_job, pack_of
from faultfinder.terminal.console.attachment_words import about_of, pictures_of
from faultfinder.terminal.console.printed import aside, tell
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.console.render import wrap, write_out
from faultfinder.terminal.own_meter import settings_folder
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say

_LEAD = re.compile(r"^(\s*(?:[-#>]+ )?)(.*)$")


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `report`."""
    add_job(command)
    command.add_argument("--form", choices=FORMS, default=FORMS[0], help=say("arguments_for_whom"))
    command.add_argument("--html", metavar="FILE", help=say("arguments_write_printable_page_instead"))
    add_replace(command)
    command.add_argument("--prices", metavar="FILE", default="", help=say("arguments_csv_part_price_stock"))
    command.add_argument("--without-about", action="store_true", help=say("arguments_leave_out_who_where"))
    add_folder(command)
    command.add_argument("--pack", default="", help=say("arguments_write_up_by_pack"))
    add_json(command)


def run(asked: argparse.Namespace) -> int:
    """Write the report where it was asked for; what is wrong with the record goes to the error stream."""
    path = find_job(asked.job, jobs_folder(asked.folder))
    contents = read_record(path)
    pack = pack_of(contents, path, asked.pack)
    form, target = asked.form, asked.html
    with Progress(say("report_writing_up")):
        report = report_of(
            pack,
            contents.events,
            job=path.stem,
            workshop=form == WORKSHOP,
            problems=[str(problem) for problem in contents.problems],
            lines=contents.lines,
            about={} if asked.without_about else about_of(path),
            pictures=pictures_of(path, contents.events) if target else {},
            prices=own_prices(asked.prices),
        )
    for problem in report.problems:
        aside(f"faultfinder: {problem}")
    if asked.json:
        # ASCII, so that no character of a text can drive the terminal.
        print(json.dumps(mapping(report, form), indent=1, allow_nan=False))
    elif target == "-":
        write_out(page(report, form))
    elif target:
        write_whole(target, page(report, form), over=asked.replace)
        tell("written_to", what=target)
    else:
        text = markdown(report, form)
        columns = shutil.get_terminal_size((76, 24)).columns
        write_out(wrapped(text, columns) if sys.stdout.isatty() else text)
    return Exit.PROBLEMS if contents.damaged else Exit.OK


def own_prices(named: str) -> PriceList | None:
    """The workshop's list of parts: the file named, else what FAULTFINDER_PRICES names, else `prices.csv` in the
    folder of settings; None where there is none. Raises RecordError for a bad one and for a named one not there."""
    named = named or os.environ.get("FAULTFINDER_PRICES", "")
    try:
        path = Path(named) if named else settings_folder() / "prices.csv"
        return read_prices(Disk().read(path), str(path))
    except RuntimeError:  # nobody's home, and so nobody's settings
        return None
    except FileNotFoundError:
        if named:
            raise RecordError(say("report_there_no_list_prices", file=plain_text(named))) from None
        return None
    except OSError as error:
        raise RecordError(
            say("cannot_be_read", what=plain_text(str(path)), why=reason_of(error, reading=True))
        ) from error


def wrapped(text: str, columns: int) -> str:
    """Markdown broken to the width of a screen, the marks of lists and quotes kept."""
    out: list[str] = []
    for line in text.splitlines():
        found = _LEAD.match(line)
        lead, words = (found[1], found[2]) if found else ("", line)
        rest = lead if lead.strip() == ">" else " " * len(lead)
        out += wrap(words, max(20, columns), lead, rest) if words else [line]
    return "\n".join(out) + "\n"
