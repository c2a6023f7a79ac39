"""The end of a job: how it is closed, and in words what was found, what is left and how, what to look after."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.say import Line, Said, Tone, caution, heading, note, under
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.talk import Over, Reply, Talk, after
from faultfinder.errors import BadAnswer, Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.last_round import unproved
from faultfinder.reasoning.decision.step import Why
from faultfinder.safety import gate as safety
from faultfinder.safety.dangers import customer_notice
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, name_of, percent


def closed_if_it_can_be(talk: Talk, events: list[Event], state: str) -> tuple[Talk, list[Event]]:
    """The job closed in that state where nothing stands against it any more; else as it is."""
    if safety.why_not_close(talk.gate, state, offers.unsafe(talk)):
        return talk, events
    try:
        talk, events, _ = closed(talk, events, state)
    except NotTaken:
        pass  # the flow asks how the machine is left, and then says why not
    return talk, events


def closed(talk: Talk, events: list[Event], state: str) -> Reply:
    """The job closed in that state, with what was found. Raises NotTaken where it cannot be."""
    done = None if talk.case.outside or talk.gate.stop else talk.case.done
    begin = {} if talk.case.outside else talk.case.found()
    found = [name for name, chance in begin.items() if chance > FOUND or name in talk.job.put_right]
    event = happened.Closed(
        state,
        found=tuple(sorted(found, key=lambda name: -begin[name])),
        not_looked_at=done.not_looked_at if done else (),
        minutes=round(talk.job.minutes, 1),
    )
    try:
        talk = after(talk, [event])
    except (BadAnswer, Refused) as problem:
        raise NotTaken(str(problem)) from problem
    return replace(talk, current=Over()), [*events, event], []


def closed_stopped(talk: Talk, events: list[Event]) -> Reply:
    """A stopped job closed: left as it is, or handed over where voltage was found."""
    return closed(talk, events, "handed_over" if talk.gate.stop == "voltage" else "left_isolated")


def summary(talk: Talk) -> list[Said]:
    """What was found, what is left, and why there is nothing more to do."""
    said: list[Said] = []
    if talk.case.outside:
        return [Line(talk.case.outside, Tone.CAUTION)]
    done = talk.case.done
    if done is not None:
        said.append(Line(say(_DONE[done.why])))
    begin, now = talk.case.found(), talk.case.confidence()
    found = [name for name in begin if begin[name] > FOUND or name in talk.job.put_right]
    lines = []
    for name in sorted(found, key=lambda cause: -begin[cause]):
        again = "found_again" if now.get(name, 0.0) > FOUND else "found_fixed"
        fixed = say(again if name in talk.job.mended else "found_open")
        title, chance = present.cause_title(talk.case, name), percent(begin[name])
        lines.append(say("found_line", cause=title, chance=chance, fixed=fixed))
    said += under(say("found_head"), lines or [say("found_nothing")])
    if done is None:
        return said

    def told(names: Sequence[str]) -> str:
        return "; ".join(f"{present.cause_title(talk.case, name)} {percent(now[name])}" for name in names)

    # What stands above as found is not told again.
    if left := sorted(set(done.left) - set(found), key=lambda name: -now[name]):
        said.append(Line(say("left_over", causes=told(left))))
    if done.not_looked_at:
        said.append(caution(say("not_looked_at", causes=told(done.not_looked_at))))
    for each in done.apart:
        what = choices(name_of(name) for name in each.by)
        said.append(Line(say("could_tell", cause=present.cause_title(talk.case, each.cause), what=what)))
    return said


_DONE = {
    Why.SETTLED: "done_settled",
    Why.NOTHING_WORTH: "done_nothing",
    Why.NOT_DECIDABLE: "done_not_decidable",
    Why.OUTSIDE: "done_outside",
}


def over_said(talk: Talk) -> list[Said]:
    """The last words of a closed job."""
    closed = talk.job.closed
    if closed is None:
        return [note(say("saved", path=talk.path) if talk.path else say("not_kept"))]
    key = "close_as_found" if safety.not_isolated(talk.gate) else dict(offers.CLOSINGS)[closed.state]
    said: list[Said] = [Line(say("closed", how=say(key)))]
    if titles := left_open(talk):
        said.append(caution(say("closed_open", titles="; ".join(titles))))
    if names := complaints_left(talk):
        said.append(caution(say("closed_complaint", names=", ".join(map(name_of, names)))))
    if closed.state == "fit_for_use" and (names := unproved(talk.case)):
        said.append(caution(say("closed_unproved", names=", ".join(map(name_of, names)))))
    if talk.path:
        said.append(note(say("closed_report", path=talk.path)))
    causes = (talk.pack.causes[name] for name in (*talk.job.put_right, *closed.found))
    if told := dict.fromkeys(cause.advice for cause in causes if cause.advice):
        said += under(say("closed_advice"), told)
    if notice := notice_of(talk):
        said += [heading(say("closed_notice")), Line(notice, Tone.CAUTION)]
    return said


def left_open(talk: Talk) -> list[str]:
    """The titles of what was found in a closed job and neither put right nor handed over."""
    closed, job = talk.job.closed, talk.job
    if closed is None or closed.state == "handed_over":
        return []
    now = talk.case.confidence()
    left = (
        name for name in closed.found if now.get(name, 0.0) > FOUND and job.declined.get(name) != "licensed"
    )
    return [present.cause_title(talk.case, name) for name in left]


def complaints_left(talk: Talk) -> list[str]:
    """What the job began with and was still there when it was last tried, after all that was put right."""
    told = [name for name in offers.complaints(talk) if not talk.pack.observations[name].sets_the_scene]
    return [name for name in told if offers.was_tried(talk, name) and offers.still_there(talk, name)]


def notice_of(talk: Talk) -> str:
    """What is left with a machine that must not be used; empty where there is nothing to warn of."""
    closed, gate = talk.job.closed, talk.gate
    if closed is None or closed.state == "fit_for_use":
        return ""
    found, owed = offers.unsafe(talk), bool(safety.owed_tests(gate))
    if closed.state == "handed_over" and not (gate.signs or found or owed):
        return ""
    return customer_notice(gate.signs, found, owed)
