"""What the bytes of a record hold: its events, and what is wrong with it; nothing here touches a disk.

A last line or turn that was never finished is *torn*: left out and told. A finished line that cannot be right is
*damage*: told with its place, never skipped in silence. So is a line that is missing, stands twice or comes from
another record: each line that the program writes carries its number and its record's mark (line.Place). A line
without them was written by a hand, or by an older version, and is taken as it stands.
"""

from __future__ import annotations

from codecs import BOM_UTF8
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import FORMAT, Event, Opened, opening
from faultfinder.job.record.event_codec import Line, Place, mark_of, parse_line, plain_text
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import ERROR, WARNING, Problem
from faultfinder.text.catalogue import say

MAX_RECORD = 20_000_000
"""Largest record in bytes; a long job has some 100 kB. Chosen."""
MOST_LINES = 10_000
"""Most events in a record; a long job has some 500. Chosen."""


class RecordError(FaultFinderError):
    """The record cannot be opened, read or written; the message says what is wrong and what to do."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What a record holds. `problems`: damage (errors) and what else is to be told (warnings), by place.

    sound: how many bytes from the start are finished turns; torn: how many unfinished ones follow.
    """

    events: tuple[Event, ...]
    lines: tuple[int, ...]
    """The line number of each event."""
    problems: tuple[Problem, ...]
    sound: int
    torn: int
    entries: int = 0
    """How many entries there are, those that cannot be read among them."""
    last: Place | None = None
    """Where the last line stands that says so."""
    known: bool = False
    """Whether this can be nothing but a record: only then is anything ever written to its file."""

    @property
    def damaged(self) -> bool:
        return any(problem.is_error for problem in self.problems)

    @property
    def newer(self) -> bool:
        """Whether a newer version wrote it: what this one cannot read of it may be a danger."""
        return any(isinstance(event, Opened) and event.format > FORMAT for event in self.events)

    @property
    def next_place(self) -> Place:
        """Where the next line will stand."""
        if self.last is not None:
            # Behind all of a turn whose other lines are gone, so that nothing is taken for them.
            return Place(self.last.record, self.last.number + 1 + self.last.more)
        return Place(mark_of(self.events[0]) if self.events else "", self.entries + 1)


@dataclass(frozen=True, slots=True)
class _Entry:
    """One entry: the line it begins at, the byte, and what was read there."""

    number: int
    start: int
    line: Line


def parse_record(data: bytes, file: str = "") -> Contents:
    """What the bytes of a record hold; see `Contents`. Raises RecordError for what cannot be a record."""
    if len(data) > MAX_RECORD:
        raise RecordError(say("lines_has_bytes_no_job", file=plain_text(file), count=f"{len(data):,}"))
    sound, torn = _tail(data)
    entries: list[_Entry] = []
    for number, start, raw in _entries(data[:sound]):
        if len(entries) >= MOST_LINES:
            raise RecordError(say("lines_has_more_than_lines", file=plain_text(file), most=f"{MOST_LINES:,}"))
        entries.append(_Entry(number, start, _read(raw, file, number)))
    whole = _finished(entries)
    if whole < len(entries):
        sound = entries[whole].start
        torn, entries = len(data) - sound, entries[:whole]
    problems = [problem for entry in entries for problem in entry.line.problems]
    if torn:
        number = data.count(b"\n", 0, sound) + 1
        message = say("lines_last_line_never_finished")
        problems.append(Problem(Mark(file, number, 1), "torn", WARNING, message))
    events = tuple(entry.line.event for entry in entries if entry.line.event is not None)
    lines = tuple(entry.number for entry in entries if entry.line.event is not None)
    problems += _about_order(entries, file)
    problems += _about_format(events, file)
    problems += _about_clock(events, lines, file)
    places = [entry.line.place for entry in entries if entry.line.place is not None]
    return Contents(
        events,
        lines,
        tuple(problems),
        sound,
        torn,
        entries=len(entries),
        last=places[-1] if places else None,
        known=_known(entries),
    )


def _read(raw: bytes, file: str, number: int) -> Line:
    message, hint = say("lines_line_no_utf_8"), ""
    try:
        text = raw.decode("utf-8")
        if not text.startswith("#"):
            return parse_line(text, file, number)
        message, hint = say("lines_finished_line_whose_first"), say("lines_put_right")
    except UnicodeDecodeError:
        pass
    return Line(None, (Problem(Mark(file, number, 1), "damaged", ERROR, message, hint),), False)


def _known(entries: Sequence[_Entry]) -> bool:
    """Whether these entries can be nothing but a job's: they begin with a checked `opened`, or with one by hand and
    most can be read; or most are checked. A text with lines of a record in it is none."""
    if not entries:
        return False
    begins = entries[0].line
    if isinstance(begins.event, Opened):
        read = sum(entry.line.event is not None for entry in entries)
        return begins.checked or 2 * read > len(entries)
    return 2 * sum(entry.line.checked for entry in entries) > len(entries)


# -- lines and turns --------------------------------------------------------------------------------------


def _tail(data: bytes) -> tuple[int, int]:
    """Where the sound part ends and how much is torn behind it."""
    end = data.rfind(b"\n") + 1
    rest = data[end:]
    if not rest:
        return end, 0
    try:
        text = rest.decode("utf-8")
    except UnicodeDecodeError:
        return end, len(rest)
    # A whole line whose end alone is missing: cut there by bad luck, or typed by hand without a last Enter.
    whole = not text.strip() or text.lstrip().startswith("#") or parse_line(text).event is not None
    return (len(data), 0) if whole else (end, len(rest))


def _entries(data: bytes) -> Iterator[tuple[int, int, bytes]]:
    """(line number, place of its first byte, bytes) of each event; a hand may break one over further lines that
    begin with a space."""
    entry: list[bytes] = []
    first = start = after = 0
    for number, raw in enumerate(data.split(b"\n"), start=1):
        here, after = after, after + len(raw) + 1
        # An editor may have set a mark of order before all of it.
        line = (raw.removeprefix(BOM_UTF8) if number == 1 else raw).rstrip(b"\r")
        if not line.strip() or (line.lstrip().startswith(b"#") and not _was_a_line(line)):
            continue
        if line[:1] in (b" ", b"\t") and entry:
            entry.append(line)
            continue
        if entry:
            yield first, start, b"\n".join(entry)
        entry, first, start = [line], number, here
    if entry:
        yield first, start, b"\n".join(entry)


def _was_a_line(line: bytes) -> bool:
    """Whether a remark is a line that the program wrote, but for its first character."""
    return b", check: " in line and parse_line("-" + line[1:].decode("utf-8", "replace")).checked


def _finished(entries: Sequence[_Entry]) -> int:
    """How many entries belong to finished turns: all, unless the last says that more of its turn should follow."""
    place = entries[-1].line.place if entries else None
    if place is None or not place.more:
        return len(entries)
    first = len(entries) - 1
    while first:
        before = entries[first - 1].line.place
        if before != Place(place.record, place.number - 1, place.more + 1):
            break
        first, place = first - 1, before
    return first


# -- what else is to be told ------------------------------------------------------------------------------


def _about_order(entries: Sequence[_Entry], file: str) -> list[Problem]:
    """Lines that are missing, stand where they do not belong, or were put there from another record.

    As many lines may be missing as lines without a number stand in their place: those a hand wrote anew, and those
    that cannot be read and are told of already.
    """
    problems: list[Problem] = []
    begun = False
    mark, last, loose, following = "", 0, 0, 0

    def tell(entry: _Entry, code: str, message: str, hint: str) -> None:
        problems.append(Problem(Mark(file, entry.number, 1), code, ERROR, message, hint))

    for entry in entries:
        place = entry.line.place
        if isinstance(entry.line.event, Opened):
            if begun:
                tell(entry, "two-records", say("lines_second_record_begins_here"), say("record_apart"))
                mark, last, loose = "", 0, 0
            begun = True
        if place is None:
            loose += 1
            continue
        if mark and place.record != mark:
            tell(entry, "two-records", say("lines_line_comes_from_another"), say("record_apart"))
        elif place.number <= last:
            message = say("lines_line_job_stands_behind", number=place.number, last=last)
            tell(entry, "order", message, say("record_order"))
        elif place.number > last + 1 + loose:
            one = place.number == last + 2
            lost = say("lines_line" if one else "lines_lines", last=last + 1, number=place.number - 1)
            some = say("lines_some") + " " if loose else ""
            message = say("lines_job_before_one_should", lost=lost, some=some)
            tell(entry, "missing", message, say("record_lost"))
        elif following and place.number == last + 1 and place.more != following - 1:
            tell(entry, "missing", say("lines_what_should_follow_line"), say("record_lost"))
        mark, last, loose, following = place.record, place.number, 0, place.more
    if following > loose:
        tell(entries[-1], "missing", say("lines_what_should_follow_line"), say("record_lost"))
    return problems


def _about_format(events: Sequence[Event], file: str) -> list[Problem]:
    opened = opening(events)
    if opened is None or opened.format == FORMAT:
        return []
    key = "record_older" if opened.format < FORMAT else "record_newer"
    message = say(key, format=opened.format, here=FORMAT)
    return [Problem(Mark(file, 1, 1), "other-format", WARNING, message)]


def _about_clock(events: Sequence[Event], lines: Sequence[int], file: str) -> list[Problem]:
    """Where the times in a record go back: told, and nothing is left out for it."""
    problems: list[Problem] = []
    latest: datetime | None = None
    for event, number in zip(events, lines, strict=True):
        if not event.at:
            continue
        at = moment_of(event.at)
        if latest is not None and at < latest:
            message = say("lines_clock_went_back_here")
            problems.append(Problem(Mark(file, number, 1), "clock-back", WARNING, message))
        latest = at
    return problems


def moment_of(text: str) -> datetime:
    """The moment that an ISO time names, one without a zone as UTC. Raises ValueError."""
    at = datetime.fromisoformat(text)
    try:
        return at.astimezone(UTC) if at.tzinfo else at.replace(tzinfo=UTC)
    except OverflowError:  # the first and the last day that there is: its zone leads beyond it
        return at.replace(tzinfo=UTC)
