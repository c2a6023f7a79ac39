"""Whether the workshop's own counts weigh in, and how that is told: off unless asked for, shown whenever used."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import SeenBefore
from faultfinder.job.history.history import blended
from faultfinder.job.history.index import seen_here
from faultfinder.knowledge.model import Pack
from faultfinder.terminal.console.printed import shown
from faultfinder.terminal.startup import jobs_folder
from faultfinder.text.catalogue import say


def asked_for(asked: argparse.Namespace) -> bool:
    """Whether it was switched on, by the option or for good by the environment."""
    return bool(getattr(asked, "seen", False) or os.environ.get("FAULTFINDER_SEEN"))


def with_seen(asked: argparse.Namespace, pack: Pack) -> tuple[Pack, str]:
    """The pack, blended where that is switched on, and the sentence to show with it (empty: not asked for)."""
    if not asked_for(asked):
        return pack, ""
    seen = seen_event(pack, jobs_folder(asked.folder))
    return (pack, say("seen_none")) if seen is None else (blended(pack, seen), told(seen))


def seen_event(pack: Pack, folder: Path) -> SeenBefore | None:
    """What the workshop has seen, as an event; None where that is nothing. Problems with records go to the error
    stream. Raises FaultFinderError where the folder cannot be looked at."""
    try:
        seen, problems = seen_here(pack, folder)
    except OSError as error:
        raise FaultFinderError(say("cannot_be_looked_at", what=folder, why=error.strerror)) from error
    for problem in problems:
        print(shown(f"faultfinder: {problem}"), file=sys.stderr)
    return seen


def told(seen: SeenBefore) -> str:
    """That the counts weigh in, and how much."""
    return say("seen_used", jobs=seen.jobs, weight=f"{seen.weight:g}")
