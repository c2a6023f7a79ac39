"""No sentence that a person reads is written outside the catalogue: it would escape a translation.

A literal of two words and more counts as one. What is none, or is read by somebody else, is listed below with its
reason; each row must be needed.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest
from text_keys import PACKAGE, trees

SENTENCE = re.compile(r"[A-Za-z]{2,}[,;:]? (?:[A-Za-z]{2,}|[aI{('])")
WORDS_ONLY = re.compile(r"[a-z0-9 ,'{}-]*")

OTHER_READERS = {
    "knowledge/": "told to whoever writes rules: it stands with its check, in pages.yaml or in the guide",
    "job/cases/": "told to whoever writes worked cases, or compares two versions of a pack",
    "job/audit.py": "codes of what was broken, counted by benches",
    "job/audit_model.py": "codes of what was broken, counted by benches",
    "practice/check.py": "told to whoever writes practice files",
    "practice/reader.py": "told to whoever writes practice files",
    "practice/written.py": "told to whoever writes practice files",
    "reasoning/inference/": "told to whoever calls the package from Python with what cannot be",
    "reasoning/decision/step.py": "codes of the public API, and a plan as Python prints it",
    "trade/functions.py": "the formulas, told to whoever writes rules",
    "trade/cycle/figures.py": "the figures of a log, told to whoever writes rules",
    "trade/inputs.py": "why a formula refuses its input, told to whoever writes rules",
    "terminal/commands/completion.py": "code of the shells",
}
"""Files and folders, and who reads what is said in them."""

UNDERSTOOD = "words that are understood where they are typed"
LINES = "lines as they are typed, for a record that is told again or a step that is offered"
TYPED = {
    "dialogue/hearing/card_line.py": UNDERSTOOD,
    "dialogue/commands.py": UNDERSTOOD,
    "dialogue/hearing/choosing.py": UNDERSTOOD,
    "dialogue/hearing/complaint.py": UNDERSTOOD,
    "dialogue/hearing/complaint_words.py": UNDERSTOOD,
    "dialogue/hearing/free_text.py": UNDERSTOOD,
    "dialogue/hearing/line_parser.py": UNDERSTOOD,
    "dialogue/hearing/machine_line.py": UNDERSTOOD,
    "dialogue/prompts/": UNDERSTOOD,
    "trade/readings/spoken.py": UNDERSTOOD,
    "dialogue/transcript.py": LINES,
    "dialogue/hearing/work_told.py": LINES,
    "terminal/console/alarm.py": UNDERSTOOD,
}
"""Where plain words without capitals are lists of what people type."""

NO_SENTENCES = {
    "arguments.py": r"faultfinder .*|source <\(.*",
    "cli.py": r"unrecognized arguments: .*",
    "__init__.py": r"module 'faultfinder' has no attribute.*",
    "dialogue/hearing/card_line.py": r".*\\s.*",
    "job/events.py": r"not confirmed here|logged, covers on",
    "job/return_tests.py": r"at (most|least) ?",
    "job/history/index.py": r"\s*(CREATE|SELECT|INSERT|DELETE|PRAGMA|words, words_sum).*",
    "job/history/exchange.py": r"- \{.*|\{at: .*|# What a workshop has found.*",
    "job/record/event_codec.py": r"(\{\})?, (check|line|more): .*",
    "job/workshop/bring_in.py": r"at odds",
    "job/workshop/prices.py": r"in stock",
    "practice/score.py": r"gave up|put right|hand over",
    "practice/technician.py": r"put right|hand over",
    "report/drawing.py": r"<.*",
    "report/page.py": r"\s*[<@].*|[a-z]+-src .*",
    "dialogue/hearing/danger_words.py": r".*[|\\].*",
    "dialogue/hearing/free_text.py": r".*[|\\].*",
    "trade/readings/spoken.py": r".*[|?\\].*",
    "safety/urgent.py": r".*[|\\].*",
    "terminal/commands/practise.py": r"give up|\w+ [A-Z]+",
    "terminal/commands/table_page.py": r"\s*[<:].*",
    "terminal/console/rich.py": r"bold .*",
    "trade/readings/meter.py": r"cannot tell|`resistance .*`",
    "trade/readings/units.py": r"[\w%/^ .\"']+",
}
"""File -> what in it is a code of a record or of the API, markup, a command line, a style, a pattern,
a way to write a unit, or a line of a format."""

NOT_SAID = re.compile(
    r"say|has|re\.\w+|within|FormulaError|(?:Value|Type|Key|Runtime|Assertion)Error|NotImplementedError"
)
"""Calls whose literals nobody reads: keys, patterns, how a formula names its inputs, Python's own errors."""


@cache
def literals(path: Path) -> tuple[tuple[int, str], ...]:
    """(line, text) of every literal that could be a sentence; a place to fill in is shown as {}."""
    tree = trees()[path]
    passed: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant):
            passed.add(id(node.value))
        if isinstance(node, ast.Call) and NOT_SAID.fullmatch(ast.unparse(node.func)):
            passed |= {id(inner) for inner in ast.walk(node)}
        if isinstance(node, ast.arg | ast.AnnAssign) and node.annotation:
            passed |= {id(inner) for inner in ast.walk(node.annotation)}
        if isinstance(node, ast.JoinedStr):
            passed |= {id(inner) for inner in ast.walk(node) if inner is not node}
    return tuple(
        (node.lineno, text)
        for node in ast.walk(tree)
        if isinstance(node, ast.JoinedStr | ast.Constant) and id(node) not in passed
        for text in [_text(node)]
        if SENTENCE.search(text)
    )


def _text(node: ast.JoinedStr | ast.Constant) -> str:
    if isinstance(node, ast.JoinedStr):
        return "".join(str(part.value) if isinstance(part, ast.Constant) else "{}" for part in node.values)
    return node.value if isinstance(node.value, str) else ""


def excused(name: str, text: str) -> Iterator[str]:
    """The rows that let a literal stand where it stands."""
    yield from (row for row in OTHER_READERS if name.startswith(row))
    yield from (row for row in TYPED if name.startswith(row) and WORDS_ONLY.fullmatch(text))
    if name in NO_SENTENCES and re.fullmatch(NO_SENTENCES[name], text, re.DOTALL):
        yield name
    if re.fullmatch(r"faultfinder(?: \w+)?: \{\}", text):
        yield "the name of the program"


@cache
def found() -> list[tuple[str, int, str]]:
    return [
        (str(path.relative_to(PACKAGE).as_posix()), line, text)
        for path in trees()
        for line, text in literals(path)
    ]


def test_no_sentence_stands_outside_the_catalogue() -> None:
    assert len(found()) > 500
    assert [each for each in found() if not any(excused(each[0], each[2]))] == []


@pytest.mark.slow
@pytest.mark.parametrize("row", [*OTHER_READERS, *TYPED, *NO_SENTENCES])
def test_every_exception_is_needed(row: str) -> None:
    assert any([row] == list(excused(name, text)) for name, _, text in found())


@pytest.mark.parametrize(
    "code",
    ['Line("Bring it back first.")', 'x = f"{n} of the jobs"', 'y = "Not taken: {x}"', 'z("a look inside")'],
)
def test_a_sentence_is_found(code: str, monkeypatch: pytest.MonkeyPatch) -> None:
    path = PACKAGE / "dialogue" / "bogus.py"
    monkeypatch.setitem(trees(), path, ast.parse(code))
    ((_, text),) = literals.__wrapped__(path)
    assert code.startswith("z") or not any(excused("dialogue/bogus.py", text))
