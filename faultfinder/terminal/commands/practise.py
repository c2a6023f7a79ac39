"""`faultfinder practise`: a faulty machine to work on, without advice; at the end the review.

The same seed gives the same machine, so that a class can have one. Status 1 when the exercise ended unsafe or faults
were left, 130 when it was left by the end of input.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from time import time

from faultfinder.arguments import between
from faultfinder.dialogue.say import Ask, Line, Option, Said, Tone, heading, note, question
from faultfinder.dialogue.showing.present import instruction_said
from faultfinder.errors import FaultFinderError
from faultfinder.exits import Exit
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Need, Observation, Pack, Question
from faultfinder.knowledge.ordinary_file import read_ordinary
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.practice import exercise as work
from faultfinder.practice.draw import LEVELS, Level, PracticeJob, draw_job
from faultfinder.practice.exercise import Exercise, ExerciseReply
from faultfinder.practice.load import load_practice
from faultfinder.practice.review import review
from faultfinder.practice.written import read_job
from faultfinder.safety import gate as safety
from faultfinder.terminal.commands.practise_review import as_mapping, review_said, step_line
from faultfinder.terminal.console.alarm import left_for_danger
from faultfinder.terminal.console.console import Face
from faultfinder.terminal.console.printed import print_json
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.startup import pick_face
from faultfinder.text.catalogue import has, say
from faultfinder.text.format import minutes_text, name_of

HELP = (
    ("list [WORD]", "list"),
    ("ask WORDS", "ask"),
    ("how WORDS", "how"),
    ("actions [WORD]", "actions"),
    ("do WORDS", "do"),
    ("faults [WORD]", "faults"),
    ("right WORDS", "right"),
    ("where", "where"),
    ("close HOW", "close"),
    ("give up", "give_up"),
)
"""What is typed, and the last word of the key that tells what it does."""


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `practise`."""
    levels = f"{', '.join(LEVELS)} {say('arguments_default_one')}"
    machine, wrong = say("arguments_machine_written_by_hand"), say("arguments_share_wrong_answers_0")
    command.add_argument("pack", metavar="PACK", help=say("arguments_pack"))
    command.add_argument("--level", choices=LEVELS, default="one", metavar="LEVEL", help=levels)
    command.add_argument("--seed", type=int, help=say("arguments_same_number_gives_same"))
    command.add_argument("--machine", default="", metavar="FILE", help=machine)
    command.add_argument("--wrong", type=between(0, 0.3), default=0.0, help=wrong)
    command.add_argument("--plain", action="store_true", help=say("arguments_lines_only"))
    command.add_argument("--json", action="store_true", help=say("arguments_print_review_as_json"))


def run(asked: argparse.Namespace) -> int:
    """An exercise from the first word to the review."""
    pack = load_pack(asked.pack)
    with Progress(say("practise_making_machine")):
        job = _job(pack, asked)
    face = pick_face(asked.plain)
    going = work.begin(job, asked.wrong)
    ended = _converse(face, going, job)
    face.show([note(say("practise_reviewing"))])
    with Progress(say("practise_comparing")):
        result = review(going)
    if asked.json:
        print_json(as_mapping(result))
    else:
        face.show(review_said(result, pack))
    if not ended:
        return Exit.INTERRUPTED
    return Exit.PROBLEMS if result.unsafe or result.left else Exit.OK


def _job(pack: Pack, asked: argparse.Namespace) -> PracticeJob:
    description, file = load_practice(pack, asked.pack), asked.machine
    if file:
        try:
            data = read_ordinary(Path(file))
        except OSError as trouble:
            raise FaultFinderError(say("cannot_be_read", what=file, why=trouble.strerror)) from trouble
        return read_job(data, file, pack, description)
    seed = int(time()) % 100_000 if asked.seed is None else asked.seed
    return draw_job(pack, description, str(seed), level=Level(asked.level))


# -- the conversation ---------------------------------------------------------------------------------------


class _Listing:
    """The list that was shown last: a number in the next line means its entry, and what the list was for."""

    def __init__(self) -> None:
        self.names: list[str] = []
        self.command = "ask"


class _Several(FaultFinderError):
    """Words that fit several things: (name, text) each."""

    def __init__(self, rows: list[tuple[str, str]]) -> None:
        super().__init__(say("practise_could", names=", ".join((name for name, _ in rows))))
        self.rows = rows


def _converse(face: Face, going: Exercise, job: PracticeJob) -> bool:
    """Until the exercise is over; False when the input ended first."""
    said: list[Said] = [heading(say("practise_practice_seed", seed=job.seed))]
    said += [Line(line) for line in work.opening(going)]
    said.append(note(say("practise_no_advice_given_here")))
    face.show(said)
    shown = _Listing()
    interrupted = False
    while not going.over:
        try:
            line = face.ask(Ask(minutes_text(going.minutes)))
        except EOFError:
            return False
        except KeyboardInterrupt:
            if interrupted:
                raise
            interrupted = True
            face.show([note(say("practise_nothing_lost_type_give"))])
            continue
        interrupted = False
        text = " ".join(line.split())
        if text.casefold() in ("give up", "quit", "exit", "stop"):
            return True
        if left_for_danger(face, text, say("practise_danger_real")):
            return True
        try:
            with Progress(say("practise_working_out")):
                said = _reply(going, shown, text)
            face.show(said)
        except FaultFinderError as trouble:
            face.show([Line(str(trouble), Tone.ERROR)])
    return True


def _reply(going: Exercise, shown: _Listing, text: str) -> list[Said]:
    word, _, rest = text.partition(" ")
    name = _SAME.get(word.casefold(), word.casefold())
    if _is_number(name):
        name, rest = shown.command, text
    command = _COMMANDS.get(name)
    if command is None:
        name, rest = ("ask", text) if text else ("help", "")
        command = _COMMANDS[name]
    if not rest and has(f"practise_missing_{name}"):
        return [Line(say(f"practise_missing_{name}"), Tone.ERROR)]
    try:
        return command(going, shown, rest)
    except _Several as several:
        first = note(say("practise_could_one_these_its"))
        return [first, *_numbered(shown, several.rows, name)]


def _told(told: ExerciseReply) -> list[Said]:
    first = Tone.STOP if told.unsafe else Tone.PLAIN
    return [Line(line, Tone.PLAIN if number else first) for number, line in enumerate(told.lines)]


def _help(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    return [
        heading(say("practise_help_head")),
        *(Line(f"{typed}: {say(f'practise_help_{word}')}", indent=2) for typed, word in HELP),
    ]


def _ask(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    # What was asked already is meant only where nothing else fits.
    item = _item(going, shown, rest, first=work.askable(going))
    return [question(item.ask), *_told(work.ask(going, item.id))]


def _item(
    going: Exercise, shown: _Listing, rest: str, first: Sequence[Observation | Question] = ()
) -> Observation | Question:
    """What is meant of all that makes sense on such a machine, asked already or not; of `first` where it can be."""
    pack = going.work.state.pack
    items: list[Observation | Question] = [*pack.questions.values(), *pack.observations.values()]
    known = {item.id: item for item in items if not work.why_not(going, item)}
    asks = {item.id: item.ask for item in first}
    name = _chosen(shown, rest, asks) if first else ""
    if name not in asks:
        name = _chosen(shown, rest, {each.id: each.ask for each in known.values()})
    if name not in known:
        raise FaultFinderError(
            say("practise_cannot_asked", typed=rest, hint=did_you_mean(name, known)).strip()
        )
    return known[name]


def _how(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    item, state = _item(going, shown, rest), going.work.state
    instruction = safety.instruction_for_observation(state.gate, item, state.pack.cautions)
    said = instruction_said(instruction)
    if not instruction.how.strip():
        said.append(Line(say("practise_no_how"), Tone.HOW))
    return [question(instruction.title), *said]


def _do(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    words = rest.replace(",", " ").split()
    each = words if all(_is_number(word) for word in words) else rest.split(",")
    said: list[Said] = []
    # By their names only: nearly every action's text has the commonest words in it.
    known = {action.id: action for action in work.actions(going)}
    for one in each:
        name = _chosen(shown, one, dict.fromkeys(known, ""))
        told = work.act(going, name)
        if len(each) > 1:
            said.append(Line(known[name].text if name in known else name))
        said += _told(told)
        if not told.done:
            break
    return said


def _right(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    names = {cause.id: f"{cause.title}: {cause.remedy}" for cause in work.remedies(going)}
    return _told(work.put_right(going, _chosen(shown, rest, names)))


def _close(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    return _told(work.close(going, _chosen(_Listing(), rest, {name: name for name in work.CLOSINGS})))


def _list(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    said: list[Said] = []
    shown.names, shown.command = [], "ask"
    head: Need | None = None
    for item in work.askable(going):
        if not _has(rest, item.id, item.ask):
            continue
        if item.need is not head:
            head = item.need
            said.append(heading(say(f"practise_need_{head}")))
        shown.names.append(item.id)
        said.append(Option(len(shown.names), item.id, f"{item.ask} ({_min(item.minutes)})"))
    return said or [note(say("practise_nothing_name_can_asked"))]


def _actions(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    rows = [
        (each.id, f"{name_of(each.id)}: {each.text}")
        for each in work.actions(going)
        if _has(rest, each.id, each.text)
    ]
    return _numbered(shown, sorted(rows), "do")


def _faults(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    rows = [
        (cause.id, f"{cause.title}: {cause.remedy} ({_min(cause.minutes)})")
        for cause in work.remedies(going)
        if _has(rest, cause.id, cause.title)
    ]
    return _numbered(shown, rows, "right")


def _numbered(shown: _Listing, rows: Sequence[tuple[str, str]], command: str) -> list[Said]:
    """Rows as a list to pick from by a number, meant for that command."""
    shown.names, shown.command = [name for name, _ in rows], command
    return [Option(number, name, text) for number, (name, text) in enumerate(rows, 1)] or [
        note(say("practise_none"))
    ]


def _where(going: Exercise, shown: _Listing, rest: str) -> list[Said]:
    access, minutes = safety.access_words(going.work.state.gate.access), minutes_text(going.minutes)
    told = Line(say("practise_machine_so_far", access_words=access, minutes=minutes))
    return [told, *(step_line(step) for step in going.work.path)]


def _min(minutes: float) -> str:
    return say("figure_minutes", count=f"{minutes:g}")


def _has(words: str, *texts: str) -> bool:
    """Whether each word begins one of the texts' words: hose is not in choose."""
    there = re.findall(r"\w+", " ".join(texts).casefold().replace("_", " "))
    return all(
        any(each.startswith(word) for each in there) for word in words.casefold().replace("_", " ").split()
    )


def _chosen(shown: _Listing, text: str, known: Mapping[str, str]) -> str:
    """The name meant: a number of the last list, a name, or words that only one name or text has."""
    plain = text.strip().casefold().replace(" ", "_")
    if _is_number(plain):
        if not 1 <= int(plain) <= len(shown.names):
            key = "practise_last_list_ends_at" if shown.names else "practise_no_list_shown_yet"
            last = say(key, count=len(shown.names))
            raise FaultFinderError(say("practise_there_no_number_in", last=last, number=plain))
        return shown.names[int(plain) - 1]
    if plain in known or not plain:
        return plain
    fits = [name for name in known if _has(text, name)] or [
        name for name, words in known.items() if words and _has(text, name, words)
    ]
    if len(fits) == 1:
        return fits[0]
    if len(fits) > 1:
        raise _Several([(name, known[name] or name_of(name)) for name in fits])
    return plain


def _is_number(word: str) -> bool:
    return word.isdecimal() and word.isascii() and len(word) <= 6


_COMMANDS: Mapping[str, Callable[[Exercise, _Listing, str], list[Said]]] = {
    each.__name__.removeprefix("_"): each
    for each in (_ask, _how, _list, _actions, _do, _faults, _right, _where, _close, _help)
}
_SAME: Mapping[str, str] = {"measure": "ask", "?": "help"}
"""Other words for a command."""
