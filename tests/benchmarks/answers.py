"""How many answers a job takes: whole practice jobs typed through the real conversation, and counted.

    python tests/benchmarks/answers.py           # 100 jobs on the dryer pack; about 30 s each
    python tests/benchmarks/answers.py 0 10      # the jobs of seeds 0 to 9
    python tests/benchmarks/answers.py 7 8 tell  # one job, the job of seed 7, its prompts in order

The technician is told nothing but the lines of `talk --json`: each prompt with its kind, its options and items, and
the events as they are recorded. What it finds comes from the practice machine.
"""

from __future__ import annotations

import random
import statistics
import sys
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from faultfinder.dialogue.converse import reply, start
from faultfinder.job import events as happened
from faultfinder.job.audit import audit
from faultfinder.job.state import fold
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.practice.answering import Witness
from faultfinder.practice.description import Description
from faultfinder.practice.draw import PracticeJob, draw_job, owners_words
from faultfinder.practice.load import load_practice
from faultfinder.practice.machine import Machine, PracticeError
from faultfinder.practice.making import draw_fault
from faultfinder.safety.actions import ACTIONS
from faultfinder.terminal.commands.talk import as_mapping

MOST = 250
DISTURBED = 0.03
FIGURES = {
    **{"tester_proved": "230", "tester_proved_again": "230"},
    **{"dead_line_neutral": "0", "dead_line_earth": "0", "dead_neutral_earth": "0"},
    **{"earth_inside": "0.06 ohm", "earth_at_plug": "0.06 ohm"},
    **{"insulation_inside": "200 Mohm", "insulation_at_plug": "200 Mohm"},
}
FAILING = {
    **{"earth_inside": "2.5 ohm", "earth_at_plug": "2.5 ohm"},
    **{"insulation_inside": "0.05 Mohm", "insulation_at_plug": "0.05 Mohm"},
}
ADVICE = ("test", "card", "remedy", "hand_over", "round", "close")


@dataclass
class Technician:
    """Somebody at a practice machine, who knows the prompt in front of them and what they said before."""

    pack: Pack
    description: Description
    job: PracticeJob
    machine: Machine
    chance: random.Random
    said: dict[str, str] = field(default_factory=dict)
    closings: list[str] = field(default_factory=list)
    mended: list[str] = field(default_factory=list)
    before: str = "as_found"

    def answer(self, line: dict[str, Any]) -> str:
        """What is typed at a prompt."""
        self._happened(line)
        prompt = line["prompt"]
        kind, _, name = prompt["id"].partition(":")
        ids = [option["id"] for option in prompt["options"]]
        if prompt["kind"] == "complaint":
            return owners_words(self.job)
        if prompt["kind"] == "symptoms":
            own = {*self.job.complaint, *(f"{n}:{a}" for n, a in self.job.complaint.items())}
            return " ".join(word for word in ids if word in own) or "none"
        if prompt["kind"] == "dangers":
            return "none"
        if prompt["kind"] == "machine":
            return "; ".join(f"{n.replace('_', ' ')} {v}" for n, v in self.job.facts.items())
        if prompt["kind"] == "fact":
            return self.job.facts.get(name, "") or (self.machine.facts().get(name, ids[0]) if ids else "")
        if prompt["kind"] == "card":
            return ", ".join(self._ticked(n, item["id"]) for n, item in enumerate(prompt["items"], 1))
        if prompt["kind"] == "test":
            return self._looked(name)
        if prompt["kind"] == "round":
            return self._round(prompt["items"])
        if prompt["kind"] == "trial":
            still = [
                w for w in ids if w.split(":")[0] in self.pack.observations and self._wrong(w.split(":")[0])
            ]
            return " ".join(still) or "gone"
        if prompt["kind"] in ("remedy", "remedy_done", "hand_over", "stopped", "which"):
            return str(ids[0])
        if prompt["kind"] == "close":
            left = [
                word for word in ("fit_for_use", "left_isolated", "handed_over") if word not in self.closings
            ]
            self.closings.append(left[0] if left else "handed_over")
            return self.closings[-1]
        return "1"

    def _happened(self, line: dict[str, Any]) -> None:
        """What was done changes the machine: a remedy carried out, covers put back."""
        for event in line["events"]:
            if event["event"] == "put_right":
                mended = self.machine.without(event["cause"])
                if mended.faults != self.machine.faults:
                    if self.chance.random() < self.pack.causes[event["cause"]].takes:
                        self.machine = mended
                self.mended.append(event["cause"])
                self.closings = []
        if self.before == "open_dead" and line["access"] == "isolated" and self.chance.random() < DISTURBED:
            try:
                fault = draw_fault(self.machine, "our_own_work", self.chance)
                self.machine = self.machine.with_faults((*self.machine.faults, fault))
            except (PracticeError, KeyError):
                pass
        self.before = line["access"]

    def _ticked(self, number: int, action: str) -> str:
        outcome = self.machine.outcome(ACTIONS[action])
        good = outcome == ACTIONS[action].outcomes[0].id
        if action in FIGURES and good:
            return f"{number}: {FIGURES[action]}"
        if action in FAILING and outcome == "failed":
            return f"{number}: {FAILING[action]}"
        return str(number) if good else f"{number}: {outcome.replace('_', ' ')}"

    def _looked(self, name: str) -> str:
        if self.machine.cannot(name):
            return "can't"
        question = self.pack.questions.get(name)
        if question is not None:
            ticked = Witness().choices(self.machine, question, self.chance)
            self.said |= dict.fromkeys((f"{name}:{word}" for word in ticked), "yes")
            return " ".join(ticked)
        item = self.pack.observations[name]
        found = Witness().answer(self.machine, name, self.chance)
        unit = item.reading.unit if item.reading is not None and item.reading.unit != "1" else ""
        bare = found.replace(".", "").replace("-", "").isdigit()
        return f"{found} {unit}".strip() if bare and item.reading is not None and unit != "%" else found

    def _wrong(self, name: str) -> bool:
        found = Witness().answer(self.machine, name, self.chance)
        return found != self.pack.observations[name].healthy

    def _round(self, items: list[dict[str, Any]]) -> str:
        parts = ["none"]
        for number, item in enumerate(items, 1):
            name = item["id"]
            question = self.pack.questions.get(name)
            if self.machine.cannot(name):
                continue
            if question is not None:
                ticked = Witness().choices(self.machine, question, self.chance)
                sets = {choice.id: choice.sets for choice in question.choices}
                new = [word for word in ticked if word in sets and not self._told(sets[word])]
                parts += [str(number)] if new else []
                continue
            found = self._looked(name)
            if item["takes"] == "value":
                parts.append(f"{number}: {found}")
            elif found != self.pack.observations[name].healthy:
                parts.append(str(number))
        return "; ".join(parts)

    def _told(self, sets: Any) -> bool:
        """Whether what a choice says was told before."""
        return all(self.job.complaint.get(name) == answer for name, answer in sets.items())


@dataclass(frozen=True)
class Counted:
    """One job: answers, prompts to the first advice, cards of each way to an open machine, access states gone to."""

    seed: str
    answers: int
    advice: int
    cards: tuple[int, ...]
    access: tuple[str, ...]
    kinds: Counter[str]
    prompts: tuple[str, ...]
    refused: int
    minutes: float
    true: int
    found: int
    closed: str
    violations: int

    @property
    def whole_lists(self) -> int:
        """Answers where a list comes whole and not in pages of a phone: further pages of a test are none then."""
        again = zip(self.prompts, self.prompts[1:], strict=False)
        return self.answers - sum(one == other and one.startswith("test:") for one, other in again)

    @property
    def turns(self) -> int:
        """How often the machine was taken out of use and brought back."""
        return max(0, sum(state == "in_use" for state in self.access) - 1)


def play(pack: Pack, description: Description, seed: int | str) -> Counted:
    """One job to its end. The same seed gives the same job."""
    job = draw_job(pack, description, str(seed))
    person = Technician(pack, description, job, job.machine, random.Random(f"answers:{seed}"))
    opened = happened.Opened(pack.name, pack.version, pack.fingerprint)
    state, _ = fold(pack, [opened])
    turn, at = start(state), datetime(2026, 3, 2, 9, tzinfo=UTC)
    events, answers, advice, run, refused = [opened, *turn.events], 0, 0, 0, 0
    cards: list[int] = []
    access: list[str] = []
    kinds: Counter[str] = Counter()
    prompts: list[str] = []
    line = as_mapping(turn, turn.said, turn.events, turn.ask)
    while line["prompt"]["kind"] and answers < MOST:
        kind = line["prompt"]["kind"]
        advice = advice or (answers + 1 if kind in ADVICE else 0)
        kinds[kind] += 1
        prompts.append(line["prompt"]["id"])
        at += timedelta(minutes=1)
        turn = reply(turn.talk, person.answer(line), at)
        events += turn.events
        answers += 1
        run += kind == "card"
        after = as_mapping(turn, turn.said, turn.events, turn.ask)
        refused += any(item.get("tone") == "error" for item in after["said"])
        if after["access"] != line["access"]:
            access.append(after["access"])
            if after["access"] == "open_dead":
                cards.append(run)
            run = 0 if after["access"] != "open_unproved" else run
        line = after
        if turn.talk.job.closed is not None:
            break
    true = set(job.machine.causes)
    found = true - set(person.machine.causes) | true & set(person.mended)
    closed = turn.talk.job.closed.state if turn.talk.job.closed else ""
    bad = audit(events, pack).violations
    minutes = turn.talk.job.minutes
    return Counted(
        str(seed), answers, advice, tuple(cards), tuple(access), kinds, tuple(prompts), refused, minutes,
        len(true), len(found), closed, len(bad),
    )  # fmt: skip


def main(first: int, last: int, tell: bool = False) -> None:
    pack = load_pack("tumble_dryer")
    description = load_practice(pack, "tumble_dryer")
    rows = []
    for seed in range(first, last):
        row = play(pack, description, seed)
        rows.append(row)
        print(
            f"seed {row.seed}: {row.answers} answers, advice at {row.advice}, cards to open {list(row.cards)}, turns "
            f"{row.turns}, {row.minutes:.0f} min, found {row.found} of {row.true}, {row.closed or 'not closed'}, "
            f"refused {row.refused}, violations {row.violations}; {dict(row.kinds)}",
            flush=True,
        )
        if tell:
            print("   " + " ".join(row.prompts))
    count = sorted(row.answers for row in rows)
    print(
        f"{len(rows)} jobs: median {statistics.median(count)} answers, {sum(n <= 60 for n in count)} of at most 60, "
        f"most {count[-1]}; with whole lists {statistics.median(row.whole_lists for row in rows)}; "
        f"advice at the latest at prompt {max(row.advice for row in rows)}; cards to an open "
        f"machine {max((n for row in rows for n in row.cards), default=0)} at most; turns: "
        f"{dict(sorted(Counter(row.turns for row in rows).items()))}; found {sum(row.found for row in rows)} of "
        f"{sum(row.true for row in rows)}; {statistics.mean(row.minutes for row in rows):.0f} minutes; violations "
        f"{sum(row.violations for row in rows)}"
    )


if __name__ == "__main__":
    main(*(map(int, sys.argv[1:3]) if len(sys.argv) > 2 else (0, 100)), tell=sys.argv[3:] == ["tell"])
