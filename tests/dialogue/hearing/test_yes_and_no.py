"""A bare yes or no is an answer only to what is asked with yes and no."""

from __future__ import annotations

import pytest
from reading_once import shipped

from faultfinder.dialogue.hearing.free_text import ASKS_YES_OR_NO, answer_of, words_of
from faultfinder.dialogue.hearing.line_parser import NotUnderstood, read_piece

PACKS = ("tumble_dryer", "electric_oven", "washing_machine")


@pytest.mark.parametrize("name", PACKS)
@pytest.mark.parametrize("word", ["no", "nope", "yes", "yep", "not"])
def test_how_and_what_are_not_answered_with_yes_or_no(name: str, word: str) -> None:
    for item in shipped(name).observations.values():
        ids = sorted(answer.id for answer in item.answers)
        if ids != ["no", "yes"] and words_of(item.ask)[0] not in ASKS_YES_OR_NO:
            assert answer_of(item, word) == "", item.id


@pytest.mark.parametrize("name", PACKS)
def test_yes_and_no_are_never_the_same_answer(name: str) -> None:
    both = 0
    for item in shipped(name).observations.values():
        yes, no = answer_of(item, "yes"), answer_of(item, "no")
        assert not yes or yes != no, item.id
        both += bool(yes and no)
    assert both >= 5


@pytest.mark.parametrize(
    ("item", "line", "answer"),
    [
        ("wall_duct_seen", "yes", "clear"),
        ("wall_duct_seen", "no", "blocked"),
        ("duct_object_look", "no", "clear"),
        ("cutout_seen", "no", "bridged"),
        ("hp_board_look", "yes", "burnt"),
        ("hose_off_trial", "no", "no_change"),
        ("years_since_clean", "never", "over_six"),
        ("door", "no", ""),
        ("drum_turned_by_hand", "no", ""),
    ],
)
def test_what_yes_and_no_mean_by_the_question(item: str, line: str, answer: str) -> None:
    assert answer_of(shipped("tumble_dryer").observations[item], line) == answer


@pytest.mark.parametrize("word", ["done", "Done.", "finished", "did it"])
def test_done_is_neither_yes_nor_no_and_is_told_what_can_be_answered(word: str) -> None:
    pack = shipped("tumble_dryer")
    read = read_piece(list(pack.observations.values()), word, "damp_on_timed")
    assert isinstance(read, NotUnderstood)
