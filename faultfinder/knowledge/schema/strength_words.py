"""Numbers behind the words of a rule file: one table each, with their source.

The words of strength follow the means that people give for such words in the survey literature
(F. Mosteller and C. Youtz, "Quantifying Probabilistic Expressions", Statistical Science 5(1), 1990;
values from memory, rounded; unverified). `always` is 0.98 and `never` 0.01, so that one wrong answer never
removes a true cause for good: 0 and 1 may only be written as numbers, and the checker warns of them.
`how_common` and part costs are chosen by us as an even ladder of about a factor two to three.
"""

from __future__ import annotations

from types import MappingProxyType

from faultfinder.knowledge.model import Kind

STRENGTH = MappingProxyType(
    {"always": 0.98, "usually": 0.80, "often": 0.60, "sometimes": 0.30, "rarely": 0.07, "never": 0.01}
)
HOW_COMMON = MappingProxyType(
    {
        "very_common": 0.12,
        "common": 0.05,
        "occasional": 0.02,
        "uncommon": 0.008,
        "rare": 0.003,
        "very_rare": 0.001,
    }
)
PART_COSTS = MappingProxyType(
    {"nothing": 0.0, "cheap": 10.0, "moderate": 40.0, "dear": 100.0, "very_dear": 250.0}
)
"""Price of the parts in minutes of labour."""

TAKES = MappingProxyType(
    {
        "part": (0.98, "a part is replaced"),
        "work": (0.95, "cleaning, setting or mending without a part"),
        "others": (0.90, "what others must do: the customer (anywhere) or a licensed person (hand_to)"),
    }
)
"""Kind of remedy -> chance that it works, where a rule does not say; chosen by us. Below 1, so that a proof that
reads wrong is first heard as a remedy that did not take."""

RELIABILITY = MappingProxyType(
    {Kind.TOLD: 0.90, Kind.SOUND: 0.90, Kind.SMELL: 0.90, Kind.LOOK: 0.95, Kind.READING: 0.99}
)
"""Chance that an answer of this kind is the true one; chosen by us."""
COMPLAINT_RELIABILITY = 0.998
"""The same for what somebody was called out over: nobody pays for a visit over what is not so; chosen by us."""
COMPLAINT_UNEXPLAINED = 0.3
"""Share of a symptom's background that is left where it is complained of unasked: of those who say yes to it when
asked though none of the known causes is there, so many would have called over it; chosen by us."""

PROGRAM_FACTS = MappingProxyType(
    {
        "connection": "how it can be isolated",
        "protection": "whether it is earthed",
        "refrigerant": "what is in a sealed circuit",
        "flex_metres": "how much the earth path may measure",
        "uses_a_week": "what a fault costs a year, and when to look again",
        "price_a_kwh": "what a fault costs a year",
    }
)
"""Facts that the program reads by itself where a pack asks for them -> what for."""

SAFETY_CHOICES = MappingProxyType(
    {
        "connection": ("plug", "isolator", "fixed"),
        "protection": ("class_i", "class_ii"),
        "refrigerant": ("flammable", "not_flammable"),
    }
)
"""Facts that the safety rules rest on -> the choices they know (what follows from them is in safety/)."""

RETURN_TESTS = MappingProxyType(
    {
        "earth_inside": "earth at heater, motor and casing, covers off",
        "insulation_inside": "insulation at the heater and motor terminals, covers off",
        "earth_at_plug": "earth from the plug or supply end to the casing, covers on",
        "insulation_at_plug": "insulation of the whole machine at the plug or supply end, covers on",
    }
)
"""The tests before a machine runs again, as a rule may name them."""
DANGER_SIGNS = MappingProxyType(
    {
        "smoke_or_flame": "smoke or flame: leave now",
        "burning_smell_now": "burning smell now: leave now",
        "gas_smell": "gas smell: leave now",
        "water_on_live_parts": "water on live parts: leave now",
        "refrigerant_signs": "hiss or oily patch on a flammable-refrigerant machine: leave now",
        "tingle": "tingle from the casing: no more in use",
        "scorching": "scorching: no more in use",
        "repeated_tripping": "trips the supply again and again: no more in use",
        "wet_found": "wet found: no more in use",
        "burning_smell_earlier": "burning smell earlier: no more in use",
        "supply_parts_damaged": "damaged plug, flex, socket or casing: no more in use",
        "earth_or_insulation_bad": "earth or insulation read outside its limit: no more in use",
    }
)
"""Danger signs that an answer may report, and what each leads to (what follows is in safety/)."""
