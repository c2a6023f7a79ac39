"""Which tests tell most about a cause: counted on imagined machines, told as they are worked out."""

from __future__ import annotations

import random

import pytest
from packs import cause, observation, pack, random_pack

from faultfinder.errors import UnknownName
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.discrimination import NOTICED, Telling, telling

MOST = 3


def by_all(case: Case, name: str, sign: float) -> list[tuple[float, Telling]]:
    """Every test with its best answer, from the whole outlook: the furthest likely move first."""
    now = case.confidence()[name]
    rows = []
    for target, answers in case.outlook().items():
        move, answer = max((sign * (after[name] - now), answer) for answer, (_, after) in answers.items())
        if move > NOTICED:
            chance, after = answers[answer]
            rows.append((move * chance, Telling(target, answer, chance, after[name])))
    return sorted(rows, key=lambda row: (-row[0], row[1].observation))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("lower", [False, True])
def test_the_tests_named_are_those_that_the_whole_outlook_has_first(seed: int, lower: bool) -> None:
    rng = random.Random(f"telling:{seed}")
    case = Case(random_pack(rng))
    for name in rng.sample(sorted(case.pack.observations), 3):
        case.record(name, rng.choice(case.pack.observations[name].answers).id)
    now = case.confidence()
    for name in sorted(now, key=lambda each: -now[each])[:3]:
        found = telling(case, name, MOST, lower=lower)
        every = by_all(case, name, -1.0 if lower else 1.0)
        # Whether a test moves it enough to be noticed is counted on the imagined machines, within their draw.
        clear = [row for row in every if abs(row[1].after - now[name]) > NOTICED + 0.005]
        assert min(MOST, len(clear)) <= len(found) <= min(MOST, len(every))
        for each, (gain, _) in zip(found, every, strict=False):
            assert abs(each.after - now[name]) * each.chance == pytest.approx(gain, abs=0.004)
            assert each in [row for _, row in every]


def test_of_a_cause_too_rare_to_count_all_that_it_shows_in_is_worked_out() -> None:
    made = pack(
        [cause("rare", 0.004, {"seen": (0.1, 0.9)}), cause("common", 0.2, {"heard": (0.1, 0.9)})],
        [observation("seen", background=(0.9999, 0.0001), reliability=0.999), observation("heard")],
    )
    assert [each.observation for each in telling(Case(made), "rare", MOST)] == ["seen"]
    assert telling(Case(made), "rare", MOST, lower=True) == []


def test_of_an_unknown_cause_nothing_is_told() -> None:
    with pytest.raises(UnknownName):
        telling(Case(pack([cause("one", 0.1, {"seen": (0.1, 0.9)})], [observation("seen")])), "other", MOST)
