"""What the words of a text do, whatever its author calls it: running, feeding, opening, measuring, getting round.

Each deed has the acts whose wording it may be and the accesses in which it may stand; one that has none is never
right. Plain patterns, sentence by sentence (see unsafe_text.py), erring on the side of refusing: an author can say it
otherwise, a reader can be hurt. What no pattern knows is still bound by its act (acts.py), which the gate looks at.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from faultfinder.knowledge.instructions.acts import ACTS, allowed
from faultfinder.knowledge.instructions.unsafe_text import (
    DEVICE,
    KEPT,
    denied,
    open_and_running,
    opening,
    probing,
    probing_inside,
    sentences,
)
from faultfinder.knowledge.model import Need

_WATCHING = frozenset("look listen smell feel gauge note ask wait stop handle".split())
_OPEN = frozenset({Need.OPEN_DEAD})
_CUT = frozenset({Need.ISOLATED, Need.OPEN_DEAD})
_USE = frozenset({Need.IN_USE})
_ALL_ACTS = frozenset(ACTS)
_ALL_NEEDS = frozenset(Need)
_TELLING = frozenset({"ask", "note"})
"""Acts that speak of what others do at another time; an access says nothing of them."""


@dataclass(frozen=True, slots=True)
class Deed:
    """says: what the sentence does, as a message says it. acts, needs: where it is right; never where empty."""

    says: str
    acts: frozenset[str]
    needs: frozenset[Need]
    pattern: re.Pattern[str]
    """In small letters, for a sentence in small letters: a search blind to them takes twice as long."""
    unless: re.Pattern[str] | None = None
    """Words of the same sentence with which it is something else."""
    told: bool = False
    """Whether people may be told of it for another time, whatever the access (`ask`, `note`)."""

    @property
    def never(self) -> bool:
        return not self.acts


def _deed(
    says: str,
    acts: str | frozenset[str],
    needs: frozenset[Need],
    pattern: str,
    unless: str = "",
    *,
    told: bool = False,
) -> Deed:
    named = frozenset(acts.split()) if isinstance(acts, str) else acts
    left_out = re.compile(unless) if unless else None
    return Deed(says, named, needs, re.compile(pattern.replace("~", _FORMS)), left_out, told)


_FORMS = "(?:e|s|es|y|ies|ed|ing|[a-z](?:ed|ing))?"
"""What `~` stands for in the patterns: the ending of any form of the verbs in front of it."""
_THE = r"(?:the|its|your|this|that|every|each)"
_NOUN = r"(?!(?:water|tap|hose|finger|hand|customer|glue|leads?|people)\b)\w+"
_ITSELF = (
    rf"(?:it|them|this|that|everything|{_THE} (?:\w+ )?(?:machine|appliance|motor|drum|fan|pump|heater|"
    rf"element|programme|"
    r"compressor|unit|blower|thing|lot|current|power))"
)
_IT = rf"(?:{_ITSELF}|{_THE} (?:\w+ ){{0,2}}?{_NOUN})"
"""The machine or a part of it, under whatever name."""
_FEED = (
    r"(?:power|mains(?! (?:flex|lead|plug|cable|filter|terminal|inlet|wire))|supply(?! (?:cable|lead|flex|"
    r"switch|cord|"
    r"hose|wire|off|cut))|electricity|current|voltage|volts|juice|2[0-4]0 ?v(?:olts?)?|feed)"
)
_TOOL = (
    r"(?:screwdrivers?|tape|pegs?|pencils?|sticks?|magnets?|wedges?|cable ties?|strings?|wire|rubber bands?|"
    r"coins?|card|"
    r"cardboard|match(?:es|sticks?)?|pens?|clips?|glue|bits? of wood|blocks?|toothpicks?|spanners?|pliers|clamps?)"
)
_INTERLOCK = (
    r"(?:door(?:'s)? (?:micro-?)?switch(?:es)?|door (?:lock|catch)|interlocks?|micro-?switch(?:es)?|"
    r"float(?: switch)?|"
    r"belt switch|plunger|safety \w+|lid (?:switch|lock)|reset button|switch of the door|rcd|breaker|test "
    r"button|trip|"
    r"relay contact)"
)
_WHERE = r"(?:base|bottom|tray|sump|plinth|foot|floor|hose|tub|cabinet|machine|frame|door|lid|bench)\b"
_DEVICE = (
    r"(?:cut-?\s?outs?|thermal \w+|thermostats?|fuses?|limiters?|door switch|belt switch|interlocks?|overloads?|"
    r"protectors?|rcds?|breakers?|safety \w+|float(?: switch)?|pressure switch)"
)
_COVER_PLACE = r"(?:back|rear|top|lid|front|sides?|base|bottom|plinth|underside)"
_INSIDE = (
    r"(?:heaters?|elements?|motors?|thermostats?|thermistors?|cut-?outs?|capacitors?|relays?|boards?|modules?|"
    r"pump(?!(?:'s)? filter)s?|compressors?|belts?|pulleys?|bearings?|windings?|terminal blocks?|wiring|looms?|"
    r"harness(?:es)?|coils?|impellers?|solenoids?)"
)

NEVER: tuple[Deed, ...] = (
    _deed(
        "joins what a protective device keeps apart",
        "",
        frozenset(),
        r"\b(?:join|twist|clip|tie|bring|put|touch|connect|push|plug|crimp|solder|wind|wrap|hook|pair|couple)~\b"
        r"[^.;]{0,40}\b(?:leads?|wires?|tags?|ends|terminals?|contacts?|cores)\b[^.;]{0,50}"
        r"\b(?:together|to each other|to one another|end to end|directly|as one)\b",
    ),
    _deed(
        "stands in for a fuse",
        "",
        frozenset(),
        r"\b(?:wrap|wind|twist|fold|put|stuff|use|replace|fit|pack|lay|roll|solder|push|slip|slide|swap|cut|"
        r"make|stick|"
        r"try|cover|line)~\b[^.;]{0,60}\b(?:fuses?|fuse ?holder|fuse clips?)\b[^.;]{0,45}"
        r"\b(?:foil|wire|nail|bolt|screw|coin|paper ?clip|solder|strip of metal|copper|tin|pin)\b"
        r"|\b(?:wrap|wind|twist|fold|put|stuff|use|replace|fit|pack|lay|roll|solder|push|slip|slide|swap|"
        r"cut|make|stick|"
        r"try)~\b[^.;]{0,30}\b(?:foil|wire|nail|bolt|coin|paper ?clip|solder|strip of metal|copper|tin)\b"
        r"[^.;]{0,45}\b(?:fuses?|fuse ?holder|fuse clips?)\b",
    ),
    _deed(
        "fits a fuse of another rating",
        "",
        frozenset(),
        r"\b(?:fit|use|put|take|swap|replace|try|install|go|change|give|step|move|need|get|insert)~\b[^.;]{0,40}"
        r"\b(?:bigger|larger|stronger|higher|heavier|beefier|slower|uprated|up-rated|next)\b[^.;]{0,25}\bfuses?\b"
        r"|\b(?:fuse|breaker)\b[^.;]{0,20}\b(?:of|with|for|to|by) (?:a |an |one )?(?:of )?(?:higher|bigger|"
        r"larger|stronger|"
        r"heavier|(?:1[5-9]|[2-9]\d) ?a)\b|\buprate\w* the (?:fuse|breaker)\b"
        r"|\b(?:fit|use|put|try)\b[^.;]{0,15}\b(?:1[5-9]|[2-9]\d) ?a(?:mps?)?\b[^.;]{0,12}\bfuse\b"
        r"|\b(?:fit|use|put|try)\b[^.;]{0,20}\bfuse\b[^.;]{0,15}\b(?:1[5-9]|[2-9]\d) ?a(?:mps?)?\b",
    ),
    _deed(
        "takes the protective earth away",
        "",
        frozenset(),
        r"\b(?:disconnect|remov|tak|pull|cut|snip|lift|undo|leav|unscrew|break|detach|slip|file|saw|bend|"
        r"isolat|unhook|"
        r"loosen|unplug|tape|insulat|clip|omit|drop|separat)~\b[^.;]{0,25}"
        r"\b(?:earth(?:ing)?|ground(?:ing)?|protective conductor|green(?:[- ]and)?[- ]yellow)\b"
        r"(?! (?:leakage|tester|path|continuity|fault|resistance|test))",
        r"\binsulation (?:resistance|tester|test|of)\b|\bto earth\b|\bagainst earth\b|\bto the earth (?:screw|pin)\b"
        r"|\bcut back\b",
    ),
    _deed(
        "holds a safety switch",
        "",
        frozenset(),
        rf"\b(?:hold|keep|tap|wedg|jam|ti|fix|pin|glu|screw|stick|clamp|strap|push|press|prop|lock|peg|clip|"
        rf"block|depress|"
        rf"trick|fool|cheat|defeat|weigh|secur|force|operat|work|engag|"
        rf"actuat)~\b[^.;]{{0,40}}\b{_INTERLOCK}\b[^.;]{{0,30}}"
        rf"\b(?:with (?:a |an |the |some |your )?(?:\w+ ){{0,2}}{_TOOL}|in(?! (?:the|its|a) {_WHERE})|down|closed|"
        rf"shut|pressed|made|on(?! (?:the|its|a) {_WHERE})|engaged|up)\b"
        rf"|\b{_INTERLOCK}\b[^.;]{{0,40}}\bwith (?:a |an |the |some |your )?(?:\w+ ){{0,2}}{_TOOL}\b"
        rf"|\b{_TOOL}\b[^.;]{{0,25}}\b(?:in|into|on|over|against|across|round|through)\b[^.;]{{0,20}}\b{_INTERLOCK}\b"
        rf"|\b(?:trick|fool|cheat|simulat)~\b[^.;]{{0,25}}\b{_INTERLOCK}\b",
        r"\bplunger\b[^.;]{0,20}\bfinger\b|\bmeasur|\bpush(?:ed)? home\b"
        rf"|^(?!.*\b{_TOOL}\b).*\buntil [^.;]{{0,25}}\bclicks?\b"
        r"|^(?:screw|fix|clip|push|press) the new [^.;]{0,25} (?:in|in its clip|in place)\.?$",
    ),
    _deed(
        "puts something into a socket that is no plug",
        "",
        frozenset(),
        r"\b(?:put|push|pok|stick|insert|hold|touch|plac|prod|prob|measur|read|test|check|us|jab|dip)~\b[^.;]{0,30}"
        r"\b(?:probes?|prods?|meter leads?|test leads?|leads|screwdriver|wires?|(?:multi)?meter|tester|finger|nail)\b"
        r"[^.;]{0,25}\b(?:in|into|inside|at)\b[^.;]{0,15}\b(?:wall socket|sockets?|outlet(?: holes)?)\b",
        r"\benergy meter|plug-in|socket tester|appliance tester|air speed|\bplug(?:ged)? into\b",
    ),
    _deed(
        "runs it without a protective device",
        "",
        frozenset(),
        rf"\b(?:run|us|try|start|operat|work|go|test|switch|heat)~\b[^.;]{{0,40}}\bwithout (?:the |its |a |any )?"
        rf"(?:\w+ )?{_DEVICE}\b|\bleav\w* (?:the |its |that )?(?:\w+ )?{_DEVICE} (?:out|off|open|disconnected|away)\b"
        rf"|\bdo(?:ing)? (?:it )?without (?:the |its )?{_DEVICE}\b"
        rf"|\b(?:cut|wire|take|leave) (?:the |its )?(?:\w+ )?{_DEVICE} out of (?:the )?circuit\b"
        r"|(?:^|\b(?:to|and|then|by|just|simply) )wir(?:e|ing) (?:it |them |the \w+ )?(?:straight |directly )?"
        r"(?:past|round|around|across|over)\b",
    ),
    _deed(
        "feeds a part straight from the mains",
        "",
        frozenset(),
        r"\b(?:run|feed|wir|connect|hook|power|put|link|start|try|test|driv|join|tak|giv|clip)~\b[^.;]{0,40}"
        r"\b(?:straight|direct(?:ly)?)\b[^.;]{0,15}\b(?:to|from|on|onto|off|across|into)\b[^.;]{0,15}"
        r"\b(?:mains|supply|a plug|power|2[0-4]0 ?v|live|line)\b"
        r"|\b(?:feed|wire|hook|connect|run|power|supply)~\b[^.;]{0,30}\b(?:from|with|to|off) (?:a |an |the "
        r")?(?:flying|"
        r"suicide|test|separate|spare|temporary|extension) (?:lead|flex|plug|cord|cable)\b",
    ),
    _deed(
        "works at live parts",
        "",
        frozenset(),
        r"\blive (?:test|check|measur\w+|work(?:ing)?)\b|\b(?:while|when|as|with) (?:it|it's|it is|"
        r"everything|the \w+) "
        r"(?:is |are |still )*live\b|\bmak\w* (?:it|them|the \w+) live\b|\bstill (?:live|energi[sz]ed|"
        r"connected to the mains)\b",
    ),
    _deed(
        "brings a flame near",
        "",
        frozenset(),
        r"\b(?:hold|us|light|strik|pass|mov|bring|wav)~\b[^.;]{0,25}\b(?:a match|lighter|candle|blow ?lamp|"
        r"blow ?torch|"
        r"naked flame|gas torch)\b",
    ),
)
"""Deeds that are never right, under whatever act."""

_RUN = (
    r"\b(?:switch|turn|power|click) (?:back |straight |it up |up )?on\b(?! (?:its|itself|by hand)\b)"
    rf"|\b(?:bring|knock|put|get) {_ITSELF} (?:back |up |straight )?on\b(?! (?:its|the|a|top|to|edge)\b)"
    rf"|\b(?:switch|turn|flick|click|power|flip) (?:{_IT}|(?:the|its|every|each|both) (?:\w+ ){{0,2}}\w+|"
    rf"mains|power|current) (?:back |up |straight )?on\b(?! (?:its|the|a|it|each|top|them|to|both|one|edge|that|"
    rf"again with the plug)\b)"
    rf"|\blet(?:ting)? {_IT} (?:\w+ )?(?:run|start|heat|turn|spin|go|work|warm up|cycle|hum|pump|boil)\b"
    rf"|\b(?:mak|hav|get|keep|set|leav|caus)~ {_IT} (?:to )?(?:run|start|running|going|turning|heat|heating|spinning|"
    rf"live|energi[sz]ed|powered|plugged in|switched on|working|in motion|off running)\b"
    rf"|\b(?:hav|get|keep|set|leav)~ {_ITSELF} on\b(?! (?:its|the|a)\b)"
    rf"|\b(?:giv|appl|restor|feed|send|inject|connect|reconnect|return|put|bring|turn|switch|pass|hook|wir|add|fetch)"
    rf"~\b(?![^.;]{{0,40}}\b(?:off|away|before)\b)[^.;]{{0,30}}?\b{_FEED}\b"
    r"|\b(?:energi[sz]e|re-?energi[sz]e|power up|fire up|kick off|crank up|boot up|bump start|jog)\b"
    r"|\b(?:press|push|hit|touch|tap|hold|us)~\b[^.;]{0,15}\b(?:start|the on button|on/off)\b(?! (?:winding|"
    r"switch|pin))"
    r"|\b(?:heat|programme|program|setting|cycle|spin|full)\b[^.;,]{0,25}\bfor\b[^.;,]{0,14}"
    r"\b(?:minutes?|seconds?|hours?|moment|while)\b"
    rf"|\b(?:so that|until|till) {_IT} (?:turn|run|start|heat|spin|go|come on|hum)(?:s|es)?\b(?! (?:free|"
    rf"true|by|on its))"
    r"|\bback to life\b|\bwak~ (?:it|the \w+) up\b|\blet~\b[^.;]{0,12}\b(?:current|power|mains|supply|volts)\b"
    r"|\b(?:press|push|hit|flick|throw|work|turn|operat)~\b[^.;]{0,20}\b(?:buttons?|switch|lever|key)\b[^.;]{0,15}"
    r"\b(?:at|on|by) the wall\b"
    r"|\bunder (?:its own )?power\b|\bunder load\b|\b(?:from|on) the mains\b"
    r"|\bwith (?:the )?(?:power|mains|supply|current|electricity) (?:on|up|back|connected|applied)\b"
    r"|\b(?:quick|short|brief|test) (?:spin|run|burst|start)\b"
)
_ENERGY = (
    r"\b(?:energy|plug-in|house|smart|surface|air speed|moisture) meters?\b|\bthermomet|\bappliance tester\b"
    r"|\bplug(?:ged)? into\b"
)

_METER_ON = "puts a meter on electrical parts"

DEEDS: tuple[Deed, ...] = (
    _deed(
        "works a breaker of the house",
        "breaker",
        frozenset({Need.ISOLATED}),
        r"\b(?:flick|flip|throw|push|switch|reset|put|clos|click|turn|set|lift|knock|bring)~\b[^.;]{0,25}"
        r"\b(?:breakers?|rcds?|isolator|main switch|fuse box|consumer unit|what has tripped)\b"
        r"(?![^.;]{0,25}\b(?:off|down|out)\b)",
        r"\boff\b|\block\w*\b",
    ),
    _deed(
        "puts the plug in",
        "plug_in run",
        _USE,
        r"\bplug (?:it |the \w+ |them |back |straight |this )*(?:back )?(?:in|into)\b(?! (?:your|my|the|his|"
        r"her) hands?)"
        r"|\b(?:put|push|stick|insert|poke|pop|shove|return|fit)~ (?:the |its |that |his )?(?:\w+ )?plug "
        r"(?:back |straight |home )*(?:in\b|into)(?! the (?:board|module|motor|pump|sensor))"
        r"|(?<!is )(?<!was )(?<!are )(?<!nothing )(?<!anything )\bplugged (?:back )?(?:in|into)\b|"
        r"\bre-?plug\b|\bback in(?:to)? the (?:wall|socket)\b",
        r"\bplug of the (?:motor|pump|sensor|fan|board)\b",
    ),
    _deed("runs or feeds it", "run", _USE, _RUN, r"\b(?:breaker|rcd|isolator|what has tripped)\b"),
    _deed(
        "has it running meanwhile",
        _WATCHING | {"run", "measure_running", "plug_in"},
        _USE,
        rf"\b(?:while|when|as|until) {_IT} (?:is |are )?(?:still )?(?:run|turn|heat|spin|work|go|hum)(?:s|"
        rf"ning|ing|ting)\b"
        rf"|\b(?:with|leave|keep) {_IT} (?:still )?(?:running|turning|heating|spinning)\b"
        rf"|\b(?:with|leave|keep) {_ITSELF} (?:still )?on\b(?! (?:its|the|a)\b)"
        r"|\b(?:machine|appliance|motor|drum) (?:running|heating|on)\b|\bduring (?:a|the) (?:run|cycle|spin)\b",
        told=True,
    ),
    _deed(
        "measures a voltage, a current or a power",
        "measure_running note ask discharge",
        _USE,
        r"\b(?:read|measure|note|take|check|watch|trace|find|get)\b[^.;]{0,25}\b(?:volts|voltage|amps|"
        r"amperes|current(?! state)|"
        r"watts|line|live feed|potential)\b|\bhow (?:many|much|high)\b[^.;]{0,15}\b(?:volts?|voltage|"
        r"current|amps|watts|power)\b",
        r"\b(?:plate|label|marking|printed|sheet|marked|rated|below 50)\b",
        told=True,
    ),
    _deed(
        "takes a cover off",
        "uncover part_off lead_off",
        _OPEN,
        rf"\b(?:tak|lift|pull|get|whip|slid|swing|pop|pris|lever|prop|eas|drop|flip|hing|fold|unclip|unhook|"
        rf"crack)~ (?:up )?"
        rf"(?:the |its |both |that )?(?:\w+ )?{_COVER_PLACE} (?:off|away|out|up|down|open)\b"
        rf"|\b(?:tak|pull|get|lift|pris|whip)~ (?:off|away) (?:the |its |both )?(?:\w+ )?{_COVER_PLACE}\b"
        rf"|\b(?:remov|unscrew|unbolt|detach)~ (?:the |its |both )?(?:\w+ )?{_COVER_PLACE}\b(?! (?:flap|"
        rf"filter|block))",
        r"\bedge\b|\bof the (?:filter|container)\b|\bfilter\b|\bload\b",
    ),
    _deed(
        "has a cover off",
        _ALL_ACTS - {"run", "plug_in", "measure_running"} - _TELLING,
        _OPEN,
        rf"\bwith (?:the |its |both )?(?:{_COVER_PLACE}|covers?|panels?|casing|worktop|guards?) "
        rf"(?:panel |cover |plate )?(?:still )?(?:off|open|up|away|removed|down)\b"
        rf"|\b(?:leav|keep)~ (?:the |its )?(?:{_COVER_PLACE}|covers?|panels?|casing) (?:panel |cover "
        rf")?(?:off|open|away)\b"
        r"|\b(?:uncovered|opened up|open machine|panel-?less)\b"
        rf"|\b(?:through|at|in|into|by|behind) the (?:open|opened|bare|missing) (?:{_COVER_PLACE}|panel|"
        rf"cover|casing)\b",
    ),
    _deed(
        "pulls a lead off",
        "lead_off part_off",
        _OPEN,
        r"\b(?:pull(?! (?:gently )?at)|take|slip|disconnect|unplug|undo|strip|remove|detach|loosen|slide|"
        r"lift|get|unhook)\b"
        r"[^.;]{0,30}?"
        r"\b(?:leads?|wires?|tags?|connectors?|spades?|conductors?)\b(?! (?:have|away for good))",
        r"\b(?:extension|probe|test leads?|meter|split lead|flex|tester|what the leads|tag of the)\b|"
        r"\bplug'?s?\b[^.;]{0,15}"
        r"\bwires\b",
    ),
    _deed(
        _METER_ON,
        "measure_dead discharge lead_off",
        _CUT,
        r"\b(?:put|hold|lay|clip|set|place|connect|touch|use|hook|attach|stick|press|bring)~\b[^.;]{0,20}"
        r"\b(?:multi-?meter|meter|tester|test lamp|neon|probes?|prods?|ohmmeter|crocodile clips?|voltage "
        r"stick)\b[^.;]{0,25}"
        r"\b(?:across|on|onto|to|at|between|over|into|against)\b"
        r"|\b(?:check|test|measure|read|buzz|prove|trace|touch)~\b[^.;]{0,50}\bwith (?:a |the |your "
        r")?(?:multi-?meter|meter|"
        r"tester|test lamp|ohmmeter|neon)\b|\bmeasur\w*\b[^.;]{0,20}\bpin to pin\b"
        r"|\b(?:500|250) ?v\b[^.;]{0,20}\b(?:from|between|to|across|d\.?c)\b",
        _ENERGY + r"|\bfrom outside\b",
    ),
    _deed(
        "reaches in",
        _ALL_ACTS - _TELLING,
        _CUT,
        r"\b(?:reach|put|stick|get|slide|push|work)~ (?:your |a |one )?(?:hands?|fingers?|arm)? ?(?:in|into|"
        r"behind|inside|under) "
        r"(?:the |its )?(?:drum|machine|cabinet|belt|fan|motor|pulley|works|moving)\b|\breach in\b",
        r"\b(?:load|towels?|washing)\b",
    ),
    _deed(
        "turns a part by hand",
        "turn look listen feel part_on part_off mend clean measure_dead lead_off lead_on uncover",
        _CUT,
        r"\b(?:turn|spin|rotate|revolve)\b[^.;]{0,20}\b(?:drum|pulley|fan|motor|shaft|impeller|roller|"
        r"blades?)\b(?! (?:to|on)\b)",
        r"\b(?:selector|knob|watch)\b",
    ),
    _deed(
        "moves the machine",
        "move ask",
        _CUT,
        r"\b(?:pull|push|bring|slide|move|drag|walk|haul|lift|tilt|carry|shift|tip|lean)~\b[^.;]{0,12}"
        r"\b(?:machine|appliance)\b[^.;]{0,25}\b(?:out|forward|back|away|off|over|from|aside|indoors|onto|on its)\b"
        r"|\b(?:pull|push|bring|slide|move|drag|walk|haul|lift|tilt|carry|shift|tip)~ (?:it|the \w+) (?:\w+ "
        r")?(?:from|off|to|"
        r"against|onto) the (?:wall|worktop|floor|corner|niche|cupboard|units?)\b|\b(?:pull|drag|push|tilt|"
        r"lift|move|bring|tip|walk) it (?:forward|out from|away from|out far|over on|off the wall)\b",
        r"\bhose off\b|\b(?:hose|lead|duct|filter|panel|plug)\b[^.;]{0,10}\boff the\b|\boff the back of\b",
        told=True,
    ),
    _deed("uses a vacuum cleaner", "vacuum", _ALL_NEEDS, r"\b(?:vacuum|hoover)(?:ing)?\b"),
    _deed(
        "discharges a capacitor",
        "discharge",
        _OPEN,
        r"\bdischarge (?:it|them|the|its|every|each)\b",
    ),
    _deed(
        "pours water into it",
        "pour",
        _CUT,
        r"\b(?:pour|tip|spray|hose)~\b[^.;]{0,30}\b(?:into|in|over|onto|through)\b[^.;]{0,15}\b(?:sump|"
        r"machine|drum|motor|"
        r"cabinet|tray|base)\b",
        r"\b(?:pour|tip)~ (?:out|away)\b",
    ),
)
"""Deeds that are right under some acts and in some accesses."""

BEHIND_A_COVER = "works on a part behind a cover"
_WORK_ON_PARTS = frozenset("part_off part_on mend clean vacuum lead_off lead_on turn measure_dead".split())
_CHANGES = re.compile(
    rf"\b(?:tak|remov|replac|renew|fit|pull|disconnect|unscrew|undo|chang|swap|tighten|loosen|solder|"
    rf"touch(?! nothing)|clean|brush)~\b"
    rf"[^.;]{{0,25}}\b{_INSIDE}\b".replace("~", _FORMS),
    re.IGNORECASE,
)
_INSIDE_WORD = re.compile(rf"\b{_INSIDE}\b", re.IGNORECASE)
_JOINS_TWO = re.compile(r"\b(?:its|their|both|the two|two)\b", re.IGNORECASE)
_DONE_BEFORE = re.compile(r"\bbefore\b[^.;,]*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Found:
    """A sentence and what it does."""

    sentence: str
    deed: Deed


def never_right(text: str, subject: str = "") -> Found | None:
    """The first sentence that does what is never right, or None. subject: all that the item says."""
    for sentence in sentences(text):
        for found in _never_in(sentence):
            if found.deed is not NEVER[0] or _about_a_device(sentence, subject):
                return found
    return None


@lru_cache(maxsize=KEPT)
def _never_in(sentence: str) -> tuple[Found, ...]:
    small = sentence.casefold()
    return tuple(
        Found(sentence, deed)
        for deed in NEVER
        if deed.pattern.search(small) and any(not denied(small, at) for at in _places(deed, small))
    )


def _about_a_device(sentence: str, subject: str) -> bool:
    if DEVICE.search(sentence) and "earth" not in sentence.lower():
        return True
    return DEVICE.search(subject) is not None and _JOINS_TWO.search(sentence) is not None


def _places(deed: Deed, sentence: str) -> Iterator[int]:
    """Where a sentence in small letters does it."""
    if deed.unless is None or not deed.unless.search(sentence):
        yield from (found.start() for found in deed.pattern.finditer(sentence))


def against_act(text: str, act: str, need: Need) -> Found | None:
    """The first sentence whose words do what a step of this act, in this access, must not do; or None."""
    for found in deeds_in(text):
        if act not in found.deed.acts:
            return found
        if need not in found.deed.needs and not (act in _TELLING and _is_told(found, need)):
            return found
    if need is not Need.OPEN_DEAD and act not in _TELLING:
        return _against_access(text, act, need)
    return None


def against_need(text: str, need: Need) -> Found | None:
    """The first sentence that does what no step shown with this access may do, whatever its act; or None."""
    here = [act for act in ACTS if allowed(act, need)]
    for found in deeds_in(text):
        right = need in found.deed.needs and any(act in found.deed.acts for act in here)
        if not right and not _is_told(found, need):
            return found
    if need in (Need.OPEN_DEAD, Need.ANYWHERE):
        return None
    metered = any(found.deed.says == _METER_ON for found in deeds_in(text))
    return _against_access(text, "measure_dead" if metered else "handle", need)


_TELLS = re.compile(
    r"\b(?:tell|ask|advise|explain|warn|show|customer|them|they|write|compare|count|share|add up|whether|"
    r"hand over)\b",
    re.IGNORECASE,
)


def _is_told(found: Found, need: Need) -> bool:
    """Whether a sentence speaks of it for another time: people are told of it, or it is written down."""
    if not found.deed.told or need in _CUT:
        return False
    return _TELLS.search(found.sentence) is not None


def _against_access(text: str, act: str, need: Need) -> Found | None:
    """What belongs behind a cover, in a step that is shown with the covers on."""
    for says, sentence in (
        ("takes off a cover", opening(text)),
        ("puts probes on electrical parts", probing(text) if need is not Need.ISOLATED else None),
        ("measures inside the machine", probing_inside(text) if act != "measure_running" else None),
    ):
        if sentence is not None:
            return Found(sentence, Deed(says, _ALL_ACTS, _OPEN, _CHANGES))
    for sentence in sentences(text):
        inside = _INSIDE_WORD if act in _WORK_ON_PARTS else _CHANGES
        found = inside.search(sentence)
        if found is not None and not denied(sentence, found.start()):
            return Found(sentence, Deed(BEHIND_A_COVER, _ALL_ACTS, _OPEN, _CHANGES))
    return None


def deeds_in(text: str) -> Iterator[Found]:
    """Everything that a text does, sentence by sentence, as far as its words are known."""
    for sentence in sentences(text):
        yield from _done_in(sentence)
    sentence_open = open_and_running(text)
    if sentence_open is not None:
        yield Found(sentence_open, _OPEN_AND_RUNNING)


@lru_cache(maxsize=KEPT)
def _done_in(sentence: str) -> tuple[Found, ...]:
    small = sentence.casefold()
    return tuple(
        Found(sentence, deed)
        for deed in DEEDS
        if deed.pattern.search(small)
        and any(not denied(small, at) and not _DONE_BEFORE.search(small[:at]) for at in _places(deed, small))
    )


_OPEN_AND_RUNNING = Deed("works on an open, live machine", frozenset(), frozenset(), _CHANGES)
