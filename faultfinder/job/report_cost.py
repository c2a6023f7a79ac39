"""What the fault was costing in energy and money, where the rules say how it follows from a reading."""

from __future__ import annotations

from collections.abc import Sequence

from faultfinder.job.report_parts import Cost, Measured
from faultfinder.reasoning.case import Case


def costs(case: Case, readings: Sequence[Measured]) -> tuple[Cost, ...]:
    return ()
