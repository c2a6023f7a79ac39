"""The whole conversation walked, over the shipped packs: everything at every point first, then far and at random.

    python tests/helpers/program_walk.py          # 4,000 long random walks; some minutes
    python tests/helpers/program_walk.py 500      # so many

What must hold stands in walk_rules.py and is looked at after every turn; from where a walk ends there must be a way
to close the job. A stand-in adviser (proposer.py) proposes the steps, since safety must not hang on what is proposed;
some walks are held with the real reasoning.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import lru_cache

import gate_walk
from proposer import WorkOut, drawn, few
from reading_once import shipped
from walk_rules import Broken, Watch, check_record, check_turn, must

import faultfinder.dialogue.talk as talking
import faultfinder.reasoning.evidence.evidence_log as casing
from faultfinder.dialogue import commands
from faultfinder.dialogue.converse import reply, start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose, AskReason, AskStopped
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms
from faultfinder.dialogue.prompts.correct import AskCorrect, AskNewAnswer, AskTakes
from faultfinder.dialogue.prompts.dangers import AskDangers, AskUrgent
from faultfinder.dialogue.prompts.machine import AskFact, AskMachine
from faultfinder.dialogue.prompts.remedy import AskHandOver, AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.prompts.which import AskWhich
from faultfinder.dialogue.say import Tone
from faultfinder.dialogue.talk import Over, Turn
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.state import begin, fold, replayed
from faultfinder.knowledge.model import Access, Fact, Need, Observation, Pack, Question
from faultfinder.reasoning.evidence.links import Links
from faultfinder.safety.actions import ACTIONS

PACKS = ("tumble_dryer", "electric_oven")
MORNING = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
GO_AWAY = "leave and come back"
"""Not typed: the person leaves with `stop` and takes the job up again from its record."""

Typed = tuple[str, float]
"""A line, and how many minutes after the last one it is typed."""


@dataclass(frozen=True)
class Here:
    """A conversation under way, with all that checks it."""

    turn: Turn
    watch: Watch
    events: tuple[Event, ...]
    at: datetime = MORNING

    def typed(self, line: str, minutes: float = 0.5, *, thorough: bool = False) -> Here:
        """After one more line. Raises Broken."""
        if line == GO_AWAY:
            return self._away()
        at = self.at + timedelta(minutes=minutes)
        turn = reply(self.turn.talk, line, at)
        check_turn(self.turn.talk, turn)
        _offered_is_taken(self.turn, line, turn)
        watch = self.watch.after(turn, thorough=thorough)
        return Here(turn, watch, (*self.events, *turn.events), max(at, self.at))

    def _away(self) -> Here:
        left = self.typed("stop")
        must(isinstance(left.turn.talk.current, Over), "stop does not leave")
        return left.taken_up()

    def taken_up(self) -> Here:
        """The job taken up again from its record alone."""
        check_record(self.watch.pack, list(self.events), self.turn.talk)
        job, _ = fold(self.watch.pack, self.events)
        turn = start(job, resumed=True, work_out=self.turn.talk.work_out)
        return Here(turn, self.watch.after(turn), (*self.events, *turn.events), self.at)


def begun(pack: Pack, work_out: WorkOut) -> Here:
    turn = start(begin(pack), work_out=work_out)
    return Here(turn, Watch.over(pack).after(turn), turn.events)


_TAKEN = (AskSymptoms, AskDangers, AskCard, AskRemedy, AskHandOver, AskStopped, AskCorrect, AskTest, AskTrial)


def _offered_is_taken(before: Turn, line: str, turn: Turn) -> None:
    """What was offered by its word is no error when it is chosen, but where a pause came between."""
    paused = any(isinstance(event, happened.Paused) for event in turn.events)
    if line in before.ask.words and isinstance(before.talk.current, _TAKEN) and not paused:
        refused = [item for item in turn.said if getattr(item, "tone", None) is Tone.ERROR]
        must(not refused, f"'{line}' was offered and is refused: {refused[:1]}")


GOOD_FIGURES = {
    **{"tester_proved": "230", "tester_proved_again": "230"},
    **{"dead_line_neutral": "0", "dead_line_earth": "0", "dead_neutral_earth": "0"},
    **{"earth_inside": "0.05 ohm", "earth_at_plug": "0.05 ohm"},
    **{"insulation_inside": "50 Mohm", "insulation_at_plug": "50 Mohm"},
}
"""What is typed for an action that takes what was read, where all is well."""
BAD_FIGURES = {
    **{"tester_proved": "0", "tester_proved_again": "3"},
    **{"dead_line_neutral": "231", "dead_line_earth": "48", "dead_neutral_earth": "110"},
    **{"earth_inside": "0.9 ohm", "earth_at_plug": "OL"},
    **{"insulation_inside": "0.2 Mohm", "insulation_at_plug": "0.05 Mohm"},
}


def one_answer(number: int, action: str, outcome: str) -> str:
    """How a line of a card is answered like this."""
    good = outcome == ACTIONS[action].outcomes[0].id
    figure = GOOD_FIGURES.get(action)
    if figure is not None and good:
        return f"{number}: {figure}"
    bad = outcome in ("tester_fails", "voltage_found", "failed")
    if figure is not None and bad:
        return f"{number}: {BAD_FIGURES[action]}"
    return f"{number}" if good else f"{number}: {outcome.replace('_', ' ')}"


def all_well(actions: tuple[str, ...]) -> str:
    """A whole card ticked, everything as it should be."""
    return ", ".join(one_answer(n, a, ACTIONS[a].outcomes[0].id) for n, a in enumerate(actions, 1))


# -- a way to close from everywhere ----------------------------------------------------------------------


def way_out(here: Here) -> Here:
    """The job closed from here, by a person who confirms what is asked. Raises Broken where there is no way."""
    for closing in ("left_isolated", "handed_over"):
        end = _closed_as(here, closing)
        if end is not None:
            return end
    raise Broken(f"there is no way to close the job from {here.turn.talk.current}")


def _closed_as(here: Here, closing: str) -> Here | None:
    if isinstance(here.turn.talk.current, Over):
        if here.turn.talk.job.closed is not None:
            return here
        here = here.taken_up()
    asked_to_close = 0
    for _ in range(60):
        current = here.turn.talk.current
        match current:
            case Over():
                return here if here.turn.talk.job.closed is not None else None
            case AskStopped():
                here = here.typed("close")
            case AskUrgent():
                here = here.typed("no")
            case AskReason():
                here = here.typed("")
                if isinstance(here.turn.talk.current, AskReason):
                    raise Broken("whoever asked to restart cannot think better of it")
            case AskCard(_, actions) if (
                here.turn.talk.chosen.startswith("close:") or here.turn.talk.gate.stop
            ):
                here = here.typed(all_well(actions))
            case AskFact(fact, True) if here.turn.talk.chosen.startswith("close:"):
                here = here.typed(next(iter(here.watch.pack.facts[fact].choices)))
            case AskClose():
                asked_to_close += 1
                if asked_to_close > 3:
                    return None
                here = here.typed(closing)
            case AskComplaint():
                here = here.typed("")
            case _:
                if isinstance(current, AskDangers | AskSymptoms):
                    here = here.typed("none")
                elif isinstance(current, AskMachine):
                    here = here.typed("end")
                elif isinstance(current, AskFact) and current.required:
                    here = here.typed(next(iter(here.watch.pack.facts[current.fact].choices)))
                else:
                    here = here.typed("end")
    return None


# -- everything, breadth first ---------------------------------------------------------------------------


@dataclass
class Everything:
    """What the breadth-first walk covered."""

    starts: int = 0
    states: int = 0
    turns: int = 0
    depth: int = 0
    whole: bool = False
    """Whether nothing was left to try."""


def alike(here: Here) -> object:
    """What of a conversation decides how it can go on: those that agree in it are walked once."""
    talk = here.turn.talk
    return (
        gate_walk.alike(talk.gate),
        here.watch.shadow,
        talk.current,
        talk.wanted,
        talk.chosen,
        talk.declined,
        talk.shown,
        talk.job.remedy,
        talk.job.closed is not None,
        talk.job.put_right,
        (talk.symptoms_done, talk.dangers_done, talk.machine_done),
        talk.queue,
        tuple(step.target for step in talk.case.steps()),
    )


def every_line(here: Here) -> Iterator[Typed]:
    """All that is worth typing here: each answer, the words that work anywhere, a reading out of turn, an absence."""
    talk = here.turn.talk
    for word in here.turn.ask.words:
        yield word, 0.5
    match talk.current:
        case AskFact(fact, _):
            yield from ((text, 0.5) for text in (some_values(here.watch.pack.facts[fact])))
        case AskTest(target, _) if isinstance(item := talk.job.pack.observations.get(target), Observation):
            if item.reading is not None:
                yield "OL", 0.5
        case AskCard(_, actions):
            yield all_well(actions), 0.5
            yield "1", 0.5
            yield "other", 0.5
            for number, action in enumerate(actions, 1):
                good = [one_answer(n, a, ACTIONS[a].outcomes[0].id) for n, a in enumerate(actions, 1)]
                for outcome in ACTIONS[action].outcomes[1:]:
                    bad = one_answer(number, action, outcome.id)
                    yield bad, 0.5
                    yield ", ".join([*good[: number - 1], bad, *good[number:]]), 0.5
        case AskMachine():
            pack = here.watch.pack
            required = [fact for fact in pack.facts.values() if fact.required and fact.choices]
            for fact in required[:2]:
                yield from ((f"{fact.id.replace('_', ' ')} {choice}", 0.5) for choice in fact.choices)
        case AskRound():
            yield "none", 0.5
            yield "1", 0.5
            yield "1 2; none", 0.5
        case AskReason():
            yield "the fire service has left", 0.5
    for line in ("", "dk", "can't", "danger", "correct", "end", "do 2", "do 3", "do 5", GO_AWAY):
        yield line, 0.5
    yield "likely", 11.0
    yield "steps", -1.0
    for item in inside_readings(here.watch.pack)[:1]:
        yield f"{item.id.replace('_', ' ')} OL", 0.5


def starting_points(pack: Pack) -> dict[str, Here]:
    """The beginning of a job, and the points that a straight job reaches later: supply cut, open, proved dead, work
    inside under way and done, back in use. From each of them everything is tried."""
    here = begun(pack, few)
    points = {"the beginning": here}
    for _ in range(150):
        talk = here.turn.talk
        gate, remedy = talk.gate, talk.job.remedy
        inside = remedy is not None and pack.causes[remedy.cause].remedy_need is Need.OPEN_DEAD
        worked = " after work inside" if gate.opened and talk.job.put_right else ""
        name = f"{talk.current.kind}, {gate.access}{worked}"
        if inside:
            name = f"work inside, {gate.access}"
        if isinstance(talk.current, AskTest | AskRemedy | AskRemedyDone | AskCard | AskRound):
            points.setdefault(name, here)
        if isinstance(talk.current, Over):
            break
        here = here.typed(_straight(here))
    return points


def _straight(here: Here) -> str:
    """What leads on by the shortest way: work inside first, then everything as it should be, then the end."""
    pack, talk = here.watch.pack, here.turn.talk
    match talk.current:
        case AskComplaint():
            return ""
        case AskMachine():
            # The first of each choice is the machine that the pack is for.
            return the_machine(pack)
        case AskSymptoms() | AskDangers() | AskRound():
            return "none"
        case AskFact(fact, required):
            known = pack.facts[fact].choices if fact in pack.facts else {"plug": "plug"}
            return next(iter(known), "unknown") if required else "unknown"
        case AskRemedy(cause):
            return "do" if pack.causes[cause].remedy_need is Need.OPEN_DEAD else "later"
        case AskCard(_, actions):
            return all_well(actions)
        case AskTrial():
            return "gone"
        case AskClose():
            return "fit_for_use"
        case AskTest(target, _):
            item = pack.observations.get(target)
            return item.healthy if item is not None and item.reading is None else "dk"
    return here.turn.ask.words[0]


def the_machine(pack: Pack) -> str:
    """A line for the machine that the pack is for: the first of each choice that it insists on."""
    required = [fact for fact in pack.facts.values() if fact.required and fact.choices]
    return "; ".join(f"{fact.id.replace('_', ' ')} {next(iter(fact.choices))}" for fact in required)


def inside_readings(pack: Pack) -> list[Observation]:
    return [
        item
        for item in pack.observations.values()
        if item.reading is not None and item.need.value == "open_dead" and not item.applies
    ]


def some_values(fact: Fact) -> list[str]:
    if fact.kind == "choice":
        return ["unknown"]
    return ["unknown", f"{(fact.low + fact.high) / 2:g} {fact.unit}"]


def walk_everything(pack: Pack, most: int) -> Everything:
    """Every line at every point, breadth first, until so many turns were made. Raises Broken with the trail."""
    starts = starting_points(pack)
    seen: dict[object, tuple[object, Typed] | None] = dict.fromkeys(map(alike, starts.values()))
    queue = deque((here, 0) for here in starts.values())
    done = Everything(starts=len(starts))
    while queue and done.turns < most:
        here, depth = queue.popleft()
        key = alike(here)
        for typed in dict.fromkeys(every_line(here)):
            try:
                then = here.typed(*typed, thorough=done.turns % 50 == 0)
            except Broken as wrong:
                raise Broken(f"{wrong}\nafter {_trail(seen, key)}\nthen {typed}") from wrong
            done.turns += 1
            done.depth = depth + 1
            if (after := alike(then)) not in seen:
                seen[after] = (key, typed)
                queue.append((then, depth + 1))
                if len(seen) % 25 == 0:
                    try:
                        way_out(then)
                    except Broken as wrong:
                        raise Broken(f"{wrong}\nafter {_trail(seen, after)}") from wrong
    done.states = len(seen)
    done.whole = not queue
    return done


def _trail(seen: dict[object, tuple[object, Typed] | None], key: object) -> list[Typed]:
    lines: list[Typed] = []
    while (link := seen[key]) is not None:
        key, typed = link
        lines.append(typed)
    return lines[::-1]


# -- far and at random -----------------------------------------------------------------------------------

NONSENSE = (
    "",
    " ",
    "?",
    "xyzzy",
    "0",
    "-1",
    "99",
    "1 2 3",
    "OL",
    "-OL",
    "1e308",
    "0x10",
    "33R; 7.4A; 0.12",
    "yes; no",
    ";;;",
    "\u202e0.1 ohm",
    "\x1b[2J",
    "\ud800",
    "a" * 5000,
    "1" * 400 + " ohm",
    "plate",
    "plate volts",
    "plate volts 99999",
    "what if",
    "what if OL",
    "do",
    "do 0",
    "do 999999999999",
    "shows",
    "explain",
    "note",
    "note \x9b31m",
    "why nobody",
    "rules",
    "unknown",
)


@dataclass
class Walker:
    """A person who mostly does what is asked, now and then something else, and sometimes goes away."""

    pack: Pack
    choose: random.Random
    care: float
    """How often the good answer to a safety action is given."""

    def line(self, here: Here) -> Typed:
        choose = self.choose
        minutes = choose.uniform(0.1, 3.0)
        if choose.random() < 0.02:
            minutes = choose.choice((9.9, 10.5, 45.0, 600.0, 20_000.0, -1.0, -3000.0))
        if choose.random() < 0.80:
            return self._answer(here), minutes
        return self._aside(here), minutes

    def _answer(self, here: Here) -> str:
        choose, talk = self.choose, here.turn.talk
        words = here.turn.ask.words
        match talk.current:
            case AskComplaint():
                said = [text for item in self.pack.observations.values() for text in item.said]
                return choose.choice(["", *choose.sample(said, 3)])
            case AskSymptoms():
                return self._some(words, 2)
            case AskDangers():
                return "none" if choose.random() < 0.85 else self._some(words, 2)
            case AskFact(fact, _):
                return self._value(self.pack.facts[fact])
            case AskMachine():
                return choose.choice(["", the_machine(self.pack), self._plate()])
            case AskCard(_, actions):
                return self._card(actions)
            case AskRound(_, targets):
                return "none" if choose.random() < 0.5 else self._round(targets)
            case AskTrial():
                return choose.choice(["gone", "gone", "none", *words])
            case AskTest(target, _) if talk.chosen.startswith("close:") and choose.random() < 0.8:
                # Whoever is ending the job mostly says that the complaint is gone.
                return self.pack.observations[target].answers[0].id
            case AskTest(target, _):
                return self._test(target, words)
            case AskRemedy():
                return choose.choice(("do", "do", "do", "later", "cannot"))
            case AskRemedyDone():
                return words[0] if choose.random() < 0.85 else words[-1]
            case AskHandOver():
                return "ok"
            case AskWhich() | AskNewAnswer() | AskTakes():
                return choose.choice([*words, ""])
            case AskCorrect():
                return choose.choice([*words, ""])
            case AskStopped():
                return choose.choice(("close", "restart"))
            case AskUrgent():
                return choose.choice(("now", "earlier", "no", "no", "1", "what"))
            case AskReason():
                return choose.choice(("", "it was the neighbour's toast", "seen by the fire service"))
            case AskClose() if talk.gate.access is Access.IN_USE and choose.random() < 0.5:
                return "fit_for_use"
            case AskClose():
                return choose.choice([*words, *["go_on"] * 4])
        return "help"

    def _some(self, words: tuple[str, ...], most: int) -> str:
        count = self.choose.randint(0, most)
        numbers = self.choose.sample(range(1, len(words)), min(count, len(words) - 1)) if count else []
        return " ".join(map(str, numbers)) or words[-1]

    def _value(self, fact: Fact) -> str:
        choose = self.choose
        if choose.random() < 0.1:
            return choose.choice(("unknown", "", "1e9", "none"))
        if fact.kind == "choice":
            # Mostly the machine that the pack is for: the first of each.
            return choose.choice([next(iter(fact.choices))] * 3 + list(fact.choices))
        return f"{choose.uniform(fact.low, fact.high):.4g} {fact.unit}"

    def _plate(self) -> str:
        facts = self.choose.sample(list(self.pack.facts.values()), 2)
        return "; ".join(f"{fact.id.replace('_', ' ')} {self._value(fact)}" for fact in facts)

    def _card(self, actions: tuple[str, ...]) -> str:
        """A card answered: all of it, part of it, in any order, now and then with what is not as it should be."""
        choose = self.choose
        if choose.random() > 0.5 + self.care / 2:
            return choose.choice(
                ("other", "yes", "done", "1", "0 0 0", "230", "not sure", "cannot", "1 2 3 4 5 6")
            )
        parts = []
        for number, action in enumerate(actions, 1):
            outcomes = ACTIONS[action].outcomes
            well = choose.random() < self.care
            outcome = outcomes[0].id if well else choose.choice(outcomes).id
            parts.append(one_answer(number, action, outcome))
        if choose.random() < 0.1:
            parts = choose.sample(parts, choose.randint(1, len(parts)))
        return ", ".join(parts)

    def _round(self, targets: tuple[str, ...]) -> str:
        """A stop of the last round: some of it wrong, some of it read."""
        parts = ["none"]
        for number, target in enumerate(targets, 1):
            item = self.pack.observations.get(target)
            if item is not None and item.reading is not None:
                parts.append(f"{number}: {self._says(item)}")
            elif self.choose.random() < 0.3:
                parts.append(str(number))
        return "; ".join(parts)

    def _test(self, target: str, words: tuple[str, ...]) -> str:
        item = self.pack.questions.get(target) or self.pack.observations[target]
        if isinstance(item, Question):
            return self._some((*words, "none"), 2) if item.several else self.choose.choice(words)
        return self._says(item)

    def _says(self, item: Observation) -> str:
        if item.reading is None:
            return self.choose.choice(item.answers).id
        unit = item.reading.unit
        figure = 10 ** self.choose.uniform(-2, 4)
        return self.choose.choice(("OL", f"{figure:.3g} {unit}", f"{figure:.3g}", item.answers[0].id))

    def _aside(self, here: Here) -> str:
        choose, pack = self.choose, self.pack
        kind = choose.randrange(14)
        if kind == 0:
            every = [word for command in commands.COMMANDS for word in command.words]
            return choose.choice((*every, "help more", "do 1", "do 2", "do 4"))
        if kind == 1:
            return choose.choice(("dk", "can't"))
        if kind == 2:
            return "danger"
        if kind == 3:
            return "correct"
        if kind == 4:
            return choose.choice(("end", "steps", "why"))
        if kind == 5:
            return GO_AWAY if choose.random() < 0.5 else "likely"
        if kind in (6, 7, 8):
            item = choose.choice(list(pack.observations.values()))
            return f"{item.id.replace('_', ' ')} {self._says(item)}"
        if kind == 9:
            return f"plate {self._plate()}"
        if kind == 10:
            item = choose.choice(list(pack.observations.values()))
            return f"what if {item.id.replace('_', ' ')} {self._says(item)}"
        if kind == 11:
            cause = choose.choice(list(pack.causes.values()))
            return choose.choice((f"why {cause.title}", f"shows {cause.title}"))
        if kind == 12:
            return choose.choice((f"explain {choose.choice(list(pack.glossary))}", "note seen this before"))
        return choose.choice(NONSENSE)


@dataclass
class Walked:
    """What the random walks covered."""

    walks: int = 0
    turns: int = 0
    longest: int = 0
    closed: Counter[str] = field(default_factory=Counter)
    confirmed: Counter[str] = field(default_factory=Counter)
    events: Counter[str] = field(default_factory=Counter)
    asked: Counter[str] = field(default_factory=Counter)
    shown: Counter[str] = field(default_factory=Counter)
    slowest: float = 0.0

    def note(self, here: Here) -> None:
        self.turns += 1
        self.asked[type(here.turn.talk.current).__name__] += 1
        for event in here.turn.events:
            self.events[event.KEY] += 1
            match event:
                case happened.Confirmed(action, outcome) | happened.ReturnTested(action, outcome):
                    self.confirmed[f"{action}: {outcome}"] += 1
                case happened.Advised(_, access, work):
                    self.shown[f"{access}{' remedy' if work else ''}"] += 1
                case happened.Closed(state):
                    self.closed[state] += 1

    def add(self, other: Walked) -> None:
        self.walks += other.walks
        self.turns += other.turns
        self.longest = max(self.longest, other.longest)
        self.slowest = max(self.slowest, other.slowest)
        for name in ("closed", "confirmed", "events", "asked", "shown"):
            getattr(self, name).update(getattr(other, name))


def walk_at_random(pack: Pack, seed: int, steps: int, work_out: WorkOut | None = None) -> Walked:
    """One long walk; the same for the same seed. Raises Broken with what was typed."""
    choose = random.Random(seed)
    adviser = work_out or drawn(seed, heedless=seed % 4 == 3)
    walker = Walker(pack, choose, choose.choice((0.8, 0.93, 0.985)))
    walked = Walked(walks=1)
    here = begun(pack, adviser)
    lines: list[Typed] = []
    try:
        for number in range(steps):
            if isinstance(here.turn.talk.current, Over):
                if choose.random() < 0.5:
                    break
                lines.append((GO_AWAY, 0.0))
                here = here.taken_up()
            typed = walker.line(here)
            lines.append(typed)
            begin_at = time.perf_counter()
            here = here.typed(*typed, thorough=number % 20 == 0)
            walked.slowest = max(walked.slowest, time.perf_counter() - begin_at)
            walked.note(here)
        check_record(pack, list(here.events), here.turn.talk)
        end = way_out(here)
        check_record(pack, list(end.events), end.turn.talk)
        walked.events.update({"a way to close looked for": 1})
    except Broken as wrong:
        raise Broken(f"seed {seed} over {pack.name}: {wrong}\nafter {lines}") from wrong
    except Exception as fault:
        raise Broken(f"seed {seed} over {pack.name}: {fault!r}\nafter {lines}") from fault
    walked.longest = len(lines)
    return walked


def walk_far(seeds: range, steps: int, work_out: WorkOut | None = None) -> Walked:
    """Random walks over the shipped packs by turns."""
    packs = [shipped(name) for name in PACKS]
    walked = Walked()
    for seed in seeds:
        walked.add(walk_at_random(packs[seed % len(packs)], seed, steps, work_out))
    return walked


@contextmanager
def quick() -> Iterator[None]:
    """While in here what depends on the gate alone, or on the pack alone, is worked out once: the same answers."""
    plain = talking.needs_out_of_reach, casing.turn_round
    known: dict[str, Links] = {}

    def turned_round(pack: Pack) -> Links:
        if pack.fingerprint not in known:
            known[pack.fingerprint] = plain[1](pack)
        return known[pack.fingerprint]

    talking.needs_out_of_reach = lru_cache(maxsize=20_000)(plain[0])
    casing.turn_round = turned_round  # type: ignore[attr-defined]
    try:
        with gate_walk.remembering():
            yield
    finally:
        talking.needs_out_of_reach, casing.turn_round = plain  # type: ignore[attr-defined]


def main(walks: int) -> None:
    began = time.perf_counter()
    with quick():
        for name in PACKS:
            done = walk_everything(shipped(name), most=30_000)
            print(
                f"{name}: every line at {done.states:,} different points, {done.turns:,} turns, up to {done.depth} "
                f"lines from {done.starts} starting points",
                flush=True,
            )
        walked = walk_far(range(walks), steps=120)
        print(
            f"{walked.walks:,} random walks, {walked.turns:,} turns, the longest {walked.longest}: "
            "no violation, and a way to close from where each ended"
        )
        for what in ("closed", "shown", "asked", "events", "confirmed"):
            print(f"  {what}: " + ", ".join(f"{k} {n:,}" for k, n in sorted(getattr(walked, what).items())))
        real = walk_far(range(max(1, walks // 200)), steps=40, work_out=replayed)
        print(
            f"{real.walks:,} walks with the real reasoning, {real.turns:,} turns: the same holds; "
            f"slowest turn {real.slowest:.1f} s"
        )
    print(f"{time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4000)
