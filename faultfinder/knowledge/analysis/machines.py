"""Which sorts of machine a pack is for, what can stand on each, and how many faults a job on it has.

A *machine* is one choice for every fact that is required; the others stay unknown, and what asks for an
unknown fact is possible. Machines that the pack says it is not for are left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from itertools import islice, product

from faultfinder.knowledge.model import Cause, Pack, State

Machine = Mapping[str, str]
Conditions = Mapping[str, tuple[str, ...]]

MOST_MACHINES = 64
"""Sorts of machine looked at. Chosen: beyond it only the first ones are."""


def machines(pack: Pack) -> list[Machine]:
    """Every sort of machine the pack is for; one without any fact where no fact is required."""
    required = [fact for fact in pack.facts.values() if fact.required and fact.kind == "choice"]
    names = [fact.id for fact in required]
    sorts: Iterator[Machine] = (
        dict(zip(names, choices, strict=True)) for choices in product(*(fact.choices for fact in required))
    )
    found = (
        machine
        for machine in sorts
        if not any(
            rule.when and all(machine.get(fact) in allowed for fact, allowed in rule.when.items())
            for rule in pack.outside
        )
        and all(possible(fact.applies, machine) for fact in required)
    )
    return list(islice(found, MOST_MACHINES))


def possible(applies: Conditions, machine: Machine) -> bool:
    """Whether the conditions can hold: each fact is unknown or has an allowed choice."""
    return all(machine.get(fact, allowed[0]) in allowed for fact, allowed in applies.items())


def usual_share(pack: Pack, applies: Conditions, known: Mapping[str, object]) -> float:
    """The chance that an item that nothing known rules out can be on this machine: by the usual shares of the choices
    that are not known, facts taken as independent."""
    chance = 1.0
    for name, allowed in applies.items():
        if name in known or name not in pack.facts:
            continue
        for row in pack.facts[name].usual:
            if all(str(known.get(fact)) in values for fact, values in row.when.items()):
                chance *= min(1.0, sum(row.shares.get(choice, 0.0) for choice in allowed))
                break
    return chance


def together(*conditions: Conditions) -> Conditions | None:
    """The conditions joined, or None where they exclude one another on every machine."""
    joined: dict[str, tuple[str, ...]] = {}
    for each in conditions:
        for fact, allowed in each.items():
            both = tuple(v for v in joined[fact] if v in allowed) if fact in joined else allowed
            if not both:
                return None
            joined[fact] = both
    return joined


def in_order_of_bringing(pack: Pack) -> list[str]:
    """Causes and states, bringers before what they bring on. Rings are cut somewhere."""
    items: dict[str, Cause | State] = {**pack.causes, **pack.states}
    bringers = {name: [each for each in item.brought_on_by if each in items] for name, item in items.items()}
    while True:
        try:
            return list(TopologicalSorter(bringers).static_order())
        except CycleError as found:
            bringer, brought, *_ = found.args[1]
            bringers[brought].remove(bringer)


def reached(start: Iterable[str], onward: Callable[[str], Iterable[str]]) -> set[str]:
    """Everything that one step after another leads to, what it starts from among it."""
    found = set(start)
    waiting = list(found)
    while waiting:
        more = set(onward(waiting.pop())) - found
        found |= more
        waiting.extend(more)
    return found


def implied_totals(pack: Pack, machine: Machine) -> dict[str, float]:
    """Cause or state id -> chance that it is present on such a machine before anything is known.

    P = 1 - (1 - how_common) * product of (1 - w * P(bringer)), bringers taken as independent. What arises
    only after our own work counts 0, as does what cannot arise on the machine.
    """
    totals: dict[str, float] = {}
    for name in in_order_of_bringing(pack):
        cause = pack.causes.get(name)
        if cause is not None and (cause.after_our_work or not possible(cause.applies, machine)):
            totals[name] = 0.0
            continue
        can_be = usual_share(pack, cause.applies, machine) if cause is not None else 1.0
        absent = 1.0 - can_be * cause.how_common if cause is not None else 1.0
        item: Cause | State = cause if cause is not None else pack.states[name]
        for bringer, chance in item.brought_on_by.items():
            absent *= 1.0 - can_be * chance * totals.get(bringer, 0.0)
        totals[name] = 1.0 - absent
    return totals


def faults_a_job(pack: Pack, machine: Machine) -> float:
    """How many faults the rules expect on such a machine: the sum of the implied totals of all causes."""
    totals = implied_totals(pack, machine)
    return sum(totals[cause] for cause in pack.causes)


def machine_words(machine: Machine) -> str:
    """The machine in words of the rule file, such as `type: vented`; 'any machine' without facts."""
    return ", ".join(f"{fact}: {choice}" for fact, choice in machine.items()) or "any machine"
