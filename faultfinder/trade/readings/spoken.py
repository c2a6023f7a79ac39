"""A reading as it is said: 'two hundred and thirty five', 'an hour and a half', 'over 200 meg' as figures.

Only what has one meaning is rewritten; every other word stays where it was, for the parser to refuse.
"""

from __future__ import annotations

import re

_ONES = (
    "nought one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen "
    "seventeen eighteen nineteen".split()
)
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()
_VALUES = {
    **{word: number for number, word in enumerate(_ONES)},
    **{word: 10 * number for number, word in enumerate(_TENS, 2)},
    **{"zero": 0, "naught": 0, "fourty": 40},
}
_TIMES = {"hundred": 100, "thousand": 1000}
_ALONE = 10
"""A word for less says nothing by itself ('this one'), but for nought; with a unit or another number it does."""

_PHRASES = tuple(
    (re.compile(rf"\b(?:{pattern})", re.IGNORECASE), text)
    for pattern, text in (
        (r"half an? ", "0.5 "),
        (r"quarter of an ", "0.25 "),
        (r"(?:an? )?(?<![0-9a-z] )(hour|minute|meg|kilo|metre|litre) and a half\b", r"1.5 \1"),
        (r"an? (hour|minute|meg|kilo|metre|litre) and a half\b", r"1.5 \1"),
        (r"(?:an? )hour and a quarter\b", "1.25 hour"),
        (r"a (?=hundred|thousand)", "one "),
        (r"an (?=hour)", "1 "),
        (r"(?:metre|meter)s? (?:a|per) sec(?:ond)?\b", "m/s"),
        (r"(?:litre|liter)s? (?:a|per) min(?:ute)?\b", "l/min"),
        (r"(?:rev|revolution|turn)s? (?:a|per) min(?:ute)?\b", "rpm"),
    )
)
_HALF = re.compile(r"(?<![0-9.,])([0-9]+) (?:and a half|(hours|minutes|kilos|metres) and a half)\b")
_MORE = re.compile(r"\b(?:more than|greater than|higher than|over|above)\s+(?=[0-9.])", re.IGNORECASE)
_LESS = re.compile(r"\b(?:less than|lower than|smaller than|under|below)\s+(?=[0-9.])", re.IGNORECASE)


def in_figures(text: str) -> str:
    """The text with its number words as figures, 'over' and 'under' before a figure as > and <, and units that are
    said in several words as symbols.

    >>> in_figures("thirty one point five ohms")
    '31.5 ohms'
    """
    for pattern, symbol in _PHRASES:
        text = pattern.sub(symbol, text)
    text = " ".join(_numbers(re.sub(r"\b([a-z]+ty)-(?=[a-z])", r"\1 ", text.casefold()).split(), text))
    text = _HALF.sub(lambda found: f"{found[1]}.5 {found[2] or ''}".rstrip(), text)
    return _LESS.sub("<", _MORE.sub(">", text))


def _numbers(words: list[str], text: str) -> list[str]:
    """The words with each number among them as a figure; those without one as they were typed."""
    typed = text.split()
    typed = typed if len(typed) == len(words) else words
    out: list[str] = []
    place = 0
    while place < len(words):
        figure, after = _number(words, place)
        if figure:
            out.append(figure)
        else:
            out.append(typed[place])
            after = place + 1
        place = after
    return out


def _number(words: list[str], place: int) -> tuple[str, int]:
    """The number that begins at a place, as a figure, and the place behind it; empty where none does."""
    whole, after = _whole(words, place)
    if after < len(words) and words[after] == "point":
        decimals, end = _decimals(words, after + 1)
        if decimals and (after > place or place == 0 or words[place - 1].isalpha()):
            return f"{whole}.{decimals}", end
    said = after > place and not words[place].isdecimal()
    if after == place + 1 and (words[place].isdecimal() or 0 < whole < _ALONE):
        return (
            (str(whole), after)
            if said and after < len(words) and _MEASURE.match(words[after])
            else ("", place)
        )
    return (str(whole), after) if after > place else ("", place)


_MEASURE = re.compile(
    r"(?:k|kilo|kohms?|ohms?|meg\w*|milli\w*|volts?|amps?|watts?|kw|kilowatts?|deg\w*|hours?|hrs?|minutes?|mins?|"
    r"seconds?|secs?|kilos?|kg|metres?|meters?|mm|cm|rpm|micro\w*|uf|litres?|l/min|m/s|percent|%|and)$"
)


def _whole(words: list[str], place: int) -> tuple[int, int]:
    """A whole number in words from a place on: 'two hundred and thirty five', '12 thousand'; and the place behind."""
    total = part = 0
    last = ""  # what stood before: a ten takes a one, a hundred takes both
    at = place
    while at < len(words):
        word = words[at]
        if (value := _VALUES.get(word)) is not None:
            if last not in ("", "times") and not (last == "ten" and 0 < value < 10):
                break
            part += value
            last = "ten" if value >= 20 else "one"
        elif word in _TIMES and last and not (word == "hundred" and last == "times"):
            total, part = (total, part * 100) if word == "hundred" else (total + part * 1000, 0)
            last = "times"
        elif word.isdecimal() and at == place and len(word) <= 6:
            part, last = int(word), "figure"
        elif word == "and" and last == "times" and at + 1 < len(words) and words[at + 1] in _VALUES:
            pass
        else:
            break
        at += 1
    return total + part, at


def _decimals(words: list[str], place: int) -> tuple[str, int]:
    """The digits behind a point, each said by itself, and the place behind them."""
    digits = ""
    while place < len(words):
        word = words[place]
        if word == "oh" or _VALUES.get(word, 10) < 10:
            digits += str(_VALUES.get(word, 0))
        elif word.isdecimal() and not digits:
            return word, place + 1
        else:
            break
        place += 1
    return digits, place
