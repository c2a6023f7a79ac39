"""What is told at once when danger signs are met."""

from __future__ import annotations

from collections.abc import Sequence

from faultfinder.dialogue.say import Line, Said, Tone
from faultfinder.safety.dangers import told_at_once


def sign_lines(signs: Sequence[str]) -> list[Said]:
    """What is told at once when danger signs are met, each text once."""
    return [Line(text, Tone.CAUTION) for text in told_at_once(signs)]
