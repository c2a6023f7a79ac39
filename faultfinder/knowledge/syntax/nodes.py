"""Rule text -> a tree of texts, lists and mappings, each with its place; hostile files are refused.

One pass over the parser's *events*, which come one by one: size, depth and number are bounded before
anything is built, and anchors, aliases, tags and further documents are seen and refused. Every scalar stays
text (YAML 1.2 plain words: yes, no, on and off are words); the field it stands in decides how it is read.

libyaml's parser is used where PyYAML has it. Where it fails, the pure one reads the file again, and only
its message is shown: so a person is told the same whichever is installed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import yaml

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink, Unfit
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

    def lines_below(self) -> Iterator[tuple[str, Mark]]:
        """Each line that it goes on in, from its first letter on, with the place of that letter."""
        for number, line in enumerate(self.below, self.mark.line + 1):
            text = line.lstrip(" ")
            yield text, Mark(self.mark.file, number, len(line) - len(text) + 1)


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


class Place(NamedTuple):
    """What stands at the end of a path, and where: of a list or mapping, `mark` is where its key stands."""

    node: Node
    mark: Mark
    key: Mark
    """Where the last key stands."""


def reached(node: Node, path: Iterable[str]) -> Place:
    """What stands at the end of a path of keys (of a list: numbers from 0); the last there is where it breaks off."""
    mark = at_key = node.mark
    for part in path:
        if isinstance(node, ListNode) and part.isdecimal() and int(part) < len(node.items):
            node = node.items[int(part)]
            # A step of an instruction is told where its wording stands.
            if isinstance(node, MapNode) and len(node.pairs) == 1:
                node = node.pairs[0][1]
            mark = node.mark
            continue
        pairs = node.pairs if isinstance(node, MapNode) else ()
        key, value = next((pair for pair in pairs if pair[0].text == part), (None, None))
        if key is None or value is None:
            break
        node, at_key = value, key.mark
        mark = value.mark if isinstance(value, Scalar) else at_key
    return Place(node, mark, at_key)


def mark_of(node: Node, path: Iterable[str]) -> Mark:
    return reached(node, path).mark


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
    chosen = loader or FAST_LOADER or PURE_LOADER
    try:
        text = _decode(data, file)
    except Unfit as unfit:
        sink.take(unfit)
        return None
    tree, trial = _tried(text, file, chosen)
    if chosen is not PURE_LOADER and any(problem.code == "yaml-syntax" for problem in trial.problems):
        tree, trial = _tried(text, file, PURE_LOADER)
    if tree is not None and not any_letters:
        _refuse_strange_texts(tree, trial)
    sink.problems.extend(trial.problems)
    sink.lost |= trial.lost
    return tree


def _strange(mark: Mark, letter: str) -> Unfit:
    what = f"the character U+{ord(letter):04X} cannot stand in a rule file"
    return Unfit(mark, "strange-character", what, "remove it")


def _refuse_strange_texts(node: Node, sink: Sink) -> None:
    if isinstance(node, Scalar):
        # What stands plainly was seen in the file already; in quotes it may stand as an escape.
        strange = None if node.plain else _STRANGE.search(node.text)
        if strange is not None:
            sink.take(_strange(node.mark, strange.group()))
        return
    inside = node.items if isinstance(node, ListNode) else [each for pair in node.pairs for each in pair]
    for each in inside:
        _refuse_strange_texts(each, sink)


def _decode(data: bytes, file: str) -> str:
    """The text, with plain line ends. Raises Unfit where it is too big, no UTF-8 or has strange characters."""
    if len(data) > MAX_BYTES:
        what = f"the file has {len(data):,} bytes; at most {MAX_BYTES:,} are read"
        raise Unfit(Mark(file, 1, 1), "too-big", what, "split it by sub-system")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        mark = Mark(file, before.count(b"\n") + 1, error.start - before.rfind(b"\n"))
        raise Unfit(mark, "not-utf8", "the file is not UTF-8 text", "save it as UTF-8") from None
    text = text.replace("\r\n", "\n").replace("\r", "\n")

    def at(position: int) -> Mark:
        line_start = text.rfind("\n", 0, position) + 1
        return Mark(file, text.count("\n", 0, position) + 1, position - line_start + 1)

    if (found := _DIRECTIVE.search(text)) is not None:
        raise Unfit(at(found.start()), "document", "a line that begins with '%' (a directive)", "remove it")
    if (found := _STRANGE.search(text)) is not None:
        if found.group() == "\t":
            raise Unfit(at(found.start()), "tab", "a tab character", "use spaces")
        raise _strange(at(found.start()), found.group())
    if (found := _SPACE_THAT_IS_NONE.search(text)) is not None:
        what = f"the character U+{ord(found.group()[-1]):04X} looks like a space but is not one"
        raise Unfit(at(found.end() - 1), "strange-character", what, "type a space in its place")
    return text


@dataclass(slots=True)
class _Open:
    """A list or mapping being filled; `key` is the key that waits for its value."""

    is_map: bool
    flow: bool
    mark: Mark
    items: list[Node] = field(default_factory=list)
    pairs: list[tuple[Scalar, Node]] = field(default_factory=list)
    seen: dict[str, Mark] = field(default_factory=dict)
    key: Scalar | None = None
    bad_key: bool = False
    blank: Scalar | None = None
    """The last key without a value: where keys come again below it, they were its own."""

    def node(self) -> Node:
        return (
            MapNode(tuple(self.pairs), self.mark) if self.is_map else ListNode(tuple(self.items), self.mark)
        )


def _tried(text: str, file: str, loader: Any) -> tuple[Node | None, Sink]:
    """The tree of a text by one loader, and what is told of it."""
    sink = Sink()
    try:
        return _build(text, file, sink, loader), sink
    except Unfit as unfit:
        sink.take(unfit)
    except yaml.MarkedYAMLError as error:
        tell_syntax(error, text, file, sink)
    except (yaml.YAMLError, RecursionError, ValueError, OverflowError):
        sink.error(Mark(file, 1, 1), "yaml-syntax", "the file cannot be read as YAML")
    return None, sink


def _build(text: str, file: str, sink: Sink, loader: Any) -> Node | None:
    stack: list[_Open] = []
    root: Node | None = None
    documents = 0
    lines = text.split("\n")
    small = text.lower()
    hidden = next(chr(code) for code in _HIDDEN if f"\\u{code:04x}" not in small)
    event: Any
    for count, event in enumerate(yaml.parse(text.replace("?", hidden), Loader=loader), 1):
        start = event.start_mark
        mark = Mark(file, start.line + 1, start.column + 1)
        if getattr(event, "anchor", None) is not None or getattr(event, "tag", None) is not None:
            raise _marked(event, mark)
        if count > MAX_EVENTS:
            raise Unfit(mark, "too-big", f"the file has more than {MAX_EVENTS:,} parts", "split it")
        node: Node | None = None
        # Most events are scalars.
        if isinstance(event, yaml.ScalarEvent):
            node = _scalar(event, mark, hidden, lines, sink)
        elif isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                what = "a second document ('---') in one file"
                raise Unfit(mark, "document", what, "use a file of its own")
        elif isinstance(event, yaml.MappingStartEvent | yaml.SequenceStartEvent):
            if len(stack) >= MAX_DEPTH:
                raise Unfit(mark, "too-deep", f"nested more than {MAX_DEPTH} deep")
            stack.append(_Open(isinstance(event, yaml.MappingStartEvent), bool(event.flow_style), mark))
        elif isinstance(event, yaml.MappingEndEvent | yaml.SequenceEndEvent):
            node = stack.pop().node()
        if node is not None and stack:
            _place(node, stack[-1], sink)
        elif node is not None:
            root = node
    return root


def _scalar(event: Any, mark: Mark, hidden: str, lines: list[str], sink: Sink) -> Scalar:
    style, text, plain = event.style, event.value, not event.style
    end = event.end_mark
    if plain:
        if end.line < len(lines) and "#" in lines[end.line]:
            _tell_cut_text(lines[end.line], end, mark.file, sink)
        if text[:1] in _TYPED_QUOTES:
            _tell_typed_quotes(text, mark, sink)
    elif style in ("|", ">"):
        # A remark right behind the sign of a text block: libyaml lets it pass, the pure parser does not.
        if (glued := _GLUED_REMARK.match(lines[mark.line - 1], mark.column - 1)) is not None:
            raise Unfit(Mark(mark.file, mark.line, glued.end()), "yaml-syntax", *AFTER_BLOCK_SIGN)
    elif _SURROGATE.search(text):
        raise Unfit(mark, "strange-character", "half of a character (a lone surrogate)", "remove it")
    if hidden in text:
        text = text.replace(hidden, "?")
    # The lines below the one it begins on: a block text ends in front of the line where its event does.
    if mark.line > end.line:
        return Scalar(text, plain, mark)
    return Scalar(text, plain, mark, tuple(lines[mark.line : end.line + (style not in ("|", ">"))]))


def _marked(event: Any, mark: Mark) -> Unfit:
    """What is told of an event that has an anchor, is an alias or has a tag."""
    if getattr(event, "anchor", None) is None:
        return Unfit(mark, "tag", 'a text that begins with "!" (a tag)', "put it in quotes")
    sign = "*" if isinstance(event, yaml.AliasEvent) else "&"
    what = f'"{sign}{event.anchor}": anchors and aliases are not read'
    return Unfit(
        mark, "anchor", what, f'write the text out, or put a text that begins with "{sign}" in quotes'
    )


def _tell_cut_text(line: str, end: Any, file: str, sink: Sink) -> None:
    """A text that goes on with ' #2': YAML ends it there in silence."""
    cut = _CUT.match(line, end.column)
    if cut is not None:
        mark = Mark(file, end.line + 1, end.column + cut.group().index("#") + 1)
        what = f"the text ends in front of {cut.group().strip()}, which begins a remark"
        sink.warning(mark, "cut-text", what, "put the text in quotes, or a space behind the # of a remark")


_TYPED_QUOTES = frozenset("\u201c\u201d\u201e\u2018\u2019\u00ab\u2039")
"""Quotes that a word processor makes: to YAML they are letters like any other."""


def _tell_typed_quotes(text: str, mark: Mark, sink: Sink) -> None:
    """A text that was put in quotes which are none: they are shown with it."""
    if len(text) > 1 and text[-1] in "\u201d\u201c\u2019\u2018\u00bb\u203a\"'":
        what = f"the quotes {text[0]} {text[-1]} are read as letters of the text, not as quotes"
        sink.warning(mark, "typed-quotes", what, "type the plain quotes of the keyboard, or none")


def _blank(node: Node) -> bool:
    return isinstance(node, Scalar) and node.plain and not node.text


def _place(node: Node, top: _Open, sink: Sink) -> None:
    """Puts a finished node into the list or mapping that it stands in."""
    if not top.is_map:
        top.items.append(node)
    elif top.bad_key:
        top.bad_key = False
    elif top.key is not None:
        key, top.key = top.key, None
        _place_value(key, node, top, sink)
    elif isinstance(node, Scalar):
        top.key = node
    else:
        top.bad_key = True
        sink.error(node.mark, "bad-key", "a key must be a word, not a list or mapping")


def _place_value(key: Scalar, node: Node, top: _Open, sink: Sink) -> None:
    blank = _blank(node)
    if blank and top.flow and top.pairs and _parted_by_a_comma(key, top, sink):
        return
    first = top.seen.get(key.text)
    if first is None:
        top.seen[key.text] = key.mark
        if blank and not top.flow:
            top.blank = key
        # The parsers place a value that is not there differently: say where its key stands.
        top.pairs.append((key, Scalar("", True, key.mark) if blank else node))
    elif top.blank is None:
        hint = f"first on line {first.line}"
        sink.error(key.mark, "duplicate-key", f'"{key.text}" stands twice in one place', hint)
    elif top.blank.text not in sink.lost:
        what = f"{top.blank.text} stands too far right: what is below it does not belong to it"
        sink.error(top.blank.mark, "key-not-here", what, "move it left, to the others of its sort")
        sink.lost.add(top.blank.text)


_WORD = re.compile("[a-z][a-z0-9_]*")


def _parted_by_a_comma(key: Scalar, top: _Open, sink: Sink) -> bool:
    """Told where a comma inside { } has cut a value in two, and made a key of the rest: 0,15, or a text."""
    name, before = top.pairs[-1]
    if not key.plain or _blank(before) or _WORD.fullmatch(key.text):
        return False
    if not isinstance(before, Scalar) or not before.plain:
        return False
    number = before.text[-1].isdigit() and key.text[:1].isdigit()
    if number:
        what = f'{name.text} must be a number, not "{before.text},{key.text}"'
        sink.error(before.mark, "bad-number", what, "use a point for decimals")
    else:
        what = f'the text of {name.text} ends at the comma in front of "{key.text}"'
        sink.error(before.mark, "missing-value", what, "put the text in quotes")
    whole = f"{before.text}{'.' if number else ', '}{key.text}"
    top.pairs[-1] = (name, Scalar(whole, True, before.mark))
    return True
