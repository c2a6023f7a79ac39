"""The words of what a person says, as the symptoms' phrases are compared with it: stems, dialect in plain words,
slips of spelling forgiven.
"""

from __future__ import annotations

import re
from functools import lru_cache

EMPTY = frozenset(
    "a an and any are as at be been being but by do does did for from had has have i im in is it its just me my of "
    "our or so some than that the their them there these they thing this to too very was we were which "
    "will with would you your s t ve ll re us bit really quite please hi hello think am he she his her now ya ye "
    "yer wi tho though".split()
)
"""Words that carry no weight in a phrase."""
NUMBERS = frozenset(
    "one two three four five six seven eight nine ten eleven twelve fifteen twenty thirty forty fifty sixty ninety "
    "couple few".split()
)
SAME_WORD = {
    "hr": "hour",
    "hrs": "hour",
    "min": "minute",
    "mins": "minute",
    "sec": "second",
    "secs": "second",
    "nowt": "nothing",
    "nuffin": "nothing",
    "owt": "anything",
    "summat": "something",
    "thru": "through",
    "til": "until",
    "till": "until",
    "wee": "little",
}
"""Words in short and in dialect, as the phrases have them."""
SHORTENED = r"\b(?:wo|ca|do|does|did|is|was|has|have|are|would|could|ai|wi|sha)n'?t\b|\bcannot\b"
NORTHERN = r"\b(?:nae|(?:din|does|did|is|was|has|hav|can|will|wo)nae)\b"
"""What is short for 'not', with a t and with nae."""
DROPPED_G = re.compile(r"\b(?=[a-z]{6})([a-z]*[aeiouy][a-z]*[b-df-hj-np-tv-z])in\b'?")
"""'turnin' and "turnin'" are turning; a short word ('spin', 'begin') is itself."""


def words_of(text: str) -> list[str]:
    """The words of a text in lower case, without what carries no weight: won't, no and never are 'not', every number
    is '#', and endings are taken off."""
    return list(_words_of(text))


@lru_cache(maxsize=4096)
def _words_of(text: str) -> tuple[str, ...]:
    plain = text.casefold().replace("’", "'")
    plain = re.sub(f"{SHORTENED}|{NORTHERN}", " not ", plain)
    plain = re.sub(r"\b(?:no longer|never|no|nor|without|isn)\b", " not ", plain)
    plain = DROPPED_G.sub(r"\1ing", plain)
    plain = re.sub(r"'s\b|'", "", plain)
    plain = re.sub(r"\d+(?:[.,:]\d+)?", " # ", plain)
    out: list[str] = []
    for word in re.findall(r"#|[^\W\d_]+", plain):
        if word in NUMBERS:
            word = "#"
        if word not in EMPTY and not (word == "#" and out[-1:] == ["#"]):
            out.append(stem(SAME_WORD.get(word, word)))
    return tuple(out)


@lru_cache(maxsize=4096)
def stem(word: str) -> str:
    """A word without its ending, so that turns, turned and turning are one: by the commonest endings of English only,
    and blind to sense."""
    if len(word) < 4:
        return word
    word = re.sub(r"(?<=..)(?:ies|ied)$", "y", word)
    word = re.sub(r"(?<=[^s])s$", "", word)
    short = re.sub(r"(?<=[a-z]{3})(?:ing|ed|ly)$", "", word)
    if short != word and re.search(r"[aeiouy]", short):
        word = re.sub(r"([bdfgklmnprtz])\1$", r"\1", short)
    if len(word) > 5:
        word = re.sub(r"y$", "", word)
    return re.sub(r"(?<=...)e$", "", word)


def slip_apart(one: str, other: str) -> bool:
    """Whether two words of four letters and more differ by one letter too many, too few, wrong or changed places; two
    such from eight letters on, and from six where only the vowels are misspelt."""
    longest = max(len(one), len(other))
    if min(len(one), len(other)) < 4 or abs(len(one) - len(other)) > 2:
        return False
    misspelt = longest >= 6 and consonants(one) == consonants(other)
    return distance(one, other) <= (2 if longest >= 8 or misspelt else 1)


@lru_cache(maxsize=4096)
def consonants(word: str) -> str:
    """The consonants of a word, a double one once: sqeek and squeak are alike."""
    return re.sub(r"(.)\1+", r"\1", re.sub(r"[aeiouy]", "", word))


@lru_cache(
    maxsize=1 << 15
)  # each word is held against all that the phrases have, by its clause and in the whole
def distance(one: str, other: str) -> int:
    """Letters to be put in, left out, changed or swapped with their neighbour (Damerau 1964, adjacent swaps only)."""
    before: list[int] = []
    last = list(range(len(other) + 1))
    for i, a in enumerate(one, 1):
        now = [i]
        for j, b in enumerate(other, 1):
            least = min(last[j] + 1, now[j - 1] + 1, last[j - 1] + (a != b))
            if i > 1 and j > 1 and a == other[j - 2] and one[i - 2] == b:
                least = min(least, before[j - 2] + 1)
            now.append(least)
        before, last = last, now
    return last[-1]


def same(one: str, other: str) -> bool:
    """Whether two stems are the same word but for a slip."""
    return one == other or slip_apart(one, other)
