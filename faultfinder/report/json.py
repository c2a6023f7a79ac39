"""A report as plain mappings, lists, texts and numbers, for `--json`: the same names as in model.py.

A figure off the range is the text `OL` or `-OL`, since JSON has no infinity.
"""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass
from typing import Any

from faultfinder.report.model import CUSTOMER, WORKSHOP, Report

FORMAT = 1
"""Goes up when a name or a meaning changes."""


def mapping(report: Report, form: str = CUSTOMER) -> dict[str, Any]:
    """The report with its form; `evidence` is null but in the workshop's."""
    plain = _plain(report)
    assert isinstance(plain, dict)
    del plain["about"]  # the person goes into no export
    for picture in plain["pictures"]:
        del picture["data"]
    if form != WORKSHOP:
        plain["evidence"] = None
    return {"format": FORMAT, "form": form, **plain}


def _plain(value: object) -> Any:
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, bytes):
        return None
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None if math.isnan(value) else "OL" if value > 0 else "-OL"
    return value
