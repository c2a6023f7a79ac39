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
    asked = parser(given).parse_args(given)
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
