"""The engine's networks put into pyAgrum, a general-purpose library, as an oracle for tests and benchmarks.

Of its two noisy-OR forms `addNoisyORNet` is the one in which the leak is one more cause (the other, Henrion's,
takes the leak as part of every link). Findings of more than two levels are given as full tables.
"""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Mapping, Sequence
from typing import Any

import pytest
from engine_networks import level_chances

from faultfinder.reasoning.inference.network import Network


def load() -> Any:
    """The library, or the test is skipped. Its import warns of its own deprecations, which must not become
    errors inside its extension (they crash it)."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return pytest.importorskip("pyagrum")


def build(gum: Any, network: Network, findings: Sequence[int]) -> Any:
    """A Bayesian network of all nodes ("n0", ...) and these findings ("f0", ...)."""
    net = gum.BayesNet("oracle")
    for index, node in enumerate(network.nodes):
        net.addNoisyORNet(gum.LabelizedVariable(f"n{index}", "", 2), node.leak)
        for parent, weight in node.parents:
            net.addWeightedArc(f"n{parent}", f"n{index}", weight)
    for index in findings:
        finding = network.findings[index]
        if finding.levels == 2:
            net.addNoisyORNet(gum.LabelizedVariable(f"f{index}", "", 2), finding.background[1])
            for parent, push in finding.parents:
                net.addWeightedArc(f"n{parent}", f"f{index}", push[1])
            continue
        net.add(gum.LabelizedVariable(f"f{index}", "", finding.levels))
        names = [f"n{parent}" for parent, _ in finding.parents]
        for name in names:
            net.addArc(name, f"f{index}")
        for states in itertools.product((0, 1), repeat=len(names)):
            present = {parent: state for (parent, _), state in zip(finding.parents, states, strict=True)}
            where = dict(zip(names, states, strict=True))
            whole = [present.get(node, 0) for node in range(len(network.nodes))]
            net.cpt(f"f{index}")[where] = list(level_chances(finding, whole))
    return net


def ask(
    gum: Any, net: Any, network: Network, evidence: Mapping[int, Sequence[float]]
) -> tuple[float, list[float]]:
    """P(evidence) and P(present | evidence) of every node, by lazy propagation."""
    inference = gum.LazyPropagation(net)
    inference.setEvidence({f"f{index}": list(weights) for index, weights in evidence.items()})
    inference.makeInference()
    present = [float(inference.posterior(f"n{index}")[1]) for index in range(len(network.nodes))]
    return float(inference.evidenceProbability()), present
