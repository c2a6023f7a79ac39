"""The grammar of a typed reading: over range, one-sided, plus-minus, range, and one number with its unit.

The forms are tried from the outermost in. Nothing is guessed: what has two meanings is refused, with what to type.
Source of the letter-for-decimal-point codes (4R7, 47K3, 4n7): IEC 60062.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from faultfinder.text.catalogue import say
from faultfinder.trade.readings.limits import Figure, Wanted
from faultfinder.trade.readings.typed_text import ReadingError, plain_text, shown
from faultfinder.trade.readings.units import MARKINGS, QUANTITIES, MixedCase, Unit, find_unit

_SMALLEST = 1e-15
"""No instrument of a repairer shows less in any unit here (chosen); typed, it is a slip."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading in the unit asked for.

    value: math.inf where the instrument showed over range. half_width: a stated ±, or half of a typed range.
    digits: the resolution typed (33.0 -> 0.1, 4k7 -> 100), 0 for over range. range_top: the range in use of
    an over-range reading, where it was said.
    """

    value: float
    unit: str
    over_range: bool
    range_top: float | None
    half_width: float
    digits: float
    text: str


MOST_UNIT_WORDS = 2
"""Words in the name of a unit ('deg C'); of more than these none is taken for one."""
_NUMBER = r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,4})?"
_FIGURE = re.compile(rf"({_NUMBER})\s*(.*)")
_CODE = re.compile(r"([+-]?)(\d*)([A-Za-z])(\d+)\s*(.*)")
_TIME = re.compile(
    r"(?:(\d+)\s*(h|hr|hrs|hours?)\s*)?(?:(\d+)\s*(m|mins?|minutes?)?)?\s*(?:(\d+)\s*(s|secs?|seconds?))?"
)
_RANGE = re.compile(r"(.*?[^\s.,eE+-])\s*(?:-|\.{2,3}|\bto\b)\s*([+-]?[\d.,].*)")
_SPREAD = re.compile(r"(.+?)\s*(?:\+/?-|±)\s*(.+)")
OVER = re.compile(r"(?:[o0]\.?l\.?|o/l|ofl|overload|over ?(?:range|limit))(?![a-z0-9])\s*(.*)", re.IGNORECASE)
OPEN = re.compile(
    r"(?:open(?: circuit)?|no (?:continuity|circuit)|o/c|infinit[ye]|inf|∞)(?![a-z0-9])\s*(.*)", re.IGNORECASE
)
_SUPPLY_MARK = re.compile(r"(.*?)(?:~|=|⎓|ac|dc|a\.c\.?|d\.c\.?|rms)+", re.IGNORECASE)
_LONE_PREFIX = re.compile(r"[+-]?[\d.,]*\s*(?:[kKMGpnu]\d*|m)")
_LONE_PREFIX_HOME = (
    dict.fromkeys("kKMG", ("resistance",))
    | dict.fromkeys("pnu", ("capacitance",))
    | {"m": ("length", "time")}
)
_LIKE_CODE = re.compile(r"\d+E\d+")


class Parser(Wanted):
    """One typed text against what is wanted."""

    __slots__ = ()

    # What is typed, outermost form first.

    def reading(self) -> Reading:
        """The whole text as a reading."""
        text = plain_text(self.text, self.words)
        if not text:
            raise ReadingError(say("parser_nothing_typed_type", words=self.words, what=self.span()))
        over = self._over_range(text)
        if over is not None:
            return over
        if text[0] in "<>":
            return self._one_sided(text)
        spread = _SPREAD.fullmatch(text)
        if spread:
            return self._with_spread(spread[1], spread[2])
        between = _RANGE.fullmatch(text)
        if between:
            return self._between(between[1], between[2])
        return self._result(self._figure(text), 0.0)

    def has_own_unit(self, within_limits: bool) -> bool:
        """Whether the text carries a unit or a code letter that speaks for this quantity."""
        text = plain_text(self.text, self.words).lstrip("<>= ")
        spread, between = _SPREAD.fullmatch(text), _RANGE.fullmatch(text)
        pair = spread or between
        parts = [pair[1], pair[2]] if pair else [text]
        try:
            figures = [
                self._figure(part)
                for part in parts
                if not (spread and part is parts[1] and part.endswith("%"))
            ]
            values = [self.checked(figure) for figure in figures if within_limits]
        except ReadingError:
            return False
        # A lone prefix (4k7, 10p) says resistance or capacitance, whatever else it is read as when asked for; a
        # lone m is metres or minutes.
        lone = [part for part in parts if _LONE_PREFIX.fullmatch(part)]
        home = all(self.kind.name in _LONE_PREFIX_HOME[part.strip("+-0123456789., ")] for part in lone)
        return home and all(map(math.isfinite, values)) and any(figure.unit is not None for figure in figures)

    def _over_range(self, text: str) -> Reading | None:
        over, gone = OVER.fullmatch(text), OPEN.fullmatch(text)
        found = over or gone
        if found is None or (self.kind.name == "volume" and text[0] == "0"):
            return None
        # A buzzer that is silent says nothing of megohms: that takes an insulation tester and its figure.
        buzzer = text.casefold().startswith("no ") and self.unit == "Mohm"
        if not self.kind.over_range or buzzer or (gone and self.kind.name != "resistance"):
            raise ReadingError(
                say("parser_no_answer_type_number", text=shown(self.text), words=self.words, what=self.span())
            )
        rest = found[1].strip()
        top = None
        if rest.startswith("@"):
            top = self.checked(self._figure(rest[1:].strip()))
            if not top > 0:
                raise ReadingError(say("parser_range_after_must_above", text=shown(self.text)))
        elif rest and self._unit_or_none(rest) is None:
            raise ReadingError(say("parser_not_understood_type_ol", text=shown(self.text)), "OL")
        return Reading(math.inf, self.unit, True, top, 0.0, 0.0, self.text)

    def _one_sided(self, text: str) -> Reading:
        """`>200 Mohm` is over range with the range told; `<0.1` lies between 0 and that."""
        figure = self._figure(text[1:].lstrip("= "))
        top = self.checked(figure)
        if text[0] == ">":
            if not self.kind.over_range or not top > 0:
                raise ReadingError(
                    say("parser_has_no_upper_end", text=shown(self.text), words=self.words, what=self.span())
                )
            return Reading(math.inf, self.unit, True, top, 0.0, 0.0, self.text)
        if self.kind.low < 0 or not top > 0:
            raise ReadingError(
                say("parser_has_no_lower_end", text=shown(self.text), words=self.words, what=self.span())
            )
        half = Figure(figure.number / 2, figure.step, figure.unit)
        return self._result(half, top / 2)

    def _with_spread(self, middle: str, width: str) -> Reading:
        """`33 ± 1`, `33 ohm ± 1 ohm`, `33 ± 2 %`."""
        around = self._figure(middle)
        if width.endswith("%") and "%" not in self.kind.units:
            share = self._bare(width[:-1].strip())
            half = abs(self.in_asked(around)) * share / 100
        else:
            spread = self._figure(width)
            if around.unit is None and spread.unit is not None:
                around = Figure(around.number, around.step, spread.unit)
            owner = spread.unit or around.unit or self.asked
            half = spread.number * (owner.factor / self.asked.factor)
        if not 0 <= half < math.inf:
            raise ReadingError(say("parser_part_after_plus_minus", text=shown(self.text)))
        most = (self.kind.high - self.kind.low) / self.asked.factor
        if half > most or (self.kind.low >= 0 and 0 < abs(self.in_asked(around)) < half):
            raise ReadingError(say("parser_off_by_more_than", text=shown(self.text)))
        return self._result(around, half)

    def _between(self, first: str, last: str) -> Reading:
        """`32-34`, `32 to 34 ohm`, `740-760 mA`."""
        if last.startswith("-") and not first.startswith("-"):
            raise ReadingError(say("parser_has_two_signs_type", text=shown(self.text)))
        one, two = self._figure(first), self._figure(last)
        if one.unit is None and two.unit is not None:
            one = Figure(one.number, one.step, two.unit)
        if two.unit is None and one.unit is not None:
            two = Figure(two.number, two.step, one.unit)
        low, high = self.checked(one), self.checked(two)
        low, high = min(low, high), max(low, high)
        steps = [
            abs(each.step * ((each.unit or self.asked).factor / self.asked.factor)) for each in (one, two)
        ]
        return Reading((low + high) / 2, self.unit, False, None, (high - low) / 2, max(steps), self.text)

    # One number with its unit.

    def _figure(self, text: str) -> Figure:
        if self.kind.name == "time":
            hours = self._hours(text)
            if hours is not None:
                return hours
        code = self._code(text)
        if code is not None:
            return code
        found = _FIGURE.fullmatch(text)
        if not found:
            raise self.not_understood()
        if self.kind.name == "resistance" and _LIKE_CODE.fullmatch(found[1]):
            code_text = found[1].replace("E", "R")
            raise ReadingError(
                say(
                    "parser_type_for_decimal_point",
                    text=shown(self.text),
                    code_text=code_text,
                    unit=self.unit,
                ),
                code_text,
            )
        number = self._bare(found[1])
        mantissa, _, power = found[1].lower().partition("e")
        decimals = len(mantissa.replace(",", ".").partition(".")[2])
        step = 10.0 ** (int(power or 0) - decimals) if abs(int(power or 0)) < 300 else 0.0
        return Figure(number, step, self._unit(found[2], number) if found[2] else None)

    def _bare(self, text: str) -> float:
        if not re.fullmatch(_NUMBER, text):
            raise self.not_understood()
        number = float(text.replace(",", "."))
        if not math.isfinite(number):
            raise ReadingError(
                say(
                    "parser_beyond_every_range_type",
                    text=shown(self.text),
                    words=self.words,
                    what=self.span(),
                )
            )
        if abs(number) < _SMALLEST and re.search("[1-9]", re.split("[eE]", text)[0]):
            raise ReadingError(say("parser_too_small_for_any", text=shown(self.text), words=self.words))
        return number

    def _code(self, text: str) -> Figure | None:
        """A letter in the place of the decimal point: 4k7, 47R3, R47, 4n7, 3V3 (IEC 60062)."""
        found = _CODE.fullmatch(text)
        if not found or found[3] in "eE" or (found[2] == "" and found[3] not in "RrVvunpk"):
            return None
        sign, whole, letter, decimals, rest = found.groups()
        unit = self._letter(letter)
        if unit is None or (rest and self._unit_or_none(rest) is None):
            return None
        return Figure(float(f"{sign}{whole or 0}.{decimals}"), 10.0 ** -len(decimals), unit)

    def _letter(self, letter: str) -> Unit | None:
        """The unit a single letter stands for here: its own symbol, or a prefix of the base unit."""
        own = self.kind.units.get(letter) or self.kind.units.get(letter.upper())
        if own is not None and self.kind.name not in ("time", "length", "mass", "volume"):
            return own
        main = {"capacitance": "F", "resistance": "ohm", "current": "A", "voltage": "V", "power": "W"}.get(
            self.kind.name
        )
        return self.kind.units.get(letter + main) if main else None

    def _hours(self, text: str) -> Figure | None:
        """1h50, 1 h 50 min, 50m30s; refuses 1:50, which may be minutes and seconds."""
        if re.fullmatch(r"\d+:\d\d(:\d\d)?", text):
            raise ReadingError(
                say("parser_may_hours_minutes_type", text=shown(self.text)),
                text.replace(":", "h", 1) if text.count(":") == 1 else None,
            )
        found = _TIME.fullmatch(text)
        if (
            not found
            or not text
            or not (found[1] and found[3] or found[3] and found[5] and found[4] or found[1] and found[5])
        ):
            return None
        hours, minutes, seconds = (int(part) if part else 0 for part in (found[1], found[3], found[5]))
        if found[1] and minutes > 59 or seconds > 59:
            raise ReadingError(say("parser_more_than_59_after", text=shown(self.text), words=self.words))
        step = 1.0 if found[5] else 60.0
        return Figure(hours * 3600.0 + minutes * 60.0 + seconds, step, self.kind.units["s"])

    # Units.

    def _unit_or_none(self, text: str) -> Unit | None:
        squeezed = text.replace(" ", "").rstrip(".")
        found = find_unit(self.kind, squeezed)
        if isinstance(found, Unit):
            return found
        if self.kind.name == "temperature" and squeezed.lower() in ("deg", "degree", "degrees"):
            return self.asked
        if self.kind.name in ("voltage", "current"):
            marked = _SUPPLY_MARK.fullmatch(squeezed)
            if marked and marked[1]:
                found = find_unit(self.kind, marked[1])
                return found if isinstance(found, Unit) else None
            if marked:
                return self.asked
        if len(squeezed) == 1:
            return self._letter(squeezed)
        return None

    def _unit(self, text: str, number: float) -> Unit:
        unit = self._unit_or_none(text)
        if unit is not None:
            return unit
        squeezed = text.replace(" ", "")
        other = find_unit(self.kind, squeezed)
        if isinstance(other, MixedCase):
            # Known but for the case of its prefix, and left out of the table because no appliance gives it.
            written = "m" if other.unit.prefix == "M" else "M"
            raise self.which(number, Unit(written + other.unit.name[1:], 0.0, 0.0, written), None)
        if text[0] in "0123456789.,'" or re.search(r"[A-Za-z%~=] \d", text):
            raise ReadingError(say("parser_holds_more_than_one", text=shown(self.text)))
        for kind in QUANTITIES.values():
            if (
                kind is not self.kind
                and kind.name not in MARKINGS
                and isinstance(find_unit(kind, squeezed), Unit)
            ):
                raise ReadingError(
                    say(
                        "parser_asked_for",
                        text=shown(self.text),
                        title=kind.title,
                        unit=squeezed,
                        words=self.words,
                    )
                )
        if len(text.split()) > MOST_UNIT_WORDS:
            names = ", ".join(self.kind.common)
            raise ReadingError(say("parser_words_behind_the_figure", text=shown(self.text), names=names))
        raise ReadingError(
            say(
                "parser_unit_not_known_given",
                text=shown(self.text),
                unit=squeezed[:16],
                title=self.kind.title,
                names=", ".join(self.kind.common),
            )
        )

    def _result(self, figure: Figure, half_width: float) -> Reading:
        value = self.checked(figure)
        scale = (figure.unit or self.asked).factor / self.asked.factor
        return Reading(value, self.unit, False, None, half_width, figure.step * scale, self.text)
