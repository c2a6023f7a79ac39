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
VIEWS: Mapping[str, str] = {
    "talk": "talk",
    "prepare": "prepare",
    "trace": "trace",
    "try": "try_cases",
    "rename": "rename",
    "compare": "compare",
    "table": "table",
    "completion": "completion",
}
"""Commands whose views bring their own arguments: command -> module of terminal/commands/."""


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

    def add(name: str) -> argparse.ArgumentParser:
        told = say(f"command_{name}")
        return commands.add_parser(name, help=told, description=capital(told) + ".")

    def view(name: str) -> None:
        command = add(name)
        if name in given:
            # Its arguments are read from the view itself, and the view only where it is asked for.
            import_module(f"faultfinder.terminal.commands.{VIEWS[name]}").add_arguments(command)

    _conversation_options(add("new"))
    _resume(add("resume"))
    _jobs(add("jobs"))
    _report(add("report"))
    view("talk")
    view("prepare")
    _assess(add("assess"))
    view("trace")
    _history(add("history"))
    _practise(add("practise"))
    _check(add("check"))
    view("try")
    view("rename")
    view("compare")
    view("table")
    _score(add("score"))
    _replay(add("replay"))
    view("completion")
    for name, command in commands.choices.items():
        command.formatter_class = argparse.RawDescriptionHelpFormatter
        command.epilog = f"{say('arguments_example')}\n  {EXAMPLES[name]}"
    return top


def _resume(command: argparse.ArgumentParser) -> None:
    _job(command)
    _conversation_options(command)


def _jobs(command: argparse.ArgumentParser) -> None:
    command.add_argument("words", nargs="*", metavar="WORD", help=say("arguments_only_jobs_whose_record"))
    command.add_argument(
        "--import",
        dest="bring_in",
        nargs="+",
        metavar="FOLDER",
        default=[],
        help=say("arguments_bring_in_records_other"),
    )
    command.add_argument(
        "--forget",
        nargs="*",
        metavar="JOB",
        help=say("arguments_remove_person_from_these"),
    )
    command.add_argument(
        "--older-than",
        type=_between(0, 100_000),
        metavar="DAYS",
        help=say("arguments_with_forget_from_every"),
    )
    _folder(command)
    _json(command)


def _report(command: argparse.ArgumentParser) -> None:
    _job(command)
    command.add_argument(
        "--form", choices=("customer", "workshop"), default="customer", help=say("arguments_for_whom")
    )
    command.add_argument("--html", metavar="FILE", help=say("arguments_write_printable_page_instead"))
    add_replace(command)
    command.add_argument("--prices", metavar="FILE", default="", help=say("arguments_csv_part_price_stock"))
    command.add_argument("--without-about", action="store_true", help=say("arguments_leave_out_who_where"))
    _folder(command)
    command.add_argument("--pack", default="", help=say("arguments_write_up_by_pack"))
    _json(command)


def add_replace(command: argparse.ArgumentParser) -> None:
    """The leave to write over a file that is there; a job's record is never written over."""
    command.add_argument("--replace", action="store_true", help=say("arguments_write_over_file_if"))


def _assess(command: argparse.ArgumentParser) -> None:
    command.add_argument("given", nargs="*", metavar="GIVEN", help=say("arguments_fact_value_reading_by"))
    command.add_argument("--pack", default="", help=say("arguments_pack"))
    _json(command)
    add_seen(command)


def _history(command: argparse.ArgumentParser) -> None:
    _folder(command)
    _json(command)
    command.add_argument("--export", metavar="FILE", help=say("arguments_write_counts_down_put"))
    add_replace(command)
    command.add_argument(
        "--import",
        dest="import",
        nargs="+",
        metavar="FILE",
        default=[],
        help=say("arguments_add_these_counts"),
    )


def _check(command: argparse.ArgumentParser) -> None:
    command.add_argument("path", nargs="?", metavar="PACK", default="", help=say("arguments_pack"))
    _json(command)
    command.add_argument("--strict", action="store_true", help=say("arguments_warnings_count_as_errors"))
    command.add_argument("--brief", action="store_true", help=say("arguments_one_line_problem_without"))
    command.add_argument("--mend", action="store_true", help=say("arguments_write_mends_certain_show"))
    command.add_argument("--anyway", action="store_true", help=say("arguments_mend_files_too_have"))
    command.add_argument("--watch", action="store_true", help=say("arguments_check_again_whenever_file"))
    command.add_argument(
        "--schema",
        action="store_true",
        help=say("arguments_print_json_schema_rule"),
    )
    command.add_argument(
        "--overview",
        action="store_true",
        help=say("arguments_print_faults_expected_job"),
    )
    command.add_argument("--about", metavar="CODE", help=say("arguments_explain_kind_problem_with"))


def _replay(command: argparse.ArgumentParser) -> None:
    command.add_argument("records", nargs="+", metavar="FILE", help=say("arguments_records_run"))
    command.add_argument("--pack", default="", help=say("arguments_replay_against_pack_instead"))
    command.add_argument("--show", action="store_true", help=say("arguments_print_conversation"))
    _json(command)


def _job(command: argparse.ArgumentParser) -> None:
    command.add_argument("job", metavar="JOB", help=say("arguments_records_file_its_name"))


def _json(command: argparse.ArgumentParser) -> None:
    command.add_argument("--json", action="store_true", help=say("print_json"))


def _folder(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--jobs", dest="folder", default="", metavar="FOLDER", help=say("arguments_where_records_kept")
    )


def add_seen(command: argparse.ArgumentParser) -> None:
    """The switch for what the workshop has seen, and the folder that it counts in."""
    command.add_argument("--seen", action="store_true", help=say("arguments_let_workshops_own_closed"))
    _folder(command)


LEVELS = ("one", "look_alikes", "several", "brought_on", "intermittent", "any")
WAYS = ("tool", "check_list", "random", "knowing")


def _between(low: float, high: float) -> Callable[[str], float]:
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


def _practise(command: argparse.ArgumentParser) -> None:
    command.add_argument("pack", metavar="PACK", help=say("arguments_pack"))
    command.add_argument(
        "--level",
        choices=LEVELS,
        default="one",
        metavar="LEVEL",
        help=", ".join(LEVELS) + (" " + say("arguments_default_one")),
    )
    command.add_argument("--seed", type=int, help=say("arguments_same_number_gives_same"))
    command.add_argument(
        "--machine", default="", metavar="FILE", help=say("arguments_machine_written_by_hand")
    )
    command.add_argument(
        "--wrong", type=_between(0, 0.3), default=0.0, help=say("arguments_share_wrong_answers_0")
    )
    command.add_argument("--plain", action="store_true", help=say("arguments_lines_only"))
    command.add_argument("--json", action="store_true", help=say("arguments_print_review_as_json"))


def _score(command: argparse.ArgumentParser) -> None:
    command.add_argument("pack", metavar="PACK", help=say("arguments_pack"))
    command.add_argument(
        "--machines",
        type=_between(1, 100_000),
        default=100,
        help=say("arguments_how_many_simulated_machines"),
    )
    command.add_argument("--first", type=int, default=1, help=say("arguments_seed_first_next_follow"))
    command.add_argument(
        "--wrong", type=_between(0, 0.3), default=0.0, help=say("arguments_share_wrong_answers_0")
    )
    command.add_argument(
        "--vary",
        type=_between(0, 0.3),
        default=0.0,
        help=say("arguments_how_far_physics_varied"),
    )
    command.add_argument(
        "--level",
        choices=LEVELS,
        default="any",
        metavar="LEVEL",
        help=", ".join(LEVELS) + (" " + say("arguments_default_any")),
    )
    command.add_argument(
        "--ways",
        nargs="+",
        choices=WAYS,
        metavar="WAY",
        help=(say("arguments_ways_working_try") + " ") + ", ".join(WAYS),
    )
    processes = say("arguments_default_processes", processes=2)
    command.add_argument("--processes", type=_between(1, 64), default=2, help=processes)
    command.add_argument("--causes", action="store_true", help=say("arguments_every_cause_not_only"))
    command.add_argument("--json", action="store_true", help=say("print_json"))


def _conversation_options(command: argparse.ArgumentParser) -> None:
    command.add_argument("--pack", default=argparse.SUPPRESS, help=say("arguments_pack"))
    command.add_argument(
        "--jobs",
        dest="folder",
        default=argparse.SUPPRESS,
        metavar="FOLDER",
        help=say("arguments_where_records_kept"),
    )
    command.add_argument(
        "--about",
        metavar="FILE",
        default=argparse.SUPPRESS,
        help=say("arguments_who_where_lines_such"),
    )
    command.add_argument(
        "--plain",
        action="store_true",
        default=argparse.SUPPRESS,
        help=say("arguments_lines_only_no_redraws"),
    )
    command.add_argument(
        "--seen",
        action="store_true",
        default=argparse.SUPPRESS,
        help=say("arguments_let_workshops_own_closed"),
    )
    command.add_argument(
        "--no-record",
        action="store_true",
        default=argparse.SUPPRESS,
        help=say("arguments_keep_no_record_try"),
    )
