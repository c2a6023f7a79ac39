"""The person's own meter: where its file is found, what a bad one says, and what it changes."""

from __future__ import annotations

from pathlib import Path

import pytest
from running import run_here
from talking import SMALL, small_pack

from faultfinder.errors import FaultFinderError
from faultfinder.job.events import Answered, FactGiven, MeterUsed
from faultfinder.job.record.event_codec import parse_line, to_line
from faultfinder.job.record.record import read_record
from faultfinder.job.state import begin, fold, replayed
from faultfinder.reasoning.case import Case
from faultfinder.terminal.own_meter import own_meter
from faultfinder.trade.readings.meter import meter_from_text

GOOD = "resistance up to 200 ohm: 0.8 % + 3 digits of 0.1 ohm"


@pytest.fixture(autouse=True)
def _no_meter_of_the_house(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.delenv("FAULTFINDER_METER", raising=False)
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))


def test_no_file_is_no_meter_and_no_fault() -> None:
    assert own_meter() is None


def test_the_file_is_found_in_the_folder_of_settings(tmp_path: Path) -> None:
    file = tmp_path / "settings" / "faultfinder" / "meter.txt"
    file.parent.mkdir(parents=True)
    file.write_text(f"# mine\n\n{GOOD}  # the low range\n", encoding="utf-8")
    found = own_meter()
    assert found is not None
    assert (found.path, found.ranges, found.meter) == (file, (GOOD,), meter_from_text(GOOD))


def test_the_file_named_comes_before_the_folder_and_an_empty_name_means_an_ordinary_meter(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    test_the_file_is_found_in_the_folder_of_settings(tmp_path)
    other = tmp_path / "other.txt"
    other.write_text("\ufeffcurrent up to 10 A: 1,5 % + 5 digits of 0.01 A\r\n", encoding="utf-8")
    monkeypatch.setenv("FAULTFINDER_METER", str(other))
    found = own_meter()
    assert found is not None and found.meter.ranges[0].percent == 1.5
    monkeypatch.setenv("FAULTFINDER_METER", "")
    assert own_meter() is None


@pytest.mark.parametrize(
    "data, told",
    [
        (b"resistance: 1 %\n", "line 1: write `resistance up to 200 ohm: 0.8 %"),
        (GOOD.encode() + b"\nresistance up to 2 A: 1 %", "line 2: "),
        (b"resistance up to 200 ohm: 1.2.3 %", "line 1: '1.2.3' is not a percentage"),
        (b"resistance up to OL: 1 %", "line 1: a range and its digit are plain values"),
        (b"resistance up to 200 ohm: 1 % + 3 digits of OL", "line 1: write `resistance up to 200 ohm"),
        (b"resistance up to 200 ohm: 150 %", "line 1: an accuracy of 150 % is not possible"),
        (b"resistence up to 200 ohm: 1 %", "did you mean resistance?"),
        (b"", "names no range"),
        (b"# nothing\n", "names no range"),
        (b"\xff\xfe\x00", "no UTF-8 text"),
        (b"#" * 100_001, "more than 100,000 bytes"),
    ],
)
def test_a_bad_file_is_told_in_one_line_that_names_it(
    data: bytes, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "bad.txt"
    file.write_bytes(data)
    monkeypatch.setenv("FAULTFINDER_METER", str(file))
    with pytest.raises(FaultFinderError) as raised:
        own_meter()
    assert told in str(raised.value) and str(file) in str(raised.value) and "\n" not in str(raised.value)


def test_a_named_file_that_is_not_there_and_a_folder_are_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FAULTFINDER_METER", str(tmp_path / "none.txt"))
    with pytest.raises(FaultFinderError, match="there is no such file"):
        own_meter()
    monkeypatch.setenv("FAULTFINDER_METER", str(tmp_path))
    with pytest.raises(FaultFinderError, match="cannot be read"):
        own_meter()


# -- what it changes --------------------------------------------------------------------------------------


def test_a_reading_counts_with_the_accuracy_of_the_own_meter_where_it_has_a_range() -> None:
    """±(0.8 % + 3 digits of 0.1) at 26.0 ohm: 0.508 ohm, and half of the typed digit, each over the root of 3."""
    facts = {"volts": 230.0, "watts": 2000.0}
    case = Case(small_pack(), facts, meter_from_text(GOOD))
    (judged,) = case.record("element_resistance", "26.0")
    assert judged.uncertainty == pytest.approx(((0.508**2 + 0.05**2) / 3) ** 0.5)
    (above,) = case.record("element_resistance", "260")
    (ordinary,) = Case(small_pack(), facts).record("element_resistance", "260")
    assert above.uncertainty == ordinary.uncertainty


def test_a_coarse_meter_puts_a_reading_on_the_edge_that_a_fine_one_does_not() -> None:
    facts = {"volts": 230.0, "watts": 2000.0}
    top = Case(small_pack(), facts).record("element_resistance", "26")[0].limits[0][1]
    edges = []
    for text in (GOOD, "resistance up to 2000 ohm: 1 % + 5 digits of 1 ohm"):
        (judged,) = Case(small_pack(), facts, meter_from_text(text)).record("element_resistance", top - 2.0)
        edges.append(judged.on_the_edge)
    assert edges == [False, True]


def test_over_range_is_above_the_highest_range_of_the_own_meter() -> None:
    """A meter that ends at 20 ohm shows OL on a healthy element: that says little."""
    small = meter_from_text("resistance up to 20 ohm: 1 %")
    (judged,) = Case(small_pack(), {}, small).record("element_resistance", "OL")
    (ordinary,) = Case(small_pack(), {}).record("element_resistance", "OL")
    assert judged.weights[0] > 0.3 > ordinary.weights[0]


def test_the_record_names_the_meter_so_that_another_computer_weighs_alike() -> None:
    used = MeterUsed((GOOD,), at="2026-03-02T09:00:00+00:00")
    line = to_line(used)
    assert "meter: [" in line and GOOD in line and parse_line(line).event == used
    events = [used, FactGiven("watts", "2000"), Answered("element_resistance", reads="26.0")]
    state, troubles = fold(small_pack(), events)
    assert not troubles and replayed(state).meter == meter_from_text(GOOD)
    state, troubles = fold(small_pack(), [*events, MeterUsed(())])
    assert not troubles and replayed(state).meter is None
    state, troubles = fold(small_pack(), [MeterUsed(("rubbish",))])
    assert state == begin(small_pack()) and "line 1" in troubles[0][1]


@pytest.mark.slow
def test_a_new_job_notes_the_meter_and_a_resumed_one_only_another(tmp_path: Path) -> None:
    file = tmp_path / "meter.txt"
    file.write_text(GOOD, encoding="utf-8")
    jobs, env = tmp_path / "jobs", {"FAULTFINDER_METER": str(file)}
    done = run_here(jobs, "--pack", str(SMALL), lines=["stop"], env=env)
    assert done.returncode == 0 and str(file) in done.stderr
    (record,) = jobs.glob("*.yaml")

    def noted() -> list[tuple[str, ...]]:
        return [event.ranges for event in read_record(record).events if isinstance(event, MeterUsed)]

    assert noted() == [(GOOD,)]
    for more in (env, {}):
        assert (
            run_here(jobs, "resume", str(record), "--pack", str(SMALL), lines=["stop"], env=more).returncode
            == 0
        )
        assert noted() == [(GOOD,)], "the record's own meter goes on to count"
    file.write_text("current up to 10 A: 1 %", encoding="utf-8")
    assert (
        run_here(jobs, "resume", str(record), "--pack", str(SMALL), lines=["stop"], env=env).returncode == 0
    )
    assert noted() == [(GOOD,), ("current up to 10 A: 1 %",)]


@pytest.mark.slow
def test_a_bad_file_keeps_a_new_job_from_beginning(tmp_path: Path) -> None:
    file = tmp_path / "meter.txt"
    file.write_text("rubbish", encoding="utf-8")
    done = run_here(tmp_path / "jobs", "--pack", str(SMALL), env={"FAULTFINDER_METER": str(file)})
    assert done.returncode == 2 and done.stderr.count("\n") == 1 and "line 1: write" in done.stderr
    assert not list(tmp_path.glob("jobs/*"))
