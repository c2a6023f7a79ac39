"""The checks of a rule base, a file each (those of bands and of units together): a generator of objections.

Order here is the order of thought, not of the output, which is by place; of two that object to one value the first is
told. *Whole* checks look at what is
missing from the pack as a whole: they wait until every file and name can be read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks import (
    access_strict,
    act_against_words,
    act_not_here,
    act_unplaced,
    adds_up,
    also_mends,
    band_names,
    bands,
    beyond_quantity,
    bridging,
    bringing_ring,
    certain,
    cheap_to_miss,
    choice_missing,
    class_outside,
    cut_out_alone,
    electrics_unsaid,
    gate_shut,
    grave_not_ruled_out,
    high_background,
    idle_fact,
    idle_instrument,
    idle_let,
    idle_spread,
    in_vain_healthy,
    key_as_name,
    key_in_text,
    licensed_work,
    live_work,
    lone_state,
    lonely_group,
    look_alikes,
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
    units,
    unreached_answer,
    unsafe_access,
    untouched_observation,
    weak_link,
    weak_speaker,
    worthless_answer,
    yes_first,
)
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.problem import ERROR, WARNING, Objection, Problem, Sink
from faultfinder.knowledge.schema.read import Gathered
from faultfinder.knowledge.schema.reading_codes import READING_CODES


@dataclass(frozen=True, slots=True)
class Check:
    code: str
    level: str
    find: Callable[[View], Iterator[Objection]]
    whole: bool = False


CHECKS: tuple[Check, ...] = (
    Check("bridging", ERROR, bridging.check),
    Check("never-done", ERROR, never_done.check),
    Check("act-not-here", ERROR, act_not_here.check),
    Check("act-against-words", ERROR, act_against_words.check),
    Check("act-unplaced", WARNING, act_unplaced.check),
    Check("safety-fact", ERROR, safety_fact.check),
    Check("unsafe-access", ERROR, unsafe_access.check),
    Check("live-work", ERROR, live_work.check),
    Check("licensed-work", ERROR, licensed_work.check),
    Check("also-mends", ERROR, also_mends.check),
    Check("bringing-ring", ERROR, bringing_ring.check),
    Check("band-value", ERROR, bands.value),
    Check("band-turned", ERROR, bands.turned),
    Check("band-gap", ERROR, bands.gap),
    Check("band-overlap", ERROR, bands.overlap),
    Check("band-names", WARNING, band_names.check),
    Check("electrics-unsaid", WARNING, electrics_unsaid.check),
    Check("expected-outside", WARNING, bands.outside),
    Check("limit-too-near", WARNING, bands.near),
    Check("narrow-band", WARNING, bands.narrow),
    Check("dead-passes", WARNING, bands.dead),
    Check("certain", WARNING, certain.check),
    Check("yes-first", WARNING, yes_first.check),
    Check("too-wide", WARNING, too_wide.check),
    Check("access-strict", WARNING, access_strict.check),
    Check("only-if-never", WARNING, only_if_never.check),
    Check("in-vain-healthy", WARNING, in_vain_healthy.check),
    Check("never-together", WARNING, never_together.check),
    Check("several-healthy", WARNING, several_healthy.check),
    Check("choice-missing", WARNING, choice_missing.check),
    Check("same-title", WARNING, same_title.check),
    Check("no-how", WARNING, no_how.check),
    Check("no-instrument", WARNING, no_instrument.check),
    Check("idle-fact", WARNING, idle_fact.check, whole=True),
    Check("no-proof", WARNING, no_proof.check),
    Check("cut-out-alone", WARNING, cut_out_alone.check, whole=True),
    Check("lone-state", WARNING, lone_state.check, whole=True),
    Check("nothing-shows", WARNING, nothing_shows.check, whole=True),
    Check("proof-blind", WARNING, proof_blind.check, whole=True),
    Check("untouched-observation", WARNING, untouched_observation.check, whole=True),
    Check("unreached-answer", WARNING, unreached_answer.check, whole=True),
    Check("adds-up", WARNING, adds_up.check, whole=True),
    Check("opposite-pushes", WARNING, opposite_pushes.check, whole=True),
    Check("look-alikes", WARNING, look_alikes.check, whole=True),
    Check("weak-speaker", WARNING, weak_speaker.check, whole=True),
    Check("lonely-group", WARNING, lonely_group.check, whole=True),
    Check("grave-not-ruled-out", WARNING, grave_not_ruled_out.check, whole=True),
    Check("no-something-else", WARNING, no_something_else.check, whole=True),
    Check("no-plate-value-wrong", WARNING, no_plate_value_wrong.check, whole=True),
    Check("unit-mismatch", ERROR, units.mismatch),
    Check("unit-doubtful", WARNING, units.doubtful),
    Check("idle-let", WARNING, idle_let.check),
    Check("idle-instrument", WARNING, idle_instrument.check, whole=True),
    Check("no-time", WARNING, no_time.check),
    Check("cheap-to-miss", WARNING, cheap_to_miss.check),
    Check("symptom-measured", WARNING, symptom_measured.check),
    Check("same-question", WARNING, same_question.check),
    Check("same-answer", WARNING, same_answer.check),
    Check("key-as-name", WARNING, key_as_name.check),
    Check("key-in-text", WARNING, key_in_text.check),
    Check("weak-link", WARNING, weak_link.check, whole=True),
    Check("proof-weak", WARNING, proof_weak.check, whole=True),
    Check("high-background", WARNING, high_background.check),
    Check("worthless-answer", WARNING, worthless_answer.check),
    Check("gate-shut", WARNING, gate_shut.check, whole=True),
    Check("other-quantity", WARNING, other_quantity.check),
    Check("beyond-quantity", WARNING, beyond_quantity.check),
    Check("class-outside", WARNING, class_outside.check, whole=True),
    Check("idle-spread", WARNING, idle_spread.check),
    Check("no-machine", ERROR, no_machine.check),
    Check("no-symptom", WARNING, no_symptom.check, whole=True),
    Check("same-words", WARNING, same_words.check),
    Check("steep-cost", WARNING, steep_cost.check),
    Check("takes-unsaid", WARNING, takes_unsaid.check, whole=True),
    Check("totals", WARNING, totals.check, whole=True),
)

CODES: Mapping[str, str] = MappingProxyType(
    {**READING_CODES, **{check.code: check.level for check in CHECKS}}
)
"""Every code there is, with its level. The page of each stands in authoring/pages.yaml."""


def run_checks(
    pack: Pack, gathered: Gathered, sink: Sink, start: Mark, *, complete: bool, with_warnings: bool
) -> None:
    """Adds the problems that the checks find. complete: everything could be read and every name is known."""
    view = View(pack, gathered, start, thorough=with_warnings)
    # Two things of one name would each be told what the other lacks.
    with_warnings = with_warnings and not any(problem.code == "duplicate-id" for problem in sink.problems)
    told = _Told(view, sink.problems)
    for check in sorted(CHECKS, key=lambda check: check.level != ERROR):
        if check.level != ERROR and not with_warnings:
            continue
        if check.whole and (not complete or (check.level != ERROR and sink.has_errors)):
            continue
        for each in check.find(view):
            if not told.already(check, each.mark):
                problem = Problem(each.mark, check.code, check.level, each.message, each.hint)
                sink.problems.append(problem)
                told.add(problem)


class _Told:
    """What was told so far: one mistake is told once, at its place, and not again as what follows from it.

    Of an item that could not be read whole no warning is told, nor what its access does not allow where its access or
    kind is wrong; and no second thing of a value of which one is told.
    """

    def __init__(self, view: View, problems: Iterable[Problem]) -> None:
        self.view = view
        self.values: set[Mark] = set()
        self.wrong: set[str] = set()
        self.wrong_access: set[str] = set()
        for problem in problems:
            item = view.item_at(problem.mark)
            if item and problem.is_error:
                self.wrong.add(item)
                if problem.mark.line in view.access_lines(item):
                    self.wrong_access.add(item)

    def already(self, check: Check, mark: Mark) -> bool:
        item = self.view.item_at(mark)
        if mark in self.values or (check.level != ERROR and item in self.wrong):
            return True
        return item in self.wrong_access and check.code in _OF_ACCESS

    def add(self, problem: Problem) -> None:
        item = self.view.item_at(problem.mark)
        if item and not self.view.is_item(problem.mark):
            self.values.add(problem.mark)
        if item and problem.is_error:
            self.wrong.add(item)


_OF_ACCESS = frozenset({"unsafe-access", "act-not-here", "act-against-words"})
"""Checks that go by the access of an item."""
