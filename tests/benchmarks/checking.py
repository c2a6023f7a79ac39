"""What `faultfinder check` of the shipped packs costs, as a ratio to loading the same files with PyYAML alone.

    python tests/benchmarks/checking.py

Both are run in turn in processes of their own; CPU seconds (user and system) are what is compared, since they hang
less on what else the machine does. PyYAML loads with its C parser, as everybody would: rules, cases and practice.
"""

from __future__ import annotations

import os
import statistics
import sys
from pathlib import Path

from startup import cpu

ROOT = Path(__file__).parents[2]
ROUNDS = 5
LOADING = """
import sys, yaml
loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
for name in sys.argv[1:]:
    with open(name, encoding="utf-8") as stream:
        yaml.load(stream, Loader=loader)
"""


def main() -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    for pack in sorted(place for place in (ROOT / "rules").iterdir() if place.is_dir()):
        files = [str(file) for file in sorted(pack.rglob("*.yaml"))]
        ours, theirs = [], []
        for _ in range(ROUNDS):
            theirs.append(cpu([sys.executable, "-c", LOADING, *files], environment))
            ours.append(cpu([sys.executable, "-m", "faultfinder", "check", str(pack)], environment))
        check, loading = statistics.median(ours), statistics.median(theirs)
        print(
            f"{pack.name}: {len(files)} files load in {loading:.2f} s, "
            f"check {check:.2f} s: {check / loading:.2f} times"
        )


if __name__ == "__main__":
    main()
