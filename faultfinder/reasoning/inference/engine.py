"""The exact inference engine: P(evidence), every node given it, and every node after every possible answer.

Theory of this file: evidence couples nodes into *pieces* that are independent of one another (factors.py). Each
gets an order of summing out (elimination_order.py) and a tape of joins (compiled_elimination.py), run forward and
back (forward_backward.py). What a further finding would say is a mixture of reweightings of its parents, piece by
piece (lookahead.py, columns.py).
A node that nothing bears on and nobody asks for is left *loose*: it is summed out where a candidate needs it.

Accuracy: every number is a sum of products of non-negative numbers, so probabilities are good to about 1e-13
(relative) however unlikely the evidence. Cost: exponential in the width of the order, which is known before any
number is computed; beyond `entries` the engine refuses (TooWide).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache

from faultfinder.errors import TooWide
from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.barren_nodes import dear_nodes, ranks, split, with_ancestors
from faultfinder.reasoning.inference.columns import Solved
from faultfinder.reasoning.inference.compiled_elimination import Tape, compile_piece
from faultfinder.reasoning.inference.elimination_order import Graph, Order, graph_of, greedy_order
from faultfinder.reasoning.inference.factors import (
    Folded,
    Piece,
    Variable,
    build_piece,
    check_likelihood,
    fold,
)
from faultfinder.reasoning.inference.forward_backward import forward
from faultfinder.reasoning.inference.lookahead import Outcome, chances_of_none, outlook
from faultfinder.reasoning.inference.network import ImpossibleEvidence, Network

ENTRIES = 1 << 21
"""Entries of all tables together beyond which an exact answer is refused (chosen: about 130 MB)."""

ROOM = 64
"""How many times larger a run may be that has more nodes in its tables, or one more answer (chosen)."""


class Engine:
    """Exact probabilities of a network given evidence. Raises ImpossibleEvidence or TooWide when made.

    evidence: finding index -> weight of each level. report: the nodes that `outlook` is to tell of (default all);
    leaving out what nobody asks for makes it much cheaper. entries: of all tables, at most. loose: whether
    reported nodes may be left out of the tables (barren_nodes.py): the same results at another cost. blame: whether a
    smallest set of clashing findings is looked for where the evidence is impossible.
    """

    def __init__(
        self,
        network: Network,
        evidence: Mapping[int, Sequence[float]],
        *,
        report: Collection[int] | None = None,
        entries: int = ENTRIES,
        loose: bool = True,
        blame: bool = True,
    ) -> None:
        self.network = network
        self.evidence = {index: tuple(map(float, weights)) for index, weights in evidence.items()}
        self.report = frozenset(range(len(network.nodes)) if report is None else report)
        self.entries = entries
        self.log_probability = 0.0
        """ln P(evidence); likelihoods are taken as they are given, they need not sum to 1."""
        self.pieces: list[Solved] = []
        self.place: dict[int, tuple[int, int]] = {}
        """Node -> (number of its piece, position in it), for nodes that hang together with others."""
        self.alone: dict[int, float] = {}
        """Node -> P(present), for nodes independent of all others."""
        self.loose: list[int] = []
        """Reported nodes that are loose."""
        self.rank: list[int] = ranks(network)
        try:
            self._solve(loose)
        except ImpossibleEvidence:
            if blame:
                raise ImpossibleEvidence(self._clashing()) from None
            raise

    def _solve(self, loose: bool) -> None:
        network = self.network
        weights: dict[int, tuple[float, float]] = {}
        coupling: list[Folded] = []
        for index, likelihood in self.evidence.items():
            check_likelihood(index, network.findings[index], likelihood)
            folded = fold(network.findings[index], likelihood)
            if folded is None:
                raise ImpossibleEvidence([index])
            for node, (absent, present) in folded.weights.items():
                now = weights.get(node, (1.0, 1.0))
                weights[node] = (now[0] * absent, now[1] * present)
            if folded.coupled:
                coupling.append(folded)
            else:
                self.log_probability += folded.log_scale
        touched = set(weights).union(*([node for node, _ in folded.coupled] for folded in coupling))
        self.loose = dear_nodes(network, touched, self.report, coupling) if loose else []
        core = with_ancestors(network, {*touched, *self.report}.difference(self.loose))
        whole: list[list[int]] = []
        for part in split(network, core, coupling):
            if len(part) > 1:
                self.place.update((node, (len(whole), at)) for at, node in enumerate(part))
                whole.append(part)
            else:
                self.alone[part[0]] = self._alone(part[0], weights)
        stands: list[list[Folded]] = [[] for _ in whole]
        for folded in coupling:
            stands[self.place[folded.coupled[0][0]][0]].append(folded)
        for part, here in zip(whole, stands, strict=True):
            self.pieces.append(self._piece(build_piece(network, part, weights, here)))

    def _alone(self, node: int, weights: Mapping[int, tuple[float, float]]) -> float:
        """P(present) of a node that hangs on nothing."""
        leak = self.network.nodes[node].leak
        absent, present = weights.get(node, (1.0, 1.0))
        absent, present = (1.0 - leak) * absent, leak * present
        if absent + present == 0.0:
            raise ImpossibleEvidence(list(self.evidence))
        self.log_probability += math.log(absent + present)
        return present / (absent + present)

    def _piece(self, piece: Piece) -> Solved:
        tape = _tape(piece.variables, piece.links, tuple(sorted(piece.starts.items())), self.entries)
        run = forward(tape, piece.own, piece.log_scale)
        if run.log_total == -math.inf:
            raise ImpossibleEvidence(list(self.evidence))
        self.log_probability += run.log_total
        return Solved(piece, tape, run, [at for at, node in enumerate(piece.nodes) if node in self.report])

    def _clashing(self) -> list[int]:
        """A smallest set of findings whose evidence is impossible."""
        needed = dict(self.evidence)
        for index in self.evidence:
            without = {other: weights for other, weights in needed.items() if other != index}
            try:
                Engine(self.network, without, report=(), entries=self.entries, blame=False)
            except ImpossibleEvidence:
                needed = without
        return sorted(needed)

    def posterior(self) -> list[float]:
        """P(present | evidence) of every node."""
        return self.chances(range(len(self.network.nodes)))

    def reported(self) -> dict[int, float]:
        """P(present | evidence) of the nodes to be reported."""
        nodes = sorted(self.report)
        return dict(zip(nodes, self.chances(nodes), strict=True))

    def chances(self, nodes: Sequence[int]) -> list[float]:
        """P(present | evidence) of these nodes, in order; cheaper than all of them."""
        found = dict(self.alone)
        for solved in self.pieces:
            found.update(zip(solved.piece.nodes, solved.present, strict=True))
        loose = [node for node in nodes if node not in found]
        absent = chances_of_none(self, [(node,) for node in loose])
        found.update((node, max(0.0, 1.0 - chance)) for node, chance in zip(loose, absent, strict=True))
        return [found[node] for node in nodes]

    def chances_of_any(self, groups: Sequence[Collection[int]]) -> list[float]:
        """For each group of nodes P(one of them at least is present | evidence)."""
        return [min(1.0, max(0.0, 1.0 - chance)) for chance in chances_of_none(self, groups)]

    @property
    def terms(self) -> int:
        """Products that one run over the tables takes: a measure of what anything further costs."""
        return sum([solved.tape.terms for solved in self.pieces])

    def keeping(self, nodes: Collection[int]) -> Engine:
        """The same with all of these nodes in the tables, which may be ROOM times larger."""
        entries = ROOM * self.entries
        return Engine(self.network, self.evidence, report=nodes, entries=entries, loose=False)

    def with_evidence(self, evidence: Mapping[int, Sequence[float]]) -> Engine:
        """The same network and nodes reported with this evidence, in tables that may be ROOM times larger."""
        return Engine(self.network, evidence, report=self.report, entries=ROOM * self.entries)

    def outlook(self, candidates: Mapping[int, Sequence[Likelihood]]) -> dict[int, list[Outcome]]:
        """For each finding not yet answered and each likelihood given for it: what that evidence would do."""
        return outlook(self, candidates)


@lru_cache(maxsize=12)
def _tape(
    variables: tuple[Variable, ...],
    links: tuple[tuple[tuple[int, tuple[float, ...]], ...], ...],
    starts: tuple[tuple[int, tuple[float, ...]], ...],
    entries: int,
) -> Tape:
    """The tape for a piece; kept, since most answers only change own weights."""
    piece = Piece((), variables, (), links, dict(starts))
    return compile_piece(piece, _order(graph_of(piece), entries))


def _order(graph: Graph, entries: int) -> Order:
    """The cheapest order found to sum the variables of a piece out. Raises TooWide."""
    order = greedy_order(graph, entries)
    if order.cost > entries:
        raise TooWide(
            f"the answers couple {len(graph[1])} nodes: an exact computation would need {order.cost:.1e} table "
            f"entries or more; allowed are {entries:.1e}"
        )
    return order
