"""Every move that safety knows, as events, and a breadth-first walk over all combinations they can reach.

Each event goes to the gate and to the audit's shadow, which share no code; what must hold in every state reached
is written here once more, in the words of the rules and not of the code.
"""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Hashable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Generic, TypeVar

from faultfinder.errors import Refused
from faultfinder.job import audit_model as audit
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Access, Cause, Hazard, Kind, Need, Observation, Step
from faultfinder.safety import closing, gate_state, instructions, transitions
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS
from faultfinder.safety.tables import CLOSINGS, LEAVE, VOLTAGE

Gate = gate_state.Gate


def a_cause(name: str, need: Need, electrical: bool = False, hand_to: str = "") -> Cause:
    return Cause(
        name,
        name,
        0.1,
        Hazard.NONE,
        "mend it",
        10,
        60,
        {},
        (Step("note", "how to mend"),),
        need,
        electrical,
        hand_to=hand_to,
    )


CAUSES = {
    "inside": a_cause("inside", Need.OPEN_DEAD, electrical=True),
    "flex": a_cause("flex", Need.COVERS_ON, electrical=True),
    "filter": a_cause("filter", Need.COVERS_ON),
    "badly_written": a_cause("badly_written", Need.IN_USE),
}
DONE_IN = {"inside": "open_dead", "flex": "isolated", "filter": "covers_on", "badly_written": "open_dead"}
"""What each remedy needs, whatever its rule says: nothing in use, no electrical part connected."""
OBSERVATIONS = {
    need: Observation(
        f"look_{need.value}", Kind.LOOK, "look", (), (), 1.0, need, 1, (Step("note", "how to look"),)
    )
    for need in Need
}
TAKE_BACK = ("plug_out", "earth_inside", "earth_at_plug")

Node = tuple[Gate, audit.Shadow]
Pair = tuple[int, int]
"""Two things by their numbers: see Numbers."""
Thing = TypeVar("Thing", bound=Hashable)


def step(gate: Gate, event: Event) -> Gate:
    """The gate after an event, as the job's fold does it. Raises Refused."""
    match event:
        case happened.Confirmed():
            return transitions.confirm(gate, event.action, event.outcome)
        case happened.ReturnTested():
            return transitions.confirm(gate, event.test, event.outcome)
        case happened.DangerSeen():
            return gate_state.danger_seen(gate, event.sign)
        case happened.DealtWith():
            return gate_state.all_dealt_with(gate)
        case happened.Paused():
            return gate_state.paused(gate, event.minutes, event.allowed)
        case happened.Resumed():
            return gate_state.resumed(gate)
        case happened.TakenBack():
            return gate_state.corrected(gate, event.action)
        case happened.Restarted():
            return gate_state.restart_after_stop(gate, event.reason)
        case happened.PutRight():
            return gate_state.remedy_done(gate, CAUSES[event.cause])
        case happened.Answered():
            return gate_state.reading_brought(gate, Need.OPEN_DEAD)
        case happened.Advised():
            need = Need(event.access)
            instructions.instruction_for_observation(gate, OBSERVATIONS[need])
            return gate_state.instruction_given(gate, need)
        case happened.FactGiven():
            facts = {
                "connection": gate.connection,
                "protection": "class_i" if gate.earthed else "class_ii",
                event.fact: event.value,
            }
            return gate_state.facts_known(gate, facts)
    raise AssertionError(event)


ANYWHERE: tuple[Event, ...] = (
    *(happened.DangerSeen(sign) for sign in ("tingle", "smoke_or_flame")),
    *(happened.Paused(*each) for each in ((9.0, 0.0), (10.5, 0.0), (29.0, 30.0), (-1.0, 0.0))),
    happened.Resumed("next day"),
    *(happened.TakenBack(name) for name in TAKE_BACK),
    *(
        happened.PutRight(name, inside=DONE_IN[name] == "open_dead", electrical=cause.touches_electrics)
        for name, cause in CAUSES.items()
    ),
    happened.Answered("resistance", reads="33R", inside=True),
    *(happened.Advised(f"look_{need.value}", need.value) for need in Need),
    happened.Restarted("the fire service has left"),
)
"""Every event that is worth trying in any state."""
FROM_ELSEWHERE: tuple[Event, ...] = (
    # What a record tells of and no rule knows any more, as the job makes it of such a line; and dealt with by name.
    happened.DangerSeen("rules_changed"),
    happened.DealtWith("renamed", "looked at it again"),
    *(happened.FactGiven("connection", each) for each in ("plug", "isolator", "fixed", "unknown")),
    *(happened.FactGiven("protection", each) for each in ("class_i", "class_ii")),
)


def moves(gate: Gate, facts: bool = True) -> list[Event]:
    """Every event that is worth trying in a state. facts: those that change what is known of the machine, too."""
    at_the_machine: list[Event] = [
        happened.ReturnTested(action.id, outcome.id)
        if action.id in RETURN_TESTS
        else happened.Confirmed(action.id, outcome.id)
        for action in transitions.open_actions(gate)
        for outcome in action.outcomes
    ]
    return [*at_the_machine, *ANYWHERE, *(FROM_ELSEWHERE if facts else ())]


@lru_cache(maxsize=100_000)
def follow(shadow: audit.Shadow, event: Event) -> tuple[audit.Shadow, tuple[tuple[str, str], ...]]:
    """The shadow after an event, and the rules it broke. Walks come by the same few shadows again and again."""
    after, broken = audit.follow(shadow, event)
    # A test taken back at once is a matter of the job's events, not of the gate: test_job_walk.py.
    return replace(after, failed_from=None), tuple(broken)


class Broken(AssertionError):
    """An invariant does not hold."""


def must(holds: bool, what: str) -> None:
    if not holds:
        raise Broken(what)


def check_move(before: Node, event: Event, after: Node, broken: Sequence[tuple[str, str]]) -> None:
    """What must hold of one move that the gate took."""
    gate, (then, shadow) = before[0], after
    check_step(gate, event, then)
    check_followed(broken, shadow, switched_on(gate, then))


def check_step(gate: Gate, event: Event, then: Gate) -> None:
    """What must hold of one move that the gate took, whatever the record shows."""
    if isinstance(event, happened.Advised):
        must(
            gate_state.permits(gate, Need(event.access)), "an instruction came out where it is not permitted"
        )
    if gate.stop and not isinstance(event, happened.Restarted):
        must(then.stop == gate.stop or then.stop == LEAVE, "a stop was left without a restart")
        must(then.access in (gate.access, Access.AS_FOUND), "the access state moved during a stop")
    if isinstance(event, happened.Restarted):
        must(
            then.access is Access.AS_FOUND and bool(then.signs), "a restart must leave the machine out of use"
        )
    lost = isinstance(event, happened.Resumed | happened.TakenBack) or (
        isinstance(event, happened.Paused) and not 0 <= event.minutes <= max(10, event.allowed)
    )
    if lost and not gate.stop:
        must(then.access is Access.AS_FOUND and not then.held, "a lost confirmation must lead to AS_FOUND")
    if isinstance(event, happened.DangerSeen) and event.sign == "smoke_or_flame":
        must(then.stop == LEAVE, "a leave-now sign must stop the job")
    if isinstance(event, happened.Confirmed) and event.outcome == "voltage_found":
        must(bool(then.stop), "voltage must stop the job")
    if isinstance(event, happened.Confirmed) and event.action.startswith("covers_on"):
        must(gate.covers_off, "covers put on that were not off")
    if switched_on(gate, then):
        must(
            isinstance(event, happened.Confirmed) and event.action == "supply_on",
            "in use without switching on",
        )
        must(not then.covers_off, "in use with the covers off")


def check_followed(broken: Sequence[tuple[str, str]], shadow: audit.Shadow, switched: bool) -> None:
    """What must hold of what the record shows after a move."""
    must(not broken, f"the audit objects: {broken}")
    must(not switched or not (shadow.owes or shadow.danger), "in use while something is owed")


def switched_on(gate: Gate, then: Gate) -> bool:
    return then.access is Access.IN_USE and gate.access is not Access.IN_USE


def check_gate(gate: Gate, number: int = 0) -> None:
    """What must hold of every gate reached, whatever led there. number: which one it is: one in four actions is tried
    out of turn there, so that each is at thousands of gates."""
    for need in Need:
        if gate_state.permits(gate, need):
            must(not gate.stop, "something is permitted during a stop")
        else:
            _refuses(gate, need)
    must(
        not gate.signs or not gate_state.permits(gate, Need.IN_USE),
        "in use is permitted with a danger sign open",
    )
    must(not closing.may_close(gate, "fit_for_use", ["earth path open"]), "fit for use over what was found")
    must(not closing.may_close(gate, "thrown_away"), "closed in no known way")
    its_turn = {action.id for action in transitions.open_actions(gate)}
    for action in list(ACTIONS.values())[number % 4 :: 4]:
        _refused(gate, action.id, "perhaps" if action.id in its_turn else action.outcomes[0].id)


@dataclass(frozen=True, slots=True)
class Through:
    """What a gate lets through. remedies: the causes whose remedy comes out; closings: how the job may end."""

    needs: tuple[Need, ...]
    remedies: tuple[str, ...]
    closings: tuple[str, ...]
    owed: frozenset[str]


def lets_through(gate: Gate) -> Through:
    remedies = []
    for name, cause in CAUSES.items():
        try:
            instructions.instruction_for_remedy(gate, cause)
        except Refused:
            continue
        remedies.append(name)
    return Through(
        tuple(need for need in Need if gate_state.permits(gate, need)),
        tuple(remedies),
        tuple(state for state in CLOSINGS if closing.may_close(gate, state)),
        frozenset(gate_state.owed_tests(gate)),
    )


def check_node(gate: Gate, shadow: audit.Shadow, through: Through | None = None) -> None:
    """What must hold of every gate together with what the record shows. `through`: of that gate, where known."""
    through = through or lets_through(gate)
    for need in through.needs:
        must(audit.allows(shadow, need.value), f"{need} permitted, and the audit does not see why")
    for name in through.remedies:
        must(audit.allows(shadow, DONE_IN[name]), f"the remedy of {name} came out where it is not permitted")
    must(gate.access is not Access.IN_USE or shadow.running, "in use, and never switched on")
    must(
        gate.access is not Access.ISOLATED or (shadow.cut and not shadow.covers_off), "isolated is not shown"
    )
    must(gate.access is not Access.OPEN_UNPROVED or (shadow.cut and shadow.covers_off), "open is not shown")
    must(gate.access is not Access.OPEN_DEAD or (shadow.dead and shadow.cut), "proved dead is not shown")
    must(bool(gate.signs) == shadow.danger, "gate and audit differ on whether there is a danger sign")
    must(gate.covers_off == shadow.covers_off, "gate and audit differ on the covers")
    must(through.owed == shadow.owes, "gate and audit differ on the tests owed")
    # What was found unsafe the gate does not know; the job keeps from closing over it.
    plain = replace(shadow, found=frozenset())
    for state in through.closings:
        _, broken = follow(plain, happened.Closed(state))
        must(not broken, f"{state}: {broken}")


class Ways:
    """From everywhere there is a way to each need, or a sentence why not; and a way to end the job.

    Follows `next_action` with the good outcome, remembering where each gate leads.
    """

    def __init__(self) -> None:
        self.ends: dict[tuple[Gate, Need], Gate | None] = {}

    def end(self, gate: Gate, need: Need) -> Gate | None:
        """The gate in which the need is permitted, at the end of the way; None where the way is refused."""
        trodden = []
        while (gate, need) not in self.ends:
            trodden.append(gate)
            must(len(trodden) < 60, "a way without an end")
            try:
                action = transitions.next_action(gate, need)
            except Refused as refusal:
                must(len(str(refusal)) > 20, "a refusal without a reason")
                self.ends[gate, need] = None
            else:
                if action is None:
                    must(gate_state.permits(gate, need), "a way leads elsewhere")
                    self.ends[gate, need] = gate
                else:
                    gate = alike(transitions.confirm(gate, action.id, action.outcomes[0].id))
        end = self.ends[gate, need]
        self.ends.update(((each, need), end) for each in trodden)
        return end

    def check(self, gate: Gate) -> None:
        ends = {need: end for need in Need if (end := self.end(gate, need)) is not None}
        last = [gate, *ends.values()]
        if gate.stop == VOLTAGE and not gate.held:
            last.append(transitions.confirm(gate, "covers_back_or_guarded", "cannot"))
        if gate.covers_off and gate.access is Access.AS_FOUND and not gate.stop:
            last.append(alike(transitions.confirm(gate, "covers_on_unproved", "done")))
        if not gate.connection:
            last = [step(end, happened.FactGiven("connection", "fixed")) for end in last]
        can_end = any(closing.may_close(end, state) for end in last for state in CLOSINGS)
        must(can_end, "a job that cannot end")
        if not gate.stop and gate.connection in ("plug", "isolator") and not gate.skipped:
            must(set(ends) == set(Need), "a need that cannot be reached any more")


def _refuses(gate: Gate, need: Need) -> None:
    for give, what in (
        (instructions.instruction_for_observation, OBSERVATIONS[need]),
        (instructions.instruction_for_remedy, a_cause("x", need)),
    ):
        if give is instructions.instruction_for_remedy and need is Need.IN_USE:
            continue
        try:
            give(gate, what)  # type: ignore[operator]
        except Refused:
            continue
        raise Broken(f"an instruction for {need} came out of {gate}")


def _refused(gate: Gate, action: str, outcome: str) -> None:
    try:
        transitions.confirm(gate, action, outcome)
    except Refused:
        return
    raise Broken(f"'{action}' was taken out of turn in {gate}")


def alike(gate: Gate) -> Gate:
    """Gates that differ in *which* danger signs are open behave alike, but for a failed return test (asserted in the
    tests): keep one of them."""
    signs = gate.signs
    if signs:
        failed = "return_test_failed" in signs and not gate.stop
        signs = ("return_test_failed",) if failed else ("tingle",)
    if not gate.cut_from_afar and signs == gate.signs:
        return gate
    return replace(gate, signs=signs, cut_from_afar=False)  # that it was cut from afar is only told


@dataclass
class Walked:
    states: int
    moves: int
    gates: int
    depth: int


def taken(gate: Gate, facts: bool) -> list[tuple[Event, Gate]]:
    """Every event that the gate takes, with the gate after it."""
    after = []
    for event in moves(gate, facts):
        try:
            after.append((event, alike(step(gate, event))))
        except Refused:
            continue
    return after


@contextmanager
def remembering() -> Iterator[None]:
    """While in here the gate remembers what may be confirmed where, and what it lets through: the same answers,
    several times as fast."""
    global lets_through
    plain = (transitions._legs_from, transitions.open_actions, lets_through)
    transitions._legs_from, transitions.open_actions, lets_through = (
        lru_cache(maxsize=20_000)(each) for each in plain
    )
    try:
        yield
    finally:
        transitions._legs_from, transitions.open_actions, lets_through = plain


class Numbers(Generic[Thing]):
    """Things met on a walk, each with a number: the same thing, the same number."""

    def __init__(self) -> None:
        self.things: list[Thing] = []
        self._numbers: dict[Thing, int] = {}

    def of(self, thing: Thing) -> int:
        number = self._numbers.setdefault(thing, len(self.things))
        if number == len(self.things):
            self.things.append(thing)
        return number


def walk(starts: list[Node], *, facts: bool = True, most: int = 10_000_000) -> Walked:
    """Visit every combination of gate and shadow once, breadth first.

    Raises Broken, with the events that led there, at the first that is wrong. `most`: when to stop looking.
    What hangs on the gate alone, or on the shadow alone, is worked out once: there are far more combinations than
    gates, and far more gates than shadows.
    """
    gates, shadows, events = Numbers[Gate](), Numbers[audit.Shadow](), Numbers[Event]()
    parents: dict[Pair, tuple[Pair, Event] | None] = {
        (gates.of(gate), shadows.of(shadow)): None for gate, shadow in starts
    }
    queue = deque((pair, 0) for pair in parents)
    through: dict[int, Through] = {}
    onward: dict[
        int, list[tuple[int, int, bool]]
    ] = {}  # of a gate: event, gate after it, whether switched on
    followed: dict[Pair, tuple[int, Sequence[tuple[str, str]]]] = {}  # of a shadow and an event
    leading = Ways()
    tried = depth = 0
    while queue and len(parents) < most:
        pair, depth = queue.popleft()
        gate, shadow = gates.things[pair[0]], shadows.things[pair[1]]
        event: Event | None = None
        try:
            if pair[0] not in onward:
                check_gate(gate, pair[0])
                leading.check(gate)
                steps = onward[pair[0]] = []
                for event, then in taken(gate, facts):
                    check_step(gate, event, then)
                    steps.append((events.of(event), gates.of(then), switched_on(gate, then)))
                through[pair[0]] = lets_through(gate)
            event = None
            check_node(gate, shadow, through[pair[0]])
            for number, led_to, switched in onward[pair[0]]:
                tried += 1
                event = events.things[number]
                if (pair[1], number) not in followed:
                    after, broken = follow(shadow, event)
                    followed[pair[1], number] = shadows.of(after), broken
                seen, broken = followed[pair[1], number]
                if broken or switched:
                    check_followed(broken, shadows.things[seen], switched)
                if (led_to, seen) not in parents:
                    parents[led_to, seen] = (pair, event)
                    queue.append(((led_to, seen), depth + 1))
        except Broken as wrong:
            raise Broken(f"{wrong}\nafter {trail(parents, pair)}\nthen {event}") from wrong
    return Walked(len(parents), tried, len(onward), depth)


def wander(starts: list[Node], seed: int, walks: int, steps: int = 70, leading: Ways | None = None) -> int:
    """Random walks that now follow the way to some need, now some leg, and now do anything else.

    Returns how many moves were made; raises Broken as `walk` does. Finds most slips in a few walks; it proves
    nothing where it finds none. `leading`: where the ways lead, as far as earlier walks over the same gate know it.
    """
    choose = random.Random(seed)
    leading = leading or Ways()
    made = 0
    for _ in range(walks):
        node = choose.choice(starts)
        wish: Need | str = choose.choice(list(Need))
        done: list[Event] = []
        for _ in range(steps):
            gate, shadow = node
            event = _towards(gate, wish, choose)
            if event is None or choose.random() < 0.05:
                legs = sorted({leg.id for leg in transitions._legs_from(gate)})
                wish = choose.choice([*Need, *Need, *legs])
            if event is None or choose.random() < 0.1:
                event = _any_move(gate, choose)
            try:
                then = step(gate, event)
            except Refused:
                continue
            made += 1
            done.append(event)
            after, broken = follow(shadow, event)
            try:
                check_move(node, event, (then, after), broken)
                check_node(then, after)
                if then.stop or (then.covers_off and then.access is Access.AS_FOUND):
                    leading.check(then)
            except Broken as wrong:
                raise Broken(f"{wrong}\nafter {done}") from wrong
            node = (then, after)
    return made


def _any_move(gate: Gate, choose: random.Random) -> Event:
    """Any move, each kind of event as likely as another."""
    kinds: dict[type[Event], list[Event]] = {}
    for event in moves(gate):
        kinds.setdefault(type(event), []).append(event)
    return choose.choice(choose.choice(list(kinds.values())))


def _towards(gate: Gate, wish: Need | str, choose: random.Random) -> Event | None:
    """The next action towards a need or along a leg, mostly with its good outcome; None where there is none."""
    if isinstance(wish, Need):
        try:
            action = transitions.next_action(gate, wish)
        except Refused:
            return None
    else:
        along = any(leg.id == wish for leg in transitions._legs_from(gate))
        action = ACTIONS.get(transitions._next_of(gate, wish)) if along else None
    if action is None:
        return None
    outcome = action.outcomes[0] if choose.random() < 0.9 else choose.choice(action.outcomes)
    kind = happened.ReturnTested if action.id in RETURN_TESTS else happened.Confirmed
    return kind(action.id, outcome.id)


def trail(parents: dict[Pair, tuple[Pair, Event] | None], node: Pair) -> list[Event]:
    events = []
    while (link := parents[node]) is not None:
        node, event = link
        events.append(event)
    return events[::-1]


def a_start(connection: str = "plug", earthed: bool = True) -> Node:
    return Gate(connection=connection, earthed=earthed), audit.Shadow(connection=connection, earthed=earthed)


if __name__ == "__main__":
    # Every combination, with the facts changing under way: some minutes.
    with remembering():
        seen = walk([a_start()])
    print(f"{seen.states:,} combinations of gate and record ({seen.gates:,} gates), {seen.moves:,} moves,")
    print(f"the farthest {seen.depth} moves from the start: every invariant holds")
