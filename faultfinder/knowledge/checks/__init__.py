"""The checks of a rule base, one function each, by what they look at.

A check is registered by standing in one of the modules below. Their order is the order of thought, not of the output,
which is by place; of two that object to one value the first is told.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks import (
    bands,
    instructions,
    links,
    quantities,
    questions,
    remedies,
    telling_apart,
    whole_pack,
)
from faultfinder.knowledge.checks.registry import Check
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.problem import ERROR, WARNING, Problem, Sink
from faultfinder.knowledge.schema.read import Gathered

_OF_FILES = """
    no-such-pack no-files unreadable too-big not-utf8 strange-character tab yaml-syntax anchor tag document too-deep
    bad-key duplicate-key
"""
_OF_KEYS_AND_VALUES = """
    unknown-key missing-key missing-value wrong-shape bad-number number-out-of-range bad-word bad-name too-long
    key-not-here remedy-in-use unknown-act open-live
"""
_OF_NAMES_AND_LINKS = """
    no-pack duplicate-id unknown-name logged-of-another-quantity plate-rule wrong-fact few-answers which-answer
    link-to-healthy sum-over-one shares-not-one healthy-danger bad-expression fact-cycle no-class-value unknown-unit
"""
_BESIDE_THE_RULES = "case-line practice"
_DOUBTS = """
    empty-file cut-text typed-quotes passed-over access-unsaid case-doubtful practice-doubtful accept-unneeded
    accept-no-reason
"""
_ERRORS = _OF_FILES + _OF_KEYS_AND_VALUES + _OF_NAMES_AND_LINKS + _BESIDE_THE_RULES
READING_CODES: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(_ERRORS.split(), ERROR) | dict.fromkeys(_DOUBTS.split(), WARNING)
)
"""The kinds of problem that reading and building a pack can tell, with their levels."""

_MODULES = (instructions, bands, questions, links, remedies, telling_apart, quantities, whole_pack)
CHECKS = tuple(each for module in _MODULES for each in vars(module).values() if isinstance(each, Check))
CODES: Mapping[str, str] = MappingProxyType(
    {**READING_CODES, **{check.code: check.level for check in CHECKS}}
)
"""Every code there is, with its level. The page of each stands in authoring/pages.yaml."""


def run_checks(
    pack: Pack, gathered: Gathered, sink: Sink, start: Mark, *, complete: bool, with_warnings: bool
) -> None:
    """Adds the problems that the checks find. complete: everything could be read and every name is known."""
    view = View(pack, gathered, start, thorough=with_warnings)
    # Two things of one name would each be told what the other lacks.
    with_warnings = with_warnings and not any(problem.code == "duplicate-id" for problem in sink.problems)
    told = _Told(view, sink.problems)
    for check in sorted(CHECKS, key=lambda check: check.level != ERROR):
        if check.level != ERROR and not with_warnings:
            continue
        if check.whole and (not complete or sink.has_errors):
            continue
        for each in check.find(view):
            if not told.already(check, each.mark):
                problem = Problem(each.mark, check.code, check.level, each.message, each.hint or check.hint)
                sink.problems.append(problem)
                told.add(problem)


class _Told:
    """What was told so far: one mistake is told once, at its place, and not again as what follows from it.

    Of an item that could not be read whole no warning is told, nor what its access does not allow where its access or
    kind is wrong; and no second thing of a value of which one is told.
    """

    def __init__(self, view: View, problems: Iterable[Problem]) -> None:
        self.view = view
        self.values: set[Mark] = set()
        self.wrong: set[str] = set()
        self.wrong_access: set[str] = set()
        for problem in problems:
            item = view.item_at(problem.mark)
            if item is not None and problem.is_error:
                self.wrong.add(item.id)
                keys = (item.values.node.key(key) for key in ("access", "kind", "remedy_need"))
                if problem.mark.line in {key.mark.line for key in keys if key is not None}:
                    self.wrong_access.add(item.id)

    def already(self, check: Check, mark: Mark) -> bool:
        item = self.view.item_at(mark)
        if mark in self.values or (item is not None and check.level != ERROR and item.id in self.wrong):
            return True
        return item is not None and item.id in self.wrong_access and check.code in _OF_ACCESS

    def add(self, problem: Problem) -> None:
        item = self.view.item_at(problem.mark)
        if item is not None and item.mark != problem.mark:
            self.values.add(problem.mark)
        if item is not None and problem.is_error:
            self.wrong.add(item.id)


_OF_ACCESS = frozenset({"unsafe-access", "act-not-here", "act-against-words"})
"""Checks that go by the access of an item."""
