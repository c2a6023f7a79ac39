"""Case against an enumeration of every fault set, and its rules of record."""

from __future__ import annotations

import random
from dataclasses import replace
from types import MappingProxyType

import pytest
from enumeration import fault_sets, posterior
from packs import cause, observation, pack, random_pack

from faultfinder.errors import BadAnswer, Contradiction, UnknownName
from faultfinder.knowledge.model import Choice, Fact, Kind, Need, Question, Usual
from faultfinder.knowledge.schema.strength_words import COMPLAINT_RELIABILITY, COMPLAINT_UNEXPLAINED
from faultfinder.reasoning.case import Case


def answered(seed: int, *, states: int = 0, answers: int = 7) -> tuple[Case, dict[str, str]]:
    random_ = random.Random(seed)
    made = random_pack(random_, causes=9 - states, states=states)
    said = {}
    for item in random_.sample(list(made.observations.values()), answers):
        said[item.id] = random_.choice(item.answers).id
    case = Case(made)
    for name, answer in said.items():
        case.record(name, answer)
    return case, said


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("states", [0, 2])
def test_confidence_agrees_with_every_fault_set_counted(seed: int, states: int) -> None:
    case, said = answered(seed, states=states)
    _, expected = posterior(case.pack, said)
    assert case.confidence() == pytest.approx(expected, abs=1e-9)
    assert case.found() == pytest.approx(expected, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_outlook_agrees_with_every_fault_set_counted_for_every_answer(seed: int) -> None:
    case, said = answered(seed, states=seed % 3)
    before, _ = posterior(case.pack, said)
    outlook = case.outlook()
    assert set(outlook) == set(case.pack.observations) - set(said)
    for name, answers in outlook.items():
        assert sum(chance for chance, _ in answers.values()) == pytest.approx(1.0, abs=1e-9)
        for answer, (chance, after) in answers.items():
            total, expected = posterior(case.pack, {**said, name: answer})
            assert chance == pytest.approx(total / before, abs=1e-9)
            assert after == pytest.approx(expected, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(4))
def test_explanations_are_the_most_probable_fault_sets(seed: int) -> None:
    case, said = answered(seed, states=seed % 2)
    expected = fault_sets(case.pack, said)[:3]
    got = case.explanations(3)
    assert [chance for _, chance in got] == pytest.approx([chance for _, chance in expected], abs=1e-9)
    assert [faults for faults, _ in got] == [faults for faults, _ in expected]


def test_a_second_answer_replaces_the_first() -> None:
    case, said = answered(3)
    name = next(iter(said))
    other = next(a.id for a in case.pack.observations[name].answers if a.id != said[name])
    case.record(name, other)
    _, expected = posterior(case.pack, {**said, name: other})
    assert case.confidence() == pytest.approx(expected, abs=1e-9)


def test_taking_an_answer_back_leaves_the_others() -> None:
    case, said = answered(5)
    name = next(iter(said))
    case.withdraw(name)
    _, expected = posterior(case.pack, {key: value for key, value in said.items() if key != name})
    assert case.confidence() == pytest.approx(expected, abs=1e-9)


def test_an_unknown_name_is_refused_with_the_nearest_one_and_changes_nothing() -> None:
    case = Case(pack([cause("belt_broken", 0.1, {"drum_still": (0.1, 0.9)})], [observation("drum_still")]))
    with pytest.raises(UnknownName, match="drum_still"):
        case.record("drum_stil", "yes")
    with pytest.raises(BadAnswer, match="no, yes"):
        case.record("drum_still", "perhaps")
    assert case.answers == ()


def test_what_was_put_right_is_absent_now_and_was_there_before() -> None:
    made = pack(
        [cause("hose", 0.1, {"weak": (0.05, 0.95)}), cause("fan", 0.02, {"weak": (0.05, 0.95)})],
        [observation("weak")],
    )
    case = Case(made)
    case.record("weak", "yes")
    before = case.confidence()
    case.put_right("hose")
    assert case.confidence()["hose"] == 0.0
    assert case.found()["hose"] == pytest.approx(before["hose"])
    assert case.confidence()["fan"] == pytest.approx(before["fan"])
    case.record("weak", "no")
    assert case.found()["hose"] > before["hose"]
    assert case.confidence()["fan"] < before["fan"]


def test_what_a_remedy_also_mends_is_absent_as_well_and_one_thing_was_changed() -> None:
    made = pack(
        [
            cause("motor", 0.1, {"hums": (0.1, 0.9)}, also_mends=["capacitor"]),
            cause("capacitor", 0.2, {"hums": (0.3, 0.7), "low": (0.05, 0.95)}, takes=0.9),
        ],
        [observation("hums"), observation("low")],
    )
    case = Case(made)
    case.record("hums", "yes")
    case.record("low", "yes")
    before = case.confidence()["capacitor"]
    case.put_right("motor")
    assert case.confidence()["motor"] == 0.0
    assert case.confidence()["capacitor"] == pytest.approx(0.1 * before)
    assert case.found()["capacitor"] == pytest.approx(before)
    assert (case.epoch, case.remedies, case.repairs) == (1, ("motor",), ("motor", "capacitor"))
    assert case.askable(made.observations["low"])


def test_mending_the_other_way_round_mends_nothing_more() -> None:
    made = pack(
        [
            cause("motor", 0.1, {"hums": (0.1, 0.9)}, also_mends=["capacitor"]),
            cause("capacitor", 0.2, {"hums": (0.3, 0.7)}),
        ],
        [observation("hums")],
    )
    case = Case(made)
    case.record("hums", "yes")
    before = case.confidence()["motor"]
    case.put_right("capacitor")
    assert case.confidence()["motor"] == pytest.approx(before)


def test_a_symptom_that_stays_after_the_repair_points_to_the_other_cause() -> None:
    made = pack(
        [cause("hose", 0.1, {"weak": (0.05, 0.95)}), cause("fan", 0.02, {"weak": (0.05, 0.95)})],
        [observation("weak")],
    )
    case = Case(made)
    case.record("weak", "yes")
    case.put_right("hose")
    case.record("weak", "yes")
    assert case.confidence()["fan"] > 0.5


def test_none_of_the_others_denies_only_what_was_offered() -> None:
    """The filter may also have sat crooked, which no choice said."""
    made = pack(
        [cause("worn", 0.1, {"filter": (0.1, 0.5, 0.4), "belt": (0.1, 0.9)})],
        [
            observation("filter", ("clean", "thick", "crooked"), (0.98, 0.01, 0.01)),
            observation("belt"),
        ],
    )
    choices = (
        Choice("thick", "thick", {"filter": "thick"}),
        Choice("belt", "belt", {"belt": "yes"}),
    )
    asked = Question("round", Kind.LOOK, "What?", choices, True, Need.COVERS_ON, 1.0)
    case = Case(replace(made, questions={"round": asked}))
    assert case.choices(asked, ["none"]) == {"belt": "no"}
    assert case.choices(asked, ["thick", "none"]) == {"belt": "no", "filter": "thick"}
    crooked = Choice("crooked", "crooked", {"filter": "crooked"})
    case = Case(replace(made, questions={"round": replace(asked, choices=(*choices, crooked))}))
    assert case.choices(case.pack.questions["round"], ["none"]) == {"belt": "no", "filter": "clean"}


def test_a_repair_that_may_not_have_taken_leaves_its_chance() -> None:
    made = pack([cause("hose", 0.5, {"weak": (0.0, 1.0)}, takes=0.9)], [observation("weak", reliability=1.0)])
    case = Case(made)
    case.record("weak", "yes")
    case.put_right("hose")
    # P(hose before | weak) by Bayes with background 0.01: 0.5 / (0.5 + 0.5 * 0.01)
    assert case.confidence()["hose"] == pytest.approx(0.1 * 0.5 / (0.5 + 0.5 * 0.01), abs=1e-12)


def a_cut_out_behind_a_blocked_hose(*, wired: bool = False) -> Case:
    """The hose blows the cut-out half of the time; run over it, a new one opens with 0.8. wired: the fluff at the
    heater does it too, a quarter as surely."""
    made = pack(
        [
            cause("blocked", 0.2, {}),
            cause("fluff", 0.1 if wired else 0.0, {}),
            replace(
                cause(
                    "cut_out",
                    0.05,
                    {"ohms": (0.0, 1.0)},
                    brought_on_by={"blocked": 0.5, "fluff": 0.125},
                ),
                returns=0.8,
            ),
        ],
        [observation("ohms", background=(1.0, 0.0), reliability=1.0, need=Need.OPEN_DEAD)],
    )
    case = Case(made)
    case.record("ohms", "yes")
    return case


def test_a_cut_out_put_right_over_its_cause_may_open_again_once_the_machine_has_run() -> None:
    case = a_cut_out_behind_a_blocked_hose()
    # P(blocked | open) by Bayes: open comes of the hose (0.2 x 0.5) or by itself (0.05).
    blocked = 0.2 * (1 - 0.5 * 0.95) / (0.2 * (1 - 0.5 * 0.95) + 0.8 * 0.05)
    assert case.confidence()["blocked"] == pytest.approx(blocked, abs=1e-12)
    case.put_right("cut_out")
    case.record("ohms", "no")
    assert case.confidence().get("cut_out", 0.0) == 0.0
    assert case.not_run_since == ("cut_out",)
    case.ran_again()
    assert case.not_run_since == ()
    assert case.confidence()["cut_out"] == pytest.approx(0.8 * blocked, abs=1e-12)
    assert case.askable(case.pack.observations["ohms"])
    case.record("ohms", "yes")
    # Only what was left can have opened it again.
    assert case.confidence()["blocked"] == pytest.approx(1.0, abs=1e-12)


def test_a_weaker_bringer_brings_a_fault_back_less_surely() -> None:
    case = a_cut_out_behind_a_blocked_hose(wired=True)
    case.put_right("cut_out")
    case.put_right("blocked")
    fluff = case.confidence()["fluff"]
    case.ran_again()
    assert case.confidence()["cut_out"] == pytest.approx(0.8 * (0.125 / 0.5) * fluff, abs=1e-12)


def test_nothing_comes_back_where_what_brought_it_on_is_put_right_before_the_run() -> None:
    case = a_cut_out_behind_a_blocked_hose()
    case.put_right("cut_out")
    case.put_right("blocked")
    case.ran_again()
    assert case.confidence()["cut_out"] == pytest.approx(0.0, abs=1e-12)
    epoch = case.epoch
    case.ran_again()
    assert case.epoch == epoch, "nothing was put right since it ran last"


def test_removing_a_bringer_never_lowers_what_it_brought_on() -> None:
    made = pack(
        [
            cause("blocked", 0.2, {"weak": (0.1, 0.9)}),
            cause("cut_out_open", 0.01, {"cold": (0.02, 0.98)}, brought_on_by={"blocked": 0.4}),
        ],
        [observation("weak"), observation("cold")],
    )
    case = Case(made)
    case.record("weak", "yes")
    before = case.confidence()["cut_out_open"]
    case.put_right("blocked")
    assert case.confidence()["cut_out_open"] == pytest.approx(before, abs=1e-12)


def test_our_own_work_is_possible_only_after_the_machine_was_open() -> None:
    made = pack(
        [
            cause("hose", 0.1, {"weak": (0.05, 0.95)}),
            cause("our_own_work", 0.03, {"cold": (0.1, 0.9)}, after_our_work=True),
        ],
        [observation("weak"), observation("cold")],
    )
    case = Case(made)
    case.record("cold", "yes")
    assert case.confidence()["our_own_work"] == 0.0
    case.reassembled()
    case.record("cold", "yes")
    assert case.confidence()["our_own_work"] > 0.03
    assert case.found()["our_own_work"] == 0.0


def test_impossible_answers_name_what_to_take_back() -> None:
    made = pack(
        [cause("only", 0.2, {"a": (0.0, 1.0), "b": (0.0, 1.0)})],
        [
            observation("a", background=(1.0, 0.0), reliability=1.0),
            observation("b", background=(1.0, 0.0), reliability=1.0),
        ],
    )
    case = Case(made)
    case.record("a", "yes")
    case.record("b", "no")
    with pytest.raises(Contradiction, match="a, b"):
        case.confidence()
    case.withdraw("b")
    assert case.confidence()["only"] == pytest.approx(1.0)


def test_what_somebody_called_over_is_believed_and_seldom_left_unexplained() -> None:
    """Against the enumeration of a pack that says so of the symptom: twelve random packs."""
    for seed in range(12):
        random_ = random.Random(seed)
        made = random_pack(random_, causes=6, observations=5)
        name = random_.choice(list(made.observations))
        item = made.observations[name]
        rare = tuple(0.04 * chance for chance in item.background[1:])
        item = replace(item, symptom=True, background=(1.0 - sum(rare), *rare))
        made = replace(made, observations=MappingProxyType({**made.observations, name: item}))
        case = Case(made)
        answers = {name: item.answers[-1].id}
        case.record(name, answers[name], complaint=True)
        for other in list(made.observations)[:2]:
            if other != name:
                answers[other] = random_.choice(made.observations[other].answers).id
                case.record(other, answers[other])
        left = tuple(COMPLAINT_UNEXPLAINED * chance for chance in item.background[1:])
        believed = replace(item, reliability=COMPLAINT_RELIABILITY, background=(1.0 - sum(left), *left))
        as_written = replace(made, observations=MappingProxyType({**made.observations, name: believed}))
        _, expected = posterior(as_written, answers, [name])
        assert case.confidence() == pytest.approx(expected, abs=1e-9)


def test_what_many_sound_machines_show_only_sets_the_scene() -> None:
    made = pack(
        [cause("pushed", 0.1, {"moved": (0.2, 0.8)})], [observation("moved", background=(0.93, 0.07))]
    )
    item = replace(made.observations["moved"], symptom=True)
    case = Case(replace(made, observations=MappingProxyType({"moved": item})))
    case.record("moved", "yes", complaint=True)
    assert not case.answers[0].complaint


def test_a_complaint_told_again_stays_one_and_taken_back_is_none() -> None:
    made = random_pack(random.Random(3), causes=5, observations=6)
    name = next(iter(made.observations))
    levels = len(made.observations[name].answers)
    background = (0.98, *[0.02 / (levels - 1)] * (levels - 1))
    item = replace(made.observations[name], symptom=True, background=background)
    case = Case(replace(made, observations=MappingProxyType({**made.observations, name: item})))
    case.record(name, item.healthy, complaint=True)
    assert not case.answers[0].complaint, "nobody calls over what is as it should be"
    case.record(name, item.answers[1].id)
    assert not case.answers[0].complaint, "asked for, it is an answer like any other"
    case.record(name, item.answers[1].id, complaint=True)
    case.record(name, item.answers[1].id)
    assert case.answers[0].complaint
    case.put_right(next(iter(made.causes)))
    case.record(name, item.answers[1].id)
    assert [given.complaint for given in case.answers] == [True, False], "asked after work, it is an answer"


def test_a_choice_that_nobody_told_counts_by_its_usual_share() -> None:
    """One machine in four has a drain kit: what arises on those only is a quarter as likely until that is told."""
    made = pack(
        [
            cause("pushed", 0.5, {"moved": (0.1, 0.9)}),
            cause("hose", 0.2, {"wet": (0.1, 0.9)}, brought_on_by={"pushed": 0.4}),
        ],
        [observation("wet"), observation("moved")],
    )
    kit = Fact("kit", "Kit?", "choice", MappingProxyType({"yes": "yes", "no": "no"}), usual=KIT)
    of = Fact("of", "Of?", "choice", MappingProxyType({"a": "a", "b": "b"}))
    hose = replace(made.causes["hose"], applies=MappingProxyType({"kit": ("yes",)}))
    causes = MappingProxyType({**made.causes, "hose": hose})
    made = replace(made, facts=MappingProxyType({"kit": kit, "of": of}), causes=causes)

    def chance(**facts: str) -> float:
        return Case(made, facts).confidence()["hose"]

    assert chance(kit="yes") == pytest.approx(1 - 0.8 * (1 - 0.5 * 0.4))
    assert chance() == pytest.approx(1 - (1 - 0.25 * 0.2) * (1 - 0.5 * 0.25 * 0.4))
    assert chance(of="b") == pytest.approx(chance(kit="yes"))
    assert chance(of="b", kit="no") == 0.0
    assert chance(of="a") == chance()


KIT = (
    Usual(MappingProxyType({"of": ("b",)}), MappingProxyType({"yes": 1.0})),
    Usual(MappingProxyType({}), MappingProxyType({"yes": 0.25, "no": 0.75})),
)
