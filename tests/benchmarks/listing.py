"""`jobs` over a folder of many records, as ratios: from the index, to taking every record apart.

    python tests/benchmarks/listing.py 5000

The records are the demo jobs, each with a complaint of its own. CPU seconds (user and system) of this process are
compared, since they hang less on what else the machine does; the whole command is timed by the clock as well.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from faultfinder.job.events import Complaint
from faultfinder.job.history.index import INDEX, listed
from faultfinder.job.record.event_codec import to_line
from faultfinder.job.record.filesystem import Disk

sys.path[:0] = [str(Path(__file__).parents[1] / "helpers")]

from plain_search import jobs  # noqa: E402

ROOT = Path(__file__).parents[2]


def make(folder: Path, count: int) -> None:
    """So many records in the folder."""
    texts = [path.read_text() for path in sorted((ROOT / "transcripts_demo").glob("*.yaml"))]
    for number in range(count):
        words = Complaint(f"job number {number} of this workshop")
        path = folder / f"job-{number}.yaml"
        path.write_text(texts[number % len(texts)] + to_line(words) + "\n")
        path.chmod(0o600)


def cpu(run: object) -> float:
    assert callable(run)
    before = time.process_time()
    run()
    return time.process_time() - before


def main(count: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        make(folder, count)
        without = cpu(lambda: jobs(folder, Disk()))
        first = cpu(lambda: listed(folder))
        warm = min(cpu(lambda: listed(folder)) for _ in range(3))
        word = min(cpu(lambda: listed(folder, words=["number"])) for _ in range(3))
        changed = folder / "job-0.yaml"
        changed.write_text(changed.read_text() + "- {note: once more}\n")
        one = cpu(lambda: listed(folder))
        size = (folder / INDEX).stat().st_size
        environment = {**os.environ, "PYTHONPATH": str(ROOT)}
        began = time.perf_counter()
        command = [sys.executable, "-m", "faultfinder", "jobs", "--jobs", place, "number 7"]
        subprocess.run(command, env=environment, capture_output=True, check=False)
        whole = time.perf_counter() - began
    print(f"{count:,} records: taking each apart {without:.2f} s of CPU; an index of {size / 1e6:.1f} MB")
    for what, took in (
        ("first time", first),
        ("again", warm),
        ("again, with a word", word),
        ("one changed", one),
    ):
        print(f"  {what}: {took:.2f} s, {took / without:.3f} of it")
    print(f"  the whole command by the clock, with words: {whole:.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5_000)
