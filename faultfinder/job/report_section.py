"""The forms of a report and the values that its sections are made of: plain sentences, nothing escaped."""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.job.report_parts import Measured
from faultfinder.job.report_words import say

CUSTOMER, WORKSHOP = "customer", "workshop"
FORMS = (CUSTOMER, WORKSHOP)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a section, and what belongs under it."""

    text: str
    under: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its lines. key: the heading's key in the words. box: to be set apart (the danger notice)."""

    key: str
    items: tuple[Item, ...]
    foot: str = ""
    readings: tuple[Measured, ...] = ()
    box: bool = False

    @property
    def heading(self) -> str:
        return say(self.key)
