"""`faultfinder trace`: a logged cycle drawn and summed up, and its readings offered to a job."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
from pathlib import Path

from faultfinder.arguments import add_folder, add_json
from faultfinder.dialogue.converse import stamped
from faultfinder.dialogue.queries.assess import split_given
from faultfinder.dialogue.queries.trace import (
    Offer,
    Trace,
    as_mapping,
    chosen,
    events_for,
    offers,
    offers_said,
    read_trace,
    said,
)
from faultfinder.dialogue.queries.trace_plot import ASCII, BLOCKS, plot
from faultfinder.dialogue.say import Ask, Line, Said, Tone, error, note
from faultfinder.dialogue.showing.present import bar_lines, contradictions_said
from faultfinder.errors import BadAnswer, FaultFinderError, Refused, UnknownName
from faultfinder.exits import Exit
from faultfinder.job.record.filesystem import Disk, NoFile
from faultfinder.job.record.record import Record
from faultfinder.job.state import JobState, fold, replayed
from faultfinder.reasoning.case import Case
from faultfinder.terminal.commands.new_job import find_job, pack_of
from faultfinder.terminal.console.alarm import left_for_danger
from faultfinder.terminal.console.plain import plain_face
from faultfinder.terminal.console.printed import aside, print_json, shown
from faultfinder.terminal.console.render import carried, lines
from faultfinder.terminal.console.session import now
from faultfinder.terminal.own_meter import own_meter
from faultfinder.terminal.packs import pack_for
from faultfinder.terminal.program_name import as_typed
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of
from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.csv_text import MOST_CHARACTERS

WIDEST_PLOT = 160
"""Columns; chosen."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    given = say("trace_what_known_machine_without")
    parser.add_argument("file", metavar="FILE", help=say("trace_loggers_csv_file_for"))
    parser.add_argument("given", nargs="*", metavar="FACT=VALUE", help=given)
    parser.add_argument("--job", default="", help=say("trace_offer_readings_open_job"))
    parser.add_argument("--take", default=None, metavar="WORDS", help=say("trace_take_these_without_asking"))
    parser.add_argument("--column", default=None, metavar="NAME", help=say("trace_column_read_by_its"))
    parser.add_argument(
        "--cycle", type=int, default=None, metavar="N", help=say("trace_which_cycle_long_log")
    )
    parser.add_argument("--pack", default="", help=say("arguments_pack"))
    add_folder(parser)
    parser.add_argument("--plain", action="store_true", help=say("trace_words_only_no_drawing"))
    add_json(parser)


def run(asked: argparse.Namespace) -> int:
    """Show the log; with a job, take what is wanted of it. Status 0; what cannot be read is raised."""
    if asked.take is not None and not asked.job:
        raise BadAnswer(say("trace_take_needs_job_takes"))
    if asked.job and asked.given:
        raise BadAnswer(say("trace_facts_job_stand_in"))
    trace = read_trace(_text_of(asked.file), asked.column, asked.cycle)
    if not asked.job:
        return _without_job(asked, trace)
    return _with_job(asked, trace)


def _without_job(asked: argparse.Namespace, trace: Trace) -> int:
    case = _case_for(asked)
    found = offers(case, trace.figures) if case is not None else ()
    if asked.json:
        print_json({**as_mapping(trace, found), "file": asked.file, "job": None, "taken": []})
        return Exit.OK
    _show(asked, trace, case, found, numbered=False)
    if case is None:
        plain_face().show([note(say("trace_which_machine"))])
    elif found:
        plain_face().show(as_typed([note(say("trace_how_to_take", file=shown(asked.file)))]))
    return Exit.OK


def _case_for(asked: argparse.Namespace) -> Case | None:
    """The machine as far as it is told; None where nothing tells which pack it is for."""
    try:
        pack = pack_for(asked.pack, asked.given)
    except UnknownName:
        if asked.pack or asked.given:
            raise
        return None
    facts, findings = split_given(pack, asked.given)
    if findings:
        raise BadAnswer(say("trace_not_fact_write_fact", typed=findings[0]))
    meter = own_meter()
    return Case(pack, facts, meter.meter if meter else None)


def _with_job(asked: argparse.Namespace, trace: Trace) -> int:
    path = find_job(asked.job, jobs_folder(asked.folder))
    with Record.open(path) as record:
        for problem in record.contents.problems:
            aside(problem)
        job, troubles = fold(pack_of(record.contents, path, asked.pack), record.contents.events)
        for position, why in troubles:
            aside(say("line_not_taken", file=path, line=record.contents.lines[position], why=why))
        if job.closed is not None:
            raise Refused(say("trace_job_closed_take_up"))
        case = replayed(job)
        if case.outside:
            raise Refused(case.outside)
        found = offers(case, trace.figures)
        if not asked.json:
            _show(asked, trace, case, found, numbered=True)
        taken = _wanted(asked, found, job)
        after, events = events_for(job, taken, _name(asked.file))
        told = record.append(*stamped(events, now(), after))
        path = record.path
    if told:
        aside(f"faultfinder: {told}")
    if asked.json:
        names = [each.observation for each in taken]
        print_json({**as_mapping(trace, found), "file": asked.file, "job": str(path), "taken": names})
    else:
        plain_face().show(_taken_said(case, after, taken, path))
    return Exit.OK


def _wanted(asked: argparse.Namespace, found: tuple[Offer, ...], job: JobState) -> tuple[Offer, ...]:
    """What is to be taken: as --take says, else as the person types; nothing where nobody can be asked."""
    if asked.take is not None:
        return chosen(found, asked.take)
    if asked.json or asked.file == "-" or not found:
        return ()
    face = plain_face(echo=not sys.stdin.isatty())
    told: list[Said] = [Line(say("trace_take_ask"), Tone.QUESTION)]
    if job.put_right:
        done = ", ".join(job.pack.causes[name].remedy for name in job.put_right)
        told.insert(0, note(say("trace_after_repair", what=done)))
    face.show(told)
    while True:
        try:
            line = face.ask(Ask(say("label_take")))
            return () if left_for_danger(face, line) else chosen(found, line)
        except EOFError:
            return ()
        except FaultFinderError as problem:
            face.show([error(str(problem))])


def _taken_said(before: Case, job: JobState, taken: tuple[Offer, ...], path: Path) -> list[Said]:
    if not taken:
        return [note(say("trace_none_taken"))]
    what = ", ".join(f"{name_of(each.observation)} {each.text}" for each in taken)
    return [
        Line(say("trace_taken", path=path, what=what), Tone.CHANGE),
        *bar_lines(replayed(job), before.confidence()),
    ]


def _show(
    asked: argparse.Namespace, trace: Trace, case: Case | None, found: tuple[Offer, ...], *, numbered: bool
) -> None:
    """The cycle; the drawing goes to the full width of the screen, words to what is easily read."""
    columns, rows = shutil.get_terminal_size((76, 24))
    drawing: list[str] = []
    if not (asked.plain or os.environ.get("FAULTFINDER_PLAIN") or os.environ.get("ACCESSIBLE")):
        glyphs = (
            BLOCKS if _carries("".join((BLOCKS.full, BLOCKS.light, BLOCKS.side, BLOCKS.corner))) else ASCII
        )
        width = min(max(columns, 20) - 3, WIDEST_PLOT)
        drawing = plot(
            trace.log,
            trace.summary.levels,
            trace.summary.runs,
            width,
            8 if rows < 40 else 12,
            glyphs,
            second=trace.warm if trace.warm is not trace.log else None,
        )
    told = said(trace, drawing)
    if case is not None:
        told += [*contradictions_said(case), *offers_said(case, found, numbered)]
    encoding = sys.stdout.encoding or "utf-8"
    for _, line in lines(told, columns, bars=True):
        sys.stdout.write(carried(line, encoding).rstrip() + "\n")
    sys.stdout.flush()


def _carries(text: str) -> bool:
    """Whether the screen can show these characters; a dumb terminal is not trusted with them."""
    if os.environ.get("TERM") in ("dumb", "unknown"):
        return False
    try:
        text.encode(sys.stdout.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


def _name(file: str) -> str:
    return say("trace_standard_input") if file == "-" else Path(file).name


def _text_of(file: str) -> str:
    """The text of the log; loggers write UTF-8, UTF-16 or Windows' own. Raises CycleLogError."""
    try:
        if file == "-":
            data = sys.stdin.buffer.read(4 * MOST_CHARACTERS)
        else:
            data = Disk().read(Path(file))
    except NoFile as problem:
        raise CycleLogError(say("trace_cannot_read_log_comes", file=file, why=problem.strerror)) from None
    except OSError as problem:
        raise CycleLogError(say("cannot_be_read", what=file, why=problem.strerror or problem)) from None
    except ValueError:
        raise CycleLogError(say("trace_there_no_file_name")) from None
    return decoded(data)


def decoded(data: bytes) -> str:
    """The text of a log's bytes; bytes that are no text in any of the three become U+FFFD."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")
