"""Of what quantity and unit an expression of a rule file comes out: dimensional analysis, with the units' sizes.

Every fact has a unit, every trade formula says in which units it wants its numbers, and a reading its own. A number
that stands in an expression may have one written behind it: 60 [s/min]. One without, as a summand, has the unit of
the other side. As a factor it is taken for a mere share ("20 % more") while it is near 1, and may bring a unit with
it (4.19 kJ a litre and kelvin) where it is not: where nothing fits without, its author is asked to write it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from inspect import signature

from faultfinder.knowledge.data import beside
from faultfinder.knowledge.formulas.compound_units import parts_of
from faultfinder.knowledge.formulas.expression import FUNCTIONS, Call, Joined, Mention, Negative, Number, Tree
from faultfinder.trade.functions import SIGNATURES
from faultfinder.trade.readings.units import QUANTITIES

Powers = tuple[float, ...]
"""Exponents of kilogram, metre, second, ampere and kelvin (SI base units; BIPM, SI Brochure, 9th ed. 2019)."""

_NONE: Powers = (0, 0, 0, 0, 0)
_BASE_UNITS = ("kg", "m", "s", "A", "K")
_TOLD = beside(__package__, "dimensions")


def _in_base_units(told: str) -> tuple[Powers, float]:
    """`3600 kg*m2/s2`: the exponents, and the size in front."""
    found = re.fullmatch(r"([0-9.]+)?(?:/([0-9.]+))? ?([^0-9].*)?", told)
    assert found is not None
    powers = dict.fromkeys(_BASE_UNITS, 0.0)
    for sign, unit, power in re.findall(r"([*/]?)([a-zA-Z]+)(\d?)", found[3] or ""):
        powers[unit] = float(power or 1) * (-1 if sign == "/" else 1)
    return tuple(powers.values()), float(found[1] or 1) / float(found[2] or 1)


_OF: Mapping[str, tuple[Powers, float]] = {
    quantity: _in_base_units(told) for quantity, told in _TOLD["quantities"].items()
}
"""Quantity -> its exponents, and its base unit of trade/readings/units.py in SI base units."""

SHARE = (0.4, 2.5)
"""Factors between these are shares of a quantity, whatever their digits up to three. Chosen."""
PLAIN = (0.02, 40.0)
"""Factors outside these may bring a unit with them. Chosen: a limit is hardly twenty times another one."""
_ROUGH = 30.0
"""By how much the size of a result may be off where its numbers are no mere shares. Chosen: below a factor 60."""


@dataclass(frozen=True, slots=True)
class Size:
    """What a part of an expression is.

    powers, scale: the unit of the number without the factors written in the expression, in SI base units.
    factor: the product of those factors; None where a sum makes it unclear. words: the unit as it is written.
    bare: made of numbers alone, which fit any unit. loose: a factor may have brought a unit with it.
    shares: every factor is a mere share. written: some number is written in it.
    """

    powers: Powers = _NONE
    scale: float = 1.0
    words: tuple[tuple[str, float], ...] = ()
    factor: float | None = 1.0
    bare: bool = False
    loose: bool = False
    shares: bool = True
    written: bool = False

    @property
    def unit(self) -> str:
        """The unit in a line, such as V2/W."""
        above = [_to_the(symbol, power) for symbol, power in self.words if power > 0]
        below = [_to_the(symbol, -power) for symbol, power in self.words if power < 0]
        return "*".join(above or ["1"]) + "".join("/" + each for each in below)

    @property
    def title(self) -> str:
        """What it is in words: 'a power (kW)', or its unit alone where no quantity is so."""
        for quantity, (powers, _) in _OF.items():
            if powers == self.powers:
                return f"{QUANTITIES[quantity].title} ({self.unit})"
        return self.unit


def _to_the(symbol: str, power: float) -> str:
    return symbol if power == 1 else f"{symbol}{power:g}"


@dataclass(frozen=True, slots=True)
class Slip:
    """Something that does not fit: the letter of the expression where it stands, and what to do.

    sure: no number written in the expression could carry the unit that is missing.
    """

    offset: int
    message: str
    hint: str
    sure: bool


Names = Mapping[str, Size | None]
"""Fact or `let` -> what it is; None where that is not known."""


def of_unit(unit: str, quantity: str = "", highest: float = 0.0) -> Size | None:
    """The size of a unit of a quantity, or of the first quantity that has it; of no unit at all, a mere number. None
    for a unit that is not known. highest: the largest number in it, which tells farads from Fahrenheit."""
    if not unit:
        return Size()
    names = [quantity] if quantity in _OF else list(_OF)
    if not quantity and unit == "F" and highest > 1:
        names.insert(0, "temperature")
    for name in names:
        known = QUANTITIES[name].units.get(unit)
        if known is not None:
            powers, base = _OF[name]
            return Size(powers, base * known.factor, ((known.name, 1),))
    return None


def of_compound(unit: str) -> Size:
    """The size of a unit put together from several, as it is written behind a number: kJ/l/K."""
    size = Size()
    for symbol, power in parts_of(unit):
        part = of_unit(symbol)
        assert part is not None
        size = _product(size, part, power)
    return replace(size, words=((unit, 1),) if len(size.words) > 1 else size.words)


def sized(tree: Tree, names: Names, tell: Callable[[Slip], None]) -> Size | None:
    """What an expression comes out as; None where a part of it is not known or does not fit (then it is told)."""
    match tree:
        case Number(_, _, _, unit) if unit:
            return of_compound(unit)
        case Number(value, text):
            digits = len(re.sub(r"[eE].*$|\.", "", text).strip("0"))
            share = SHARE[0] <= value <= SHARE[1] and digits <= 3
            loose = not share and (not PLAIN[0] < value < PLAIN[1] or digits > 2)
            return Size(factor=value, bare=True, loose=loose, shares=share, written=True)
        case Mention(name):
            return names.get(name)
        case Negative(inner):
            return sized(inner, names, tell)
        case Joined(sign, left, right):
            first, second = sized(left, names, tell), sized(right, names, tell)
            if sign == "**":
                return _to_power(first, right)
            if first is None or second is None:
                return None
            if sign in "+-":
                return _sum(first, second, _start(right), tell)
            return _product(first, second, 1 if sign == "*" else -1)
        case Call(name, arguments):
            return _called(name, [(each, sized(each, names, tell)) for each in arguments], tell)


def _product(first: Size, second: Size, power: int) -> Size:
    factor = None
    if first.factor is not None and second.factor is not None and (power > 0 or second.factor):
        factor = first.factor * second.factor**power
    words = dict(first.words)
    for symbol, exponent in second.words:
        words[symbol] = words.get(symbol, 0) + power * exponent
    powers = tuple(a + power * b for a, b in zip(first.powers, second.powers, strict=True))
    if any(each.bare and each.factor == 0.0 for each in (first, second)):
        return Size(factor=0.0, bare=True, written=True)
    counted = (first.bare and _is_count(second)) or (second.bare and _is_count(first))
    return Size(
        powers,
        first.scale * second.scale**power,
        tuple((symbol, exponent) for symbol, exponent in words.items() if exponent),
        factor,
        bare=(first.bare and second.bare) or counted,
        loose=first.loose or second.loose,
        shares=first.shares and second.shares,
        written=first.written or second.written,
    )


def _is_count(size: Size) -> bool:
    """Whether it counts things: a number beside it may say how much each is (1.5 m a bend)."""
    return not size.words and size.scale == 1.0


def _to_power(base: Size | None, exponent: Tree) -> Size | None:
    if base is None:
        return None
    if not isinstance(exponent, Number):
        return base if base.bare else None
    number = exponent.value
    return replace(
        base,
        powers=tuple(number * each for each in base.powers),
        scale=base.scale**number,
        words=tuple((symbol, number * power) for symbol, power in base.words),
        factor=base.factor**number if base.factor is not None and base.factor > 0 else None,
    )


def _sum(first: Size, second: Size, offset: int, tell: Callable[[Slip], None]) -> Size | None:
    if first.bare or second.bare:
        whole, number = (second, first) if first.bare else (first, second)
        plain = whole.bare or whole.factor == 1.0
        return replace(
            whole,
            factor=1.0 if plain else None,
            loose=whole.loose or (whole.bare and number.loose),
            shares=whole.shares and whole.factor == 1.0,
            written=True,
        )
    slip = misfit(second, first, offset, f"{second.title} cannot be added to {first.title}")
    if slip is not None:
        tell(slip)
        return None
    kept = second if first.loose and not second.loose else first
    same = first.factor == second.factor or (first.shares and second.shares)
    return replace(
        kept,
        factor=kept.factor if same else None,
        loose=first.loose and second.loose,
        shares=first.shares and second.shares,
        written=first.written or second.written,
    )


_SAY_UNIT = "write the unit behind the number that brings it: 60 [s/min], 4.19 [kJ/l/K]"


def misfit(size: Size, wanted: Size, offset: int, message: str) -> Slip | None:
    """What is wrong where a size stands and another is wanted; None where it fits, or may."""
    if size.bare:
        return None
    sure = not size.written and not wanted.written
    if size.powers != wanted.powers:
        if size.loose or wanted.loose:
            return Slip(offset, f"{message}, unless a number in it has a unit", _SAY_UNIT, False)
        return Slip(offset, message, f"{_wanted(wanted)} belongs here", sure)
    needed = size.scale / wanted.scale
    if size.factor is None or math.isclose(needed, 1.0, rel_tol=1e-6):
        return None
    written = size.factor / (wanted.factor or 1.0) if wanted.factor is not None else size.factor
    if written <= 0:
        return None
    most = 1.001 if not size.written else SHARE[1] if size.shares else _ROUGH
    off = abs(math.log(written / needed))
    if off < math.log(most):
        return None
    how = f"multiply by {needed:g}" if needed > 1 else f"divide by {1 / needed:g}"
    hint = f"{how}, or change the unit" if size.unit != wanted.unit else how
    return Slip(offset, f"{size.unit} stands where {wanted.unit} is wanted", hint, sure)


def _wanted(size: Size) -> str:
    return "a plain number" if not size.words else size.title


def _start(tree: Tree) -> int:
    """The first letter of a part."""
    return _start(tree.left) if isinstance(tree, Joined) else tree.offset


def _called(
    name: str, arguments: list[tuple[Tree, Size | None]], tell: Callable[[Slip], None]
) -> Size | None:
    sizes = [size for _, size in arguments]
    if name in ("min", "max"):
        joined: Size | None = sizes[0]
        for tree, size in arguments[1:]:
            joined = (
                _sum(joined, size, _start(tree), tell) if joined is not None and size is not None else None
            )
        return joined
    if name == "abs":
        return sizes[0]
    if name == "sqrt":
        return _to_power(sizes[0], Number(0.5, "0.5", 0))
    if name in ("exp", "log"):
        return None
    told = False
    for (tree, size), (parameter, unit) in zip(arguments, _parameters(name), strict=False):
        wanted = of_unit(unit) if unit else None
        if size is None or wanted is None:
            continue
        message = f'{name} takes {parameter} in {unit}, and "{_text(tree)}" is {size.title}'
        if unit == "1":
            message = f'{name} takes {parameter} as a plain number, and "{_text(tree)}" is {size.title}'
        slip = misfit(size, wanted, _start(tree), message)
        if slip is not None:
            told = True
            tell(replace(slip, message=message))
    given = _gives(name)
    return of_unit(given) if given and not told else None


def _text(tree: Tree) -> str:
    match tree:
        case Number(_, text, _, unit):
            return f"{text} [{unit}]" if unit else text
        case Mention(name):
            return name
        case Negative(inner):
            return f"-{_text(inner)}"
        case Joined(sign, left, right):
            return f"{_text(left)} {sign} {_text(right)}"
        case Call(name):
            return f"{name}(...)"


@cache
def _parameters(name: str) -> tuple[tuple[str, str], ...]:
    """The parameters of a trade formula: (name in words, unit)."""
    known, units = _TOLD["parameters"], _TOLD["words"]
    found = []
    for parameter in signature(FUNCTIONS[name]).parameters:
        words = re.sub(r"\d+", "", parameter).split("_")
        unit = known.get(parameter, next((units[word] for word in words if word in units), ""))
        found.append((parameter.replace("_", " "), unit))
    return tuple(found)


@cache
def _gives(name: str) -> str:
    """The unit of what a trade formula gives; nothing where it is not known."""
    unit = SIGNATURES[name].rpartition(", ")[2]
    known = any(unit in quantity.units for quantity in QUANTITIES.values())
    return str(_TOLD["gives"].get(name, unit if known else ""))
