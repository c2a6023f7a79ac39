"""The arguments of every command, light enough to be read at every start."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module

EPILOG = """\
examples:
  faultfinder          a new job
  faultfinder resume 2026-11-25-kqmtrw
  faultfinder assess volts=230 'high OL'
  faultfinder report --help
exit status:
  0 done, or clean
  1 problems, or failed cases
  2 wrong use, or unreadable input
  3 our own fault
  130 interrupted
"""
EXAMPLES: Mapping[str, str] = {
    "new": "faultfinder new --pack rules/MY_PACK",
    "resume": "faultfinder resume 2026-11-25-kqmtrw",
    "jobs": "faultfinder jobs open burning",
    "report": "faultfinder report 2026-11-25-kqmtrw --html job.html",
    "prepare": "faultfinder prepare type=vented --said 'takes ages since we moved it'",
    "talk": "faultfinder talk MY_PACK --json --no-record",
    "assess": "faultfinder assess volts=230 'high section OL' '7.4A high'",
    "trace": "faultfinder trace cycle.csv type=vented volts=240",
    "history": "faultfinder history --export van.history",
    "replay": "faultfinder replay transcripts_demo/*.yaml",
    "check": "faultfinder check rules/MY_PACK",
    "try": "faultfinder try rules/MY_PACK",
    "rename": "faultfinder rename rules/MY_PACK fan_stuck fan_jammed",
    "compare": "faultfinder compare rules/OLD rules/NEW",
    "table": "faultfinder table rules/MY_PACK --html table.html",
    "practise": "faultfinder practise MY_PACK --level look_alikes --seed 7",
    "score": "faultfinder score MY_PACK --machines 200 --wrong 0.05",
    "completion": "source <(faultfinder completion bash)",
}
"""An example of every command, shown at the end of its help."""
PACK = "a pack's name, folder or file"


VIEWS: Mapping[str, tuple[str, str]] = {
    "talk": ("talk", "the conversation for another program, as lines of JSON"),
    "prepare": ("prepare", "before the visit: what to take, what to ask"),
    "trace": ("trace", "read a logged cycle"),
    "try": ("try_cases", "run the worked cases of a pack"),
    "rename": ("rename", "give an id another name in all files of a pack"),
    "compare": ("compare", "what comes out differently over two versions of a pack"),
    "table": ("table", "the causes of a pack against its observations"),
    "completion": ("completion", "make a shell complete these commands"),
}
"""Commands whose views bring their own arguments: command -> (module of terminal/, help)."""


def parser(given: Sequence[str] = ()) -> argparse.ArgumentParser:
    """All commands and their options. `given`: the words of the command line, to know which command it is."""
    top = argparse.ArgumentParser(
        prog="faultfinder",
        description="Finds the faults of an appliance with you,\none safe step at a time.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--debug", action="store_true", help="print the traceback of an internal error")
    top.add_argument("--version", action="store_true", help="print the version and leave")
    _conversation_options(top)
    commands = top.add_subparsers(dest="command", metavar="COMMAND")

    def add(name: str, help_: str) -> argparse.ArgumentParser:
        return commands.add_parser(name, help=help_, description=help_[:1].upper() + help_[1:] + ".")

    def view(name: str) -> None:
        module, help_ = VIEWS[name]
        command = add(name, help_)
        if name in given:
            # Its arguments are read from the view itself, and the view only where it is asked for.
            import_module(f"faultfinder.terminal.commands.{module}").add_arguments(command)

    _conversation_options(add("new", "a new job, step by step (the same as no command)"))
    _resume(add("resume", "go on with a job"))
    _jobs(add("jobs", "list the jobs, found by any word in them"))
    _report(add("report", "write up a job"))
    view("talk")
    view("prepare")
    _assess(add("assess", "judge facts and readings without a dialogue"))
    view("trace")
    _history(add("history", "what the workshop has seen over all closed jobs"))
    _practise(add("practise", "train on a simulated machine"))
    _check(add("check", "check a rule pack"))
    view("try")
    view("rename")
    view("compare")
    view("table")
    _score(add("score", "measure the tool on simulated machines"))
    _replay(add("replay", "run records through the program and compare what comes out"))
    view("completion")
    for name, command in commands.choices.items():
        command.formatter_class = argparse.RawDescriptionHelpFormatter
        command.epilog = f"example:\n  {EXAMPLES[name]}"
    return top


def _resume(command: argparse.ArgumentParser) -> None:
    _job(command)
    _conversation_options(command)


def _jobs(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "words", nargs="*", metavar="WORD", help="only jobs whose record holds all these; also open, closed"
    )
    command.add_argument(
        "--import",
        dest="bring_in",
        nargs="+",
        metavar="FOLDER",
        default=[],
        help="bring in the records of other folders; nothing is overwritten",
    )
    command.add_argument(
        "--forget",
        nargs="*",
        metavar="JOB",
        help="remove the person from these jobs, keep the technical record",
    )
    command.add_argument(
        "--older-than",
        type=_between(0, 100_000),
        metavar="DAYS",
        help="with --forget: from every job last written to so many days ago",
    )
    _folder(command)
    _json(command)


def _report(command: argparse.ArgumentParser) -> None:
    _job(command)
    command.add_argument("--form", choices=("customer", "workshop"), default="customer", help="for whom")
    command.add_argument(
        "--html", metavar="FILE", help="write a printable page instead; - for standard output"
    )
    add_replace(command)
    command.add_argument("--prices", metavar="FILE", default="", help="a CSV of part, price and stock")
    command.add_argument(
        "--without-about", action="store_true", help="leave out who and where, to show it to others"
    )
    _folder(command)
    command.add_argument("--pack", default="", help="write it up by this pack instead of the record's own")
    _json(command)


def add_replace(command: argparse.ArgumentParser) -> None:
    """The leave to write over a file that is there; a job's record is never written over."""
    command.add_argument(
        "--replace", action="store_true", help="write over the file if it is there (never over a record)"
    )


def _assess(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "given", nargs="*", metavar="GIVEN", help="FACT=VALUE, or a reading by the letters of its name"
    )
    command.add_argument("--pack", default="", help=PACK)
    _json(command)
    add_seen(command)


def _history(command: argparse.ArgumentParser) -> None:
    _folder(command)
    _json(command)
    command.add_argument(
        "--export", metavar="FILE", help="write the counts down, to put several vans' together"
    )
    add_replace(command)
    command.add_argument(
        "--import", dest="import", nargs="+", metavar="FILE", default=[], help="add these counts"
    )


def _check(command: argparse.ArgumentParser) -> None:
    command.add_argument("path", nargs="?", metavar="PACK", default="", help=PACK)
    _json(command)
    command.add_argument("--strict", action="store_true", help="warnings count as errors")
    command.add_argument(
        "--brief", action="store_true", help="one line a problem, without the line it stands on"
    )
    command.add_argument(
        "--mend", action="store_true", help="write the mends that are certain, and show them"
    )
    command.add_argument(
        "--anyway", action="store_true", help="mend files too that have changes which are not committed"
    )
    command.add_argument("--watch", action="store_true", help="check again whenever a file changes")
    command.add_argument(
        "--schema",
        action="store_true",
        help="print the JSON Schema of rule files, for editors; with a PACK, it offers the pack's ids",
    )
    command.add_argument(
        "--overview",
        action="store_true",
        help="print the faults expected a job and the order of every answer",
    )
    command.add_argument(
        "--about", metavar="CODE", help="explain a kind of problem, with a bad and a good example"
    )


def _replay(command: argparse.ArgumentParser) -> None:
    command.add_argument("records", nargs="+", metavar="FILE", help="records to run")
    command.add_argument("--pack", default="", help="replay against this pack instead of the record's own")
    command.add_argument("--show", action="store_true", help="print the conversation")
    _json(command)


def _job(command: argparse.ArgumentParser) -> None:
    command.add_argument("job", metavar="JOB", help="the record's file, or its name in the jobs folder")


def _json(command: argparse.ArgumentParser) -> None:
    command.add_argument("--json", action="store_true", help="print JSON")


def _folder(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--jobs", dest="folder", default="", metavar="FOLDER", help="where the records are kept"
    )


def add_seen(command: argparse.ArgumentParser) -> None:
    """The switch for what the workshop has seen, and the folder that it counts in."""
    command.add_argument("--seen", action="store_true", help="let the workshop's own closed jobs weigh in")
    _folder(command)


LEVELS = ("one", "look_alikes", "several", "brought_on", "intermittent", "any")
WAYS = ("tool", "check_list", "random", "knowing")


def _between(low: float, high: float) -> Callable[[str], float]:
    """A type for a number from low to high, whole where the limits of it are no shares."""

    def read(text: str) -> float:
        try:
            value = int(text) if high > 1 else float(text)
        except ValueError:
            raise argparse.ArgumentTypeError(f"'{text}' is no {'whole ' if high > 1 else ''}number") from None
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"{text} is not from {low:g} to {high:g}")
        return value

    return read


def _practise(command: argparse.ArgumentParser) -> None:
    command.add_argument("pack", metavar="PACK", help=PACK)
    command.add_argument(
        "--level", choices=LEVELS, default="one", metavar="LEVEL", help=", ".join(LEVELS) + " (default: one)"
    )
    command.add_argument(
        "--seed", type=int, help="the same number gives the same machine (default: a new one each time)"
    )
    command.add_argument("--machine", default="", metavar="FILE", help="a machine written by hand")
    command.add_argument(
        "--wrong", type=_between(0, 0.3), default=0.0, help="share of wrong answers, 0 to 0.3"
    )
    command.add_argument("--plain", action="store_true", help="lines only")
    command.add_argument("--json", action="store_true", help="print the review as JSON")


def _score(command: argparse.ArgumentParser) -> None:
    command.add_argument("pack", metavar="PACK", help=PACK)
    command.add_argument(
        "--machines", type=_between(1, 100_000), default=100, help="how many simulated machines"
    )
    command.add_argument("--first", type=int, default=1, help="seed of the first; the next follow")
    command.add_argument(
        "--wrong", type=_between(0, 0.3), default=0.0, help="share of wrong answers, 0 to 0.3"
    )
    command.add_argument(
        "--vary",
        type=_between(0, 0.3),
        default=0.0,
        help="how far the physics is varied, 0 to 0.3 as a share",
    )
    command.add_argument(
        "--level", choices=LEVELS, default="any", metavar="LEVEL", help=", ".join(LEVELS) + " (default: any)"
    )
    command.add_argument(
        "--ways", nargs="+", choices=WAYS, metavar="WAY", help="ways of working to try: " + ", ".join(WAYS)
    )
    command.add_argument("--processes", type=_between(1, 64), default=2, help="default: 2")
    command.add_argument("--causes", action="store_true", help="every cause, not only where it fails most")
    command.add_argument("--json", action="store_true", help="print JSON")


def _conversation_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--pack", default=argparse.SUPPRESS, help=PACK)
    command.add_argument(
        "--jobs",
        dest="folder",
        default=argparse.SUPPRESS,
        metavar="FOLDER",
        help="where the records are kept",
    )
    command.add_argument(
        "--about",
        metavar="FILE",
        default=argparse.SUPPRESS,
        help="who and where, lines such as 'customer: ...'; kept beside the record",
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
