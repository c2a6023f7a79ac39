"""Shell completion made from the parser: bash completes for real, zsh and fish name all that the parser knows."""

from __future__ import annotations

import subprocess
from functools import cache
from pathlib import Path

import pytest
from running import run, run_here

from faultfinder.arguments import EXAMPLES, parser
from faultfinder.terminal.commands.completion import commands, script

ASK = """
source "$1"; shift
COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1))
_faultfinder
printf '%s\\n' "${COMPREPLY[@]}"
"""


@cache
def bash_file(folder: Path) -> Path:
    path = folder / "completion.bash"
    path.write_text(script("bash"), encoding="utf-8")
    return path


def offered(folder: Path, *words: str) -> list[str]:
    """What bash offers for the last word of a line, in a folder with one file."""
    done = subprocess.run(
        ["bash", "--norc", "-c", ASK, "bash", str(bash_file(folder)), "faultfinder", *words],
        cwd=folder,
        env={"FAULTFINDER_JOBS": str(folder / "my jobs"), "PATH": "/usr/bin:/bin"},
        capture_output=True,
        text=True,
        timeout=30,
        check=False,
    )
    assert done.returncode == 0 and not done.stderr.replace("compopt: not currently executing", ""), done
    return done.stdout.split("\n")[:-1]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("here")
    (place / "my jobs").mkdir()
    for name in ("2026-11-25-1.yaml", "2026-11-26-1.yaml"):
        (place / "my jobs" / name).touch()
    (place / "log of a cycle.csv").touch()
    return place


@pytest.mark.parametrize(
    ("line", "want"),
    [
        (("re",), ["resume", "report", "rename", "replay"]),
        (("resume", ""), ["2026-11-25-1", "2026-11-26-1"]),
        (("resume", "2026-11-26"), ["2026-11-26-1"]),
        (("report", "--form", ""), ["customer", "workshop"]),
        (("report", "--ht"), ["--html"]),
        (("--pack", "tum"), ["tumble_dryer"]),
        (("practise", "el"), ["electric_oven"]),
        (("completion", "z"), ["zsh"]),
        (("trace", "lo"), ["log of a cycle.csv"]),
        (("report", "x", "--html", "lo"), ["log of a cycle.csv"]),
        (("jobs", "any"), [""]),
        (("assess", "--no-such"), [""]),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_bash_offers_what_can_stand_there(folder: Path, line: tuple[str, ...], want: list[str]) -> None:
    assert offered(folder, *line) == want


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_every_command_and_option_of_the_parser_is_in_the_script(shell: str) -> None:
    text = script(shell)
    for command in commands():
        assert command.name in text
        for option in command.options:
            for flag in option.option_strings:
                written = (
                    flag if shell != "fish" else f"-l {flag[2:]}" if flag[:2] == "--" else f"-s {flag[1:]}"
                )
                assert written in text, (command.name, flag)
    assert "2026" not in text


@pytest.mark.slow
def test_the_command_prints_the_script_and_names_the_shells_it_knows(tmp_path: Path) -> None:
    done = run(tmp_path, "completion", "fish")
    assert (done.returncode, done.stdout, done.stderr) == (0, script("fish"), "")
    wrong = run_here(tmp_path, "completion", "tcsh")
    assert wrong.returncode == 2 and "bash" in wrong.stderr and "fish" in wrong.stderr


# -- help -----------------------------------------------------------------------------------------------


def test_every_commands_help_is_short_says_what_it_does_and_ends_in_an_example(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """At 80 columns no help is longer than a screen of 40 lines; every argument says what it is."""
    monkeypatch.setenv("COLUMNS", "80")
    top = parser(tuple(EXAMPLES))
    choices = next(action.choices for action in top._actions if action.dest == "command")
    assert choices is not None and set(choices) == set(EXAMPLES)
    for name, command in dict(choices).items():
        text = command.format_help()
        assert len(text.splitlines()) <= 40
        assert text.rstrip().endswith(f"example:\n  {EXAMPLES[name]}")
        assert command.description and command.description[0].isupper()
        assert all(action.help for action in command._actions), name
    assert "exit status:" in top.format_help() and len(top.format_help().splitlines()) <= 60


@pytest.mark.parametrize("name", [name for name in EXAMPLES if name != "completion"])
def test_an_example_is_a_line_that_the_parser_takes(name: str) -> None:
    import shlex

    words = shlex.split(EXAMPLES[name])[1:]
    assert parser(words).parse_args(words).command == name


def test_the_epilog_fits_a_phone() -> None:
    from faultfinder.arguments import epilog

    assert all(len(line) <= 40 for line in epilog().splitlines())
