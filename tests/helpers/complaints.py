"""Complaints as people say them over the tumble dryer's symptoms: `python tests/helpers/complaints.py [FILE]` prints
what is offered wrongly and the shares that are right. FILE: in the form of tests/packs/complaints.yaml, the default.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import yaml

from faultfinder.dialogue.hearing.complaint import matched
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack

FILE = Path(__file__).resolve().parent.parent / "packs" / "complaints.yaml"


@dataclass(frozen=True)
class Offered:
    """What was said, the symptoms that it may mean (any is right), and what was offered, the best first."""

    said: str
    means: tuple[str, ...]
    offered: tuple[str, ...]

    def right_among(self, first: int) -> bool:
        return any(name in self.means for name in self.offered[:first])


def offered(pack: Pack, path: Path = FILE) -> list[Offered]:
    """Every complaint of a file with what is offered for it."""
    symptoms = [each for each in pack.observations.values() if each.symptom]
    said = yaml.safe_load(path.read_text(encoding="utf-8"))["said"]
    return [
        Offered(each["said"], tuple(each["means"]), tuple(matched(symptoms, each["said"]))) for each in said
    ]


def share(them: Iterable[Offered], first: int) -> float:
    """The share of complaints with a right symptom among so many first ones."""
    right = [each.right_among(first) for each in them]
    return sum(right) / len(right)


def main() -> None:
    them = offered(load_pack("tumble_dryer"), Path(sys.argv[1]) if len(sys.argv) > 1 else FILE)
    for each in them:
        if not each.right_among(1):
            print(f"{each.said!r}: {', '.join(each.offered[:3]) or '-'}; means {', '.join(each.means)}")
    print(f"{len(them)} complaints: first {share(them, 1):.1%}, among three {share(them, 3):.1%}")


if __name__ == "__main__":
    main()
