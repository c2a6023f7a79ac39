"""What a case is made of in time: the soft evidence of each answer, and what was changed on the machine."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.reasoning.evidence.likelihood import Likelihood


@dataclass(frozen=True, slots=True)
class SoftEvidence:
    """One answer as the engine sees it: which observation, in which epoch, how likely under each answer. complaint:
    it was told unasked, as what is wrong. may_err: whether who answered may have been wrong about it beyond the
    likelihood: not about what was called over, nor where the rules take every answer as certain."""

    observation: str
    epoch: int
    likelihood: Likelihood
    complaint: bool = False
    may_err: bool = True


@dataclass(frozen=True, slots=True)
class Repair:
    """A cause put right at the beginning of `epoch`."""

    cause: str
    epoch: int


@dataclass(frozen=True, slots=True)
class Return:
    """A cause put right before, that may be back from the beginning of `epoch`: the machine was run."""

    cause: str
    epoch: int
