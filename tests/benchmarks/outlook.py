"""How long the outlook takes (every cause after every possible answer), as ratios within one run.

    python tests/benchmarks/outlook.py                 all of it, some minutes with the oracle
    python tests/benchmarks/outlook.py --no-oracle     the engine alone
    python tests/benchmarks/outlook.py --pack rules/tumble_dryer

Every time is also given as a ratio to a fixed loop (two million additions), run just before. The oracle is
pyAgrum's lazy propagation: its network is built once and timed apart, the causes alone are its targets, and it is
asked each answer by changing the evidence on that one finding, so that its own incremental updates and pruning
apply. It runs in a process of its own with a limit to its memory (--gib). Where a network has more answers than are
asked of it, the time is scaled up from those asked.
"""

from __future__ import annotations

import argparse
import multiprocessing
import random
import resource
import statistics
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1] / "helpers")]

from engine_networks import sample_levels, some_abnormal, two_level  # noqa: E402

from faultfinder.errors import TooWide  # noqa: E402
from faultfinder.reasoning.evidence.likelihood import Likelihood  # noqa: E402
from faultfinder.reasoning.inference.engine import Engine  # noqa: E402
from faultfinder.reasoning.inference.network import Network  # noqa: E402

SIZES = {
    "60/120, 3-6 causes a finding": (60, 120, (3, 6)),
    "300/1000, 3-8": (300, 1000, (3, 8)),
    "1000/5000, 3-12": (1000, 5000, (3, 12)),
    "60/120 dense, 15": (60, 120, (15, 15)),
}


def timed(job: Callable[[], Any]) -> tuple[float, Any]:
    started = time.perf_counter()
    result = job()
    return time.perf_counter() - started, result


def fixed_loop() -> float:
    """Seconds of a loop that never changes: what this machine is worth at the moment."""

    def loop() -> float:
        total = 0.0
        for number in range(2_000_000):
            total += number
        return total

    return min(timed(loop)[0] for _ in range(3))


def answers_to(
    network: Network, evidence: Mapping[int, Likelihood], reliability: float
) -> dict[int, list[Likelihood]]:
    asked: dict[int, list[Likelihood]] = {}
    for index, finding in enumerate(network.findings):
        if index not in evidence and finding.levels > 1:
            rest = (1.0 - reliability) / (finding.levels - 1)
            asked[index] = [
                tuple(reliability if k == said else rest for k in range(finding.levels))
                for said in range(finding.levels)
            ]
    return asked


def make(
    size: tuple[int, int, tuple[int, int]], abnormal: int, reliability: float, seed: int
) -> tuple[Network, dict[int, Likelihood]]:
    rng = random.Random(seed)
    network = two_level(rng, *size)
    high, low = some_abnormal(rng, network, abnormal, abnormal)
    wrong = 1.0 - reliability
    return network, {j: (wrong, reliability) for j in high} | {j: (reliability, wrong) for j in low}


def engine_times(
    network: Network, evidence: Mapping[int, Likelihood], reliability: float
) -> tuple[float, Engine, int]:
    """Seconds for evidence to outlook, all included."""

    def job() -> tuple[Engine, int]:
        engine = Engine(network, evidence)
        return engine, len(engine.outlook(answers_to(network, evidence, reliability)))

    seconds, (engine, count) = timed(job)
    return seconds, engine, count


def oracle_times(
    gum: Any, network: Network, evidence: Mapping[int, Likelihood], reliability: float, most: int
) -> tuple[float, float, int, int]:
    """Seconds to build, seconds for the outlook (scaled up), answers asked and answers there are."""
    import agrum_oracle

    build, net = timed(lambda: agrum_oracle.build(gum, network, range(len(network.findings))))
    inference = gum.LazyPropagation(net)
    for index in range(len(network.nodes)):
        inference.addTarget(f"n{index}")
    inference.setEvidence({f"f{index}": list(weights) for index, weights in evidence.items()})
    inference.makeInference()
    asked = [
        (index, weights)
        for index, each in answers_to(network, evidence, reliability).items()
        for weights in each
    ]
    chosen = asked if len(asked) <= most else random.Random(0).sample(asked, most)
    chosen.sort()

    def job() -> None:
        for index, likelihood in chosen:
            inference.addEvidence(f"f{index}", list(likelihood))
            inference.makeInference()
            for node in range(len(network.nodes)):
                inference.posterior(f"n{node}")
            inference.eraseEvidence(f"f{index}")

    seconds, _ = timed(job)
    return build, seconds * len(asked) / len(chosen), len(chosen), len(asked)


def limited(job: Callable[[], Any], gib: float) -> Any:
    """What the job gives, run in a process of its own that may take so much memory; raises MemoryError where that
    does not do."""
    ours, theirs = multiprocessing.Pipe(duplex=False)

    def work() -> None:
        most = int((gib + 1.0) * 2**30)
        resource.setrlimit(resource.RLIMIT_AS, (most, most))
        try:
            theirs.send(job())
        except Exception as problem:  # noqa: BLE001 - the library runs out of memory in its own ways
            theirs.send(f"{type(problem).__name__} with {gib:g} GiB")

    process = multiprocessing.get_context("fork").Process(target=work)
    process.start()
    theirs.close()
    try:
        found = ours.recv()
    except EOFError as problem:
        raise MemoryError(f"killed with {gib:g} GiB") from problem
    finally:
        process.join()
    if isinstance(found, str):
        raise MemoryError(found)
    return found


def compare(oracle: Any, seeds: Sequence[int], most: int, gib: float) -> None:
    for name, size in SIZES.items():
        for abnormal in (6, 12):
            for reliability in (1.0, 0.95):
                loop = fixed_loop()
                kind = "certain" if reliability == 1.0 else "soft"
                print(f"{name}; {abnormal} abnormal and {abnormal} normal answers, {kind}")
                times = []
                for seed in seeds:
                    network, evidence = make(size, abnormal, reliability, seed)
                    try:
                        seconds, engine, count = engine_times(network, evidence, reliability)
                    except TooWide as refusal:
                        print(f"    refused: {refusal}")
                        continue
                    times.append(seconds)
                    largest = max(max(solved.tape.sizes) for solved in engine.pieces)
                    print(
                        f"    seed {seed}: {seconds * 1e3:8.1f} ms = {seconds / loop:6.2f} loops, {count} findings, "
                        f"largest table {largest} entries, {engine.terms} products a run"
                    )
                if oracle is None or not times:
                    continue
                network, evidence = make(size, abnormal, reliability, seeds[0])
                try:
                    build, seconds, asked, there = limited(
                        partial(oracle_times, oracle, network, evidence, reliability, most), gib
                    )
                except MemoryError as problem:
                    print(f"    oracle: failed, {problem}")
                    continue
                print(
                    f"    oracle: {seconds * 1e3:8.0f} ms for all ({asked} of {there} answers asked), built in "
                    f"{build:.1f} s; {seconds / times[0]:.0f} times the engine (seed {seeds[0]})"
                )


def growth() -> None:
    """Time against the number of observations, the evidence the same."""
    print("growth with the observations: 60 causes, 12 abnormal and 12 normal answers")
    rng = random.Random(1)
    network = two_level(rng, 60, 1920, (3, 6))
    high, low = some_abnormal(rng, Network(network.nodes, network.findings[:120]), 12, 12)
    evidence = {j: (0.0, 1.0) for j in high} | {j: (1.0, 0.0) for j in low}
    first = 0.0
    for count in (120, 240, 480, 960, 1920):
        part = Network(network.nodes, network.findings[:count])
        seconds = min(engine_times(part, evidence, 1.0)[0] for _ in range(3))
        first = first or seconds
        print(f"    {count:5d} observations: {seconds * 1e3:7.1f} ms, {seconds / first:5.2f} times the first")


def pack_job(path: str, seeds: Sequence[int]) -> None:
    """A whole job over a pack: the outlook on all that can be asked, after each answer of a sampled machine."""
    from faultfinder import Case, load_pack

    pack = load_pack(path)
    kinds = pack.facts["type"].choices if "type" in pack.facts else {"": ""}
    loop = fixed_loop()
    print(f"{path}: the whole outlook after each of 12 answers; one loop is {loop * 1e3:.0f} ms")
    for kind in kinds:
        for seed in seeds:
            rng = random.Random(seed)
            case = Case(pack, facts={"type": kind} if kind else {})
            built = case.built()
            levels = sample_levels(rng, built.network, [rng.choice(list(built.now.values()))])
            there = dict(built.candidates)
            told = [n for n in there if pack.observations[n].symptom and levels[there[n]]]
            others = rng.sample(list(there), len(there))
            times = []
            for name in (told[:2] + others)[:12]:
                observation = pack.observations[name]
                case.record(name, observation.answers[levels[there[name]]].id)
                times.append(timed(case.outlook)[0])
            print(
                f"    {kind}, seed {seed}: median {statistics.median(times) * 1e3:6.0f} ms "
                f"= {statistics.median(times) / loop:5.2f} loops, worst {max(times) * 1e3:6.0f} ms"
            )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--no-oracle", action="store_true")
    parser.add_argument("--pack", default="rules/tumble_dryer", help="'' for none")
    parser.add_argument("--seeds", type=int, default=2)
    parser.add_argument("--most", type=int, default=60, help="answers to ask of the oracle")
    parser.add_argument("--gib", type=float, default=6.0, help="memory that the oracle may take")
    options = parser.parse_args()
    oracle = None
    if not options.no_oracle:
        import agrum_oracle

        oracle = agrum_oracle.load()
    seeds = range(options.seeds)
    loop = fixed_loop()
    print(f"fixed loop: {loop * 1e3:.0f} ms")
    compare(oracle, seeds, options.most, options.gib)
    growth()
    if options.pack:
        pack_job(options.pack, seeds)


if __name__ == "__main__":
    main()
