"""Drawing: a machine, and how bad a fault is on it. All chance comes from the seed or the generator handed over."""

from __future__ import annotations

import math
import random
from collections.abc import Mapping
from dataclasses import replace
from types import MappingProxyType

from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Around, Between, ByWord, Change, Description, Pick, Spec
from faultfinder.practice.machine import Machine, PracticeError, PresentFault
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.text.catalogue import say

Value = float | str
_SPREADS = 2.5
"""How many of its spreads a drawn number may lie off."""


def draw_value(spec: Spec, chance: random.Random, values: Mapping[str, Value]) -> Value:
    """One value by a rule; `values` are those that expressions and choices of the rule may use."""
    if isinstance(spec, float | int):
        return float(spec)
    if isinstance(spec, Between):
        if spec.log:
            return math.exp(chance.uniform(math.log(spec.low), math.log(spec.high)))
        return chance.uniform(spec.low, spec.high)
    if isinstance(spec, Pick):
        return chance.choices(spec.values, spec.weights)[0]
    if isinstance(spec, ByWord):
        rule = spec.rules.get(str(values.get(spec.word, "")), spec.rules.get(""))
        return 0.0 if rule is None else draw_value(rule, chance, values)
    numbers = {name: float(value) for name, value in values.items() if isinstance(value, float)}
    if isinstance(spec, Around):
        off = max(-_SPREADS, min(_SPREADS, chance.gauss(0.0, 1.0)))
        return spec.middle.evaluate(numbers) * (1.0 + spec.spread * off)
    return spec.evaluate(numbers)


def draw_machine(
    pack: Pack,
    description: Description,
    seed: str,
    *,
    vary: float = 0.0,
    words: Mapping[str, str] | None = None,
    numbers: Mapping[str, float] | None = None,
) -> Machine:
    """A sound machine. vary: share by which each constant may be off; words, numbers: what is settled beforehand."""
    chance = random.Random(f"machine:{seed}")
    values: dict[str, Value] = {}
    for name, spec in description.drawn.items():
        drawn = draw_value(spec, chance, values)
        if words and name in words:
            drawn = words[name]
        elif numbers and name in numbers:
            drawn = numbers[name]
        values[name] = drawn
    for name, constant in description.constants.items():
        values[name] = constant * (1.0 + chance.uniform(-vary, vary))
    return Machine(
        pack,
        description,
        MappingProxyType({name: value for name, value in values.items() if isinstance(value, str)}),
        MappingProxyType({name: value for name, value in values.items() if isinstance(value, float)}),
        seed,
    )


def draw_fault(machine: Machine, cause: str, chance: random.Random, brought_on_by: str = "") -> PresentFault:
    """How bad a fault is on this machine. Raises PracticeError where it cannot be there."""
    note = machine.description.faults.get(cause)
    if note is None:
        raise PracticeError(say("making_no_machine_can_made", cause=cause))
    if not possible(machine.pack.causes[cause].applies, machine.facts()):
        raise PracticeError(say("making_cannot_on_machine", cause=cause))
    values: dict[str, Value] = {**machine.base, **machine.words}
    way = chance.choice(note.ways)
    return PresentFault(cause, tuple(_drawn(change, chance, values) for change in way), 1.0, brought_on_by)


def _drawn(change: Change, chance: random.Random, values: Mapping[str, Value]) -> tuple[str, str, float]:
    value = draw_value(change.to, chance, values)
    assert isinstance(value, float)
    return change.name, change.does, value


def with_present_share(fault: PresentFault, share: float) -> PresentFault:
    """The fault, there only that share of the time."""
    return replace(fault, present_share=share)
