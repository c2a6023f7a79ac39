"""A group with a single member."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem
from faultfinder.knowledge.schema.nearest_name import did_you_mean

CODE = Code(
    "lonely-group",
    WARNING,
    "a group has one member only",
    "A group names causes that nothing separates on purpose. With one member its name is misspelt, "
    "or the other cause is gone.",
    """
causes:
  plug_loose:
    title: Plug loose
    how_common: rare
    hazard: fire
    remedy: Replace the socket
    minutes: 5
    if_missed: 60
    group: plugs
    shows: {stays_cold: often}
""",
    """
causes:
  plug_loose:
    title: Plug loose
    how_common: rare
    hazard: fire
    remedy: Replace the socket
    minutes: 5
    if_missed: 60
    shows: {stays_cold: often}
""",
)


def check(view: View) -> Iterator[Problem]:
    members: dict[str, list[str]] = {}
    for cause in view.pack.causes.values():
        if cause.group:
            members.setdefault(cause.group, []).append(cause.id)
    for group, causes in members.items():
        if len(causes) == 1:
            mark = view.mark(causes[0], "group")
            hint = did_you_mean(group, [g for g in members if g != group]) if len(members) > 1 else ""
            yield view.problem(CODE, mark, f'{causes[0]}: the group "{group}" has no other member', hint)
