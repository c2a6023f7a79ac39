"""Rule text -> a tree of texts, lists and mappings, each with its place; hostile files are refused.

One pass over the parser's *events*, which come one by one: size, depth and number are bounded before
anything is built, and anchors, aliases, tags and further documents are seen and refused. Every scalar stays
text (YAML 1.2 plain words: yes, no, on and off are words); the field it stands in decides how it is read.

libyaml's parser is used where PyYAML has it. Where it fails, the pure one reads the file again, and only
its message is shown: so a person is told the same whichever is installed.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

import yaml

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.syntax.parser_messages import AFTER_BLOCK_SIGN, tell_syntax

MAX_BYTES = 1_000_000
"""Largest rule file; a whole big pack is about 200 kB. Chosen."""

MAX_DEPTH = 12
"""Deepest nesting; the rule language itself needs seven. Chosen."""

MAX_EVENTS = 150_000
"""Most parts (keys, values, brackets) in one file. Chosen."""


@dataclass(frozen=True, slots=True)
class Scalar:
    """A text; `plain` when it stands without quotes and is no block text. below: the lines of the file that it goes
    on in, as they stand there."""

    text: str
    plain: bool
    mark: Mark
    below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ListNode:
    items: tuple[Node, ...]
    mark: Mark


@dataclass(frozen=True, slots=True)
class MapNode:
    """Pairs in the order of the file, each key once."""

    pairs: tuple[tuple[Scalar, Node], ...]
    mark: Mark

    def get(self, key: str) -> Node | None:
        for name, value in self.pairs:
            if name.text == key:
                return value
        return None

    def key(self, key: str) -> Scalar | None:
        for name, _ in self.pairs:
            if name.text == key:
                return name
        return None


Node = Scalar | ListNode | MapNode

FAST_LOADER: Any = getattr(yaml, "CBaseLoader", None)
PURE_LOADER: Any = yaml.BaseLoader

# Letters, marks and line ends that rule text may have. Refused: control characters, unusual line ends (which
# the two parsers count differently), lone surrogates, private ones (see _HIDDEN), invisible and
# direction-changing characters (a text that reads differently from what it says).
_STRANGE = re.compile(
    "[^\n\x20-\x7e\xa0-\u200a\u200c\u200d\u2010-\u2027\u202f-\u2065\u206a-\ud7ff\uf900-\ufefe\uff00-\uffef"
    "\ufffc\U00010000-\U000e0000\U000e0080-\U0010ffff]"
)

_SPACE_THAT_IS_NONE = re.compile(
    "(?:^ *(?:- +)*|^[^\n\"'#|]*:|^ *-)[\xa0\u2000-\u200a\u202f\u205f\u3000]", re.MULTILINE
)
"""Such a character where YAML needs a space: in front of a line, behind a ':' that ends a key, or behind a '-'."""

_TAB = "\t"
_DIRECTIVE = re.compile("^%", re.MULTILINE)

_HIDDEN = range(0xE000, 0xE0FF)
"""Private letters, one of which stands for every question mark while a text is parsed. In brackets the pure parser
takes 'worn?' for the beginning of a key, where libyaml (and YAML 1.2) reads a text; authors write such questions
all the time. Keys after '? ' are no part of the rule language."""

_CUT = re.compile(r" +#[^\s#!]+")
"""A remark that has no space behind its sign: mostly a number in a text."""
_GLUED_REMARK = re.compile("[|>][-+0-9]*#")
_SURROGATE = re.compile("[\ud800-\udfff]")


def read_nodes(
    data: bytes, file: str, sink: Sink, *, loader: Any = None, any_letters: bool = True
) -> Node | None:
    """The tree of a file, or None where it cannot be read or is empty; every refusal is told to `sink`.

    loader: PyYAML loader class to scan with (for tests); by default the fast one where there is one.
    any_letters: strange characters may stand as escapes in double quotes (what people typed, in a record); for
    rule files they are refused there as well.
    """
    text = _decode(data, file, sink)
    if text is None:
        return None
    trial = Sink()
    chosen = loader or FAST_LOADER or PURE_LOADER
    tree = _build(text, file, trial, chosen)
    if (
        trial.has_errors
        and chosen is not PURE_LOADER
        and any(p.code == "yaml-syntax" for p in trial.problems)
    ):
        trial = Sink()
        tree = _build(text, file, trial, PURE_LOADER)
    if tree is not None and not any_letters:
        _refuse_strange_texts(tree, trial)
    sink.problems.extend(trial.problems)
    sink.lost |= trial.lost
    return tree


def _refuse_strange_texts(node: Node, sink: Sink) -> None:
    if isinstance(node, Scalar):
        # What stands plainly was seen in the file already; in quotes it may stand as an escape.
        strange = None if node.plain else _STRANGE.search(node.text)
        if strange is not None:
            name = f"U+{ord(strange.group()):04X}"
            sink.error(
                node.mark,
                "strange-character",
                f"the character {name} cannot stand in a rule file",
                "remove it",
            )
    elif isinstance(node, ListNode):
        for item in node.items:
            _refuse_strange_texts(item, sink)
    else:
        for key, value in node.pairs:
            _refuse_strange_texts(key, sink)
            _refuse_strange_texts(value, sink)


def _decode(data: bytes, file: str, sink: Sink) -> str | None:
    """The text, with plain line ends; None where it is too big, no UTF-8 or has strange characters."""
    start = Mark(file, 1, 1)
    if len(data) > MAX_BYTES:
        sink.error(
            start,
            "too-big",
            f"the file has {len(data):,} bytes; at most {MAX_BYTES:,} are read",
            "split it by sub-system",
        )
        return None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = error.start - (before.rfind(b"\n") + 1) + 1
        sink.error(Mark(file, line, column), "not-utf8", "the file is not UTF-8 text", "save it as UTF-8")
        return None
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    directive = _DIRECTIVE.search(text)
    if directive is not None:
        mark = _mark_at(text, directive.start(), file)
        sink.error(mark, "document", "a line that begins with '%' (a directive)", "remove it")
        return None
    strange = _STRANGE.search(text)
    if strange is not None:
        character = strange.group()
        mark = _mark_at(text, strange.start(), file)
        if character == _TAB:
            sink.error(mark, "tab", "a tab character", "use spaces")
        else:
            name = f"U+{ord(character):04X}"
            sink.error(
                mark, "strange-character", f"the character {name} cannot stand in a rule file", "remove it"
            )
        return None
    spaced = _SPACE_THAT_IS_NONE.search(text)
    if spaced is not None:
        at = spaced.end() - 1
        name = f"U+{ord(text[at]):04X}"
        what = f"the character {name} looks like a space and is none"
        sink.error(_mark_at(text, at, file), "strange-character", what, "type a space in its place")
        return None
    return text


def _mark_at(text: str, position: int, file: str) -> Mark:
    line_start = text.rfind("\n", 0, position) + 1
    return Mark(file, text.count("\n", 0, position) + 1, position - line_start + 1)


@dataclass(slots=True)
class _Open:
    """A list or mapping being filled; `key` is the key that waits for its value."""

    is_map: bool
    mark: Mark
    items: list[Node]
    pairs: list[tuple[Scalar, Node]]
    seen: dict[str, Mark]
    key: Scalar | None = None
    bad_key: bool = False
    flow: bool = False
    blank: Scalar | None = None
    """The last key without a value: where keys come again below it, they were its own."""


class _Refused(Exception):
    """The file is hostile or uses what is not allowed; the problem has been told."""


def _build(text: str, file: str, sink: Sink, loader: Any) -> Node | None:
    stack: list[_Open] = []
    root: Node | None = None
    documents = 0
    count = 0
    lines = text.split("\n")
    small = text.lower()
    hidden = next(chr(code) for code in _HIDDEN if f"\\u{code:04x}" not in small)
    try:
        event: Any
        for event in yaml.parse(text.replace("?", hidden), Loader=loader):
            count += 1
            start = event.start_mark
            mark = Mark(file, start.line + 1, start.column + 1)
            if getattr(event, "anchor", None) is not None or getattr(event, "tag", None) is not None:
                _refuse_marked(event, mark, sink)
            if count > MAX_EVENTS:
                sink.error(mark, "too-big", f"the file has more than {MAX_EVENTS:,} parts", "split it")
                return None
            # Most events are scalars.
            if isinstance(event, yaml.ScalarEvent):
                style = event.style
                plain = not style
                if plain:
                    _tell_cut_text(lines, event.end_mark, file, sink)
                    if event.value[:1] in _TYPED_QUOTES:
                        _tell_typed_quotes(event.value, mark, sink)
                elif style in ("|", ">"):
                    _refuse_glued_remark(lines, mark, sink)
                value = event.value
                text_ = value.replace(hidden, "?") if hidden in value else value
                root = _place(Scalar(text_, plain, mark, _below(lines, event)), stack, root, sink)
            elif isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    sink.error(
                        mark, "document", "a second document ('---') in one file", "use a file of its own"
                    )
                    return None
            elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
                if len(stack) >= MAX_DEPTH:
                    sink.error(mark, "too-deep", f"nested more than {MAX_DEPTH} deep")
                    return None
                opened = _Open(isinstance(event, yaml.MappingStartEvent), mark, [], [], {})
                opened.flow = bool(event.flow_style)
                stack.append(opened)
            elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
                top = stack.pop()
                done: Node = (
                    MapNode(tuple(top.pairs), top.mark)
                    if top.is_map
                    else ListNode(tuple(top.items), top.mark)
                )
                root = _place(done, stack, root, sink)
    except _Refused:
        return None
    except yaml.MarkedYAMLError as error:
        tell_syntax(error, text, file, sink)
        return None
    except (yaml.YAMLError, RecursionError, ValueError, OverflowError):
        sink.error(Mark(file, 1, 1), "yaml-syntax", "the file cannot be read as YAML")
        return None
    return root


def _below(lines: list[str], event: Any) -> tuple[str, ...]:
    """The lines that a text goes on in, below the one it begins on."""
    first, last = event.start_mark.line + 1, event.end_mark.line
    if first > last:
        return ()
    if event.style not in ("|", ">"):
        last += 1
    return tuple(lines[first:last]) if last > first else ()


def _refuse_marked(event: Any, mark: Mark, sink: Sink) -> None:
    """Told of an event that has an anchor, is an alias or has a tag."""
    if getattr(event, "anchor", None) is not None:
        sign = "*" if isinstance(event, yaml.AliasEvent) else "&"
        sink.error(
            mark,
            "anchor",
            f'"{sign}{event.anchor}": anchors and aliases are not read',
            f'write the text out, or put a text that begins with "{sign}" in quotes',
        )
        raise _Refused
    sink.error(mark, "tag", 'a text that begins with "!" (a tag)', "put it in quotes")
    raise _Refused


def _refuse_glued_remark(lines: list[str], mark: Mark, sink: Sink) -> None:
    """A remark right behind the sign of a text block: libyaml lets it pass, the pure parser does not."""
    glued = _GLUED_REMARK.match(lines[mark.line - 1], mark.column - 1)
    if glued is not None:
        place = Mark(mark.file, mark.line, glued.end())
        sink.error(place, "yaml-syntax", *AFTER_BLOCK_SIGN)
        raise _Refused


def _tell_cut_text(lines: list[str], end: Any, file: str, sink: Sink) -> None:
    """A text that goes on with ' #2': YAML ends it there in silence."""
    cut = _CUT.match(lines[end.line], end.column) if end.line < len(lines) else None
    if cut is not None:
        mark = Mark(file, end.line + 1, end.column + cut.group().index("#") + 1)
        what = f"the text ends in front of {cut.group().strip()}, which begins a remark"
        sink.warning(mark, "cut-text", what, "put the text in quotes, or a space behind the # of a remark")


_TYPED_QUOTES = frozenset("\u201c\u201d\u201e\u2018\u2019\u00ab\u2039")
"""Quotes that a word processor makes: to YAML they are letters like any other."""


def _tell_typed_quotes(text: str, mark: Mark, sink: Sink) -> None:
    """A text that was put in quotes which are none: they are shown with it."""
    if len(text) > 1 and text[-1] in "\u201d\u201c\u2019\u2018\u00bb\u203a\"'":
        what = f"the quotes {text[0]} {text[-1]} are letters of the text and no quotes"
        sink.warning(mark, "typed-quotes", what, "write the quotes of the keyboard, or none")


def _parted_by_a_comma(key: Scalar, node: Node, top: _Open, sink: Sink) -> bool:
    """Told where a comma inside { } has cut a value in two: 0,15, or a text with a comma in it."""
    name, before = top.pairs[-1]
    if not (isinstance(node, Scalar) and node.plain and not node.text and key.plain):
        return False
    if not (isinstance(before, Scalar) and before.plain and before.text) or _WORD.fullmatch(key.text):
        return False
    whole = f"{before.text},{key.text}"
    if before.text[-1].isdigit() and key.text[0].isdigit():
        what = f'{name.text} must be a number, not "{whole}"'
        sink.error(before.mark, "bad-number", what, "use a point for decimals")
        whole = f"{before.text}.{key.text}"
    else:
        what = f'the text of {name.text} ends at the comma in front of "{key.text}"'
        sink.error(before.mark, "missing-value", what, "put the text in quotes")
        whole = f"{before.text}, {key.text}"
    top.pairs[-1] = (name, Scalar(whole, True, before.mark))
    return True


_WORD = re.compile("[a-z][a-z0-9_]*")


def _place(node: Node, stack: list[_Open], root: Node | None, sink: Sink) -> Node | None:
    """Puts a finished node where it belongs; returns the root of the document."""
    if isinstance(node, Scalar) and not node.plain and _SURROGATE.search(node.text):
        sink.error(node.mark, "strange-character", "half of a character (a lone surrogate)", "remove it")
        raise _Refused
    if not stack:
        return node
    top = stack[-1]
    if not top.is_map:
        top.items.append(node)
    elif top.key is None and not top.bad_key:
        if isinstance(node, Scalar):
            top.key = node
        else:
            top.bad_key = True
            sink.error(node.mark, "bad-key", "a key must be a word, not a list or mapping")
    elif top.bad_key:
        top.bad_key = False
    else:
        key = top.key
        assert key is not None
        top.key = None
        if isinstance(node, Scalar) and node.plain and not node.text:
            # The parsers place a value that is not there differently: say where its key stands.
            node = Scalar("", True, key.mark)
        if top.flow and top.pairs and _parted_by_a_comma(key, node, top, sink):
            return root
        first = top.seen.get(key.text)
        if first is not None and top.blank is not None:
            if top.blank.text not in sink.lost:
                what = f"{top.blank.text} stands too far right: what is below it does not belong to it"
                sink.error(top.blank.mark, "key-not-here", what, "move it left, to the others of its sort")
                sink.lost.add(top.blank.text)
        elif first is not None:
            sink.error(
                key.mark,
                "duplicate-key",
                f'"{key.text}" stands twice in one place',
                f"first on line {first.line}",
            )
        else:
            top.seen[key.text] = key.mark
            if isinstance(node, Scalar) and node.plain and not node.text and not top.flow:
                top.blank = key
            top.pairs.append((key, node))
    return root
