"""What comes next in a conversation: the one thing to ask for, chosen from the job, the gate and the case."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from types import MappingProxyType

from faultfinder.dialogue import present
from faultfinder.dialogue.return_tests import limit_said
from faultfinder.dialogue.say import Ask, Line, Option, Said, Tone, caution, heading, note, options, question
from faultfinder.dialogue.talk import (
    AskAction,
    AskClose,
    AskComplaint,
    AskCorrect,
    AskDangers,
    AskFact,
    AskGo,
    AskHandOver,
    AskNewAnswer,
    AskPlate,
    AskReason,
    AskRemedy,
    AskRemedyDone,
    AskStopped,
    AskSymptoms,
    AskTest,
    AskWhich,
    Current,
    Over,
    Talk,
    connected,
)
from faultfinder.dialogue.typed import name_of
from faultfinder.dialogue.words import minutes_text, say
from faultfinder.errors import Refused
from faultfinder.knowledge.bands import fact_values, facts_to_ask
from faultfinder.knowledge.model import Fact, Need, Observation, Question
from faultfinder.reasoning.access_price import minutes_to
from faultfinder.reasoning.advise import FOUND
from faultfinder.reasoning.conflict import conflict
from faultfinder.reasoning.facts import possible
from faultfinder.reasoning.given import Given
from faultfinder.reasoning.step import Done, Step, StepKind, Why
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS
from faultfinder.safety.dangers import ASKED, customer_notice, stop_text
from faultfinder.safety.gate import Gate
from faultfinder.trade.reading import format_quantity

CONNECTION = Fact(
    "connection",
    say("connection_ask"),
    "choice",
    MappingProxyType({kind: say(f"connection_{kind}") for kind in safety.CONNECTIONS}),
)
"""How the machine is connected, for packs that do not ask it in words of their own."""
CLOSE_STOPPED = "close:stopped"
"""Chosen: a stopped job is to end, once what is asked after a stop is answered."""
CLOSINGS = (
    ("fit_for_use", "close_fit"),
    ("left_isolated", "close_isolated"),
    ("handed_over", "close_handed"),
)


def item_of(talk: Talk, target: str) -> Observation | Question:
    pack = talk.job.pack
    return pack.questions[target] if target in pack.questions else pack.observations[target]


# -- what is asked next ---------------------------------------------------------------------------------


def next_current(talk: Talk) -> tuple[Talk, Current]:
    """The next thing to ask for; the talk comes back with what was wished for struck off once it is reached."""
    job = talk.job
    if job.closed is not None:
        return talk, Over()
    if talk.gate.stop:
        action = safety.asked_after_stop(talk.gate) if talk.chosen == CLOSE_STOPPED else None
        return talk, (AskAction(action.id, Need.ANYWHERE) if action else AskStopped())
    if talk.chosen.startswith("close:"):
        # Whoever wants to end is asked for nothing but what the ending hangs on.
        return closing_way(talk)
    if not talk.symptoms_done:
        return talk, AskComplaint()
    if not talk.dangers_done:
        return talk, AskDangers()
    for fact in required_facts(talk):
        return talk, AskFact(fact.id, True)
    if not talk.plate_done and not talk.case.outside and plate_facts(talk):
        return talk, AskPlate()
    wanted = talk.wanted
    if wanted is not None and not safety.permits(talk.gate, wanted):
        return way_to(talk, wanted)
    talk = replace(talk, wanted=None)
    if job.remedy is not None:
        return remedy_current(talk, job.remedy.cause)
    return step_current(talk)


def required_facts(talk: Talk) -> list[Fact]:
    """Facts that the job cannot go on without; none for a machine that is outside the pack anyway."""
    if talk.case.outside:
        return []
    return [
        fact
        for fact in talk.job.pack.facts.values()
        if fact.required and fact.id not in talk.job.facts and possible(fact.applies, talk.case.facts)
    ]


def plate_facts(talk: Talk) -> list[Fact]:
    """Facts that could be known by now and are not; for the one line that asks for all of them."""
    return [
        fact
        for fact in talk.job.pack.facts.values()
        if fact.id not in talk.job.facts and possible(fact.applies, talk.case.facts)
    ]


PLATE_AT_ONCE = 9
"""How many facts the plate question names; chosen for a small screen. The others are asked when they matter."""


def on_the_plate(talk: Talk) -> list[Fact]:
    """The facts to name when the plate is read: those that stand on it, else the first ones."""
    facts = plate_facts(talk)
    there = [fact for fact in facts if "plate" in fact.where.casefold()]
    return (there or facts)[:PLATE_AT_ONCE]


def way_to(talk: Talk, need: Need) -> tuple[Talk, Current]:
    """The next action of the way to a need, or the fact that the way hangs on; no way: choose another step."""
    try:
        current = on_the_way(talk.gate, need)
    except Refused:
        return step_current(replace(talk, wanted=None, chosen="", case=talk.case))
    return step_current(replace(talk, wanted=None)) if current is None else (talk, current)


def on_the_way(gate: Gate, need: Need) -> AskAction | AskFact | None:
    """What is asked next on the way to a need: how the machine is connected where the way hangs on it, else the next
    action; None when the need is permitted. Raises Refused, saying why, where no way leads there."""
    if not gate.connection and not safety.permits(gate, need) and _needs_cutting(gate, need):
        return AskFact("connection", True)
    action = safety.next_action(gate, need)
    return None if action is None else AskAction(action.id, need)


def _needs_cutting(gate: Gate, need: Need) -> bool:
    """Whether the supply is cut on the way to a need, if it can be cut at all."""
    try:
        return any(action.id == "switched_off" for action in safety.way(connected(gate), need))
    except Refused:
        return False


def fact_of(talk: Talk, name: str) -> Fact:
    """A fact to ask for; how the machine is connected is asked of every machine, whatever its pack says."""
    fact = talk.job.pack.facts.get(name)
    return fact if fact is not None else CONNECTION


def offered(talk: Talk) -> list[Step]:
    """The steps worth doing that the person has not declined."""
    if talk.case.declined != talk.declined:
        talk.case.declined = talk.declined
    return [step for step in talk.case.steps() if step.target not in talk.declined]


def need_of_step(talk: Talk, step: Step) -> Need | None:
    """The access that a test needs; None for any other kind of step."""
    return talk.case.need_of(item_of(talk, step.target)) if _can_be_asked(talk, step.target) else None


def next_step(talk: Talk) -> Step | None:
    """The step to put to the person: the one they chose, else the best that is not a mere change of access."""
    open_steps = offered(talk)
    for step in open_steps:
        if step.target == talk.chosen:
            return step
    return next((step for step in open_steps if step.kind is not StepKind.CHANGE_ACCESS), None)


def step_current(talk: Talk) -> tuple[Talk, Current]:
    if talk.chosen and not talk.chosen.startswith("close:") and _can_be_asked(talk, talk.chosen):
        chosen = next((step for step in offered(talk) if step.target == talk.chosen), None)
        return test_current(talk, talk.chosen, proof=chosen is not None and chosen.kind is StepKind.PROVE)
    step = next_step(talk)
    if step is None:
        return talk, AskClose()
    match step.kind:
        case StepKind.PUT_RIGHT:
            if safety.remedy_need(talk.job.pack.causes[step.target]) in talk.case.unreachable:
                return talk, AskHandOver(step.target)
            return talk, AskRemedy(step.target)
        case StepKind.HAND_OVER:
            return talk, (AskClose() if talk.case.outside else AskHandOver(step.target))
        case _:
            return test_current(talk, step.target, proof=step.kind is StepKind.PROVE)


def _can_be_asked(talk: Talk, target: str) -> bool:
    pack = talk.job.pack
    return target in pack.questions or target in pack.observations


def test_current(talk: Talk, target: str, *, proof: bool) -> tuple[Talk, Current]:
    """A test: first the access it needs, then the facts that its limits hang on, then the test itself."""
    item = item_of(talk, target)
    need = talk.case.need_of(item)
    if not safety.permits(talk.gate, need):
        if talk.wanted is need:
            return way_to(talk, need)
        return talk, AskGo(need, target)
    if isinstance(item, Observation) and item.reading is not None:
        for name in facts_to_ask(talk.job.pack, item, talk.case.facts):
            if name not in talk.job.facts and name not in talk.facts_asked:
                return talk, AskFact(name, False)
    return talk, AskTest(target, proof)


def remedy_current(talk: Talk, cause: str) -> tuple[Talk, Current]:
    need = safety.remedy_need(talk.job.pack.causes[cause])
    if not safety.permits(talk.gate, need):
        if need in talk.case.unreachable:
            return talk, AskRemedyDone(cause)
        return way_to(replace(talk, wanted=need), need)
    return talk, AskRemedyDone(cause)


def closing_way(talk: Talk) -> tuple[Talk, Current]:
    """On the way to a way of closing: the actions that it still needs."""
    closing = talk.chosen.removeprefix("close:")
    need = need_to_close(talk.gate, closing)
    if safety.may_close(talk.gate, closing, unsafe(talk)):
        still = complaints_to_ask(talk) if closing == "fit_for_use" else []
        return (talk, AskTest(still[0], True)) if still else (talk, AskClose())
    try:
        current = on_the_way(talk.gate, need)
    except Refused:
        current = None
    return (replace(talk, chosen=""), AskClose()) if current is None else (talk, current)


def need_to_close(gate: Gate, closing: str) -> Need:
    """The access that a way of closing asks for."""
    if closing == "fit_for_use":
        return Need.IN_USE
    return Need.COVERS_ON if closing == "handed_over" or gate.covers_off else Need.ISOLATED


def latest(talk: Talk) -> list[Given]:
    """The answers that can be corrected: the latest one to each observation, in the order first answered."""
    names = dict.fromkeys(given.observation for given in talk.case.answers)
    return [given for name in names if (given := talk.case.latest(name)) is not None]


def complaints_to_ask(talk: Talk) -> list[str]:
    """What the customer complained of, not looked at again since something was put right."""
    out = []
    for name in dict.fromkeys(given.observation for given in talk.case.answers):
        item, given = talk.job.pack.observations[name], talk.case.latest(name)
        assert given is not None
        if not item.symptom or given.epoch == talk.case.epoch or name in talk.case.skipped:
            continue
        if talk.case.judged(given).answer != item.healthy:
            out.append(name)
    return out


def still_complained_of(talk: Talk, names: Iterable[str]) -> bool:
    """Whether one of these symptoms is still there."""
    for name in names:
        item, given = talk.job.pack.observations[name], talk.case.latest(name)
        if item.symptom and given is not None and talk.case.judged(given).answer != item.healthy:
            return True
    return False


def unsafe(talk: Talk) -> list[str]:
    """Titles of grave faults that were found, or stand above even chance now, and are not put right."""
    now = talk.case.confidence() if not talk.case.outside else {}
    return [
        talk.job.pack.causes[name].title
        for name, chance in now.items()
        if chance > FOUND and talk.job.pack.causes[name].hazard.grave
    ]


# -- how it is put --------------------------------------------------------------------------------------


def put(talk: Talk) -> tuple[Talk, list[Said], Ask]:
    """What to say and ask for the current thing."""
    job, pack = talk.job, talk.job.pack
    match talk.current:
        case AskComplaint():
            return talk, [question(say("complaint_ask"))], Ask("complaint")
        case AskSymptoms(shown, everything):
            key = "complaint_list" if everything else "complaint_seems"
            pairs = [(name, symptom_text(talk, name, answer)) for name, answer in shown]
            pairs.append(("none", "None of these"))
            words = (*(symptom_word(talk, name, answer) for name, answer in shown), "none")
            return talk, [question(say(key)), *options(pairs)], Ask("numbers", words)
        case AskDangers():
            pairs = [(sign.id, sign.ask) for sign in ASKED.values()]
            pairs.append(("none", "None of them"))
            return (
                talk,
                [question(say("danger_ask")), *options(pairs)],
                Ask("danger", tuple(n for n, _ in pairs)),
            )
        case AskFact(name, required):
            fact = fact_of(talk, name)
            said = present.fact_said(fact)
            if not required:
                said.insert(1, note(fact_needed(talk, name)))
            words = (*fact.choices, *(() if required else ("unknown",)))
            return talk, said, Ask(name_of(name), words)
        case AskPlate():
            names = [fact.id for fact in on_the_plate(talk)]
            example = plate_example(talk)
            return (
                talk,
                [
                    question(say("plate_ask")),
                    note(say("plate_example", example=example)),
                    Line(", ".join(name_of(name) for name in names), indent=2),
                ],
                Ask("plate", tuple(name_of(name) for name in names)),
            )
        case AskGo(need, target):
            return put_go(talk, need, target)
        case AskAction(action, need):
            return put_action(talk, action, need)
        case AskTest(target, proof):
            return put_test(talk, target, proof)
        case AskRemedy(cause):
            item = pack.causes[cause]
            said = present.remedy_said(talk.case, item, talk.case.confidence()[cause])
            pairs = [
                ("do", say("remedy_do")),
                ("later", say("remedy_later")),
                ("cannot", say("remedy_cannot")),
            ]
            return talk, [*said, *options(pairs)], Ask("remedy", ("do", "later", "cannot"))
        case AskRemedyDone(cause):
            return put_remedy(talk, cause)
        case AskHandOver(cause):
            item = pack.causes[cause]
            chance = present.percent(talk.case.confidence()[cause])
            text = say("hand_over", remedy=item.remedy, cause=item.title, chance=chance)
            return talk, [question(text), *options([("ok", say("hand_over_ok"))])], Ask("hand over", ("ok",))
        case AskWhich(which):
            pairs = [(name, pack.observations[name].ask) for name in which.observations]
            text = say("which_one", text=which.piece)
            return talk, [question(text), *options(pairs)], Ask("which", which.observations)
        case AskCorrect():
            pairs = [
                (given.observation, f"{name_of(given.observation)}: {given.text}") for given in latest(talk)
            ]
            return (
                talk,
                [question(say("correct_ask")), *options(pairs)],
                Ask("correct", tuple(n for n, _ in pairs)),
            )
        case AskNewAnswer(name):
            given = talk.case.latest(name)
            text = say("correct_new", name=name_of(name), old=given.text if given else "")
            observation = pack.observations[name]
            words = tuple(answer.id for answer in observation.answers)
            return talk, [question(text), *present.test_options(observation)], Ask("new answer", words)
        case AskStopped():
            said = [Line(stop_text(safety.leading_sign(talk.gate)), Tone.STOP), question(say("stopped_ask"))]
            pairs = [("close", say("stopped_close")), ("restart", say("stopped_restart"))]
            return talk, [*said, *options(pairs)], Ask("stopped", ("close", "restart"))
        case AskReason():
            return talk, [question(say("restart_reason"))], Ask("reason")
        case AskClose():
            return put_close(talk)
        case Over():
            return talk, over_said(talk), Ask("")
    raise AssertionError(job)


def symptom_word(talk: Talk, name: str, answer: str) -> str:
    """The word that a symptom is chosen by: its name, with the answer where there is more than one abnormal one."""
    return name if len(talk.job.pack.observations[name].answers) == 2 else f"{name}:{answer}"


def fact_needed(talk: Talk, name: str) -> str:
    """Why a fact is asked for before a reading, and what stands for it where it is not known."""
    value = fact_values(talk.job.pack, talk.case.facts).get(name)
    fact = talk.job.pack.facts[name]
    shown = ""
    if isinstance(value, int | float):
        shown = say("fact_assumed", value=format_quantity(float(value), fact.unit))
    target = talk.chosen or next((step.target for step in [next_step(talk)] if step is not None), "")
    title = item_of(talk, target).ask if _can_be_asked(talk, target) else ""
    return say("fact_needed", title=title.rstrip("?. "), assumed=shown)


def symptom_text(talk: Talk, name: str, answer: str) -> str:
    """A symptom as an option: its question, with the answer where there is more than one abnormal one."""
    item = talk.job.pack.observations[name]
    if len(item.answers) == 2:
        return item.ask
    return f"{item.ask} {present.answer_text(item, answer)}"


def plate_example(talk: Talk) -> str:
    """Two plate facts with values, from the pack itself."""
    parts = []
    for fact in on_the_plate(talk):
        if fact.kind == "number":
            own = fact.class_value
            value = own if isinstance(own, int | float) else round((fact.low + fact.high) / 2)
            parts.append(f"{name_of(fact.id)} {value:g} {fact.unit}".rstrip())
    return "; ".join(parts[:2]) or "volts 230"


def put_go(talk: Talk, need: Need, target: str) -> tuple[Talk, list[Said], Ask]:
    pack = talk.job.pack
    title = item_of(talk, target).ask if _can_be_asked(talk, target) else pack.causes[target].remedy
    step = next((step for step in offered(talk) if step.target == target), None)
    proof = step is not None and step.kind is StepKind.PROVE
    key = "go_there_prove" if proof else "go_there_ask"
    said: list[Said] = [
        question(say(key, title=title.rstrip(" ?."), access=safety.NEED_WORDS[need])),
    ]
    if step is not None:
        way = minutes_to(need, talk.case.access, pack.access_minutes, 1.0)
        minutes = max(step.minutes, way + item_of(talk, target).minutes)
        if proof:
            said.append(note(say("step_minutes_only", minutes=minutes_text(minutes))))
        else:
            said.append(present.step_line(replace(step, minutes=minutes)))
    said += options([("yes", say("go_there_yes")), ("no", say("go_there_no"))])
    return talk, said, Ask("go there", ("yes", "no"))


def put_action(talk: Talk, action_id: str, need: Need) -> tuple[Talk, list[Said], Ask]:
    action = ACTIONS[action_id]
    left = actions_left(talk.gate, need)
    total = max(talk.way_total, left)
    said = present.action_said(action, total - left + 1, total, with_why=True)
    if action_id in RETURN_TESTS:
        said[-len(action.outcomes) : -len(action.outcomes)] = limit_said(action_id, talk.job.facts)
    said[:0] = [caution(text) for text in safety.cautions_at(talk.gate, action_id)]
    return talk, said, Ask("confirm", tuple(outcome.id for outcome in action.outcomes))


def actions_left(gate: Gate, need: Need) -> int:
    """How many actions the way to a need still has; 1 where it begins and does not lead there to the end."""
    try:
        return len(safety.way(gate, need))
    except Refused:
        return 1


def put_test(talk: Talk, target: str, proof: bool) -> tuple[Talk, list[Said], Ask]:
    item = item_of(talk, target)
    said: list[Said] = [heading(say("prove_head"))] if proof else []
    said.append(present.test_question(item))
    instruction = safety.instruction_for_observation(talk.gate, item)
    said += present.instruction_said(talk, instruction, shown_before=talk.shown == str(item.need))
    said += present.healthy_line(talk.case, item)
    step = next((step for step in offered(talk) if step.target == target), None)
    if step is not None and not proof:
        said.append(present.step_line(step))
    said += present.test_options(item)
    words = tuple(option.word for option in said if isinstance(option, Option))
    label = name_of(target) if isinstance(item, Observation) and item.reading else "answer"
    return talk, said, Ask(label, words)


def put_remedy(talk: Talk, cause: str) -> tuple[Talk, list[Said], Ask]:
    item = talk.job.pack.causes[cause]
    said: list[Said] = [heading(item.remedy)]
    try:
        instruction = safety.instruction_for_remedy(talk.gate, item)
    except Refused as refusal:
        said.append(caution(str(refusal)))
        pairs = [("not_done", say("remedy_not_done"))]
    else:
        said += present.instruction_said(talk, instruction, shown_before=False)
        pairs = [("done", say("remedy_done")), ("not_done", say("remedy_not_done"))]
    said += [question(say("remedy_done_ask")), *options(pairs)]
    return talk, said, Ask("remedy", tuple(word for word, _ in pairs))


# -- the end --------------------------------------------------------------------------------------------


def put_close(talk: Talk) -> tuple[Talk, list[Said], Ask]:
    said = [*summary(talk), question(say("close_ask"))]
    pairs = [(word, say(key)) for word, key in CLOSINGS]
    pairs.append(("go_on", say("close_go_on")))
    return talk, [*said, *options(pairs)], Ask("end", tuple(word for word, _ in pairs))


def summary(talk: Talk) -> list[Said]:
    """What was found, what is left, and why there is nothing more to do."""
    said: list[Said] = []
    if talk.case.outside:
        return [Line(talk.case.outside, Tone.CAUTION)]
    done = talk.case.done
    if done is not None:
        said.append(Line(_done_words(done)))
    said.append(heading(say("found_head")))
    begin, repaired = talk.case.found(), set(talk.job.put_right)
    found = [name for name in begin if begin[name] > FOUND or name in repaired]
    for name in sorted(found, key=lambda cause: -begin[cause]):
        fixed = say("found_fixed") if name in repaired else say("found_open")
        line = say(
            "found_line",
            cause=present.cause_title(talk.case, name),
            chance=present.percent(begin[name]),
            fixed=fixed,
        )
        said.append(Line(line, indent=2))
    if not found:
        said.append(Line(say("found_nothing"), indent=2))
    if done is not None:
        said += _left_over(talk, done)
    return said


def _done_words(done: Done) -> str:
    key = {
        Why.SETTLED: "done_settled",
        Why.NOTHING_WORTH: "done_nothing",
        Why.NOT_DECIDABLE: "done_not_decidable",
        Why.OUTSIDE: "done_outside",
    }[done.why]
    return say(key)


def _left_over(talk: Talk, done: Done) -> list[Said]:
    said: list[Said] = []
    titles = {name: present.cause_title(talk.case, name) for name in (*done.left, *done.not_looked_at)}
    now = talk.case.confidence()
    if done.left:
        causes = "; ".join(f"{titles[name]} {present.percent(now[name])}" for name in done.left)
        said.append(Line(say("left_over", causes=causes)))
    if done.not_looked_at:
        causes = "; ".join(f"{titles[name]} {present.percent(now[name])}" for name in done.not_looked_at)
        said.append(caution(say("not_looked_at", causes=causes)))
    if done.needs:
        said.append(Line(say("could_tell", what=", ".join(name_of(name) for name in done.needs))))
    return said


def over_said(talk: Talk) -> list[Said]:
    """The last words of a closed job."""
    closed = talk.job.closed
    if closed is None:
        return [note(say("saved", path=talk.path) if talk.path else say("not_kept"))]
    key = "close_as_found" if safety.not_isolated(talk.gate) else dict(CLOSINGS)[closed.state]
    said: list[Said] = [Line(say("closed", how=say(key)))]
    if talk.path:
        said.append(note(say("closed_report", path=talk.path)))
    pack = talk.job.pack
    advice = [pack.causes[name].advice for name in dict.fromkeys((*talk.job.put_right, *closed.found))]
    told = [text for text in advice if text]
    if told:
        said.append(heading(say("closed_advice")))
        said += [Line(text, indent=2) for text in dict.fromkeys(told)]
    notice = notice_of(talk)
    if notice:
        said += [heading(say("closed_notice")), Line(notice, Tone.CAUTION)]
    return said


def notice_of(talk: Talk) -> str:
    """What is left with a machine that must not be used; empty where there is nothing to warn of."""
    closed, gate = talk.job.closed, talk.gate
    if closed is None or closed.state == "fit_for_use":
        return ""
    found, owed = unsafe(talk), bool(safety.owed_tests(gate))
    if closed.state == "handed_over" and not (gate.signs or found or owed):
        return ""
    return customer_notice(gate.signs, found, owed)


def changes(talk: Talk, before: dict[str, float], said: list[Said]) -> tuple[Talk, list[Said]]:
    """After an answer, what it came to, and under it: the faults that it moved, a conflict where there is a new one,
    and the status line."""
    out = [*said, *present.bar_items(talk, before)]
    clash = conflict(talk.case)
    fits_least = clash.fits_least if clash is not None else ""
    if fits_least and fits_least != talk.clash:
        out.append(caution(say("conflict", name=name_of(fits_least))))
    return replace(talk, clash=fits_least), [*out, present.status(talk)]


def steps_said(talk: Talk) -> list[Said]:
    said: list[Said] = [heading(say("steps_head"))]
    for number, step in enumerate(doable(talk), 1):
        minutes, worth = minutes_text(step.minutes), minutes_text(step.worth)
        text = say("step_line", title=step.title.rstrip("?."), minutes=minutes, worth=worth)
        said.append(Option(number, f"do {number}", text))
    return said


def doable(talk: Talk) -> list[Step]:
    """The steps a person can choose from, in the order shown."""
    return [step for step in offered(talk) if step.kind is not StepKind.CHANGE_ACCESS][:8]
