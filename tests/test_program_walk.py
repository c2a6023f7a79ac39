"""The whole conversation over the shipped packs: everything near many points, far walks, and what the walks can find.

Here only so much as takes seconds: the first lines of each pack and 40 far walks. The long run makes 60,000 lines and
4,000 walks: python tests/helpers/program_walk.py
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from program_walk import PACKS, quick, walk_at_random, walk_everything, walk_far
from reading_once import shipped
from walk_rules import Broken

from faultfinder.dialogue import converse, flow
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.showing import present
from faultfinder.job import state
from faultfinder.job.state import replayed
from faultfinder.safety import gate, instructions


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_every_line_near_many_points_keeps_the_rules(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with quick():
        done = walk_everything(shipped(name), most=800)
    with capsys.disabled():
        print(f" {name}: {done.states:,} points, {done.turns:,} turns, {done.depth} deep;", end="")
    assert done.starts >= 10 and done.states > 200 and done.turns >= 800


@pytest.mark.slow
def test_long_random_walks_keep_the_rules_and_can_be_ended(capsys: pytest.CaptureFixture[str]) -> None:
    with quick():
        walked = walk_far(range(40), steps=100)
    with capsys.disabled():
        print(f" {walked.walks} random walks, {walked.turns:,} turns;", end="")
    # The walks go where it matters: each way of ending, each access, the stop and back, each return test failed.
    assert set(walked.closed) == {"fit_for_use", "left_isolated", "handed_over"}
    assert {"in_use", "isolated", "open_dead", "open_dead remedy"} <= set(walked.shown)
    assert walked.events["restart_after_stop"] and walked.events["pause"] and walked.events["correct"]
    assert any(name.endswith(": failed") for name in walked.confirmed)
    assert walked.confirmed["dead_line_neutral: voltage_found"]
    assert walked.events["a way to close looked for"] == walked.walks


@pytest.mark.slow
def test_walks_with_the_real_reasoning_keep_the_rules() -> None:
    with quick():
        walked = walk_far(range(2), steps=10, work_out=replayed)
    assert walked.turns > 10


# -- the walks find what they are there to find ----------------------------------------------------------

Patch = Callable[[pytest.MonkeyPatch], None]


def _open_door(patch: pytest.MonkeyPatch) -> None:
    for module in (gate, instructions, state.safety):
        patch.setattr(module, "permits", lambda gate, need: True)


def _stop_ignored(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(flow, "next_prompt", lambda talk: flow._step(talk) if talk.gate.stop else plain_next(talk))


def _signs_untold(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(present, "sign_lines", lambda signs: [])


plain_next = flow.next_prompt

SLIPS: dict[str, Patch] = {
    "an instruction comes out everywhere": _open_door,
    "an instruction shown is not written down": lambda patch: patch.setattr(
        AskTest, "advised", lambda self, talk: []
    ),
    "a danger sign is not told": _signs_untold,
    "a stop is ignored": _stop_ignored,
    "an absence is ignored": lambda patch: patch.setattr(converse, "_pause", lambda talk, at: ([], [])),
    "a resumed job is taken as it was left": lambda patch: patch.setattr(gate, "resumed", lambda gate: gate),
    "a job ends anyhow": lambda patch: patch.setattr(
        gate, "why_not_close", lambda gate, closing, unsafe=(): ""
    ),
    "a job can never end": lambda patch: patch.setattr(
        gate, "why_not_close", lambda gate, closing, unsafe=(): "Not today."
    ),
    "a correction's sign is lost": lambda patch: patch.setattr(state, "_seen", lambda state, *_, **__: state),
}


@pytest.mark.slow
@pytest.mark.parametrize("slip", SLIPS)
def test_a_slip_in_the_conversation_is_found(slip: str, monkeypatch: pytest.MonkeyPatch) -> None:
    SLIPS[slip](monkeypatch)
    packs = [shipped(name) for name in PACKS]
    with quick(), pytest.raises(Broken):
        for seed in range(60):
            walk_at_random(packs[seed % 2], seed, steps=100)
