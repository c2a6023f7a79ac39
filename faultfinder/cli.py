"""Arguments in, a view picked; no logic. Heavy modules are imported by the command that needs them."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module

from faultfinder.arguments import CONVERSATIONS, module_of, parser
from faultfinder.errors import UnknownName
from faultfinder.exits import Exit
from faultfinder.terminal.console import streams
from faultfinder.text.catalogue import say, speak

LANGUAGE = "FAULTFINDER_LANGUAGE"
ASKING = (None, *CONVERSATIONS, "practise")
"""Commands that ask; without a standard input they begin nothing."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; returns the exit status. A fault of our own is one line, unless --debug is given."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    closed = streams.make_ready()
    if "stdout" in closed:
        streams.tell(say("cli_output_closed"))
        return Exit.WRONG_USE
    try:
        try:
            speak(os.environ.get(LANGUAGE) or "english")
            return _answered(given, closed)
        except UnknownName as unknown:
            streams.tell(f"faultfinder: {unknown}")
            return Exit.WRONG_USE
        finally:
            sys.stdout.flush()
    except KeyboardInterrupt:
        return Exit.INTERRUPTED
    except BrokenPipeError:
        streams.let_go(sys.stdout)
        return Exit.OK
    except OSError as trouble:
        streams.tell(say("cli_output_not_written", what=trouble.strerror or trouble))
        streams.let_go(sys.stdout)
        return Exit.WRONG_USE


def _answered(given: Sequence[str], closed: frozenset[str]) -> int:
    """Run the command. Errors of writing what is shown are left to the caller."""
    asked = _parsed(given)
    try:
        return int(_run(asked, closed))
    except (KeyboardInterrupt, BrokenPipeError):
        raise
    except Exception as fault:
        from faultfinder.errors import FaultFinderError
        from faultfinder.terminal.console.printed import shown

        if isinstance(fault, FaultFinderError):
            streams.tell(shown(f"faultfinder: {fault}"))
            return Exit.WRONG_USE
        if asked.debug:
            raise
        if isinstance(fault, OSError):
            # Files and streams that do not do as they are told are nobody's fault in here.
            where = f": {fault.filename}" if fault.filename else ""
            streams.tell(shown(say("cli_cannot_be_done", what=fault.strerror or fault, where=where)))
            return Exit.WRONG_USE
        streams.tell(shown(say("cli_internal_error", name=type(fault).__name__, fault=fault)))
        return Exit.OUR_FAULT


def _parsed(given: Sequence[str]) -> argparse.Namespace:
    """The arguments; words that stand behind an option belong to the command's list of them all the same, wherever
    the option was put (`assess volts=230 --json '7.4A high'`)."""
    known = parser(given)
    asked, rest = known.parse_known_args(given)
    if rest and (not hasattr(asked, "given") or any(word.startswith("-") for word in rest)):
        known.error(f"unrecognized arguments: {' '.join(rest)}")
    if rest:
        asked.given = [*asked.given, *rest]
    _taken_from_the_front(known, given, asked)
    return asked


VALUED = ("--pack", "--jobs", "--about")
"""Options of a conversation that stand before a value."""


def _taken_from_the_front(
    known: argparse.ArgumentParser, given: Sequence[str], asked: argparse.Namespace
) -> None:
    """Options that stand before the command count for it as if they stood behind it, where it has them; what stands
    behind it comes first. One that it has not is refused: nothing is silently left out (lines only is what the
    others show anyway)."""
    if asked.command in (None, *CONVERSATIONS):
        return
    places = (at for at, word in enumerate(given) if word == asked.command)
    at = next((at for at in places if not at or given[at - 1] not in VALUED), 0)
    front = vars(known.parse_args(list(given[:at])))
    behind = {action.dest for action in _parser_of(known, asked.command)._actions}
    for name in front.keys() - {"debug", "version", "command"}:
        if name not in behind and name != "plain":
            known.error(say("cli_option_of_a_conversation", option=_option(name)))
        if name in behind and not getattr(asked, name):
            setattr(asked, name, front[name])


def _parser_of(known: argparse.ArgumentParser, command: str) -> argparse.ArgumentParser:
    choices = next(action.choices for action in known._actions if isinstance(action.choices, dict))
    parser: argparse.ArgumentParser = choices[command]
    return parser


def _option(name: str) -> str:
    return "--jobs" if name == "folder" else f"--{name.replace('_', '-')}"


def _run(asked: argparse.Namespace, closed: frozenset[str]) -> int:
    if asked.version:
        from importlib.metadata import version

        print(version("faultfinder"))
        return Exit.OK
    if "stdin" in closed and asked.command in ASKING:
        streams.tell(say("cli_input_closed"))
        return Exit.WRONG_USE
    talks = asked.command in (None, *CONVERSATIONS)
    return int(import_module(module_of("conversation" if talks else asked.command)).run(asked))
