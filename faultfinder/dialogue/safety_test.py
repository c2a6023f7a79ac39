"""How a return test is put and answered: by its value, held against its limit, or that it cannot be measured here.

Nothing in the answer is a verdict, and no option has a number: a bare figure is what the tester reads.
"""

from __future__ import annotations

from dataclasses import replace

from faultfinder.dialogue.choosing import NotTaken
from faultfinder.dialogue.say import Line, Said, Tone
from faultfinder.dialogue.talk import AskAction, Over, Talk, after, connected
from faultfinder.dialogue.typed import name_of
from faultfinder.dialogue.words import say
from faultfinder.job.events import Event, ReturnTested, TakenBack
from faultfinder.job.return_tests import counted, judged, limit_for, limit_text
from faultfinder.knowledge.model import Need, Observation
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import TESTS_INSIDE
from faultfinder.trade.reading import ReadingError

CANNOT = "cannot"
"""The one word that is offered beside a value."""
_NOT_HERE = (
    "cannot",
    "can't",
    "cant",
    "can not",
    "skip",
    "skipped",
    "no instrument",
    "no tester",
    "not here",
)


def return_test_said(talk: Talk, test: str) -> list[Said]:
    """The limit that holds, where it stands, and what may be typed."""
    limit = limit_for(test, talk.job.pack, talk.job.facts)
    text = say("return_limit", limit=limit_text(test, limit), source=limit.source)
    if limit.strictest:
        text += " " + say("return_strictest")
    return [Line(text), Line(say("return_type", unit=limit.unit))]


def return_test_answer(talk: Talk, test: str, line: str) -> tuple[ReturnTested, list[Said]]:
    """The return test that a line answers, and how it was judged. Raises NotTaken for a verdict and all else that is
    no value."""
    plain = " ".join(line.casefold().split()).rstrip(".")
    limit = limit_text(test, limit_for(test, talk.job.pack, talk.job.facts))
    if any(plain == word or plain.startswith(word + " ") for word in _NOT_HERE):
        return ReturnTested(test, "skipped", limit=limit), []
    try:
        event = judged(talk.job.pack, talk.job.facts, test, line)
    except ReadingError as problem:
        raise NotTaken(say("return_value", problem=str(problem))) from problem
    return event, judged_said(event)


def judged_said(event: ReturnTested) -> list[Said]:
    """A value beside its limit, and what that comes to."""
    test, limit = name_of(event.test), event.limit
    told = say("return_judged", test=test, reads=event.reads, outcome=event.outcome, limit=limit)
    return [Line(told, Tone.CHANGE)]


def test_to_measure(talk: Talk) -> AskAction | None:
    """What leads to a return test that was put off or failed, once somebody wants to measure it after all: the test
    itself where it is in reach, else the way to where it is made; None where none is owed."""
    owed = safety.owed_tests(talk.gate)
    reach = {action.id for action in safety.open_actions(talk.gate)}
    for test in owed:
        if test in reach:
            return AskAction(test, Need.IN_USE)
    if not owed or talk.gate.stop:
        return None
    inside = any(test in TESTS_INSIDE for test in owed)
    need = Need.OPEN_DEAD if inside else Need.COVERS_ON if talk.gate.covers_off else Need.ISOLATED
    action = safety.next_action(connected(talk.gate), need)
    return AskAction(action.id, need) if action is not None else None


def slip_taken_back(talk: Talk) -> tuple[Talk, list[Event], list[Said]] | None:
    """A return test that failed by the line before was a slip of the finger: taken back, and asked for again. None
    where the last thing done was none, or where a reading failed it: that one is corrected, and lifts both."""
    if talk.job.before_failure is None or talk.job.tests[-1].of:
        return None
    test = talk.job.tests[-1].test
    event = TakenBack(test)
    now = replace(after(talk, [event]), current=Over())
    return now, [event], [Line(say("slip", test=name_of(test)), Tone.CHANGE)]


def counts_as_return_test(talk: Talk, item: Observation, reads: str) -> tuple[list[ReturnTested], list[Said]]:
    """What a reading just taken is beside: a return test that is owed now. `talk`: with the reading taken."""
    event = counted(talk.job.pack, talk.job.facts, talk.gate, item, reads)
    return ([event], judged_said(event)) if event is not None else ([], [])
