"""A link between things that stand on different machines."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for name, item in view.bringers.items():
        applies = view.pack.causes[name].applies if name in view.pack.causes else {}
        for observation in item.shows:
            if together(applies, view.pack.observations[observation].applies) is None:
                mark = view.mark(name, "shows", observation)
                yield Objection(
                    mark, f"{name}: shows {observation}, which is asked on other machines only", _HINT
                )
        for bringer in item.brought_on_by:
            cause = view.pack.causes.get(bringer)
            if cause is not None and together(applies, cause.applies) is None:
                mark = view.mark(name, "brought_on_by", bringer)
                yield Objection(mark, f"{name}: {bringer} arises on other machines only", _HINT)
        proof = view.pack.causes[name].proof if name in view.pack.causes else ()
        for observation in proof:
            if together(applies, view.pack.observations[observation].applies) is None:
                mark = view.mark(name, "proof")
                yield Objection(mark, f"{name}: proof {observation} is asked on other machines only", _HINT)


_HINT = "compare the applies: of both"
