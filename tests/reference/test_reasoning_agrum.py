"""The engine against pyAgrum on random networks, to 1e-9: the same laws put into a library of others."""

from __future__ import annotations

import math
import random

import agrum_oracle
import pytest
from engine_networks import certain, random_network, sample_levels, soft, some_abnormal, two_level

from faultfinder.reasoning.inference.engine import Engine

gum = agrum_oracle.load()


@pytest.mark.slow
@pytest.mark.parametrize("abnormal", [0, 2, 4, 6, 8, 12])
@pytest.mark.parametrize("reliability", [1.0, 0.95])
def test_two_level_networks_of_sixty_causes_agree(abnormal: int, reliability: float) -> None:
    """60 causes, 120 yes/no findings of 3 to 5 causes; as many normal answers as abnormal ones."""
    rng = random.Random(abnormal)
    network = two_level(rng, 60, 120, (3, 5))
    high, low = some_abnormal(rng, network, abnormal, abnormal if reliability == 1.0 else 4)
    evidence = {j: (1.0 - reliability, reliability) for j in high}
    evidence |= {j: (reliability, 1.0 - reliability) for j in low}
    probability, expected = agrum_oracle.ask(
        gum, agrum_oracle.build(gum, network, list(evidence)), network, evidence
    )
    engine = Engine(network, evidence)
    assert engine.posterior() == pytest.approx(expected, abs=1e-9)
    assert engine.log_probability == pytest.approx(math.log(probability), abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_linked_nodes_and_graded_findings_with_soft_answers_agree(seed: int) -> None:
    """30 nodes that bring one another on, 40 findings of 2 to 5 levels, every kind of likelihood."""
    rng = random.Random(seed)
    network = random_network(rng, 30, 40, levels=(2, 3, 4, 5), links=1.0, most_parents=4)
    levels = sample_levels(rng, network)
    evidence = {}
    for index in rng.sample(range(40), 3 + seed):
        count = network.findings[index].levels
        evidence[index] = rng.choice(
            (
                certain(count, levels[index]),
                soft(rng, count),
                tuple(rng.random() for _ in range(count)),
            )
        )
    net = agrum_oracle.build(gum, network, list(evidence))
    probability, expected = agrum_oracle.ask(gum, net, network, evidence)
    engine = Engine(network, evidence)
    assert engine.posterior() == pytest.approx(expected, abs=1e-9)
    assert engine.log_probability == pytest.approx(math.log(probability), abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(3))
def test_the_outlook_agrees_answer_by_answer(seed: int) -> None:
    """Every node after every answer to 12 findings not yet asked, each put to the library as evidence."""
    rng = random.Random(100 + seed)
    network = random_network(rng, 24, 40, levels=(2, 3), links=0.8, most_parents=4)
    levels = sample_levels(rng, network)
    evidence = {j: certain(network.findings[j].levels, levels[j]) for j in range(6)}
    evidence |= {j: soft(rng, network.findings[j].levels) for j in range(6, 10)}
    asked = {
        j: [certain(network.findings[j].levels, k) for k in range(network.findings[j].levels)]
        for j in range(20, 32)
    }
    net = agrum_oracle.build(gum, network, [*evidence, *asked])
    before, _ = agrum_oracle.ask(gum, net, network, evidence)
    for index, outcomes in Engine(network, evidence).outlook(asked).items():
        for likelihood, outcome in zip(asked[index], outcomes, strict=True):
            joint, after = agrum_oracle.ask(gum, net, network, {**evidence, index: likelihood})
            assert outcome.probability == pytest.approx(joint / before, abs=1e-9)
            assert [outcome.after(node) for node in range(len(network.nodes))] == pytest.approx(
                after, abs=1e-9
            )


def test_the_other_noisy_or_form_is_another_model() -> None:
    """Leak 0.1, links 0.6 and 0.7, both causes present: 0.892 where the leak is one more cause, 0.866667 in
    Henrion's form. The engine means the first."""
    net = gum.BayesNet("forms")
    for name in ("a", "b"):
        net.add(gum.LabelizedVariable(name, "", 2))
    for name, add in (("net", net.addNoisyORNet), ("compound", net.addNoisyORCompound)):
        add(gum.LabelizedVariable(name, "", 2), 0.1)
        net.addWeightedArc("a", name, 0.6)
        net.addWeightedArc("b", name, 0.7)
    both = {"a": 1, "b": 1}
    assert net.cpt("net")[both][1] == pytest.approx(0.892)
    assert net.cpt("compound")[both][1] == pytest.approx(0.8666666667)
