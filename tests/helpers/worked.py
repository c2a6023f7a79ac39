"""A small pack with worked cases, written into a folder of the test's own."""

from __future__ import annotations

import shutil
from pathlib import Path

from talking import SMALL

ELEMENT = """\
# The element is broken; the cut-out is whole.
- {opened: fan_heater}
- {fact: volts, is: 230}
- {fact: watts, is: 2000}
- {complaint: "stays cold"}
- {answer: no_heat, is: yes}
- {answer: cut_out_continuity, reads: 0R1}
- {answer: element_resistance, reads: OL}
- {likely: {element_open: 0.95}, unlikely: {cut_out_open: 0.05}}
"""
BLOCKED = """\
- {opened: fan_heater}
- {answer: no_heat, is: yes}
- {answer: inlet_look, is: blocked}
- {answer: cut_out_continuity, reads: OL}
- {likely: {cut_out_open: 0.9, inlet_blocked: 0.9}}
- {minutes_at_most: 10}
"""
WRONG = """\
- {opened: fan_heater}
- {answer: air_weak, is: yes}
- {answer: noise, is: squeal}
- {likely: {inlet_blocked: 0.9}}
"""


def pack_with(folder: Path, **cases: str) -> Path:
    """The fan heater's rules in `folder`, with these cases (name -> text)."""
    shutil.copytree(SMALL, folder)
    for name, text in cases.items():
        (folder / "cases").mkdir(exist_ok=True)
        (folder / "cases" / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folder


def edit(folder: Path, old: str, new: str) -> None:
    """Change a text of the rules that stands in them once."""
    path = folder / "fan_heater.yaml"
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, text.count(old)
    path.write_text(text.replace(old, new), encoding="utf-8")
