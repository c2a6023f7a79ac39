"""What the YAML parser says of a broken file, in an author's words and at the place to mend."""

from __future__ import annotations

import re
from typing import Any

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink

_OPENED_EARLIER = ("could not find expected ':'", "found unexpected end of stream", "expected ',' or")
"""Problems that are told where the faulty part begins, not where the parser gave up."""


AFTER_BLOCK_SIGN = (
    "the sign after '|' must be a number from 1 to 9, '+' or '-'",
    "begin the text on the next line",
)


_QUOTE = "put the text in quotes"
_SECOND_COLON = "a second ':' stands where none can"


_YAML_WORDS = (
    (
        "mapping values are not allowed",
        _SECOND_COLON,
        f"{_QUOTE} where ': ' belongs to it",
    ),
    ("could not find expected ':'", "no ':' after this", "write key: value, or '- item' with a space"),
    (
        "expected <block end>, but found '-'",
        "a '-' makes a list, and here stands none",
        "leave the '-' out, or line it up with the others",
    ),
    ("expected <block end>, but found '}'", "a } closes nothing", "leave it out, or open it in front"),
    ("expected <block end>, but found ']'", "a ] closes nothing", "leave it out, or open it in front"),
    (
        "expected <block end>",
        "the indentation does not fit the lines above",
        "line keys up under one another",
    ),
    ("found unexpected end of stream", "the quote that opens here is never closed", "close it"),
    ("expected ',' or", "the bracket that opens here is not closed, or a comma is missing in it", "close it"),
    ("cannot start any token", "a text may not begin with this character", _QUOTE),
    ("escape", "a backslash in double quotes that means nothing", "use single quotes"),
    ("expected the node content", "something is missing here", _QUOTE),
    (
        "sequence entries are not allowed",
        "a list item '-' stands where none can",
        "give it a line of its own, or put a text that begins with - in quotes",
    ),
    ("indentation indicator", *AFTER_BLOCK_SIGN),
    ("expected a comment or a line break", "text after '|' or '>'", "begin the text on the next line"),
    ("expected alphabetic or numeric", "a text may not begin with '&' or '*' here", _QUOTE),
    (
        "unexpected document separator",
        "'---' in the middle of a text in quotes",
        "indent it, or close the quote",
    ),
    ("expected '<document start>'", "text after the end of the document", "remove it"),
    ("tag", "a text may not begin with '!' here", _QUOTE),
)
"""Signs in the parser's words -> what is wrong and what to do, in an author's words. The first that fits."""


def tell_syntax(error: Any, text: str, file: str, sink: Sink) -> None:
    problem = str(error.problem or error.context or "")
    where = error.problem_mark or error.context_mark
    if error.context_mark is not None and any(sign in problem for sign in _OPENED_EARLIER):
        where = error.context_mark
    mark = Mark(file, where.line + 1, where.column + 1) if where is not None else Mark(file, 1, 1)
    if "expected <block end>" in problem or "could not find expected ':'" in problem:
        told = _slipped_block(text.split("\n"), mark.line)
        if told is not None:
            sink.error(mark, "yaml-syntax", *told)
            return
    if "mapping values are not allowed" in problem and _glued_above(text.split("\n"), mark.line):
        glued = Mark(file, mark.line - 1, 1)
        sink.error(glued, "yaml-syntax", "no space after the ':' of this line", "write key: value")
        return
    bare = _without_colon(text.split("\n"), mark.line)
    if "mapping values are not allowed" in problem and bare is not None:
        number, column, word = bare
        sink.error(Mark(file, number, column), "yaml-syntax", f"no ':' behind {word}", f"write {word}: ...")
        return
    if "mapping values are not allowed" in problem and _in_round_brackets(text.split("\n"), mark.line):
        line = text.split("\n")[mark.line - 1]
        place = Mark(file, mark.line, line.index("(") + 1)
        sink.error(place, "yaml-syntax", "a mapping does not stand in ( )", "write { } in place of ( )")
        return
    alone = _alone_further_left(text.split("\n"), mark.line)
    if "mapping values are not allowed" in problem and alone:
        wrong = Mark(file, mark.line - 1, alone)
        what = "this line stands further left than those above and below it"
        sink.error(wrong, "yaml-syntax", what, "line keys up under one another")
        return
    if "mapping values are not allowed" in problem and _further_right(text.split("\n"), mark.line):
        sink.error(
            Mark(file, mark.line, _indent(text.split("\n")[mark.line - 1]) + 1),
            "yaml-syntax",
            "this line stands further right than the one above, which has its value already",
            "line keys up under one another",
        )
        return
    glued_dash = _glued_dash(text.split("\n"), mark.line)
    if glued_dash is not None and ("expected <block end>" in problem or "mapping values are not" in problem):
        place = Mark(file, *glued_dash)
        sink.error(place, "yaml-syntax", "no space behind the '-' of this line", "write '- ' with a space")
        return
    if "expected <block end>" in problem and _behind_a_quote(text.split("\n"), mark):
        sink.error(
            mark,
            "yaml-syntax",
            "the text goes on behind its closing quote",
            "take the other sort of quotes outside, or none",
        )
        return
    if "expected ',' or" in problem and "got ':'" in problem and _closed_behind(error, text):
        second = Mark(file, error.problem_mark.line + 1, error.problem_mark.column + 1)
        sink.error(
            second, "yaml-syntax", _SECOND_COLON, f"put a comma in front of the second key, or {_QUOTE}"
        )
        return
    broken = _quote_closed_early(text.split("\n"), error)
    if "expected ',' or" in problem and broken is not None:
        place = Mark(file, error.context_mark.line + 1, broken + 1)
        what = "the text goes on behind its closing quote"
        sink.error(place, "yaml-syntax", what, "take the other sort of quotes outside, or none")
        return
    if "expected ',' or" in problem and error.problem_mark is not None:
        unit = _unit_in_brackets(text.split("\n"), error.problem_mark.line)
        if unit is not None:
            place = Mark(file, error.problem_mark.line + 1, unit.start() + 1)
            what = f"{unit[0]} cannot stand here without quotes"
            sink.error(place, "yaml-syntax", what, "put the whole expression in quotes")
            return
    for sign, meaning, hint in _YAML_WORDS:
        if sign in problem:
            sink.error(mark, "yaml-syntax", meaning, hint)
            return
    sink.error(
        mark, "yaml-syntax", f"cannot be read as YAML: {problem}" if problem else "cannot be read as YAML"
    )


def _unit_in_brackets(lines: list[str], line: int) -> re.Match[str] | None:
    """The first unit in [ ] behind a number, on this line or the one above."""
    near = range(line, max(-1, line - 2), -1)
    return next((found for at in near if at < len(lines) and (found := _UNIT.search(lines[at]))), None)


_UNIT = re.compile(r"(?<=[0-9] )\[[A-Za-z%0-9/*]+\]")


_GLUED_DASH = re.compile(r" *-(?=[a-z][a-z0-9_]*:)")


def _glued_dash(lines: list[str], line: int) -> tuple[int, int] | None:
    """(line, column) of a dash that has no space behind it, on this line or the one above."""
    for number in (line, line - 1):
        found = _GLUED_DASH.match(lines[number - 1]) if 0 < number <= len(lines) else None
        if found is not None:
            return number, found.end()
    return None


def _quote_closed_early(lines: list[str], error: Any) -> int | None:
    """Where, on the line on which a bracket opens, an apostrophe inside a word closes a text in single quotes."""
    if error.context_mark is None or error.context_mark.line >= len(lines):
        return None
    line = lines[error.context_mark.line]
    found = re.search(r"[:,\[{] *'[^']*[A-Za-z](')[A-Za-z]", line[error.context_mark.column :])
    return error.context_mark.column + found.start(1) if found else None


def _without_colon(lines: list[str], line: int) -> tuple[int, int, str] | None:
    """(line, column, word) where a key has no ':' behind it: on this line in front of a { or [, or on the one above,
    which stands as far right as its neighbours."""
    here = lines[line - 1] if line <= len(lines) else ""
    opened = re.match(r"( *(?:- )?)([a-z][a-z0-9_]*) +[\[{]", here)
    if opened is not None:
        return line, opened.end(2) + 1, opened[2]
    above = lines[line - 2] if line > 1 else ""
    bare = re.match(r"( *(?:- )?)([a-z][a-z0-9_]*)(?: [^:]*)?$", above)
    if bare is None or _indent(above) != _indent(here) or line < 3 or _A_KEY.match(lines[line - 3]) is None:
        return None
    return line - 1, bare.end(2) + 1, bare[2]


def _in_round_brackets(lines: list[str], line: int) -> bool:
    """Whether the value of a key on this line is put in round brackets and has keys in it."""
    return (
        line <= len(lines)
        and re.match(r" *[a-z][a-z0-9_]*: *\([a-z0-9_ ]+:.*\) *$", lines[line - 1]) is not None
    )


def _behind_a_quote(lines: list[str], mark: Mark) -> bool:
    """Whether a quote closes right in front of this place, which was not meant for the end of the text."""
    line = lines[mark.line - 1] if mark.line <= len(lines) else ""
    front = line[: mark.column - 1].rstrip()
    return front.endswith(('"', "'")) and _QUOTED_VALUE.match(front) is not None


def _further_right(lines: list[str], line: int) -> bool:
    """Whether a key stands further right than the key above it, which has a text already."""
    if not 1 < line <= len(lines) or _A_KEY.match(lines[line - 1]) is None:
        return False
    above = next((text for text in reversed(lines[: line - 1]) if text.strip()), "")
    return _KEY_AND_TEXT.match(above) is not None and _indent(above) < _indent(lines[line - 1])


def _alone_further_left(lines: list[str], line: int) -> int:
    """The column of the line above, where it stands further left than its two neighbours do; else 0."""
    if not 2 < line <= len(lines):
        return 0
    before, above, here = (_indent(lines[number]) for number in (line - 3, line - 2, line - 1))
    return above + 1 if above < here == before and _A_KEY.match(lines[line - 3]) else 0


_QUOTED_VALUE = re.compile(r" *(?:- +)?[A-Za-z_][A-Za-z0-9_]*: +[\"']")
_A_KEY = re.compile(r" *[A-Za-z_][A-Za-z0-9_]*:(?: |$)")
_KEY_AND_TEXT = re.compile(r" *[A-Za-z_][A-Za-z0-9_]*: +[^ |>{\[\"'#]")


def _glued_above(lines: list[str], line: int) -> bool:
    """Whether the line above is a key whose ':' has no space behind it, which made it a text that goes on below."""
    return 1 < line <= len(lines) and _GLUED_KEY.match(lines[line - 2]) is not None


def _closed_behind(error: Any, text: str) -> bool:
    """Whether the bracket is closed on the line it opens on: then not the bracket is wrong, but what is in it."""
    opened, at = error.context_mark, error.problem_mark
    if opened is None or at is None or opened.line != at.line:
        return False
    behind = text.split("\n")[at.line][at.column :]
    return "}" in behind or "]" in behind


_GLUED_KEY = re.compile(r" *(?:- )?[A-Za-z_][A-Za-z0-9_]*:[^ \n]")


def _slipped_block(lines: list[str], line: int) -> tuple[str, str] | None:
    """What to say where a text block after `|` ended too early, since its first line stood further right
    than the others: the commonest slip in drawings. None where that is not what happened."""
    wrong = lines[line - 1] if line <= len(lines) else ""
    edge = _indent(wrong)
    for number in range(line - 1, 0, -1):
        above = lines[number - 1]
        opened = _BLOCK_OPENS.search(above)
        if opened is None:
            continue
        first = next((text for text in lines[number:] if text.strip()), "")
        parent = _indent(above)
        if not (parent < edge < _indent(first)):
            return None
        sign = opened.group(1)
        for below in lines[line:]:
            if below.strip():
                if _indent(below) <= parent:
                    break
                edge = min(edge, _indent(below))
        return (
            f"this line starts further left than the first line of its text (which opens on line {number})",
            f"write {sign}{edge - parent} in place of {sign} on line {number}",
        )
    return None


_BLOCK_OPENS = re.compile(r":\s+([|>])[-+]?\s*$")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
