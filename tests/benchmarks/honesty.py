"""Whether what is shown of an answer is what is shown once it is recorded.

    python tests/benchmarks/honesty.py                        every demo job at ten points, 20 answers each (20 min)
    python tests/benchmarks/honesty.py --every                every answer there is (hours)
    python tests/benchmarks/honesty.py --practice 50          and 50 practice jobs at three points each
    python tests/benchmarks/honesty.py --demos three_faults --points 3 --answers 10

At each point answers are drawn to observations that can be made then, half of them among the rarest quarter. Each is
looked up in the outlook of everything, then recorded; the largest difference over all causes is what counts. It must
stay within 0.03. The standard error told at the point is printed beside it, and how far the chances themselves are
from those of a run with ten times the tables.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Iterator
from pathlib import Path
from unittest import mock

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "helpers")]

from job_states import FOLDER, states_of  # noqa: E402

from faultfinder import Case, load_pack  # noqa: E402
from faultfinder.errors import FaultFinderError  # noqa: E402
from faultfinder.job.state import replayed  # noqa: E402
from faultfinder.knowledge.model import Pack  # noqa: E402
from faultfinder.practice.draw import draw_job  # noqa: E402
from faultfinder.practice.load import load_practice  # noqa: E402
from faultfinder.reasoning import constants  # noqa: E402
from faultfinder.reasoning.inference import mixture  # noqa: E402

BOUND = 0.03
LATE = (4, 15, 40)
"""Answers given at the points of a practice job."""
FINER = 10
"""How many times larger tables are for the run that the chances are held against."""


def shown_and_recorded(case: Case, count: int | None, rng: random.Random) -> list[tuple[float, float, str]]:
    """(largest difference, chance of the answer, which) for `count` answers (None: all)."""
    outlook = case.outlook()
    answers = [
        (chance, name, answer) for name, each in outlook.items() for answer, (chance, _) in each.items()
    ]
    answers.sort()
    if count is not None:
        rare = rng.sample(answers[: len(answers) // 4], min(count // 2, len(answers) // 4))
        answers = [*rare, *rng.sample(answers, min(count - len(rare), len(answers)))]
    out = []
    for chance, name, answer in answers:
        then = case.fork()
        then.record(name, answer)
        found, shown = then.confidence(), outlook[name][answer][1]
        worst = max(found, key=lambda cause: abs(found[cause] - shown[cause]))
        text = f"{name} {answer}: {worst} shown {shown[worst]:.3f}, recorded {found[worst]:.3f}"
        out.append((abs(found[worst] - shown[worst]), chance, text))
    return sorted(out, reverse=True)


def off(case: Case) -> float:
    """How far any chance is from that of a run with FINER times the tables."""
    built = case.built()
    nodes = {*built.now.values(), *built.begin.values()}
    with (
        mock.patch.object(constants, "ENTRIES", FINER * constants.ENTRIES),
        mock.patch.object(mixture, "UNLIKELY", 0.0),
    ):
        finer = mixture.Mixture(built, ()).chances(nodes)
    now = case.mixture().chances(nodes)
    return max(abs(now[node] - finer[node]) for node in nodes)


def practice_cases(pack: Pack, name: str, seed: int) -> Iterator[tuple[str, Case]]:
    """A machine whose answers come in an order by lot, complaints first."""
    job = draw_job(pack, load_practice(pack, name), str(seed))
    rng = random.Random(seed)
    case = Case(pack, job.facts)
    for name, answer in job.complaint.items():
        case.record(name, answer, complaint=True)
    names = [name for name, item in pack.observations.items() if not item.symptom]
    rng.shuffle(names)
    given = len(case.answers)
    for name in names:
        if case.askable(pack.observations[name]) and not job.machine.cannot(name):
            try:
                case.record(name, job.machine.answer(name, rng))
            except FaultFinderError:
                continue
            given += 1
            if given in LATE:
                yield f"practice {seed}, {given} answers", case.fork()
                if given == max(LATE):
                    return


def demo_cases(pack: Pack, demo: str, points: int) -> Iterator[tuple[str, Case]]:
    states = states_of(pack, demo)
    for point in range(1, points + 1):
        at = round(point / points * (len(states) - 1))
        case = replayed(states[at])
        yield f"{demo} {at}, {len(case.answers)} answers", case


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--pack", default="tumble_dryer")
    parser.add_argument("--demos", nargs="*", default=sorted(path.stem for path in FOLDER.glob("*.yaml")))
    parser.add_argument("--points", type=int, default=10)
    parser.add_argument("--answers", type=int, default=20)
    parser.add_argument("--every", action="store_true")
    parser.add_argument("--practice", type=int, default=0)
    options = parser.parse_args()
    pack = load_pack(options.pack)
    cases = [each for demo in options.demos for each in demo_cases(pack, demo, options.points)]
    worst, counted, beyond = 0.0, 0, 0
    for where, case in (
        *cases,
        *(c for s in range(options.practice) for c in practice_cases(pack, options.pack, s)),
    ):
        if case.outside:
            continue
        found = shown_and_recorded(case, None if options.every else options.answers, random.Random(where))
        counted += len(found)
        beyond += sum(difference > BOUND for difference, _, _ in found)
        difference, chance, text = found[0]
        worst = max(worst, difference)
        told = f"told {case.standard_error:.4f}, off {off(case):.4f}"
        print(f"{where}: {difference:.4f} (of an answer of chance {chance:.4f}; {text}); {told}", flush=True)
    print(f"{counted} answers, {beyond} beyond {BOUND}, the worst {worst:.4f}")


if __name__ == "__main__":
    main()
