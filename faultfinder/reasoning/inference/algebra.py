"""Sums of products over whole lists at once: the inner loops of the engine.

List comprehensions with a fixed number of terms are what the interpreter runs fastest: about 16 ns a product of
a list with a number and 19 ns a product of two lists, where a loop over indexes takes 60 ns.
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import add, mul

Floats = Sequence[float]


def blend(weights: Sequence[float], lists: Sequence[Floats]) -> list[float]:
    """Element by element, the sum of weights[i] * lists[i]; at least one of them, all of one length."""
    count = len(weights)
    if count == 1:
        a = weights[0]
        return [a * x for x in lists[0]]
    if count == 2:
        a, b = weights
        x, y = lists
        return [a * p + b * q for p, q in zip(x, y, strict=True)]
    if count == 3:
        a, b, c = weights
        return [a * p + b * q + c * r for p, q, r in zip(*lists, strict=True)]
    if count == 4:
        a, b, c, d = weights
        return [a * p + b * q + c * r + d * s for p, q, r, s in zip(*lists, strict=True)]
    if count < 8:
        return list(map(add, blend(weights[:4], lists[:4]), blend(weights[4:], lists[4:])))
    if count > 64:
        # Halved, so that thousands of lists do not go thousands of calls deep.
        half = count // 2
        return list(map(add, blend(weights[:half], lists[:half]), blend(weights[half:], lists[half:])))
    a, b, c, d, e, f, g, h = weights[:8]
    total = [
        a * p + b * q + c * r + d * s + e * t + f * u + g * v + h * w
        for p, q, r, s, t, u, v, w in zip(*lists[:8], strict=True)
    ]
    if count == 8:
        return total
    return list(map(add, total, blend(weights[8:], lists[8:])))


def weave(lefts: Sequence[Floats], rights: Sequence[Floats]) -> list[float]:
    """Element by element, the sum of lefts[i] * rights[i]; at least one of them, all of one length."""
    count = len(lefts)
    if count == 1:
        return list(map(mul, lefts[0], rights[0]))
    if count == 2:
        return [a * p + b * q for a, b, p, q in zip(*lefts, *rights, strict=True)]
    if count == 3:
        return [a * p + b * q + c * r for a, b, c, p, q, r in zip(*lefts, *rights, strict=True)]
    if count == 4:
        return [a * p + b * q + c * r + d * s for a, b, c, d, p, q, r, s in zip(*lefts, *rights, strict=True)]
    if count < 8:
        return list(map(add, weave(lefts[:4], rights[:4]), weave(lefts[4:], rights[4:])))
    if count > 64:
        half = count // 2
        return list(map(add, weave(lefts[:half], rights[:half]), weave(lefts[half:], rights[half:])))
    total = [
        a * p + b * q + c * r + d * s + e * t + f * u + g * v + h * w
        for a, b, c, d, e, f, g, h, p, q, r, s, t, u, v, w in zip(*lefts[:8], *rights[:8], strict=True)
    ]
    if count == 8:
        return total
    return list(map(add, total, weave(lefts[8:], rights[8:])))


def gather(parts: Sequence[tuple[int, float]], lists: Sequence[Floats]) -> Floats:
    """The sum of weight * lists[index] over the parts (index, weight); a part of weight 1 alone is that list."""
    if len(parts) == 1:
        ((index, weight),) = parts
        return lists[index] if weight == 1.0 else [weight * x for x in lists[index]]
    if len(parts) == 2:
        (i, a), (j, b) = parts
        if a == b == 1.0:
            return list(map(add, lists[i], lists[j]))
    return blend([weight for _, weight in parts], [lists[index] for index, _ in parts])
