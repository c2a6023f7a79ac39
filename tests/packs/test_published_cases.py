"""Short published cases of dryer faults: the fault that is named there stands first, or among the first three.

Those read and those only remembered are counted apart; the sources: tests/packs/published_cases.yaml.
"""

from __future__ import annotations

from functools import cache

import pytest
from published_cases import Outcome, cases, outcome

from faultfinder.knowledge.load import load_pack


@cache
def outcomes() -> tuple[Outcome, ...]:
    pack = load_pack("tumble_dryer")
    return tuple(outcome(pack, each) for each in cases())


@pytest.mark.slow
def test_the_rules_know_every_fault_and_every_finding() -> None:
    assert len(outcomes()) == 60
    assert [each.fault for each in outcomes() if each.rank is None] == []
    assert [each.missing for each in outcomes() if each.missing] == []


@pytest.mark.slow
@pytest.mark.parametrize("read", [True, False], ids=["read", "from memory"])
def test_the_named_fault_stands_first_in_nine_of_ten_and_among_three_in_all(read: bool) -> None:
    ranks = [each.rank or 999 for each in outcomes() if each.case.read is read]
    assert sum(rank == 1 for rank in ranks) >= 0.9 * len(ranks)
    assert all(rank <= 3 for rank in ranks)
