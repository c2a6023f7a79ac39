"""Texts that would hurt somebody, each with the access in which an author might write it, and texts that would not.

Kept apart from the checks: the first list of each kind was written before them. Nothing of them is shipped.
"""

FROM_A_TRAINER = """
open_dead: Put the plug in for a moment and listen.
open_dead: Reconnect the supply and read the volts.
open_dead: With the back off let it run for a minute.
open_dead: Join the two leads of the cut-out together.
open_dead: Disconnect the earth wire and see whether it still trips.
open_dead: Wrap the fuse in foil.
open_dead: Fit a bigger fuse.
open_dead: Hold the door switch in with a screwdriver.
in_use: Put the meter across the element.
isolated: Take the back off.
"""

WRITTEN_BEFORE = """
open_dead: Give it power for a second and watch the coil glow.
open_dead: Turn the electricity on again and feel whether the motor hums.
open_dead: Flick the breaker up and look at the relay.
open_dead: Set the programme going and watch the belt.
open_dead: Press start and see which relay clicks.
open_dead: Make it live and trace the voltage with a test lamp.
open_dead: Let the drum turn under its own power.
open_dead: Plug it in again and touch each contact with the tester.
open_dead: Restore the mains and measure across the thermostat.
open_dead: Wind a bit of wire round the blown fuse.
open_dead: Use a stronger fuse.
open_dead: Fix the door switch down with a cable tie.
open_dead: Snip off the earth pin of the plug.
open_dead: Leave the cut-out out and try again.
open_dead: Twist the thermostat's wires together.
open_dead: Run the motor straight from the mains.
in_use: Poke the probes into the socket.
in_use: Reach in behind the drum while it turns.
in_use: Unscrew the rear panel and watch the belt.
in_use: Clip the tester on the heater tags and read the volts.
in_use: Pull the lead off the thermostat while it heats.
isolated: Lift the lid off and look at the belt.
isolated: Undo the two screws at the back and swing the top up.
isolated: Check the heater terminals with the meter.
covers_on: Run it for ten minutes with the filter out.
covers_on: Pull the machine out from the wall.
covers_on: Measure from pin to pin of the motor plug.
anywhere: Have the customer bridge the thermostat.
isolated: Switch on and see whether it hums.
isolated: Heat it on full for five minutes, then feel the plug.
covers_on: Take the leads off the heater.
open_dead: Bypass the belt switch for the test.
"""
