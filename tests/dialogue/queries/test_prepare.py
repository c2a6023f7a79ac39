"""Before the visit: what counts, what is only suggested, what to take, what to ask, and when to switch off."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from packs import cause, observation, pack
from talking import small_pack

from faultfinder.dialogue.hearing.complaint import by_clause, matched
from faultfinder.dialogue.hearing.complaint_words import words_of
from faultfinder.dialogue.queries.prepare import Use, as_mapping, prepare, symptoms_of
from faultfinder.errors import BadAnswer, BadFact
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Kind, Need, Pack
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.any_of import chance_of_any
from faultfinder.safety.dangers import asked_of


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


# -- what counts ------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_the_customers_words_alone_are_shown_and_change_nothing(dryer: Pack) -> None:
    quiet = prepare(dryer, ["type=vented"])
    spoken = prepare(dryer, ["type=vented"], "takes ages and smells funny since we moved it")
    assert [each.observation for each in spoken.suggested] == [
        "takes_too_long",
        "moved_lately",
        "burning_smell_reported",
    ]
    assert spoken.counted == () and spoken.case.answers == ()
    assert spoken.likely == quiet.likely and spoken.questions == quiet.questions
    assert spoken.until_then.use is quiet.until_then.use


@pytest.mark.slow
def test_spelling_slips_are_understood(dryer: Pack) -> None:
    found = prepare(dryer, [], "it tkaes forever and trips the electics").suggested
    assert {"takes_too_long", "trips_supply"} <= {each.observation for each in found}


@pytest.mark.slow
def test_naming_the_symptom_counts_it_as_told(dryer: Pack) -> None:
    for words in ("takes_too_long", "Takes too long", "takes_too_long yes"):
        result = prepare(dryer, ["type=vented", words], "takes ages")
        assert result.counted == (("takes_too_long", "yes"),) and result.suggested == ()
        assert result.case.answers[0].kind is Kind.TOLD


@pytest.mark.slow
def test_yes_counts_what_fits_the_words_best_and_leaves_the_rest_to_be_asked(dryer: Pack) -> None:
    result = prepare(
        dryer, ["type=vented"], "takes ages and it trips the electrics, won't start", count_said=True
    )
    assert [name for name, _ in result.counted] == ["takes_too_long", "trips_supply"]
    left = {each.observation: each.answers for each in result.suggested}
    assert left["will_not_start"] == ("lights_but_no_start", "dead"), "the words do not say which"
    assert all(name not in left for name, _ in result.counted)


@pytest.mark.slow
def test_a_thing_to_see_is_only_told_and_a_reading_stays_one(dryer: Pack) -> None:
    told = prepare(dryer, ["type=vented", "outlet airflow weak"]).case
    seen = Case(dryer, {"type": "vented"})
    seen.record(told.answers[0].observation, told.answers[0].text)
    assert told.answers[0].kind is Kind.TOLD
    name = max(seen.confidence(), key=lambda cause: seen.confidence()[cause])
    assert told.confidence()[name] < seen.confidence()[name]
    (reading,) = prepare(dryer, ["type=vented", "current high 7.4A"]).case.answers
    assert reading.kind is Kind.READING


@pytest.mark.slow
@pytest.mark.parametrize(
    "given, error, message",
    [
        ("will_not_start", BadAnswer, "can be: lights_but_no_start, dead"),
        ("takes_too_lon", BadAnswer, "Did you mean 'takes_too_long'?"),
        ("type=vanted", BadFact, "not a choice"),
        ("colour=white", BadFact, "not a fact"),
        ("7.4A", BadAnswer, "could be any of"),
    ],
)
def test_what_is_not_understood_is_told(dryer: Pack, given: str, error: type, message: str) -> None:
    with pytest.raises(error) as raised:
        prepare(dryer, ["energy=electric", given])
    assert message in str(raised.value)


def test_clauses_are_matched_one_by_one() -> None:
    symptoms = symptoms_of(small_pack())
    words = "it stays cold and smells burnt"
    assert by_clause(symptoms, words) == [["no_heat"], ["smell_hot"]]
    assert set(matched(symptoms, words)) == {"no_heat", "smell_hot"} and by_clause(symptoms, "hello") == []


def test_a_symptom_without_the_words_of_customers_is_known_by_those_of_its_question() -> None:
    mute = [replace(each, said=()) for each in symptoms_of(small_pack()) if each.id == "smell_hot"]
    assert matched(mute, f"there is a {' '.join(words_of(mute[0].ask))}") == ["smell_hot"]
    assert matched(mute, "hello") == []


# -- until the visit --------------------------------------------------------------------------------------


@pytest.mark.slow
def test_a_danger_sign_that_was_told_means_off_now(dryer: Pack) -> None:
    until = prepare(dryer, ["type=vented", "trips_supply"]).until_then
    assert until.use is Use.OFF_NOW and until.signs == ("repeated_tripping",)


def test_a_sign_of_the_first_list_means_leave() -> None:
    smoke = replace(small_pack().observations["smell_hot"], danger={"yes": "smoke_or_flame"})
    smoking = replace(small_pack(), observations={**small_pack().observations, "smell_hot": smoke})
    until = prepare(smoking, ["smell_hot"]).until_then
    assert until.use is Use.LEAVE and until.signs == ("smoke_or_flame",)


@pytest.mark.slow
def test_a_danger_that_is_only_suggested_is_asked_about(dryer: Pack) -> None:
    until = prepare(dryer, ["type=vented"], "it trips the electrics").until_then
    assert until.signs == () and "repeated_tripping" in until.perhaps and until.use is Use.AS_USUAL


@pytest.mark.slow
def test_grave_faults_that_were_raised_decide_without_a_sign(dryer: Pack) -> None:
    uses = [
        prepare(dryer, ["type=vented", *told]).until_then.use
        for told in ([], ["takes_too_long"], ["takes_too_long", "too_hot"])
    ]
    assert uses == [Use.AS_USUAL, Use.WATCHED, Use.OFF]


def test_grave_faults_that_nothing_told_speaks_for_switch_nothing_off() -> None:
    """At its base rate a fault that can burn is on every machine of the kind."""
    made = pack([cause("dust", 0.4, {"slow": (0.2, 0.8)})], [observation("slow", kind=Kind.TOLD)])
    assert prepare(made, []).until_then.use is Use.AS_USUAL


# -- what to take -----------------------------------------------------------------------------------------


@pytest.mark.slow
def test_a_part_has_the_chance_that_one_of_its_faults_is_there(dryer: Pack) -> None:
    result = prepare(dryer, ["type=vented", "no_heat_felt"])
    assert [part.chance for part in result.parts] == sorted((p.chance for p in result.parts), reverse=True)
    part = result.parts[0]
    assert part.chance > 0.3 and part.saves > 0
    causes = [name for name, each in dryer.causes.items() if part.name in each.parts and not each.hand_to]
    assert part.chance == pytest.approx(chance_of_any(result.case, {"it": causes})["it"])
    assert set(part.causes) <= set(causes)


@pytest.mark.slow
def test_no_part_is_taken_for_work_that_is_handed_on(dryer: Pack) -> None:
    result = prepare(dryer, ["type=heat_pump", "takes_too_long"])
    handed = {name for name, each in dryer.causes.items() if each.hand_to}
    assert handed and not handed & {name for part in result.parts for name in part.causes}


@pytest.mark.slow
def test_a_belt_job_wants_no_insulation_tester_first_and_a_tripping_one_does(dryer: Pack) -> None:
    def chances(*told: str) -> dict[str, float]:
        return {each.name: each.chance for each in prepare(dryer, ["type=vented", *told]).instruments}

    still, trips = chances("drum_not_turning"), chances("trips_supply")
    assert trips["insulation_tester"] > 0.3 > still.get("insulation_tester", 0.0)
    assert all(0.05 <= chance <= 1 for chance in (*still.values(), *trips.values()))


@pytest.mark.slow
def test_the_chance_of_opening_it_rises_with_what_lies_inside(dryer: Pack) -> None:
    shut = prepare(dryer, ["type=vented"]).opened
    assert prepare(dryer, ["type=vented", "drum_not_turning"]).opened > shut + 0.2


# -- what to ask ------------------------------------------------------------------------------------------


@pytest.mark.slow
def test_questions_are_those_that_need_no_visit_most_worth_first(dryer: Pack) -> None:
    result = prepare(dryer, ["type=vented", "takes_too_long"])
    for step in result.questions:
        item = dryer.observations.get(step.target) or dryer.questions[step.target]
        assert item.need is Need.ANYWHERE and step.worth > step.minutes and step.reasons
    gains = [step.gain for step in result.questions]
    assert gains == sorted(gains, reverse=True) and 1 <= len(gains) <= 6
    assert "takes_too_long" not in [step.target for step in result.questions]


@pytest.mark.slow
def test_what_is_unknown_of_the_machine_is_asked_for(dryer: Pack) -> None:
    result = prepare(dryer, ["type=vented", "energy=electric", "volts=240"])
    assert result.facts == ("supply",) and "volts" not in result.plate and "total_watts" in result.plate
    assert "hp_watts" not in result.plate, "it is no heat pump"


def test_danger_signs_are_asked_of_every_machine_and_a_refrigerant_only_where_there_is_one(
    dryer: Pack,
) -> None:
    assert "refrigerant_signs" in asked_of(dryer)
    assert "refrigerant_signs" not in asked_of(small_pack())
    assert "gas_smell" in asked_of(dryer)
    assert "gas_smell" not in asked_of(small_pack())


def test_a_machine_outside_the_pack_is_only_handed_on(dryer: Pack) -> None:
    result = prepare(dryer, ["energy=gas"], "takes ages")
    assert result.case.outside and result.likely == result.parts == result.questions == ()
    assert as_mapping(result)["ask_dangers"] == []


@pytest.mark.slow
def test_plain_data_has_all_of_it_and_no_instruction(dryer: Pack) -> None:
    result = prepare(dryer, ["type=vented", "takes_too_long"], "trips the electrics")
    text = json.dumps(as_mapping(result))
    mapping = json.loads(text)
    assert mapping["suggested"][0] == {"observation": "trips_supply", "answers": ["yes"], "counted": False}
    assert mapping["counted"] == [{"observation": "takes_too_long", "answer": "yes"}]
    assert mapping["until_then"]["use"] == "watched" and mapping["until_then"]["perhaps"]
    assert mapping["ask_facts"][:2] == ["energy", "supply"] and mapping["ask"][0]["access"] == "as_found"
    for cause_ in dryer.causes.values():
        assert not cause_.remedy_how or cause_.remedy_how.strip() not in text
    for item in dryer.observations.values():
        assert len(item.how) < 30 or item.how.strip() not in text
