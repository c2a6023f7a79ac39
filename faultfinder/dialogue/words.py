"""Every sentence that the dialogue says and that does not stand in a rule file or in the safety texts.

One table, so that it can be translated. Names in braces are filled in; a test fills each of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.dialogue.words_readings import READINGS

WORDS: Mapping[str, str] = MappingProxyType(
    {
        # opening
        "title": "{pack}: a new job",
        "resumed": "{pack}: going on with job {job}",
        "file": "This is job {path}. Every answer is kept before it counts.",
        "how_to": "Answer with a number or a word. Type help at any time.",
        "seen_used": "How common faults are: the rules' numbers (for {weight} jobs) and {jobs} jobs seen here.",
        "seen_none": "No job with these rules was closed here yet: the rules' own numbers stand.",
        "lost": "These rules do not know any more what stands in the record: {what}. It may have been a danger: the "
        "machine is not used before earth and insulation pass. Look at it again by its new name, or "
        "put it right, then type: dealt with, its name, and what was done.",
        "so_far_complaint": "The complaint: {text}",
        "so_far_answer": "{name}: {answer}",
        "so_far_last": "Answers so far: {count}, the last of them {answers}.",
        "so_far_done": "Put right so far: {causes}.",
        # complaint
        "complaint_ask": "What does the customer say? Their own words, or Enter for a list.",
        "complaint_seems": "That sounds like these. Type the numbers of what is really complained of; more for all.",
        "complaint_list": "What is complained of? Type the numbers, parted by spaces; none if nothing fits.",
        "complaint_none": "No complaint taken. You can type a reading or what you see at any time.",
        "complaint_taken": "Taken: {what}.",
        # danger
        "danger_ask": "Any of these, now or before? Type the numbers, or none.",
        "urgent_ask": "That sounds like: {what}. Is it so? What you typed is kept for after it.",
        "urgent_now": "Yes, now",
        "urgent_earlier": "Earlier, gone now",
        "urgent_no": "No, that was not meant",
        "danger_no_more": "No other danger sign.",
        "danger_none": "No danger sign. Good.",
        "stopped": "Work is stopped.",
        "stopped_ask": "The job can only be ended here, or taken up again on purpose.",
        "stopped_close": "End the job: the machine stays out of use",
        "stopped_restart": "Take it up again: say why it is safe now",
        "restart_reason": "Why is it safe to go on now? In your own words; it is written in the record. "
        "Enter: leave it stopped.",
        # facts
        "connection_ask": "How is it connected?",
        "connection_plug": "By a plug in a socket",
        "connection_isolator": "By a switch beside it that can be locked off",
        "connection_fixed": "Wired in, with nothing to lock off",
        "fact_unknown": "unknown",
        "fact_where": "Where: {where}.",
        "plate_ask": "From the rating plate and the part markings: all you have, on one line.",
        "plate_example": "For example: {example}. Enter to go on without; what is missing is estimated and said.",
        "plate_known": "Known: {known}.",
        "plate_taken": "Taken: {known}.",
        "plate_contradicts": "These do not go together: {facts}. {words}",
        "fact_needed": "For what '{title}' ought to be here. Enter if unknown{assumed}.",
        "fact_assumed": ": {value} is assumed",
        # steps
        "step_minutes": "About {minutes}; expected to save {worth}.",
        "step_minutes_only": "About {minutes}.",
        "step_last": "About {minutes}; the last round before the job is closed.",
        "step_way": "First the way there: {way}.",
        "go_there_ask": "Next best: {title}. For that: {access}. Go there?",
        "go_there_prove": "To prove the repair: {title}. For that: {access}. Go there?",
        "go_there_yes": "Yes, step by step",
        "go_there_no": "Something else instead",
        "action_ask": "{number} of {count}: {text}",
        "action_why": "Why: {why}",
        "return_limit": "Limit here: {limit} ({source}).",
        "return_strictest": "It is the strictest that could hold; the country's rules may allow more.",
        "return_type": "Type what it reads, in {unit} or with its own unit. "
        "cannot: it cannot be measured here, and the machine may not be run.",
        "class_contradicts": "Class II has no earth, and here an earth was measured and failed. Which is right? Look "
        "for a square in a square on the plate. The failed test stands until it passes.",
        "slip": "Taken back: {test}. The record keeps it. Type what the tester really reads.",
        "dealt_with": "Taken note of: {name} is dealt with.",
        "dealt_with_none": "Type: dealt with, a name, and what was done. Still open: {names}.",
        "measure_none": "No test before it runs again is owed now.",
        "return_value": "Here only what the tester reads counts, or cannot. {problem}",
        "return_judged": "{test}: {reads}, {outcome}; {limit}.",
        "arrived": "Now: {access}.",
        "healthy_reads": "Healthy here: {band}.",
        "healthy_expected": "Healthy here: about {expected} ({band}).",
        "from_facts": "Worked out from {facts}.",
        "assumed": "assumed: {facts}",
        "set_aside": "not the {given} given",
        "why_head": "Why this:",
        "why_separates": "{answer} ({chance}): {cause}, now {before}, would be {after}.",
        "why_cause": "{cause} stands at {chance}.",
        "why_nothing": "Nothing answered so far speaks for or against it.",
        "why_for": "for, odds {odds}: {name} is {answer}",
        "why_against": "against, odds {odds}: {name} is {answer}",
        "why_accounted": "{cause} already accounts for {what}",
        "why_it": "it",
        "why_proof": "It proves what was put right.",
        "reading_says": "{name}: {text} is '{answer}', {against}.",
        "reading_edge": "{name}: {text} is on the edge: {answers}, {against}.",
        "answer_taken": "{name}: {answer}.",
        "not_confirmed": "Taken; its access was not confirmed here.",
        "skipped": "Left out: {name}.",
        # what changed
        "likely_head": "Likely faults now:",
        "likely_none": "Nothing stands out yet.",
        "settled": "{percent} settled, {minutes} so far. Access: {access}.",
        "conflict": "These answers do not fit well together. The one that fits least: {name}. "
        "Take it again (fingers on the probes, another path in parallel, wrong range, flat meter battery?).",
        "count_less": "Some of these answers do not fit together; each counts a little less.",
        # remedies
        "remedy_ask": "Worth putting right now: {cause} ({chance}).",
        "remedy_what": "What to do: {remedy} (about {minutes}).",
        "remedy_parts": "Parts: {parts}.",
        "remedy_do": "Do it now",
        "remedy_later": "Not now, go on looking",
        "remedy_cannot": "Cannot or not competent",
        "remedy_done_ask": "When it is done:",
        "remedy_done": "Done",
        "remedy_not_done": "Not done",
        "remedy_taken": "Written down: {remedy}. Now prove it.",
        "hand_over": "For a licensed person: {remedy} ({cause}, {chance}). It is written down for them.",
        "hand_over_ok": "Understood, go on",
        "prove_head": "Proof of the repair:",
        "then_run": "Run it to prove the repair ({cause}), covers on:",
        # before the visit
        "until_leave": "Tell them now: {text}",
        "until_off_now": "{told} Switch it off at the socket or the fuse box now, without touching it where it "
        "is wet or tingles; then the plug out, and it stays so until the visit.",
        "until_off": "Better not used until the visit, plug out: {chance} that something is wrong that can burn or "
        "shock ({faults}).",
        "until_watched": "Until the visit use it only while somebody is there and awake: {chance} that something is "
        "wrong that can burn or shock ({faults}).",
        "until_as_usual": "Nothing told speaks for switching it off until the visit. Ask for the danger signs first.",
        "until_perhaps": "The customer's words may mean: {signs} Ask. If it is so, it is switched off at the "
        "socket or the fuse box now and stays off.",
        "until_head": "Until the visit:",
        "suggested_head": "The customer's words seem to say (not counted; give the name, or --yes, to count it):",
        "suggested_line": "{ask} {answers} [{name}]",
        "suggested_which": "say which: {answers}",
        "suggested_none": "The customer's words fit none of the symptoms that this pack knows.",
        "counted": "Counted as told: {what}.",
        "parts_head": "Parts worth taking, with the chance that each is needed:",
        "parts_none": "No part stands out.",
        "part_line": "{chance}: {part} (for: {cause})",
        "instruments_head": "Instruments, with the chance that each is needed:",
        "instrument_line": "{chance}: {what}",
        "opened": "{chance} that it has to be opened: then also what proves it dead, and what tests earth and "
        "insulation before it is used again.",
        "phone_dangers": "Ask first, by telephone: is any of these there, now or before?",
        "phone_facts": "Ask about the machine:",
        "phone_plate": "Have them read the rating plate: {facts}.",
        "phone_head": "Worth asking by telephone:",
        "phone_line": "{ask} (saves {worth})",
        "phone_none": "No other question is worth its minutes.",
        # end
        "done_settled": "Nothing more is worth its minutes: the faults are settled.",
        "done_nothing": "Nothing that is left to ask is worth its minutes.",
        "done_not_decidable": "More cannot be decided with what can be done here.",
        "done_outside": "This machine is outside the pack.",
        "left_over": "Still possible: {causes}.",
        "not_looked_at": "Not looked at, named for safety: {causes}.",
        "could_tell": "{cause}: only what could not be done here would tell: {what}.",
        "found_head": "Found:",
        "found_line": "{cause}: {chance}{fixed}",
        "found_fixed": ", put right",
        "found_again": ", put right, and there again",
        "found_open": ", not put right",
        "found_nothing": "No fault is more likely than not.",
        "complaint_gone": "First the complaint: is it gone now?",
        "close_ask": "How is the machine left?",
        "close_fit": "Fit for use",
        "close_isolated": "Left isolated",
        "close_as_found": "Left as found, NOT isolated; keep everybody away from it",
        "close_handed": "Handed over",
        "close_go_on": "Go on looking",
        "closed": "The job is closed: {how}.",
        "closed_report": "Write it up with: faultfinder report {path}",
        "closed_advice": "To look after:",
        "closed_notice": "Notice for the customer:",
        "not_kept": "Nothing was kept: this was only tried out.",
        "saved": "Saved. Go on later with: faultfinder resume {path}",
        # replies
        "dont_know": "I don't know",
        "cannot_here": "Can't do that here",
        "too_many": "{count} readings at once: at most {most} are taken.",
        "too_long": "That has {count} characters; at most {most} are taken at once.",
        "not_understood": "'{text}' is not understood. {hint}",
        "which_one": "Which one is meant by '{text}'?",
        "choose": "Type one of: {words}.",
        "correct_ask": "Which answer is to be corrected? Type its number, or Enter for none.",
        "correct_none": "Nothing has been answered yet.",
        "correct_new": "The new answer for {name} (it was {old}); Enter to take it back altogether.",
        "corrected": "Corrected: {name}.",
        "taken_back": "Taken back: {name}.",
        "explain_unknown": "'{word}' is not in the glossary.",
        "paused": "That was a pause of {minutes}: what was confirmed counts no more. A short way leads back.",
        "clock_back": "The clock went back: what was confirmed counts no more. A short way leads back.",
        "noted": "Noted.",
        "rules_taken": "{pack}: the rules as they stand now, with the answers kept.",
        "what_if": "Only tried, not recorded:",
        "what_if_same": "It would change nothing that shows.",
        "sets_head": "Taken together, most probably:",
        "set_line": "{chance}: {titles}",
        "set_leaves": "leaves unexplained: {names}",
        "set_none": "no fault",
        "step_line": "{title} ({minutes}, saves {worth})",
        "step_line_last": "{title} ({minutes}, last round)",
        "show_line": "{name}: '{answer}' ({chance}) makes it {after}",
        "show_none": "Nothing that is still open would show it.",
        "rule_out_none": "Nothing that is still open would rule it out.",
        "no_step": "That is not among the steps. Type steps to see them.",
        "steps_head": "Worth doing, best first; type 'do' and a number:",
        "interrupt": "Nothing is lost. Type stop to leave, or Ctrl-C again to leave now.",
        "quit": "stop",
        **READINGS,
    }
)


def say(key: str, **fields: object) -> str:
    """The sentence of that key with its fields filled in."""
    return WORDS[key].format(**fields)


def minutes_text(minutes: float) -> str:
    """Minutes as people say them."""
    if minutes < 1:
        return "half a minute" if minutes >= 0.25 else "no time"
    if minutes < 90:
        return f"{minutes:.0f} min"
    return f"{minutes / 60:.1f} h"
