"""Arguments in, a view picked; no logic. Heavy modules are imported by the command that needs them."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from faultfinder.exits import Exit

EPILOG = """\
examples:
  faultfinder                         a new job, step by step
  faultfinder resume JOB              go on with a job
  faultfinder assess volts=240 'element OL'
  faultfinder check rules/MY_PACK
exit status: 0 done or clean, 1 problems or failed cases, 2 wrong use or unreadable
input, 3 our own fault, 130 interrupted
"""


def parser() -> argparse.ArgumentParser:
    """All commands and their options."""
    top = argparse.ArgumentParser(
        prog="faultfinder",
        description="Finds the faults of a domestic appliance with you, one safe step at a time.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument(
        "--debug", action="store_true", help="show where in the program a fault of its own arose"
    )
    top.add_argument("--version", action="store_true", help="print the version and leave")
    _guided_options(top)
    commands = top.add_subparsers(dest="command", metavar="COMMAND")

    new = commands.add_parser("new", help="a new job (the same as no command)")
    _guided_options(new)
    resume = commands.add_parser(
        "resume", help="go on with a job", description="example: faultfinder resume 2026-11-25-1"
    )
    resume.add_argument("job", help="the record's file, or its name in the jobs folder")
    _guided_options(resume)
    jobs = commands.add_parser(
        "jobs", help="list the jobs", description="example: faultfinder jobs burning smell"
    )
    jobs.add_argument("words", nargs="*", help="only jobs whose record holds all these words")
    jobs.add_argument(
        "--jobs", dest="folder", default="", metavar="FOLDER", help="where the records are kept"
    )
    jobs.add_argument("--json", action="store_true", help="print JSON")
    replay = commands.add_parser(
        "replay",
        help="run records through the program and compare what comes out",
        description="example: faultfinder replay transcripts_demo/*.yaml",
    )
    replay.add_argument("records", nargs="+", metavar="FILE")
    replay.add_argument("--pack", default="", help="replay against this pack instead of the record's own")
    replay.add_argument("--show", action="store_true", help="print the conversation")
    replay.add_argument("--json", action="store_true", help="print JSON")
    assess = commands.add_parser(
        "assess",
        help="judge facts and readings without a dialogue",
        description="example: faultfinder assess volts=240 'high section OL' '5.8A high'",
    )
    assess.add_argument(
        "given", nargs="*", metavar="GIVEN", help="FACT=VALUE, or a reading by the letters of its name"
    )
    assess.add_argument("--pack", default="", help="a pack's name, folder or file")
    assess.add_argument("--json", action="store_true", help="print JSON")
    check = commands.add_parser(
        "check", help="check a rule pack", description="example: faultfinder check rules/MY_PACK"
    )
    check.add_argument("path", nargs="?", default="", help="folder, file or name of a pack")
    check.add_argument("--json", action="store_true", help="print JSON")
    check.add_argument("--strict", action="store_true", help="warnings count as errors")
    check.add_argument(
        "--schema", action="store_true", help="print the JSON Schema of rule files, for editors"
    )
    check.add_argument(
        "--about", metavar="CODE", help="explain a kind of problem, with a bad and a good example"
    )
    report = commands.add_parser(
        "report", help="write up a job", description="example: faultfinder report 2026-11-25-1"
    )
    report.add_argument("job", help="the record's file, or its name in the jobs folder")
    report.add_argument(
        "--jobs", dest="folder", default="", metavar="FOLDER", help="where the records are kept"
    )
    report.add_argument("--json", action="store_true", help="print JSON")
    return top


def _guided_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--pack", default=argparse.SUPPRESS, help="a pack's name, folder or file")
    command.add_argument(
        "--jobs", dest="folder", default=argparse.SUPPRESS, metavar="FOLDER", help="where records are kept"
    )
    command.add_argument(
        "--plain",
        action="store_true",
        default=argparse.SUPPRESS,
        help="lines only: no redraws, no bars, no colour",
    )
    command.add_argument(
        "--no-record",
        action="store_true",
        default=argparse.SUPPRESS,
        help="keep no record (to try things out)",
    )


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; returns the exit status. A fault of our own is one line, unless --debug is given."""
    asked = parser().parse_args(arguments)
    try:
        return int(_run(asked))
    except KeyboardInterrupt:
        return Exit.INTERRUPTED
    except BrokenPipeError:
        sys.stderr.close()
        return Exit.OK
    except Exception as fault:
        from faultfinder.errors import FaultFinderError
        from faultfinder.terminal.render import shown

        if isinstance(fault, FaultFinderError):
            print(shown(f"faultfinder: {fault}"), file=sys.stderr)
            return Exit.WRONG_USE
        if asked.debug:
            raise
        print(
            shown(
                f"faultfinder: a fault of its own: {type(fault).__name__}: {fault}. "
                "Nothing that was answered is lost; run it again with --debug to see where."
            ),
            file=sys.stderr,
        )
        return Exit.OUR_FAULT


def _run(asked: argparse.Namespace) -> int:
    if asked.version:
        from importlib.metadata import version

        print(version("faultfinder"))
        return Exit.OK
    if asked.command in (None, "new", "resume"):
        from faultfinder.terminal.guided import guided

        return guided(asked)
    from faultfinder.terminal.shell import COMMANDS

    return COMMANDS[asked.command](asked)
