"""What a pack amounts to, for its author: implied totals a machine, and the order of answers in words."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.knowledge.analysis.machines import implied_totals, machine_words, machines
from faultfinder.knowledge.model import Observation, Pack
from faultfinder.text.format import listed


@dataclass(frozen=True, slots=True)
class Totals:
    """How common each cause is on one sort of machine, most common first, with what others bring on.

    machine: its facts in words. faults: their sum, the faults that a job has by the rules.
    """

    machine: str
    causes: tuple[tuple[str, float], ...]
    faults: float


def totals_by_machine(pack: Pack) -> list[Totals]:
    """The implied totals for every sort of machine that the pack is for."""
    found = []
    for machine in machines(pack):
        totals = implied_totals(pack, machine)
        ranked = sorted(((name, totals[name]) for name in pack.causes), key=lambda pair: (-pair[1], pair[0]))
        found.append(Totals(machine_words(machine), tuple(ranked), sum(chance for _, chance in ranked)))
    return found


def order_in_words(observation: Observation) -> str:
    """Which answer is the healthy one and which wins when several faults act, as a sentence."""
    healthy, *others = [f'"{answer.text}"' for answer in observation.answers]
    if len(others) == 1:
        return f"{healthy} is healthy; {others[0]} wins over it"
    *middle, winner = others
    return f"{healthy} is healthy; then {listed(middle)}; {winner} wins over all others"
