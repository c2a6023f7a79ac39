"""Urgent words at prompts that stand outside a conversation: heard first there too, asked back once."""

from __future__ import annotations

from faultfinder.dialogue.say import Ask, Line, Tone, error, question
from faultfinder.safety.dangers import told_at_once
from faultfinder.safety.urgent import heard
from faultfinder.terminal.console.console import Face
from faultfinder.text.catalogue import say

YES = frozenset(("yes", "y", "1", "now"))
NO = frozenset(("no", "n", "2", "not now", "earlier"))


def left_for_danger(face: Face, text: str, real: str = "") -> bool:
    """Whether urgent words were typed and meant. Silence after them counts as meant, and only a no as not meant."""
    signs = heard(text)
    if not signs:
        return False
    face.show(
        [*(Line(told, Tone.STOP) for told in told_at_once(signs)), question(real or say("danger_real"))]
    )
    while True:
        try:
            answer = face.ask(Ask(say("label_real"), ("yes", "no"))).strip(" .!").casefold()
        except EOFError:
            return True
        if answer in YES or heard(answer):
            return True
        if answer in NO:
            return False
        face.show([error(say("alarm_type_yes_no"))])
