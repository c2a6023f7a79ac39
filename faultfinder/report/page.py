"""A report as one self-contained HTML page that prints on A4: no script, no network, every text escaped.

The page forbids itself to load anything (its content security policy), is black on white, and carries its charts as
inline SVG. Controls and direction marks in texts are made harmless before they are escaped.
"""

from __future__ import annotations

from base64 import b64encode
from html import escape

from faultfinder.job.record.event_codec import plain_text
from faultfinder.job.workshop.attachments import kind_of
from faultfinder.report.drawing import chart, drawn_in_full
from faultfinder.report.forms import head, sections, title
from faultfinder.report.model import CUSTOMER, WORKSHOP, Item, Measured, Picture, Report, Section
from faultfinder.report.sections import healthy_text
from faultfinder.text.catalogue import say

POLICY = ("default-src 'none'", "style-src 'unsafe-inline'")
"""Nothing is loaded; pictures, where there are some, stand in the page itself."""
STYLE = """
@page { size: A4; margin: 10mm 14mm 10mm; }
* { box-sizing: border-box; }
body { font: 15px/1.45 system-ui, "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff;
  max-width: 720px; margin: 0 auto; padding: 16px; overflow-wrap: anywhere; }
h1 { font-size: 1.6em; line-height: 1.2; margin: 0 0 .2em; }
h2 { font-size: 1.1em; margin: 1.3em 0 .35em; padding-bottom: .15em; border-bottom: 1.5px solid #000;
  break-after: avoid; }
h3 { font-size: 1em; margin: 0 0 .1em; }
p { margin: .3em 0; }
.head, .foot, .small { color: #333; font-size: .88em; }
ul { margin: .3em 0; padding-left: 1.2em; }
li { margin: .15em 0; break-inside: avoid; }
li ul { margin: 0; list-style: none; padding-left: .6em; border-left: 2px solid #bbb; font-size: .93em; }
.notice { border: 4px double #000; padding: .5em .9em .7em; margin: 1em 0; break-inside: avoid; }
.notice h2 { border: 0; margin: .1em 0; text-transform: uppercase; letter-spacing: .04em; }
.notice p { font-weight: bold; }
.notice p.first { font-size: 1.25em; line-height: 1.3; }
.head_left > ul { list-style: none; padding: 0; font-weight: bold; }
.readings { display: grid; grid-template-columns: repeat(auto-fill, minmax(270px, 1fr)); gap: 12px; margin: .6em 0; }
.reading { border: 1px solid #999; padding: 8px 10px; break-inside: avoid; }
.reading svg { display: block; width: 100%; max-width: 340px; height: auto; margin: .3em 0; }
.picture { display: block; max-width: 100%; max-height: 120mm; margin: .5em 0; break-inside: avoid; }
.customer h2 { margin: .5em 0 .15em; }
.customer li { margin: .04em 0; }
.customer .notice { padding: .2em .8em .4em; margin: .5em 0; }
.customer_use > ul { list-style: none; padding: 0; font-weight: bold; }
.customer .readings { grid-template-columns: repeat(auto-fit, minmax(200px, 1fr)); gap: 8px; margin: .3em 0; }
.customer .reading { padding: 4px 8px; }
.customer .reading h3 { font-size: .9em; }
.customer .head_cautions { font-size: .82em; color: #333; }
article.workshop { border-top: 3px solid #000; margin-top: 2em; padding-top: 1em; }
@media print {
  body { font-size: 10.5pt; max-width: none; padding: 0; }
  article.customer { font-size: 9pt; line-height: 1.24; }
  article.workshop { border: 0; margin: 0; padding: 0; break-before: page; }
  .workshop .readings { grid-template-columns: 1fr 1fr; gap: 4mm; padding-right: 1px; }
  .customer .readings { grid-template-columns: 1fr 1fr 1fr; gap: 3mm; padding-right: 1px; }
  .workshop h2 { margin-top: 1em; }
}
"""


def page(report: Report, form: str = CUSTOMER) -> str:
    """The report as a whole HTML document; the workshop's form stands behind the customer's page."""
    body = [_side(report, CUSTOMER)]
    if form == WORKSHOP:
        body.append(_side(report, WORKSHOP))
    policy = (*POLICY, *(["img-src data:"] if "<img" in body[-1] else []))
    language = _safe(say("language_of_pages"))
    return (
        f'<!DOCTYPE html>\n<html lang="{language}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{"; ".join(policy)}">\n'
        '<meta name="generator" content="faultfinder">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_safe(title(report, form))}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
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
    return "<ul>" + "".join(f"<li>{_safe(item.text)}{_under(item)}</li>" for item in items) + "</ul>"


def _under(item: Item) -> str:
    if not item.under:
        return ""
    return "<ul>" + "".join(f"<li>{_safe(text)}</li>" for text in item.under) + "</ul>"


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
