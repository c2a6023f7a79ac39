"""What is said about readings: what they ought to have been, what they say, and a logged cycle."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # against what it ought to be
        "against_below": "{percent} below {expected}",
        "against_above": "{percent} above {expected}",
        "against_times": "{times} times {expected}",
        "against_at": "just as expected, {expected}",
        "against_instead": "instead of {expected}",
        "against_band": "healthy is {band}",
        "about": "about {expected}",
        "about_band": "about {expected} ({band})",
        # readings without a dialogue
        "assess_verdict": "{name} {given}: {answer}, {against}.",
        "assess_unsure": "'{first}' ({first_share}) or '{second}' ({second_share}), not for sure: {facts} not known",
        "assess_edge": "on the borderline between '{first}' ({first_share}) and '{second}' ({second_share})",
        "assess_for": "Points to: {causes}.",
        "assess_against": "Points away from: {causes}.",
        "assess_nothing": "By itself it points to no fault and rules none out.",
        "assess_cause": "{cause} {after} (was {before})",
        "assess_likely": "Likely faults:",
        "assess_next": "Worth doing next:",
        "assess_step_last": "{kind}: {title} ({access}; {minutes}, last round)",
        "assess_step": "{kind}: {title} ({access}; {minutes}, saves {worth})",
        "assess_way": "{kind}: {access} ({minutes})",
        "assess_meter": "Readings are weighed by the accuracy of your own meter, from {path}.",
        "assess_empty": "Nothing to judge: give facts (volts=230) and readings ('7.4A high').",
        "which_could_be": "'{piece}' could be any of: {names}. Add a word.",
        "which_more": "{names} and {count} more",
        "which_expected": "{name} (about {expected})",
        # a piece that is not understood
        "name_needs_reading": "What does it read? Type it after the name: {name} {example}.",
        "name_needs_answer": "What was it? Type {name}, then one of: {answers}.",
        "part_by_semicolon": "Separate readings with a ; since a comma is read as a decimal comma.",
        "say_what": "Say what was measured, then what it read ('high section 33'). Facts are typed "
        "name=value.",
        "some_facts": "Facts: {facts} and {count} more.",
        "did_you_mean": "Did you mean '{text}'?",
        # a logged cycle
        "trace_head": "Logged cycle: {minutes}, {column}",
        "trace_column": "'{column}', a row every {interval} s",
        "trace_legend": "Light: the value rose and fell within that column.",
        "trace_legend_gaps": "Light: the value rose and fell within that column. x: not logged.",
        "trace_warm": "Temperature '{column}':",
        "trace_warm_rise": "From {first} up to {highest}.",
        "trace_warm_cycles": "The heat went off by itself {count} times, at about {off}; it came on again "
        "at about {on}.",
        "trace_warm_no_cycles": "It never fell and rose again: the heat was not seen to go off by itself.",
        "trace_warm_where": "These are temperatures at the sensor: the thermostat's own only if the sensor "
        "sat on it.",
        "trace_warm_time": "Warm for {minutes}.",
        "trace_levels": "It settles at:",
        "trace_no_level": "No steady level.",
        "trace_standby": "standby",
        "trace_motor": "without heat (motor, fan)",
        "trace_heat": "Heat:",
        "trace_heat_level": "with heat (or compressor)",
        "trace_no_heat": "No heat was seen.",
        "trace_once": "On once, {minutes}.",
        "trace_times": "On {count} times, {minutes} in all.",
        "trace_duty": "On {percent} of the time from first on to last off.",
        "trace_cut_out": "Went off first after {minutes}.",
        "trace_cool": "Cool-down: {minutes}.",
        "trace_energy": "Energy: {energy}.",
        "trace_on_at": "On at minutes {spans}.",
        "trace_more": "and {count} more",
        "trace_odd": "Odd in the log:",
        "at_line": "line {line}: {words}",
        "trace_yields": "Readings it gives:",
        "trace_yields_none": "None that this pack asks for.",
        "trace_offer": "{ask}: {text}. {answer}, {against}.",
        "trace_now": "It would replace {text}.",
        "trace_only_if": "A log does not say how the machine was set: take a reading only if it was run as "
        "that reading asks.",
        "trace_take_ask": "Type the numbers of those to take into the job, all, or Enter for none.",
        "trace_which_machine": "To judge a machine by it, name the machine's facts (type=vented) or a pack.",
        "trace_how_to_take": "To take them into a job: faultfinder trace {file} --job JOB",
        "trace_taken": "Taken into {path}: {what}.",
        "trace_none_taken": "None taken.",
        "trace_after_repair": "They describe the machine as it is after: {what}.",
        "trace_unread": "{count} of {rows} rows could not be read: do not rely on the levels and times "
        "below.",
        "trace_cycles": "{count} cycles in this log, begun at minute {starts}. This is number {number}, "
        "{why}. Another: --cycle {other}.",
        "trace_longest": "the longest",
        "trace_chosen": "as asked",
        # what is measured
        "quantity_resistance": "a resistance",
        "quantity_capacitance": "a capacitance",
        "quantity_current": "a current",
        "quantity_voltage": "a voltage",
        "quantity_power": "a power",
        "quantity_apparent_power": "an apparent power",
        "quantity_energy": "an energy",
        "quantity_sensor_constant": "a sensor's beta value",
        "quantity_temperature": "a temperature",
        "quantity_temperature_difference": "a temperature difference",
        "quantity_humidity": "a relative humidity",
        "quantity_ratio": "a ratio",
        "quantity_length": "a length",
        "quantity_time": "a time",
        "quantity_area": "an area",
        "quantity_volume": "a volume",
        "quantity_mass": "a mass",
        "quantity_flow": "an airflow",
        "quantity_speed": "a speed",
        "quantity_rotation": "a rotational speed",
        "quantity_pressure": "a pressure",
        "quantity_frequency": "a frequency",
        # a reading that is not understood
        "typed_minus_leads": "The leads are the other way round: leave out the minus.",
        "typed_minus_voltage": "A minus in ohms means that a voltage is present: isolate it and prove it "
        "dead first.",
        "typed_prefix_case": "m is milli (a thousandth), M is mega (a million)",
        "typed_not_understood_or_ol": "{text} is not understood; type {words}, {span}, or OL for over range.",
        "typed_not_understood": "{text} is not understood; type {words}, {span}.",
        "typed_cannot_be": "{text} cannot be {words}: {span}. {hint}",
        "columns_power_or_current": "power or current",
        "quantity_in_unit": "{title} in {unit}",
        "typed_not_expected": "{text}{plain} is unlikely: {prefixes}. Did you mean {names}? If not, type "
        "the number alone, in {unit}, {span}.",
        "typed_span_from_0": "from 0 to {high}",
        "typed_span": "from {low} to {high}{unit}",
        "typed_did_you_mean": "Did you mean {names}?",
        "typed_share_or_percent": "{text} could be a fraction or a percentage: type {what} % or {value} %.",
        "typed_cannot_be_prefix": "{text} cannot be {words}: {span}. ({prefixes}.)",
        "typed_wavers": "{text}: type how far it wavers, such as {about} +- 2, or the figure alone.",
        "typed_short": "{text}: type the ohms that the meter shows, such as 0.2.",
        "meter_meter_has_no_range": "this meter has no range for {quantity} of {value} {unit}.",
        "meter_line_write": "line {number}: write {example}.",
        "meter_did_you_mean": "did you mean {near}?",
        "meter_there": "there are: {names}.",
        "meter_line_there_no_quantity": "line {number}: there is no quantity '{found}'; {meant}",
        "meter_line_say_how_large": "line {number}: say how large one digit is in this range: {example}.",
        "meter_line_range_its_digit": "line {number}: a range and its digit are plain values, not over "
        "range.",
        "meter_line_no_percentage": "line {number}: '{found}' is not a percentage.",
        "meter_line_no_accuracy_from": "line {number}: an accuracy of {percent} % is not possible; it must "
        "be 0 to 100 %.",
        "parser_unit_not_known_given": '{text}: the unit "{unit}" is not known; {title} is given in {names}.',
        "parser_words_behind_the_figure": "{text}: the words behind the figure are not understood; type the figure "
        "and its unit alone, in {names}.",
        "parser_nothing_typed_type": "nothing was typed; type {words}, {what}.",
        "parser_no_answer_type_number": "{text} is not {words}; type a number, {what}.",
        "parser_has_no_lower_end": "{text} gives no lower limit; type {words}, {what}.",
        "parser_part_after_plus_minus": "{text}: what follows the plus-minus must be 0 or more.",
        "parser_off_by_more_than": "{text}: the plus-minus is larger than the value; type both with their "
        "units, such as 4.7k +- 0.1k.",
        "parser_has_two_signs_type": "{text} has two signs; type a range as 32 to 34.",
        "parser_type_for_decimal_point": "{text}: type {code_text} for a decimal point, or the whole "
        "number in {unit}.",
        "parser_beyond_every_range_type": "{text} is beyond every range; type {words}, {what}.",
        "parser_too_small_for_any": "{text} is too small for any instrument; type {words}.",
        "parser_may_hours_minutes_type": "{text} may be hours or minutes; type 1h50 for hours and minutes, "
        "1m50s for minutes and seconds.",
        "parser_more_than_59_after": "{text}: more than 59 minutes or seconds; type {words}.",
        "parser_holds_more_than_one": "{text} holds more than one number; separate readings with a ; and "
        "write thousands without a gap.",
        "parser_range_after_must_above": "{text}: the range after @ must be above 0, such as OL@200.",
        "parser_not_understood_type_ol": "{text} is not understood; type OL, or OL@200 with the range in "
        "use.",
        "parser_has_no_upper_end": "{text} gives no upper limit; type {words}, {what}.",
        "parser_asked_for": "{text} is {title} ({unit}); {words} is wanted here.",
        "reading_number_unit": "a number and a unit",
        "typed_text_too_long_for_reading": "{text} is too long for a reading; type {wanted}.",
        "typed_text_has_character_cannot_seen": "{text} contains an invisible character (U+{char}); type "
        "{wanted} by hand.",
        "typed_text_has_digits_other_than": "{text} contains digits other than 0 to 9; type {wanted} in "
        "plain digits.",
        "units_no_unit_there": '"{symbol}" is not a unit of {name}; there are: {names}',
        "units_there_no_quantity_there": 'there is no quantity "{name}"; there are: {names}',
        "columns_no_header_with_time": "no header with a time and {wanted}, such as 'Time (s),Power (W)', "
        "was found in the first 200 lines; the first line reads '{names}'.",
        "columns_column_names_no_unit": "column '{name}' names no unit; taken as {unit}.",
        "csv_text_log_has_characters_at": "the log has {count} characters; at most {most} are read.",
        "csv_text_column_asked_for": "column '{name}' is {title}; {wanted} is wanted.",
        "csv_text_time_never_moves_on": "the time does not advance in the {count} rows of the log.",
        "csv_text_times_log_beyond_every": "the times in the log are impossibly large.",
        "csv_text_only_rows_column_can": "only {count} rows of column '{name}' can be read; a cycle needs "
        "three at least.",
        "csv_text_log_has_more_than": "the log has more than {most} rows.",
        "csv_text_rows_hold_something_else": "{others} rows hold something other than {quantity}; left out.",
        "csv_text_rows_in_all_have": "{missing} rows in all have no number in '{name}'.",
        "csv_text_row_stands_where_value": "the log has a row only where the value changed; each holds "
        "until the next.",
        "csv_text_row_shorter_than_header": "the row is shorter than the header; left out.",
        "csv_text_no_time_row_left": "'{cell}' is not a time; the row is left out.",
        "csv_text_line": "Line {line}: {words}",
        "csv_text_no_number_row_left": "'{cell}' is not a number; the row is left out.",
        "csv_text_clock_goes_back_by": "the clock goes back by {what} s: the logger was restarted.",
        "csv_text_nothing_logged_for_s": "nothing was logged for {step} s.",
        "plate_ohm_at_v_gives": "{ohms} ohm at {volts} V gives {cold_watts} W, not {watts} W ({least} to "
        "{most} W): one of them does not belong to this machine. The resistance marked on the part is "
        "relied on.",
        "plate_w_at_v_plate": "{watts} W at {volts} V is {would_be} A, and the plate says {amps} A: one of "
        "them was read wrong. The power is relied on.",
        "plate_parts_add_up_w": "The parts add up to {total} W, not {watts} W ({least} to {most} W): one of "
        "them does not belong to this machine. What is marked on the parts is relied on.",
        "plate_ohm_at_v_goes": "{ohms} ohm at {volts} V agrees with {watts} W.",
        "plate_goes_with_w": "{amps} A agrees with {watts} W.",
        "plate_parts_w_in_all": "Parts of {total} W in all agree with {watts} W.",
        # kinds of steps
        "kind_ask": "ask",
        "kind_change_access": "change access",
        "kind_put_right": "put right",
        "kind_prove": "prove",
        "kind_hand_over": "hand over",
    }
)
