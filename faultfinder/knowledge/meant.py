"""What an author meant who spelt a number, a name or yes and no in another way: offered in messages, never taken."""

from __future__ import annotations

import re
from functools import cache

ID = re.compile("[a-z][a-z0-9_]{0,59}")
"""What an id looks like."""
YAML_CONSTANTS = frozenset({"true", "false", "null"})
"""Words that editors read as values."""
_MEANS_YES = frozenset({"true", "on", "yes", "y", "1"})
_MEANS_NO = frozenset({"false", "off", "no", "n", "0"})


DASHES = ("\u2212", "\u2013", "\u2014")
"""Signs of the typesetter that look like a minus and are none."""


@cache
def key_names() -> frozenset[str]:
    """Every key of the rule language: a name like that is mostly a key whose indentation slipped."""
    from faultfinder.knowledge.keys import TABLES  # the tables stand on the shapes that ask this

    return frozenset(key.name for table in TABLES for key in table.keys)


def number_meant(text: str) -> str:
    """What to write where a number is spelt in another way: a comma, a per cent sign, a unit behind it."""
    if text.startswith(DASHES):
        return "write the minus of the keyboard: -"
    if re.fullmatch(r"\d{1,3}(?:[ '_\u00a0\u202f]\d{3})+", text):
        return "write the thousands together: " + re.sub(r"\D", "", text)
    if re.fullmatch(r"\d+,\d+", text):
        return "use a point for decimals"
    share = re.fullmatch(r"(\d+(?:\.\d+)?) ?%", text)
    if share is not None:
        return f"write {float(share.group(1)) / 100:g}"
    if re.fullmatch(r"\d+(?:\.\d+)? ?[A-Za-z\u00b0\u03a9\u2126]+", text):
        return "write the number alone"
    return ""


def name_meant(text: str) -> str:
    """The name that a text becomes with small letters and _, or nothing: ', such as fan_stuck'."""
    parted = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", text)
    plain = re.sub(r"[\s_-]+", "_", parted.strip()).lower()
    return f", such as {plain}" if ID.fullmatch(plain) and plain not in YAML_CONSTANTS else ""


def yes_or_no_meant(text: str) -> str:
    """'write yes', 'write no', or nothing where neither is clear."""
    word = text.lower()
    return "write yes" if word in _MEANS_YES else "write no" if word in _MEANS_NO else ""
