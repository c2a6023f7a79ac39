"""Plain instructions: sentence by sentence the act that the words fit, in the access in which it is shown.

An author who writes a plain text has its sentences placed from their words. One that fits no act of that access gets
the act that it most likely is, which the checks then refuse; one in which no word is known is asked about.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from faultfinder.knowledge.instructions.acts import acts_of
from faultfinder.knowledge.instructions.deeds import against_act, deeds_in
from faultfinder.knowledge.instructions.unsafe_text import sentences
from faultfinder.knowledge.instructions.verbs import has_cue, head_verbs, likely_act
from faultfinder.knowledge.instructions.words import CUES, WORK
from faultfinder.knowledge.model import Mark, Need, Step

_ITEM = re.compile(r"^\s*\d+[.)]\s+", re.MULTILINE)
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[A-Z0-9])")
_BY_WORDS = (
    "run plug_in measure_running breaker move unplug vacuum discharge uncover lead_off measure_dead pour "
    "plug_work turn "
    "lead_on part_on part_off mend clean handle stop listen smell gauge feel look note wait ask aside cover"
).split()
"""In which order acts are tried: what can hurt first, so that a sentence is not taken for less than it says."""


def placed(steps: Iterable[Step], need: Need) -> tuple[Step, ...]:
    """The steps with those that state no act split into sentences and placed."""
    out: list[Step] = []
    for step in steps:
        out += [step] if step.act else _of_plain(step.text, need, step.mark)
    return tuple(out)


def _of_plain(text: str, need: Need, mark: Mark) -> list[Step]:
    items = [" ".join(part.split()) for part in _ITEM.split(text) if part.strip()]
    out: list[Step] = []
    for item in items:
        first = len(out)
        for sentence in _SENTENCE.split(item):
            act = act_of(sentence, need)
            if len(out) > first and out[-1].act == act:
                out[-1] = Step(act, f"{out[-1].text} {sentence}", mark, stated=False)
            else:
                out.append(Step(act, sentence, mark, stated=False))
    return out


def act_of(sentence: str, need: Need) -> str:
    """The act that a sentence fits in this access; where none does, the one that it most likely is."""
    here = acts_of(need)
    fitting = [act for act in _BY_WORDS if act in here and fits(sentence, act, need)]
    if not fitting:
        # It does several things: the gate goes by what can hurt most among them.
        several = [
            act for found in deeds_in(sentence) for act in _BY_WORDS if act in found.deed.acts and act in here
        ]
        return next(iter(several), likely_act(sentence))
    verb = next(iter(head_verbs(sentence)), "")
    known = [act for act in fitting if has_cue(sentence, act)]
    by_verb = [act for act in known if verb in WORK and act in WORK[verb]]
    by_start = [act for act in known if CUES[act].match(sentence)]
    return next(iter([*by_verb, *by_start, *known, *fitting]))


def fits(text: str, act: str, need: Need) -> bool:
    """Whether a text can be the wording of an act in this access, as far as its words are known."""
    if against_act(text, act, need) is not None:
        return False
    verbs = (verb for sentence in sentences(text) for verb in head_verbs(sentence))
    return all(act in WORK[verb] for verb in verbs if verb in WORK)
