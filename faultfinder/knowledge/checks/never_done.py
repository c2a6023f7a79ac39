"""A text that tells what nobody may do, whatever the access."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.deeds import never_right
from faultfinder.knowledge.instructions.unsafe_text import bridging
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.schema.value_types import quoted

CODE = Code(
    "never-done",
    ERROR,
    "nobody may do this, in no state of the machine",
    "No fuse of another rating or anything in its place, no earth taken away, no safety switch held in, "
    "nothing but a "
    "plug in a socket, no part fed straight from the mains, no work at live parts. There is no access in "
    "which it would "
    "be right: a fault behind it is found by looking and measuring dead.",
    """
causes:
  fuse_blown:
    title: Fuse blown
    how_common: rare
    hazard: fire
    remedy: Put the fuse right
    remedy_how:
      - plug_work: Fit a bigger fuse.
    remedy_need: isolated
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
    """
causes:
  fuse_blown:
    title: Fuse blown
    how_common: rare
    hazard: fire
    remedy: Put the fuse right
    remedy_how:
      - plug_work: Fit a fuse of the rating on the plate.
    remedy_need: isolated
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
)


def check(view: View) -> Iterator[Problem]:
    for said in view.said():
        found = never_right(said.text, said.subject)
        if found is None or bridging(said.text, said.subject) is not None:
            continue
        message = f"{said.item}: {quoted(found.sentence)} {found.deed.says}"
        yield view.problem(
            CODE, said.mark, message, "it is never done, as a test or a remedy; look, or measure dead"
        )
