"""What an author meant who spelt a number, a name or yes and no in another way: offered in messages, never taken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType

from faultfinder.knowledge.schema.nearest_name import did_you_mean

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
    from faultfinder.knowledge.schema.keys import TABLES  # the tables stand on the shapes that ask this

    return frozenset(key.name for table in TABLES for key in table.keys)


SYNONYMS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("measure", "measured", "measurement", "meter", "test"), "reading"),
        **dict.fromkeys(("see", "seen", "visual", "touch", "feel", "felt"), "look"),
        **dict.fromkeys(("hear", "heard", "noise", "listen"), "sound"),
        **dict.fromkeys(("asked", "complaint", "reported", "customer", "ask"), "told"),
        **dict.fromkeys(("unplugged", "plug_out", "off"), "isolated"),
        **dict.fromkeys(("running", "on"), "in_use"),
        **dict.fromkeys(("dead", "covers_removed", "opened"), "open_dead"),
        **dict.fromkeys(("outside", "closed"), "covers_on"),
        **dict.fromkeys(("electric", "electrical", "electrocution"), "shock"),
        **dict.fromkeys(("scald", "hot", "heat"), "burn"),
        **dict.fromkeys(("mechanical", "crush"), "moving_parts"),
        **dict.fromkeys(("expensive", "high"), "dear"),
        **dict.fromkeys(("low", "low_cost"), "cheap"),
        **dict.fromkeys(("medium", "middling"), "moderate"),
        **dict.fromkeys(("free", "zero"), "nothing"),
        **dict.fromkeys(("seldom", "occasionally"), "rarely"),
        **dict.fromkeys(("mostly", "normally", "likely"), "usually"),
        **dict.fromkeys(("frequently", "frequent"), "often"),
        **dict.fromkeys(("electrician", "gas_engineer", "specialist"), "licensed"),
        **dict.fromkeys(("no_yes", "yes", "yesno", "boolean"), "yes_no"),
        **dict.fromkeys(("text", "word", "enum"), "choice"),
        **dict.fromkeys(("numeric", "integer", "float"), "number"),
    }
)
"""Other words of the trade -> the word of the rules; offered only where that word is known."""


def word_meant(text: str, known: Iterable[str]) -> str:
    """The hint for a word that is not known: the one that means the same, or the nearest, or the list."""
    words = list(known)
    same = SYNONYMS.get(text.strip().lower().replace(" ", "_").replace("-", "_"))
    return f"write {same}" if same in words else did_you_mean(text, words)


def number_meant(text: str) -> str:
    """What to write where a number is spelt in another way: a comma, a per cent sign, a unit behind it."""
    with_zero = text.replace("O", "0").replace("o", "0").replace("l", "1")
    if with_zero != text and re.fullmatch(r"\d+(?:\.\d+)?", with_zero) and re.search(r"\d", text):
        return f"write {with_zero}, with digits alone"
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
