"""What was seen may be taken once more, and what could not be done is not asked again unless something changed."""

from __future__ import annotations

from dataclasses import replace

from packs import cause, observation, pack

from faultfinder.knowledge.model import Choice, Kind, Need, Question
from faultfinder.reasoning.case import Case


def case() -> Case:
    """A filter, a fan and a hose, each with a look of its own, and a complaint of the owner's."""
    return Case(
        pack(
            [
                cause("filter", 0.1, {"filter_seen": (0.05, 0.95)}),
                cause("fan", 0.1, {"fan_seen": (0.05, 0.95)}),
                cause("hose", 0.1, {"hose_seen": (0.05, 0.95)}),
            ],
            [
                observation("filter_seen"),
                observation("fan_seen"),
                observation("hose_seen", reliability=1.0),
                observation("told", kind=Kind.TOLD, need=Need.ANYWHERE),
            ],
        )
    )


def may(job: Case, name: str) -> bool:
    return job.may_take_again(job.pack.observations[name])


def test_what_was_seen_may_be_taken_once_more_and_no_third_time() -> None:
    job = case()
    assert not may(job, "filter_seen"), "not seen yet"
    job.record("filter_seen", "yes")
    assert may(job, "filter_seen")
    job.record("filter_seen", "no", again=True)
    assert not may(job, "filter_seen")


def test_it_may_be_after_something_else_was_put_right_too_and_counts_as_the_second_time() -> None:
    job = case()
    job.record("filter_seen", "yes")
    job.put_right("fan")
    assert may(job, "filter_seen"), "nothing that shows in it was changed"
    job.record("filter_seen", "yes", again=True)
    assert not may(job, "filter_seen")
    job.put_right("filter")
    assert not may(job, "filter_seen"), "it is asked anew, not again"
    assert job.askable(job.pack.observations["filter_seen"])
    job.record("filter_seen", "yes")
    assert may(job, "filter_seen"), "of the machine as it is now it was seen once"


def test_what_was_told_and_what_cannot_be_mistaken_is_not_taken_again() -> None:
    job = case()
    job.record("told", "yes")
    job.record("hose_seen", "yes")
    job.record("fan_seen", "yes", kind="told")
    assert not any(may(job, name) for name in ("told", "hose_seen", "fan_seen"))


def listed() -> Case:
    """The same with a list in which what is told and what is seen can be ticked."""
    made = case().pack
    choices = (
        Choice("said", "It was said", {"told": "yes"}),
        Choice("dirty", "It is dirty", {"fan_seen": "yes"}),
    )
    round_ = Question("round", Kind.TOLD, "What?", choices, several=True, need=Need.ANYWHERE, minutes=1.0)
    return Case(replace(made, questions={"round": round_}))


def test_what_was_ticked_in_a_list_may_be_asked_by_itself_and_counts_beside_the_tick() -> None:
    job = listed()
    job.record("round", ["said", "none"])
    told, seen = job.pack.observations["told"], job.pack.observations["fan_seen"]
    assert may(job, "told") and job.counts_beside(told)
    assert job.counts_beside(seen, None) and not job.counts_beside(seen, Kind.TOLD)
    job.record("told", "no", again=job.counts_beside(told))
    assert [given.answer for given in job.answers if given.observation == "told"] == ["yes", "no"]
    assert not may(job, "told"), "a second time, and no third"
    assert not job.counts_beside(told), "who says otherwise now has thought better of it"


def test_what_was_left_unticked_or_complained_of_is_not_asked_by_itself() -> None:
    job = listed()
    job.record("round", ["none"])
    assert not may(job, "told") and not job.counts_beside(job.pack.observations["told"])
    job = listed()
    job.record("told", "yes", complaint=True)
    assert not may(job, "told") and not job.counts_beside(job.pack.observations["told"])


def test_what_could_not_be_done_is_offered_again_only_when_what_shows_in_it_was_put_right() -> None:
    job = case()
    look = job.pack.observations["filter_seen"]
    job.skip("filter_seen", "cannot_here")
    assert not job.available(look)
    job.put_right("fan")
    assert not job.available(look), "the fan has nothing to do with it"
    job.put_right("filter")
    assert job.available(look)


def test_a_list_in_which_it_is_not_ticked_takes_no_complaint_back() -> None:
    made = pack(
        [cause("belt", 0.1, {"squeal": (0.1, 0.9)}), cause("fan", 0.1, {"roar": (0.1, 0.9)})],
        [replace(observation("squeal"), symptom=True), observation("roar")],
    )
    choices = (Choice("a", "It squeals", {"squeal": "yes"}), Choice("b", "It roars", {"roar": "yes"}))
    heard = Question("heard", Kind.SOUND, "What do you hear?", choices, True, Need.IN_USE, 1.0)
    case = Case(replace(made, questions={"heard": heard}))
    case.record("squeal", "yes", complaint=True)
    before = case.confidence()["belt"]
    case.record("heard", ["none"])
    assert case.judged(case.latest("squeal")).answer == "yes" and case.confidence()["belt"] > before - 1e-9
    assert case.judged(case.latest("roar")).answer == "no"
    case.record("squeal", "no")
    assert case.confidence()["belt"] < before / 5.0, "taken back by its name"
    case.record("squeal", "yes", complaint=True)
    case.put_right("belt")
    case.record("heard", ["none"])
    assert case.judged(case.latest("squeal")).answer == "no", "gone after the repair"
