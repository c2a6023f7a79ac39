"""`faultfinder practise`: a faulty machine to work on, without advice; at the end the review.

Arguments read from the namespace: pack, level, seed, machine (a YAML file), wrong, plain, json (the review as
JSON at the end). The same seed gives the same machine, so that a class can have one. Status 1 when the exercise
ended unsafe or faults were left, 130 when it was left by the end of input.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from time import time

from faultfinder.dialogue.say import Ask, Line, Option, Said, Tone, heading, note, question
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Need, Pack
from faultfinder.practice import exercise as work
from faultfinder.practice.draw import Level, PracticeJob, draw_job
from faultfinder.practice.exercise import Exercise, Told
from faultfinder.practice.load import load_practice
from faultfinder.practice.review import Review, review
from faultfinder.practice.written import read_job
from faultfinder.safety import gate as safety
from faultfinder.terminal.assess import print_json
from faultfinder.terminal.guided import pick_face
from faultfinder.terminal.session import Face

HELP = (
    ("ask NAME", "ask or measure something (a number of the last list will do)"),
    ("list [WORD]", "what can be asked; with a word only what has it in its name or question"),
    ("actions [WORD]", "the safety actions; which comes next you must know"),
    ("do NAME", "do a safety action, and say that it is done"),
    ("faults [WORD]", "the faults that can be put right"),
    ("right NAME", "put a fault right, or hand it over"),
    ("where", "how the machine stands, what was found, the minutes"),
    ("close HOW", "leave the machine: fit for use, left isolated, handed over"),
    ("give up", "end here and see the review"),
)
NEED_HEADS: Mapping[Need, str] = {
    Need.ANYWHERE: "By word of mouth",
    Need.COVERS_ON: "From outside",
    Need.IN_USE: "In use, covers on",
    Need.ISOLATED: "Supply cut",
    Need.OPEN_DEAD: "Open and proved dead",
}


def run(asked: argparse.Namespace) -> int:
    """An exercise from the first word to the review."""
    name = str(asked.pack)
    pack = load_pack(name)
    job = _job(pack, name, asked)
    face = pick_face(bool(getattr(asked, "plain", False)))
    going = work.begin(job, float(getattr(asked, "wrong", 0.0) or 0.0))
    ended = _converse(face, going, job)
    result = review(going)
    if getattr(asked, "json", False):
        print_json(as_mapping(result))
    else:
        face.show(review_said(result, pack))
    if not ended:
        return Exit.INTERRUPTED
    return Exit.PROBLEMS if result.unsafe or result.left else Exit.OK


def _job(pack: Pack, name: str, asked: argparse.Namespace) -> PracticeJob:
    description = load_practice(pack, name)
    file = str(getattr(asked, "machine", "") or "")
    if file:
        try:
            data = Path(file).read_bytes()
        except OSError as trouble:
            raise FaultFinderError(f"{file} cannot be read: {trouble.strerror}.") from trouble
        return read_job(data, file, pack, description)
    seed = getattr(asked, "seed", None)
    text = str(seed) if seed not in (None, "") else str(int(time()) % 100_000)
    return draw_job(pack, description, text, level=Level(getattr(asked, "level", "") or Level.ONE))


# -- the conversation ---------------------------------------------------------------------------------------


class _Listing:
    """The list that was shown last: numbers in the next line mean its entries."""

    def __init__(self) -> None:
        self.names: list[str] = []


def _converse(face: Face, going: Exercise, job: PracticeJob) -> bool:
    """Until the exercise is over; False when the input ended first."""
    said: list[Said] = [heading(f"Practice, seed {job.seed}")]
    said += [Line(line) for line in work.opening(going)]
    said.append(note("No advice is given here. Type help for the words. What is unsafe ends the exercise."))
    face.show(said)
    shown = _Listing()
    while not going.over:
        try:
            line = face.ask(Ask(f"{going.minutes:.0f} min"))
        except EOFError:
            return False
        text = " ".join(line.split())
        if text.casefold() in ("give up", "quit", "exit"):
            return True
        try:
            face.show(_reply(going, shown, text))
        except FaultFinderError as trouble:
            face.show([Line(str(trouble), Tone.ERROR)])
    return True


def _reply(going: Exercise, shown: _Listing, text: str) -> list[Said]:
    word, _, rest = text.partition(" ")
    command = _COMMANDS.get(word.casefold())
    if command is None:
        return _ask(going, shown, text) if text else _help(going, shown, "")
    return command(going, shown, rest)


def _told(told: Told) -> list[Said]:
    return [Line(line, Tone.STOP if line.startswith("UNSAFE") else Tone.PLAIN) for line in told.lines]


def _help(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    return [heading("Words"), *(Line(f"{words}: {what}", indent=2) for words, what in HELP)]


def _ask(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    items = {item.id: item.ask for item in work.askable(going)}
    name = _chosen(shown, rest, items)
    return [question(items.get(name, name)), *_told(work.ask(going, name))]


def _do(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    # By their names only: nearly every action's text has the commonest words in it.
    return _told(work.act(going, _chosen(shown, rest, {each.id: "" for each in work.actions(going)})))


def _right(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    names = {cause.id: f"{cause.title}: {cause.remedy}" for cause in work.remedies(going)}
    return _told(work.put_right(going, _chosen(shown, rest, names)))


def _close(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    return _told(work.close(going, _chosen(_Listing(), rest, {name: name for name in work.CLOSINGS})))


def _list(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    said: list[Said] = []
    shown.names = []
    head: Need | None = None
    for item in work.askable(going):
        if not _has(rest, item.id, item.ask):
            continue
        if item.need is not head:
            head = item.need
            said.append(heading(NEED_HEADS[head]))
        shown.names.append(item.id)
        said.append(Option(len(shown.names), item.id, f"{item.ask} ({item.minutes:g} min)"))
    return said or [note("Nothing of that name can be asked.")]


def _actions(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    rows = [(each.id, each.text) for each in work.actions(going) if _has(rest, each.id, each.text)]
    return _numbered(shown, rows)


def _faults(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    rows = [
        (cause.id, f"{cause.title}: {cause.remedy} ({cause.minutes:g} min)")
        for cause in work.remedies(going)
        if _has(rest, cause.id, cause.title)
    ]
    return _numbered(shown, rows)


def _numbered(shown: _Listing, rows: Sequence[tuple[str, str]]) -> list[Said]:
    shown.names = [name for name, _ in rows]
    return [Option(number, name, text) for number, (name, text) in enumerate(rows, 1)] or [note("None.")]


def _where(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    gate = going.work.state.gate
    said: list[Said] = [
        Line(f"The machine is {safety.ACCESS_WORDS[gate.access]}; {going.minutes:.0f} minutes so far.")
    ]
    for step in going.work.path:
        said.append(Line(f"{step.title} {step.found}", indent=2))
    return said


def _has(words: str, *texts: str) -> bool:
    joined = " ".join(texts).casefold().replace("_", " ")
    return all(word.casefold() in joined for word in words.replace("_", " ").split())


def _chosen(shown: _Listing, text: str, known: Mapping[str, str]) -> str:
    """The name meant: a number of the last list, a name, or words that only one name or text has."""
    plain = text.strip().casefold().replace(" ", "_")
    if plain.isdecimal() and plain.isascii() and 1 <= int(plain[:6]) <= len(shown.names):
        return shown.names[int(plain[:6]) - 1]
    if plain in known or not plain:
        return plain
    fits = [name for name in known if _has(text, name)] or [
        name for name, words in known.items() if words and _has(text, name, words)
    ]
    if len(fits) == 1:
        return fits[0]
    if len(fits) > 1:
        raise FaultFinderError(f"That could be: {', '.join(fits[:8])}.")
    return plain


_COMMANDS: Mapping[str, Callable[[Exercise, _Listing, str], list[Said]]] = {
    "ask": _ask,
    "measure": _ask,
    "list": _list,
    "actions": _actions,
    "do": _do,
    "faults": _faults,
    "right": _right,
    "where": _where,
    "close": _close,
    "help": _help,
    "?": _help,
}


# -- the review -----------------------------------------------------------------------------------------------


def review_said(result: Review, pack: Pack) -> list[Said]:
    """The review in words."""
    said: list[Said] = [heading("The faults")]
    for fault in result.faults:
        word = "found" if fault.found else "NOT FOUND"
        by = f", brought on by: {pack.causes[fault.brought_on_by].title}" if fault.brought_on_by else ""
        said.append(Line(f"{fault.title}: {word}{by}", indent=2))
        if not fault.found:
            for each in fault.shown_by:
                text = (
                    f"would have shown it ({each.minutes:g} min): {each.ask} {each.answer}; "
                    f"without the fault: {each.instead_of}."
                )
                said.append(Line(f"{text} {each.why}".strip(), indent=4))
    if result.unsafe:
        said.append(Line(f"Ended by an unsafe act: {result.unsafe}", Tone.STOP))
    for mark in result.marks:
        said.append(Line(f"Mark, at {mark.minutes:.0f} min: {mark.what}", Tone.CAUTION))
    if result.for_nothing:
        titles = ", ".join(pack.causes[name].title for name in result.for_nothing)
        said.append(Line(f"Put right for nothing: {titles}; parts for nothing: {result.parts_for_nothing}."))
    said.append(heading(f"Your way: {result.minutes:.0f} minutes"))
    said += [Line(f"{step.minutes:.0f} min  {step.title} {step.found}", indent=2) for step in result.path]
    said.append(heading(f"The tool's way on the same machine: {result.tool_minutes:.0f} minutes"))
    for step in result.tool_path:
        why = f" (expected to save {step.worth:.0f} min)" if step.worth >= 1 else ""
        said.append(Line(f"{step.minutes:.0f} min  {step.title} {step.found}{why}", indent=2))
    return said


def as_mapping(result: Review) -> dict[str, object]:
    """The review for programs."""
    return {
        "faults": [
            {"cause": each.cause, "found": each.found, "brought_on_by": each.brought_on_by}
            for each in result.faults
        ],
        "unsafe": result.unsafe,
        "marks": [{"minutes": mark.minutes, "what": mark.what} for mark in result.marks],
        "for_nothing": list(result.for_nothing),
        "parts_for_nothing": result.parts_for_nothing,
        "closed": result.closed,
        "minutes": result.minutes,
        "tool_minutes": result.tool_minutes,
        "path": [[step.kind, step.target, step.found] for step in result.path],
        "tool_path": [[step.kind, step.target, step.found] for step in result.tool_path],
        "left": list(result.left),
    }
