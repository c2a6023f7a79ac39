"""The numbered actions that a person confirms one by one, and what each answer to them does.

Each action has a text (what to do), a why, and its possible outcomes; the words stand in text/<language>/safety.py.
Nothing there or here names an appliance. Which
actions make up which way from one access state to another stands in tables.py. The published guidance that an
action follows is named in the comment above it; "common practice, no source" where there is none.

GS38: HSE Guidance Note GS38, 4th edition (2015). EAWR: Electricity at Work Regulations 1989, regulations 13
and 14. EN 50110-1: the five safety rules. 29 CFR 1910.147 and 1910.333: lock-out and electrical work
practice. IET Code of Practice: in-service inspection and testing of electrical equipment.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from faultfinder.text.catalogue import has, say


class Effect(StrEnum):
    """What an outcome does to the gate; the doing stands in gate.py."""

    HOLD = "hold"
    """Confirmed: the next action may follow."""
    NOT_YET = "not_yet"
    """Not confirmed; what was confirmed before stays."""
    BEGIN_AGAIN = "begin_again"
    """Not confirmed, and what was confirmed on this way no longer counts."""
    OUT_OF_USE = "out_of_use"
    """A finding: the machine must not run until earth and insulation pass."""
    VOLTAGE = "voltage"
    """Voltage where there must be none: the stop text."""
    PASS = "pass"
    FAIL = "fail"
    SKIP = "skip"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One answer to an action. `key`: which sentences it has, where they are not those of its id everywhere."""

    id: str
    effect: Effect
    key: str = ""
    sign: str = ""
    """The danger sign that the outcome sets, where its effect is OUT_OF_USE."""

    @property
    def text(self) -> str:
        """The answer in words."""
        return say(f"outcome_{self.key or self.id}")

    @property
    def says(self) -> str:
        """What the person is told after it; empty for a plain confirmation."""
        key = f"outcome_{self.key or self.id}_then"
        return say(key) if has(key) else ""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do and confirm. `outcomes` in the order they are offered, the good one first."""

    id: str
    outcomes: tuple[Outcome, ...]

    @property
    def text(self) -> str:
        """What to do."""
        return say(f"action_{self.id}")

    @property
    def why(self) -> str:
        """Why it is done."""
        return say(f"action_{self.id}_why")

    def outcome(self, outcome_id: str) -> Outcome | None:
        """The outcome of that id, or None."""
        return next((outcome for outcome in self.outcomes if outcome.id == outcome_id), None)


_DONE = Outcome("done", Effect.HOLD)
_NOT_SURE = Outcome("not_sure", Effect.BEGIN_AGAIN)
_CANNOT = Outcome("cannot", Effect.NOT_YET)
_NOT_YET = Outcome("not_yet", Effect.NOT_YET)
_DEAD = Outcome("dead", Effect.HOLD)
_VOLTAGE = Outcome("voltage_found", Effect.VOLTAGE, "voltage")
_TESTER_FAILS = Outcome("tester_fails", Effect.BEGIN_AGAIN)

_DAMAGE = (
    Outcome("damaged", Effect.OUT_OF_USE, sign="supply_parts_damaged"),
    Outcome("scorched", Effect.OUT_OF_USE, sign="scorching"),
    Outcome("wet", Effect.OUT_OF_USE, sign="wet_found"),
)
_CUT = (_DONE, _NOT_SURE, _CANNOT)
_PROVED = (_DONE, _TESTER_FAILS, _NOT_SURE)
_MEASURED_DEAD = (_DEAD, _VOLTAGE, _NOT_SURE)
_DISCHARGED = (
    Outcome("done", Effect.HOLD, "below_50"),
    Outcome("none_there", Effect.HOLD),
    Outcome("above_50_v", Effect.NOT_YET, "above_50"),
    _NOT_SURE,
)
_WAITED = (_DONE, _NOT_YET, _NOT_SURE)
_TESTED = (Outcome("passed", Effect.PASS), Outcome("failed", Effect.FAIL), Outcome("skipped", Effect.SKIP))

_OUTCOMES: Mapping[str, tuple[Outcome, ...]] = {
    # -- before the first switch-on: visual check first, always: IET Code of Practice (user check); common practice
    "dangers_answered": (Outcome("done", Effect.HOLD, "dangers_answered_done"), _NOT_SURE),
    "plug_flex_whole": (Outcome("done", Effect.HOLD, "plug_flex_whole_done"), *_DAMAGE, _NOT_SURE),
    "casing_whole": (Outcome("done", Effect.HOLD, "casing_whole_done"), *_DAMAGE, _NOT_SURE),
    # Common practice, no source.
    "notices_looked_up": (
        Outcome("done", Effect.HOLD, "notices_looked_up_done"),
        Outcome("applies", Effect.NOT_YET, "notices_looked_up_applies"),
        Outcome("cannot", Effect.NOT_YET, "notices_looked_up_cannot"),
    ),
    "supply_on": (_DONE, _CANNOT),
    # -- cutting the supply: EAWR reg. 13; EN 50110-1 rules 1 and 2; 29 CFR 1910.147(d)(2)-(4). A switch, a door or
    # a timer on the machine is no isolation: 29 CFR 1910.333(b)(2)(ii).
    "switched_off": _CUT,
    "plug_out": _CUT,
    "plug_in_sight": _CUT,
    "isolator_locked": _CUT,
    "key_kept": _CUT,
    # The short way back after a pause; common practice, no source.
    "still_isolated": (_DONE, _NOT_SURE),
    "nobody_else": (_DONE, _NOT_SURE),
    # -- covers off: GS38 paras 9, 20 and 22: tips, barriers, fused leads, proving unit. A voltage stick or a
    # multimeter is not for proving dead (GS38 practice).
    "tester_here": (
        Outcome("done", Effect.HOLD, "tester_here_done"),
        Outcome("cannot", Effect.NOT_YET, "tester_here_cannot"),
    ),
    # IET Code of Practice: earth continuity and insulation resistance need their own instruments.
    "return_testers_here": (
        Outcome("done", Effect.HOLD, "return_testers_here_done"),
        Outcome("not_here", Effect.HOLD, "return_testers_here_not_here"),
        _CANNOT,
    ),
    "covers_off": (_DONE, _CANNOT),
    # -- proved dead: EAWR reg. 13/14, GS38, EN 50110-1 rule 3; tester checked before and after
    "tester_proved": _PROVED,
    "dead_line_neutral": _MEASURED_DEAD,
    "dead_line_earth": _MEASURED_DEAD,
    "dead_neutral_earth": _MEASURED_DEAD,
    "tester_proved_again": _PROVED,
    # 29 CFR 1910.333(b)(2)(ii): stored energy released; below 50 V: 1910.333(a)(1).
    "capacitors_discharged": _DISCHARGED,
    "board_waited": _DISCHARGED,
    # Common practice, no source.
    "parts_cooled": _WAITED,
    "parts_at_rest": _WAITED,
    # -- back again
    "inside_clear": (_DONE, _NOT_YET),
    "covers_on": (_DONE, _CANNOT),
    "covers_on_unproved": (_DONE, _CANNOT),
    # IET Code of Practice: earth continuity and insulation resistance at 500 V d.c.; the terminals as well,
    # since a test at the plug does not reach an element behind an open relay (common practice).
    "earth_inside": _TESTED,
    "insulation_inside": _TESTED,
    "earth_at_plug": _TESTED,
    "insulation_at_plug": _TESTED,
    # -- after a stop
    "supply_cut_from_afar": (
        Outcome("done", Effect.HOLD, "supply_cut_from_afar_done"),
        Outcome("cannot", Effect.HOLD, "supply_cut_from_afar_cannot"),
    ),
    "covers_back_or_guarded": (
        Outcome("done", Effect.HOLD, "covers_back_or_guarded_done"),
        Outcome("cannot", Effect.HOLD, "covers_back_or_guarded_cannot"),
    ),
}
ACTIONS: Mapping[str, Action] = MappingProxyType(
    {id: Action(id, outcomes) for id, outcomes in _OUTCOMES.items()}
)

TESTS_INSIDE = ("earth_inside", "insulation_inside")
TESTS_AT_PLUG = ("earth_at_plug", "insulation_at_plug")
RETURN_TESTS = TESTS_INSIDE + TESTS_AT_PLUG

CAUTIONS = (
    # GS38 para 9: tips at most 4 mm bare, better 2 mm; finger barriers; leads fused, usually 500 mA;
    # CAT II for appliances, CAT III for the building's wiring.
    "instruments",
    # Common practice, no source, from here on.
    "not_alone",
    "ventilation",
    "edges",
    "weight",
    "no_live_work",
    "no_bridging",
)
"""What there is to take care of; see `caution_text`. Beside a flammable refrigerant 'flammable' is told too."""
CAUTIONS_AT: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "tester_here": ("instruments", "not_alone"),
        "covers_off": ("ventilation", "edges", "weight"),
    }
)
"""Action -> the cautions that are shown with it: before anybody can come to harm by what follows."""


def caution_text(caution: str) -> str:
    """A caution in words, by its name in CAUTIONS, or 'flammable'."""
    return say(f"caution_{caution}")
