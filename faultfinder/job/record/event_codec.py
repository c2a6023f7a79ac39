"""An event <-> one line of a record: `- {answer: air, is: weak, line: 5d1f-12, check: 1f00ba24}`.

`line` is the record's own mark and the line's number in it, `more` how many lines of the same turn follow, and
`check` the CRC-32 (8 hexadecimal digits, of the UTF-8 text) of the line without it. All three are written by the
program and left out by hands. Reading is strict: an unknown event, key or word, or a value of the wrong
type, is a `Problem` with its place and the nearest known name.
"""

from __future__ import annotations

import math
import re
import typing
import zlib
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from datetime import datetime
from typing import Any

from faultfinder.job.events import BECAUSE, DECLINED, EVENTS, Chances, Declined, Event, Expect, Skipped
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Problem, Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean, nearest
from faultfinder.knowledge.schema.typo_hints import number_meant
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar, read_nodes
from faultfinder.text.catalogue import say

MAX_LINE = 50_000
"""Longest line in characters. What a person types is at most 4,000 (dialogue/converse.py), each of them at most ten
characters here, where it has to be written as an escape. Chosen."""

_CHECK = re.compile(r", check: ([0-9a-f]{8})\}$")
_NUMBER = r"[+-]?[0-9]{1,9}(\.[0-9]{1,12})?([eE][+-]?[0-9]{1,2})?"
_PLAIN = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.+-]*\Z")
_ESCAPES = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t", "\r": "\\r"}


@dataclass(frozen=True, slots=True)
class Place:
    """Where a line stands: the mark of its record (4 hexadecimal digits), its number there, from 1, and how many
    lines of the same turn follow it."""

    record: str
    number: int
    more: int = 0


_LINE = re.compile(r"([0-9a-f]{4})-([1-9][0-9]{0,4})\Z")
_MORE = re.compile(r"[1-9][0-9]{0,4}\Z")


# -- writing --------------------------------------------------------------------------------------------


def to_line(event: Event, place: Place | None = None, *, check: bool = True) -> str:
    """The line of an event, without its line end; with its place where one is given, and with its check unless told
    otherwise. What stands at its default is left out, but for the first key."""
    pairs = []
    for spec in _SPECS[type(event)]:
        value = getattr(event, spec.attribute)
        if spec.first or value != spec.default:
            pairs.append((spec.key, _written(value)))
    if place is not None:
        pairs.append(("line", f"{place.record}-{place.number}"))
        pairs += [("more", str(place.more))] if place.more else []
    text = "- {" + ", ".join(f"{key}: {value}" for key, value in pairs) + "}"
    return f"{text[:-1]}, check: {_crc(text)}}}" if check else text


def mark_of(first: Event) -> str:
    """The mark of a record that begins with this event: by it two records put together are told apart."""
    return _crc(to_line(first, check=False))[:4]


def _crc(text: str) -> str:
    return f"{zlib.crc32(text.encode('utf-8', 'surrogatepass')):08x}"


def _written(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:.10g}"
    if isinstance(value, str):
        return value if _PLAIN.match(value) else f'"{"".join(map(_escaped, value))}"'
    if value and isinstance(value[0], tuple):
        return "{" + ", ".join(f"{_written(name)}: {_written(chance)}" for name, chance in value) + "}"
    return "[" + ", ".join(_written(item) for item in value) + "]"


def _escaped(character: str) -> str:
    """A character as it stands in double quotes: whatever could drive a terminal or end a line is escaped."""
    if character in _ESCAPES:
        return _ESCAPES[character]
    code = ord(character)
    if 0xD800 <= code <= 0xDFFF:
        return "\\ufffd"
    if character != "\ufffd" and character.isprintable() or character == " ":
        return character
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


# -- reading --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Line:
    """One line read. `checked`: it carried a check and the check was right. `place`: as the line says, if it does."""

    event: Event | None
    problems: tuple[Problem, ...]
    checked: bool
    place: Place | None = None


def parse_line(text: str, file: str = "", number: int = 1) -> Line:
    """Read one line (without its line end). Never raises: what is wrong comes back as problems at `number`."""
    sink = Sink()
    here = Mark(file, 1, 1)
    found = _CHECK.search(text) if len(text) <= MAX_LINE else None
    whole = text if found is None else text[: found.start()] + "}"
    event, place = None, None
    if len(text) > MAX_LINE:
        sink.error(here, "too-long", say("line_too_long", count=f"{len(text):,}", most=f"{MAX_LINE:,}"))
    elif found is not None and _crc(whole) != found.group(1):
        message, hint = say("event_codec_line_does_not_agree"), say("event_codec_if_you_changed_delete")
        sink.error(here, "damaged", message, hint)
    else:
        event, place = _parsed(whole, here, sink)
    problems = tuple(_moved(problem, number - 1) for problem in sink.problems)
    if event is None or sink.has_errors:
        return Line(None, problems, False)
    return Line(event, problems, found is not None, place)


def _moved(problem: Problem, lines: int) -> Problem:
    """The same problem, so many lines further down."""
    mark = Mark(problem.mark.file, problem.mark.line + lines, problem.mark.column)
    hint = re.sub(r"(?<=^first on line )\d+$", lambda found: str(int(found[0]) + lines), problem.hint)
    return Problem(mark, problem.code, problem.level, problem.message, hint)


def _parsed(text: str, here: Mark, sink: Sink) -> tuple[Event | None, Place | None]:
    node = read_nodes(text.encode("utf-8", "surrogatepass"), here.file, sink)
    if node is None:
        if not sink.has_errors:
            sink.error(here, "empty", say("event_codec_empty_line_where_event"))
        return None, None
    if not isinstance(node, ListNode) or len(node.items) != 1 or not isinstance(node.items[0], MapNode):
        sink.error(here, "not-an-event", say("event_codec_record_line"))
        return None, None
    whole = node.items[0]
    pairs = tuple(pair for pair in whole.pairs if pair[0].text not in ("line", "more"))
    if not pairs:
        sink.error(here, "not-an-event", say("event_codec_event_without_word_in"))
        return None, None
    first = pairs[0][0]
    if kind := EVENTS.get(first.text):
        return _built(kind, MapNode(pairs, whole.mark), sink), _place(whole, sink)
    message = say("event_codec_there_no_event_its", text=_shown(first.text))
    sink.error(first.mark, "unknown-event", message, did_you_mean(first.text, EVENTS))
    return None, _place(whole, sink)


def _place(mapping: MapNode, sink: Sink) -> Place | None:
    """Where the line says that it stands; None where it does not say."""
    line, more = mapping.get("line"), mapping.get("more")
    if line is None and more is None:
        return None
    number = _LINE.match(line.text) if isinstance(line, Scalar) else None
    follow = _MORE.match(more.text) if isinstance(more, Scalar) else None
    if number is None or (more is not None and follow is None):
        wanted = say("event_codec_lines_place_written_as")
        sink.error(mapping.mark, "wrong-value", wanted, say("event_codec_leave_line_more_out"))
        return None
    return Place(number[1], int(number[2]), int(follow[0]) if follow else 0)


_GLUED = re.compile(r"([a-z][a-z0-9_]*)(?: *= *| +(?:is|reads|=) +)(.+)")
"""What was answered and the answer as one text: type=corded, scale_seen is thick."""


def _built(kind: type[Event], mapping: MapNode, sink: Sink) -> Event | None:
    specs = {spec.key: spec for spec in _SPECS[kind]}
    values: dict[str, Any] = {}
    before = len(sink.problems)
    meant: set[str | None] = set()
    name = mapping.pairs[0][0].text
    for key, node in mapping.pairs:
        spec = specs.get(key.text)
        if spec is None:
            meant.add(_unknown_key(key, specs, mapping, sink))
            continue
        alone = len(mapping.pairs) == 1 and key.text in ("answer", "fact")
        if alone and isinstance(node, Scalar) and (glued := _GLUED.fullmatch(node.text)):
            message = say("event_codec_no_name", text=_shown(node.text))
            hint = say("event_codec_write_pair", what=key.text, name=glued[1], text=_shown(glued[2]))
            sink.error(node.mark, "wrong-value", message, hint)
            return None
        value = _read(node, spec, sink)
        if value is not None:
            values[spec.attribute] = value
    for spec in specs.values():
        if spec.default is MISSING and mapping.get(spec.key) is None and spec.key not in meant:
            sink.error(mapping.mark, "missing-key", say("event_codec_needs_key", name=name, what=spec.key))
    if kind is Expect and len(sink.problems) == before and Expect(**values) == Expect():
        message = say("event_codec_expects_nothing", name=name)
        sink.error(mapping.mark, "missing-value", message, say("event_codec_name_what_must_come"))
    return kind(**values) if len(sink.problems) == before else None


def _unknown_key(key: Scalar, specs: Mapping[str, _Spec], mapping: MapNode, sink: Sink) -> str | None:
    """Tells of a key that this event has not; the one that may have been meant."""
    lacking = [
        each.key for each in specs.values() if each.default is MISSING and mapping.get(each.key) is None
    ]
    near = nearest(key.text, specs)
    hint = did_you_mean(key.text, specs)
    if len(lacking) == 1 and near is None:
        hint = say("event_codec_write", line=lacking[0])
    if near is None and "reads" in specs and key.text in ("value", "result", "says", "shows"):
        hint = say("event_codec_write_is_or_reads")
    message = say("event_codec_has_no_key", name=mapping.pairs[0][0].text, text=_shown(key.text))
    sink.error(key.mark, "unknown-key", message, hint)
    return lacking[0] if len(lacking) == 1 else near


def _read(node: Node, spec: _Spec, sink: Sink) -> Any:
    """The value of a key, or None after telling what is wrong with it."""
    if spec.type == Chances:
        return _chances(node, spec, sink)
    if spec.type == tuple[str, ...]:
        items = node.items if isinstance(node, ListNode) else (node,)
        texts = [_text(item, spec, sink) for item in items]
        return None if None in texts else tuple(typing.cast("list[str]", texts))
    text = _text(node, spec, sink)
    if text is None:
        return None
    if spec.type in (int, float):
        return _number(text, node.mark, spec, sink)
    if spec.choices:
        word = _word(text, spec.choices, node.mark, spec, sink)
        return word == "yes" if word and spec.type is bool else word
    if spec.key == "at":
        return _time(text, node.mark, sink)
    return text


def _text(node: Node, spec: _Spec, sink: Sink) -> str | None:
    if not isinstance(node, Scalar):
        sink.error(node.mark, "wrong-type", say("event_codec_must", what=spec.key, wanted=spec.wanted))
        return None
    if node.plain and not node.text:
        message = say("event_codec_has_no_value", what=spec.key)
        sink.error(node.mark, "missing-value", message, say("event_codec_write_for_empty_text"))
        return None
    return node.text


def _word(text: str, known: tuple[str, ...], mark: Mark, spec: _Spec, sink: Sink) -> str | None:
    if text in known:
        return text
    message = say("event_codec_one_not", what=spec.key, names=", ".join(known), text=_shown(text))
    near = nearest(text, known)
    sink.error(mark, "wrong-value", message, say("name_did_you_mean", near=near) if near else "")
    return None


def _number(text: str, mark: Mark, spec: _Spec, sink: Sink) -> Any:
    pattern = r"[+-]?[0-9]{1,9}" if spec.type is int else _NUMBER
    value = float(text) if re.fullmatch(pattern, text) else math.nan
    if not math.isfinite(value):
        message = say("event_codec_must_not", what=spec.key, wanted=spec.wanted, text=_shown(text))
        sink.error(mark, "wrong-type", message, number_meant(text))
        return None
    return int(value) if spec.type is int else value


def _time(text: str, mark: Mark, sink: Sink) -> str | None:
    try:
        datetime.fromisoformat(text)
    except ValueError:
        sink.error(mark, "wrong-value", say("event_codec_at_must_time_such", text=_shown(text)))
        return None
    return text


def _chances(node: Node, spec: _Spec, sink: Sink) -> Chances | None:
    if not isinstance(node, MapNode) or not node.pairs:
        sink.error(node.mark, "wrong-type", say("event_codec_must", what=spec.key, wanted=spec.wanted))
        return None
    chances = []
    for name, value in node.pairs:
        text = value.text if isinstance(value, Scalar) else ""
        number = float(text) if re.fullmatch(_NUMBER, text) else -1.0
        if not 0.0 <= number <= 1.0:
            message = say("event_codec_must_probability_from_0", text=_shown(name.text))
            sink.error(value.mark, "wrong-type", message)
            return None
        chances.append((name.text, number))
    return tuple(chances)


def _shown(text: str) -> str:
    shown = "".join(character if character.isprintable() else "?" for character in text)
    return shown if len(shown) <= 40 else shown[:37] + "..."


# -- the keys of an event, from its class ----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Spec:
    """One key. choices: the words that it may have; any without. default: MISSING where it must stand there."""

    key: str
    attribute: str
    type: Any
    default: Any
    choices: tuple[str, ...]
    first: bool

    @property
    def wanted(self) -> str:
        if self.type == Chances:
            return say("event_codec_mapping")
        if self.type == tuple[str, ...]:
            return "a list [..., ...]"
        words = {
            int: say("event_codec_whole_number"),
            float: say("event_codec_number"),
            bool: say("event_codec_yes_no"),
        }
        return words.get(self.type, "a text")


_CHOICES = {Skipped: BECAUSE, Declined: DECLINED}


def _specs_of(kind: type[Event]) -> tuple[_Spec, ...]:
    """The keys of an event in order."""
    hints = typing.get_type_hints(kind)
    specs = []
    # What every event has stands last; nothing that is expected happens at a time.
    own = [field for field in fields(kind) if field.name != "at" or kind is not Expect]
    for number, field in enumerate(sorted(own, key=lambda field: field.name == "at")):
        first = number == 0 and kind is not Expect
        key = kind.KEY if first else "is" if field.name == "value" else field.name
        bare = _bare(hints[field.name])
        choices = ("yes", "no") if bare is bool else _CHOICES.get(kind, ()) if field.name == "because" else ()
        specs.append(_Spec(key, field.name, bare, field.default, choices, first))
    return tuple(specs)


def _bare(hint: Any) -> Any:
    """A type without its 'or None'."""
    parts = typing.get_args(hint)
    return parts[0] if type(None) in parts else hint


# -- showing --------------------------------------------------------------------------------------------


def plain_text(text: str) -> str:
    """Text from a file or a person made safe to show: no control, direction-changing or unpaired character.

    Each such character becomes '?'; a tab and a line end become a space. What is left cannot drive
    a terminal nor read differently from what it says.
    """
    shown = []
    for character in text:
        if character in "\n\r\t":
            shown.append(" ")
        elif character.isprintable():
            shown.append(character)
        else:
            shown.append(" " if character.isspace() else "?")
    return "".join(shown)


_SPECS = {kind: _specs_of(kind) for kind in EVENTS.values()}
"""The keys of each event, in order."""
