"""The chance that one at least of several faults is there, against counting every set of faults."""

from __future__ import annotations

import random

import pytest
from packs import cause, observation, pack, random_pack

from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.any_of import chance_of_any


def by_explanations(case: Case, group: set[str]) -> float:
    """The same from every fault set and its probability."""
    sets = case.explanations(1 << len(case.pack.causes))
    assert sum(chance for _, chance in sets) == pytest.approx(1.0, abs=1e-9)
    return sum(chance for faults, chance in sets if faults & group)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_it_is_the_sum_over_all_fault_sets_that_hold_one(seed: int) -> None:
    """Law: P(any of A | answers) = sum of P(S | answers) over the fault sets S that meet A."""
    chance = random.Random(seed)
    made = random_pack(chance, causes=6, observations=8, states=chance.choice((0, 2)))
    case = Case(made)
    for item in chance.sample(list(made.observations.values()), 4):
        case.record(item.id, chance.choice(item.answers).id)
    groups = {str(size): chance.sample(list(made.causes), size) for size in (1, 2, 4, 6)}
    found = chance_of_any(case, groups)
    for name, group in groups.items():
        assert found[name] == pytest.approx(by_explanations(case, set(group)), abs=1e-9)


def test_faults_that_explain_one_another_away_are_not_multiplied() -> None:
    """Two causes of one sure symptom: one at least is nearly certain, each by itself is not."""
    made = pack(
        [cause("one", 0.05, {"still": (0.0, 1.0)}), cause("two", 0.05, {"still": (0.0, 1.0)})],
        [observation("still", background=(0.9999, 0.0001), reliability=1.0)],
    )
    case = Case(made)
    case.record("still", "yes")
    found = chance_of_any(case, {"both": ["one", "two"], "none": [], "one": ["one"], "twice": ["one", "one"]})
    assert found["both"] > 0.98 > found["one"] and found["none"] == 0.0
    assert found["one"] == pytest.approx(case.confidence()["one"]) == pytest.approx(found["twice"])
    product = 1 - (1 - case.confidence()["one"]) * (1 - case.confidence()["two"])
    assert found["both"] > product + 0.1


def test_what_was_put_right_is_no_longer_there() -> None:
    made = pack([cause("one", 0.2, {"still": (0.1, 0.9)}), cause("two", 0.1, {})], [observation("still")])
    case = Case(made)
    case.record("still", "yes")
    case.put_right("one")
    assert chance_of_any(case, {"one": ["one"], "both": ["one", "two"]}) == {
        "one": 0.0,
        "both": pytest.approx(0.1),
    }
