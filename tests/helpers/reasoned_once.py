"""Reasoned once: for tests of what stands above the reasoning, which come to the same evidence again and again.

The same evidence gives the same figures (tests/reasoning and tests/reference hold that, and work everything out), so
what was worked out of it is kept for the next test that asks. The evidence is all that a case holds but what it
worked out: a new thing to be told counts without being named here.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from copy import copy
from typing import Any

import pytest

from faultfinder.dialogue.queries import prepare
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision import grave
from faultfinder.reasoning.inference.assessment import Assessment

WORKED_OUT = frozenset("_judged _worked_out _error _outlook _alone _weighing _priors _steps links".split())
"""What a case holds that it was not told."""
WHERE = frozenset({"_access", "access", "unreachable", "declined"})
"""What bears on the plan alone."""
RUNS = 40
"""So many of the large things are kept at a time: runs of the network, and what each answer would do."""

_packs: dict[int, Pack] = {}  # a pack that is kept keeps its number
_large: OrderedDict[Hashable, Any] = OrderedDict()


def _large_once(plain: Callable[..., Any], attribute: str) -> Callable[..., Any]:
    """attribute: where a case keeps what it worked out until it is told something; nothing, or an empty one, then."""

    def worked_out(case: Assessment, *more: object) -> Any:
        if getattr(case, attribute):
            return plain(case, *more)
        key = attribute, _told(case, but=WHERE)
        if key in _large:
            setattr(case, attribute, _large[key])
        found = plain(case, *more)
        _large[key] = getattr(case, attribute)
        _large.move_to_end(key)
        if len(_large) > RUNS:
            _large.popitem(last=False)
        return found

    return worked_out


def _once(plain: Callable[..., Any]) -> Callable[..., Any]:
    kept: dict[Hashable, Any] = {}

    def asked(case: Assessment, *more: object) -> Any:
        key = _told(case), _frozen(more)
        if key not in kept:
            kept[key] = plain(case, *more)
        return copy(kept[key])

    return asked


KEPT: tuple[tuple[Any, str, Any], ...] = (
    (Assessment, "mixture", _large_once(Assessment.mixture, "_worked_out")),
    (Assessment, "weighing", _large_once(Assessment.weighing, "_weighing")),
    (Assessment, "outlook", _large_once(Assessment.outlook, "_outlook")),
    (Assessment, "explanations", _once(Assessment.explanations)),
    (Assessment, "standard_error", property(_once(Assessment.standard_error.fget))),  # type: ignore[attr-defined]
    (Case, "steps", _once(Case.steps)),
    (grave, "chance_of_any", _once(grave.chance_of_any)),  # type: ignore[attr-defined]
    (prepare, "chance_of_any", _once(prepare.chance_of_any)),  # type: ignore[attr-defined]
    (prepare, "worth_asking", _once(prepare.worth_asking)),  # type: ignore[attr-defined]
)
"""What is worked out of a case: where it stands, its name, and the same that keeps what it gave."""


@contextmanager
def reasoning_once() -> Iterator[None]:
    """While in here the same evidence is reasoned about once, whoever asks."""
    with pytest.MonkeyPatch.context() as patch:
        for where, name, kept in KEPT:
            patch.setattr(where, name, kept)
        yield


def _told(case: Assessment, *, but: frozenset[str] = frozenset()) -> Hashable:
    """All that a case was told, and the numbers that it reasons with."""
    _packs[id(case.pack)] = case.pack
    known = {name: value for name, value in vars(case).items() if name not in WORKED_OUT | but}
    numbers = {name: value for name, value in vars(constants).items() if name.isupper()}
    return type(case), _frozen({**known, **numbers, "pack": id(case.pack)})


def _frozen(value: Any) -> Hashable:
    match value:
        case dict():
            return tuple((key, _frozen(each)) for key, each in value.items())
        case list() | tuple():
            return tuple(map(_frozen, value))
        case set():
            return frozenset(value)
    return value
