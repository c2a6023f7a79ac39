"""Reading a file that somebody names, without waiting on a pipe or filling the memory from a device."""

from __future__ import annotations

import errno
from pathlib import Path

from faultfinder.knowledge.nodes import MAX_BYTES


def read_ordinary(file: Path) -> bytes:
    """The bytes of an ordinary file, one more than MAX_BYTES at most, so that a larger one is still told as too big.

    Raises OSError where it cannot be read, and for a pipe, a device or a folder.
    """
    if file.exists() and not file.is_file():
        raise OSError(errno.EINVAL, "not an ordinary file", str(file))
    with file.open("rb") as stream:
        return stream.read(MAX_BYTES + 1)
