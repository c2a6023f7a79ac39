"""Readings, other answers and return tests in words, the same in every form of a report and beside its drawings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import ACCESS_NOT_CONFIRMED
from faultfinder.job.return_tests import limit_said, reads_said
from faultfinder.reasoning.evidence.facts import quantity_of_unit
from faultfinder.report.model import Measured, ReturnTest, Taken
from faultfinder.text.catalogue import has, say
from faultfinder.text.format import format_quantity, format_span, lower, moment, name_of
from faultfinder.trade.readings.reading import parse_reading


def reading_text(item: Measured) -> str:
    return say("reading", title=item.title, healthy=healthy_text(item))


def healthy_text(item: Measured) -> str:
    """What a healthy machine reads there."""
    if not item.bands:
        return say("healthy", band=say("no_limit"))
    band = format_span(item.bands[0].low, item.bands[0].high, item.unit)
    if item.expected is None:
        return say("healthy", band=band)
    return say("healthy_about", band=band, expected=format_quantity(item.expected, item.unit))


def take_text(item: Measured, take: Taken) -> str:
    """One reading in a sentence: when, what it was, and what that says."""
    said = take_value(item, take)
    key = "take" if said else "take_told"
    return say(key, when=when_of(take), text=said, verdict=verdict_of(take))


def take_value(item: Measured, take: Taken) -> str:
    """What the meter showed; empty where only the answer was told. Of more than a range holds ('>200M') the range."""
    if take.value is None:
        return ""
    if math.isinf(take.value):
        try:
            top = parse_reading(take.text, quantity_of_unit(item.unit), item.unit).range_top
        except FaultFinderError:
            top = None
        if top is not None:
            return say("figure_above", low=format_quantity(top, item.unit))
    return format_quantity(take.value, item.unit)


def verdict_of(take: Taken) -> str:
    if take.on_edge and take.second:
        return say("edge", first=lower(take.verdict), second=lower(take.second))
    return say("good") if take.healthy else lower(take.verdict)


def when_of(take: Taken | ReturnTest) -> str:
    """'as found', after the whole work, or after which part of it (numbered as in the list of what was done)."""
    if take.works == 0:
        return say("as_found")
    return say("after_work") if take.last else say("after_work_number", number=take.works)


def about_take(take: Taken, item: Measured | None = None) -> Iterator[str]:
    """What is told of an answer beside it; of a reading its doubt, and how it was typed."""
    if take.told:
        yield say("told")
    if take.was:
        yield say("was", text=take.was)
    if item is not None and take.doubt:
        yield say("doubt", doubt=format_quantity(2 * take.doubt, item.unit))
    if item is not None and take.value is not None and take.text != take_value(item, take):
        yield f'"{take.text}"'
    if take.access == ACCESS_NOT_CONFIRMED:
        yield say("report_not_confirmed")
    if take.replaced:
        yield say("replaced")
    if take.beside:
        yield say("taken_once_more")
    if take.suspended:
        yield say("suspended")
    if take.at:
        yield moment(take.at)


def test_text(test: ReturnTest) -> str:
    name, outcome = (
        say(f"test_{word}") if has(f"test_{word}") else name_of(word) for word in (test.test, test.outcome)
    )
    key = "test_reads" if test.reads else "test"
    text = say(key, title=name, reads=reads_said(test.test, test.reads), outcome=outcome)
    return f"{text} ({say('test_limit', limit=limit_said(test.limit))})" if test.limit else text


def tests_text(names: Sequence[str]) -> str:
    return "; ".join(lower(say(f"test_{test}")) for test in names)
