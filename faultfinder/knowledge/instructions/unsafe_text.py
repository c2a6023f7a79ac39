"""What a text of a rule file tells a person to do, as far as safety cares: bridging, probing, opening, running.

Plain pattern search, sentence by sentence, with "never" and its like looked for in front. It errs on the
side of refusing: an author can say a thing otherwise; a reader can be hurt. It cannot understand a text, and
is the last net, not the first: the gate (safety/) guards every instruction whatever its words.
"""

from __future__ import annotations

import re
from functools import lru_cache

_SENTENCE = re.compile(r"(?<=[.;!?:])(?<!\d\.)\s+|\n\s*(?=\d+[.)]\s|[-*]\s)|\n\s*\n")
_NEGATION = re.compile(
    r"\b(never|not|don't|doesn't|mustn't|cannot|can't|no|nor|without|instead of|rather than|nobody|avoid|"
    r"forbidden|refuse to)\b",
    re.IGNORECASE,
)
_NEAR = 60
"""Letters in front of a verb within which its negation stands. Chosen."""

DEVICE = re.compile(
    r"\b(cut-?\s?outs?|thermal (?:link|fuse|protector|switch|trip)s?|thermostats?|fuses?|(?:circuit )?breakers?|"
    r"rcds?|"
    r"residual[- ]current|overload|protectors?|door (?:switch|lock|catch)\w*|interlocks?|belt switch|earth|limiters?|"
    r"safety \w+|protective \w+|pressure switch|float switch|over-?heat \w+|trips?)\b",
    re.IGNORECASE,
)
_BRIDGE = re.compile(
    r"\b(bridg(?:e|ing)(?! rectifier)|jumper(?:ing)?|jump(?:ing)? (?:out|across|over)|link(?:ing)? "
    r"(?:out|across|over|past|together|the|both|its|them|it)|loop(?:ing)? (?:out|across|the|it)|by-?pass(?:ing)?|"
    r"short(?:ing)?(?:[- ]circuit(?:ing)?)? (?:out|across|the|both|its|them|it|together|round|over)|"
    r"short-circuit(?:ing)?|defeat(?:ing)?|overrid(?:e|ing)|disabl(?:e|ing)|"
    r"strap(?:ping)? (?:out|across|over|the|it))\b",
    re.IGNORECASE,
)
_NOUN_BEFORE = re.compile(r"\b(the|a|an|any|this|that|every|each|of|its|no)\s+$", re.IGNORECASE)
_FIT_A_LINK = re.compile(
    r"\b(?:fit|put|use|make|insert|attach|connect|place|clip|add|solder|run|lay|wire)(?:t?ing)?\b[^.;]{0,40}?"
    r"\b(?:bridge|jumper|link|wire|strap|shunt|foil|nail|bolt|paper ?clip)\b[^.;]{0,40}?"
    r"\b(?:across|over|between|in place of|instead of|past|around|round|for)\b",
    re.IGNORECASE,
)
_WITH_BRIDGED = re.compile(
    r"\b(?:(?:should|must|can|could|may|might|to|then|temporarily|briefly) be|when|if you have|"
    r"once(?: [^.;]{1,40}? (?:is|are))?|after you(?: have)?|"
    r"with [^.;]{1,40}?|while [^.;]{1,40}?is) (?:bridged|by-?passed|jumpered|linked out|"
    r"shorted(?: out)?|defeated|overridden|disabled)\b",
    re.IGNORECASE,
)
_MAY_BRIDGE = re.compile(
    "bridg|jump|link|loop|bypass|by-pass|short|defeat|overrid|disabl|strap|wire|shunt|foil|nail|bolt|clip|tap|"
    "wedg|jam|tie|tying"
)
"""Letters without which no text can tell to bridge anything: a quick first look."""
_WEDGE = re.compile(r"\b(?:tap(?:e|ing)|wedg(?:e|ing)|jam(?:ming)?|tie|tying)\b[^.;]{0,40}", re.IGNORECASE)
_INTERLOCK = re.compile(
    r"\b(door switch|belt switch|float(?: switch)?|interlock|door lock|micro-?switch)\b", re.IGNORECASE
)
_IT = re.compile(
    r"\b(it|its|them|they|these|this|both|terminals?|contacts?|tags?|wires?|leads?|switch)\b", re.IGNORECASE
)

_PROBE = re.compile(r"\b(probes?|prods?|test leads?|meter leads?|crocodile clips?)\b", re.IGNORECASE)
_PROBE_PLACE = re.compile(
    r"\b(?:on|onto|to|across|at|in|into|between|against|touch(?:ing)?)\b[^.;]{0,40}?\b(?:terminals?|tags?|pins?|"
    r"contacts?|connectors?|spades?|wires?|conductors?|element|heater|socket|outlet holes?|bare metal|winding|"
    r"live parts?|cores?|ends)\b",
    re.IGNORECASE,
)
_COVER = (
    r"(?:covers?|(?:back|rear|side|front|top|base|bottom|service|access)(?: |-)?(?:panels?|plates?)|panels?|casing|"
    r"cabinet(?: sides?| top)?|worktop|top plate|housing)"
)
_NO_TOOL_COVER = re.compile(
    r"\b(?:filter|fluff|lint|container|flap|condenser|block|lamp|battery|dust)(?:'s)? "
    r"(?:cover|panel|housing|casing)s?\b|"
    r"\b(?:cover|panel|flap)s? of the (?:filter|container|condenser|lamp|block)\b|\bcovers? (?:stay|on\b|refitted)",
    re.IGNORECASE,
)
_NO_TOOL = re.compile(r"\b(no tools?|without (?:a |any )?tools?|needs no tool|by hand)\b", re.IGNORECASE)
_OPENING = re.compile(
    rf"\b(?:remov(?:e|ing)|tak(?:e|ing) (?:off|out|away)|lift(?:ing)?(?: off| away| out| up)?|unscrew(?:ing)?|"
    rf"undo(?:ing)?|open(?:ing)?(?: up)?|unclip(?:ping)?|pull(?:ing)? off|slid(?:e|ing) off|"
    rf"pris(?:e|ing) off|swing(?:ing)? out)\b"
    rf"[^.;,]{{0,30}}?\b{_COVER}\b|"
    rf"\b{_COVER}\b[^.;,]{{0,12}}?\b(?:off|removed|open|away)\b|"
    rf"\btak(?:e|ing) (?:the |its |a )?(?:\w+ )?{_COVER} off\b",
    re.IGNORECASE,
)
_SCREWS = re.compile(
    r"\b(?:undo(?:ing)?|remov(?:e|ing)|tak(?:e|ing) out|unscrew(?:ing)?|loosen(?:ing)?|back(?:ing)? out)\b"
    r"[^.;,]{0,30}?\bscrews?\b",
    re.IGNORECASE,
)
_SCREWS_OUTSIDE = re.compile(
    r"\b(?:plugs?|fuse holder|foot|feet|knobs?|handles?|hoses?|clips?|clamps?|lamps?|hinges?)\b",
    re.IGNORECASE,
)
_MEASURING = re.compile(
    r"\b(?:measur(?:e|ing)|read(?:ing)?|probes?|prods?|test leads?|meter leads?|tester)\b", re.IGNORECASE
)
_INSIDE_PLACE = re.compile(
    r"\b(?:between|across|at|on|onto|to|from)\b[^.;]{0,40}?\b(?:heaters?|elements?|motors?|windings?|capacitors?|"
    r"thermostats?|cut-?outs?|relays?|boards?|modules?|pumps?|solenoids?|terminal blocks?|"
    r"compressors?|tags?|inside)\b",
    re.IGNORECASE,
)
_COVER_OFF = re.compile(rf"\b{_COVER}\b[^.;,]{{0,12}}?\b(?:off|removed|open|away)\b", re.IGNORECASE)
_RUNNING = re.compile(
    r"\b(switch(?:ed|ing)? (?:it |the \w+ )?(?:back )?on|plug(?:ged|ging)? (?:it |the \w+ )?(?:back )?in|"
    r"power(?:ed|ing)? (?:it |the \w+ )?(?:up|on|back)|under power|reconnect(?:ed|ing)? the (?:mains|supply)|"
    r"run(?:ning)? (?:it|the (?:machine|motor|appliance|programme|heater))|start(?:ing)? (?:it|the \w+)|"
    r"energi[sz]\w+|let it run|(?:it|machine|motor|appliance) (?:is )?run(?:s|ning)|"
    r"live (?:test|measure\w*|check|work)|"
    r"measure[^.;]{0,30}\blive|while (?:it is )?live|with the (?:mains|supply|power) on)\b",
    re.IGNORECASE,
)
_CIRCUIT = re.compile(
    r"\b(?:re-?gas|recharg(?:e|ing)|re-?fill|charg(?:e|ing)|braz(?:e|ing)|solder|repair|renew|replac(?:e|ing)|vent(?:ing)?|"
    r"tap|pierc(?:e|ing)|evacuat(?:e|ing)|open|cut|top up|bleed|releas(?:e|ing))\b[^.;]{0,40}?"
    r"\b(?:refrigerant|sealed (?:system|circuit)|cooling circuit|gas (?:valve|pipe|jet|burner|train|tap|hose))\b",
    re.IGNORECASE,
)
_OPEN_WORDS = re.compile(
    rf"\b({_COVER}|insid\w+|terminal\w*|probe\w*|prod\w*|leads?|tags?|connector\w*|plugs?|disconnect\w*|pull\w*|unplug\w*|"
    r"remov\w+|tak\w+|open\w*|behind|motor|board|wir\w+|element|heater|back|drum|belt|fan|meter|multimeter|tester|unscrew\w*|"
    r"lift\w*|winding\w*|capacitor|under|duct|sensor|relay|contact\w*|casing|earth|pump|spring|pulley|bearing\w*)\b",
    re.IGNORECASE,
)

_OUTSIDE_WORDS = re.compile(
    r"\b(labels?|rating plate|door|filter|hose|flex|wall socket|knobs?|buttons?|display|lamps?|outside|underside|lid|"
    r"feet|floor|room|container|customer)\b",
    re.IGNORECASE,
)


KEPT = 8192
"""Texts of which is kept what was found in them: several checks look at each. Two big packs have as many. Chosen."""


@lru_cache(maxsize=KEPT)
def sentences(text: str) -> tuple[str, ...]:
    """The sentences of a text, list items taken as sentences; words on one line."""
    return tuple(flat for part in _SENTENCE.split(text) if (flat := " ".join(part.split())))


def denied(sentence: str, at: int) -> bool:
    """Whether a negation stands in front of position `at` and reaches it."""
    front = sentence[max(0, at - _NEAR) : at]
    found = None
    for found in _NEGATION.finditer(front):  # noqa: B007 - the last one is wanted
        pass
    if found is None:
        return False
    between = front[found.end() :]
    if found.group().lower() in ("never", "nor", "nobody", "no"):
        # A list may follow ("never open, bridge or bypass"), a new beginning may not.
        return re.search(r"\b(but|then|just|instead|simply)\b", between) is None
    return re.search(r",|\b(but|then|just|simply)\b", between) is None


def bridging(text: str, subject: str = "") -> str | None:
    """The sentence that tells to get round a protective device, or None.

    subject: the item's other words; a sentence that only says "it" or "terminals" may mean a device there.
    """
    if _MAY_BRIDGE.search(text.lower()) is None:
        return None
    subject_has_device = DEVICE.search(subject) is not None or DEVICE.search(text) is not None
    for sentence in sentences(text):
        about = DEVICE.search(sentence) is not None or (
            subject_has_device and _IT.search(sentence) is not None
        )
        if about and any(_is_order(sentence, pattern) for pattern in (_BRIDGE, _FIT_A_LINK, _WITH_BRIDGED)):
            return sentence
        wedge = _WEDGE.search(sentence)
        if wedge is not None and _INTERLOCK.search(wedge.group()) and not denied(sentence, wedge.start()):
            return sentence
    return None


def _is_order(sentence: str, pattern: re.Pattern[str]) -> bool:
    for found in pattern.finditer(sentence):
        if pattern is _BRIDGE and _NOUN_BEFORE.search(sentence[: found.start()]):
            continue
        if not denied(sentence, found.start()):
            return True
    return False


def probing(text: str) -> str | None:
    """The sentence that tells to put probes on electrical parts, or None."""
    for sentence in sentences(text):
        probe = _PROBE.search(sentence)
        if probe is None:
            continue
        place = _PROBE_PLACE.search(sentence)
        if place is not None and not denied(sentence, max(probe.start(), place.start())):
            return sentence
    return None


def probing_inside(text: str) -> str | None:
    """The sentence that tells to measure at a part inside the machine, or None."""
    for sentence in sentences(text):
        measuring, place = _MEASURING.search(sentence), _INSIDE_PLACE.search(sentence)
        if measuring is None or place is None:
            continue
        if not denied(sentence, max(measuring.start(), place.start())):
            return sentence
    return None


def opening(text: str) -> str | None:
    """The sentence that tells to take off a cover that needs a tool, or None."""
    found_in = sentences(text)
    for number, sentence in enumerate(found_in):
        after = " ".join(found_in[number + 1 : number + 2])
        plain = _NO_TOOL_COVER.sub(" ", sentence)
        found = _OPENING.search(plain)
        if found is None and _SCREWS_OUTSIDE.search(plain) is None:
            found = _SCREWS.search(plain)
        if found is None or _NO_TOOL.search(f"{plain} {after}") or denied(plain, found.start()):
            continue
        return sentence
    return None


def open_and_running(text: str) -> str | None:
    """The sentence that tells to run or feed a machine while its covers are off, or None."""
    if _COVER_OFF.search(text) is None:
        return None
    for sentence in sentences(text):
        opened = _COVER_OFF.search(sentence)
        running = _RUNNING.search(sentence)
        if opened is None or running is None:
            continue
        if not denied(sentence, running.start()) and not denied(sentence, opened.start()):
            return sentence
    return None


def licensed_work(text: str) -> str | None:
    """The sentence that tells to work on a refrigerant circuit or a gas part, or None."""
    for sentence in sentences(text):
        found = _CIRCUIT.search(sentence)
        if found is not None and not denied(sentence, found.start()):
            return sentence
    return None


def stays_outside(text: str) -> bool:
    """Whether a text speaks of the outside of a machine and of nothing that is reached only with covers off."""
    return _OUTSIDE_WORDS.search(text) is not None and _OPEN_WORDS.search(text) is None
