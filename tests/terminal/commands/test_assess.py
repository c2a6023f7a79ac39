"""`faultfinder assess` as a command: on a phone, for a script, with the own meter, and used wrongly."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from faultfinder.cli import main
from faultfinder.knowledge.load import load_pack

PLATE = ["--pack", "tumble_dryer", "vented", "volts=230", "total_watts=2700"]


@pytest.fixture(autouse=True)
def _a_phone_without_a_meter(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "none"))
    monkeypatch.delenv("FAULTFINDER_METER", raising=False)


@pytest.mark.slow
def test_one_reading_and_a_plate_begin_with_the_answer_and_fit_a_phone(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["assess", *PLATE, "7.4A high"]) == 0
    out = capsys.readouterr().out
    lines = out.splitlines()
    assert max(map(len, lines)) <= 40
    assert " ".join(lines[:3]) == (
        "current on high 7.4A: As with one section alone, 37 % below about 11.8 A (11 to 13.2 A)."
    )
    after = out.replace("\n", " ")
    assert "Points to: High section" in after
    assert out.index("Likely faults:") < out.index("Worth doing next:") < out.index("Before you start.")


@pytest.mark.slow
def test_several_readings_stand_apart_each_with_what_it_says(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", *PLATE, "7.4A high; earth path 0.09", "outlet airflow strong"]) == 0
    out = capsys.readouterr().out
    for name in ("current on high 7.4A", "earth path 0.09", "outlet airflow: Strong"):
        assert f"\n{name}" in f"\n{out}"
    assert "\n\nearth path" in out


@pytest.mark.slow
def test_an_instruction_is_never_printed(capsys: pytest.CaptureFixture[str]) -> None:
    """Steps are named; how to do them is the safety gate's to say, in a job."""
    assert main(["assess", *PLATE, "high section OL"]) == 0
    out = capsys.readouterr().out.replace("\n", " ")
    pack = load_pack("tumble_dryer")
    hows = [item.how for item in pack.observations.values()] + [
        each.remedy_how for each in pack.causes.values()
    ]
    steps = [line.strip() for how in hows for line in how.splitlines() if len(line.strip()) > 25]
    assert len(steps) > 200 and not any(step in out for step in steps)


@pytest.mark.slow
def test_the_own_meter_is_named_where_it_counts(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "meter.txt"
    file.write_text("current up to 20 A: 10 % + 5 digits of 0.1 A\n", encoding="utf-8")
    monkeypatch.setenv("FAULTFINDER_METER", str(file))
    assert main(["assess", *PLATE, "11.3A high"]) == 0
    coarse = capsys.readouterr().out.replace("\n", " ")
    assert (
        "on the borderline between 'As it should be'" in coarse
        and "accuracy of your own meter, from" in coarse
    )
    monkeypatch.setenv("FAULTFINDER_METER", "")
    assert main(["assess", *PLATE, "11.3A high"]) == 0
    assert "on the edge" not in capsys.readouterr().out


@pytest.mark.slow
def test_over_range_is_plain_json(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", "--json", *PLATE, "high section OL"]) == 0
    told = json.loads(capsys.readouterr().out)
    (finding,) = told["findings"]
    assert (finding["value"], finding["off"], finding["uncertainty"]) == ("OL", None, None)
    assert finding["healthy_to"] > finding["healthy_from"] > 0 and told["next_steps"]


@pytest.mark.slow
def test_nothing_given_says_what_to_give(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", "--pack", "tumble_dryer"]) == 0
    assert "give facts (volts=230) and readings" in capsys.readouterr().out.replace("\n", " ")


@pytest.mark.slow
@pytest.mark.parametrize(
    "given",
    [
        "current high 5 kA",
        "high section -33",
        "high section 33 V",
        "curent 7.4",
        "33",
        "tipe=vented",
        "volts=24 kV",
        "type=gass",
        "low to high 0.64",
    ],
)
def test_bad_input_is_one_line_and_status_2(given: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["assess", "--pack", "tumble_dryer", given]) == 2
    told = capsys.readouterr()
    assert told.out == "" and told.err.startswith("faultfinder: ") and told.err.count("\n") == 1
    assert len(told.err) < 400
