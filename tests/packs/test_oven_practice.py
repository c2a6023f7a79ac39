"""The practice machines of the oven: sound ones read sound, faults show where they are read, exercises are had."""

from __future__ import annotations

import random
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from faultfinder.knowledge.load import find_pack, load_pack
from faultfinder.knowledge.model import Kind, Pack
from faultfinder.practice.answering import Witness
from faultfinder.practice.description import Description
from faultfinder.practice.draw import readable_facts
from faultfinder.practice.load import load_practice
from faultfinder.practice.machine import Machine
from faultfinder.practice.making import draw_fault, draw_machine
from faultfinder.practice.written import read_job
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.reasoning.evidence.facts import possible

FOLDER = Path(find_pack("electric_oven"))
EXERCISES = sorted((FOLDER / "practice" / "exercises").glob("*.yaml"))


@cache
def the_pack() -> Pack:
    return load_pack(str(FOLDER))


@cache
def the_machines() -> Description:
    return load_practice(the_pack(), str(FOLDER))


def read(machine: Machine, name: str, number: int) -> str:
    """What the rules call the answer of this machine."""
    pack = the_pack()
    item = pack.observations[name]
    shown = machine.answer(name, random.Random(number))
    return judge(pack, item, understand(item, shown, 0), Case(pack, readable_facts(machine)).facts).answer


def with_fault(cause: str, number: int, **words: str) -> Machine:
    machine = draw_machine(the_pack(), the_machines(), f"{cause}:{number}", words=words)
    return machine.with_faults([draw_fault(machine, cause, random.Random(number))])


@pytest.mark.slow
def test_sound_practice_ovens_read_sound() -> None:
    """A reading of an oven without faults falls in its healthy band: rules and model agree. Once in a while a plate
    that is only half known, or the noise of a meter, pushes one over; a sensor of a kind that nobody could tell reads
    as one of another kind."""
    pack = the_pack()
    off: Counter[str] = Counter()
    for number in range(12):
        machine = draw_machine(pack, the_machines(), f"sound:{number}")
        for name, item in pack.observations.items():
            if item.kind is Kind.READING and machine.applies(item) and not machine.cannot(name):
                answer = read(machine, name, number)
                off[name] += answer not in (item.healthy, "another_kind")
    assert sum(off.values()) <= 6 and {name: count for name, count in off.items() if count > 1} == {}


SHOWN = (
    ("bottom_element_open", "bottom_resistance", "open"),
    ("bottom_element_open", "power_conventional", "low"),
    ("bottom_element_open", "heating_share", "long"),
    ("ring_element_open", "power_ring", "none"),
    ("grill_element_open", "power_grill", "none"),
    ("thermostat_open", "thermostat_resistance", "open"),
    ("thermostat_welded", "thermostat_at_off", "closed"),
    ("thermostat_welded", "door_glass_temperature", "hot"),
    ("thermostat_tube_broken", "oven_temperature", "high"),
    ("thermostat_set_low", "oven_temperature", "low"),
    ("relay_welded", "relay_at_rest", "welded"),
    ("sensor_open", "sensor_resistance", "open"),
    ("cutout_open", "cutout_resistance", "open"),
    ("fan_motor_open", "fan_motor_resistance", "open"),
    ("fan_motor_shorted", "fan_motor_resistance", "low"),
    ("cooling_motor_open", "panel_temperature", "hot"),
    ("inner_glass_loose", "door_glass_temperature", "hot"),
    ("mains_low", "mains_under_load", "low"),
    ("plug_fuse_blown", "plug_fuse_resistance", "blown"),
    ("supply_switched_off", "minutes_to_heat", "never"),
)
"""(fault, reading, what it must say); common practice, no source."""


@pytest.mark.slow
@pytest.mark.parametrize(("cause", "reading", "answer"), SHOWN)
def test_a_fault_of_a_practice_oven_shows_in_the_reading_that_is_there_for_it(
    cause: str, reading: str, answer: str
) -> None:
    pack = the_pack()
    answers = []
    for number in range(60):
        machine = draw_machine(pack, the_machines(), f"{cause}:{number}")
        if machine.applies(pack.observations[reading]) and possible(
            pack.causes[cause].applies, machine.facts()
        ):
            answers.append(read(with_fault(cause, number), reading, number))
        if len(answers) == 6:
            break
    assert len(answers) >= 4 and answers.count(answer) >= len(answers) - 1


def test_every_fault_of_an_oven_is_simulated_or_said_not_to_be() -> None:
    description = the_machines()
    assert set(description.faults) | set(description.not_simulated) == set(the_pack().causes)
    assert len(description.faults) >= 55


@pytest.mark.parametrize("file", EXERCISES, ids=lambda file: file.stem)
def test_the_exercises_of_the_oven_can_be_had(file: Path) -> None:
    job = read_job(file.read_bytes(), file.name, the_pack(), the_machines())
    assert job.title and job.says and job.machine.faults


def test_an_oven_without_a_ring_has_none_that_stays_cold() -> None:
    question = the_pack().questions["which_stays_cold"]
    for fan in ("none", "assist"):
        machine = with_fault("thermostat_open", 3, fan=fan, control="mechanical")
        assert Witness().choices(machine, question, random.Random(1)) == ("bottom", "top", "grill", "none")
    machine = with_fault("thermostat_open", 3, fan="ring", control="mechanical")
    assert "ring" in Witness().choices(machine, question, random.Random(1))


def test_a_welded_relay_heats_while_the_heating_sign_is_dark() -> None:
    machine = with_fault("relay_welded", 2, control="electronic")
    assert machine.answer("heating_share") == "0 %"
    assert float(machine.answer("oven_temperature").split()[0]) > 200.0


def test_a_leak_to_earth_opens_the_rcd_and_a_short_the_breaker() -> None:
    """An RCD compares what goes out with what comes back; 4.6 A of a leak of 50 ohm open no breaker of 16 A."""
    machine = with_fault("bottom_element_earthed", 1)
    assert machine.answer("trips_supply") == "yes" and machine.answer("trips_which") == "rcd"
    breakers = {
        machine.answer("trips_which")
        for machine in (with_fault("flex_damaged", number, connection="plug") for number in range(20))
        if machine.answer("trips_supply") == "yes"
    }
    assert breakers == {"rcd", "breaker"}
