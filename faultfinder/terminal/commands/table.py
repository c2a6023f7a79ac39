"""`faultfinder table`: the causes of a pack against its observations, strengths as shades; or the same as a page."""

from __future__ import annotations

import argparse
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from prompt_toolkit.utils import get_cwidth

from faultfinder.arguments import add_json, add_replace
from faultfinder.exits import Exit
from faultfinder.job.record.whole_file import write_whole
from faultfinder.knowledge.authoring.strength_table import Block, Cell, StrengthTable, strength_table
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.terminal.commands.table_page import letter, page, per_cent
from faultfinder.terminal.console.printed import aside, print_json, shown, tell
from faultfinder.terminal.console.render import carried, wrap
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

STEPS = (0.02, 0.2, 0.5, 0.8)
"""Strengths from which the next darker shade is used. Chosen; in words: rarely, sometimes, often, usually."""
SHADES = " ░▒▓█"
PLAIN_SHADES = " .:x#"
NARROWEST_TABLE = 60
"""Columns below which rows become lists. Chosen."""
WIDEST_TABLE = 160
NAME_CELLS = 34
"""Most cells of a cause's name, unless a third of the screen is more. Chosen."""
FIGURE_CELLS = 3
"""Cells of a column of the table: two for the shade or the figure, one between."""
FIGURES = ""
"""In place of shades: per cent as figures."""
THROUGH = "'"
"""Behind a figure that comes only through what the fault brings on."""
CUT = ".."
"""Stands at the end of a name that is cut."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `table`."""
    only, columns = say("table_only_sub_system"), say("table_width_instead_screens")
    parser.add_argument("path", help=say("table_folder_file_name_pack"))
    parser.add_argument("--only", action="append", default=[], metavar="SUB-SYSTEM", help=only)
    parser.add_argument("--html", default="", metavar="FILE", help=say("table_write_as_one_page"))
    add_replace(parser)
    parser.add_argument("--figures", action="store_true", help=say("table_per_cent_in_place"))
    parser.add_argument("--columns", type=int, default=0, metavar="N", help=columns)
    add_json(parser)


def run(asked: argparse.Namespace) -> int:
    """Status 0, or 2 where there is no such sub-system."""
    table = strength_table(load_pack(asked.path))
    known = [block.name for block in table.blocks]
    for name in asked.only:
        if name not in known:
            names, hint = ", ".join(known), did_you_mean(name, known)
            text = say("table_there_no_sub_system", name=name, names=names, hint=hint)
            aside(f"faultfinder table: {text.rstrip()}")
            return Exit.WRONG_USE
    blocks = [block for block in table.blocks if not asked.only or block.name in asked.only]
    if asked.json:
        print_json(as_mapping(table, blocks))
    elif asked.html == "-":
        print(page(table, blocks), end="")
    elif asked.html:
        write_whole(Path(asked.html), page(table, blocks), over=asked.replace)
        tell("table_written", html=asked.html)
    else:
        encoding = sys.stdout.encoding or "ascii"
        width = asked.columns or shutil.get_terminal_size((80, 24)).columns
        plain = carried(SHADES, encoding) != SHADES
        shades = FIGURES if asked.figures else PLAIN_SHADES if plain else SHADES
        for line in lines(table, blocks, width, shades):
            print(carried(line, encoding))
    return Exit.OK


def shade(strength: float, shades: str = SHADES) -> str:
    """The character for a strength."""
    return shades[sum(strength >= step for step in STEPS)]


def lines(table: StrengthTable, blocks: Sequence[Block], width: int, shades: str = SHADES) -> list[str]:
    """The whole table at a width: a matrix a sub-system where there is room for one, else a list a cause."""
    width = max(30, min(width, WIDEST_TABLE))
    out = _key(width, shades)
    draw: Callable[..., list[str]] = _matrix if width >= NARROWEST_TABLE else _lists
    for block in blocks:
        out += ["", name_of(block.name).upper(), *draw(table, block, width, shades)]
    return [*out, *_look_alikes(table, width)]


def _key(width: int, shades: str) -> list[str]:
    mark = say("table_letter_before_cause_looks")
    if not shades:
        text = say("table_how_often_fault_alone")
        half = say("table_behind_only_through_what", through=THROUGH)
    else:
        words = zip(shades[1:], ("rarely", "sometimes", "often", "usually"), strict=True)
        steps = ", ".join(f"{c}{c} {word}" for c, word in words)
        text = f"{say('table_how_often_fault_alone_2')} {steps}."
        half = say("table_alone_only_through_what", shades=shades[-1])
    return [*wrap(text, width), *wrap(f"{half} {mark}", width)]


def marked(table: StrengthTable, cause: str) -> str:
    """The letters of the groups that a cause stands in."""
    return "".join(letter(number) for number in table.groups_of(cause))


def _figure(cell: Cell | None, shades: str) -> str:
    """What stands in a cell and the gap behind it: FIGURE_CELLS wide."""
    if cell is None:
        return " " * FIGURE_CELLS
    if not shades:
        return f"{per_cent(cell.strength):>2}" + (" " if cell.direct else THROUGH)
    drawn = shade(cell.strength, shades)
    return f"{drawn * 2 if cell.direct else drawn:<{FIGURE_CELLS}}"


def _matrix(table: StrengthTable, block: Block, width: int, shades: str) -> list[str]:
    """Rows under numbered columns, as many at a time as the width holds; what each number means below them."""
    longest = max((get_cwidth(_named(table, cause)) for cause in block.causes), default=0)
    names = min(longest + 1, max(NAME_CELLS, width // 3))
    room = (width - names) // FIGURE_CELLS
    out: list[str] = []
    for start in range(0, len(block.observations), room):
        part = block.observations[start : start + room]
        numbers = [f"{n:>2}" for n in range(1, len(part) + 1)]
        out.append(" " * names + " ".join(numbers))
        for cause in block.causes:
            row = "".join(_figure(table.cell(cause, observation), shades) for observation in part)
            if start == 0 or row.strip():
                out.append(f"{_name(table, cause, names)}{row}".rstrip())
        out += _legend(table, part, width)
    return out


def _named(table: StrengthTable, cause: str) -> str:
    return f"{marked(table, cause):<2} {shown(table.pack.causes[cause].title)}"


def _name(table: StrengthTable, cause: str, cells: int) -> str:
    """The letters and the title of a cause, cut where it takes more cells, and a gap behind it."""
    text = _named(table, cause)
    if get_cwidth(text) > cells - 1:
        while get_cwidth(text + CUT) > cells - 1:
            text = text[:-1]
        text = text.rstrip() + CUT
    return text + " " * (cells - get_cwidth(text))


def _legend(table: StrengthTable, part: Sequence[str], width: int) -> list[str]:
    out = []
    for number, observation in enumerate(part, start=1):
        out += wrap(f"{number} {shown(table.pack.observations[observation].ask)}", width, "   ", "      ")
    return out


def _lists(table: StrengthTable, block: Block, width: int, shades: str) -> list[str]:
    """A cause a paragraph, what it shows below it, strongest first: for a screen too narrow for a table."""
    out: list[str] = []
    for cause in block.causes:
        mark = marked(table, cause)
        out += wrap(f"{mark + ' ' if mark else ''}{shown(table.pack.causes[cause].title)}", width)
        found = [(o, cell) for o in block.observations if (cell := table.cell(cause, o)) is not None]
        for observation, cell in sorted(found, key=lambda each: -each[1].strength):
            item = table.pack.observations[observation]
            asked = item.ask if item.ask.endswith("?") else f"{item.ask}:"
            said = item.answers[item.index(cell.answer)].text
            out += wrap(f"{shown(asked)} {shown(said)}", width, f"  {_figure(cell, shades)}", " " * 5)
    return out


def _look_alikes(table: StrengthTable, width: int) -> list[str]:
    if not table.groups:
        return ["", *wrap(say("table_no_two_causes_look"), width)]
    out = ["", *wrap(say("table_causes_no_observation_tells"), width)]
    for number, group in enumerate(table.groups):
        titles = "; ".join(shown(table.pack.causes[cause].title) for cause in group.causes)
        purpose = (" " + say("table_on_purpose", name=group.name)) if group.name else ""
        out += wrap(f"{titles}{purpose}", width, f"  {letter(number)} ", "    ")
    return out


def as_mapping(table: StrengthTable, blocks: Sequence[Block]) -> dict[str, Any]:
    """The table as plain data."""
    return {
        "pack": table.pack.name,
        "version": table.pack.version,
        "sub_systems": [
            {
                "name": block.name,
                "causes": {
                    cause: {
                        observation: {
                            "strength": round(cell.strength, 4),
                            "answer": cell.answer,
                            "direct": cell.direct,
                        }
                        for observation in block.observations
                        if (cell := table.cell(cause, observation)) is not None
                    }
                    for cause in block.causes
                },
            }
            for block in blocks
        ],
        "look_alikes": [{"causes": group.causes, "group": group.name} for group in table.groups],
    }
