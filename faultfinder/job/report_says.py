"""A report as sections of sentences, the same for every renderer; nothing is escaped here.

`sections` decides what each form holds and how it is worded; a renderer decides how a heading, an item or a box
looks. A section of readings carries them too, so that a page can draw them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from faultfinder.job.report_parts import Cost, Fault, Left, Possible, Report, Undone
from faultfinder.job.report_section import CUSTOMER, FORMS, WORKSHOP, Item, Section
from faultfinder.job.report_takes import first_bad, looks, readings, tests, tests_text, when_of
from faultfinder.job.report_words import (
    lower,
    minutes_text,
    moment,
    name_of,
    percent,
    say,
    sure,
    with_answer,
)
from faultfinder.job.report_workshop import for_the_workshop
from faultfinder.reasoning.decision.scope import FOUND

__all__ = ["CUSTOMER", "FORMS", "WORKSHOP", "Item", "Section", "head", "sections", "title"]

FEW = 5
"""Faults still possible that a customer is told of; chosen."""


def title(report: Report, form: str) -> str:
    return say("title_workshop" if form == WORKSHOP else "title", pack=report.title)


def head(report: Report) -> tuple[str, ...]:
    """The line of particulars under the title."""
    out = [say("job", job=report.job)] if report.job else []
    if report.began:
        out.append(say("began", at=moment(report.began)))
    if report.ended and report.ended != report.began:
        out.append(say("ended", at=moment(report.ended)))
    if report.minutes >= 1.0:
        out.append(say("minutes", minutes=minutes_text(report.minutes)))
    return tuple(out)


def sections(report: Report, form: str = CUSTOMER) -> tuple[Section, ...]:
    """The sections of a form, in order; those with nothing to say are left out."""
    workshop = form == WORKSHOP
    parts = [
        _notice(report.left),
        Section("head_left", tuple(_left(report, workshop))),
        Section("head_complaint", tuple(_complaint(report))),
        Section("head_found", tuple(_found(report)), _how_sure(report)),
        Section("head_done", tuple(_done(report, workshop))),
        readings(report, workshop),
        Section("head_looks", tuple(looks(report, workshop))),
        Section("head_tests", tuple(tests(report, workshop))),
        Section("head_not_done", tuple(_undone(item) for item in report.not_done)),
        Section("head_possible", tuple(_possible(report.possible, workshop))),
        Section("head_not_looked_at", tuple(_not_looked_at(report.not_looked_at, workshop))),
        Section("head_advice", tuple(_advice(report))),
        _costs(report),
        Section("head_machine", tuple(_machine(report))),
    ]
    if workshop:
        parts += for_the_workshop(report)
    parts.append(Section("head_cautions", tuple(Item(text) for text in report.cautions)))
    parts.append(Section("head_record", tuple(_record(report, workshop)), say("made_by")))
    return tuple(part for part in parts if part.items or part.readings)


# -- the head of it -------------------------------------------------------------------------------------


def _notice(left: Left) -> Section:
    if not left.notice:
        return Section("head_notice", ())
    return Section("head_notice", (Item(left.notice), *(Item(text) for text in _why(left))), box=True)


def _why(left: Left) -> Iterator[str]:
    if left.stopped:
        yield say("why_stopped")
    if left.unsafe:
        yield say("why_unsafe", titles=", ".join(left.unsafe))
    if left.owed:
        yield say("why_owed", tests=tests_text(left.owed))


def _complaint(report: Report) -> Iterator[Item]:
    if report.complaint:
        yield Item(say("own_words", text=report.complaint))
    told = [item for item in report.looks if item.symptom and first_bad(item)]
    for item in told:
        later = tuple(say("later", when=when_of(take), answer=take.verdict) for take in item.counted[1:])
        yield Item(with_answer(item.ask, item.counted[0].verdict), later)
    if not report.complaint and not told:
        yield Item(say("no_complaint"))


def _machine(report: Report) -> Iterator[Item]:
    for line in report.facts:
        yield Item(say("fact" if line.given else "fact_assumed", ask=line.ask.rstrip("?"), value=line.value))
    for text in report.contradictions:
        yield Item(text)


# -- found and done -------------------------------------------------------------------------------------


def _how_sure(report: Report) -> str:
    told = [say("found_how")] if report.found else []
    return " ".join([*told, *([] if report.exact else [say("not_exact")])])


def _found(report: Report) -> Iterator[Item]:
    if report.outside:
        yield Item(say("outside", say=report.outside))
    for fault in report.found:
        yield Item(
            say("fault", title=fault.title, sure=sure(fault.chance), chance=percent(fault.chance)),
            tuple(_about_fault(fault)),
        )
    if not report.found and not report.outside:
        yield Item(say("nothing_found"))


def _about_fault(fault: Fault) -> Iterator[str]:
    state = say("fault_put_right" if fault.put_right else "fault_open")
    if fault.proof == "proved":
        state += "; " + say("fault_proved", how=_asks(fault.how))
    elif fault.proof == "still":
        state += "; " + say("fault_still", how=_asks(fault.how))
    elif fault.proof:
        state += "; " + say("fault_unproved")
    yield state
    if fault.named and fault.chance <= FOUND and not fault.put_right:
        yield say("fault_named")
    if fault.brought_on_by:
        yield say("brought_on", titles=", ".join(fault.brought_on_by))
    if not fault.put_right and fault.hazard != "none":
        yield say(f"hazard_{fault.hazard}")


def _asks(asks: Iterable[str]) -> str:
    return "; ".join(ask.rstrip("?") for ask in asks)


def _done(report: Report, workshop: bool) -> Iterator[Item]:
    for number, work in enumerate(report.done, 1):
        under = [say("parts", parts=", ".join(work.parts))] if work.parts else []
        if workshop:
            under.append(f"{moment(work.at)}, {minutes_text(work.minutes)}".strip(" ,"))
        text = say("work", remedy=work.remedy, title=work.title)
        yield Item(
            say("work_number", number=number, work=text) if len(report.done) > 1 else text, tuple(under)
        )
    if not report.done:
        yield Item(say("no_work"))


# -- how it was left, and what is open ------------------------------------------------------------------


def _left(report: Report, workshop: bool) -> Iterator[Item]:
    left = report.left
    key = "left_as_found" if left.as_found and left.state == "left_isolated" else f"left_{left.state}"
    words = say(key, state=name_of(left.recorded))
    yield Item(words, (left.access,) if workshop else ())
    if report.reopened:
        yield Item(say("reopened", times=_times(report.reopened)))


def _times(count: int) -> str:
    return say(f"times_{count}") if count <= 2 else say("times_more", count=count)


def _undone(item: Undone) -> Item:
    under = [say(f"undone_{item.why}")]
    if item.parts:
        under.append(say("parts", parts=", ".join(item.parts)))
    if item.hazard != "none":
        under.append(say(f"hazard_{item.hazard}"))
    text = say("undone", remedy=item.remedy, title=item.title, chance=percent(item.chance))
    return Item(text, tuple(under))


def _possible(items: Sequence[Possible], workshop: bool) -> Iterator[Item]:
    shown = items if workshop else items[:FEW]
    for item in shown:
        under = (say(f"hazard_{item.hazard}"),) if item.hazard != "none" else ()
        yield Item(say("possible", title=item.title, chance=percent(item.chance)), under)
    if len(shown) < len(items):
        count, most = len(items) - len(shown), items[len(shown)].chance
        yield Item(say("possible_more", count=count, chance=percent(min(1.0, most + 0.005))))


def _not_looked_at(items: Sequence[Possible], workshop: bool) -> Iterator[Item]:
    if not items:
        return
    titles = [f"{i.title} ({percent(i.chance)})" if workshop else i.title for i in items]
    yield Item(say("not_looked_at", titles=", ".join(titles)))


def _advice(report: Report) -> Iterator[Item]:
    for text in report.advice:
        yield Item(say("advice", advice=text))
    for item in report.service:
        title, uses = lower(item.title), f"{item.uses:.0f}"
        if item.by_date and item.week is not None:
            how = say("cost_assumed" if item.week_assumed else "cost_given")
            week = f"{item.week:g}"
            yield Item(say("service_on", title=title, date=item.by_date, uses=uses, week=week, how=how))
        else:
            yield Item(say("service_uses", title=title, uses=uses))


def _costs(report: Report) -> Section:
    items = tuple(Item(_cost_text(cost), tuple(_cost_year(cost))) for cost in report.costs)
    return Section("head_cost", items, say("cost_estimate") if items else "")


def _cost_text(cost: Cost) -> str:
    return say(
        "cost_cycle",
        title=lower(cost.title.rstrip("?")),
        slow=f"{cost.slow_kwh:.2f}",
        healthy=f"{cost.healthy_kwh:.2f}",
        extra=f"{cost.extra_kwh:.2f}",
        basis=say("cost_basis_measured" if cost.measured else "cost_basis_expected"),
    )


def _cost_year(cost: Cost) -> Iterator[str]:
    if cost.week is None or cost.kwh_a_year is None:
        return
    how = say("cost_assumed" if cost.week_assumed else "cost_given")
    yield say("cost_year", week=f"{cost.week:g}", kwh=f"{cost.kwh_a_year:.0f}", how=how)
    if cost.price is not None and cost.money_a_year is not None:
        how = say("cost_assumed" if cost.price_assumed else "cost_given")
        yield say("cost_money", price=f"{cost.price:g}", money=f"{cost.money_a_year:.0f}", how=how)


def _record(report: Report, workshop: bool) -> Iterator[Item]:
    rules = report.rules
    yield Item(
        say("rules", pack=rules.pack, version=rules.version, fingerprint=rules.fingerprint[:12] or "-")
    )
    if rules.seen_jobs:
        yield Item(say("seen_used", jobs=rules.seen_jobs, weight=f"{rules.seen_weight:g}"))
    if workshop and report.readings:
        yield Item(say("meter", ranges="; ".join(report.meter)) if report.meter else say("meter_ordinary"))
    if rules.changed:
        yield Item(
            say("rules_changed", version=rules.begun_version, fingerprint=rules.begun_fingerprint[:12])
        )
    for problem in report.problems:
        yield Item(say("record_problem", problem=problem))
