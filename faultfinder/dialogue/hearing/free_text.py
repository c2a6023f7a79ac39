"""What people mean who do not type a name and an answer: 'pulls 7 amps on high', 'belt snapped', 'no air', 'its ok'.

Every word of a line must be accounted for: by the name of one observation, by one of its answers, or as a word that
says nothing. Words of one meaning stand together in MEANINGS; they are plain English and name no machine. Where two
observations or two answers fit about as well nothing is taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from faultfinder.dialogue.hearing.complaint_words import stem
from faultfinder.dialogue.hearing.names import asks_if, is_over, quantity_of, why_not
from faultfinder.knowledge.model import Observation
from faultfinder.trade.readings.reading import quantities_of
from faultfinder.trade.readings.spoken import in_figures

FILLER = frozenset(
    "a an the is are was were its it's it he she they that this there theres of on in at to by from with my our your "
    "and reads reading read says say said shows showing show measures measured measure got get gets about around "
    "roughly pulls pulling draws drawing draw pull took takes take still just very quite now then only again looks "
    "look seems does do did done me i we have has had all under over fitted test tested value side like one "
    "completely totally fully really badly properly pretty bit slightly".split()
)
"""Words that say nothing of what was found."""
STRESS = frozenset(
    "any anything coming comes out as think reckon guess mate boss pal bloody damn flipping fucking hell proper "
    "solid absolutely utterly too brand".split()
)
"""Words that say nothing more where an answer to what is asked is told; of other things they may."""
GENERIC = frozenset("seen look felt heard reported resistance reading test continuity by hand trial".split())
"""Words of names that people leave out."""
MEANINGS: tuple[frozenset[str], ...] = tuple(
    frozenset(words.split())
    for words in (
        "clogged blocked choked packed full thick furred stuffed bunged rammed crammed matted loads",
        "broken snapped gone split parted bust busted",
        "worn flat perished glazed frayed knackered",
        "locked seized stuck jammed solid",
        "stiff heavy tight hard",
        "loose slack floppy wobbly wobbles wobbling",
        "burnt browned scorched brown charred melted blackened",
        "crushed squashed kinked flattened bent flat squished pancake",
        "torn ripped rip hole holed tear split cut slit",
        "weak low faint feeble poor little hardly barely pathetic breath",
        "strong plenty lots powerful gale",
        "stands sits",
        "none nothing dead no zero nil zilch nada",
        "silent quiet still",
        "wet damp soaked",
        "coated filmed greasy dirty waxy film",
        "fouled slimy slime gunge",
        "rough grating gritty grinding rumbles rumbling",
        "free freely loosely easily",
        "open oc broken",
        "hums humming hum buzzes buzzing",
        "hot roasting boiling baking scorching toasty",
        "warm lukewarm tepid",
        "amps amp current",
        "watts watt power",
        "temp temperature degrees",
        "volts volt voltage supply",
        "cap capacitor",
        "yes yep yeah always often",
        "no never nope not",
        "clicked clicks click",
        "fluff dust lint fluffy dusty",
        "stat thermostat",
        "ntc thermistor",
        "hi high",
        "lo low",
        "heater element",
        "path continuity",
    )
)
_WRONG = frozenset("clogged broken worn locked stiff loose burnt crushed wet coated rough".split())
DEFECTS = frozenset().union(*(group for group in MEANINGS if group & _WRONG))
"""Words of names that say what is wrong with a part."""
GOOD = frozenset(
    "ok okay good fine sound alright normal healthy perfect right well clean clear whole spotless immaculate".split()
)
"""Words for the healthy answer, whatever it is called."""
VERBS_DENIED = frozenset("doesn't doesnt don't dont didn't didnt won't wont".split())
NEGATING = VERBS_DENIED | frozenset(
    "not no isn't isnt wasn't wasnt never without aren't arent nothing none hasn't hasnt haven't havent".split()
)
IN_WORDS = 2.0
"""By how much what is told in words is likelier a look than a reading: 'air weak at the outlet'; chosen."""
CLEARLY = 1.0
"""By how much the best fit must be ahead of the next; chosen."""
SLIP = 0.82
"""Likeness from which a misspelt word is the same; chosen."""


@dataclass(frozen=True, slots=True)
class Meant:
    """An observation and an answer to it, as a line seems to mean them. fit: how well."""

    item: Observation
    answer: str
    fit: float


def words_of(text: str) -> list[str]:
    """The words of a text in small letters, apostrophes kept."""
    return re.findall(r"[^\W_]+(?:'[^\W_]+)?", text.casefold().replace("\u2019", "'"))


def meaning_of(word: str) -> frozenset[str]:
    """The words of one meaning with this one, itself included."""
    found = [group for group in MEANINGS if word in group]
    return frozenset({word}).union(*found)


def _without_stress(words: list[str]) -> list[str]:
    """'blocked solid' without the word that only stresses the one before it."""
    return words[:-1] if len(words) > 1 and words[-1] == "solid" else words


def answer_of(item: Observation, line: str) -> str:
    """The answer to what is asked that a line means, every word accounted for; empty for none or for doubt."""
    if is_question(line):
        return ""
    heard = [word for word in words_of(_in_plain_words(line)) if word not in FILLER]
    words = [word for word in heard if word not in STRESS] or heard
    if not words or any(word[:1].isdigit() for word in words):
        return ""
    if all(word in YES_OR_NO for word in words):
        return _yes_or_no(item, words[0]) if len(words) == 1 else ""
    own = _vocabulary(item)
    plain = [word for word in words if word not in NEGATING]
    if plain and len(plain) < len(words):
        return _denied(item, plain, own)
    answers = {part for answer in item.answers for part in answer.id.split("_")}
    left = [word for word in words if word in answers or not _in(word, own)] or words
    fits = [each.id for each in item.answers if all(_says(item, each.id, word) for word in left)]
    # 'Clean of fluff, but filmed' holds the word as well: the answer that is called so comes first.
    called = [name for name in fits if set(left) <= set(name.split("_"))]
    fits = called or [name for name in fits if all(_called(name, word) for word in left)] or fits
    if not fits and asks_if(item) and _is_so(item, words, own):
        return "yes"
    return fits[0] if len(fits) == 1 else ""


_ASKED = re.compile(
    r"(?:is|are|was|does|do|did|can|should|could|has|have) (?:it|they|this|that|the|i|you|we|there)\b",
    re.IGNORECASE,
)


def is_question(line: str) -> bool:
    """Whether a line asks, and tells nothing: 'done?', 'is it clogged'."""
    return line.rstrip().endswith("?") or _ASKED.match(line.strip()) is not None


def _is_so(item: Observation, words: Sequence[str], own: frozenset[str]) -> bool:
    """Whether words only name what it is asked about as being so: 'rammed' where the drum may be packed, or the very
    words of a customer for it."""
    wrong = [word for word in item.id.split("_") if word in DEFECTS]
    told = any([word for word in words_of(said) if word not in FILLER] == list(words) for said in item.said)
    return told or (
        all(_in(word, own) for word in words)
        and any(same_word(each, word) for each in wrong for word in words)
    )


_PLAINER = tuple(
    (re.compile(pattern, re.IGNORECASE), plain)
    for pattern, plain in (
        (r"\bnot (?:(?:very|that|so|too) )?(?:much|a lot)\b", "little"),
        (r"\b(?:nowt|nuffin|not a thing|(?:sod|bugger|fuck) all)\b", "nothing"),
        (
            r"\b(?:can'?t|cannot|couldn'?t) (?:smell|hear|feel|see|find|spot) (?:any(?:thing)?\b|an? (?!thing\b))",
            "no ",
        ),
        (r"\bstone[- ]cold\b", "cold"),
        (r"\bpacked (?:it in|up)\b", "died"),
    )
)


def _in_plain_words(line: str) -> str:
    """What people say in several words, in the one that stands in the tables."""
    for pattern, plain in _PLAINER:
        line = pattern.sub(plain, line.replace("\u2019", "'"))
    return line


NO, YES = frozenset("no nope nah".split()), frozenset("yes yep yeah aye y".split())
NOTHING, HOW_OFTEN = frozenset("none nothing".split()), frozenset("never always often".split())
YES_OR_NO = NO | YES | NOTHING | HOW_OFTEN | {"not"}
"""Words that answer only what is asked with yes and no, or what has an answer of that very word."""
ASKS_YES_OR_NO = frozenset("is are was were does do did has have can will".split())
"""First words of such questions."""


def _yes_or_no(item: Observation, word: str) -> str:
    """The answer that a bare yes or no is: to 'Is the duct clear?' yes is 'clear', and no the other of two. Empty
    where the question is none of that kind: 'no' to 'How does it turn?' says nothing."""
    ids = [answer.id for answer in item.answers]
    if asks_if(item):
        return "yes" if word in YES or word in ("always", "often") else "no"
    if word in NOTHING and "none" in ids:
        return "none"
    if word in NOTHING | HOW_OFTEN:
        return _by_its_text(item, word)
    asked = words_of(item.ask)
    if asked[0] not in ASKS_YES_OR_NO or word == "not":
        return ""
    if word in NO and "none" in ids:
        return "none"
    named = [
        name for name in ids if all(any(same_word(part, each) for each in asked) for part in name.split("_"))
    ]
    if len(ids) != 2 or len(named) != 1:
        return ""
    yes, no = sorted(ids, key=lambda name: name not in named)
    return yes if word in YES else no


def _by_its_text(item: Observation, word: str) -> str:
    """The one answer whose text begins with 'nothing', or has the very 'never' in it; empty for none."""
    words = None if word in HOW_OFTEN else 1
    fits = [each.id for each in item.answers if word == each.id or word in words_of(each.text)[:words]]
    return fits[0] if len(fits) == 1 else ""


def _called(name: str, word: str) -> bool:
    """Whether a name has a word: 'humming' is the answer 'hums', whatever else hums in the texts of others."""
    return _in(word, name.split("_"))


def _denied(item: Observation, rest: Sequence[str], own: frozenset[str]) -> str:
    """'no air', 'not crushed': the answer for its absence, where there is one such answer."""
    ids = [answer.id for answer in item.answers]
    saying = [each.id for each in item.answers if NEGATING & set(words_of(each.text))]
    as_told = [
        name
        for name in saying
        # 'not torn' is not 'Torn, or no filter': what the answer itself is called is denied then
        if all(_says(item, name, word) and not _called(name, word) for word in rest)
    ]
    if len(as_told) == 1 and not asks_if(item):
        return as_told[0]
    if not all(_in(word, own) for word in rest) or GENERIC.issuperset(rest):
        return ""  # 'not seen' may be what nobody looked at yet
    if len(ids) > 2 and any(_called(answer, word) for answer in ids for word in rest):
        return ""  # 'not strong' may be weak, or none at all
    return "none" if "none" in ids else "no" if asks_if(item) else ""


def meant(known: Sequence[Observation], piece: str, quantity: str = "") -> list[Meant]:
    """What a piece may mean, the best first; several where it is in doubt, none where a word is left over. quantity:
    of what is being read, which a bare figure is one of where it can be."""
    value, words = _value_and_words(_in_plain_words(piece))
    words = _without_stress([word for word in words if word not in FILLER])
    found = [_reading(item, value, words) if value else _finding(item, words) for item in known]
    out = [each for each in found if each is not None]
    if quantity:
        out = [each for each in out if quantity_of(each.item) == quantity] or out
    out.sort(key=lambda each: -each.fit)
    return [each for each in out if each.fit > out[0].fit - CLEARLY]


def certain(item: Observation, piece: str) -> bool:
    """Whether every word of an observation's name that tells it from others is in a piece."""
    words, value = words_of(piece), _value_and_words(piece)[0]
    whole = {each for each in item.id.split("_") if each not in GENERIC and len(each) > 2}
    if value and quantity_of(item) in quantities_of(value):
        whole -= _MEASURED.get(quantity_of(item), set())  # its own unit says it: '10.2A high' is the current
    if not GOOD.isdisjoint(words) and asks_if(item):
        whole -= DEFECTS  # 'flap ok': the name says what is wrong with the flap
    return bool(whole) and all(_in(each, words) for each in whole)


_MEASURED = {
    "current": {"current"},
    "power": {"power", "watts"},
    "voltage": {"volts"},
    "temperature": {"temperature"},
    "time": {"minutes"},
}
"""Words of names that say only what is measured."""


def beside_what_is_asked(item: Observation, asked: Observation, piece: str) -> bool:
    """Whether a piece has all that tells one observation from the other that is asked: 'low 4.2' while the current on
    high is asked."""
    other = [each for each in item.id.split("_") if each not in asked.id.split("_") and each not in GENERIC]
    return bool(other) and all(_in(each, words_of(piece)) for each in other)


def bare_value(piece: str) -> str:
    """The figure of a piece that says nothing beside it: 'reads 6.9 amps' is 6.9 A; empty where it says more."""
    value, words = _value_and_words(_in_plain_words(piece))
    beside = (FILLER | INSTRUMENTS) - {"on", "under", "over"}
    return value if value != piece.strip() and set(words) <= beside else ""


INSTRUMENTS = frozenset("meter multimeter clamp dmm dvm somewhere round both times".split())
"""Words beside a figure that tell where it stands, and name nothing that is measured."""
_DOWN_TO = re.compile(
    r"^(?:it |that |this )?(?:(?:must be|comes to|(?:pull|drag)s? it (?:down |up )?to) (?=[0-9])|"
    r"(?:drop|fall|fell|go|goe|went|sag|come|came|ris|rose|climb|sink|sank|down|up|settl|stay)\w* "
    r"(?:down |up )?(?:to|at) (?=[0-9<>]))|^(?:ohms?|volts?|amps?|watts?)\s*[:=]\s*(?=[0-9])"
    r"|(?<=[0-9a-z]) on (?:the|my) (?:clamp|meter|display|screen|multimeter)$",
    re.IGNORECASE,
)


def as_read(item: Observation, line: str) -> str:
    """A reading of this observation that is said in words ('twenty two ohms', 'drops to 218', 'its open') as it is
    written; any other line as it is."""
    if is_question(line) or re.search(r"\b(?:and|or|point)\s*$", line, re.IGNORECASE):
        return line  # asked, or broken off in the middle of a number
    spoken = _DOWN_TO.sub("", in_figures(line))
    bare = re.sub(r"^(?:it'?s|it is|reads?|shows?|says?|meter (?:says|shows|reads))\s+(?=\D)", "", spoken)
    for said in (unhedged(spoken), bare):
        value = bare_value(said) or said
        if value != line and not why_not(item, value) and not any(a.id == line for a in item.answers):
            return value
    return line


_HEDGES = re.compile(
    r"(?:(?:it'?s|it is|reads|about|around|roughly|approx(?:imately|\.)?|nearly|almost|circa|maybe|~)\s*)+(?=[0-9])"
    r"|(?<=[0-9a-z])\s*(?:ish|or so|or thereabouts|i (?:think|guess|reckon)|roughly|maybe|give or take)\s*$",
    re.IGNORECASE,
)


def unhedged(line: str) -> str:
    """A figure without the words that people put round one ('about 50 i think', '50ish'); any other line as it is."""
    bare = _HEDGES.sub("", line.strip())
    return bare if re.match("[0-9]", bare) else line


def _value_and_words(piece: str) -> tuple[str, list[str]]:
    """The one figure of a piece with its unit, and the other words; no figure where there is not just one."""
    tokens = piece.replace("=", " ").split()
    places = [
        n for n, token in enumerate(tokens) if re.match(r"[<>]?[-+]?[0-9.]|ol$|o\.l\.?$", token.casefold())
    ]
    if len(places) != 1:
        return "", words_of(piece)
    place = places[0]
    value, after = tokens[place], place + 1
    if after < len(tokens) and value[-1:].isdigit() and quantities_of(f"{value} {tokens[after]}"):
        value, after = f"{value} {tokens[after]}", after + 1
    elif after < len(tokens) and (unit := UNITS.get(tokens[after].casefold().strip("."))):
        value, after = f"{value} {unit}", after + 1
    return value, words_of(" ".join([*tokens[:place], *tokens[after:]]))


UNITS = {
    **dict.fromkeys(("meg", "megs", "megohm", "megohms"), "Mohm"),
    **dict.fromkeys(("milliohm", "milliohms"), "mohm"),
    **dict.fromkeys(("microfarad", "microfarads", "mfd", "uf", "mike", "mikes"), "uF"),
    **dict.fromkeys(("amp", "amps", "ampere"), "A"),
    **dict.fromkeys(("watt", "watts"), "W"),
    **dict.fromkeys(("volt", "volts"), "V"),
    **dict.fromkeys(("degrees", "degree", "deg", "celsius", "degc"), "C"),
    **dict.fromkeys(("minutes", "mins", "minute"), "min"),
    **dict.fromkeys(("kilos", "kilo", "kilograms"), "kg"),
    **dict.fromkeys(("kilowatt", "kilowatts"), "kW"),
}
"""Units as they are said."""


def in_symbols(line: str) -> str:
    """The line with the units behind figures as symbols: '2.5 kilowatt' is '2.5 kW'."""

    def symbol(found: re.Match[str]) -> str:
        word = found[2].casefold()
        near = get_close_matches(word, UNITS, n=1, cutoff=SLIP) if len(word) > 3 else []
        return found[1] + (UNITS.get(word) or (UNITS[near[0]] if near else found[2]))

    return re.sub(r"(\b[0-9][0-9.,]* ?)([A-Za-z]{3,})\b", symbol, line)


def _reading(item: Observation, value: str, words: Sequence[str]) -> Meant | None:
    """A reading of this observation, where its unit and every word fit it."""
    over, bare = is_over(value), re.fullmatch(r"[<>]?[-+]?[0-9.,]+", value) is not None
    if item.reading is None or not words or (over and item.reading.quantity in NO_OVER_RANGE):
        return None
    if not bare and not over and item.reading.quantity not in quantities_of(value):
        return None
    fit, text = _name_fit(item, words), "OL" if over else value
    return None if fit is None or why_not(item, text) else Meant(item, text, fit)


NO_OVER_RANGE = frozenset({"current", "voltage", "power"})
"""What no meter shows OL for on an appliance: a clamp or a meter for mains shows a figure."""


def _finding(item: Observation, words: Sequence[str]) -> Meant | None:
    """A finding, where every word is of its name or of one answer."""
    plain = [word for word in words if word not in NEGATING]
    if not plain or any(word[:1].isdigit() for word in words):
        return None
    if len(plain) < len(words):
        return _finding_denied(item, words, plain)
    if asks_if(item):
        fit = _name_fit(item, plain)
        whole = [word for word in item.id.split("_") if word not in GENERIC]
        if fit is not None and all(any(same_word(word, each) for each in plain) for word in whole):
            return Meant(item, "yes", fit)
        return _part_is_good(item, plain, whole)
    best: Meant | None = None
    beside = [word for word in plain if not _called(item.id, word)] or plain
    called = [each for each in item.answers if any(_called(each.id, word) for word in beside)]
    for answer in called or item.answers:
        said = [word for word in plain if _says(item, answer.id, word)]
        name = [word for word in plain if word not in said]
        fit = _name_fit(item, name) if said and name else None
        if fit is not None and best is not None and len(said) == 1:
            return None  # in doubt between two answers
        if fit is not None and best is None:
            best = Meant(item, answer.id, fit - (IN_WORDS if item.reading is not None else 0.0))
    return best


def _finding_denied(item: Observation, words: Sequence[str], plain: Sequence[str]) -> Meant | None:
    """'no lint in the duct', 'drum doesn't turn': the answer for its absence."""
    fit = _name_fit(item, plain)
    negated = [word for word in words if word in NEGATING]
    if item.reading is not None or fit is None or len(negated) > 1:
        return None
    if any(answer.id == "none" for answer in item.answers) and words[0] in NEGATING:
        return Meant(item, "none", fit)
    of_a_look = item.id.split("_")[-1] in GENERIC and words[0] != "no"
    denied = asks_if(item) and (of_a_look or negated[0] in VERBS_DENIED)
    return Meant(item, "no", fit) if denied else None


def _part_is_good(item: Observation, words: Sequence[str], name: Sequence[str]) -> Meant | None:
    """'flap ok' where it is asked whether the flap sticks: the healthy answer to what is called by a part and what is
    wrong with it."""
    part = [word for word in words if word not in GOOD]
    own = [word for word in name if word not in DEFECTS]
    if item.symptom or len(own) == len(name) or len(part) == len(words) or not part or len(part) != len(own):
        return None
    alike = all(same_word(each, word) for each, word in zip(own, part, strict=True))
    return Meant(item, item.healthy, 3.0 * len(part)) if alike else None


def _name_fit(item: Observation, words: Sequence[str]) -> float | None:
    """How well words fit the observation's name; None where one of them fits nowhere."""
    own, others = item.id.split("_"), _vocabulary(item)
    total, used = 0.0, set()
    for word in words:
        if (hit := next((each for each in own if same_word(each, word)), "")) or _in(word, others):
            total += 3.0 if hit else 0.8
            used.add(hit)
        else:
            return None
    missing = [each for each in own if each not in used and each not in GENERIC and len(each) > 2]
    return total - 1.0 * len(missing) if used - {""} else None


def _vocabulary(item: Observation) -> frozenset[str]:
    """The words of its name, its question, and what people say for it."""
    return frozenset((*item.id.split("_"), *words_of(" ".join((item.ask, *item.said)))))


def _in(word: str, words: Iterable[str]) -> bool:
    return any(same_word(each, word) for each in words)


def same_word(one: str, word: str) -> bool:
    """Whether two words are the same but for an ending, a slip, or another word of that meaning."""
    if in_another_form(one, word):
        return True
    if len(word) > 3 and len(one) > 3:
        least = min(len(one), len(word))
        if one[:least] == word[:least] and abs(len(one) - len(word)) <= 3:
            return True
        return len(word) > 4 and bool(get_close_matches(word, [one], n=1, cutoff=SLIP))
    return False


def in_another_form(one: str, word: str) -> bool:
    """Whether two words are the same but for an ending, or have one meaning."""
    return one in meaning_of(word) or _of_one_stem(one, word)


def _of_one_stem(one: str, word: str) -> bool:
    """'rattling', 'rattles'."""
    return len(word) > 3 and len(one) > 3 and stem(one) == stem(word)


def _says(item: Observation, answer: str, word: str) -> bool:
    """Whether a word is one of an answer; 'fine' and its like are the healthy one, where no answer is called so."""
    if _own_word(item, answer, word):
        return True
    healthy = word in GOOD and answer == item.healthy
    return healthy and not any(_own_word(item, each.id, word) for each in item.answers)


ELECTRICAL = frozenset("open oc broken".split())
"""Of one meaning for what is measured only: a tap that is broken is not open."""


def _own_word(item: Observation, answer: str, word: str) -> bool:
    text = next(each.text for each in item.answers if each.id == answer)
    own = {*answer.split("_"), *(each for each in words_of(text) if each not in FILLER and len(each) > 2)}
    meaning = meaning_of(word)
    if item.reading is None and word in ELECTRICAL:
        meaning -= ELECTRICAL
    slip = len(word) > 4 and bool(get_close_matches(word, own, n=1, cutoff=SLIP))
    return slip or word in own or bool(meaning & own) or any(_of_one_stem(each, word) for each in own)
