"""The customer's page: one side of A4 in plain words, as sections of sentences; nothing is escaped here.

What was complained of, found and done; whether the machine may be used, and why; the readings that matter; what to
look after; what was not looked at. No chances in figures, no weights, nothing by the rules' times. So that it stays
on one side every list and text is cut, and says so; the danger notice itself never is.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace

from faultfinder.reasoning.constants import FOUND
from faultfinder.report.in_words import reading_text, take_text, test_text
from faultfinder.report.model import Fault, Item, Measured, Report, ReturnTest, Section, Taken
from faultfinder.report.sections import complained, left_text, notice, numbered, part_text, section
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words, lower, sure

FEW = 4
"""Lines of a list that are shown; chosen, with LONGEST, so that every job of the demos leaves room on the page."""
LONGEST = 170
"""Letters of a text that are shown."""
ROOM = 300
"""So many letters of a danger notice take the room of one line in each list."""
MOST_NAMES = 6
READINGS = 3
PLAINLY = 0.90
"""From this chance on a fault is simply called found; below it is said how likely."""


def customer_sections(report: Report) -> tuple[Section, ...]:
    """The page's sections, in order; those with nothing to say are left out."""
    warned = notice(replace(report.left, unsafe=_cut(report.left.unsafe)))
    few = max(1, FEW - math.ceil(sum(len(item.text) for item in warned.items) / ROOM))
    parts = [
        warned,
        section("customer_use", _use(report)),
        section("customer_told", _few(_told(report), few)),
        section("head_found", _few(_found(report), few)),
        section("head_done", _few(_done(report), few)),
        _readings(report),
        section("customer_open", _few(_open(report), few)),
        section("head_advice", _few(_look_after(report), few)),
        section("customer_not_seen", _not_looked_at(report)),
        section("head_cautions", _small_print(report)),
    ]
    return tuple(part for part in parts if part.items or part.readings)


def short(text: str, most: int = LONGEST) -> str:
    """A text cut to the page."""
    text = " ".join(text.split())
    return text if len(text) <= most else text[: most - 3].rstrip(" ,;.") + "..."


def _few(items: Iterable[Item], few: int = FEW) -> Iterator[Item]:
    """The first lines of a list, each cut, and how many more there are."""
    listed = list(items)
    for item in listed[:few]:
        yield Item(short(item.text), tuple(short(text) for text in item.under[:1]))
    if len(listed) > few:
        yield Item(say("customer_more", count=len(listed) - few))


def _cut(titles: Iterable[str]) -> tuple[str, ...]:
    """The first titles, and how many more there are."""
    listed = tuple(titles)
    more = len(listed) - MOST_NAMES
    return (*listed[:MOST_NAMES], say("customer_more", count=more)) if more > 0 else listed


def _names(titles: Iterable[str]) -> str:
    return "; ".join(_cut(map(lower, titles)))


# -- whether it may be used -----------------------------------------------------------------------------


def _use(report: Report) -> Iterator[Item]:
    """How it was left, in plain words. Why it must not be used stands in the notice above."""
    left = report.left
    yield Item(left_text(left, short(closing_words(left.recorded), 40)))
    last = {test.test: test for test in report.tests if not test.taken_back}.values()
    not_passed = [test for test in last if test.outcome != "passed"]
    if left.state == "fit_for_use" and not left.notice and not not_passed:
        yield Item(_tests_passed(report, last))
    yield from (Item(test_text(test)) for test in not_passed)


def _tests_passed(report: Report, last: Collection[ReturnTest]) -> str:
    """That all tests passed, and whether that was with the work done."""
    if not last:
        return say("customer_no_tests")
    if report.done and all(test.last for test in last):
        return say("customer_tests_passed_after")
    if report.done and not any(test.works for test in last):
        return say("customer_tests_passed_before")
    return say("customer_tests_passed")


# -- complained of, found, done -------------------------------------------------------------------------


def _told(report: Report) -> Iterator[Item]:
    if report.complaint:
        yield Item(say("own_words", text=report.complaint))
    told = complained(report)
    for item in told:
        later = item.counted[-1]
        text = say("customer_symptom", ask=item.ask.rstrip("?"), answer=lower(item.counted[0].verdict))
        if later.works:
            text = say("customer_symptom_after", told=text, answer=lower(later.verdict))
        yield Item(text)
    if not report.complaint and not told:
        yield Item(say("no_complaint"))


def _found(report: Report) -> Iterator[Item]:
    if report.outside:
        yield Item(say("outside", say=report.outside))
    for fault in report.found:
        likely = "" if fault.chance >= PLAINLY or fault.put_right else f" ({sure(fault.chance)})"
        state = say(f"state_{fault.proof or 'unproved'}" if fault.put_right else "fault_open")
        told = say("customer_fault", title=fault.title, likely=likely, state=state)
        yield Item(told, tuple(_about(fault)))
    if not report.found and not report.outside:
        yield Item(say("customer_nothing_found"))


def _about(fault: Fault) -> Iterator[str]:
    """Of these one line is shown: what is dangerous, before what is only of interest."""
    if not fault.put_right and fault.hazard != "none":
        yield say(f"hazard_{fault.hazard}")
    if fault.brought_on_by:
        yield say("brought_on", titles=_names(fault.brought_on_by))


def _done(report: Report) -> Iterator[Item]:
    yield from numbered(Item(work.remedy) for work in report.done)
    if report.parts:
        yield Item(say("parts_used", parts=", ".join(part_text(part) for part in report.parts)))


def _open(report: Report) -> Iterator[Item]:
    """What is still to be done, and what may still be wrong."""
    for item in report.not_done:
        why = [say(f"undone_{item.why}")] if item.why != "advised" else []
        why += [say(f"hazard_{item.hazard}")] if item.hazard != "none" else []
        text = say("customer_undone", remedy=item.remedy, title=item.title)
        yield Item(text, ("; ".join(why),) if why else ())
    if report.possible:
        yield Item(say("customer_possible", titles=_names(item.title for item in report.possible[:FEW])))


# -- the readings that matter ---------------------------------------------------------------------------


def _readings(report: Report) -> Section:
    # Of each the first and the last take.
    figures = ((item, _figures(item)) for item in that_matter(report))
    shown = tuple(replace(item, takes=(*takes[:1], *takes[1:][-1:])) for item, takes in figures)
    items = (
        Item(short(reading_text(item)), tuple(take_text(item, take) for take in item.counted))
        for item in shown
    )
    return Section("customer_readings", tuple(items), readings=shown)


def that_matter(report: Report) -> tuple[Measured, ...]:
    """The two or three readings that say most: what was outside its limits and came right, what is outside still,
    what proves a repair; then what makes the machine safe."""
    proofs = {name for fault in report.found for name in fault.proofs}

    def weight(item: Measured) -> tuple[int, int, int]:
        takes = _figures(item)
        bad, changed = any(not t.healthy for t in takes), takes[0].healthy != takes[-1].healthy
        return (2 * bad + changed + (item.observation in proofs), int(item.safety), len(takes))

    drawn = [item for item in report.readings if item.bands and _figures(item)]
    ranked = sorted(drawn, key=weight, reverse=True)
    telling = [item for item in ranked if weight(item)[:2] != (0, 0)]
    return tuple((telling or ranked)[:READINGS])


def _figures(item: Measured) -> list[Taken]:
    return [take for take in item.counted if take.value is not None]


# -- after it -------------------------------------------------------------------------------------------


def _look_after(report: Report) -> Iterator[Item]:
    yield from map(Item, report.advice)
    for item in report.service:
        title = lower(item.title)
        if item.by_date:
            yield Item(say("customer_service_on", title=title, date=item.by_date))
        else:
            yield Item(say("service_uses", title=title, uses=f"{item.uses:.0f}"))


def _not_looked_at(report: Report) -> Iterator[Item]:
    if report.not_looked_at:
        titles = _names(item.title for item in report.not_looked_at)
        yield Item(say("customer_not_looked_at", titles=titles))
    if report.unproved:
        yield Item(say("customer_unproved", asks="; ".join(report.unproved)))
    if report.skipped:
        asks = [what.rstrip("?") for what, _ in report.skipped]
        yield Item(short(say("customer_skipped", asks="; ".join(asks[:FEW])), 2 * LONGEST))
    if not report.not_looked_at and not report.skipped and report.found:
        yield Item(say("customer_only_what_is_written"))


def _small_print(report: Report) -> Iterator[Item]:
    told = list(report.cautions)
    if report.problems:
        told.append(say("customer_problems", count=len(report.problems)))
    if any(fault.now > FOUND and fault.put_right for fault in report.found):
        told.append(say("customer_may_come_back"))
    yield Item(" ".join(told))
