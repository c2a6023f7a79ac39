"""A text that tells to get round a protective device."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.authoring.view import View
from faultfinder.knowledge.code import Code
from faultfinder.knowledge.instructions.unsafe_text import bridging
from faultfinder.knowledge.problem import ERROR, Problem
from faultfinder.knowledge.schema.value_types import quoted

CODE = Code(
    "bridging",
    ERROR,
    "a protective device would be bridged",
    "No protective device is ever bridged, linked out, bypassed or wedged, not even as a test: it is "
    "there because somebody died. Measure across it instead. 'Never bridge it' and 'found bridged' "
    "are fine.",
    """
causes:
  limiter_open:
    title: Limiter open
    how_common: rare
    hazard: fire
    remedy: Replace the limiter
    remedy_how: Bridge the limiter and see whether it heats.
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
    """
causes:
  limiter_open:
    title: Limiter open
    how_common: rare
    hazard: fire
    remedy: Replace the limiter
    remedy_how: Never bridge the limiter; measure across it and replace it.
    minutes: 5
    if_missed: 60
    shows: {stays_cold: always}
""",
)


def check(view: View) -> Iterator[Problem]:
    for said in view.said():
        sentence = bridging(said.text, said.subject)
        if sentence is not None:
            message = f"{said.item}: {quoted(sentence)} gets round a protective device"
            hint = "no protective device is ever bridged, as a test or a remedy; measure across it"
            yield view.problem(CODE, said.mark, message, hint)
