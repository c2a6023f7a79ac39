"""What is said where somebody can come to harm: actions, dangers, stop texts, cautions, why something is refused.

Where a text follows published guidance, its source stands beside the action in safety/actions.py. Whoever translates
these has them read by somebody of the trade who works in that language.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # before the work
        "opening_notice": "Before you start. Local rules and the maker's instructions come first. Gas, "
        "refrigerant circuits and fixed wiring are for licensed people. Work only on what you are trained "
        "for: 'not competent' is a good answer at any step. This tool guides; it sees nothing and proves "
        "nothing.",
        "caution_instruments": "Meter and leads fit for mains: CAT II or better, fused, finger guards, at "
        "most 4 mm of bare tip (2 mm is better), no cracks.",
        "caution_not_alone": "Not alone in the house with the covers off: somebody must be able to call "
        "for help.",
        "caution_ventilation": "Air the room: open a window before dust or fumes are stirred up.",
        "caution_edges": "Gloves: the edges of sheet metal cut.",
        "caution_weight": "Panels, drums and machines are heavy: two people, or put it down.",
        "caution_no_live_work": "Never open and live. A current or a supply voltage is read with the "
        "covers on, through a plug-in meter or a made-up lead, never with probes in a socket.",
        "caution_no_bridging": "Never bridge or leave out a protective device, not even for a test.",
        "caution_flammable": "Flammable refrigerant: no flame, no spark, no heat gun; air the room well. "
        "The sealed circuit is for licensed people only.",
        # access states, and what a step needs
        "access_as_found": "as found, nothing confirmed",
        "access_in_use": "in use, covers on",
        "access_isolated": "supply cut, covers on",
        "access_open_unproved": "covers off, NOT proved dead",
        "access_open_dead": "covers off, proved dead",
        "need_anywhere": "nothing",
        "need_covers_on": "the covers on",
        "need_in_use": "the machine in use, covers on",
        "need_isolated": "the supply cut",
        "need_open_dead": "the machine open and proved dead",
        "test_name_earth_inside": "earth inside",
        "test_name_insulation_inside": "insulation inside",
        "test_name_earth_at_plug": "earth at plug",
        "test_name_insulation_at_plug": "insulation at plug",
        # actions, and why
        "action_dangers_answered": "Go through the danger list: smoke, burning, gas, water, tingle, scorch "
        "marks, tripping. None of them, now or before?",
        "action_dangers_answered_why": "Each of these can hurt you before you have found anything.",
        "action_plug_flex_whole": "Look at plug, flex and socket: dry, whole, no marks of heat, flex held "
        "firmly at both ends.",
        "action_plug_flex_whole_why": "Most shocks come from what can be seen from outside.",
        "action_casing_whole": "Look at the casing all round: dry, whole, covers on, no bare wire, no "
        "water under it.",
        "action_casing_whole_why": "With the covers on and whole nothing live can be touched.",
        "action_notices_looked_up": "Look up the maker's safety notices for this model. None applies, or "
        "it has been dealt with?",
        "action_notices_looked_up_why": "Some models are recalled because they burn.",
        "action_supply_on": "Hands and hair clear, nobody touching the machine. Now connect and switch on.",
        "action_supply_on_why": "From now on the machine can move, heat and bite.",
        "action_switched_off": "Switch the machine off and wait until everything stands still.",
        "action_switched_off_why": "Unplugging under load burns the pins.",
        "action_plug_out": "Pull the plug out of the socket. A door, a timer or a switch on the machine "
        "does not count.",
        "action_plug_out_why": "Only pulling the plug disconnects both wires from the supply.",
        "action_plug_in_sight": "Lay the plug where you see it all the time and nobody can push it in.",
        "action_plug_in_sight_why": "Somebody helpful plugs it in again: that is how it happens.",
        "action_isolator_locked": "Switch off the isolator that feeds this machine, and lock it off. It is "
        "the right one?",
        "action_isolator_locked_why": "An isolator that can be switched on behind your back is no isolation.",
        "action_key_kept": "Keep the key in your pocket and hang a notice: do not switch on.",
        "action_key_kept_why": "Whoever has the key decides when it is live.",
        "action_still_isolated": "Look: the plug is still out and was in sight, or the lock is still on "
        "and you have the key.",
        "action_still_isolated_why": "While you were away anybody may have connected it.",
        "action_nobody_else": "Ask: nobody else has been at the machine?",
        "action_nobody_else_why": "What another did, you do not know.",
        "action_tester_here": "Have here: a two-pole voltage tester and a known source or proving unit to "
        "check it on. A voltage stick or multimeter will not do.",
        "action_tester_here_why": "Without it you can open the machine but not prove it dead.",
        "action_return_testers_here": "Have here: an earth continuity tester and a 500 V insulation "
        "tester? A multimeter's ohms range is neither.",
        "action_return_testers_here_why": "What is opened must pass both before it runs again.",
        "action_covers_off": "Take the covers off. Touch nothing inside yet.",
        "action_covers_off_why": "Until it is proved dead it counts as live.",
        "action_tester_proved": "Check the tester on the known source: it shows the voltage.",
        "action_tester_proved_why": "A dead tester calls everything dead.",
        "action_dead_line_neutral": "Test at the supply terminals: line to neutral.",
        "action_dead_line_neutral_why": "One pair alone can miss a live wire.",
        "action_dead_line_earth": "Test at the supply terminals: line to earth, or to bare metal where "
        "there is no earth.",
        "action_dead_line_earth_why": "It shows a live line where the neutral is broken.",
        "action_dead_neutral_earth": "Test at the supply terminals: neutral to earth, or to bare metal "
        "where there is no earth.",
        "action_dead_neutral_earth_why": "Line and neutral can be crossed in the socket.",
        "action_tester_proved_again": "Check the tester on the known source again: it still shows the "
        "voltage.",
        "action_tester_proved_again_why": "It may have died in your hand.",
        "action_capacitors_discharged": "Discharge every capacitor through a resistor made for it, never "
        "with a screwdriver. Then measure each: below 50 V.",
        "action_capacitors_discharged_why": "A capacitor bites long after the plug is out.",
        "action_board_waited": "A board that drives a motor or compressor: wait the maker's time, then "
        "measure its big capacitor: below 50 V.",
        "action_board_waited_why": "It holds over 300 V for minutes.",
        "action_parts_cooled": "Hot parts have cooled: you can hold your hand near them.",
        "action_parts_cooled_why": "Heaters stay hot enough to burn for a long time.",
        "action_parts_at_rest": "Everything that turns is at rest and cannot start or drop.",
        "action_parts_at_rest_why": "Belts and springs pinch.",
        "action_inside_clear": "Every lead is back in its place, none pinched or near heat; no tool, screw "
        "or rag left inside.",
        "action_inside_clear_why": "A trapped lead is the next fault.",
        "action_covers_on": "All covers back on, every screw in.",
        "action_covers_on_why": "The covers keep people off live parts.",
        "action_covers_on_unproved": "Put the covers back without reaching inside. Every screw in.",
        "action_covers_on_unproved_why": "It is not proved dead: treat it as live.",
        "action_earth_inside": "Covers off: measure earth from the earth pin or terminal to heater, motor "
        "and casing.",
        "action_earth_inside_why": "Each metal part needs its own way to earth.",
        "action_insulation_inside": "Covers off: measure insulation to earth at the heater and motor "
        "terminals, 500 V.",
        "action_insulation_inside_why": "From the plug an open relay hides the heater.",
        "action_earth_at_plug": "Covers on: measure earth from the plug's earth pin, or the supply end, to "
        "the casing.",
        "action_earth_at_plug_why": "The casing must not become live.",
        "action_insulation_at_plug": "Covers on, machine switched on but not connected: measure insulation "
        "at the plug or supply end, line and neutral together to earth, 500 V.",
        "action_insulation_at_plug_why": "It proves the whole machine at once.",
        "action_supply_cut_from_afar": "Only from where you are safe: is the supply cut, at the main "
        "switch or by the plug?",
        "action_supply_cut_from_afar_why": "It is worth knowing, not worth a risk.",
        "action_covers_back_or_guarded": "Covers back without reaching in; if that is not safe, keep "
        "everybody away until the electrician is there.",
        "action_covers_back_or_guarded_why": "Nobody may touch what is live.",
        # their outcomes, and what is told after one
        "outcome_done": "Done",
        "outcome_not_sure": "Not sure",
        "outcome_not_sure_then": "Then it does not count. Start this list again.",
        "outcome_cannot": "Cannot do this here",
        "outcome_cannot_then": "Then this way is closed for now.",
        "outcome_not_yet": "Not yet",
        "outcome_not_yet_then": "Wait, then confirm it.",
        "outcome_damaged": "Something is damaged",
        "outcome_damaged_then": "Do not run the machine. Cut its supply; it is put right and tested first.",
        "outcome_wet": "Something is wet",
        "outcome_wet_then": "Do not run the machine. Cut its supply and let it dry.",
        "outcome_scorched": "Scorch marks",
        "outcome_scorched_then": "Do not run the machine. Cut its supply.",
        "outcome_dead": "Dead: no voltage",
        "outcome_voltage": "Voltage found",
        "outcome_voltage_then": "Take hands and tools away. A licensed electrician must see it.",
        "outcome_tester_fails": "The tester does not show it",
        "outcome_tester_fails_then": "The tester proves nothing. Treat the machine as live. Get a tester "
        "that works, then start again.",
        "outcome_below_50": "Done: below 50 V",
        "outcome_none_there": "I looked: there is none",
        "outcome_above_50": "Still 50 V or more",
        "outcome_above_50_then": "Discharge it again, wait, and measure again. Hands off.",
        "outcome_passed": "Within the limit",
        "outcome_failed": "Outside the limit",
        "outcome_failed_then": "The machine must not be used. Find out why, with the supply cut.",
        "outcome_skipped": "Cannot measure it here",
        "outcome_skipped_then": "Then the machine may not be run: the job can only end with the machine "
        "left disconnected.",
        "outcome_dangers_answered_done": "None of them",
        "outcome_plug_flex_whole_done": "Dry and whole",
        "outcome_casing_whole_done": "Dry and whole",
        "outcome_notices_looked_up_done": "None applies",
        "outcome_notices_looked_up_applies": "A notice applies",
        "outcome_notices_looked_up_applies_then": "Do what the notice says first. Until then the machine "
        "stays disconnected.",
        "outcome_notices_looked_up_cannot": "Cannot look it up here",
        "outcome_notices_looked_up_cannot_then": "Until it is looked up, do not switch on.",
        "outcome_tester_here_done": "They are here",
        "outcome_tester_here_cannot": "Not here",
        "outcome_tester_here_cannot_then": "Then no screw is turned. Come back with it, or hand over.",
        "outcome_return_testers_here_done": "They are here",
        "outcome_return_testers_here_not_here": "Not here, open it all the same",
        "outcome_return_testers_here_not_here_then": "Then the job can only end with the machine left "
        "disconnected.",
        "outcome_supply_cut_from_afar_done": "It is cut",
        "outcome_supply_cut_from_afar_cannot": "No, or not safely",
        "outcome_supply_cut_from_afar_cannot_then": "Leave it. Tell whoever comes to help.",
        "outcome_covers_back_or_guarded_done": "Covers are back",
        "outcome_covers_back_or_guarded_cannot": "Not safe: kept guarded",
        "outcome_covers_back_or_guarded_cannot_then": "Stay until the electrician takes over.",
        # danger signs: as they are asked, and as the record and the notice tell them
        "danger_smoke_or_flame": "Smoke, flame or glowing, now",
        "danger_smoke_or_flame_told": "Smoke or flame was seen.",
        "danger_burning_smell_now": "A burning smell, now",
        "danger_burning_smell_now_told": "There was a burning smell.",
        "danger_gas_smell": "A smell of gas",
        "danger_gas_smell_told": "There was a smell of gas.",
        "danger_water_on_live_parts": "Water on or near live electrical parts",
        "danger_water_on_live_parts_told": "There was water on or near live electrical parts.",
        "danger_refrigerant_signs": "A hiss or an oily patch on a machine with flammable refrigerant",
        "danger_refrigerant_signs_told": "There were signs of flammable refrigerant escaping.",
        "danger_tingle": "A tingle or shock from the machine",
        "danger_tingle_told": "The machine gave a tingle or shock.",
        "danger_scorching": "Scorch marks on plug, socket, flex or casing",
        "danger_scorching_told": "There were scorch marks.",
        "danger_repeated_tripping": "A fuse or trip that goes again and again",
        "danger_repeated_tripping_told": "The fuse or trip went again and again.",
        "danger_wet_found": "Wet plug, flex, socket or casing",
        "danger_wet_found_told": "The machine or its plug was wet.",
        "danger_burning_smell_earlier": "A burning smell or smoke earlier, gone now",
        "danger_burning_smell_earlier_told": "There was a burning smell earlier.",
        "danger_supply_parts_damaged": "Damaged plug, flex, socket or casing",
        "danger_supply_parts_damaged_told": "Plug, flex, socket or casing was damaged.",
        "danger_earth_or_insulation_bad": "Earth or insulation read outside its limit",
        "danger_earth_or_insulation_bad_told": "Earth or insulation was outside its limit.",
        "danger_return_test_failed": "Earth or insulation outside its limit",
        "danger_return_test_failed_told": "Earth or insulation was outside its limit.",
        "danger_voltage_when_isolated": "Voltage found with the supply cut",
        "danger_voltage_when_isolated_told": "Voltage was found although the supply was cut.",
        "danger_rules_changed": "Something found or put right that these rules no longer know",
        "danger_rules_changed_told": "Something had been found or put right that the rules now in use no "
        "longer know.",
        "danger_restarted_after_stop": "Work taken up again after a stop",
        "danger_restarted_after_stop_told": "Work was taken up again after a danger sign.",
        # what is told at once when a sign is met
        "stop_leave": "STOP. Leave the machine alone and get everybody out of the room. Cut the supply "
        "only if you can do it without going near. Call the emergency service from a safe place. This job "
        "ends here: the machine stays out of use.",
        "stop_gas": "STOP. Gas. Touch no switch or plug, light nothing, use no phone inside. Open doors "
        "and windows on your way out, get everybody out. Call the gas emergency service from outside. This "
        "job ends here.",
        "stop_refrigerant": "STOP. The refrigerant may burn. Touch no switch or plug, light nothing. Open "
        "doors and windows on your way out, keep everybody out. A licensed refrigeration engineer must see "
        "it. This job ends here.",
        "stop_voltage": "STOP. There is voltage although the supply is cut. Take hands and tools away. "
        "Touch nothing inside. Covers back if you can without reaching in. Keep everybody away. A licensed "
        "electrician must see it.",
        "stop_out_of_use": "Do not run this machine again yet. Cut its supply now. From here only tests "
        "with the supply cut, until earth and insulation are measured and pass.",
        "notice_do_not_use": "DO NOT USE THIS MACHINE.",
        "notice_found": "Found and not put right: {titles}.",
        "notice_owed": "Its electrical tests are still to be made.",
        "notice_until": "It stays out of use until it is repaired and tested.",
        "refused_job_closed_as_one": "A job is closed as one of: {names}.",
        "refused_covers_off_put_them": "The covers are off. Put them back first.",
        "refused_supply_not_confirmed_cut": "The supply is not confirmed cut. Cut it first, action by "
        "action.",
        "refused_cut_supply_first_then": "{why} Cut the supply first, then hand over.",
        "refused_there_voltage_with_supply": "There was voltage with the supply cut: it is not isolated. "
        "Hand it to an electrician.",
        "refused_first_say_whether_covers": "First say whether the covers are back or the machine is "
        "guarded.",
        "refused_work_stopped_for_danger": "Work was stopped for danger. It can only be left isolated or "
        "handed over.",
        "refused_danger_sign_open_not": "A danger sign is open. It is not fit until earth and insulation "
        "are measured and pass.",
        "refused_still_measured_without_left": "Still to be measured: {owed}. Without it: left isolated.",
        "refused_found_not_put_right": "Found and not put right: {names}. With that it is not fit for use.",
        "refused_record_holds_what_these": "The record holds what these rules no longer know. Say "
        "what was done: dealt with, and its name.",
        "refused_fit_for_use_only": "It is fit for use only once it has run again. Bring it back into use "
        "first.",
        "refused_there_danger_sign": "There is a danger sign.",
        "refused_not_safe_use_as": "It is not safe to use as it is.",
        "refused_nothing_stopped_here_there": "Nothing is stopped here; there is nothing to restart.",
        "refused_restart_needs_its_reason": "A restart needs its reason in words: what has changed since "
        "the stop?",
        "refused_needs_now": "'{title}' needs {need}. Now it is: {access}.",
        "refused_has_step_not_for": "'{title}' has a step that is not for now: {access}. Leave it out.",
        "refused_for_licensed_person_hand": "'{remedy}' is for a licensed person: hand it over.",
        "refused_first": "{now} First: {text}",
        "refused_first_measure_pass_until": "First measure and pass: {owed}. Until then the machine stays "
        "disconnected.",
        "refused_covers_off_cut_supply": "The covers are off. Cut the supply, prove it dead, measure, put "
        "the covers back.",
        "refused_there_danger_sign_cut": "There was a danger sign. Cut the supply; it runs again only "
        "after these pass: {owed}.",
        "refused_covers_on": "The covers are on.",
        "refused_wired_in_without_isolator": "It is wired in without an isolator that can be locked. Hand "
        "it to an electrician.",
        "refused_say_first_how_machine": "Say first how the machine is connected: plug, isolator "
        "(lockable) or fixed.",
        "refused_work_stopped_here_only": "Work is stopped here. Only a deliberate restart, written in the "
        "record, leads on.",
        "refused_not_turn_now_can": "It is not the turn of '{action_id}': now {turn} can be confirmed.",
        "refused_no_answer": "'{outcome_id}' is not an answer to '{action_id}': {known}.",
        "refused_not_measured_here_machine": "Not measured here: {skipped}. The machine may not run; type "
        "measure to measure it after all, or end the job with the machine left disconnected.",
    }
)
