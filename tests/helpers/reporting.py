"""Reports in tests: a record as lines or as a file, and the report of it.

`python tests/helpers/reporting.py` from the top of the checkout (with PYTHONPATH=.) writes the expected texts in
tests/report/records anew. Read the difference before committing it.
"""

from __future__ import annotations

from pathlib import Path

from talking import small_pack

from faultfinder.job.events import Event
from faultfinder.job.record.event_codec import parse_line
from faultfinder.job.record.record import read_record
from faultfinder.knowledge.model import Pack
from faultfinder.report.findings import report_of
from faultfinder.report.model import CUSTOMER, WORKSHOP, Report
from faultfinder.report.text import markdown

RECORDS = Path(__file__).parents[1] / "report" / "records"
EXPECTED = (("element", CUSTOMER), ("isolated", CUSTOMER), ("isolated", WORKSHOP))

ISOLATE = ("confirm: switched_off", "confirm: plug_out", "confirm: plug_in_sight")
OPEN = ("confirm: tester_here", "confirm: return_testers_here", "confirm: covers_off")
DEAD = (
    "confirm: tester_proved",
    "confirm: dead_line_neutral, outcome: dead",
    "confirm: dead_line_earth, outcome: dead",
    "confirm: dead_neutral_earth, outcome: dead",
    "confirm: tester_proved_again",
    "confirm: capacitors_discharged, outcome: none_there",
    "confirm: board_waited, outcome: none_there",
    "confirm: parts_cooled",
    "confirm: parts_at_rest",
)
INSIDE = ("fact: connection, is: plug", *ISOLATE, *OPEN, *DEAD)
"""From a plugged machine to one that is open and proved dead."""


def events(*lines: str) -> list[Event]:
    """Events as a hand writes them, without the brackets."""
    read = [parse_line("- {" + line + "}") for line in lines]
    assert not any(each.problems for each in read), [each.problems for each in read]
    return [each.event for each in read if each.event is not None]


def report(*lines: str, pack: Pack | None = None, workshop: bool = False) -> Report:
    """The report of a job of these lines on the small pack or another."""
    return report_of(pack or small_pack(), events(*lines), workshop=workshop)


def report_of_file(name: str, form: str = CUSTOMER) -> Report:
    """The report of one of the records here."""
    contents = read_record(RECORDS / f"{name}.yaml")
    assert not contents.problems
    return report_of(small_pack(), contents.events, job=name, workshop=form == WORKSHOP, lines=contents.lines)


def expected_path(name: str, form: str) -> Path:
    return RECORDS / f"{name}.{form}.md"


if __name__ == "__main__":
    for record, form in EXPECTED:
        text = markdown(report_of_file(record, form), form)
        expected_path(record, form).write_text(text, encoding="utf-8")
