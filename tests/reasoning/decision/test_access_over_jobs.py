"""Access is never changed to and fro: simulated jobs over a shipped pack, up to the first remedy."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from faultfinder.knowledge.load import load_pack
from faultfinder.practice.draw import PracticeJob, draw_job
from faultfinder.practice.load import load_practice
from faultfinder.practice.policies import the_tools, work_through
from faultfinder.practice.technician import Work, arrive

RULES = Path(__file__).parents[3] / "rules" / "tumble_dryer"
SEEDS = (2, 13, 15)
"""Jobs that open the machine."""


class FirstRemedy(Exception):
    """The job has come to its first remedy."""


@pytest.fixture(scope="module")
def jobs() -> dict[int, PracticeJob]:
    pack = load_pack(RULES)
    description = load_practice(pack, RULES)
    return {seed: draw_job(pack, description, str(seed)) for seed in SEEDS}


def up_to_the_first_remedy(job: PracticeJob) -> tuple[int, int]:
    """How often the covers came off, and how often the access changed at all."""
    work = arrive(job)
    happen = Work.happen
    opened = changed = 0

    def counted(self: Work, event: Any) -> None:
        nonlocal opened, changed
        before = self.state.gate
        happen(self, event)
        after = self.state.gate
        opened += after.covers_off and not before.covers_off
        changed += after.access is not before.access

    def put_right(self: Work, cause: str) -> None:
        raise FirstRemedy

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Work, "happen", counted)
        patch.setattr(Work, "put_right", put_right)
        try:
            work_through(work, the_tools)
        except FirstRemedy:
            pass
    return opened, changed


@pytest.mark.slow
def test_the_machine_is_opened_at_most_once_before_the_first_remedy(jobs: dict[int, PracticeJob]) -> None:
    """And where it is left running or isolated, it is not changed back and forth for every question: no more than
    isolated and in use, twice, and open in two more."""
    found = {seed: up_to_the_first_remedy(job) for seed, job in jobs.items()}
    assert all(opened <= 1 for opened, _ in found.values()), found
    assert sum(opened for opened, _ in found.values()) >= 2, "these jobs are about machines that are opened"
    assert all(changed <= 7 for _, changed in found.values()), found
