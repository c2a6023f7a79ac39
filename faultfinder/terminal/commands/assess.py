"""`faultfinder assess`: facts and findings in, what they say out, as lines or JSON."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from typing import Any

from faultfinder.dialogue.assess import assess
from faultfinder.dialogue.assess_in_words import as_mapping, said
from faultfinder.dialogue.say import note
from faultfinder.exits import Exit
from faultfinder.terminal.console.plain import PlainFace
from faultfinder.terminal.own_meter import own_meter
from faultfinder.terminal.packs import pack_for
from faultfinder.terminal.workshop_counts import with_seen
from faultfinder.text.catalogue import say


def run(asked: argparse.Namespace) -> int:
    """Judge what was given; status 0, or 2 through the error for what cannot be read."""
    meter = own_meter()
    pack, seen = with_seen(asked, pack_for(asked.pack, asked.given))
    result = assess(pack, asked.given, meter.meter if meter else None)
    if asked.json:
        print_json({**as_mapping(result), "meter": str(meter.path) if meter else None, "seen": seen})
    else:
        columns = shutil.get_terminal_size((76, 24)).columns
        told = said(result)
        if meter is not None:
            told.append(note(say("assess_meter", path=meter.path)))
        if seen:
            told.append(note(seen))
        PlainFace(sys.stdin, sys.stdout, columns).show(told)
    return Exit.OK


def print_json(value: Any) -> None:
    """One JSON document on standard output; infinities as text, so that every reader can read it. What could drive a
    terminal or read differently from what it says stands as an escape."""
    text = json.dumps(_finite(value), indent=1, ensure_ascii=False, allow_nan=False)
    if not text.isascii() or "\x7f" in text:
        text = "".join(c if c.isprintable() or c == "\n" else _escaped(c) for c in text)
    sys.stdout.write(text + "\n")


def _escaped(character: str) -> str:
    return "\\u007f" if character == "\x7f" else json.dumps(character)[1:-1]


def _finite(value: Any) -> Any:
    if isinstance(value, float) and value in (float("inf"), float("-inf")):
        return "OL" if value > 0 else "-OL"
    if isinstance(value, dict):
        return {str(key): _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    return value
