"""The workshop's part of a report: what speaks for and against each cause, and what explains the whole best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from faultfinder.job.report_parts import Evidence, Possible, Standing, Weight
from faultfinder.job.report_readings import answer_text
from faultfinder.job.report_walk import Recorded
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.conflict import conflict
from faultfinder.reasoning.inference.reasons import Reason, reasons

MOST = 8
"""Causes whose weights are shown; chosen."""
SETS = 3
Works = Mapping[tuple[str, int], int]
"""(observation, epoch) -> remedies carried out before."""


def evidence_of(
    case: Case,
    begin: Mapping[str, float],
    now: Mapping[str, float],
    found: Sequence[str],
    possible: Sequence[Possible],
    recorded: Sequence[Recorded],
) -> Evidence:
    """The weights for every cause found and then the likeliest others, at most MOST; two engine runs an answer."""
    names = list(dict.fromkeys([*found, *(item.cause for item in possible)]))[:MOST]
    prior = case.prior()
    works = {(item.given.observation, item.given.epoch): item.works for item in recorded}
    standings = tuple(
        Standing(
            name,
            case.pack.causes[name].title,
            prior.get(name, 0.0),
            begin[name],
            now[name],
            _weights(case, name, works),
        )
        for name in names
    )
    least = _fits_least(case)
    return Evidence(standings, _sets(case), least, case.exact)


def _weights(case: Case, cause: str, works: Works) -> tuple[Weight, ...]:
    return tuple(_weight(case, reason, works) for reason in reasons(case, cause))


def _fits_least(case: Case) -> str:
    clash = conflict(case)
    return case.pack.observations[clash.fits_least].ask if clash is not None else ""


def _weight(case: Case, reason: Reason, works: Works) -> Weight:
    observation = case.pack.observations[reason.observation]
    return Weight(
        reason.observation,
        observation.ask,
        works[reason.observation, reason.epoch],
        answer_text(observation, reason.answer) if reason.answer else "",
        reason.decibans,
        reason.left_out,
        case.pack.causes[reason.through].title if reason.through else "",
    )


def _sets(case: Case) -> tuple[tuple[tuple[str, ...], float], ...]:
    best = case.explanations(SETS)
    causes = case.pack.causes
    return tuple(
        (tuple(causes[name].title for name in causes if name in faults), chance) for faults, chance in best
    )
