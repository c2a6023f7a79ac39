"""Makes the demo jobs anew: `python tests/helpers/make_demos.py [NAME ...]`, from the top of the checkout.
With `--texts` (and names) only the conversations are written anew, from the records as they stand.

Each scenario says what is wrong with an invented machine and what is seen, heard and measured on it before and
after each repair; the player answers the conversation accordingly and everything else as on a healthy machine.
The record, its expectations and the conversation as text are written to transcripts_demo/. Read the difference
before committing it.
"""

from __future__ import annotations

import io
import math
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from program_walk import GOOD_FIGURES

from faultfinder.dialogue.agenda.rounds import standing_choices
from faultfinder.dialogue.converse import reply, stamped, start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose, AskStopped
from faultfinder.dialogue.prompts.complaint import AskSymptoms
from faultfinder.dialogue.prompts.machine import AskFact
from faultfinder.dialogue.prompts.remedy import AskHandOver, AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.say import Line, Tone
from faultfinder.dialogue.talk import Over, Turn
from faultfinder.dialogue.transcript import retell
from faultfinder.job.events import Event, Expect, Opened
from faultfinder.job.record.event_codec import to_line
from faultfinder.job.record.record import read_record
from faultfinder.job.state import fold
from faultfinder.knowledge.formulas.bands import expected_value, fact_values, limits
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Observation, Pack, Question
from faultfinder.terminal.commands.replay import write_transcript

FOLDER = Path(__file__).parents[2] / "transcripts_demo"
BEGAN = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
MOST = 150


@dataclass(frozen=True)
class Scenario:
    """What is typed at the beginning, and what the machine shows.

    opening: lines typed first, as they are. shows: observation -> answer or reading, or (answer, cause, answer
    once that cause is put right). declined: remedies not carried out. typed: lines that are typed at the first
    step instead of following it. close: how the machine is left. expect: what must come out.
    """

    name: str
    about: str
    opening: Sequence[str]
    shows: Mapping[str, str | tuple[str, str, str]] = field(default_factory=dict)
    declined: Sequence[str] = ()
    typed: Sequence[str] = ()
    close: str = "fit_for_use"
    expect: Expect = Expect()


def healthy(turn: Turn, item: Observation) -> str:
    """What a healthy machine answers."""
    if item.reading is None:
        return item.healthy
    case = turn.talk.case
    values = fact_values(case.pack, case.facts)
    expected = expected_value(item, values)
    low, high = limits(item, values)[0]
    if expected is None or not math.isfinite(expected):
        expected = (
            high * 0.6 if low <= 0 or math.isinf(low) else low * 1.5 if math.isinf(high) else (low + high) / 2
        )
    return f"{expected:.4g} {item.reading.unit}"


def shown(scenario: Scenario, turn: Turn, item: Observation) -> str:
    """What this machine shows now."""
    told = scenario.shows.get(item.id)
    if told is None:
        return healthy(turn, item)
    if isinstance(told, str):
        return told
    before, cause, after = told
    return after if cause in turn.talk.job.put_right else before


def ticked(scenario: Scenario, turn: Turn, item: Question) -> str:
    """The choice of a question that fits what the machine shows; for several, all that fit and none of the others."""
    pack = turn.talk.job.pack
    is_now = {name: shown(scenario, turn, pack.observations[name]) for name in item.observations}
    if item.several:
        fitting = [
            c.id for c in item.choices if all(is_now[name] == answer for name, answer in c.sets.items())
        ]
        return " ".join([*fitting, "none"])
    best = max(item.choices, key=lambda c: (sum(is_now[n] == a for n, a in c.sets.items()), -len(c.sets)))
    return best.id


def looked_at(scenario: Scenario, turn: Turn, targets: Sequence[str]) -> str:
    """What is told at a stop of the last round: the numbers of what is not as it should be, and what is read."""
    pack = turn.talk.job.pack
    parts = ["none"]
    for number, target in enumerate(targets, 1):
        if target in pack.questions:
            standing = set(standing_choices(turn.talk, pack.questions[target]))
            if set(ticked(scenario, turn, pack.questions[target]).split()) - standing - {"none"}:
                parts.append(str(number))
            continue
        item = pack.observations[target]
        value = shown(scenario, turn, item)
        if item.reading is not None or value != item.healthy:
            parts.append(f"{number}: {value}")
    return "; ".join(parts)


def line_for(scenario: Scenario, turn: Turn) -> str:
    """What the person types at this prompt."""
    pack = turn.talk.job.pack
    match turn.talk.current:
        case AskSymptoms(offered=offered):
            told = [n for n, a in offered if shown(scenario, turn, pack.observations[n]) == a]
            return " ".join(dict.fromkeys(told)) or "none"
        case AskTest(target, _):
            if target in pack.questions:
                return ticked(scenario, turn, pack.questions[target])
            return shown(scenario, turn, pack.observations[target])
        case AskCard(_, ("supply_cut_from_afar",)):
            return "1: cannot"
        case AskCard(_, actions):
            return " ".join(GOOD_FIGURES.get(each, str(n)) for n, each in enumerate(actions, 1))
        case AskRound(_, targets):
            return looked_at(scenario, turn, targets)
        case AskTrial(complaints):
            still = [
                name
                for name in complaints
                if shown(scenario, turn, pack.observations[name]) != pack.observations[name].healthy
            ]
            return " ".join(still) or "gone"
        case AskFact():
            return ""
        case AskRemedy(cause):
            return "later" if cause in scenario.declined else turn.ask.words[0]
        case AskRemedyDone():
            return "done"
        case AskHandOver():
            return "ok"
        case AskClose():
            return scenario.close
        case AskStopped():
            return "close"
    raise SystemExit(f"{scenario.name}: nothing to type at {turn.talk.current}")


def play(pack: Pack, scenario: Scenario) -> list[Event]:
    """The events of the scenario's job, stamped, its expectations last."""
    at = BEGAN
    opened = Opened(pack.name, pack.version, pack.fingerprint, at=at.isoformat(timespec="seconds"))
    job, _ = fold(pack, [opened])
    turn = start(job)
    events: list[Event] = [opened, *stamped(turn.events, at, turn.talk.job)]
    lines = [*scenario.opening, *scenario.typed]
    for _ in range(MOST):
        if isinstance(turn.talk.current, Over):
            break
        own = lines and not isinstance(turn.talk.current, AskSymptoms)
        line = lines.pop(0) if own else line_for(scenario, turn)
        remedy = turn.talk.job.remedy if isinstance(turn.talk.current, AskRemedyDone | AskRemedy) else None
        at += timedelta(minutes=remedy.minutes if remedy is not None else 0.75)
        before = turn
        turn = reply(turn.talk, line, at)
        if any(isinstance(item, Line) and item.tone is Tone.ERROR for item in turn.said):
            raise SystemExit(f"{scenario.name}: '{line}' was not taken at {before.ask.label}: {turn.said}")
        events += stamped(turn.events, at, turn.talk.job)
    else:
        raise SystemExit(f"{scenario.name}: no end after {MOST} lines; now at {turn.talk.current}")
    return [*events, scenario.expect]


def write(pack: Pack, scenario: Scenario) -> None:
    events = play(pack, scenario)
    record = FOLDER / f"{scenario.name}.yaml"
    about = "".join(f"# {line}\n" for line in scenario.about.splitlines())
    record.write_text(about + "".join(to_line(event) + "\n" for event in events), encoding="utf-8")
    print(f"{record.name}: {len(events)} events; {write_text(pack, record, events) or 'retold the same'}")


def write_text(pack: Pack, record: Path, events: Sequence[Event]) -> str:
    """Write the conversation of a record beside it; where it differs from the record, or ''."""
    sink = io.StringIO()
    told = retell(pack, events)
    write_transcript(told, sink)
    record.with_suffix(".txt").write_text(sink.getvalue(), encoding="utf-8")
    return told.differs


def main() -> None:
    from demo_scenarios import SCENARIOS

    FOLDER.mkdir(exist_ok=True)
    pack = load_pack("tumble_dryer")
    if sys.argv[1:2] == ["--texts"]:
        wanted = sys.argv[2:]
        for record in sorted(path for path in FOLDER.glob("*.yaml") if not wanted or path.stem in wanted):
            print(record.name, write_text(pack, record, read_record(record).events))
        return
    for scenario in SCENARIOS:
        if len(sys.argv) == 1 or scenario.name in sys.argv[1:]:
            write(pack, scenario)


if __name__ == "__main__":
    main()
