"""What texts tell people to do: bridging, probing, opening, running open machines, licensed work."""

from __future__ import annotations

import pytest

from faultfinder.knowledge.instructions.unsafe_text import (
    bridging,
    licensed_work,
    open_and_running,
    opening,
    probing,
    probing_inside,
    sentences,
    stays_outside,
)

BRIDGES = """
Bridge the thermostat and try again.
1. Switch off. 2. Link out the thermal cut-out for the test.
Fit a jumper wire across the cut-out.
With the cut-out bridged, run it for a minute.
Bypass the door switch.
To test, short the thermostat terminals.
Check by bridging the thermal fuse.
Do not wait, bridge the fuse.
Tape the door switch down.
The fuse can be bypassed for the test.
Put foil in place of the fuse.
Never mind, then bridge the cut-out.
Defeat the interlock.
Link the two wires of the thermostat together.
Put a link between the two tags of the cut-out.
Disable the overload protector for a moment.
Jump out the high-limit thermostat.
Temporarily loop the cut-out wires together.
Wedge the door lock shut with a screwdriver.
You may short-circuit the thermal link to see whether it heats.
Once the limiter is bypassed, switch on.
When bridged, the thermostat lets the heater run.
""".strip().split("\n")

FINE = """
Never bridge a cut-out, not even as a test.
Was the thermostat found bridged?
Look for a cut-out that has been bridged.
Bridge both strips with a wet finger.
Do not bypass the fuse.
The fuse must not be bridged.
Fit the right fuse; no link, foil or wire in its place.
Put the probes across the cut-out.
A short lead runs from the thermostat to the board.
Never open, bridge or bypass the door switch.
A bridged thermostat is put right, never left.
Someone may have bridged the cut-out: look for a link.
Measure the earth path between earth pin and casing.
Replace the thermal cut-out and the thermostat together.
The bridge rectifier sits beside the fuse.
Link to the maker's diagram: see the thermostat page.
A bypass in the fluff filter lets air past the thermostat.
Push the door switch by hand and listen for its click.
Without bridging anything, measure across the cut-out.
""".strip().split("\n")


@pytest.mark.parametrize("text", BRIDGES)
def test_an_order_to_get_round_a_protective_device_is_found(text: str) -> None:
    assert bridging(text) is not None


@pytest.mark.parametrize("text", FINE)
def test_a_warning_or_a_finding_about_bridging_is_left_alone(text: str) -> None:
    assert bridging(text) is None


def test_it_and_terminals_mean_the_device_that_the_item_is_about() -> None:
    assert bridging("Bridge its terminals and see whether it heats.", "thermal cut-out open") is not None
    assert bridging("Bridge its terminals and see whether it counts.", "moisture strips") is None


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Put the probes on the heater terminals.", True),
        ("Hold one test lead to each tag.", True),
        ("Touch the two pins with the probes.", True),
        ("Hold the thermometer probe in the air stream.", False),
        ("Never put probes into a socket.", False),
        ("Put the energy meter between plug and socket.", False),
        ("Clamp around one core of the made-up split lead.", False),
    ],
)
def test_probes_on_electrical_parts_are_found(text: str, found: bool) -> None:
    assert (probing(text) is not None) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Measure between the tags of the heater.", True),
        ("Read across the motor winding.", True),
        ("Hold one probe on each end inside.", True),
        ("Read between L and N of the plug.", False),
        ("Top and bottom heat on, thermostat at its highest. Read between the pins of the plug.", False),
        ("Never measure at the heater before it is dead.", False),
        ("Look at the motor with a lamp.", False),
    ],
)
def test_measuring_at_a_part_inside_is_found(text: str, found: bool) -> None:
    assert (probing_inside(text) is not None) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Take off the back panel.", True),
        ("With the cover off, look inside.", True),
        ("Undo two screws and lift the top cover.", True),
        ("Take the side panel off and look.", True),
        ("Remove the filter cover and look.", False),
        ("Undo the four screws underneath and look in.", True),
        ("Loosen the screw of the plug and look at its wires.", False),
        ("Undo the screws; it needs no tool.", False),
        ("Do not take any cover off.", False),
        ("Covers stay on.", False),
        ("Open the door and feel the drum.", False),
        ("Lift out the base panel; it needs no tool.", False),
    ],
)
def test_taking_a_cover_off_is_found(text: str, found: bool) -> None:
    assert (opening(text) is not None) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("With the back panel off, switch it on for a moment.", True),
        ("Run the motor with the cover removed.", True),
        ("Never run it with the covers off.", False),
        ("Switch off, take the panel off.", False),
        ("Refit the cover, then switch it on.", False),
    ],
)
def test_running_an_open_machine_is_found(text: str, found: bool) -> None:
    assert (open_and_running(text) is not None) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Recharge the refrigerant.", True),
        ("Replace the gas valve.", True),
        ("Call a licensed person for the refrigerant.", False),
        ("Never open the sealed circuit.", False),
    ],
)
def test_work_for_licensed_people_is_found(text: str, found: bool) -> None:
    assert (licensed_work(text) is not None) == found


def test_only_a_text_that_speaks_of_the_outside_alone_stays_outside() -> None:
    assert stays_outside("Read the label on the underside.")
    assert not stays_outside("Read the label on the motor.")
    assert not stays_outside("Look with a torch and mirror.")


def test_sentences_end_at_stops_and_at_list_items() -> None:
    assert sentences("1. Do this\n   and that.\n2. Then stop; wait.") == (
        "1. Do this and that.",
        "2. Then stop;",
        "wait.",
    )
