"""The transition table of the safety gate: the ways between access states, their actions, and what each permits.

Data, and their words. What stands here is what a reviewer has to read; how it is walked stands in transitions.py.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from faultfinder.knowledge.model import Access, Need
from faultfinder.text.catalogue import say

PAUSE_MINUTES = 10.0
"""Longest absence after which confirmations still count (chosen)."""
LEAVE, VOLTAGE = "leave_now", "voltage"
CONNECTIONS = ("plug", "isolator", "fixed")
CLOSINGS = ("fit_for_use", "left_isolated", "handed_over")


@dataclass(frozen=True, slots=True)
class Leg:
    """One way between access states. `end` is where it leads once all its actions are held."""

    id: str
    start: Access
    end: Access


LEGS: tuple[Leg, ...] = (
    Leg("use", Access.AS_FOUND, Access.IN_USE),
    Leg("use", Access.ISOLATED, Access.IN_USE),
    Leg("isolate", Access.AS_FOUND, Access.ISOLATED),
    Leg("isolate", Access.IN_USE, Access.ISOLATED),
    Leg("open", Access.ISOLATED, Access.OPEN_UNPROVED),
    Leg("prove", Access.OPEN_UNPROVED, Access.OPEN_DEAD),
    Leg("close", Access.OPEN_DEAD, Access.ISOLATED),
    Leg("close_unproved", Access.OPEN_UNPROVED, Access.ISOLATED),
    Leg("cover_up", Access.AS_FOUND, Access.AS_FOUND),
)
"""Where the covers are still off, `isolate` leads to OPEN_UNPROVED instead."""

_TESTER = (
    "tester_proved",
    "dead_line_neutral",
    "dead_line_earth",
    "dead_neutral_earth",
    "tester_proved_again",
)
WAYS: Mapping[tuple[str, str], tuple[str, ...]] = MappingProxyType(
    {
        ("use", ""): (
            "dangers_answered",
            "plug_flex_whole",
            "casing_whole",
            "notices_looked_up",
            "supply_on",
        ),
        ("isolate", "plug"): ("switched_off", "plug_out", "plug_in_sight"),
        ("isolate", "isolator"): ("switched_off", "isolator_locked", "key_kept"),
        ("isolate", "short"): ("still_isolated", "nobody_else"),
        ("open", ""): ("tester_here", "return_testers_here", "covers_off"),
        ("prove", ""): (*_TESTER, "capacitors_discharged", "board_waited", "parts_cooled", "parts_at_rest"),
        ("prove", "short"): _TESTER,
        ("close", ""): ("inside_clear", "covers_on"),
        ("close_unproved", ""): ("covers_on_unproved",),
        ("cover_up", ""): ("covers_on_unproved",),
        ("stop", LEAVE): ("supply_cut_from_afar",),
        ("stop", VOLTAGE): ("covers_back_or_guarded",),
    }
)
"""(leg, variant) -> its actions in order. Variants: the connection, or the short way back after a pause."""

PERMITTED: Mapping[Need, frozenset[Access]] = MappingProxyType(
    {
        Need.ANYWHERE: frozenset(Access),
        Need.COVERS_ON: frozenset({Access.AS_FOUND, Access.IN_USE, Access.ISOLATED}),
        Need.IN_USE: frozenset({Access.IN_USE}),
        Need.ISOLATED: frozenset({Access.ISOLATED, Access.OPEN_DEAD}),
        Need.OPEN_DEAD: frozenset({Access.OPEN_DEAD}),
    }
)
PERMITTED_IN_DANGER: Mapping[Need, frozenset[Access]] = MappingProxyType(
    {**PERMITTED, Need.COVERS_ON: frozenset({Access.ISOLATED}), Need.IN_USE: frozenset()}
)
"""The same while a danger sign is open: nothing of the machine but with the supply cut."""

ROUTE: Mapping[tuple[Access, Need], str] = MappingProxyType(
    {
        (Access.AS_FOUND, Need.COVERS_ON): "isolate",
        (Access.AS_FOUND, Need.IN_USE): "use",
        (Access.AS_FOUND, Need.ISOLATED): "isolate",
        (Access.AS_FOUND, Need.OPEN_DEAD): "isolate",
        (Access.IN_USE, Need.COVERS_ON): "isolate",
        (Access.IN_USE, Need.IN_USE): "isolate",
        (Access.IN_USE, Need.ISOLATED): "isolate",
        (Access.IN_USE, Need.OPEN_DEAD): "isolate",
        (Access.ISOLATED, Need.IN_USE): "use",
        (Access.ISOLATED, Need.OPEN_DEAD): "open",
        (Access.OPEN_UNPROVED, Need.COVERS_ON): "close_unproved",
        (Access.OPEN_UNPROVED, Need.IN_USE): "prove",
        (Access.OPEN_UNPROVED, Need.ISOLATED): "prove",
        (Access.OPEN_UNPROVED, Need.OPEN_DEAD): "prove",
        (Access.OPEN_DEAD, Need.COVERS_ON): "close",
        (Access.OPEN_DEAD, Need.IN_USE): "close",
    }
)
"""Which leg to take next from an access state towards a need, where nothing is owed."""


def access_words(access: Access) -> str:
    """How the machine stands, in words."""
    return say(f"access_{access}")


def need_words(need: Need) -> str:
    """What a step needs, in words."""
    return say(f"need_{need}")
