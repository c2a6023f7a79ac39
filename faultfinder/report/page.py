"""A report as one self-contained HTML page that prints on A4: no script, no network, every text escaped.

The page forbids itself to load anything (its content security policy), is black on white, and carries its charts as
inline SVG. Controls and direction marks in texts are made harmless before they are escaped.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from html import escape
from pathlib import Path

from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.workshop.attachments import kind_of
from faultfinder.report.drawing import chart, drawn_in_full
from faultfinder.report.forms import head, sections, title
from faultfinder.report.in_words import healthy_text
from faultfinder.report.model import CUSTOMER, WORKSHOP, Item, Measured, Picture, Report, Section
from faultfinder.text.catalogue import say

POLICY = ("default-src 'none'", "style-src 'unsafe-inline'")
"""Nothing is loaded; pictures, where there are some, stand in the page itself."""
STYLE = Path(__file__).with_name("page.css")


def page(report: Report, form: str = CUSTOMER) -> str:
    """The report as a whole HTML document; the workshop's form stands behind the customer's page."""
    body = [_side(report, CUSTOMER)]
    if form == WORKSHOP:
        body.append(_side(report, WORKSHOP))
    return document(title(report, form), STYLE, body)


def document(title: str, style: Path, body: Sequence[str]) -> str:
    """A self-contained HTML document that loads nothing. title: plain text; style: the file of its style sheet; body:
    markup, every text in it escaped."""
    policy = (*POLICY, *(["img-src data:"] if "<img" in body[-1] else []))
    sheet = style.read_text(encoding="utf-8")
    return (
        f'<!DOCTYPE html>\n<html lang="{_safe(say("language_of_pages"))}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{"; ".join(policy)}">\n'
        '<meta name="generator" content="faultfinder">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_safe(title)}</title>\n<style>\n{sheet}</style>\n</head>\n<body>\n"
        + "\n".join(body)
        + "\n</body>\n</html>\n"
    )


def _side(report: Report, form: str) -> str:
    body = [f"<h1>{_safe(title(report, form))}</h1>"]
    if particulars := head(report, form):
        body.append(f'<p class="head">{_safe("; ".join(particulars))}.</p>')
    body += [_section(section) for section in sections(report, form)]
    return f'<article class="{form}">\n' + "\n".join(body) + "\n</article>"


def _section(section: Section) -> str:
    heading = f"<h2>{_safe(section.heading)}</h2>"
    if section.box:
        first, *rest = section.items
        lines = [
            f'<p class="first">{_safe(first.text)}</p>',
            *(f"<p>{_safe(item.text)}</p>" for item in rest),
        ]
        return f'<section class="notice" role="note">{heading}{"".join(lines)}</section>'
    inside = _readings(section) if section.readings else _list(section.items)
    foot = f'<p class="foot">{_safe(section.foot)}</p>' if section.foot else ""
    inside += "".join(
        _picture(item, each) for item, each in zip(section.items, section.pictures, strict=False)
    )
    return f'<section class="{section.key}">{heading}\n{inside}{foot}</section>'


def _list(items: tuple[Item, ...]) -> str:
    lines = "".join(f"<li>{_safe(item.text)}{_list(tuple(map(Item, item.under)))}</li>" for item in items)
    return f"<ul>{lines}</ul>" if items else ""


def _readings(section: Section) -> str:
    """A card a reading, its chart where it has figures, and the same in words."""
    cards = "".join(
        _card(item, reading) for item, reading in zip(section.items, section.readings, strict=True)
    )
    drawn = "<svg" in cards
    key = f'<p class="foot">{_safe(say("chart_key"))}</p>' if drawn else ""
    return f'<div class="readings">{cards}</div>{key}'


def _card(item: Item, reading: Measured) -> str:
    drawing = chart(reading)
    told = drawn_in_full(reading) if drawing else frozenset[str]()
    lines = "".join(f"<li>{_safe(text)}</li>" for text in item.under if text not in told)
    words = f'<ul class="small">{lines}</ul>' if lines else ""
    return (
        f'<div class="reading"><h3>{_safe(reading.title)}</h3>'
        f'<p class="small">{_safe(healthy_text(reading))}</p>{drawing}{words}</div>'
    )


def _safe(text: str) -> str:
    return escape(plain_text(text), quote=True)


def _picture(item: Item, picture: Picture) -> str:
    """The picture itself, within the page; nothing where its file is gone."""
    kind = kind_of(picture.data)
    if not kind:
        return ""
    kind = "jpeg" if kind == "jpg" else kind
    data = b64encode(picture.data).decode("ascii")
    return f'<img class="picture" alt="{_safe(item.text)}" src="data:image/{kind};base64,{data}">'
