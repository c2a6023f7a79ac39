"""The engine against enumeration of all node sets, and its corners."""

from __future__ import annotations

import math
import random
from collections.abc import Collection

import pytest
from engine_networks import (
    certain,
    enumerate_sets,
    marginals,
    random_network,
    sample_levels,
    soft,
)

from faultfinder.errors import Contradiction, FaultFinderError, TooWide
from faultfinder.reasoning.inference import lookahead as outlook
from faultfinder.reasoning.inference.engine import Engine
from faultfinder.reasoning.inference.lookahead import Outcome
from faultfinder.reasoning.inference.network import Finding, ImpossibleEvidence, Network, Node


def every_node(engine: Engine, outcome: Outcome) -> list[float]:
    """Every node's chance after an answer."""
    return [outcome.after(node) for node in range(len(engine.network.nodes))]


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(20))
def test_posteriors_and_outlook_agree_with_enumeration(seed: int) -> None:
    """Nine nodes with links, seven soft answers on findings of two or three levels."""
    rng = random.Random(seed)
    network = random_network(rng, 9, 14)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(14), 7)}
    engine = Engine(network, evidence)
    total, expected = marginals(enumerate_sets(network, evidence))
    assert engine.log_probability == pytest.approx(math.log(total), abs=1e-10)
    assert engine.posterior() == pytest.approx(expected, abs=1e-10)
    candidates = {
        j: [soft(rng, network.findings[j].levels)]
        + [certain(network.findings[j].levels, k) for k in range(network.findings[j].levels)]
        for j in rng.sample([j for j in range(14) if j not in evidence], 2)
    }
    for index, outcomes in engine.outlook(candidates).items():
        for likelihood, outcome in zip(candidates[index], outcomes, strict=True):
            joint, after = marginals(enumerate_sets(network, {**evidence, index: likelihood}))
            assert outcome.probability == pytest.approx(joint / total, abs=1e-10)
            assert every_node(engine, outcome) == pytest.approx(after, abs=1e-10)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10))
def test_certain_answers_and_findings_of_five_levels_agree_with_enumeration(seed: int) -> None:
    rng = random.Random(50 + seed)
    network = random_network(rng, 8, 12, levels=(2, 4, 5), most_parents=4)
    levels = sample_levels(rng, network)
    evidence = {j: certain(network.findings[j].levels, levels[j]) for j in rng.sample(range(12), 6)}
    evidence[next(iter(evidence))] = tuple(
        rng.random() for _ in range(network.findings[next(iter(evidence))].levels)
    )
    engine = Engine(network, evidence)
    total, expected = marginals(enumerate_sets(network, evidence))
    assert engine.log_probability == pytest.approx(math.log(total), abs=1e-10)
    assert engine.posterior() == pytest.approx(expected, abs=1e-10)
    index = next(j for j in range(12) if j not in evidence)
    for level, outcome in enumerate(
        engine.outlook({index: [certain(network.findings[index].levels, k) for k in range(2)]})[index]
    ):
        joint, after = marginals(
            enumerate_sets(network, {**evidence, index: certain(network.findings[index].levels, level)})
        )
        assert outcome.probability == pytest.approx(joint / total, abs=1e-10)
        assert every_node(engine, outcome) == pytest.approx(after, abs=1e-10)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(10))
def test_chances_of_exactly_0_and_1_are_no_trouble(seed: int) -> None:
    """Leaks, links, backgrounds and pushes drawn from 0, 1 and one number between."""
    rng = random.Random(seed)

    def chance() -> float:
        return rng.choice((0.0, 1.0, 0.3, 0.3))

    nodes = []
    for index in range(7):
        bringers = [other for other in range(index) if rng.random() < 0.2]
        nodes.append(Node(chance(), tuple((bringer, chance()) for bringer in bringers)))
    findings = []
    for _ in range(9):
        links = [(parent, chance()) for parent in rng.sample(range(7), 3)]
        seen = chance()
        findings.append(Finding((1.0 - seen, seen), tuple((p, (1.0 - w, w)) for p, w in links)))
    network = Network(tuple(nodes), tuple(findings))
    levels = sample_levels(rng, network)
    evidence = {j: certain(2, levels[j]) for j in range(5)}
    total, expected = marginals(enumerate_sets(network, evidence))
    engine = Engine(network, evidence)
    assert engine.log_probability == pytest.approx(math.log(total), abs=1e-12)
    assert engine.posterior() == pytest.approx(expected, abs=1e-12)
    for index, outcomes in engine.outlook({j: [certain(2, 0), certain(2, 1)] for j in range(5, 9)}).items():
        for level, outcome in enumerate(outcomes):
            weights = enumerate_sets(network, {**evidence, index: certain(2, level)})
            joint = math.fsum(weights.values())
            assert outcome.probability == pytest.approx(joint / total, abs=1e-12)
            after = marginals(weights)[1] if joint else expected
            assert every_node(engine, outcome) == pytest.approx(after, abs=1e-12)


def test_impossible_evidence_names_a_smallest_set_of_findings() -> None:
    """Finding 0 says the only cause is absent, finding 2 says it is present; finding 1 has no part in it."""
    network = Network(
        (Node(0.1), Node(0.2)),
        (
            Finding((1.0, 0.0), ((0, (0.0, 1.0)),)),
            Finding((0.9, 0.1), ((0, (0.5, 0.5)), (1, (0.5, 0.5)))),
            Finding((1.0, 0.0), ((0, (0.0, 1.0)),)),
        ),
    )
    with pytest.raises(Contradiction, match=r"findings 0, 2 together are impossible: take one") as caught:
        Engine(network, {0: (1.0, 0.0), 1: (0.0, 1.0), 2: (0.0, 1.0)})
    assert isinstance(caught.value, ImpossibleEvidence)
    assert caught.value.findings == (0, 2)


def test_impossible_evidence_that_hangs_together_through_several_causes_is_told() -> None:
    """Finding 0 can be shown by cause 0 or 1 only; findings 1 and 2 rule them out; finding 3 is beside it."""
    network = Network(
        (Node(0.1), Node(0.2), Node(0.3)),
        (
            Finding((1.0, 0.0), ((0, (0.5, 0.5)), (1, (0.5, 0.5)))),
            Finding((1.0, 0.0), ((0, (0.0, 1.0)), (2, (0.5, 0.5)))),
            Finding((1.0, 0.0), ((1, (0.0, 1.0)), (2, (0.5, 0.5)))),
            Finding((1.0, 0.0), ((2, (0.5, 0.5)), (1, (0.5, 0.5)))),
        ),
    )
    with pytest.raises(ImpossibleEvidence) as caught:
        Engine(network, {3: (0.5, 0.5), 0: (0.0, 1.0), 1: (1.0, 0.0), 2: (1.0, 0.0)})
    assert caught.value.findings == (0, 1, 2)


def test_an_abnormal_finding_that_nothing_can_show_is_impossible_by_itself() -> None:
    network = Network((Node(0.1),), (Finding((1.0, 0.0)), Finding((1.0, 0.0), ((0, (1.0, 0.0)),))))
    for index in (0, 1):
        with pytest.raises(ImpossibleEvidence) as caught:
            Engine(network, {index: (0.0, 1.0)})
        assert caught.value.findings == (index,)
    outcomes = Engine(network, {}).outlook({0: [(1.0, 0.0), (0.0, 1.0)], 1: [(0.0, 1.0)]})
    assert [outcome.probability for outcome in outcomes[0]] == [1.0, 0.0]
    assert outcomes[1][0].probability == 0.0
    assert outcomes[1][0].after(0) == 0.1


def test_a_likelihood_of_zeros_is_impossible() -> None:
    with pytest.raises(ImpossibleEvidence):
        Engine(Network((Node(0.5),), (Finding((0.5, 0.5)),)), {0: (0.0, 0.0)})


@pytest.mark.parametrize("likelihood", [(0.5,), (0.5, -0.1), (math.nan, 1.0), (math.inf, 1.0)])
def test_a_likelihood_that_is_none_is_refused(likelihood: tuple[float, ...]) -> None:
    network = Network((Node(0.5),), (Finding((0.5, 0.5), ((0, (0.5, 0.5)),)),))
    with pytest.raises(FaultFinderError, match="evidence on finding 0"):
        Engine(network, {0: likelihood})
    with pytest.raises(FaultFinderError, match="evidence on finding 0"):
        Engine(network, {}).outlook({0: [likelihood]})


def test_an_answer_that_says_nothing_changes_nothing() -> None:
    rng = random.Random(3)
    network = random_network(rng, 9, 14)
    evidence = {j: soft(rng, network.findings[j].levels) for j in range(6)}
    plain = Engine(network, evidence)
    neutral = {j: (0.25,) * network.findings[j].levels for j in range(6, 14)}
    told = Engine(network, evidence | neutral)
    assert told.posterior() == pytest.approx(plain.posterior(), abs=1e-14)
    assert told.log_probability == pytest.approx(plain.log_probability + 8 * math.log(0.25), abs=1e-12)


def test_one_answer_given_twice_counts_twice_only_as_two_findings() -> None:
    """The same finding answered again replaces the answer; a copy of the finding is a second witness."""
    rng = random.Random(4)
    network = random_network(rng, 6, 5)
    again = Network(network.nodes, (*network.findings, network.findings[0]))
    likelihood = soft(rng, network.findings[0].levels)
    once = Engine(again, {0: likelihood})
    assert once.with_evidence({**once.evidence, 0: likelihood}).posterior() == once.posterior()
    total, expected = marginals(enumerate_sets(again, {0: likelihood, 5: likelihood}))
    twice = Engine(again, {0: likelihood, 5: likelihood})
    assert twice.posterior() == pytest.approx(expected, abs=1e-12)
    assert twice.posterior() != pytest.approx(once.posterior(), abs=1e-6)


def test_the_chances_of_the_answers_sum_to_one_and_the_causes_stay_what_they_are_on_average() -> None:
    """Law of total probability over the certain answers to a finding."""
    rng = random.Random(5)
    network = random_network(rng, 40, 60, levels=(2, 3, 4))
    levels = sample_levels(rng, network)
    evidence = {j: certain(network.findings[j].levels, levels[j]) for j in range(10)}
    engine = Engine(network, evidence)
    now = engine.posterior()
    asked = {
        j: [certain(network.findings[j].levels, k) for k in range(network.findings[j].levels)]
        for j in range(10, 60)
    }
    for outcomes in engine.outlook(asked).values():
        assert sum(outcome.probability for outcome in outcomes) == pytest.approx(1.0, abs=1e-12)
        for node in range(40):
            mean = sum(outcome.probability * outcome.after(node) for outcome in outcomes)
            assert mean == pytest.approx(now[node], abs=1e-12)


def test_a_rare_answer_is_as_exact_as_a_common_one() -> None:
    """Its chance is 1e-9 of the other's: a difference would leave six digits; it is run as evidence."""
    nodes = (Node(1e-5), Node(2e-5), Node(0.1))
    findings = (
        Finding((1.0 - 1e-9, 1e-9), ((0, (0.9999, 0.0001)), (1, (0.99995, 0.00005)))),
        Finding((0.9, 0.1), ((0, (0.5, 0.5)), (1, (0.7, 0.3)), (2, (0.2, 0.8)))),
    )
    network = Network(nodes, findings)
    engine = Engine(network, {1: (0.0, 1.0)})
    outcome = engine.outlook({0: [(0.0, 1.0)]})[0][0]
    joint, after = marginals(enumerate_sets(network, {0: (0.0, 1.0), 1: (0.0, 1.0)}))
    total, _ = marginals(enumerate_sets(network, {1: (0.0, 1.0)}))
    assert outcome.probability == pytest.approx(joint / total, rel=1e-7)
    # Enumeration itself takes 1 - (1 - 1e-9) here, so it is good to seven digits only.
    assert every_node(engine, outcome) == pytest.approx(after, rel=1e-6)
    direct = Engine(network, {0: (0.0, 1.0), 1: (0.0, 1.0)}).posterior()
    assert every_node(engine, outcome) == pytest.approx(direct, rel=1e-13)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_reporting_some_nodes_only_gives_the_same_of_them(seed: int) -> None:
    """Nodes that nobody asks for are left loose; what is told of the others is what the whole would say."""
    rng = random.Random(200 + seed)
    network = random_network(rng, 20, 24, links=1.4)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(24), seed)}
    report = sorted(rng.sample(range(20), 9))
    some = Engine(network, evidence, report=report)
    whole = Engine(network, evidence, loose=False)
    assert some.posterior() == pytest.approx(whole.posterior(), abs=1e-11)
    asked = {
        j: [soft(rng, network.findings[j].levels) for _ in range(2)] for j in range(24) if j not in evidence
    }
    for index, outcomes in some.outlook(asked).items():
        for likelihood, outcome in zip(asked[index], outcomes, strict=True):
            after = whole.with_evidence({**evidence, index: likelihood})
            expected = after.posterior()
            gained = math.exp(after.log_probability - whole.log_probability)
            assert outcome.probability == pytest.approx(gained, abs=1e-11)
            assert [outcome.after(n) for n in report] == pytest.approx(
                [expected[n] for n in report], abs=1e-11
            )


@pytest.mark.parametrize("seed", [0, 1, 3])
def test_where_all_nodes_at_once_are_too_wide_each_alone_comes_out_the_same(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rng = random.Random(700 + seed)
    network = random_network(rng, 9, 14)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(14), 3)}
    keeping, kept = Engine.keeping, []

    def narrow(engine: Engine, nodes: Collection[int]) -> Engine:
        kept.append(len(nodes))
        if len(nodes) > 1:
            raise TooWide("all at once")
        return keeping(engine, nodes)

    monkeypatch.setattr(outlook, "TERMS", 0)
    monkeypatch.setattr(Engine, "keeping", narrow)
    _, expected = marginals(enumerate_sets(network, evidence))
    assert Engine(network, evidence, report=()).chances(range(9)) == pytest.approx(expected, abs=1e-10)
    assert kept[0] == 9 and set(kept[1:]) == {1}


def test_a_node_that_was_not_to_be_reported_is_not_told_of() -> None:
    network = Network((Node(0.1), Node(0.2)), (Finding((0.9, 0.1), ((0, (0.5, 0.5)), (1, (0.5, 0.5)))),))
    outcome = Engine(network, {}, report=(0,)).outlook({0: [(0.0, 1.0)]})[0][0]
    assert outcome.after(0) > 0.1
    with pytest.raises(LookupError, match="1"):
        outcome.after(1)


def test_what_an_answer_changes_is_told_apart_from_what_stays() -> None:
    """Two pieces of two causes each: an answer about one leaves the other alone."""
    nodes = tuple(Node(0.1) for _ in range(4))
    findings = tuple(
        Finding((0.9, 0.1), tuple((p, (0.5, 0.5)) for p in pair)) for pair in ((0, 1), (2, 3), (2, 3))
    )
    engine = Engine(Network(nodes, findings), {0: (0.1, 0.9), 1: (0.1, 0.9)})
    outcome = engine.outlook({2: [(0.1, 0.9)]})[2][0]
    assert sorted(outcome.changed) == [2, 3]
    assert every_node(engine, outcome)[:2] == engine.posterior()[:2]


def test_answers_one_after_another_come_to_what_they_come_to_at_once() -> None:
    rng = random.Random(6)
    network = random_network(rng, 30, 40, links=0.0, most_parents=3)
    engine = Engine(network, {})
    evidence: dict[int, tuple[float, ...]] = {}
    for index in rng.sample(range(40), 12):
        evidence[index] = soft(rng, network.findings[index].levels)
        engine = engine.with_evidence(evidence)
        fresh = Engine(network, evidence)
        assert engine.posterior() == fresh.posterior()
        assert engine.log_probability == fresh.log_probability


def test_hundreds_of_unlikely_answers_do_not_underflow() -> None:
    """300 abnormal answers with background 1e-4 in one chain: ln P(e) is about -2000."""
    count = 300
    nodes = tuple(Node(1e-4) for _ in range(count + 1))
    findings = tuple(
        Finding((1.0 - 1e-4, 1e-4), ((i, (0.5, 0.5)), (i + 1, (0.5, 0.5)))) for i in range(count)
    )
    engine = Engine(Network(nodes, findings), {i: (0.0, 1.0) for i in range(count)})
    assert -2100.0 < engine.log_probability < -1000.0
    assert all(0.0 <= p <= 1.0 for p in engine.posterior())
    # The same with every likelihood scaled down is the same posterior.
    scaled = Engine(Network(nodes, findings), {i: (0.0, 1e-30) for i in range(count)})
    assert scaled.posterior() == pytest.approx(engine.posterior(), abs=1e-12)


@pytest.mark.slow
def test_25_abnormal_findings_on_40_shared_causes_are_solved_or_refused_at_once() -> None:
    """Never a hang: exact where the width allows, otherwise TooWide before any number is computed."""
    solved = refused = 0
    for most in (4, 6, 12, 40):
        rng = random.Random(most)
        nodes = tuple(Node(rng.uniform(0.01, 0.1)) for _ in range(40))
        findings = []
        for _ in range(25):
            chosen = rng.sample(range(40), rng.randint(most // 2, most))
            findings.append(Finding((0.99, 0.01), tuple((p, (0.5, 0.5)) for p in chosen)))
        network = Network(nodes, tuple(findings))
        for answer in ((0.0, 1.0), (0.05, 0.95)):
            try:
                engine = Engine(network, {j: answer for j in range(25)})
            except TooWide as refusal:
                assert "table entries or more" in str(refusal)
                refused += 1
            else:
                assert all(0.0 <= p <= 1.0 for p in engine.posterior())
                solved += 1
    assert solved >= 2
    assert refused >= 2


@pytest.mark.slow
def test_an_outlook_that_would_take_too_long_is_refused() -> None:
    rng = random.Random(8)
    nodes = tuple(Node(0.05) for _ in range(40))
    findings = [
        Finding((0.99, 0.01), tuple((p, (0.5, 0.5)) for p in rng.sample(range(40), 7))) for _ in range(2000)
    ]
    network = Network(nodes, tuple(findings))
    engine = Engine(network, {j: (0.05, 0.95) for j in range(18)})
    with pytest.raises(TooWide, match="ask for fewer at a time"):
        engine.outlook({j: [(0.1, 0.9)] for j in range(18, 2000)})


def test_links_that_go_in_a_circle_are_refused() -> None:
    network = Network((Node(0.1, ((1, 0.5),)), Node(0.1, ((0, 0.5),))), ())
    with pytest.raises(ValueError, match="circle"):
        Engine(network, {})


def test_an_empty_network_has_nothing_to_say() -> None:
    engine = Engine(Network((), ()), {})
    assert engine.posterior() == []
    assert engine.log_probability == 0.0
    assert engine.outlook({}) == {}


def test_without_evidence_the_prior_stands() -> None:
    """A chain and a node brought on by two others: closed forms."""
    network = Network(
        (Node(0.1), Node(0.2, ((0, 0.5),)), Node(0.0, ((0, 0.9), (1, 0.8)))), (Finding((0.9, 0.1)),)
    )
    first = 0.1
    second = 1.0 - 0.8 * (1.0 - 0.1 * 0.5)
    # Third: by cases of the first.
    with_first = 1.0 - 0.1 * (1.0 - 0.8 * (1.0 - 0.8 * 0.5))
    without = 0.8 * 0.2
    engine = Engine(network, {})
    third = 0.1 * with_first + 0.9 * without
    assert engine.posterior() == pytest.approx([first, second, third], abs=1e-15)


def just_fitting(network: Network, evidence: dict[int, tuple[float, ...]]) -> Engine:
    """An engine whose limit is the least that takes the evidence."""
    limit = 2
    while True:
        try:
            return Engine(network, evidence, entries=limit)
        except TooWide:
            limit += 1


@pytest.mark.slow
@pytest.mark.parametrize("seed", [16, 134, 206, 265])
def test_an_engine_that_just_fits_its_limit_still_tells_what_every_answer_would_do(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Each answer is run as evidence here, which takes larger tables than the limit that the engine just meets."""
    rng = random.Random(seed)
    network = random_network(rng, 16, 20, links=1.2, most_parents=5)
    evidence = {j: soft(rng, network.findings[j].levels) for j in rng.sample(range(20), 5)}
    roomy = Engine(network, evidence)
    tight = just_fitting(network, evidence)
    asked = {j: [soft(rng, network.findings[j].levels)] for j in range(20) if j not in evidence}
    expected = roomy.outlook(asked)
    monkeypatch.setattr(outlook, "_plan", lambda engine, finding, most: None)
    for index, outcomes in tight.outlook(asked).items():
        told, wanted = every_node(tight, outcomes[0]), every_node(roomy, expected[index][0])
        assert told == pytest.approx(wanted, abs=1e-9)
