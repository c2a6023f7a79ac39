"""The trade's formulas against published numbers; the rows stand beside it, with their sources and grades."""

from __future__ import annotations

import pytest
from published import GRADES, Check, all_checks, sources

CHECKS = all_checks()


@pytest.mark.slow
@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.source}: {check.what}")
def test_formula_gives_the_published_value(check: Check) -> None:
    assert abs(check.value() - check.expected) <= check.within + 1e-12, (check.value(), check.expected)


def test_there_are_sixty_published_values_from_twelve_sources() -> None:
    """Values from memory and values that were only computed do not count."""
    counted = sources(CHECKS)
    assert sum(counted.values()) >= 60
    assert len(counted) >= 12
    assert {check.grade for check in CHECKS} == set(GRADES)
