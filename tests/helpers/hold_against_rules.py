"""How each fault looks on practice machines, held against what the rules say of it: where the two disagree, one of
them is wrong.

    python tests/helpers/hold_against_rules.py                          every fault, the worst disagreements first
    python tests/helpers/hold_against_rules.py --faults belt_slack_or_off,fuse_blown --machines 40
    python tests/helpers/hold_against_rules.py --sound                  machines without a fault

For each fault, machines are drawn with it alone and every observation is made once, with the noise of eye and meter.
The rules' side is the chance of each answer with that cause alone (through the states that it brings about, other
causes that it might bring on left out), averaged over the same machines. A line is one observation: what the
machines showed, what the rules expect, and how far apart they are (Kullback and Leibler's divergence in nats, of the
shares seen, each raised by a third of one case).
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from math import log
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2])]

from faultfinder.knowledge.load import load_pack  # noqa: E402
from faultfinder.knowledge.model import Pack  # noqa: E402
from faultfinder.practice.description import Description  # noqa: E402
from faultfinder.practice.draw import readable_facts  # noqa: E402
from faultfinder.practice.load import load_practice  # noqa: E402
from faultfinder.practice.machine import Machine, PracticeError  # noqa: E402
from faultfinder.practice.making import draw_fault, draw_machine  # noqa: E402
from faultfinder.reasoning.case import Case  # noqa: E402
from faultfinder.reasoning.evidence.answers import judge, understand  # noqa: E402

LEAST_CASES = 5
"""Observations made on fewer machines are passed over."""


@dataclass(frozen=True)
class Held:
    """One observation of machines with one fault ('' for none). Shares by answer; apart: how far."""

    cause: str
    observation: str
    seen: dict[str, float]
    expected: dict[str, float]
    count: int
    apart: float


def machines_with(
    pack: Pack, description: Description, cause: str, count: int
) -> Iterator[tuple[Machine, random.Random]]:
    """Machines with that fault alone, as many as asked for or as can be made."""
    made = 0
    for number in range(40 * count):
        machine = draw_machine(pack, description, f"held:{cause}:{number}")
        chance = random.Random(f"held:{cause}:{number}")
        if cause:
            try:
                machine = machine.with_faults([draw_fault(machine, cause, chance)])
            except PracticeError:
                continue
        yield machine, chance
        made += 1
        if made == count:
            return


def what_is_seen(machine: Machine, chance: random.Random) -> dict[str, str]:
    """Every observation that can be made, made once; readings as the band they fall in."""
    facts = Case(machine.pack, readable_facts(machine)).facts
    out = {}
    for name, item in machine.pack.observations.items():
        if not machine.applies(item) or machine.cannot(name):
            continue
        answer = machine.answer(name, chance)
        if item.reading is not None:
            answer = judge(machine.pack, item, understand(item, answer, 0), facts).answer
        out[name] = answer
    return out


def by_the_rules(machine: Machine, cause: str) -> dict[str, dict[str, float]]:
    """The chance of each answer with that cause alone present, for what can be asked of such a machine.

    States are taken as independent of one another given the cause: exact where an observation hangs on one of them.
    """
    pack = machine.pack
    built = Case(pack, readable_facts(machine)).built()
    network = built.network
    causes = set(built.now.values())
    present = [0.0] * len(network.nodes)
    if cause in built.now:
        present[built.now[cause]] = 1.0
    for node, law in enumerate(network.nodes):
        if node in causes:
            continue
        absent = 1.0
        for parent, weight in law.parents:
            absent *= 1.0 - present[parent] * weight
        present[node] = 1.0 - absent
    out = {}
    for (name, _), index in built.findings.items():
        finding = network.findings[index]
        upto = [sum(finding.background[: level + 1]) for level in range(finding.levels)]
        for parent, pushes in finding.parents:
            share = present[parent]
            for level in range(finding.levels):
                upto[level] *= 1.0 - share + share * sum(pushes[: level + 1])
        answers = pack.observations[name].answers
        out[name] = {
            answer.id: upto[level] - (upto[level - 1] if level else 0.0)
            for level, answer in enumerate(answers)
        }
    return out


def held(pack: Pack, description: Description, cause: str, count: int) -> list[Held]:
    """Every observation of machines with that fault, against the rules."""
    seen: dict[str, Counter[str]] = {}
    expected: dict[str, Counter[str]] = {}
    for machine, chance in machines_with(pack, description, cause, count):
        rules = by_the_rules(machine, cause)
        for name, answer in what_is_seen(machine, chance).items():
            if name in rules:
                seen.setdefault(name, Counter())[answer] += 1
                expected.setdefault(name, Counter()).update(rules[name])
    out = []
    for name, answers in seen.items():
        times = sum(answers.values())
        if times < LEAST_CASES:
            continue
        shares = {answer: total / times for answer, total in expected[name].items()}
        raised = {answer: (answers[answer] + 1 / 3) / (times + len(shares) / 3) for answer in shares}
        apart = sum(share * log(share / max(0.004, shares[answer])) for answer, share in raised.items())
        out.append(
            Held(
                cause,
                name,
                {answer: number / times for answer, number in answers.items()},
                shares,
                times,
                apart,
            )
        )
    return out


def line(row: Held) -> str:
    def shares(of: dict[str, float]) -> str:
        return ", ".join(f"{answer} {share:.2f}" for answer, share in of.items() if share >= 0.01)

    return (
        f"{row.apart:.2f} {row.cause or 'sound'} -> {row.observation}: seen {shares(row.seen)}; "
        f"rules {shares(row.expected)} (of {row.count})"
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--pack", default="tumble_dryer")
    parser.add_argument("--faults", default="", help="parted by commas; default: all")
    parser.add_argument("--machines", type=int, default=16, help="of each fault")
    parser.add_argument("--least", type=float, default=0.5, help="disagreements from here on")
    parser.add_argument("--sound", action="store_true", help="machines without a fault")
    asked = parser.parse_args()
    pack = load_pack(asked.pack)
    description = load_practice(pack, asked.pack)
    causes = [""] if asked.sound else asked.faults.split(",") if asked.faults else list(description.faults)
    rows: list[Held] = []
    for number, cause in enumerate(causes, 1):
        if sys.stderr.isatty():
            sys.stderr.write(f"\r{number}/{len(causes)} {cause:<40}")
        rows += held(pack, description, cause, asked.machines)
    for row in sorted(rows, key=lambda row: -row.apart):
        if row.apart >= asked.least:
            print(line(row))


if __name__ == "__main__":
    main()
