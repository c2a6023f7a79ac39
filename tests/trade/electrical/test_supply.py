"""Supply, leads and fuses at their limits."""

from __future__ import annotations

import math

import pytest

from faultfinder.trade.electrical.supply import (
    SUPPLY_VOLTS,
    conductor_milliohm_per_metre,
    drop_volts,
    flex_amps,
    fuse_for,
    volts_after_lead,
)
from faultfinder.trade.inputs import FormulaError


@pytest.mark.parametrize(("volts", "fits"), [(207, True), (206.9, False), (253, True), (253.1, False)])
def test_the_european_band_ends_sharp(volts: float, fits: bool) -> None:
    """Regulation (EU) 2023/2533 Art. 2(2): 230 V +-10 %."""
    low, high = SUPPLY_VOLTS
    assert (low - 1e-9 <= volts <= high + 1e-9) is fits


def test_a_lead_of_no_length_loses_nothing_and_a_long_one_both_ways() -> None:
    assert drop_volts(10, 0, 1.5) == 0
    assert drop_volts(10, 25, 1.5) == pytest.approx(2 * 25 * 0.0133 * 10)
    assert volts_after_lead(230, 23, 0, 1.5) == 230
    assert volts_after_lead(230, math.inf, 25, 1.5) == 230
    left = volts_after_lead(230, 23, 25, 1.5)
    assert 230 - left == pytest.approx(drop_volts(left / 23, 25, 1.5))


def test_sizes_outside_the_table_are_near_its_neighbours() -> None:
    assert conductor_milliohm_per_metre(1.25) == pytest.approx(
        15.6, abs=0.01
    )  # from memory, no IEC 60228 size
    for area in (0.75, 1.0, 1.5, 2.5, 4.0):
        assert 19.5 / area == pytest.approx(conductor_milliohm_per_metre(area), rel=0.05)
    with pytest.raises(FormulaError):
        conductor_milliohm_per_metre(0.4)


def test_flex_rating_steps_with_the_listed_sizes() -> None:
    assert [flex_amps(area) for area in (0.5, 0.74, 0.75, 1.0, 1.49, 1.5, 4.0)] == [3, 3, 6, 10, 13, 15, 15]


def test_fuse_at_700_watts_and_at_the_end_of_the_plug() -> None:
    assert [fuse_for(watts) for watts in (1, 690, 700, 700.1, 2400, 2990)] == [3, 3, 3, 13, 13, 13]
    for watts in (0, 2990.1):
        with pytest.raises(FormulaError):
            fuse_for(watts)
