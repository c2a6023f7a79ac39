"""The checks of a rule base, one a file; see `run_checks`."""

from __future__ import annotations

from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.read import Gathered


def run_checks(pack: Pack, gathered: Gathered, sink: Sink, *, complete: bool, with_warnings: bool) -> None:
    """Adds the problems that the checks find."""
