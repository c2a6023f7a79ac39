"""What an owner did not speak of: a little evidence against what would show it."""

from __future__ import annotations

import random
from dataclasses import replace
from types import MappingProxyType

import pytest
from packs import cause, observation, pack, random_pack, state

from faultfinder.knowledge.model import Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.network import Finding, Network, Node


def with_symptoms(made: Pack, names: list[str]) -> Pack:
    """The pack with these as symptoms that few sound machines show."""
    items = dict(made.observations)
    for name in names:
        more = [0.01] * (len(items[name].answers) - 1)
        items[name] = replace(items[name], symptom=True, background=(1.0 - sum(more), *more))
    return replace(made, observations=MappingProxyType(items))


def dryer() -> Pack:
    """A blocked hose and an open heater both make it slow; only the heater leaves it cold, by way of no heat."""
    made = pack(
        [
            cause("hose", 0.1, {"slow": (0.1, 0.9)}),
            cause("heater", 0.1, {"slow": (0.1, 0.9), "seen": (0.0, 1.0)}),
        ],
        [observation("slow"), observation("cold"), observation("seen")],
        [state("no_heat", {"heater": 0.8}, {"cold": (0.5, 0.5)})],
    )
    return with_symptoms(made, ["slow", "cold"])


def told(made: Pack, *complaints: str) -> Case:
    case = Case(made)
    for name in complaints:
        case.record(name, "yes", complaint=True)
    return case


def test_what_would_show_in_something_nobody_spoke_of_is_less_likely_by_what_the_table_of_constants_says() -> (
    None
):
    """By hand: of a heater's 1 in 10, 0.8 x 0.5 are cold, and of those 0.3 would have been mentioned."""
    case = told(dryer(), "slow")
    share = 1.0 - 0.3 * 0.8 * 0.5
    leak = 0.1 * share / (0.9 + 0.1 * share)
    nodes = (Node(0.1), Node(leak))
    background = 0.01 * 0.3
    slow = Finding((1.0 - background, background), ((0, (0.1, 0.9)), (1, (0.1, 0.9))))
    hose, heater = Engine(Network(nodes, (slow,)), {0: (0.002, 0.998)}).posterior()
    assert case.confidence()["hose"] == pytest.approx(hose, abs=1e-9)
    assert case.confidence()["heater"] == pytest.approx(heater, abs=1e-9)
    assert case.confidence()["heater"] < case.confidence()["hose"]


def test_it_is_one_more_finding_that_was_not_made_as_a_network_with_it_says() -> None:
    """A mention is a finding of its own, pushed by each fault through 0.3 of what it shows; that it was not made is
    certain. Random packs without bringers, where the two are the same to the last digit."""
    choose = random.Random(11)
    for _ in range(30):
        made = random_pack(choose, causes=6, observations=5)
        causes = {
            name: replace(item, brought_on_by=MappingProxyType({})) for name, item in made.causes.items()
        }
        made = with_symptoms(replace(made, causes=MappingProxyType(causes)), ["o0", "o1", "o2"])
        case = Case(made)
        case.record("o0", made.observations["o0"].answers[1].id, complaint=True)
        base = case.built()
        nodes = tuple(Node(made.causes[name].how_common) for name in base.begin)
        findings = list(base.network.findings)
        evidence = dict(base.evidence_at(0.0))
        for name in ("o1", "o2"):
            pushes = []
            for cause_name, place in base.begin.items():
                if (link := made.causes[cause_name].shows.get(name)) is not None:
                    chance = constants.MENTIONED * (1.0 - link.pushes[0])
                    pushes.append((place, (1.0 - chance, chance)))
            evidence[len(findings)] = (1.0, 0.0)
            findings.append(Finding((1.0, 0.0), tuple(pushes)))
        whole = Engine(Network(nodes, tuple(findings)), evidence).posterior()
        here = Engine(base.network, base.evidence_at(0.0)).posterior()
        for place in base.begin.values():
            assert here[place] == pytest.approx(whole[place], abs=1e-9)


def test_who_did_not_complain_at_all_is_not_taken_to_have_kept_silent() -> None:
    case = Case(dryer())
    assert case.unmentioned() == {}
    case.record("slow", "yes")
    assert case.unmentioned() == {}, "asked, and not told unasked"


@pytest.mark.parametrize("answer", ["no", "yes"])
def test_what_somebody_asks_about_later_was_not_spoken_of_all_the_same(answer: str) -> None:
    """So that what is shown of an answer ahead is what is shown once it is recorded."""
    case = told(dryer(), "slow")
    silence, before = case.unmentioned(), case.confidence()["heater"]
    assert set(silence) == {"heater"}
    case.record("cold", answer)
    assert case.unmentioned() == silence
    assert (case.confidence()["heater"] > before) == (answer == "yes")


def test_what_is_told_unasked_a_little_later_was_spoken_of() -> None:
    case = told(dryer(), "slow")
    case.record("cold", "yes", complaint=True)
    assert case.unmentioned() == {}
    case.withdraw("cold")
    assert set(case.unmentioned()) == {"heater"}


def test_what_shows_after_a_repair_leaves_the_silence_before_it_as_it_was() -> None:
    case = told(dryer(), "slow")
    case.put_right("hose")
    case.record("cold", "yes")
    assert set(case.unmentioned()) == {"heater"}


def test_what_only_sets_the_scene_is_not_expected_of_anybody() -> None:
    made = dryer()
    items = {**made.observations, "cold": replace(made.observations["cold"], background=(0.6, 0.4))}
    assert told(replace(made, observations=MappingProxyType(items)), "slow").unmentioned() == {}


def test_the_chances_shown_ahead_are_those_after_recording() -> None:
    case = told(dryer(), "slow")
    for answer in ("no", "yes"):
        ahead = case.outlook(["cold"])["cold"][answer][1]
        then = case.fork()
        then.record("cold", answer)
        for name, chance in then.confidence().items():
            assert ahead[name] == pytest.approx(chance, abs=1e-9)
