"""The customer's own words against the symptoms that the pack lists: a suggestion, never evidence.

Each symptom names phrases that customers use for it; else its question does. What was said is taken clause by clause.
A phrase fits a clause when the words they share carry at least half of the phrase's weight; a word weighs more the
fewer symptoms use it. A slip of spelling or another ending is still the same word.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Mapping

from faultfinder.knowledge.model import Observation

EMPTY = frozenset(
    "a all an and any are as at be but by does doesn't for from get gets getting goes going has have i in is it "
    "it's its just my now of on or our since so still that the there they this to too very was we when with".split()
)
"""Words that carry no weight in a phrase."""
CLOSE = 0.82
"""Likeness (difflib ratio) from which two words count as the same, slips included; chosen."""
HALF = 0.5
"""Share of a phrase's weight that must be heard; chosen."""
A_CLAUSE = 3
"""How many symptoms one clause may suggest; chosen."""


def words_of(text: str) -> list[str]:
    """The words of a text in lower case, without what carries no weight; won't and can't are 'not'."""
    plain = text.casefold().replace("’", "'")
    plain = re.sub(r"\b(won't|can't|don't|doesn't|isn't|no longer|never)\b", "not", plain)
    return [word for word in re.findall(r"[^\W_]+", plain) if word not in EMPTY]


def same(one: str, other: str) -> bool:
    """Whether two words are the same but for a slip or an ending."""
    if one == other:
        return True
    shorter = min(len(one), len(other))
    if shorter < 4:
        return False
    if one[: max(4, shorter - 3)] == other[: max(4, shorter - 3)]:
        return True
    return difflib.SequenceMatcher(None, one, other).ratio() >= CLOSE


def nearest_answers(symptom: Observation, line: str) -> list[str]:
    """The abnormal answers to a symptom, first the one whose own words the customer used most."""
    heard = words_of(line)

    def shared(text: str) -> int:
        return sum(any(same(word, other) for other in heard) for word in words_of(text))

    return [answer.id for answer in sorted(symptom.answers[1:], key=lambda answer: -shared(answer.text))]


def phrases_of(symptom: Observation) -> tuple[str, ...]:
    """What customers say for a symptom; where the rules name nothing, the words of its question."""
    return symptom.said or (symptom.ask,)


def _weights(symptoms: list[Observation]) -> dict[str, float]:
    """How much a word tells: the logarithm of symptoms over symptoms that use it, plus a little."""
    used: dict[str, set[str]] = {}
    for symptom in symptoms:
        for phrase in phrases_of(symptom):
            for word in words_of(phrase):
                used.setdefault(word, set()).add(symptom.id)
    return {word: 0.3 + math.log(len(symptoms) / len(names)) for word, names in used.items()}


def _fit(phrase: str, said: list[str], weight: Mapping[str, float]) -> float:
    """The weight of the phrase's words that were said; 0 when that is less than half of them."""
    wanted = words_of(phrase)
    total = sum(weight[word] for word in wanted)
    heard = sum(weight[word] for word in wanted if any(same(word, other) for other in said))
    return heard if total and heard >= HALF * total else 0.0


def matched(symptoms: Iterable[Observation], text: str) -> list[str]:
    """Ids of the symptoms that the text seems to speak of, clause by clause, best of each clause first."""
    return list(dict.fromkeys(name for clause in by_clause(symptoms, text) for name in clause))


def by_clause(symptoms: Iterable[Observation], text: str) -> list[list[str]]:
    """The same for each clause that fits any: the best first."""
    known = list(symptoms)
    weight = _weights(known)
    out: list[list[str]] = []
    for clause in re.split(r"[,;.!?]|\band\b|\bbut\b|\bthen\b", text[:2000].casefold()):
        said = words_of(clause)
        if not said:
            continue
        fits = [
            (max((_fit(phrase, said, weight) for phrase in phrases_of(symptom)), default=0.0), symptom.id)
            for symptom in known
        ]
        best = sorted((pair for pair in fits if pair[0] > 0.0), key=lambda pair: -pair[0])
        if best:
            out.append([name for fit, name in best[:A_CLAUSE] if fit >= HALF * best[0][0]])
    return out


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
    weight = _weights(known)
    out: list[tuple[str, str]] = []
    for clause in re.split(r"[,;.!?]|\band\b|\bthen\b", text[:2000].casefold()):
        said = words_of(clause)
        if not said:
            continue
        ranked = sorted(
            ((*_best_phrase(symptom, said, weight), symptom) for symptom in known),
            key=lambda each: each[:2],
            reverse=True,
        )
        heard, share, phrase, symptom = ranked[0]
        if heard <= 0.0 or share < SURE or (len(ranked) > 1 and ranked[1][0] > AHEAD * heard):
            return []
        turning = TURNING & set(_plain(clause)) - set(_plain(phrase))
        if turning or (len(symptom.answers) > 2 and not _answer_is_clear(symptom, said)):
            return []
        pair = symptom.id, nearest_answers(symptom, clause)[0]
        if pair not in out:
            out.append(pair)
    return out


def _best_phrase(
    symptom: Observation, said: list[str], weight: Mapping[str, float]
) -> tuple[float, float, str]:
    """(weight heard, its share of the phrase, the phrase) of the phrase that fits best."""
    best = (0.0, 0.0, "")
    for phrase in phrases_of(symptom):
        total = sum(weight[word] for word in words_of(phrase))
        heard = _fit(phrase, said, weight)
        if total:
            best = max(best, (heard, heard / total, phrase))
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
