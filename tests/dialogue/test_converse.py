"""The conversation on a small pack: every stage once, and what a person can type wrong."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from program_walk import all_well
from talking import BEGUN, ISOLATED, OPEN, OPENED, Chat, chat, small_pack, text

from faultfinder.dialogue.agenda.ending import summary
from faultfinder.dialogue.converse import MOST_TYPED, start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose, AskReason, AskStopped
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskFact, AskMachine
from faultfinder.dialogue.prompts.remedy import AskHandOver, AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.say import Line
from faultfinder.dialogue.showing.cause_reasons import why_cause
from faultfinder.dialogue.talk import Over
from faultfinder.job import events as happened
from faultfinder.job.audit import audit
from faultfinder.job.record.event_codec import parse_line, to_line
from faultfinder.job.state import fold
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Access, Need
from faultfinder.reasoning.case import Case
from faultfinder.terminal.console.render import lines
from faultfinder.text.catalogue import say


def test_a_job_goes_from_complaint_to_danger_list_to_facts_to_the_first_step() -> None:
    talking = chat()
    kinds = [type(talking.current)]
    for line in ("it stays cold", "none", "single phase; connection plug"):
        talking.say(line)
        kinds.append(type(talking.current))
    assert kinds[:3] == [AskComplaint, AskDangers, AskMachine]
    assert kinds[3] in (AskTest, AskCard)


@pytest.mark.slow
def test_the_first_advice_stands_at_the_fourth_prompt_in_every_pack() -> None:
    """Complaint, danger list, one line for the machine, first step."""
    for name, line in (("tumble_dryer", "condenser 230V 2500W class 1"), ("electric_oven", "electric")):
        pack = load_pack(name)
        said = "takes ages" if name == "tumble_dryer" else "the grill stays cold"
        talking = chat(said, "none", line, pack=pack)
        assert isinstance(talking.current, AskTest | AskCard), (name, talking.current)


def test_the_customers_words_alone_are_no_evidence() -> None:
    talking = chat("it is cold and smells")
    assert [type(event) for event in talking.events] == [happened.Complaint]
    assert talking.talk.case.answers == ()
    assert isinstance(talking.current, AskSymptoms)
    assert {name for name, _ in talking.current.offered} == {"no_heat", "smell_hot"}


def test_an_instruction_for_an_open_machine_is_shown_only_after_every_action_was_confirmed() -> None:
    talking = chat(*OPENED)
    heard = talking.say("?")
    for line in OPEN:
        assert "Take one lead off" not in heard
        assert isinstance(talking.current, AskCard)
        assert "Take one lead off" not in talking.say("?")
        heard = talking.say(line)
    assert talking.talk.gate.access is Access.OPEN_DEAD
    assert isinstance(talking.current, AskTest)
    heard = talking.say("how")
    assert "Take one lead off" in heard
    assert "probe o--[ element ]--o probe" in heard
    assert isinstance(talking.events[-1], happened.Advised)


def test_a_healthy_reading_is_worked_out_from_the_plate() -> None:
    talking = chat(*OPENED, *OPEN)
    # 230 V squared over 2000 W is 26.45 ohm.
    assert "about 26.4 ohm" in text(talking.turn.said) or "about 26.5 ohm" in text(talking.turn.said)


def test_a_reading_typed_at_another_question_is_taken_and_marked_as_not_confirmed() -> None:
    talking = chat(*OPENED)
    heard = talking.say("element res OL")
    assert "not confirmed here" in heard
    answer = next(event for event in talking.events if isinstance(event, happened.Answered) and event.reads)
    assert (answer.observation, answer.reads, answer.access) == (
        "element_resistance",
        "OL",
        "not confirmed here",
    )


def test_several_readings_stand_on_one_line() -> None:
    talking = chat(*OPENED)
    talking.say("element OL; cut 0.2")
    assert [given.observation for given in talking.talk.case.answers] == [
        "no_heat",
        "smell_hot",
        "inlet_look",
        "flex_look",
        "element_resistance",
        "cut_out_continuity",
    ]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "hint"),
    [
        ("element 230 V", "resistance"),
        ("element banana", ""),
        ("element -4", ""),
        ("element 4e99", ""),
        ("elephant OL", ""),
        ("", ""),
        ("99", ""),
        ("\x1b[2J", ""),
        ("x" * 5000, ""),
    ],
)
def test_what_is_not_understood_changes_nothing_and_says_so(line: str, hint: str) -> None:
    talking = chat(*OPENED)
    before = talking.talk.job
    count = len(talking.events)
    heard = talking.say(line)
    assert talking.talk.job is before
    assert len(talking.events) == count
    assert hint in heard and heard
    assert isinstance(talking.current, AskCard)


def test_a_stop_is_told_once_on_its_screen_and_under_one_word() -> None:
    """It stood there twice, once as a caution and once behind 'STOP: STOP.'."""
    talking = chat("stays cold")
    talking.say("1")
    shown = "\n".join(line for _, line in lines(talking.turn.said, 40))
    assert isinstance(talking.current, AskStopped)
    assert shown.count("STOP") == 1, shown


def test_a_leave_now_sign_stops_the_job_and_only_a_reason_leads_on() -> None:
    talking = chat("stays cold")
    heard = talking.say("1")
    assert "STOP" in heard
    assert isinstance(talking.current, AskStopped)
    talking.say("restart", "the smoke came from the toaster beside it")
    assert any(isinstance(event, happened.Restarted) for event in talking.events)
    assert not talking.talk.gate.stop
    assert talking.talk.gate.signs


@pytest.mark.parametrize(
    ("answer", "told"), [("1", "closed: Left isolated."), ("cannot", "Left as found, NOT isolated")]
)
def test_a_stopped_job_ends_left_isolated_or_as_it_was_found(answer: str, told: str) -> None:
    """Whether it is cut is asked, and nothing is written down as confirmed that nobody confirmed."""
    talking = chat("stays cold", "1", "close")
    assert talking.current == AskCard(Need.ANYWHERE, ("supply_cut_from_afar",))
    assert told in talking.say(answer)
    assert isinstance(talking.current, Over)
    asked, closed = talking.events[-2:]
    assert asked == happened.Confirmed("supply_cut_from_afar", "done" if answer == "1" else answer)
    assert isinstance(closed, happened.Closed) and closed.state == "left_isolated"


def test_where_gas_is_smelt_nobody_is_asked_about_a_switch() -> None:
    """Not even beside another sign whose text says to cut the supply."""
    talking = chat("stays cold")
    told = talking.say("gas_smell tingle")
    assert say("stop_gas") in told and "ut its supply" not in told
    talking.say("now")
    assert "Left as found, NOT isolated" in talking.say("close")
    assert not any(isinstance(event, happened.Confirmed) for event in talking.events)


@pytest.mark.parametrize(
    "line", ["gas_smell", "I smell gas", "there is a smell of gas in the kitchen", "gas"]
)
def test_gas_is_heard_where_the_list_does_not_ask_about_it(line: str) -> None:
    """An electric machine gives none, the house may."""
    talking = chat("stays cold")
    assert "gas" not in text(talking.turn.said).casefold()
    assert say("stop_gas") in talking.say(line)


def test_after_voltage_it_is_asked_whether_the_covers_are_back_before_it_is_handed_over() -> None:
    talking = chat(*OPENED, OPEN[0], "230 228 0 0 230")
    assert isinstance(talking.current, AskStopped)
    talking.say("close")
    assert talking.current == AskCard(Need.ANYWHERE, ("covers_back_or_guarded",))
    assert "closed: Handed over" in talking.say("cannot")


def test_whoever_asked_to_restart_can_think_better_of_it() -> None:
    talking = chat("stays cold", "1", "restart")
    assert isinstance(talking.current, AskReason)
    talking.say("")
    assert isinstance(talking.current, AskStopped) and talking.talk.gate.stop


def test_a_machine_outside_the_pack_with_a_danger_sign_can_be_closed() -> None:
    """How it is connected is asked where the closing hangs on it, whatever else is asked of the machine."""
    talking = chat("stays cold", "tingle", "other")
    talking.say("handed_over")
    assert talking.current == AskFact("connection", True)
    talking.say("plug", *ISOLATED)
    assert isinstance(talking.current, Over)


def test_what_cannot_be_cut_off_is_handed_over_and_its_covers_go_back_all_the_same() -> None:
    talking = chat(*OPENED, OPEN[0], "plate connection fixed", "end", "handed_over")
    assert talking.current == AskCard(Need.COVERS_ON, ("covers_on_unproved",))
    talking.say("1")
    assert isinstance(talking.current, Over)


def test_a_sign_that_a_correction_brings_up_is_told_at_once() -> None:
    talking = chat(*BEGUN, "smell hot no")
    heard = talking.say("correct", "smell_hot", "yes")
    assert say("stop_out_of_use") in heard
    assert talking.talk.gate.signs == ("burning_smell_earlier",)


def test_only_the_latest_answer_is_there_to_be_corrected() -> None:
    talking = chat(*BEGUN, "smell hot no", "smell hot yes")
    talking.say("correct")
    assert len(set(talking.talk.asked.words)) == len(talking.talk.asked.words)


def test_an_out_of_use_sign_keeps_the_machine_from_being_run() -> None:
    talking = chat("smells burnt", "none", "1", "plate connection plug")
    assert talking.talk.gate.signs == ("burning_smell_earlier",)
    for _ in range(30):
        current = talking.current
        if isinstance(current, AskTest):
            assert talking.talk.case.need_of(talking.talk.job.pack.observations[current.target]) != "in_use"
        if isinstance(current, AskCard):
            assert "supply_on" not in current.actions
        talking.say("dk")


def full_repair() -> Chat:
    """Element open: found, replaced, proved, tested, back in use, complaint gone, closed."""
    talking = chat(*OPENED, *OPEN)
    for _ in range(60):
        match talking.current:
            case AskTest("element_resistance", proof=proof):
                talking.say("26.4" if proof else "OL")
            case AskTest("cut_out_continuity"):
                talking.say("0.2")
            case AskTest("no_heat"):
                talking.say("no")
            case AskTest("inlet_look"):
                talking.say("clear")
            case AskTest():
                talking.say("1")
            case AskRemedy("element_open"):
                talking.say("done")
            case AskRemedy(_):
                talking.say("later")
            case AskRemedyDone(_):
                talking.say("done")
            case AskCard(_, actions) if "supply_on" in actions or talking.talk.gate.covers_off:
                talking.say(all_well(actions))
            case AskCard(_, actions) if talking.talk.chosen.startswith("close:"):
                talking.say(all_well(actions))
            case AskCard():
                talking.say("other")
            case AskRound():
                talking.say("none")
            case AskTrial():
                talking.say("gone")
            case AskFact(_, _):
                talking.say("")
            case AskClose():
                talking.say("fit_for_use")
            case Over():
                break
    return talking


@pytest.mark.slow
def test_a_fault_is_found_put_right_proved_and_the_job_closed_fit_for_use() -> None:
    talking = full_repair()
    assert isinstance(talking.current, Over)
    closed = talking.events[-1]
    assert isinstance(closed, happened.Closed)
    assert closed.state == "fit_for_use"
    assert closed.found == ("element_open",)
    tests = [event.test for event in talking.events if isinstance(event, happened.ReturnTested)]
    assert set(tests) == {"earth_inside", "insulation_inside", "earth_at_plug", "insulation_at_plug"}
    proof = [
        e
        for e in talking.events
        if isinstance(e, happened.Answered) and e.observation == "element_resistance"
    ]
    assert [event.reads for event in proof] == ["OL", "26.4"]
    assert any(
        isinstance(e, happened.Answered) and e.observation == "no_heat" and e.value == "no"
        for e in talking.events
    )


@pytest.mark.slow
def test_the_record_of_a_whole_job_breaks_no_safety_rule() -> None:
    talking = full_repair()
    opened = happened.Opened("small_pack")
    assert audit([opened, *talking.events]).violations == ()


@pytest.mark.slow
def test_the_events_fold_to_the_same_state_as_the_conversation() -> None:
    talking = full_repair()
    state, troubles = fold(small_pack(), talking.events)
    assert troubles == []
    assert state == talking.talk.job


def test_a_pause_of_twenty_minutes_asks_for_the_short_way_back() -> None:
    talking = chat(*OPENED, *OPEN)
    heard = talking.say("OL", minutes=20)
    assert "Paused for 20 min" in heard
    assert talking.talk.gate.access is Access.AS_FOUND
    assert any(isinstance(event, happened.Paused) for event in talking.events)


def test_an_answer_can_be_corrected_and_taken_back() -> None:
    talking = chat(*OPENED, "element OL")
    assert talking.talk.case.confidence()["element_open"] > 0.9
    talking.say("correct", "element_resistance", "26.4")
    assert talking.talk.case.confidence()["element_open"] < 0.1
    talking.say("correct", "element_resistance", "")
    left = [given.observation for given in talking.talk.case.answers]
    assert left == ["no_heat", "smell_hot", "inlet_look", "flex_look"]


def test_what_if_is_tried_and_not_recorded() -> None:
    talking = chat(*OPENED)
    count = len(talking.events)
    heard = talking.say("what if element OL")
    assert "Only tried" in heard and "Element broken 0.9" in heard
    assert len(talking.events) == count


def test_what_if_shows_what_the_answer_comes_to_once_recorded_beside_one_taken_before() -> None:
    talking = chat(*OPENED, "element OL")
    tried = talking.say("what if element 26").splitlines()
    taken = talking.say("element 26").splitlines()
    shown = {line for line in tried if line.startswith("Element broken")}
    assert shown and shown <= set(taken), (tried, taken)


def test_why_names_what_each_answer_would_do() -> None:
    heard = chat(*OPENED).say("why")
    assert "Open" in heard and "Element broken, now 76 %, would be 7 %" in heard
    assert "Unplugging under load burns the pins" in heard


def test_why_a_cause_gives_answers_for_and_against() -> None:
    heard = chat(*OPENED, "element OL").say("why cut-out")
    assert "against, odds / " in heard and "already accounts for it" in heard


@pytest.mark.slow
def test_why_says_by_what_state_another_cause_accounts_for_an_answer() -> None:
    pack = load_pack("tumble_dryer")
    case = Case(pack, {"type": "vented"})
    case.record("takes_too_long", "yes")
    case.record("hose_crushed_seen", "yes")
    case.record("outlet_airflow", "weak")
    told = "\n".join(line.text for line in why_cause(case, "high_section_open") if isinstance(line, Line))
    assert "outlet airflow is weak; Vent hose crushed or kinked already accounts for the weak air" in told


def test_done_is_a_word_for_doing_it_now() -> None:
    talking = chat(*BEGUN, "inlet look blocked; flex look whole", "air weak")
    assert isinstance(talking.current, AskRemedy)
    talking.say("done")
    assert not isinstance(talking.current, AskRemedy)


def test_help_glossary_steps_and_likely_answer_at_any_prompt() -> None:
    talking = chat(*OPENED)
    assert "what if" in talking.say("help")
    assert "opens when it gets too hot" in talking.say("explain cut-out")
    assert "1 " in talking.say("steps")
    assert "Element broken" in talking.say("likely")
    assert isinstance(talking.current, AskCard)


def test_a_machine_outside_the_pack_ends_at_the_first_question() -> None:
    talking = chat("stays cold", "none", "other")
    assert isinstance(talking.current, AskClose)
    assert "outside the pack" in text(talking.turn.said)
    talking.say("handed_over")
    assert isinstance(talking.current, Over)


def test_stop_leaves_at_any_prompt_with_everything_kept() -> None:
    talking = chat("stays cold")
    talking.say("stop")
    assert isinstance(talking.current, Over)


LINES = (
    *(
        "1",
        "2",
        "3",
        "yes",
        "no",
        "done",
        "none",
        "dk",
        "can't",
        "why",
        "likely",
        "steps",
        "do 1",
        "help",
        "",
    ),
    *(
        "element OL",
        "element 26",
        "cut 0.1",
        "noise squeal",
        "what if element OL",
        "correct",
        "end",
        "danger",
        "6",
    ),
    *(
        "fit_for_use",
        "left_isolated",
        "handed_over",
        "go_on",
        "restart",
        "because it is safe",
        "plate volts 240",
    ),
    *("explain cut-out", "shows element", "note hello", "OL", "0", "unknown", "later", "cannot", "not_done"),
)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_random_lines_never_break_the_conversation_nor_a_safety_rule(seed: int) -> None:
    random_ = random.Random(seed)
    talking = chat(*(OPENED if seed % 2 else ()))
    for _ in range(60):
        talking.say(random_.choice(LINES), minutes=random_.choice((0.2, 0.2, 0.2, 2, 15)))
        if isinstance(talking.current, Over):
            break
    state, troubles = fold(small_pack(), talking.events)
    assert troubles == []
    assert state == talking.talk.job
    assert audit([happened.Opened("small_pack"), *talking.events]).violations == ()


def test_a_return_test_is_held_against_its_limit_and_the_reading_kept() -> None:
    """IET Code of Practice: earth path 0.1 ohm plus the flex; insulation 1 Mohm class I, 2 Mohm class II or
    unknown. An unknown flex adds nothing."""
    talking = chat(*OPENED, *OPEN, "OL", "done", "26.4")
    while not (isinstance(talking.current, AskCard) and "earth_inside" in talking.current.actions):
        match talking.current:
            case AskClose():
                talking.say("fit_for_use")
            case AskRemedy(_):
                talking.say("later")
            case _:
                talking.say("1")
    heard = text(talking.turn.said)
    assert "at most 0.1 ohm" in heard and "at least 2 Mohm" in heard
    heard = talking.say("1: 0.08 ohm, 2: 0.5 Mohm")
    assert "passed" in heard and "failed" in heard
    assert "must not be used" in heard
    tests = [event for event in talking.events if isinstance(event, happened.ReturnTested)]
    assert [(event.test, event.outcome, event.reads) for event in tests] == [
        ("earth_inside", "passed", "0.08 ohm"),
        ("insulation_inside", "failed", "0.5 Mohm"),
    ]
    assert talking.talk.gate.signs == ("return_test_failed",)


def test_the_longest_line_that_can_be_typed_can_be_kept_and_read_again() -> None:
    """However it is written in the record: every character as an escape of ten."""
    talking = chat(*BEGUN)
    talking.say("note " + "\U000e0041" * (MOST_TYPED - 5))
    (event,) = (event for event in talking.events if isinstance(event, happened.Noted))
    assert parse_line(to_line(event)).event == event
    assert "at most 4,000" in talking.say("x" * (MOST_TYPED + 1))


def test_what_cannot_be_done_on_a_machine_that_is_wired_in_is_handed_over() -> None:
    """With a danger sign open too: the fault is named for an electrician, and the job ends handed over."""
    talking = chat("stays cold", "tingle", "single phase; connection fixed; volts 230; watts 2000")
    handed = []
    for line in ("element OL", *["dk"] * 14):
        while isinstance(talking.current, AskHandOver):
            handed.append(talking.current.cause)
            talking.say("ok")
        talking.say(line if not isinstance(talking.current, AskClose) or line != "dk" else "likely")
    assert "element_open" in handed
    assert happened.Declined("element_open", "licensed") in talking.events
    assert "closed: Handed over" in talking.say("handed_over")


def test_a_fault_that_is_back_after_its_repair_is_not_told_as_mended() -> None:
    told = "{put_right: element_open}", "{answer: element_resistance, reads: OL}"
    events = [event for line in told if (event := parse_line(f"- {line}").event) is not None]
    opening = (
        "{fact: watts, is: 2000}",
        "{answer: no_heat, is: yes}",
        "{answer: element_resistance, reads: OL}",
    )
    before = [event for line in opening if (event := parse_line(f"- {line}").event) is not None]

    small = small_pack()
    unsure = replace(small.causes["element_open"], takes=0.8)

    def words(*happening: happened.Event) -> str:
        pack = replace(small, causes={**small.causes, "element_open": unsure})
        state, troubles = fold(pack, happening)
        assert not troubles
        return text(summary(start(state).talk))

    assert "put right" in words(*before, events[0]) and "there again" not in words(*before, events[0])
    assert "put right, and there again" in words(*before, *events)


def test_readings_and_plate_values_behind_a_complaint_are_taken_beside_it() -> None:
    talking = chat("stays cold; volts 240; element resistance OL")
    kinds = [type(event) for event in talking.events]
    assert kinds[:2] == [happened.Complaint, happened.FactGiven]
    assert talking.events[0] == happened.Complaint("stays cold; volts 240; element resistance OL")
    told = [event for event in talking.events if isinstance(event, happened.Answered)]
    assert [(event.observation, event.reads or event.value) for event in told] == [
        ("no_heat", "yes"),
        ("element_resistance", "OL"),
    ]
    assert [each.name for each in talking.talk.job.given if each.complaint] == ["no_heat"]


def test_readings_behind_a_complaint_wait_until_it_is_told_which_symptoms_are_meant() -> None:
    talking = chat("it is cold and smells; element resistance OL")
    assert isinstance(talking.current, AskSymptoms)
    assert not any(isinstance(event, happened.Answered) for event in talking.events)
    talking.say(str(1 + [name for name, _ in talking.current.offered].index("no_heat")))
    told = [event for event in talking.events if isinstance(event, happened.Answered)]
    assert [event.observation for event in told] == ["no_heat", "element_resistance"]


@pytest.mark.parametrize("line", ["why", "undo", "likely stories", "note the customer is deaf", "dont know"])
def test_a_command_is_one_where_the_customers_words_are_asked_for_and_their_sentence_is_none(
    line: str,
) -> None:
    talking = chat(line)
    complaints = [event for event in talking.events if isinstance(event, happened.Complaint)]
    assert bool(complaints) == (line == "likely stories")
