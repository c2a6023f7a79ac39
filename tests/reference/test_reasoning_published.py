"""Published examples that fit the engine's model, as far as they do."""

from __future__ import annotations

import math

import pytest
from engine_networks import with_known

from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.most_probable import chances_of_sets, subsets
from faultfinder.reasoning.inference.network import Finding, Network, Node

# The chest clinic of S. L. Lauritzen and D. J. Spiegelhalter, "Local computations with probabilities on graphical
# structures and their application to expert systems", 1988 (numbers from memory; the expected values below are
# exact fractions worked out from its tables). Every node but dyspnoea is a noisy-OR; "either" is a plain OR.
ASIA, SMOKE, TUBERCULOSIS, LUNG, BRONCHITIS, EITHER = range(6)
XRAY, DYSPNOEA = range(2)
CLINIC = Network(
    (
        Node(0.01),
        Node(0.5),
        Node(0.01, ((ASIA, 1.0 - 0.95 / 0.99),)),
        Node(0.01, ((SMOKE, 1.0 - 0.9 / 0.99),)),
        Node(0.3, ((SMOKE, 1.0 - 0.4 / 0.7),)),
        Node(0.0, ((TUBERCULOSIS, 1.0), (LUNG, 1.0))),
    ),
    (
        Finding((0.95, 0.05), ((EITHER, (0.02 / 0.95, 1.0 - 0.02 / 0.95)),)),
        # P(no dyspnoea) is 0.9, 0.3 with either, 0.2 with bronchitis, 0.1 with both: no noisy-OR, but the sum
        # 0.3 * [neither] + 0.6 * (1/3 with bronchitis) * (1/2 with either) of two products, which is a finding
        # of three levels under the likelihood (0.9, 0.6, 0).
        Finding((1.0, 0.0, 0.0), ((BRONCHITIS, (0.0, 1.0 / 3.0, 2.0 / 3.0)), (EITHER, (0.0, 0.5, 0.5)))),
    ),
)
XRAY_YES = (0.0, 1.0)
DYSPNOEA_NO = (0.9, 0.6, 0.0)
DYSPNOEA_YES = (0.1, 0.4, 1.0)


@pytest.mark.parametrize(
    ("known", "dyspnoea", "lung", "tuberculosis", "bronchitis"),
    [
        ({ASIA: True}, DYSPNOEA_YES, 250880 / 564701, 221200 / 564701, 2485674 / 3952907),
        (
            {SMOKE: False},
            DYSPNOEA_NO,
            980000 / 16072253,
            1019200 / 16072253,
            1473256 / 16072253,
        ),
        ({}, DYSPNOEA_NO, 1190000 / 4716659, 0.054021289222, 0.193211096486),
    ],
)
def test_the_chest_clinic_gives_its_exact_fractions(
    known: dict[int, bool],
    dyspnoea: tuple[float, ...],
    lung: float,
    tuberculosis: float,
    bronchitis: float,
) -> None:
    engine = Engine(*with_known(CLINIC, {XRAY: XRAY_YES, DYSPNOEA: dyspnoea}, known))
    found = engine.posterior()
    assert found[LUNG] == pytest.approx(lung, abs=1e-12)
    assert found[TUBERCULOSIS] == pytest.approx(tuberculosis, abs=1e-11)
    assert found[BRONCHITIS] == pytest.approx(bronchitis, abs=1e-11)


def test_the_chest_clinic_gives_its_probability_of_evidence() -> None:
    both = Engine(*with_known(CLINIC, {XRAY: XRAY_YES, DYSPNOEA: DYSPNOEA_YES}, {ASIA: True}))
    assert math.exp(both.log_probability) == pytest.approx(0.00098822675, rel=1e-9)
    other = Engine(*with_known(CLINIC, {XRAY: XRAY_YES, DYSPNOEA: DYSPNOEA_NO}, {SMOKE: False}))
    assert math.exp(other.log_probability) == pytest.approx(0.0192867036, rel=1e-9)


def test_the_chest_clinic_after_a_further_answer() -> None:
    """From the X-ray alone, the outlook on dyspnoea is what evidence of it gives."""
    outcomes = Engine(CLINIC, {XRAY: XRAY_YES}).outlook({DYSPNOEA: [DYSPNOEA_NO, DYSPNOEA_YES]})[DYSPNOEA]
    assert outcomes[0].after(LUNG) == pytest.approx(1190000 / 4716659, abs=1e-12)
    assert sum(outcome.probability for outcome in outcomes) == pytest.approx(1.0, abs=1e-14)


# Three multipliers and two adders of J. de Kleer and B. C. Williams, "Diagnosing multiple faults", Artificial
# Intelligence 32 (1987): outputs 10 and 12 where 12 and 12 are predicted. Each minimal conflict is a finding that
# any of its parts shows for certain, each part faulty with 0.01; the candidates that survive are those that hit
# both conflicts.
M1, M2, M3, A1, A2 = range(5)
SURE = (0.0, 1.0)
ADDERS = Network(
    tuple(Node(0.01) for _ in range(5)),
    (
        Finding((1.0, 0.0), ((M1, SURE), (M2, SURE), (A1, SURE))),
        Finding((1.0, 0.0), ((M1, SURE), (M3, SURE), (A1, SURE), (A2, SURE))),
    ),
)


def ranked(engine: Engine, nodes: int) -> list[tuple[frozenset[int], float]]:
    """Every set over the first nodes that is possible, most probable first."""
    sets = subsets(range(nodes))
    chances = chances_of_sets(engine.keeping(range(nodes)), range(nodes), sets)
    found = [pair for pair in zip(sets, chances, strict=True) if pair[1] > 0.0]
    return sorted(found, key=lambda pair: -pair[1])


def test_the_multipliers_and_adders_give_their_candidates() -> None:
    engine = Engine(ADDERS, {0: SURE, 1: SURE})
    assert engine.posterior() == pytest.approx(
        [0.497635239829, 0.019608814014, 0.014780264258, 0.497635239829, 0.014780264258], abs=1e-11
    )
    ranking = ranked(engine, 5)
    assert {chosen for chosen, _ in ranking[:2]} == {frozenset({M1}), frozenset({A1})}
    assert [p for _, p in ranking[:2]] == pytest.approx([0.478026425815, 0.478026425815], abs=1e-11)
    sets = dict(ranking)
    assert len(sets) == 27
    assert sets[frozenset({M2, M3})] == pytest.approx(0.004828549756, abs=1e-11)
    assert sets[frozenset({M2, A2})] == pytest.approx(0.004828549756, abs=1e-11)


# A fixed network of four causes and five findings; no publication: each value by enumeration of its sixteen sets.
FOUR = Network(
    (Node(0.10), Node(0.05), Node(0.02), Node(0.20)),
    (
        Finding((0.99, 0.01), ((0, (0.1, 0.9)), (1, (0.7, 0.3)))),
        Finding((0.98, 0.02), ((0, (0.4, 0.6)), (2, (0.2, 0.8)))),
        Finding((0.99, 0.01), ((1, (0.3, 0.7)), (2, (0.5, 0.5)))),
        Finding((0.95, 0.05), ((3, (0.1, 0.9)),)),
        Finding((1.0, 0.0), ((0, (0.8, 0.2)), (3, (0.5, 0.5)))),
    ),
)


@pytest.mark.parametrize(
    ("levels", "probability", "expected"),
    [
        ({0: 1}, 0.112613500000, [0.801400364965, 0.163998987688, 0.02, 0.2]),
        ({0: 1, 1: 1}, 0.056235109792, [0.985809875664, 0.059596824197, 0.035975559743, 0.2]),
        ({0: 1, 1: 1, 2: 0}, 0.052455479402, [0.993377865875, 0.018103923471, 0.017057046738, 0.2]),
        (
            {0: 1, 1: 1, 2: 1, 3: 0},
            0.002944332074,
            [0.880777765748, 0.635454718888, 0.298535536969, 0.024390243902],
        ),
        (
            {0: 1, 1: 1, 2: 1, 3: 0, 4: 1},
            0.000548241807,
            [0.992191672074, 0.609301936394, 0.263709636247, 0.077031002722],
        ),
        (
            {0: 1, 1: 0, 2: 1, 3: 1, 4: 0},
            0.001409419648,
            [0.122928470336, 0.961452461684, 0.011317521108, 0.693486590038],
        ),
        ({0: 0, 2: 1}, 0.039291807555, [0.010989010989, 0.566537770599, 0.233664916844, 0.2]),
    ],
)
def test_the_fixed_network_of_four_causes(
    levels: dict[int, int], probability: float, expected: list[float]
) -> None:
    engine = Engine(FOUR, {j: (1.0, 0.0) if level == 0 else (0.0, 1.0) for j, level in levels.items()})
    assert math.exp(engine.log_probability) == pytest.approx(probability, abs=1e-12)
    assert engine.posterior() == pytest.approx(expected, abs=1e-12)


def test_the_fixed_network_looks_ahead_and_ranks() -> None:
    engine = Engine(FOUR, {0: (0.0, 1.0), 1: (0.0, 1.0), 2: (1.0, 0.0)})
    outcomes = engine.outlook({3: [(0.0, 1.0)], 4: [(0.0, 1.0)]})
    assert outcomes[3][0].probability == pytest.approx(0.221, abs=1e-12)
    assert outcomes[4][0].probability == pytest.approx(0.278808015857, abs=1e-12)
    ranking = ranked(engine, 4)[:5]
    assert [chosen for chosen, _ in ranking] == [
        frozenset(s) for s in ((0,), (0, 3), (0, 1), (0, 2), (0, 1, 3))
    ]
    assert [p for _, p in ranking] == pytest.approx(
        [0.770038381, 0.192509595, 0.012559286, 0.011910368, 0.003139821], abs=1e-9
    )
