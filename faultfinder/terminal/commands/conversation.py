"""`faultfinder`, `faultfinder new` and `faultfinder resume [JOB]`: a new job, or one taken up again."""

from __future__ import annotations

import argparse
from pathlib import Path

from faultfinder.exits import Exit
from faultfinder.terminal.console.ahead import SaidAhead
from faultfinder.terminal.startup import ask_pack, jobs_folder, pick_face


def run(asked: argparse.Namespace) -> int:
    """A new job, or one taken up again."""
    kept = asked.command == "resume" or not getattr(asked, "no_record", False)
    folder = jobs_folder(getattr(asked, "folder", "")) if kept or getattr(asked, "seen", False) else Path()
    face = pick_face(getattr(asked, "plain", False))
    chosen = getattr(asked, "pack", "")
    if asked.command != "resume":
        said: list[str] = []
        chosen = chosen or ask_pack(face, said)
        if chosen is None:
            return Exit.OK
        if said:
            face = SaidAhead(face, "complaint", said[-1])
    # The rest is loaded once the first question stands.
    from faultfinder.terminal.commands import new_job as work

    return (
        work.resumed(asked, face, folder)
        if asked.command == "resume"
        else work.begun(asked, face, folder, chosen)
    )
