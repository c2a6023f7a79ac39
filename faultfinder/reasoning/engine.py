"""The exact inference engine: P(evidence), every node given it, and every node after every possible answer.

Theory of this file: evidence couples nodes into pieces that are independent of one another (factors.py). Each
piece gets an order of summing out (ordering.py) and a tape (tape.py). What a further finding would say is a
reweighting of its parents, piece by piece.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from faultfinder.errors import TooWide
from faultfinder.reasoning.clash import ImpossibleEvidence
from faultfinder.reasoning.factors import Folded, Piece, build_piece, check_likelihood, connected, fold
from faultfinder.reasoning.most_probable import Ranking, most_probable
from faultfinder.reasoning.network import Likelihood, Network
from faultfinder.reasoning.ordering import Order, best_order
from faultfinder.reasoning.sweep import Run, backward, forward
from faultfinder.reasoning.tape import Tape, compile_piece

LARGEST_TABLE = 1 << 20
"""Entries of one table beyond which an exact answer is refused (chosen: some seconds and 100 MB)."""


class Outcome(NamedTuple):
    """What one possible answer would do.

    probability: of that answer, given the evidence so far; for a likelihood, sum over levels l(k) P(k).
    posterior: P(present) of every node after it; where probability is 0, what it is now.
    """

    probability: float
    posterior: list[float]


class Engine:
    """Exact probabilities of a network given evidence. Raises ImpossibleEvidence or TooWide when made.

    evidence: finding index -> weight of each level. fixed: node -> whether it is certainly present.
    previous: an engine on the same network whose results for untouched pieces are taken over.
    """

    def __init__(
        self,
        network: Network,
        evidence: Mapping[int, Sequence[float]],
        *,
        fixed: Mapping[int, bool] | None = None,
        previous: Engine | None = None,
        largest_table: int = LARGEST_TABLE,
    ) -> None:
        self.network = network
        self.evidence = {index: tuple(map(float, weights)) for index, weights in evidence.items()}
        self.fixed = dict(fixed or {})
        self.largest_table = largest_table
        self._solve()

    def _solve(self) -> None:
        network = self.network
        log_total = 0.0
        weights: dict[int, tuple[float, float]] = {
            node: (0.0, 1.0) if present else (1.0, 0.0) for node, present in self.fixed.items()
        }
        coupling: dict[int, Folded] = {}
        for index, likelihood in self.evidence.items():
            check_likelihood(index, network.findings[index], likelihood)
            folded = fold(network.findings[index], likelihood)
            if folded is None:
                raise ImpossibleEvidence([index])
            for node, (absent, present) in folded.weights.items():
                now = weights.get(node, (1.0, 1.0))
                weights[node] = (now[0] * absent, now[1] * present)
            if folded.coupled:
                coupling[index] = folded
            else:
                log_total += folded.log_scale
        groups = [[i, *(p for p, w in node.parents if w > 0.0)] for i, node in enumerate(network.nodes)]
        groups += [[node for node, _ in folded.coupled] for folded in coupling.values()]
        parts = connected(len(network.nodes), groups)
        home = {node: number for number, part in enumerate(parts) for node in part}
        stands: list[dict[int, Folded]] = [{} for _ in parts]
        for index, folded in coupling.items():
            stands[home[folded.coupled[0][0]]][index] = folded
        self._home = home
        self._tapes: list[Tape] = []
        self._runs: list[Run] = []
        self.width = 0
        self._posterior = [0.0] * len(network.nodes)
        for part, here in zip(parts, stands, strict=True):
            piece = build_piece(network, part, weights, here.values())
            order = self._order(piece)
            tape = compile_piece(piece, order)
            result = forward(tape)
            if result.log_total == -math.inf:
                raise ImpossibleEvidence(self._smallest_impossible())
            log_total += result.log_total
            self._tapes.append(tape)
            self._runs.append(result)
            for node, probability in zip(part, backward(tape, result), strict=True):
                self._posterior[node] = probability
        self.log_probability = log_total

    def _order(self, piece: Piece) -> Order:
        order = best_order(piece)
        self.width = max(self.width, order.largest.bit_length() - 1)
        if order.largest > self.largest_table:
            raise TooWide(
                f"the answers couple {len(piece.nodes)} nodes: an exact table would have "
                f"{order.largest} entries, more than the {self.largest_table} allowed"
            )
        return order

    def _smallest_impossible(self) -> list[int]:
        needed = dict(self.evidence)
        for index in list(needed):
            without = {other: weights for other, weights in needed.items() if other != index}
            if not _possible(self.network, without, self.fixed, self.largest_table):
                needed = without
        return sorted(needed)

    def posterior(self) -> list[float]:
        """P(present | evidence) of every node."""
        return list(self._posterior)

    def fixing(self, fixed: Mapping[int, bool]) -> Engine:
        """The same evidence with these nodes certainly present or absent (in place of `self.fixed`)."""
        return Engine(self.network, self.evidence, fixed=fixed, largest_table=self.largest_table)

    def most_probable(self, which: Sequence[int], k: int, budget: int = 2000) -> Ranking:
        """The k most probable sets over the nodes `which`, all others summed out; see most_probable.py."""
        return most_probable(self, which, k, budget)

    def outlook(self, candidates: Mapping[int, Sequence[Likelihood]]) -> dict[int, list[Outcome]]:
        """For each finding not yet answered and each likelihood given for it: what that evidence would do."""
        return {
            index: [self._after(index, likelihood) for likelihood in likelihoods]
            for index, likelihoods in candidates.items()
        }

    def _after(self, index: int, likelihood: Sequence[float]) -> Outcome:
        try:
            after = Engine(
                self.network,
                {**self.evidence, index: likelihood},
                fixed=self.fixed,
                largest_table=self.largest_table,
            )
        except ImpossibleEvidence:
            return Outcome(0.0, self.posterior())
        return Outcome(math.exp(after.log_probability - self.log_probability), after.posterior())


def _possible(
    network: Network, evidence: Mapping[int, Sequence[float]], fixed: Mapping[int, bool], largest_table: int
) -> bool:
    """Whether the evidence has a probability above 0."""
    try:
        probe = object.__new__(_Probe)
        probe.__init__(network, evidence, fixed=fixed, largest_table=largest_table)  # type: ignore[misc]
    except ImpossibleEvidence:
        return False
    return True


class _Probe(Engine):
    """An engine that does not look for the smallest impossible set (it is asked while looking for it)."""

    def _smallest_impossible(self) -> list[int]:
        return []

__all__ = ["Engine", "ImpossibleEvidence", "Outcome", "Ranking"]
