"""One line about the machine as people write it: 'condenser 230V 2500W class 1 R290'.

Names with values, choices that only one fact has, figures with a unit that only one plate fact has, in any order,
parted by blanks, commas or `;`. What fits nothing, or more than one thing, is refused with its name: of a line with
a piece that is nothing nothing is taken.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from faultfinder.dialogue.hearing.free_text import in_symbols
from faultfinder.dialogue.hearing.names import could_be, fact_and_value
from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Fact, Pack
from faultfinder.reasoning.evidence.facts import possible, quantity_of_unit, read_fact
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of
from faultfinder.trade.readings.reading import quantities_of
from faultfinder.trade.refrigerants import burns

MOST_WORDS = 8
"""Words in one piece; chosen."""
_FILLER = frozenset(
    "a an the and it is its it's with on of for by in at my this that rated rating plate type machine model about "
    "says say has got one unit kind fitted rest know dont don't heater only single-phase just normal ordinary "
    "standard regular usual simple built-in built socket label sticker drier think i".split()
)
_PLUGGED = ("plugged", "plugged in", "plug in", "plugged into a socket", "13a plug")
_NO_IDEA = re.compile(r"\bno idea\b(?: (?:of|about) the rest)?", re.IGNORECASE)
_IN_A_SOCKET = re.compile(
    r"\b(?:plugged |goes |plugs )?(?:in|into|to) (?:a|the) (?:normal |ordinary |wall )?(?:13 ?a(?:mps?)? )?(?:wall )?"
    r"(?:socket|outlet)\b",
    re.IGNORECASE,
)
"""How people say that it has a plug; the amps are the socket's, and none of the machine's."""
_EARTH = {
    **dict.fromkeys(("earthed", "grounded", "with earth"), "class_i"),
    **dict.fromkeys(("double insulated", "no earth", "square in square"), "class_ii"),
}
_ROMAN = {"1": "i", "i": "i", "one": "i", "2": "ii", "ii": "ii", "two": "ii"}
_NOT_NEEDED = re.compile(r"[0-9.]+ ?(hz|rpm|kwh|db|l)", re.IGNORECASE)
"""What stands on plates and no fact asks for."""
_OFTEN = re.compile(
    r"\b(?:about |around |some )?([0-9]+(?:\.[0-9]+)?) ?(?:[a-z]+ )?(?:an?|per|each|every) ([a-z]+)\b", re.I
)
_NO_CHOICE = ("none", "nothing", "other", "unknown", "yes", "no", "one", "two", "three")
"""Choices that mean no one fact when they stand alone."""


class NotAFact(FaultFinderError):
    """A piece of the line that is no fact, or may be two. Nothing of the line is taken."""

    def __init__(self, piece: str, message: str = "") -> None:
        super().__init__(message or say("machine_piece", text=piece[:40]))
        self.piece = piece
        self.meant = bool(message)


@dataclass(frozen=True, slots=True)
class MachineLine:
    """What a line says: fact -> value as typed; what was passed over as not needed; how a slip was read."""

    facts: Mapping[str, str]
    beside: tuple[str, ...] = ()
    read_as: tuple[tuple[str, str], ...] = ()


def read_machine_line(
    pack: Pack, known: Mapping[str, object], line: str, first: Fact | None = None
) -> MachineLine:
    """The facts of one line. `known`: what is known already; `first`: the fact whose choices were numbered. Raises
    NotAFact for what is none."""
    out: dict[str, str] = {}
    beside: list[str] = []
    read_as: list[tuple[str, str]] = []
    late: list[list[str]] = []
    line = _a_week(pack, line, out)
    line = _NO_IDEA.sub(" ", _IN_A_SOCKET.sub(" plugged ", line))
    for words in _pieces(in_symbols(line)):
        place = 0
        while place < len(words):
            rest = words[place:]
            size = _named(pack, rest, out) or _choice(pack, {**known, **out}, rest, out, read_as, first)
            if size == 0:
                _named(pack, rest, out, insist=True)
                late.append(words[place : place + 2])
                size = 1
            place += size
    # Which watts are meant hangs on the type, wherever in the line that stands.
    places = iter(late)
    for word, *behind in places:
        joined = " ".join((word, *behind)) if behind and _figure(word) and not _figure(behind[0]) else ""
        if joined and quantities_of(joined) and not quantities_of(word):
            word = joined
            next(places, None)  # the unit, which is no word of its own
        if _figure(word):
            _figures(pack, {**known, **out}, word, out, beside)
        elif not _fills(pack, word):
            raise NotAFact(word)
    return MachineLine(out, tuple(beside), tuple(read_as))


def _a_week(pack: Pack, line: str, out: dict[str, str]) -> str:
    """'5 loads a week' kept as the one fact that is a number of times in such a span; the line without it."""
    if (found := _OFTEN.search(line)) is None:
        return line
    ending = f"_a_{found[2].casefold()}"
    times = [fact for fact in pack.facts.values() if fact.kind == "number" and fact.id.endswith(ending)]
    if len(times) != 1:
        return line
    _keep(out, times[0], found[1])
    return f"{line[: found.start()]} {line[found.end() :]}"


def _pieces(line: str) -> list[list[str]]:
    return [words for piece in re.split(r"[;,]\s+|;|,(?![0-9])", line) if (words := piece.split())]


def _figure(word: str) -> bool:
    return word[:1].isdigit()


def _fills(pack: Pack, word: str) -> bool:
    plain = word.casefold().strip(".:!")
    title = f"{pack.title} {pack.name}".casefold().replace("_", " ").split()
    return plain in _FILLER or not plain or plain in title


def _keep(out: dict[str, str], fact: Fact, value: str) -> None:
    read_fact(fact, value)
    if out.get(fact.id, value) != value:
        raise NotAFact(value, say("machine_twice", name=name_of(fact.id), one=out[fact.id], other=value))
    out[fact.id] = value


# -- choices --------------------------------------------------------------------------------------------


def _choice(
    pack: Pack,
    known: Mapping[str, object],
    words: Sequence[str],
    out: dict[str, str],
    read_as: list[tuple[str, str]],
    first: Fact | None,
) -> int:
    """How many words at the beginning are a choice that only one fact has; 0 for none."""
    alone = len(words) == 1 or not quantities_of(f"{words[0]} {words[1]}")
    if first is not None and re.fullmatch("[1-9]", words[0]) and alone and not out:
        choices = list(first.choices)
        if 1 <= int(words[0]) <= len(choices):
            _keep(out, first, choices[int(words[0]) - 1])
            return 1
    if first is not None and first.id not in out and len(words) == 1 and _plain(words) in first.choices:
        _keep(out, first, _plain(words))
        return 1
    table = _by_words(pack, known)
    for size in range(min(len(words), 4), 0, -1):
        text = _plain(words[:size])
        for fact, choice in _special(pack, text):
            _keep(out, fact, choice)
            return size
        having = table.get(text, set())
        if len(having) > 1:
            names = ", ".join(sorted(name_of(name) for name, _ in having))
            raise NotAFact(text, say("machine_which", text=text, names=names))
        for name, choice in having:
            _keep(out, pack.facts[name], choice)
            return size
    return _misspelt_choice(pack, table, words, out, read_as)


def _misspelt_choice(
    pack: Pack,
    table: Mapping[str, set[tuple[str, str]]],
    words: Sequence[str],
    out: dict[str, str],
    read_as: list[tuple[str, str]],
) -> int:
    """A slip in a choice's word: read as the nearest one, which is told."""
    for size in (2, 1):
        text = _plain(words[:size])
        if len(words) < size or len(text) < 5 or any(char.isdigit() for char in text) or _fills(pack, text):
            continue
        if any(part.startswith(_plain(words[:1])) for fact in pack.facts for part in fact.split("_")):
            continue  # it begins the name of a fact
        near = get_close_matches(text, [each for each in table if len(each) >= 5], n=2, cutoff=0.8)
        meant = {pair for each in near[:1] for pair in table[each]}
        if len(meant) == 1:
            ((name, choice),) = meant
            _keep(out, pack.facts[name], choice)
            read_as.append((" ".join(words[:size]), name_of(choice)))
            return size
    return 0


def _by_words(pack: Pack, known: Mapping[str, object]) -> dict[str, set[tuple[str, str]]]:
    """Words -> (fact, choice) that may be meant by them: the choice's id, and how its text begins."""
    table: dict[str, set[tuple[str, str]]] = {}
    for fact in pack.facts.values():
        if not possible(fact.applies, {name: str(value) for name, value in known.items()}):
            continue
        for choice, text in fact.choices.items():
            head = re.split(r"[(,]", text)[0]
            forms = {_plain(choice.split("_")), _plain(head.split())}
            forms -= {*_NO_CHOICE, *(_plain([word]) for word in _NO_CHOICE)}
            forms |= {_plain(re.sub(r"^(by|with|a|an)\s+(a |an )?", "", head.casefold()).split())}
            for form in forms:
                if len(form) > 2 and form not in _NO_CHOICE:
                    table.setdefault(form, set()).add((fact.id, choice))
    return table


def _special(pack: Pack, text: str) -> Iterable[tuple[Fact, str]]:
    """What words say of the facts that the program itself reads: class 1, double insulated, R290."""
    protection, refrigerant = pack.facts.get("protection"), pack.facts.get("refrigerant")
    connection = pack.facts.get("connection")
    if connection is not None and "plug" in connection.choices and text in _PLUGGED:
        yield connection, "plug"
    if protection is not None:
        found = re.fullmatch(r"(?:protection )?(?:class|clas|klass|cl) ?([a-z0-9]+)", text)
        if choice := f"class_{_ROMAN[found[1]]}" if found and found[1] in _ROMAN else _EARTH.get(text):
            yield protection, choice
    if refrigerant is not None and (flame := burns(text)) is not None:
        yield refrigerant, "flammable" if flame else "not_flammable"


def _plain(words: Sequence[str]) -> str:
    return " ".join(word.casefold().strip(".:!'\"") for word in words).replace("-", " ").replace("_", " ")


# -- figures and names ----------------------------------------------------------------------------------


def _named(pack: Pack, words: Sequence[str], out: dict[str, str], insist: bool = False) -> int:
    """How many words at the beginning are a fact's name and its value; 0 for none. `insist`: a name with a figure
    that it cannot have is told."""
    if _figure(words[0]):
        return 0
    problem: FaultFinderError | None = None
    if len(words) > 1 and (turned := _turned(pack, words)) is not None:
        _keep(out, *turned)
        return 2
    for size in range(min(len(words), MOST_WORDS), 1, -1):
        piece = " ".join(words[:size])
        ways = [fact_and_value(pack.facts, text) for text in (piece, _respelled(pack, words[:size]))]
        fits = [way for way in ways if way is not None]
        if not fits:
            continue
        name, value = next((way for way in fits if could_be(pack.facts[way[0]], way[1])), fits[0])
        fact = pack.facts[name]
        if fact.unit == "ohm" and not re.search(r"ohms?\b|mark|r25", piece[: -len(value)].casefold()):
            continue  # what is measured, unless it is said to be marked
        value = _as_choice(fact, value)
        if could_be(fact, value):
            _keep(out, fact, value)
            return size
        if _figure(value) or size - len(value.split()) > 1:
            # Named beyond doubt, and a value that it cannot have.
            try:
                read_fact(fact, value)
            except FaultFinderError as each:
                problem = problem or NotAFact(piece, str(each).replace(name, name_of(name)))
    if insist and problem is not None:
        raise problem
    return 0


def _turned(pack: Pack, words: Sequence[str]) -> tuple[Fact, str] | None:
    """A choice before the name of its fact ('electronic control', 'two sections'), or a name of two words that stands
    for yes ('drain kit')."""
    choice, name = _plain(words[:1]).replace(" ", "_"), _plain(words[1:2])
    for fact in pack.facts.values():
        if fact.id.split("_")[-1] == name and choice in fact.choices and choice not in ("yes", "no"):
            return fact, choice
        if sorted(fact.choices) == ["no", "yes"] and fact.id == "_".join((choice, name)):
            if len(words) < 3 or _plain(words[2:3]) not in ("yes", "no"):
                return fact, "yes"
    return None


def _as_choice(fact: Fact, value: str) -> str:
    if fact.kind != "choice":
        return value
    plain = _plain(value.split()).replace(" ", "_")
    fits = [choice for choice in fact.choices if choice == plain] or [
        choice for choice in fact.choices if len(plain) > 1 and choice.startswith(plain)
    ]
    near = get_close_matches(plain, fact.choices, n=1, cutoff=0.8) if not fits and len(plain) > 3 else []
    return (fits or near or [value])[0] if len(fits) < 2 else value


def _respelled(pack: Pack, words: Sequence[str]) -> str:
    """The words with slips in the names of facts put right ('total wats 2400')."""
    names = sorted({part for fact in pack.facts for part in fact.split("_") if len(part) > 3})
    out = []
    for word in words:
        plain = word.casefold()
        near: list[str] = []
        if len(plain) > 3 and plain.isalpha() and not any(name.startswith(plain) for name in names):
            near = get_close_matches(plain, names, n=1, cutoff=0.8)
        out.append(near[0] if near else word)
    return " ".join(out)


def _figures(
    pack: Pack, known: Mapping[str, object], text: str, out: dict[str, str], beside: list[str]
) -> None:
    """A figure with its unit, for the one plate fact that has that unit."""
    having = _having(pack, known, text)
    if len(having) == 1:
        _keep(out, having[0], text)
    elif not having and _NOT_NEEDED.fullmatch(text):
        beside.append(text)
    elif having:
        names = ", ".join(name_of(fact.id) for fact in having[:6])
        raise NotAFact(text, say("machine_which", text=text, names=names))
    elif not quantities_of(text):
        raise NotAFact(text, say("machine_unit", text=text))
    else:
        raise NotAFact(text)


def _having(pack: Pack, known: Mapping[str, object], text: str) -> list[Fact]:
    """The facts whose unit a figure has: those on the plate, else any."""
    fitting, as_text = quantities_of(text), {name: str(value) for name, value in known.items()}
    facts = [
        fact
        for fact in pack.facts.values()
        if fact.kind == "number" and fact.unit and quantity_of_unit(fact.unit) in fitting
    ]
    facts = [fact for fact in facts if possible(fact.applies, as_text)]
    facts = [fact for fact in facts if could_be(fact, text)] or facts
    plate = [fact for fact in facts if "plate" in fact.where.casefold()]
    return plate or facts
