"""What may be typed where: facts and readings at any question, options by their text, words of one's own."""

from __future__ import annotations

import pytest
from talking import BEGUN, ISOLATED, PROVED_DEAD, Chat, chat, passing, text

from faultfinder.dialogue import flow
from faultfinder.dialogue.converse import start
from faultfinder.dialogue.talk import (
    AskAction,
    AskClose,
    AskComplaint,
    AskDangers,
    AskFact,
    AskGo,
    AskPlate,
    AskRemedy,
    AskRemedyDone,
    AskSymptoms,
    AskTest,
    settled,
)
from faultfinder.job import events as happened
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Access
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.conflict import Conflict


def facts(talking_events: list[happened.Event]) -> dict[str, str]:
    return {event.fact: event.value for event in talking_events if isinstance(event, happened.FactGiven)}


def answers(talking_events: list[happened.Event]) -> dict[str, str]:
    return {
        event.observation: event.reads or event.value
        for event in talking_events
        if isinstance(event, happened.Answered)
    }


def doing(target: str, *lines: str) -> Chat:
    """A job on which a step was chosen by its number, whatever would come first by itself."""
    talking = chat(*BEGUN, *lines)
    at = [step.target for step in flow.doable(talking.talk)].index(target)
    talking.say(f"do {at + 1}")
    return talking


def opened(*lines: str) -> Chat:
    """The same at the machine open and proved dead, about to measure the element."""
    talking = doing("element_resistance", *lines)
    talking.say("yes", *ISOLATED, *PROVED_DEAD)
    return talking


def test_a_reading_is_taken_at_every_question_from_the_first_on_and_the_question_stands() -> None:
    for lines, question in (
        ((), AskComplaint),
        (("stays cold",), AskSymptoms),
        (("stays cold", "1"), AskDangers),
        (("stays cold", "1", "none"), AskFact),
        (BEGUN[:4], AskPlate),
        (None, AskAction),
    ):
        talking = chat(*lines) if lines is not None else doing("element_resistance")
        if lines is None:
            talking.say("yes")
        assert isinstance(talking.current, question)
        talking.say("element OL")
        assert answers(talking.events)["element_resistance"] == "OL", question
        if question is not AskSymptoms:
            assert isinstance(talking.current, question)


def test_a_customers_words_with_no_figure_in_them_are_no_reading() -> None:
    talking = chat("noise squeal")
    assert isinstance(talking.current, AskSymptoms)
    assert answers(talking.events) == {}


def test_facts_and_readings_stand_on_one_line_at_the_first_fact() -> None:
    talking = chat("stays cold", "1", "none")
    heard = talking.say("single phase; volts 240; watts 2000; element OL")
    assert facts(talking.events) == {"supply": "single_phase", "volts": "240", "watts": "2000"}
    assert answers(talking.events)["element_resistance"] == "OL"
    assert "Taken: supply single_phase, volts 240, watts 2000." in heard


def test_of_a_line_with_a_piece_that_is_nothing_nothing_is_taken() -> None:
    talking = chat(*BEGUN[:4])
    heard = talking.say("volts 240; gibberish here")
    assert facts(talking.events) == {"supply": "single_phase"}
    assert "not understood" in heard and isinstance(talking.current, AskPlate)


def test_a_choice_that_only_one_fact_has_needs_no_name() -> None:
    talking = chat(*BEGUN[:4])
    talking.say("isolator; volts 240")
    assert facts(talking.events)["connection"] == "isolator"


def test_none_at_the_plate_is_no_fact_even_where_a_fact_has_that_choice() -> None:
    talking = chat("stays cold", "1", "none", "1")
    assert isinstance(talking.current, AskPlate)
    talking.say("none")
    assert facts(talking.events) == {"supply": "single_phase"} and not isinstance(talking.current, AskPlate)
    assert chat("stays cold", "1", "none").say("other").startswith("This supply is outside the pack")


@pytest.mark.parametrize("line", ["blocked with", "fluff", "BLOCKED WITH FLUFF.", "2", "bl"])
def test_an_option_is_known_by_its_text_its_number_or_its_word(line: str) -> None:
    talking = doing("inlet_look")
    talking.say(line)
    assert answers(talking.events)["inlet_look"] == "blocked"


def test_yes_confirms_an_action_that_is_done_and_nothing_else() -> None:
    talking = doing("element_resistance")
    talking.say("yes")
    assert isinstance(talking.current, AskAction)
    talking.say("yes")
    assert talking.events[-1] == happened.Confirmed("switched_off")
    while isinstance(talking.current, AskAction) and talking.current.action != "dead_line_neutral":
        talking.say("1")
    before = len(talking.events)
    assert "not understood" in talking.say("yes")
    assert len(talking.events) == before


def test_more_words_of_the_customer_add_to_what_is_offered() -> None:
    talking = chat("stays cold")
    talking.say("and it smells burnt")
    assert isinstance(talking.current, AskSymptoms)
    assert [name for name, _ in talking.current.offered] == ["no_heat", "smell_hot"]
    complaints = [event.text for event in talking.events if isinstance(event, happened.Complaint)]
    assert complaints == ["stays cold", "and it smells burnt"]


def test_whoever_does_not_go_there_is_not_asked_for_the_next_thing_there() -> None:
    talking = doing("element_resistance")
    assert isinstance(talking.current, AskGo)
    need = talking.current.need
    talking.say("no")
    assert not (isinstance(talking.current, AskGo) and talking.current.need is need)


# -- words of one's own ---------------------------------------------------------------------------------


def inside(*lines: str) -> str:
    return opened().say(*lines)


def test_what_else_would_show_it_is_about_the_fault_at_hand_or_a_named_one() -> None:
    heard = inside("what else would show it")
    assert heard.startswith("Element broken: ")
    assert "element resistance: 'Open' (" in heard and "%) makes it >99 %" in heard
    named = inside("what else would show cut-out")
    assert named.startswith("Cut-out open: ") and "cut out continuity: 'Open'" in named
    assert inside("shows cut").splitlines()[0] == named.splitlines()[0]


def test_rule_it_out_names_what_would_speak_against_it_most() -> None:
    heard = inside("rule it out")
    assert heard.startswith("Element broken: ")
    assert "element resistance: 'Normal' (" in heard
    assert "element resistance: 'Open'" not in heard
    assert inside("rule out cut-out").startswith("Cut-out open: ")


def test_at_a_remedy_it_is_the_fault_to_be_put_right() -> None:
    talking = doing("inlet_blocked", "inlet look blocked")
    assert talking.current == AskRemedy("inlet_blocked")
    assert talking.say("rule it out").startswith("Inlet blocked with fluff: ")


def test_a_what_if_that_changes_nothing_says_so() -> None:
    talking = chat(*BEGUN, "noise quiet")
    assert "It would change nothing that shows." in talking.say("what if noise quiet")
    assert "Element broken" in talking.say("what if element OL")


# -- help -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lines", "hint"),
    [
        ((), "Type what the customer says"),
        (("stays cold",), "numbers of what is complained of"),
        (("stays cold", "1"), "what is or was there"),
        (("stays cold", "1", "none"), "Enter where it is not known"),
        (BEGUN[:4], "name and value"),
        (("look",), "number of what you see"),
        (("open",), "action by action"),
        (("open", "yes"), "Do it, then confirm it"),
        (("open", "yes", *ISOLATED, *PROVED_DEAD), "what the meter shows"),
        (("mend",), "do begins the work"),
        (("mend", "do"), "only once it is done"),
        ((*BEGUN, "correct"), "the answer that was wrong"),
        ((*BEGUN, "end"), "how the machine is left"),
    ],
)
def test_help_says_first_what_the_question_at_hand_takes(lines: tuple[str, ...], hint: str) -> None:
    steps = {"look": "inlet_look", "open": "element_resistance", "mend": "inlet_blocked"}
    if lines[:1] and lines[0] in steps:
        talking = doing(steps[lines[0]], "inlet look blocked" if lines[0] == "mend" else "flex whole")
        talking.say(*lines[1:])
    else:
        talking = chat(*lines)
    current = talking.current
    heard = talking.say("help")
    assert hint in heard.splitlines()[0]
    assert "At any prompt:" in heard and "help more" in heard
    assert talking.current == current
    assert "rule it out" in talking.say("help more")


def test_every_word_of_the_help_is_understood_where_there_is_something_to_say() -> None:
    for line in (
        "why",
        "likely",
        "steps",
        "what if element OL",
        "explain cut-out",
        "plate",
        "note so",
        "shows it",
    ):
        heard = doing("element_resistance").say(line)
        assert "not understood" not in heard, line


# -- what is asked and shown ----------------------------------------------------------------------------


def test_a_fact_that_hardly_moves_the_limits_is_not_asked_for() -> None:
    """Volts and watts are both unknown. Volts, to within 2 %, move the healthy resistance by 4 %, less than a plate's
    own tolerance, so they are not asked for; watts, to within 10 %, are."""
    talking = chat("stays cold", "1", "none", "1", "connection plug")
    at = [step.target for step in flow.doable(talking.talk)].index("element_resistance")
    talking.say(f"do {at + 1}", "yes", *ISOLATED, *PROVED_DEAD)
    asked = []
    while isinstance(talking.current, AskFact):
        asked.append(talking.current.fact)
        assert "Enter if unknown: " in text(talking.turn.said)
        talking.say("")
    assert asked == ["watts"]
    assert isinstance(talking.current, AskTest)


def test_what_an_answer_did_not_move_is_not_listed_again() -> None:
    talking = chat(*BEGUN)
    assert "Likely faults now:" in talking.say("element OL")
    again = talking.say("element OL")
    assert "Likely faults now:" not in again and "settled, " in again


def test_how_settled_a_job_is_goes_on_where_it_was_left() -> None:
    talking = chat(*BEGUN, "element OL")
    before = settled(talking.talk)
    again = start(talking.talk.job, "a_job", resumed=True)
    assert settled(again.talk) == pytest.approx(before, abs=0.15)
    assert settled(again.talk) > 0.1


def test_answers_that_do_not_fit_are_told_once_until_others_fit_least(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    found = iter(("no_heat", "no_heat", "noise", "", "noise"))

    def conflict(case: Case) -> Conflict | None:
        name = next(found)
        return Conflict(2.0, name, 0, 0.5) if name else None

    monkeypatch.setattr(flow, "conflict", conflict)
    talking = chat(*BEGUN[:4], "volts 230")
    told = [
        talking.say(line).count("The one that fits least: ")
        for line in ("element OL", "noise squeal", "flex whole", "element 26", "element OL")
    ]
    assert told == [1, 0, 1, 0, 1]


def test_after_a_remedy_comes_the_proof_without_a_list_that_says_nothing_new() -> None:
    talking = doing("inlet_blocked", "inlet look blocked")
    talking.say("do")
    heard = talking.say("done")
    assert "Written down: Clean the inlet." in heard and "Likely faults" not in heard
    assert "settled, " in heard and "Proof of the repair:" in heard


def test_whoever_takes_a_job_up_again_hears_what_was_answered_and_done() -> None:
    talking = doing("inlet_blocked", "inlet look blocked")
    talking.say("do", "done", "inlet look clear", "flex whole; noise squeal; element 26.4")
    heard = text(start(talking.talk.job, "a_job", resumed=True).said)
    assert "The complaint: stays cold" in heard
    assert (
        "Answers so far: 6, the last of them inlet look: Clear; flex look: Whole; noise: A squeal; " in heard
    )
    assert "element resistance: 26.4." in heard
    assert "Put right so far: Inlet blocked with fluff." in heard
    assert "This is job" not in heard


def ending(*more: str) -> Chat:
    """A job with two complaints whose grave fault is put right, with more lines, then ended as fit for use."""
    talking = chat("weak air and noisy", "1 2", "none", "1", "connection plug; volts 230; watts 2000")
    talking.say("inlet look blocked")
    at = [step.target for step in flow.doable(talking.talk)].index("inlet_blocked")
    talking.say(f"do {at + 1}", "do", "done", *more, "end", "fit for use")
    while isinstance(talking.current, AskAction):
        talking.say(passing(talking.current.action))
    return talking


def test_before_a_job_ends_fit_for_use_every_complaint_is_asked_about_in_a_row() -> None:
    talking = ending()
    assert talking.current == AskTest("air_weak", True)
    talking.say("no")
    assert talking.current == AskTest("noise", True)
    talking.say("dk")
    assert isinstance(talking.current, AskClose)
    talking.say("1")
    assert isinstance(talking.events[-1], happened.Closed)


def test_a_machine_in_use_is_asked_about_as_well_before_it_is_called_fit() -> None:
    talking = ending()
    talking.say("correct", "")
    assert talking.talk.gate.access is Access.IN_USE
    talking.say("end")
    assert "First the complaint: is it gone now?" in talking.say("1")
    assert talking.current == AskTest("air_weak", True)
    talking.say("no", "quiet")
    assert isinstance(talking.events[-1], happened.Closed)
    assert "is it gone now" not in ending("air weak no; noise quiet").say("1")


def test_a_proof_is_called_so_on_the_way_there_and_when_it_is_reached() -> None:
    talking = chat("weak air and noisy", "1 2", "none", "1", "connection plug; volts 230; watts 2000")
    talking.say("inlet clear; element 26.4; cut 0.2; no heat no")
    while not talking.talk.job.put_right:
        talking.say({AskRemedy: "do", AskRemedyDone: "done"}.get(type(talking.current), "1"))
    assert talking.talk.job.put_right == ("fan_worn",)
    heard = text(talking.turn.said)
    assert "To prove the repair: What does it sound like, running. " in heard
    assert "expected to save" not in heard
    while not isinstance(talking.current, AskTest):
        current = talking.current
        heard = talking.say(passing(current.action) if isinstance(current, AskAction) else "1")
    assert talking.current == AskTest("noise", True)
    assert "Proof of the repair:\nWhat does it sound like, running?" in heard


@pytest.mark.parametrize("line", ["explain cut-out", "what is a cut out?", "explain CUTOUT", "what's cutout"])
def test_a_word_is_explained_however_it_is_written(line: str) -> None:
    assert "cut-out: A switch that opens when it gets too hot." in chat(*BEGUN).say(line)


def test_an_observation_whose_name_begins_like_a_fact_is_no_fact_with_a_bad_value() -> None:
    """The dryer pack has a fact 'hose diameter' and an observation 'hose crushed seen'."""
    talking = chat("takes ages", "1", "none", pack=load_pack("tumble_dryer"))
    talking.say("vented; hose crushed seen yes")
    assert facts(talking.events) == {"type": "vented"}
    assert answers(talking.events)["hose_crushed_seen"] == "yes"
    heard = talking.say("hose diameter wide")
    assert "hose_diameter_mm" in heard and "not understood" in heard


@pytest.mark.parametrize(
    ("said", "first"),
    [
        ("it is dead, nothing lights", "dead"),
        ("the display comes on but it does not start", "lights_but_no_start"),
    ],
)
def test_of_a_symptoms_answers_the_one_in_the_customers_words_is_offered_first(said: str, first: str) -> None:
    current = chat(said, pack=load_pack("tumble_dryer")).current
    assert isinstance(current, AskSymptoms)
    assert [answer for name, answer in current.offered if name == "will_not_start"][0] == first
