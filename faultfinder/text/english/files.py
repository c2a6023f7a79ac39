"""What is said of files, folders and records that cannot be read or written as they are."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "cannot_be_read": "{what} cannot be read: {why}.",
        "cannot_be_looked_at": "{what} cannot be looked at: {why}.",
        "cannot_be_written": "{what} cannot be written: {why}.",
        "cannot_be_removed": "{what} cannot be removed: {why}.",
        "is_no_text": "{what} is no UTF-8 text.",
        "line_not_taken": "{file}:{line}: not taken: {why}",
        "reading_the_records": "Reading the records",
        "written_to": "Written: {what}",
    }
)
