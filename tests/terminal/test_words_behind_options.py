"""Options may stand anywhere among the words of a command."""

from __future__ import annotations

import itertools
import json

import pytest

from faultfinder.cli import main


@pytest.mark.slow
@pytest.mark.parametrize("order", list(itertools.permutations(["type=vented", "--json", "7.4A high"])))
def test_the_words_of_assess_may_stand_on_both_sides_of_an_option(
    order: tuple[str, ...], capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FAULTFINDER_METER", "")
    assert main(["assess", *order]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["facts"] == {"type": "vented"}
    assert [each["observation"] for each in told["findings"]] == ["current_on_high"]


@pytest.mark.parametrize(
    "words",
    [
        ["assess", "type=vented", "--jsn", "7.4A high"],
        ["check", "rules/tumble_dryer", "more"],
        ["report", "a", "b"],
    ],
)
def test_what_belongs_to_nothing_is_wrong_use(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(words)
    assert left.value.code == 2
    assert "unrecognized arguments" in capsys.readouterr().err
