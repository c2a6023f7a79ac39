"""The arguments of every command, light enough to be read at every start."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from importlib import import_module

EPILOG = """\
examples:
  faultfinder                         a new job, step by step
  faultfinder resume JOB              go on with a job
  faultfinder assess volts=240 'element OL'
  faultfinder check rules/MY_PACK
exit status: 0 done or clean, 1 problems or failed cases, 2 wrong use or unreadable
input, 3 our own fault, 130 interrupted
"""


VIEWS: Mapping[str, tuple[str, str]] = {
    "prepare": ("prepare", "before the visit: what to take, what to ask"),
    "trace": ("trace", "read a logged cycle"),
    "try": ("try_cases", "run the worked cases of a pack"),
    "compare": ("compare", "what comes out differently over two versions of a pack"),
    "table": ("table", "the causes of a pack against its observations"),
}
"""Commands whose views bring their own arguments: command -> (module of terminal/, help)."""


def parser(given: Sequence[str] = ()) -> argparse.ArgumentParser:
    """All commands and their options. `given`: the words of the command line, to know which command it is."""
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
    add_seen(assess)
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
        "--overview",
        action="store_true",
        help="print the faults expected a job and the order of every answer",
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
    report.add_argument("--pack", default="", help="write it up by this pack instead of the record's own")
    report.add_argument("--json", action="store_true", help="print JSON")
    report.add_argument(
        "--html", metavar="FILE", help="write a printable page instead; - for standard output"
    )
    report.add_argument("--form", choices=("customer", "workshop"), default="customer", help="for whom")
    history = commands.add_parser(
        "history",
        help="what the workshop has seen over all closed jobs",
        description="example: faultfinder history",
    )
    _folder(history)
    history.add_argument("--json", action="store_true", help="print JSON")
    history.add_argument(
        "--export", metavar="FILE", help="write the counts down, to put several vans' together"
    )
    history.add_argument(
        "--import", dest="import", nargs="+", metavar="FILE", default=[], help="add these counts"
    )
    for name, (module, help_) in VIEWS.items():
        command = commands.add_parser(name, help=help_)
        if name in given:
            # Its arguments are read from the view itself, and the view only where it is asked for.
            import_module(f"faultfinder.terminal.{module}").add_arguments(command)
    _practise(commands.add_parser("practise", help="train on a simulated machine"))
    _score(commands.add_parser("score", help="measure the tool on simulated machines"))
    return top


def _folder(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--jobs", dest="folder", default="", metavar="FOLDER", help="where the records are kept"
    )


def add_seen(command: argparse.ArgumentParser) -> None:
    """The switch for what the workshop has seen, and the folder that it counts in."""
    command.add_argument("--seen", action="store_true", help="let the workshop's own closed jobs weigh in")
    _folder(command)


def _practise(command: argparse.ArgumentParser) -> None:
    command.description = "example: faultfinder practise MY_PACK --level look_alikes --seed 7"
    command.add_argument("pack", help="a pack's name, folder or file")
    command.add_argument("--level", default="", help="one, look_alikes, several, brought_on, intermittent")
    command.add_argument("--seed", type=int, default=1, help="the same number gives the same machine")
    command.add_argument("--machine", default="", metavar="FILE", help="a machine written by hand")
    command.add_argument("--wrong", type=float, default=0.0, help="share of wrong answers, 0 to 0.3")
    command.add_argument("--plain", action="store_true", help="lines only")
    command.add_argument("--json", action="store_true", help="print the review as JSON")


def _score(command: argparse.ArgumentParser) -> None:
    command.description = "example: faultfinder score MY_PACK --machines 200 --wrong 0.05"
    command.add_argument("pack", help="a pack's name, folder or file")
    command.add_argument("--machines", type=int, default=100, help="how many simulated machines")
    command.add_argument("--first", type=int, default=1, help="seed of the first")
    command.add_argument("--wrong", type=float, default=0.0, help="share of wrong answers")
    command.add_argument("--vary", type=float, default=0.0, help="how far the physics is varied, as a share")
    command.add_argument("--level", default="", help="only machines of this kind")
    command.add_argument("--ways", nargs="+", help="tool, check_list, random, knowing")
    command.add_argument("--processes", type=int, default=2)
    command.add_argument("--causes", action="store_true", help="every cause, not only where it fails most")
    command.add_argument("--json", action="store_true", help="print JSON")


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
        "--seen",
        action="store_true",
        default=argparse.SUPPRESS,
        help="let the workshop's own closed jobs weigh in",
    )
    command.add_argument(
        "--no-record",
        action="store_true",
        default=argparse.SUPPRESS,
        help="keep no record (to try things out)",
    )
