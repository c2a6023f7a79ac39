"""Air through a machine: what a fan moves through a path, how much of it leaves by the far end, how much leaks.

Theory: every loss goes with the square of the flow (turbulent), and the fan is taken as
p = blocked (1 - (q / free)²), as in trade.duct, both falling with its speed (affinity laws). So the flow has a
closed form. An opening is a sharp-edged orifice: contraction 0.62, the velocity lost behind it. Known shortfall:
laminar flow through a felted mesh, and the heat of the air, are left out.

Flows in m³/h, pressures in Pa, areas in cm², loss coefficients K against the velocity in the run's diameter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from faultfinder.trade.air.airflow import AIR_DENSITY
from faultfinder.trade.air.duct import Duct, duct_pressure
from faultfinder.trade.inputs import within

CONTRACTION = 0.62
"""Of a jet through a sharp-edged hole: the usual textbook value."""
_REFERENCE = 120.0
"""Flow (m³/h) at which the friction of the run is taken; it hardly changes with the flow."""


def open_k(open_fraction: float) -> float:
    """Loss coefficient of a way that is narrowed to a fraction of its area: (1 / (0.62 f) - 1)², 0 when free.

    Between f = 1 and the sharp orifice the two meet smoothly: Borda-Carnot with a contraction that goes to 1.
    """
    fraction = min(1.0, max(0.004, open_fraction))
    contraction = CONTRACTION + (1.0 - CONTRACTION) * fraction**3
    return (1.0 / (contraction * fraction) - 1.0) ** 2


@dataclass(frozen=True, slots=True)
class Flow:
    """m³/h: through the machine, out of the far end, and into the room on the way."""

    through: float
    out: float
    leaked: float


def flow(
    blocked_pascal: float,
    free_m3h: float,
    fan_speed: float,
    inner_k: float,
    metres: float,
    millimetres: float,
    roughness_mm: float,
    outer_k: float,
    leak_cm2: float,
    room_cm2: float,
    room_suction: float,
) -> Flow:
    """How much air a fan moves.

    fan_speed: share of its full speed and health. inner_k, outer_k: losses before and behind the place where a
    leak of leak_cm2 blows into the room. room_cm2: free area through which the room gets its air; room_suction:
    pressure (Pa) by which something else pulls at the room.
    """
    speed = within("the fan's speed", fan_speed, 0.0, 2.0)
    if speed < 0.01:
        return Flow(0.0, 0.0, 0.0)
    area = math.pi * (millimetres / 1000) ** 2 / 4
    per_k = AIR_DENSITY / 2 / (3600 * area) ** 2
    run = Duct(metres, millimetres, roughness_mm, 0.0)
    outer = duct_pressure(run, _REFERENCE) / _REFERENCE**2 + outer_k * per_k
    jet = CONTRACTION * max(0.0, leak_cm2) * 1e-4 * 3600 * math.sqrt(2 / AIR_DENSITY)
    share_out = 1.0 / (1.0 + jet * math.sqrt(outer))
    room = AIR_DENSITY / 2 / (3600 * CONTRACTION * max(room_cm2, 1.0) * 1e-4) ** 2
    losses = blocked_pascal / free_m3h**2 + inner_k * per_k + outer * share_out**2 + room
    spare = blocked_pascal * speed**2 - max(0.0, room_suction)
    through = math.sqrt(max(0.0, spare) / losses)
    return Flow(through, through * share_out, through * (1.0 - share_out))
