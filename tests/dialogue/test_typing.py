"""What may be typed where: facts and readings at any question, options by their text, words of one's own."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from program_walk import all_well
from talking import BEGUN, OPEN, Chat, chat, small_pack, text

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.commands import _cause_meant
from faultfinder.dialogue.converse import start
from faultfinder.dialogue.hearing.choosing import NotTaken, several
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskMachine
from faultfinder.dialogue.prompts.remedy import AskRemedy
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.errors import UnknownName
from faultfinder.job import events as happened
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Access, Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.conflict import Conflict


def facts(talking_events: list[happened.Event]) -> dict[str, str]:
    return {event.fact: event.value for event in talking_events if isinstance(event, happened.FactGiven)}


def answers(talking_events: list[happened.Event]) -> dict[str, str]:
    return {
        event.observation: event.reads or event.value
        for event in talking_events
        if isinstance(event, happened.Answered)
    }


def doing(target: str, *lines: str, pack: Pack | None = None) -> Chat:
    """A job on which a step was chosen by its number, whatever would come first by itself."""
    talking = chat(*BEGUN, *lines, pack=pack)
    if target not in [step.target for step in offers.doable(talking.talk)]:
        talking.say("inlet look clear; flex look whole")
    at = [step.target for step in offers.doable(talking.talk)].index(target)
    talking.say(f"do {at + 1}")
    return talking


def opened(*lines: str) -> Chat:
    """The same at the machine open and proved dead, about to measure the element."""
    talking = doing("element_resistance", *lines)
    talking.say(*OPEN)
    return talking


@pytest.mark.slow
def test_a_reading_is_taken_at_every_question_from_the_first_on_and_the_question_stands() -> None:
    for lines, question in (
        ((), AskComplaint),
        (("it is cold and smells",), AskSymptoms),
        (("stays cold",), AskDangers),
        (("stays cold", "none"), AskMachine),
        (None, AskCard),
    ):
        talking = chat(*lines) if lines is not None else doing("element_resistance")
        assert isinstance(talking.current, question)
        talking.say("element OL")
        assert answers(talking.events)["element_resistance"] == "OL", question
        # Where the reading was what one was going for, whether to go there is chosen anew.
        if question not in (AskSymptoms, AskCard):
            assert isinstance(talking.current, question)


def test_a_customers_words_with_no_figure_in_them_are_no_reading() -> None:
    talking = chat("noise squeal sometimes")
    assert isinstance(talking.current, AskSymptoms)
    assert answers(talking.events) == {}


def test_facts_and_readings_stand_on_one_line_at_the_first_fact() -> None:
    talking = chat("stays cold", "none")
    heard = talking.say("single phase; volts 240; watts 2000; element OL")
    assert facts(talking.events) == {"supply": "single_phase", "volts": "240", "watts": "2000"}
    assert answers(talking.events)["element_resistance"] == "OL"
    assert "Taken: supply single phase, volts 240, watts 2000." in heard


def test_of_a_line_with_a_piece_that_is_nothing_nothing_is_taken() -> None:
    talking = chat("stays cold", "none")
    heard = talking.say("volts 240; gibberish here")
    assert facts(talking.events) == {}
    assert "not understood" in heard and isinstance(talking.current, AskMachine)


def test_a_choice_that_only_one_fact_has_needs_no_name() -> None:
    talking = chat("stays cold", "none")
    talking.say("isolator; volts 240")
    assert facts(talking.events)["connection"] == "isolator"


def test_none_at_the_plate_is_no_fact_even_where_a_fact_has_that_choice() -> None:
    talking = chat("stays cold", "none", "volts 240")
    assert isinstance(talking.current, AskMachine)
    assert "Type one of: single phase, other" in talking.say("none")
    talking.say("1")
    assert facts(talking.events) == {"volts": "240", "supply": "single_phase"}
    assert not isinstance(talking.current, AskMachine)
    assert chat("stays cold", "none").say("other").splitlines()[1].startswith("This supply is outside")


@pytest.mark.slow
@pytest.mark.parametrize("line", ["blocked with", "fluff", "BLOCKED WITH FLUFF.", "2", "bl"])
def test_an_option_is_known_by_its_text_its_number_or_its_word(line: str) -> None:
    talking = doing("inlet_look")
    talking.say(line)
    assert answers(talking.events)["inlet_look"] == "blocked"


@pytest.mark.slow
def test_a_card_is_ticked_by_its_numbers_and_by_no_word_for_all() -> None:
    talking = doing("element_resistance")
    before = len(talking.events)
    for line in ("yes", "done", "ok", "all", "1 2 3 4 5", "6"):
        talking.say(line)
        assert isinstance(talking.current, AskCard)
        assert len(talking.events) == before
        assert talking.talk.gate.access is Access.AS_FOUND
        if line == "1 2 3 4 5":
            assert "Still to do: 6" in text(talking.turn.said)
            talking = doing("element_resistance")
    talking.say("1 2 3 4 5")
    talking.say("6")
    assert [e.action for e in talking.events if isinstance(e, happened.Confirmed)][-1] == "covers_off"


def test_more_words_of_the_customer_add_to_what_is_offered() -> None:
    talking = chat("it is cold")
    talking.say("and it smells burnt")
    assert isinstance(talking.current, AskSymptoms)
    assert [name for name, _ in talking.current.offered] == ["no_heat", "smell_hot"]
    complaints = [event.text for event in talking.events if isinstance(event, happened.Complaint)]
    assert complaints == ["it is cold", "and it smells burnt"]


def test_whoever_does_not_go_there_is_not_asked_for_the_next_thing_there() -> None:
    talking = doing("element_resistance")
    assert isinstance(talking.current, AskCard)
    need = talking.current.need
    talking.say("other")
    assert not (isinstance(talking.current, AskCard) and talking.current.need is need)


# -- words of one's own ---------------------------------------------------------------------------------


def inside(*lines: str) -> str:
    return opened().say(*lines)


@pytest.mark.slow
def test_what_else_would_show_it_is_about_the_fault_at_hand_or_a_named_one() -> None:
    heard = inside("what else would show it")
    assert heard.startswith("Element broken: ")
    assert "element resistance: 'Open' (" in heard and "%) makes it >99 %" in heard
    named = inside("what else would show cut-out")
    assert named.startswith("Cut-out open: ") and "cut out continuity: 'Open'" in named
    assert inside("shows cut").splitlines()[0] == named.splitlines()[0]


@pytest.mark.slow
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
    assert "It would make no visible difference." in talking.say("what if noise quiet")
    assert "Element broken" in talking.say("what if element OL")


def test_a_what_if_that_cannot_be_says_why_as_the_answer_itself_would() -> None:
    talking = chat(*BEGUN)
    why = talking.say("noise same")
    assert "It can be:" in why
    assert why.splitlines()[0] in talking.say("what if noise same")
    assert "For example: what if" in talking.say("what if pigs fly")


# -- help -----------------------------------------------------------------------------------------------


@pytest.mark.slow
@pytest.mark.parametrize(
    ("lines", "hint"),
    [
        ((), "Type what the customer says"),
        (("it is cold",), "numbers of what is complained of"),
        (("stays cold",), "what is or was there"),
        (("stays cold", "none"), "in any order"),
        (("look",), "number of what you see"),
        (("open",), "Do them in order"),
        (("open", *OPEN), "what the meter shows"),
        (("mend",), "done, no part, 40 min"),
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


@pytest.mark.slow
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


def test_what_a_limit_assumes_is_told_with_it_and_not_asked_for() -> None:
    talking = chat("stays cold", "none", "single phase; connection plug", "inlet look clear; flex look whole")
    at = [step.target for step in offers.doable(talking.talk)].index("element_resistance")
    talking.say(f"do {at + 1}", *OPEN)
    assert isinstance(talking.current, AskTest)
    heard = text(talking.turn.said)
    assert "watts 2000 W (assumed)" in heard and "volts 230 V (assumed)" in heard


def test_what_an_answer_did_not_move_is_not_listed_again() -> None:
    talking = chat(*BEGUN)
    assert "Likely faults now:" in talking.say("element OL")
    again = talking.say("element OL")
    assert "Likely faults now:" not in again


def test_the_status_line_says_how_it_stands_in_words() -> None:
    talking = chat(*BEGUN, "element OL")
    assert talking.turn.ask.status == "covers off, isolation not confirmed, 4 min, 1 likely" or (
        "1 likely" in talking.turn.ask.status and "%" not in talking.turn.ask.status
    )
    assert "NOT TO BE RUN" in chat("smells burnt").turn.ask.status


def test_answers_that_do_not_fit_are_told_once_until_others_fit_least(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    found = iter(("no_heat", "no_heat", "noise", "", "noise"))

    def conflict(case: Case) -> Conflict | None:
        name = next(found)
        return Conflict(2.0, name, 0, 0.5) if name else None

    monkeypatch.setattr(offers, "conflict", conflict)
    talking = chat("stays cold", "none", "single phase; volts 230")
    told = [
        talking.say(line).count("The one that fits least: ")
        for line in ("element OL", "noise squeal", "flex whole", "element 26", "element OL")
    ]
    assert told == [1, 0, 1, 0, 1]


def test_after_a_remedy_comes_the_proof_without_a_list_that_says_nothing_new() -> None:
    talking = doing("inlet_blocked", "inlet look blocked")
    heard = talking.say("done")
    assert "Written down: Clean the inlet." in heard and "Likely faults" not in heard
    assert "Proof: " in heard


def test_what_a_remedy_also_mends_is_told_once_it_is_done() -> None:
    made = small_pack()
    inlet = replace(made.causes["inlet_blocked"], also_mends=("fan_worn",))
    made = replace(made, causes={**made.causes, inlet.id: inlet})
    talking = doing("inlet_blocked", "inlet look blocked", pack=made)
    assert "Also puts right: Fan bearing worn." in talking.say("done")
    assert talking.talk.job.mended == {"inlet_blocked", "fan_worn"}


@pytest.mark.slow
def test_whoever_takes_a_job_up_again_hears_what_was_answered_and_done() -> None:
    talking = doing("inlet_blocked", "inlet look blocked")
    talking.say("done", "inlet look clear", "flex whole; noise squeal; element 26.4")
    heard = text(start(talking.talk.job, "a_job", resumed=True).said)
    assert "The complaint: stays cold" in heard
    assert (
        "Answers so far: 7, the last of them inlet look: Clear; flex look: Whole; noise: A squeal; " in heard
    )
    assert "element resistance: 26.4." in heard
    assert "Put right so far: Inlet blocked with fluff." in heard
    assert "This is job" not in heard


def closing_with(name: str) -> Pack:
    """The small pack, its weak air closing with that."""
    made = small_pack()
    weak = replace(made.observations["air_weak"], closes_with=(name,))
    return replace(made, observations={**made.observations, weak.id: weak})


def test_a_complaint_that_closes_with_a_look_is_not_fit_for_use_before_it() -> None:
    talking = ending(pack=closing_with("flex_look"))
    assert talking.talk.job.closed is None
    while isinstance(talking.current, AskCard):
        talking.say(all_well(talking.current.actions))
    assert talking.current == AskTest("flex_look")
    assert "Cannot measure it? Say cannot" in text(talking.turn.said)
    talking.say("whole", "end", "fit for use")
    while isinstance(talking.current, AskCard):
        talking.say(all_well(talking.current.actions))
    assert talking.current == AskTrial(("air_weak", "noise"))
    talking.say("gone")
    assert isinstance(talking.events[-1], happened.Closed)


def test_who_cannot_do_what_it_closes_with_may_close_and_the_record_says_so() -> None:
    talking = ending(pack=closing_with("flex_look"))
    while isinstance(talking.current, AskCard):
        talking.say(all_well(talking.current.actions))
    talking.say("cannot", "end", "fit for use")
    while isinstance(talking.current, AskCard):
        talking.say(all_well(talking.current.actions))
    assert talking.current == AskTrial(("air_weak", "noise"))
    assert [e.observation for e in talking.events if isinstance(e, happened.Skipped)] == ["flex_look"]
    talking.say("gone")
    assert "Nothing was measured that proves it cured: air weak." in text(talking.turn.said)


def ending(*more: str, pack: Pack | None = None) -> Chat:
    """A job with two complaints whose grave fault is put right, with more lines, then ended as fit for use."""
    about = "single phase; connection plug; volts 230; watts 2000"
    talking = chat("weak air, noisy", "none", about, pack=pack)
    talking.say("inlet look blocked")
    at = [step.target for step in offers.doable(talking.talk)].index("inlet_blocked")
    talking.say(f"do {at + 1}", "done", *more, "end", "fit for use")
    while isinstance(talking.current, AskCard):
        talking.say(all_well(talking.current.actions))
    return talking


def test_before_a_job_ends_fit_for_use_every_complaint_is_tried_again() -> None:
    talking = ending()
    assert talking.current == AskTrial(("air_weak", "noise"))
    before = len(talking.events)
    # Without a trial it is not called gone.
    for line in ("none", "", " , "):
        assert "Did you try it?" in talking.say(line)
    assert len(talking.events) == before
    talking.say("gone")
    assert isinstance(talking.events[-1], happened.Closed)
    tried = [e for e in talking.events if isinstance(e, happened.Answered) and e.access == "in_use"]
    assert [(e.observation, e.value) for e in tried] == [("air_weak", "no"), ("noise", "quiet")]


def test_a_complaint_that_still_stands_reopens_the_search() -> None:
    talking = ending()
    talking.say("air_weak")
    assert talking.talk.job.closed is None and talking.talk.chosen == ""
    assert answers(talking.events)["air_weak"] == "yes" and answers(talking.events)["noise"] == "quiet"
    assert not isinstance(talking.current, AskTrial)


@pytest.mark.parametrize("line", ["untried", "later"])
def test_what_was_not_tried_is_not_called_fit_for_use(line: str) -> None:
    talking = ending()
    talking.say(line)
    assert talking.talk.job.closed is None
    talking.say("end", "fit_for_use")
    assert isinstance(talking.current, AskTrial)
    assert not any(isinstance(event, happened.Closed) for event in talking.events)


def test_a_proof_is_called_so_when_it_is_reached() -> None:
    talking = chat("weak air, noisy", "none", "single phase; connection plug; volts 230; watts 2000")
    talking.say("inlet clear; element 26.4; cut 0.2; no heat no")
    while not talking.talk.job.put_right:
        current = talking.current
        line = all_well(current.actions) if isinstance(current, AskCard) else "1"
        talking.say("do" if isinstance(current, AskRemedy) else line)
    assert talking.talk.job.put_right == ("fan_worn",)
    heard = text(talking.turn.said)
    assert "expected to save" not in heard
    while not isinstance(talking.current, AskTest):
        current = talking.current
        heard = talking.say(all_well(current.actions) if isinstance(current, AskCard) else "none")
    assert talking.current == AskTest("noise", True)
    assert "Proof: What does it sound like, running?" in heard


@pytest.mark.slow
@pytest.mark.parametrize("line", ["what is that?", "what's this", "what is it"])
def test_who_asks_what_is_that_is_told_how_it_is_done(line: str) -> None:
    """'that' is not in the glossary, was the answer."""
    asked = doing("element_resistance")
    assert asked.again().say(line) == asked.say("?")


@pytest.mark.parametrize("line", ["explain cut-out", "what is a cut out?", "explain CUTOUT", "what's cutout"])
def test_a_word_is_explained_however_it_is_written(line: str) -> None:
    assert "cut-out: A switch that opens when it gets too hot." in chat(*BEGUN).say(line)


@pytest.mark.slow
def test_an_observation_whose_name_begins_like_a_fact_is_no_fact_with_a_bad_value() -> None:
    """The dryer pack has a fact 'hose diameter' and an observation 'hose crushed seen'."""
    talking = chat("takes ages", "none", pack=load_pack("tumble_dryer"))
    assert "hose diameter" in talking.say("hose diameter wide")
    assert facts(talking.events) == {}
    talking.say("vented; hose crushed seen yes")
    assert facts(talking.events) == {"type": "vented"}
    assert answers(talking.events)["hose_crushed_seen"] == "yes"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("said", "first"),
    [
        ("it is dead, nothing lights up but not always", "dead"),
        ("the display comes on but it does not start", "lights_but_no_start"),
    ],
)
def test_of_a_symptoms_answers_the_one_in_the_customers_words_is_offered_first(said: str, first: str) -> None:
    current = chat(said, pack=load_pack("tumble_dryer")).current
    assert isinstance(current, AskSymptoms)
    assert [answer for name, answer in current.offered if name == "will_not_start"][0] == first


@pytest.mark.parametrize("word", ["cannot", "later"])
def test_a_remedy_put_aside_by_a_slip_is_taken_up_again_by_what_is_told_then(word: str) -> None:
    """'3' for '1' left a fault that was found unmended, and undo took back an older answer."""
    talking = doing("inlet_blocked", "inlet look blocked")
    again = re.search(r"To take it up again: (put right .*)", talking.say(word))
    assert again is not None and talking.current != AskRemedy("inlet_blocked")
    talking.say(again[1])
    assert talking.current == AskRemedy("inlet_blocked")


def test_of_the_faults_that_a_word_may_mean_the_one_found_is_put_right_and_else_none_by_a_number() -> None:
    dryer = load_pack("tumble_dryer")
    talking = chat("water on the floor", "none", "condenser 230V 2500W plug", pack=dryer)
    before = talking.current
    heard = talking.say("put right sump")
    assert talking.current == before
    assert "put right Sump full of fluff or put right Sump, channel or hose joint leaks" in heard
    talking.say("sump seen yes")
    assert talking.talk.case.confidence()["sump_fluff"] > FOUND
    with pytest.raises(UnknownName):
        _cause_meant(talking.talk, "sump")  # said to be done, the words have to tell which
    assert _cause_meant(talking.talk, "sump", or_found=True) == "sump_fluff"


@pytest.mark.parametrize("target", ["element_resistance", "inlet_look"])
def test_nothing_typed_is_not_quoted_but_told_what_is_wanted(target: str) -> None:
    talking = opened() if target == "element_resistance" else doing(target)
    for line in ("", "   "):
        heard = talking.say(line)
        assert "''" not in heard and "Type" in heard
    assert "'frogs' is not understood" in talking.say("frogs")


def test_of_a_sentence_all_is_said_not_to_be_understood_and_of_a_list_the_odd_one() -> None:
    for line, odd in (
        ("all gone, runs hot", "'all gone, runs hot'"),
        ("1 frogs", "'frogs'"),
        ("frogs", "'frogs'"),
    ):
        with pytest.raises(NotTaken, match=f"^{odd} is not understood. Type one of: 1 water, 2 gone"):
            several(line, ("water", "gone"))
    assert several("2, water and 2", ("water", "gone")) == ["gone", "water"]


def test_what_a_line_says_twice_of_one_thing_is_one_answer() -> None:
    talking = chat("", "none", "plate plug")
    before = len(talking.events)
    heard = talking.say("element OL; element OL")
    told = [each for each in talking.events[before:] if isinstance(each, happened.Answered)]
    assert [each.observation for each in told] == ["element_resistance"]
    assert heard.count("element resistance:") == 1


@pytest.mark.parametrize("name", ["tumble_dryer", "washing_machine", "electric_oven"])
def test_every_fault_is_meant_by_its_whole_title(name: str) -> None:
    talk = chat("", "none", "none", pack=load_pack(name)).talk
    for cause in talk.job.pack.causes.values():
        if possible(cause.applies, talk.case.facts):
            assert _cause_meant(talk, cause.title) == cause.id
