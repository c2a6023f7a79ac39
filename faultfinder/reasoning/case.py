"""A case: one machine, what is known of it, what was answered, and what follows from that. The public API.

A `Case` only remembers what was given; everything else is worked out when asked for and kept until the next
change. Probabilities are exact (see engine.py): several faults at once, one bringing on another, soft answers.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from faultfinder.errors import BadAnswer, Contradiction, TooWide, UnknownName
from faultfinder.knowledge.model import Access, Cause, Kind, Need, Observation, Pack, Question
from faultfinder.reasoning import advise
from faultfinder.reasoning.beliefs import believe, by_the_rest
from faultfinder.reasoning.build import Built, Evidence, Links, Repair, build, turn_round
from faultfinder.reasoning.engine import Engine, ImpossibleEvidence
from faultfinder.reasoning.facts import FactValue, nearest, outside, possible, read_fact, read_facts
from faultfinder.reasoning.given import Given, Judged, judge, understand
from faultfinder.reasoning.likelihood import of_answer
from faultfinder.reasoning.narrowed import Narrowed
from faultfinder.reasoning.screen import quick_worth, stake
from faultfinder.reasoning.step import Done, Step
from faultfinder.reasoning.worth import price_of
from faultfinder.trade.meter import Meter

Outlook = dict[str, dict[str, tuple[float, dict[str, float]]]]


LARGEST_TABLE = 1 << 13
"""Entries of the largest table up to which chances are worked out exactly; chosen: a few tenths of a second. Beyond
it rare causes are set aside (narrowed.py) and `Case.exact` is False."""
OUTLOOK_TABLE = 1 << 9
"""The same for what every possible answer would do, which takes a run for each answer; chosen."""
NARROW_TABLE = 1 << 10
"""Entries of the largest table once rare causes are set aside; chosen."""

Inference = Engine | Narrowed


class Case:
    """One job's evidence on one machine; see the package's README for a first example."""

    def __init__(
        self, pack: Pack, facts: Mapping[str, FactValue] | None = None, meter: Meter | None = None
    ) -> None:
        """`meter`: the one that the readings are taken with; where it has no range, and without it, the pack's
        ordinary meter counts. Raises UnknownName or BadFact for facts that the pack does not know or cannot hold.
        """
        self.pack = pack
        self.meter = meter
        self._facts = read_facts(pack, facts or {})
        self._links: Links = turn_round(pack)
        self._given: dict[tuple[str, int], Given] = {}
        self._skipped: dict[str, str] = {}
        self._missing_instruments: set[str] = set()
        self._repairs: list[Repair] = []
        self._epoch = 0
        self._our_work_from: int | None = None
        self._access = Access.AS_FOUND
        self._engine: tuple[Built, Inference] | None = None
        self._ahead: tuple[Built, Inference] | None = None
        self._outlook: Outlook = {}
        self._alone: dict[object, float] = {}
        self._prior: dict[str, float] | None = None
        self._steps: tuple[object, tuple[Step, ...]] | None = None
        self._to_prove: list[str] = []
        self.unreachable: frozenset[Need] = frozenset()
        """Access that cannot be had as things stand (a danger sign, a missing isolator): not offered."""
        self.declined: frozenset[str] = frozenset()
        """Steps that the person does not want now, by target: not offered either."""

    # What is known ------------------------------------------------------------------------------------

    @property
    def facts(self) -> Mapping[str, FactValue]:
        return MappingProxyType(self._facts)

    @property
    def epoch(self) -> int:
        """How many times the machine was changed by us; answers belong to the epoch they were given in."""
        return self._epoch

    @property
    def access(self) -> Access:
        """The access state that the next steps are priced from."""
        return self._access

    @access.setter
    def access(self, access: Access) -> None:
        self._access = Access(access)

    def set_fact(self, name: str, value: FactValue | None) -> None:
        """Take a plate fact (None: unknown again). Earlier readings are judged anew with it."""
        if name not in self.pack.facts:
            raise UnknownName(f"'{name}' is no fact of this pack." + nearest(name, self.pack.facts))
        if value is None:
            self._facts.pop(name, None)
        else:
            self._facts[name] = read_fact(self.pack.facts[name], value)
        self._prior = None
        self._changed()

    @property
    def outside(self) -> str | None:
        """What to tell the person when this machine is not for the pack at all, else None."""
        found = outside(self.pack, self._facts)
        return found.say if found else None

    def observation(self, name: str) -> Observation:
        """Raises UnknownName, with the nearest known name."""
        if name not in self.pack.observations:
            known = [*self.pack.observations, *self.pack.questions]
            raise UnknownName(f"'{name}' is no observation of this pack." + nearest(name, known))
        return self.pack.observations[name]

    def cause(self, name: str) -> Cause:
        """Raises UnknownName, with the nearest known name."""
        if name not in self.pack.causes:
            raise UnknownName(f"'{name}' is no cause of this pack." + nearest(name, self.pack.causes))
        return self.pack.causes[name]

    # What was answered --------------------------------------------------------------------------------

    def record(
        self, name: str, answer: str | float | Sequence[str], *, kind: Kind | str | None = None
    ) -> tuple[Judged, ...]:
        """Take an answer: an answer id, a reading (`"46R"`, `"OL"`, `5.8`), or the choices of a question.

        A second answer in the same epoch replaces the first. Returns what each observation it set now says.
        Raises UnknownName, BadAnswer or ReadingError and leaves the case as it was.
        """
        how = Kind(kind) if kind is not None else None
        if name in self.pack.questions:
            given = [
                understand(self.observation(target), value, self._epoch, how)
                for target, value in self.choices(self.pack.questions[name], answer).items()
            ]
        elif isinstance(answer, str | int | float):
            given = [understand(self.observation(name), answer, self._epoch, how)]
        else:
            raise BadAnswer(f"{name} takes one answer, not a list.")
        for item in given:
            self._given[item.observation, self._epoch] = item
            self._skipped.pop(item.observation, None)
        self._changed()
        return tuple(self.judged(item) for item in given)

    def choices(self, question: Question, answer: str | float | Sequence[str]) -> dict[str, str]:
        """What the choices of a question set. For `several`, the word `none` (alone or with choices) sets all
        that was not ticked to healthy. Raises BadAnswer for an unknown choice."""
        words = [str(answer)] if isinstance(answer, str | int | float) else [str(word) for word in answer]
        by_id = {choice.id: choice for choice in question.choices}
        if not question.several and len(words) != 1:
            raise BadAnswer(f"{question.id} takes one choice: {', '.join(by_id)}.")
        sets: dict[str, str] = {}
        if question.several and "none" in words and "none" not in by_id:
            words.remove("none")
            sets = {target: self.pack.observations[target].healthy for target in question.observations}
        for word in words:
            if word not in by_id:
                raise BadAnswer(
                    f"'{word}' is no choice of {question.id}. It can be: {', '.join(by_id)}."
                    + nearest(word, by_id)
                )
            sets.update(by_id[word].sets)
        return sets

    def withdraw(self, name: str) -> None:
        """Take an answer back, the latest one given to the observation. Raises UnknownName if there is none."""
        epochs = [epoch for target, epoch in self._given if target == name]
        if not epochs:
            self.observation(name)
            raise UnknownName(f"{name} has not been answered.")
        del self._given[name, max(epochs)]
        self._changed()

    def skip(self, name: str, why: str = "") -> None:
        """Never offer this observation or question in this epoch; the reasoning goes on without it."""
        if name not in self.pack.questions:
            self.observation(name)
        self._skipped[name] = why
        self._changed()

    def without(self, instrument: str) -> None:
        """An instrument that is not at hand: what needs it is not offered."""
        self._missing_instruments.add(instrument)
        self._changed()

    @property
    def answers(self) -> tuple[Given, ...]:
        """Every answer that counts, in the order first given."""
        return tuple(self._given.values())

    @property
    def skipped(self) -> Mapping[str, str]:
        return MappingProxyType(self._skipped)

    def judged(self, given: Given) -> Judged:
        """What an answer says with the facts known now."""
        return judge(self.pack, self.pack.observations[given.observation], given, self._facts, self.meter)

    def given(self, name: str, epoch: int) -> Given | None:
        return self._given.get((name, epoch))

    def latest(self, name: str) -> Given | None:
        """The latest answer to an observation, whatever the epoch."""
        epochs = [epoch for target, epoch in self._given if target == name]
        return self._given[name, max(epochs)] if epochs else None

    # What was done ------------------------------------------------------------------------------------

    def put_right(self, name: str) -> None:
        """The remedy was carried out: what follows is evidence about the machine as it is now."""
        cause = self.cause(name)
        self._epoch += 1
        self._repairs.append(Repair(name, self._epoch))
        if cause.remedy_need is Need.OPEN_DEAD and self._our_work_from is None:
            self._our_work_from = self._epoch
            self._prior = None
        self._to_prove = [*(proof for proof in cause.proof if proof not in self._to_prove), *self._to_prove]
        self._skipped.clear()
        self._changed()

    def reassembled(self) -> None:
        """The machine was opened and put together again: a fault of our own making is possible from now on."""
        if self._our_work_from is None:
            self._epoch += 1
            self._our_work_from = self._epoch
            self._prior = None
            self._changed()

    @property
    def was_open(self) -> bool:
        """Whether the machine was opened and put together again in this job."""
        return self._our_work_from is not None

    @property
    def repairs(self) -> tuple[str, ...]:
        """Causes put right, in order."""
        return tuple(repair.cause for repair in self._repairs)

    # What follows -------------------------------------------------------------------------------------

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

    def ahead(self) -> dict[str, float]:
        """Every cause's chance now from the run that the outlook is made with, to hold the outlook against."""
        return self._now(*self._looking_ahead())

    def promising(self, count: int, about: Collection[str]) -> list[str]:
        """At most `count` observations that could be asked now: half of them those that a quick look finds most
        worth for their direct causes, half for the states they show; only the causes in `about` count."""
        built, engine = self._looking_ahead()
        chances = engine.posterior()
        price = {node: price_of(self.pack.causes[name]) for name, node in built.now.items() if name in about}
        weight = {
            node: stake(
                {built.now[c]: w for c, w in self._links.reach[state].items() if c in built.now},
                chances,
                price,
            )
            for state, node in built.states_now.items()
        }
        direct: list[tuple[float, str]] = []
        through: list[tuple[float, str]] = []
        for name, finding in built.candidates.items():
            item = self.pack.observations[name]
            if self.available(item):
                worth = quick_worth(built.network.findings[finding], item.reliability, chances, price, weight)
                direct.append((worth[0] - item.minutes, name))
                through.append((worth[1], name))
        best = [sorted(ranked, reverse=True)[: count // 2] for ranked in (direct, through)]
        return list(dict.fromkeys(name for ranked in best for _, name in ranked))

    def askable(self, observation: Observation | Question) -> bool:
        """Whether it applies to this machine, its gate is open, and it was not answered since anything that
        bears on it was changed."""
        if not possible(observation.applies, self._facts):
            return False
        for gate, allowed in observation.only_if.items():
            given = self.latest(gate)
            if given is None or self.judged(given).answer not in allowed:
                return False
        if isinstance(observation, Question):
            return any(self.askable(self.pack.observations[name]) for name in observation.observations)
        given = self.latest(observation.id)
        return given is None or self._stale(observation, given)

    def _stale(self, observation: Observation, given: Given) -> bool:
        if given.epoch == self._epoch:
            return False
        touched = {repair.cause for repair in self._repairs if repair.epoch > given.epoch}
        if self._our_work_from is not None and self._our_work_from > given.epoch:
            touched |= {name for name, cause in self.pack.causes.items() if cause.after_our_work}
        above = frozenset[str]().union(
            *(self._links.ancestors[by] for by, _ in self._links.pushed_by[observation.id])
        )
        return bool(touched & above)

    @property
    def log_probability(self) -> float:
        """Natural logarithm of the probability of all that was answered."""
        return self._run()[1].log_probability

    # What to do ---------------------------------------------------------------------------------------

    def next_steps(self, count: int = 3) -> list[Step]:
        """The steps worth most for their minutes, best first; empty when nothing more is worth doing."""
        return list(self.steps()[:count])

    def steps(self) -> tuple[Step, ...]:
        """All steps worth doing, best first; worked out once until something changes."""
        key = (self._access, self.unreachable, self.declined)
        if self._steps is None or self._steps[0] != key:
            self._steps = key, tuple(advise.steps(self))
        return self._steps[1]

    @property
    def done(self) -> Done | None:
        """Why there is nothing more worth doing, or None while there is."""
        return advise.done(self)

    def need_of(self, item: Observation | Question) -> Need:
        """The access that it needs now: once something was put right, a complaint is judged on the machine run
        again, not from memory."""
        if item.symptom and item.need is Need.ANYWHERE and self._epoch > 0:
            return Need.IN_USE
        return item.need

    def available(self, item: Observation | Question) -> bool:
        """Whether it was not skipped, its instruments are at hand and its access can be had."""
        if self.need_of(item) in self.unreachable or item.id in self.declined:
            return False
        return item.id not in self._skipped and not self._missing_instruments & set(item.instruments)

    @property
    def to_prove(self) -> tuple[str, ...]:
        """Observations that the rules name as proof of what was put right, latest repair first."""
        return tuple(self._to_prove)

    def last_changed(self, observation: str) -> int:
        """The epoch in which something that this observation proves was last put right; 0 if never."""
        return max(
            (repair.epoch for repair in self._repairs if observation in self.cause(repair.cause).proof),
            default=0,
        )

    @property
    def applicable(self) -> tuple[str, ...]:
        """Causes that are possible on this machine as it is now."""
        return tuple(self._run()[0].now)

    @property
    def missing_instruments(self) -> frozenset[str]:
        return frozenset(self._missing_instruments)

    def ancestors(self, name: str) -> frozenset[str]:
        """A cause or state with everything that can bring it on, near or far."""
        return self._links.ancestors[name]

    # Inside -------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        self._engine = None
        self._outlook = {}
        self._ahead = None
        self._steps = None

    def evidence(self) -> list[Evidence]:
        """The answers that count, as the engine sees them: an answer whose gate is shut now is suspended."""
        out = []
        for given in self._given.values():
            if not self._gate_open(self.pack.observations[given.observation]):
                continue
            out.append(Evidence(given.observation, given.epoch, self.judged(given).likelihood))
        return out

    def _gate_open(self, observation: Observation) -> bool:
        for gate, allowed in observation.only_if.items():
            given = self.latest(gate)
            if given is not None and self.judged(given).answer not in allowed:
                return False
        return True

    def built(self, evidence: Sequence[Evidence] | None = None) -> Built:
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

    def supposing(self, evidence: Sequence[Evidence]) -> tuple[float, dict[str, float]]:
        """Log probability of other evidence on this machine, and every cause's chance at the job's begin under
        it; (-inf, {}) when that evidence is impossible."""
        built = self.built(evidence)
        try:
            engine, posterior = self._with_everything(built)
        except ImpossibleEvidence:
            return -math.inf, {}
        return engine.log_probability, {name: posterior[node] for name, node in built.begin.items()}

    def _with_everything(self, built: Built) -> tuple[Inference, Sequence[float]]:
        """A run with every node's chance. Where all answers of this case are too wide for an exact one, most sets of
        them are: none is tried then, and figures that are held against one another are of one kind."""
        if self._engine is None or self.exact:
            try:
                engine = self.inference(built, ())
                return engine, engine.posterior()
            except TooWide:
                pass  # narrow enough by itself, but not with every node reported
        narrowed = self._narrowed(built, built.begin.values())
        return narrowed, narrowed.posterior()

    def each_by_the_rest(self) -> list[float]:
        """About the log probability of each answer that counts, given all the others (see beliefs.py)."""
        built = self.built()
        beliefs = believe(built.network, built.evidence)
        findings = [built.findings[item.observation, item.epoch] for item in self.evidence()]
        return [by_the_rest(built.network, built.evidence, beliefs, finding) for finding in findings]

    def each_alone(self, evidence: Sequence[Evidence]) -> list[float]:
        """Log probability of each piece of evidence by itself, before anything else was known."""
        about = (tuple(sorted(self._facts.items(), key=str)), tuple(self._repairs), self._our_work_from)
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

    def take_over(self, other: Case) -> None:
        """Keep what another case on the same pack has worked out and that cannot have changed."""
        if other.pack is self.pack:
            self._alone = other._alone
            self._links = other._links
            if other._facts == self._facts and other._our_work_from == self._our_work_from:
                self._prior = other._prior

    def bears_on(self, observation: str, cause: str) -> bool:
        """Whether the rules let the cause show in the observation, itself or through what it brings on."""
        return any(cause in self._links.ancestors[by] for by, _ in self._links.pushed_by[observation])
