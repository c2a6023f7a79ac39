"""A published instance of test sequencing as a pack: six states of a system, five tests that each cost the same.

K. Pattipati, M. Alexandridis, "Application of heuristic search and information theory to sequential fault diagnosis",
IEEE Trans. Systems, Man and Cybernetics 20 (1990): the states' chances and which test fails in which state (recalled
from memory; the optimum of 2.18 tests is worked out anew by best_policy.py). Greatest information first takes 2.86.

Exactly one state holds. As a pack: each state is a rare cause of one complaint that nothing else explains, so that
given the complaint two at once are out of the question; to be wrong about any costs far more than all tests.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from packs import cause, observation, pack

from faultfinder.knowledge.model import Need, Pack

STATES: Mapping[str, tuple[float, str]] = {
    "good": (0.70, "00000"),
    "s1": (0.01, "01001"),
    "s2": (0.02, "00110"),
    "s3": (0.10, "10011"),
    "s4": (0.05, "11000"),
    "s5": (0.12, "11110"),
}
"""State -> its chance, and for each test whether it fails."""
OPTIMUM, BY_INFORMATION = 2.18, 2.86
RARE = 1e-7


def six_states(at_stake: float = 1000.0) -> tuple[Pack, dict[str, str]]:
    """The pack, and what is told. at_stake: minutes lost by being wrong about a state; each test takes one."""
    tests = [
        observation(f"t{number + 1}", background=(1.0, 0.0), reliability=1.0, need=Need.ANYWHERE, minutes=1.0)
        for number in range(5)
    ]
    seen = observation("seen", background=(1.0, 0.0), reliability=1.0, need=Need.ANYWHERE)
    causes = [
        cause(
            name,
            RARE * chance,
            {"seen": (0.0, 1.0), **{f"t{n + 1}": (0.0, 1.0) for n, bit in enumerate(fails) if bit == "1"}},
            minutes=at_stake,
            if_missed=at_stake,
        )
        for name, (chance, fails) in STATES.items()
    ]
    return pack(causes, [seen, *tests]), {"seen": "yes"}


def number_by_information(states: Sequence[str] = tuple(STATES)) -> float:
    """Expected number of tests where each next one is the one that tells most, until one state is left."""
    if len(states) == 1:
        return 0.0
    total = sum(STATES[name][0] for name in states)

    def parts(test: int) -> list[list[str]]:
        return [[name for name in states if STATES[name][1][test] == bit] for bit in "01"]

    def told(test: int) -> float:
        shares = [sum(STATES[name][0] for name in part) / total for part in parts(test)]
        return -sum(share * math.log2(share) for share in shares if share > 0.0)

    best = max(range(5), key=told)
    return 1.0 + sum(
        sum(STATES[name][0] for name in part) / total * number_by_information(part)
        for part in parts(best)
        if part
    )
