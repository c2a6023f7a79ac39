"""What a trainer's bench does besides telling problems: carets, mending, coverage that fails, reports, mutation."""

from __future__ import annotations

import json
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from seeded_edits import MISTAKES, edited, kettle, told

from faultfinder.cli import main

MISSPELT = next(edit for edit in MISTAKES if edit["name"] == "title_misspelt_key")


def test_below_a_problem_stand_its_line_and_a_caret(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pack = edited(tmp_path, MISSPELT)
    assert main(["check", str(pack)]) == 1
    lines = capsys.readouterr().out.split("\n")
    assert lines[1:3] == ["    titel: Flex damaged", "    ^"]
    assert main(["check", str(pack), "--brief"]) == 1
    assert "    ^" not in capsys.readouterr().out


def test_mending_shows_what_it_writes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pack = edited(tmp_path, MISSPELT)
    assert main(["check", str(pack), "--mend"]) == 0
    shown = capsys.readouterr().out
    assert "-    titel: Flex damaged\n+    title: Flex damaged\n" in shown and "mended: 1 place\n" in shown
    assert told(pack) == []


def test_a_file_with_changes_that_are_not_committed_is_mended_with_consent_only(tmp_path: Path) -> None:
    pack = edited(tmp_path, MISSPELT)
    made = subprocess.run(["git", "init", "-q"], cwd=pack, check=False, capture_output=True)
    if made.returncode:
        pytest.skip("no git here")
    before = (pack / "base.yaml").read_bytes()
    assert main(["check", str(pack), "--mend"]) == 2
    assert (pack / "base.yaml").read_bytes() == before
    assert main(["check", str(pack), "--mend", "--anyway"]) == 0
    assert (pack / "base.yaml").read_bytes() != before


def test_line_ends_and_the_mark_at_the_beginning_survive_mending(tmp_path: Path) -> None:
    pack = edited(tmp_path, MISSPELT)
    base = pack / "base.yaml"
    base.write_bytes(b"\xef\xbb\xbf" + base.read_bytes().replace(b"\n", b"\r\n"))
    assert main(["check", str(pack), "--mend"]) == 0
    data = base.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf") and data.count(b"\r\n") == data.count(b"\n") > 100


def test_coverage_below_what_is_asked_for_fails(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    pack = str(kettle(tmp_path))
    assert main(["try", pack, "--least", "causes=10"]) == 0
    assert main(["try", pack, "--least", "causes=90", "--least", "links=1"]) == 1
    assert "FAILED: 30 % of the causes are exercised; at least 90 % are asked for" in capsys.readouterr().out


@pytest.mark.parametrize("wrong", ["causes", "causes=101", "faults=50", "causes=-1"])
def test_a_least_coverage_that_means_nothing_is_refused(wrong: str, tmp_path: Path) -> None:
    with pytest.raises(SystemExit) as left:
        main(["try", str(kettle(tmp_path)), "--least", wrong])
    assert left.value.code == 2


def test_the_report_for_build_servers_counts_every_case_once(tmp_path: Path) -> None:
    pack = kettle(tmp_path)
    case = pack / "cases" / "contacts_of_the_base.yaml"
    case.write_text(case.read_text(encoding="utf-8").replace("burnt: 0.8", "burnt: 0.9999"), encoding="utf-8")
    out = tmp_path / "cases.xml"
    assert main(["try", str(pack), "--junit", str(out)]) == 1
    suite = ET.parse(out).getroot()
    assert (suite.tag, suite.get("tests"), suite.get("failures"), suite.get("errors")) == (
        "testsuite",
        "2",
        "1",
        "0",
    )
    failed = [case.get("name") for case in suite if case.find("failure") is not None]
    assert failed == ["contacts_of_the_base"]


@pytest.mark.slow
def test_mutation_finds_what_a_case_leans_on_and_what_none_notices(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pack = kettle(tmp_path)
    assert main(["try", str(pack), "--quiet", "--json", "--mutate"]) == 0
    told_of = json.loads(capsys.readouterr().out)
    assert set(told_of) == {"links", "limits", "access"}
    links = told_of["links"]
    unseen = {each["what"] for each in links["unnoticed"]}
    assert links["noticed"] + len(unseen) == links["total"]
    # No case has a damaged flex; the burnt contacts are found by one look.
    assert "flex_damaged shows flex_seen: yes: taken out" in unseen
    assert "base_contacts_burnt shows contacts_seen: burnt: taken out" not in unseen


def test_the_schema_of_a_pack_offers_its_ids(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(kettle(tmp_path)), "--schema"]) == 0
    schema = json.loads(capsys.readouterr().out)
    cause = next(iter(schema["properties"]["causes"]["patternProperties"].values()))["properties"]
    assert (
        "scale_seen" in cause["shows"]["properties"] and "scale_thick" in cause["brought_on_by"]["properties"]
    )
    assert "scale_seen" in cause["proof"]["items"]["anyOf"][0]["enum"]
