"""A single-phase motor with two windings and a capacitor: whether it starts, how fast it runs, how many watts.

Theory: two windings at right angles fed from one phase make a forward and a backward field (double revolving
field, unsymmetrical two-phase machine; e.g. Fitzgerald, Kingsley and Umans, Electric Machinery, chapter on
single-phase motors; equations from memory). With the rotor seen by each field as an impedance Zf, Zb,

    V = (R + jX + Zf + Zb) Im - j a (Zf - Zb) Ia
    V = (Ra + j a²X - j Xc + a² (Zf + Zb)) Ia + j a (Zf - Zb) Im
    torque = (|Im|² + a² |Ia|²)(Rf - Rb) + 2 a |Ia| |Im| (Rf + Rb) sin(phase of Ia - phase of Im)

a: turns of the second winding by turns of the main one. Torques are given as synchronous watts (torque times
synchronous speed), speeds as a share of synchronous speed, so that nothing depends on poles or hertz but Xc.
Known shortfall: iron loss is a constant, saturation and skin effect are left out.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from faultfinder.trade.inputs import within

_SLIPS = tuple(0.004 * 1.12**n for n in range(49)) + (1.0,)
"""Where the torque is tried: finer near synchronous speed; chosen."""
RATED_VOLTS = 230.0
"""At which the iron loss is meant; it goes with the square of the voltage."""


@dataclass(frozen=True, slots=True)
class Windings:
    """Resistances and reactances in ohm at the mains frequency; an open winding is 1e9. See the file's theory."""

    main_ohms: float
    start_ohms: float
    turns_ratio: float
    leakage_ohms: float
    magnetising_ohms: float
    rotor_ohms: float
    capacitor_uf: float
    hertz: float = 50.0


@dataclass(frozen=True, slots=True)
class Running:
    """How it runs: speed 0..1 (0: it stands), watts and amperes from the mains, watts that stay in it as heat."""

    starts: bool
    speed: float
    watts: float
    amps: float
    loss_watts: float


def torque_and_current(windings: Windings, volts: float, slip: float) -> tuple[float, complex, complex]:
    """Torque (synchronous watts) and the two winding currents (A, phase against the mains) at a slip (0..1]."""
    within("the slip", slip, 0.0, 1.0, above=True)
    w = windings
    leak = 1j * w.leakage_ohms
    magnetising = 1j * w.magnetising_ohms

    def field(share: float) -> complex:
        rotor = w.rotor_ohms / share + leak
        return 0.5 * magnetising * rotor / (magnetising + rotor)

    forward, backward = field(slip), field(2.0 - slip)
    both, between = forward + backward, forward - backward
    a = w.turns_ratio
    capacitor = -1j / (2 * math.pi * w.hertz * max(w.capacitor_uf, 1e-3) * 1e-6)
    main = w.main_ohms + leak + both
    second = w.start_ohms + a * a * (leak + both) + capacitor
    across = 1j * a * between
    whole = main * second + across * across
    current = volts * (second + across) / whole
    other = volts * (main - across) / whole
    torque = (abs(current) ** 2 + (a * abs(other)) ** 2) * between.real + 2 * a * abs(current) * abs(
        other
    ) * both.real * math.sin(cmath.phase(other) - cmath.phase(current))
    return torque, current, other


def running(
    windings: Windings,
    volts: float,
    iron_watts: float,
    steady_watts: float,
    fan_watts: float,
    standing_watts: float,
) -> Running:
    """How the motor settles against a load, all in synchronous watts.

    steady_watts: drag that does not change with speed; fan_watts: drag at full speed of what moves air, falling
    with the square of the speed; standing_watts: what must be overcome to break away from rest.
    """
    volts = within("the voltage", volts, 0.0, 500.0, "V")

    def drag(slip: float) -> float:
        return steady_watts + fan_watts * (1.0 - slip) ** 2

    def state(slip: float, speed: float, starts: bool) -> Running:
        torque, current, other = torque_and_current(windings, volts, slip)
        iron = iron_watts * (volts / RATED_VOLTS) ** 2
        total = current + other + (iron / volts if volts else 0.0)
        watts = volts * total.real
        useful = max(0.0, torque) * speed
        return Running(starts, speed, watts, abs(total), watts - useful)

    at_rest = torque_and_current(windings, volts, 1.0)[0]
    if at_rest <= max(standing_watts, drag(1.0)):
        return state(1.0, 0.0, False)
    spare = [torque_and_current(windings, volts, slip)[0] - drag(slip) for slip in _SLIPS]
    # From rest the motor runs up to the first slip, coming from 1, below which the drag wins.
    for n in range(len(_SLIPS) - 1, 0, -1):
        if spare[n - 1] < 0 <= spare[n]:
            low, high = _SLIPS[n - 1], _SLIPS[n]
            for _ in range(30):
                middle = (low + high) / 2
                if torque_and_current(windings, volts, middle)[0] < drag(middle):
                    low = middle
                else:
                    high = middle
            return state(high, 1.0 - high, True)
    return state(_SLIPS[0], 1.0 - _SLIPS[0], True)
