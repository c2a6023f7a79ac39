"""The small arithmetic of rule files: numbers, names, + - * / **, brackets and whitelisted functions.

Own tokenizer and recursive descent; nothing is ever handed to Python's `eval`. Text, depth and number of
parts are bounded before anything is computed, and all arithmetic is on floats, so that no rule file can
take long or grow a number without end. Powers bind tighter than a sign and to the right, as in algebra:
-2 ** 2 is -4, 2 ** 3 ** 2 is 512.
"""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.formulas.compound_units import UNITS, USUAL_UNITS, parts_of
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.typo_hints import DASHES
from faultfinder.trade.functions import FUNCTIONS as TRADE_FUNCTIONS

MAX_LENGTH = 300
MAX_DEPTH = 24
MAX_EXPONENT = 16.0
OL = "OL"

Function = Callable[..., float]
_Evaluate = Callable[[Mapping[str, float]], float]


class ExpressionError(FaultFinderError):
    """An expression that cannot be read or computed; `offset` is where in its text, counted from 0."""

    def __init__(self, message: str, offset: int = 0, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.offset = offset
        self.hint = hint


FUNCTIONS: Mapping[str, Function] = {
    "min": min,
    "max": max,
    "abs": abs,
    "sqrt": math.sqrt,
    "exp": math.exp,
    "log": math.log,
    **TRADE_FUNCTIONS,
}
"""Functions that expressions may use, by name."""

_PLAIN_ARITY = {"min": (2, 8), "max": (2, 8), "abs": (1, 1), "sqrt": (1, 1), "exp": (1, 1), "log": (1, 1)}


def arity(name: str, function: Function) -> tuple[int, int]:
    """Least and most arguments of a function."""
    if name in _PLAIN_ARITY:
        return _PLAIN_ARITY[name]
    parameters = inspect.signature(function).parameters.values()
    return sum(p.default is inspect.Parameter.empty for p in parameters), len(parameters)


class NoValue(ExpressionError):
    """An expression uses a name that has no value."""


@dataclass(frozen=True, slots=True)
class Number:
    """A number as it stands; `offset` is where in the text, counted from 0, as everywhere in the tree.

    unit: the one written behind it in [ ]; it changes nothing of the value, and is held against the others.
    """

    value: float
    text: str
    offset: int
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Mention:
    """The name of a fact or of a `let`."""

    name: str
    offset: int


@dataclass(frozen=True, slots=True)
class Negative:
    inner: Tree
    offset: int


@dataclass(frozen=True, slots=True)
class Joined:
    """Two parts with a sign between them: + - * / or **."""

    sign: str
    left: Tree
    right: Tree
    offset: int


@dataclass(frozen=True, slots=True)
class Call:
    name: str
    arguments: tuple[Tree, ...]
    offset: int


Tree = Number | Mention | Negative | Joined | Call


@dataclass(frozen=True, slots=True)
class Expression:
    """A parsed expression. names: the facts and `let` names it uses, in order of first mention. tree: its parts; None
    for OL and -OL, which stand alone."""

    text: str
    names: tuple[str, ...]
    tree: Tree | None
    _run: _Evaluate

    def evaluate(self, values: Mapping[str, float]) -> float:
        """Its value; infinite only for OL and -OL. Raises ExpressionError where it has none."""
        try:
            value = self._run(values)
        except KeyError as error:
            raise NoValue(f'"{error.args[0]}" has no value') from None
        except ZeroDivisionError:
            raise ExpressionError(f'"{self.text}" divides by zero') from None
        except OverflowError:
            raise ExpressionError(f'"{self.text}" grows beyond all bounds') from None
        except ValueError as error:
            # Python's own words for a root or logarithm out of its range are no help to an author.
            reason = "a root or logarithm of what has none" if "domain" in str(error) else str(error)
            raise ExpressionError(f'"{self.text}" cannot be computed: {reason}') from None
        except FaultFinderError as error:
            raise ExpressionError(f'"{self.text}" cannot be computed: {error}') from None
        if isinstance(value, complex) or math.isnan(value):
            raise ExpressionError(f'"{self.text}" has no real value')
        if math.isinf(value) and self.text not in (OL, f"-{OL}"):
            raise ExpressionError(f'"{self.text}" grows beyond all bounds')
        return value


@lru_cache(maxsize=4096)
def parse(text: str) -> Expression:
    """Reads an expression. Raises ExpressionError that says what is wrong and at which letter."""
    if text == OL:
        return Expression(text, (), None, lambda values: math.inf)
    if text.replace(" ", "") == f"-{OL}":
        return Expression(f"-{OL}", (), None, lambda values: -math.inf)
    return parse_with(text, FUNCTIONS)


def names_in(text: str) -> tuple[str, ...]:
    """The names that an expression uses; none where it cannot be read."""
    try:
        return parse(text).names if text else ()
    except ExpressionError:
        return ()


def parse_with(text: str, functions: Mapping[str, Function]) -> Expression:
    """Reads an expression that may use these functions by name. Raises ExpressionError as `parse`."""
    if len(text) > MAX_LENGTH:
        raise ExpressionError(f"the expression has {len(text)} letters; at most {MAX_LENGTH} are read")
    parser = _Parser(text, functions)
    tree = parser.whole()
    return Expression(text, tuple(parser.names), tree, _runs(tree, functions))


_SIGNS = {
    "%": "a share is a number: 0.2 for 20 %",
    "²": "a power is **",
    "³": "a power is **",
    "^": "a power is **",
    "×": "times is *",
    "÷": "divided by is /",
} | dict.fromkeys(DASHES, "write the minus of the keyboard: -")
"""Signs that people write and that mean nothing here -> what to write."""
_TOKEN = re.compile(
    r"\s*(?:(?P<number>(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?)|(?P<name>[A-Za-z_][A-Za-z0-9_]*)|(?P<sign>\*\*|[-+*/(),]))"
)


_UNIT = re.compile(r"\s*\[([^\[\]]*)\]")
"""A unit behind a number, as in 60 [s/min]."""
_BINDS = {"+": 1, "-": 1, "*": 2, "/": 2, "**": 4}
_SIGN_BINDS = 3
"""How tightly signs bind; that of one number between them: tighter than times, looser than a power."""


@dataclass(frozen=True, slots=True)
class _Token:
    """kind: number, name, sign or end. unit: the one behind a number."""

    kind: str
    text: str
    offset: int
    unit: str = ""


def _tokens(text: str) -> Iterator[_Token]:
    position = 0
    while text[position:].strip():
        match = _TOKEN.match(text, position)
        if match is None:
            offset = position + len(text[position:]) - len(text[position:].lstrip())
            letter = text[offset]
            hint = "a unit in [ ] stands behind a number: 60 [s/min]" if letter in "[]" else ""
            raise ExpressionError(
                f'"{letter}" means nothing in an expression', offset, hint or _SIGNS.get(letter, "")
            )
        kind = match.lastgroup or ""
        position = match.end()
        unit = _UNIT.match(text, position) if kind == "number" else None
        if unit is not None:
            _refuse_unknown(unit)
            position = unit.end()
        yield _Token(kind, match[kind], match.start(kind), unit[1].strip() if unit else "")
    yield _Token("end", "", len(text))


def _refuse_unknown(unit: re.Match[str]) -> None:
    try:
        parts_of(unit[1])
    except ValueError as error:
        part = str(error)
        hint = did_you_mean(part, USUAL_UNITS) or "such as [s/min] or [kJ/l/K]"
        raise ExpressionError(f'there is no unit "{part}"', unit.start(1), hint) from None


class _Parser:
    """Numbers, names, calls and brackets, joined by signs as tightly as these bind."""

    def __init__(self, text: str, functions: Mapping[str, Function]) -> None:
        self.functions = functions
        self.tokens = list(_tokens(text))
        self.at = 0
        self.names: dict[str, None] = {}

    @property
    def _next(self) -> _Token:
        return self.tokens[self.at]

    def whole(self) -> Tree:
        tree = self._part(1, 0)
        token = self._next
        if token.kind != "end":
            hint = _between(token)
            if self.at and self.tokens[self.at - 1].kind == "number" and token.text in UNITS:
                hint = f"leave {token.text} out: the unit stands under unit:; or write it in [ ]"
            raise ExpressionError(f'"{token.text}" does not fit here', token.offset, hint)
        return tree

    def _take(self, *texts: str) -> str | None:
        token = self._next
        if token.kind == "sign" and token.text in texts:
            self.at += 1
            return token.text
        return None

    def _part(self, binding: int, depth: int) -> Tree:
        """What is joined by signs that bind at least so tightly. depth: of brackets, powers and signs around it."""
        if depth > MAX_DEPTH:
            raise ExpressionError("the expression is nested too deep", self._next.offset)
        at = self._next.offset
        sign = self._take("-", "+")
        left = self._part(_SIGN_BINDS, depth + 1) if sign else self._atom(depth)
        if sign == "-":
            left = Negative(left, at)
        while _BINDS.get(self._next.text, 0) >= binding:
            at = self._next.offset
            sign = self._take(*_BINDS) or ""
            if sign == "**":  # to the right, and a sign may follow
                left = Joined(sign, left, self._part(_SIGN_BINDS, depth + 1), at)
            else:
                left = Joined(sign, left, self._part(_BINDS[sign] + 1, depth), at)
        return left

    def _atom(self, depth: int) -> Tree:
        token = self._next
        if token.kind == "end":
            raise ExpressionError("the expression breaks off", token.offset)
        self.at += 1
        if token.kind == "number":
            value = float(token.text)
            if value > 1e12:
                raise ExpressionError(f'"{token.text}" is beyond any sane size', token.offset)
            return Number(value, token.text, token.offset, token.unit)
        if token.kind == "name":
            if self._take("("):
                return self._call(token, depth)
            if token.text == OL:
                raise ExpressionError("OL stands alone as a limit, never inside an expression", token.offset)
            self.names.setdefault(token.text)
            return Mention(token.text, token.offset)
        if token.text == "(":
            inner = self._part(1, depth + 1)
            self._close()
            return inner
        raise ExpressionError(f'"{token.text}" does not fit here', token.offset)

    def _close(self) -> None:
        if self._take(")") is None:
            hint = "inside { } or [ ] an expression with a comma stands in quotes"
            raise ExpressionError("a bracket is not closed", self._next.offset, hint)

    def _call(self, token: _Token, depth: int) -> Tree:
        function = self.functions.get(token.text)
        if function is None:
            hint = did_you_mean(token.text, self.functions)
            raise ExpressionError(f'there is no function "{token.text}"', token.offset, hint)
        arguments: list[Tree] = []
        if self._take(")") is None:
            arguments.append(self._part(1, depth + 1))
            while self._take(","):
                arguments.append(self._part(1, depth + 1))
            self._close()
        least, most = arity(token.text, function)
        if not least <= len(arguments) <= most:
            wanted = str(least) if least == most else f"{least} to {most}"
            raise ExpressionError(f"{token.text} takes {wanted} numbers, not {len(arguments)}", token.offset)
        return Call(token.text, tuple(arguments), token.offset)


def _between(token: _Token) -> str:
    """What to do about a part that follows another one with nothing between them."""
    if token.kind == "sign":
        return "decimals have a point" if token.text == "," else ""
    if token.text in ("x", "X"):
        return "times is *"
    return "put * or another sign in front of it; a unit stands under unit:, or in [ ] behind its number"


def _runs(tree: Tree, functions: Mapping[str, Function]) -> _Evaluate:
    """What computes a tree, so that a limit that is asked for ten thousand times is not walked through each time."""
    match tree:
        case Number(value):
            return lambda values: value
        case Mention(name):
            return lambda values: values[name]
        case Negative(inner):
            negated = _runs(inner, functions)
            return lambda values: -negated(values)
        case Joined(sign, left, right):
            return _joined(sign, _runs(left, functions), _runs(right, functions))
        case Call(name, arguments):
            function = functions[name]
            runs = [_runs(argument, functions) for argument in arguments]
            return lambda values: float(function(*[run(values) for run in runs]))


def _joined(sign: str, left: _Evaluate, right: _Evaluate) -> _Evaluate:
    # Written out: limits are asked for ten thousand times, and a call for the sign would cost a seventh more.
    match sign:
        case "+":
            return lambda values: left(values) + right(values)
        case "-":
            return lambda values: left(values) - right(values)
        case "*":
            return lambda values: left(values) * right(values)
        case "/":
            return lambda values: left(values) / right(values)
    return lambda values: _power(left(values), right(values))


def _power(base: float, exponent: float) -> float:
    if abs(exponent) > MAX_EXPONENT:
        raise ValueError(f"a power of {exponent:g} is too high")
    if base < 0 and exponent != int(exponent):
        raise ValueError("a root of a negative number")
    return float(base**exponent)
