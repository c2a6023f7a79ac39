"""A report as sections of sentences, the same for every renderer; nothing is escaped here.

`sections` decides what each form holds and how it is worded; a renderer decides how a heading, an item or a box
looks. A section of readings carries them too, so that a page can draw them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from faultfinder.reasoning.constants import FOUND
from faultfinder.report.in_words import about_take, reading_text, take_text, test_text, tests_text, when_of
from faultfinder.report.model import (
    Cost,
    Fault,
    Item,
    Left,
    Measured,
    Part,
    Picture,
    Possible,
    Report,
    Section,
    Seen,
    SignMet,
    Standing,
    Undone,
    Weight,
)
from faultfinder.text.catalogue import has, say
from faultfinder.text.format import (
    closing_words,
    lower,
    minutes_text,
    moment,
    percent,
    sure,
    with_answer,
)


def workshop_sections(report: Report) -> tuple[Section, ...]:
    """The workshop's sections, in order; those with nothing to say are left out."""
    inexact = [] if report.exact else [say("not_exact")]
    how_sure = " ".join([say("found_how"), *inexact] if report.found else inexact)
    parts = [
        notice(report.left),
        section("head_left", _left(report)),
        section("head_complaint", _complaint(report)),
        section("head_found", _found(report), how_sure),
        section("head_done", numbered(_done(report))),
        _readings(report),
        section("head_looks", (_look(item) for item in report.looks)),
        section("head_tests", _tests(report)),
        section("head_not_done", (_undone(item) for item in report.not_done)),
        section("head_possible", (_possible(item) for item in report.possible)),
        section("head_not_looked_at", _not_looked_at(report)),
        section("head_advice", _advice(report)),
        section("head_cost", (_cost(cost) for cost in report.costs), say("cost_estimate")),
        section("head_machine", _machine(report)),
        section("head_signs", (_sign(sign) for sign in report.signs)),
        section("head_skipped", _skipped(report)),
        section("head_notes", (Item(text) for text in report.notes)),
        section("head_invoice", _invoice(report)),
        replace(section("head_pictures", map(_picture, report.pictures)), pictures=report.pictures),
        *_evidence(report),
        section("head_cautions", (Item(text) for text in report.cautions)),
        section("head_record", _record(report), say("made_by")),
    ]
    return tuple(part for part in parts if part.items)


def section(key: str, items: Iterable[Item], foot: str = "") -> Section:
    """A section of these lines, with its foot where there are any."""
    lines = tuple(items)
    return Section(key, lines, foot if lines else "")


# -- the head of it -------------------------------------------------------------------------------------


def notice(left: Left) -> Section:
    if not left.notice:
        return Section("head_notice", ())
    why = [say("why_stopped")] if left.stopped else []
    why += [say("why_unsafe", titles=", ".join(left.unsafe))] if left.unsafe else []
    why += [say("why_owed", tests=tests_text(left.owed))] if left.owed else []
    return Section("head_notice", tuple(map(Item, (left.notice, *why))), box=True)


def _complaint(report: Report) -> Iterator[Item]:
    if report.complaint:
        yield Item(say("own_words", text=report.complaint))
    told = complained(report)
    for item in told:
        later = tuple(say("later", when=when_of(take), answer=take.verdict) for take in item.counted[1:])
        yield Item(with_answer(item.ask, item.counted[0].verdict), later)
    if not report.complaint and not told:
        yield Item(say("no_complaint"))


def complained(report: Report) -> list[Seen]:
    """The symptoms that were there when the job began."""
    told = [(item, item.counted[0]) for item in report.looks if item.symptom and item.counted]
    return [item for item, first in told if first.works == 0 and not first.healthy]


def _machine(report: Report) -> Iterator[Item]:
    for line in report.facts:
        yield Item(say("fact" if line.given else "fact_assumed", ask=line.ask.rstrip("?"), value=line.value))
    yield from map(Item, report.contradictions)


# -- found and done -------------------------------------------------------------------------------------


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
    how = "; ".join(ask.rstrip("?") for ask in fault.how)
    yield f"{state}; {say(f'fault_{fault.proof}', how=how)}" if fault.proof else state
    if fault.named and fault.chance <= FOUND and not fault.put_right:
        yield say("fault_named")
    if fault.brought_on_by:
        yield say("brought_on", titles=", ".join(fault.brought_on_by))
    if not fault.put_right:
        yield from _hazard(fault.hazard)


def _done(report: Report) -> Iterator[Item]:
    for work in report.done:
        under = [*_parts(work.parts), f"{moment(work.at)}, {minutes_text(work.minutes)}".strip(" ,")]
        yield Item(say("work", remedy=work.remedy, title=work.title), tuple(under))


def numbered(items: Iterable[Item]) -> list[Item]:
    """What was done, numbered where it is more than one thing; that nothing was, where nothing was."""
    done = list(items) or [Item(say("no_work"))]
    if len(done) == 1:
        return done
    return [
        replace(item, text=say("work_number", number=n, work=item.text)) for n, item in enumerate(done, 1)
    ]


def _parts(parts: Sequence[str]) -> list[str]:
    return [say("parts", parts=", ".join(parts))] if parts else []


def _hazard(hazard: str) -> list[str]:
    return [say(f"hazard_{hazard}")] if hazard != "none" else []


# -- how it was left, and what is open ------------------------------------------------------------------


def _left(report: Report) -> Iterator[Item]:
    left = report.left
    yield Item(left_text(left, closing_words(left.recorded)), (left.access,))
    if count := report.reopened:
        times = say(f"times_{count}") if count <= 2 else say("times_more", count=count)
        yield Item(say("reopened", times=times))


def left_text(left: Left, recorded: str) -> str:
    """How the machine was left; `recorded`: what the record calls it, where that cannot be."""
    key = "left_as_found" if left.as_found and left.state == "left_isolated" else f"left_{left.state}"
    return say(key, state=recorded)


def _undone(item: Undone) -> Item:
    under = (say(f"undone_{item.why}"), *_parts(item.parts), *_hazard(item.hazard))
    return Item(say("undone", remedy=item.remedy, title=item.title, chance=percent(item.chance)), under)


def _possible(item: Possible) -> Item:
    return Item(say("possible", title=item.title, chance=percent(item.chance)), tuple(_hazard(item.hazard)))


def _not_looked_at(report: Report) -> Iterator[Item]:
    if titles := [f"{item.title} ({percent(item.chance)})" for item in report.not_looked_at]:
        yield Item(say("report_not_looked_at", titles=", ".join(titles)))


def _advice(report: Report) -> Iterator[Item]:
    for text in report.advice:
        yield Item(say("advice", advice=text))
    for item in report.service:
        title, uses = lower(item.title), f"{item.uses:.0f}"
        if item.by_date and item.week is not None:
            week, how = f"{item.week:g}", _assumed(item.week_assumed)
            yield Item(say("service_on", title=title, date=item.by_date, uses=uses, week=week, how=how))
        else:
            yield Item(say("service_uses", title=title, uses=uses))


def _assumed(assumed: bool) -> str:
    return say("cost_assumed" if assumed else "cost_given")


def _cost(cost: Cost) -> Item:
    slow, healthy, extra = (f"{kwh:.2f}" for kwh in (cost.slow_kwh, cost.healthy_kwh, cost.extra_kwh))
    basis = say("cost_basis_measured" if cost.measured else "cost_basis_expected")
    title = lower(cost.title.rstrip("?"))
    text = say("cost_cycle", title=title, slow=slow, healthy=healthy, extra=extra, basis=basis)
    return Item(text, tuple(_cost_year(cost)))


def _cost_year(cost: Cost) -> Iterator[str]:
    if cost.week is None or cost.kwh_a_year is None:
        return
    week, kwh = f"{cost.week:g}", f"{cost.kwh_a_year:.0f}"
    yield say("cost_year", week=week, kwh=kwh, how=_assumed(cost.week_assumed))
    if cost.price is not None and cost.money_a_year is not None:
        price, money = f"{cost.price:g}", f"{cost.money_a_year:.0f}"
        yield say("cost_money", price=price, money=money, how=_assumed(cost.price_assumed))


def _record(report: Report) -> Iterator[Item]:
    rules = report.rules
    mark, begun = rules.fingerprint[:12] or "-", rules.begun_fingerprint[:12]
    yield Item(say("rules", pack=rules.pack, version=rules.version, fingerprint=mark))
    if rules.seen_jobs:
        yield Item(say("report_seen_used", jobs=rules.seen_jobs, weight=f"{rules.seen_weight:g}"))
    if report.readings:
        yield Item(say("meter", ranges="; ".join(report.meter)) if report.meter else say("meter_ordinary"))
    if rules.changed:
        yield Item(say("rules_changed", version=rules.begun_version, fingerprint=begun))
    yield from (Item(say("record_problem", problem=problem)) for problem in report.problems)


# -- readings, looks and tests ---------------------------------------------------------------------------


def _readings(report: Report) -> Section:
    if not report.readings:
        return Section("head_readings", (Item(say("no_readings")),))
    items = tuple(Item(reading_text(item), tuple(_under_reading(item))) for item in report.readings)
    return Section("head_readings", items, readings=report.readings)


def _under_reading(item: Measured) -> Iterator[str]:
    for take in item.takes:
        yield "; ".join([take_text(item, take), *about_take(take, item)])
    if item.stands_on:
        facts = ", ".join(say("assumed", fact=text) if assumed else text for text, assumed in item.stands_on)
        yield say("limits_from", facts=facts)


def _tests(report: Report) -> Iterator[Item]:
    """Every return test as made, and what is still owed."""
    for test in report.tests:
        told = (
            when_of(test),
            say("test_taken_back") if test.taken_back else "",
            test.source,
            moment(test.at),
        )
        yield Item(test_text(test), ("; ".join(filter(None, told)),))
    if report.left.owed:
        yield Item(say("still_owed", tests=tests_text(report.left.owed)))
    elif not report.tests and report.done:
        yield Item(say("no_tests"))


def _look(item: Seen) -> Item:
    takes = (
        (say("later", when=when_of(take), answer=take.verdict), *about_take(take)) for take in item.takes
    )
    return Item(item.ask, tuple(map("; ".join, takes)))


# -- the workshop's own sections -------------------------------------------------------------------------


def _sign(sign: SignMet) -> Item:
    key = "sign_lifted" if sign.lifted else "sign_settled" if sign.settled else "sign_open"
    text = say(key, told=sign.told)
    return Item(text, (moment(sign.at),) if sign.at else ())


def _skipped(report: Report) -> Iterator[Item]:
    for what, why in report.skipped:
        key = f"because_{why}"
        yield Item(say("report_skipped", what=what, why=say(key) if has(key) else why))
    yield from (Item(say("without", instrument=text)) for text in report.without)


def _evidence(report: Report) -> list[Section]:
    evidence = report.evidence
    if evidence is None:
        return []
    sets = [
        Item(say("fault_set", chance=percent(chance), titles=" + ".join(titles) or say("fault_set_none")))
        for titles, chance in evidence.sets
    ]
    if evidence.fits_least:
        sets.append(Item(say("report_conflict", ask=evidence.fits_least)))
    key = say("weight_key") if evidence.exact else f"{say('weight_key')} {say('not_exact')}"
    return [section("head_evidence", map(_standing, evidence.standings), key), section("head_sets", sets)]


def _standing(standing: Standing) -> Item:
    prior, begin, now = map(percent, (standing.prior, standing.begin, standing.now))
    text = say("stands", title=standing.title, prior=prior, begin=begin, now=now)
    return Item(text, tuple(_weight(weight) for weight in standing.weights))


def _weight(weight: Weight) -> str:
    when = "" if weight.works == 0 else f", {say('after_work_number', number=weight.works)}"
    key, what = (
        "weight_for" if weight.decibans >= 0 else "weight_against",
        with_answer(weight.ask, weight.verdict),
    )
    text = say(key, decibans=_decibans(abs(weight.decibans)), what=what, when=when)
    if abs(weight.left_out - weight.decibans) >= 0.05:
        key = "weight_less" if weight.left_out >= 0 else "weight_more"
        text += "; " + say(key, decibans=_decibans(abs(weight.left_out)))
    if weight.through:
        text += "; " + say("weight_through", title=weight.through)
    return text


def _decibans(value: float) -> str:
    """One decimal; certainty has no figure and is held at 999."""
    return f"{min(value, 999.0):.1f}"


# -- for the invoice, and pictures ----------------------------------------------------------------------


def part_text(part: Part) -> str:
    """A part that was used and how many."""
    return part.part if part.count == 1 else say("part_count", count=f"{part.count:g}", part=part.part)


def _invoice(report: Report) -> Iterator[Item]:
    """The parts used with their prices, and one line that holds it all."""
    if not report.parts:
        return
    for part in report.parts:
        yield Item(_priced(part, report.money), tuple(_about_part(part, report.money)))
    parts = ", ".join(say("part_count", count=f"{part.count:g}", part=part.part) for part in report.parts)
    day, minutes = moment(report.ended, day_only=True), minutes_text(report.clock_minutes)
    line = say("invoice", day=day, job=report.job, parts=parts, minutes=minutes)
    total = sum(part.count * part.price for part in report.parts if part.price is not None)
    if any(part.price is not None for part in report.parts):
        line += "; " + say("invoice_sum", sum=f"{total:.2f}", money=report.money).replace("  ", " ")
    yield Item(line)


def _priced(part: Part, money: str) -> str:
    count = f"{part.count:g}"
    if part.price is None:
        return say("part_count", count=count, part=part.part)
    price, total = f"{part.price:.2f}", f"{part.count * part.price:.2f}"
    text = say("part_price", count=count, part=part.part, price=price, sum=total, money=money)
    return text.replace(" :", ":").strip()


def _about_part(part: Part, money: str) -> Iterator[str]:
    if part.stock is not None:
        yield say("part_stock", stock=f"{part.stock:g}")
    if part.price is None and money:
        yield say("part_no_price")


def _picture(picture: Picture) -> Item:
    works = picture.works
    after = say("as_found") if works == 0 else say("after_work_number", number=works)
    when = ", ".join(filter(None, (after, moment(picture.at))))
    key = "picture" if picture.words else "picture_bare"
    told = say(key, file=picture.file, when=when, words=picture.words)
    if not picture.data:
        told = say("picture_changed" if picture.changed else "picture_gone", told=told)
    return Item(told)
