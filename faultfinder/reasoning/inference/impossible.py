"""Evidence that cannot be: which findings clash."""

from __future__ import annotations

from collections.abc import Sequence

from faultfinder.errors import Contradiction


class ImpossibleEvidence(Contradiction):
    """The evidence has probability 0. `findings`: indexes of a smallest set that already has (nothing in it
    can be left out)."""

    def __init__(self, findings: Sequence[int]) -> None:
        self.findings = tuple(findings)
        named = ", ".join(map(str, self.findings))
        super().__init__(f"the answers to findings {named} together are impossible: take one of them back")
