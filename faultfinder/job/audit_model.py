"""The audit's own picture of the machine, event by event.

Written from the safety rules and not from the gate; see audit.py. `follow` never stops at a broken rule: it names it
and goes on with what the record says.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Need, Observation, Pack

INSTRUCTION = "instruction before confirmation"
ENERGISED = "energised without the return tests"
CLOSED = "closed in a state it was not in"
LEFT_INSIDE = "covers on before the inside was seen to be clear"
AFTER_STOP = "work after a stop without a restart"
CLAIMED = "an access written down that was not confirmed"

_CUT = {
    "plug": ("switched_off", "plug_out", "plug_in_sight"),
    "isolator": ("switched_off", "isolator_locked", "key_kept"),
}
_CUT_AGAIN = ("still_isolated", "nobody_else")
_DEAD_AGAIN = (
    "tester_proved",
    "dead_line_neutral",
    "dead_line_earth",
    "dead_neutral_earth",
    "tester_proved_again",
)
_DEAD = (*_DEAD_AGAIN, "capacitors_discharged", "board_waited", "parts_cooled", "parts_at_rest")
_BEFORE_SCREWS = ("tester_here", "return_testers_here")
_CUTTING = frozenset((*_CUT_AGAIN, *_CUT["plug"], *_CUT["isolator"]))
_LOOKS = frozenset({"dangers_answered", "plug_flex_whole", "casing_whole", "notices_looked_up"})
_FROM_OUTSIDE = frozenset({"plug_flex_whole", "casing_whole"})
"""What was looked at from outside counts for the next switching on alone."""
_GOOD = frozenset({"done", "dead", "none_there", "not_here"})
_INSIDE = frozenset({"earth_inside", "insulation_inside"})
_AT_PLUG = frozenset({"earth_at_plug", "insulation_at_plug"})
_EARTH = frozenset({"earth_inside", "earth_at_plug"})
_LEAVE = frozenset(
    {"smoke_or_flame", "burning_smell_now", "gas_smell", "water_on_live_parts", "refrigerant_signs"}
)
_PUT_OFF = frozenset({"cannot", "not_yet", "above_50_v", "applies"})
_BAD_LOOK = frozenset({"damaged", "scorched", "wet"})
_LONGEST_PAUSE = 10.0


@dataclass(frozen=True, slots=True)
class Shadow:
    """What the events so far say about the machine, in the audit's own words."""

    connection: str = ""
    earthed: bool = True
    cut: bool = False
    was_cut: bool = False
    cutting: tuple[str, ...] = ()
    covers_off: bool = False
    unscrewing: tuple[str, ...] = ()
    dead: bool = False
    was_dead: bool = False
    proving: tuple[str, ...] = ()
    running: bool = False
    looked: frozenset[str] = frozenset()
    owes: frozenset[str] = frozenset()
    inside: bool = False
    danger: bool = False
    earth_failed: bool = False
    because: frozenset[str] = frozenset()
    """The readings that the danger came of; an empty name for all that no correction undoes."""
    latest: frozenset[str] = frozenset()
    """The reading answered last."""
    touched: bool = False
    failed_from: Shadow | None = None
    """What was before the return test that failed just now: taken back at once, it never was."""
    stopped: str = ""
    guarded: bool = False
    clear: bool = False
    forgotten: bool = False
    unknown: frozenset[str] = frozenset()
    """The names in the record that the rules do not know any more, or whose meaning they dropped."""
    other_rules: bool = False
    """Begun with other rules than those at hand."""
    found: frozenset[str] = frozenset()
    """Observations that were answered with what is unsafe in itself, until somebody looks again."""
    mended: frozenset[str] = frozenset()
    """The causes put right at any time, and what goes with them."""


Broken = list[tuple[str, str]]
"""Rules that were broken, as (rule, what)."""


def follow(shadow: Shadow, event: Event, pack: Pack | None = None) -> tuple[Shadow, Broken]:
    """The shadow after an event, and the rules it broke. pack: what it says of danger, of covers and of electrical
    parts, for records whose lines leave that out (those written by hand)."""
    after, broken = _follow(shadow, event, pack)
    after = _remembered(after, event, pack)
    after = after if pack is None else _found(after, event, pack)
    if not isinstance(event, happened.DangerSeen | happened.Noted):
        answered = event.observation if isinstance(event, happened.Answered | happened.Corrected) else ""
        after = replace(after, latest=_measured(pack, answered))
    if after.failed_from is not None and not isinstance(event, happened.ReturnTested | happened.Noted):
        after = replace(after, failed_from=None)
    return _trimmed(after), broken


# -- what the rules say -----------------------------------------------------------------------------------


def _item(pack: Pack | None, name: str) -> Observation | None:
    return pack.observations.get(name) if pack else None


def _measured(pack: Pack | None, observation: str) -> frozenset[str]:
    """The observation itself where it is a reading: a sign that comes of it goes with its correction."""
    item = _item(pack, observation)
    return frozenset({observation}) if item is not None and item.reading is not None else frozenset()


def _sign(pack: Pack | None, observation: str, answer: str) -> str:
    """The danger sign of an answer; empty for none."""
    item = _item(pack, observation)
    return item.danger.get(answer, "") if item is not None else ""


def _ticked(pack: Pack | None, event: happened.Chosen) -> list[str]:
    """The danger signs among the answers that choices set."""
    question = pack.questions.get(event.question) if pack else None
    sets = {choice.id: choice.sets for choice in question.choices} if question else {}
    signs = (_sign(pack, *pair) for choice in event.value for pair in sets.get(choice, {}).items())
    return [sign for sign in signs if sign]


def _behind_covers(pack: Pack | None, name: str) -> bool:
    """Whether an observation, a question or a remedy needs the covers off. A remedy is never done in use, whatever
    its rule says."""
    if pack is None:
        return False
    item = pack.observations.get(name) or pack.questions.get(name)
    cause = pack.causes.get(name)
    return (item is not None and item.need is Need.OPEN_DEAD) or (
        cause is not None and cause.remedy_need in (Need.OPEN_DEAD, Need.IN_USE)
    )


# -- what the rules do not know any more ------------------------------------------------------------------


def _remembered(shadow: Shadow, event: Event, pack: Pack | None) -> Shadow:
    """It is told by its sign, and dealt with name by name."""
    if isinstance(event, happened.DangerSeen) and event.sign == "rules_changed":
        return replace(shadow, forgotten=bool(shadow.unknown) or pack is None)
    new, done = _not_known(event, pack), _dealt(event, pack)
    if not (new or done):
        return shadow
    unknown = (shadow.unknown - done) | new
    return replace(shadow, unknown=unknown, forgotten=shadow.forgotten and bool(unknown))


def _not_known(event: Event, pack: Pack | None) -> frozenset[str]:
    if pack is None:
        return frozenset()
    match event:
        case happened.Answered(observation=name) | happened.Corrected(observation=name):
            item = _item(pack, name)
            unsafe = item is not None and event.value in item.unsafe
            meant = {_sign(pack, name, event.value), "unsafe" if unsafe else ""}
            return frozenset() if _named(pack, name) and meant.issuperset(event.meant) else frozenset({name})
        case happened.PutRight(cause=name):
            return frozenset() if _named(pack, name) else frozenset({name})
    return frozenset()


def _named(pack: Pack, name: str) -> bool:
    return name in pack.observations or name in pack.questions or name in pack.causes


def _dealt(event: Event, pack: Pack | None) -> frozenset[str]:
    match event:
        case happened.DealtWith(name=name) | happened.Corrected(observation=name):
            return frozenset({name})
        case happened.Answered(observation=name) if event.how != "told":
            item = _item(pack, name)
            return frozenset({name}) if item is not None and item.healthy == event.value else frozenset()
    return frozenset()


# -- what was found unsafe in itself ----------------------------------------------------------------------


def _found(shadow: Shadow, event: Event, pack: Pack) -> Shadow:
    """An answer that its rule calls unsafe stands until the same is answered anew, by whatever answers it: whether
    that was enough is for the job to judge. Rules that the job was not begun with accuse nobody."""
    match event:
        case happened.Opened(fingerprint=mark):
            return replace(shadow, other_rules=bool(mark) and mark != pack.fingerprint)
        case happened.PutRight(cause=name):
            cause = pack.causes.get(name)
            return replace(shadow, mended=shadow.mended | {name, *(cause.also_mends if cause else ())})
        case happened.Answered(observation=name) | happened.Corrected(observation=name):
            item = _item(pack, name)
            answered = {name}
            unsafe = {name} if "unsafe" in event.meant or (item and event.value in item.unsafe) else set()
        case happened.Chosen(question=question) if question in pack.questions:
            asked = pack.questions[question]
            answered = set(asked.observations)
            pairs = (pair for each in asked.choices if each.id in event.value for pair in each.sets.items())
            unsafe = {name for name, answer in pairs if (item := _item(pack, name)) and answer in item.unsafe}
        case happened.ReturnTested(test=test):
            answered = {item.id for item in pack.observations.values() if item.return_test == test}
            unsafe = set()
        case _:
            return shadow
    if shadow.other_rules:
        return shadow
    again = {
        name for name in shadow.found if answered.intersection((name, *pack.observations[name].tried_by))
    }
    return replace(shadow, found=(shadow.found - again) | unsafe.intersection(pack.observations))


def _trimmed(shadow: Shadow) -> Shadow:
    """The shadow without what can no longer matter, so that equal situations are equal."""
    idle = not shadow.cut or bool(shadow.stopped)
    if idle and (shadow.unscrewing or shadow.proving or shadow.clear):
        shadow = replace(shadow, unscrewing=(), proving=(), clear=False)
    if (shadow.cut or shadow.stopped) and shadow.cutting:
        shadow = replace(shadow, cutting=())
    if shadow.cut and shadow.was_cut:
        shadow = replace(shadow, was_cut=False)
    if shadow.dead and (shadow.was_dead or shadow.proving):
        shadow = replace(shadow, was_dead=False, proving=())
    return shadow


def _follow(shadow: Shadow, event: Event, pack: Pack | None) -> tuple[Shadow, Broken]:
    match event:
        case happened.Confirmed():
            return _confirmed(shadow, event.action, event.outcome)
        case happened.ReturnTested():
            after, broken = _confirmed(shadow, event.test, event.outcome, event.of)
            failed = event.outcome == "failed" and not shadow.stopped
            return replace(after, failed_from=_plain(shadow, event.test) if failed else None), broken
        case happened.Advised():
            return _advised(shadow, event)
        case happened.Closed():
            return shadow, _closed(shadow, event, pack)
    return _undisputed(shadow, event, pack), _claimed(shadow, event)


def _claimed(shadow: Shadow, event: Event) -> Broken:
    """What was brought is written down as such; whoever names the access shows that it was there."""
    match event:
        case (
            happened.Answered(observation=name, access=access)
            | happened.Chosen(question=name, access=access)
            | happened.PutRight(cause=name, access=access)
        ) if access in ("in_use", "isolated", "open_dead") and not allows(shadow, access):
            return [(CLAIMED, f"{name} ({access})")]
    return []


def _undisputed(shadow: Shadow, event: Event, pack: Pack | None) -> Shadow:
    """The shadow after an event that says what is so, and lets nothing happen."""
    match event:
        case happened.FactGiven():
            return _fact(shadow, event)
        case happened.DangerSeen():
            by = {
                name
                for name in shadow.latest
                if (item := _item(pack, name)) and event.sign in item.danger.values()
            }
            return _danger(shadow, event.sign, frozenset(by))
        case happened.TakenBack():
            before = shadow.failed_from
            if before is not None and before.latest == frozenset({event.action}):
                return replace(before, latest=frozenset())
            return _taken_back(shadow, event.action)
        case happened.PutRight():
            cause = pack.causes.get(event.cause) if pack else None
            electrical = event.electrical or (cause is not None and cause.touches_electrics)
            return _worked(shadow, event.inside or _behind_covers(pack, event.cause), electrical)
        case happened.Answered():
            return _answered(shadow, event, pack)
        case happened.Corrected():
            sign = _sign(pack, event.observation, event.value)
            shadow = _corrected(shadow, event.observation)
            return _danger(shadow, sign, _measured(pack, event.observation)) if sign else shadow
        case happened.Chosen():
            if _behind_covers(pack, event.question) and not allows(shadow, "open_dead"):
                shadow = _worked(shadow, True, False)
            for sign in _ticked(pack, event):
                shadow = _danger(shadow, sign)
            return shadow
        case happened.Paused():
            short = 0.0 <= event.minutes <= max(_LONGEST_PAUSE, event.allowed)
            return shadow if short else _broken_off(shadow)
        case happened.Resumed():
            return _broken_off(shadow)
        case happened.Restarted():
            because = shadow.because | _BY_ITSELF
            shadow = replace(shadow, stopped="", guarded=False, danger=True, because=because)
            return _owing(_unknown(shadow), looked=frozenset())
    return shadow


def _plain(shadow: Shadow, test: str) -> Shadow:
    """What was before a failed test, with its name where the reading answered last stands else."""
    return replace(shadow, failed_from=None, latest=frozenset({test}))


# -- what breaks confirmations off -----------------------------------------------------------------------


def _broken_off(shadow: Shadow) -> Shadow:
    """An absence: nothing is known to hold, though what was cut or dead may be shown again the short way."""
    if shadow.stopped:
        return shadow
    return replace(
        shadow,
        cut=False,
        was_cut=shadow.cut or shadow.was_cut,
        cutting=(),
        unscrewing=(),
        dead=False,
        was_dead=shadow.dead or shadow.was_dead,
        proving=(),
        running=False,
        looked=shadow.looked if shadow.cut else shadow.looked - {"dangers_answered"},
    )


def _unknown(shadow: Shadow) -> Shadow:
    """A confirmation was not so: nothing at all is known any more."""
    looked = shadow.looked & {"notices_looked_up"}
    return replace(_broken_off(shadow), was_cut=False, was_dead=False, looked=looked, owes=_needed(shadow))


def _needed(shadow: Shadow) -> frozenset[str]:
    """Every test that what happened so far asks for, whatever passed since."""
    if shadow.inside:
        tests = _INSIDE | _AT_PLUG
    elif shadow.danger or shadow.owes:
        tests = _AT_PLUG
    else:
        tests = frozenset()
    return tests - _not_there(shadow)


def _owing(shadow: Shadow, **changes: Any) -> Shadow:
    """The shadow with these changes, and what it owes by them."""
    shadow = replace(shadow, **changes)
    return replace(shadow, owes=_needed(shadow))


def _not_there(shadow: Shadow) -> frozenset[str]:
    """What there is nothing to measure of: an earth, unless one was measured and failed."""
    return frozenset() if shadow.earthed or shadow.earth_failed else _EARTH


def _fact(shadow: Shadow, event: happened.FactGiven) -> Shadow:
    value = "" if event.value == "unknown" else event.value
    if event.fact == "connection" and value != shadow.connection:
        known = shadow if shadow.running or shadow.stopped else _unknown(shadow)
        return replace(known, connection=value, cutting=())
    if event.fact == "protection":
        earthed = event.value != "class_ii"
        if earthed and not shadow.earthed:
            running = shadow.running and bool(shadow.stopped)
            return _owing(shadow, earthed=True, running=running, owes=_AT_PLUG, touched=True)
        shadow = replace(shadow, earthed=earthed)
        return _nothing_left(replace(shadow, owes=shadow.owes - _not_there(shadow)))
    return shadow


_BY_ITSELF = frozenset({""})


def _danger(shadow: Shadow, sign: str, by: frozenset[str] = frozenset()) -> Shadow:
    """by: the observations that it came of; what makes people leave is never undone by a correction."""
    because = shadow.because | (_BY_ITSELF if sign in _LEAVE or not by else by)
    looked = shadow.looked - _FROM_OUTSIDE
    shadow = _owing(
        shadow, danger=True, because=because, looked=looked, cutting=(), unscrewing=(), proving=()
    )
    if sign in _LEAVE:
        return replace(shadow, stopped="leave")
    if sign == "voltage_when_isolated":
        return replace(shadow, stopped=shadow.stopped or "voltage")
    return shadow


def _corrected(shadow: Shadow, observation: str) -> Shadow:
    """An answer was wrong: the danger that came of it alone never was."""
    if observation not in shadow.because:
        return shadow
    shadow = replace(shadow, because=shadow.because - {observation})
    if shadow.because:
        return shadow
    still = shadow.inside or shadow.touched
    return _nothing_left(replace(shadow, danger=False, owes=shadow.owes if still else frozenset()))


def _taken_back(shadow: Shadow, action: str) -> Shadow:
    if action in _INSIDE:
        shadow = replace(shadow, inside=True)
    if action in _INSIDE | _AT_PLUG:
        shadow = replace(shadow, owes=shadow.owes | {action}, touched=shadow.touched or action in _AT_PLUG)
    return _owing(shadow if shadow.stopped else _unknown(shadow), looked=frozenset())


# -- what is done ----------------------------------------------------------------------------------------


def _worked(shadow: Shadow, inside: bool, electrical: bool) -> Shadow:
    """Work or a reading inside, or at an electrical part: it owes the tests, and is not done on a running machine."""
    if not inside and not electrical:
        return shadow
    opened, touched = shadow.inside or inside, shadow.touched or not inside
    shadow = _owing(shadow, inside=opened, touched=touched, owes=shadow.owes | {"insulation_at_plug"})
    return _unknown(shadow) if shadow.running and not shadow.stopped else shadow


def _answered(shadow: Shadow, event: happened.Answered, pack: Pack | None) -> Shadow:
    """What was brought from inside shows that somebody was inside; an answer may be a danger sign."""
    inside = event.inside or (_behind_covers(pack, event.observation) and event.how != "told")
    if inside and not allows(shadow, "open_dead"):
        shadow = _worked(shadow, True, False)
    sign = _sign(pack, event.observation, event.value)
    return _danger(shadow, sign, _measured(pack, event.observation)) if sign else shadow


def _advised(shadow: Shadow, event: happened.Advised) -> tuple[Shadow, Broken]:
    broken = []
    if shadow.stopped:
        broken.append((AFTER_STOP, event.item))
    elif not allows(shadow, event.access):
        broken.append((INSTRUCTION, f"{event.item} ({event.access})"))
    if event.access == "open_dead" and shadow.inside:
        shadow = replace(shadow, owes=shadow.owes | (_INSIDE - _not_there(shadow)))
    return shadow, broken


def allows(shadow: Shadow, need: str) -> bool:
    """Whether an instruction of this need may stand in the record at this point."""
    if shadow.stopped:
        return False
    whole = not shadow.covers_off
    return {
        "anywhere": True,
        "covers_on": whole and (shadow.cut or not shadow.danger),
        "in_use": whole and shadow.running and not shadow.danger and not shadow.owes,
        "isolated": shadow.cut and (whole or shadow.dead),
        "open_dead": shadow.cut and shadow.covers_off and shadow.dead,
    }.get(need, False)


def _confirmed(shadow: Shadow, action: str, outcome: str, of: str = "") -> tuple[Shadow, Broken]:
    """One numbered action and its answer; `of`: the reading that counted for it."""
    if shadow.stopped:
        if action == "covers_back_or_guarded":
            return replace(shadow, guarded=True, covers_off=shadow.covers_off and outcome != "done"), []
        return shadow, [] if action == "supply_cut_from_afar" else [(AFTER_STOP, action)]
    if action in _INSIDE | _AT_PLUG:
        return _tested(shadow, action, outcome, of), []
    if outcome in _BAD_LOOK:
        return _danger(shadow, outcome), []
    if outcome == "voltage_found":
        return _danger(shadow, "voltage_when_isolated"), []
    good = outcome in _GOOD
    if outcome not in _PUT_OFF:
        shadow = _left_off(shadow, action)
    if action in _DEAD:
        return _proving(shadow, action, outcome), []
    if action in _CUTTING:
        return _cutting(shadow, action, outcome), []
    if action in _BEFORE_SCREWS:
        done = _in_order(shadow.unscrewing, action, _BEFORE_SCREWS)
        return (replace(shadow, unscrewing=done) if good else shadow), []
    if not good:
        return shadow, []
    if action == "supply_on":
        return _energised(shadow)
    if action == "covers_off":
        ready = shadow.cut and shadow.unscrewing == _BEFORE_SCREWS
        broken = [] if ready else [(INSTRUCTION, "covers off")]
        off = _owing(shadow, covers_off=True, inside=True, dead=False, was_dead=False)
        return replace(off, unscrewing=(), proving=()), broken
    if action in ("covers_on", "covers_on_unproved"):
        blind = action == "covers_on" and not shadow.clear
        broken = [(LEFT_INSIDE, "covers on")] if blind else []
        return replace(shadow, covers_off=False, dead=False, was_dead=False, proving=(), clear=False), broken
    if action == "inside_clear":
        return replace(shadow, clear=True), [] if shadow.dead else [(INSTRUCTION, "a look inside")]
    return replace(shadow, looked=shadow.looked | ({action} & _LOOKS)), []


def _left_off(shadow: Shadow, action: str) -> Shadow:
    """A list counts only while it is followed: an action of another list leaves it off."""
    if action not in _LOOKS and action != "supply_on":
        shadow = replace(shadow, looked=shadow.looked - _FROM_OUTSIDE)
    if action not in _CUTTING:
        shadow = replace(shadow, cutting=())
    if action not in (*_BEFORE_SCREWS, "covers_off"):
        shadow = replace(shadow, unscrewing=())
    return shadow


def _cutting(shadow: Shadow, action: str, outcome: str) -> Shadow:
    again = action in _CUT_AGAIN
    if outcome == "not_sure":
        return _unknown(shadow) if again else replace(shadow, cutting=())
    if outcome not in _GOOD:
        return shadow
    wanted = _CUT_AGAIN if again else _CUT.get(shadow.connection, ())
    done = _in_order(shadow.cutting, action, wanted)
    shadow = replace(shadow, cutting=done)
    if done and done == wanted and (shadow.was_cut or not again):
        was_dead = shadow.was_dead and again
        # What was looked at from outside while it ran says nothing about the next switching on.
        looked = shadow.looked - _FROM_OUTSIDE
        return replace(shadow, cut=True, cutting=(), running=False, was_dead=was_dead, looked=looked)
    return shadow


def _in_order(done: tuple[str, ...], action: str, wanted: tuple[str, ...]) -> tuple[str, ...]:
    """What is done of a list that counts only in its order; beginning it anew drops what was done."""
    if action in wanted[:1]:
        return (action,)
    return (*done, action) if (*done, action) == wanted[: len(done) + 1] else ()


def _proving(shadow: Shadow, action: str, outcome: str) -> Shadow:
    if outcome in ("not_sure", "tester_fails"):
        return replace(shadow, proving=(), was_dead=False)
    if outcome not in _GOOD or not (shadow.cut and shadow.covers_off):
        return shadow
    wanted = _DEAD_AGAIN if shadow.was_dead else _DEAD
    done = _in_order(shadow.proving, action, wanted)
    return replace(shadow, proving=done, dead=done == wanted)


def _tested(shadow: Shadow, test: str, outcome: str, of: str = "") -> Shadow:
    """A pass counts only where the test can be made: inside when dead and open, at the plug when cut and closed."""
    if outcome == "failed":
        # An earth that fails is measured again, whatever the class is said to be later.
        shadow = replace(shadow, earth_failed=shadow.earth_failed or test in _EARTH)
        return _danger(shadow, "return_test_failed", frozenset({of}))
    if outcome != "passed":
        return replace(shadow, owes=shadow.owes | ({test} & _needed(shadow)))
    inside = test in _INSIDE
    reached = shadow.cut and (shadow.covers_off and shadow.dead if inside else not shadow.covers_off)
    if not reached:
        return shadow
    return _nothing_left(replace(shadow, owes=shadow.owes - {test}))


def _nothing_left(shadow: Shadow) -> Shadow:
    """All passed with the covers on: what was feared is settled."""
    if shadow.owes or shadow.covers_off or shadow.stopped:
        return shadow
    return replace(shadow, inside=False, danger=False, earth_failed=False, because=frozenset(), touched=False)


def _energised(shadow: Shadow) -> tuple[Shadow, Broken]:
    missing = _LOOKS - shadow.looked
    why = ["covers off"] if shadow.covers_off else []
    why += ["owing: " + ", ".join(sorted(shadow.owes))] if shadow.owes else []
    why += ["with a danger sign open"] if shadow.danger else []
    why += ["not looked at: " + ", ".join(sorted(missing))] if missing else []
    broken = [(ENERGISED, each) for each in why]
    shadow = replace(shadow, running=True, cut=False, was_cut=False, was_dead=False, cutting=())
    return replace(shadow, looked=shadow.looked - _FROM_OUTSIDE), broken


def _closed(shadow: Shadow, event: happened.Closed, pack: Pack | None) -> Broken:
    fit = shadow.running and not (shadow.danger or shadow.owes or shadow.stopped or shadow.covers_off)
    fit = fit and not shadow.forgotten
    left = shadow.stopped == "leave" or (shadow.cut and not shadow.covers_off and not shadow.stopped)
    if event.state == "fit_for_use" and not fit:
        return [(CLOSED, "fit for use over an open danger, an owed test or a machine that does not run")]
    causes = pack.causes if pack else {}
    grave = {name for name in event.found if name in causes and causes[name].hazard.grave} - shadow.mended
    over = shadow.found | grave
    if over and (event.state == "fit_for_use" or (event.state == "handed_over" and _connected(shadow))):
        return [(CLOSED, f"{event.state} over what was found: {', '.join(sorted(over))}")]
    if event.state == "left_isolated" and not left:
        return [(CLOSED, "left isolated, and not shown to be")]
    if event.state == "handed_over" and not _may_be_handed_over(shadow):
        return [(CLOSED, "handed over open, or connected with a danger sign")]
    return []


def _may_be_handed_over(shadow: Shadow) -> bool:
    if shadow.stopped:
        return shadow.stopped == "leave" or shadow.guarded
    unfit = shadow.danger or shadow.owes or shadow.forgotten
    return not shadow.covers_off and not (unfit and _connected(shadow))


def _connected(shadow: Shadow) -> bool:
    """Whether it could be switched on as it stands. What is fixed is for an electrician to cut."""
    return not (shadow.cut or shadow.connection == "fixed" or shadow.stopped)
