"""`check` as an author and an editor see it: all problems of all files at once, the status, and the pages."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from rule_files import BASE, beside_base, write_pack

from faultfinder.cli import main
from faultfinder.exits import Exit
from faultfinder.knowledge.authoring.pages import pages
from faultfinder.knowledge.checks import CODES

LINE = re.compile(r"(.+\.yaml):(\d+):(\d+): (error|warning): .+ \[([a-z0-9-]+)\]")
IDLE = "facts:\n  colour: {ask: Colour of the jug, kind: choice, choices: {white: White, steel: Steel}}\n"
TWO_ERRORS = "causes:\n  knob_loose: {title: Knob loose, how_common: often}\nstatez: {}\n"
BROKEN = "causes:\n  - {title: [\n"


def checked(*words: str) -> int:
    try:
        return main(["check", *words])
    except SystemExit as left:
        return int(left.code or 0)


def test_a_clean_pack_is_status_0_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert checked(str(BASE)) == Exit.OK
    assert capsys.readouterr().out == "0 errors, 0 warnings\n"


def test_one_run_tells_every_problem_of_every_file_in_the_order_of_the_files(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = write_pack(tmp_path, base=BASE.read_bytes(), a_broken=BROKEN, b_two=TWO_ERRORS, c_idle=IDLE)
    assert checked(str(folder), "--brief") == Exit.PROBLEMS
    *told, total = capsys.readouterr().out.splitlines()
    found = [LINE.fullmatch(line) for line in told]
    assert all(found)
    places = [(each[1], int(each[2]), int(each[3])) for each in found if each]
    assert places == sorted(places)
    codes = [(Path(each[1]).stem, each[5]) for each in found if each]
    # A file that cannot be read as YAML hides nothing of the others.
    assert codes == [
        ("a_broken", "yaml-syntax"),
        ("b_two", "missing-key"),
        ("b_two", "bad-word"),
        ("b_two", "unknown-key"),
    ]
    assert total == "FAILED: 4 errors, 0 warnings"


def test_warnings_alone_are_status_0_unless_strict(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = beside_base(tmp_path / "pack", IDLE)
    assert checked(str(folder)) == Exit.OK
    assert capsys.readouterr().out.endswith("    ^\n0 errors, 1 warning\n")
    assert checked(str(folder), "--strict") == Exit.PROBLEMS
    assert capsys.readouterr().out.endswith("FAILED: 0 errors, 1 warning\n")


def test_a_script_gets_place_code_level_message_and_hint(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = beside_base(tmp_path / "pack", IDLE)
    assert checked(str(folder), "--json") == Exit.OK
    assert json.loads(capsys.readouterr().out) == {
        "loads": True,
        "accepted": [],
        "problems": [
            {
                "file": f"{folder}/snippet.yaml",
                "line": 2,
                "column": 3,
                "level": "warning",
                "code": "idle-fact",
                "message": "colour: nothing uses this fact",
                "hint": "let a limit or applies: use it, or leave it out",
            }
        ],
    }


def test_a_pack_that_does_not_exist_is_wrong_use(capsys: pytest.CaptureFixture[str]) -> None:
    assert checked("rules/no_such_thing") == Exit.WRONG_USE
    assert "there is no rule pack" in capsys.readouterr().out


def test_without_a_pack_it_says_what_it_needs(capsys: pytest.CaptureFixture[str]) -> None:
    assert checked() == Exit.WRONG_USE
    assert "which pack?" in capsys.readouterr().err


def test_the_schema_is_printed_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert checked("--schema") == Exit.OK
    assert json.loads(capsys.readouterr().out)["$schema"].endswith("draft-07/schema#")


@pytest.mark.slow
def test_a_code_is_explained_and_a_misspelt_one_gets_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    for code in CODES:
        assert checked("--about", code) == Exit.OK
        assert capsys.readouterr().out == pages()[code].text() + "\n"
    assert checked("--about", "look-alike") == Exit.WRONG_USE
    assert 'did you mean "look-alikes"?' in capsys.readouterr().err
    assert checked("--about", "gap") == Exit.WRONG_USE
    assert "known here: band-gap" in capsys.readouterr().err


def test_the_overview_prints_the_implied_totals_their_sum_and_what_wins(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert checked(str(BASE), "--overview") == Exit.OK
    told = capsys.readouterr().out
    assert re.search(
        r"^type: corded: 1\.\d\d faults a job; most often:\n   40\.0% Thick scale", told, re.MULTILINE
    )
    assert (
        'scale_seen: "Bare metal" is healthy; then "A white film"; "A crust" wins over all others\n' in told
    )
