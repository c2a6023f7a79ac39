"""The table of causes against observations: its figures counted by hand, its groups those of the checker."""

from __future__ import annotations

from pathlib import Path

import pytest
from rule_files import write_pack
from talking import small_pack

from faultfinder.knowledge.authoring.strength_table import strength_table
from faultfinder.knowledge.load import check_pack, load_pack

CAUSE = """\
  {name}:
    title: {name}
    how_common: rare
    hazard: none
    remedy: Mend it
    minutes: 5
    if_missed: 60
    {more}
    shows: {{slow: often}}
"""


def test_a_cell_is_the_chance_that_the_fault_alone_makes_it_abnormal() -> None:
    table = strength_table(small_pack())
    direct = table.cell("element_open", "element_resistance")
    assert direct is not None and direct.direct and direct.answer == "open"
    assert direct.strength == pytest.approx(0.98)
    assert table.cell("element_open", "noise") is None


def test_what_comes_through_another_fault_is_multiplied_and_marked() -> None:
    # inlet blocked -> cut-out open (sometimes, 0.30) -> reads open (always, 0.98), by hand: 0.294
    cell = strength_table(small_pack()).cell("inlet_blocked", "cut_out_continuity")
    assert cell is not None and not cell.direct
    assert cell.strength == pytest.approx(0.30 * 0.98)


def test_the_strongest_answer_is_the_one_named() -> None:
    cell = strength_table(small_pack()).cell("fan_worn", "air_weak")
    assert cell is not None and cell.answer == "yes" and cell.strength == pytest.approx(0.60)


def test_a_block_holds_a_sub_system_and_only_what_its_causes_move() -> None:
    table = strength_table(small_pack())
    (block,) = table.blocks
    assert block.causes == tuple(small_pack().causes)
    assert all(any(table.cell(cause, o) for cause in block.causes) for o in block.observations)


def test_look_alikes_are_marked_and_groups_on_purpose_named(tmp_path: Path) -> None:
    causes = "".join(
        CAUSE.format(name=name, more=more)
        for name, more in (("a", ""), ("b", ""), ("c", "group: slow_ones"), ("d", "group: slow_ones"))
    )
    text = 'pack: {title: T, version: "1", summary: s}\ncauses:\n' + causes
    text += "observations:\n  slow: {kind: told, ask: Slow?, answers: yes_no, symptom: yes}\n"
    folder = write_pack(tmp_path / "toaster", toaster=text)
    assert "look-alikes" in [problem.code for problem in check_pack(folder)[1]]
    table = strength_table(load_pack(folder))
    assert [(set(group.causes), group.name) for group in table.groups] == [
        ({"a", "b", "c", "d"}, ""),
        ({"c", "d"}, "slow_ones"),
    ]
    assert table.groups_of("a") == (0,)
