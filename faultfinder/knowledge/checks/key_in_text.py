"""A key of the rules that an indentation has made a line of a text."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.keys import TABLES


def check(view: View) -> Iterator[Objection]:
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
                yield Objection(mark, message, f"line it up with {key.text}")
                break


_KEY = re.compile(r"( *)([a-z][a-z0-9_]*):(?: +(\S.*))?$")
