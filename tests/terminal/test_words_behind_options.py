"""Options may stand anywhere among the words of a command."""

from __future__ import annotations

import itertools
import json
from pathlib import Path

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


def test_a_folder_named_before_the_command_is_the_commands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """It was passed over once: records were brought into the folder of the environment."""
    theirs, mine, elsewhere = (tmp_path / name for name in ("theirs", "mine", "elsewhere"))
    for folder in (theirs, mine, elsewhere):
        folder.mkdir()
    demo = Path(__file__).parents[2] / "transcripts_demo" / "ends_early.yaml"
    (theirs / demo.name).write_bytes(demo.read_bytes())
    monkeypatch.setenv("FAULTFINDER_JOBS", str(elsewhere))
    assert main(["--jobs", str(mine), "jobs", "--import", str(theirs)]) == 0
    assert [path.name for path in mine.glob("*.yaml")] == [demo.name]
    assert not list(elsewhere.iterdir())
    capsys.readouterr()
    assert main(["--jobs", str(elsewhere), "jobs", "--jobs", str(mine)]) == 0
    assert "ends_early" in capsys.readouterr().out, "what stands behind the command comes first"


@pytest.mark.parametrize("option", [["--about", "who.txt"], ["--no-record"], ["--seen"]])
def test_an_option_that_the_command_has_not_is_refused_and_not_passed_over(
    option: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as left:
        main([*option, "jobs"])
    assert left.value.code == 2
    assert f"{option[0]} belongs to a conversation" in capsys.readouterr().err
