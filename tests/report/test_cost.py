"""What a fault was costing and when to look again: only from what the rules and the record say, checked by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import MappingProxyType

import pytest
from reporting import report
from talking import SMALL

from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.report.model import WORKSHOP
from faultfinder.report.text import markdown

FACTS = """
  uses_a_week:
    ask: How often a week is it used?
    kind: number
    range: [0, 50]
  price_a_kwh:
    ask: Price of a kilowatt hour
    kind: number
    range: [0, 5]
    class_value: 0.3
    spread: 0.2
"""
READINGS = """
  warm_minutes:
    kind: reading
    ask: How long does it take to warm the room?
    quantity: time
    unit: min
    expected: 30
    bands: {normal: [0, 40], long: [40, OL]}
    access: in_use
    minutes: 1
    one_use_kwh: reading * draw / 60000
  draw:
    kind: reading
    ask: Power it draws
    quantity: power
    unit: W
    expected: watts
    bands: {normal: [0.9 * watts, OL], low: [0, 0.9 * watts]}
    access: in_use
    minutes: 1
"""


@pytest.fixture(scope="module")
def pack(tmp_path_factory: pytest.TempPathFactory) -> Pack:
    """The small pack with an energy of one use, and a cause to look for again after 90 uses."""
    text = (SMALL / "fan_heater.yaml").read_text(encoding="utf-8")
    text = text.replace("\nfacts:", "\nfacts:" + FACTS.rstrip()).rstrip() + READINGS
    text = text.replace("shows: {air_weak: usually,", "shows: {warm_minutes: often, air_weak: usually,")
    text = text.replace("shows: {no_heat: always, element", "shows: {draw: always, no_heat: always, element")
    text = text.replace("advice: Clean the inlet every month.", "look_again: 90")
    folder: Path = tmp_path_factory.mktemp("heater")
    (folder / "fan_heater.yaml").write_text(text, encoding="utf-8")
    return load_pack(folder)


SLOW = ('answer: warm_minutes, reads: "90 min"', 'answer: draw, reads: "2000 W"')
END = 'note: done, at: "2026-03-02T10:00:00"'


def test_energy_is_the_reading_by_the_rules_formula_against_a_healthy_machine(pack: Pack) -> None:
    """90 min at 2000 W is 3 kWh; 30 min at the class value of 2000 W is 1 kWh."""
    (cost,) = report(*SLOW, pack=pack).costs
    assert (cost.slow_kwh, cost.healthy_kwh, cost.extra_kwh) == pytest.approx((3.0, 1.0, 2.0))
    assert not cost.measured and cost.kwh_a_year is None and cost.money_a_year is None


def test_uses_and_price_make_a_year_of_it(pack: Pack) -> None:
    """2 kWh, 7 times a week, 365.25 days: 730.5 kWh; at 0.4 a kWh 292.2."""
    told = ('fact: uses_a_week, is: "7"', 'fact: price_a_kwh, is: "0.4"')
    written = report(*told, *SLOW, pack=pack)
    (cost,) = written.costs
    assert cost.kwh_a_year == pytest.approx(730.5) and cost.money_a_year == pytest.approx(292.2)
    text = markdown(written, WORKSHOP)
    assert "At 7 uses a week (as told) that is about 730 kWh a year." in text
    assert "At 0.4 a kWh (as told): about 292 a year." in text
    assert "An estimate from the readings, not a bill." in text


def test_a_price_from_the_rules_is_called_assumed(pack: Pack) -> None:
    text = markdown(report('fact: uses_a_week, is: "7"', *SLOW, pack=pack), WORKSHOP)
    assert "At 0.3 a kWh (assumed): about 219 a year." in text


def test_after_the_repair_the_new_reading_is_what_it_is_held_against(pack: Pack) -> None:
    after = ("put_right: inlet_blocked", 'answer: warm_minutes, reads: "36 min"')
    (cost,) = report(*SLOW, *after, pack=pack).costs
    assert cost.measured
    assert cost.healthy_kwh == pytest.approx(36 * 2000 / 60000)


@pytest.mark.parametrize(
    "lines",
    [
        SLOW[:1],
        SLOW[1:],
        ('answer: warm_minutes, reads: "35 min"', SLOW[1]),
        ("answer: warm_minutes, is: long", SLOW[1]),
        ("answer: warm_minutes, reads: OL", SLOW[1]),
        ('answer: warm_minutes, reads: "60 min"', 'answer: draw, reads: "900 W"'),
    ],
    ids=["power not read", "time not read", "healthy", "no figure", "off the range", "slow but draws less"],
)
def test_without_the_figures_nothing_is_said_of_cost(pack: Pack, lines: tuple[str, ...]) -> None:
    written = report(*lines, pack=pack)
    assert written.costs == ()
    assert "costing" not in markdown(written, WORKSHOP)


def test_the_small_pack_itself_says_nothing_of_cost_or_service() -> None:
    written = report("answer: element_resistance, reads: OL", "put_right: inlet_blocked")
    assert (written.costs, written.service) == ((), ())


def test_the_next_service_is_by_use(pack: Pack) -> None:
    """90 uses at 10 a week are 63 days: 2026-03-02 and 63 days is 2026-05-04."""
    done = ("put_right: inlet_blocked", END)
    (item,) = report('fact: uses_a_week, is: "10"', *done, pack=pack).service
    assert item.by_date == "2026-05-04"
    text = markdown(report('fact: uses_a_week, is: "10"', *done, pack=pack), WORKSHOP)
    assert "by 2026-05-04 (about 90 uses, at 10 a week, as told)" in text


@pytest.mark.parametrize("told", [(), ('fact: uses_a_week, is: "0"',), ('fact: uses_a_week, is: "0.001"',)])
def test_a_use_that_is_not_known_gives_no_date(pack: Pack, told: tuple[str, ...]) -> None:
    written = report(*told, "put_right: inlet_blocked", END, pack=pack)
    assert written.service[0].by_date == ""
    assert "after about 90 uses of the machine" in markdown(written, WORKSHOP)


def test_a_record_without_times_gives_no_date(pack: Pack) -> None:
    assert (
        report('fact: uses_a_week, is: "7"', "put_right: inlet_blocked", pack=pack).service[0].by_date == ""
    )


def test_a_formula_that_cannot_be_worked_out_costs_the_line_and_nothing_else(pack: Pack) -> None:
    reading = pack.observations["warm_minutes"]
    assert reading.reading is not None
    for formula in ("reading / (watts - watts)", "-reading", "reading * no_heat"):
        changed = replace(reading, reading=replace(reading.reading, one_use_kwh=formula))
        other = replace(pack, observations=MappingProxyType({**pack.observations, "warm_minutes": changed}))
        assert report(*SLOW, pack=other).costs == ()


DRYER = (
    "fact: type, is: vented",
    'fact: total_watts, is: "2400"',
    'fact: rated_load_kg, is: "7"',
    'fact: price_a_kwh, is: "0.3"',
)


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


@pytest.mark.slow
def test_a_slow_load_costs_the_water_it_must_dry_anyway_and_the_motor_for_the_longer_time(
    dryer: Pack,
) -> None:
    """4.2 kg of water at 2406 kJ/kg and 60 %: 4.678 kWh in 117 minutes, warming up and cooling down beside them 15.
    200 minutes: 68 more of the 180 W motor, 0.204 kWh; 3 loads a week (the rules' own) and 365.25 days a year."""
    (cost,) = report(*DRYER, 'answer: dry_minutes, reads: "200 min"', pack=dryer).costs
    water = 4.2 * 2406 / 3600 / 0.6
    healthy = 15 + water / 2.4 * 60
    assert cost.healthy_kwh == pytest.approx(water)
    assert cost.extra_kwh == pytest.approx(0.18 * (200 - healthy) / 60, rel=1e-4)
    assert cost.week == 3 and cost.week_assumed
    assert cost.money_a_year == pytest.approx(cost.extra_kwh * 3 * 365.25 / 7 * 0.3)


def test_what_fluff_comes_back_to_is_looked_at_again_by_the_loads_dried(dryer: Pack) -> None:
    """A vent hose is cleaned once a year by common practice: 160 loads, at 4 a week 280 days."""
    done = ("put_right: vent_hose_clogged", END)
    text = markdown(report(*DRYER, 'fact: uses_a_week, is: "4"', *done, pack=dryer), WORKSHOP)
    assert (
        "vent hose clogged with fluff or water, by 2026-12-07 (about 160 uses, at 4 a week, as told)" in text
    )
