"""Readings and findings as they are typed, at whatever question: what they are about."""

from __future__ import annotations

from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.hearing.line_parser import NotUnderstood, Piece, Typed, Which, read_line
from faultfinder.dialogue.talk import Talk
from faultfinder.job.events import ACCESS_NOT_CONFIRMED
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety


def typed_pieces(talk: Talk, line: str, current: str | None = None) -> list[Piece]:
    """What a typed line says of observations that apply to this machine."""
    items = [item for item in talk.job.pack.observations.values() if possible(item.applies, talk.case.facts)]
    return read_line(items, line, current)


def elsewhere(talk: Talk, line: str, refusal: NotTaken, current: str | None = None) -> list[Piece]:
    """What the line says of other observations, where it is no answer to the question. Raises the refusal, or why
    a reading that was named does not fit."""
    found = typed_pieces(talk, line, current)
    if found and all(isinstance(piece, Typed | Which) for piece in found):
        return found
    for piece in found:
        if isinstance(piece, NotUnderstood) and piece.because:
            raise NotTaken(piece.because)
    raise refusal


def access_of(talk: Talk, need: Need) -> str:
    """How the access of an answer is recorded: nothing for what needs none, else confirmed here or not."""
    if need is Need.ANYWHERE:
        return ""
    return str(talk.gate.access) if safety.permits(talk.gate, need) else ACCESS_NOT_CONFIRMED
