"""The workshop's own sections of a report: danger signs met, what was passed over, what speaks for and against."""

from __future__ import annotations

from faultfinder.job.report_parts import Report, Standing, Weight
from faultfinder.job.report_section import Item, Section
from faultfinder.job.report_words import WORDS, moment, percent, say, with_answer


def for_the_workshop(report: Report) -> list[Section]:
    skipped = [Item(say("skipped", what=what, why=_because(why))) for what, why in report.skipped]
    skipped += [Item(say("without", instrument=text)) for text in report.without]
    signs = [
        Item(
            say("sign_settled" if sign.settled else "sign_open", told=sign.told),
            (moment(sign.at),) if sign.at else (),
        )
        for sign in report.signs
    ]
    return [
        Section("head_signs", tuple(signs)),
        Section("head_skipped", tuple(skipped)),
        Section("head_notes", tuple(Item(text) for text in report.notes)),
        *_evidence(report),
    ]


def _because(why: str) -> str:
    key = f"because_{why}"
    return say(key) if key in WORDS else why


def _evidence(report: Report) -> list[Section]:
    evidence = report.evidence
    if evidence is None:
        return []
    items = tuple(_standing(each) for each in evidence.standings)
    sets = [
        Item(say("fault_set", chance=percent(chance), titles=" + ".join(titles) or say("fault_set_none")))
        for titles, chance in evidence.sets
    ]
    key = say("weight_key") if evidence.exact else f"{say('weight_key')} {say('not_exact')}"
    if evidence.fits_least:
        sets.append(Item(say("conflict", ask=evidence.fits_least)))
    return [
        Section("head_evidence", items, key if items else ""),
        Section("head_sets", tuple(sets)),
    ]


def _standing(standing: Standing) -> Item:
    text = say(
        "stands",
        title=standing.title,
        prior=percent(standing.prior),
        begin=percent(standing.begin),
        now=percent(standing.now),
    )
    return Item(text, tuple(_weight(weight) for weight in standing.weights))


def _weight(weight: Weight) -> str:
    when = "" if weight.works == 0 else f", {say('after_work_number', number=weight.works)}"
    text = say(
        "weight_for" if weight.decibans >= 0 else "weight_against",
        decibans=_decibans(abs(weight.decibans)),
        what=with_answer(weight.ask, weight.verdict),
        when=when,
    )
    if abs(weight.left_out - weight.decibans) >= 0.05:
        key = "weight_less" if weight.left_out >= 0 else "weight_more"
        text += "; " + say(key, decibans=_decibans(abs(weight.left_out)))
    if weight.through:
        text += "; " + say("weight_through", title=weight.through)
    return text


def _decibans(value: float) -> str:
    """One decimal; certainty has no figure and is held at 999."""
    return f"{min(value, 999.0):.1f}"
