"""The table of strengths as one self-contained HTML page: no script, nothing loaded, every text escaped."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from pathlib import Path

from faultfinder.knowledge.authoring.strength_table import Block, Cell, StrengthTable
from faultfinder.report.page import document
from faultfinder.terminal.console.printed import shown
from faultfinder.text.catalogue import say
from faultfinder.text.format import capital, name_of

STYLE = Path(__file__).with_name("table_page.css")
Colour = tuple[int, int, int]
DARK_INK: Colour = (0, 0, 0)
LIGHT_INK: Colour = (255, 255, 255)
DARKEST: Colour = (12, 60, 120)
"""The shade of a strength of 1: a dark blue. Chosen."""


def page(table: StrengthTable, blocks: Sequence[Block]) -> str:
    """The whole document."""
    title = say("table_page_causes_what_they_show", title=table.pack.title, version=table.pack.version)
    body = [
        f"<h1>{_safe(title)}</h1>",
        f"<p>{_safe(say('table_page_key'))}</p>",
        _look_alikes(table),
        _contents(blocks),
    ]
    return document(title, STYLE, [*body, *(_block(table, block) for block in blocks)])


def letter(number: int) -> str:
    """A, B ... Z, AA ... for a group of look-alikes."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text


def _contents(blocks: Sequence[Block]) -> str:
    links = "".join(f'<a href="#{_safe(block.name)}">{_safe(_words(block.name))}</a>' for block in blocks)
    return f"<nav>{links}</nav>"


def _look_alikes(table: StrengthTable) -> str:
    if not table.groups:
        return f"<p>{_safe(say('table_no_two_causes_look'))}</p>"
    rows = []
    for number, group in enumerate(table.groups):
        titles = "; ".join(_safe(table.pack.causes[cause].title) for cause in group.causes)
        purpose = (" " + say("table_on_purpose", name=_safe(group.name))) if group.name else ""
        rows.append(f'<li><b class="mark">{letter(number)}</b>{titles}{purpose}</li>')
    head = _safe(say("table_causes_no_observation_tells"))
    return f"<p>{head}</p><ul>{''.join(rows)}</ul>"


def _block(table: StrengthTable, block: Block) -> str:
    heads = "".join(
        f'<th scope="col"><div>{_safe(table.pack.observations[name].ask)}</div></th>'
        for name in block.observations
    )
    rows = []
    for cause in block.causes:
        marks = "".join(f'<b class="mark">{letter(number)}</b>' for number in table.groups_of(cause))
        cells = "".join(_cell(table, cause, name) for name in block.observations)
        rows.append(f'<tr><th scope="row">{marks}{_safe(table.pack.causes[cause].title)}</th>{cells}</tr>')
    corner = _safe(say("table_page_cause"))
    return (
        f'<section id="{_safe(block.name)}"><h2>{_safe(_words(block.name))}</h2><div class="scroll">'
        f'<table><thead><tr><th scope="col">{corner}</th>{heads}</tr></thead>'
        f"<tbody>{''.join(rows)}</tbody></table></div></section>"
    )


def _cell(table: StrengthTable, cause: str, observation: str) -> str:
    cell = table.cell(cause, observation)
    if cell is None:
        return "<td></td>"
    item = table.pack.observations[observation]
    said = item.answers[item.index(cell.answer)].text
    asked = item.ask if item.ask.endswith("?") else f"{item.ask}:"
    tip = f"{table.pack.causes[cause].title} / {asked} {said}"
    way = "" if cell.direct else ' class="through"'
    return f'<td{way} style="{_colours(cell)}" title="{_safe(tip)}">{per_cent(cell.strength)}</td>'


def per_cent(strength: float) -> int:
    """Whole per cent of a strength; never a false 0 or 100, and 99 at most so that it takes two places."""
    return min(99, max(1, round(strength * 100)))


def _colours(cell: Cell) -> str:
    """From white to a dark blue by strength; the figure dark or white, whichever stands out more."""
    ground = background(cell.strength)
    ink = max((DARK_INK, LIGHT_INK), key=lambda ink: contrast(ink, ground))
    return f"background:{_hex(ground)};color:{_hex(ink)}"


def background(strength: float) -> Colour:
    """The shade of a strength."""
    red, green, blue = (round(255 + (dark - 255) * strength) for dark in DARKEST)
    return red, green, blue


def contrast(one: Colour, other: Colour) -> float:
    """How much two colours stand out from one another, 1 to 21; 4.5 is enough for small letters.

    Source: Web Content Accessibility Guidelines 2.1, W3C, definition of contrast ratio and criterion 1.4.3.
    """
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: Colour) -> float:
    parts = (part / 255 for part in colour)
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _hex(colour: Colour) -> str:
    return "#" + "".join(f"{part:02x}" for part in colour)


def _words(name: str) -> str:
    return capital(name_of(name))


def _safe(text: str) -> str:
    return escape(shown(text), quote=True)
