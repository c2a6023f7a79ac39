"""Many abnormal answers with tiny backgrounds: the engine against exact rational arithmetic.

The textbook way (Quickscore, D. Heckerman, "A tractable inference algorithm for diagnosing multiple diseases",
1989) is a sum over subsets of the abnormal findings with alternating signs. In floating point it cancels: with 12
findings and backgrounds of 1e-4 it gave probabilities above 1. In rationals it is exact, and independent of the
way the engine goes.
"""

from __future__ import annotations

import math
import random
from itertools import accumulate
from operator import mul

import pytest

from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Finding, Network, Node

UNIT = 10_000
"""All numbers are whole ten-thousandths, so that rationals (whole numbers over a power of it) hold them exactly."""


def tenthousandths(rng: random.Random, low: float, high: float) -> int:
    return rng.randint(math.ceil(low * UNIT), math.floor(high * UNIT))


def quickscore(
    priors: list[int], findings: list[tuple[int, dict[int, int]]], float_sums: bool = False
) -> tuple[float, list[float]]:
    """P(all findings abnormal) and every P(cause | that), by inclusion and exclusion. findings: background and
    link of each cause, in ten-thousandths. float_sums: the same in floating point, to show why not.

    Exact: whole numbers throughout, every term of a sum over the same denominator (a chance of 1 is UNIT to the
    number of factors), divided once at the end."""
    unit = 1.0 if float_sums else UNIT
    chances = [number / UNIT if float_sums else number for number in priors]
    stay = [{i: unit - (w / UNIT if float_sums else w) for i, w in links.items()} for _, links in findings]
    quiet = [unit - (background / UNIT if float_sums else background) for background, _ in findings]
    degrees = [sum(i in links for links in stay) for i in range(len(priors))]
    absent = [(unit - p) * unit**degree for p, degree in zip(chances, degrees, strict=True)]
    total = unit * 0
    with_cause = [unit * 0 for _ in priors]
    for subset in range(1 << len(findings)):
        product = unit // unit
        present = list(chances)
        for j, links in enumerate(stay):
            chosen = subset >> j & 1
            product *= -quiet[j] if chosen else unit
            for i, left in links.items():
                present[i] *= left if chosen else unit
        either = [gone + there for gone, there in zip(absent, present, strict=True)]
        after = [*accumulate(reversed(either), mul, initial=unit // unit)][::-1]
        for i, there in enumerate(present):
            with_cause[i] += product * there * after[i + 1]
            product *= either[i]
        total += product
    whole = unit ** (len(findings) + len(priors) + sum(degrees))
    return total / whole, [each / total for each in with_cause]


def draw(seed: int, causes: int, abnormal: int) -> tuple[list[int], list[tuple[int, dict[int, int]]]]:
    rng = random.Random(seed)
    priors = [tenthousandths(rng, 0.0005, 0.01) for _ in range(causes)]
    findings = []
    for _ in range(abnormal):
        links = {i: tenthousandths(rng, 0.05, 0.5) for i in rng.sample(range(causes), 3)}
        findings.append((1, links))
    return priors, findings


def network_of(priors: list[int], findings: list[tuple[int, dict[int, int]]]) -> Network:
    return Network(
        tuple(Node(number / UNIT) for number in priors),
        tuple(
            Finding(
                (1.0 - background / UNIT, background / UNIT),
                tuple((i, (1.0 - w / UNIT, w / UNIT)) for i, w in links.items()),
            )
            for background, links in findings
        ),
    )


@pytest.mark.slow
@pytest.mark.parametrize(("seed", "causes", "abnormal"), [(5, 12, 8), (5, 14, 12), (6, 12, 12)])
def test_abnormal_answers_with_tiny_backgrounds_agree_with_rationals(
    seed: int, causes: int, abnormal: int
) -> None:
    priors, findings = draw(seed, causes, abnormal)
    probability, expected = quickscore(priors, findings)
    engine = Engine(network_of(priors, findings), {j: (0.0, 1.0) for j in range(abnormal)})
    assert engine.log_probability == pytest.approx(math.log(probability), abs=1e-11)
    assert engine.posterior() == pytest.approx(expected, abs=1e-11)


@pytest.mark.slow
def test_fourteen_abnormal_answers_agree_with_rationals_where_floats_fail() -> None:
    priors, findings = draw(7, 12, 14)
    probability, expected = quickscore(priors, findings)
    engine = Engine(network_of(priors, findings), {j: (0.0, 1.0) for j in range(14)})
    assert engine.log_probability == pytest.approx(math.log(probability), abs=1e-11)
    assert engine.posterior() == pytest.approx(expected, abs=1e-11)
    failed, wrong = quickscore(priors, findings, float_sums=True)
    assert failed < 0.0 or max(abs(a - b) for a, b in zip(wrong, expected, strict=True)) > 1e-6


@pytest.mark.slow
def test_the_outlook_keeps_its_digits_too() -> None:
    """The thirteenth answer after twelve: from columns, and from rationals of thirteen and of twelve."""
    priors, findings = draw(8, 11, 13)
    before, _ = quickscore(priors, findings[:12])
    after, expected = quickscore(priors, findings)
    engine = Engine(network_of(priors, findings), {j: (0.0, 1.0) for j in range(12)})
    outcome = engine.outlook({12: [(0.0, 1.0)]})[12][0]
    assert outcome.probability == pytest.approx(after / before, rel=1e-9)
    assert [outcome.after(node) for node in range(len(priors))] == pytest.approx(expected, abs=1e-9)
