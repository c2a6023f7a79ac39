"""How far the engine's choice of tests is from the best possible one, in expected minutes.

    python tests/benchmarks/policy.py                    500 small machines, about two minutes
    python tests/benchmarks/policy.py --instances 50     fewer of them
    python tests/benchmarks/policy.py --worst 5          with those on which it is furthest off
    python tests/benchmarks/policy.py --repairs 60       and so many very small ones with remedies as moves

The best policy of a small pack is found by exhaustive dynamic programming over every set of answers and every access
state (tests/helpers/best_policy.py has what a policy costs: minutes plus leftover regret, the same on both sides).
The engine is asked in every situation that its own choices lead to. Beside it stand simpler ways: to ask nothing, and
to ask what gains most by itself; and the engine's choice where every cause counts, not only those that the answers
raised: what is left then is what the choice of tests itself costs. No constant of the engine was chosen by looking at
these instances (the first is number 1000; numbers below were used for that).

With remedies as moves (tests/helpers/best_repairs.py) a thing can be put right early and looked at again. Only very
small packs can be worked out so; causes at their base rate weigh much there.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "helpers")]

from best_policy import cost_of, lay_out, least_cost  # noqa: E402
from policy_instances import EnginesChoice, Measured, OneStep, measure, measure_repairs, plain_minutes  # noqa: E402
from published_policy import BY_INFORMATION, OPTIMUM, number_by_information, six_states  # noqa: E402

FIRST = 1000
STEPS = (0.0, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5)


def main(arguments: Sequence[str]) -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--instances", type=int, default=500)
    parser.add_argument("--first", type=int, default=FIRST)
    parser.add_argument("--worst", type=int, default=0)
    parser.add_argument("--repairs", type=int, default=0)
    asked = parser.parse_args(arguments)
    plain_minutes()
    started = time.perf_counter()
    found = [measure(seed) for seed in range(asked.first, asked.first + asked.instances)]
    if found:
        tests_alone(found, asked.worst)
    if asked.repairs:
        with_repairs(asked.first, asked.repairs)
    print(f"{time.perf_counter() - started:.0f} s")


def tests_alone(found: Sequence[Measured], worst: int) -> None:
    """How the tests were chosen on small machines, and on the published six states."""
    excess = sorted(each.excess for each in found)
    print(f"{len(found)} small machines, {sum(each.situations for each in found)} situations:")
    print(f"  best possible {statistics.mean(each.least for each in found):.1f} min in the mean")
    told("the engine", excess)
    told("the engine, every cause counting", sorted(each.everything / each.least - 1.0 for each in found))
    told("most gain by itself first", sorted(each.one_step / each.least - 1.0 for each in found))
    told("nothing asked", sorted(each.nothing / each.least - 1.0 for each in found))
    over = [each.engine - each.least for each in found]
    print(f"  the engine in minutes: mean {statistics.mean(over):.2f}, worst {max(over):.1f}")
    print("  the engine's excess, how many machines:")
    for low, high in zip(STEPS, (*STEPS[1:], 99.0), strict=True):
        count = sum(low <= each < high or (low == 0.0 and each < 0.0) for each in excess)
        print(f"    {low:4.0%} to {f'{high:.0%}' if high < 99 else 'more':>4}: {count}")
    for each in sorted(found, key=lambda each: -each.excess)[:worst]:
        print(f"  number {each.seed}: least {each.least:.2f}, engine {each.engine:.2f} ({each.excess:+.1%})")
    pack, known = six_states()
    small = lay_out(pack, known)
    engine, _ = cost_of(small, EnginesChoice(pack, known))
    alone, _ = cost_of(small, OneStep(small))
    print("the published six states, tests in the mean:")
    print(f"  optimum {least_cost(small):.2f} (published {OPTIMUM}), the engine {engine:.2f},")
    print(
        f"  most gain first {alone:.2f}, most information first {number_by_information():.2f} ({BY_INFORMATION})"
    )


def with_repairs(first: int, count: int) -> None:
    """How tests and remedies were chosen on very small machines."""
    courses = [measure_repairs(seed) for seed in range(first, first + count)]
    print(f"{len(courses)} very small machines with remedies as moves:")
    told("the engine", sorted(each.engine / each.least - 1.0 for each in courses))
    told("the engine, every cause counting", sorted(each.everything / each.least - 1.0 for each in courses))
    over = sum(each.engine - each.least for each in courses) / sum(each.least for each in courses)
    print(f"  the engine over all of them together: {over:+.1%}")


def told(name: str, excess: Sequence[float]) -> None:
    """One line: mean, median, 95th of a hundred, worst."""
    at = excess[min(len(excess) - 1, int(0.95 * len(excess)))]
    print(
        f"  {name}: mean {statistics.mean(excess):+.1%}, median {statistics.median(excess):+.1%}, "
        f"95 of 100 within {at:+.1%}, worst {excess[-1]:+.1%}"
    )


if __name__ == "__main__":
    main(sys.argv[1:])
