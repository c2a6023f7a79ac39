"""A question that names another quantity or unit than its reading has."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection
from faultfinder.trade.readings.reading import QUANTITIES


def check(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        spec = observation.reading
        if spec is None or not spec.quantity:
            continue
        words = re.findall(r"[a-z]+", observation.ask.casefold())
        named = [QUANTITY_WORDS[word] for word in words if word in QUANTITY_WORDS]
        if named and not any(spec.quantity in quantities for quantities in named):
            word = next(each for each in words if each in QUANTITY_WORDS)
            message = f"{observation.id}: the question speaks of {word}, and quantity is {spec.quantity}"
            yield Objection(
                view.mark(observation.id, "quantity"), message, f"{named[0][0]}, or another question"
            )
            continue
        units = [(word, UNIT_WORDS[word]) for word in words if word in UNIT_WORDS]
        fitting = (
            [each for each in units if each[1] in QUANTITIES[spec.quantity].units]
            if spec.quantity in QUANTITIES
            else []
        )
        own = QUANTITIES[spec.quantity].units.get(spec.unit) if spec.quantity in QUANTITIES else None
        if (
            fitting
            and own is not None
            and all(QUANTITIES[spec.quantity].units[u].factor != own.factor for _, u in fitting)
        ):
            message = f"{observation.id}: the question asks for {fitting[0][0]}, and the unit is {spec.unit}"
            hint = f"write unit: {fitting[0][1]}, with limits in it; or ask in {spec.unit}"
            yield Objection(view.mark(observation.id, "unit"), message, hint)


QUANTITY_WORDS = {
    "resistance": ("resistance",),
    "ohms": ("resistance",),
    "insulation": ("resistance",),
    "voltage": ("voltage",),
    "volts": ("voltage",),
    "current": ("current", "ratio"),
    "amps": ("current",),
    "watts": ("power",),
    "power": ("power", "ratio"),
    "capacitance": ("capacitance",),
    "microfarads": ("capacitance",),
    "temperature": ("temperature", "temperature_difference"),
    "humidity": ("humidity", "ratio"),
    "weight": ("mass", "ratio"),
}
UNIT_WORDS = {
    "seconds": "s",
    "minutes": "min",
    "hours": "h",
    "milliamps": "mA",
    "kilowatts": "kW",
    "watts": "W",
} | {
    "megohms": "Mohm",
    "kilohms": "kohm",
    "ohms": "ohm",
    "litres": "l",
    "grams": "g",
    "millimetres": "mm",
    "centimetres": "cm",
    "metres": "m",
    "volts": "V",
    "amps": "A",
    "millivolts": "mV",
    "microfarads": "uF",
}
