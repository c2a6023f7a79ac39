"""From the shell to the first question, as a ratio to importing PyYAML and prompt_toolkit alone; and the memory
that a whole session takes.

    python tests/benchmarks/startup.py

Both are run in turn in processes of their own; CPU seconds (user and system) are what is compared, since they hang
less on what else the machine does. The session tells every demo job again, one process a job.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROUNDS = 9
IMPORTS = "import yaml, prompt_toolkit"
SESSION = """
import resource, sys
from faultfinder.dialogue.transcript import retell
from faultfinder.job.record.record import read_record
from faultfinder.knowledge.load import load_pack
told = retell(load_pack("tumble_dryer"), read_record(sys.argv[1]).events)
print(len(told.told), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024)
"""


def cpu(arguments: list[str], environment: dict[str, str]) -> float:
    """CPU seconds of a process that reads nothing."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(arguments, env=environment, stdin=subprocess.DEVNULL, capture_output=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    with tempfile.TemporaryDirectory() as jobs:
        environment = {**os.environ, "FAULTFINDER_JOBS": jobs, "PYTHONPATH": str(ROOT)}
        ours, theirs = [], []
        for _ in range(ROUNDS):
            theirs.append(cpu([sys.executable, "-c", IMPORTS], environment))
            ours.append(cpu([sys.executable, "-m", "faultfinder"], environment))
        first, imports = statistics.median(ours), statistics.median(theirs)
        print(f"the two imports {imports:.3f} s, first question {first:.3f} s: {first / imports:.2f} times")
        for record in sorted((ROOT / "transcripts_demo").glob("*.yaml")):
            done = subprocess.run(
                [sys.executable, "-c", SESSION, str(record)],
                env=environment,
                capture_output=True,
                text=True,
                check=True,
            )
            turns, megabytes = done.stdout.split()
            print(f"{record.stem}: {turns} turns, {megabytes} MB at most")


if __name__ == "__main__":
    main()
