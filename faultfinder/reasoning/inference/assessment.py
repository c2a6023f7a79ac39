"""What follows from the evidence on one machine: every fault's chance, now, at the job's begin and after an answer.

Everything is worked out when asked for and kept until the next change. Probabilities are exact (see engine.py):
several faults at once, one bringing on another, soft answers.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from faultfinder.errors import Contradiction, TooWide
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.evidence.changes import SoftEvidence
from faultfinder.reasoning.evidence.evidence_log import EvidenceLog
from faultfinder.reasoning.evidence.facts import FactValue
from faultfinder.reasoning.evidence.likelihood import of_answer
from faultfinder.reasoning.inference.belief_propagation import believe, by_the_rest
from faultfinder.reasoning.inference.engine import Engine, ImpossibleEvidence
from faultfinder.reasoning.inference.narrowed import Narrowed
from faultfinder.reasoning.inference.unrolling import Built, build
from faultfinder.trade.meter import Meter

Outlook = dict[str, dict[str, tuple[float, dict[str, float]]]]


LARGEST_TABLE = 1 << 13
"""Entries of the largest table up to which chances are worked out exactly; chosen: a few tenths of a second. Beyond
it rare causes are set aside (narrowed.py) and `Case.exact` is False."""
OUTLOOK_TABLE = 1 << 8
"""The same for what every possible answer would do, which takes a run for each answer; chosen."""
NARROW_TABLE = 1 << 8
"""Entries of the largest table once rare causes are set aside; chosen."""

Inference = Engine | Narrowed


class Assessment(EvidenceLog):
    """The evidence of one job and what follows from it; what to do next stands above, in decision/."""

    def __init__(
        self, pack: Pack, facts: Mapping[str, FactValue] | None = None, meter: Meter | None = None
    ) -> None:
        """See EvidenceLog."""
        super().__init__(pack, facts, meter)
        self._engine: tuple[Built, Inference] | None = None
        self._ahead: tuple[Built, Inference] | None = None
        self._outlook: Outlook = {}
        self._alone: dict[object, float] = {}
        self._supposed: dict[tuple[SoftEvidence, ...], tuple[float, dict[str, float]]] = {}
        self._prior: dict[str, float] | None = None

    # What follows ------------------------------------------------------------------------------------

    def confidence(self) -> dict[str, float]:
        """Probability that each fault is present now, for all causes; one that does not apply has 0.

        Raises Contradiction when the answers together are impossible, naming which to take back.
        """
        built, engine = self._run()
        posterior = engine.posterior()
        return {name: posterior[built.now[name]] if name in built.now else 0.0 for name in self.pack.causes}

    def prior(self) -> dict[str, float]:
        """Probability of each fault on a machine with these facts before anything was answered; for a fault of
        our own making, once there was work."""
        if self._prior is None:
            built = self.built([])
            posterior = Engine(built.network, {}).posterior()
            known = {**built.now, **built.begin}
            self._prior = {
                name: posterior[known[name]] if name in known else 0.0 for name in self.pack.causes
            }
        return self._prior

    def found(self) -> dict[str, float]:
        """Probability that each fault was present when the job began."""
        built, engine = self._run()
        posterior = engine.posterior()
        return {
            name: posterior[built.begin[name]] if name in built.begin else 0.0 for name in self.pack.causes
        }

    def states(self) -> dict[str, float]:
        """Probability of each state now (air low, heat low ...); no faults, used in reasons."""
        built, engine = self._run()
        posterior = engine.posterior()
        return {name: posterior[node] for name, node in built.states_now.items()}

    def explanations(self, count: int = 3) -> list[tuple[frozenset[str], float]]:
        """The most probable fault sets of the machine as it was found, several faults allowed, best first."""
        built, engine = self._run()
        names = {node: name for name, node in built.begin.items()}
        ranking = engine.most_probable(list(built.begin.values()), count)
        return [(frozenset(names[node] for node in nodes), chance) for nodes, chance in ranking.sets]

    def outlook(self, names: Iterable[str] | None = None) -> Outlook:
        """For everything that can be asked now (or the observations named), each answer's probability and every
        cause's after it. Exact where the answers so far hang together closely (OUTLOOK_TABLE); else rare causes
        are set aside (narrowed.py)."""
        built, engine = self._looking_ahead()
        wanted = [name for name in (built.candidates if names is None else names) if name in built.candidates]
        new = [name for name in wanted if name not in self._outlook]
        if new:
            self._outlook.update(self._would_do(built, engine, new))
        return {name: self._outlook[name] for name in wanted}

    def beyond(self, name: str, answer: str, names: Iterable[str]) -> tuple[dict[str, float], Outlook]:
        """One answer further: every cause's chance once `name` is answered so, and what each answer to the
        observations `names` would do then. A question that only that answer opens is not among them."""
        built, engine = self._looking_ahead()
        observation = self.pack.observations[name]
        likelihood = of_answer(len(observation.answers), observation.index(answer), observation.reliability)
        evidence = {**built.evidence, built.candidates[name]: likelihood}
        after = replace(built, evidence=evidence)
        if isinstance(engine, Engine):
            then: Inference = engine.with_evidence(evidence)
        else:
            then = self._narrowed(after)
        wanted = [each for each in names if each in built.candidates and each != name]
        return self._now(after, then), self._would_do(after, then, wanted)

    @property
    def terms(self) -> int:
        """Products that one run of what the outlook is made with takes; each answer looked into takes a few."""
        return self._looking_ahead()[1].terms

    def _would_do(self, built: Built, engine: Inference, names: Sequence[str]) -> Outlook:
        asked: dict[int, list[tuple[float, ...]]] = {}
        for name in names:
            observation = self.pack.observations[name]
            levels = len(observation.answers)
            asked[built.candidates[name]] = [
                of_answer(levels, k, observation.reliability) for k in range(levels)
            ]
        raw = engine.outlook(asked)
        plain, names_of = self._now(built, engine), {node: cause for cause, node in built.now.items()}
        out: Outlook = {}
        for name in names:
            out[name] = {}
            answers = self.pack.observations[name].answers
            for answer, (chance, posterior) in zip(answers, raw[built.candidates[name]], strict=True):
                after = dict(plain)
                for node, value in posterior.changed().items():
                    if node in names_of:
                        after[names_of[node]] = value
                out[name][answer.id] = chance, after
        return out

    def _now(self, built: Built, engine: Inference) -> dict[str, float]:
        posterior = engine.posterior()
        return {name: posterior[built.now[name]] if name in built.now else 0.0 for name in self.pack.causes}

    def _looking_ahead(self) -> tuple[Built, Inference]:
        """The run that the outlook is made with."""
        if self._ahead is None:
            built, engine = self._run()
            if isinstance(engine, Engine) and 1 << engine.width > OUTLOOK_TABLE:
                engine = self._narrowed(built)
            self._ahead = built, engine
        return self._ahead

    def looking_ahead(self) -> tuple[Built, list[float]]:
        """The network that the outlook is made with, and every node's chance by it."""
        built, engine = self._looking_ahead()
        return built, engine.posterior()

    def ahead(self) -> dict[str, float]:
        """Every cause's chance now from the run that the outlook is made with, to hold the outlook against."""
        return self._now(*self._looking_ahead())

    @property
    def log_probability(self) -> float:
        """Natural logarithm of the probability of all that was answered."""
        return self._run()[1].log_probability

    @property
    def applicable(self) -> tuple[str, ...]:
        """Causes that are possible on this machine as it is now."""
        return tuple(self._run()[0].now)

    # Inside ------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        self._engine = None
        self._outlook = {}
        self._ahead = None
        self._supposed = {}

    def _chances_changed(self) -> None:
        self._prior = None

    def built(self, evidence: Sequence[SoftEvidence] | None = None) -> Built:
        """The network of the case, with the case's own evidence or other."""
        candidates = [name for name, item in self.pack.observations.items() if self.askable(item)]
        return build(
            self.pack,
            self._links,
            self._facts,
            self.evidence() if evidence is None else evidence,
            self._repairs,
            self._epoch,
            self._our_work_from,
            candidates,
            self._returns,
        )

    @property
    def exact(self) -> bool:
        """Whether the chances are exact; where the answers hang together too widely, rare causes are set aside
        (narrowed.py) and the chances are close to exact instead."""
        return isinstance(self._run()[1], Engine)

    def _run(self) -> tuple[Built, Inference]:
        if self._engine is None:
            built = self.built()
            try:
                self._engine = built, self.inference(built, built.now.values())
            except ImpossibleEvidence as problem:
                names = {finding: name for (name, _), finding in built.findings.items()}
                clash = [names[index] for index in problem.findings if index in names]
                raise Contradiction(
                    "These answers cannot all be true of one machine: "
                    + ", ".join(clash)
                    + ". Take one of them back or take its reading again."
                ) from problem
        return self._engine

    def inference(self, built: Built, report: Iterable[int]) -> Inference:
        """A run over a network of this case, exact as long as that is quick; `report`: see Engine. Raises
        ImpossibleEvidence."""
        try:
            return Engine(
                built.network, built.evidence, report=frozenset(report), largest_table=LARGEST_TABLE
            )
        except TooWide:
            return self._narrowed(built, report)

    def _narrowed(self, built: Built, report: Iterable[int] | None = None) -> Narrowed:
        wanted = frozenset(built.now.values() if report is None else report)
        return Narrowed(built.network, built.evidence, report=wanted, largest_table=NARROW_TABLE)

    def supposing(self, evidence: Sequence[SoftEvidence]) -> tuple[float, dict[str, float]]:
        """Log probability of other evidence on this machine, and every cause's chance at the job's begin under
        it; (-inf, {}) when that evidence is impossible."""
        key = tuple(evidence)
        if key not in self._supposed:
            built = self.built(evidence)
            try:
                engine, posterior = self._with_everything(built)
                chances = {name: posterior[node] for name, node in built.begin.items()}
                self._supposed[key] = engine.log_probability, chances
            except ImpossibleEvidence:
                self._supposed[key] = -math.inf, {}
        return self._supposed[key]

    def _with_everything(self, built: Built) -> tuple[Inference, Sequence[float]]:
        """A run with every node's chance. Where all answers of this case are too wide for an exact one, most sets of
        them are: none is tried then, and figures that are held against one another are of one kind."""
        if self._may_be_exact():
            try:
                engine = self.inference(built, ())
                return engine, engine.posterior()
            except TooWide:
                pass  # narrow enough by itself, but not with every node reported
        narrowed = self._narrowed(built, built.begin.values())
        return narrowed, narrowed.posterior()

    def _may_be_exact(self) -> bool:
        try:
            return self.exact
        except Contradiction:  # fewer answers may be possible together
            return True

    def each_by_the_rest(self) -> list[float]:
        """About the log probability of each answer that counts, given all the others (see belief_propagation.py)."""
        built = self.built()
        beliefs = believe(built.network, built.evidence)
        findings = [built.findings[item.observation, item.epoch] for item in self.evidence()]
        return [by_the_rest(built.network, built.evidence, beliefs, finding) for finding in findings]

    def each_alone(self, evidence: Sequence[SoftEvidence]) -> list[float]:
        """Log probability of each piece of evidence by itself, before anything else was known."""
        changed = (tuple(self._repairs), tuple(self._returns), self._our_work_from)
        about = (tuple(sorted(self._facts.items(), key=str)), changed)
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
            self._links = other._links
            if other._facts == self._facts and other._our_work_from == self._our_work_from:
                self._prior = other._prior
