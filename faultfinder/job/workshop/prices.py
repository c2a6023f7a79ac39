"""The workshop's own list of parts: a CSV of part by function, price and how many are in stock.

    part;price EUR;stock
    drive belt;14,50;2
    door seal;22;0

Parted by commas, semicolons or tabs, whichever the first line has; with semicolons or tabs a price may have a decimal
comma. What stands behind the word `price` is shown with every sum. It is a list, and no accounting.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Mapping
from dataclasses import dataclass

from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.record.lines import RecordError
from faultfinder.text.catalogue import say

LARGEST = 2_000_000
"""Bytes of a list; chosen."""


@dataclass(frozen=True, slots=True)
class Price:
    """One part. price: of one, in the list's money; stock: how many are there, None where the list does not say."""

    part: str
    price: float
    stock: float | None = None


@dataclass(frozen=True, slots=True)
class PriceList:
    """The list, by the part's name in small letters. money: what stands behind `price` in the first line."""

    parts: Mapping[str, Price]
    money: str = ""

    def find(self, part: str) -> Price | None:
        """The part of that name, however it is spaced and capitalised."""
        return self.parts.get(_key(part))


def _key(part: str) -> str:
    return " ".join(part.casefold().replace("_", " ").split())


def read_prices(data: bytes, file: str = "") -> PriceList:
    """The list of a file. Raises RecordError, with the line, for what is none."""
    name = plain_text(file)
    if len(data) > LARGEST:
        raise RecordError(say("prices_has_bytes_no_list", name=name, count=f"{len(data):,}"))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(say("is_no_text", what=name)) from None
    first = text.split("\n", 1)[0]
    parted = max(";\t,", key=first.count)
    try:
        rows = list(csv.reader(text.splitlines(), delimiter=parted))
    except csv.Error as error:
        raise RecordError(say("prices_no_csv", name=name, why=error)) from None
    heads = [head.strip().casefold() for head in rows[0]] if rows else []
    at_price = next((n for n, head in enumerate(heads) if head.split()[:1] == ["price"]), None)
    if "part" not in heads or at_price is None:
        raise RecordError(say("prices_1_first_line_names", name=name))
    at_part = heads.index("part")
    at_stock = next((n for n, head in enumerate(heads) if head in ("stock", "in stock")), None)
    money = plain_text(rows[0][at_price].strip()[len("price") :].strip())[:12]
    parts: dict[str, Price] = {}
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        cells = [*row, *[""] * (len(heads) - len(row))]
        part = " ".join(plain_text(cells[at_part]).split())
        price = _number(cells[at_price], parted, f"{name}:{number}", "price")
        stock = cells[at_stock].strip() if at_stock is not None else ""
        if not part or price is None:
            raise RecordError(say("prices_line_needs_part_its", name=name, number=number))
        parts[_key(part)] = Price(part, price, _number(stock, parted, f"{name}:{number}", "stock"))
    return PriceList(parts, money)


def _number(text: str, parted: str, where: str, what: str) -> float | None:
    text = text.strip()
    if not text:
        return None
    try:
        value = float(text.replace(",", ".") if parted != "," else text)
    except ValueError:
        value = math.nan
    if not 0.0 <= value < 1e9:
        raise RecordError(say("prices_no", where=where, text=plain_text(text)[:20], what=say(f"what_{what}")))
    return value
