"""What a workshop waits for, as ratios: `history` over many jobs, the workshop's form, the review of an exercise.

    python tests/benchmarks/workshop.py 5000

CPU seconds (user and system) of this process; beside them the ratio to what each is made of: taking every record
apart, one posterior of the same job, the tool's own work on the same machine.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from listing import ROOT, cpu, jobs, make

from faultfinder.job.history.index import seen
from faultfinder.job.record.filesystem import Disk
from faultfinder.job.record.record import read_record
from faultfinder.job.state import fold, replayed
from faultfinder.knowledge.load import load_pack
from faultfinder.practice import exercise
from faultfinder.practice.draw import draw_job
from faultfinder.practice.load import load_practice
from faultfinder.practice.review import review
from faultfinder.report.findings import report_of


def histories(count: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        make(folder, count)
        apart = cpu(lambda: jobs(folder, Disk()))
        first = cpu(lambda: seen(folder, Disk()))
        warm = min(cpu(lambda: seen(folder, Disk())) for _ in range(3))
    print(f"history over {count:,} jobs: the first time {first:.2f} s, again {warm:.2f} s")
    print(f"  {first / apart:.2f} and {warm / apart:.3f} of taking each apart ({apart:.1f} s)")


def forms() -> None:
    for path in sorted((ROOT / "transcripts_demo").glob("*.yaml")):
        events = read_record(path).events
        pack = load_pack(next(event.pack for event in events if hasattr(event, "pack")))
        one = cpu(lambda pack=pack, events=events: replayed(fold(pack, events)[0]).confidence())
        took = {
            workshop: cpu(
                lambda pack=pack, events=events, workshop=workshop: report_of(pack, events, workshop=workshop)
            )
            for workshop in (False, True)
        }
        print(f"{path.stem}: customer's page {took[False]:.2f} s, workshop's form {took[True]:.2f} s")
        print(f"  {took[False] / one:.1f} and {took[True] / one:.1f} of its last posterior ({one:.2f} s)")


def reviews(seeds: range) -> None:
    pack = load_pack("tumble_dryer")
    description = load_practice(pack, "tumble_dryer")
    for seed in seeds:
        going = exercise.begin(draw_job(pack, description, str(seed)))
        print(f"give up on seed {seed}: {cpu(lambda going=going: review(going)):.2f} s")


if __name__ == "__main__":
    forms()
    reviews(range(3))
    histories(int(sys.argv[1]) if len(sys.argv) > 1 else 5_000)
