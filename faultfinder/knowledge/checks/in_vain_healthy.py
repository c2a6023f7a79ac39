"""Something that is never asked of a sound machine: the answer in its way is the healthy one."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for item in view.asked:
        for gate, answers in item.in_vain_after.items():
            if gate in view.pack.observations and view.pack.observations[gate].healthy in answers:
                healthy = view.pack.observations[gate].healthy
                yield Objection(
                    view.mark(item.id, "in_vain_after"),
                    f"{item.id}: is not asked after {gate} {healthy}, which a sound machine answers",
                    "name the answers after which it cannot be done",
                )
