"""Causes that no observation tells apart."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import FIVE, look_alike_groups
from faultfinder.knowledge.analysis.machines import listed
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "look-alikes",
    WARNING,
    "no observation tells these causes apart",
    "Causes that every observation answers alike can never be told from one another: the tool ends "
    "with a tie. Add an observation that separates them five to one, or give them the same group: "
    "where nothing separates them on purpose.",
    """
causes:
  switch_dirty:
    title: Switch dirty
    how_common: rare
    hazard: none
    remedy: Clean the switch
    minutes: 5
    if_missed: 60
    shows: {slow_to_boil: often}
  switch_old:
    title: Switch old
    how_common: rare
    hazard: none
    remedy: Replace the switch
    minutes: 5
    if_missed: 60
    shows: {slow_to_boil: often}
""",
    """
causes:
  switch_dirty:
    title: Switch dirty
    how_common: rare
    hazard: none
    remedy: Clean the switch
    minutes: 5
    if_missed: 60
    group: switch
    shows: {slow_to_boil: often}
  switch_old:
    title: Switch old
    how_common: rare
    hazard: none
    remedy: Replace the switch
    minutes: 5
    if_missed: 60
    group: switch
    shows: {slow_to_boil: often}
""",
)


def check(view: View) -> Iterator[Problem]:
    for group in look_alike_groups(view):
        first, *others = group
        titles = listed(view.pack.causes[name].id for name in others)
        message = f"{first}: no observation tells it from {titles} {FIVE:g} to one"
        yield view.problem(
            CODE,
            view.mark(first, "shows"),
            message,
            "add one that does, or write the same group under each of them",
        )
