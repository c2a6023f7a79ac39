"""A group with a single member."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.nearest_name import did_you_mean


def check(view: View) -> Iterator[Objection]:
    members: dict[str, list[str]] = {}
    for cause in view.pack.causes.values():
        if cause.group:
            members.setdefault(cause.group, []).append(cause.id)
    for group, causes in members.items():
        if len(causes) == 1:
            mark = view.mark(causes[0], "group")
            hint = did_you_mean(group, [g for g in members if g != group]) if len(members) > 1 else ""
            yield Objection(mark, f'{causes[0]}: the group "{group}" has no other member', hint)
