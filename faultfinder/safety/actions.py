"""The numbered actions that a person confirms one by one, and what each answer to them does.

Each action has a text (what to do), a why, and its possible outcomes. Nothing here names an appliance. Which
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
    """One answer to an action. `says`: what the person is told after it, empty for a plain confirmation."""

    id: str
    text: str
    effect: Effect
    says: str = ""
    sign: str = ""
    """The danger sign that the outcome sets, where its effect is OUT_OF_USE."""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing to do and confirm. `outcomes` in the order they are offered, the good one first."""

    id: str
    text: str
    why: str
    outcomes: tuple[Outcome, ...]

    def outcome(self, outcome_id: str) -> Outcome | None:
        """The outcome of that id, or None."""
        return next((outcome for outcome in self.outcomes if outcome.id == outcome_id), None)


_DONE = Outcome("done", "Done", Effect.HOLD)
_NOT_SURE = Outcome(
    "not_sure", "Not sure", Effect.BEGIN_AGAIN, "Then it does not count. Start this list again."
)
_CANNOT = Outcome("cannot", "Cannot do this here", Effect.NOT_YET, "Then this way is closed for now.")
_NOT_YET = Outcome("not_yet", "Not yet", Effect.NOT_YET, "Wait, then confirm it.")
_DAMAGED = Outcome(
    "damaged",
    "Something is damaged",
    Effect.OUT_OF_USE,
    "Do not run the machine. Cut its supply; it is put right and tested first.",
    "supply_parts_damaged",
)
_WET = Outcome(
    "wet",
    "Something is wet",
    Effect.OUT_OF_USE,
    "Do not run the machine. Cut its supply and let it dry.",
    "wet_found",
)
_SCORCHED = Outcome(
    "scorched", "Scorch marks", Effect.OUT_OF_USE, "Do not run the machine. Cut its supply.", "scorching"
)
_DEAD = Outcome("dead", "Dead: no voltage", Effect.HOLD)
_VOLTAGE = Outcome(
    "voltage_found",
    "Voltage found",
    Effect.VOLTAGE,
    "Take hands and tools away. A licensed electrician must see it.",
)
_TESTER_FAILS = Outcome(
    "tester_fails",
    "The tester does not show it",
    Effect.BEGIN_AGAIN,
    "The tester proves nothing. Treat the machine as live. Get a tester that works, then start again.",
)
_BELOW_50 = Outcome("done", "Done: below 50 V", Effect.HOLD)
_NONE_THERE = Outcome("none_there", "I looked: there is none", Effect.HOLD)
_ABOVE_50 = Outcome(
    "above_50_v",
    "Still 50 V or more",
    Effect.NOT_YET,
    "Discharge it again, wait, and measure again. Hands off.",
)
_PASSED = Outcome("passed", "Within the limit", Effect.PASS)
_FAILED = Outcome(
    "failed",
    "Outside the limit",
    Effect.FAIL,
    "The machine must not be used. Find out why, with the supply cut.",
)
_SKIPPED = Outcome(
    "skipped",
    "Cannot measure it here",
    Effect.SKIP,
    "Then the machine may not be run: the job can only end with the machine left disconnected.",
)

_ALL = (
    # -- before the first switch-on -------------------------------------------------------------------
    # Visual check first, always: IET Code of Practice (user check); common practice.
    Action(
        "dangers_answered",
        "Go through the danger list: smoke, burning, gas, water, tingle, scorch marks, tripping. "
        "None of them, now or before?",
        "Each of these can hurt you before you have found anything.",
        (Outcome("done", "None of them", Effect.HOLD), _NOT_SURE),
    ),
    Action(
        "plug_flex_whole",
        "Look at plug, flex and socket: dry, whole, no marks of heat, flex held firmly at both ends.",
        "Most shocks come from what can be seen from outside.",
        (Outcome("done", "Dry and whole", Effect.HOLD), _DAMAGED, _SCORCHED, _WET, _NOT_SURE),
    ),
    Action(
        "casing_whole",
        "Look at the casing all round: dry, whole, covers on, no bare wire, no water under it.",
        "With the covers on and whole nothing live can be touched.",
        (Outcome("done", "Dry and whole", Effect.HOLD), _DAMAGED, _SCORCHED, _WET, _NOT_SURE),
    ),
    # Common practice, no source.
    Action(
        "notices_looked_up",
        "Look up the maker's safety notices for this model. None applies, or it has been dealt with?",
        "Some models are recalled because they burn.",
        (
            Outcome("done", "None applies", Effect.HOLD),
            Outcome(
                "applies",
                "A notice applies",
                Effect.NOT_YET,
                "Do what the notice says first. Until then the machine stays disconnected.",
            ),
            Outcome(
                "cannot", "Cannot look it up here", Effect.NOT_YET, "Until it is looked up, do not switch on."
            ),
        ),
    ),
    Action(
        "supply_on",
        "Hands and hair clear, nobody touching the machine. Now connect and switch on.",
        "From now on the machine can move, heat and bite.",
        (_DONE, _CANNOT),
    ),
    # -- cutting the supply ---------------------------------------------------------------------------
    # EAWR reg. 13; EN 50110-1 rules 1 and 2; 29 CFR 1910.147(d)(2)-(4). A switch, a door or a timer on the
    # machine is no isolation: 29 CFR 1910.333(b)(2)(ii).
    Action(
        "switched_off",
        "Switch the machine off and wait until everything stands still.",
        "Unplugging under load burns the pins.",
        (_DONE, _NOT_SURE, _CANNOT),
    ),
    Action(
        "plug_out",
        "Pull the plug out of the socket. A door, a timer or a switch on the machine does not count.",
        "Only a plug out of its socket parts both wires from the supply.",
        (_DONE, _NOT_SURE, _CANNOT),
    ),
    Action(
        "plug_in_sight",
        "Lay the plug where you see it all the time and nobody can push it in.",
        "Somebody helpful plugs it in again: that is how it happens.",
        (_DONE, _NOT_SURE, _CANNOT),
    ),
    Action(
        "isolator_locked",
        "Switch off the isolator that feeds this machine, and lock it off. It is the right one?",
        "An isolator that can be switched on behind your back is no isolation.",
        (_DONE, _NOT_SURE, _CANNOT),
    ),
    Action(
        "key_kept",
        "Keep the key in your pocket and hang a notice: do not switch on.",
        "Whoever has the key decides when it is live.",
        (_DONE, _NOT_SURE, _CANNOT),
    ),
    # The short way back after a pause; common practice, no source.
    Action(
        "still_isolated",
        "Look: the plug is still out and was in sight, or the lock is still on and you have the key.",
        "While you were away anybody may have connected it.",
        (_DONE, _NOT_SURE),
    ),
    Action(
        "nobody_else",
        "Ask: nobody else has been at the machine?",
        "What another did, you do not know.",
        (_DONE, _NOT_SURE),
    ),
    # -- covers off -----------------------------------------------------------------------------------
    # GS38 paras 9, 20 and 22: tips, barriers, fused leads, proving unit. A voltage stick or a multimeter is
    # not for proving dead (GS38 practice).
    Action(
        "tester_here",
        "Have here: a two-pole voltage tester and a known source or proving unit to check it on. "
        "A voltage stick or multimeter will not do.",
        "Without it you can open the machine but not prove it dead.",
        (
            Outcome("done", "They are here", Effect.HOLD),
            Outcome(
                "cannot",
                "Not here",
                Effect.NOT_YET,
                "Then no screw is turned. Come back with it, or hand over.",
            ),
        ),
    ),
    # IET Code of Practice: earth continuity and insulation resistance need their own instruments.
    Action(
        "return_testers_here",
        "Have here: an earth continuity tester and a 500 V insulation tester? "
        "A multimeter's ohms range is neither.",
        "What is opened must pass both before it runs again.",
        (
            Outcome("done", "They are here", Effect.HOLD),
            Outcome(
                "not_here",
                "Not here, open it all the same",
                Effect.HOLD,
                "Then the job can only end with the machine left disconnected.",
            ),
            _CANNOT,
        ),
    ),
    Action(
        "covers_off",
        "Take the covers off. Touch nothing inside yet.",
        "Until it is proved dead it counts as live.",
        (_DONE, _CANNOT),
    ),
    # -- proved dead: EAWR reg. 13/14, GS38, EN 50110-1 rule 3; tester checked before and after ---------
    Action(
        "tester_proved",
        "Check the tester on the known source: it shows the voltage.",
        "A dead tester calls everything dead.",
        (_DONE, _TESTER_FAILS, _NOT_SURE),
    ),
    Action(
        "dead_line_neutral",
        "Test at the supply terminals: line to neutral.",
        "One pair alone can miss a live wire.",
        (_DEAD, _VOLTAGE, _NOT_SURE),
    ),
    Action(
        "dead_line_earth",
        "Test at the supply terminals: line to earth, or to bare metal where there is no earth.",
        "It shows a live line where the neutral is broken.",
        (_DEAD, _VOLTAGE, _NOT_SURE),
    ),
    Action(
        "dead_neutral_earth",
        "Test at the supply terminals: neutral to earth, or to bare metal where there is no earth.",
        "Line and neutral can be crossed in the socket.",
        (_DEAD, _VOLTAGE, _NOT_SURE),
    ),
    Action(
        "tester_proved_again",
        "Check the tester on the known source again: it still shows the voltage.",
        "It may have died in your hand.",
        (_DONE, _TESTER_FAILS, _NOT_SURE),
    ),
    # 29 CFR 1910.333(b)(2)(ii): stored energy released; below 50 V: 1910.333(a)(1).
    Action(
        "capacitors_discharged",
        "Discharge every capacitor through a resistor made for it, never with a screwdriver. "
        "Then measure each: below 50 V.",
        "A capacitor bites long after the plug is out.",
        (_BELOW_50, _NONE_THERE, _ABOVE_50, _NOT_SURE),
    ),
    Action(
        "board_waited",
        "A board that drives a motor or compressor: wait the maker's time, "
        "then measure its big capacitor: below 50 V.",
        "It holds over 300 V for minutes.",
        (_BELOW_50, _NONE_THERE, _ABOVE_50, _NOT_SURE),
    ),
    # Common practice, no source.
    Action(
        "parts_cooled",
        "Hot parts have cooled: you can hold your hand near them.",
        "Heaters stay hot enough to burn for a long time.",
        (_DONE, _NOT_YET, _NOT_SURE),
    ),
    Action(
        "parts_at_rest",
        "Everything that turns is at rest and cannot start or drop.",
        "Belts and springs pinch.",
        (_DONE, _NOT_YET, _NOT_SURE),
    ),
    # -- back again -----------------------------------------------------------------------------------
    Action(
        "inside_clear",
        "Every lead is back in its place, none pinched or near heat; no tool, screw or rag left inside.",
        "A trapped lead is the next fault.",
        (_DONE, _NOT_YET),
    ),
    Action(
        "covers_on",
        "All covers back on, every screw in.",
        "The covers keep people off live parts.",
        (_DONE, _CANNOT),
    ),
    Action(
        "covers_on_unproved",
        "Put the covers back without reaching inside. Every screw in.",
        "It is not proved dead: treat it as live.",
        (_DONE, _CANNOT),
    ),
    # IET Code of Practice: earth continuity and insulation resistance at 500 V d.c.; the terminals as well,
    # since a test at the plug does not reach an element behind an open relay (common practice).
    Action(
        "earth_inside",
        "Covers off: measure earth from the earth pin or terminal to heater, motor and casing.",
        "Each metal part needs its own way to earth.",
        (_PASSED, _FAILED, _SKIPPED),
    ),
    Action(
        "insulation_inside",
        "Covers off: measure insulation to earth at the heater and motor terminals, 500 V.",
        "From the plug an open relay hides the heater.",
        (_PASSED, _FAILED, _SKIPPED),
    ),
    Action(
        "earth_at_plug",
        "Covers on: measure earth from the plug's earth pin, or the supply end, to the casing.",
        "The casing must not become live.",
        (_PASSED, _FAILED, _SKIPPED),
    ),
    Action(
        "insulation_at_plug",
        "Covers on, machine switched on but not connected: measure insulation at the plug or supply end, "
        "line and neutral together to earth, 500 V.",
        "It proves the whole machine at once.",
        (_PASSED, _FAILED, _SKIPPED),
    ),
    # -- after a stop ---------------------------------------------------------------------------------
    Action(
        "supply_cut_from_afar",
        "Only from where you are safe: is the supply cut, at the main switch or by the plug?",
        "It is worth knowing, not worth a risk.",
        (
            Outcome("done", "It is cut", Effect.HOLD),
            Outcome("cannot", "No, or not safely", Effect.HOLD, "Leave it. Tell whoever comes to help."),
        ),
    ),
    Action(
        "covers_back_or_guarded",
        "Covers back without reaching in; if that is not safe, "
        "keep everybody away until the electrician is there.",
        "Nobody may touch what is live.",
        (
            Outcome("done", "Covers are back", Effect.HOLD),
            Outcome(
                "cannot", "Not safe: kept guarded", Effect.HOLD, "Stay until the electrician takes over."
            ),
        ),
    ),
)

ACTIONS: Mapping[str, Action] = MappingProxyType({action.id: action for action in _ALL})

TESTS_INSIDE = ("earth_inside", "insulation_inside")
TESTS_AT_PLUG = ("earth_at_plug", "insulation_at_plug")
RETURN_TESTS = TESTS_INSIDE + TESTS_AT_PLUG

OPENING_NOTICE = (
    "Before you start. Local rules and the maker's instructions come first. "
    "Gas, refrigerant circuits and fixed wiring are for licensed people. "
    "Work only on what you are trained for: 'not competent' is a good answer at any step. "
    "This tool guides; it sees nothing and proves nothing."
)

CAUTIONS: Mapping[str, str] = MappingProxyType(
    {
        # GS38 para 9: tips at most 4 mm bare, better 2 mm; finger barriers; leads fused, usually 500 mA;
        # CAT II for appliances, CAT III for the building's wiring.
        "instruments": "Meter and leads fit for mains: CAT II or better, fused, finger guards, "
        "at most 4 mm of bare tip (2 mm is better), no cracks.",
        # Common practice, no source, from here on.
        "not_alone": "Not alone in the house with the covers off: somebody must be able to call for help.",
        "ventilation": "Air the room: open a window before dust or fumes are stirred up.",
        "edges": "Gloves: the edges of sheet metal cut.",
        "weight": "Panels, drums and machines are heavy: two people, or put it down.",
        "no_live_work": "Never open and live. A current or a supply voltage is read with the covers on, "
        "through a plug-in meter or a made-up lead, never with probes in a socket.",
        "no_bridging": "Never bridge or leave out a protective device, not even for a test.",
    }
)
FLAMMABLE_CAUTION = (
    "Flammable refrigerant: no flame, no spark, no heat gun; air the room well. "
    "The sealed circuit is for licensed people only."
)
CAUTIONS_AT: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "tester_here": ("instruments", "not_alone"),
        "covers_off": ("ventilation", "edges", "weight"),
    }
)
"""Action -> the cautions that are shown with it: before anybody can come to harm by what follows."""
