"""The customer's own words against the symptoms that the pack lists: a suggestion, never evidence.

Each symptom names phrases that customers use for it; its question counts as one more. What was said is taken clause
by clause and as a whole. Words are compared by their stems, slips of spelling forgiven; a word, or a pair of words
next to one another, tells the more the fewer symptoms use it. How well a phrase fits is the cosine between what it
has and what was said, words that no symptom uses left out.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from faultfinder.knowledge.model import Observation

EMPTY = frozenset(
    "a an and any are as at be been being but by do does did for from had has have i im in is it its just me my of "
    "our or so some than that the their them there these they thing this to too very was we were which "
    "will with would you your s t ve ll re us bit really quite please hi hello think am he she his her now".split()
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
}
SHORTENED = "wo|ca|do|dos|does|did|is|was|has|have|are|would|could|ai|wi|sha"
"""What n't hangs on to: all of it says 'not'."""
A_SLIP = 0.8
"""What a word counts that was heard with a slip of spelling; chosen."""
LEAST = 0.3
"""The cosine from which a phrase fits at all; chosen."""
HALF = 0.6
"""Share of the best fit that another symptom must reach to be offered beside it; chosen."""
A_CLAUSE = 3
"""How many symptoms one clause may suggest; chosen."""
NEXT_BEST = 0.5
"""What a symptom's second best phrase adds to its best; chosen."""
PAIR = 0.35
"""What two words next to one another weigh, as a share of a word used by as many symptoms; chosen."""

PART_FOR_WHOLE = 0.5
"""How far a clause that is a small part of what was said stands back behind what the whole of it fits; chosen."""

Weights = Mapping[str, float]
_DROPPED_G = re.compile(r"\b(?=[a-z]{6})([a-z]*[aeiouy][a-z]*[b-df-hj-np-tv-z])in\b'?")
"""'turnin' and "turnin'" are turning; a short word ('spin', 'begin') is itself."""


def words_of(text: str) -> list[str]:
    """The words of a text in lower case, without what carries no weight: won't, no and never are 'not', every number
    is '#', and endings are taken off."""
    plain = text.casefold().replace("’", "'")
    plain = re.sub(
        r"\b(?:wo|ca|do|does|did|is|was|has|have|are|would|could|ai|wi|sha)n'?t\b|\bcannot\b", " not ", plain
    )
    plain = re.sub(r"\b(?:no longer|never|no|nor|without|isn)\b", " not ", plain)
    plain = _DROPPED_G.sub(r"\1ing", plain)
    plain = re.sub(r"'s\b|'", "", plain)
    plain = re.sub(r"\d+(?:[.,:]\d+)?", " # ", plain)
    out: list[str] = []
    for word in re.findall(r"#|[^\W\d_]+", plain):
        if word in NUMBERS:
            word = "#"
        if word not in EMPTY and not (word == "#" and out[-1:] == ["#"]):
            out.append(stem(SAME_WORD.get(word, word)))
    return out


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
    such from eight letters on."""
    longest = max(len(one), len(other))
    if min(len(one), len(other)) < 4 or abs(len(one) - len(other)) > 2:
        return False
    return _distance(one, other) <= (2 if longest >= 8 else 1)


def _distance(one: str, other: str) -> int:
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


def nearest_answers(symptom: Observation, line: str) -> list[str]:
    """The abnormal answers to a symptom, first the one whose own words the customer used most."""
    heard = words_of(line)

    def shared(text: str) -> int:
        return sum(any(same(word, other) for other in heard) for word in words_of(text))

    return [answer.id for answer in sorted(symptom.answers[1:], key=lambda answer: -shared(answer.text))]


def phrases_of(symptom: Observation) -> tuple[str, ...]:
    """What customers say for a symptom, and the words of its question."""
    return (*symptom.said, symptom.ask)


def _features(words: Sequence[str]) -> set[str]:
    """Words, and pairs of words next to one another."""
    return {*words, *(f"{a} {b}" for a, b in zip(words, words[1:], strict=False))}


@dataclass(frozen=True, slots=True)
class _Phrases:
    """What the symptoms' phrases are made of: (symptom, its features) of each, and the weight of every feature."""

    each: tuple[tuple[str, frozenset[str]], ...]
    weight: Weights
    words: tuple[str, ...]


@lru_cache(maxsize=16)
def _phrases(told: tuple[tuple[str, tuple[str, ...]], ...]) -> _Phrases:
    """A feature's weight: the logarithm of symptoms over those that use it, plus a little."""
    each = tuple((name, frozenset(_features(words_of(text)))) for name, texts in told for text in texts)
    used: dict[str, set[str]] = {}
    for name, features in each:
        for feature in features:
            used.setdefault(feature, set()).add(name)
    weight = {
        feature: (0.3 + math.log(len(told) / len(names))) * (PAIR if " " in feature else 1.0)
        for feature, names in used.items()
    }
    return _Phrases(each, weight, tuple(sorted(word for word in weight if " " not in word)))


def _known(words: Sequence[str], vocabulary: _Phrases) -> tuple[list[str], dict[str, float]]:
    """The words as the phrases spell them, and what each counts: less where it was heard with a slip."""
    out: list[str] = []
    counts: dict[str, float] = {}
    for word in words:
        near = word
        if word not in vocabulary.weight:
            alike = [other for other in vocabulary.words if slip_apart(word, other)]
            near = min(alike, key=lambda other: (_distance(word, other), other)) if alike else word
        out.append(near)
        counts[near] = 1.0 if near == word else A_SLIP
    return out, counts


def _heard(vocabulary: _Phrases, words: Sequence[str]) -> dict[str, float]:
    """What was said of all that the symptoms' phrases have, and its weight. A number alone says nothing."""
    spelt, counts = _known(words, vocabulary)
    return {
        feature: vocabulary.weight[feature] * min(counts[word] for word in feature.split())
        for feature in sorted(_features(spelt))
        if feature in vocabulary.weight and spelt != ["#"]
    }


def _length(heard: Weights) -> float:
    return math.sqrt(sum(weight * weight for weight in heard.values()))


def _fits(vocabulary: _Phrases, heard: Weights) -> dict[str, float]:
    """How well each symptom fits what was heard: its best phrase's cosine and a little of its next best."""
    length = _length(heard)
    found: dict[str, list[float]] = {}
    for name, features in vocabulary.each:
        shared = features & heard.keys()
        if shared:
            whole = math.sqrt(sum(vocabulary.weight[feature] ** 2 for feature in features))
            both = sum(vocabulary.weight[feature] * heard[feature] for feature in sorted(shared))
            found.setdefault(name, []).append(both / (whole * length))
    out = {}
    for name, cosines in found.items():
        best, *more = sorted(cosines, reverse=True)
        if best >= LEAST:
            out[name] = best + NEXT_BEST * (more[0] if more else 0.0)
    return out


def clauses_of(text: str) -> list[str]:
    """The clauses of what was said, at most 2000 letters of it."""
    parts = re.split(r"[,;.!?]+(?!\d)|\band\b|\bbut\b|\bthen\b", text[:2000].casefold())
    return [part for part in parts if words_of(part)]


def _ranked(fits: Mapping[str, float], order: Mapping[str, int], most: int) -> list[str]:
    best = max(fits.values(), default=0.0)
    names = sorted(fits, key=lambda name: (-fits[name], order[name]))
    return [name for name in names if fits[name] >= HALF * best][:most]


def matched(symptoms: Iterable[Observation], text: str) -> list[str]:
    """Ids of the symptoms that the text seems to speak of, the best first: by its clauses and by the whole of it."""
    known = list(symptoms)
    vocabulary = _phrases(tuple((each.id, phrases_of(each)) for each in known))
    order = {each.id: place for place, each in enumerate(known)}
    clauses = [words_of(clause) for clause in clauses_of(text)]
    whole = _heard(vocabulary, [word for clause in clauses for word in clause])
    best: dict[str, float] = {}
    for heard in (whole, *(_heard(vocabulary, clause) for clause in clauses)):
        fits = _fits(vocabulary, heard)
        share = (_length(heard) / _length(whole)) ** PART_FOR_WHOLE if heard else 0.0
        for name in _ranked(fits, order, A_CLAUSE):
            best[name] = max(best.get(name, 0.0), share * fits[name])
    return sorted(best, key=lambda name: (-best[name], order[name]))


def by_clause(symptoms: Iterable[Observation], text: str) -> list[list[str]]:
    """The symptoms that each clause seems to speak of, for every clause that fits any: the best first."""
    known = list(symptoms)
    vocabulary = _phrases(tuple((each.id, phrases_of(each)) for each in known))
    order = {each.id: place for place, each in enumerate(known)}
    out = [
        _ranked(_fits(vocabulary, _heard(vocabulary, words_of(part))), order, A_CLAUSE)
        for part in clauses_of(text)
    ]
    return [names for names in out if names]


SURE = 0.95
"""Share of a phrase's weight that must be heard for a symptom to be taken without asking; chosen."""
AHEAD = 0.6
"""How near the next best fit may come to the best, for it to be taken without asking; chosen."""
TURNING = frozenset("not no never isn't but sometimes until if ok fine normal usually nobody neither".split())
"""Words that may turn a clause round: where one is heard that the symptom's own phrase has not, it is asked about."""


def certain(symptoms: Iterable[Observation], text: str) -> list[tuple[str, str]]:
    """(symptom, answer) of every clause of a text that names one symptom beyond doubt; empty where any clause is in
    doubt: then all of them are asked about."""
    known = list(symptoms)
    vocabulary = _phrases(tuple((each.id, phrases_of(each)) for each in known))
    out: list[tuple[str, str]] = []
    for clause in clauses_of(text):
        heard = _heard(vocabulary, words_of(clause))
        ranked = sorted(
            ((*_best_phrase(symptom, heard, vocabulary.weight), symptom) for symptom in known),
            key=lambda each: each[:2],
            reverse=True,
        )
        weight, share, phrase, symptom = ranked[0]
        if weight <= 0.0 or share < SURE or (len(ranked) > 1 and ranked[1][0] > AHEAD * weight):
            return []
        turning = TURNING & set(_plain(clause)) - set(_plain(phrase))
        if turning or (len(symptom.answers) > 2 and not _answer_is_clear(symptom, words_of(clause))):
            return []
        pair = symptom.id, nearest_answers(symptom, clause)[0]
        if pair not in out:
            out.append(pair)
    return out


def _best_phrase(symptom: Observation, heard: Weights, weight: Weights) -> tuple[float, float, str]:
    """(weight heard, its share of the phrase, the phrase) of the phrase that fits best, words only."""
    best = (0.0, 0.0, "")
    for phrase in phrases_of(symptom):
        words = set(words_of(phrase))
        total = sum(weight.get(word, 0.0) for word in sorted(words))
        got = sum(heard.get(word, 0.0) for word in sorted(words))
        if total:
            best = max(best, (got, got / total, phrase))
    return best


def _plain(text: str) -> list[str]:
    plain = re.sub(r"\b(won't|can't|don't|doesn't|isn't|no longer|never|no)\b", "not", text.casefold())
    return re.findall(r"[^\W_]+", plain)


def _answer_is_clear(symptom: Observation, said: list[str]) -> bool:
    """Whether the words speak of one of the abnormal answers more than of the others."""
    shares = sorted(
        (
            sum(any(same(word, other) for other in said) for word in words_of(answer.text))
            for answer in symptom.answers[1:]
        ),
        reverse=True,
    )
    return shares[0] > shares[1]
