"""The person who answers errs at a rate that is learnt, and what is shown of an answer is what it comes to."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest
from job_states import cases_of
from packs import cause, observation, pack

from faultfinder.job.state import followed, replayed
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning import constants
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.inference.mixture import Mixture

HONEST = 0.03
"""How far what is shown of an answer may be from what is shown once it is recorded."""


@pytest.fixture(scope="module")
def dryer() -> Pack:
    return load_pack("tumble_dryer")


def many_looks(count: int) -> Case:
    """A fault that shows in many looks, each by itself quite sure."""
    names = [f"look{n}" for n in range(count)]
    return Case(
        pack(
            [cause("hose", 0.3, {name: (0.05, 0.95) for name in names})],
            [observation(name, background=(0.98, 0.02), reliability=0.99) for name in names],
        )
    )


def test_answers_that_agree_lower_the_rate_of_errors_and_one_against_them_raises_it() -> None:
    case = many_looks(10)
    before = case.error_rate
    assert before == pytest.approx(sum(rate * chance for rate, chance in constants.ERROR_RATES.items()))
    for n in range(9):
        case.record(f"look{n}", "yes")
    agreeing = case.error_rate
    assert agreeing < before and not case.answers_doubted
    case.record("look9", "no")
    assert case.error_rate > agreeing
    for name in ("look8", "look7", "look6"):
        case.record(name, "no")
    assert case.error_rate > constants.DOUBTED and case.answers_doubted


def test_a_doubted_person_is_believed_a_little_less_in_everything() -> None:
    """An answer about something else weighs less once others do not fit together."""
    looks = [f"look{n}" for n in range(6)]
    made = pack(
        [
            cause("hose", 0.3, {name: (0.02, 0.98) for name in looks}),
            cause("belt", 0.02, {"slack": (0.0, 1.0)}),
        ],
        [observation(name, background=(0.99, 0.01), reliability=0.99) for name in (*looks, "slack")],
    )

    def belt(said: str) -> float:
        case = Case(made)
        for n, name in enumerate(looks):
            case.record(name, said if n % 2 else "yes")
        case.record("slack", "yes")
        return case.confidence()["belt"]

    assert belt("no") < belt("yes") - 0.05


def test_what_was_called_over_and_what_the_rules_take_as_certain_is_exempt() -> None:
    made = pack(
        [cause("only", 0.2, {"sure": (0.0, 1.0), "said": (0.1, 0.9)})],
        [observation("sure", reliability=1.0), replace(observation("said"), symptom=True)],
    )
    case = Case(made)
    case.record("sure", "yes")
    case.record("said", "yes", complaint=True)
    assert case.error_rate == pytest.approx(Case(made).error_rate)


def test_an_answer_taken_again_counts_beside_the_first() -> None:
    """P(fault | both) by Bayes, at each rate of errors, then over the rates."""
    made = pack(
        [cause("only", 0.2, {"a": (0.0, 1.0)})], [observation("a", background=(0.9, 0.1), reliability=0.8)]
    )
    case = Case(made)
    case.record("a", "yes")
    shown = case.outlook(["a"])["a"]
    case.record("a", "no", again=True)
    assert [given.answer for given in case.answers] == ["yes", "no"]
    with_fault = without = 0.0
    for rate, prior in constants.ERROR_RATES.items():
        right = (1.0 - rate) * 0.8 + rate * 0.2
        with_fault += prior * 0.2 * right * (1.0 - right)
        without += prior * 0.8 * right * (1.0 - right)
    assert case.confidence()["only"] == pytest.approx(with_fault / (with_fault + without), abs=1e-12)
    assert shown["no"][1]["only"] == pytest.approx(case.confidence()["only"], abs=1e-12)
    assert sum(chance for chance, _ in shown.values()) == pytest.approx(1.0, abs=1e-12)
    case.withdraw("a")
    case.record("a", "no")
    assert [given.answer for given in case.answers] == ["no"]


def test_what_a_hardly_possible_answer_would_do_is_shown_as_well() -> None:
    """So unlikely that it is no difference of two numbers any more, but run as evidence."""
    made = pack(
        [cause("rare", 1e-7, {"sure": (0.0, 1.0)}), cause("other", 0.1, {"sure": (0.9999999, 1e-7)})],
        [observation("sure", background=(1.0 - 1e-9, 1e-9), reliability=1.0)],
    )
    case = Case(made)
    chance, after = case.outlook(["sure"])["sure"]["yes"]
    assert chance < 1e-6
    case.record("sure", "yes")
    assert after == pytest.approx(case.confidence(), abs=1e-9)
    assert after["rare"] > 0.5


def computed(*hangs_on: str) -> Case:
    """Two currents and their ratio, in each of which one fault shows."""
    looks = [observation(name, background=(0.9, 0.1), reliability=0.9) for name in ("high", "low", "ratio")]
    looks[2] = replace(looks[2], computed_from=hangs_on)
    return Case(pack([cause("only", 0.1, {item.id: (0.1, 0.9) for item in looks})], looks))


def test_what_is_computed_from_others_counts_with_them_as_one_answer_less() -> None:
    case, apart = computed("high", "low"), computed()
    for each in (case, apart):
        each.record("high", "yes")
        each.record("low", "yes")
    two = case.confidence()["only"]
    assert two == pytest.approx(apart.confidence()["only"])
    assert sum(case.outlook(["ratio"])["ratio"][answer][0] for answer in ("no", "yes")) == pytest.approx(1.0)
    shown = case.outlook(["ratio"])["ratio"]["yes"][1]["only"]
    case.record("ratio", "yes")
    apart.record("ratio", "yes")
    assert case.confidence()["only"] == pytest.approx(shown, abs=1e-12)
    assert two - 0.08 < case.confidence()["only"] < two + 0.08 < apart.confidence()["only"]


def test_what_asks_the_same_fact_again_counts_once_with_it() -> None:
    case = computed("high")
    case.record("high", "yes")
    once = case.confidence()["only"]
    case.record("ratio", "yes")
    assert case.confidence()["only"] == pytest.approx(once, abs=0.05)
    case.put_right("only")
    case.record("ratio", "yes")
    assert case.evidence()[-1].likelihood == pytest.approx((0.1, 0.9))


@pytest.mark.slow
@pytest.mark.parametrize("demo", ["three_faults", "condenser_block", "ends_early", "technician_readings"])
def test_what_is_shown_of_an_answer_is_what_is_shown_once_it_is_recorded(demo: str, dryer: Pack) -> None:
    """Early and late, of common answers and of rare ones."""
    rng = random.Random(demo)
    for case in cases_of(dryer, demo, (0.2, 0.6, 0.95)):
        names = rng.sample(list(case.mixture().built.candidates), 4)
        case.outlook(names)
        name = names[0]
        for answer, (_, shown) in case.outlook([name])[name].items():
            recorded = case.fork()
            recorded.record(name, answer)
            found = recorded.confidence()
            assert max(abs(found[each] - shown[each]) for each in found) <= HONEST, (name, answer)


@pytest.mark.slow
def test_an_error_is_told_where_links_were_deleted_and_the_same_answers_give_the_same_figures(
    dryer: Pack,
) -> None:
    early, late = cases_of(dryer, "three_faults", (0.02, 0.95))
    assert early.exact and early.standard_error == 0.0
    assert not late.exact and 0.0 < late.standard_error <= HONEST
    again = cases_of(dryer, "three_faults", (0.95,))[0]
    assert again.confidence() == late.confidence()
    assert again.explanations(2) == late.explanations(2)


@pytest.mark.slow
def test_no_answers_are_too_many(dryer: Pack) -> None:
    """Every observation answered, healthy or not, at random: bounded tables, and chances all the same."""
    rng = random.Random(7)
    case = Case(dryer, {"type": "vented"})
    for item in dryer.observations.values():
        case.record(item.id, rng.choice(item.answers).id)
    mixture = case.mixture()
    assert all(run.engine.terms <= 64 * constants.ENTRIES for run in mixture.runs)
    assert all(0.0 <= chance <= 1.0 for chance in case.confidence().values())
    assert len(case.explanations(3)) == 3


@pytest.mark.slow
def test_a_turn_folds_on_the_case_before_it_and_leaves_that_as_it_was(dryer: Pack) -> None:
    from job_states import states_of

    states = states_of(dryer, "ends_early")
    case = replayed(states[0])
    for before, after in zip(states[:14], states[1:15], strict=True):
        told = len(case.answers)
        then = followed(after, case, before)
        assert len(case.answers) == told
        case = then
    afresh = replayed(states[14])
    assert case.evidence() == afresh.evidence() and case.facts == afresh.facts
    assert case.confidence() == afresh.confidence()


def test_a_mixture_is_as_likely_as_its_rates_together(dryer: Pack) -> None:
    (case,) = cases_of(dryer, "technician_readings", (1.0,))
    mixture = Mixture(case.built(), ())
    assert sum(run.share for run in mixture.runs) == pytest.approx(1.0, abs=1e-12)
    assert mixture.runs[0].rate == 0.0
