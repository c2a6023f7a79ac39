"""From a pack, the facts and the answers so far to the plain network that the engine solves.

The work of a job is cut into *epochs*: a new one begins whenever something was put right or the machine was
put together again. An answer is evidence about the machine of its own epoch. Causes last: one that is there
stays there until it is put right; putting it right removes it with the chance `takes` (a copy of the cause
with leak 0, brought on by the old one with 1 - takes), and never lowers the chance of what it had brought on.
A cut-out that was put right while what opened it is left opens again: once the machine has run, a cause that
`returns` may have been brought on anew.
While a choice that a cause asks for is not known, the cause counts by the usual share of the machines that have it.
States are no faults: one that a cause now put right may have brought about is worked out anew in the next epoch
from the causes that are left; the others stay what they were.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.knowledge.analysis.machines import usual_share
from faultfinder.knowledge.model import Cause, Pack, State
from faultfinder.knowledge.schema.strength_words import COMPLAINT_UNEXPLAINED
from faultfinder.reasoning.evidence.changes import Repair, Return, SoftEvidence
from faultfinder.reasoning.evidence.facts import FactValue, possible
from faultfinder.reasoning.evidence.likelihood import Likelihood, erring
from faultfinder.reasoning.evidence.links import Links
from faultfinder.reasoning.inference.network import Finding, Network, Node


@dataclass(frozen=True, slots=True)
class Built:
    """A network and the way back from its indexes to names."""

    network: Network
    answers: tuple[tuple[int, Likelihood, bool], ...]
    """What was answered: finding, likelihood, and whether who answered may have erred (see SoftEvidence)."""
    begin: Mapping[str, int]
    """Cause -> node for the machine as it was when the job began."""
    now: Mapping[str, int]
    """Cause -> node for the machine as it is now; a cause that was put right for certain is missing."""
    states_now: Mapping[str, int]
    findings: Mapping[tuple[str, int], int]
    """(observation, epoch) -> finding."""
    candidates: Mapping[str, int]
    """Observation -> finding, for what could be asked now."""

    @property
    def evidence(self) -> dict[int, Likelihood]:
        """The likelihood of each finding answered, were nobody to err."""
        return self.evidence_at(0.0)

    def evidence_at(self, rate: float) -> dict[int, Likelihood]:
        """The same where who answers errs at this rate; what was taken twice counts twice."""
        weights: dict[int, Likelihood] = {}
        for index, likelihood, may_err in self.answers:
            more = erring(likelihood, rate) if may_err else likelihood
            known = weights.get(index)
            weights[index] = more if known is None else tuple(map(float.__mul__, known, more))
        return weights


def build(
    pack: Pack,
    links: Links,
    facts: Mapping[str, FactValue],
    evidence: Sequence[SoftEvidence],
    repairs: Sequence[Repair],
    epoch: int,
    our_work_from: int | None,
    candidates: Iterable[str],
    returns: Sequence[Return] = (),
    unmentioned: Mapping[str, float] = MappingProxyType({}),
) -> Built:
    """The network of all epochs that matter: those with evidence, those in which something may have come back, and
    the present one.

    `our_work_from` is the first epoch in which a fault of our own making is possible, or None. An observation
    whose evidence lies in the present epoch cannot be a candidate too. `unmentioned`: cause -> as how much of its
    chance it counts on the machine as it was found, for what nobody complained of.
    """
    nodes: list[Node] = []
    wanted = {name for name, cause in pack.causes.items() if possible(cause.applies, facts)}
    ours = {name for name in wanted if pack.causes[name].after_our_work}
    present: dict[str, int] = {}

    def node(leak: float, bringers: Iterable[tuple[int, float]]) -> int:
        nodes.append(Node(leak, tuple(bringers)))
        return len(nodes) - 1

    def fresh(name: str) -> int:
        """A cause or state as what is there brings it about."""
        item: Cause | State = pack.causes[name] if name in pack.causes else pack.states[name]
        can_be = usual_share(pack, item.applies, facts) if isinstance(item, Cause) else 1.0
        leak = can_be * item.how_common if isinstance(item, Cause) else 0.0
        share = unmentioned.get(name, 1.0) if name not in ours else 1.0
        bringers = [
            (present[by], can_be * weight) for by, weight in item.brought_on_by.items() if by in present
        ]
        return node(leak * share / (1.0 - leak + leak * share), bringers)

    def again(name: str) -> int:
        """A cause as it is after a run: as it was, or brought on anew, by the weaker bringers less."""
        cause = pack.causes[name]
        share = cause.returns / max(cause.brought_on_by.values())
        old = [(present[name], 1.0)] if name in present else []
        bringers = [
            (present[by], weight * share) for by, weight in cause.brought_on_by.items() if by in present
        ]
        return node(0.0, [*old, *bringers])

    # The machine as it was found: causes and states in topological order (a state may bring on a cause).
    for name in links.order:
        if name in pack.states or (name in wanted and name not in ours):
            present[name] = fresh(name)
    begin = {name: at for name, at in present.items() if name in pack.causes}

    by_epoch: dict[int, dict[str, int]] = {}
    before = 0
    for moment in sorted({item.epoch for item in evidence} | {item.epoch for item in returns} | {epoch}):
        mended: set[str] = set()
        new: set[str] = set()
        if our_work_from is not None and moment >= our_work_from and not ours <= present.keys():
            for name in links.order:
                if name in ours:
                    present[name] = fresh(name)
                    new.add(name)
            ours = set()
        for name in [repair.cause for repair in repairs if before < repair.epoch <= moment]:
            if name in present:
                mended.add(name)
                left = 1.0 - pack.causes[name].takes
                if left > 0.0:
                    present[name] = node(0.0, [(present[name], left)])
                else:
                    del present[name]
        before = moment
        back = {item.cause for item in returns if item.epoch == moment}
        for name in links.order:
            if name in back:
                present[name] = again(name)
                new.add(name)
            if name not in pack.states:
                continue
            bringers = pack.states[name].brought_on_by
            if not mended.isdisjoint(bringers):
                # Something that may have brought it about is gone: worked out anew from what is left.
                present[name] = fresh(name)
                mended.add(name)
            elif not new.isdisjoint(bringers):
                # As it was, or brought about by what has come on top.
                more = [(present[by], weight) for by, weight in bringers.items() if by in new]
                present[name] = node(0.0, [(present[name], 1.0), *more])
                new.add(name)
        by_epoch[moment] = dict(present)

    complaints = {(item.observation, item.epoch) for item in evidence if item.complaint}
    findings: list[Finding] = []
    index: dict[tuple[str, int], int] = {}

    def finding(name: str, moment: int) -> int:
        key = (name, moment)
        if key not in index:
            there = by_epoch[moment]
            parents = tuple((there[by], pushes) for by, pushes in links.pushed_by[name] if by in there)
            index[key] = len(findings)
            background = pack.observations[name].background
            findings.append(Finding(_complained_of(background) if key in complaints else background, parents))
        return index[key]

    answers = [(finding(item.observation, item.epoch), item.likelihood, item.may_err) for item in evidence]
    asked = {name: finding(name, epoch) for name in candidates if (name, epoch) not in index}
    now = {name: node for name, node in by_epoch[epoch].items() if name in pack.causes}
    states_now = {name: node for name, node in by_epoch[epoch].items() if name in pack.states}
    return Built(
        Network(tuple(nodes), tuple(findings)), tuple(answers), begin, now, states_now, dict(index), asked
    )


def _complained_of(background: tuple[float, ...]) -> tuple[float, ...]:
    """The background of a symptom that somebody called over."""
    abnormal = tuple(COMPLAINT_UNEXPLAINED * chance for chance in background[1:])
    return (1.0 - sum(abnormal), *abnormal)
