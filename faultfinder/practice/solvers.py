"""The physics that a description of machines may call by name: named numbers in, named numbers out.

`FUNCTIONS` are for expressions, `SOLVERS` for the `solved:` part. Nothing here knows which appliance it is.
"""

from __future__ import annotations

import dataclasses
import inspect
from collections.abc import Callable, Mapping
from types import MappingProxyType

from faultfinder.knowledge.formulas.expression import FUNCTIONS as RULE_FUNCTIONS
from faultfinder.knowledge.formulas.expression import Function
from faultfinder.practice import air, drying, motor

OPEN = 1e9
"""Ohm of what is open: expressions hold no infinity."""

Numbers = Mapping[str, float]


def above(a: float, b: float) -> float:
    """1 where a > b, else 0"""
    return 1.0 if a > b else 0.0


def below(a: float, b: float) -> float:
    """1 where a < b, else 0"""
    return 1.0 if a < b else 0.0


def either(condition: float, yes: float, no: float) -> float:
    """`yes` where the condition is above 0.5, else `no`"""
    return yes if condition > 0.5 else no


def within(value: float, low: float, high: float) -> float:
    """The value, held between two limits"""
    return max(low, min(high, value))


FUNCTIONS: Mapping[str, Function] = MappingProxyType(
    {
        **RULE_FUNCTIONS,
        "above": above,
        "below": below,
        "either": either,
        "within": within,
        "open_k": air.open_k,
    }
)


_WINDINGS = tuple(each.name for each in dataclasses.fields(motor.Windings))


def _motor(given: Numbers) -> Numbers:
    windings = motor.Windings(**{name: given[name] for name in _WINDINGS if name in given})
    rest = {name: value for name, value in given.items() if name not in _WINDINGS}
    return _numbers(motor.running(windings, **rest))


def _numbers(found: air.Flow | drying.Course | motor.Running) -> Numbers:
    return {name: float(value) for name, value in dataclasses.asdict(found).items()}


@dataclasses.dataclass(frozen=True, slots=True)
class Solver:
    """needs: what it must be given; gives: what it answers, each under its own name."""

    needs: tuple[str, ...]
    gives: tuple[str, ...]
    run: Callable[[Numbers], Numbers]


def _names(kind: type) -> tuple[str, ...]:
    return tuple(each.name for each in dataclasses.fields(kind))


def _given(solve: Callable[..., object]) -> tuple[str, ...]:
    """What a function must be given."""
    return tuple(inspect.signature(solve).parameters)


_OF_A_MOTOR = (
    *(name for name in _WINDINGS if name != "hertz"),
    *(name for name in _given(motor.running) if name != "windings"),
)


SOLVERS: Mapping[str, Solver] = MappingProxyType(
    {
        "air": Solver(_given(air.flow), _names(air.Flow), lambda given: _numbers(air.flow(**given))),
        "drying": Solver(
            _names(drying.Setting),
            _names(drying.Course),
            lambda given: _numbers(drying.dry(drying.Setting(**given))),
        ),
        "motor": Solver(_OF_A_MOTOR, _names(motor.Running), _motor),
    }
)
