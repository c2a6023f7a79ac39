"""Deleting links: exact with none, exact on a tree with any, and close where the strongest are kept."""

from __future__ import annotations

import math
import random

import pytest
from engine_networks import random_network, soft
from job_states import cases_of

from faultfinder.knowledge.load import load_pack
from faultfinder.reasoning.inference.belief_propagation import believe
from faultfinder.reasoning.inference.edge_deletion import strengths, thin
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Finding, Network, Node

ALL = math.inf


def thinned(
    network: Network, evidence: dict[int, tuple[float, ...]], least: float
) -> tuple[list[float], float]:
    """Every node's chance, and ln P(evidence), without the links weaker than `least`."""
    beliefs = believe(network, evidence)
    made = thin(network, evidence, beliefs, strengths(beliefs), least)
    engine = Engine(made.network, made.evidence)
    return engine.posterior()[: len(network.nodes)], engine.log_probability + made.log_scale


@pytest.mark.parametrize("seed", range(8))
def test_with_no_link_deleted_it_is_the_exact_run(seed: int) -> None:
    rng = random.Random(seed)
    network = random_network(rng, 10, 8, links=1.5, most_parents=4)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(8), 5)}
    chances, log_probability = thinned(network, evidence, 0.0)
    exact = Engine(network, evidence)
    assert chances == pytest.approx(exact.posterior(), abs=1e-12)
    assert log_probability == pytest.approx(exact.log_probability, abs=1e-12)


@pytest.mark.parametrize("seed", range(8))
def test_on_a_tree_any_link_may_go(seed: int) -> None:
    """A chain of causes, one answer hanging on each: messages are exact there, and so is ln P(evidence)."""
    rng = random.Random(seed)
    nodes = tuple(
        Node(rng.uniform(0.02, 0.3), ((n - 1, rng.uniform(0.2, 0.9)),) if n else ()) for n in range(7)
    )
    findings = []
    for n in range(7):
        wrong, shown = rng.uniform(0.02, 0.3), rng.uniform(0.3, 0.95)
        findings.append(Finding((1.0 - wrong, wrong), ((n, (1.0 - shown, shown)),)))
    network, evidence = Network(nodes, tuple(findings)), {j: soft(rng, 2) for j in range(7)}
    exact = Engine(network, evidence)
    for least in (0.003, 0.03, ALL):
        chances, log_probability = thinned(network, evidence, least)
        assert chances == pytest.approx(exact.posterior(), abs=1e-4)
        assert log_probability == pytest.approx(exact.log_probability, abs=1e-3)


def test_with_every_link_deleted_nothing_hangs_together_and_the_messages_are_what_is_left() -> None:
    rng = random.Random(3)
    network = random_network(rng, 12, 9, links=1.5, most_parents=4)
    evidence = {j: soft(rng, network.findings[j].levels) for j in range(9)}
    beliefs = believe(network, evidence)
    made = thin(network, evidence, beliefs, strengths(beliefs), ALL)
    assert all(len(made.network.findings[index].parents) < 2 for index in made.evidence)
    assert not any(node.parents for node in made.network.nodes)
    assert thinned(network, evidence, ALL)[0] == pytest.approx(beliefs.chances(), abs=1e-3)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("demo", "share"), [("three_faults", 0.2), ("condenser_block", 0.25), ("ends_early", 0.6)]
)
def test_late_in_a_job_the_links_kept_leave_chances_within_a_hundredth(demo: str, share: float) -> None:
    """Against an exact run of the same answers, whose tables are let grow."""
    (case,) = cases_of(load_pack("tumble_dryer"), demo, (share,))
    built = case.built()
    exact = Engine(built.network, built.evidence, report=(), entries=1 << 19).posterior()
    nodes = {*built.now.values(), *built.begin.values()}
    before = 0.0
    for least in (3e-4, 1e-3, ALL):
        beliefs = believe(built.network, built.evidence)
        strength = strengths(beliefs)
        made = thin(built.network, built.evidence, beliefs, strength, least)
        engine = Engine(made.network, made.evidence, report=(), entries=1 << 18)
        chances = engine.posterior()
        off = max(abs(chances[node] - exact[node]) for node in nodes)
        assert off <= 0.01 if least < ALL else off > before
        before = off
