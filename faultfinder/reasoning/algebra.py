"""Sums of products over whole lists at once: the inner loops of the engine.

Plain list comprehensions with a fixed number of terms are what the interpreter runs fastest (about 17 ns a
product with a number, 20 ns a product of two lists, against 60 ns in a loop over indexes).
"""

from __future__ import annotations

from collections.abc import Sequence
from operator import add, mul

Floats = Sequence[float]


def blend(weights: Sequence[float], lists: Sequence[Floats]) -> list[float]:
    """Element by element, the sum of weights[i] * lists[i]; at least one of them."""
    count = len(weights)
    if count == 1:
        a = weights[0]
        return [a * x for x in lists[0]]
    if count == 2:
        a, b = weights
        return [a * x + b * y for x, y in zip(*lists, strict=True)]
    if count == 3:
        a, b, c = weights
        return [a * x + b * y + c * z for x, y, z in zip(*lists, strict=True)]
    a, b, c, d = weights[:4]
    total = [a * x + b * y + c * z + d * u for x, y, z, u in zip(*lists[:4], strict=True)]
    at = 4
    while count - at >= 3:
        a, b, c = weights[at : at + 3]
        total = [
            t + a * x + b * y + c * z for t, x, y, z in zip(total, *lists[at : at + 3], strict=True)
        ]
        at += 3
    for weight, values in zip(weights[at:], lists[at:], strict=True):
        total = [t + weight * x for t, x in zip(total, values, strict=True)]
    return total


def weave(lefts: Sequence[Floats], rights: Sequence[Floats]) -> list[float]:
    """Element by element, the sum of lefts[i] * rights[i]; at least one of them."""
    count = len(lefts)
    if count == 1:
        return list(map(mul, lefts[0], rights[0]))
    if count == 2:
        (p, q), (r, s) = lefts, rights
        return [x * y + u * v for x, y, u, v in zip(p, r, q, s, strict=True)]
    (p, q, o), (r, s, t) = lefts[:3], rights[:3]
    total = [x * y + u * v + w * z for x, y, u, v, w, z in zip(p, r, q, s, o, t, strict=True)]
    for left, right in zip(lefts[3:], rights[3:], strict=True):
        total = list(map(add, total, map(mul, left, right)))
    return total
