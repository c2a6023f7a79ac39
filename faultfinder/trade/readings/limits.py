"""What a typed number must be to be a reading: within the limits of its quantity; else the words that refuse it.

A number outside what any appliance gives is refused with the range and, where it can be guessed, with what was
meant; an `m` for an `M` is asked about where the result would be absurd for the quantity.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, format_quantity
from faultfinder.trade.readings.typed_text import ReadingError, shown
from faultfinder.trade.readings.units import Quantity, Unit

_ABOUT = re.compile(
    r"(?:about|around|approx\.?|approximately|ca\.?|circa|roughly|~|≈)\s*(\d[\d.,]*)", re.IGNORECASE
)
_SHORT = re.compile(r"(?:dead )?short(?:ed)?(?: circuit)?|s/c", re.IGNORECASE)

_BELOW_ZERO = {"voltage": "leads", "current": "leads", "resistance": "voltage"}
"""What a minus in front of a quantity that has none means -> the last word of its key."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A number as typed, its last decimal place, and the unit typed with it (None: bare)."""

    number: float
    step: float
    unit: Unit | None


@dataclass(frozen=True, slots=True)
class Wanted:
    """The quantity and unit a text is read for, and the text; `by_hand`: typed by a person, not by a program."""

    kind: Quantity
    unit: str
    asked: Unit
    text: str
    by_hand: bool = True

    @property
    def words(self) -> str:
        """What is wanted, for a message: 'a resistance in ohm'."""
        return (
            say("quantity_in_unit", title=self.kind.title, unit=self.unit)
            if self.unit != "1"
            else self.kind.title
        )

    def in_asked(self, figure: Figure) -> float:
        """The figure's number in the unit asked for, whatever the limits."""
        if figure.unit is None or figure.unit == self.asked:
            return figure.number
        base = figure.number * figure.unit.factor + figure.unit.offset
        # One rounding where neither unit has an offset: 740 mA is 0.58 A and not 0.5800000000000001.
        if not (figure.unit.offset or self.asked.offset):
            ratio = figure.unit.factor / self.asked.factor
            inverse = self.asked.factor / figure.unit.factor
            return figure.number / round(inverse) if _whole(inverse) else figure.number * ratio
        return (base - self.asked.offset) / self.asked.factor

    def checked(self, figure: Figure) -> float:
        """The number in the unit asked for. Refuses what is outside the limits, or m for M."""
        unit = figure.unit or self.asked
        value = self.in_asked(figure)
        base = value * self.asked.factor + self.asked.offset
        low, high = self.kind.low, self.kind.high
        # The slack lets a limit itself through where its conversion rounds; a limit of 0 is sharp.
        fits = low - 1e-9 * abs(low) <= base <= high + 1e-9 * high
        prefix = unit.prefix if figure.unit is not None else ""
        if prefix in ("m", "M") and base != 0:
            mixed = prefix + self.asked.prefix in ("mM", "Mm") and self.kind.name == "resistance"
            if not fits or abs(base) < self.kind.least or mixed:
                raise self.which(figure.number, unit, base)
        if not fits:
            minus = _BELOW_ZERO.get(self.kind.name, "") if base < 0 == low else ""
            hint = say(f"typed_minus_{minus}") if minus else ""
            meant = [] if hint or prefix else self._slipped(figure.number, unit)
            if meant:
                hint = say("typed_did_you_mean", names=choices(meant))
            raise ReadingError(
                say(
                    "typed_cannot_be", text=shown(self.text), words=self.words, span=self.span(), hint=hint
                ).rstrip(),
                meant[0] if meant else None,
            )
        if figure.unit is None and self.by_hand and self.asked.name == "%" and 0 < value <= 1:
            # 0.64 as a share of 1 and 0.64 per cent would convict different parts.
            raise ReadingError(
                say(
                    "typed_share_or_percent",
                    text=shown(self.text),
                    what=f"{100 * value:.6g}",
                    value=f"{value:.6g}",
                ),
                f"{100 * value:.6g} %",
            )
        return value + 0.0  # -0 becomes 0

    def _slipped(self, number: float, unit: Unit) -> list[str]:
        """The same number in the usual units that it fits, where it is too much in the unit typed or asked for."""
        fitting = []
        for name in self.kind.common:
            other = self.kind.units[name]
            base = number * other.factor + other.offset
            if not other.offset and other.factor < unit.factor and self.kind.least <= base <= self.kind.high:
                fitting.append(f"{number:.12g} {other.name}")
        return fitting[:2]

    def which(self, number: float, unit: Unit, base: float | None) -> ReadingError:
        """The question which prefix was meant: the other case first, then what is usual for the quantity."""
        stem = unit.name[1:]
        usual = {"capacitance": "u", "power": "k", "energy": "k"}.get(self.kind.name, "")
        meant = [
            self.kind.units.get(letter + stem)
            for letter in (usual, "M" if unit.prefix == "m" else "m")
            if letter
        ]
        fitting = [
            f"{number:.12g} {each.name}"
            for each in meant
            if each is not None and self.kind.least <= abs(number * each.factor) <= self.kind.high
        ]
        if not fitting or self.kind.low <= number < 0:
            return ReadingError(
                say(
                    "typed_cannot_be_prefix",
                    text=shown(self.text),
                    words=self.words,
                    span=self.span(),
                    prefixes=say("typed_prefix_case"),
                )
            )
        plain = "" if base is None else f" ({format_quantity(base / self.asked.factor, self.unit)})"
        return ReadingError(
            say(
                "typed_not_expected",
                text=shown(self.text),
                plain=plain,
                prefixes=say("typed_prefix_case"),
                names=choices(fitting),
                unit=self.unit,
                span=self.span(),
            ),
            fitting[0],
        )

    def span(self) -> str:
        """What may be typed, in words: 'from 0 to 200 A'."""
        low = (self.kind.low - self.asked.offset) / self.asked.factor
        high = (self.kind.high - self.asked.offset) / self.asked.factor
        if self.kind.name in ("resistance", "capacitance"):
            return say("typed_span_from_0", high=format_quantity(high, self.unit))
        unit = "" if self.unit == "1" else f" {self.unit}"
        return (
            say("typed_span", low=f"{low:.0f}", high=f"{high:.0f}", unit=unit)
            if high >= 1e6
            else say("typed_span", low=f"{low:.6g}", high=f"{high:.6g}", unit=unit)
        )

    def not_understood(self) -> ReadingError:
        """The refusal of a text that is no reading at all, with what to type instead where that can be guessed."""
        about = _ABOUT.fullmatch(self.text.strip())
        if about:
            return ReadingError(
                say("typed_wavers", text=shown(self.text), about=about[1]),
                about[1],
            )
        if _SHORT.fullmatch(self.text.strip()) and self.kind.name == "resistance":
            return ReadingError(say("typed_short", text=shown(self.text)))
        key = "typed_not_understood_or_ol" if self.kind.over_range else "typed_not_understood"
        return ReadingError(say(key, text=shown(self.text), words=self.words, span=self.span()))


def _whole(ratio: float) -> bool:
    return 1 <= ratio < 1e15 and abs(ratio - round(ratio)) < 1e-9 * ratio
