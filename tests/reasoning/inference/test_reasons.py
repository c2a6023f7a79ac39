"""Weight of evidence and conflict on a fixed network of four causes and five findings.

The network (a two-level noisy-OR with leaks) and its values were worked out by counting every fault set; the
weight of evidence is that of I. J. Good (1950), in decibans; the measure of conflict is that of Jensen,
Chamberlain, Nordahl and Jensen (1990), natural logarithm.
"""

from __future__ import annotations

from collections.abc import Iterable

import pytest
from packs import cause, observation, pack

from faultfinder.errors import TooWide
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.conflict import conflict
from faultfinder.reasoning.inference.mixture import Mixture
from faultfinder.reasoning.inference.reasons import odds_factor, reasons, unexplained
from faultfinder.reasoning.inference.weighing import Weighing

LINKS = {
    "A": (0.10, {"F0": 0.9, "F1": 0.6, "F4": 0.2}),
    "B": (0.05, {"F0": 0.3, "F2": 0.7}),
    "C": (0.02, {"F1": 0.8, "F2": 0.5}),
    "D": (0.20, {"F3": 0.9, "F4": 0.5}),
}
LEAKS = {"F0": 0.01, "F1": 0.02, "F2": 0.01, "F3": 0.05, "F4": 0.0}
MADE = pack(
    [cause(name, prior, {f: (1 - w, w) for f, w in shows.items()}) for name, (prior, shows) in LINKS.items()],
    [observation(name, background=(1 - leak, leak), reliability=1.0) for name, leak in LEAKS.items()],
)


def answered(**said: int) -> Case:
    case = Case(MADE)
    for name, value in said.items():
        case.record(name, "yes" if value else "no")
    return case


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({"F0": 1}, (0.801400364965, 0.163998987688, 0.02, 0.2)),
        ({"F0": 1, "F1": 1}, (0.985809875664, 0.059596824197, 0.035975559743, 0.2)),
        ({"F0": 1, "F1": 1, "F2": 0}, (0.993377865875, 0.018103923471, 0.017057046738, 0.2)),
        (
            {"F0": 1, "F1": 1, "F2": 1, "F3": 0},
            (0.880777765748, 0.635454718888, 0.298535536969, 0.024390243902),
        ),
        ({"F0": 0, "F2": 1}, (0.010989010989, 0.566537770599, 0.233664916844, 0.2)),
    ],
)
def test_posteriors_of_the_fixed_network(said: dict[str, int], expected: tuple[float, ...]) -> None:
    assert list(answered(**said).confidence().values()) == pytest.approx(expected, abs=1e-11)


def test_weights_in_the_order_answered_add_up_and_leave_one_out_tells_what_it_hinges_on() -> None:
    found = {reason.observation: reason for reason in reasons(answered(F0=1, F1=1, F2=0), "A")}
    assert found["F0"].decibans == pytest.approx(15.601136, abs=1e-5)
    assert found["F1"].decibans == pytest.approx(12.359359, abs=1e-5)
    assert found["F2"].decibans == pytest.approx(3.343095, abs=1e-5)
    assert found["F0"].left_out == pytest.approx(17.901015, abs=1e-5)
    assert found["F1"].left_out == pytest.approx(13.402575, abs=1e-5)


def test_where_a_weight_takes_too_wide_a_table_stronger_links_are_deleted_for_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made = answered(F0=1, F1=1, F2=0).weighing()
    assert made is not None
    node, chances, tried = made.built.begin["A"], Mixture.chances, []
    exact = made.ordered(node)

    def narrow(mixture: Mixture, nodes: Iterable[int]) -> dict[int, float]:
        tried.append(mixture.least)
        if mixture.least < 0.003:
            raise TooWide("with so many links")
        return chances(mixture, nodes)

    monkeypatch.setattr(Mixture, "chances", narrow)
    assert Weighing(made.built, made.rate).ordered(node) == pytest.approx(exact, abs=0.5)
    assert min(tried) == 0.0 and max(tried) == 0.003


def test_an_answer_that_weighs_only_through_another_cause_names_it() -> None:
    """F1 has no link from B; it speaks against B because A now accounts for F0: -4.907 decibans."""
    found = {reason.observation: reason for reason in reasons(answered(F0=1, F1=1, F2=0), "B")}
    assert found["F1"].decibans == pytest.approx(-4.907253, abs=1e-5)
    assert found["F1"].through == "A"
    assert found["F0"].through is None


@pytest.mark.parametrize(
    ("said", "conf"),
    [
        ({"F0": 1, "F1": 1}, -1.674954368),
        ({"F0": 1, "F4": 1}, -0.727516124),
        ({"F0": 0, "F1": 1}, 0.799802969),
        ({"F1": 0, "F2": 1}, 0.151321603),
        ({"F3": 1, "F4": 0}, 0.421428959),
        ({"F0": 1, "F1": 1, "F2": 0}, -1.661105725),
    ],
)
def test_the_measure_of_conflict_agrees_with_the_worked_values(said: dict[str, int], conf: float) -> None:
    case = answered(**said)
    together = case.log_probability_unerring
    assert sum(case.each_alone(case.evidence())) - together == pytest.approx(conf, abs=1e-8)


def test_answers_that_agree_are_no_conflict() -> None:
    assert conflict(answered(F0=1, F1=1)) is None


def test_one_answer_against_several_is_named_as_the_one_that_fits_least() -> None:
    made = pack(
        [cause("hose", 0.3, {f"s{n}": (0.02, 0.98) for n in range(4)})],
        [observation(f"s{n}", background=(0.999, 0.001), reliability=0.95) for n in range(4)],
    )
    case = Case(made)
    for name, said in (("s0", "yes"), ("s1", "no"), ("s2", "no"), ("s3", "no")):
        case.record(name, said)
    clash = conflict(case)
    assert clash is not None and clash.fits_least == "s0"
    assert clash.conf > 1.0 > 0.0 > clash.without


@pytest.mark.parametrize(
    ("decibans", "text"),
    [
        (20.0, "x 100"),
        (-6.02, "/ 4"),
        (8.4, "x 6.9"),
        (27.0, "x 500"),
        (60.0, "x over 10,000"),
        (-41, "/ over 10,000"),
    ],
)
def test_a_weight_is_told_as_what_it_does_to_the_odds(decibans: float, text: str) -> None:
    """By definition: ten decibans are ten to one."""
    assert odds_factor(decibans) == text


def test_what_a_fault_set_leaves_unexplained_is_named() -> None:
    case = answered(F0=1, F3=1)
    assert unexplained(case, frozenset({"A"})) == ["F3"]
    assert unexplained(case, frozenset({"A", "D"})) == []
