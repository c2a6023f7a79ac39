"""Limits of readings from plate facts, class values for unknown ones, and how unsure that makes the limits."""

from __future__ import annotations

import math
import random
from pathlib import Path

import pytest
from rule_files import BASE, pack_beside_base

from faultfinder.errors import BadFact
from faultfinder.knowledge.analysis.band_trials import flaws, trial_values
from faultfinder.knowledge.formulas.bands import (
    expected_value,
    fact_values,
    facts_behind,
    limit_spreads,
    limits,
)
from faultfinder.knowledge.load import load_pack

SECTIONS = """
facts:
  total: {ask: Total, kind: number, unit: W, range: [1000, 3000], class_value: 2400, spread: 0.1}
  big: {ask: Big, kind: number, unit: W, range: [300, 2500], class_value: 0.6 * total, spread: 0.05}
  small: {ask: Small, kind: number, unit: W, range: [100, 2000], class_value: total - big}
observations:
  big_ohms:
    kind: reading
    ask: Resistance of the big section
    quantity: resistance
    unit: ohm
    let: {healthy: volts ** 2 / big, edge: 1.1 * healthy}
    expected: healthy
    bands: {normal: [0, edge], high: [edge, OL]}
    access: open_dead
    minutes: 3
"""


def test_given_facts_stand_and_unknown_ones_take_their_class_value() -> None:
    pack = load_pack(BASE)
    values = fact_values(pack, {"volts": 240.0, "type": "corded"})
    assert values == {"volts": 240.0, "type": "corded", "watts": 2200.0, "litres": 1.7}


def test_limits_follow_the_plate_and_align_with_the_answers() -> None:
    pack = load_pack(BASE)
    observation = pack.observations["element_resistance"]
    healthy = 240.0**2 / 3000.0
    assert [answer.id for answer in observation.answers] == ["normal", "high", "open"]
    bounds = limits(observation, fact_values(pack, {"volts": 240.0, "watts": 3000.0}))
    flat = [limit for band in bounds for limit in band]
    assert flat == pytest.approx([0.0, 1.2 * healthy, 1.2 * healthy, 20 * healthy, 20 * healthy, math.inf])


def test_the_expected_value_is_what_a_healthy_machine_reads() -> None:
    pack = load_pack(BASE)
    values = fact_values(pack, {"volts": 230.0, "watts": 2300.0})
    assert expected_value(pack.observations["element_resistance"], values) == pytest.approx(23.0)
    assert expected_value(pack.observations["cut_out_resistance"], values) is None


def test_class_values_stand_on_one_another_in_any_order(tmp_path: Path) -> None:
    pack = pack_beside_base(tmp_path, SECTIONS)
    assert fact_values(pack, {})["small"] == pytest.approx(960.0)
    assert fact_values(pack, {"total": 2000.0})["small"] == pytest.approx(800.0)
    assert fact_values(pack, {"big": 1000.0})["small"] == pytest.approx(1400.0)


def test_a_fact_that_is_known_adds_nothing_to_the_spread_of_the_limits() -> None:
    pack = load_pack(BASE)
    observation = pack.observations["element_resistance"]
    known = {"volts": 230.0, "watts": 2200.0}
    assert limit_spreads(pack, observation, known) == [(0.0, 0.0), (0.0, 0.0), (0.0, 0.0)]
    some = limit_spreads(pack, observation, {"volts": 230.0})
    none = limit_spreads(pack, observation, {})
    assert 0 < some[0][1] < none[0][1]


def test_the_spread_of_a_limit_is_the_first_order_propagation_of_unknown_facts() -> None:
    """R = V^2 / P: relative variance 4 sV^2 + sP^2 (JCGM 100:2008, 5.1.2, uncorrelated input quantities)."""
    pack = load_pack(BASE)
    observation = pack.observations["element_resistance"]
    bounds = limits(observation, fact_values(pack, {}))
    relative = math.sqrt((2 * 0.03) ** 2 + 0.2**2)
    spreads = limit_spreads(pack, observation, {})
    assert spreads[0] == (0.0, pytest.approx(relative * bounds[0][1], rel=1e-3))
    assert spreads[2] == (pytest.approx(relative * bounds[2][0], rel=1e-3), 0.0)


def test_a_chain_of_class_values_passes_its_spread_on(tmp_path: Path) -> None:
    """Checked against random draws: total off by 10 %, big by 5 % of its share, both unknown."""
    pack = pack_beside_base(tmp_path, SECTIONS)
    observation = pack.observations["big_ohms"]
    source = random.Random(5)
    draws = []
    for _ in range(4000):
        volts = 230 * (1 + 0.03 * source.gauss(0, 1))
        big = 0.6 * 2400 * (1 + 0.1 * source.gauss(0, 1)) * (1 + 0.05 * source.gauss(0, 1))
        draws.append(1.1 * volts**2 / big)
    mean = sum(draws) / len(draws)
    drawn = math.sqrt(sum((d - mean) ** 2 for d in draws) / len(draws))
    spread = limit_spreads(pack, observation, {})[0][1]
    assert spread == pytest.approx(drawn, rel=0.1)
    assert limit_spreads(pack, observation, {"big": 1440.0, "volts": 230.0})[0][1] == 0.0


def test_facts_behind_a_reading_are_found_through_let_and_class_values(tmp_path: Path) -> None:
    pack = pack_beside_base(tmp_path, SECTIONS)
    assert facts_behind(pack, pack.observations["big_ohms"]) == ("volts", "big", "total")


def test_limits_of_what_is_no_reading_are_refused() -> None:
    pack = load_pack(BASE)
    with pytest.raises(BadFact, match="stays_cold is not a reading"):
        limits(pack.observations["stays_cold"], {})


def test_clean_bands_have_no_flaw_for_any_plate_value_tried() -> None:
    pack = load_pack(BASE)
    for observation in pack.observations.values():
        if observation.reading is not None:
            assert flaws(pack, observation, thorough=True) == []


def test_trials_reach_every_end_of_every_range() -> None:
    pack = load_pack(BASE)
    thorough = list(trial_values(pack, ("volts", "watts"), thorough=True))
    assert {} in thorough
    assert {(t["volts"], t["watts"]) for t in thorough if t} >= {
        (200, 1000),
        (200, 3200),
        (260, 1000),
        (260, 3200),
    }
    quick = [t for t in trial_values(pack, ("volts", "watts"), thorough=False) if t]
    assert {t["volts"] for t in quick} == {200.0, 260.0} and {t["watts"] for t in quick} == {1000.0, 3200.0}
