"""`undo`: all that the last line told is taken back as one, and what was asked there is asked again.

What was done at the machine (a safety list confirmed, a fault put right) is not undone by a word; that is said, and
the word typed again goes on to what was told before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.line_parser import Typed
from faultfinder.dialogue.prompts.complaint import AskSymptoms
from faultfinder.dialogue.prompts.correct import new_answer, takes_of
from faultfinder.dialogue.prompts.which import take
from faultfinder.dialogue.say import Line, Said, Tone, caution, note
from faultfinder.dialogue.talk import Over, Reply, Talk, Telling, Told, after, case_of
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.reasoning.evidence.answers import Given
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

MOST = 50
"""Lines that can be taken back one after the other; chosen."""
UNKNOWN = "unknown"
"""The value that takes a fact back."""
_DONE = (happened.Confirmed, happened.ReturnTested, happened.PutRight)


def remembered(talk: Talk, before: Talk, events: Sequence[Event]) -> Talk:
    """The talk after a line, with what the line told kept for `undo`."""
    kept = talk.told
    if gone := {event.observation for event in events if isinstance(event, happened.Withdrawn)}:
        left = [(each, tuple(event for event in each.events if _name(event) not in gone)) for each in kept]
        kept = tuple(replace(each, events=events) for each, events in left if events or each.done)
    told = tuple(event for event in events if isinstance(event, Telling))
    if told or any(isinstance(event, _DONE) for event in events):
        flags = before.symptoms_done, before.machine_done
        dangers = talk.dangers_done and not before.dangers_done
        last = Told(told, not told, dangers, before.job, before.current, before.chosen, before.queue, *flags)
        kept = (*kept, last)[-MOST:]
    return talk if kept is talk.told else replace(talk, told=kept)


def undone(talk: Talk) -> Reply:
    """What the last line told, taken back; of a job taken up again, its last answer."""
    if not talk.told:
        return _last_answer(talk)
    *left, told = talk.told
    talk = replace(talk, told=tuple(left))
    if told.dangers:
        denied = [event for event in told.events if _denied(talk, event)]
        taken: list[Event] = [happened.Withdrawn(_name(event)) for event in denied]
        stays: list[Said] = [caution(say("undo_sign_stays"))] if talk.gate.signs else []
        return replace(after(talk, taken), dangers_done=False, current=told.asked), taken, stays
    if told.done:
        return talk, [], [note(say("undo_was_done"))]
    if isinstance(event := told.events[0], happened.Corrected):
        return _answered_as_before(talk, takes_of(case_of(told.job), event.observation))
    events: list[Event] = []
    names: list[str] = []
    as_before: list[str] = []
    now = talk
    for event in reversed(told.events):
        back = _back(told, event)
        try:
            now = after(now, [back] if back is not None else [])
        except FaultFinderError:
            continue  # nothing is left of it to take back
        events += [back] if back is not None else []
        name, old = name_of(_name(event)), back.value if isinstance(back, happened.FactGiven) else UNKNOWN
        if old == UNKNOWN:
            names.insert(0, name)
        else:
            as_before.insert(0, f"{name} {name_of(old)}")
    said: list[Said] = []
    if names:
        said.append(Line(say("taken_back", name=", ".join(dict.fromkeys(names))), Tone.CHANGE))
    if as_before:
        said.append(Line(say("undo_as_before", facts=", ".join(as_before)), Tone.CHANGE))
    if any(sign in now.gate.signs for event in told.events for sign in _signs_of(now, event)):
        said.append(caution(say("undo_sign_stays")))
    now = _asked_again(now, told)
    if all(isinstance(event, happened.FactGiven) for event in told.events):
        return now, events, said  # of the machine, as it was told: nothing was weighed then
    return offers.changes(now, talk.case.confidence(), events, said)


def _asked_again(talk: Talk, told: Told) -> Talk:
    """The talk with what was asked when it was told."""
    current = told.asked if isinstance(told.asked, AskSymptoms) or not told.asked.stays else Over()
    skipped = next((event for event in told.events if isinstance(event, happened.Skipped)), None)
    return replace(
        talk,
        current=current,
        chosen=skipped.observation if skipped is not None else told.chosen,
        queue=told.queue,
        wanted=None,
        symptoms_done=told.symptoms_done,
        machine_done=told.machine_done,
        facts_asked=talk.facts_asked - {_name(event) for event in told.events},
    )


def _name(event: Telling) -> str:
    match event:
        case happened.FactGiven(fact=name) | happened.Chosen(question=name):
            return name
    return event.observation


def _denied(talk: Talk, event: Telling) -> bool:
    """Whether it told that a danger sign's symptom is not there."""
    if not isinstance(event, happened.Answered):
        return False
    return event.value == talk.pack.observations[event.observation].healthy


def _signs_of(talk: Talk, event: Telling) -> list[str]:
    """The danger signs that an answer to this can bring."""
    pack, name = talk.pack, _name(event)
    names = pack.questions[name].observations if name in pack.questions else (name,)
    items = (pack.observations[each] for each in names if each in pack.observations)
    return [sign for item in items for sign in item.danger.values()]


def _back(told: Told, event: Telling) -> Event | None:
    """The event that takes back what one event told; None for what was only passed over."""
    match event:
        case happened.FactGiven(fact=name):
            return happened.FactGiven(name, told.job.facts.get(name, UNKNOWN))
        case happened.Skipped():
            return None
    return happened.Withdrawn(_name(event))


def _answered_as_before(talk: Talk, before: Sequence[Given]) -> Reply:
    """The answers to one observation that stood before it was corrected: the last one alone, or all of them where all
    had been taken back."""
    name, answers = before[0].observation, [each.answer or each.text for each in before]
    if len(takes_of(talk.case, name)) == len(before):
        return new_answer(talk, name, answers[-1])
    talk, events, said = new_answer(talk, name, answers[0])
    for answer in answers[1:]:
        talk, more, said = take(talk, [Typed(name, answer)])
        events += more
    return talk, events, said


def _last_answer(talk: Talk) -> Reply:
    """The last answer of a job that was taken up again: what a line told is known of this sitting only."""
    answers = [each for each in talk.job.given if each.kind == "answer" and not each.of_test]
    if not answers:
        return talk, [], [note(say("correct_none"))]
    return new_answer(replace(talk, current=Over(), queue=()), answers[-1].name, "")
