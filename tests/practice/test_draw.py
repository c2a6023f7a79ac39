"""Jobs: the same by their seed, of the level asked for, always with something to complain of."""

from __future__ import annotations

import pytest

from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.draw import Level, draw_job, owners_words
from faultfinder.reasoning.evidence.facts import possible, read_fact


@pytest.mark.slow
def test_a_seed_is_a_job(pack: Pack, description: Description) -> None:
    for seed in ("1", "2", "class of monday"):
        one, same = (draw_job(pack, description, seed) for _ in range(2))
        assert one.machine == same.machine and one.complaint == same.complaint and one.facts == same.facts
    assert draw_job(pack, description, "1").machine != draw_job(pack, description, "3").machine


@pytest.mark.slow
@pytest.mark.parametrize("level", list(Level))
def test_each_level_gives_what_it_says(pack: Pack, description: Description, level: Level) -> None:
    for seed in range(6):
        job = draw_job(pack, description, f"{level}{seed}", level=level)
        faults = job.machine.faults
        assert job.complaint
        match level:
            case Level.ONE | Level.LOOK_ALIKES:
                assert len(faults) == 1 and faults[0].present_share == 1.0
            case Level.SEVERAL:
                assert 2 <= len(faults) <= 3
            case Level.BROUGHT_ON:
                assert faults[1].brought_on_by == faults[0].cause
            case Level.INTERMITTENT:
                assert len(faults) == 1 and faults[0].present_share < 1.0
            case _:
                assert 1 <= len(faults) <= 3


@pytest.mark.slow
def test_what_is_told_and_known_fits_the_machine(pack: Pack, description: Description) -> None:
    for seed in range(40):
        job = draw_job(pack, description, str(seed))
        facts = job.machine.facts()
        assert "type" in job.facts
        for name, value in job.facts.items():
            read_fact(pack.facts[name], value)
            assert facts[name] == value
        for name, answer in job.complaint.items():
            item = pack.observations[name]
            assert item.symptom and answer != item.healthy and possible(item.applies, facts)
        for fault in job.machine.faults:
            assert possible(pack.causes[fault.cause].applies, facts)


@pytest.mark.slow
def test_over_many_jobs_the_common_faults_come_often_and_nearly_all_come(
    pack: Pack, description: Description
) -> None:
    drawn = [cause for seed in range(150) for cause in draw_job(pack, description, str(seed)).machine.causes]
    assert len(set(drawn)) > 60
    assert 1.2 < len(drawn) / 150 < 1.9


@pytest.mark.slow
def test_an_owner_speaks_like_one(pack: Pack, description: Description) -> None:
    for seed in range(30):
        job = draw_job(pack, description, str(seed))
        words = owners_words(job)
        assert words and words == owners_words(job)
        for name in job.complaint:
            assert "_" not in name or name not in words, "an owner knows no names of observations"
