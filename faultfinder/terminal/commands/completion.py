"""`faultfinder completion SHELL`: what makes bash, zsh or fish complete the commands, made from the parser itself.

The script names every command, its options and what they take: words of a list, files, packs by their names, and
jobs by the records that lie in the jobs folder when TAB is pressed. It asks the program nothing, so it is fast. Each
shell's own part stands in `completion.SHELL` beside this module; a place in it, as @NAMES@, is filled in here.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from faultfinder.arguments import EXAMPLES, parser
from faultfinder.exits import Exit
from faultfinder.knowledge.load import shipped_packs

JOBS, FILES, PACKS = "jobs", "files", "packs"
_BY_METAVAR = {"JOB": JOBS, "FILE": FILES, "FOLDER": FILES, "PACK": PACKS, "OLD": PACKS, "NEW": PACKS}
_FOLDER = '"${FAULTFINDER_JOBS:-${XDG_DATA_HOME:-$HOME/.local/share}/faultfinder/jobs}"'


@dataclass(frozen=True, slots=True)
class Takes:
    """What can follow: a list of words, one of the kinds above, or (value False) nothing at all."""

    value: bool = False
    words: tuple[str, ...] = ()
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Command:
    """A command; the one without a name is what can stand before or without any. options: as the parser has them."""

    name: str
    help: str
    options: tuple[argparse.Action, ...]
    positional: Takes


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("shell", metavar="SHELL", choices=tuple(_PLACES), help=", ".join(_PLACES))


def run(asked: argparse.Namespace) -> int:
    """Print the script of a shell."""
    sys.stdout.write(script(asked.shell))
    return Exit.OK


def script(shell: str) -> str:
    """The completion script of 'bash', 'zsh' or 'fish'."""
    packs = " ".join(shipped_packs())
    places = {"FOLDER": _FOLDER, "PACKS": packs, **_PLACES[shell](commands(), packs)}
    text = Path(__file__).with_name(f"completion.{shell}").read_text(encoding="utf-8")
    return re.sub("@([A-Z]+)@", lambda found: places[found[1]], text)


def commands() -> tuple[Command, ...]:
    """All commands from the parser, the nameless one first."""
    top = parser(tuple(EXAMPLES))
    under = next(action for action in top._actions if isinstance(action, argparse._SubParsersAction))
    helps = {choice.dest: choice.help or "" for choice in under._choices_actions}
    return tuple(
        _command(name, helps.get(name, ""), each) for name, each in {"": top, **under.choices}.items()
    )


def _command(name: str, told: str, command: argparse.ArgumentParser) -> Command:
    options = tuple(action for action in command._actions if action.option_strings)
    takes = (_takes(action) for action in command._actions if not action.option_strings)
    return Command(name, told, options, next(takes, Takes()))


def _takes(action: argparse.Action) -> Takes:
    if action.nargs == 0:
        return Takes()
    if action.choices is not None:
        return Takes(True, tuple(str(choice) for choice in action.choices))
    name = str(action.metavar or action.dest).upper()
    return Takes(True, kind=_BY_METAVAR.get(name, FILES if action.dest == "path" else ""))


def _one_line(text: str | None) -> str:
    """A help text as it can stand between single quotes, without what a shell's own list would read."""
    return re.sub(r"[\[\]:'\\]", " ", text or "").strip()


def _names(all_: Sequence[Command]) -> str:
    return " ".join(command.name for command in all_ if command.name)


# -- bash -----------------------------------------------------------------------------------------------


def _bash(all_: Sequence[Command], packs: str) -> dict[str, str]:
    values, options, words = [], [], []
    for command in all_:
        for option in command.options:
            if (takes := _takes(option)).value:
                pattern = "|".join(f'"{command.name} {flag}"' for flag in option.option_strings)
                values.append(f"    {pattern}) {_bash_takes(takes)}; return;;")
        flags = " ".join(flag for option in command.options for flag in option.option_strings)
        options.append(f'    "{command.name}"-*) _faultfinder_words "$cur" "{flags}"; return;;')
        if command.positional.value:
            words.append(f'    "{command.name}") {_bash_takes(command.positional)};;')
    cases = {"VALUES": values, "OPTIONS": options, "WORDS": words}
    return {"NAMES": _names(all_), **{place: "\n".join(lines) for place, lines in cases.items()}}


def _bash_takes(takes: Takes) -> str:
    if takes.kind:
        return f'_faultfinder_{takes.kind} "$cur"'
    return f'_faultfinder_words "$cur" "{" ".join(takes.words)}"' if takes.words else ":"


# -- zsh ------------------------------------------------------------------------------------------------


def _zsh(all_: Sequence[Command], packs: str) -> dict[str, str]:
    names, words = [], []
    for command in all_[1:]:
        names.append(f"      '{command.name}:{_one_line(command.help)}'")
        rest = f" '*:argument:{_zsh_takes(command.positional)}'" if command.positional.value else ""
        words.append(f"    {command.name}) _arguments {_zsh_options(command)}{rest};;")
    return {"OPTIONS": _zsh_options(all_[0]), "NAMES": "\n".join(names), "WORDS": "\n".join(words)}


def _zsh_options(command: Command) -> str:
    out = []
    for option in command.options:
        takes = _takes(option)
        value = f":value:{_zsh_takes(takes)}" if takes.value else ""
        out += [f"'{flag}[{_one_line(option.help)}]{value}'" for flag in option.option_strings]
    return " ".join(out)


def _zsh_takes(takes: Takes) -> str:
    if takes.kind:
        return f"_faultfinder_{takes.kind}"
    return f"({' '.join(takes.words)})" if takes.words else " "


# -- fish -----------------------------------------------------------------------------------------------


def _fish(all_: Sequence[Command], packs: str) -> dict[str, str]:
    before = f"not __fish_seen_subcommand_from {_names(all_)}"
    lines = []
    for command in all_:
        when = f"__fish_seen_subcommand_from {command.name}" if command.name else before
        line = f"complete -c faultfinder -n '{when}'"
        for option in command.options:
            written = option.option_strings
            flags = (f"-l {flag[2:]}" if flag.startswith("--") else f"-s {flag[1:]}" for flag in written)
            takes = _takes(option)
            what = f"{' -x' if takes.words else ' -r'}{_fish_takes(takes, packs)}" if takes.value else ""
            lines.append(f"{line} {' '.join(flags)}{what} -d '{_one_line(option.help)}'")
        if command.name:
            told = _one_line(command.help)
            lines.append(f"complete -c faultfinder -n '{before}' -a {command.name} -d '{told}'")
            if command.positional.value:
                lines.append(f"{line}{_fish_takes(command.positional, packs)}")
    return {"WORDS": "\n".join(lines)}


def _fish_takes(takes: Takes, packs: str) -> str:
    kinds = {JOBS: " -F -a '(__faultfinder_jobs)'", PACKS: f" -F -a '{packs}'", FILES: " -F"}
    return kinds.get(takes.kind) or (f" -a '{' '.join(takes.words)}'" if takes.words else "")


_PLACES: Mapping[str, Callable[[Sequence[Command], str], dict[str, str]]] = {
    "bash": _bash,
    "zsh": _zsh,
    "fish": _fish,
}
"""Shell -> what stands at the places of its script."""
