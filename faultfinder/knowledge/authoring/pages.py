"""The page of each code, for `check --about CODE` and the guide: title, reason, a bad example and a good one.

They stand in pages.yaml beside this file and are read when the first one is asked for. An example is a whole rule
file; most are one of a few frames with a line or two changed, so that a page shows what its code is about.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

import yaml

from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.problem import ERROR


@dataclass(frozen=True, slots=True)
class Page:
    """bad, good: snippets of a rule file, each a whole file that stands beside others.

    alone: the snippets are whole packs. bad is empty where no text of a file can show it; then `such_as` tells.
    """

    id: str
    level: str
    title: str
    reason: str
    bad: str = ""
    good: str = ""
    alone: bool = False
    such_as: str = ""

    def text(self) -> str:
        """The page for people."""
        consequence = "the pack does not load" if self.level == ERROR else "the pack loads"
        parts = [f"{self.id}: {self.title}", f"{self.level} ({consequence})", self.reason]
        if self.such_as:
            parts.append(f"Such as: {self.such_as}")
        if self.bad:
            parts.append("Not so:\n\n" + _indented(self.bad))
        if self.good:
            parts.append("But so:\n\n" + _indented(self.good))
        return "\n\n".join(parts) + "\n"


def _indented(text: str) -> str:
    return "\n".join("    " + line if line else "" for line in text.strip("\n").split("\n"))


@cache
def pages() -> Mapping[str, Page]:
    """Code -> its page, in the order of the codes. Raises KeyError or ValueError where pages.yaml is not sound."""
    read = yaml.safe_load(files(__package__).joinpath("pages.yaml").read_text(encoding="utf-8"))
    frames, told = read["frames"], read["pages"]
    return MappingProxyType({code: _page(code, level, told[code], frames) for code, level in CODES.items()})


def _page(code: str, level: str, told: dict[str, Any], frames: Mapping[str, str]) -> Page:
    rest = dict(told)
    good = _example(rest.pop("but_so", ""), "", frames)
    bad = _example(rest.pop("not_so", ""), good, frames)
    return Page(code, level, bad=bad, good=good, **rest)


def _example(told: str | list[dict[str, str]] | dict[str, Any], good: str, frames: Mapping[str, str]) -> str:
    """An example as it was written: its text, a frame with changes, or the changes to the good example."""
    if isinstance(told, str):
        return told
    if isinstance(told, list):
        return _changed(good, told)
    return _changed(frames[told["frame"]], told.get("changes", ()))


def _changed(text: str, changes: list[dict[str, str]]) -> str:
    """The text with each change's one `line` as it `becomes`, as far in as it stood; nothing takes it out."""
    lines = text.split("\n")
    for change in changes:
        found = [number for number, line in enumerate(lines) if line.strip() == change["line"]]
        if len(found) != 1:
            raise ValueError(f"'{change['line']}' is {len(found)} lines of:\n{text}")
        at = found[0]
        before = lines[at][: len(lines[at]) - len(lines[at].lstrip())]
        lines[at : at + 1] = [before + line for line in change["becomes"].splitlines()]
    return "\n".join(lines)
