"""Arguments in, a view picked; no logic. Heavy modules are imported by the command that needs them."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence

from faultfinder.arguments import parser
from faultfinder.exits import Exit


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command; returns the exit status. A fault of our own is one line, unless --debug is given."""
    given = sys.argv[1:] if arguments is None else list(arguments)
    asked = _parsed(given)
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


def _parsed(given: Sequence[str]) -> argparse.Namespace:
    """The arguments; words that stand behind an option belong to the command's list of them all the same, wherever
    the option was put (`assess volts=230 --json '7.4A high'`)."""
    known = parser(given)
    asked, rest = known.parse_known_args(given)
    if rest and (not hasattr(asked, "given") or any(word.startswith("-") for word in rest)):
        known.error(f"unrecognized arguments: {' '.join(rest)}")
    if rest:
        asked.given = [*asked.given, *rest]
    return asked


def _run(asked: argparse.Namespace) -> int:
    if asked.version:
        from importlib.metadata import version

        print(version("faultfinder"))
        return Exit.OK
    if asked.command in (None, "new", "resume"):
        from faultfinder.terminal.before import new_or_resumed

        return new_or_resumed(asked)
    from faultfinder.terminal.shell import COMMANDS

    return COMMANDS[asked.command](asked)
