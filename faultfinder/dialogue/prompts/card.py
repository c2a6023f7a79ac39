"""A safety list: the actions of one stretch of a way, ticked by number or by what was read.

Each action is confirmed by itself, in order; what is ticked is kept here until all of the card is, and only then
written down, so that a card that is not complete changes nothing. A finding (wet, voltage, a test that fails) does
not wait for the rest.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import chain, takewhile
from typing import ClassVar

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.agenda.ending import closed_stopped
from faultfinder.dialogue.agenda.rounds import PLACES, round_items
from faultfinder.dialogue.hearing.card_line import (
    Item,
    Tick,
    TwoOfThem,
    card_items,
    form_of,
    passed_unmeasured,
    read_card_line,
)
from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.pages import BESIDE, LINES, OPTION, lines_of, question_lines
from faultfinder.dialogue.prompts.test import why_test
from faultfinder.dialogue.prompts.trial import TRIAL
from faultfinder.dialogue.prompts.which import elsewhere, judged_said, take
from faultfinder.dialogue.say import Ask, CardItem, Line, Option, Said, Tone, caution, note, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.showing.cause_reasons import why_cause
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after, connected
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.return_tests import limit_said
from faultfinder.knowledge.model import Need, Observation, Question
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import ACTIONS, CAUTIONS, RETURN_TESTS, TESTS_INSIDE, Effect, caution_text
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say
from faultfinder.text.format import minutes_text, name_of

OTHER = ("other", "something else", "no", "not now", "later")
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "prepare",
        (
            *("switched_off", "plug_out", "plug_in_sight", "isolator_locked", "key_kept"),
            *("still_isolated", "nobody_else", "tester_here", "return_testers_here", "covers_off"),
        ),
    ),
    (
        "dead",
        (
            *("tester_proved", "dead_line_neutral", "dead_line_earth"),
            *("dead_neutral_earth", "tester_proved_again"),
        ),
    ),
    ("stored", ("capacitors_discharged", "board_waited", "parts_cooled", "parts_at_rest")),
    ("close", ("earth_inside", "insulation_inside", "inside_clear", "covers_on", "covers_on_unproved")),
    (
        "use",
        (
            *("earth_at_plug", "insulation_at_plug", "dangers_answered"),
            *("plug_flex_whole", "casing_whole", "notices_looked_up", "supply_on"),
        ),
    ),
    ("after_stop", ("supply_cut_from_afar", "covers_back_or_guarded")),
)
"""The stretches that stand on one card each."""


def group_of(action: str) -> str:
    """The card that an action stands on."""
    return next(name for name, actions in GROUPS if action in actions)


MEASURE = "measure"
"""Chosen: the return tests that were put off or failed are to be measured after all."""


def card_to_measure(gate: Gate) -> AskCard | None:
    """What leads to the return tests that are owed, once somebody wants to measure them after all: the tests
    themselves where they are in reach, else the way to where they are made; None where none is owed."""
    owed = safety.owed_tests(gate)
    if not owed or gate.stop:
        return None
    reach = {action.id for action in safety.open_actions(gate)}
    there = tuple(test for test in owed if test in reach)
    if there:
        return AskCard(Need.IN_USE, there)
    inside = any(test in TESTS_INSIDE for test in owed)
    need = Need.OPEN_DEAD if inside else Need.COVERS_ON if gate.covers_off else Need.ISOLATED
    actions = next_card(connected(gate), need)
    return AskCard(need, actions) if actions else None


def next_card(gate: Gate, need: Need) -> tuple[str, ...]:
    """The actions of the next card of the way to a need; empty when the need is permitted. Raises Refused where no
    way leads there."""
    try:
        way = [action.id for action in safety.way(gate, need)]
    except Refused:
        # The way begins and does not lead there to the end: as far as it goes, one by one.
        first = safety.next_action(gate, need)
        way = [first.id] if first is not None else []
    return tuple(takewhile(lambda action: group_of(action) == group_of(way[0]), way))


INSIDE = frozenset({"covers_off", "tester_proved"})
"""What begins to open a machine and to prove it dead; on the way to a run it is there for the return tests."""


@dataclass(frozen=True, slots=True)
class AskCard(Prompt):
    """The actions of one card of the way to a need; `ticks`: what was ticked so far and not written down yet."""

    need: Need
    actions: tuple[str, ...]
    ticks: tuple[Tick, ...] = ()
    kind: ClassVar[str] = "card"
    of: ClassVar[str] = "name"

    @property
    def name(self) -> str:
        return group_of(self.actions[0])

    def items(self, talk: Talk) -> tuple[Item, ...]:
        return card_items(self.actions, self.ticks, talk.pack, talk.job.facts)

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        items = self.items(talk)
        said: list[Said] = []
        if not self.ticks:
            said += [caution(text) for text in self._cautions(talk)]
        to_type = say("card_type", form=form_of(items))
        if self.ticks:
            left = " ".join(str(item.number) for item in items if item.tick is None)
            to_type = say("card_left", numbers=left)
        options, shown = [], []
        for item in items:
            key = f"again_{item.action}" if item.action in talk.cards else f"item_{item.action}"
            text = say(key, limit=limit_said(item.limit))
            if item.tick is not None:
                text = say("card_ticked", text=text, what=item.tick.reads or say("card_done"))
            options.append(Option(item.number, item.action, text))
            outcomes = tuple((outcome.id, outcome.text) for outcome in ACTIONS[item.action].outcomes)
            shown.append(CardItem(item.action, outcomes, item.takes, item.unit, item.tick is not None))
        used = sum(lines_of(option.text, OPTION) for option in options) + lines_of(to_type)
        head, what_for = say(f"card_{self.name}"), self._what_for(talk)
        if used + question_lines(" ".join([*what_for, head])) > LINES - BESIDE:
            what_for = []  # told when the first card came; here there is no room
        said += [question(" ".join([*what_for, head])), *options, note(to_type)]
        words = () if talk.ending or self.name == "after_stop" else ("other",)
        return said, Ask(say("label_card"), words, takes="card", items=tuple(shown))

    def _cautions(self, talk: Talk) -> list[str]:
        """What to take care of from here on, in short, where it was not told yet; all of it is told by `?`."""
        texts: list[str] = []
        known = {caution_text(name) for name in CAUTIONS}
        for action in (each for each in self.actions if each not in talk.cards):
            if told := safety.cautions_at(talk.gate, action, talk.pack.cautions):
                texts += [say(f"care_{action}"), *(text for text in told if text not in known)]
        return [" ".join(dict.fromkeys(texts))] if texts else []

    def _what_for(self, talk: Talk) -> list[str]:
        """What the way is for, where it begins."""
        target = talk.chosen or (talk.job.remedy.cause if talk.job.remedy is not None else "")
        if self.ticks or talk.ending:
            return []
        if self.need is not Need.OPEN_DEAD and not INSIDE.isdisjoint(self.actions):
            return [say("card_for_tests_inside")]
        if not target:
            step = offers.next_step(talk)
            return [say("card_for_round")] if step is not None and step.last else []
        pack = talk.pack
        if target in pack.causes:
            return [say("card_for_remedy", title=pack.causes[target].remedy.rstrip("."))]
        if not offers.can_be_asked(talk, target):
            return []
        item = offers.item_of(talk, target)
        title = item.ask if item.ask[-1] in ".?!" else f"{item.ask}."
        # What the test itself takes, as its own question has it: what is left of the way changes with each card.
        return [say("card_for", title=title, minutes=minutes_text(item.minutes))]

    def told_how(self, talk: Talk) -> list[Said]:
        told = (safety.cautions_at(talk.gate, action, talk.pack.cautions) for action in self.actions)
        said: list[Said] = [caution(text) for text in dict.fromkeys(chain.from_iterable(told))]
        said += self._each(ACTIONS[action].text for action in self.actions)
        said += [Line(item.source) for item in self.items(talk) if item.source]
        bad = [o.text for action in self.actions for o in ACTIONS[action].outcomes[1:]]
        said.append(Line(say("card_else", words="; ".join(dict.fromkeys(bad)))))
        return said

    def why(self, talk: Talk) -> list[Said]:
        said: list[Said] = []
        if offers.can_be_asked(talk, talk.chosen):
            said = why_test(talk, talk.chosen)
        elif talk.job.remedy is not None:
            said = why_cause(talk.case, talk.job.remedy.cause)
        return said + self._each(ACTIONS[action].why for action in self.actions)

    def _each(self, texts: Iterable[str]) -> list[Line]:
        return [Line(say("card_step", number=number, text=text)) for number, text in enumerate(texts, 1)]

    # -- what is typed ---------------------------------------------------------------------------------

    def take(self, talk: Talk, line: str) -> Reply:
        items = self.items(talk)
        if line.casefold().strip(" .!") in OTHER and self.name != "after_stop":
            return self._declined(talk)
        try:
            ticks = read_card_line(items, line, talk.pack, talk.job.facts)
        except TwoOfThem:
            raise
        except NotTaken as refusal:
            if unmeasured := passed_unmeasured(items, line):
                raise NotTaken(unmeasured) from None
            return take(talk, elsewhere(talk, line, refusal))
        held = {tick.action: tick for tick in (*self.ticks, *ticks)}
        bad = [tick for tick in held.values() if tick.bad]
        if not bad and any(action not in held for action in self.actions):
            kept = tuple(held[action] for action in self.actions if action in held)
            left = [item.number for item in items if item.action not in held]
            said: list[Said] = [note(say("card_kept", numbers=", ".join(map(str, left))))]
            return replace(talk, current=replace(self, ticks=kept)), [], said
        return self._written(talk, held)

    def _declined(self, talk: Talk) -> Reply:
        """Whoever does not want to go there is not asked for the next thing there at once."""
        events: list[Event] = []
        target = talk.chosen
        if talk.job.remedy is not None:
            target = talk.job.remedy.cause
            events = [happened.RemedyLeft(target)]
        if target.startswith("close:"):
            there = set()
        elif target:
            tests = {step.target for step in offers.offered(talk) if offers.can_be_asked(talk, step.target)}
            there = {each for each in tests if talk.case.need_of(offers.item_of(talk, each)) is self.need}
            there.add(target)
        else:
            there = self._of_the_last_round(talk)
        now = after(talk, events)
        now = replace(now, declined=talk.declined | there, chosen="", wanted=None, current=Over())
        return now, events, [note(say("card_put_off", what=self._named(talk, target)))]

    def _of_the_last_round(self, talk: Talk) -> set[str]:
        """What of the last round the way leads to, the trial of the complaint with it."""
        items = [item for place in PLACES for item in round_items(talk, place)]
        there = {item.id for item in items if talk.case.need_of(item) is self.need}
        return there | {TRIAL} if self.need is Need.IN_USE else there

    def _named(self, talk: Talk, target: str) -> str:
        """What the way was for, in a word or two."""
        if target in talk.pack.causes:
            return talk.pack.causes[target].remedy.rstrip(".")
        if offers.can_be_asked(talk, target):
            return name_of(target)
        return say("put_off_trial" if self.need is Need.IN_USE else "put_off_way")

    def _written(self, talk: Talk, held: dict[str, Tick]) -> Reply:
        """All that was ticked, in order, as far as the gate takes it; a finding out of its turn by its sign."""
        before = talk.gate.access
        events: list[Event] = []
        said: list[Said] = []
        now = talk
        left = dict(held)
        for action in self.actions:
            tick = left.get(action)
            if tick is None or action not in {each.id for each in safety.open_actions(now.gate)}:
                break
            event = _event(tick)
            now = after(now, [event])
            events.append(event)
            said += _said_of(tick)
            del left[action]
            if tick.bad and tick.effect is not Effect.SKIP:
                break
        for tick in [each for each in left.values() if each.bad]:
            now, more, told = _out_of_turn(now, tick)
            events += more
            said += told
        if not any(tick.bad for tick in held.values()):
            now = replace(now, cards=now.cards.union(self.actions))
        if now.gate.access is not before:
            said.append(note(say("arrived", access=present.access_text(now))))
        return self._after(talk, now, events, said, held)

    def _after(
        self, talk: Talk, now: Talk, events: list[Event], said: list[Said], held: dict[str, Tick]
    ) -> Reply:
        outcomes = {tick.outcome for tick in held.values() if tick.bad}
        freed = replace(now, wanted=None, chosen="")
        if now.gate.stop and talk.chosen == offers.CLOSE_STOPPED:
            if safety.asked_after_stop(now.gate) is None:
                now, events, _ = closed_stopped(now, events)
                return now, events, said
        elif outcomes & {"cannot", "applies"}:
            # This way is closed for now: what needed it is put aside, the reasoning goes on without it.
            now = replace(freed, declined=talk.declined | ({talk.chosen} if talk.chosen else set()))
        elif "failed" in outcomes or any(tick.effect is Effect.OUT_OF_USE for tick in held.values()):
            # Not asked over and over: what needs the machine running waits, and the search for the reason goes on.
            pack, case = now.pack, now.case
            items: list[Observation | Question] = [*pack.observations.values(), *pack.questions.values()]
            waits = {item.id for item in items if case.need_of(item) is self.need}
            waits |= {cause.id for cause in pack.causes.values() if safety.remedy_need(cause) is self.need}
            waits |= {talk.chosen} if talk.chosen and not talk.ending else set()
            now = replace(freed, declined=now.declined | waits)
        elif "skipped" in outcomes and talk.chosen == MEASURE:
            now = replace(now, chosen="")
        elif outcomes - {"not_yet"} and now.wanted is not None and now.wanted in now.case.unreachable:
            now = freed
        return replace(now, current=Over()), events, said

    def before_last(self, talk: Talk) -> Prompt | None:
        return replace(self, ticks=()) if self.ticks else None

    def skip(self, talk: Talk, because: str) -> Reply:
        """'Cannot' is said of the first action left that knows such an answer."""
        for item in self.items(talk):
            outcomes = [] if item.tick is not None else [each.id for each in ACTIONS[item.action].outcomes]
            for outcome in outcomes:
                if outcome in ("cannot", "skipped", "not_sure"):
                    ticks = (*self.ticks, Tick(item.action, outcome))
                    return self._written(talk, {tick.action: tick for tick in ticks})
        raise Refused(say("card_answer"))


def _event(tick: Tick) -> Event:
    if tick.action in RETURN_TESTS:
        return happened.ReturnTested(tick.action, tick.outcome, reads=tick.reads, limit=tick.limit)
    return happened.Confirmed(tick.action, tick.outcome, reads=tick.reads)


def _said_of(tick: Tick) -> list[Said]:
    said = judged_said(tick.action, tick.outcome, tick.reads, tick.limit) if tick.limit and tick.reads else []
    outcome = ACTIONS[tick.action].outcome(tick.outcome)
    if outcome is not None and outcome.says:
        said.append(Line(outcome.says, Tone.CAUTION))
    return said


def _out_of_turn(talk: Talk, tick: Tick) -> Reply:
    """A finding whose turn had not come: its danger sign counts at once; else it is only said not to count."""
    outcome = ACTIONS[tick.action].outcome(tick.outcome)
    assert outcome is not None
    signs = {Effect.VOLTAGE: "voltage_when_isolated", Effect.FAIL: outcome.sign or "return_test_failed"}
    sign = signs.get(outcome.effect, outcome.sign)
    if not sign or talk.gate.stop:
        return talk, [], _said_of(tick)
    event = happened.DangerSeen(sign)
    return after(talk, [event]), [event], _said_of(tick)
