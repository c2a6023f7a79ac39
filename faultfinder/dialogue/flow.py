"""What comes next in a conversation: the one thing to ask for, chosen from the job, the gate and the case."""

from __future__ import annotations

from dataclasses import replace

from faultfinder.dialogue.agenda import offers, proofs
from faultfinder.dialogue.agenda.ending import closed_if_it_can_be
from faultfinder.dialogue.agenda.rounds import (
    INSIDE,
    OUTSIDE,
    RUNNING,
    TOGETHER,
    asked_together,
    at_once,
    need_missing,
    round_items,
    standing_choices,
)
from faultfinder.dialogue.prompts.card import MEASURE, AskCard, card_to_measure, next_card
from faultfinder.dialogue.prompts.close import AskClose, AskStopped
from faultfinder.dialogue.prompts.complaint import complaint_asked
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskFact, AskMachine
from faultfinder.dialogue.prompts.remedy import AskHandOver, AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial, trial_due
from faultfinder.dialogue.talk import Over, Prompt, Talk
from faultfinder.errors import Refused
from faultfinder.job.events import Event
from faultfinder.knowledge.formulas.bands import fact_values, facts_to_ask
from faultfinder.knowledge.model import Access, Need, Observation, Question
from faultfinder.reasoning.decision.step import Step, StepKind
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety

Next = tuple[Talk, Prompt]


def next_prompt(talk: Talk) -> Next:
    """The next thing to ask for; the talk comes back with what was wished for struck off once it is reached."""
    job = talk.job
    if job.closed is not None:
        return talk, Over()
    if talk.gate.stop:
        action = safety.asked_after_stop(talk.gate) if talk.chosen == offers.CLOSE_STOPPED else None
        return talk, (AskCard(Need.ANYWHERE, (action.id,)) if action else AskStopped())
    if talk.ending:
        # Whoever wants to end is asked for nothing but what the ending hangs on.
        return _closing_way(talk)
    if talk.chosen == MEASURE:
        if (card := card_to_measure(talk.gate)) is not None:
            return talk, _as_it_was(talk, card)
        talk = replace(talk, chosen="")
    if not talk.symptoms_done:
        return talk, complaint_asked(talk)
    if not talk.dangers_done:
        return talk, AskDangers()
    if not talk.machine_done and not talk.case.outside:
        return talk, AskMachine()
    talk = replace(talk, queue=tuple(name for name in talk.queue if _still_open(talk, name)))
    if talk.queue and safety.permits(talk.gate, talk.case.need_of(offers.item_of(talk, talk.queue[0]))):
        # What was ticked is told before the state that it is seen in is left.
        return _test(talk, talk.queue[0], proof=False)
    if unsure := offers.fact_behind_last(talk):
        return talk, AskFact(unsure[0], False, unsure[1])
    wanted = talk.wanted
    if wanted is not None and not safety.permits(talk.gate, wanted):
        return _way_to(talk, wanted)
    talk = replace(talk, wanted=None)
    if job.remedy is not None:
        return _remedy_under_way(talk, job.remedy.cause)
    return _step(talk)


def ended(talk: Talk) -> tuple[Talk, list[Event]]:
    """The job closed where that was wished for and nothing stands against it any more."""
    if talk.job.closed is not None or not talk.ending or talk.gate.stop:
        return talk, []
    closing = talk.chosen.removeprefix("close:")
    still = offers.complaints_to_try(talk) or proofs.failed(talk) or offers.closing_reading(talk)
    if closing == "fit_for_use" and still:
        return talk, []
    return closed_if_it_can_be(talk, [], closing)


# -- ways -----------------------------------------------------------------------------------------------


def _way_to(talk: Talk, need: Need) -> Next:
    """The next card of the way to a need, or the fact that the way hangs on; no way: choose another step."""
    try:
        current = _on_the_way(talk, need)
    except Refused:
        return _step(replace(talk, wanted=None, chosen=""))
    return _step(replace(talk, wanted=None)) if current is None else (talk, current)


def _on_the_way(talk: Talk, need: Need) -> Prompt | None:
    """What is asked next on the way to a need: how the machine is connected where the way hangs on it, what is looked
    at before the state is left, else the next card; None when the need is permitted. Raises Refused, saying why,
    where no way leads there."""
    if offers.hangs_on_connection(talk.gate, need):
        return AskFact("connection", True)
    actions = next_card(talk.gate, need)
    if not actions:
        return None
    if (before := _before_leaving(talk, need)) is not None:
        return before
    return _as_it_was(talk, AskCard(need, actions))


def _as_it_was(talk: Talk, card: AskCard) -> AskCard:
    """The card, with what was ticked on it so far."""
    before = talk.current
    same = isinstance(before, AskCard) and (before.need, before.actions) == (card.need, card.actions)
    return before if isinstance(before, AskCard) and same else card


def _before_leaving(talk: Talk, need: Need) -> Prompt | None:
    """What of the last round is looked at while the supply is cut, before the machine is run again after a repair: so
    that nobody has to come back for it."""
    if need is not Need.IN_USE or talk.gate.access is not Access.ISOLATED or not talk.job.put_right:
        return None
    if talk.gate.held or talk.gate.covers_off:
        return None
    items = round_items(talk, OUTSIDE)
    if not any(talk.case.need_of(item) is Need.ISOLATED for item in items):
        return None
    here = [item.id for item in items if safety.permits(talk.gate, talk.case.need_of(item))]
    return AskRound(OUTSIDE, tuple(here[: at_once(talk)])) if here else None


def _closing_way(talk: Talk) -> Next:
    """On the way to a way of closing: the actions that it still needs, and the complaint tried again."""
    closing = talk.chosen.removeprefix("close:")
    if closing == "fit_for_use" and (again := offers.finding_to_repeat(talk) or proofs.to_take(talk)):
        return _test(_towards(talk, again), again, proof=True)
    if closing == "fit_for_use" and proofs.failed(talk):
        return replace(talk, chosen=""), AskClose()
    need = offers.need_to_close(talk.gate, closing, offers.unsafe(talk))
    if safety.may_close(talk.gate, closing, offers.unsafe(talk)):
        if closing == "fit_for_use" and (reading := offers.closing_reading(talk)):
            return _test(_towards(talk, reading), reading, proof=False)
        still = tuple(offers.complaints_to_try(talk)) if closing == "fit_for_use" else ()
        return talk, (AskTrial(still) if still else AskClose())
    try:
        current = _on_the_way(replace(talk, declined=frozenset()), need)
    except Refused:
        current = None
    return (replace(talk, chosen=""), AskClose()) if current is None else (talk, current)


def _towards(talk: Talk, target: str) -> Talk:
    """The talk with what was chosen: the ending still, where what it hangs on can be made at once."""
    if safety.permits(talk.gate, talk.case.need_of(offers.item_of(talk, target))):
        return talk
    return replace(talk, chosen=target)


# -- steps ----------------------------------------------------------------------------------------------


def _step(talk: Talk) -> Next:
    if talk.queue:
        return _test(talk, talk.queue[0], proof=False)
    if not talk.ending and offers.can_be_asked(talk, talk.chosen):
        chosen = offers.step_to(talk, talk.chosen)
        proof = chosen is not None and chosen.kind is StepKind.PROVE
        measured = talk.chosen in talk.pack.observations
        return _test(
            talk, talk.chosen, proof=proof or (measured and proofs.reads_wrong(talk.case, talk.chosen))
        )
    if talk.chosen in talk.pack.causes:
        return _remedy_of(talk, talk.chosen)
    step = offers.next_step(talk)
    if step is None or step.last or step.kind is StepKind.HAND_OVER:
        # Before it comes to an end, what was put off is offered once more.
        if name := offers.put_off(talk):
            again = talk.offered_again | {name}
            talk = replace(talk, declined=talk.declined - {name}, offered_again=again)
            step = offers.step_to(talk, name)
            return _this_step(talk, step) if step is not None else _step(talk)
        if (stale := proofs.to_repeat(talk)) is not None:
            return _test(replace(talk, chosen=stale.proof), stale.proof, proof=True)
        if name := proofs.brought_back(talk):
            read_wrong = {each.proof for each in proofs.failed(talk)}
            talk = replace(talk, offered_again=talk.offered_again | {name} | read_wrong)
            return talk, AskRemedy(name)
    if step is None or (step.kind is StepKind.HAND_OVER and talk.case.outside):
        # Nothing more is worth doing: the complaint is tried again where the machine runs, then the end.
        return (talk, AskClose()) if talk.case.outside else _trial_or_end(talk)
    return _this_step(talk, step)


def _this_step(talk: Talk, step: Step) -> Next:
    match step.kind:
        case StepKind.PUT_RIGHT:
            return _remedy_of(talk, step.target)
        case StepKind.HAND_OVER:
            return talk, AskHandOver(step.target)
    if step.last and not talk.chosen:
        return _last_round(talk, step)
    if not talk.chosen and (targets := asked_together(talk, step)):
        return talk, AskRound(TOGETHER, targets)
    return _test(talk, step.target, proof=step.kind is StepKind.PROVE)


def _remedy_of(talk: Talk, cause: str) -> Next:
    """Whether to put a cause right; to hand it over where others do that, or no way leads to it here."""
    item = talk.pack.causes[cause]
    others = bool(item.hand_to) or safety.remedy_need(item) in talk.case.unreachable
    return talk, AskHandOver(cause) if others else AskRemedy(cause)


def _last_round(talk: Talk, step: Step) -> Next:
    """What is looked at in one place, together. While the machine is open what is inside, then what is outside, then
    what shows with it running: no state is come back to."""
    places = [place for place in (INSIDE, OUTSIDE, RUNNING) if round_items(talk, place)]
    if INSIDE in places and talk.gate.access is not Access.OPEN_DEAD:
        places.remove(INSIDE)
    for place in places:
        there = _round_there(talk, place)
        if there is not None:
            return there
    if talk.gate.access is Access.IN_USE and (due := trial_due(talk)):
        return talk, AskTrial(due)
    if offers.can_be_asked(talk, step.target) and offers.item_of(talk, step.target).symptom:
        return _trial_or_end(talk)
    return _test(talk, step.target, proof=False)


def _trial_or_end(talk: Talk) -> Next:
    """The complaint tried again, the way there first; where it cannot be, the end."""
    if not trial_due(talk) or offers.unsafe(talk) or talk.gate.signs:
        # What must not be run is not run for a trial; whoever calls it fit for use is led through what that needs.
        return talk, AskClose()
    if safety.permits(talk.gate, Need.IN_USE):
        return talk, AskTrial(trial_due(talk))
    return _way_to(replace(talk, wanted=Need.IN_USE, chosen=""), Need.IN_USE)


def _round_there(talk: Talk, place: str) -> Next | None:
    """A stop of the last round, the way there first; None where it cannot be had."""
    items = [
        item for item in round_items(talk, place) if talk.case.need_of(item) not in talk.case.unreachable
    ]
    if not items:
        return None
    need = need_missing(talk, items)
    if need is not None:
        return _way_to(replace(talk, wanted=need, chosen=""), need)
    if place == RUNNING and (due := trial_due(talk)):
        return talk, AskTrial(due)
    return talk, AskRound(place, tuple(item.id for item in items[: at_once(talk)]))


def _still_open(talk: Talk, name: str) -> bool:
    item = offers.item_of(talk, name)
    return talk.case.askable(item) and talk.case.available(item)


def _test(talk: Talk, target: str, *, proof: bool) -> Next:
    """A test: first the access it needs, then the facts that it hangs on, then the test itself."""
    item = offers.item_of(talk, target)
    need = talk.case.need_of(item)
    if not safety.permits(talk.gate, need):
        if need in talk.case.unreachable:
            return talk, AskClose()
        return _way_to(replace(talk, wanted=need, chosen=target), need)
    for name in _facts_first(talk, item):
        if name not in talk.job.facts and name not in talk.facts_asked:
            return talk, AskFact(name, False)
    if not possible(item.applies, talk.case.facts):
        # The machine has none of it, as was said just now: what is next is chosen anew.
        return next_prompt(replace(talk, chosen="" if talk.chosen == target else talk.chosen, wanted=None))
    current = talk.current
    if isinstance(current, AskTest) and current.target == target:
        return talk, current  # on its page, with what was ticked
    told = standing_choices(talk, item) if isinstance(item, Question) and item.several else []
    return talk, AskTest(target, proof, ticked=tuple(told))


def _facts_first(talk: Talk, item: Observation | Question) -> list[str]:
    """Whether the machine has such a part at all, where that is not known, before a reading and before a look inside;
    and the facts without which there is no limit to hold a reading against; what is assumed is told with it."""
    pack, known = talk.pack, talk.case.facts
    if isinstance(item, Question) or (item.reading is None and item.need is not Need.OPEN_DEAD):
        return []
    names = [name for name in item.applies if name in pack.facts and name not in known]
    if item.reading is None:
        return names
    values = fact_values(pack, known)
    return names + [name for name in facts_to_ask(pack, item, known) if name not in values]


def _remedy_under_way(talk: Talk, cause: str) -> Next:
    need = safety.remedy_need(talk.pack.causes[cause])
    if safety.permits(talk.gate, need) or need in talk.case.unreachable:
        return talk, AskRemedyDone(cause)
    return _way_to(replace(talk, wanted=need), need)
