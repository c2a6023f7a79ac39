"""An expression in another quantity or unit than the one wanted: surely, or unless a number in it brings the unit."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.unit_misfits import misfits
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.problem import Objection


def mismatch(view: View) -> Iterator[Objection]:
    yield from _misfits(view, sure=True)


def doubtful(view: View) -> Iterator[Objection]:
    yield from _misfits(view, sure=False)


def _misfits(view: View, *, sure: bool) -> Iterator[Objection]:
    for each in misfits(view):
        if each.slip.sure == sure:
            yield Objection(each.mark, f"{each.what}: {each.slip.message}", each.slip.hint)
