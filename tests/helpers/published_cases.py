"""Short published cases run over the tumble dryer's rules: `python tests/helpers/published_cases.py` prints for each
the rank and the chance of the fault named there, and what stands first. The cases: tests/packs/published_cases.yaml.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from statistics import mean, median

import yaml

from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case

FILE = Path(__file__).resolve().parent.parent / "packs" / "published_cases.yaml"


@dataclass(frozen=True)
class Published:
    """One case as it is told: where and how it was read, the machine, what was found, what is named."""

    number: int
    source: str
    read: bool
    facts: dict[str, str]
    found: dict[str, str]
    fault: tuple[str, ...]


@dataclass(frozen=True)
class Outcome:
    """The best of the named faults: its rank among all causes from 1 and its chance; rank None: the rules know none.

    missing: observations of the case that the rules do not know.
    """

    case: Published
    fault: str
    rank: int | None
    chance: float
    first: str
    missing: tuple[str, ...]


def text_of(value: object) -> str:
    """YAML's yes and no, a number or a text, as the rules name it."""
    return {True: "yes", False: "no"}.get(value, str(value)) if isinstance(value, bool) else str(value)


def cases() -> list[Published]:
    """All cases in the order of the file."""
    told = yaml.safe_load(FILE.read_text(encoding="utf-8"))
    return [
        Published(
            number,
            each["at"],
            told["sources"][each["at"]]["how"] == "read",
            {name: text_of(value) for name, value in each["facts"].items()},
            {name: text_of(value) for name, value in each["found"].items()},
            tuple(each["fault"]),
        )
        for number, each in enumerate(told["cases"], 1)
    ]


def outcome(pack: Pack, published: Published) -> Outcome:
    """What the rules make of a case. Raises BadFact, BadAnswer where a fact or an answer is none of theirs."""
    case = Case(pack, dict(published.facts))
    missing = []
    for name, answer in published.found.items():
        if name not in pack.observations:
            missing.append(name)
            continue
        case.record(name, answer, complaint=True)
    chances = case.confidence()
    order = sorted(chances, key=lambda name: -chances[name])
    known = [name for name in published.fault if name in chances]
    if not known:
        return Outcome(published, published.fault[0], None, 0.0, order[0], tuple(missing))
    best = max(known, key=lambda name: chances[name])
    return Outcome(published, best, order.index(best) + 1, chances[best], order[0], tuple(missing))


def summary(outcomes: Iterable[Outcome]) -> str:
    """Cases, share that stands first and among the first three, and the chance of the named fault."""
    them = list(outcomes)
    first = sum(each.rank == 1 for each in them)
    three = sum(each.rank is not None and each.rank <= 3 for each in them)
    chances = [each.chance for each in them]
    return (
        f"{len(them)} cases: named fault first in {first}, among the first three in {three}, "
        f"unknown to the rules in {sum(each.rank is None for each in them)}; "
        f"chance mean {mean(chances):.2f}, median {median(chances):.2f}"
    )


def main() -> None:
    pack = load_pack("tumble_dryer")
    outcomes = [outcome(pack, each) for each in cases()]
    for each in outcomes:
        rank = each.rank if each.rank is not None else "-"
        other = "" if each.rank == 1 else f"   first: {each.first}"
        gone = f"   not in the rules: {', '.join(each.missing)}" if each.missing else ""
        print(
            f"{each.case.number:>3} {each.case.source:<11} {rank:>3} {each.chance:5.2f}  {each.fault}{other}{gone}"
        )
    print("read:   " + summary(each for each in outcomes if each.case.read))
    print("memory: " + summary(each for each in outcomes if not each.case.read))


if __name__ == "__main__":
    main()
