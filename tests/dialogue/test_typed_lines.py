"""How typed lines are heard, over a corpus that was written before the program that reads it.

tests/dialogue/lines: what people type at each kind of prompt, with its meaning. What matters most is that
nothing is taken for something else; what is not understood is refused clearly or asked back.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from heard import Heard, corpus, hear

FILES = ("typed.yaml", "three_packs.yaml", "three_people.yaml", "typed_fresh.yaml")
LINES = tuple(Path(__file__).parent / "lines" / name for name in FILES)
UNDERSTOOD = 0.85
"""Share of the lines that must be understood right; measured: see DEVELOPERS.md."""


EVERY = 12
"""One line in so many is typed here; all of them by
`python tests/helpers/heard.py tests/dialogue/lines/t*.yaml`."""


@cache
def heard() -> tuple[Heard, ...]:
    rows = [row for lines in LINES for row in corpus(lines)]
    assert len(rows) > 400
    return tuple(hear(*row) for row in rows[::EVERY])


@pytest.mark.slow
def test_no_line_is_taken_for_something_else() -> None:
    wrong = [(each.at, each.line, each.means, each.came) for each in heard() if each.how == "misheard"]
    assert not wrong


@pytest.mark.slow
def test_most_lines_are_understood_and_the_others_are_refused_clearly() -> None:
    right = [each for each in heard() if each.how in ("right", "asked")]
    assert len(right) >= UNDERSTOOD * len(heard())
    assert all(each.came for each in heard() if each.how == "refused")


@pytest.mark.slow
def test_what_a_person_typed_on_whole_jobs_is_heard_or_asked_back() -> None:
    """Answers in own words, round figures and a plate as it is read out; each was refused or misheard once."""
    rows = [hear(*row) for row in corpus(Path(__file__).parent / "lines" / "by_hand.yaml")]
    assert len(rows) > 15
    assert not [(each.at, each.line, each.means, each.came) for each in rows if each.how != "right"]
