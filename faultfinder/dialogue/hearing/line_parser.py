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
from faultfinder.dialogue.hearing.names import asks_if, plain_words, respelled, why_not
from faultfinder.dialogue.hearing.spans import span_answer
from faultfinder.knowledge.model import Observation
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of
from faultfinder.trade.readings.reading import quantities_of, split_readings
from faultfinder.trade.readings.units import QUANTITIES, find_unit

NAMES_NOTHING = frozenset("at on by to in no yes not none nothing ok is it a the and or now".split())
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
    unit = _lower(tokens[units[0]])
    if any(unit.casefold() in plain_words(item.id) for item in known):
        return tokens
    left = [token for place, token in enumerate(tokens) if place not in (bare[0], units[0])]
    return [*left, f"{tokens[bare[0]]} {unit}"]


def _lower(unit: str) -> str:
    """'Amps' in small letters; as it was typed where that is another unit: 'Mohm' and 'mohm' are far apart."""
    fitting = (QUANTITIES[name] for name in quantities_of(f"1 {unit}"))
    other = any(find_unit(kind, unit) != find_unit(kind, unit.casefold()) for kind in fitting)
    return unit if other else unit.casefold()


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
    out: list[Piece] = []
    for piece in map(_without_condition, pieces):
        read = read_piece(known, piece, current)
        found: list[Piece] = [read]
        for parts in [] if isinstance(read, Typed) else _parted(piece):
            apart = [read_piece(known, part, current) for part in parts]
            if all(isinstance(each, Typed) for each in apart):
                twice = _told_twice(apart)
                because = say("said_twice", name=name_of(twice)) if twice else ""
                found = [NotUnderstood(piece[:60], because)] if twice else apart
                break
        out += found
    return out


def _told_twice(pieces: list[Piece]) -> str:
    """What two values are told of in one breath ('1 2 3'); empty for nothing."""
    told: dict[str, str] = {}
    for each in pieces:
        if isinstance(each, Typed) and told.setdefault(each.observation, each.answer) != each.answer:
            return each.observation
    return ""


def _by_what_it_is_called(known: list[Observation], piece: str) -> Typed | None:
    """A reading by what people call the part ('thermal fuse open'), where the rest is an answer; None for none."""
    plain = " ".join(piece.casefold().split())
    fits = [
        (len(said), item, plain[len(said) :].strip(" :="))
        for item in known
        if item.reading is not None
        for said in item.said
        if plain.startswith(f"{said.casefold()} ")
    ]
    longest = max((length for length, _, _ in fits), default=0)
    best = [(item, rest) for length, item, rest in fits if length == longest]
    if len(best) != 1 or " " not in piece.strip():
        return None
    item, rest = best[0]
    assert item.reading is not None
    figure = rest == "ol" or bool(quantities_of(rest))
    named = any(rest == answer.id for answer in item.answers)
    return (
        Typed(item.id, "OL" if rest == "ol" else rest)
        if (figure or named) and not why_not(item, rest)
        else None
    )


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
        r"\s+(?:at|@)\s*[0-9]+(?:\.[0-9]+)?\s*(?:\u00b0|deg(?:rees)?)?\s*c\b", "", piece, flags=re.IGNORECASE
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
    """One observation's worth of a typed line: by a name and an answer, else by what its words mean together."""
    if (called := _by_what_it_is_called(known, piece)) is not None:
        return called
    piece = _to_earth(piece)
    if any(item.id == current and _two_answers(item, piece) for item in known):
        return NotUnderstood(piece)
    read = _by_name(known, piece, current)
    if isinstance(read, Typed) and not _doubtful(known, read, piece, current):
        other = _named_otherwise(known, read, piece) if read.observation != current else ""
        return Which(piece, read.answer, (other, read.observation)) if other else read
    if any(plain_words(item.id) == plain_words(piece) for item in known):
        return read  # a name and nothing behind it
    asked = next((item for item in known if item.id == current), None)
    if asked is not None and asked.reading is None:
        if answer := answer_of(asked, piece) or span_answer(asked, piece):
            return Typed(asked.id, answer)
        if piece.casefold().startswith("not "):
            return NotUnderstood(piece)
    if asked is not None and asked.reading is not None and (value := bare_value(piece)):
        if not why_not(asked, value):
            return Typed(asked.id, value)
    quantity = _quantity(asked)
    found = meant(known, piece, quantity) if len(piece.split()) <= 12 and len(piece) <= 200 else []
    by_id = {item.id: item for item in known}
    if isinstance(read, NotUnderstood) and (respelt := _respelt(known, piece, asked)) is not None:
        return respelt  # offered as it may have been meant, and never applied by itself
    if found and (len(found) == 1 or found[0].observation == current):
        item = by_id[found[0].observation]
        alike = item.reading is not None and _quantity(item) == quantity
        named = asked is not None and alike and (item is asked or beside_what_is_asked(item, asked, piece))
        if certain(item, piece) or named:
            return Typed(found[0].observation, found[0].answer)
    if isinstance(read, Which):
        return read
    if found and len({each.answer for each in found}) == 1:
        return Which(piece, found[0].answer, tuple(each.observation for each in found))
    if isinstance(read, Typed):
        # It was read by a word of its name alone: asked back.
        return Which(piece, read.answer, (read.observation,))
    return read


def _two_answers(item: Observation, piece: str) -> bool:
    """Whether two answers to what is asked stand in a piece: 'strong weak' is neither."""
    words = plain_words(piece)
    return sum(answer.id in words for answer in item.answers) > 1 and not any(
        piece.casefold().strip(" .!") == answer.text.casefold().strip(" .!") for answer in item.answers
    )


def _named_otherwise(known: list[Observation], read: Typed, piece: str) -> str:
    """Another observation that a reading may be meant for: 'earth bond 0.09' has the word of one name and the
    beginning of a word of another. Empty for none."""
    own = read.observation.split("_")
    rest = [
        word for word in plain_words(piece) if word not in plain_words(read.answer) and word not in GENERIC
    ]
    stray = [word for word in rest if len(word) > 3 and not any(each.startswith(word) for each in own)]
    if len(rest) != 2 or len(stray) != 1:
        return ""
    fits = [
        item.id
        for item in known
        if item.id.split("_")[0] == stray[0]
        and item.reading is not None
        and not why_not(item, read.answer)
        and item.id != read.observation
    ]
    return fits[0] if len(fits) == 1 else ""


def _doubtful(known: list[Observation], read: Typed, piece: str, current: str | None) -> bool:
    """Whether a reading by name is one to ask back: a figure without a name that is not what is asked, a 'no' that
    belongs to the words behind it, or a name of which most words are missing."""
    if read.observation == current:
        return False
    item = next(each for each in known if each.id == read.observation)
    plain = " ".join(piece.casefold().split())
    asked = next((each for each in known if each.id == current), None)
    if plain == read.answer.casefold() and asked is not None and asked.reading is None:
        return True
    if read.answer.casefold() == "no" and plain.startswith("no "):
        return True
    if read.answer.casefold() == "ol" and _quantity(item) in NO_OVER_RANGE:
        return True
    rest = [word for word in plain_words(piece) if word not in plain_words(read.answer)]
    whole = [word for word in plain_words(item.id) if word not in GENERIC]
    missing = [
        word for word in whole if not any(word.startswith(each) or word.endswith(each) for each in rest)
    ]
    figure = any(char.isdigit() for char in read.answer) or read.answer.casefold() == "ol"
    # A finding of which no word of its own name was typed, or most are missing.
    return not figure and (len(missing) == len(whole) or (len(missing) > 0 and len(rest) < len(whole)))


def _by_name(known: list[Observation], piece: str, current: str | None = None) -> Piece:
    """One observation's worth of a typed line, by a name and an answer."""
    tokens = piece.split()
    if len(tokens) > 12 or len(piece) > 200:
        return NotUnderstood(piece[:60], say("too_long_for_a_reading"))
    asked = next((item for item in known if item.id == current), None)
    if asked is not None and not why_not(asked, piece) and not _over_what_has_none(asked, piece):
        return Typed(asked.id, "OL" if re.fullmatch(r"o\.?l\.?", piece, re.IGNORECASE) else piece)
    named = next((item for item in known if plain_words(item.id) == plain_words(piece)), None)
    if named is not None:
        return _name_alone(named, piece)
    tokens = _with_unit(tokens, known)
    piece = " ".join(tokens)
    best: list[tuple[float, str, str]] = []
    refusal: tuple[float, str] = (0.0, "")
    otherwise: tuple[float, str] = (0.0, "")
    whole = _speaks_of(piece)
    # '5 m' is a reading with its unit, and no '5' of something whose name begins with m.
    for name, answer in [([], piece)] if whole else _splits(_joined(tokens)):
        words = [word for token in name for word in plain_words(token)]
        if words and (max(map(len, words)) < 2 or NAMES_NOTHING.issuperset(words)):
            continue  # a unit ('m/s') is no name, nor is 'at', nor the 'no' of 'no 0.05'
        for observation in known:
            if words:
                fit = score(observation, words)
            else:
                fit = 0.5 if _quantity(observation) in whole else 0.0
            if fit <= 0.0:
                continue
            because = why_not(observation, answer)
            if not because:
                best.append((fit, observation.id, answer))
            elif (
                words
                and fit >= 2.0
                and _meant_as(observation, answer)
                and _refuses(observation, words, answer)
            ):
                told = fit, because.replace(observation.id, name_of(observation.id))
                if _of_another_quantity(observation, answer):
                    otherwise = max(otherwise, told, key=lambda each: each[0])
                else:
                    refusal = max(refusal, told, key=lambda each: each[0])
    if not best:
        if _two_pieces(known, piece):
            return NotUnderstood(piece, say("part_by_semicolon"))
        because = max(refusal, otherwise, key=lambda each: each[0])[1]
        return NotUnderstood(piece, because or _meant_for(asked, piece))
    top = max(fit for fit, _, _ in best)
    if refusal[0] > top + 2 * NEAR:
        return NotUnderstood(piece, refusal[1])
    near: dict[str, str] = {}
    for fit, name_, answer in sorted(best, key=lambda item: -item[0]):
        if fit > top - NEAR:
            near.setdefault(name_, answer)
    if len(near) == 1:
        (observation_id, answer), *_ = near.items()
        return Typed(observation_id, answer)
    return Which(piece, next(iter(near.values())), tuple(near))


def _refuses(item: Observation, words: Sequence[str], answer: str) -> bool:
    """Whether its own refusal says anything to who typed these words: without a figure only where all of its name was
    typed; 'full of fluff' is no wrong answer to whether fluff is about, nor 'dry in an hour' one in kilograms."""
    if item.reading is not None and re.search("[0-9]", answer):
        return True
    return {w for w in plain_words(item.id) if w not in GENERIC} <= set(words)


def _over_what_has_none(item: Observation, piece: str) -> bool:
    """OL for what a meter shows no OL for."""
    return _quantity(item) in NO_OVER_RANGE and piece.casefold().replace(".", "").startswith("ol")


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


def _two_pieces(known: list[Observation], piece: str) -> bool:
    """Whether commas part what would be understood piece by piece: a comma is a decimal comma, so it is only said."""
    parts = [part.strip() for part in piece.split(", ")]
    return len(parts) > 1 and all(
        part and not isinstance(read_piece(known, part), NotUnderstood) for part in parts
    )


def _respelt(known: list[Observation], piece: str, asked: Observation | None) -> Which | None:
    """A misspelt piece as it may have been meant, to be asked back; None where nothing is near. The words of what is
    asked come first."""
    current = asked.id if asked is not None else None
    if FILLER.issuperset(plain_words(piece)):
        return None  # 'done' says nothing of what is asked, and is no misspelt 'none'

    def fits(text: str) -> bool:
        return isinstance(read_piece(known, text, current), Typed | Which)

    for items in ([asked], known) if asked is not None else (known,):
        # One word by itself is an answer; a name alone says nothing.
        words = {word for item in items for word in plain_words(item.id)} if " " in piece.strip() else set()
        words |= {word for item in items for answer in item.answers for word in plain_words(answer.id)}
        if text := respelled(piece, words, fits):
            read = read_piece(known, text, current)
            if isinstance(read, Which):
                return replace(read, piece=piece)
            assert isinstance(read, Typed)
            return Which(piece, read.answer, (read.observation,))
    return None


def _meant_as(observation: Observation, answer: str) -> bool:
    """Whether an answer that does not fit was meant for such an observation: no figure for what is only looked at."""
    return observation.reading is not None or not answer[:1].isdigit()


def _of_another_quantity(observation: Observation, answer: str) -> bool:
    """Whether the answer's own unit says that another observation was meant ('6 m' is no share)."""
    fitting, quantity = _speaks_of(answer), _quantity(observation)
    return bool(fitting and quantity) and quantity not in fitting


def _quantity(item: Observation | None) -> str:
    """What is measured; empty for what is only looked at."""
    return item.reading.quantity if item is not None and item.reading is not None else ""


def _speaks_of(answer: str) -> tuple[str, ...]:
    """The quantities that the unit of a reading fits: '55 %' is a humidity or a ratio, '72 C' a temperature."""
    fitting = quantities_of(answer)
    return fitting[:1] if fitting[:1] == ("temperature",) else fitting


def _meant_for(asked: Observation | None, piece: str) -> str:
    """Why a nameless reading was refused that can only be meant for what is being asked; else ''."""
    if asked is None or asked.reading is None:
        return ""
    fitting = _speaks_of(piece)
    meant = _quantity(asked) in fitting or (not fitting and any(char.isdigit() for char in piece))
    return why_not(asked, piece) if meant else ""
