"""A report as Markdown: headings and lists only, so that it reads as well unrendered and on a narrow screen.

Texts come from people, rule files and records: control and direction-changing characters are made harmless, and
whatever Markdown or HTML would act on is escaped.
"""

from __future__ import annotations

import re

from faultfinder.job.record.event_codec import plain_text
from faultfinder.report.forms import head, sections, title
from faultfinder.report.model import CUSTOMER, Report, Section

_ACTIVE = re.compile(r"([\\`*\[\]<>|~&]|(?<![^\W_])_|_(?![^\W_]))")
_AT_START = re.compile(r"^(#|[+-](?=\s|$)|[=-](?=[=\-\s]*$)|\d{1,9}(?=[.)](?:\s|$)))")
_LINK = re.compile(r"(?i)(?<=\w)(://)|\b(www)\.")


def markdown(report: Report, form: str = CUSTOMER) -> str:
    """The report as Markdown text, ending with a line end."""
    blocks = [f"# {escaped(title(report, form))}"]
    if particulars := head(report, form):
        blocks.append(escaped("; ".join(particulars)) + ".")
    blocks += [_section(section) for section in sections(report, form)]
    return "\n\n".join(blocks) + "\n"


def _section(section: Section) -> str:
    lines = [f"## {escaped(section.heading)}", ""]
    for item in section.items:
        if section.box:
            lines += [f"> **{escaped(item.text)}**", ">"]
            continue
        lines.append(f"- {escaped(item.text)}")
        lines += [f"  - {escaped(text)}" for text in item.under]
    if section.box:
        lines.pop()
    if section.foot:
        lines += ["", escaped(section.foot)]
    return "\n".join(lines)


def escaped(text: str) -> str:
    """Text that Markdown shows as it stands: on one line, nothing in it acts."""
    text = " ".join(plain_text(text).split())
    text = _ACTIVE.sub(r"\\\1", text)
    text = _AT_START.sub(_kept_from_acting, text)
    return _LINK.sub(lambda found: r":\//" if found[1] else rf"{found[2]}\.", text)


def _kept_from_acting(found: re.Match[str]) -> str:
    """A list or heading sign at the start, escaped; of a number it is the point behind it."""
    return f"{found[1]}\\" if found[1].isdigit() else f"\\{found[1]}"
