"""Random masks: one Python int stands for N independent trials, a bit each; the same seed gives the same masks.

Everything said of N machines at once is then `&`, `|` and `bit_count()` on whole ints, a few microseconds for
thousands of machines.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

BIT_BY_BIT = 20
"""Bits of a mask up to which each is dealt with by itself: quicker than a mask drawn for all N, the same law."""
DIGITS = 10
"""Binary digits of a chance that are drawn, from its first that is not 0. What lies below the last of them is made up
for by drawing that one too, so that the mean is right."""
RARE = 64.0
"""Set bits to be expected up to which the gaps between them are drawn in place of the digits; the same law."""


class Chance:
    """A source of masks of `count` bits, the same for the same seed on every machine and in every process."""

    def __init__(self, count: int, seed: object) -> None:
        """`seed` counts by its text."""
        self.count = count
        self.full = (1 << count) - 1
        self._random = random.Random(str(seed))

    def mask(self, p: float) -> int:
        """Each bit set with chance p, independently."""
        if p <= 0.0:
            return 0
        if p >= 1.0:
            return self.full
        if p > 0.5:
            return self.full ^ self.mask(1.0 - p)
        if p * self.count < RARE:
            return self._by_gaps(p)
        digits = DIGITS + math.ceil(-math.log2(p))
        scaled = p * (1 << digits)
        number = int(scaled)
        if self._random.random() < scaled - number:
            number += 1
        bits, count, out = self._random.getrandbits, self.count, 0
        # From the last digit to the first: a set digit turns the chance so far, p, into (1 + p) / 2, else into p / 2.
        while not number & 1:
            number >>= 1
            digits -= 1
        for _ in range(digits):
            out = (out | bits(count)) if number & 1 else (out & bits(count))
            number >>= 1
        return out

    def _by_gaps(self, p: float) -> int:
        """The same by the gaps between set bits, which are geometrically distributed."""
        out = bytearray((self.count + 7) // 8)
        at, scale, draw, log = -1, 1.0 / math.log1p(-p), self._random.random, math.log
        while True:
            at += 1 + int(log(1.0 - draw()) * scale)
            if at >= self.count:
                return int.from_bytes(out, "little")
            out[at >> 3] |= 1 << (at & 7)

    def part(self, mask: int, p: float) -> int:
        """Each set bit of the mask kept with chance p, independently."""
        if p <= 0.0 or not mask:
            return 0
        if p >= 1.0:
            return mask
        if mask.bit_count() > BIT_BY_BIT:
            return mask & self.mask(p)
        out, draw = 0, self._random.random
        while mask:
            lowest = mask & -mask
            if draw() < p:
                out |= lowest
            mask ^= lowest
        return out

    def deal(self, mask: int, terms: Sequence[tuple[float, int]]) -> list[tuple[int, int]]:
        """Deal the set bits out to terms (weight, name), each bit to one of them in proportion to the weights.

        Returns (name, bits) for every term that got any. At least one weight must be positive.
        """
        ordered = sorted([term for term in terms if term[0] > 0.0], reverse=True)
        if not ordered:
            raise ValueError("nothing to deal to: no term has a positive weight")
        out: list[tuple[int, int]] = []
        left = math.fsum([weight for weight, _ in ordered])
        for weight, name in ordered[:-1]:
            mine = self.part(mask, weight / left)
            left -= weight
            if mine:
                out.append((name, mine))
                mask ^= mine
                if not mask:
                    return out
        out.append((ordered[-1][1], mask))
        return out
