"""Published numbers that the trade's formulas are checked against: `python tests/helpers/published.py` counts them.

Grades: 'primary' read in the standard, law, report or data file itself or a verbatim copy; 'quoted' read in a page,
data sheet or manual that quotes it; 'computed' arithmetic on such a number, or a definition put in figures;
'memory' from memory, common practice, or read where nobody can look it up: no proof of anything. Only the first two
count, and each source once, whatever its editions.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass

GRADES = ("primary", "quoted", "computed", "memory")


@dataclass(frozen=True)
class Check:
    """A formula's value, what it ought to be and how near, where that stands, and how it was read there."""

    what: str
    value: Callable[[], float]
    expected: float
    within: float
    source: str
    grade: str


def all_checks() -> list[Check]:
    """Every row of both lists."""
    from published_tables import tables
    from published_values import rows

    return [*rows(), *tables()]


def sources(checks: Iterable[Check]) -> Counter[str]:
    """How many counted rows each source gives; a source is what stands before the first comma."""
    return Counter(each.source.partition(",")[0] for each in checks if each.grade in ("primary", "quoted"))


def main() -> None:
    checks = all_checks()
    by_grade = Counter(each.grade for each in checks)
    print(", ".join(f"{by_grade[grade]} {grade}" for grade in GRADES))
    counted = sources(checks)
    print(f"{sum(counted.values())} count, from {len(counted)} sources:")
    for source, count in sorted(counted.items(), key=lambda pair: -pair[1]):
        print(f"{count:>4}  {source}")


if __name__ == "__main__":
    main()
