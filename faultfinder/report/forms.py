"""Which form of a report holds which sections, and what stands at its head."""

from __future__ import annotations

from faultfinder.report.customer import customer_sections, short
from faultfinder.report.model import CUSTOMER, WORKSHOP, Report, Section
from faultfinder.report.sections import workshop_sections
from faultfinder.text.catalogue import say
from faultfinder.text.format import minutes_text, moment


def sections(report: Report, form: str = CUSTOMER) -> tuple[Section, ...]:
    """The sections of a form, in order."""
    return workshop_sections(report) if form == WORKSHOP else customer_sections(report)


def title(report: Report, form: str) -> str:
    """The title of a form."""
    return say("report_title_workshop" if form == WORKSHOP else "report_title", pack=report.title)


def head(report: Report, form: str) -> tuple[str, ...]:
    """The particulars under the title."""
    if form != WORKSHOP:
        return _customers_head(report)
    out = [say("job", job=report.job)] if report.job else []
    if report.began:
        out.append(say("began", at=moment(report.began)))
    if report.ended and report.ended != report.began:
        out.append(say("ended", at=moment(report.ended)))
    if report.minutes >= 1.0:
        out.append(say("minutes", minutes=minutes_text(report.minutes)))
    return tuple(out)


def _customers_head(report: Report) -> tuple[str, ...]:
    day = moment(report.ended, day_only=True) if report.ended else ""
    out = [say(f"about_{field}", words=short(words, 80)) for field, words in report.about]
    out += [say("customer_day", day=short(day, 30))] if day else []
    return (*out, *([say("job", job=short(report.job, 60))] if report.job else []))
