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

WRITTEN_AFTER = """
open_dead: Bring the machine back to life for ten seconds and listen to the pump.
open_dead: Nudge the timer past the click so that the motor turns, then feel its case.
open_dead: See how many volts arrive at the heater on the hot setting.
open_dead: Have somebody push the button at the wall while you watch the contacts.
open_dead: Turn the power back on with the board in your hand.
open_dead: Let the current through for a blink and see which lead gets warm.
open_dead: Put 230 V on the coil.
open_dead: Hook the pump up to a spare flex and see if it spins.
open_dead: Wire round the thermal link with a short piece of lead.
open_dead: Solder a piece of copper over the fuse holder.
open_dead: Clip the two tags of the float switch to each other.
open_dead: Make the belt switch think the belt is there with a bit of tape.
open_dead: Unhook the green and yellow wire and try it again.
open_dead: Cut the earth off at the casing.
open_dead: Leave the covers off and start a short programme.
open_dead: Push the breaker in and hold it there.
open_dead: Do without the overload for one cycle.
open_dead: Energise the relay and look for a spark.
open_dead: Watch the element while the machine heats.
open_dead: Measure the current through the heater.
in_use: Touch the casing of the motor through the opened back.
in_use: Slide the tester tips into the connector at the board.
in_use: Swing the front down and look at the rollers turning.
in_use: Check the thermostat with the meter.
in_use: Swap the capacitor.
in_use: Put your fingers behind the belt and feel its pull.
in_use: Tip the machine back to see the pump run.
in_use: Stick a screwdriver into the outlet to feel for a tingle.
in_use: Lift off the worktop.
isolated: Plug it in for a second and pull the plug again.
isolated: Get the top off and look for fluff.
isolated: Measure the motor winding from the plug of the motor.
isolated: Pull the connector off the module.
isolated: Spin it up for a moment and stop it.
covers_on: Pull the heater out and look at its coil.
covers_on: Read the amps in each lead of the motor.
covers_on: Put the prods on the pins.
covers_on: Start it and see whether the drum turns.
anywhere: Ask them to tape the door switch in and see whether it starts.
anywhere: Tell the customer to fit a 20 A fuse.
anywhere: Let them try it with the thermostat bridged.
anywhere: Have them take the back off and look.
open_dead: Hold the door switch in with a screwdriver until it clicks.
isolated: Tape the float switch up in the base.
"""

HARMLESS = """
covers_on note: Water in the base works a float with a switch in the base.
covers_on handle: Press the door shut until the door lock clicks in.
open_dead part_on: Screw the new door switch in.
open_dead part_on: Fix the new float switch in its clip.
covers_on look: Look along the hose from behind, lamp in hand.
covers_on look: Read the rating plate: volts, watts and current.
covers_on handle: Take the filter out and open it.
covers_on handle: Open the door and look at the seal.
covers_on handle: Set the knob to the middle and back.
covers_on handle: Pull the container out and tip its water away.
covers_on feel: Run a finger round the seal.
covers_on gauge: Measure the length of the hose with a tape.
covers_on gauge: Hang the thermometer beside it for ten minutes.
covers_on clean: Wipe the seal with a damp cloth.
covers_on listen: Listen at the tap whether water drips.
covers_on smell: Smell at the door.
covers_on note: Never run it with the cover off.
covers_on note: Do not bridge the cut-out, not even for a test.
anywhere ask: Ask how long a usual load takes.
anywhere ask: Tell the customer to keep a window open while it runs.
anywhere ask: Ask whether the plug or the socket ever got warm.
anywhere ask: The socket is work for an electrician.
anywhere note: Write down the highest of the three.
anywhere note: Leave it unplugged until it was seen.
anywhere aside: Weigh the dry towels.
anywhere wait: Let it stand for an hour.
in_use run: Start a short programme, door shut.
in_use run: Let it run for ten minutes on high.
in_use run: Switch on, lever down.
in_use run: Middle setting, slots empty: switch it on.
in_use plug_in: Plug it into the energy meter.
in_use plug_in: Put the plug into the meter and the meter into the socket.
in_use measure_running: Read the watts after a minute.
in_use measure_running: Close the clamp round the one core of the split lead.
in_use look: Watch through the glass whether the drum turns.
in_use listen: Listen while the pump runs.
in_use feel: Hold a strip of tissue before the grille.
in_use stop: Switch off after five seconds.
in_use unplug: Pull the plug out.
in_use gauge: Hold the sensor between the pins of the pulled plug.
in_use gauge: Follow one lifter with the stopwatch and count the turns.
in_use handle: Open the door.
in_use note: Share = 100 x on / 20.
isolated unplug: Plug out and in your sight.
isolated turn: Turn the drum by hand a whole turn.
isolated turn: Press the reset button once.
isolated move: Pull the machine forward, two people.
isolated plug_work: Take the fuse out of the plug.
isolated plug_work: Fit a fuse of the rating on the plate.
isolated plug_work: Open the plug and tug each core.
isolated measure_dead: Measure from the earth pin of the plug to a bare screw.
isolated measure_dead: Read between L and N of the plug.
isolated look: Bend the flex along its whole length and look for a split.
isolated handle: Pull the crumb tray out from below; it needs no tool.
isolated vacuum: Vacuum the grille.
isolated breaker: Switch the RCD on once.
isolated part_on: Fit a new seal.
isolated pour: Pour half a litre into the sump.
open_dead uncover: Take the side panel off.
open_dead uncover: Back cover off.
open_dead look: Look at the contacts that the lever closes.
open_dead look: Nothing may lie across the cut-out or stand in for it.
open_dead look: Is a jumper across the thermostat? Somebody may have bridged it.
open_dead lead_off: Pull one lead off the heater.
open_dead lead_off: Leads off, noting their places.
open_dead measure_dead: Measure across its two terminals.
open_dead measure_dead: Press its plunger with your finger as the shut door would, hold, measure.
open_dead measure_dead: 500 V from one terminal to the flange.
open_dead discharge: Discharge it through a resistor and measure below 50 V.
open_dead part_off: Take the heater out with its housing.
open_dead part_on: Fit the new motor, earth lead first.
open_dead part_on: Renew it, never bridge it.
open_dead lead_on: Push the tags fully home.
open_dead mend: Cut back to bright copper and crimp a new tag.
open_dead clean: Brush the fluff off the motor.
open_dead turn: Turn each roller: it must run on by itself.
open_dead cover: Close the housing with all its screws.
open_dead wait: Wait until the motor is cold: its overload opens both windings and closes again.
open_dead feel: Tug each wire gently: none may move.
"""

WRITTEN_AFTER += """isolated: Hold a lighter to the sensor and watch the ohms.
open_dead: Wave a candle along the seam and see where it flickers.
in_use: Follow the wires by hand with the board still live.
covers_on: Turn the fan with a finger through the grille.
"""

MISCALLED = """
open_dead look: Vacuum the floor of the cabinet.
open_dead look: Discharge it with a screwdriver.
isolated look: Pour a cup of water into the sump.
isolated note: Turn the drum by hand.
open_dead look: Pull the lead off the heater and look at its tag.
open_dead feel: Unscrew the clamp.
open_dead measure_dead: Replace the thermostat.
in_use look: Run it for a minute and watch.
in_use measure_running: Plug it into the energy meter.
isolated clean: Measure between L and N of the plug.
covers_on look: Clean the mesh.
open_dead clean: Clear it by vacuuming from both ends.
open_dead look: Somebody has to discharge it while you look.
isolated look: See whether it drips as you pour a cup into the sump.
"""
"""Texts that might stand in that access, but not under that act."""
