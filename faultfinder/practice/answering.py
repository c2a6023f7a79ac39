"""What a customer or an apprentice answers: mostly what is there, sometimes not.

A wrong answer is another answer of the same observation, any alike; a misread meter shows a decimal point slipped,
two digits changed over, or the reading of the neighbouring part.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.model import Observation, Question
from faultfinder.practice.draw import readable_facts
from faultfinder.practice.machine import Machine
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.reasoning.evidence.facts import FactValue, possible, read_facts

MISREAD = (0.1, 10.0, 0.5, 2.0)
"""By what a misread meter is off; chosen."""


@dataclass(frozen=True, slots=True)
class Witness:
    """Somebody who answers. wrong: chance that an answer is a wrong one (0..1)."""

    wrong: float = 0.0

    def answer(self, machine: Machine, name: str, chance: random.Random) -> str:
        """The answer to one observation as given: an answer id, or a reading as typed."""
        observation = machine.pack.observations[name]
        answer = machine.answer(name, chance)
        if self.wrong > 0 and chance.random() < self.wrong:
            return wrong_answer(observation, answer, chance)
        return answer

    def choices(
        self,
        machine: Machine,
        question: Question,
        chance: random.Random,
        said: Mapping[str, str] = MappingProxyType({}),
    ) -> tuple[str, ...]:
        """What is ticked at a question that sets several observations; `said`: answers that stand already. What the
        machine has none of is not ticked, nor would it be shown."""
        facts = read_facts(machine.pack, readable_facts(machine))
        answers = {
            name: said[name]
            if name in said
            else as_judged(machine, name, self.answer(machine, name, chance), facts)
            for name in question.observations
        }
        if not question.several:

            def fits(choice: int) -> int:
                return sum(answers[name] == value for name, value in question.choices[choice].sets.items())

            return (question.choices[max(range(len(question.choices)), key=fits)].id,)
        ticked = [
            choice.id
            for choice in question.choices
            if all(
                answers[name] == value and possible(machine.pack.observations[name].applies, facts)
                for name, value in choice.sets.items()
            )
        ]
        return (*ticked, "none")


def as_judged(machine: Machine, name: str, shown: str, facts: Mapping[str, FactValue]) -> str:
    """The answer that what is shown comes to: of a reading, the band that it falls in on a machine of these facts."""
    item = machine.pack.observations[name]
    if item.reading is None:
        return shown
    return judge(machine.pack, item, understand(item, shown, 0), facts).answer


def _taken(observation: Observation, text: str) -> bool:
    try:
        understand(observation, text, 0)
    except FaultFinderError:
        return False
    return True


def wrong_answer(observation: Observation, answer: str, chance: random.Random) -> str:
    """An answer that is not the one found."""
    if observation.reading is not None:
        number, space, unit = answer.partition(" ")
        try:
            value = float(number)
        except ValueError:
            # OL taken for a reading: fingers on the probes, or a loose lead the other way round.
            return f"{chance.uniform(0.5, 60.0):.3g}"
        if value == 0.0:
            return "OL" if observation.reading.quantity == "resistance" else answer
        slips = [f"{value * factor:.4g}{space}{unit}" for factor in MISREAD]
        # A figure that cannot be is refused where it is typed, and the meter looked at again.
        taken = [slip for slip in slips if _taken(observation, slip)]
        return chance.choice(taken) if taken else answer
    others = [each.id for each in observation.answers if each.id != answer]
    return chance.choice(others) if others else answer
