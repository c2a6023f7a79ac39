"""The work itself: ways to an access state, tests, remedies, corrections, and the wish to end."""

from __future__ import annotations

from dataclasses import replace

from faultfinder.dialogue import flow, present
from faultfinder.dialogue.choosing import NotTaken, option, several
from faultfinder.dialogue.ending import closed, closed_stopped, sign_lines
from faultfinder.dialogue.safety_test import return_test_answer
from faultfinder.dialogue.say import Line, Said, Tone, note
from faultfinder.dialogue.taking import access_of, elsewhere, take, typed_pieces
from faultfinder.dialogue.talk import (
    AskAction,
    AskFact,
    AskGo,
    AskNewAnswer,
    AskTest,
    Over,
    Talk,
    after,
    connected,
)
from faultfinder.dialogue.typed import NotUnderstood, Typed, name_of
from faultfinder.dialogue.words import say
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need, Question
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS

Reply = tuple[Talk, list[Event], list[Said]]


def go(talk: Talk, need: Need, target: str, line: str) -> Reply:
    """Whether to go to the access that the next test needs."""
    try:
        word = option(line, ("yes", "no"))
    except NotTaken as refusal:
        return take(talk, elsewhere(talk, line, refusal))
    if word == "yes":
        total = len(talk.gate.held) + len(safety.way(connected(talk.gate), need))
        return replace(talk, wanted=need, chosen=target, way_total=total), [], []
    # Whoever does not want to go there is not asked for the next thing there at once.
    there = {step.target for step in flow.offered(talk) if flow.need_of_step(talk, step) is need}
    return replace(talk, declined=talk.declined | {target} | there, chosen="", wanted=None), [], []


def action_reply(talk: Talk, action_id: str, line: str) -> Reply:
    """A safety action answered."""
    action = ACTIONS[action_id]
    measured: list[Said] = []
    event: Event
    if action_id in RETURN_TESTS:
        try:
            event, measured = return_test_answer(talk, action_id, line)
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        word = event.outcome
    else:
        try:
            word = option(line, tuple(outcome.id for outcome in action.outcomes))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal))
        event = happened.Confirmed(action_id, word)
    outcome = action.outcome(word)
    assert outcome is not None
    before = talk.gate.access
    stuck = outcome.id in ("cannot", "applies", "not_yet")
    talk = after(talk, [event])
    said = measured + ([Line(outcome.says, Tone.CAUTION)] if outcome.says else [])
    if talk.gate.access is not before:
        said.append(note(say("arrived", access=present.access_text(talk))))
    if talk.gate.stop and talk.chosen == flow.CLOSE_STOPPED:
        if safety.asked_after_stop(talk.gate) is None:
            talk, events, _ = closed_stopped(talk, [event])
            return talk, events, said
    elif outcome.id in ("cannot", "applies"):
        # This way is closed for now: what needed it is put aside, the reasoning goes on without it.
        declined = talk.declined | ({talk.chosen} if talk.chosen else set())
        talk = replace(talk, wanted=None, chosen="", declined=declined)
    elif outcome.id == "skipped" and talk.chosen == flow.MEASURE:
        talk = replace(talk, chosen="")
    elif not stuck and talk.wanted is not None and talk.wanted in talk.case.unreachable:
        talk = replace(talk, wanted=None, chosen="")
    return talk, [event], said


def test_reply(talk: Talk, target: str, line: str) -> Reply:
    """A test answered, or something else brought."""
    item = flow.item_of(talk, target)
    if isinstance(item, Question):
        return _question(talk, item, line)
    if item.reading is None:
        try:
            word = option(line, tuple(answer.id for answer in item.answers))
        except NotTaken as refusal:
            return take(talk, elsewhere(talk, line, refusal, target))
        return take(talk, [Typed(target, word)])
    return take(talk, typed_pieces(talk, line, target) or [NotUnderstood(line)])


def _question(talk: Talk, item: Question, line: str) -> Reply:
    """A question that sets several observations, answered by numbers or words."""
    words = tuple(choice.id for choice in item.choices)
    try:
        chosen = several(line, (*words, "none")) if item.several else [option(line, words)]
    except NotTaken as refusal:
        return take(talk, elsewhere(talk, line, refusal))
    before = talk.case.confidence()
    event = happened.Chosen(item.id, tuple(chosen), access=access_of(talk, item.need))
    events: list[Event] = [event]
    sets = talk.case.choices(item, chosen)
    pack = talk.job.pack
    signs = [sign for name, answer in sets.items() if (sign := pack.observations[name].danger.get(answer))]
    events += [happened.DangerSeen(sign) for sign in signs]
    talk = replace(after(talk, events), chosen="")
    said: list[Said] = [
        Line(
            say(
                "answer_taken",
                name=name_of(name),
                answer=present.answer_text(pack.observations[name], answer),
            ),
            Tone.CHANGE,
        )
        for name, answer in sets.items()
        if answer != pack.observations[name].healthy
    ]
    talk, out = flow.changes(talk, before, [*said, *sign_lines(signs)])
    return talk, events, out


def remedy(talk: Talk, cause: str, line: str) -> Reply:
    """Whether to put right what was found."""
    try:
        word = option("do" if line.strip().casefold() == "done" else line, ("do", "later", "cannot"))
    except NotTaken as refusal:
        return take(talk, elsewhere(talk, line, refusal))
    if word == "do":
        event = happened.RemedyStarted(cause, talk.job.pack.causes[cause].minutes)
        return replace(after(talk, [event]), chosen=""), [event], []
    events: list[Event] = []
    if word == "cannot":
        events = [happened.Noted(f"not put right here: {talk.job.pack.causes[cause].title}")]
    return replace(after(talk, events), declined=talk.declined | {cause}, chosen=""), events, []


def remedy_done(talk: Talk, cause: str, line: str) -> Reply:
    """Whether the remedy was carried out."""
    item = talk.job.pack.causes[cause]
    need = safety.remedy_need(item)
    words = ("done", "not_done") if safety.permits(talk.gate, need) else ("not_done",)
    try:
        word = option(line, words)
    except NotTaken as refusal:
        return take(talk, elsewhere(talk, line, refusal))
    if word == "not_done":
        events: list[Event] = [happened.RemedyLeft(cause)]
        now = replace(after(talk, events), declined=talk.declined | {cause}, shown="")
        return now, events, []
    event = happened.PutRight(
        cause,
        access=access_of(talk, need),
        inside=need is Need.OPEN_DEAD,
        electrical=item.touches_electrics,
        work=item.remedy,
    )
    talk = replace(after(talk, [event]), declined=frozenset(), chosen="", shown="")
    # Nothing was learnt by it: what is likely now is told with the proof.
    said: list[Said] = [Line(say("remedy_taken", remedy=item.remedy), Tone.CHANGE), present.status(talk)]
    return talk, [event], said


def handed(talk: Talk, cause: str) -> Reply:
    """Work for a licensed person, taken note of."""
    item = talk.job.pack.causes[cause]
    event = happened.Noted(f"for a licensed person: {item.remedy}")
    return replace(after(talk, [event]), declined=talk.declined | {cause}), [event], []


def correct(talk: Talk, line: str) -> Reply:
    """Which answer is to be corrected."""
    if not line:
        return replace(talk, current=Over()), [], []
    names = tuple(given.observation for given in flow.latest(talk))
    return replace(talk, current=AskNewAnswer(option(line, names))), [], []


def new_answer(talk: Talk, name: str, line: str) -> Reply:
    """What stands in the place of an answer, or that it is taken back."""
    before = talk.case.confidence()
    item = talk.job.pack.observations[name]
    if not line:
        event: Event = happened.Withdrawn(name)
        told = say("taken_back", name=name_of(name))
    else:
        words = tuple(answer.id for answer in item.answers)
        try:
            event = happened.Corrected(name, option(line, words))
        except NotTaken:
            if item.reading is None:
                raise
            event = happened.Corrected(name, reads=line)
        told = say("corrected", name=name_of(name))
    talk = replace(after(talk, [event]), current=Over())
    said: list[Said] = [Line(told, Tone.CHANGE)]
    events = [event]
    given = talk.case.latest(name) if line else None
    sign = item.danger.get(talk.case.judged(given).answer) if given is not None else None
    if sign:
        # An answer's own sign goes with the correction; a reading's only with the band that it falls into.
        if isinstance(event, happened.Corrected) and event.reads:
            events.append(happened.DangerSeen(sign))
            talk = after(talk, events[1:])
        said += sign_lines([sign])
    talk, out = flow.changes(talk, before, said)
    return talk, events, out


def close(talk: Talk, line: str) -> Reply:
    """How the machine is to be left, and what that still needs."""
    words = (*(word for word, _ in flow.CLOSINGS), "go_on")
    try:
        word = option(line, words)
    except NotTaken as refusal:
        return take(talk, elsewhere(talk, line, refusal))
    if word == "go_on":
        return replace(talk, declined=frozenset(), chosen="", current=Over()), [], [note(say("how_to"))]
    why_not = safety.why_not_close(talk.gate, word, flow.unsafe(talk))
    wished = replace(talk, chosen=f"close:{word}")
    if not why_not:
        if word != "fit_for_use" or not flow.complaints_to_ask(talk):
            return closed(talk, [], word)
        # The complaint is what the customer will look at first.
        return replace(wished, current=Over()), [], [note(say("complaint_gone"))]
    wished, current = flow.closing_way(wished)
    if isinstance(current, AskFact):
        return replace(wished, current=Over()), [], [note(why_not)]
    if isinstance(current, AskTest | AskGo):
        # An unsafe finding is looked at again first.
        return replace(wished, current=Over()), [], [note(why_not)]
    if isinstance(current, AskAction):
        total = flow.actions_left(wished.gate, current.need)
        return replace(wished, current=Over(), way_total=total), [], [note(why_not)]
    try:
        flow.on_the_way(talk.gate, flow.need_to_close(talk.gate, word, flow.unsafe(talk)))
    except Refused as refusal:
        raise NotTaken(f"{why_not} {refusal}") from refusal
    raise NotTaken(why_not)
