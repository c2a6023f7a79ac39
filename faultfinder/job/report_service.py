"""When to look again at what was found, by how much the machine is used."""

from __future__ import annotations

from collections.abc import Sequence

from faultfinder.job.report_parts import Service
from faultfinder.job.report_walk import Walked


def service(walked: Walked, causes: Sequence[str]) -> tuple[Service, ...]:
    return ()
