"""The return tests of a job: the limit that holds for this machine, and a typed value held against it.

A safety test takes a value, never a verdict: whoever types that it passed is asked what it read. The earth limit is
that of the pack's own reading of the same thing (`return_test` in its rule), so that one figure stands for both;
else, and for insulation, that of in-service testing (trade/electrical/in_service_limits.py), by class and flex
where they are known and the strictest where they are not.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import ReturnTested
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.model import Observation, Pack
from faultfinder.reasoning.evidence.facts import facts_of_pack, possible
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import Gate
from faultfinder.text.catalogue import say
from faultfinder.text.format import format_quantity, name_of
from faultfinder.trade.electrical.in_service_limits import (
    Limit,
    Protection,
    earth_path_limit,
    insulation_limit,
)
from faultfinder.trade.readings.parser import Reading
from faultfinder.trade.readings.reading import parse_reading
from faultfinder.trade.readings.typed_text import ReadingError

FLEX_FACT, CLASS_FACT = "flex_metres", "protection"


def limit_for(test: str, pack: Pack, facts: Mapping[str, str]) -> Limit:
    """The limit of a return test on this machine: at most so many ohm of earth path, at least so many Mohm."""
    if not test.startswith("earth"):
        known = facts.get(CLASS_FACT, "")
        return insulation_limit(protection=Protection(known) if known in tuple(Protection) else None)
    own = _own_earth_limit(pack, facts)
    return own if own is not None else earth_path_limit(metres=_metres(facts))


def _metres(facts: Mapping[str, str]) -> float | None:
    try:
        return parse_reading(facts.get(FLEX_FACT, ""), "length", "m").value
    except ReadingError:
        return None


def _own_earth_limit(pack: Pack, facts: Mapping[str, str]) -> Limit | None:
    """The top of the healthy band of the reading that a rule calls this return test; None without one."""
    read = facts_of_pack(pack, facts)
    for item in pack.observations.values():
        if (
            not item.return_test.startswith("earth")
            or item.reading is None
            or not possible(item.applies, read)
        ):
            continue
        try:
            top = limits(item, fact_values(pack, read))[0][1]
        except FaultFinderError:
            return None
        if math.isfinite(top):
            return Limit(top, item.reading.unit, say("limit_source_pack"), FLEX_FACT not in facts)
    return None


def limit_text(test: str, limit: Limit) -> str:
    """A limit as it stands in a record, whatever the language."""
    side = "at most" if test.startswith("earth") else "at least"
    return f"{side} {format_quantity(limit.value, limit.unit)}"


def source_of(test: ReturnTested, pack: Pack, facts: Mapping[str, str]) -> str:
    """Where the limit of a recorded test stands, in words; empty where it was held against another than today's."""
    limit = limit_for(test.test, pack, facts)
    if limit_text(test.test, limit) != test.limit:
        return ""
    key = "limit_source_strictest" if limit.strictest else "limit_source"
    return say(key, source=limit.source)


def limit_said(written: str) -> str:
    """A limit as a record has it, told to a person."""
    for words in ("at_most", "at_least"):
        if written.startswith(name_of(words) + " "):
            return say(f"limit_{words}", limit=written[len(words) + 1 :])
    return written


def within(test: str, reading: Reading, limit: float) -> bool:
    """Whether a value passes, in the limit's unit. Where only bounds are known the worse one counts."""
    if test.startswith("earth"):
        return reading.value + reading.half_width <= limit
    if reading.over_range:
        return reading.range_top is None or reading.range_top >= limit
    return reading.value - reading.half_width >= limit


def judged(pack: Pack, facts: Mapping[str, str], test: str, text: str) -> ReturnTested:
    """The return test with the value that was typed, with or without its unit. Raises ReadingError for any other
    word: no verdict is taken."""
    limit = limit_for(test, pack, facts)
    reading = parse_reading(text, "resistance", limit.unit)
    outcome = "passed" if within(test, reading, limit.value) else "failed"
    return ReturnTested(test, outcome, reads=text, limit=limit_text(test, limit))


def counted(
    pack: Pack, facts: Mapping[str, str], gate: Gate, observation: Observation, reads: str
) -> ReturnTested | None:
    """The return test that a reading just taken is, by its rule, where that test is owed and within reach now; None
    otherwise. So nobody measures the same thing twice under the same state of the machine."""
    test = observation.return_test
    within_reach = {action.id for action in safety.open_actions(gate)}
    if not reads or test not in within_reach or test not in safety.owed_tests(gate):
        return None
    try:
        return replace(judged(pack, facts, test, reads), of=observation.id)
    except ReadingError:
        return None


def reading_of(pack: Pack, facts: Mapping[str, str], event: ReturnTested) -> Observation | None:
    """The reading of the pack that a return test with a value is; None where none is, or where that reading counted
    for the test."""
    if event.of or not event.reads:
        return None
    read = facts_of_pack(pack, facts)
    for item in pack.observations.values():
        if item.return_test == event.test and item.reading is not None and possible(item.applies, read):
            try:
                parse_reading(event.reads, item.reading.quantity, item.reading.unit)
            except ReadingError:
                return None
            return item
    return None


def outside_its_limit(pack: Pack, facts: Mapping[str, str], observation: Observation, reads: str) -> bool:
    """Whether a reading that its rule calls a return test would fail it: one figure stands for both."""
    if not observation.return_test or not reads:
        return False
    try:
        return judged(pack, facts, observation.return_test, reads).outcome == "failed"
    except ReadingError:
        return False


def held_to_its_reading(pack: Pack, facts: Mapping[str, str], event: ReturnTested) -> ReturnTested:
    """A test written down as passed that its own reading fails, by the limit beside it or else today's, has failed,
    whatever was written."""
    if event.outcome != "passed" or not event.reads:
        return event
    try:
        limit = _written_limit(event) or limit_for(event.test, pack, facts)
        reading = parse_reading(event.reads, "resistance", limit.unit)
    except FaultFinderError:
        return event
    return event if within(event.test, reading, limit.value) else replace(event, outcome="failed")


def reads_said(test: str, reads: str) -> str:
    """What a return test read, as it was typed; a figure alone gets the unit that it was taken in."""
    return f"{reads} {_unit(test)}" if re.fullmatch(r"[<>]?\s*[0-9]+(?:[.,][0-9]+)?", reads) else reads


def _unit(test: str) -> str:
    return "ohm" if test.startswith("earth") else "Mohm"


def _written_limit(event: ReturnTested) -> Limit | None:
    unit = _unit(event.test)
    text = event.limit.removeprefix("at most ").removeprefix("at least ")
    try:
        return Limit(parse_reading(text, "resistance", unit).value, unit, "")
    except ReadingError:
        return None
