"""Every sentence of a report that stands neither in a rule file nor in the safety texts, and how figures are said.

One table, so that it can be translated. Names in braces are filled in; a test fills each of them.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from types import MappingProxyType

from faultfinder.trade.readings.reading import format_quantity, format_span

WORDS: Mapping[str, str] = MappingProxyType(
    {
        # head
        "title": "Repair report: {pack}",
        "title_workshop": "Workshop form: {pack}",
        "job": "Job {job}",
        "began": "begun {at}",
        "ended": "last entry {at}",
        "minutes": "about {minutes} of work, by the times in the rules",
        # sections
        "head_notice": "Danger notice",
        "head_complaint": "What was complained of",
        "head_machine": "The machine",
        "head_found": "What was found",
        "head_done": "What was done",
        "head_readings": "Readings against their limits",
        "head_tests": "Electrical tests after the work",
        "head_left": "How the machine was left",
        "head_not_done": "Advised and not done",
        "head_possible": "Still possible",
        "head_not_looked_at": "Not looked at",
        "head_advice": "To look after",
        "head_cost": "What the fault was costing",
        "head_cautions": "Please note",
        "head_looks": "What was seen, heard and told",
        "head_skipped": "Left out",
        "head_signs": "Danger signs met",
        "head_notes": "Remarks",
        "head_evidence": "What speaks for and against",
        "head_sets": "Fault sets that explain it best",
        "head_record": "About this record",
        # the customer's page
        "customer_day": "State of {day}",
        "customer_use": "May it be used?",
        "customer_told": "What you told us",
        "customer_readings": "The readings that matter",
        "customer_open": "Still to be done",
        "customer_not_seen": "What was not looked at",
        "customer_more": "and {count} more; ask the workshop for its full form",
        "customer_tests_passed": "After the work the electrical safety tests were made, and passed.",
        "customer_no_tests": "No electrical tests after the work are written down.",
        "customer_symptom": "{ask}: {answer}",
        "customer_symptom_after": "{told}; after the work: {answer}",
        "customer_fault": "{title}{likely}: {state}",
        "state_proved": "put right, and shown to be right afterwards",
        "state_still": "worked on, but it still shows after the work",
        "state_other": "put right; what still shows has another reason",
        "state_unproved": "put right, and not checked again afterwards",
        "customer_nothing_found": "No fault is more likely than not.",
        "customer_undone": "{remedy} (for: {title})",
        "customer_possible": "Not ruled out: {titles}",
        "customer_service_on": "Have this looked at again by {date}: {title}",
        "customer_not_looked_at": "Able to burn or give a shock, and not ruled out by what was looked at: {titles}",
        "customer_unproved": "Complained of, and no reading proves that it is cured: {asks}",
        "customer_skipped": "Passed over: {asks}",
        "customer_only_what_is_written": "Whatever this page does not name was not part of the work.",
        "customer_problems": "Entries of the record that could not be taken: {count}. The workshop's form "
        "names them.",
        "customer_may_come_back": "Something that was worked on may not be cured yet: watch for it.",
        # who and where, parts, pictures
        "about_customer": "For {words}",
        "about_address": "{words}",
        "about_telephone": "telephone {words}",
        "about_appliance": "Appliance: {words}",
        "about_serial": "serial number {words}",
        "about_technician": "Done by {words}",
        "parts_used": "Parts fitted: {parts}",
        "part_count": "{count} x {part}",
        "part_price": "{count} x {part} at {price} {money}: {sum} {money}",
        "part_stock": "in stock by the list: {stock}",
        "part_no_price": "not in the list of prices",
        "invoice": "{day}, job {job}: {parts}; {minutes} by the clock",
        "invoice_sum": "{sum} {money} for parts with a price",
        "head_invoice": "For the invoice",
        "head_pictures": "Pictures",
        "picture": "{file}, {when}: {words}",
        "picture_bare": "{file}, {when}",
        "picture_gone": "{told} (the file is not here)",
        "picture_changed": "{told} (the file is no longer the one that was taken: not shown)",
        # complaint and machine
        "own_words": "In the customer's words: {text}",
        "no_complaint": "No complaint is written down.",
        "ask_answer": "{ask} {answer}",
        "name_answer": "{ask}: {answer}",
        "fact": "{ask}: {value}",
        "fact_assumed": "{ask}: {value} (assumed, not known)",
        "contradict": "These do not go together: {facts}. {words}",
        # found
        "fault": "{title}: {sure} ({chance})",
        "fault_put_right": "put right",
        "fault_open": "not put right",
        "fault_proved": "proved by measuring or looking again: {how}",
        "fault_still": "still shows after the work: {how}",
        "fault_other": "what shows still has another reason: {how}",
        "fault_unproved": "not measured or looked at again after the work",
        "fault_named": "named in the record when the job was closed",
        "brought_on": "may have been brought on by: {titles}",
        "nothing_found": "No fault is more likely than not.",
        "found_how": "How sure: the chance that the fault was there when the job began, from all that was seen.",
        "not_exact": "So many answers depend on one another here that these figures are close, not exact.",
        "hazard_fire": "left as it is, it can start a fire",
        "hazard_shock": "left as it is, it can give a shock",
        "hazard_burn": "left as it is, it can burn",
        "hazard_moving_parts": "left as it is, it can catch or hurt",
        # done
        "work": "{remedy} (for: {title})",
        "work_number": "Work {number}: {work}",
        "parts": "Parts it may take, by the rules: {parts}",
        "no_work": "Nothing was put right.",
        # readings
        "reading": "{title} ({healthy})",
        "healthy": "healthy {band}",
        "healthy_about": "healthy {band}, about {expected}",
        "limits_from": "limits worked out from {facts}",
        "assumed": "{fact} (assumed)",
        "worked_out": "{fact} (worked out from the others)",
        "set_aside": "{fact} (not the {given} given)",
        "as_found": "as found",
        "after_work": "after the work",
        "after_work_number": "after work {number}",
        "take": "{when}: {text}, {verdict}",
        "take_told": "{when}: {verdict}",
        "later": "{when}: {answer}",
        "good": "as it should be",
        "edge": "on the edge: {first} or {second}",
        "doubt": "± {doubt} (twice the standard uncertainty)",
        "told": "told, not measured here",
        "not_confirmed": "access not confirmed here",
        "replaced": "replaced by a later answer",
        "suspended": "does not count: the question before it was corrected",
        "was": "corrected; it was {text}",
        "no_readings": "Nothing was measured.",
        "no_limit": "no figure",
        "chart": "{title}: {healthy}. {takes}",
        "chart_key": "Grey: healthy. Dot: within it. Diamond: outside. Ring: on the edge. Arrow: off the scale.",
        "chart_healthy": "healthy",
        # tests
        "test": "{title}: {outcome}",
        "test_reads": "{title}: {reads}, {outcome}",
        "test_limit": "limit {limit}",
        "test_earth_inside": "Earth to heater, motor and casing, covers off",
        "test_insulation_inside": "Insulation at heater and motor, 500 V, covers off",
        "test_earth_at_plug": "Earth from plug to casing, covers on",
        "test_insulation_at_plug": "Insulation of the whole machine at the plug, 500 V",
        "test_passed": "within the limit",
        "test_failed": "OUTSIDE the limit",
        "test_skipped": "not measured",
        "no_tests": "None was made.",
        "still_owed": "Still to be made before it is used: {tests}",
        # left
        "left_fit_for_use": "Fit for use: it was run again with the covers on.",
        "left_left_isolated": "Left disconnected. It must not be used.",
        "left_as_found": "Left as found after a danger sign: nobody confirmed that it is disconnected. "
        "It must not be used.",
        "left_handed_over": "Handed over: the work is not finished. Ask whoever has taken it over before use.",
        "left_open": "The job is still open: this is the work so far.",
        "left_refused": "The record says '{state}', which the rules as they are now do not allow.",
        "why_unsafe": "Likely there and not put right: {titles}.",
        "why_owed": "Not measured or not passed: {tests}.",
        "why_stopped": "Work was stopped for danger.",
        "reopened": "It was closed before and taken up again, {times} in all.",
        "times_1": "once",
        "times_2": "twice",
        "times_more": "{count} times",
        # open points
        "undone": "{remedy} (for: {title}, {chance})",
        "undone_licensed": "for a licensed person only",
        "undone_cannot": "could not be done here",
        "undone_left": "begun and not finished",
        "undone_advised": "advised",
        "undone_again": "done once, but the fault still shows",
        "possible": "{title} ({chance})",
        "not_looked_at": "Can burn or shock, and only looking further would rule them out: {titles}.",
        "outside": "This machine is outside what the rules are for: {say}",
        # advice, service and cost
        "advice": "{advice}",
        "service_on": "Look again for: {title}, by {date} (about {uses} uses, at {week} a week, {how}).",
        "service_uses": "Look again for: {title}, after about {uses} uses of the machine.",
        "cost_cycle": "One use took about {slow} kWh, against {healthy} kWh {basis}: {extra} kWh too much ({title}).",
        "cost_basis_measured": "after the work",
        "cost_basis_expected": "for a healthy machine",
        "cost_year": "At {week} uses a week ({how}) that is about {kwh} kWh a year.",
        "cost_money": "At {price} a kWh ({how}): about {money} a year.",
        "cost_given": "as told",
        "cost_assumed": "assumed",
        "cost_estimate": "An estimate from the readings, not a bill.",
        # cautions
        "caution_first": "Local rules and the maker's instructions come first. "
        "Gas, refrigerant circuits and fixed wiring are for licensed people only.",
        "caution_limits": "This report holds what was seen, measured and written down at the time. "
        "It says nothing about what was not looked at.",
        # the workshop's part
        "skipped": "{what} ({why})",
        "because_dont_know": "not known",
        "because_cannot_here": "cannot be done here",
        "because_no_instrument": "no instrument for it",
        "because_not_competent": "not competent for it",
        "without": "not at hand: {instrument}",
        "sign_open": "{told} Not settled.",
        "sign_settled": "{told} Settled since: earth and insulation passed.",
        # evidence
        "stands": "{title}: {prior} of all such machines, {begin} at the beginning, {now} now",
        "weight_for": "{decibans} decibans for it: {what}{when}",
        "weight_against": "{decibans} decibans against it: {what}{when}",
        "weight_less": "without this one, {decibans} less",
        "weight_more": "without this one, {decibans} more",
        "weight_through": "by way of {title}, which can show in it",
        "weight_key": "Weights of evidence in decibans (10: ten to one, 20: a hundred to one), "
        "taken in the order answered, the strongest first.",
        "fault_set": "{chance}: {titles}",
        "fault_set_none": "no fault at all",
        "conflict": "These answers fit badly together; least of all: {ask}",
        # record
        "rules": "Rules: {pack}, version {version}, fingerprint {fingerprint}.",
        "seen_used": "How common faults are: the rules' numbers (for {weight} jobs) together with {jobs} jobs seen "
        "by the workshop.",
        "meter": "Readings weighed by this meter: {ranges}",
        "meter_ordinary": "Readings weighed by an ordinary meter, as the rules have it.",
        "rules_changed": "The job was begun with other rules (version {version}, fingerprint {fingerprint}): "
        "the figures here follow the rules as they are now.",
        "record_problem": "In the record: {problem}",
        "not_taken": "line {line}, not taken: {why}",
        "no_reckoning": "The chances cannot be calculated: {why}",
        "made_by": "Made from the job's record. Every figure is from it or worked out from the rules named above.",
    }
)

SURE = (
    (0.99, "as good as certain"),
    (0.90, "very likely"),
    (0.70, "likely"),
    (0.50, "more likely than not"),
    (0.20, "possible"),
    (0.00, "not likely"),
)
"""Lowest chance -> how sure that is, in words; chosen."""


def say(key: str, **fields: object) -> str:
    """The sentence of that key with its fields filled in."""
    return WORDS[key].format(**fields)


def sure(chance: float) -> str:
    """A chance in words."""
    return next(words for least, words in SURE if chance >= least)


def percent(chance: float) -> str:
    """A chance for people: whole per cent, never a false 0 or 100."""
    if chance < 0.005:
        return "<1 %"
    return f"{chance * 100:.0f} %" if chance < 0.995 else ">99 %"


def with_answer(ask: str, answer: str) -> str:
    """A question with its answer, or the name of a reading with what it was."""
    return say("ask_answer" if ask.endswith("?") else "name_answer", ask=ask, answer=answer)


def lower(text: str) -> str:
    """A text as it goes on within a sentence."""
    return text[:1].lower() + text[1:]


def name_of(id_: str) -> str:
    """An id in plain words."""
    return id_.replace("_", " ")


def moment(at: str, *, day_only: bool = False) -> str:
    """A time as it stands in a record, to the minute; what is no time comes back as it is."""
    try:
        when = datetime.fromisoformat(at)
    except ValueError:
        return at
    return when.strftime("%Y-%m-%d" if day_only else "%Y-%m-%d %H:%M")


def minutes_text(minutes: float) -> str:
    """Minutes as people say them."""
    if minutes < 90:
        return f"{minutes:.0f} min"
    return f"{minutes / 60:.1f} h"


def quantity(value: float, unit: str) -> str:
    """A figure with its unit; OL for a reading off the range."""
    return format_quantity(value, unit)


def band_text(low: float, high: float, unit: str) -> str:
    """A band for people: 'from .. to ..', 'below ..', 'above ..'."""
    return format_span(low, high, unit)
