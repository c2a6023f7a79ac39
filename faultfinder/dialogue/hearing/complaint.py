"""The customer's own words against the symptoms that the pack lists: a suggestion, never evidence.

Each symptom names phrases that customers use for it; its question counts as one more. What was said is taken clause
by clause and as a whole. Words are compared by their stems, slips of spelling forgiven; a word, or a pair of words
next to one another, tells the more the fewer symptoms use it and the more of their phrases have it. How well a phrase
fits is the cosine between what it has and what was said, words that no symptom uses left out; all phrases of a
symptom together speak by how much oftener they have the words than the others'.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from faultfinder.dialogue.hearing.complaint_words import (
    SHORTENED,
    consonants,
    distance,
    same,
    slip_apart,
    stem,
    words_of,
)
from faultfinder.dialogue.hearing.free_text import YES_OR_NO, meaning_of
from faultfinder.knowledge.model import Observation

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

PART_FOR_WHOLE = 1.0
"""How far a clause that is a small part of what was said stands back behind what the whole of it fits; chosen."""
RARE = 2.0
"""In how many phrases a word must stand to carry half its weight: what stands in one only stands there by accident;
chosen, by complaints that no phrase was written for, as are the four below."""
ALL_PHRASES = 1.0
"""What the chance that a symptom is meant, by all its phrases together, adds to its best phrases' cosines."""
LIKELY = 0.3
"""The chance from which a symptom is offered without a phrase that fits."""
SHRINK = 40.0
"""How many phrases of anybody's a symptom's own are mixed with when its words are counted."""
BLUNT = 2.0
"""By what the sum of the words' evidence is divided: words said together are not independent."""

Weights = Mapping[str, float]


def nearest_answers(symptom: Observation, line: str) -> list[str]:
    """The abnormal answers to a symptom, first the one whose own words the customer used most."""
    heard = words_of(line)
    answers = sorted(symptom.answers[1:], key=lambda answer: -_shared(answer.text, heard))
    return [answer.id for answer in answers]


def _shared(text: str, heard: Sequence[str]) -> int:
    """How many words of a text were heard."""
    return sum(any(same(word, other) for other in heard) for word in words_of(text))


def phrases_of(symptom: Observation) -> tuple[str, ...]:
    """What customers say for a symptom, and the words of its question."""
    return (*symptom.said, symptom.ask)


def _features(words: Sequence[str]) -> set[str]:
    """Words, and pairs of words next to one another."""
    return {*words, *(f"{a} {b}" for a, b in zip(words, words[1:], strict=False))}


@dataclass(frozen=True, slots=True)
class _Phrases:
    """What the symptoms' phrases are made of: (symptom, its features, their length as a vector) of each, the weight
    of every feature, and what every feature says for each symptom, as a logarithm."""

    each: tuple[tuple[str, frozenset[str], float], ...]
    weight: Weights
    words: tuple[str, ...]
    speaks: Mapping[str, tuple[float, ...]]
    names: tuple[str, ...]

    def heard(self, words: Sequence[str]) -> dict[str, float]:
        """What was said of all that the phrases have, and its weight: less where it was heard with a slip. A number
        alone says nothing."""
        spelt = [self._known(word) for word in words]
        counts = {near: 1.0 if near == word else A_SLIP for near, word in zip(spelt, words, strict=True)}
        return {
            feature: self.weight[feature] * min(counts[word] for word in feature.split())
            for feature in sorted(_features(spelt))
            if feature in self.weight and spelt != ["#"]
        }

    def _known(self, word: str) -> str:
        """A word as the phrases spell it."""
        if word in self.weight:
            return word
        own = consonants(word)
        return min(
            (other for other in self.words if slip_apart(word, other)),
            key=lambda other: (distance(word, other), own != consonants(other), other),
            default=word,
        )

    def fits(self, heard: Weights) -> dict[str, float]:
        """How well each symptom fits what was heard: its best phrase's cosine, a little of its next best, and the
        chance by all its phrases."""
        found: dict[str, list[float]] = {}
        for name, features, whole in self.each:
            if shared := sorted(features & heard.keys()):
                both = sum(self.weight[feature] * heard[feature] for feature in shared)
                found.setdefault(name, []).append(both / (whole * _length(heard)))
        chances = self._chances(heard)
        out = {}
        for name, cosines in found.items():
            best, *more = sorted(cosines, reverse=True)
            if best >= LEAST or chances[name] >= LIKELY:
                out[name] = best + NEXT_BEST * (more[0] if more else 0.0) + ALL_PHRASES * chances[name]
        return out

    def _chances(self, heard: Weights) -> dict[str, float]:
        """The chance of each symptom by all its phrases together, all as likely before a word was heard."""
        said = [self.speaks[feature] for feature in heard]
        sums = [math.fsum(each) / BLUNT for each in zip(*said, strict=True)]
        shares = [math.exp(each - max(sums)) for each in sums]
        return {name: share / sum(shares) for name, share in zip(self.names, shares, strict=False)}

    def ranked(self, fits: Mapping[str, float]) -> list[str]:
        """The few that fit best, those first that do most."""
        least = HALF * max(fits.values(), default=0.0)
        names = sorted(fits, key=lambda name: (-fits[name], self.names.index(name)))
        return [name for name in names if fits[name] >= least][:A_CLAUSE]

    def matched(self, clauses: Sequence[Sequence[str]]) -> list[str]:
        """The symptoms that clauses speak of, each by itself and all as a whole: the best first."""
        whole = self.heard([word for clause in clauses for word in clause])
        best: dict[str, float] = {}
        for heard in (whole, *map(self.heard, clauses)):
            fits = self.fits(heard)
            share = (_length(heard) / _length(whole)) ** PART_FOR_WHOLE if heard else 0.0
            for name in self.ranked(fits):
                best[name] = max(best.get(name, 0.0), share * fits[name])
        return sorted(best, key=lambda name: (-best[name], self.names.index(name)))


def _length(heard: Weights) -> float:
    return math.sqrt(sum(weight * weight for weight in heard.values()))


@lru_cache(maxsize=16)
def _phrases(told: tuple[tuple[str, tuple[str, ...]], ...]) -> _Phrases:
    """A feature's weight: the logarithm of symptoms over those that use it, plus a little; less, the fewer phrases
    have it. What it says for a symptom: the logarithm of its share among that symptom's phrases over its share among
    all (naive Bayes, the shares smoothed)."""
    made_of = [(name, frozenset(_features(words_of(text)))) for name, texts in told for text in texts]
    used: dict[str, Counter[str]] = {}
    for name, features in made_of:
        for feature in features:
            used.setdefault(feature, Counter())[name] += 1
    weight: dict[str, float] = {}
    speaks: dict[str, tuple[float, ...]] = {}
    for feature, by in used.items():
        often, part = by.total(), PAIR if " " in feature else 1.0
        weight[feature] = (0.3 + math.log(len(told) / len(by))) * part * often / (often + RARE)
        usual = (often + 1.0) / len(made_of)
        speaks[feature] = tuple(
            part * math.log((by[name] / usual + SHRINK) / (len(texts) + SHRINK)) for name, texts in told
        )
    words = tuple(sorted(word for word in weight if " " not in word))
    each = tuple(
        (name, features, math.sqrt(sum(weight[feature] ** 2 for feature in features)))
        for name, features in made_of
    )
    return _Phrases(each, weight, words, speaks, tuple(name for name, _ in told))


def _phrases_of(symptoms: Sequence[Observation]) -> _Phrases:
    return _phrases(tuple((each.id, phrases_of(each)) for each in symptoms))


CONCEDED = frozenset(
    "run runs running ran work works working start starts starting go goes going come comes coming turn turns "
    "turning switch switches on up okay ok fine well good alright normal normally properly still all right does "
    "motor machine appliance thing everything programme program cycle yes it its it's the and a is "
    "always".split()
)
"""Words of what is said to be well before a 'but'."""


def clauses_of(text: str) -> list[str]:
    """The clauses of what was said, at most 2000 letters of it; without what is conceded: 'it runs but' tells that it
    runs."""
    said = text[:2000].casefold()
    clauses: list[str] = []
    well: list[str] = []
    *before, last = re.split(r"\bbut\b", said)
    for part in before:
        *others, end = _parts_of(part) or [""]
        clauses += others
        (well if set(re.findall(r"[^\W_]+(?:'[a-z]+)?", end)) <= CONCEDED else clauses).append(end)
    clauses += _parts_of(last)
    return [clause for clause in clauses or well if words_of(clause)]


def _parts_of(text: str) -> list[str]:
    return [part for part in re.split(r"[,;.!?]+(?!\d)|\band\b|\bthen\b", text) if words_of(part)]


def matched(symptoms: Sequence[Observation], text: str) -> list[str]:
    """Ids of the symptoms that the text seems to speak of, the best first: by its clauses and by the whole of it."""
    return _phrases_of(symptoms).matched([words_of(clause) for clause in clauses_of(text)])


def near(symptoms: Sequence[Observation], text: str, told: Mapping[str, Sequence[str]]) -> list[str]:
    """The same where no phrase of any symptom is heard: by words of one meaning with those said ('jammed' for stuck),
    then by other texts of the symptoms (`told`: the titles of what shows in them). A guess, to be asked."""
    phrases, clauses = _phrases_of(symptoms), clauses_of(text)
    by_meaning = phrases.matched([_of_one_meaning(phrases, clause) for clause in clauses])
    titles = _phrases(tuple((each.id, tuple(told.get(each.id, ()))) for each in symptoms))
    by_title = titles.matched([words_of(clause) for clause in clauses])
    return list(dict.fromkeys((*by_meaning[:A_CLAUSE], *by_title[:A_CLAUSE])))


def _of_one_meaning(phrases: _Phrases, clause: str) -> list[str]:
    """The words of a clause, in the place of each that no phrase has those of its meaning that one has."""
    out: list[str] = []
    for word in re.findall(r"[^\W_]+", clause):
        meant = meaning_of(word) if word not in YES_OR_NO else ()
        alike = [other for other in sorted(meant) if stem(other) in phrases.weight]
        out += words_of(word if stem(word) in phrases.weight else " ".join(alike) or word)
    return out


def by_clause(symptoms: Sequence[Observation], text: str) -> list[list[str]]:
    """The symptoms that each clause seems to speak of, for every clause that fits any: the best first."""
    phrases = _phrases_of(symptoms)
    out = (phrases.ranked(phrases.fits(phrases.heard(words_of(part)))) for part in clauses_of(text))
    return [names for names in out if names]


SURE = 0.95
"""Share of a phrase's weight that must be heard for a symptom to be taken without asking; chosen."""
AHEAD = 0.6
"""How near the next best fit may come to the best, for it to be taken without asking; chosen."""
TURNING = frozenset("not no never isn't but sometimes until if ok fine normal usually nobody neither".split())
"""Words that may turn a clause round: where one is heard that the symptom's own phrase has not, it is asked about."""


def certain(symptoms: Sequence[Observation], text: str) -> list[tuple[str, str]]:
    """(symptom, answer) of every clause of a text that names one symptom beyond doubt; empty where any clause is in
    doubt: then all of them are asked about."""
    phrases = _phrases_of(symptoms)
    out: dict[tuple[str, str], None] = {}
    for clause in clauses_of(text):
        heard = phrases.heard(words_of(clause))
        ranked = [(*_best_phrase(symptom, heard, phrases.weight), symptom) for symptom in symptoms]
        ranked.sort(key=lambda each: each[:2], reverse=True)
        weight, share, phrase, symptom = ranked[0]
        if weight <= 0.0 or share < SURE or (len(ranked) > 1 and ranked[1][0] > AHEAD * weight):
            return []
        shares = sorted(
            (_shared(answer.text, words_of(clause)) for answer in symptom.answers[1:]), reverse=True
        )
        if TURNING & set(_plain(clause)) - set(_plain(phrase)) or (
            len(shares) > 1 and shares[0] == shares[1]
        ):
            return []
        out[symptom.id, nearest_answers(symptom, clause)[0]] = None
    return list(out)


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
    plain = re.sub(rf"{SHORTENED}|\b(?:no longer|never|no)\b", "not", text.casefold().replace("\u2019", "'"))
    return re.findall(r"[^\W_]+", plain)
