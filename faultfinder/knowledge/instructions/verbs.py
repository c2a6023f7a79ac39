"""Which acts a verb can stand for: the words of a step against the act that its author states.

A table (words.yaml), not an understanding: a verb of work (run, connect, unscrew, measure ...) that begins a clause
must be one that the act can have. Verbs of looking, waiting and comparing go with every act. A step in which no word
is known cannot be placed, and its author is asked.
"""

from __future__ import annotations

import re
from functools import lru_cache

from faultfinder.knowledge.instructions.unsafe_text import KEPT, denied
from faultfinder.knowledge.instructions.words import AFTER_AN_ORDER, CUES, LIGHT, NO_VERBS, WORK

_CLAUSE = re.compile(
    r"[.;!?]\s+|\n|^\s*\d+[.)]\s*|([,:]\s*(?:and |then |or |but )*|\b(?:and then|and|then|or|but)\s+)"
)
_FILLER = re.compile(
    r"^(?:(?:now|then|first|next|again|once|twice|just|please|briefly|gently|slowly|carefully|also|simply|quickly|"
    r"at once|meanwhile|finally|only|to test|for a moment|you (?:may|can|should|must)|you|try to|have to|need to|"
    r"be sure to|make sure to|let us)\s+)+",
    re.IGNORECASE,
)
_WORD = re.compile(r"([a-z]+(?:-[a-z]+)?)\b(?!,)")
_DRAWN = re.compile(
    r"run(?:ning)? (?:a|an|your|one|the) (?:\w+ )?(?:finger|hand|thumb|palm|nail|torch|lamp|cloth|tape|eye)s?\b"
)
"""What is run along something, and does not run."""
_ORDER = re.compile(
    r"([a-z]+(?:-[a-z]+)?) (?:(?:off|out|up|down|on|in|back|away) )?(?:the|a|an|its|it|them|each|every|all|both)\b"
)
"""A clause within a sentence begins with a verb only where it is done to something: 'load, type' is a list."""


@lru_cache(maxsize=KEPT)
def head_verbs(sentence: str) -> tuple[str, ...]:
    """The words that begin the clauses of a sentence, in small letters, fillers and what is forbidden left out."""
    heads = []
    at, joined = 0, False
    for cut in [*_CLAUSE.finditer(sentence), None]:
        clause = _FILLER.sub("", sentence[at : cut.start() if cut else None].strip()).lower()
        found = _ORDER.match(clause) if joined else _WORD.match(clause)
        # "hook, direction, side" is a list of things.
        listed = " " not in clause and cut is not None and cut.group().startswith(",")
        if found is not None and not listed and not _DRAWN.match(clause) and not denied(sentence, at + 1):
            heads.append(found.group(1))
        if cut is not None:
            at, joined = cut.end(), cut.group(1) is not None
    return tuple(heads)


def strange_verb(text: str) -> str | None:
    """The word that begins a sentence and is known neither as a verb nor as a word of any act; or None."""
    for sentence in re.split(r"(?<=[.!?])\s+", text.strip()):
        first = next(iter(head_verbs(sentence)), "")
        known = (
            first in WORK or first in LIGHT or first in NO_VERBS or any(c.match(first) for c in CUES.values())
        )
        if first and not known:
            words = sentence.split()
            if len(words) > 1 and words[1].lower() in AFTER_AN_ORDER:
                return first
    return None


def has_cue(text: str, act: str) -> bool:
    """Whether a text has a word of the act that it is the wording of; what only states something has it for the
    acts of telling and looking."""
    return CUES[act].search(text) is not None or (act in _STATING and not _orders(text))


_STATING = frozenset("ask note wait look listen feel smell".split())


def _orders(text: str) -> bool:
    """Whether a sentence of the text begins with a verb."""
    heads = [next(iter(head_verbs(sentence)), "") for sentence in re.split(r"(?<=[.!?:;])\s+", text.strip())]
    return any(head in WORK or head in LIGHT for head in heads)


def likely_act(text: str) -> str:
    """The act that a plain text most likely is, as a proposal to its author."""
    verb = next(iter(head_verbs(text)), "")
    if verb in WORK:
        order = "run vacuum plug_in measure_dead uncover clean part_on part_off mend handle"
        acts = [act for act in order.split() if act in WORK[verb]] or sorted(WORK[verb])
        return next((act for act in acts if has_cue(text, act)), acts[0])
    by_words = ("look", "listen", "smell", "feel", "wait", "note", "measure_dead", "handle", "ask")
    for act in by_words:
        if CUES[act].match(text):
            return act
    return next((act for act in by_words if has_cue(text, act)), "look")
