"""What the YAML parser says of a broken file, in an author's words and at the place to mend."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
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
_SECOND_COLON = "a second ':' where there can be none"
_UP_OR_OUT = "leave the '-' out, or line it up with the others"
_OPEN_OR_OUT = "leave it out, or open it in front"
_OWN_LINE = "give it a line of its own, or put a text that begins with - in quotes"
_YAML_WORDS = (
    ("mapping values are not allowed", _SECOND_COLON, f"{_QUOTE} where ': ' belongs to it"),
    ("could not find expected ':'", "no ':' after this", "write key: value, or '- item' with a space"),
    (
        "expected <block end>, but found '-'",
        "a '-' begins a list item, but there is no list here",
        _UP_OR_OUT,
    ),
    ("expected <block end>, but found '}'", "a } closes nothing", _OPEN_OR_OUT),
    ("expected <block end>, but found ']'", "a ] closes nothing", _OPEN_OR_OUT),
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
    ("sequence entries are not allowed", "a list item '-' where there can be none", _OWN_LINE),
    ("indentation indicator", *AFTER_BLOCK_SIGN),
    ("expected a comment or a line break", "text after '|' or '>'", "begin the text on the next line"),
    ("expected alphabetic or numeric", "a text may not begin with '&' or '*' here", _QUOTE),
    ("unexpected document separator", "'---' inside a text in quotes", "indent it, or close the quote"),
    ("expected '<document start>'", "text after the end of the document", "remove it"),
    ("tag", "a text may not begin with '!' here", _QUOTE),
)
"""Signs in the parser's words -> what is wrong and what to do, in an author's words. The first that fits."""


@dataclass(frozen=True, slots=True)
class _Broken:
    """The lines of the file, where the parser's trouble lies (from 1), and its own error."""

    lines: list[str]
    line: int
    column: int
    error: Any

    def at(self, line: int) -> str:
        """A line of the file; empty where there is none."""
        return self.lines[line - 1] if 0 < line <= len(self.lines) else ""

    @property
    def here(self) -> str:
        return self.at(self.line)

    @property
    def above(self) -> str:
        return self.at(self.line - 1)


_Told = tuple[int, int, str, str]
"""Line and column of the place to mend, what is wrong there, and what to do."""


def tell_syntax(error: Any, text: str, file: str, sink: Sink) -> None:
    """Tells what broke the parser: by the first of `_SLIPS` that explains it, else by the parser's own words."""
    problem = str(error.problem or error.context or "")
    where = error.problem_mark or error.context_mark
    if error.context_mark is not None and any(sign in problem for sign in _OPENED_EARLIER):
        where = error.context_mark
    line, column = (where.line + 1, where.column + 1) if where is not None else (1, 1)
    broken = _Broken(text.split("\n"), line, column, error)
    explained = (look(broken) for signs, look in _SLIPS if any(sign in problem for sign in signs))
    told = next((each for each in explained if each is not None), None)
    if told is None:
        unknown = f"cannot be read as YAML: {problem}" if problem else "cannot be read as YAML"
        known = (words for sign, *words in _YAML_WORDS if sign in problem)
        what, hint = next(known, [unknown, ""])
        told = line, column, what, hint
    sink.error(Mark(file, told[0], told[1]), "yaml-syntax", told[2], told[3])


_Look = Callable[[_Broken], _Told | None]
_SLIPS: list[tuple[tuple[str, ...], _Look]] = []
"""Signs in the parser's words -> what may be behind them, in the order in which it is looked for."""
_BLOCK_END, _NO_COLON = "expected <block end>", "could not find expected ':'"
_NO_MAPPING, _NO_COMMA = "mapping values are not allowed", "expected ',' or"


def _slip(*signs: str) -> Callable[[_Look], _Look]:
    """Registers what may be behind such words of the parser."""

    def registered(look: _Look) -> _Look:
        _SLIPS.append((signs, look))
        return look

    return registered


_LINE_UP = "line keys up under one another"
_BEHIND_A_QUOTE = "the text goes on after its closing quote"
_OTHER_QUOTES = "put the other sort of quotes round the text, or none"
_QUOTED_VALUE = re.compile(r" *(?:- +)?[A-Za-z_][A-Za-z0-9_]*: +[\"']")
_A_KEY = re.compile(r" *[A-Za-z_][A-Za-z0-9_]*:(?: |$)")
_KEY_AND_TEXT = re.compile(r" *[A-Za-z_][A-Za-z0-9_]*: +[^ |>{\[\"'#]")
_GLUED_KEY = re.compile(r" *(?:- )?[A-Za-z_][A-Za-z0-9_]*:[^ \n]")
_BLOCK_OPENS = re.compile(r":\s+([|>])[-+]?\s*$")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


@_slip(_BLOCK_END, _NO_COLON)
def _slipped_block(broken: _Broken) -> _Told | None:
    """A text block after `|` ended too early, since its first line stood further right than the others: the
    commonest slip in drawings."""
    lines, edge = broken.lines, _indent(broken.here)
    for number in range(broken.line - 1, 0, -1):
        opened = _BLOCK_OPENS.search(broken.at(number))
        if opened is None:
            continue
        first = next((text for text in lines[number:] if text.strip()), "")
        parent, sign = _indent(broken.at(number)), opened[1]
        if not parent < edge < _indent(first):
            return None
        for below in lines[broken.line :]:
            if below.strip():
                if _indent(below) <= parent:
                    break
                edge = min(edge, _indent(below))
        what = f"this line starts further left than the first line of its text (which opens on line {number})"
        hint = f"write {sign}{edge - parent} in place of {sign} on line {number}"
        return broken.line, broken.column, what, hint
    return None


@_slip(_NO_MAPPING)
def _glued_key(broken: _Broken) -> _Told | None:
    """The line above is a key whose ':' has no space behind it, which made it a text that goes on below."""
    if _GLUED_KEY.match(broken.above) is None:
        return None
    return broken.line - 1, 1, "no space after the ':' of this line", "write key: value"


@_slip(_NO_MAPPING)
def _without_colon(broken: _Broken) -> _Told | None:
    """A key has no ':' behind it: on this line in front of a { or [, or on the one above, which stands as far right
    as its neighbours."""
    line, here, above = broken.line, broken.here, broken.above
    bare = re.match(r"( *(?:- )?)([a-z][a-z0-9_]*) +[\[{]", here)
    if bare is None:
        line -= 1
        bare = re.match(r"( *(?:- )?)([a-z][a-z0-9_]*)(?: [^:]*)?$", above)
        if bare is None or _indent(above) != _indent(here) or _A_KEY.match(broken.at(line - 1)) is None:
            return None
    return line, bare.end(2) + 1, f"no ':' behind {bare[2]}", f"write {bare[2]}: ..."


@_slip(_NO_MAPPING)
def _several_on_a_line(broken: _Broken) -> _Told | None:
    """Several keys on one line, with commas between them and nothing round them."""
    found = re.match(r" *(?:- +)?(?=[a-z][a-z0-9_]*: +[^:{\[\"']+, *[a-z][a-z0-9_]*: )", broken.here)
    if found is None:
        return None
    return broken.line, found.end() + 1, "several keys on one line", "put { } round them"


@_slip(_NO_MAPPING)
def _in_round_brackets(broken: _Broken) -> _Told | None:
    """The value of a key on this line is put in round brackets and has keys in it."""
    if re.match(r" *[a-z][a-z0-9_]*: *\([a-z0-9_ ]+:.*\) *$", broken.here) is None:
        return None
    at = broken.here.index("(") + 1
    return broken.line, at, "a mapping is not written in ( )", "write { } in place of ( )"


@_slip(_NO_MAPPING)
def _alone_further_left(broken: _Broken) -> _Told | None:
    """The line above stands further left than its two neighbours do."""
    before = broken.at(broken.line - 2)
    if not _indent(broken.above) < _indent(broken.here) == _indent(before) or not _A_KEY.match(before):
        return None
    what = "this line stands further left than those above and below it"
    return broken.line - 1, _indent(broken.above) + 1, what, _LINE_UP


@_slip(_NO_MAPPING)
def _further_right(broken: _Broken) -> _Told | None:
    """A key stands further right than the key above it, which has a text already."""
    above = next((text for text in reversed(broken.lines[: broken.line - 1]) if text.strip()), "")
    if not (
        _A_KEY.match(broken.here) and _KEY_AND_TEXT.match(above) and _indent(above) < _indent(broken.here)
    ):
        return None
    what = "this line stands further right than the one above, which has its value already"
    return broken.line, _indent(broken.here) + 1, what, _LINE_UP


@_slip(_BLOCK_END, _NO_MAPPING)
def _glued_dash(broken: _Broken) -> _Told | None:
    """A dash that has no space behind it, on this line or the one above."""
    for number in (broken.line, broken.line - 1):
        found = re.match(r" *-(?=[a-z][a-z0-9_]*:)", broken.at(number))
        if found is not None:
            return number, found.end(), "no space behind the '-' of this line", "write '- ' with a space"
    return None


@_slip(_BLOCK_END)
def _behind_a_quote(broken: _Broken) -> _Told | None:
    """A quote closes right in front of this place, which was not meant for the end of the text."""
    front = broken.here[: broken.column - 1].rstrip()
    if not front.endswith(('"', "'")) or _QUOTED_VALUE.match(front) is None:
        return None
    return broken.line, broken.column, _BEHIND_A_QUOTE, _OTHER_QUOTES


@_slip(_NO_COMMA)
def _closed_behind(broken: _Broken) -> _Told | None:
    """The bracket is closed on the line it opens on: then not the bracket is wrong, but a second ':' in it."""
    opened, at = broken.error.context_mark, broken.error.problem_mark
    if "got ':'" not in str(broken.error.problem) or opened is None or at is None or opened.line != at.line:
        return None
    if not re.search(r"[}\]]", broken.at(at.line + 1)[at.column :]):
        return None
    return at.line + 1, at.column + 1, _SECOND_COLON, f"put a comma in front of the second key, or {_QUOTE}"


@_slip(_NO_COMMA)
def _quote_closed_early(broken: _Broken) -> _Told | None:
    """On the line on which a bracket opens, an apostrophe inside a word closes a text in single quotes."""
    opened = broken.error.context_mark
    if opened is None:
        return None
    found = re.search(r"[:,\[{] *'[^']*[A-Za-z](')[A-Za-z]", broken.at(opened.line + 1)[opened.column :])
    if found is None:
        return None
    return opened.line + 1, opened.column + found.start(1) + 1, _BEHIND_A_QUOTE, _OTHER_QUOTES


@_slip(_NO_COMMA)
def _unit_in_brackets(broken: _Broken) -> _Told | None:
    """A unit in [ ] behind a number, on the line of the trouble or the one above."""
    at = broken.error.problem_mark
    for number in (at.line + 1, at.line) if at is not None else ():
        unit = re.search(r"(?<=[0-9] )\[[A-Za-z%0-9/*]+\]", broken.at(number))
        if unit is not None:
            what = f"{unit[0]} cannot stand here without quotes"
            return number, unit.start() + 1, what, "put the whole expression in quotes"
    return None
