"""What `help` says: first what the question at hand takes, then the words that work at any prompt."""

from __future__ import annotations

from faultfinder.dialogue.say import Line, Said, heading
from faultfinder.dialogue.talk import Talk
from faultfinder.text.catalogue import say

ALWAYS = ("how", "why", "likely", "steps", "reading", "what_if", "dk", "undo", "correct", "danger", "stop")
"""What works at any prompt, at most a line of a phone each."""
MORE = ("do", "shows", "rule_out", "explain", "plate", "note", "about", "photo", "part", "rules", "end")


def help_said(talk: Talk, more: bool = False) -> list[Said]:
    """The help for what is asked now; `more`: the rarer words instead."""
    said: list[Said] = []
    if not more:
        said.append(Line(talk.current.help(talk)))
    said.append(heading(say("help_more_head" if more else "help_head")))
    said += [Line(say(f"help_word_{word}"), indent=1) for word in (MORE if more else ALWAYS)]
    if not more:
        said.append(Line(say("help_word_more"), indent=1))
    return said
