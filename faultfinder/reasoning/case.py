"""A case: one machine, what is known of it, what was answered, and what follows from that. The public API.

A thin front: what was told stands in evidence/, what follows from it in inference/, what to do next in decision/.
"""

from __future__ import annotations

from collections.abc import Mapping

from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.decision import advice, stopping
from faultfinder.reasoning.decision.step import Done, Step
from faultfinder.reasoning.evidence.facts import FactValue
from faultfinder.reasoning.inference.assessment import Assessment, Outlook
from faultfinder.trade.readings.meter import Meter

__all__ = ["Case", "Outlook"]


class Case(Assessment):
    """One job's evidence on one machine and what follows from it; see the package's README for a first example."""

    def __init__(
        self, pack: Pack, facts: Mapping[str, FactValue] | None = None, meter: Meter | None = None
    ) -> None:
        """See EvidenceLog."""
        super().__init__(pack, facts, meter)
        self._steps: tuple[object, tuple[Step, ...]] | None = None

    def next_steps(self, count: int = 3) -> list[Step]:
        """The steps worth most for their minutes, best first, with their reasons; empty when nothing more is worth
        doing."""
        return [self.reasoned(step) for step in self.steps()[:count]]

    def reasoned(self, step: Step) -> Step:
        """The step with what each answer to it would do."""
        return advice.with_reasons(self, step)

    def steps(self) -> tuple[Step, ...]:
        """All steps worth doing, best first, without the reasons of tests; worked out once until something
        changes."""
        key = (self._access, self.unreachable, self.declined)
        if self._steps is None or self._steps[0] != key:
            self._steps = key, tuple(advice.steps(self))
        return self._steps[1]

    @property
    def done(self) -> Done | None:
        """Why there is nothing more worth doing, or None while there is."""
        return stopping.done(self, self.steps())

    def _changed(self) -> None:
        super()._changed()
        self._steps = None
