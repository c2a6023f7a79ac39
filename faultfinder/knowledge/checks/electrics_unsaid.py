"""Work on an electrical part at the pulled plug that does not say so: nothing would be measured before it runs."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.model import Need
from faultfinder.knowledge.problem import Objection


def check(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if cause.remedy_need is not Need.ISOLATED or view.given(cause.id, "touches_electrics"):
            continue
        found = _ELECTRICAL_WORK.search(cause.remedy)
        if found is not None:
            message = f"{cause.id}: the remedy is work on an electrical part ({found[1].lower()})"
            hint = "write touches_electrics: yes, so that earth and insulation are measured after it; or no"
            yield Objection(view.mark(cause.id, "remedy"), message, hint)


_ELECTRICAL_WORK = re.compile(
    r"\b(?:replac|renew|fit|refit|repair|mend|tighten|chang|shorten|rewir|re-wir|wir|swap)[a-z]*\b[^.;,]{0,25}?"
    r"\b(plugs?|flex|cord|mains cable|cable|wires?|wiring|terminals?|fuse|element|heater|terminal block)\b"
    r"(?! (?:flap|filter|tie|cover))",
    re.IGNORECASE,
)
