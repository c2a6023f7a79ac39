"""`faultfinder assess`: facts and findings in, what they say out, as lines or JSON."""

from __future__ import annotations

import argparse

from faultfinder.arguments import add_json, add_seen
from faultfinder.dialogue.queries.assess import assess
from faultfinder.dialogue.queries.assess_in_words import as_mapping, said
from faultfinder.dialogue.say import note
from faultfinder.exits import Exit
from faultfinder.terminal.console.plain import plain_face
from faultfinder.terminal.console.printed import print_json
from faultfinder.terminal.own_meter import own_meter
from faultfinder.terminal.packs import pack_for
from faultfinder.terminal.workshop_counts import with_seen
from faultfinder.text.catalogue import say


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `assess`."""
    command.add_argument("given", nargs="*", metavar="GIVEN", help=say("arguments_fact_value_reading_by"))
    command.add_argument("--pack", default="", help=say("arguments_pack"))
    add_json(command)
    add_seen(command)


def run(asked: argparse.Namespace) -> int:
    """Judge what was given; status 0, or 2 through the error for what cannot be read."""
    meter = own_meter()
    pack, seen = with_seen(asked, pack_for(asked.pack, asked.given))
    result = assess(pack, asked.given, meter.meter if meter else None)
    if asked.json:
        print_json({**as_mapping(result), "meter": str(meter.path) if meter else None, "seen": seen})
    else:
        told = said(result)
        if meter is not None:
            told.append(note(say("assess_meter", path=meter.path)))
        if seen:
            told.append(note(seen))
        plain_face().show(told)
    return Exit.OK
