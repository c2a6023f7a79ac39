"""The pack as a whole: what it lacks, what nothing uses, and what its numbers come to."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import faults_a_job, machine_words
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import error, warning
from faultfinder.knowledge.formulas.expression import names_in
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.strength_words import PROGRAM_FACTS, SAFETY_CHOICES


@error("safety-fact")
def choices_that_safety_does_not_know(view: View) -> Iterator[Objection]:
    for name, known in SAFETY_CHOICES.items():
        fact = view.pack.facts.get(name)
        if fact is None:
            continue
        if fact.kind != "choice":
            yield Objection(view.fact_mark(name), f"{name}: a choice of {', '.join(known)}, no number")
        for choice in fact.choices:
            if choice not in known:
                message = f'{name}: "{choice}" says nothing to the safety rules'
                yield Objection(view.fact_mark(name, "choices", choice), message, did_you_mean(choice, known))


@error("no-machine", "name fewer choices")
def no_machine_is_left(view: View) -> Iterator[Objection]:
    choosable = all(fact.choices for fact in view.pack.facts.values() if fact.kind == "choice")
    if view.pack.outside and choosable and not view.machines:
        yield Objection(view.pack.outside[0].mark, "outside leaves no machine that the pack is for")


@warning("idle-fact", "let a limit or applies: use it, or leave it out", whole=True)
def nothing_uses_the_fact(view: View) -> Iterator[Objection]:
    used = set(PROGRAM_FACTS) | _named(view.pack) | {name for text in _texts(view) for name in names_in(text)}
    for fact in view.pack.facts:
        if fact not in used:
            yield Objection(view.fact_mark(fact), f"{fact}: nothing uses this fact")


def _named(pack: Pack) -> set[str]:
    """Facts that something asks for by name."""
    named = {fact for rule in pack.outside for fact in rule.when}
    for rule in pack.plate:
        named |= set(rule.names)
    for items in (pack.causes, pack.observations, pack.questions, pack.facts):
        for item in items.values():
            named |= set(item.applies)
    return named


def _texts(view: View) -> Iterator[str]:
    """Every expression of the pack."""
    yield from (fact.class_value for fact in view.pack.facts.values() if isinstance(fact.class_value, str))
    for _, spec in view.readings:
        yield from spec.expressions


@warning("idle-instrument", "name it under needs of what is done with it, or leave it out", whole=True)
def no_observation_needs_the_instrument(view: View) -> Iterator[Objection]:
    needed = {name for item in view.asked for name in item.instruments}
    for name, _ in view.gathered.instruments:
        if name.text not in needed:
            yield Objection(name.mark, f"{name.text}: no observation needs this instrument")


@warning("no-something-else", "add it: its remedy is to stop guessing", whole=True)
def sub_system_has_no_something_else(view: View) -> Iterator[Objection]:
    firsts: dict[str, str] = {}
    for cause in view.pack.causes.values():
        firsts.setdefault(cause.sub_system, cause.id)
    for sub_system, first in firsts.items():
        wanted = f"something_else_{sub_system}"
        if wanted not in view.pack.causes:
            yield Objection(view.mark(first), f"the sub-system {sub_system} has no cause {wanted}")


@warning("no-plate-value-wrong", "add it, with the readings that it shows off", whole=True)
def class_values_without_plate_value_wrong(view: View) -> Iterator[Objection]:
    if "plate_value_wrong" in view.pack.causes:
        return
    for observation, _ in view.readings:
        for fact in view.facts_behind(observation):
            if view.pack.facts[fact].spread > 0:
                what = f"{fact} may be assumed in {observation.id}"
                message = f"{what}, but there is no cause plate_value_wrong"
                yield Objection(view.fact_mark(fact, "class_value"), message)
                return


A_PACK = 4
"""Causes. Chosen: fewer are a beginning."""


@warning("no-symptom", "write symptom: yes where customers complain of it", whole=True)
def no_complaint_can_be_told(view: View) -> Iterator[Objection]:
    if len(view.pack.causes) >= A_PACK and not any(item.symptom for item in view.asked):
        yield Objection(view.start, "no observation is a symptom, so no complaint can be told")


LEAST_FAULTS, MOST_FAULTS = 1.0, 2.5
"""Faults a job, by the sum of the implied totals. Chosen."""


@warning("totals", whole=True)
def too_many_or_too_few_faults_a_job(view: View) -> Iterator[Objection]:
    for machine in view.machines if view.pack.causes else ():
        total = faults_a_job(view.pack, machine)
        if not LEAST_FAULTS <= total <= MOST_FAULTS:
            direction = "lower" if total > MOST_FAULTS else "raise"
            expected = f"{total:.2f} faults a job on {machine_words(machine)}"
            message = f"the rules expect {expected}; {LEAST_FAULTS:g} to {MOST_FAULTS:g} is sane"
            yield Objection(view.pack_mark(), message, f"{direction} how_common or brought_on_by")
