"""Where jobs are kept, which face this terminal gets, and which pack is meant: what comes before the first question.

Only what that needs is imported here, so that the first question stands at once; the rest is loaded behind it.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from faultfinder.dialogue.say import Ask, error, note, options, question
from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.shipped import shipped_packs, title_of
from faultfinder.terminal.console.alarm import left_for_danger
from faultfinder.terminal.console.console import Face
from faultfinder.terminal.console.plain import plain_face
from faultfinder.text.catalogue import say


def jobs_folder(given: str = "") -> Path:
    """Where records are kept: as given, else FAULTFINDER_JOBS, else the user's data folder. Raises FaultFinderError
    where there is none."""
    if given or os.environ.get("FAULTFINDER_JOBS"):
        return Path(given or os.environ["FAULTFINDER_JOBS"])
    if sys.platform == "win32" and os.environ.get("LOCALAPPDATA"):
        return Path(os.environ["LOCALAPPDATA"]) / "faultfinder" / "jobs"
    try:
        home = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    except RuntimeError:
        raise FaultFinderError(say("startup_there_no_home_folder")) from None
    return Path(home) / "faultfinder" / "jobs"


def pick_face(plain: bool) -> Face:
    """The face for this terminal: the plain one for pipes, dumb terminals and when it is asked for."""
    wish = plain or os.environ.get("FAULTFINDER_PLAIN") or os.environ.get("ACCESSIBLE")
    dumb = os.environ.get("TERM", "") in ("", "dumb", "unknown") and sys.platform != "win32"
    at_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    if not (wish or dumb) and at_terminal:
        from faultfinder.terminal.console.rich import RichFace

        try:
            return RichFace(colour=not os.environ.get("NO_COLOR"))
        except Exception as trouble:  # a console that cannot be driven: any error of its library
            print(say("startup_faultfinder_plain_lines_since", trouble=trouble), file=sys.stderr)
    return plain_face(echo=not sys.stdin.isatty())


def ask_pack(face: Face, said: list[str] | None = None) -> Path | None:
    """The folder of the pack of a new job: the only shipped one, or the one the person chooses; None when they
    leave. Whoever begins with the complaint is not asked for it again: it is put into `said`."""
    folders = shipped_packs()
    if len(folders) == 1:
        return next(iter(folders.values()))
    titles = {name: title_of(folder) for name, folder in folders.items()}
    face.show([question(say("startup_what_machine")), *options(list(titles.items()))])
    while True:
        try:
            typed = face.ask(Ask(say("label_machine"), (*titles, "stop"))).strip()
        except (EOFError, KeyboardInterrupt):
            return None
        line = typed.casefold()
        if line in ("stop", "quit", "exit") or left_for_danger(face, line):
            return None
        number = line.isascii() and line.isdigit()
        chosen = dict(enumerate(titles, 1)).get(int(line)) if number else _by_words(titles, line)
        if chosen is not None:
            if said is not None and _is_complaint(line, _words(chosen, titles[chosen])):
                said.append(typed)
            return folders[chosen]
        machines = ", ".join(f"{n} {title}" for n, title in enumerate(titles.values(), 1))
        if said is not None and _is_complaint(line):
            said.append(typed)
            face.show([note(say("startup_kept_for_next_question", machines=machines))])
        else:
            face.show([error(say("choose", words=machines))])


FEWEST_WORDS = 2
"""Words, those of the machine's name left out, from which a line is taken for a complaint; chosen."""


def _is_complaint(line: str, name: Sequence[str] = ()) -> bool:
    return sum(word.isalpha() and word not in name for word in line.split()) >= FEWEST_WORDS


def _by_words(titles: Mapping[str, str], line: str) -> str | None:
    """The pack whose name and title share most words with what was typed; None where two share as many or none
    does. A word may be cut short."""
    typed = line.replace("_", " ").split()
    shared = {
        name: sum(any(word.startswith(part) for word in _words(name, title)) for part in typed)
        for name, title in titles.items()
    }
    most = max(shared.values(), default=0)
    best = [name for name, count in shared.items() if count == most > 0]
    return best[0] if len(best) == 1 else None


def _words(name: str, title: str) -> list[str]:
    return f"{name.replace('_', ' ')} {title}".casefold().split()
