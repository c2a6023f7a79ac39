"""What follows from the evidence on one machine: every fault's chance, now, at the job's begin and after an answer.

Everything is worked out when asked for and kept until the next change. Several faults at once, one bringing on
another, soft answers, a person who may err: mixture.py has how.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from faultfinder.errors import Contradiction
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.evidence.changes import SoftEvidence
from faultfinder.reasoning.evidence.evidence_log import EvidenceLog
from faultfinder.reasoning.evidence.facts import FactValue
from faultfinder.reasoning.evidence.likelihood import of_answer
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.mixture import Mixture
from faultfinder.reasoning.inference.network import ImpossibleEvidence
from faultfinder.reasoning.inference.unrolling import Built, build
from faultfinder.reasoning.inference.weighing import Weighing
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import Meter

Outlook = dict[str, dict[str, tuple[float, dict[str, float]]]]


class Assessment(EvidenceLog):
    """The evidence of one job and what follows from it; what to do next stands above, in decision/."""

    def __init__(
        self, pack: Pack, facts: Mapping[str, FactValue] | None = None, meter: Meter | None = None
    ) -> None:
        """See EvidenceLog."""
        super().__init__(pack, facts, meter)
        self._worked_out: Mixture | None = None
        self._error: float | None = None
        self._outlook: Outlook = {}
        self._alone: dict[object, float] = {}
        self._weighing: Weighing | None = None
        self._priors: dict[frozenset[tuple[str, float]], dict[str, float]] = {}

    # What follows ------------------------------------------------------------------------------------

    def confidence(self) -> dict[str, float]:
        """Probability that each fault is present now, for all causes; one that does not apply has 0.

        Raises Contradiction when the answers together are impossible, naming which to take back.
        """
        return self._chances("now")

    def found(self) -> dict[str, float]:
        """Probability that each fault was present when the job began."""
        return self._chances("begin")

    def prior(self) -> dict[str, float]:
        """Probability of each fault on a machine with these facts before anything was answered, but with what nobody
        complained of; for a fault of our own making, once there was work."""
        return self._before_answers(self.unmentioned())

    def base_rates(self) -> dict[str, float]:
        """The same on any machine with these facts, whether or not somebody called over it."""
        return self._before_answers({})

    def _before_answers(self, unmentioned: Mapping[str, float]) -> dict[str, float]:
        key = frozenset(unmentioned.items())
        if key not in self._priors:
            built = self.built([], unmentioned)
            nodes = {**built.now, **built.begin}
            engine = Engine(built.network, {}, report=frozenset(nodes.values()))
            chances = dict(zip(nodes.values(), engine.chances(list(nodes.values())), strict=True))
            self._priors = {**self._priors, key: self._named(chances, nodes)}
        return self._priors[key]

    def states(self) -> dict[str, float]:
        """Probability of each state now (air low, heat low ...); no faults, used in reasons."""
        mixture = self.mixture()
        chances = mixture.chances(mixture.built.states_now.values())
        return {name: chances[node] for name, node in mixture.built.states_now.items()}

    def _chances(self, when: str) -> dict[str, float]:
        built = self.mixture().built
        chances = self.mixture().chances([*built.now.values(), *built.begin.values()])
        return self._named(chances, built.now if when == "now" else built.begin)

    def _named(self, chances: Mapping[int, float], nodes: Mapping[str, int]) -> dict[str, float]:
        return {name: chances[nodes[name]] if name in nodes else 0.0 for name in self.pack.causes}

    def explanations(self, count: int = 3) -> list[tuple[frozenset[str], float]]:
        """The most probable fault sets of the machine as it was found, several faults allowed, best first."""
        begin = self.mixture().built.begin
        names = {node: name for name, node in begin.items()}
        ranking = self.mixture().most_probable(list(begin.values()), count)
        return [(frozenset(names[node] for node in nodes), chance) for nodes, chance in ranking]

    def outlook(self, names: Iterable[str] | None = None) -> Outlook:
        """For everything that can be asked now (or the observations named), each answer's probability and every
        cause's after it: the same as once it is recorded, as far as `standard_error` tells. Of one that was answered
        already, named: were it taken again."""
        mixture = self.mixture()
        candidates = mixture.built.candidates
        wanted = list(candidates if names is None else names)
        out: Outlook = {}
        new = []
        for name in wanted:
            if name in self._outlook:
                out[name] = self._outlook[name]
            elif name not in candidates or self.hangs_together(name):
                if name in candidates or self.given(name, self._epoch) is not None:
                    out[name] = self._by_recording(name)
            else:
                new.append(name)
        if new:
            items = {name: self.pack.observations[name] for name in new}
            sayings = {
                candidates[name]: [
                    of_answer(len(item.answers), level, item.reliability)
                    for level in range(len(item.answers))
                ]
                for name, item in items.items()
            }
            sure = {candidates[name] for name, item in items.items() if item.reliability >= 1.0}
            raw = mixture.outlook(sayings, sure)
            nothing = dict.fromkeys(self.pack.causes, 0.0)
            for name, item in items.items():
                out[name] = {
                    answer.id: (chance, {**nothing, **dict(zip(mixture.built.now, after, strict=True))})
                    for answer, (chance, after) in zip(item.answers, raw[candidates[name]], strict=True)
                }
        self._outlook.update(out)
        return {name: out[name] for name in wanted if name in out}

    def _by_recording(self, name: str) -> dict[str, tuple[float, dict[str, float]]]:
        """The outlook of an observation whose answer changes how others count, or that was answered already: each
        answer is recorded and looked at."""
        logs: dict[str, float] = {}
        after: dict[str, dict[str, float]] = {}
        for answer in self.pack.observations[name].answers:
            then = self.fork()
            then.record(name, answer.id, again=True)
            try:
                logs[answer.id], after[answer.id] = then.log_probability, then.confidence()
            except Contradiction:
                logs[answer.id], after[answer.id] = -math.inf, self.confidence()
        top = max(logs.values())
        weights = {answer: math.exp(log - top) if top > -math.inf else 1.0 for answer, log in logs.items()}
        total = math.fsum(weights.values())
        return {answer: (weight / total, after[answer]) for answer, weight in weights.items()}

    @property
    def log_probability(self) -> float:
        """Natural logarithm of the probability of all that was answered."""
        return self.mixture().log_probability

    @property
    def log_probability_unerring(self) -> float:
        """The same were nobody to err: how well the answers fit as they stand."""
        return self.mixture().runs[0].log_probability

    @property
    def exact(self) -> bool:
        """Whether the chances are exact; else weak links between answers and causes were deleted, see
        `standard_error`."""
        return self.mixture().exact

    @property
    def standard_error(self) -> float:
        """How far off a chance may be: 0 where all are exact, else see Mixture.error."""
        mixture = self.mixture()
        if self._error is None:
            self._error = mixture.error([*mixture.built.now.values(), *mixture.built.begin.values()])
        return self._error

    @property
    def error_rate(self) -> float:
        """The rate at which the person who answers errs, as far as the answers tell."""
        return self.mixture().error_rate

    @property
    def answers_doubted(self) -> bool:
        """Whether the answers fit together so badly that each counts a little less."""
        return self.error_rate > constants.DOUBTED

    @property
    def applicable(self) -> tuple[str, ...]:
        """Causes that are possible on this machine as it is now."""
        return tuple(self.mixture().built.now)

    # Inside ------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        self._worked_out = None
        self._error = None
        self._outlook = {}
        self._weighing = None

    def _chances_changed(self) -> None:
        self._priors = {}

    def built(
        self, evidence: Sequence[SoftEvidence] | None = None, unmentioned: Mapping[str, float] | None = None
    ) -> Built:
        """The network of the case, with the case's own evidence or other, and with what was not complained of."""
        candidates = [name for name, item in self.pack.observations.items() if self.askable(item)]
        return build(
            self.pack,
            self.links,
            self._facts,
            self.evidence() if evidence is None else evidence,
            self._repairs,
            self._epoch,
            self._our_work_from,
            candidates,
            self._returns,
            self.unmentioned() if unmentioned is None else unmentioned,
        )

    def mixture(self) -> Mixture:
        """What all chances come from. Raises Contradiction."""
        if self._worked_out is None:
            built = self.built()
            try:
                self._worked_out = Mixture(built, built.now.values())
            except ImpossibleEvidence as problem:
                names = {finding: name for (name, _), finding in built.findings.items()}
                clash = [names[index] for index in problem.findings if index in names]
                raise Contradiction(say("told_impossible", names=", ".join(clash))) from problem
        return self._worked_out

    def weighing(self) -> Weighing | None:
        """Each answer weighed by itself; None where the answers together are impossible."""
        if self._weighing is None:
            try:
                mixture = self.mixture()
                chances = mixture.chances(mixture.built.begin.values())
                likely = [node for node, chance in chances.items() if chance > constants.LEFT_OPEN]
                self._weighing = Weighing(mixture.built, self.error_rate, likely)
            except Contradiction:
                return None
        return self._weighing

    def each_alone(self, evidence: Sequence[SoftEvidence]) -> list[float]:
        """Log probability of each piece of evidence by itself, before anything else was known, were nobody to err."""
        changed = (tuple(self._repairs), tuple(self._returns), self._our_work_from)
        about = (tuple(sorted(self._facts.items(), key=str)), changed, tuple(self.unmentioned().items()))
        built: Built | None = None
        out = []
        for item in evidence:
            key = (item, about)
            if key not in self._alone:
                built = built or self.built(evidence)
                finding = built.findings[item.observation, item.epoch]
                try:
                    engine = Engine(built.network, {finding: item.likelihood}, report=())
                    self._alone[key] = engine.log_probability
                except ImpossibleEvidence:
                    self._alone[key] = -math.inf
            out.append(self._alone[key])
        return out

    def take_over(self, other: Assessment) -> None:
        """Keep what another case on the same pack has worked out and that cannot have changed."""
        if other.pack is self.pack:
            self._alone = other._alone
            self.links = other.links
            if other._facts == self._facts and other._our_work_from == self._our_work_from:
                self._priors = other._priors
