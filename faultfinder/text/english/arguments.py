"""The help of the command line: what each command does and takes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "arguments_finds_faults_appliance_with": "Finds the faults of an appliance with you,\none safe "
        "step at a time.",
        "arguments_print_traceback_internal_error": "print the traceback of an internal error",
        "arguments_print_version_leave": "print the version and leave",
        "command_new": "a new job, step by step (the same as no command)",
        "command_resume": "go on with a job",
        "command_jobs": "list the jobs, found by any word in them",
        "command_report": "write up a job",
        "command_assess": "judge facts and readings without a dialogue",
        "command_history": "what the workshop has seen over all closed jobs",
        "command_practise": "train on a simulated machine",
        "command_check": "check a rule pack",
        "command_score": "measure the tool on simulated machines",
        "command_replay": "run records through the program and compare what comes out",
        "arguments_only_jobs_whose_record": "only jobs whose record holds all these; also open, closed",
        "arguments_bring_in_records_other": "bring in the records of other folders; nothing is overwritten",
        "arguments_remove_person_from_these": "remove the person from these jobs, keep the technical record",
        "arguments_with_forget_from_every": "with --forget: every job last written to so many days ago or "
        "earlier",
        "arguments_for_whom": "for whom",
        "arguments_write_printable_page_instead": "write a printable page instead; - for standard output",
        "arguments_csv_part_price_stock": "a CSV of part, price and stock",
        "arguments_leave_out_who_where": "leave out who and where, to show it to others",
        "arguments_write_up_by_pack": "write it up by this pack instead of the record's own",
        "arguments_write_over_file_if": "write over the file if it is there (never over a record)",
        "arguments_fact_value_reading_by": "FACT=VALUE, or a reading by the letters of its name",
        "arguments_write_counts_down_put": "write the counts down, to put several vans' together",
        "arguments_add_these_counts": "add these counts",
        "arguments_warnings_count_as_errors": "warnings count as errors",
        "arguments_one_line_problem_without": "one line a problem, without the line it stands on",
        "arguments_write_mends_certain_show": "make the corrections that are certain, and show them",
        "arguments_mend_files_too_have": "mend files that have uncommitted changes too",
        "arguments_check_again_whenever_file": "check again whenever a file changes",
        "arguments_print_json_schema_rule": "print the JSON Schema of rule files, for editors; with a "
        "PACK, it offers the pack's ids",
        "arguments_print_faults_expected_job": "print how many faults are expected per job, and the order "
        "of every answer",
        "arguments_explain_kind_problem_with": "explain a kind of problem, with a bad and a good example",
        "arguments_records_run": "records to run",
        "arguments_replay_against_pack_instead": "replay against this pack instead of the record's own",
        "arguments_print_conversation": "print the conversation",
        "arguments_job_left_out": "without it the open jobs are offered",
        "arguments_records_file_its_name": "the record's file, or its name in the jobs folder",
        "arguments_where_records_kept": "where the records are kept",
        "arguments_let_workshops_own_closed": "let the workshop's own closed jobs weigh in",
        "arguments_same_number_gives_same": "the same number gives the same machine (default: a new one "
        "each time)",
        "arguments_machine_written_by_hand": "a machine written by hand",
        "arguments_share_wrong_answers_0": "share of wrong answers, 0 to 0.3",
        "arguments_lines_only": "lines only",
        "arguments_print_review_as_json": "print the review as JSON",
        "arguments_how_many_simulated_machines": "how many simulated machines",
        "arguments_seed_first_next_follow": "seed of the first machine; the others follow it",
        "arguments_how_far_physics_varied": "how far the physics is varied, 0 to 0.3 as a share",
        "arguments_every_cause_not_only": "every cause, not only where it fails most",
        "arguments_who_where_lines_such": "who and where, lines such as 'customer: ...'; kept beside the "
        "record",
        "arguments_lines_only_no_redraws": "lines only: no redraws, no bars, no colour",
        "arguments_keep_no_record_try": "keep no record (to try things out)",
        "arguments_not_from": "{text} is not from {low} to {high}",
        "arguments_default_one": "(default: one)",
        "arguments_default_any": "(default: any)",
        "arguments_ways_working_try": "ways of working to try:",
        "arguments_examples": "examples:",
        "arguments_example": "example:",
        "arguments_new_job_example": "a new job",
        "arguments_exit_status": "exit status:\n  0 done, or clean\n  1 problems, or failed cases\n  2 "
        "wrong use, or unreadable input\n  3 our own fault\n  130 interrupted",
        "arguments_pack": "a pack's name, folder or file",
        "command_talk": "the conversation for another program, as lines of JSON",
        "command_prepare": "before the visit: what to take, what to ask",
        "command_trace": "read a logged cycle",
        "command_try": "run the worked cases of a pack",
        "command_rename": "give an id another name in all files of a pack",
        "command_compare": "what comes out differently over two versions of a pack",
        "command_table": "the causes of a pack against its observations",
        "command_completion": "make a shell complete these commands",
        "arguments_default_processes": "default: {processes}",
        "no_such_language": "There is no language '{language}': FAULTFINDER_LANGUAGE names a folder of "
        "sentences, such as english.",
        "arguments_no_number": "'{text}' is not a number",
        "arguments_no_whole_number": "'{text}' is no whole number",
    }
)
