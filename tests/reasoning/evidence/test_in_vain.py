"""What cannot be done after an answer is not asked until something was put right; told all the same, it counts."""

from __future__ import annotations

from dataclasses import replace

from packs import cause, observation, pack

from faultfinder.knowledge.model import Choice, Kind, Need, Pack, Question
from faultfinder.reasoning.case import Case


def machine() -> Pack:
    dead = replace(observation("dead", need=Need.ANYWHERE, kind=Kind.TOLD), symptom=True)
    hum = replace(observation("hum", need=Need.IN_USE), in_vain_after={"dead": ("yes",)})
    amps = observation("amps", need=Need.IN_USE)
    both = Question(
        "both",
        Kind.LOOK,
        "What?",
        (Choice("hums", "It hums", {"hum": "yes"}), Choice("draws", "It draws", {"amps": "yes"})),
        several=True,
        need=Need.IN_USE,
        minutes=1.0,
        in_vain_after={"dead": ("yes",)},
    )
    made = pack(
        [
            cause("fuse", 0.1, {"dead": (0.05, 0.95)}, proof=["dead"]),
            cause("bearing", 0.1, {"hum": (0.1, 0.9), "amps": (0.1, 0.9)}, proof=["hum"]),
        ],
        [dead, hum, amps],
    )
    return replace(made, questions={"both": both})


def test_it_is_asked_before_and_after_another_answer_and_not_after_this_one() -> None:
    case = Case(machine())
    hum, both = case.pack.observations["hum"], case.pack.questions["both"]
    assert case.askable(hum) and case.askable(both)
    case.record("dead", "yes")
    assert not case.askable(hum) and not case.askable(both)
    assert case.askable(case.pack.observations["amps"])
    assert "hum" not in case.outlook() and all(step.target not in ("hum", "both") for step in case.steps())
    other = Case(machine())
    other.record("dead", "no")
    assert other.askable(other.pack.observations["hum"])


def test_once_something_was_put_right_it_is_asked_again_until_the_answer_comes_anew() -> None:
    case = Case(machine())
    case.record("dead", "yes")
    case.put_right("fuse")
    assert case.askable(case.pack.observations["hum"])
    case.record("dead", "yes")
    assert not case.askable(case.pack.observations["hum"])


def test_told_all_the_same_it_counts() -> None:
    case = Case(machine())
    case.record("dead", "yes")
    before = case.confidence()["bearing"]
    case.record("hum", "yes")
    assert case.confidence()["bearing"] > 2.0 * before
