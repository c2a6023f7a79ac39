"""`faultfinder prepare` as a command."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import pytest

from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.terminal.commands import prepare


@pytest.fixture(autouse=True)
def _a_phone(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    monkeypatch.delenv("FAULTFINDER_METER", raising=False)


def run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    prepare.add_arguments(parser)
    return int(prepare.run(parser.parse_args(words)))


def heard(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert run(*words) == 0
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 40
    return " ".join(out.split())


@pytest.mark.slow
def test_what_cannot_wait_stands_first(capsys: pytest.CaptureFixture[str]) -> None:
    out = heard(capsys, "type=vented", "trips_supply")
    assert out.startswith("Until the visit: STOP: The fuse or trip went again and again.")
    assert "Ask first, by telephone" not in out, "the sign is known"


@pytest.mark.slow
def test_a_call_about_a_slow_machine(capsys: pytest.CaptureFixture[str]) -> None:
    out = heard(capsys, "type=vented", "takes_too_long", "--said", "smells funny since we moved it")
    order = [
        "Until the visit:",
        "The customer's words seem to say (not counted;",
        "[burning_smell_reported]",
        "Counted as told: takes too long: Yes.",
        "Likely faults now:",
        "Parts worth taking, with the chance that each is needed:",
        "vent hose (for: Vent hose crushed or kinked)",
        "Instruments, with the chance that each is needed:",
        "Ask first, by telephone:",
        "Have them read the rating plate: ",
        "Worth asking by telephone:",
    ]
    places = [out.find(piece) for piece in order]
    assert -1 not in places and places == sorted(places), dict(zip(order, places, strict=True))


@pytest.mark.slow
def test_words_that_fit_nothing_are_said_to(capsys: pytest.CaptureFixture[str]) -> None:
    out = heard(capsys, "type=vented", "--said", "zzz qqq")
    assert "fit none of the symptoms" in out


@pytest.mark.slow
def test_the_pack_is_told_by_the_symptom_or_the_facts(capsys: pytest.CaptureFixture[str]) -> None:
    assert "Tap shut" in heard(capsys, "takes_no_water")
    assert "Fluff filter clogged" in heard(capsys, "type=vented")
    with pytest.raises(
        UnknownName, match="Several packs understand that: tumble_dryer, washing_machine. Name"
    ):
        run("takes_too_long")


@pytest.mark.slow
def test_a_machine_outside_the_pack_gets_no_other_advice(capsys: pytest.CaptureFixture[str]) -> None:
    out = heard(capsys, "energy=gas", "type=vented")
    assert "gas engineer" in out and "Nothing told so far calls" not in out


@pytest.mark.slow
def test_facts_that_contradict_one_another_are_told(capsys: pytest.CaptureFixture[str]) -> None:
    out = heard(capsys, "type=vented", "volts=240", "total watts=2400", "rated amps=5")
    assert "CAUTION: These do not go together: total watts 2400 W, rated amps 5 A." in out


@pytest.mark.slow
def test_json_is_one_document(capsys: pytest.CaptureFixture[str]) -> None:
    run("type=vented", "takes_too_long", "--said", "leaks", "--yes", "--json")
    told = json.loads(capsys.readouterr().out)
    assert told["said"] == "leaks" and told["until_then"]["use"] == "off_now"
    assert {each["observation"] for each in told["counted"]} == {"takes_too_long", "water_on_floor"}
    assert told["parts"] and told["instruments"][0]["title"] and told["ask"]


@pytest.mark.slow
@pytest.mark.parametrize(
    "words, message",
    [
        ([], "Name one with --pack"),
        (["takes_too_lon"], "Did you mean 'takes_"),
        (["type=vented", "takes_too_lon"], "Did you mean 'takes_too_long'?"),
        (["--pack", "nothing_like_it"], "nothing_like_it"),
        (["type=vented", "will_not_start"], "can be: lights_but_no_start, dead"),
    ],
)
def test_bad_use_is_one_clear_line(words: list[str], message: str) -> None:
    with pytest.raises(FaultFinderError) as raised:
        run(*words)
    assert message in str(raised.value) and "\n" not in str(raised.value)
