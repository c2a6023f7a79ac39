"""What must hold of every turn of a conversation, written from the safety rules and not from the code.

Nothing in here asks the gate. What the machine's state is, is followed from the events alone by the audit's shadow;
what a person was shown is looked up in the pack's own texts.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import gate_walk
from gate_walk import Broken, must

from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskReason, AskStopped
from faultfinder.dialogue.prompts.remedy import AskRemedy
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.say import Drawing, Line, Option, Said, Tone
from faultfinder.dialogue.talk import Over, Talk, Turn
from faultfinder.job import events as happened
from faultfinder.job.audit import audit
from faultfinder.job.audit_model import Shadow, allows, follow
from faultfinder.job.events import Event
from faultfinder.job.record.event_codec import parse_line, to_line
from faultfinder.job.state import fold
from faultfinder.knowledge.model import Need, Observation, Pack, Question, numbered
from faultfinder.safety.dangers import SIGNS, Danger, stop_text
from faultfinder.text.catalogue import say

AFTER_STOP = ("supply_cut_from_afar", "covers_back_or_guarded")
LICENSED = "licensed people only"


@dataclass(frozen=True)
class Instructions:
    """Every instruction text of a pack, and the needs of the items that it belongs to."""

    needs: dict[str, frozenset[str]]

    def shown(self, said: Iterable[Said]) -> dict[str, frozenset[str]]:
        """The instructions among what was said: text -> needs that any of its items has."""
        found = {}
        for item in said:
            texts = (item.text, item.words) if isinstance(item, Drawing) else (item.text,)
            for text in texts:
                if needs := self.needs.get(text.strip()):
                    found[text.strip()] = needs
        return found

    def hidden_in(self, said: Iterable[Said]) -> dict[str, frozenset[str]]:
        """The same, standing anywhere inside what was said. Slow."""
        whole = "\n".join(item.text for item in said)
        return {text: needs for text, needs in self.needs.items() if len(text) > 12 and text in whole}


def needs_of_remedy(need: Need, electrical: bool) -> str:
    """No remedy is done on a machine in use, and no electrical part is touched while it is connected."""
    if need is Need.IN_USE:
        return "open_dead"
    return "isolated" if electrical and need in (Need.ANYWHERE, Need.COVERS_ON) else need.value


_KNOWN: dict[str, Instructions] = {}


def instructions_of(pack: Pack) -> Instructions:
    if pack.fingerprint not in _KNOWN:
        _KNOWN[pack.fingerprint] = _instructions_of(pack)
    return _KNOWN[pack.fingerprint]


def _instructions_of(pack: Pack) -> Instructions:
    needs: dict[str, set[str]] = {}
    items: list[Observation | Question] = [*pack.observations.values(), *pack.questions.values()]
    for item in items:
        probes = getattr(item, "probes", None)
        texts = [item.how, *((probes.drawing, probes.words) if probes else ())]
        for text in texts:
            needs.setdefault(text.strip(), set()).add(item.need.value)
    for cause in pack.causes.values():
        need = needs_of_remedy(cause.remedy_need, cause.touches_electrics)
        needs.setdefault(cause.remedy_how.strip(), set()).add(LICENSED if cause.hand_to else need)
        needs.setdefault(numbered(cause.then_run), set()).add(Need.IN_USE.value)
    needs.pop("", None)
    return Instructions({text: frozenset(found) for text, found in needs.items()})


@dataclass(frozen=True)
class Watch:
    """What the events of a conversation have come to so far, for those who check it."""

    pack: Pack
    instructions: Instructions
    shadow: Shadow = field(default_factory=Shadow)
    signs: frozenset[str] = frozenset()
    """Every danger sign that was met, settled since or not."""
    lately: frozenset[str] = frozenset()
    """Those met since work was last taken up again after a stop."""

    @classmethod
    def over(cls, pack: Pack) -> Watch:
        return cls(pack, instructions_of(pack))

    def after(self, turn: Turn, *, thorough: bool = False) -> Watch:
        """What holds after a turn. Raises Broken at the first rule that does not."""
        watch = self
        for event in turn.events:
            watch = watch._event(event)
        watch._shown(turn, thorough)
        watch._told(turn, self.signs)
        watch._stop(turn, self)
        watch._closed(turn)
        gate_walk.check_node(turn.talk.gate, watch.shadow)
        return watch

    def _event(self, event: Event) -> Watch:
        shadow, broken = follow(self.shadow, event, self.pack)
        must(not broken, f"the audit objects to {event}: {broken}")
        met = signs_in(event, self.pack)
        lately = frozenset() if isinstance(event, happened.Restarted) else self.lately | met
        return replace(self, shadow=shadow, signs=self.signs | met, lately=lately)

    def _shown(self, turn: Turn, thorough: bool) -> None:
        """No instruction where its access is not confirmed, whatever the reason it was shown for."""
        shown = self.instructions.shown(turn.said)
        if thorough:
            shown |= self.instructions.hidden_in(turn.said)
        for text, needs in shown.items():
            able = [need for need in needs if need != LICENSED and allows(self.shadow, need)]
            must(bool(able), f"shown without its access ({sorted(needs)}): {text[:60]!r}")
            if not set(needs) & {"anywhere", "covers_on"}:
                noted = any(isinstance(event, happened.Advised) for event in turn.events)
                must(noted, f"shown and not written down: {text[:60]!r}")

    def _told(self, turn: Turn, before: frozenset[str]) -> None:
        """A danger sign that is met is answered at once by what to do about it."""
        said = {item.text for item in turn.said if isinstance(item, Line)}
        said_so = any(item.tone is Tone.CAUTION for item in turn.said if isinstance(item, Line))
        for sign in self.signs - before:
            if SIGNS[sign].level is Danger.LEAVE_NOW or sign == "voltage_when_isolated":
                stops = {stop_text(each) for each in self.signs} & said
                must(bool(stops), f"{sign} was met and the stop text not shown")
                if sign in ("gas_smell", "refrigerant_signs"):
                    cut = [text for text in said if re.search(r"[Cc]ut (its|the) supply", text)]
                    must(not cut, f"{sign} was met, and somebody told to cut the supply: {cut}")
            elif sign in ("supply_parts_damaged", "return_test_failed", "restarted_after_stop"):
                must(said_so or sign == "restarted_after_stop", f"{sign} was met and nothing said of it")
            else:
                must(
                    say("stop_out_of_use") in said or say("stop_leave") in said or said_so,
                    f"{sign} was met and nothing said of it",
                )

    def _closed(self, turn: Turn) -> None:
        """Nothing that burns or shocks and is likely there is left in a machine that is called fit for use."""
        for event in turn.events:
            if isinstance(event, happened.Closed) and event.state == "fit_for_use":
                must(not turn.talk.case.outside, "fit for use, and the machine is outside the pack")
                chances = turn.talk.case.confidence()
                left = [n for n, p in chances.items() if p > 0.5 and self.pack.causes[n].hazard.grave]
                must(not left, f"fit for use with {left}")

    def _stop(self, turn: Turn, before: Watch) -> None:
        current = turn.talk.current
        if self.shadow.stopped and turn.talk.job.closed is None:
            left = isinstance(current, Over) and turn.talk.chosen == "stop"
            asked = isinstance(current, AskStopped | AskReason)
            asked |= isinstance(current, AskCard) and set(current.actions) <= set(AFTER_STOP)
            must(asked or left, f"stopped, and {current} is asked")
            gas = not self.lately.isdisjoint(("gas_smell", "refrigerant_signs"))
            switch = isinstance(current, AskCard) and any("supply" in action for action in current.actions)
            must(not (gas and switch), "asked about a switch where a spark may set fire")
        if before.shadow.stopped and not self.shadow.stopped:
            restarted = any(isinstance(event, happened.Restarted) for event in turn.events)
            must(restarted, "a stop was left without a restart")


def signs_in(event: Event, pack: Pack) -> set[str]:
    """The danger signs that an event is about, by the lists of the rules."""
    match event:
        case happened.DangerSeen(sign):
            return {sign}
        case happened.Answered(name, value) | happened.Corrected(name, value):
            sign = pack.observations[name].danger.get(value, "")
            return {sign} - {""}
        case happened.Chosen(question, ticked):
            sets = {choice.id: choice.sets for choice in pack.questions[question].choices}
            pairs = [pair for word in ticked for pair in sets.get(word, {}).items()]
            return {pack.observations[n].danger[a] for n, a in pairs if a in pack.observations[n].danger}
        case happened.Confirmed(_, "voltage_found"):
            return {"voltage_when_isolated"}
        case happened.Confirmed(_, outcome):
            found = {"damaged": "supply_parts_damaged", "wet": "wet_found", "scorched": "scorching"}
            return {found[outcome]} if outcome in found else set()
        case happened.ReturnTested(_, "failed"):
            return {"return_test_failed"}
    return set()


def check_turn(before: Talk, turn: Turn) -> None:
    """What must hold of a turn whatever the state of the machine."""
    then, now = before.last_at, turn.talk.last_at
    minutes = (now - then).total_seconds() / 60.0 if then and now else 0.0
    if before.job.closed is None and not 0.0 <= minutes <= max(10.0, longest_work(before)):
        away = any(isinstance(event, happened.Paused) for event in turn.events)
        must(away, f"an absence of {minutes} minutes is not written down")
    must(bool(turn.said), "nothing was said")
    must(bool(turn.ask.label) or isinstance(turn.talk.current, Over), "nothing is asked for")
    for item in turn.said:
        if isinstance(item, Option):
            must(bool(item.text.strip()), f"an option without a text: {item}")
    if before.job.closed is not None:
        must(not turn.events or turn.talk.job.closed is not None, "something happened to a closed job")


def longest_work(talk: Talk) -> float:
    """The stated minutes of the remedy or the test under way, as the pack has them."""
    pack, remedy, current = talk.job.pack, talk.job.remedy, talk.current
    minutes = remedy.minutes if remedy is not None else 0.0
    at_hand: tuple[str, ...] = ()
    if isinstance(current, AskTest):
        at_hand = (current.target,)
    elif isinstance(current, AskRound):
        at_hand = current.targets
    elif isinstance(current, AskTrial):
        at_hand = current.complaints
    elif isinstance(current, AskRemedy):
        minutes = max(minutes, pack.causes[current.cause].minutes)
    items = [pack.observations.get(name) or pack.questions[name] for name in at_hand]
    return max(minutes, sum(item.minutes for item in items))


def check_record(pack: Pack, events: list[Event], talk: Talk) -> None:
    """The record alone brings the job back: through its own lines, and by the audit it is clean."""
    read = []
    for event in events:
        text = to_line(event)
        line = parse_line(text)
        must(line.event == event and line.checked, f"a line is not read as it was written: {text!r}")
        read.append(event)
    job, troubles = fold(pack, read)
    must(not troubles, f"the record cannot be followed: {troubles}")
    must(job.gate == talk.job.gate, f"the record comes to another gate: {job.gate} {talk.job.gate}")
    must(job == talk.job, f"the record comes to another job: {_differs(job, talk.job)}")
    report = audit(read, pack)
    must(report.clean, f"the audit counts {len(report.violations)} violations: {report.violations[:3]}")
    for position, event in enumerate(events):
        if isinstance(event, happened.Closed) and event.state == "fit_for_use":
            check_fit(events[:position], pack)


def _differs(one: object, other: object) -> list[str]:
    fields = type(one).__dataclass_fields__  # type: ignore[attr-defined]
    return [
        f"{name}: {getattr(one, name)!r} / {getattr(other, name)!r}"[:300]
        for name in fields
        if getattr(one, name) != getattr(other, name)
    ]


def check_fit(events: list[Event], pack: Pack) -> None:
    """A job ends 'fit for use' only where every return test that was ever failed passed later, and what was opened
    passed all of them, and ran again after that."""
    earthed = True
    opened = on = -1
    last: dict[str, tuple[int, str]] = {}
    for position, event in enumerate(events):
        match event:
            case happened.FactGiven("protection", value):
                earthed = value != "class_ii"
            case happened.Confirmed("covers_off", "done"):
                opened = position
            case happened.Confirmed("supply_on", "done"):
                on = position
            case happened.ReturnTested(test, outcome):
                last[test] = position, outcome
    must(on >= 0, "fit for use, and it never ran")
    for test, (_, outcome) in last.items():
        must(outcome != "failed" or (not earthed and "earth" in test), f"fit for use over a failed {test}")
    if opened >= 0:
        tests = ("insulation_inside", "insulation_at_plug", "earth_inside", "earth_at_plug")
        for test in tests[: 4 if earthed else 2]:
            when, outcome = last.get(test, (-1, "missing"))
            must(
                outcome == "passed" and opened < when < on, f"fit for use without {test} since it was opened"
            )


__all__ = ["Broken", "Watch", "check_record", "check_turn", "instructions_of", "must"]
