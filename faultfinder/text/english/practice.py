"""What an exercise on a simulated machine says."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "exercise_run_open": "It was switched on when it must not run: the covers are off.",
        "exercise_run_owing": "It was switched on when it must not run: still owed: {tests}.",
        "exercise_unsafe": "UNSAFE: {why}",
        "exercise_ends_here": "The exercise ends here.",
        "draw_no_machine_level_found": "No machine of level {level} was found for seed {seed}; take "
        "another seed.",
        "exercise_owner_says": 'The owner says: "{job}."',
        "exercise_machine_has_no_such": "This machine has no such thing.",
        "exercise_there_danger_sign_before": "There was a danger sign. Before '{title}' the supply is cut.",
        "exercise_hangs_on_something_else": "That hangs on something else first: {ask}",
        "exercise_could_not_done": "could not be done",
        "exercise_done_now_prove": "Done: {remedy}. Now prove it.",
        "exercise_called_fit_for_use": "It was called fit for use without having been run again and looked "
        "at.",
        "exercise_job_closed": "The job is closed.",
        "exercise_exercise_over": "The exercise is over.",
        "exercise_after_stop_nothing_touched": "'{title}' after a stop: nothing may be touched then.",
        "exercise_needs_machine_open_proved": "'{title}' needs the machine open and proved dead. It is: "
        "{where}.",
        "exercise_needs_supply_cut_not": "'{title}' needs the supply cut, and it is not confirmed cut.",
        "exercise_with_covers_off_machine": "'{title}' with the covers off and the machine not proved dead.",
        "exercise_switched_on_before_list": "It was switched on before the list was gone through. First: "
        "{text}",
        "exercise_covers_were_taken_off": "The covers were taken off with the supply not confirmed cut.",
        "exercise_out_turn": "out of turn: {text}",
        "exercise_not_now_something_else": "Not now: something else comes first, or it is done already.",
        "exercise_machine_kind_cannot_have": "A machine of this kind cannot have that.",
        "exercise_noted_for_licensed_person": "Noted for a licensed person: {remedy}.",
        "exercise_job_ended_as_one": "A job is ended as one of: {names}.",
        "exercise_tried_leave": "tried to leave it: {reason}",
        "exercise_wanted_on_machine_does": "wanted '{title}' on a machine that does not run",
        "exercise_does_not_run_switch": "It does not run: switch it on first, by the list.",
        "exercise_there_no_action": "There is no action '{action_id}'. {hint}",
        "exercise_there_no_fault": "There is no fault '{cause_id}'. {hint}",
        "exercise_machine_must_not_run": "The machine must not run now. {refusal}",
        "exercise_complaint_not_looked_at": "the complaint was not looked at again: {ask_text}",
        "exercise_not_proved": "not proved: {title}",
        "load_has_no_folder_nothing": "{pack_path} has no folder '{folder}': nothing is known of how its "
        "machines behave.",
        "machine_nothing_gives": "Nothing gives {name}.",
        "machine_only_numbers_expressions_choices": "Only numbers, expressions and choices can be computed.",
        "machine_waits_for_itself": "{name} waits for itself: {names}.",
        "making_no_machine_can_made": "No machine can be made with '{cause}'.",
        "making_cannot_on_machine": "'{cause}' cannot be on this machine.",
        "score_there_no_way_working": "There is no way of working '{way}': {names}.",
        "technician_hand_over": "hand over",
        "technician_there": "it was there",
        "technician_for_nothing": "for nothing",
        "technician_for_licensed_person": "for a licensed person: {remedy}",
    }
)
