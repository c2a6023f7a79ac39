"""Causes that no observation tells apart."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import FIVE, look_alike_groups
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection
from faultfinder.text.format import listed


def check(view: View) -> Iterator[Objection]:
    for group in look_alike_groups(view):
        first, *others = group
        titles = listed(view.pack.causes[name].id for name in others)
        message = f"{first}: no observation tells it from {titles} {FIVE:g} to one"
        yield Objection(
            view.mark(first, "shows"),
            message,
            "add one that does, or write the same group under each of them",
        )
