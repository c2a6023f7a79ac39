"""Practice machines that a trainer writes: what stands there counts, slips are told with their line."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultfinder.knowledge.load import find_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import RuleFileError
from faultfinder.practice.description import Description
from faultfinder.practice.draw import PracticeJob, owners_words
from faultfinder.practice.written import read_job

HOSE = """
practice:
  title: The hose behind the wall
  seed: 12
  machine: {type: vented, control: timer, sections: two, total_watts: 2400}
  faults:
    vent_hose_crushed: {hose_open: 0.2}
    cutout_open: {}
  complaint: {takes_too_long: yes}
  says: It takes twice as long since the kitchen was done.
"""


def read(text: str, pack: Pack, description: Description) -> PracticeJob:
    return read_job(text.encode(), "hose.yaml", pack, description)


def test_what_stands_there_counts_and_the_rest_is_drawn_by_the_seed(
    pack: Pack, description: Description
) -> None:
    job = read(HOSE, pack, description)
    assert job.title == "The hose behind the wall"
    assert job.machine.causes == {"vent_hose_crushed", "cutout_open"}
    assert job.machine.words["type"] == "vented" and job.machine.base["total_watts"] == 2400
    assert job.machine.number("hose_open") == 0.2
    assert job.complaint == {"takes_too_long": "yes"}
    assert owners_words(job) == "It takes twice as long since the kitchen was done."
    assert read(HOSE, pack, description).machine == job.machine
    other = read(HOSE.replace("seed: 12", "seed: 13"), pack, description)
    assert other.machine.base != job.machine.base


def test_a_complaint_that_is_not_written_is_what_such_an_owner_notices(
    pack: Pack, description: Description
) -> None:
    text = "practice: {seed: 3, machine: {type: vented}, faults: {rear_bearing_worn: {rear_bearing: 0.9}}}"
    assert "noise_rumble" in read(text, pack, description).complaint


def test_faults_may_come_and_go(pack: Pack, description: Description) -> None:
    text = HOSE + "  comes_and_goes: 0.5\n"
    assert {fault.present_share for fault in read(text, pack, description).machine.faults} == {0.5}


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("practice:", "exercise:", 1, "no 'practice:'"),
        ("  seed: 12", "  sead: 12", 4, 'no key "sead" here; did you mean "seed"?'),
        ("type: vented", "type: vent", 5, '"vent" is not a choice of type; did you mean "vented"?'),
        ("total_watts: 2400", "total_watts: lots", 5, '"lots" is not a number'),
        ("total_watts: 2400", "totl_watts: 2400", 5, 'a machine has no "totl_watts"'),
        ("vent_hose_crushed:", "vent_hose_crusht:", 7, 'did you mean "vent_hose_crushed"?'),
        ("hose_open: 0.2", "hose_opn: 0.2", 7, 'does nothing to "hose_opn"'),
        ("cutout_open: {}", "condenser_block_clogged: {}", 8, "cannot be on this machine"),
        ("takes_too_long: yes", "takes_to_long: yes", 9, 'did you mean "takes_too_long"?'),
        ("takes_too_long: yes", "takes_too_long: maybe", 9, "no, yes"),
        ("total_watts: 2400", "total_watts: -5", 5, "total_watts is from"),
        ("total_watts: 2400", "total_watts: nan", 5, '"nan" is not a number'),
        ("hose_open: 0.2", "hose_open: wide", 7, "hose_open is a number"),
        ("cutout_open: {}", "cutout_open: 5", 8, "cutout_open holds what it changes"),
        ("complaint: {takes_too_long: yes}", "complaint: [takes_too_long]", 9, "complaint holds names"),
        ("title: The hose behind the wall", "title: {a: b}", 3, "title holds one value"),
    ],
)
def test_a_slip_is_told_with_its_line(
    pack: Pack, description: Description, old: str, new: str, line: int, words: str
) -> None:
    with pytest.raises(RuleFileError) as caught:
        read(HOSE.replace(old, new), pack, description)
    told = str(caught.value)
    assert words in told
    assert any(problem.mark.line == line for problem in caught.value.problems), told


def test_a_machine_without_faults_or_with_nothing_to_complain_of_is_refused(
    pack: Pack, description: Description
) -> None:
    with pytest.raises(RuleFileError, match="has no faults"):
        read("practice: {seed: 1}", pack, description)
    silent = (
        "practice: {seed: 1, machine: {type: vented, plug_fuse: yes}, faults: {wrong_fuse: {fuse_amps: 13}}}"
    )
    with pytest.raises(RuleFileError, match="nothing to complain of"):
        read(silent, pack, description)


def test_a_share_that_is_none_is_refused(pack: Pack, description: Description) -> None:
    with pytest.raises(RuleFileError, match="comes_and_goes"):
        read(HOSE + "  comes_and_goes: 3\n", pack, description)


EXERCISES = sorted((find_pack("tumble_dryer") / "practice" / "exercises").glob("*.yaml"))


@pytest.mark.parametrize("file", EXERCISES, ids=lambda file: file.stem)
def test_the_exercises_that_stand_ready_can_be_had(file: Path, pack: Pack, description: Description) -> None:
    job = read_job(file.read_bytes(), file.name, pack, description)
    assert job.title and job.says and job.machine.faults


def test_the_example_of_the_guide_is_one(pack: Pack, description: Description) -> None:
    guide = (find_pack("tumble_dryer").parent / "PRACTICE.md").read_text(encoding="utf-8")
    example = guide.split("```yaml\n", 1)[1].split("```", 1)[0]
    assert read(example, pack, description).machine.causes == {"vent_hose_crushed", "cutout_open"}


def test_a_cut_out_put_in_over_a_crushed_hose_opens_again(pack: Pack, description: Description) -> None:
    """The exercise of the hose behind the wall: with the hose free it stays whole."""
    file = next(file for file in EXERCISES if file.stem == "hose_behind_the_wall")
    machine = read_job(file.read_bytes(), file.name, pack, description).machine
    returns = description.faults["cutout_open"].returns_when
    assert returns is not None
    assert machine.without("cutout_open").holds(returns)
    assert not machine.without("cutout_open").without("vent_hose_crushed").holds(returns)
