"""The words of a rule file with their meanings, and the numbers behind them (words.yaml, with their sources)."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.knowledge.data import beside
from faultfinder.knowledge.model import Kind

WORDS: Mapping[str, Mapping[str, str]] = beside(__package__, "words")


def _numbers(of: str) -> Mapping[str, float]:
    return MappingProxyType({word: float(number) for word, number in WORDS[of].items()})


STRENGTH = _numbers("strength")
HOW_COMMON = _numbers("how common")
PART_COSTS = _numbers("part costs")
"""Price of the parts in minutes of labour."""
TAKES = MappingProxyType(
    {kind: (float(told.split()[0]), told.split(" where ")[1]) for kind, told in WORDS["takes"].items()}
)
"""Kind of remedy -> chance that it works, where a rule does not say; and for what."""
RELIABILITY: Mapping[Kind, float] = MappingProxyType(
    {Kind(kind): chance for kind, chance in _numbers("reliability").items()}
)
"""Chance that an answer of this kind is the true one."""
COMPLAINT_RELIABILITY = 0.998
"""The same for what somebody was called out over: nobody pays for a visit over what is not so; chosen by us."""
COMPLAINT_UNEXPLAINED = 0.3
"""Share of a symptom's background that is left where it is complained of unasked: of those who say yes to it when
asked though none of the known causes is there, so many would have called over it; chosen by us."""
PROGRAM_FACTS, DANGER_SIGNS, RETURN_TESTS = (
    MappingProxyType(WORDS[of]) for of in ("program facts", "danger signs", "return tests")
)
SAFETY_CHOICES = MappingProxyType(
    {fact: tuple(choices.split()) for fact, choices in WORDS["safety choices"].items()}
)
"""Facts that the safety rules rest on -> the choices they know."""
