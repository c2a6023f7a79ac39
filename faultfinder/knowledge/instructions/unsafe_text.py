"""What a text of a rule file tells a person to do, as far as safety cares: bridging, probing, opening, running.

Plain pattern search (words.yaml), sentence by sentence, with "never" and its like looked for in front. It errs on the
side of refusing: an author can say a thing otherwise; a reader can be hurt. It cannot understand a text, and
is the last net, not the first: the gate (safety/) guards every instruction whatever its words.
"""

from __future__ import annotations

import re
from functools import lru_cache

from faultfinder.knowledge.instructions.words import SAYS

_SENTENCE = re.compile(r"(?<=[.;!?:])(?<!\d\.)\s+|\n\s*(?=\d+[.)]\s|[-*]\s)|\n\s*\n")
_NEAR = 60
"""Letters in front of a verb within which its negation stands. Chosen."""
_MAY_BRIDGE = re.compile(
    "bridg|jump|link|loop|bypass|by-pass|short|defeat|overrid|disabl|strap|wire|shunt|foil|nail|bolt|clip|tap|"
    "wedg|jam|tie|tying"
)
"""Letters without which no text can tell to bridge anything: a quick first look."""

KEPT = 8192
"""Texts of which is kept what was found in them: several checks look at each. Two big packs have as many. Chosen."""


@lru_cache(maxsize=KEPT)
def sentences(text: str) -> tuple[str, ...]:
    """The sentences of a text, list items taken as sentences; words on one line."""
    return tuple(flat for part in _SENTENCE.split(text) if (flat := " ".join(part.split())))


def denied(sentence: str, at: int) -> bool:
    """Whether a negation stands in front of position `at` and reaches it."""
    front = sentence[max(0, at - _NEAR) : at]
    negations = list(SAYS["negation"].finditer(front))
    if not negations:
        return False
    between = front[negations[-1].end() :]
    # Behind "never" a list may follow ("never open, bridge or bypass"), a new beginning may not.
    strong = negations[-1].group().lower() in ("never", "nor", "nobody", "no")
    ends = r"\b(but|then|just|instead|simply)\b" if strong else r",|\b(but|then|just|simply)\b"
    return re.search(ends, between) is None


def bridging(text: str, subject: str = "") -> str | None:
    """The sentence that tells to get round a protective device, or None.

    subject: the item's other words; a sentence that only says "it" or "terminals" may mean a device there.
    """
    if _MAY_BRIDGE.search(text.lower()) is None:
        return None
    subject_has_device = SAYS["device"].search(subject) is not None or SAYS["device"].search(text) is not None
    for sentence in sentences(text):
        about = SAYS["device"].search(sentence) is not None or (
            subject_has_device and SAYS["it"].search(sentence) is not None
        )
        if about and any(_is_order(sentence, how) for how in ("bridge", "fit_a_link", "with_bridged")):
            return sentence
        wedge = SAYS["wedge"].search(sentence)
        if (
            wedge is not None
            and SAYS["interlock"].search(wedge.group())
            and not denied(sentence, wedge.start())
        ):
            return sentence
    return None


def _is_order(sentence: str, how: str) -> bool:
    for found in SAYS[how].finditer(sentence):
        if how == "bridge" and SAYS["noun_before"].search(sentence[: found.start()]):
            continue
        if not denied(sentence, found.start()):
            return True
    return False


def _telling(text: str, *names: str) -> str | None:
    """The first sentence of a text in which all of these are said, and the last of them is not denied; or None."""
    for sentence in sentences(text):
        found = [SAYS[name].search(sentence) for name in names]
        places = [each.start() for each in found if each is not None]
        if len(places) == len(names) and not denied(sentence, max(places)):
            return sentence
    return None


def probing(text: str) -> str | None:
    """The sentence that tells to put probes on electrical parts, or None."""
    return _telling(text, "probe", "probe_place")


def probing_inside(text: str) -> str | None:
    """The sentence that tells to measure at a part inside the machine, or None."""
    return _telling(text, "measuring", "inside_place")


def probing_running(text: str) -> str | None:
    """The sentence that tells to measure at a part inside while the machine runs, or None; a meter between plug and
    socket reads on while the heater comes on."""
    return _telling(text, "measuring", "across_a_part")


def opening(text: str) -> str | None:
    """The sentence that tells to take off a cover that needs a tool, or None."""
    found_in = sentences(text)
    for number, sentence in enumerate(found_in):
        after = " ".join(found_in[number + 1 : number + 2])
        plain = SAYS["no_tool_cover"].sub(" ", sentence)
        found = SAYS["opening"].search(plain)
        if found is None and SAYS["screws_outside"].search(plain) is None:
            found = SAYS["screws"].search(plain)
        if found is None or SAYS["no_tool"].search(f"{plain} {after}") or denied(plain, found.start()):
            continue
        return sentence
    return None


def open_and_running(text: str) -> str | None:
    """The sentence that tells to run or feed a machine while its covers are off, or None."""
    if SAYS["cover_off"].search(text) is None:
        return None
    for sentence in sentences(text):
        off, runs = SAYS["cover_off"].search(sentence), SAYS["running"].search(sentence)
        if off and runs and not denied(sentence, off.start()) and not denied(sentence, runs.start()):
            return sentence
    return None


def licensed_work(text: str) -> str | None:
    """The sentence that tells to work on a refrigerant circuit or a gas part, or None."""
    return _telling(text, "circuit")


def stays_outside(text: str) -> bool:
    """Whether a text speaks of the outside of a machine and of nothing that is reached only with covers off."""
    return SAYS["outside_words"].search(text) is not None and SAYS["open_words"].search(text) is None
