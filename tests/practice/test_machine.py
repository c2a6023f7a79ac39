"""Practice machines: they repeat by their seed, sound ones look sound, and every fault shows on some machine."""

from __future__ import annotations

import math
import random
from collections import Counter
from dataclasses import replace
from functools import cache, partial

import pytest

from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.machine import Machine, PracticeError
from faultfinder.practice.making import draw_fault, draw_machine, with_present_share
from faultfinder.practice.score import judged_truth
from faultfinder.trade.electrical.circuit import current_through, line_current, parallel
from faultfinder.trade.electrical.power_tolerance import power_band


def made(pack: Pack, description: Description, seed: object, **changes: object) -> Machine:
    words = {name: value for name, value in changes.items() if isinstance(value, str)}
    numbers = {name: float(value) for name, value in changes.items() if not isinstance(value, str)}  # type: ignore[arg-type]
    return draw_machine(pack, description, str(seed), words=words, numbers=numbers)


def faulty(machine: Machine, *causes: str, seed: int = 1) -> Machine:
    chance = random.Random(seed)
    return machine.with_faults(draw_fault(machine, cause, chance) for cause in causes)


def test_the_same_seed_makes_the_same_machine_and_another_seed_another(
    pack: Pack, description: Description
) -> None:
    one, same, other = (made(pack, description, seed) for seed in (5, 5, 6))
    assert one == same and one.truth() == same.truth()
    assert one.base != other.base


@pytest.mark.slow
def test_sound_machines_look_sound_but_for_what_is_seen_on_sound_ones_too(
    pack: Pack, description: Description
) -> None:
    """An abnormal answer of a sound machine is background: rare but for the few that the pack itself calls common
    (years since a clean, a dull strip, a first heat pump, moved lately)."""
    odd: Counter[str] = Counter()
    count = 60
    for seed in range(count):
        for name, answer in judged_truth(made(pack, description, seed)).items():
            odd[name] += answer != pack.observations[name].healthy
    common = {name for name, item in pack.observations.items() if item.background[0] < 0.96}
    for name, times in odd.items():
        share = 1.0 - pack.observations[name].background[0]
        # As often as the pack says and three standard deviations of so many drawn ones.
        chance = 3.0 * math.sqrt(share * (1.0 - share) / count)
        assert times <= (share + chance if name in common else 0.2) * count, (name, times)
    rare = [times for name, times in odd.items() if name not in common]
    assert sum(rare) / len(rare) / count < 0.02


@pytest.mark.slow
def test_every_fault_shows_in_some_observation(pack: Pack, description: Description) -> None:
    machines = [made(pack, description, seed) for seed in range(40)]
    sound = [cache(partial(judged_truth, machine)) for machine in machines]  # most faults show on the first
    for cause in description.faults:
        shown = False
        for machine, before in zip(machines, sound, strict=True):
            try:
                with_it = faulty(machine, cause, seed=3)
            except PracticeError:
                continue
            after = judged_truth(with_it)
            if any(before().get(name, answer) != answer for name, answer in after.items()):
                shown = True
                break
        assert shown, cause


def test_a_sound_machine_takes_the_power_of_its_plate(pack: Pack, description: Description) -> None:
    """IEC 60335-1 cl. 10.1 (identical adoption of the 1991 family): heating appliances above 200 W, +5 % or 20 W,
    -10 %, at rated voltage. Drawn sections lie within 5 % of theirs, so 1 % more is allowed here."""
    for seed in range(40):
        machine = made(pack, description, seed, type="vented", source_ohms=0.0)
        machine = made(
            pack, description, seed, type="vented", source_ohms=0.0, line_volts=machine.base["volts"]
        )
        low, high = power_band(machine.base["total_watts"])
        assert 0.985 * low <= machine.number("line_watts_high") <= 1.01 * high


def test_the_line_current_is_that_of_the_trades_own_formulas(pack: Pack, description: Description) -> None:
    """The circuit of two sections and a motor, whole and with either section open, against trade.circuit."""
    for seed in range(10):
        sound = made(pack, description, seed, type="condenser", sections="two", control="electronic")
        low, added = (
            sound.number(f"{section}_cold_ohms") * sound.number("hot_factor") for section in ("low", "high")
        )
        for cause, ohms in (
            ("", parallel(low, added)),
            ("low_section_open", added),
            ("high_section_open", low),
        ):
            machine = faulty(sound, cause) if cause else sound
            volts = machine.number("machine_volts_high")
            motor = machine.number("motor_full_w"), machine.number("motor_pf_now")
            expected = line_current(current_through(ohms, volts), *motor, volts)
            assert machine.number("line_amps_high") == pytest.approx(expected, rel=0.012)


def test_a_low_supply_gives_heat_by_the_square_of_the_volts(pack: Pack, description: Description) -> None:
    machine = made(pack, description, 3, type="vented", line_volts=230.0)
    low = made(pack, description, 3, type="vented", line_volts=207.0)
    assert low.number("heat_high") / machine.number("heat_high") == pytest.approx(0.81, rel=1e-6)


def test_a_loose_plug_heats_by_the_square_of_the_current_so_a_heat_pumps_stays_cool(
    pack: Pack, description: Description
) -> None:
    """Ten amperes through a bad contact against three: the rise is ten times as high."""
    heater = faulty(made(pack, description, 8, type="vented"), "plug_terminal_loose")
    pump = faulty(made(pack, description, 8, type="heat_pump"), "plug_terminal_loose")
    assert heater.number("plug_rise_k") > 35
    assert pump.number("plug_rise_k") < heater.number("plug_rise_k") / 5


def test_a_crushed_hose_shows_outside_and_not_with_the_hose_off(pack: Pack, description: Description) -> None:
    machine = made(pack, description, 4, type="vented")
    crushed = faulty(machine, "vent_hose_crushed")
    assert crushed.number("outlet_share") < 0.8
    assert crushed.number("hose_off_gain") > machine.number("hose_off_gain") + 20


def test_putting_right_takes_the_fault_and_what_the_same_part_had(
    pack: Pack, description: Description
) -> None:
    machine = faulty(
        made(pack, description, 2, type="vented", motor_kind="capacitor"),
        "start_winding_open",
        "motor_bearings_worn",
        "filter_clogged",
    )
    assert machine.without("motor_bearings_worn").causes == {"filter_clogged"}
    assert machine.without("filter_clogged").causes == {"start_winding_open", "motor_bearings_worn"}


def test_a_fault_that_comes_and_goes_is_seen_only_sometimes(pack: Pack, description: Description) -> None:
    machine = made(pack, description, 7, type="vented")
    fault = with_present_share(draw_fault(machine, "filter_clogged", random.Random(1)), 0.5)
    going = machine.with_faults((fault,))
    chance = random.Random(1)
    seen = Counter(going.answer("filter_look", chance) for _ in range(200))
    assert 60 < seen["clogged"] < 140
    assert going.answer("filter_look") == "clogged"


@pytest.mark.slow
def test_an_owner_judges_by_the_same_measure_each_time_and_somebody_who_looks_anew_each_time(
    pack: Pack, description: Description
) -> None:
    """Over slowly clogging filters: what is told of one machine is told again, owners differ; a look does not."""
    told, looked = Counter[str](), Counter[str]()
    for seed in range(40):
        sound = made(pack, description, seed, type="vented")
        # As a fault: an owner compares with the same machine without its faults, however that was drawn.
        clogging = replace(
            draw_fault(sound, "filter_clogged", random.Random(seed)),
            changes=(("filter_open", "is", 0.08 + 0.01 * seed),),
        )
        machine = sound.with_faults((clogging,))
        said = {machine.answer("takes_too_long", random.Random(turn)) for turn in range(12)}
        assert len(said) == 1
        told[said.pop()] += 1
        looked[str(len({machine.answer("filter_look", random.Random(turn)) for turn in range(12)}))] += 1
    assert len(told) == 2 and looked["2"] > 0


def test_a_fault_of_another_kind_of_machine_is_refused(pack: Pack, description: Description) -> None:
    machine = made(pack, description, 1, type="heat_pump")
    with pytest.raises(PracticeError, match="cannot be on this machine"):
        draw_fault(machine, "vent_hose_crushed", random.Random(1))
    with pytest.raises(PracticeError, match="No machine can be made"):
        draw_fault(machine, "something_else_air", random.Random(1))


def test_readings_scatter_as_the_meter_does_and_open_reads_over_range(
    pack: Pack, description: Description
) -> None:
    machine = made(pack, description, 9, type="vented", sections="two")
    chance = random.Random(2)
    values = [float(machine.answer("high_section_resistance", chance)) for _ in range(300)]
    true = machine.number("high_cold_ohms")
    middle = sum(values) / len(values)
    spread = math.sqrt(sum((value - middle) ** 2 for value in values) / len(values))
    assert middle == pytest.approx(true, rel=0.005)
    assert 0.001 * true < spread < 0.03 * true
    assert faulty(machine, "high_section_open").answer("high_section_resistance") == "OL"


def test_what_cannot_be_tried_says_so(pack: Pack, description: Description) -> None:
    dead = faulty(made(pack, description, 3, type="vented"), "socket_dead")
    assert "start" in dead.cannot("current_on_high")
    assert dead.cannot("socket_trial") == ""
    assert "current_on_high" not in dead.truth()


def test_constants_are_varied_only_when_that_is_asked_for(pack: Pack, description: Description) -> None:
    plain, varied = (draw_machine(pack, description, "1", vary=vary) for vary in (0.0, 0.2))
    for name, value in description.constants.items():
        assert plain.base[name] == value
        assert 0.8 * value <= varied.base[name] <= 1.2 * value
    assert any(varied.base[name] != value for name, value in description.constants.items())
