"""Causes that one remedy mends are priced together: a sensor open or shorted, what a dearer remedy mends besides."""

from __future__ import annotations

import pytest
from packs import cause, observation, pack

from faultfinder.knowledge.model import Need
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.decision.imagined import Imagined, Worlds
from faultfinder.reasoning.decision.parts import put_together
from faultfinder.reasoning.decision.rollout import Planner
from faultfinder.reasoning.decision.scope import price_list
from faultfinder.reasoning.decision.step import StepKind
from faultfinder.reasoning.decision.test_selection import mendings, standing_of
from faultfinder.reasoning.inference.any_of import chance_of_any


def sensor(also: bool = True, takes: float = 1.0) -> Case:
    """A sensor open or shorted: either stops the heat alike, and only a reading tells which."""
    with_it = [["shorted"], ["open"]] if also else [[], []]
    made = pack(
        [
            cause(
                name,
                0.01,
                {"cold": (0.01, 0.99), "ohms": (0.01, 0.99, 0.0) if name == "open" else (0.01, 0.0, 0.99)},
                part_costs=30,
                also_mends=others,
                takes=takes,
            )
            for name, others in zip(("open", "shorted"), with_it, strict=True)
        ],
        [
            observation("cold", background=(0.999, 0.001), reliability=1.0),
            observation("ohms", ("right", "open", "short"), (0.998, 0.001, 0.001), minutes=30),
        ],
    )
    case = Case(made)
    case.record("cold", "yes")
    return case


def test_a_part_is_fitted_where_one_of_what_it_mends_is_likely_and_none_by_itself() -> None:
    case = sensor()
    now = case.confidence()
    assert max(now.values()) < constants.FOUND
    (together,) = put_together(case, price_list(case))
    assert set(together.causes) == {"open", "shorted"}
    assert together.chance == pytest.approx(chance_of_any(case, {"part": together.causes})["part"])
    assert together.chance > 0.8
    assert [step.target for step in mendings(case, price_list(case))] == [together.leader]
    apart = sensor(also=False)
    assert [each.causes for each in put_together(apart, price_list(apart))] == [("open",), ("shorted",)]
    assert mendings(apart, price_list(apart)) == []


def test_no_minutes_are_spent_on_telling_apart_what_one_part_mends() -> None:
    for also in (True, False):
        asked = [step.target for step in sensor(also).steps() if step.kind is StepKind.ASK]
        assert ("ohms" in asked) is not also


def test_minutes_at_stake_in_a_group_are_those_of_all_its_causes() -> None:
    case = sensor()
    (together,) = put_together(case, price_list(case))
    at_stake = sum(case.confidence()[name] * cost.missed for name, cost in price_list(case).items())
    assert together.chance * together.price.missed == pytest.approx(at_stake)


def filter_case(also: bool = True) -> Case:
    made = pack(
        [
            cause("torn", 0.2, {"fluff": (0.05, 0.95)}, also_mends=["clogged"] if also else []),
            cause("clogged", 0.2, {"weak": (0.1, 0.9)}, if_missed=200, minutes=20),
        ],
        [
            observation("fluff", background=(0.999, 0.001), reliability=0.999),
            observation("weak", background=(0.999, 0.001), reliability=0.999, minutes=2, need=Need.ISOLATED),
        ],
    )
    case = Case(made)
    case.record("fluff", "yes")
    return case


def test_what_goes_with_a_remedy_that_pays_is_not_asked_about_or_put_right_by_itself() -> None:
    case = filter_case()
    torn, clogged = put_together(case, price_list(case))
    assert (torn.leader, clogged.leader, clogged.mended_by) == ("torn", "clogged", {0})
    assert [step.target for step in mendings(case, price_list(case))] == ["torn"]
    assert "weak" not in [step.target for step in case.steps()]
    imagined = Imagined(case)
    worlds = Worlds(imagined, price_list(case))
    planner = Planner(worlds, imagined.count)
    found, _ = planner.weigh(planner.here(standing_of(case)), worlds(frozenset()).looks)
    gain = {each.look.target: each.gain / imagined.count for each in found}
    assert gain["weak"] < 0.0, "it costs its minutes and the way, and tells nothing that matters"
    planner = Planner(Worlds(imagined, price_list(case)), imagined.count)
    assert planner.choose(standing_of(case)).stop == pytest.approx(-planner_saves(case), abs=3.0)


def planner_saves(case: Case) -> float:
    """Minutes saved by the new filter as it is: what the torn one costs, and all that the clogged one would."""
    now, price = case.confidence(), price_list(case)
    wasted = (1.0 - now["torn"]) * price["torn"].for_nothing
    return now["torn"] * price["torn"].missed - wasted + now["clogged"] * price["clogged"].missed


def test_what_was_put_right_before_is_in_no_group() -> None:
    case = sensor(takes=0.9)
    case.put_right("open")
    assert [each.causes for each in put_together(case, price_list(case))] == [("open",), ("shorted",)]
