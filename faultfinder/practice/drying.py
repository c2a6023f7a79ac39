"""A load that dries in a stream of warmed air, minute by minute: temperatures, water, and what the heat is doing.

Theory: the air is warmed, gives up heat to the load and takes up its water; load and metal are one mass. With
m the dry air a second and N the number of transfer units between load and air,

    air after the load   t = t_hot - e (t_hot - t_load),  e = 1 - exp(-N)
    water taken up       m e wet (w_saturated(t_load) - w_in), never below 0 where the air is already damper
    the mass             C dT/dt = m cp e (t_hot - t_load) - m h_fg (w_out - w_in) - UA (t_load - t_room)

`wet` falls with the square root of the moisture once that is below WET_DOWN_TO: the surface dries first. The air
comes fresh from the room, or goes round: then it first gives up heat q to a cold block and leaves it saturated
at the enthalpy that is left. Source of the parts: heat and mass balance of moist air; moist-air functions of
trade. One step is half a minute, implicit in the mass's temperature, so that a single towel does not ring.
Known shortfall: one temperature for the whole load, no heat store in the metal of the air path.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from dataclasses import dataclass

from faultfinder.trade.air import moist_air
from faultfinder.trade.inputs import within

CP = 1.006
"""Of dry air, kJ/(kg K)."""
_COTTON, _WATER = 1.3, 4.186
WET_DOWN_TO = 0.25
"""Moisture (share of the dry mass) below which the evaporation falls off; chosen, between 0.2 and 0.3 for cotton."""
STEP = 0.5
NEAREST = 0.2
"""Share of the difference to the room that is left in air cooled by a block; chosen (a good plate exchanger)."""
COLDEST = 6.0
"""Degrees C of a cold block that does not ice up; chosen."""
_TABLE = tuple(
    (moist_air.humidity_ratio(t, 100.0), moist_air.enthalpy_kj_per_kg(t, moist_air.humidity_ratio(t, 100.0)))
    for t in range(-10, 96)
)
_FIRST = -10
_ENTHALPIES = tuple(enthalpy for _, enthalpy in _TABLE)


def saturated(celsius: float) -> float:
    """Water that saturated air holds (kg/kg), from a table of whole degrees, -10 to 95 C (ends held)."""
    place = min(max(celsius, _FIRST), _FIRST + len(_TABLE) - 1.001) - _FIRST
    low = int(place)
    return _TABLE[low][0] + (_TABLE[low + 1][0] - _TABLE[low][0]) * (place - low)


def saturated_at(enthalpy: float) -> tuple[float, float]:
    """Temperature (C) and water (kg/kg) of saturated air of that enthalpy (kJ/kg), ends of the table held."""
    place = min(max(bisect_right(_ENTHALPIES, enthalpy) - 1, 0), len(_TABLE) - 2)
    low, high = _ENTHALPIES[place], _ENTHALPIES[place + 1]
    share = min(1.0, max(0.0, (enthalpy - low) / (high - low)))
    first, second = _TABLE[place][0], _TABLE[place + 1][0]
    return _FIRST + place + share, first + (second - first) * share


@dataclass(frozen=True, slots=True)
class Setting:
    """One run. Watts, degrees C, kg, kg/s, minutes.

    heat_watts: into the air while the heat is on. air_kg_s: through the load; bypass: share that misses it.
    round_trip: 0 fresh air from the room, 1 the same air again. cooled_per_kelvin: W/K that a block gives to the
    room's air (a condenser); cold_watts: taken out by a cold block whatever the room (a heat pump), `ramp`
    minutes until it is at full strength, its heat with it. exchange: share of the air that leaks out and is
    replaced from the room. control_high, control_low: the air after the load at which the heat goes off and on
    again. limit_high, limit_low: the same for the air at the heater. transfer: N. metal: kJ/K of what is warmed
    beside the load. losses: W/K to the room. ends_at: the moisture at which it is called dry.
    """

    minutes: float
    dry_kg: float
    moisture: float
    heat_watts: float
    fan_watts: float
    air_kg_s: float
    bypass: float
    round_trip: float
    cooled_per_kelvin: float
    cold_watts: float
    ramp: float
    exchange: float
    control_high: float
    control_low: float
    limit_high: float
    limit_low: float
    transfer: float
    metal: float
    losses: float
    room_c: float
    room_percent: float
    ends_at: float


@dataclass(frozen=True, slots=True)
class Course:
    """What a run came to.

    minutes: until `ends_at` was reached, or the whole time. moisture: at the end. lost_kg, caught_kg, room_kg:
    water that left the load, ran off the block, went into the room (or outside). lost_first_hour: kg in the first
    60 minutes (a shorter run is scaled up). load_c: at the end; load_peak: the highest. heater_peak: hottest air
    at the heater; out_peak: the same after the load. on_share: share of the first 20 minutes with the heat on.
    off_per_hour: how often the control switched it off. limited_share: share of the time in which the limiter at
    the heater was at work. kwh: of heat. done: whether it got dry.
    """

    minutes: float
    moisture: float
    lost_kg: float
    caught_kg: float
    room_kg: float
    lost_first_hour: float
    load_c: float
    load_peak: float
    heater_peak: float
    out_peak: float
    on_share: float
    off_per_hour: float
    limited_share: float
    kwh: float
    done: bool


def dry(setting: Setting) -> Course:
    """Follows a run to dryness or to its time."""
    s = setting
    dry_kg = within("the load", s.dry_kg, 0.0, 50.0, "kg")
    water = dry_kg * s.moisture
    air = max(s.air_kg_s, 1e-4)
    through = air * (1.0 - s.bypass)
    e = 1.0 - math.exp(-s.transfer)
    room_w = moist_air.humidity_ratio(s.room_c, s.room_percent)
    load = peak = s.room_c
    out_t, out_w = s.room_c, room_w
    on = True
    heater_peak, out_peak = s.room_c, s.room_c
    lost = caught = to_room = kwh = first_hour = 0.0
    steps_20 = offs = 0
    steps_on = limited = 0.0
    clock = 0.0
    seconds = STEP * 60.0
    while clock < s.minutes:
        ramp = 1.0 - math.exp(-(clock + STEP) / s.ramp) if s.ramp > 0 else 1.0
        in_t, in_w, drained = _inlet(s, out_t, out_w, room_w, air, ramp if on else 0.0)
        per_kelvin = air * (CP + 1.86 * in_w) * 1000.0
        heat, duty = s.heat_watts * ramp if on else 0.0, 1.0 if on else 0.0
        limit = (s.limit_high + s.limit_low) / 2.0
        if heat > 0.0 and in_t + heat / per_kelvin > s.limit_high:
            # The limiter at the heater goes off and on faster than a step: its mean is what counts.
            duty = max(0.0, limit - in_t) * per_kelvin / heat
            heat *= min(1.0, duty)
            limited += STEP
            heater_peak = max(heater_peak, s.limit_high)
        hot = in_t + (heat + s.fan_watts) / per_kelvin
        moisture = water / dry_kg if dry_kg > 0 else 0.0
        wet = min(1.0, math.sqrt(max(0.0, moisture) / WET_DOWN_TO))
        mass = dry_kg * _COTTON + water * _WATER + s.metal

        def balance(t: float, hot: float = hot, in_w: float = in_w, wet: float = wet) -> tuple[float, float]:
            """kW into the load at its temperature, and kg/s of water leaving it."""
            taken = through * e * wet * max(0.0, saturated(t) - in_w)
            gained = through * CP * e * (hot - t) - taken * 2406.0 - s.losses / 1000.0 * (t - s.room_c)
            return gained, taken

        now, taken = balance(load)
        slope = (balance(load + 0.5)[0] - now) * 2.0
        load += seconds * now / (mass - seconds * slope)
        peak = max(peak, load)
        leaving = min(balance(load)[1] * seconds, water)
        water -= leaving
        lost += leaving
        reached = hot - e * (1.0 - s.bypass) * (hot - load)
        out_w = in_w + leaving / seconds / air
        out_t = min(reached, hot)
        out_w = min(out_w, saturated(out_t))
        caught += drained * seconds
        to_room += (s.exchange if s.round_trip > 0 else 1.0) * air * max(0.0, out_w - room_w) * seconds
        kwh += heat * STEP / 60000.0
        heater_peak, out_peak = max(heater_peak, hot), max(out_peak, out_t)
        clock += STEP
        if clock <= 60.0:
            first_hour = lost
        if clock <= 20.0:
            steps_20 += 1
            steps_on += duty
        was = on
        on = out_t < (s.control_high if on else s.control_low)
        offs += was and not on
        if s.ends_at > 0 and dry_kg > 0 and water / dry_kg <= s.ends_at:
            break
    left = water / dry_kg if dry_kg > 0 else 0.0
    return Course(
        clock,
        left,
        lost,
        caught,
        to_room,
        first_hour if clock >= 60.0 else lost * 60.0 / max(clock, STEP),
        load,
        peak,
        heater_peak,
        out_peak,
        steps_on / max(1, steps_20),
        offs * 60.0 / max(clock, STEP),
        limited / max(clock, STEP),
        kwh,
        s.ends_at > 0 and left <= s.ends_at,
    )


def _inlet(
    s: Setting, out_t: float, out_w: float, room_w: float, air: float, strength: float
) -> tuple[float, float, float]:
    """Temperature and water of the air before the heater, and kg/s of water that ran off on the way."""
    if s.round_trip <= 0:
        return s.room_c, room_w, 0.0
    mixed_t = out_t + s.exchange * (s.room_c - out_t)
    mixed_w = out_w + s.exchange * (room_w - out_w)
    cooling = s.cooled_per_kelvin * max(0.0, mixed_t - s.room_c) + s.cold_watts * strength
    enthalpy = CP * mixed_t + mixed_w * (2501 + 1.86 * mixed_t) - cooling / (air * 1000.0)
    t, w = saturated_at(enthalpy) if enthalpy >= _FIRST else (float(_FIRST), 0.0)
    if w >= mixed_w:
        # Too little cooled to reach its dew point: the air keeps its water.
        t, w = (enthalpy - 2501 * mixed_w) / (CP + 1.86 * mixed_w), mixed_w
    # No block of that size brings the air nearer to what cools it than this.
    coldest = s.room_c + NEAREST * max(0.0, mixed_t - s.room_c) if s.cold_watts <= 0 else COLDEST
    if t < coldest:
        t = min(coldest, mixed_t)
        w = min(mixed_w, saturated(t))
    return t, w, air * (mixed_w - w)
