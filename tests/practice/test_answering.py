"""Wrong answers: as many as asked for, of the kind that people give."""

from __future__ import annotations

import random

import pytest

from faultfinder.knowledge.model import Pack
from faultfinder.practice.answering import Witness, wrong_answer
from faultfinder.practice.description import Description
from faultfinder.practice.draw import PracticeJob, draw_job
from faultfinder.practice.making import draw_fault, draw_machine
from faultfinder.practice.technician import arrive
from faultfinder.practice.written import read_job
from faultfinder.reasoning.evidence.answers import understand
from faultfinder.trade.readings.reading import parse_reading


@pytest.mark.slow
def test_right_answers_are_what_is_there_and_wrong_ones_as_many_as_asked_for(
    pack: Pack, description: Description
) -> None:
    machine = draw_machine(pack, description, "1", words={"type": "vented"})
    chance = random.Random(1)
    names = ["filter_look", "hose_crushed_seen", "drum_lift", "start_response"]
    wrong = sum(Witness(0.1).answer(machine, name, chance) != machine.answer(name) for name in names * 250)
    assert 70 < wrong < 135
    assert all(Witness().answer(machine, name, chance) == machine.answer(name) for name in names * 50)


@pytest.mark.slow
def test_a_wrong_answer_is_another_one_and_a_misread_meter_still_shows_a_reading(pack: Pack) -> None:
    chance = random.Random(2)
    for item in pack.observations.values():
        for answer in item.answers:
            if item.reading is None:
                assert wrong_answer(item, answer.id, chance) != answer.id
    section = pack.observations["high_section_resistance"]
    for shown in ("31.6", "OL", "0"):
        other = wrong_answer(section, shown, chance)
        assert other != shown
        parse_reading(other, "resistance", "ohm")


def test_a_question_that_sets_several_is_ticked_whole(pack: Pack, description: Description) -> None:
    machine = draw_machine(pack, description, "3", words={"type": "vented", "sections": "two"})
    chance = random.Random(3)
    assert Witness().choices(machine, pack.questions["hose_seen"], chance) == ("none",)
    assert Witness().choices(machine, pack.questions["which_heat"], chance) == ("both",)


@pytest.mark.parametrize("fault, ticked", [("room_cold", ["cold"]), ("", []), ("room_hot", ["hot"])])
def test_a_reading_among_what_is_ticked_is_ticked_by_the_band_it_falls_in(
    pack: Pack, description: Description, fault: str, ticked: list[str]
) -> None:
    chance = random.Random(3)
    machine = draw_machine(pack, description, "3", words={"type": "condenser"})
    if fault:
        machine = machine.with_faults([draw_fault(machine, fault, chance)])
    choices = Witness().choices(machine, pack.questions["walk_round"], chance)
    assert [choice for choice in choices if choice in ("cold", "hot")] == ticked


@pytest.mark.slow
def test_every_reading_right_or_wrong_is_one_that_can_be_typed(pack: Pack, description: Description) -> None:
    """Over varied machines: a meter never shows what the tool would refuse, slipped or not."""
    chance = random.Random(4)
    for seed in range(1, 13):
        machine = draw_job(pack, description, str(seed), vary=0.2).machine
        for name, item in pack.observations.items():
            if item.reading is None or not machine.applies(item):
                continue
            shown = machine.answer(name, chance)
            understand(item, shown, 0)
            understand(item, wrong_answer(item, shown, chance), 0)


@pytest.mark.slow
def test_what_was_told_is_not_taken_back_when_it_is_asked_for_among_others(
    pack: Pack, description: Description
) -> None:
    """Fluff that one hardly notices was told of; asked for everything, it is ticked again, whatever chance says."""
    text = (
        "practice: {seed: 1, machine: {type: vented}, faults: {air_seals_leaking: {seal_wear: 0.9}}, "
        "complaint: {fluff_about: yes, takes_too_long: yes}}"
    )
    for seed in range(8):
        work = arrive(read_job(text.encode(), "fluff.yaml", pack, description), salt=str(seed))
        work.ask("all_noticed")
        for name in ("fluff_about", "takes_too_long"):
            given = work.case.latest(name)
            assert given is not None and work.case.judged(given).answer == "yes"


def test_what_is_printed_on_a_part_is_read_there_and_not_before(pack: Pack, description: Description) -> None:
    seeds = (f"marked {number}" for number in range(40))
    machine = next(
        each
        for each in (draw_machine(pack, description, seed, words={"type": "vented"}) for seed in seeds)
        if each.told_when_asked("thermostat_opens_c")
    )
    facts = {name: value for name, value in machine.facts().items() if name in ("type", "connection")}
    work = arrive(PracticeJob(machine, {"low_heat_only": "yes"}, facts, "marked"))
    work.looked_up(pack.observations["earth_path"])
    assert "thermostat_opens_c" not in work.state.facts
    work.looked_up(pack.observations["thermostat_opens_at"])
    assert work.state.facts["thermostat_opens_c"] == machine.facts()["thermostat_opens_c"]
    work.looked_up(pack.observations["thermistor_resistance"])
    assert "thermistor_r25" not in work.state.facts  # the service sheet is not at hand
    for item in pack.observations.values():
        work.looked_up(item)  # nothing that a reading hangs on is a fact without a note
