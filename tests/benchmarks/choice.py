"""What a choice takes: the steps worth doing, worked out after every event of the demo jobs that told anything.

    python tests/benchmarks/choice.py                     every demo
    python tests/benchmarks/choice.py three_faults        one of them
    python tests/benchmarks/choice.py --every 4           one state in four
    python tests/benchmarks/choice.py --slowest 5         with the states that took longest

CPU time, also in fixed loops (two million additions) of the same run, since computers differ. What is timed is all
that a turn works out: the chances with the new answer, the imagined machines, and the plan; the two parts stand
below the whole.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from collections.abc import Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "helpers")]

from job_states import FOLDER, states_of  # noqa: E402

from faultfinder.job.record.record import read_record  # noqa: E402
from faultfinder.job.state import replayed  # noqa: E402
from faultfinder.knowledge.load import load_pack  # noqa: E402

ADDITIONS = 2_000_000


def fixed_loop() -> float:
    """CPU seconds of two million additions."""
    started, total = time.process_time(), 0
    for number in range(ADDITIONS):
        total += number
    return time.process_time() - started


def main(arguments: Sequence[str]) -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("demos", nargs="*", default=sorted(path.stem for path in FOLDER.glob("*.yaml")))
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--slowest", type=int, default=0)
    asked = parser.parse_args(arguments)
    loops = [fixed_loop()]
    rows: list[tuple[float, float, str]] = []
    for demo in asked.demos:
        pack = load_pack(read_record(FOLDER / f"{demo}.yaml").events[0].pack)
        states = states_of(pack, demo)
        for place in range(0, len(states), asked.every):
            case = replayed(states[place])
            if case.outside:
                continue
            started = time.process_time()
            case.confidence()
            chances = time.process_time() - started
            case.steps()
            rows.append((time.process_time() - started, chances, f"{demo} after {place} givens"))
        loops.append(fixed_loop())
    loop = statistics.median(loops)
    print(f"{len(rows)} choices; a fixed loop takes {loop * 1e3:.0f} ms")
    for name, times in (
        ("a choice", [row[0] for row in rows]),
        ("  the chances", [row[1] for row in rows]),
        ("  the plan", [row[0] - row[1] for row in rows]),
    ):
        middle, worst = statistics.median(times), max(times)
        print(
            f"{name}: median {middle:.2f} s ({middle / loop:.1f} loops), mean {statistics.mean(times):.2f} s, "
            f"worst {worst:.2f} s ({worst / loop:.1f} loops)"
        )
    for whole, chances, where in sorted(rows, reverse=True)[: asked.slowest]:
        print(f"  {where}: {whole:.2f} s, of these the chances {chances:.2f} s")


if __name__ == "__main__":
    main(sys.argv[1:])
