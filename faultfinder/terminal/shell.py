"""The commands without a dialogue: name -> view, each imported when it is used."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping
from importlib import import_module

from faultfinder.arguments import VIEWS


def _view(name: str) -> Callable[[argparse.Namespace], int]:
    def run(asked: argparse.Namespace) -> int:
        return int(import_module(f"faultfinder.terminal.commands.{name}").run(asked))

    return run


COMMANDS: Mapping[str, Callable[[argparse.Namespace], int]] = {
    name: _view(VIEWS.get(name, name))
    for name in (
        "talk",
        "assess",
        "check",
        "replay",
        "report",
        "jobs",
        "history",
        "trace",
        "prepare",
        "try",
        "rename",
        "compare",
        "table",
        "practise",
        "score",
        "completion",
    )
}
