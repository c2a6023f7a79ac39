"""What an author meant who spelt a number, a name or yes and no in another way: offered in messages, never taken."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Mapping
from functools import cache

from faultfinder.knowledge.data import beside
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.text.catalogue import say

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


@cache
def _synonyms(of: str) -> Mapping[str, str]:
    """Other word -> what the rules call it, of `words` or `keys`: read when something is first spelt otherwise."""
    rows: Mapping[str, str] = beside(__package__, "synonyms")[of]
    return {other: meant for meant, others in rows.items() for other in others.split()}


def _folded(text: str) -> str:
    return text.strip().lower().replace(" ", "_").replace("-", "_")


def key_meant(text: str, known: Iterable[str], given: Iterable[str]) -> str | None:
    """The key that a word stands for: one that may stand here and does not yet; or None."""
    there = set(given)
    meant = _synonyms("keys").get(_folded(text), "").split()
    return next((key for key in meant if key in set(known) and key not in there), None)


def acts_meant(text: str, acts: Iterable[str]) -> str:
    """The hint for a word that is no act: those that it may stand for, or the nearest, or all."""
    meant = _synonyms("acts").get(_folded(text), "").split()
    known = list(acts)
    if meant:
        return f"{text} can be: {', '.join(meant)}"
    return did_you_mean(text, known) or say("name_known_here", names=", ".join(known))


def said_at_the_other_end(text: str, known: Iterable[str]) -> str:
    """The hint for a key that says from this end what the rules say from the other one."""
    meant = _synonyms("other_end").get(_folded(text), "")
    return f"write {meant} at what follows from it" if meant in set(known) else ""


def word_meant(text: str, known: Iterable[str]) -> str:
    """The hint for a word that is not known: the one that means the same, or the nearest, or the list."""
    words = list(known)
    same = _synonyms("words").get(_folded(text))
    return f"write {same}" if same in words else did_you_mean(text, words)


_N = r"(\d+(?:\.\d+)?)"
_NUMBERS: tuple[tuple[str, str | Callable[..., str]], ...] = (
    (f"[{''.join(DASHES)}].*", "write the minus of the keyboard: -"),
    (
        r"(\d{1,3}(?:[ '_\u00a0\u202f]\d{3})+)",
        lambda text: "write the thousands together: " + re.sub(r"\D", "", text),
    ),
    (r"\d+,\d+", "use a point for decimals"),
    (f"{_N} ?%", lambda number: f"write {float(number) / 100:g}"),
    (f"{_N} ?[A-Za-z\u00b0\u03a9\u2126]+", "write the number alone"),
    (rf"{_N}(?: *(?://|--|;).*|#.*)", "write {0} alone; a remark begins with a space and #"),
    (
        rf"{_N} ?(?:/|in|of|out of) ?(?!0+(?:\.0+)?$){_N}",
        lambda part, whole: f"write {float(part) / float(whole):.3g}",
    ),
    (
        rf"{_N} ?(?:-|to|\.\.\.?|\u2013) ?{_N}",
        lambda low, high: f"write one number, such as the middle: {(float(low) + float(high)) / 2:.3g}",
    ),
    (rf"(?:~|<|>|<=|>=|about|around|ca\.?|approx\.?|up to|\u2248|\u00b1|\+/-) ?{_N}", "write {0}"),
    (r"(\d+):([0-5]\d)", lambda hours, minutes: f"write {int(hours) * 60 + int(minutes)}, in minutes"),
    (r"\d+(?:\.\d+){2,}|\d*\.\.\d+", "write one point only"),
)
"""Ways of writing a number: a comma, a per cent sign, a unit or remark behind it, a fraction, a span, a rough number,
hours and minutes -> what to write. The first that fits."""


def number_meant(text: str) -> str:
    """What to write where a number is spelt in another way; nothing where that is not clear."""
    digits = text.replace("O", "0").replace("o", "0").replace("l", "1")
    if digits != text and re.fullmatch(_N, digits) and re.search(r"\d", text):
        return f"write {digits}, with digits alone"
    for way, meant in _NUMBERS:
        if found := re.fullmatch(way, text):
            return meant.format(*found.groups()) if isinstance(meant, str) else meant(*found.groups())
    return ""


def plain_name(text: str) -> str:
    """The name that a text becomes with small letters and _; nothing where it becomes none."""
    parted = re.sub(r"(?<=[a-z0-9])(?=[A-Z])", "_", text)
    letters = unicodedata.normalize("NFKD", parted.replace("\u00df", "ss"))
    letters = "".join(letter for letter in letters if not unicodedata.combining(letter))
    plain = re.sub(r"[\s_\u2010-\u2015-]+", "_", letters.strip()).lower()
    if plain[:1].isdigit():
        plain = re.sub(r"^(\d+[a-z]*)_(.+)$", r"\2_\1", plain)
    return plain if ID.fullmatch(plain) and plain not in YAML_CONSTANTS else ""


def pair_meant(text: str) -> str:
    """What to write where a key and its value stand together as one name: 'flex_seen always', 'type=corded'."""
    found = re.fullmatch(r"([a-z][a-z0-9_]*)(?: ?= ?(?=.)|(?::| +)(?=[A-Za-z0-9_.%]+$))(.+)", text.strip())
    return f"write {found[1]}: {found[2]}" if found else ""


def yes_or_no_meant(text: str) -> str:
    """'write yes', 'write no', or nothing where neither is clear."""
    word = text.lower()
    return "write yes" if word in _MEANS_YES else "write no" if word in _MEANS_NO else ""
