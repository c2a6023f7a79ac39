"""From what is said to lines of text at a width: wrapping by screen cells, labels in words, and the characters
that the terminal can carry. Used by both faces; colour is added by the one that has it."""

from __future__ import annotations

import re
import shutil
import sys
from collections.abc import Iterable

from prompt_toolkit.utils import get_cwidth

from faultfinder.dialogue.say import Bar, Drawing, Line, Option, Said, Tone
from faultfinder.terminal.console.printed import shown
from faultfinder.text.catalogue import say
from faultfinder.text.format import percent

WIDEST = 76
"""Longer lines are hard to read; chosen."""
BAR_CELLS = 10
BARS_FROM = 60
"""Narrower screens show no bars: they would cost the faults' names a line each. Chosen."""

LABELS = {Tone.QUESTION, Tone.CAUTION, Tone.STOP, Tone.ERROR}
"""What a line is for is told before these, in words."""

PLAINER = {
    "Ω": " ohm",
    "µ": "u",
    "μ": "u",
    "°": " deg ",
    "→": "->",
    "–": "-",
    "—": "-",
    "−": "-",
    "±": "+/-",
    "≤": "<=",
    "≥": ">=",
    "×": "x",
    "²": "2",
    "³": "3",
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
    "…": "...",
    "∞": "OL",
    "█": "#",
    "░": ".",
    "•": "*",
}


_WITH_UNIT = re.compile(r"(?<=[0-9]) (?=(?:%|[kM]?ohm|[munk]?[AVWFh]|kWh|min|mm|cm|kg|C|K|dB)(?![A-Za-z]))")
_NUMBERED = re.compile(r"[0-9]{1,2}\. ")


def carried(text: str, encoding: str) -> str:
    """The text in characters that the encoding has; the rest in plainer ones."""
    try:
        text.encode(encoding)
        return text
    except (UnicodeEncodeError, LookupError):
        plainer = "".join(PLAINER.get(c, c) for c in text)
        return plainer.encode("ascii", "replace").decode("ascii")


def screen_width() -> int:
    """Cells of a line of text on this screen; what is no screen takes the widest."""
    return max(20, min(shutil.get_terminal_size((WIDEST, 24)).columns, WIDEST))


def write_out(text: str) -> None:
    """A whole text on standard output, in characters that it can carry."""
    sys.stdout.write(carried(text, sys.stdout.encoding or "utf-8"))


def wrap(text: str, width: int, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most `width` cells; the first begins with `first`, the others with `rest`. A word longer than
    a line stands alone and is cut, so that nothing runs past the edge of a phone."""
    out: list[str] = []
    for paragraph in shown(text).rstrip("\n").split("\n"):
        head = first if not out else rest
        line, empty = head, True
        for word in _words(paragraph):
            while (
                get_cwidth(word) > width - get_cwidth(line if empty else rest)
                and width - get_cwidth(rest) > 4
            ):
                room = width - get_cwidth(line) - (0 if empty else 1)
                if room < 4:
                    out.append(line)
                    line, empty, room = rest, True, width - get_cwidth(rest)
                piece = _fitting(word, room)
                out.append(line + ("" if empty else " ") + piece)
                word = word[len(piece) :]
                line, empty = rest, True
            if not word:
                continue
            if not empty and get_cwidth(line) + 1 + get_cwidth(word) > width:
                out.append(line)
                line, empty = rest, True
            line += word if empty else " " + word
            empty = False
        out.append(line.rstrip() if empty else line)
    return out


def _words(paragraph: str) -> list[str]:
    """The words of a paragraph; a figure and its unit are one."""
    return [word.replace("\0", " ") for word in _WITH_UNIT.sub("\0", paragraph).split()]


def _fitting(word: str, room: int) -> str:
    piece = ""
    for character in word:
        if get_cwidth(piece + character) > room:
            break
        piece += character
    return piece or word[:1]


def lines(said: Iterable[Said], width: int, *, bars: bool = True) -> list[tuple[Tone, str]]:
    """Everything said, as (tone, line) at the width of the screen. `bars` off: words and numbers only."""
    width = max(20, min(width, WIDEST))
    out: list[tuple[Tone, str]] = []
    for item in said:
        match item:
            case Line(text, tone, indent):
                pad = " " * indent
                if out and (
                    tone is Tone.HEADING or (tone is Tone.QUESTION and out[-1][0] is not Tone.HEADING)
                ):
                    out.append((Tone.PLAIN, ""))
                out.extend((tone, line) for line in _paragraphs(text, width, pad + _label(tone, text), pad))
            case Option(number, _, text):
                label = f"{number:>3}  "
                out.extend((Tone.PLAIN, line) for line in wrap(text, width, label, " " * 5))
            case Drawing(text, words):
                if bars:
                    out.extend((Tone.HOW, "  " + shown(line)) for line in text.rstrip("\n").split("\n"))
                if words:
                    out.extend((Tone.HOW, line) for line in wrap(words, width, "  ", "  "))
            case Bar():
                out.extend((Tone.PLAIN, line) for line in _bar(item, width, bars))
    return out


def _paragraphs(text: str, width: int, first: str, rest: str) -> list[str]:
    """A text with line feeds; what is numbered hangs under its number."""
    out: list[str] = []
    for paragraph in text.rstrip("\n").split("\n"):
        number = _NUMBERED.match(paragraph)
        hanging = rest + " " * number.end() if number else rest
        out += wrap(paragraph, width, rest if out else first, hanging)
    return out


def _bar(item: Bar, width: int, bars: bool) -> list[str]:
    figure = percent(item.chance)
    if item.before is not None and percent(item.before) != figure:
        figure += " " + say("render_was", percent=percent(item.before))
    if not bars or width < BARS_FROM:
        return wrap(f"{figure}: {item.text}", width, "  ", "    ")
    filled = round(item.chance * BAR_CELLS)
    bar = "█" * filled + "░" * (BAR_CELLS - filled)
    return wrap(f"{figure} {item.text}", width, f"  {bar} ", " " * (BAR_CELLS + 3))


def _label(tone: Tone, text: str) -> str:
    """The word before a line, which a text that begins with it has already."""
    label = say(f"label_{tone}") if tone in LABELS else ""
    return "" if not label or text.startswith(label.rstrip(":")) else f"{label} "
