"""The demo jobs come out as written, and the conversation beside each is the one that the program holds."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from faultfinder.dialogue.transcript import retell
from faultfinder.job import events as happened
from faultfinder.job.audit import audit
from faultfinder.job.cases.replay import replay
from faultfinder.job.record.record import read_record
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.terminal.commands.replay import write_transcript

FOLDER = Path(__file__).parents[1] / "transcripts_demo"
RECORDS = sorted(FOLDER.glob("*.yaml"))


@pytest.fixture(scope="module")
def pack() -> Pack:
    return load_pack("tumble_dryer")


def test_there_are_enough_demos_of_the_kinds_promised() -> None:
    """Four at least: three faults at once, typed readings only, a stop at a danger sign, a condenser machine."""
    assert len(RECORDS) >= 4
    events = {path.stem: read_record(path).events for path in RECORDS}
    closed = [e for each in events.values() for e in each if isinstance(e, happened.Closed)]
    assert max(len(event.found) for event in closed) >= 3
    assert any(isinstance(e, happened.DangerSeen) for each in events.values() for e in each)
    assert any(
        isinstance(e, happened.FactGiven) and e.value == "condenser" for each in events.values() for e in each
    )


@pytest.mark.slow
@pytest.mark.parametrize("path", RECORDS, ids=lambda path: path.stem)
def test_a_demo_comes_out_as_written(path: Path, pack: Pack) -> None:
    contents = read_record(path)
    assert not contents.damaged
    result = replay(pack, contents.events)
    assert result.misses == ()
    assert result.expectations >= 1


@pytest.mark.slow
@pytest.mark.parametrize("path", RECORDS, ids=lambda path: path.stem)
def test_the_conversation_beside_a_demo_is_what_is_said(path: Path, pack: Pack) -> None:
    told = retell(pack, read_record(path).events)
    assert told.differs == ""
    sink = io.StringIO()
    write_transcript(told, sink)
    assert sink.getvalue() == path.with_suffix(".txt").read_text(encoding="utf-8")


@pytest.mark.slow
@pytest.mark.parametrize("path", RECORDS, ids=lambda path: path.stem)
def test_a_demo_breaks_no_safety_rule(path: Path, pack: Pack) -> None:
    assert audit(read_record(path).events, pack).violations == ()
