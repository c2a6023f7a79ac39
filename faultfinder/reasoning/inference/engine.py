"""The exact inference engine: P(evidence), every node given it, and every node after every possible answer.

Theory of this file: evidence couples nodes into *pieces* that are independent of one another (factors.py). Each
gets an order of summing out (elimination_order.py) and a tape of joins (compiled_elimination.py), run forward and
back (forward_backward.py). What a further finding would say is a mixture of reweightings of its parents, piece by
piece (lookahead.py, columns.py).
A node that nothing bears on and nobody asks for is left *loose*: it is summed out where a candidate needs it.

Accuracy: every number is a sum of products of non-negative numbers, so probabilities are good to about 1e-13
(relative) however unlikely the evidence. Cost: exponential in the width of the order, which is known before any
number is computed; beyond LARGEST_TABLE and MOST_ENTRIES the engine refuses (TooWide).
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache

from faultfinder.errors import TooWide
from faultfinder.reasoning.evidence.likelihood import Likelihood
from faultfinder.reasoning.inference.barren_nodes import (
    Attached,
    attach,
    dear_nodes,
    ranks,
    split,
    with_ancestors,
)
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
from faultfinder.reasoning.inference.impossible import ImpossibleEvidence
from faultfinder.reasoning.inference.lookahead import loose_present, outlook
from faultfinder.reasoning.inference.network import Network
from faultfinder.reasoning.inference.outcome import Outcome
from faultfinder.reasoning.inference.solved import Solved

LARGEST_TABLE = 1 << 19
"""Entries of one table beyond which an exact answer is refused (chosen)."""

MOST_ENTRIES = 1 << 21
"""Entries of all tables together beyond which it is refused (chosen: about 130 MB)."""

ROOM = 64
"""How many times larger a run may be that has all nodes in its tables (chosen)."""


class Engine:
    """Exact probabilities of a network given evidence. Raises ImpossibleEvidence or TooWide when made.

    evidence: finding index -> weight of each level. fixed: node -> whether it is certainly present. report: the
    nodes that `outlook` is to tell of (default all); leaving out what nobody asks for makes it much cheaper.
    previous: an engine on the same network; what the new evidence does not touch is taken over from it. loose:
    whether reported nodes may be left out of the tables (barren_nodes.py): the same results at another cost.
    """

    def __init__(
        self,
        network: Network,
        evidence: Mapping[int, Sequence[float]],
        *,
        fixed: Mapping[int, bool] | None = None,
        report: Collection[int] | None = None,
        previous: Engine | None = None,
        largest_table: int = LARGEST_TABLE,
        most_entries: int = MOST_ENTRIES,
        loose: bool = True,
    ) -> None:
        self.network = network
        self.evidence = {index: tuple(map(float, weights)) for index, weights in evidence.items()}
        self.fixed = dict(fixed or {})
        self.report = frozenset(range(len(network.nodes)) if report is None else report)
        self.largest_table, self.most_entries = largest_table, most_entries
        self.log_probability = 0.0
        """ln P(evidence); likelihoods are taken as they are given, they need not sum to 1."""
        self.width = 0
        """Base-2 logarithm of the entries of the largest table."""
        self.pieces: list[Solved] = []
        self.place: dict[int, tuple[int, int]] = {}
        """Node -> (number of its piece, position in it), for nodes that hang together with others."""
        self.alone: dict[int, float] = {}
        """Node -> P(present), for nodes independent of all others."""
        self.loose: dict[int, Attached] = {}
        """Reported node that is loose -> how it hangs on the pieces."""
        self.rank: list[int] = ranks(network)
        self._may_leave = loose
        self._solved: dict[object, Solved] = {}
        self._solve({} if previous is None else previous._solved)
        self._posterior: list[float] | None = None

    def _solve(self, known: Mapping[object, Solved]) -> None:
        network = self.network
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
                self.log_probability += folded.log_scale
        touched = set(weights).union(*([node for node, _ in those.coupled] for those in coupling.values()))
        dear = dear_nodes(network, touched, self.report, list(coupling.values())) if self._may_leave else []
        self._fill(weights, coupling, touched, dear, known)

    def _fill(
        self,
        weights: Mapping[int, tuple[float, float]],
        coupling: Mapping[int, Folded],
        touched: Collection[int],
        dear: Collection[int],
        known: Mapping[object, Solved],
    ) -> None:
        """Make the pieces, `dear` nodes left loose."""
        network = self.network
        wanted = {*touched, *self.report}.difference(dear)
        parts = split(network, with_ancestors(network, wanted), coupling.values())
        home = {node: number for number, part in enumerate(parts) for node in part}
        stands: list[list[Folded]] = [[] for _ in parts]
        for folded in coupling.values():
            stands[home[folded.coupled[0][0]]].append(folded)
        whole = [(part, here) for part, here in zip(parts, stands, strict=True) if len(part) > 1]
        self.place = {
            node: (number, at) for number, (part, _) in enumerate(whole) for at, node in enumerate(part)
        }
        lone = {part[0]: self._lone(part[0], weights) for part in parts if len(part) == 1}
        self.alone = {node: present / (absent + present) for node, (absent, present) in lone.items()}
        self.loose = {}
        for node in dear:
            hangs = attach(network, self.rank, node, self.place, self.alone)
            if hangs is None:
                self._fill(weights, coupling, touched, [other for other in dear if other != node], known)
                return
            self.loose[node] = hangs
        self.log_probability += math.fsum(math.log(absent + present) for absent, present in lone.values())
        for part, here in whole:
            self._piece(build_piece(network, part, weights, here), known)

    def _lone(self, node: int, weights: Mapping[int, tuple[float, float]]) -> tuple[float, float]:
        """Weights absent and present of a node that hangs on nothing."""
        leak = self.network.nodes[node].leak
        absent, present = weights.get(node, (1.0, 1.0))
        absent, present = (1.0 - leak) * absent, leak * present
        if absent + present == 0.0:
            raise ImpossibleEvidence(self._smallest_impossible())
        return absent, present

    def _piece(self, piece: Piece, known: Mapping[object, Solved]) -> None:
        starts = tuple(sorted(piece.starts.items()))
        report = tuple(position for position, node in enumerate(piece.nodes) if node in self.report)
        key = (piece.nodes, piece.variables, piece.own, piece.links, starts, report)
        solved = known.get(key)
        if solved is None:
            tape = _tape(piece.variables, piece.links, starts, self.largest_table, self.most_entries)
            run = forward(tape, piece.own, piece.log_scale)
            if run.log_total == -math.inf:
                raise ImpossibleEvidence(self._smallest_impossible())
            solved = Solved(piece, tape, run, report)
        self._solved[key] = solved
        self.pieces.append(solved)
        self.log_probability += solved.run.log_total
        self.width = max(self.width, max(solved.tape.sizes).bit_length() - 1)

    def _smallest_impossible(self) -> list[int]:
        needed = dict(self.evidence)
        for index in list(needed):
            without = {other: weights for other, weights in needed.items() if other != index}
            if not self._possible(without):
                needed = without
        return sorted(needed)

    def _possible(self, evidence: Mapping[int, Sequence[float]]) -> bool:
        try:
            _Probe(
                self.network,
                evidence,
                fixed=self.fixed,
                report=(),
                largest_table=self.largest_table,
                most_entries=self.most_entries,
            )
        except ImpossibleEvidence:
            return False
        return True

    def posterior(self) -> list[float]:
        """P(present | evidence) of every node."""
        if self._posterior is None:
            self._posterior = self.chances(range(len(self.network.nodes)))
        return list(self._posterior)

    def reported(self) -> list[float]:
        """P(present | evidence) of the nodes to be reported, by their place in the network; nan of the others."""
        if len(self.report) == len(self.network.nodes):
            return self.posterior()
        out = [math.nan] * len(self.network.nodes)
        nodes = sorted(self.report)
        for node, chance in zip(nodes, self.chances(nodes), strict=True):
            out[node] = chance
        return out

    def chances(self, nodes: Sequence[int]) -> list[float]:
        """P(present | evidence) of these nodes, in order; cheaper than all of them."""
        found = dict(self.alone)
        for solved in self.pieces:
            found.update(zip(solved.piece.nodes, solved.present, strict=True))
        loose = [node for node in nodes if node not in found]
        found.update(zip(loose, loose_present(self, loose), strict=True))
        return [found[node] for node in nodes]

    @property
    def terms(self) -> int:
        """Products that one run over the tables takes: a measure of what anything further costs."""
        return sum([solved.tape.terms for solved in self.pieces])

    def keeping(self, nodes: Collection[int]) -> Engine:
        """The same with all of these nodes in the tables."""
        return Engine(
            self.network,
            self.evidence,
            fixed=self.fixed,
            report=nodes,
            previous=self,
            largest_table=ROOM * self.largest_table,
            most_entries=ROOM * self.most_entries,
            loose=False,
        )

    def with_evidence(self, evidence: Mapping[int, Sequence[float]], *, wider: int = 1) -> Engine:
        """The same network, nodes fixed and nodes reported with this evidence; untouched pieces taken over.

        wider: how many times larger a table may be than it might here."""
        return Engine(
            self.network,
            evidence,
            fixed=self.fixed,
            report=self.report,
            previous=self,
            largest_table=wider * self.largest_table,
            most_entries=wider * self.most_entries,
        )

    def outlook(self, candidates: Mapping[int, Sequence[Likelihood]]) -> dict[int, list[Outcome]]:
        """For each finding not yet answered and each likelihood given for it: what that evidence would do."""
        return outlook(self, candidates)


class _Probe(Engine):
    """An engine that does not look for the smallest impossible set (it is asked while looking for it)."""

    def _smallest_impossible(self) -> list[int]:
        return []


@lru_cache(maxsize=12)
def _tape(
    variables: tuple[Variable, ...],
    links: tuple[tuple[tuple[int, tuple[float, ...]], ...], ...],
    starts: tuple[tuple[int, tuple[float, ...]], ...],
    largest_table: int,
    most_entries: int,
) -> Tape:
    """The tape for a piece; kept, since most answers only change own weights."""
    piece = Piece((), variables, (), links, dict(starts))
    return compile_piece(piece, _order(graph_of(piece), largest_table, most_entries))


@lru_cache(maxsize=256)
def _order(graph: Graph, largest_table: int, most_entries: int) -> Order:
    """The cheapest order found to sum the variables of a piece out. Raises TooWide."""
    order = greedy_order(graph, most_entries)
    if order.largest > largest_table or order.cost > most_entries:
        raise TooWide(
            f"the answers couple {len(graph[1])} nodes: an exact computation would need a table of {order.largest} "
            f"entries and {order.cost:.1e} of them in all; allowed are {largest_table} and {most_entries:.1e}"
        )
    return order


__all__ = ["Engine", "ImpossibleEvidence", "Outcome"]
