"""Every combination of access state, confirmations, danger, pause, resumption, correction and repair.

The whole walk, with plate facts that change under way, takes some minutes: python tests/helpers/gate_walk.py
"""

from __future__ import annotations

import gate_walk
import pytest
from gate_walk import a_start

from faultfinder.knowledge.model import Need
from faultfinder.safety import transitions
from faultfinder.safety.dangers import ASKED, LEAVE_NOW, OUT_OF_USE
from faultfinder.safety.gate import Gate, danger_seen, owed_tests, permits, why_not_close


@pytest.mark.slow
def test_the_invariants_hold_in_every_combination_that_can_be_reached(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with gate_walk.remembering():
        seen = gate_walk.walk([a_start()], facts=False)
    with capsys.disabled():
        print(f" {seen.states:,} combinations, {seen.gates:,} gates, {seen.moves:,} moves;", end="")
    assert seen.states > 20_000 and seen.depth > 30


@pytest.mark.slow
@pytest.mark.parametrize(
    ("connection", "earthed"), [("isolator", True), ("plug", False), ("fixed", True), ("", True)]
)
def test_the_invariants_hold_near_the_start_of_every_kind_of_machine(connection: str, earthed: bool) -> None:
    with gate_walk.remembering():
        seen = gate_walk.walk([a_start(connection, earthed)], most=1_200)
    assert seen.states >= 1_200


def test_which_sign_is_open_changes_only_the_words() -> None:
    """The walk keeps one gate for all that differ in their signs: this is why it may."""
    for level in (LEAVE_NOW, OUT_OF_USE):
        gates = [danger_seen(Gate(connection="plug"), sign) for sign in level]
        for gate in gates:
            assert gate_walk.alike(gate) == gate_walk.alike(gates[0])
    plain, other = (danger_seen(Gate(connection="plug"), sign) for sign in ("tingle", "wet_found"))
    for need in Need:
        assert permits(plain, need) == permits(other, need)
    assert owed_tests(plain) == owed_tests(other)
    assert transitions.open_actions(plain) == transitions.open_actions(other)
    assert why_not_close(plain, "fit_for_use") == why_not_close(other, "fit_for_use")


def test_every_sign_is_on_one_list() -> None:
    assert not set(LEAVE_NOW) & set(OUT_OF_USE)
    assert set(ASKED) == {
        "smoke_or_flame",
        "burning_smell_now",
        "gas_smell",
        "water_on_live_parts",
        "refrigerant_signs",
        "tingle",
        "scorching",
        "repeated_tripping",
        "wet_found",
        "burning_smell_earlier",
    }
