"""The small network that DEVELOPERS.md works through: its figures there are these."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from packs import cause, observation, pack

from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case

TEXT = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")


def chapter() -> str:
    found = re.search(r"### One network worked through\n(.*?)\n##", TEXT, re.DOTALL)
    assert found is not None
    return found.group(1)


def network() -> Case:
    return Case(
        pack(
            [
                cause("duct_blocked", 0.1, {"air": (0.1, 0.9)}),
                cause("cut_out_open", 0.02, {"heat": (0.0, 1.0)}, brought_on_by={"duct_blocked": 0.3}),
            ],
            [
                observation("air", background=(0.95, 0.05), reliability=0.9),
                observation("heat", background=(0.99, 0.01), reliability=0.95),
            ],
        )
    )


def by_hand(air: str | None, heat: str | None, rate: float) -> tuple[float, float, float]:
    """P(answers), P(duct blocked and answers), P(cut-out open and answers) at a rate of errors: four cases."""
    total = duct = cut_out = 0.0
    for blocked in (False, True):
        for opened in (False, True):
            weight = 0.1 if blocked else 0.9
            open_chance = 1.0 - 0.98 * (0.7 if blocked else 1.0)
            weight *= open_chance if opened else 1.0 - open_chance
            weak = 1.0 - 0.95 * (0.1 if blocked else 1.0)
            cold = 1.0 if opened else 0.01
            for said, true, reliability in ((air, weak, 0.9), (heat, cold, 0.95)):
                if said is not None:
                    yes = true * reliability + (1.0 - true) * (1.0 - reliability)
                    plain = yes if said == "yes" else 1.0 - yes
                    weight *= (1.0 - rate) * plain + rate * (1.0 - plain)
            total += weight
            duct += weight * blocked
            cut_out += weight * opened
    return total, duct, cut_out


def mixed(air: str | None, heat: str | None) -> tuple[float, float, float]:
    """P(answers), P(duct blocked | answers), P(cut-out open | answers), over the rates of errors."""
    sums = [0.0, 0.0, 0.0]
    for rate, prior in constants.ERROR_RATES.items():
        for place, value in enumerate(by_hand(air, heat, rate)):
            sums[place] += prior * value
    return sums[0], sums[1] / sums[0], sums[2] / sums[0]


@pytest.mark.parametrize(
    ("air", "heat"), [(None, None), ("yes", None), (None, "yes"), ("yes", "yes"), ("no", "yes")]
)
def test_the_network_of_the_chapter_counted_by_hand(air: str | None, heat: str | None) -> None:
    case = network()
    for name, said in (("air", air), ("heat", heat)):
        if said is not None:
            case.record(name, said)
    _, duct, cut_out = mixed(air, heat)
    assert case.confidence() == pytest.approx({"duct_blocked": duct, "cut_out_open": cut_out}, abs=1e-12)
    line = f"| {air or '-'} | {heat or '-'} | {duct:.3f} | {cut_out:.3f} |"
    assert line in chapter(), line


def test_the_outlook_of_the_chapter() -> None:
    case = network()
    case.record("heat", "yes")
    chance, after = case.outlook(["air"])["air"]["yes"]
    assert chance == pytest.approx(mixed("yes", "yes")[0] / mixed(None, "yes")[0], abs=1e-12)
    assert f"{chance:.3f}" in chapter() and f"{after['duct_blocked']:.3f}" in chapter()
