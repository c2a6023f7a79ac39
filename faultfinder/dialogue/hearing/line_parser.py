"""A line as a technician types it: which observation it is about and what it says.

`high section OL`, `7.4A high`, `outlet weak`: a few letters of the name, and an answer or a reading, in either
order; several parted by `;`. A name matches by the beginnings of its words; where two match equally well the
person is asked which, and nothing is guessed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from faultfinder.dialogue.hearing.free_text import (
    FILLER,
    GENERIC,
    NO_OVER_RANGE,
    answer_of,
    bare_value,
    beside_what_is_asked,
    certain,
    meant,
)
from faultfinder.dialogue.hearing.names import asks_if, is_over, plain_words, quantity_of, respelled, why_not
from faultfinder.dialogue.hearing.spans import span_answer
from faultfinder.knowledge.model import Observation
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of
from faultfinder.trade.readings.reading import quantities_of, split_readings
from faultfinder.trade.readings.units import QUANTITIES, find_unit

NAMES_NOTHING = FILLER.union("no yes not none nothing ok or measure take".split())
"""Words that by themselves name no observation, whatever they are the beginning of."""

NEAR = 0.75
"""Two names whose scores differ by less than this are equally good; chosen."""


@dataclass(frozen=True, slots=True)
class Typed:
    """An observation and the answer to it, both certain enough to take."""

    observation: str
    answer: str


@dataclass(frozen=True, slots=True)
class Which:
    """Several observations fit what was typed: the person chooses. `answer` fits each of them."""

    piece: str
    answer: str
    observations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class NotUnderstood:
    """Nothing fits; `because` says why, when a name fitted but the answer did not."""

    piece: str
    because: str = ""


Piece = Typed | Which | NotUnderstood


def score(observation: Observation, name: Iterable[str]) -> float:
    """How well the typed words fit the observation's name; 0 when any of them fits nowhere."""
    own = plain_words(observation.id)
    others = set(plain_words(" ".join((observation.ask, *observation.said))))
    total, used = 0.0, set()
    for word in name:
        if word in own:
            total += 3.0
            used.add(word)
        elif fits := [w for w in own if w.startswith(word)]:
            total += 2.0
            used.add(fits[0])
        elif fits := [w for w in own if len(word) > 3 and w.endswith(word)]:
            total += 1.2  # 'stat' for thermostat
            used.add(fits[0])
        elif any(w.startswith(word) for w in others):
            total += 0.8
        else:
            return 0.0
    return max(0.01, total - 0.3 * len(set(own) - used)) if total else 0.0


def _splits(tokens: list[str]) -> Iterable[tuple[list[str], str]]:
    """Every way to part the tokens into a name and an answer: the answer at the end or at the beginning; longer
    answers first, so that '33 ohm' is not read as the answer 'ohm'."""
    for size in range(len(tokens), 0, -1):
        yield tokens[:-size], " ".join(tokens[-size:])
        if size < len(tokens):
            yield tokens[size:], " ".join(tokens[:size])


def _joined(tokens: list[str]) -> list[str]:
    """The tokens with a number and the unit behind it as one: '7.4 A' is no '7.4' of something called 'A'."""
    joined: list[str] = []
    for token in tokens:
        number = bool(joined) and joined[-1][-1:].isdigit() and joined[-1][:1] in "0123456789.,+-<>"
        if number and not token[:1].isdigit() and quantities_of(f"{joined[-1]} {token}"):
            joined[-1] += " " + token
        else:
            joined.append(token)
    return joined


def _with_unit(tokens: list[str], known: list[Observation]) -> list[str]:
    """'amps high 7.4' -> 'high 7.4 amps': a unit in words belongs to the only number, where no name has the word."""
    bare = [place for place, token in enumerate(tokens) if token[:1].isdigit() and not quantities_of(token)]
    units = [
        place
        for place, token in enumerate(tokens)
        if len(token) > 2 and token.isalpha() and quantities_of(f"1 {token.casefold()}")
    ]
    if len(bare) != 1 or len(units) != 1:
        return tokens
    unit = tokens[units[0]]
    fitting = (QUANTITIES[name] for name in quantities_of(f"1 {unit}"))
    if all(find_unit(kind, unit) == find_unit(kind, unit.casefold()) for kind in fitting):
        unit = unit.casefold()  # 'Amps' is 'amps', but 'Mohm' and 'mohm' are far apart
    if any(unit.casefold() in plain_words(item.id) for item in known):
        return tokens
    left = [token for place, token in enumerate(tokens) if place not in (bare[0], units[0])]
    return [*left, f"{tokens[bare[0]]} {unit}"]


MOST_WORDS, LONGEST = 12, 200
"""Words and characters of one piece; chosen."""
MOST_AT_ONCE = 24
"""Readings on one line; more is a paste that went wrong. Chosen."""


def read_line(observations: Iterable[Observation], line: str, current: str | None = None) -> list[Piece]:
    """What each part of a typed line says. `current` is the observation being asked about, which a bare reading
    or answer goes to when it fits. Parts stand between `;`; where a part says nothing as it is, between commas and
    'and', or after each figure."""
    known = list(observations)
    pieces = [piece for piece in split_readings(line) if piece.strip()]
    if len(pieces) > MOST_AT_ONCE:
        return [NotUnderstood(line[:60], say("too_many", count=len(pieces), most=MOST_AT_ONCE))]
    return [each for piece in map(_without_condition, pieces) for each in _read(known, piece, current)]


def _read(known: list[Observation], piece: str, current: str | None) -> Sequence[Piece]:
    """What a piece says as it is, else part by part, where each part says something certain."""
    read = read_piece(known, piece, current)
    if isinstance(read, Typed):
        return [read]
    for parts in _parted(piece):
        apart = [read_piece(known, part, current) for part in parts]
        told = [each for each in apart if isinstance(each, Typed)]
        if len(told) == len(apart):
            values: dict[str, str] = {}
            for each in told:
                if values.setdefault(each.observation, each.answer) != each.answer:  # '1 2 3'
                    return [NotUnderstood(piece[:60], say("said_twice", name=name_of(each.observation)))]
            return told
    return [read]


def _by_what_it_is_called(known: list[Observation], piece: str) -> Typed | None:
    """A reading by what people call the part ('thermal fuse open'), where the rest is an answer; None for none."""
    plain = " ".join(piece.casefold().split())
    called = [
        (len(said), item)
        for item in known
        if item.reading is not None
        for said in item.said
        if plain.startswith(f"{said.casefold()} ")
    ]
    longest = max((length for length, _ in called), default=0)
    best = [item for length, item in called if length == longest]
    if len(best) != 1:
        return None
    item, rest = best[0], plain[longest:].strip(" :=")
    value = rest == "ol" or quantities_of(rest) or any(rest == answer.id for answer in item.answers)
    return Typed(item.id, "OL" if rest == "ol" else rest) if value and not why_not(item, rest) else None


def _to_earth(piece: str) -> str:
    """'heater to earth 0.1M' is its insulation; a few ohms to earth are a joint, and no insulation."""
    if "insulation" not in piece.casefold() and _MEGOHMS.search(piece):
        return _EARTHED.sub(" insulation", piece, count=1)
    return piece


_EARTHED = re.compile(r"\s+(?:down )?to (?:earth|ground|case|casing|chassis|metal|body)\b", re.IGNORECASE)
_MEGOHMS = re.compile(r"[0-9]\s*(?:M\b|M\s?(?:ohm|\u03a9)|meg|G\b|gig)|\b(?:mega|gig)ohm", re.IGNORECASE)


def _without_condition(piece: str) -> str:
    """'10k at 25C' without the temperature that it was measured at, which is no reading of its own."""
    bare = re.sub(
        r"\s+(?:at|@)\s*[0-9]+(?:\.[0-9]+)?\s*(?:(?:\u00b0|deg(?:rees)?)\s*c?|c)(?![a-z])",
        "",
        piece,
        flags=re.IGNORECASE,
    )
    return bare if re.search(r"[0-9]|\bol\b", bare, re.IGNORECASE) and bare.strip() else piece


def _parted(piece: str) -> list[list[str]]:
    """The ways to part a piece that is no one thing: at commas and 'and', else behind each figure."""
    ways = []
    parts = [part.strip() for part in re.split(r",\s+|\s+and\s+|\s+&\s+|\s+\+\s+", piece) if part.strip()]
    if len(parts) > 1:
        ways.append(parts)
    figure = r"(?:[0-9]+,[0-9]+[^\s,;]*|[0-9][^\s,;]*|\bOL\b)"
    behind = [part.strip() for part in re.findall(rf".*?{figure}(?=\s|$)", piece, re.IGNORECASE)]
    if len(behind) > 1 and "".join(behind).replace(" ", "") == piece.replace(" ", ""):
        ways.append(behind)
    before = [part.strip() for part in re.split(rf"\s+(?={figure}(?:\s|$))", piece, flags=re.IGNORECASE)]
    if len(before) > 1 and all(re.match(figure, part, re.IGNORECASE) for part in before):
        ways.append(before)  # '6.7A high 3.9A low'
    return ways


def read_piece(known: list[Observation], piece: str, current: str | None = None) -> Piece:
    """One observation's worth of a typed line, in the first form that it has: what people call a part with an answer;
    a name and an answer; an answer to what is asked; a slip of spelling, asked back; words that mean one thing
    together."""
    if re.search(r"\bfrom\s+[0-9]", piece, re.IGNORECASE):
        return NotUnderstood(piece)  # 'dropped from 236' tells where it was before
    if _ABOVE_THE_ROOM.search(piece):
        return NotUnderstood(piece)  # '40 C over the room' is a difference, and no temperature of either
    if (called := _by_what_it_is_called(known, piece)) is not None:
        return called
    piece = _to_earth(piece)
    asked = next((item for item in known if item.id == current), None)
    if asked is not None and (_two_answers(asked, piece) or _no_and_yet(asked, piece)):
        return NotUnderstood(piece)
    read = _by_name(known, piece, asked)
    if isinstance(read, Typed) and (read.observation == current or not _doubtful(known, read, piece, asked)):
        if read.observation != current and asked is not None and _BARE_TO_EARTH.match(piece):
            # '0.2 to earth', 'OL to earth' may be of the part that is asked, which is its insulation then.
            insulation = _by_name(known, _EARTHED.sub(" insulation", piece), asked)
            also: tuple[str, ...] = ()
            if isinstance(insulation, Typed | Which):
                also = (insulation.observation,) if isinstance(insulation, Typed) else insulation.observations
            return Which(piece, read.answer, tuple(dict.fromkeys((*also, read.observation))))
        other = _named_otherwise(known, read, piece) if read.observation != current else ""
        return Which(piece, read.answer, (other, read.observation)) if other else read
    if any(plain_words(item.id) == plain_words(piece) for item in known):
        return read  # a name and nothing behind it
    if asked is not None and (answer := _to_what_is_asked(asked, piece)):
        return Typed(asked.id, answer)
    if asked is not None and asked.reading is None and piece.casefold().startswith("not "):
        return NotUnderstood(piece)
    if isinstance(read, NotUnderstood) and (respelt := _respelt(known, piece, asked)) is not None:
        return respelt  # offered as it may have been meant, and never applied by itself
    found = meant(known, piece, quantity_of(asked)) if _short(piece) else []
    if found and (len(found) == 1 or found[0].item.id == current):
        item = found[0].item
        alike = item.reading is not None and quantity_of(item) == quantity_of(asked)
        named = asked is not None and alike and (item is asked or beside_what_is_asked(item, asked, piece))
        if certain(item, piece) or named:
            return Typed(item.id, found[0].answer)
    if isinstance(read, Which):
        return read
    if len({each.answer for each in found}) == 1:
        return Which(piece, found[0].answer, tuple(each.item.id for each in found))
    if isinstance(read, Typed):
        return Which(piece, read.answer, (read.observation,))  # read by a word of its name alone: asked back
    return read


def _short(piece: str) -> bool:
    return len(piece.split()) <= MOST_WORDS and len(piece) <= LONGEST


def _to_what_is_asked(asked: Observation, piece: str) -> str:
    """The answer to what is asked that is told in other words; empty for none."""
    if asked.reading is None:
        return answer_of(asked, piece) or span_answer(asked, piece)
    value = bare_value(piece)
    return value if value and not why_not(asked, value) else ""


def _two_answers(item: Observation, piece: str) -> bool:
    """Whether two answers to what is asked stand in a piece: 'strong weak' is neither."""
    words = plain_words(piece)
    return sum(answer.id in words for answer in item.answers) > 1 and not any(
        piece.casefold().strip(" .!") == answer.text.casefold().strip(" .!") for answer in item.answers
    )


def _no_and_yet(item: Observation, piece: str) -> bool:
    """Whether a piece denies what is asked and then says it: 'no it's broken'."""
    found = _NO_IT_IS.match(piece.replace("\u2019", "'"))
    told = answer_of(item, found[1]) if found else ""
    return bool(told) and told != (answer_of(item, "no") or told)


_NO_IT_IS = re.compile(r"(?:no|nope|nah)\W+(?:it'?s|it is|they'?re|they are|that'?s)\s+(.+)", re.IGNORECASE)
_ABOVE_THE_ROOM = re.compile(
    r"[0-9].*\b(?:over|above|more than|hotter than|warmer than) (?:the )?(?:room|ambient)\b", re.IGNORECASE
)
_BARE_TO_EARTH = re.compile(
    r"(?:[<>]?[0-9.]+\s*(?:ohms?|r)?|ol|o\.l\.?|open(?: circuit)?|no (?:continuity|circuit))"
    rf"{_EARTHED.pattern}\W*$",
    re.IGNORECASE,
)


def _named_otherwise(known: list[Observation], read: Typed, piece: str) -> str:
    """Another observation that a reading may be meant for: 'earth bond 0.09' has the word of one name and the
    beginning of a word of another. Empty for none."""
    own = read.observation.split("_")
    rest = [word for word in _beside_the_answer(read, piece) if word not in GENERIC]
    stray = [word for word in rest if len(word) > 3 and not any(each.startswith(word) for each in own)]
    if len(rest) != 2 or len(stray) != 1:
        return ""
    fits = [
        item.id
        for item in known
        if item.id.split("_")[0] == stray[0] and item.reading is not None and not why_not(item, read.answer)
    ]
    return fits[0] if len(fits) == 1 and fits[0] != read.observation else ""


def _beside_the_answer(read: Typed, piece: str) -> list[str]:
    answer = plain_words(read.answer)
    return [word for word in plain_words(piece) if word not in answer]


def _doubtful(known: list[Observation], read: Typed, piece: str, asked: Observation | None) -> bool:
    """Whether a reading by name of what is not asked is one to ask back: a figure without a name, a 'no' that belongs
    to the words behind it, or a name of which most words are missing."""
    item = next(each for each in known if each.id == read.observation)
    plain, answer = " ".join(piece.casefold().split()), read.answer.casefold()
    if plain == answer and asked is not None and asked.reading is None:
        return True
    if (answer == "no" and plain.startswith("no ")) or (
        answer == "ol" and quantity_of(item) in NO_OVER_RANGE
    ):
        return True
    rest = _beside_the_answer(read, piece)
    whole = [word for word in plain_words(item.id) if word not in GENERIC]
    missing = [
        word for word in whole if not any(word.startswith(each) or word.endswith(each) for each in rest)
    ]
    figure = any(char.isdigit() for char in answer) or answer == "ol"
    # A finding of which no word of its own name was typed, or most are missing.
    return not figure and (len(missing) == len(whole) or (len(missing) > 0 and len(rest) < len(whole)))


def _by_name(known: list[Observation], piece: str, asked: Observation | None) -> Piece:
    """A name and an answer, in either order; or an answer alone, to what is asked."""
    if not _short(piece):
        return NotUnderstood(piece[:60], say("too_long_for_a_reading"))
    no_over = quantity_of(asked) in NO_OVER_RANGE and piece.casefold().replace(".", "").startswith("ol")
    if asked is not None and not why_not(asked, piece) and not no_over:
        return Typed(asked.id, "OL" if is_over(piece) else piece)
    named = next((item for item in known if plain_words(item.id) == plain_words(piece)), None)
    if named is not None:
        return _name_alone(named, piece)
    tokens = _with_unit(piece.split(), known)
    piece = " ".join(tokens)
    fitting: list[tuple[float, str, str]] = []
    refusal = otherwise = (0.0, "")
    whole = _speaks_of(piece)
    # '5 m' is a reading with its unit, and no '5' of something whose name begins with m.
    for name, answer in [([], piece)] if whole else _splits(_joined(tokens)):
        words = [word for token in name for word in plain_words(token)]
        if words and (max(map(len, words)) < 2 or NAMES_NOTHING.issuperset(words)):
            continue  # a unit ('m/s') is no name, nor is 'at', nor the 'no' of 'no 0.05'
        for item in known:
            fit = score(item, words) if words else 0.5 * (quantity_of(item) in whole)
            if fit <= 0.0:
                continue
            because = why_not(item, answer)
            if not because:
                fitting.append((fit, item.id, answer))
            elif words and fit >= 2.0 and _refuses(item, words, answer):
                told = fit, because.replace(item.id, name_of(item.id))
                if _of_another_quantity(item, answer):
                    otherwise = max(otherwise, told, key=lambda each: each[0])
                else:
                    refusal = max(refusal, told, key=lambda each: each[0])
    if not fitting:
        parts = [part.strip() for part in piece.split(", ")] if ", " in piece else []
        apart = [read_piece(known, part) if part else NotUnderstood(part) for part in parts]
        if apart and not any(isinstance(each, NotUnderstood) for each in apart):
            # A comma is a decimal comma, so it is only said that they are to be parted otherwise.
            return NotUnderstood(piece, say("part_by_semicolon"))
        because = max(refusal, otherwise, key=lambda each: each[0])[1]
        return NotUnderstood(piece, because or _meant_for(asked, piece))
    fitting.sort(key=lambda each: -each[0])
    top = fitting[0][0]
    if refusal[0] > top + 2 * NEAR:
        return NotUnderstood(piece, refusal[1])
    near: dict[str, str] = {}
    for fit, item_id, answer in fitting:
        if fit > top - NEAR:
            near.setdefault(item_id, answer)
    best, answer = next(iter(near.items()))
    return Typed(best, answer) if len(near) == 1 else Which(piece, answer, tuple(near))


def _refuses(item: Observation, words: Sequence[str], answer: str) -> bool:
    """Whether its own refusal says anything to who typed these words: of what is looked at only where all of its name
    was typed, with no figure, of what is measured where there is one; 'full of fluff' is no wrong answer to whether
    fluff is about, nor 'dry in an hour' one in kilograms."""
    whole = {word for word in plain_words(item.id) if word not in GENERIC} <= set(words)
    if item.reading is not None:
        return whole or re.search("[0-9]", answer) is not None
    return whole and not answer[:1].isdigit()


def _name_alone(observation: Observation, piece: str) -> Piece:
    """A name with nothing behind it: yes, where the question is whether it is so; else what is missing."""
    if asks_if(observation):
        return Typed(observation.id, "yes")
    name, answers = name_of(observation.id), ", ".join(answer.id for answer in observation.answers)
    if observation.reading is None:
        return NotUnderstood(piece, say("name_needs_answer", name=name, answers=answers))
    unit = observation.reading.unit
    example = f"12.5 {unit}" if unit != "1" else "0.5"
    return NotUnderstood(piece, say("name_needs_reading", name=name, example=example))


def _respelt(known: list[Observation], piece: str, asked: Observation | None) -> Which | None:
    """A misspelt piece as it may have been meant, to be asked back; None where nothing is near. The words of what is
    asked come first."""
    if FILLER.issuperset(plain_words(piece)):
        return None  # 'done' says nothing of what is asked, and is no misspelt 'none'
    for items in ([asked], known) if asked is not None else (known,):
        # One word by itself is an answer; a name alone says nothing.
        names = [item.id for item in items] if " " in piece.strip() else []
        names += [answer.id for item in items for answer in item.answers]
        text = respelled(piece, (word for name in names for word in plain_words(name)))
        read = read_piece(known, text, asked.id if asked is not None else None) if text else None
        if isinstance(read, Which):
            return replace(read, piece=piece)
        if isinstance(read, Typed):
            return Which(piece, read.answer, (read.observation,))
    return None


def _of_another_quantity(observation: Observation, answer: str) -> bool:
    """Whether the answer's own unit says that another observation was meant ('6 m' is no share)."""
    fitting, quantity = _speaks_of(answer), quantity_of(observation)
    return bool(fitting and quantity) and quantity not in fitting


def _speaks_of(answer: str) -> tuple[str, ...]:
    """The quantities that the unit of a reading fits: '55 %' is a humidity or a ratio, '72 C' a temperature."""
    fitting = quantities_of(answer)
    return fitting[:1] if fitting[:1] == ("temperature",) else fitting


def _meant_for(asked: Observation | None, piece: str) -> str:
    """Why a nameless reading was refused that can only be meant for what is being asked; else ''."""
    if asked is None or asked.reading is None:
        return ""
    fitting = _speaks_of(piece)
    meant = quantity_of(asked) in fitting or (not fitting and any(char.isdigit() for char in piece))
    return why_not(asked, piece) if meant else ""
