"""Which acts a verb can stand for: the words of a step against the act that its author states.

A table, not an understanding: a verb of work (run, connect, unscrew, measure ...) that begins a clause must be one
that the act can have. Verbs of looking, waiting and comparing go with every act. A step in which no word is known
cannot be placed, and its author is asked.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from faultfinder.knowledge.instructions.unsafe_text import KEPT, denied

_PARTS = "part_off part_on mend plug_work aside"
_OFF = "handle uncover lead_off part_off plug_work aside"
_ON = "part_on mend cover lead_on plug_work handle aside"
_MEASURE = "measure_dead measure_running gauge aside"

_WORK: Mapping[str, str] = MappingProxyType(
    {
        "run restart operate energise energize power start boot": "run",
        "connect reconnect": "lead_on part_on plug_in plug_work",
        "disconnect": "lead_off unplug part_off handle",
        "unplug": "unplug lead_off stop",
        "unscrew undo unbolt unclip detach prise pry": _OFF,
        "remove": f"{_OFF} clean vacuum part_on",
        "take": f"{_OFF} note measure_dead clean vacuum unplug gauge measure_running part_on mend move",
        "strip": _OFF,
        "slip": f"{_OFF} part_on lead_on",
        "slide": f"{_OFF} part_on move cover",
        "lift": f"{_OFF} turn move feel gauge measure_dead pour",
        "open": "handle uncover plug_work aside look stop",
        "fit refit install mount": _ON,
        "replace renew change swap exchange": f"{_ON} {_PARTS}",
        "screw bolt clip hook thread lay": f"{_ON} move turn measure_dead",
        "lock unlock": f"{_ON} handle",
        "close shut": "handle cover part_on turn run measure_running",
        "cut snip trim shorten": "mend part_off part_on aside handle plug_work",
        "crimp solder glue tighten straighten rivet weld tie grease oil level set re-seat reseat seal": (
            "mend part_on lead_on plug_work aside handle run measure_dead plug_in cover move"
        ),
        "clean wash brush wipe rinse scrub scrape dust sweep peel flush polish": "clean aside handle vacuum "
        "mend pour part_off measure_dead",
        "vacuum hoover": "vacuum",
        "measure probe": f"{_MEASURE} discharge lead_off mend part_on note wait",
        "clamp": "measure_running part_on mend",
        "pour fill": "pour aside handle",
        "soak": "clean aside",
        "move drag tilt haul shift": "move handle turn aside measure_dead look feel",
        "press": "handle turn feel look measure_dead part_on lead_on mend clean measure_running run",
        "push pull": f"{_OFF} {_ON} turn move feel clean unplug look measure_dead gauge",
        "spin": "turn run aside handle",
        "discharge": "discharge",
        "heat warm dry": "aside mend wait clean handle run feel measure_dead",
        "choose select": "handle run measure_running measure_dead aside",
        "load empty": "handle aside pour clean run",
        "reset": "turn handle breaker",
        "join twist": "lead_on mend measure_dead plug_work",
        "insert": f"{_ON} gauge",
        "stop": "stop run handle unplug gauge measure_running listen look feel note ask",
        "blow": "clean",
        "drill saw file grind hammer": "mend part_off part_on aside",
    }
)
WORK: Mapping[str, frozenset[str]] = MappingProxyType(
    {verb: frozenset(acts.split()) for verbs, acts in _WORK.items() for verb in verbs.split()}
)
"""Verb of work -> the acts that it can be the wording of. Chosen, widely: only what cannot be meant is left out."""

_FUNCTION = frozenset(
    "a an the if on where below one what when from at in for with by only no never once until after before "
    "as above to not do does "
    "nothing that this such both all each every first then else and or but while under over inside outside "
    "without about of "
    "than so too very most many some any there here is are was has it they he she who which whose how why".split()
)
"""First words of a sentence that are no verbs."""
_ARTICLES = frozenset("the a an its it them this that your each every all both".split())
"""Words after a first word that make it an order."""

LIGHT = frozenset(
    "look see watch listen hear smell feel touch wait let note write read compare check count find follow search "
    "inspect torch ask tell say show stand keep leave hold give enter share divide add say stay go use do "
    "see try mark "
    "photograph type work put place begin repeat think know call hand get bring turn reach draw switch rub "
    "wiggle tug "
    "bend shake swing hang weigh gather sort air point end step "
    "rock tap match reckon subtract double multiply log record beware mind make come test treat trace locate "
    "identify examine observe notice decide agree explain advise warn order buy report fold lean kneel carry speak "
    "knock release free support block prop throw pick sniff scan time average allow lower raise rest expect "
    "tick stick".split()
)
"""Verbs that go with any act."""

_CUE: Mapping[str, str] = MappingProxyType(
    {
        "ask": r"ask|tell|licensed|go by|try another|guess|hand (?:it|them|the|all)|let (?:them|him|her|the "
        r"customer)|customer|maker|electrician|engineer|company|book|sheet|diagram"
        r"|instructions?|hand over|look (?:it |the \w+ )?up|table|look up|explain|show|warn|agree|call|"
        r"phone|advise|order",
        "note": r"do not|never|nothing|leave|find out|draw|watch|mind|not(?:e|ing)|writ|enter|share|divid|"
        r"difference|compar|count|add|subtract|double|work out|reckon|mark"
        r"|photograph|take (?:the )?\w+ (?:off|from)|gain|mean|give|percent|highest|lowest|worst|log|record|"
        r"averag|type|times",
        "wait": r"wait|let|leave|cool|cold|warm|dry|minutes?|hours?|overnight|until|time|stand|rest|settle",
        "stop": r"stop|switch(?:ed)? (?:\w+ )?off|turn(?:ed)? (?:\w+ )?off|off\b|end|cancel|break off",
        "unplug": r"unplug|plug of (?:the |its )?\w+ out|plug (?:is )?(?:out|pulled)|pull the plug|plug out|"
        r"out of (?:the|its) socket|pulled",
        "aside": r"another|bench|weigh|scales|wash|window|room|tap|sink|towel|basket|rinse|bucket|outside|"
        r"extractor|warm|dry|load|"
        r"water|bench|gun|sensor|thermometer|soak|open|replace|renew|ventilat|air the|measure|spin|sort",
        "look": r"torch|look|see|watch|torch|mirror|lamp|light|read|inspect|search|find|follow|check|"
        r"compare|examin|observe|count|"
        r"seen|eye|glass|whether|spot|marking|printed|daylight|must|visible|through",
        "listen": r"listen|ear|hear|heard|click|hum|sound|noise|quiet|rhythm|rattle|knock|silen",
        "smell": r"smell|sniff|nose|scent|odour|burn",
        "feel": r"thumb|rub|feel|felt|hand|finger|palm|touch|warm|air|hold|tissue|paper|tremble|tug|pull|"
        r"push|wiggle|press",
        "handle": r"door|filter|container|flap|hose|knob|button|key|setting|programme|lid|load|drum|glass|"
        r"racks|trays|lock|"
        r"lever|basket|towel|choose|open|shut|close|put back|take out|empty|screen|mesh|dial|"
        r"selector|lamp|clock|"
        r"put|fit|replac|frame|tie|lift|push|hang|set|lay|pull|turn|switch|heat|furniture|carpet|feet|foot|"
        r"block|foil|tape|display|room|window|things|paper|slide|unlock|socket|lead",
        "gauge": r"thermomet|sensor|tape|scales|weigh|clock|minute|hygromet|temperature|measur|count|hold|"
        r"length|kg|jug|"
        r"weigh|air speed|read|mean|time|degrees|stopwatch|hang|diamet|divide|point",
        "clean": r"clean|spray|comb|brush|wip|wash|scrap|fluff|dust|rins|cloth|soak|peel|dry|polish|clear|"
        r"sweep|flush|draw|fish|take",
        "vacuum": r"vacuum|hoover",
        "run": r"run|start|switch(?:ed)? (?:\w+ ){0,2}on|turn(?:ed)? (?:\w+ ){0,2}on|programme|heat|setting|"
        r"minutes?|trial|"
        r"again|full|press|cycle|on for|cool air|wet load|choose|high|low",
        "plug_in": r"plug|socket|meter|split lead|tester",
        "measure_running": r"note it|reading|amps|watts?|volts?|power|current|leakage|energy meter|meter|"
        r"tester|clamp|read|trace|share",
        "breaker": r"breaker|rcd|residual|fuse box|isolator|tripped",
        "move": r"rock|level|mov|pull|push|slide|lift|tilt|bring|off the wall|forward|out of its housing|"
        r"walk|stack|machine|back",
        "turn": r"turn|press|push|shake|lift|spin|rock|by hand|finger|move|free|pull|try|reach|wiggle|tug|"
        r"reset|hold|sweep"
        r"|button|wheel|work",
        "plug_work": r"plug|fuse|rating|cut back|cord grip|core|pin",
        "measure_dead": r"pin|foil|live|neutral|measur|meter|tester|probe|read|resistance|ohm|500 v|250 v|"
        r"insulation|earth|zero|across|between|"
        r"reading|OL|from|shorted|leads|each|value|pair|common|capacit|continuity|test|strip",
        "pour": r"pour|fill|water|cup|litre",
        "part_off": r"tak|remov|lift|off|out|pull|free|draw|slip|undo|cut|release|strip|unclip",
        "part_on": r"same|joint|fasten|fit|refit|replac|renew|put|new|change|seat|home|hang|slide|clip|"
        r"thread|lay|hook|install|push|instead",
        "mend": r"mark|grip|kink|renew|tight|straight|glue|crimp|set|screw|seal|bend|cut|level|free|fix|"
        r"clip|tie|clear|clean|dry|joint|repair|mend"
        r"|bright|star washer|lock|adjust|solder|grease|fasten|re-?hook|re-?seat",
        "uncover": r"cover|panel|housing|lid|top|back|front|side|plate|cap|casing|base|floor|flap|bottom|out",
        "cover": r"cover|panel|housing|lid|top|back|front|side|plate|cap|casing|base|floor|refit",
        "lead_off": r"lead|wire|tag|connector|plug|terminal|conductor|core|spade|off|feed|return|pins|L and N|ends",
        "lead_on": r"lead|wire|tag|connector|plug|terminal|conductor|core|spade|join|pins|earth",
        "discharge": r"discharg|capacitor|below 50|resistor|waiting time|charge",
    }
)
CUES: Mapping[str, re.Pattern[str]] = MappingProxyType(
    {act: re.compile(rf"\b(?:{words})", re.IGNORECASE) for act, words in _CUE.items()}
)
"""Words of which a step of this act has at least one."""

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


def verbs_against(sentence: str, act: str) -> str | None:
    """The first verb of work in a sentence that the act cannot have, or None."""
    return next((verb for verb in head_verbs(sentence) if verb in WORK and act not in WORK[verb]), None)


def strange_verb(text: str) -> str | None:
    """The word that begins a sentence and is known neither as a verb nor as a word of any act; or None."""
    for sentence in re.split(r"(?<=[.!?])\s+", text.strip()):
        first = next(iter(head_verbs(sentence)), "")
        known = (
            first in WORK
            or first in LIGHT
            or first in _FUNCTION
            or any(c.match(first) for c in CUES.values())
        )
        if first and not known:
            words = sentence.split()
            if len(words) > 1 and words[1].lower() in _ARTICLES:
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
        order = (
            "run",
            "vacuum",
            "plug_in",
            "measure_dead",
            "uncover",
            "clean",
            "part_on",
            "part_off",
            "mend",
            "handle",
        )
        acts = [act for act in order if act in WORK[verb]] or sorted(WORK[verb])
        return next((act for act in acts if has_cue(text, act)), acts[0])
    by_words = ("look", "listen", "smell", "feel", "wait", "note", "measure_dead", "handle", "ask")
    for act in by_words:
        if CUES[act].match(text):
            return act
    return next((act for act in by_words if has_cue(text, act)), "look")
