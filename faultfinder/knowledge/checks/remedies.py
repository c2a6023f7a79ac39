"""Remedies: what they put right, what they cost, and what proves them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.discrimination import is_catch_all
from faultfinder.knowledge.analysis.pushes import shown_through
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import error, warning
from faultfinder.knowledge.model import Cause, Kind, Need
from faultfinder.knowledge.problem import Objection


@error("also-mends", "leave it out")
def mends_more_than_it_can(view: View) -> Iterator[Objection]:
    causes = view.pack.causes
    for cause in causes.values():
        for name in cause.also_mends:
            if name in causes and (why := _why_not(cause, causes[name])):
                yield view.objection(cause.id, "also_mends", says=f"{name} {why}")


def _why_not(cause: Cause, other: Cause) -> str:
    if other.id == cause.id:
        return "is the cause itself"
    if other.hand_to and not cause.hand_to:
        return "is mended by a licensed person only"
    if other.remedy_need is Need.OPEN_DEAD is not cause.remedy_need:
        return "is mended inside, and this remedy leaves the covers on"
    if other.touches_electrics and not (cause.touches_electrics or cause.remedy_need is Need.OPEN_DEAD):
        return "touches an electrical part, and this remedy does not"
    return ""


@warning("no-proof", "add proof: with the observations that were abnormal because of it")
def nothing_proves_it(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        excused = cause.hand_to or is_catch_all(cause) or not cause.remedy
        given = view.given(cause.id, "proof")
        if excused or cause.proof or (given and not view.empty_list(cause.id, "proof")):
            continue
        at = "proof" if given else "remedy"
        yield view.objection(cause.id, at, says="nothing proves its remedy")


@warning("proof-blind", "name an observation that it shows", whole=True)
def proof_does_not_depend_on_the_fault(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        shown = shown_through(view, cause.id)
        for name in cause.proof:
            if shown and name not in shown:
                says = f"{name} does not depend on the fault, so it proves nothing"
                yield view.objection(cause.id, "proof", says=says)


STRONG = 0.5
LEAST_SHOWN = 0.25
"""Chance that the fault shows in its proof. Chosen."""


@warning(
    "proof-weak",
    "name an observation that it usually shows, or say how strongly it shows this one",
    whole=True,
)
def fault_hardly_ever_shows_in_its_proof(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        shown = [effects.shown_by(cause.id) for effects in view.effects]
        if not any(1.0 - chances[0] > STRONG for each in shown for chances in each.values()):
            continue  # nothing shows it, which is told as that
        for name in cause.proof:
            most = max((1.0 - each[name][0] for each in shown if name in each), default=1.0)
            if most < LEAST_SHOWN:
                message = f"{cause.id}: {name} is abnormal with the fault in {most:.2g} only"
                yield Objection(view.item_mark(cause.id, "proof", name), message)


@warning("takes-unsaid", whole=True)
def cannot_fail_or_a_grave_one_does_not_say_how_often_it_works(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not cause.proof:
            continue
        if cause.takes == 1.0:
            says = "takes is 1: a proof that reads wrong would blame the plate or the meter"
            yield view.objection(cause.id, "takes", says=says, hint="write 0.98, or leave it out")
        elif cause.takes == 0.0:
            says = "takes is 0: a remedy that never works is none"
            yield view.objection(cause.id, "takes", says=says, hint="say how often it works, or leave it out")
        elif cause.hazard.grave and view.written(cause.id, "takes") is None and _mended(cause):
            says = f"{cause.hazard} is proved away, and takes does not say how often the remedy works"
            hint = f"write takes: {cause.takes:g}, or what you know better"
            yield view.objection(cause.id, says=says, hint=hint)


def _mended(cause: Cause) -> bool:
    """Whether it is put right here and no part replaced."""
    others = cause.hand_to or cause.remedy_need is Need.ANYWHERE
    return not (others or cause.parts or _PART.match(cause.remedy))


_PART = re.compile(r"(?:replace|renew|fit|exchange|new)\b", re.IGNORECASE)


@warning("cut-out-alone", "add brought_on_by: with what makes it open", whole=True)
def nothing_brings_on_an_open_cut_out(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        if not cause.brought_on_by and (_opened(cause.title) or _opened(cause.id.replace("_", " "))):
            yield view.objection(cause.id, says="nothing brings it on, but it opens for a reason")


_DEVICE = re.compile(
    r"\b(cut-?\s?out|thermal (?:link|fuse)|fuse|limiter|over-?heat \w+|"
    r"(?:motor|compressor) (?:overload|protector))\b",
    re.IGNORECASE,
)
_OPENED = re.compile(r"\b(open|opened|blown|tripped|gone|operated)\b", re.IGNORECASE)


def _opened(text: str) -> bool:
    return _DEVICE.search(text) is not None and _OPENED.search(text) is not None


LEAST_MINUTES = 0.25
"""Of hands-on work; chosen."""


@warning("no-time")
def hands_on_work_takes_no_time(view: View) -> Iterator[Objection]:
    inside = (Need.ISOLATED, Need.OPEN_DEAD)
    rows = [
        (item.id, item.minutes, "say how long it takes once the machine stands ready")
        for item in view.asked
        if item.need in inside or item.kind is Kind.READING
    ]
    causes = view.pack.causes.values()
    rows += [(c.id, c.minutes, "say how long the work takes") for c in causes if c.remedy_need in inside]
    for name, minutes, hint in rows:
        readable = re.fullmatch(r"[0-9.]+", view.written(name, "minutes") or "")
        if minutes < LEAST_MINUTES and readable:
            says = f"{minutes:g} minutes, and the machine is isolated or opened or measured for it"
            yield view.objection(name, "minutes", says=says, hint=hint)


@warning("cheap-to-miss")
def costs_less_to_miss_than_to_mend(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        work = cause.minutes + cause.part_costs
        if cause.if_missed < work <= 1000:
            says = f"if_missed is {cause.if_missed:g}, and minutes and parts come to {work:g}"
            hint = f"a return visit does that work again: more than {work:g}"
            yield view.objection(cause.id, "if_missed", says=says, hint=hint)


MOST_ASKED, MOST_WORK, MOST_PARTS, MOST_MISSED = 120.0, 480.0, 600.0, 1200.0
"""Minutes. Chosen: two hours for a look, a day for a repair, a new machine for its parts."""


@warning("steep-cost")
def minutes_or_costs_can_only_be_a_slip(view: View) -> Iterator[Objection]:
    standing, done = "what a person stands by, in minutes", "the work alone, in minutes"
    money, again = "in minutes of labour, not in money", "the second journey and the work, in minutes"
    rows = [(item.id, "minutes", item.minutes, MOST_ASKED, standing) for item in view.asked]
    for cause in view.pack.causes.values():
        rows.append((cause.id, "minutes", cause.minutes, MOST_WORK, done))
        rows.append((cause.id, "part_costs", cause.part_costs, MOST_PARTS, money))
        rows.append((cause.id, "if_missed", cause.if_missed, MOST_MISSED, again))
    for name, key, value, most, hint in rows:
        if value > most:
            yield view.objection(name, key, says=f"{key} is {value:g}, beyond all sense", hint=hint)
