"""Readings, what was seen, and the return tests in sentences; which of them stand in which form."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from faultfinder.job.events import ACCESS_NOT_CONFIRMED
from faultfinder.job.report_parts import Measured, Report, ReturnTest, Seen, Taken
from faultfinder.job.report_section import Item, Section
from faultfinder.job.report_words import WORDS, band_text, lower, moment, name_of, quantity, say


def readings(report: Report, workshop: bool) -> Section:
    if not report.readings:
        return Section("head_readings", (Item(say("no_readings")),))
    shown = tuple(item for item in report.readings if workshop or item.counted)
    items = tuple(Item(reading_text(item), tuple(_under_reading(item, workshop))) for item in shown)
    return Section("head_readings", items, readings=shown)


def reading_text(item: Measured) -> str:
    return say("reading", title=item.title, healthy=healthy_text(item))


def healthy_text(item: Measured) -> str:
    """What a healthy machine reads there."""
    if not item.bands:
        return say("healthy", band=say("no_limit"))
    band = band_text(item.bands[0].low, item.bands[0].high, item.unit)
    if item.expected is None:
        return say("healthy", band=band)
    return say("healthy_about", band=band, expected=quantity(item.expected, item.unit))


def _under_reading(item: Measured, workshop: bool) -> Iterator[str]:
    takes = item.takes if workshop else item.counted
    for take in takes:
        yield take_text(item, take, workshop=workshop)
    if workshop and item.stands_on:
        facts = ", ".join(say("assumed", fact=text) if assumed else text for text, assumed in item.stands_on)
        yield say("limits_from", facts=facts)
    elif assumed_facts := [text for text, assumed in item.stands_on if assumed]:
        yield say("limits_assumed", facts=", ".join(assumed_facts))


def take_text(item: Measured, take: Taken, *, workshop: bool = False) -> str:
    """One reading in a sentence: when, what it was, and what that says."""
    said = take_value(item, take)
    key = "take" if said else "take_told"
    text = say(key, when=when_of(take), text=said, verdict=verdict_of(take))
    return text + "".join(f"; {each}" for each in _about_take(item, take, workshop))


def take_value(item: Measured, take: Taken) -> str:
    """What the meter showed; empty where only the answer was told."""
    return "" if take.value is None else quantity(take.value, item.unit)


def verdict_of(take: Taken) -> str:
    if take.on_edge and take.second:
        return say("edge", first=lower(take.verdict), second=lower(take.second))
    return say("good") if take.healthy else lower(take.verdict)


def when_of(take: Taken) -> str:
    """'as found', after the whole work, or after which part of it (numbered as in the list of what was done)."""
    if take.works == 0:
        return say("as_found")
    return say("after_work") if take.last else say("after_work_number", number=take.works)


def _about_take(item: Measured, take: Taken, workshop: bool) -> Iterator[str]:
    if take.told:
        yield say("told")
    if take.was:
        yield say("was", text=take.was)
    if not workshop:
        return
    if take.doubt:
        yield say("doubt", doubt=quantity(2 * take.doubt, item.unit))
    if take.value is not None and take.text != take_value(item, take):
        yield f'"{take.text}"'
    yield from _standing_of(take)
    if take.at:
        yield moment(take.at)


def _standing_of(take: Taken) -> Iterator[str]:
    if take.access == ACCESS_NOT_CONFIRMED:
        yield say("not_confirmed")
    if take.replaced:
        yield say("replaced")
    if take.suspended:
        yield say("suspended")


def tests(report: Report, workshop: bool) -> Iterator[Item]:
    """All of them for the workshop; for the customer the last of each, and every one that did not pass."""
    last = {test.test: number for number, test in enumerate(report.tests)}
    for number, test in enumerate(report.tests):
        if not workshop and number != last[test.test] and test.outcome == "passed":
            continue
        yield Item(_test_text(test))
    if report.left.owed:
        yield Item(say("still_owed", tests=tests_text(report.left.owed)))
    if not report.tests and not report.left.owed and report.done:
        yield Item(say("no_tests"))


def _test_text(test: ReturnTest) -> str:
    key = f"test_{test.test}"
    name = say(key) if key in WORDS else name_of(test.test)
    outcome = say(f"test_{test.outcome}") if f"test_{test.outcome}" in WORDS else name_of(test.outcome)
    text = (
        say("test_reads", title=name, reads=test.reads, outcome=outcome)
        if test.reads
        else say("test", title=name, outcome=outcome)
    )
    return f"{text} ({say('test_limit', limit=test.limit)})" if test.limit else text


def looks(report: Report, workshop: bool) -> Iterator[Item]:
    """All of it for the workshop; for the customer what was not as it should be, but for the complaint."""
    for item in report.looks:
        takes = item.takes if workshop else item.counted
        if workshop or (any(not take.healthy for take in takes) and not (item.symptom and first_bad(item))):
            yield Item(item.ask, tuple(_look_text(item, take, workshop) for take in takes))


def _look_text(item: Seen, take: Taken, workshop: bool) -> str:
    parts = [say("later", when=when_of(take), answer=take.verdict)]
    if take.told:
        parts.append(say("told"))
    if take.was:
        parts.append(say("was", text=take.was))
    if workshop:
        parts += [*_standing_of(take), *([moment(take.at)] if take.at else [])]
    return "; ".join(parts)


def first_bad(item: Seen) -> bool:
    return bool(item.counted) and item.counted[0].works == 0 and not item.counted[0].healthy


def tests_text(names: Sequence[str]) -> str:
    return "; ".join(lower(say(f"test_{test}")) for test in names)
