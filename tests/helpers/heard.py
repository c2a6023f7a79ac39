"""How typed lines are heard: each line of a corpus typed at its prompt, and what came of it held against its meaning.

    python tests/helpers/heard.py tests/dialogue/lines/t*.yaml     # counts, and what was not right

right: one of the meanings holds and nothing else was recorded. asked: asked back with what was meant, which one word
confirms. refused: nothing was recorded, and the person was told so or asked back, where something was meant.
misheard: something was recorded that was not meant. What would be best to do next is not worked out: no word's
meaning hangs on it, and with it the same 627 lines came out the same.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import yaml
from program_walk import GOOD_FIGURES, all_well
from proposer import unadvised
from reading_once import shipped

from faultfinder.dialogue.converse import put, reply, start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms, symptom_list
from faultfinder.dialogue.prompts.correct import AskCorrect, AskFactAnew, AskNewAnswer
from faultfinder.dialogue.prompts.dangers import AskDangers, AskUrgent
from faultfinder.dialogue.prompts.machine import AskMachine
from faultfinder.dialogue.prompts.remedy import AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.which import AskWhich
from faultfinder.dialogue.say import Line, Tone
from faultfinder.dialogue.talk import Over, Prompt, Talk, Turn
from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import begin
from faultfinder.knowledge.model import Need
from faultfinder.reasoning.evidence.answers import judge, understand
from faultfinder.reasoning.evidence.facts import read_fact
from faultfinder.safety.tables import WAYS
from faultfinder.trade.readings.reading import parse_reading

EVIDENCE = (
    happened.Answered,
    happened.Chosen,
    happened.FactGiven,
    happened.DangerSeen,
    happened.PutRight,
    happened.ReturnTested,
    happened.Confirmed,
    happened.Corrected,
    happened.Withdrawn,
)
DRYER = "tumble_dryer"
MACHINE = "vented; connection plug; volts 230; protection class_i; total watts 2400"
BEGUN = {
    "electric_oven": ("takes longer", "electric; fan ring; connection plug; volts 230"),
    "washing_machine": ("washing not clean", "front; connection plug; volts 230; total watts 2100"),
}
"""The complaint and the machine that a job begins with on packs that are not the dryer's."""

FIRST_SHOWN = 5
"""Symptoms offered that stand on the first page of a narrow screen."""


@dataclass(frozen=True)
class Heard:
    """One line as it was heard: 'right', 'asked', 'refused' or 'misheard', and what came of it."""

    at: str
    line: str
    means: str
    how: str
    came: str


def type_(turn: Turn, *lines: str) -> Turn:
    for line in lines:
        turn = reply(turn.talk, line)
    return turn


@cache
def base(where: str, kind_of: str = "vented", pack: str = DRYER) -> Turn:
    """A conversation at a prompt of that kind, on a machine of that kind with a complaint."""
    complaint, begun = BEGUN.get(pack, ("takes ages", MACHINE))
    turn = start(begin(shipped(pack)), work_out=unadvised)
    if where == "complaint":
        return turn
    turn = type_(turn, complaint)
    if where == "dangers":
        return turn
    turn = type_(turn, "none")
    if where == "machine":
        return turn
    machine = begun if kind_of != "heat_pump" else begun.replace("total watts 2400", "hp watts 900")
    turn = type_(turn, machine.replace("vented", kind_of.replace("_", " ")))
    if where == "any":
        return at_prompt(turn, AskCard(Need.ISOLATED, WAYS["isolate", "plug"]))
    if where == "prove_dead":
        return at_prompt(turn, AskCard(Need.OPEN_DEAD, WAYS["prove", ""][:5]), ("isolate_open",))
    kind, _, name = where.partition(":")
    if kind == "ask":
        return at_prompt(turn, AskTest(name), access(name, pack))
    if kind == "remedy":
        return at_prompt(
            turn, AskRemedy(name), ("isolate_open", "dead") if name != "vent_hose_crushed" else ()
        )
    if kind == "test":
        actions = ("earth_at_plug",) if name == "earth" else ("insulation_at_plug",)
        return at_prompt(turn, AskCard(Need.IN_USE, actions), ("isolate_open", "dead", "close"))
    raise SystemExit(f"no such place: {where}")


def access(name: str, pack: str) -> tuple[str, ...]:
    """The way to where an observation is made."""
    item = shipped(pack).observations[name]
    return {
        Need.OPEN_DEAD: ("isolate_open", "dead"),
        Need.ISOLATED: ("isolate",),
        Need.IN_USE: ("use",),
    }.get(item.need, ())


def at_prompt(turn: Turn, prompt: Prompt, ways: tuple[str, ...] = ()) -> Turn:
    """The conversation put to this prompt, the machine in the state that the ways lead to."""
    talk = turn.talk
    for way in ways:
        actions = {
            "isolate": WAYS["isolate", "plug"],
            "isolate_open": (*WAYS["isolate", "plug"], *WAYS["open", ""]),
            "dead": WAYS["prove", ""],
            "use": WAYS["use", ""],
            "close": ("earth_inside", "insulation_inside", *WAYS["close", ""]),
        }[way]
        actions = tuple(a for a in actions if not (a == "dangers_answered" and talk.gate.danger_list))
        from faultfinder.dialogue.talk import after
        from faultfinder.safety.actions import ACTIONS, RETURN_TESTS
        from faultfinder.safety.gate import open_actions

        for action in actions:
            if action not in {each.id for each in open_actions(talk.gate)}:
                continue
            good = ACTIONS[action].outcomes[0].id
            event: Event = happened.Confirmed(action, good)
            if action in RETURN_TESTS:
                event = happened.ReturnTested(action, good, reads=GOOD_FIGURES[action])
            talk = after(talk, [event])
    wanted = prompt.need if isinstance(prompt, AskCard) and prompt.need is Need.OPEN_DEAD else None
    talk = replace(talk, current=prompt, chosen=getattr(prompt, "target", ""), wanted=wanted)
    said, ask = put(talk)
    from faultfinder.dialogue.say import Option

    texts = tuple((item.word, item.text) for item in said if isinstance(item, Option))
    ask = replace(ask, texts=texts, kind=prompt.kind, key=prompt.key())
    return Turn(replace(talk, asked=ask), (), tuple(said), ask)


def machine_for(means: str, of: str) -> str:
    """The kind of machine that a meaning is about."""
    pack = shipped(of)
    for name in re.findall(r"(?:ans|sym|read) (\w+)=", means):
        applies = pack.observations[name].applies.get("type") if name in pack.observations else None
        if applies and "vented" not in applies:
            return applies[0]
    return "vented"


def hear(at: str, line: str, means: str, pack: str = DRYER) -> Heard:
    """Type one line and judge what came of it."""
    before = base(at, machine_for(means, pack), pack)
    turn = reply(before.talk, line)
    evidence = [event for event in turn.events if isinstance(event, EVIDENCE)]
    if at == "dangers":
        # None of the signs: the list is confirmed, and what it asks for in other words is denied.
        observations = before.talk.job.pack.observations
        evidence = [
            event
            for event in evidence
            if not isinstance(event, happened.Confirmed)
            and not (
                isinstance(event, happened.Answered)
                and event.value == observations[event.observation].healthy
            )
        ]
    came = "; ".join(map(_short, turn.events)) or "; ".join(
        item.text for item in turn.said if isinstance(item, Line) and item.tone in (Tone.ERROR, Tone.QUESTION)
    )
    for alternative in means.split(" | "):
        parts = [part.strip() for part in alternative.split(";") if part.strip()]
        if all(_holds(part, before.talk, turn, evidence) for part in parts) and _no_more(
            parts, turn, evidence
        ):
            return Heard(at, line, means, "right", came)
    current = turn.talk.current
    if isinstance(current, AskSymptoms) and not evidence:
        # Asked back with what it may mean. The list of all symptoms is what comes of a line that means nothing too.
        offered = [f"{name}={answer}" for name, answer in current.offered]
        short = len({name for name, _ in current.offered}) < len(symptom_list(before.talk))
        shown = offered[:FIRST_SHOWN] if short else []
        if any(
            all(part.strip().removeprefix("sym ") in shown for part in alternative.split(";"))
            for alternative in means.split(" | ")
        ):
            return Heard(at, line, means, "asked", came)
    if isinstance(current, AskWhich) and not evidence:
        if any(_offers(current, alternative) for alternative in means.split(" | ")):
            return Heard(at, line, means, "asked", came)
    return Heard(at, line, means, "misheard" if evidence else "refused", came)


def _offers(asked: AskWhich, means: str) -> bool:
    """Whether what is asked back is what was meant."""
    word, _, rest = means.partition(" ")
    name, _, value = rest.partition("=")
    if word not in ("ans", "read", "sym") or name not in asked.which.observations:
        return False
    answer = asked.which.answer
    digits = [re.sub(r"[^0-9.]", "", text.replace(",", ".")) for text in (answer, value)]
    return answer == value or (word == "read" and digits[0] == digits[1])


def _short(event: Event) -> str:
    match event:
        case happened.Answered():
            return f"{event.observation}={event.reads or event.value}"
        case happened.FactGiven():
            return f"fact {event.fact}={event.value}"
        case happened.Confirmed() | happened.ReturnTested():
            return f"{event.KEY} {getattr(event, 'action', getattr(event, 'test', ''))}={event.outcome} {event.reads}"
    return str(event)[:70]


def _no_more(parts: list[str], turn: Turn, evidence: list[Event]) -> bool:
    """Whether nothing was recorded beside what was meant."""
    meant = set()
    for part in parts:
        word, _, rest = part.partition(" ")
        if word in ("sym", "ans", "read", "fact"):
            meant.add(rest.split("=")[0])
        elif word in ("danger", "value", "stop", "done", "cmd"):
            return True
    for event in evidence:
        if isinstance(event, happened.Withdrawn) and "cmd undo" in parts:
            continue
        name = getattr(event, "observation", getattr(event, "fact", ""))
        if name and name not in meant:
            return False
    return True


def _holds(part: str, before: Talk, turn: Turn, evidence: list[Event]) -> bool:
    word, _, rest = part.partition(" ")
    name, _, value = rest.partition("=")
    pack = before.job.pack
    match word:
        case "sym" | "ans":
            if rest == "none":
                return not evidence
            item = pack.observations[name]
            for event in evidence:
                if isinstance(event, happened.Answered) and event.observation == name:
                    if event.value == value:
                        return True
                    given = understand(item, event.reads or event.value, 0)
                    return judge(pack, item, given, turn.talk.case.facts).answer == value
                if isinstance(event, happened.Chosen):
                    sets = turn.talk.case.choices(pack.questions[event.question], event.value)
                    if sets.get(name) == value:
                        return True
            return False
        case "read":
            item = pack.observations[name]
            assert item.reading is not None
            for event in evidence:
                if isinstance(event, happened.Answered) and event.observation == name:
                    return _same(event.reads or event.value, value, item.reading.quantity, item.reading.unit)
            return False
        case "fact":
            for event in evidence:
                if isinstance(event, happened.FactGiven) and event.fact == name:
                    try:
                        one, other = (
                            read_fact(pack.facts[name], event.value),
                            read_fact(pack.facts[name], value),
                        )
                    except FaultFinderError:
                        return event.value == value
                    return one == other or (
                        isinstance(one, float) and abs(one - float(other)) < 1e-6 * abs(one)
                    )
            return False
        case "danger":
            if isinstance(turn.talk.current, AskUrgent):
                # Heard before anything else, what to do told at once, and asked back.
                return rest in turn.talk.current.signs and not evidence
            if rest in set(turn.talk.gate.signs) - set(before.gate.signs):
                return True  # an answer that tells of the sign: a plug that is browned
            return any(isinstance(event, happened.DangerSeen) and event.sign == rest for event in turn.events)
        case "done":
            if rest == "all":
                return _all_dead(turn)
            return any(isinstance(event, happened.PutRight) and event.cause == rest for event in evidence)
        case "value":
            found = [event for event in evidence if isinstance(event, happened.ReturnTested)]
            if not found or not found[0].reads:
                return False
            unit = "ohm" if found[0].test.startswith("earth") else "Mohm"
            return _same(found[0].reads, rest, "resistance", unit)
        case "stop":
            return "voltage_when_isolated" in turn.talk.gate.signs
        case "askback" | "refuse":
            return not evidence and not isinstance(turn.talk.current, Over)
        case "cmd":
            return _command(rest, before, turn, evidence)
    raise SystemExit(f"no such meaning: {part}")


def _all_dead(turn: Turn) -> bool:
    ticks = turn.talk.current.ticks if isinstance(turn.talk.current, AskCard) else ()
    dead = {tick.action for tick in ticks if tick.outcome == "dead"}
    written = [event for event in turn.events if isinstance(event, happened.Confirmed)]
    return dead | {event.action for event in written if event.outcome == "dead"} >= {
        "dead_line_neutral",
        "dead_line_earth",
        "dead_neutral_earth",
    }


def _same(one: str, other: str, quantity: str, unit: str) -> bool:
    try:
        left, right = (parse_reading(text.replace("OL@", ">"), quantity, unit) for text in (one, other))
    except FaultFinderError:
        return one.strip("<>") == other.strip("<>")
    if str(left.value) == str(right.value) == "inf":
        return True
    if "inf" in (str(left.value), str(right.value)):
        return other.strip("<>").upper() in one.upper() or one.strip("<>").upper() in other.upper()
    return left.value == right.value or abs(left.value - right.value) < 1e-6 * abs(right.value)


def _command(rest: str, before: Talk, turn: Turn, evidence: list[Event]) -> bool:
    evidence = [event for event in evidence if not _is_skip(event)]
    if evidence and not rest.startswith(("correct", "undo")):
        return False
    word, _, about = rest.partition(" ")
    said = " ".join(item.text for item in turn.said if isinstance(item, Line))
    errors = any(isinstance(item, Line) and item.tone is Tone.ERROR for item in turn.said)
    match word:
        case "how" | "help" | "why" | "what_else" | "what_if":
            return not errors and turn.talk.current == before.current and bool(said)
        case "stop":
            return isinstance(turn.talk.current, Over)
        case "end":
            return isinstance(turn.talk.current, AskClose)
        case "likely" | "steps" | "explain":
            return not errors and turn.talk.current == before.current and bool(said)
        case "danger":
            return isinstance(turn.talk.current, AskDangers)
        case "undo":
            return "back" in said.casefold() or "undo" in said.casefold()
        case "correct":
            current = turn.talk.current
            named = isinstance(current, AskNewAnswer) and current.observation.startswith(about)
            named = named or (isinstance(current, AskFactAnew) and current.fact.startswith(about))
            return named or isinstance(current, AskCorrect) or (about.replace("_", " ") in said and errors)
        case "skip":
            skipped = any(isinstance(e, happened.Skipped) and e.because == "dont_know" for e in turn.events)
            return skipped or (isinstance(before.current, AskMachine) and "Type one of" in said)
        case "cannot":
            skipped = any(isinstance(e, happened.Skipped) and e.because == "cannot_here" for e in turn.events)
            noted = any(isinstance(e, happened.Noted) for e in turn.events)
            declined = turn.talk.declined != before.declined
            return skipped or noted or declined or any(_is_skip(e) for e in turn.events)
        case "later":
            return turn.talk.declined != before.declined
        case "no_dangers":
            return turn.talk.dangers_done and not isinstance(turn.talk.current, AskDangers)
    raise SystemExit(f"no such command: {rest}")


def _is_skip(event: Event) -> bool:
    return isinstance(event, happened.ReturnTested) and event.outcome == "skipped"


def corpus(path: Path) -> Iterator[tuple[str, str, str, str]]:
    for row in yaml.safe_load(path.read_text(encoding="utf-8"))["lines"]:
        yield row["at"], str(row["line"]), str(row["means"]), row.get("pack", DRYER)


def main(paths: list[str]) -> None:
    heard = [hear(*row) for path in paths for row in corpus(Path(path))]
    for how in ("misheard", "refused"):
        for each in heard:
            if each.how == how:
                print(f"{how}: {each.at}: {each.line!r} means {each.means!r}; came {each.came[:150]!r}")
    hows = ("right", "asked", "refused", "misheard")
    counts = {how: sum(each.how == how for each in heard) for how in hows}
    print(", ".join(f"{how} {count} ({count / len(heard):.0%})" for how, count in counts.items()))


__all__ = ["AskComplaint", "AskRemedyDone", "AskSymptoms", "Heard", "all_well", "corpus", "hear"]

if __name__ == "__main__":
    main(sys.argv[1:])
