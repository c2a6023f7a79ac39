"""`faultfinder completion SHELL`: what makes bash, zsh or fish complete the commands, made from the parser itself.

The script names every command, its options and what they take: words of a list, files, packs by their names, and
jobs by the records that lie in the jobs folder when TAB is pressed. It asks the program nothing, so it is fast.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

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
class Option:
    """An option: how it is written, what it says of itself, what follows it."""

    flags: tuple[str, ...]
    help: str
    takes: Takes


@dataclass(frozen=True, slots=True)
class Command:
    """A command; the one without a name is what can stand before or without any."""

    name: str
    help: str
    options: tuple[Option, ...]
    positional: Takes


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of the command."""
    command.add_argument("shell", metavar="SHELL", choices=tuple(_SCRIPTS), help=", ".join(_SCRIPTS))


def run(asked: argparse.Namespace) -> int:
    """Print the script of a shell."""
    sys.stdout.write(script(asked.shell))
    return Exit.OK


def script(shell: str) -> str:
    """The completion script of 'bash', 'zsh' or 'fish'."""
    return "\n".join(_SCRIPTS[shell](commands(), tuple(shipped_packs()))) + "\n"


def commands() -> tuple[Command, ...]:
    """All commands from the parser, the nameless one first."""
    top = parser(tuple(EXAMPLES))
    under: Mapping[str, argparse.ArgumentParser] = {}
    helps: dict[str, str] = {}
    for action in top._actions:
        if isinstance(action, argparse._SubParsersAction):
            under = action.choices
            helps = {choice.dest: choice.help or "" for choice in action._choices_actions}
    out = [Command("", "", _options(top), Takes(True, tuple(under)))]
    for name, command in under.items():
        positionals = [action for action in command._actions if not action.option_strings]
        out.append(
            Command(
                name,
                helps.get(name, ""),
                _options(command),
                _takes(positionals[0]) if positionals else Takes(),
            )
        )
    return tuple(out)


def _options(command: argparse.ArgumentParser) -> tuple[Option, ...]:
    return tuple(
        Option(tuple(action.option_strings), action.help or "", _takes(action))
        for action in command._actions
        if action.option_strings
    )


def _takes(action: argparse.Action) -> Takes:
    if action.nargs == 0:
        return Takes()
    if action.choices is not None:
        return Takes(True, tuple(str(choice) for choice in action.choices))
    name = str(action.metavar or action.dest).upper()
    return Takes(True, kind=_BY_METAVAR.get(name, FILES if action.dest == "path" else ""))


def _one_line(text: str) -> str:
    """A help text as it can stand between single quotes, without what a shell's own list would read."""
    return re.sub(r"[\[\]:'\\]", " ", text).strip()


# -- bash -----------------------------------------------------------------------------------------------


def _bash(all_: Sequence[Command], packs: Sequence[str]) -> Iterator[str]:
    names = " ".join(command.name for command in all_ if command.name)
    yield f"# bash: source <(faultfinder completion bash), or keep it in {_user_folder('bash')}"
    yield "_faultfinder_files() {"
    yield "  local IFS=$'\\n'; compopt -o filenames 2>/dev/null"
    yield '  COMPREPLY=($(compgen -f -- "$1"))'
    yield "}"
    yield "_faultfinder_jobs() {"
    yield f"  local folder={_FOLDER} names"
    yield '  names=$(cd "$folder" 2>/dev/null && ls *.yaml 2>/dev/null)'
    yield '  COMPREPLY=($(compgen -W "${names//.yaml/}" -- "$1"))'
    yield '  if [ ${#COMPREPLY[@]} -eq 0 ]; then _faultfinder_files "$1"; fi'
    yield "}"
    yield "_faultfinder_packs() {"
    yield f'  local packs="{" ".join(packs)}"'
    yield '  _faultfinder_files "$1"; COMPREPLY=($(compgen -W "$packs" -- "$1") "${COMPREPLY[@]}")'
    yield "}"
    yield "_faultfinder_words() {"
    yield '  COMPREPLY=($(compgen -W "$2" -- "$1"))'
    yield "}"
    yield "_faultfinder() {"
    yield "  local cur=${COMP_WORDS[COMP_CWORD]} prev=${COMP_WORDS[COMP_CWORD-1]} command= word"
    yield "  COMPREPLY=()"
    yield '  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do'
    yield f'    case " {names} " in *" $word "*) command=$word; break;; esac'
    yield "  done"
    yield '  case "$command $prev" in'
    for command in all_:
        for option in command.options:
            if option.takes.value:
                pattern = "|".join(f'"{command.name} {flag}"' for flag in option.flags)
                yield f"    {pattern}) {_bash_takes(option.takes)}; return;;"
    yield "  esac"
    yield '  case "$command$cur" in'
    for command in all_:
        flags = " ".join(flag for option in command.options for flag in option.flags)
        yield f'    "{command.name}"-*) _faultfinder_words "$cur" "{flags}"; return;;'
    yield "  esac"
    yield '  case "$command" in'
    for command in all_:
        if command.positional.value:
            yield f'    "{command.name}") {_bash_takes(command.positional)};;'
    yield "  esac"
    yield "}"
    yield "complete -F _faultfinder faultfinder"


def _bash_takes(takes: Takes) -> str:
    if takes.kind:
        return f'_faultfinder_{takes.kind} "$cur"'
    return f'_faultfinder_words "$cur" "{" ".join(takes.words)}"' if takes.words else ":"


# -- zsh ------------------------------------------------------------------------------------------------


def _zsh(all_: Sequence[Command], packs: Sequence[str]) -> Iterator[str]:
    yield "#compdef faultfinder"
    yield f"# zsh: faultfinder completion zsh > a folder of $fpath/_faultfinder, such as {_user_folder('zsh')}"
    yield "_faultfinder_files() { _files }"
    yield "_faultfinder_jobs() {"
    yield f"  local folder={_FOLDER}"
    yield "  local -a names; names=($folder/*.yaml(N:t:r))"
    yield "  (( $#names )) && compadd -a names || _files"
    yield "}"
    yield "_faultfinder_packs() {"
    yield f"  compadd {' '.join(packs)}; _files"
    yield "}"
    yield "_faultfinder() {"
    yield "  local curcontext=$curcontext state line"
    yield "  typeset -A opt_args"
    yield f"  _arguments -C {_zsh_options(all_[0])} '1:command:->command' '*::argument:->argument'"
    yield "  case $state in"
    yield "  command)"
    yield "    local -a known; known=("
    for command in all_[1:]:
        yield f"      '{command.name}:{_one_line(command.help)}'"
    yield "    )"
    yield "    _describe command known;;"
    yield "  argument)"
    yield "    case $line[1] in"
    for command in all_[1:]:
        rest = f" '*:argument:{_zsh_takes(command.positional)}'" if command.positional.value else ""
        yield f"    {command.name}) _arguments {_zsh_options(command)}{rest};;"
    yield "    esac;;"
    yield "  esac"
    yield "}"
    yield 'if [ "$funcstack[1]" = _faultfinder ]; then _faultfinder "$@"; else compdef _faultfinder faultfinder; fi'


def _zsh_options(command: Command) -> str:
    out = []
    for option in command.options:
        for flag in option.flags:
            value = f":value:{_zsh_takes(option.takes)}" if option.takes.value else ""
            out.append(f"'{flag}[{_one_line(option.help)}]{value}'")
    return " ".join(out)


def _zsh_takes(takes: Takes) -> str:
    if takes.kind:
        return f"_faultfinder_{takes.kind}"
    return f"({' '.join(takes.words)})" if takes.words else " "


# -- fish -----------------------------------------------------------------------------------------------


def _fish(all_: Sequence[Command], packs: Sequence[str]) -> Iterator[str]:
    names = " ".join(command.name for command in all_ if command.name)
    yield f"# fish: faultfinder completion fish > {_user_folder('fish')}"
    yield "function __faultfinder_jobs"
    yield "  set -l folder $FAULTFINDER_JOBS"
    yield '  test -n "$folder"; or set folder $XDG_DATA_HOME/faultfinder/jobs'
    yield '  test -n "$FAULTFINDER_JOBS$XDG_DATA_HOME"; or set folder $HOME/.local/share/faultfinder/jobs'
    yield "  for file in $folder/*.yaml"
    yield "    basename $file .yaml"
    yield "  end"
    yield "end"
    yield "complete -c faultfinder -f"
    for command in all_:
        when = f"__fish_seen_subcommand_from {command.name}" if command.name else _fish_before(names)
        for option in command.options:
            yield _fish_line(when, option, packs)
        if command.name:
            yield (
                f"complete -c faultfinder -n '{_fish_before(names)}' -a {command.name} "
                f"-d '{_one_line(command.help)}'"
            )
            if command.positional.value:
                takes = _fish_takes(command.positional, packs)
                yield f"complete -c faultfinder -n '{when}'{takes}"


def _fish_before(names: str) -> str:
    return f"not __fish_seen_subcommand_from {names}"


def _fish_line(when: str, option: Option, packs: Sequence[str]) -> str:
    flags = "".join(
        f" -l {flag[2:]}" if flag.startswith("--") else f" -s {flag[1:]}" for flag in option.flags
    )
    needs = " -x" if option.takes.words else " -r"
    takes = f"{needs}{_fish_takes(option.takes, packs)}" if option.takes.value else ""
    return f"complete -c faultfinder -n '{when}'{flags}{takes} -d '{_one_line(option.help)}'"


def _fish_takes(takes: Takes, packs: Sequence[str]) -> str:
    if takes.kind == JOBS:
        return " -F -a '(__faultfinder_jobs)'"
    if takes.kind == PACKS:
        return f" -F -a '{' '.join(packs)}'"
    if takes.kind == FILES:
        return " -F"
    return f" -a '{' '.join(takes.words)}'" if takes.words else ""


def _user_folder(shell: str) -> str:
    """Where the shell looks for a user's own scripts."""
    return {
        "bash": "~/.local/share/bash-completion/completions/faultfinder",
        "zsh": "~/.zfunc",
        "fish": "~/.config/fish/completions/faultfinder.fish",
    }[shell]


_SCRIPTS: Mapping[str, Callable[[Sequence[Command], Sequence[str]], Iterator[str]]] = {
    "bash": _bash,
    "zsh": _zsh,
    "fish": _fish,
}
