"""How long ago: a figure with a unit of time against answers that are spans."""

from __future__ import annotations

import pytest
from reading_once import shipped

from faultfinder.dialogue.hearing.spans import span_answer


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("3 years", "two_to_six"),
        ("about 4 years ago", "two_to_six"),
        ("6 months", "under_two"),
        ("last month", "under_two"),
        ("ten years", "over_six"),
        ("2 years", "two_to_six"),
        ("23 months", "under_two"),
        ("6 yrs", "two_to_six"),
        ("75 months", "over_six"),
        ("3", ""),
        ("years", ""),
        ("2 to 6 years", ""),
        ("never", ""),
        ("3 years and a bit of fluff", ""),
    ],
)
def test_a_time_falls_into_the_span_that_holds_it_and_a_bare_figure_into_none(line: str, answer: str) -> None:
    item = shipped("tumble_dryer").observations["years_since_clean"]
    assert span_answer(item, line) == answer


def test_what_is_no_question_of_time_takes_no_time() -> None:
    pack = shipped("tumble_dryer")
    took = [item.id for item in pack.observations.values() if span_answer(item, "3 years")]
    assert took == ["years_since_clean"]
