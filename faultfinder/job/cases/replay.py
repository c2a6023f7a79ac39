"""A record run through the program again: does what comes out agree with what it says must come out?

The same for a demo, a worked case of a pack and a customer's job: every event is applied in order (one that
cannot be is a miss), and each `Expect` is held against the case as it stands at that point.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import Closed, Event, Expect
from faultfinder.job.state import JobState, apply, begin, replayed
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND

EVENT = "event"
"""What a miss is of where the event itself cannot be taken."""


@dataclass(frozen=True, slots=True)
class Miss:
    """Something that came out differently. `position`: of the event in the record, counted from 0."""

    position: int
    what: str
    expected: str
    got: str

    def __str__(self) -> str:
        return miss_text(self.what, self.expected, self.got)


def miss_text(what: str, expected: str, got: str) -> str:
    """A miss in words; of an event that could not be taken, why."""
    return f"not taken: {got}" if what == EVENT else f"{what}: expected {expected}, got {got}"


@dataclass(frozen=True, slots=True)
class Replayed:
    """What a record came to, and where it missed. `expectations`: how many it states. case: told all of it."""

    state: JobState
    misses: tuple[Miss, ...]
    expectations: int
    case: Case

    @property
    def holds(self) -> bool:
        return not self.misses


def replay(pack: Pack, events: Iterable[Event]) -> Replayed:
    """Run the events of a record. Raises nothing for what stands in the record: that is a miss."""
    state = begin(pack)
    misses: list[Miss] = []
    expectations = 0
    case: Case | None = None
    for position, event in enumerate(events):
        try:
            if isinstance(event, Expect):
                expectations += 1
                # One case for all that is expected at one point: it works everything out once.
                case = case or replayed(state)
                misses += _held_against(case, state, event, position)
            else:
                before, case = state, None
                state = apply(state, event)
                if isinstance(event, Closed):
                    # It names what it found; with the rules as they are now it must come out the same.
                    now = found_of(replayed(before), before)
                    if set(now) != set(event.found):
                        misses.append(Miss(position, "found", _names(event.found), _names(now)))
        except FaultFinderError as problem:
            misses.append(Miss(position, EVENT, "to be taken", str(problem)))
    return Replayed(state, tuple(misses), expectations, case or replayed(state))


def found_of(case: Case, state: JobState) -> tuple[str, ...]:
    """Causes named as found: likelier present than not when the job began, or put right in it; likeliest first."""
    if case.outside:
        return ()
    begin_ = case.found()
    names = [name for name, chance in begin_.items() if chance > FOUND or name in state.put_right]
    return tuple(sorted(names, key=lambda name: -begin_[name]))


def chances_of(case: Case) -> dict[str, float]:
    """Chance of each cause as expectations mean it: when the job began; of our own making, by now."""
    now = case.confidence()
    return {
        name: now[name] if case.pack.causes[name].after_our_work else chance
        for name, chance in case.found().items()
    }


def _held_against(case: Case, state: JobState, expect: Expect, position: int) -> list[Miss]:
    misses = []
    if expect.likely or expect.unlikely:
        chances = chances_of(case)
        for name, least in expect.likely:
            got = chances[case.cause(name).id]
            if got < least:
                misses.append(Miss(position, f"likely {name}", f"at least {least:g}", f"{got:.3f}"))
        for name, most in expect.unlikely:
            got = chances[case.cause(name).id]
            if got > most:
                misses.append(Miss(position, f"unlikely {name}", f"at most {most:g}", f"{got:.3f}"))
    if expect.first_step_one_of:
        unknown = _no_step(case.pack, expect.first_step_one_of)
        steps = [step.target for step in case.steps()[:8] if step.kind.value != "change access"][:1]
        if unknown:
            misses.append(Miss(position, EVENT, "to be taken", unknown))
        elif not set(steps) & set(expect.first_step_one_of):
            wanted = " or ".join(expect.first_step_one_of)
            misses.append(Miss(position, "first step", wanted, steps[0] if steps else "none"))
    if expect.minutes_at_most is not None and state.minutes > expect.minutes_at_most:
        misses.append(Miss(position, "minutes", f"at most {expect.minutes_at_most:g}", f"{state.minutes:g}"))
    if expect.found:
        now = found_of(case, state)
        if set(now) != set(expect.found):
            misses.append(Miss(position, "found", _names(expect.found), _names(now)))
    if expect.state:
        got_state = state.closed.state if state.closed else "not closed"
        if got_state != expect.state:
            misses.append(Miss(position, "state", expect.state, got_state))
    return misses


def _no_step(pack: Pack, named: Iterable[str]) -> str:
    """Why a name cannot be a first step: nothing of the pack has it; empty where all can be."""
    known = [*pack.observations, *pack.questions, *pack.causes]
    for name in named:
        if name not in known:
            return f"'{name}' is nothing that can be asked or put right; {did_you_mean(name, known)}".rstrip(
                "; "
            )
    return ""


def _names(names: Iterable[str]) -> str:
    return ", ".join(names) or "nothing"
