"""Columns against one run of the tape each, many at a time and few; and the tape's own scaling."""

from __future__ import annotations

import math
import random

import pytest
from engine_networks import random_network, soft

from faultfinder.reasoning.inference import columns as columns_module
from faultfinder.reasoning.inference import forward_backward
from faultfinder.reasoning.inference.columns import carry
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.forward_backward import backward, forward


@pytest.mark.slow
@pytest.mark.parametrize("room", [10**7, 1])
@pytest.mark.parametrize("seed", range(12))
def test_columns_say_what_a_run_with_changed_weights_says(
    seed: int, room: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """room: enough for all columns at once, or so little that they go in batches."""
    monkeypatch.setattr(columns_module, "ROOM", room)
    rng = random.Random(seed)
    network = random_network(rng, 14, 20, links=1.0)
    engine = Engine(network, {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(20), 9)})
    for solved in engine.pieces:
        tape, run = solved.tape, solved.run
        positions = range(len(tape.leaves))
        columns = [
            {
                position: rng.choice((0.0, rng.random(), 1.0))
                for position in rng.sample(positions, min(len(positions), rng.randint(1, 4)))
            }
            for _ in range(30)
        ]
        report = sorted(rng.sample(positions, max(1, len(positions) - 1)))
        totals, rows = carry(tape, run, columns, report)
        assert carry(tape, run, columns, ())[0] == totals
        for column, total, row in zip(columns, totals, rows, strict=True):
            own = list(run.own)
            for position, factor in column.items():
                own[position] = (own[position][0], own[position][1] * factor)
            alone = forward(tape, own, solved.piece.log_scale)
            share = math.exp(alone.log_total - run.log_total)
            present = backward(tape, alone)
            assert total == pytest.approx(share, abs=1e-13)
            assert row == pytest.approx([present[at] * share for at in report], abs=1e-13)


def test_scaling_at_every_step_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Forced here; in earnest it happens below 1e-100."""
    rng = random.Random(3)
    network = random_network(rng, 14, 20, links=1.0)
    engine = Engine(network, {j: soft(rng, network.findings[j].levels) for j in range(10)})
    for solved in engine.pieces:
        with monkeypatch.context() as forced:
            forced.setattr(forward_backward, "SMALL", math.inf)
            run = forward(solved.tape, solved.piece.own, solved.piece.log_scale)
        assert run.log_total == pytest.approx(solved.run.log_total, abs=1e-12)
        present = backward(solved.tape, run)
        assert present == pytest.approx(solved.present, abs=1e-13)
        columns = [{at: 0.5, (at + 1) % len(present): 0.25} for at in range(len(present))]
        report = range(len(present))
        for room in (10**7, 1):
            monkeypatch.setattr(columns_module, "ROOM", room)
            scaled = carry(solved.tape, run, columns, report)
            plain = carry(solved.tape, solved.run, columns, report)
            assert scaled[0] == pytest.approx(plain[0], abs=1e-13)
            for a, b in zip(scaled[1], plain[1], strict=True):
                assert a == pytest.approx(b, abs=1e-13)
