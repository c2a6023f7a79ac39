"""The single-phase motor: energy is kept, and it fails in the ways that motors fail."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from faultfinder.practice.motor import Windings, running, torque_and_current
from faultfinder.trade.inputs import FormulaError

SOUND = Windings(16.0, 20.0, 1.5, 13.0, 110.0, 14.0, 8.0)


def field(windings: Windings, share: float) -> complex:
    leak, magnetising = 1j * windings.leakage_ohms, 1j * windings.magnetising_ohms
    rotor = windings.rotor_ohms / share + leak
    return 0.5 * magnetising * rotor / (magnetising + rotor)


@pytest.mark.parametrize("number", range(30))
def test_what_goes_in_comes_out_as_heat_of_windings_and_rotor_and_as_work(number: int) -> None:
    """Power from the mains = copper loss + what both fields carry into the rotor. The rotor turns (1 - s) of the
    forward share and (s - 1) of the backward one into work: the torque times the speed. No constant loss here."""
    chance = random.Random(number)
    w = Windings(
        chance.uniform(8, 30),
        chance.uniform(10, 40),
        chance.uniform(0.8, 2.0),
        chance.uniform(5, 20),
        chance.uniform(60, 250),
        chance.uniform(8, 25),
        chance.uniform(3, 20),
    )
    slip = chance.uniform(0.02, 1.0)
    torque, main, other = torque_and_current(w, 230.0, slip)
    taken = 230.0 * (main + other).real
    copper = w.main_ohms * abs(main) ** 2 + w.start_ohms * abs(other) ** 2
    forward, backward = field(w, slip), field(w, 2.0 - slip)
    # Each field's share of the current: the two windings at right angles, the second with a times the turns.
    a = w.turns_ratio
    ahead, behind = main - 1j * a * other, main + 1j * a * other
    into_forward, into_backward = abs(ahead) ** 2 * forward.real, abs(behind) ** 2 * backward.real
    assert taken == pytest.approx(copper + into_forward + into_backward, rel=1e-9)
    assert torque == pytest.approx(into_forward - into_backward, rel=1e-9, abs=1e-6)


def test_a_sound_motor_runs_near_synchronous_speed_and_a_heavier_load_slows_it() -> None:
    light = running(SOUND, 230, 18, 30, 42, 20)
    heavy = running(SOUND, 230, 18, 70, 42, 40)
    assert light.starts and heavy.starts
    assert 0.9 < heavy.speed < light.speed < 1.0
    assert light.watts < heavy.watts < 400


def test_without_its_second_winding_or_its_capacitor_it_has_no_torque_at_rest_and_hums() -> None:
    for broken in (replace(SOUND, start_ohms=1e9), replace(SOUND, capacitor_uf=0.0)):
        stalled = running(broken, 230, 18, 30, 42, 20)
        assert not stalled.starts and stalled.speed == 0
        assert stalled.watts == pytest.approx(stalled.loss_watts)
        assert stalled.watts > 3 * running(SOUND, 230, 18, 30, 42, 20).watts


def test_a_weak_capacitor_draws_more_amperes_and_gives_less_torque_at_rest() -> None:
    at_rest = [
        torque_and_current(replace(SOUND, capacitor_uf=uf), 230, 1.0)[0] for uf in (2.0, 4.0, 6.0, 8.0)
    ]
    assert at_rest == sorted(at_rest)
    weak = running(replace(SOUND, capacitor_uf=5.0), 230, 18, 30, 42, 20)
    sound = running(SOUND, 230, 18, 30, 42, 20)
    assert weak.starts and weak.amps > 1.1 * sound.amps
    # The watts hardly tell: what the rules may expect of them rests on this.
    assert weak.watts == pytest.approx(sound.watts, rel=0.2)


def test_torque_goes_with_the_square_of_the_voltage() -> None:
    full, low = (torque_and_current(SOUND, volts, 1.0)[0] for volts in (230.0, 207.0))
    assert low / full == pytest.approx(0.81, rel=1e-9)


def test_a_slip_that_no_motor_has_is_refused() -> None:
    with pytest.raises(FormulaError):
        torque_and_current(SOUND, 230, 0.0)
