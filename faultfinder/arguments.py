"""The arguments of every command, light enough to be read at every start."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from importlib import import_module

from faultfinder.text.catalogue import say
from faultfinder.text.format import capital

FIRST_EXAMPLES = (
    "faultfinder resume 2026-11-25-kqmtrw",
    "faultfinder assess volts=230 'high OL'",
    "faultfinder report --help",
)
EXAMPLES: Mapping[str, str] = {
    "new": "faultfinder new --pack rules/MY_PACK",
    "resume": "faultfinder resume 2026-11-25-kqmtrw",
    "jobs": "faultfinder jobs open burning",
    "report": "faultfinder report 2026-11-25-kqmtrw --html job.html",
    "talk": "faultfinder talk MY_PACK --json --no-record",
    "prepare": "faultfinder prepare type=vented --said 'takes ages since we moved it'",
    "assess": "faultfinder assess volts=230 'high section OL' '7.4A high'",
    "trace": "faultfinder trace cycle.csv type=vented volts=240",
    "history": "faultfinder history --export van.history",
    "practise": "faultfinder practise MY_PACK --level look_alikes --seed 7",
    "check": "faultfinder check rules/MY_PACK",
    "try": "faultfinder try rules/MY_PACK",
    "rename": "faultfinder rename rules/MY_PACK fan_stuck fan_jammed",
    "compare": "faultfinder compare rules/OLD rules/NEW",
    "table": "faultfinder table rules/MY_PACK --html table.html",
    "score": "faultfinder score MY_PACK --machines 200 --wrong 0.05",
    "replay": "faultfinder replay transcripts_demo/*.yaml",
    "completion": "source <(faultfinder completion bash)",
}
"""Every command in the order in which they are listed, with an example that stands at the end of its help."""
CONVERSATIONS = ("new", "resume")
"""Commands of the conversation, which takes its options without a command too; every other is a module of
terminal/commands/ with `add_arguments` and `run`."""


def module_of(command: str) -> str:
    """The module of a command: named like it, but for the one that is a word of Python's."""
    return f"faultfinder.terminal.commands.{'try_cases' if command == 'try' else command}"


def epilog() -> str:
    """What stands at the end of the program's own help."""
    examples = (f"{'faultfinder':<20} {say('arguments_new_job_example')}", *FIRST_EXAMPLES)
    lines = [say("arguments_examples"), *(f"  {example}" for example in examples)]
    return "\n".join([*lines, say("arguments_exit_status")]) + "\n"


def parser(given: Sequence[str] = ()) -> argparse.ArgumentParser:
    """All commands and their options. `given`: the words of the command line, to know which command it is."""
    top = argparse.ArgumentParser(
        prog="faultfinder",
        description=say("arguments_finds_faults_appliance_with"),
        epilog=epilog(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--debug", action="store_true", help=say("arguments_print_traceback_internal_error"))
    top.add_argument("--version", action="store_true", help=say("arguments_print_version_leave"))
    _conversation_options(top)
    commands = top.add_subparsers(dest="command", metavar="COMMAND")

    for name, example in EXAMPLES.items():
        told = say(f"command_{name}")
        command = commands.add_parser(
            name,
            help=told,
            description=capital(told) + ".",
            epilog=f"{say('arguments_example')}\n  {example}",
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        if name in CONVERSATIONS:
            if name == "resume":
                add_job(command, left_out=True)
            _conversation_options(command)
        elif name in given:
            # Its arguments are read from its module, and that only where it is asked for.
            import_module(module_of(name)).add_arguments(command)
    return top


def add_replace(command: argparse.ArgumentParser) -> None:
    """The leave to write over a file that is there; a job's record is never written over."""
    command.add_argument("--replace", action="store_true", help=say("arguments_write_over_file_if"))


def add_job(command: argparse.ArgumentParser, left_out: bool = False) -> None:
    """The job that the command is about; where it may be left out, the open ones are offered."""
    told = say("arguments_records_file_its_name")
    if left_out:
        told = f"{told}; {say('arguments_job_left_out')}"
        command.add_argument("job", metavar="JOB", nargs="?", default="", help=told)
    else:
        command.add_argument("job", metavar="JOB", help=told)


def add_json(command: argparse.ArgumentParser) -> None:
    """The switch for output that a program reads."""
    command.add_argument("--json", action="store_true", help=say("print_json"))


def add_folder(command: argparse.ArgumentParser) -> None:
    """The folder of the records."""
    command.add_argument(
        "--jobs", dest="folder", default="", metavar="FOLDER", help=say("arguments_where_records_kept")
    )


def add_seen(command: argparse.ArgumentParser) -> None:
    """The switch for what the workshop has seen, and the folder that it counts in."""
    command.add_argument("--seen", action="store_true", help=say("arguments_let_workshops_own_closed"))
    add_folder(command)


def between(low: float, high: float) -> Callable[[str], float]:
    """A type for a number from low to high, whole where the limits of it are no shares."""

    def read(text: str) -> float:
        try:
            value = int(text) if high > 1 else float(text)
        except ValueError:
            raise argparse.ArgumentTypeError(
                say("arguments_no_whole_number" if high > 1 else "arguments_no_number", text=text)
            ) from None
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(
                say("arguments_not_from", text=text, low=f"{low:g}", high=f"{high:g}")
            )
        return value

    return read


def _conversation_options(command: argparse.ArgumentParser) -> None:
    """What a conversation takes; what is not written down sets nothing, so that it may stand before the command."""
    switch = {"action": "store_true"}
    options: dict[str, tuple[str, Mapping[str, str]]] = {
        "--pack": (say("arguments_pack"), {}),
        "--jobs": (say("arguments_where_records_kept"), {"dest": "folder", "metavar": "FOLDER"}),
        "--about": (say("arguments_who_where_lines_such"), {"metavar": "FILE"}),
        "--plain": (say("arguments_lines_only_no_redraws"), switch),
        "--seen": (say("arguments_let_workshops_own_closed"), switch),
        "--no-record": (say("arguments_keep_no_record_try"), switch),
    }
    for option, (told, how) in options.items():
        command.add_argument(option, default=argparse.SUPPRESS, help=told, **how)  # type: ignore[arg-type]
