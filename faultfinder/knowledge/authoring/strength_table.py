"""Causes against observations: how strongly each fault alone shows in each of them, and which look alike.

The strength of a cell is the chance that the fault, alone on a machine, makes the observation abnormal where it
would be healthy without it, through its own link or through the states and faults it brings on; the highest over
the sorts of machine that the pack is for.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from faultfinder.knowledge.analysis.discrimination import look_alike_groups
from faultfinder.knowledge.analysis.effects import Effects
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import NOWHERE, Pack
from faultfinder.knowledge.schema.read import Gathered

LEAST = 0.02
"""A strength below this is left out of the table. Chosen."""


@dataclass(frozen=True, slots=True)
class Cell:
    """strength: 0..1. answer: the abnormal answer it makes likeliest. direct: the rules link the two themselves."""

    strength: float
    answer: str
    direct: bool


@dataclass(frozen=True, slots=True)
class Group:
    """Causes that no observation tells apart. name: that of a group made on purpose, else empty."""

    causes: tuple[str, ...]
    name: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A sub-system: its causes, and the observations that any of them moves, most moved first."""

    name: str
    causes: tuple[str, ...]
    observations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StrengthTable:
    pack: Pack
    blocks: tuple[Block, ...]
    cells: Mapping[tuple[str, str], Cell]
    groups: tuple[Group, ...]

    def cell(self, cause: str, observation: str) -> Cell | None:
        return self.cells.get((cause, observation))

    def groups_of(self, cause: str) -> tuple[int, ...]:
        """Which groups a cause stands in, counted from 0."""
        return tuple(number for number, group in enumerate(self.groups) if cause in group.causes)


def strength_table(pack: Pack) -> StrengthTable:
    """The table of a checked pack."""
    view = View(pack, Gathered(), NOWHERE, thorough=False)
    cells: dict[tuple[str, str], Cell] = {}
    for effects in view.effects:
        for cause in pack.causes:
            for observation, cell in _row(pack, effects, cause).items():
                before = cells.get((cause, observation))
                if cell.strength >= LEAST and (before is None or cell.strength > before.strength):
                    cells[cause, observation] = cell
    return StrengthTable(pack, _blocks(pack, cells), cells, _groups(pack, view))


def _row(pack: Pack, effects: Effects, cause: str) -> dict[str, Cell]:
    """The cells of one cause on one sort of machine; none where it cannot be on it."""
    row = {}
    for observation, chances in effects.shown_by(cause).items():
        item = pack.observations[observation]
        healthy = item.background[0]
        strength = 1.0 - chances[0] / healthy if healthy > 0.0 else 0.0
        moved = [chance - share for chance, share in zip(chances[1:], item.background[1:], strict=True)]
        answer = item.answers[1 + moved.index(max(moved))].id if moved else item.healthy
        row[observation] = Cell(max(0.0, strength), answer, observation in pack.causes[cause].shows)
    return row


def _blocks(pack: Pack, cells: Mapping[tuple[str, str], Cell]) -> tuple[Block, ...]:
    blocks = []
    for name in dict.fromkeys(cause.sub_system for cause in pack.causes.values()):
        causes = tuple(cause.id for cause in pack.causes.values() if cause.sub_system == name)
        weight = {
            observation: sum(cells[c, observation].strength for c in causes if (c, observation) in cells)
            for observation in pack.observations
        }
        moved = sorted((o for o in weight if weight[o] > 0.0), key=lambda o: -weight[o])
        blocks.append(Block(name, causes, tuple(moved)))
    return tuple(blocks)


def _groups(pack: Pack, view: View) -> tuple[Group, ...]:
    found = [Group(tuple(names)) for names in look_alike_groups(view)]
    named: dict[str, list[str]] = {}
    for cause in pack.causes.values():
        if cause.group:
            named.setdefault(cause.group, []).append(cause.id)
    found += [Group(tuple(names), name) for name, names in named.items() if len(names) > 1]
    return tuple(found)
