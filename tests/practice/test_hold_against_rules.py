"""The command that holds practice machines against the rules, on the small pack."""

from __future__ import annotations

import pytest
from hold_against_rules import by_the_rules, held, line, machines_with

from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description


def test_the_rules_side_is_a_chance_of_each_answer(lamp: Pack, lamp_machines: Description) -> None:
    for cause in ("", "bulb_blown", "switch_worn"):
        machine, _ = next(machines_with(lamp, lamp_machines, cause, 1))
        for name, chances in by_the_rules(machine, cause).items():
            assert sum(chances.values()) == pytest.approx(1.0), name
            assert min(chances.values()) >= 0.0


def test_a_fault_on_which_machine_and_rules_agree_stands_low(lamp: Pack, lamp_machines: Description) -> None:
    rows = {row.observation: row for row in held(lamp, lamp_machines, "bulb_blown", 12)}
    assert rows["bulb_resistance"].seen == {"open": 1.0}
    assert rows["bulb_resistance"].apart < 0.2
    # The same machines, taken for sound ones by the rules, are far off.
    machine, _ = next(machines_with(lamp, lamp_machines, "", 1))
    chances = by_the_rules(machine, "")["bulb_resistance"]
    assert chances["open"] < 0.05
    assert line(rows["bulb_resistance"]).startswith(
        f"{rows['bulb_resistance'].apart:.2f} bulb_blown -> bulb_resistance: seen open 1.00; rules"
    )
