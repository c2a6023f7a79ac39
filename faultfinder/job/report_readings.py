"""The readings of a job against their limits on this machine, what else was seen, and the facts behind both."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from faultfinder.errors import BadFact
from faultfinder.job.events import ACCESS_NOT_CONFIRMED
from faultfinder.job.report_parts import Band, FactLine, Measured, Seen, Taken
from faultfinder.job.report_walk import Recorded
from faultfinder.job.report_words import lower, name_of, quantity, say
from faultfinder.job.state import JobState
from faultfinder.knowledge.bands import expected_value, fact_values, facts_behind, limits
from faultfinder.knowledge.model import Fact, Observation
from faultfinder.knowledge.plate import contradictions, relied_on
from faultfinder.reasoning.case import Case


def measured(case: Case, recorded: Sequence[Recorded]) -> tuple[Measured, ...]:
    """Every reading, in the order first taken, each with all its takes."""
    out = []
    for name, takes in _grouped(case, recorded):
        observation = case.pack.observations[name]
        if observation.reading is None:
            continue
        values = fact_values(case.pack, case.facts)
        try:
            bounds = limits(observation, values)
            expected = expected_value(observation, values)
        except BadFact:
            bounds, expected = [], None
        bands = tuple(
            Band(answer.id, answer_text(observation, answer.id), low, high)
            for answer, (low, high) in zip(observation.answers, bounds, strict=False)
        )
        stands_on = tuple(_stands_on(case, facts_behind(case.pack, observation, case.facts)))
        if expected is not None and not math.isfinite(expected):
            expected = None
        out.append(
            Measured(name, observation.ask, observation.reading.unit, expected, bands, takes, stands_on)
        )
    return tuple(out)


def seen(case: Case, recorded: Sequence[Recorded]) -> tuple[Seen, ...]:
    """Everything told, seen, heard or smelt, in the order first answered."""
    return tuple(
        Seen(name, observation.ask, observation.kind.value, observation.symptom, takes)
        for name, takes in _grouped(case, recorded)
        if (observation := case.pack.observations[name]).reading is None
    )


def _grouped(case: Case, recorded: Sequence[Recorded]) -> Iterable[tuple[str, tuple[Taken, ...]]]:
    counting = {(item.observation, item.epoch) for item in case.evidence()}
    works = len(case.repairs)
    by_name: dict[str, list[Taken]] = {}
    for item in recorded:
        by_name.setdefault(item.given.observation, []).append(_taken(case, item, counting, works))
    return ((name, tuple(takes)) for name, takes in by_name.items())


def _taken(case: Case, item: Recorded, counting: set[tuple[str, int]], works: int) -> Taken:
    given, source = item.given, item.source
    observation = case.pack.observations[given.observation]
    judged = case.judged(given)
    second = ""
    if judged.on_the_edge:
        order = sorted(range(len(judged.weights)), key=lambda level: -judged.weights[level])
        second = answer_text(observation, observation.answers[order[1]].id)
    replaced = case.given(given.observation, given.epoch) is not given
    return Taken(
        at=source.at,
        works=item.works,
        text=given.text if given.reading is not None else answer_text(observation, judged.answer),
        value=_value(given.reading.value, given.reading.over_range) if given.reading else None,
        answer=judged.answer,
        verdict=answer_text(observation, judged.answer),
        healthy=judged.answer == observation.healthy,
        last=item.works == works,
        on_edge=judged.on_the_edge,
        second=second,
        doubt=judged.uncertainty,
        told=source.told,
        access=source.access if source.access != ACCESS_NOT_CONFIRMED else ACCESS_NOT_CONFIRMED,
        replaced=replaced,
        suspended=not replaced and (given.observation, given.epoch) not in counting,
        was=_was(observation, source.was),
    )


def _value(value: float, over_range: bool) -> float:
    return math.inf if over_range else value


def _was(observation: Observation, was: str) -> str:
    known = {answer.id for answer in observation.answers}
    return answer_text(observation, was) if was in known else was


def answer_text(observation: Observation, answer: str) -> str:
    """An answer's text; its id in plain words where the rules give none."""
    text = observation.answers[observation.index(answer)].text
    return name_of(text) if text == answer else text


# -- facts ----------------------------------------------------------------------------------------------


def fact_lines(state: JobState, case: Case, readings: Sequence[Measured]) -> tuple[FactLine, ...]:
    """The facts given, and those assumed that some reading's limits stand on."""
    pack = case.pack
    lines = [
        FactLine(name, fact.ask, fact_text(fact, case.facts[name]), True)
        for name, fact in pack.facts.items()
        if name in case.facts
    ]
    lines += [
        FactLine(name, name_of(name).capitalize(), name_of(value), True)
        for name, value in state.facts.items()
        if name not in pack.facts
    ]
    values = fact_values(pack, case.facts)
    behind = [
        name
        for item in readings
        for name in facts_behind(pack, pack.observations[item.observation], case.facts)
    ]
    lines += [
        FactLine(name, pack.facts[name].ask, fact_text(pack.facts[name], values[name]), False)
        for name in dict.fromkeys(behind)
        if name not in case.facts and name in values
    ]
    return tuple(lines)


def fact_text(fact: Fact, value: str | float) -> str:
    """A fact's value for people."""
    if fact.kind == "choice":
        return fact.choices.get(str(value), name_of(str(value)))
    if not isinstance(value, int | float):
        return str(value)
    return quantity(float(value), fact.unit) if fact.unit else f"{value:g}"


def _stands_on(case: Case, names: Iterable[str]) -> Iterable[tuple[str, bool]]:
    """The facts behind limits with their values, and whether each is assumed; one that others contradict, or that
    follows from others, says so."""
    values = fact_values(case.pack, case.facts)
    relied, _ = relied_on(case.pack, case.facts)
    for name in names:
        value, given = values.get(name), case.facts.get(name)
        if value is None:
            continue
        fact = case.pack.facts[name]
        text = f"{lower(fact.ask.rstrip('?'))} {fact_text(fact, value)}"
        followed = relied.facts[name] is not fact
        if given is not None and given != value:
            text = say("set_aside", fact=text, given=fact_text(fact, given))
        elif given is None and followed:
            text = say("worked_out", fact=text)
        yield text, given is None and not followed


def contradictions_told(case: Case) -> tuple[str, ...]:
    """Facts of the machine that do not go together, and which of them the limits stand on; a sentence or two each."""
    facts = case.pack.facts
    return tuple(
        say(
            "contradict",
            facts=", ".join(
                f"{lower(facts[name].ask.rstrip('?'))} {fact_text(facts[name], case.facts[name])}"
                for name in (found.watts, *found.others)
            ),
            words=found.check.words,
        )
        for found in contradictions(case.pack, case.facts)
    )
