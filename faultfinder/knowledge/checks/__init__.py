"""The checks of a rule base, one a file: each has a CODE with its page and a generator of problems.

Order here is the order of thought, not of the output, which is by place. *Whole* checks look at what is
missing from the pack as a whole: they wait until every file and name can be read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.checks import (
    access_strict,
    act_against_words,
    act_not_here,
    act_unplaced,
    adds_up,
    also_mends,
    band_gap,
    band_overlap,
    band_turned,
    band_value,
    beyond_quantity,
    bridging,
    bringing_ring,
    certain,
    cheap_to_miss,
    choice_missing,
    class_outside,
    cut_out_alone,
    dead_passes,
    expected_outside,
    gate_shut,
    grave_not_ruled_out,
    high_background,
    idle_fact,
    idle_instrument,
    idle_let,
    idle_spread,
    key_as_name,
    key_in_text,
    licensed_work,
    limit_too_near,
    live_work,
    lone_state,
    lonely_group,
    look_alikes,
    narrow_band,
    never_done,
    never_together,
    no_how,
    no_instrument,
    no_machine,
    no_plate_value_wrong,
    no_proof,
    no_something_else,
    no_symptom,
    no_time,
    nothing_shows,
    only_if_never,
    opposite_pushes,
    other_quantity,
    proof_blind,
    proof_weak,
    safety_fact,
    same_answer,
    same_question,
    same_title,
    same_words,
    several_healthy,
    steep_cost,
    symptom_measured,
    takes_unsaid,
    too_wide,
    totals,
    unit_doubtful,
    unit_mismatch,
    unreached_answer,
    unsafe_access,
    untouched_observation,
    weak_link,
    weak_speaker,
    worthless_answer,
    yes_first,
)
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.problem import ERROR, Problem, Sink
from faultfinder.knowledge.schema.read import Gathered
from faultfinder.knowledge.schema.reading_codes import READING_CODES


@dataclass(frozen=True, slots=True)
class Check:
    code: Code
    find: Callable[[View], Iterator[Problem]]
    whole: bool = False


CHECKS: tuple[Check, ...] = (
    Check(bridging.CODE, bridging.check),
    Check(never_done.CODE, never_done.check),
    Check(act_not_here.CODE, act_not_here.check),
    Check(act_against_words.CODE, act_against_words.check),
    Check(act_unplaced.CODE, act_unplaced.check),
    Check(safety_fact.CODE, safety_fact.check),
    Check(unsafe_access.CODE, unsafe_access.check),
    Check(live_work.CODE, live_work.check),
    Check(licensed_work.CODE, licensed_work.check),
    Check(also_mends.CODE, also_mends.check),
    Check(bringing_ring.CODE, bringing_ring.check),
    Check(band_value.CODE, band_value.check),
    Check(band_turned.CODE, band_turned.check),
    Check(band_gap.CODE, band_gap.check),
    Check(band_overlap.CODE, band_overlap.check),
    Check(certain.CODE, certain.check),
    Check(yes_first.CODE, yes_first.check),
    Check(too_wide.CODE, too_wide.check),
    Check(access_strict.CODE, access_strict.check),
    Check(only_if_never.CODE, only_if_never.check),
    Check(never_together.CODE, never_together.check),
    Check(several_healthy.CODE, several_healthy.check),
    Check(choice_missing.CODE, choice_missing.check),
    Check(same_title.CODE, same_title.check),
    Check(no_how.CODE, no_how.check),
    Check(no_instrument.CODE, no_instrument.check),
    Check(idle_fact.CODE, idle_fact.check, whole=True),
    Check(no_proof.CODE, no_proof.check),
    Check(cut_out_alone.CODE, cut_out_alone.check, whole=True),
    Check(lone_state.CODE, lone_state.check, whole=True),
    Check(nothing_shows.CODE, nothing_shows.check, whole=True),
    Check(proof_blind.CODE, proof_blind.check, whole=True),
    Check(untouched_observation.CODE, untouched_observation.check, whole=True),
    Check(unreached_answer.CODE, unreached_answer.check, whole=True),
    Check(adds_up.CODE, adds_up.check, whole=True),
    Check(opposite_pushes.CODE, opposite_pushes.check, whole=True),
    Check(look_alikes.CODE, look_alikes.check, whole=True),
    Check(weak_speaker.CODE, weak_speaker.check, whole=True),
    Check(lonely_group.CODE, lonely_group.check, whole=True),
    Check(grave_not_ruled_out.CODE, grave_not_ruled_out.check, whole=True),
    Check(no_something_else.CODE, no_something_else.check, whole=True),
    Check(no_plate_value_wrong.CODE, no_plate_value_wrong.check, whole=True),
    Check(unit_mismatch.CODE, unit_mismatch.check),
    Check(unit_doubtful.CODE, unit_doubtful.check),
    Check(idle_let.CODE, idle_let.check),
    Check(idle_instrument.CODE, idle_instrument.check, whole=True),
    Check(no_time.CODE, no_time.check),
    Check(cheap_to_miss.CODE, cheap_to_miss.check),
    Check(symptom_measured.CODE, symptom_measured.check),
    Check(same_question.CODE, same_question.check),
    Check(same_answer.CODE, same_answer.check),
    Check(key_as_name.CODE, key_as_name.check),
    Check(key_in_text.CODE, key_in_text.check),
    Check(weak_link.CODE, weak_link.check, whole=True),
    Check(proof_weak.CODE, proof_weak.check, whole=True),
    Check(high_background.CODE, high_background.check),
    Check(worthless_answer.CODE, worthless_answer.check),
    Check(gate_shut.CODE, gate_shut.check, whole=True),
    Check(other_quantity.CODE, other_quantity.check),
    Check(beyond_quantity.CODE, beyond_quantity.check),
    Check(class_outside.CODE, class_outside.check, whole=True),
    Check(idle_spread.CODE, idle_spread.check),
    Check(no_machine.CODE, no_machine.check),
    Check(no_symptom.CODE, no_symptom.check, whole=True),
    Check(same_words.CODE, same_words.check),
    Check(steep_cost.CODE, steep_cost.check),
    Check(takes_unsaid.CODE, takes_unsaid.check, whole=True),
    Check(expected_outside.CODE, expected_outside.check),
    Check(limit_too_near.CODE, limit_too_near.check),
    Check(narrow_band.CODE, narrow_band.check),
    Check(dead_passes.CODE, dead_passes.check),
    Check(totals.CODE, totals.check, whole=True),
)

CODES: Mapping[str, Code] = MappingProxyType(
    {code.id: code for code in (*READING_CODES, *(check.code for check in CHECKS))}
)
"""Every code there is, with its page."""


def run_checks(
    pack: Pack, gathered: Gathered, sink: Sink, start: Mark, *, complete: bool, with_warnings: bool
) -> None:
    """Adds the problems that the checks find. complete: everything could be read and every name is known."""
    view = View(pack, gathered, start, thorough=with_warnings)
    # Two things of one name would each be told what the other lacks.
    with_warnings = with_warnings and not any(problem.code == "duplicate-id" for problem in sink.problems)
    for check in CHECKS:
        if (check.whole and not complete) or (check.code.level != ERROR and not with_warnings):
            continue
        sink.problems.extend(check.find(view))
