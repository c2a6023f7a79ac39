"""Random masks follow the chance asked for, and the same seed gives the same masks."""

from __future__ import annotations

import math

import pytest

from faultfinder.reasoning.inference.chance import BIT_BY_BIT, Chance

COUNT = 1 << 15


@pytest.mark.parametrize("p", [0.0002, 0.0011, 0.01, 1 / 3, 0.5, 0.7, 0.95, 0.99962])
def test_a_mask_has_as_many_bits_as_its_chance_says(p: float) -> None:
    chance = Chance(COUNT, "mask")
    rounds = 40
    got = sum(chance.mask(p).bit_count() for _ in range(rounds))
    spread = math.sqrt(p * (1.0 - p) * COUNT * rounds)
    assert abs(got - p * COUNT * rounds) < 4.0 * spread


def test_certain_and_impossible_need_no_draw() -> None:
    chance = Chance(100, 1)
    assert chance.mask(0.0) == 0 and chance.mask(1.0) == chance.full
    assert chance.part(chance.full, 1.0) == chance.full and chance.part(chance.full, 0.0) == 0


@pytest.mark.parametrize("size", [BIT_BY_BIT - 3, 4000])
def test_a_part_of_a_mask_lies_in_it_and_is_as_large_as_its_chance_says(size: int) -> None:
    chance = Chance(COUNT, "part")
    mask = sum(1 << (7 * place) for place in range(size))
    rounds, p, got = 300, 0.3, 0
    for _ in range(rounds):
        part = chance.part(mask, p)
        assert part & ~mask == 0
        got += part.bit_count()
    assert abs(got - p * size * rounds) < 4.0 * math.sqrt(p * (1 - p) * size * rounds)


def test_two_masks_are_independent_of_one_another_and_bit_of_bit() -> None:
    chance = Chance(COUNT, "two")
    both = in_a_row = 0
    for _ in range(40):
        one, other = chance.mask(0.3), chance.mask(0.3)
        both += (one & other).bit_count()
        in_a_row += (one & (one >> 1)).bit_count()
    expected, spread = 0.09 * COUNT * 40, math.sqrt(0.09 * 0.91 * COUNT * 40)
    assert abs(both - expected) < 4.0 * spread
    assert abs(in_a_row - expected) < 5.0 * spread


def test_every_bit_dealt_out_goes_to_one_term_in_proportion_to_its_weight() -> None:
    chance = Chance(COUNT, "deal")
    mask = chance.mask(0.6)
    got = {name: 0 for name in range(4)}
    for _ in range(20):
        dealt = chance.deal(mask, [(2.0, 0), (0.0, 1), (0.5, 2), (5.5, 3)])
        seen = 0
        for name, bits in dealt:
            assert bits & seen == 0
            seen |= bits
            got[name] += bits.bit_count()
        assert seen == mask
    size = mask.bit_count() * 20
    assert got[1] == 0
    for name, share in ((0, 0.25), (2, 0.0625), (3, 0.6875)):
        assert abs(got[name] - share * size) < 4.0 * math.sqrt(share * (1 - share) * size)


def test_nothing_can_be_dealt_to_terms_without_weight() -> None:
    with pytest.raises(ValueError, match="positive weight"):
        Chance(8, 0).deal(3, [(0.0, 0)])


def test_the_same_seed_gives_the_same_masks_and_another_seed_others() -> None:
    assert Chance(512, ("a", 1)).mask(0.37) == Chance(512, ("a", 1)).mask(0.37)
    assert Chance(512, ("a", 1)).mask(0.37) != Chance(512, ("a", 2)).mask(0.37)


def test_the_masks_of_a_seed_are_the_same_on_every_machine() -> None:
    """A draw seen once is written down here: a record replayed elsewhere takes the same steps."""
    chance = Chance(64, "written down")
    assert [chance.mask(0.37), chance.mask(0.003), chance.mask(0.05)] == MASKS


MASKS = [0x38431000804A2108, 0x0, 0x400004000001200]
