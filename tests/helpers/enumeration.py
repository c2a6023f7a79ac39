"""The meaning of a rule pack, spelt out: every fault set of a small pack, one by one.

Written from the definition (noisy-OR for what is there, noisy-MAX for what is seen, reliability for what is
said, one rate of errors for all that is said) and sharing no code with the engine.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Mapping

from faultfinder.knowledge.model import Pack
from faultfinder.reasoning import constants

Answers = Mapping[str, str]


def chance_absent(pack: Pack, name: str, present: set[str]) -> float:
    item = pack.causes.get(name) or pack.states[name]
    own = pack.causes[name].how_common if name in pack.causes else 0.0
    absent = 1.0 - own
    for bringer, weight in item.brought_on_by.items():
        if bringer in present:
            absent *= 1.0 - weight
    return absent


def answer_distribution(pack: Pack, observation: str, present: set[str]) -> list[float]:
    """P(true answer | who is present): the most overriding of what the present ones and the background push."""
    item = pack.observations[observation]
    upto = []
    for level in range(len(item.answers)):
        chance = sum(item.background[: level + 1])
        for name in present:
            source = pack.causes.get(name) or pack.states[name]
            link = source.shows.get(observation)
            if link is not None:
                chance *= sum(link.pushes[: level + 1])
        upto.append(chance)
    return [upto[0]] + [upto[level] - upto[level - 1] for level in range(1, len(upto))]


def said_chance(pack: Pack, observation: str, answer: str, present: set[str]) -> float:
    """P(that answer is given | who is present)."""
    item = pack.observations[observation]
    levels = len(item.answers)
    index = item.index(answer)
    total = 0.0
    for level, chance in enumerate(answer_distribution(pack, observation, present)):
        given = item.reliability if level == index else (1.0 - item.reliability) / (levels - 1)
        total += chance * given
    return total


def answers_chance(pack: Pack, answers: Answers, present: set[str], sure: Collection[str]) -> float:
    """P(all answers | who is present): one person gives them all, who errs at a rate that is not known, but not in
    those of `sure` nor where the rules take every answer as certain."""
    total = 0.0
    for rate, prior in constants.ERROR_RATES.items():
        product = prior
        for observation, answer in answers.items():
            said = said_chance(pack, observation, answer, present)
            item = pack.observations[observation]
            others = len(item.answers) - 1
            if observation in sure or item.reliability == 1.0:
                product *= said
                continue
            product *= (1.0 - rate) * said + (rate * (1.0 - said) / others if others else 0.0)
        total += product
    return total


def worlds(pack: Pack, answers: Answers, sure: Collection[str] = ()) -> list[tuple[frozenset[str], float]]:
    """Every set of present causes and states with its weight P(set and answers)."""
    names = [*pack.causes, *pack.states]
    out = []
    for bits in itertools.product((False, True), repeat=len(names)):
        present = {name for name, bit in zip(names, bits, strict=True) if bit}
        weight = 1.0
        for name, bit in zip(names, bits, strict=True):
            absent = chance_absent(pack, name, present)
            weight *= 1.0 - absent if bit else absent
            if weight == 0.0:
                break
        else:
            out.append((frozenset(present), weight * answers_chance(pack, answers, present, sure)))
    return out


def posterior(pack: Pack, answers: Answers, sure: Collection[str] = ()) -> tuple[float, dict[str, float]]:
    """P(answers), and P(cause | answers) for all causes."""
    found = worlds(pack, answers, sure)
    total = math.fsum(weight for _, weight in found)
    return total, {
        name: math.fsum(weight for present, weight in found if name in present) / total
        for name in pack.causes
    }


def fault_sets(pack: Pack, answers: Answers) -> list[tuple[frozenset[str], float]]:
    """Every set of causes (states summed out) with its probability, most probable first."""
    found = worlds(pack, answers)
    total = math.fsum(weight for _, weight in found)
    sums: dict[frozenset[str], float] = {}
    for present, weight in found:
        causes = frozenset(name for name in present if name in pack.causes)
        sums[causes] = sums.get(causes, 0.0) + weight / total
    return sorted(sums.items(), key=lambda pair: -pair[1])
