"""A key of the rules that an indentation has made a line of a text."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import WARNING, Problem
from faultfinder.knowledge.schema.keys import TABLES

CODE = Code(
    "key-in-text",
    WARNING,
    "a key inside a text",
    "What stands further right than the key of a text block belongs to the text: a key there is shown "
    "to people as words, and means nothing. Begin it under the key of the text.",
    """
observations:
  hinge_seen:
    kind: look
    ask: Is the hinge worn?
    answers: yes_no
    how: |
      Open the lid and let it fall.
      background: {yes: 0.1}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_seen: often}}
""",
    """
observations:
  hinge_seen:
    kind: look
    ask: Is the hinge worn?
    answers: yes_no
    how: |
      Open the lid and let it fall.
    background: {yes: 0.1}
states:
  lid_hangs: {title: Lid hangs, brought_on_by: {scale_thick: rarely}, shows: {hinge_seen: often}}
""",
)


def check(view: View) -> Iterator[Problem]:
    known = {key.name for table in TABLES for key in table.keys} | {
        entry.id for entries in view.gathered.sections.values() for entry in entries if "_" in entry.id
    }
    for key, text in view.gathered.texts():
        for number, line in enumerate(text.below):
            found = _KEY.match(line)
            if found is None or key.text == "drawing":
                continue
            if found[2] in known or ("_" in found[2] and not found[3]):
                mark = Mark(text.mark.file, text.mark.line + 1 + number, len(found[1]) + 1)
                message = f"{found[2]}: stands inside the text of {key.text}, and means nothing there"
                yield view.problem(CODE, mark, message, f"line it up with {key.text}")
                break


_KEY = re.compile(r"( *)([a-z][a-z0-9_]*):(?: +(\S.*))?$")
