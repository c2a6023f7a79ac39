"""A return test takes a value, never a verdict or the number of an option, on every prompt where one stands."""

from __future__ import annotations

import pytest
from reading_once import shipped
from talking import OPEN, OPENED, Chat, chat

from faultfinder.dialogue.converse import start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.remedy import AskRemedy
from faultfinder.job import events as happened
from faultfinder.job.return_tests import limit_for
from faultfinder.job.state import apply, begin, fold
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.evidence.facts import read_fact
from faultfinder.safety.actions import RETURN_TESTS
from faultfinder.safety.gate import owed_tests


def at_the_first_test() -> Chat:
    talking = chat(*OPENED, *OPEN, "OL", "done", "26.4")
    while not (isinstance(talking.current, AskCard) and talking.current.actions[0] in RETURN_TESTS):
        match talking.current:
            case AskClose():
                talking.say("fit_for_use")
            case AskRemedy(_):
                talking.say("later")
            case _:
                talking.say("1")
    return talking


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    [
        "passed",
        "pass",
        "ok",
        "yes",
        "done",
        "within the limit",
        "Within the limit",
        "good",
        "fine",
        "",
    ],
)
def test_no_verdict_is_taken_for_a_value(line: str) -> None:
    talking = at_the_first_test()
    before = len(talking.events)
    heard = talking.say(line, f"1: {line}", f"{line} 3 4")
    assert not [event for event in talking.events[before:] if isinstance(event, happened.ReturnTested)], heard
    assert talking.talk.gate.passed == frozenset()


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "outcome"),
    [
        ("1", "failed"),  # an ohm, and no option: 0.1 ohm is the limit (IET Code of Practice, flex unknown)
        ("2", "failed"),
        ("3", "failed"),
        ("0.08", "passed"),
        ("0,08 ohm", "passed"),
        ("80 mohm", "passed"),
        ("OL", "failed"),
        ("0.09 +- 0.05", "failed"),  # not known to be within
        ("<0.1", "passed"),
        (">0.05", "failed"),
        ("cannot", "skipped"),
        ("can't", "skipped"),
        ("Cannot measure it here", "skipped"),
    ],
)
def test_a_value_with_or_without_its_unit_is_held_against_the_limit(line: str, outcome: str) -> None:
    talking = at_the_first_test()
    before = len(talking.events)
    # With the rest of the card as it should be; '1:' says which of them reads so.
    talking.say(f"1: {line}, 2: 200M, 3, 4")
    tests = [event for event in talking.events[before:] if isinstance(event, happened.ReturnTested)]
    assert tests[0].outcome == outcome and tests[0].test == "earth_inside"


@pytest.mark.slow
def test_over_range_proves_no_more_insulation_than_the_range_in_use() -> None:
    talking = at_the_first_test()
    before = len(talking.events)
    talking.say("1: 0.05, 2: >0.5 Mohm, 3, 4")
    assert [event.outcome for event in talking.events[before:][:2]] == ["passed", "failed"]  # type: ignore[union-attr]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["tumble_dryer", "electric_oven", "washing_machine"])
@pytest.mark.parametrize("metres", ["", "0.8", "1.7", "2.6", "5"])
def test_the_limit_of_the_reading_and_of_the_return_test_are_one(name: str, metres: str) -> None:
    pack = shipped(name)
    facts = {"connection": "plug", "protection": "class_i"} | ({"flex_metres": metres} if metres else {})
    read = {key: read_fact(pack.facts[key], value) for key, value in facts.items() if key in pack.facts}
    readings = [item for item in pack.observations.values() if item.return_test.startswith("earth")]
    assert readings
    for item in readings:
        ((_, top), *_) = limits(item, fact_values(pack, read))
        assert (
            limit_for("earth_at_plug", pack, facts).value
            == top
            == limit_for("earth_inside", pack, facts).value
        )
    if not metres:
        assert top == pytest.approx(0.1)  # unknown: the strictest (IET Code of Practice: 0.1 ohm + the flex)


def in_danger(*confirmed: str) -> list[happened.Event]:
    return [
        happened.FactGiven("type", "vented"),
        happened.FactGiven("connection", "plug"),
        happened.FactGiven("protection", "class_i"),
        happened.DangerSeen("tingle"),
        *map(happened.Confirmed, ("switched_off", "plug_out", "plug_in_sight")),
    ]


@pytest.mark.slow
def test_what_was_measured_in_this_job_in_the_same_state_counts() -> None:
    job, troubles = fold(shipped("tumble_dryer"), [happened.Complaint("x"), *in_danger()])
    assert not troubles
    talking = Chat(start(job))
    while not talking.talk.dangers_done:
        talking.say("none")
    talking.say("earth path 0.06; insulation resistance 150 Mohm")
    tests = [event for event in talking.events if isinstance(event, happened.ReturnTested)]
    assert [(event.test, event.outcome, event.reads) for event in tests] == [
        ("earth_at_plug", "passed", "0.06"),
        ("insulation_at_plug", "passed", "150 Mohm"),
    ]
    assert not talking.talk.gate.signs


@pytest.mark.slow
def test_what_was_measured_in_another_state_does_not_count() -> None:
    pack = shipped("tumble_dryer")
    job, _ = fold(pack, in_danger()[:-1])
    talking = Chat(start(job))
    while not talking.talk.dangers_done:
        talking.say("none")
    talking.say("earth path 0.06; insulation resistance 150 Mohm")
    assert not [event for event in talking.events if isinstance(event, happened.ReturnTested)]


@pytest.mark.slow
def test_a_pass_that_its_own_reading_fails_is_a_failure_whatever_was_written() -> None:
    job = begin(shipped("tumble_dryer"))
    for event in in_danger():
        job = apply(job, event)
    told = happened.ReturnTested("earth_at_plug", "passed", reads="1 ohm", limit="at most 0.1 ohm")
    job = apply(job, told)
    assert "return_test_failed" in job.gate.signs
    assert job.tests[-1].outcome == "failed"


@pytest.mark.slow
def test_measure_it_after_all_can_be_typed_and_leads_there() -> None:
    job = begin(shipped("tumble_dryer"))
    for event in in_danger():
        job = apply(job, event)
    talking = Chat(start(job))
    while not talking.talk.dangers_done:
        talking.say("none")
    talking.say("measure")
    assert talking.current == AskCard(Need.IN_USE, ("earth_at_plug", "insulation_at_plug"))
    talking.say("1: cannot")
    talking.say("measure it after all")
    assert talking.current == AskCard(Need.IN_USE, ("earth_at_plug", "insulation_at_plug"))
    talking.say("1: 12")
    assert "return_test_failed" in talking.talk.gate.signs
    talking.say("measure", "0.06 ohm, 200 Mohm")
    assert not talking.talk.gate.signs, "a slip of the finger is mended by measuring again"
    assert "No test" in talking.say("measure")
    reads = [
        event.reads for event in talking.events if isinstance(event, happened.ReturnTested) and event.reads
    ]
    assert reads == ["12", "0.06 ohm", "200 Mohm"], "the record keeps both"


@pytest.mark.slow
def test_class_ii_said_after_a_failed_earth_is_asked_about() -> None:
    job = begin(shipped("tumble_dryer"))
    for event in (*in_danger(), happened.ReturnTested("earth_at_plug", "failed", reads="3 ohm")):
        job = apply(job, event)
    talking = Chat(start(job))
    while not talking.talk.dangers_done:
        talking.say("none")
    assert "Which is right?" in talking.say("plate protection class_ii")
    assert "earth_at_plug" in owed_tests(talking.talk.gate)


@pytest.mark.slow
def test_a_slip_at_a_return_test_is_taken_back_at_once_and_costs_no_other_test() -> None:
    talking = at_the_first_test()
    talking.say("1: 0.05, 2: 0.2 Mohm, 3, 4")
    assert "return_test_failed" in talking.talk.gate.signs and not talking.talk.gate.passed
    talking.say("correct")
    assert talking.talk.gate.passed == {"earth_inside"} and not talking.talk.gate.signs
    assert isinstance(talking.current, AskCard) and talking.current.actions[0] == "insulation_inside"
    talking.say("200M 2 3")
    assert "insulation_inside" in talking.talk.gate.passed
    job, troubles = fold(talking.talk.job.pack, talking.events)
    assert not troubles and job.gate == talking.talk.gate


@pytest.mark.slow
def test_what_failed_and_was_followed_by_anything_is_no_slip_any_more() -> None:
    talking = at_the_first_test()
    talking.say("1: 0.05, 2: 0.2 Mohm, 3, 4")
    failed = talking.talk.job
    for event in (
        happened.Answered("no_heat", "yes"),
        happened.Resumed("taken up again"),
        happened.Paused(30.0),
        happened.DangerSeen("tingle"),
        happened.PutRight("element_open"),
    ):
        later = apply(apply(failed, event), happened.TakenBack("insulation_inside"))
        assert "return_test_failed" in later.gate.signs and not later.gate.passed, event
    other = apply(failed, happened.TakenBack("earth_inside"))
    assert "return_test_failed" in other.gate.signs


@pytest.mark.slow
def test_a_slip_of_a_reading_that_counted_is_lifted_with_it() -> None:
    job = begin(shipped("tumble_dryer"))
    for event in in_danger():
        job = apply(job, event)
    talking = Chat(start(job))
    while not talking.talk.dangers_done:
        talking.say("none")
    talking.say("insulation resistance 0.3 Mohm")
    assert talking.talk.gate.signs == ("earth_or_insulation_bad", "return_test_failed", "tingle")
    right = apply(talking.talk.job, happened.Corrected("insulation_resistance", reads="300 Mohm"))
    assert right.gate.signs == ("tingle",), "the tingle stands"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("protection", "reads", "good"),
    [
        ("class_i", "1.5 Mohm", True),  # IET Code of Practice: class I 1 Mohm, class II 2 Mohm
        ("class_i", "0.9 Mohm", False),
        ("class_ii", "1.5 Mohm", False),
        ("class_ii", "2.1 Mohm", True),
        ("", "1.5 Mohm", False),  # unknown: the strictest
    ],
)
def test_the_insulation_reading_and_its_return_test_have_one_limit(
    protection: str, reads: str, good: bool
) -> None:
    job = begin(shipped("tumble_dryer"))
    facts = {"type": "vented", "connection": "plug"} | ({"protection": protection} if protection else {})
    for fact, value in facts.items():
        job = apply(job, happened.FactGiven(fact, value))
    seen = apply(job, happened.Answered("insulation_resistance", reads=reads))
    assert (not seen.gate.signs) is good
    for event in (
        happened.DangerSeen("tingle"),
        *map(happened.Confirmed, ("switched_off", "plug_out", "plug_in_sight")),
    ):
        job = apply(job, event)
    test = happened.ReturnTested("insulation_at_plug", "passed", reads=reads)
    assert (apply(job, test).tests[-1].outcome == "passed") is good


@pytest.mark.slow
def test_correct_after_a_reading_that_counted_asks_for_the_reading() -> None:
    job = begin(shipped("tumble_dryer"))
    for event in in_danger():
        job = apply(job, event)
    talking = Chat(start(job))
    while not talking.talk.dangers_done:
        talking.say("none")
    talking.say("insulation resistance 0.3 Mohm", "correct", "insulation_resistance", "300 Mohm")
    assert talking.talk.gate.signs == ("tingle",)
