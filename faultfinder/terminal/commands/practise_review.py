"""The review at the end of an exercise: in words for the apprentice, and as a mapping for programs."""

from __future__ import annotations

from collections import Counter

from faultfinder.dialogue.say import Line, Said, Tone, heading, note
from faultfinder.knowledge.model import Pack
from faultfinder.practice.review import Review
from faultfinder.practice.technician import PathStep
from faultfinder.text.catalogue import say
from faultfinder.text.format import minutes_text


def step_line(step: PathStep, why: str = "") -> Line:
    """One step of a path: what was asked ends with its own mark, what was done with a colon."""
    colon = "" if step.title.endswith(("?", ":", ".")) else ":"
    return Line(f"{minutes_text(step.minutes)}  {step.title}{colon} {step.found}{why}", indent=2)


def review_said(result: Review, pack: Pack) -> list[Said]:
    """The review in words."""
    said: list[Said] = [heading(say("practise_review_faults"))]
    for fault in result.faults:
        word = say("practise_review_found" if fault.found else "practise_review_not_found")
        if by := fault.brought_on_by:
            word += say("practise_review_brought_on_by", title=pack.causes[by].title)
        said.append(Line(f"{fault.title}: {word}", indent=2))
        if not fault.found:
            for each in fault.known:
                text = say("practise_review_spoke_for", ask=each.ask, answer=each.answer)
                said.append(Line(text, indent=4))
            for each in fault.shown_by:
                text = say(
                    "practise_review_would_have_shown_min",
                    minutes=f"{each.minutes:g}",
                    ask=each.ask,
                    answer=each.answer,
                    instead_of=each.instead_of,
                )
                said.append(Line(f"{text} {each.why}".strip(), indent=4))
    if result.unsafe:
        said.append(Line(say("practise_review_ended_by_unsafe_act", unsafe=result.unsafe), Tone.STOP))
    for (when, what), times in Counter((round(mark.minutes), mark.what) for mark in result.marks).items():
        often = " " + say("practise_review_times", times=times) if times > 1 else ""
        said.append(Line(say("practise_review_marked_at_min", when=when, often=often, what=what)))
    if result.for_nothing:
        titles, parts = ", ".join(pack.causes[n].title for n in result.for_nothing), result.parts_for_nothing
        said.append(
            Line(say("practise_review_put_right_for_nothing", titles=titles, parts_for_nothing=parts))
        )
    said.append(heading(say("practise_review_your_way", minutes=minutes_text(result.minutes))))
    said += [step_line(step) for step in result.path] or [note(say("practise_review_nothing_asked"))]
    minutes = minutes_text(result.tool_minutes)
    said.append(heading(say("practise_review_tools_way_on_same", tool_minutes=minutes)))
    for step in result.tool_path:
        saves = say("practise_review_expected_save_min", worth=f"{step.worth:.0f}")
        said.append(step_line(step, f" {saves}" if step.worth >= 1 else ""))
    return said


def as_mapping(result: Review) -> dict[str, object]:
    """The review for programs."""
    return {
        "faults": [
            {"cause": each.cause, "found": each.found, "brought_on_by": each.brought_on_by}
            for each in result.faults
        ],
        "unsafe": result.unsafe,
        "marks": result.marks,
        "for_nothing": result.for_nothing,
        "parts_for_nothing": result.parts_for_nothing,
        "closed": result.closed,
        "minutes": result.minutes,
        "tool_minutes": result.tool_minutes,
        "path": [[step.kind, step.target, step.found] for step in result.path],
        "tool_path": [[step.kind, step.target, step.found] for step in result.tool_path],
        "left": result.left,
    }
