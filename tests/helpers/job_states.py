"""Cases as they stand along a recorded job, to hold figures against one another at them."""

from __future__ import annotations

from pathlib import Path

from faultfinder.job import state as job
from faultfinder.job.record.record import read_record
from faultfinder.job.state import JobState, replayed
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case

FOLDER = Path(__file__).parents[2] / "transcripts_demo"


def states_of(pack: Pack, demo: str) -> list[JobState]:
    """A recorded job after each event that told the case something."""
    state = job.begin(pack)
    out = [state]
    for event in read_record(FOLDER / f"{demo}.yaml").events:
        state = job.apply(state, event)
        if state.given != out[-1].given:
            out.append(state)
    return out


def cases_of(pack: Pack, demo: str, shares: tuple[float, ...]) -> list[Case]:
    """The case at these shares of a recorded job (0 its beginning, 1 its end)."""
    states = states_of(pack, demo)
    return [replayed(states[round(share * (len(states) - 1))]) for share in shares]
