"""Another language is one folder: with every sentence in a made one, nothing in plain English is left of the program.

What stays is what rule files say, ids, what was typed, units, and the names of commands, files and standards.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterable, Iterator, Sequence
from html.parser import HTMLParser
from pathlib import Path
from types import ModuleType

import pytest
from program_walk import all_well
from pseudo import accented, spoken
from reporting import RECORDS, report_of_file
from running import run_here
from talking import BEGUN, OPEN, SMALL, chat, small_pack

from faultfinder.arguments import EXAMPLES
from faultfinder.cli import LANGUAGE
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.say import Drawing, Said
from faultfinder.practice.draw import LEVELS
from faultfinder.practice.score import WAYS
from faultfinder.report.model import FORMS
from faultfinder.report.page import page
from faultfinder.report.text import markdown
from faultfinder.safety.actions import ACTIONS
from faultfinder.text.catalogue import speak

TOP = Path(__file__).parents[2]
LAMP = TOP / "tests" / "practice" / "bench_lamp"
JOB = (
    *BEGUN,
    *("how", "why", "likely", "steps", "help", "help more", "what if inlet look blocked", "explain cut-out"),
    *("inlet look clear; flex look whole", "why", "?", *OPEN[:1], "?", *OPEN[1:], "how", "rubbish"),
    *(
        "element resistance OL",
        "why",
        "put right element broken",
        "done",
        "element resistance 26.4",
        "likely",
        "end",
        "1",
    ),
)
THEN = {"trial": "gone", "round": "none", "close": "1", "remedy": "later", "test": "dk"}
"""What ends a job at a prompt of that kind; a card takes what is well."""
EXERCISE = (
    *(
        "list",
        "ask 1",
        "ask nonsense",
        "how 1",
        "ask",
        "actions",
        "faults",
        "right 1",
        "where",
        "help",
        "do plug out",
    ),
    "do covers off",
)
PIECE = re.compile(r"[A-Za-z][\w'’-]*[A-Za-z](?: [A-Za-z][\w'’-]*)*", re.ASCII)
HELD = {"ohm", "mohm", "kohm", "min", "ol", "kwh", "faultfinder", "class i"}
"""Units, and the name of the program."""
COMMANDS = [command for command in EXAMPLES if command != "completion"]


def words(text: str) -> str:
    """A text as plain words, to look for others in it."""
    return " ".join(re.findall(r"[a-z0-9']+", text.casefold().replace("_", " ")))


RULES = words(
    "\n".join(
        path.read_text(encoding="utf-8")
        for path in (SMALL / "fan_heater.yaml", LAMP / "lamp.yaml", LAMP / "practice" / "lamp.yaml")
    )
)
IDS = words(" ".join(ACTIONS))
"""What is typed for a safety action."""


def left_in_english(told: str, *typed: str) -> list[str]:
    """Plain words, together as they stand, that no rule file holds and nobody typed."""
    held = " ".join([RULES, IDS, *map(words, typed)])
    told = re.sub(
        r"\S*[/\\]\S*|\S+\.(?:yaml|csv|txt|sqlite)|(?<!\w)--?[a-z-]+|\b[0-9a-f]{8,}\b|\d{4}-\d\d-\d\d-\w+",
        " ",
        told,
    )
    found = [piece.strip("'") for piece in PIECE.findall(told)]
    return [piece for piece in found if words(piece) not in held and piece.casefold() not in HELD]


def said_in_words(said: Iterable[Said]) -> str:
    """What a person reads of it; the word that is typed for an option is no sentence."""
    return "\n".join(item.words if isinstance(item, Drawing) else item.text for item in said)


class Texts(HTMLParser):
    """What a page shows, and what it says to those who cannot see it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.feed(re.sub(r"<style>.*?</style>", "", page, flags=re.DOTALL))

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.texts += [value or "" for name, value in attrs if name in ("aria-label", "alt", "title")]

    def __str__(self) -> str:
        return "\n".join(self.texts)


@pytest.fixture(name="language")
def _language() -> Iterator[str]:
    small_pack()  # kept for all tests: its yes and no are English
    with spoken() as name:
        yield name


def test_the_finder_finds_english_and_passes_what_is_not() -> None:
    assert left_in_english("Taken: no heat.") == ["Taken"]
    assert left_in_english("[Ţáķéń: no heat; 26.4 ohm]") == []
    assert left_in_english("[ĥéŕé] and then Nothing counts") == ["and then Nothing counts"]
    assert accented("{a} is {b:.2f}") == "[{a} íś {b:.2f}]"


@pytest.mark.slow
def test_a_whole_job_in_a_conversation(language: str) -> None:
    talking = chat()
    told = [said_in_words(talking.turn.said)]
    typed = list(JOB)
    while talking.talk.job.closed is None:
        if typed:
            line = typed.pop(0)
        else:
            current = talking.current
            line = all_well(current.actions) if isinstance(current, AskCard) else THEN[current.kind]
        talking.say(line)
        told += [said_in_words(talking.turn.said), talking.turn.ask.label, talking.turn.ask.status]
        assert len(told) < 300, told[-9:]
    together = ("single phase plug", "supply single phase")
    assert left_in_english("\n".join(told), *together, *JOB) == []


@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", ["element", "isolated"])
def test_a_report_in_each_form(name: str, form: str, language: str) -> None:
    report, record = report_of_file(name, form), (RECORDS / f"{name}.yaml").read_text(encoding="utf-8")
    for told in (markdown(report, form), str(Texts(page(report, form)))):
        assert left_in_english(told.replace("\\", ""), record) == []


def told_by(folder: Path, language: str, *arguments: str, lines: Sequence[str] = ()) -> str:
    """What a command writes, without what is no text of a page."""
    done = run_here(folder, *arguments, lines=lines, env={LANGUAGE: language})
    assert done.returncode in (0, 1, 2), done.stderr
    told = done.stdout + "\n" + done.stderr
    return str(Texts(told)) if "<html" in told else told


@pytest.mark.slow
def test_what_the_commands_say_of_a_job(tmp_path: Path, language: str) -> None:
    pack = ("--pack", str(SMALL))
    told = [told_by(tmp_path, language, *pack, lines=JOB)]
    (record,) = tmp_path.glob("*.yaml")
    held = record.read_text(encoding="utf-8")
    log = tmp_path / "cycle.csv"
    rows = [f"{20 * row},{2000 if row % 9 < 6 and row < 80 else 150}" for row in range(100)]
    log.write_text("\n".join(["Time (s),Power (W)", *rows, "x"]), encoding="utf-8")
    for arguments in (
        ("jobs",),
        ("jobs", "open"),
        ("report", record.stem, *pack),
        ("report", record.stem, *pack, "--html", "-", "--form", "workshop"),
        ("report", record.stem),
        ("history",),
        ("replay", str(record), *pack),
        ("resume", record.stem, *pack),
        ("resume", "nothing"),
        ("prepare", *pack, "--said", "stays cold", "volts=230"),
        ("assess", *pack, "volts=230", "watts=2000", "element resistance OL"),
        ("assess", *pack, "volts=9"),
        ("trace", str(log), *pack, "volts=230"),
        ("trace", str(tmp_path / "none.csv")),
        ("jobs", "--forget", record.stem),
        ("table", str(SMALL)),
        ("table", str(SMALL), "--html", "-"),
        ("compare", str(SMALL), str(SMALL)),
        ("rename", str(SMALL), "no_heat", "no_heat"),
        ("score", str(LAMP), "--machines", "2", "--processes", "1"),
    ):
        told.append(told_by(tmp_path, language, *arguments))
        systems = "No such file or directory"
        assert (
            left_in_english(told[-1], held, systems, *arguments, f"faultfinder {arguments[0]}", *JOB) == []
        ), arguments
    assert left_in_english(told[0], held, "single phase plug", "supply single phase", *JOB) == []


def test_an_exercise_and_its_review(tmp_path: Path, language: str) -> None:
    told = told_by(tmp_path, language, "practise", str(LAMP), "--seed", "3", lines=EXERCISE)
    assert left_in_english(told, "Resistance of the switch, on High", *EXERCISE) == []


@pytest.mark.slow
@pytest.mark.parametrize("command", ["", *COMMANDS])
def test_the_help_of_every_command(command: str, tmp_path: Path, language: str) -> None:
    """The parser's own words are Python's to translate; what is typed stands in capitals or as an example."""
    told = told_by(tmp_path, language, *command.split(), "--help")
    told = re.sub(r"usage:.*?\n\n", "", told, flags=re.DOTALL).partition("[éẋáɱƥĺé")[0]
    pythons = ("positional arguments", "options", "show this help message and exit")
    typed = (*pythons, " ".join(COMMANDS), *LEVELS, *WAYS, *FORMS, "completion path old new JSON")
    assert [left for left in left_in_english(told, *typed) if not left.isupper()] == []


def test_another_language_is_chosen_by_its_name_and_missing_sentences_are_english(tmp_path: Path) -> None:
    wrong = run_here(tmp_path, "jobs", env={LANGUAGE: "no_such"})
    assert wrong.returncode == 2 and "There is no language 'no_such'" in wrong.stderr
    module = ModuleType("faultfinder.text.bare")
    vars(module)["SENTENCES"] = {
        "jobs_no_jobs_in": "Keine in {folder}",
        "history_no_closed_job_in": "{ordner}",
    }
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(sys.modules, module.__name__, module)
        told = run_here(tmp_path, "jobs", env={LANGUAGE: "bare"}).stdout
        history = run_here(tmp_path, "history", env={LANGUAGE: "bare"}).stdout
    speak()
    assert told.split()[:2] == ["Keine", "in"] and history.startswith("No closed job in")
