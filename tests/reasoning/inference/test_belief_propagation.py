"""Messages against what they come to from the start, and against exact runs where answers and nodes form a tree."""

from __future__ import annotations

import random

import pytest
from engine_networks import random_network, soft

from faultfinder.reasoning.inference.belief_propagation import Messages, believe
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Finding, Network, Node


@pytest.mark.parametrize("seed", range(6))
def test_an_answer_that_is_taken_away_is_forgotten_all_the_way_up(seed: int) -> None:
    """One after another, down to none: each time as if only the others had been given."""
    rng = random.Random(seed)
    network = random_network(rng, 10, 8, links=1.5, most_parents=3)
    evidence = {index: soft(rng, network.findings[index].levels) for index in range(8)}
    messages = Messages(network, evidence)
    messages.settle()
    for gone in rng.sample(range(8), 8):
        messages.weigh(gone, (1.0,) * network.findings[gone].levels)
        del evidence[gone]
        assert messages.settle() == pytest.approx(believe(network, evidence).chances(), abs=1e-3)
    assert messages.settle() == pytest.approx(believe(network, {}).chances(), abs=1e-6)


@pytest.mark.parametrize("levels", [2, 3])
def test_on_a_tree_the_messages_are_exact(levels: int) -> None:
    """A cause brings on a state, each shows in an answer of its own, of two levels or of three."""
    low = (0.9, *((0.1 / (levels - 1),) * (levels - 1)))
    high = tuple(reversed(low))
    network = Network(
        (Node(0.1), Node(0.05, ((0, 0.6),)), Node(0.0, ((1, 0.8),))),
        tuple(Finding(low, ((node, high),)) for node in range(3)),
    )
    evidence = {0: low, 2: high}
    assert believe(network, evidence).chances() == pytest.approx(
        Engine(network, evidence).posterior(), abs=1e-6
    )
