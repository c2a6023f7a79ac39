"""What is said of a remedy: that it is done, with which parts, in how many minutes; or that it is put off."""

from __future__ import annotations

from dataclasses import replace

import pytest
from program_walk import all_well
from talking import OPEN, OPENED, Chat, chat, small_pack

from faultfinder.dialogue.hearing.work_told import WorkTold, line_of_work, work_told
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.remedy import AskRemedy
from faultfinder.job import events as happened
from faultfinder.knowledge.load import load_pack

ELEMENT = small_pack().causes["element_open"]
MOTOR = replace(ELEMENT, id="winding_open", title="Winding open", parts=("motor", "motor capacitor"))
FOUND_OPEN = (*OPENED, *OPEN, "OL")
"""Lines to the remedy of the element, at hand."""


@pytest.mark.parametrize(
    ("line", "parts", "minutes"),
    [
        ("done", ("heating element",), 0),
        ("fixed", ("heating element",), 0),
        ("replaced element", ("heating element",), 0),
        ("Replaced the heating element, 40 min", ("heating element",), 40),
        ("done, 1.5 h", ("heating element",), 90),
        ("done, no part", (), 0),
        ("cleaned, no part", (), 0),
        ("cleaned it", (), 0),
        ("done without a part 20 minutes", (), 20),
        ("done, nothing fitted", (), 0),
        ("put a new element in", ("heating element",), 0),
        ("I've put in a new heating element, 25 min", ("heating element",), 25),
        ("we put a new one in", ("heating element",), 0),
        ("I replaced the element", ("heating element",), 0),
    ],
)
def test_parts_and_minutes_are_told_with_the_remedy(
    line: str, parts: tuple[str, ...], minutes: float
) -> None:
    assert work_told(ELEMENT, line) == WorkTold(parts, minutes)


@pytest.mark.parametrize(
    "line",
    [
        "will put a new element in",
        "put it off",
        "put a new belt in",
        "did not put a new element in",
        "new element",
        "put a new element in tomorrow",
        "put it in",
        "I have no element with me",
        "no part",
        "no part with me",
        "half done",
        "not done",
        "replaced the belt",
        "later",
        "40 min",
        "",
    ],
)
def test_what_does_not_say_that_this_remedy_is_done_is_no_such_word(line: str) -> None:
    assert work_told(ELEMENT, line) is None


@pytest.mark.parametrize(
    ("line", "part"), [("replaced motor", "motor"), ("fitted new motor capacitor", "motor capacitor")]
)
def test_of_several_parts_the_one_that_is_named_counts(line: str, part: str) -> None:
    assert work_told(MOTOR, line) == WorkTold((part,))


@pytest.mark.parametrize(
    "told", [WorkTold(("motor", "motor capacitor")), WorkTold(()), WorkTold(("motor",), 25.0)]
)
def test_a_record_tells_the_line_that_leads_to_it(told: WorkTold) -> None:
    assert work_told(MOTOR, line_of_work(MOTOR, told.parts, told.minutes)) == told


@pytest.mark.slow
def test_the_parts_that_the_rules_propose_are_the_default_and_none_is_as_easy() -> None:
    for line, used in (("1", ["heating element"]), ("2", []), ("done, nothing fitted, 35 min", [])):
        talking = chat(*FOUND_OPEN)
        assert isinstance(talking.current, AskRemedy)
        before = talking.talk.job.minutes
        talking.say(line)
        assert [event.part for event in talking.events if isinstance(event, happened.PartUsed)] == used
        took = 35.0 if "min" in line else ELEMENT.minutes
        assert talking.talk.job.minutes - before == pytest.approx(took)


def to_the_end(talking: Chat, most: int = 40) -> list[str]:
    """The remedies offered on the way to the end, each put off; everything else as on a healthy machine."""
    offered = []
    for _ in range(most):
        if isinstance(talking.current, AskClose):
            return offered
        if isinstance(talking.current, AskRemedy):
            offered.append(talking.current.cause)
            talking.say("later")
        elif isinstance(talking.current, AskCard):
            talking.say(all_well(talking.current.actions))
        else:
            talking.say("dk")
    raise AssertionError(f"no end: {talking.current}")


@pytest.mark.slow
def test_a_remedy_that_was_put_off_is_offered_once_more_before_the_end() -> None:
    assert to_the_end(chat(*FOUND_OPEN)).count("element_open") == 2


@pytest.mark.slow
def test_what_cannot_be_done_here_is_not_offered_again_and_not_after_another_repair_either() -> None:
    talking = chat(*FOUND_OPEN, "cannot")
    assert happened.Declined("element_open", "cannot") in talking.events
    assert "element_open" not in to_the_end(talking)


@pytest.mark.slow
def test_a_job_whose_found_fault_was_neither_mended_nor_handed_over_says_so() -> None:
    for line, said in (("later", True), ("cannot", True), ("done", False)):
        talking = chat(*FOUND_OPEN, line, *(["26.4"] if line == "done" else []), "end")
        heard = talking.say("left_isolated")
        for _ in range(9):
            if talking.talk.job.closed is not None:
                break
            heard = talking.say(
                all_well(talking.current.actions) if isinstance(talking.current, AskCard) else "left_isolated"
            )
        assert talking.talk.job.closed is not None, talking.current
        assert ("Found, and neither put right nor handed over: Element broken" in heard) == said, (
            line,
            heard,
        )


@pytest.mark.slow
def test_every_remedy_of_the_dryer_is_told_by_its_own_words() -> None:
    """'put right', a title and 'done, no part' mean this remedy, whatever it is called."""
    causes = load_pack("tumble_dryer").causes.values()
    for cause in causes:
        assert work_told(cause, "done, no part") == WorkTold(())
        assert work_told(cause, f"done {cause.title}") is not None, cause.id
