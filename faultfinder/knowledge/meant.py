"""What an author meant who spelt a number, a name or yes and no in another way: offered in messages, never taken."""

from __future__ import annotations

import re

ID = re.compile("[a-z][a-z0-9_]{0,59}")
"""What an id looks like."""
YAML_CONSTANTS = frozenset({"true", "false", "null"})
"""Words that editors read as values."""
_MEANS_YES = frozenset({"true", "on", "yes", "y", "1"})
_MEANS_NO = frozenset({"false", "off", "no", "n", "0"})


def number_meant(text: str) -> str:
    """What to write where a number is spelt in another way: a comma, a per cent sign, a unit behind it."""
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
