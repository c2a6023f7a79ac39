"""Rules that come later forget no danger: what was found stands until somebody says by name what was done about it.

Each check folds a record of today's rules, as it is written down, with a pack that was changed since.
"""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from reading_once import shipped

from faultfinder.dialogue.converse import reply, stamped, start
from faultfinder.errors import FaultFinderError, Refused
from faultfinder.job import events as happened
from faultfinder.job import forgotten_dangers as lost_module
from faultfinder.job.events import Event
from faultfinder.job.findings import titles
from faultfinder.job.state import JobState, apply, at_the_end, begin, fold, marked
from faultfinder.knowledge.model import Access, Pack
from faultfinder.safety.gate import Gate

NOON = datetime(2031, 5, 14, 12, tzinfo=UTC)
THERMAL = {
    "tumble_dryer": "heat_cuts_out",
    "electric_oven": "heats_when_off",
    "washing_machine": "heat_relay_at_rest",
}
"""A finding of each pack that tells of heat without end, which no electrical test sees."""
PACKS = tuple(THERMAL)


def written(pack: Pack, *events: Event) -> list[Event]:
    """The events as the record keeps them."""
    job, kept = begin(pack), []
    for event in events:
        job = apply(job, event)
        kept += stamped([event], NOON, job)
    return kept


def dropped(pack: Pack, name: str) -> Pack:
    """The pack, in which an observation means nothing for safety any more."""
    item = replace(pack.observations[name], danger={}, unsafe={})
    return replace(pack, observations={**pack.observations, name: item}, fingerprint="later")


def renamed(pack: Pack, name: str) -> Pack:
    items = {key if key != name else "newly_named": item for key, item in pack.observations.items()}
    items["newly_named"] = replace(items["newly_named"], id="newly_named")
    return replace(pack, observations=items, fingerprint="later")


def passed_everything(job: JobState) -> JobState:
    """The same job, with its earth and insulation measured and good, and in use."""
    return replace(job, gate=replace(Gate(connection="plug"), access=Access.IN_USE), lost_open=False)


def fit(job: JobState) -> bool:
    try:
        apply(passed_everything(job), happened.Closed("fit_for_use"))
    except Refused:
        return False
    return True


DANGERS = [
    (name, item.id, answer)
    for name in PACKS
    for item in shipped(name).observations.values()
    for answer in sorted({*item.unsafe, *item.danger})
]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "observation", "answer"), DANGERS)
def test_a_meaning_dropped_from_an_answer_that_is_still_there_stands(
    name: str, observation: str, answer: str
) -> None:
    pack = shipped(name)
    record = written(pack, happened.Answered(observation, answer))
    job, troubles = fold(dropped(pack, observation), record)
    assert not troubles and "rules_changed" in job.gate.signs
    assert set(pack.observations[observation].danger.get(answer, "rules_changed").split()) <= set(
        job.gate.signs
    )
    assert not fit(job) and any(observation in each for each in titles(passed_everything(job)))


@pytest.mark.parametrize("name", PACKS)
def test_a_thermal_finding_that_was_renamed_outlives_earth_and_insulation(name: str) -> None:
    pack = shipped(name)
    finding = THERMAL[name]
    answer = next(iter(pack.observations[finding].unsafe), "yes")
    job, troubles = fold(renamed(pack, finding), written(pack, happened.Answered(finding, answer)))
    assert troubles and "rules_changed" in job.gate.signs
    job = apply(passed_everything(job), happened.DangerSeen("rules_changed"))
    tested = passed_everything(job)
    assert not fit(tested), "no electrical test sees it"
    with pytest.raises(FaultFinderError):
        apply(tested, happened.DealtWith("something_else", "tried it again"))
    for nothing in ("", "yes", "ok"):
        with pytest.raises(FaultFinderError):
            apply(tested, happened.DealtWith(finding, nothing))
    done = apply(tested, happened.DealtWith(finding, "renewed the thermostat, it goes off at 62 C"))
    assert fit(done) and not titles(done)
    pruned = apply(tested, happened.DealtWith(finding, happened.REMOVED))
    assert fit(pruned), "a record without the person comes out the same"


def test_answered_anew_and_good_or_corrected_it_is_dealt_with() -> None:
    pack = shipped("tumble_dryer")
    later = dropped(pack, "heat_cuts_out")
    job, _ = fold(later, written(pack, happened.Answered("heat_cuts_out", "never")))
    for event in (
        happened.Answered("heat_cuts_out", "goes_off"),
        happened.Corrected("heat_cuts_out", "goes_off"),
    ):
        assert fit(apply(job, event))
    assert not fit(apply(job, happened.Answered("heat_cuts_out", "goes_off", how="told")))
    assert not fit(apply(job, happened.Withdrawn("heat_cuts_out")))


def test_under_the_rules_it_was_given_by_a_mark_changes_nothing() -> None:
    choose = random.Random(11)
    for name in PACKS:
        pack = shipped(name)
        for _ in range(150):
            item = choose.choice(list(pack.observations.values()))
            event = happened.Answered(item.id, choose.choice(item.answers).id)
            plain = apply(begin(pack), event)
            assert apply(begin(pack), marked(plain, event)) == plain


@pytest.mark.slow
def test_in_a_conversation_it_is_told_and_typed() -> None:
    pack = shipped("tumble_dryer")
    job, _ = fold(dropped(pack, "heat_cuts_out"), written(pack, happened.Answered("heat_cuts_out", "never")))
    turn = start(job, resumed=True)
    assert "heat_cuts_out: never" in " ".join(str(each) for each in turn.said)
    nothing = reply(turn.talk, "dealt with heat cuts out")
    assert nothing.talk.job.still_lost
    turn = reply(turn.talk, "dealt with heat cuts out: tried it for an hour, it goes off")
    assert turn.events[0] == happened.DealtWith("heat_cuts_out", "tried it for an hour, it goes off")
    assert not turn.talk.job.still_lost


# -- each rule taken out ------------------------------------------------------------------------------------


MUTANTS = {
    "a mark is not written": ("meant", lambda items: ()),
    "tests deal with it": ("titles", lambda lost: []),
    "anything deals with it": ("dealt_with", lambda lost, event: ()),
}


@pytest.mark.parametrize("mutant", MUTANTS)
def test_without_one_of_these_rules_something_is_forgotten(
    mutant: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    name, instead = MUTANTS[mutant]
    monkeypatch.setattr(lost_module, name, instead)
    monkeypatch.setattr("faultfinder.job.findings.lost", lost_module.titles)
    with pytest.raises((AssertionError, pytest.fail.Exception)):
        test_a_meaning_dropped_from_an_answer_that_is_still_there_stands(
            "tumble_dryer", "heat_cuts_out", "never"
        )
        test_a_thermal_finding_that_was_renamed_outlives_earth_and_insulation("tumble_dryer")


def test_at_the_end_of_a_record_nothing_lost_is_no_sign() -> None:
    assert not at_the_end(begin(shipped("tumble_dryer"))).gate.signs
