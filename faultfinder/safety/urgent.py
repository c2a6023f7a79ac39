"""Urgent words, heard in whatever is typed: gas, smoke, fire, shock, sparks, water on live parts.

Plain people's words and the usual slips of the finger; what is denied ('no smoke'), what is a thing of the trade
('smoke test', 'gas fitter', 'fire service') and what is a shock absorber is not heard. Heard means asked back: a
false alarm costs one answer, so in doubt a word is heard. Lists chosen by us, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from types import MappingProxyType

_TRADE = re.compile(
    r"""
    smoke[\s-]*(test|detector|pencil|tube|machine|glass)\w* | smoked\b |
    (fire|flame)[\s-]*(service|brigade|alarm|extinguisher|door|blanket|proof|retardant|place|resistant|hazard)\w* |
    gas[\s-]*(appliance|fitter|engineer|safe|meter|bill|valve|ring|company|mark|heating|boiler)\w* |
    (natural|bottled|refrigerant|town)[\s-]+gas\b | gas(ket|oline)\w* | energy[\s:=-]+gas\b |
    shock[\s-]*(absorber|mount|proof|resistant)\w* | spark[\s-]*(plug|ing\s+plug)\w* | sparkl\w* |
    (leakage|touch|tingle|smoke|gas|fire)[\s-]*(current|felt|reported)\b |
    burn(er|t[\s-]+out)\w* | fired\s+up\b
    """,
    re.IGNORECASE | re.VERBOSE,
)
_DENIED = re.compile(
    r"\b(no|not|never|without|nor|neither|isn'?t|wasn'?t|aren'?t|didn'?t|doesn'?t|don'?t|cannot|can'?t|none\s+of)\b"
    r"(?:\s+(?:any|a|an|more|sign|signs|of|see|seen|smell|smelt|hear|feel|felt|get|got|on|been|have|had|or|longer|"
    r"smoke|fire|flames?|gas|sparks?|burning|shocks?))*\s*$",
    re.IGNORECASE,
)
_HEARD: tuple[tuple[str, str], ...] = (
    ("gas_smell", r"gas+|gass?es|ga[zs]|gsa|rotten eggs?|town gas"),
    (
        "smoke_or_flame",
        r"smok(?:e|es|ed|ing|y|in|ee)?|smo(?:oke|ek|ck)|sm0ke|somke|smke|smoek|fumes|fir(?:e|es)|fier|fyre|flam(?:e|es|ing)|flmaes?|"
        r"on fire|alight|ablaze|blaz(?:e|ing)|in flames|glow(?:s|ing)|smou?lder(?:s|ing)?|burst into|caught light|"
        r"spark(?:s|ed|ing|y)?|sprak(?:s|ing)?|arc(?:s|ed|ing)|"
        r"flash(?:es|ed|ing)? (?:and|of) (?:a )?bang|bang and (?:a )?flash|explo(?:de|ded|sion)|"
        r"melting|red hot",
    ),
    (
        "burning_smell_now",
        r"burn(?:s|t|ing)? smell|smell(?:s|ing)? (?:of |like |something |it'?s )*burn(?:ing|t)?|"
        r"burning (?:plastic|rubber|smell|wire|stink)|it'?s burning|is burning|burning now|somethings? burning|"
        r"^burning(?=\W*$)|acrid|scorching smell",
    ),
    (
        "tingle",
        r"shock(?:s|ed|ing)?|schock|shok|shcok|electrocut\w*|electrified|tingl(?:e|es|ed|ing)|zapp?(?:ed|s)?|"
        r"buzz(?:ed)? me|gave me a (?:buzz|belt|kick|jolt|zap)|bit me|(?:got|had) a (?:belt|kick|jolt|tickle|zap)|"
        r"(?:is|it'?s|casing|case|cabinet|drum|door) (?:is )?live",
    ),
    (
        "water_on_live_parts",
        r"(?:water|wet|flood\w*|drip\w*|leak\w*)(?=.*\b(?:plug|socket|electric\w*|live|wir(?:e|es|ing)|"
        r"terminals?|board|mains)\b)|"
        r"(?:plug|socket|wiring|wires|terminals?|electrics) (?:is|are|was|were|got|gets|all) "
        r"(?:all |soaking )?(?:wet|soaked|flooded|dripping|under water)",
    ),
)
_PATTERNS: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {sign: re.compile(rf"\b(?:{words})\b", re.IGNORECASE) for sign, words in _HEARD}
)
_LONGEST = 2_000


_SMELT = re.compile(r"smel|stink|stank|stench|whiff|reek|odou?r|leak|hiss|escap", re.IGNORECASE)
"""Words beside 'gas' with which it is about gas that escapes, whatever runs on it."""


def heard(text: str, kinds: Iterable[str] = ()) -> tuple[str, ...]:
    """The danger signs that a typed text may be about, most pressing first; empty for most texts. kinds: words for
    the machine: one that runs on gas is no alarm by itself."""
    plain = " ".join(text[:_LONGEST].replace("\u2019", "'").replace("_", " ").split())
    plain = _TRADE.sub(lambda found: "~" * len(found.group()), plain)
    if _SMELT.search(plain) is None:
        for kind in kinds:
            plain = re.sub(rf"\bgas[\s-]+{re.escape(kind)}s?\b", "~", plain, flags=re.IGNORECASE)
    found = []
    for sign, pattern in _PATTERNS.items():
        if any(not _denied(plain, match.start()) for match in pattern.finditer(plain)):
            found.append(sign)
    return tuple(found)


def _denied(text: str, start: int) -> bool:
    """Whether the words before a place deny what stands there; a new clause is not denied by the one before it."""
    before = re.split(r"[.;:!?,]|\bbut\b|\bthough\b", text[:start])[-1]
    return _DENIED.search(before) is not None
