"""One practice machine: what was drawn for it, the faults it has, and what each observation would show.

A `Machine` is a value: putting a fault right or bringing one on makes another. Numbers are worked out when they
are asked for and kept. Chance comes in only through the generator that the caller hands over; what chance once
gave a machine (a `luck_` number) stays with it.
"""

from __future__ import annotations

import math
import random
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.formulas.expression import Expression
from faultfinder.knowledge.model import Kind, Observation, Pack, Question
from faultfinder.practice.description import LUCK, USUAL, Appearance, ByWord, Condition, Description, Spec
from faultfinder.practice.solvers import OPEN, SOLVERS
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety.actions import Action
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import over_range_top
from faultfinder.trade.readings.units import quantity_named, unit_named


class PracticeError(FaultFinderError):
    """A machine that cannot be: a ring among its numbers, a fault that does not apply."""


@dataclass(frozen=True, slots=True)
class PresentFault:
    """A fault that this machine has: what it changes, in numbers. present_share: of the time (1: always)."""

    cause: str
    changes: tuple[tuple[str, str, float], ...]
    present_share: float = 1.0
    brought_on_by: str = ""


@dataclass(frozen=True)
class Machine:
    """words: the choices of the machine; base: what was drawn, and the constants as varied for it."""

    pack: Pack
    description: Description
    words: Mapping[str, str]
    base: Mapping[str, float]
    seed: str
    faults: tuple[PresentFault, ...] = ()
    _kept: dict[str, float] = field(default_factory=dict, repr=False, compare=False)
    _sound: list[Machine] = field(default_factory=list, repr=False, compare=False)
    _asked: list[str] = field(default_factory=list, repr=False, compare=False)

    # -- numbers ---------------------------------------------------------------------------------------

    def number(self, name: str) -> float:
        """A number of this machine by name. Raises PracticeError for an unknown one or a ring."""
        if name in self._kept:
            return self._kept[name]
        if name in self._asked:
            raise PracticeError(say("machine_waits_for_itself", name=name, names=" -> ".join(self._asked)))
        self._asked.append(name)
        try:
            self._kept[name] = value = self._work_out(name)
        finally:
            self._asked.pop()
        return value

    def _work_out(self, name: str) -> float:
        if name.startswith(LUCK):
            return random.Random(f"{self.seed}:{name}").random()
        if name in self.base:
            return self._levered(name)
        if name in self.description.quantities:
            return self._spec(self.description.quantities[name])
        if name.startswith(USUAL):
            return self.sound().number(name.removeprefix(USUAL))
        for call in self.description.solved.values():
            if (
                name.startswith(call.id + "_")
                and name.removeprefix(call.id + "_") in SOLVERS[call.solver].gives
            ):
                given = {key: self._spec(spec) for key, spec in call.given.items()}
                found = SOLVERS[call.solver].run(given)
                self._kept.update({f"{call.id}_{key}": value for key, value in found.items()})
                return found[name.removeprefix(call.id + "_")]
        raise PracticeError(say("machine_nothing_gives", name=name))

    def _levered(self, name: str) -> float:
        """What was drawn, with what the faults do to it: first what sets it, then what scales it, then limits."""
        value = self.base[name]
        changes = [change for fault in self.faults for change in fault.changes if change[0] == name]
        for how in ("is", "times", "plus", "at_most", "at_least"):
            for _, does, to in (change for change in changes if change[1] == how):
                value = _changed(value, does, to)
        return value

    def _spec(self, spec: Spec) -> float:
        if isinstance(spec, float | int):
            return float(spec)
        if isinstance(spec, Expression):
            return self.evaluate(spec)
        if isinstance(spec, ByWord):
            word = self.words.get(spec.word, "")
            rule = spec.rules.get(word, spec.rules.get(""))
            return 0.0 if rule is None else self._spec(rule)
        raise PracticeError(say("machine_only_numbers_expressions_choices"))

    def evaluate(self, expression: Expression) -> float:
        return expression.evaluate({name: self.number(name) for name in expression.names})

    def told_when_asked(self, fact: str) -> bool:
        """Whether a fact is to be had where a reading that hangs on it is about to be taken; one that this kind of
        practice machine does not speak of never is."""
        note = self.description.facts.get(fact)
        return note is not None and self.number(f"{LUCK}told_{fact}") < note.when_asked

    def sound(self) -> Machine:
        """The same machine without its faults."""
        if not self.faults:
            return self
        if not self._sound:
            self._sound.append(self.with_faults(()))
        return self._sound[0]

    def with_faults(self, faults: Iterable[PresentFault]) -> Machine:
        return Machine(self.pack, self.description, self.words, self.base, self.seed, tuple(faults))

    def without(self, cause: str) -> Machine:
        """The machine once this fault was put right, and what the rules say that its remedy also mends."""
        mended = {cause, *self.pack.causes[cause].also_mends}
        return self.with_faults(fault for fault in self.faults if fault.cause not in mended)

    @property
    def causes(self) -> frozenset[str]:
        """Ids of the faults it has."""
        return frozenset(fault.cause for fault in self.faults)

    @property
    def causes_in_order(self) -> tuple[str, ...]:
        """The same in the order they were given."""
        return tuple(fault.cause for fault in self.faults)

    def holds(self, condition: Condition, misjudged: float = 1.0) -> bool:
        """Whether a condition holds; `misjudged` scales what stands on its left."""
        for part in condition.parts:
            if all(self._test(left, more, right, misjudged) for left, more, right in part):
                return True
        return False

    def _test(self, left: Expression, more: bool, right: Expression, misjudged: float) -> bool:
        seen, limit = self.evaluate(left) * misjudged, self.evaluate(right)
        return seen > limit if more else seen < limit

    # -- what it looks like ----------------------------------------------------------------------------

    def facts(self) -> dict[str, str]:
        """Every fact that applies to this machine, as a technician would read it."""
        facts: dict[str, str] = {}
        for note in self.description.facts.values():
            fact = self.pack.facts[note.id]
            if note.word:
                value = self.words.get(note.word, "")
                if value not in fact.choices:
                    continue
            else:
                assert note.value is not None
                value = _shown(_rounded(self.evaluate(note.value), note.step))
            facts[note.id] = value
        return {
            name: value for name, value in facts.items() if possible(self.pack.facts[name].applies, facts)
        }

    def applies(self, item: Observation | Question) -> bool:
        return possible(item.applies, self.facts())

    def cannot(self, name: str) -> str:
        """Why an observation or question cannot be made on this machine as it is, or empty."""
        for each in self.description.cannot:
            if name in each.these and self.holds(each.when):
                return each.says
        question = self.pack.questions.get(name)
        if question is not None:
            reasons = [self.cannot(each) for each in question.observations]
            return reasons[0] if reasons and all(reasons) else ""
        return ""

    def outcome(self, action: Action) -> str:
        """What a numbered safety action finds: the id of its outcome."""
        note = self.description.actions.get(action.id)
        for outcome, condition in note.outcomes if note else ():
            if self.holds(condition):
                return outcome
        return action.outcomes[0].id

    def answer(self, name: str, chance: random.Random | None = None) -> str:
        """What somebody finds who makes this observation: an answer id, or a reading as a meter shows it.

        Without `chance`: what is really so (no misjudging, no meter noise).
        """
        note = self.description.appearances[name]
        observation = self.pack.observations[name]
        now = self._as_it_is_now(chance)
        if note.reads is not None:
            return now._reading(note, observation, chance)
        misjudged = 1.0
        if chance is not None and note.noise > 0:
            # By chance; an owner judges by the same measure each time.
            told = observation.kind is Kind.TOLD
            judge = random.Random(f"{self.seed}:judged:{observation.id}") if told else chance
            misjudged = math.exp(judge.gauss(0.0, note.noise))
        for answer, condition in note.says:
            if now.holds(condition, misjudged):
                return answer
        return observation.healthy

    def _as_it_is_now(self, chance: random.Random | None) -> Machine:
        """The machine with those faults that come and go either there or not just now."""
        coming_and_going = [fault for fault in self.faults if fault.present_share < 1.0]
        if chance is None or not coming_and_going:
            return self
        there = [f for f in self.faults if f.present_share >= 1.0 or chance.random() < f.present_share]
        return self if len(there) == len(self.faults) else self.with_faults(there)

    def _reading(self, note: Appearance, observation: Observation, chance: random.Random | None) -> str:
        spec = observation.reading
        assert note.reads is not None and spec is not None
        value = self.evaluate(note.reads)
        if spec.quantity == "resistance" and value >= min(
            over_range_top(spec.quantity, spec.unit), 0.4 * OPEN
        ):
            return "OL"
        quantity = quantity_named(spec.quantity)
        unit = unit_named(quantity, spec.unit)
        if chance is not None:
            relative, absolute = self.pack.meter.get(spec.quantity, (0.01, 0.0))
            spread = math.hypot(relative * value, absolute / unit.factor, note.noise * value)
            value += max(-3.0, min(3.0, chance.gauss(0.0, 1.0))) * spread
        # No meter shows what cannot be: its noise ends at the limits of the quantity.
        low, high = ((limit - unit.offset) / unit.factor for limit in (quantity.low, quantity.high))
        value = max(low, min(high, value))
        text = _shown(_rounded(value, 10.0**-note.decimals) if abs(value) < 1000 else float(f"{value:.4g}"))
        # A bare number up to 1 could be a share as well, and would be asked back.
        return f"{text} %" if spec.unit == "%" else text

    def truth(self) -> dict[str, str]:
        """What each observation that applies and can be made would really show."""
        facts = self.facts()
        return {
            name: self.answer(name)
            for name, item in self.pack.observations.items()
            if possible(item.applies, facts) and not self.cannot(name)
        }


def _changed(value: float, how: str, to: float) -> float:
    match how:
        case "is":
            return to
        case "times":
            return value * to
        case "plus":
            return value + to
        case "at_most":
            return min(value, to)
        case _:
            return max(value, to)


def _rounded(value: float, step: float) -> float:
    return round(value / step) * step if step > 0 else value


def _shown(value: float) -> str:
    return f"{value:.6g}"
