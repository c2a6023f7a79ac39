"""A logged cycle for a person: what it shows in words, and what it offers to a job.

Which figure of a log is which reading stands in the rules (`logged: highest_level`). A log knows no settings: that
the highest level is the current on high heat is so only if that was run. So a reading is offered, and taken only when
a person says so; then it stands in the record as logged, with the covers on.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from statistics import median
from typing import Any

from faultfinder.dialogue.hearing.names import named, plain_words
from faultfinder.dialogue.say import Drawing, Line, Option, Said, caution, heading, note, under
from faultfinder.dialogue.showing.reading import against, answer_words, healthy_words
from faultfinder.errors import UnknownName
from faultfinder.job.events import ACCESS_LOGGED, Answered, DangerSeen, Event, Noted
from faultfinder.job.state import JobState, apply
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.answers import Judged, judge, understand
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.text.catalogue import say
from faultfinder.text.format import capital, format_quantity, logged_time, percent, quoted
from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.csv_text import CycleLog, other_log, read_cycle_log
from faultfinder.trade.cycle.figures import Figure, LevelKind, figures, kind_of
from faultfinder.trade.cycle.log import FLOOR, CycleSummary, cycle_summary
from faultfinder.trade.cycle.parts import cut, cycles_of
from faultfinder.trade.cycle_temperature import read_temperature, temperature_figures, warmth_of
from faultfinder.trade.readings.units import convert

NOTES_SHOWN = 6
TIMES_SHOWN = 8
UNREAD_TOLD = 0.05
"""From this share of rows that cannot be read on the figures are warned of; chosen."""
_KINDS = {
    LevelKind.STANDBY: "trace_standby",
    LevelKind.MOTOR: "trace_motor",
    LevelKind.HEAT: "trace_heat_level",
}


@dataclass(frozen=True, slots=True)
class Trace:
    """One logged cycle, read and summed up. `log` is the column drawn; the figures are of all its columns.

    starts: when each cycle of the log began, in seconds of the whole log; `number` counts from 1 and says which of
    them this is, `chosen` whether it was asked for.
    """

    log: CycleLog
    summary: CycleSummary
    figures: tuple[Figure, ...]
    starts: tuple[float, ...] = ()
    number: int = 1
    chosen: bool = False
    warm: CycleLog | None = None
    """The temperature over the same time, where the log has it; it is `log` itself where there is nothing else."""


@dataclass(frozen=True, slots=True)
class Offer:
    """A reading that the log could be: `text` as a person would type it, and what it says with the facts known.

    now: what stands for it in the job already, or empty.
    """

    number: int
    observation: str
    figure: Figure
    text: str
    judged: Judged
    healthy: str
    now: str = ""


def read_trace(text: str, column: str | None = None, cycle: int | None = None) -> Trace:
    """Read a log; of several cycles the one asked for (from 1), else the longest. Raises CycleLogError."""
    warm = read_temperature(text) if column is None else read_temperature(text, column)
    try:
        log = read_cycle_log(text, column)
    except CycleLogError:
        if warm is None:
            raise
        return _warm_alone(warm, cycle)
    beside = None if column else other_log(text, log, "current" if log.quantity == "power" else "power")
    volts = other_log(text, log, "voltage")
    spans = cycles_of(log, FLOOR[log.quantity])
    if cycle is not None and not 1 <= cycle <= max(1, len(spans)):
        raise CycleLogError(say("trace_there_no_cycle_log", cycle=cycle, count=len(spans)))
    longest = max(range(len(spans)), key=lambda place: spans[place][1] - spans[place][0], default=0)
    number = cycle or 1 + longest
    if len(spans) > 1:
        span = spans[number - 1]
        log = cut(log, *span)
        beside, volts, warm = (each and cut(each, *span) for each in (beside, volts, warm))
    summary = cycle_summary(log)
    starts = tuple(start for start, _ in spans)
    found = list(figures([log] if beside is None else [log, beside], volts, summary))
    if warm is not None:
        known = {figure.name for figure in found}
        found += [figure for figure in temperature_figures(warm) if figure.name not in known]
    return Trace(log, summary, tuple(found), starts, number, cycle is not None, warm)


def _warm_alone(log: CycleLog, cycle: int | None) -> Trace:
    """A log of nothing but a temperature; its cycles are not told apart."""
    if cycle not in (None, 1):
        raise CycleLogError(say("trace_there_no_cycle_log_2", cycle=cycle))
    nothing = CycleSummary((), (), log.seconds[-1], 0.0, 0, None, None, None, None)
    return Trace(log, nothing, temperature_figures(log), warm=log)


def offers(case: Case, found: Iterable[Figure]) -> tuple[Offer, ...]:
    """The readings of this machine that the figures could be, in the order of the pack."""
    by_name = {(figure.name, figure.quantity): figure for figure in found}
    out: list[Offer] = []
    for item in case.pack.observations.values():
        spec = item.reading
        if spec is None or not spec.logged or not possible(item.applies, case.facts):
            continue
        figure = by_name.get((spec.logged, spec.quantity))
        if figure is None:
            continue
        text = _as_typed(convert(figure.value, figure.quantity, figure.unit, spec.unit), spec.unit)
        judged = judge(case.pack, item, understand(item, text, case.epoch), case.facts, case.meter)
        given = case.given(item.id, case.epoch)
        now = given.text if given is not None else ""
        out.append(Offer(len(out) + 1, item.id, figure, text, judged, healthy_words(case, item), now))
    return tuple(out)


def _as_typed(value: float, unit: str) -> str:
    """Three digits and the unit: what a person would read off the logger."""
    decimals = 3 if value == 0 else max(0, 2 - math.floor(math.log10(abs(value))))
    number = f"{value:.{min(decimals, 6)}f}"
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return number if unit in ("", "1") else f"{number} {unit}"


def chosen(found: Sequence[Offer], words: str) -> tuple[Offer, ...]:
    """The offers that a typed line names: numbers, names by their beginnings, `all` or `none`. Raises UnknownName."""
    line = re.split(r"[\s;,]+", words.strip(" ;,").casefold())
    if line in ([""], ["none"], ["no"]):
        return ()
    if line == ["all"]:
        return tuple(found)
    picked: set[str] = set()
    for word in line:
        fits = [offer.observation for offer in found if word == str(offer.number)]
        fits = fits or named((offer.observation for offer in found), plain_words(word))
        if len(fits) != 1:
            known = ", ".join(f"{each.number} {each.observation}" for each in found) or say("nothing_known")
            key = "trace_several_offered" if fits else "trace_none_offered"
            raise UnknownName(say(key, word=quoted(word), known=known))
        picked.add(fits[0])
    return tuple(offer for offer in found if offer.observation in picked)


def events_for(job: JobState, taken: Sequence[Offer], source: str) -> tuple[JobState, list[Event]]:
    """The events that take these readings into the job, with a note of where they came from, and the job after them.

    Raises a FaultFinderError where the job does not take them (it is closed).
    """
    if not taken:
        return job, []
    events: list[Event] = [Noted(say("note_from_logged_cycle", source=source))]
    for offer in taken:
        item = job.pack.observations[offer.observation]
        events.append(Answered(item.id, reads=offer.text, access=ACCESS_LOGGED))
        if sign := item.danger.get(offer.judged.answer):
            events.append(DangerSeen(sign))
    for event in events:
        job = apply(job, event)
    return job, events


# -- in words ---------------------------------------------------------------------------------------------


def said(trace: Trace, drawing: Sequence[str]) -> list[Said]:
    """The cycle for a person: the drawing, the levels by name, the heat, and what was odd."""
    log, summary = trace.log, trace.summary
    column = say("trace_column", column=log.column, interval=f"{log.interval:.3g}")
    out: list[Said] = [heading(say("trace_head", minutes=logged_time(summary.logged), column=column))]
    if len(trace.starts) > 1:
        out.append(note(_cycles_words(trace)))
    if log.unread > UNREAD_TOLD * log.rows:
        out.append(caution(say("trace_unread", count=log.unread, rows=log.rows)))
    if drawing:
        out.append(Drawing("\n".join(drawing), say("trace_legend_gaps" if log.breaks else "trace_legend")))
    if trace.warm is not None:
        out += _warm_said(trace.warm)
    if trace.warm is not log:
        out += _levels_said(log, summary)
    if log.notes:
        odd = [say("at_line", line=each.line, words=each.words) for each in log.notes[:NOTES_SHOWN]]
        more = len(log.notes) - NOTES_SHOWN
        out += under(say("trace_odd"), [*odd, *([say("trace_more", count=more)] if more > 0 else [])])
    return out


def _warm_said(log: CycleLog) -> list[Said]:
    """The temperature in words: rise, where the heat went off and on, how long it was warm."""
    warmth = warmth_of(log)
    first, highest = format_quantity(warmth.first, "C"), format_quantity(warmth.highest, "C")
    lines = [say("trace_warm_rise", first=first, highest=highest)]
    if warmth.peaks:
        off = format_quantity(median(value for _, value in warmth.peaks), "C")
        on = format_quantity(median(value for _, value in warmth.troughs), "C")
        lines.append(say("trace_warm_cycles", count=len(warmth.peaks), off=off, on=on))
        lines.append(say("trace_warm_where"))
    else:
        lines.append(say("trace_warm_no_cycles"))
    if warmth.warm is not None:
        lines.append(say("trace_warm_time", minutes=logged_time(warmth.warm[1] - warmth.warm[0])))
    return under(say("trace_warm", column=log.column), lines)


def _levels_said(log: CycleLog, summary: CycleSummary) -> list[Said]:
    lines = []
    for level in reversed(summary.levels):
        kind = say(_KINDS[kind_of(level, log, summary.levels)])
        value, share = format_quantity(level.value, log.unit), percent(level.share)
        lines.append(f"{value}: {kind}; {logged_time(level.seconds)}, {share}")
    return [*under(say("trace_levels"), lines or [say("trace_no_level")]), *_heat_said(summary)]


def _cycles_words(trace: Trace) -> str:
    """How many cycles the log has, when each began, and which is shown."""
    why, other = say("trace_chosen" if trace.chosen else "trace_longest"), 1 if trace.number != 1 else 2
    count, starts = len(trace.starts), _some([_at(start) for start in trace.starts])
    return say("trace_cycles", count=count, starts=starts, number=trace.number, why=why, other=other)


def _some(times: Sequence[str]) -> str:
    """The first times of a list, and how many more there are."""
    more = len(times) - TIMES_SHOWN
    return ", ".join([*times[:TIMES_SHOWN], *([say("trace_more", count=more)] if more > 0 else [])])


def _heat_said(summary: CycleSummary) -> list[Said]:
    on = [run for run in summary.runs if run.on]
    lines = [say("trace_no_heat")]
    if on:
        starts = "trace_once" if len(on) == 1 else "trace_times"
        lines = [say(starts, count=len(on), minutes=logged_time(summary.heater_on))]
        if summary.duty is not None:
            lines.append(say("trace_duty", percent=percent(summary.duty)))
        if summary.first_cut_out is not None:
            lines.append(say("trace_cut_out", minutes=logged_time(summary.first_cut_out)))
        if summary.cool_down is not None:
            lines.append(say("trace_cool", minutes=logged_time(summary.cool_down)))
        if summary.energy_wh is not None:
            lines.append(say("trace_energy", energy=format_quantity(summary.energy_wh / 1000, "kWh")))
        lines.append(say("trace_on_at", spans=_some([f"{_at(run.start)}-{_at(run.end)}" for run in on])))
    return under(say("trace_heat"), lines)


def offers_said(case: Case, found: Sequence[Offer], numbered: bool) -> list[Said]:
    """The readings it yields; numbered where they can be taken."""
    if not found:
        return under(say("trace_yields"), [say("trace_yields_none")])
    out: list[Said] = [heading(say("trace_yields"))]
    for offer in found:
        item = case.pack.observations[offer.observation]
        ask, answer = item.ask.rstrip("?. "), capital(answer_words(case, item, offer.judged))
        beside = against(case, item, offer.judged)
        text = say("trace_offer", ask=ask, text=offer.text, answer=answer, against=beside)
        if offer.now:
            text += " " + say("trace_now", text=offer.now)
        out.append(Option(offer.number, offer.observation, text) if numbered else Line(text, indent=2))
    return [*out, note(say("trace_only_if"))]


def _at(seconds: float) -> str:
    return f"{seconds / 60:.1f}".removesuffix(".0")


def as_mapping(trace: Trace, found: Sequence[Offer]) -> dict[str, Any]:
    """The cycle as plain data for JSON; times in seconds from the first row."""
    log, summary = trace.log, trace.summary
    return {
        "column": log.column,
        "quantity": log.quantity,
        "unit": log.unit,
        "interval_s": log.interval,
        "logged_s": summary.logged,
        "cycle": trace.number,
        "cycles_begin_s": list(trace.starts),
        "rows": log.rows,
        "rows_unread": log.unread,
        "levels": [
            {"kind": kind_of(level, log, summary.levels), **asdict(level)} for level in summary.levels
        ],
        "heat": [
            {
                "on": run.on,
                "start_s": run.start,
                "end_s": run.end,
                "mean": run.mean,
                "cut_short": run.cut_short,
            }
            for run in summary.runs
        ],
        "duty": summary.duty,
        "first_cut_out_s": summary.first_cut_out,
        "cool_down_s": summary.cool_down,
        "energy_wh": summary.energy_wh,
        "odd": [asdict(each) for each in log.notes],
        "figures": [
            {"name": each.name, "value": each.value, "unit": each.unit, "quantity": each.quantity}
            for each in trace.figures
        ],
        "readings": [
            {
                "observation": offer.observation,
                "reads": offer.text,
                "figure": offer.figure.name,
                "answer": offer.judged.answer,
                "on_the_edge": offer.judged.on_the_edge,
                "healthy": offer.healthy,
            }
            for offer in found
        ],
    }
