"""A pack that no machine is left for."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import ERROR, Problem

CODE = Code(
    "no-machine",
    ERROR,
    "the pack is for no machine",
    "outside: takes away the machines that a pack is not for. Where the choices of the required facts "
    "leave none, nobody can begin a job with it.",
    """
pack:
  title: Lamp
  version: 1
  outside:
    - {when: {kind_of: [table, floor]}, say: Not for these.}
facts:
  kind_of: {ask: Which lamp?, kind: choice, choices: {table: On a table, floor: On the floor}, required: yes}
""",
    """
pack:
  title: Lamp
  version: 1
  outside:
    - {when: {kind_of: floor}, say: Not for these.}
facts:
  kind_of: {ask: Which lamp?, kind: choice, choices: {table: On a table, floor: On the floor}, required: yes}
""",
    alone=True,
)


def check(view: View) -> Iterator[Problem]:
    if view.pack.outside and not view.machines:
        mark = view.pack.outside[0].mark
        yield view.problem(CODE, mark, "outside leaves no machine that the pack is for", "name fewer choices")
