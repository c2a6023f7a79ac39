"""What is told of one machine: facts, answers, what was skipped or put right. What follows stands in inference/."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import replace
from functools import cached_property
from types import MappingProxyType
from typing import Self

from faultfinder.errors import BadAnswer, UnknownName
from faultfinder.knowledge.model import Access, Cause, Kind, Need, Observation, Pack, Question
from faultfinder.reasoning.constants import MENTIONED
from faultfinder.reasoning.evidence.answers import Given, Judged, judge, understand
from faultfinder.reasoning.evidence.changes import Repair, Return, SoftEvidence
from faultfinder.reasoning.evidence.facts import FactValue, nearest, outside, possible, read_fact, read_facts
from faultfinder.reasoning.evidence.likelihood import tempered
from faultfinder.reasoning.evidence.links import Links, turn_round
from faultfinder.text.catalogue import say
from faultfinder.trade.readings.meter import Meter


class EvidenceLog:
    """All that a case was told, and what may be asked next; nothing is worked out here."""

    def __init__(
        self, pack: Pack, facts: Mapping[str, FactValue] | None = None, meter: Meter | None = None
    ) -> None:
        """`meter`: the one that the readings are taken with; where it has no range, and without it, the pack's
        ordinary meter counts. Raises UnknownName or BadFact for facts that the pack does not know or cannot hold.
        """
        self.pack = pack
        self.meter = meter
        self._facts = read_facts(pack, facts or {})
        self._given: dict[tuple[str, int, int], Given] = {}
        """By observation, epoch and take."""
        self._judged: dict[Given, Judged] = {}
        self._skipped: dict[str, str] = {}
        self._missing_instruments: set[str] = set()
        self._remedies: list[str] = []
        self._repairs: list[Repair] = []
        self._epoch = 0
        self._our_work_from: int | None = None
        self._returns: list[Return] = []
        self._ran = 0
        self._access = Access.AS_FOUND
        self._to_prove: list[str] = []
        self.unreachable: frozenset[Need] = frozenset()
        """Access that cannot be had as things stand (a danger sign, a missing isolator): not offered."""
        self.declined: frozenset[str] = frozenset()
        """Steps that the person does not want now, by target: not offered either."""

    def fork(self) -> Self:
        """Another one that was told the same and goes its own way from here; what follows is not worked out anew."""
        other = copy(self)
        for name, value in vars(self).items():
            if isinstance(value, dict | list | set):
                setattr(other, name, copy(value))
        return other

    def _changed(self) -> None:
        """Something was told: what followed from the rest no longer holds."""

    def _chances_changed(self) -> None:
        """The machine itself is another than was thought: what holds before any answer no longer does."""

    # What is known -----------------------------------------------------------------------------------

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
            raise UnknownName(say("told_no_fact", name=name) + nearest(name, self.pack.facts))
        if value is None:
            self._facts.pop(name, None)
        else:
            self._facts[name] = read_fact(self.pack.facts[name], value)
        self._judged = {}
        self._chances_changed()
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
            raise UnknownName(say("told_no_observation", name=name) + nearest(name, known))
        return self.pack.observations[name]

    def cause(self, name: str) -> Cause:
        """Raises UnknownName, with the nearest known name."""
        if name not in self.pack.causes:
            raise UnknownName(say("told_no_cause", name=name) + nearest(name, self.pack.causes))
        return self.pack.causes[name]

    @cached_property
    def links(self) -> Links:
        """The links of the pack, turned round; worked out when something first hangs on them."""
        return turn_round(self.pack)

    def bears_on(self, observation: str, cause: str) -> bool:
        """Whether the rules let the cause show in the observation, itself or through what it brings on."""
        return cause in self.behind(observation)

    def behind(self, observation: str) -> frozenset[str]:
        """The causes and states that can show in the observation, near or far."""
        return self.links.behind[observation]

    # What was answered -------------------------------------------------------------------------------

    def record(
        self,
        name: str,
        answer: str | float | Sequence[str],
        *,
        kind: Kind | str | None = None,
        complaint: bool = False,
        again: bool = False,
    ) -> tuple[Judged, ...]:
        """Take an answer: an answer id, a reading (`"33R"`, `"OL"`, `7.4`), or the choices of a question.

        A second answer in the same epoch replaces the first; with `again` it was taken once more, and both count.
        What a list of choices only repeats, with nothing changed that bears on it, counts once.
        `complaint`: it was told unasked, as what is wrong; told again before anything was changed it stays so.
        Returns what each observation it set now says.
        Raises UnknownName, BadAnswer or ReadingError and leaves the case as it was.
        """
        how = Kind(kind) if kind is not None else None
        if name in self.pack.questions:
            question = self.pack.questions[name]
            given = [
                replace(
                    understand(self.observation(target), value, self._epoch, how), ticked=question.several
                )
                for target, value in self.choices(question, answer).items()
            ]
            given = [item for item in given if not (self._stands(item) or self._complained_of(item))]
        elif isinstance(answer, str | int | float):
            given = [understand(self.observation(name), answer, self._epoch, how)]
        else:
            raise BadAnswer(say("told_takes_one_answer", name=name))
        for item in given:
            if self._complained(item, complaint):
                item = replace(item, complaint=True)
            before = self.given(item.observation, self._epoch)
            if before is not None:
                item = replace(item, take=before.take + 1 if again else before.take)
            self._given[item.observation, self._epoch, item.take] = item
            self._skipped.pop(item.observation, None)
        self._changed()
        return tuple(self.judged(item) for item in given)

    def _complained_of(self, given: Given) -> bool:
        """Whether a list, where it was not ticked, would take back what was complained of: not to have noticed it
        says little against it. Whoever takes a complaint back says so by its name."""
        before = self.given(given.observation, self._epoch)
        if before is None or not before.complaint:
            return False
        return self.amiss(before) and given.answer == self.pack.observations[given.observation].healthy

    def _stands(self, given: Given) -> bool:
        """Whether it says again what was told in an earlier epoch and still holds: no second look at it."""
        before = self.latest(given.observation)
        if before is None or before.epoch == self._epoch or given.answer is None:
            return False
        item = self.pack.observations[given.observation]
        return not self._stale(item, before) and self.judged(before).answer == given.answer

    def _complained(self, given: Given, complaint: bool) -> bool:
        """Whether it is what somebody called over: new, or told again before anything was changed."""
        observation = self.pack.observations[given.observation]
        if not observation.symptom or observation.sets_the_scene:
            return False
        if given.answer in (None, observation.healthy):
            return False
        before = self.given(given.observation, self._epoch)
        return complaint or (before is not None and before.complaint and before.answer == given.answer)

    def choices(self, question: Question, answer: str | float | Sequence[str]) -> dict[str, str]:
        """What the choices of a question set. For `several`, the word `none` (alone or with choices) sets to
        healthy what was not ticked, where all that could be wrong with it was offered. Raises BadAnswer for an
        unknown choice."""
        words = [str(answer)] if isinstance(answer, str | int | float) else [str(word) for word in answer]
        by_id = {choice.id: choice for choice in question.choices}
        if not question.several and len(words) != 1:
            raise BadAnswer(say("told_takes_one_choice", id=question.id, names=", ".join(by_id)))
        sets: dict[str, str] = {}
        if question.several and "none" in words and "none" not in by_id:
            words.remove("none")
            items = (self.pack.observations[target] for target in question.observations)
            sets = {item.id: item.healthy for item in items if not question.left_out(item)}
        for word in words:
            if word not in by_id:
                raise BadAnswer(
                    say("told_no_choice", word=word, id=question.id, names=", ".join(by_id))
                    + nearest(word, by_id)
                )
            sets.update(by_id[word].sets)
        return sets

    def withdraw(self, name: str) -> None:
        """Take an answer back, the latest one given to the observation. Raises UnknownName if there is none."""
        given = self.latest(name)
        if given is None:
            self.observation(name)
            raise UnknownName(say("told_not_answered", name=name))
        del self._given[name, given.epoch, given.take]
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
        """What an answer says with the facts known now; worked out once until a fact changes."""
        if given not in self._judged:
            observation = self.pack.observations[given.observation]
            self._judged[given] = judge(self.pack, observation, given, self._facts, self.meter)
        return self._judged[given]

    def amiss(self, given: Given) -> bool:
        """Whether an answer says that something is not as it should be."""
        return self.judged(given).answer != self.pack.observations[given.observation].healthy

    def given(self, name: str, epoch: int) -> Given | None:
        """The answer to an observation in an epoch, the latest one where it was taken again."""
        those = [key for key in self._given if key[0] == name and key[1] == epoch]
        return self._given[max(those)] if those else None

    def latest(self, name: str) -> Given | None:
        """The latest answer to an observation, whatever the epoch."""
        those = [key for key in self._given if key[0] == name]
        return self._given[max(those)] if those else None

    def evidence(self) -> list[SoftEvidence]:
        """The answers that count, as the engine sees them: an answer whose gate is shut now is suspended, and what
        hangs on other answers does not count as one more."""
        out, shares = [], self._shares()
        for given in self._given.values():
            item = self.pack.observations[given.observation]
            if not self._gate_open(item):
                continue
            likelihood = self.judged(given).likelihood
            if share := shares.get((given.observation, given.epoch)):
                likelihood = tempered(likelihood, share)
            may_err = not given.complaint and item.reliability < 1.0
            out.append(SoftEvidence(given.observation, given.epoch, likelihood, given.complaint, may_err))
        return out

    def not_spoken_of(self) -> tuple[str, ...]:
        """The symptoms that this machine may have and the owner did not speak of; empty where nobody complained."""
        told = {name for (name, epoch, _), given in self._given.items() if given.complaint and epoch == 0}
        if not told:
            return ()
        items = self.pack.observations
        return tuple(n for n in self.links.told if n not in told and possible(items[n].applies, self._facts))

    def unmentioned(self) -> dict[str, float]:
        """Cause -> as how much of its chance it counts, for what it would show and the owner did not speak of. To
        speak of a symptom is taken as a finding of its own that each cause pushes by itself, with MENTIONED times the
        chance that it shows there: not made, it is a factor for each."""
        out: dict[str, float] = {}
        for name in self.not_spoken_of():
            for cause, chance in self.links.told[name].items():
                out[cause] = out.get(cause, 1.0) * (1.0 - MENTIONED * chance)
        return out

    def _shares(self) -> dict[tuple[str, int], float]:
        """(observation, epoch) -> as how much of an answer it counts, where that is less than one: what is computed
        from n others answered in the same epoch, and each of them, as n of n + 1."""
        answered = {(name, epoch) for name, epoch, _ in self._given}
        out: dict[tuple[str, int], float] = {}
        for name, epoch in answered:
            sources = [
                (by, epoch) for by in self.pack.observations[name].computed_from if (by, epoch) in answered
            ]
            for moment in [(name, epoch), *sources] if sources else ():
                out[moment] = min(out.get(moment, 1.0), len(sources) / (len(sources) + 1.0))
        return out

    def hangs_together(self, name: str) -> bool:
        """Whether answering it now changes how much answers given already count."""
        answered = {target for target, epoch, _ in self._given if epoch == self._epoch}
        if not answered.isdisjoint(self.pack.observations[name].computed_from):
            return True
        return any(name in self.pack.observations[other].computed_from for other in answered)

    def _gate_open(self, item: Observation | Question, unknown: bool = True) -> bool:
        """Whether what it is asked only after was answered so; unknown: or not answered."""
        gates = [(self.latest(gate), allowed) for gate, allowed in item.only_if.items()]
        return all(
            self.judged(given).answer in allowed if given is not None else unknown for given, allowed in gates
        )

    # What was done -----------------------------------------------------------------------------------

    def put_right(self, name: str) -> None:
        """The remedy was carried out, and what it puts right as well with it: what follows is evidence about the
        machine as it is now."""
        cause = self.cause(name)
        mended = (name, *cause.also_mends)
        self._epoch += 1
        self._remedies.append(name)
        self._repairs += [Repair(each, self._epoch) for each in mended]
        if cause.remedy_need is Need.OPEN_DEAD and self._our_work_from is None:
            self._our_work_from = self._epoch
            self._chances_changed()
        self._to_prove = [*(proof for proof in cause.proof if proof not in self._to_prove), *self._to_prove]
        # What could not be done for a cause may be done once it is put right.
        for item in list(self._skipped):
            question = self.pack.questions.get(item)
            seen = question.observations if question else (item,)
            if any(self.bears_on(one, each) for one in seen for each in mended):
                del self._skipped[item]
        self._changed()

    def reassembled(self) -> None:
        """The machine was opened and put together again: a fault of our own making is possible from now on."""
        if self._our_work_from is None:
            self._epoch += 1
            self._our_work_from = self._epoch
            self._chances_changed()
            self._changed()

    def ran_again(self) -> None:
        """The machine is run: what was put right since it ran last may come back if what brings it on is left."""
        if back := self.not_run_since:
            self._epoch += 1
            self._returns += [Return(name, self._epoch) for name in back]
            self._changed()
        self._ran = self._epoch

    @property
    def not_run_since(self) -> tuple[str, ...]:
        """Causes put right since the machine ran last that come back while what brings them on is left."""
        since = (repair.cause for repair in self._repairs if repair.epoch > self._ran)
        return tuple(dict.fromkeys(name for name in since if self.cause(name).returns > 0.0))

    @property
    def was_open(self) -> bool:
        """Whether the machine was opened and put together again in this job."""
        return self._our_work_from is not None

    @property
    def repairs(self) -> tuple[str, ...]:
        """Causes put right, in order; what a remedy also mends comes after it."""
        return tuple(repair.cause for repair in self._repairs)

    @property
    def remedies(self) -> tuple[str, ...]:
        """Causes whose remedy was carried out, in order; without what it also mends."""
        return tuple(self._remedies)

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

    # What may be asked -------------------------------------------------------------------------------

    def askable(self, observation: Observation | Question) -> bool:
        """Whether it applies to this machine, its gate is open, nothing told says that it cannot be done, and it was
        not answered since anything that bears on it was changed."""
        if not possible(observation.applies, self._facts):
            return False
        if not self._gate_open(observation, unknown=False) or self._in_vain(observation):
            return False
        if isinstance(observation, Question):
            return any(self.askable(self.pack.observations[name]) for name in observation.observations)
        given = self.latest(observation.id)
        return given is None or self._stale(observation, given)

    def _in_vain(self, item: Observation | Question) -> bool:
        """Whether an answer given since anything was put right says that it cannot be done."""
        gates = [(self.given(gate, self._epoch), answers) for gate, answers in item.in_vain_after.items()]
        return any(given is not None and self.judged(given).answer in answers for given, answers in gates)

    def _stale(self, observation: Observation, given: Given) -> bool:
        if given.epoch == self._epoch:
            return False
        changes: list[Repair | Return] = [*self._repairs, *self._returns]
        touched = {change.cause for change in changes if change.epoch > given.epoch}
        if self._our_work_from is not None and self._our_work_from > given.epoch:
            touched |= {name for name, cause in self.pack.causes.items() if cause.after_our_work}
        # Only what shows in it, itself or by way of states: what that had brought on before stays.
        return not touched.isdisjoint(self.links.shown[observation.id])

    def may_take_again(self, observation: Observation) -> bool:
        """Whether it was seen or measured once on the machine as it is now, or only ticked in a list, where a slip is
        easily made, and may be taken a second time by itself."""
        holds = [
            given
            for (name, _, _), given in self._given.items()
            if name == observation.id and not self._stale(observation, given)
        ]
        if len(holds) != 1 or holds[0].complaint or observation.reliability >= 1.0:
            return False
        told = Kind.TOLD in (holds[0].kind, observation.kind)
        return (not told or self._only_ticked(holds[0])) and self._gate_open(observation)

    def _only_ticked(self, given: Given) -> bool:
        """Whether it is amiss by a tick in a list alone."""
        return given.ticked and not given.complaint and self.amiss(given)

    def counts_beside(self, observation: Observation, kind: Kind | None = None) -> bool:
        """Whether one more answer in this epoch counts beside the one before it and not in its place: what is looked
        at or measured again does; what is told does where it was only ticked in a list before, else the person has
        thought better of it. kind: how it came to be known, where that is not as the rules have it."""
        if Kind.TOLD not in (kind, observation.kind):
            return True
        before = self.given(observation.id, self._epoch)
        return before is not None and self._only_ticked(before)

    def last_put_right(self, name: str) -> int:
        """The epoch in which a cause was last put right; 0 if never."""
        return max((repair.epoch for repair in self._repairs if repair.cause == name), default=0)

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

    def offers(self, item: Observation | Question) -> bool:
        """Whether it may be asked now."""
        return self.askable(item) and self.available(item)
