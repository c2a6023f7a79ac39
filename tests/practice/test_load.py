"""Practice folders are checked like rules: every slip is told with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultfinder.knowledge.load import find_pack, load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import RuleFileError, Sink
from faultfinder.knowledge.syntax.nodes import MapNode, read_nodes
from faultfinder.practice.description import Description
from faultfinder.practice.load import FOLDER, NoPractice, build, load_practice


def trees(extra: str = "") -> list[MapNode]:
    out = []
    files = sorted((find_pack("tumble_dryer") / FOLDER).glob("*.yaml"))
    for file in files:
        node = read_nodes(file.read_bytes(), file.name, Sink())
        assert isinstance(node, MapNode)
        out.append(node)
    if extra:
        node = read_nodes(extra.encode(), "extra.yaml", Sink())
        assert isinstance(node, MapNode)
        out.append(node)
    return out


def told(pack: Pack, extra: str) -> str:
    with pytest.raises(RuleFileError) as caught:
        build(pack, trees(extra))
    return str(caught.value)


def test_the_shipped_folder_speaks_of_every_cause_and_every_observation(
    pack: Pack, description: Description
) -> None:
    assert {*description.faults, *description.not_simulated} == set(pack.causes)
    assert set(description.appearances) == set(pack.observations)


def test_the_check_list_is_the_whole_trade_and_names_nothing_twice(
    pack: Pack, description: Description
) -> None:
    assert len(set(description.check_list)) == len(description.check_list)
    covered = set(description.check_list)
    for question in pack.questions.values():
        if question.id in covered:
            covered |= set(question.observations)
    opened = {name for name, item in pack.observations.items() if item.need.value == "open_dead"}
    assert not opened - covered - {"coil_broken_seen"}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("extra", "words"),
    [
        ("weather: {rain: 1}", 'there is no part "weather"'),
        ("constants: {hose: long}", '"long" is not a number'),
        ("drawn: {volts: 230}", '"volts" stands twice under drawn'),
        ("quantities: {x: voltz + 1}", 'nothing gives "voltz"; did you mean "volts"?'),
        ("quantities: {x: above(1)}", "above takes 2 numbers, not 1"),
        ("quantities: {x: [1]}", "a range is two numbers"),
        ("quantities: {x: {some: 1}}", "a value is a number, an expression"),
        ("solved: {y: {with: weather}}", '"y" names no solver'),
        ("solved: {y: {with: air, inner_k: 1}}", '"y" is not given blocked_pascal'),
        ("solved: {y: {like: air_now, wind: 1}}", "air takes no wind"),
        ("faults: {hose_eaten: {volts: 1}}", 'there is no cause "hose_eaten"'),
        ("faults: {something_else_air: {hose: 1}}", 'changes "hose", which is not drawn'),
        ("faults: {something_else_air: {volts: 1, leads_to: {rain: 1}}}", 'leads to "rain"'),
        ("observations: {filter_smell: {yes: volts above 1}}", 'there is no observation "filter_smell"'),
        ("facts: {colour: {is: volts}}", 'there is no fact "colour"'),
        ("check_list: [filter_smell]", 'check_list names "filter_smell"'),
        ("actions: {dance: {}}", 'there is no action "dance"'),
        ("actions: {supply_on: {failed: volts above 1}}", '"failed" is not an outcome of supply_on'),
        ("cannot: [{when: volts above 1, these: [rain], says: No.}]", 'there is no observation "rain"'),
        ("cannot: [{these: [filter_look]}]", "each entry of cannot has when, these and says"),
    ],
)
def test_a_slip_is_told_with_its_place(pack: Pack, extra: str, words: str) -> None:
    message = told(pack, extra)
    assert words in message
    assert "extra.yaml:" in message


def test_a_condition_that_is_none_is_told(pack: Pack) -> None:
    message = told(pack, "cannot: [{when: volts, these: [filter_look], says: No.}]")
    assert '"volts" is not a condition' in message


def test_a_pack_without_a_practice_folder_says_so(tmp_path: Path) -> None:
    file = tmp_path / "small.yaml"
    known = "how_common: rare, hazard: none, minutes: 5, if_missed: 30"
    file.write_text(
        f"""
pack: {{title: Small, version: "1"}}
causes:
  leak: {{title: Leak, {known}, remedy: Mend it, shows: {{drips: usually}}}}
  something_else_small: {{title: Else, {known}, remedy: Stop, shows: {{drips: sometimes}}}}
observations:
  drips: {{kind: look, ask: Does it drip?, answers: yes_no}}
""",
        encoding="utf-8",
    )
    with pytest.raises(NoPractice, match="no folder 'practice'"):
        load_practice(load_pack(file), file)
