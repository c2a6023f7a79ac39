"""The files that lie beside a job's record: who the customer is, and its pictures. They share the record's name.

`JOB.about` holds the person, so that a record can be shared, exported and counted without; `JOB-picture-1.jpg` is a
picture that the record names by its tail (`picture-1.jpg`) and its hash, so that both can be renamed together.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.lines import RecordError
from faultfinder.job.record.record import SUFFIX
from faultfinder.text.catalogue import say

ABOUT = ".about"
_PICTURE = re.compile(r"-picture-[1-9][0-9]{0,3}\.(?:jpg|png|gif|webp)\Z")


def stem_of(record: Path) -> str:
    """What the files beside a record begin with: its name, the same for a record that went on beside it."""
    return re.sub(r"-kept-\d+\Z", "", record.name.removesuffix(SUFFIX))


def about_path(record: Path) -> Path:
    """Where who and where stands for a record."""
    return record.with_name(stem_of(record) + ABOUT)


def picture_path(record: Path, tail: str) -> Path | None:
    """The file of a picture that the record names; None for a name that could lead anywhere else."""
    name = f"{stem_of(record)}-{tail}"
    return record.with_name(name) if _PICTURE.fullmatch(f"-{tail}") else None


def beside(record: Path, files: Disk) -> list[Path]:
    """The files beside a record that belong to it. Raises OSError where the folder cannot be looked at."""
    stem = stem_of(record)
    return [
        record.with_name(name)
        for name in files.names(record.parent)
        if name.startswith(stem) and (name == stem + ABOUT or _PICTURE.fullmatch(name[len(stem) :]))
    ]


# -- who and where --------------------------------------------------------------------------------------

FIELDS = ("customer", "address", "telephone", "appliance", "serial", "technician")
"""What may be kept of the person and the machine, each a line of the file; appliance: maker and model, own words."""
MOST = 400
"""Letters of one field; chosen."""


def read_about(data: bytes, file: str = "") -> dict[str, str]:
    """The fields of a file of who and where: a line each, `customer: ...`; a line with # is a remark. Raises
    RecordError for what is no such file."""
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(say("is_no_text", what=plain_text(file))) from None
    found: dict[str, str] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        name, colon, value = line.partition(":")
        name = name.strip().casefold()
        if not colon or name not in FIELDS:
            raise RecordError(
                say(
                    "attachments_line_one_colon_words",
                    file=plain_text(file),
                    number=number,
                    names=", ".join(FIELDS),
                )
            )
        found[name] = tidy(value)
    return {name: found[name] for name in FIELDS if found.get(name)}


def tidy(value: str) -> str:
    """A field as it is kept: on one line, harmless to show, of a sensible length."""
    return " ".join(plain_text(value).split())[:MOST]


def about_text(fields: Mapping[str, str]) -> str:
    """The file of who and where."""
    return "".join(f"{name}: {tidy(fields[name])}\n" for name in FIELDS if fields.get(name))


# -- pictures -------------------------------------------------------------------------------------------

LARGEST = 20_000_000
"""Bytes of a picture; a telephone's has some 3 to 8 million. Chosen."""
_JPEG_SIZES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""Markers of a JPEG's frame header, which holds its size: ISO/IEC 10918-1, table B.1."""


def kind_of(data: bytes) -> str:
    """What kind of picture the bytes are, by the header that holds its size (ISO/IEC 10918-1, PNG, GIF89a and WebP);
    empty for what is none, or has no size."""
    if data[:8] == b"\x89PNG\r\n\x1a\n" and data[12:16] == b"IHDR" and _sized(data[16:20], data[20:24]):
        return "png"
    if data[:6] in (b"GIF87a", b"GIF89a") and len(data) > 13 and _sized(data[6:8], data[8:10]):
        return "gif"
    if (
        data[:4] == b"RIFF"
        and data[8:12] == b"WEBP"
        and data[12:16] in (b"VP8 ", b"VP8L", b"VP8X")
        and len(data) > 30
    ):
        return "webp"
    return "jpg" if data[:3] == b"\xff\xd8\xff" and _is_jpeg(data) else ""


def _sized(*sides: bytes) -> bool:
    return all(any(side) for side in sides)


def _is_jpeg(data: bytes) -> bool:
    """Whether the segments of a JPEG lead to a frame header with a size."""
    place = 2
    while place + 9 < len(data) and data[place] == 0xFF:
        marker = data[place + 1]
        if marker in _JPEG_SIZES:
            return _sized(data[place + 5 : place + 7], data[place + 7 : place + 9])
        # A filling byte stands alone; every other segment before the frame says how long it is.
        place += 1 if marker == 0xFF else 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    return False
