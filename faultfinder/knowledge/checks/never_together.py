"""A link between things that stand on different machines."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import together
from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.problem import WARNING, Problem

CODE = Code(
    "never-together",
    WARNING,
    "the two never meet on one machine",
    "A link whose two ends apply to different machines never does anything: one of the two applies: "
    "is wrong, or the link is.",
    """
causes:
  stand_bent:
    title: Stand bent
    how_common: rare
    hazard: none
    remedy: Replace the stand
    minutes: 5
    if_missed: 60
    applies: {type: cordless}
    shows: {flex_seen: often}
""",
    """
causes:
  stand_bent:
    title: Stand bent
    how_common: rare
    hazard: none
    remedy: Replace the stand
    minutes: 5
    if_missed: 60
    applies: {type: cordless}
    shows: {contacts_seen: {dark: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    for name, item in view.bringers.items():
        applies = view.pack.causes[name].applies if name in view.pack.causes else {}
        for observation in item.shows:
            if together(applies, view.pack.observations[observation].applies) is None:
                mark = view.mark(name, "shows", observation)
                yield view.problem(
                    CODE, mark, f"{name}: shows {observation}, which is asked on other machines only", _HINT
                )
        for bringer in item.brought_on_by:
            cause = view.pack.causes.get(bringer)
            if cause is not None and together(applies, cause.applies) is None:
                mark = view.mark(name, "brought_on_by", bringer)
                yield view.problem(CODE, mark, f"{name}: {bringer} arises on other machines only", _HINT)
        proof = view.pack.causes[name].proof if name in view.pack.causes else ()
        for observation in proof:
            if together(applies, view.pack.observations[observation].applies) is None:
                mark = view.mark(name, "proof")
                yield view.problem(
                    CODE, mark, f"{name}: proof {observation} is asked on other machines only", _HINT
                )


_HINT = "compare the applies: of both"
