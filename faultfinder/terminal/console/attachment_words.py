"""The words of a conversation that reach for files: who and where (`about`), pictures (`photo`), parts (`part`).

They touch nothing that the conversation concludes from, so they are taken here and not by the dialogue: the files
beside the record are written, the event is kept, and the question stands as it stood.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Iterable
from pathlib import Path

from faultfinder.dialogue.say import Ask, Said, note
from faultfinder.errors import FaultFinderError
from faultfinder.job.events import Event, PartUsed, PictureTaken
from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.whole_file import new_file, reason_of, write_whole
from faultfinder.job.workshop.attachments import (
    FIELDS,
    LARGEST,
    about_path,
    about_text,
    kind_of,
    picture_path,
    read_about,
    tidy,
)
from faultfinder.terminal.console.console import Face
from faultfinder.text.catalogue import say

WORDS = ("about", "photo", "part")
MOST_PICTURES = 200
LONGEST_PART = 100
_TIMES = re.compile(r"(?:^|\s+)(?:x\s*|\u00d7\s*)(\d{1,3}(?:[.,]\d{1,2})?)\s*$")


def is_one(line: str, free: bool) -> bool:
    """Whether a typed line is one of these words. free: the prompt takes words of any kind."""
    first, _, rest = line.strip().partition(" ")
    word = first.casefold()
    if word not in WORDS:
        return False
    if not free:
        return True
    field = rest.strip().partition(" ")[0].casefold().rstrip(":=")
    return (word == "about" and field in ("", *FIELDS)) or (word == "photo" and _file_in(rest) is not None)


def taken(face: Face, record: Path, line: str) -> tuple[list[Event], list[Said]]:
    """Do what the line says; the events to keep, and what to say. Raises FaultFinderError, nothing done."""
    first, _, rest = line.strip().partition(" ")
    match first.casefold():
        case "about":
            return [], _about(face, record, rest.strip())
        case "photo":
            return _photo(record, rest.strip(), Disk())
    return _part(rest.strip())


# -- who and where --------------------------------------------------------------------------------------


def about_of(record: Path, files: Disk | None = None) -> dict[str, str]:
    """Who and where of a record; empty where nothing is kept. Raises RecordError for a file that is none."""
    files, path = files or Disk(), about_path(record)
    try:
        return read_about(files.read(path), str(path))
    except FileNotFoundError:
        return {}
    except OSError as problem:
        raise RecordError(
            say("cannot_be_read", what=plain_text(str(path)), why=reason_of(problem, reading=True))
        ) from problem


def keep_about(record: Path, fields: dict[str, str]) -> None:
    """Keep who and where beside the record. Raises RecordError."""
    write_whole(about_path(record), about_text(fields), over=True)


def _about(face: Face, record: Path, rest: str) -> list[Said]:
    fields = about_of(record)
    told = _fields_told(rest)
    if rest and not told:
        raise FaultFinderError(say("attachment_words_about_takes_one_then", names=", ".join(FIELDS)))
    if told:
        fields |= told
    else:
        face.show([note(say("attachment_words_kept_apart_beside_record"))])
        for field in FIELDS:
            if fields.get(field):
                face.show([note(f"{field}: {fields[field]}")])
            try:
                said = tidy(face.ask(Ask(field)))
            except (EOFError, KeyboardInterrupt):
                break
            if said:
                fields[field] = "" if said == "-" else said
    keep_about(record, fields)
    kept = [field for field in FIELDS if fields.get(field)]
    return [note(say("attachment_words_kept_beside_record", what=", ".join(kept) or say("nothing_known")))]


_NAMES = "|".join(FIELDS)
_FIELD = re.compile(rf"(?:^|;\s*)({_NAMES})(?:\s*[:=]\s*|\s+|$)|,\s*({_NAMES})\s*[:=]\s*", re.IGNORECASE)


def _fields_told(text: str) -> dict[str, str]:
    """The fields of one line: 'customer: A; address: B'; empty where it begins with none. A comma parts them only
    before a name with its colon: addresses have commas."""
    found = list(_FIELD.finditer(text))
    if not found or found[0].start() > 0:
        return {}
    ends = [*(each.start() for each in found[1:]), len(text)]
    return {
        (each.group(1) or each.group(2)).casefold(): tidy(text[each.end() : end])
        for each, end in zip(found, ends, strict=True)
    }


# -- pictures -------------------------------------------------------------------------------------------


def _file_in(rest: str) -> tuple[Path, str] | None:
    """The longest beginning of the words that is a file's name, and the words behind it."""
    quoted = re.match(r"\s*(\"[^\"]+\"|'[^']+')\s*(.*)\Z", rest, re.S)
    if quoted:
        return Path(quoted[1][1:-1]).expanduser(), quoted[2]
    parts = rest.split()
    for count in range(len(parts), 0, -1):
        path = Path(" ".join(parts[:count]))
        try:
            path = path.expanduser()
            if os.path.lexists(path):
                return path, " ".join(parts[count:])
        except (OSError, RuntimeError, ValueError):
            continue
    return None


def _photo(record: Path, rest: str, files: Disk) -> tuple[list[Event], list[Said]]:
    found = _file_in(rest)
    if not rest:
        raise FaultFinderError(say("attachment_words_name_pictures_file_then"))
    if found is None:
        raise FaultFinderError(say("attachment_words_there_no_file", what=plain_text(rest.split()[0])))
    path, words = found
    data = _picture(path, files)
    kind = kind_of(data)
    if not kind:
        raise FaultFinderError(say("attachment_words_no_picture_jpeg_png", path=plain_text(str(path))))
    tail = _kept(record, kind, data, files)
    event = PictureTaken(tail, hashlib.sha256(data).hexdigest(), plain_text(words)[: LONGEST_PART * 4])
    return [event], [note(say("attachment_words_kept_beside_record_as", stem=record.stem, tail=tail))]


def _picture(path: Path, files: Disk) -> bytes:
    try:
        size = os.stat(path).st_size
        if size <= LARGEST:
            return files.read(path)
    except (OSError, ValueError) as problem:
        why = reason_of(problem, reading=True) if isinstance(problem, OSError) else str(problem)
        raise FaultFinderError(say("cannot_be_read", what=plain_text(str(path)), why=why)) from problem
    name, bytes_, most = plain_text(str(path)), f"{size:,}", f"{LARGEST:,}"
    raise FaultFinderError(say("attachment_words_has_bytes_picture_at", path=name, size=bytes_, largest=most))


def _kept(record: Path, kind: str, data: bytes, files: Disk) -> str:
    """Copy the bytes beside the record under the next number that no picture has; the tail of that name."""
    for number in range(1, MOST_PICTURES + 1):
        stem = f"picture-{number}"
        taken = (picture_path(record, f"{stem}.{each}") for each in ("jpg", "png", "gif", "webp"))
        if any(path is not None and files.exists(path) for path in taken):
            continue
        target = picture_path(record, f"{stem}.{kind}")
        assert target is not None
        try:
            new_file(target, data, files)
        except OSError as problem:
            text = say("attachment_words_picture_not_kept", problem=reason_of(problem))
            raise FaultFinderError(text) from problem
        return f"{stem}.{kind}"
    raise FaultFinderError(say("attachment_words_job_takes_pictures", most=MOST_PICTURES))


def pictures_of(record: Path, events: Iterable[Event], files: Disk | None = None) -> dict[str, bytes]:
    """The bytes of the pictures that a record names and that are there, by the tail of their name."""
    files = files or Disk()
    out: dict[str, bytes] = {}
    for event in events:
        if not isinstance(event, PictureTaken):
            continue
        path = picture_path(record, event.file)
        if path is None or not files.is_file(path):
            continue
        try:
            if os.stat(path).st_size <= LARGEST:
                out[event.file] = files.read(path)
        except OSError:
            continue
    return out


# -- parts ----------------------------------------------------------------------------------------------


def _part(rest: str) -> tuple[list[Event], list[Said]]:
    times = _TIMES.search(rest)
    count = float(times[1].replace(",", ".")) if times else 1.0
    name = tidy(rest[: times.start()] if times else rest)[:LONGEST_PART]
    if not name:
        raise FaultFinderError(say("attachment_words_name_part_used_how"))
    used = say("attachment_words_used_x", count=f"{count:g}", name=name)
    return [PartUsed(name, count)], [note(used if count else say("taken_back", name=name))]
