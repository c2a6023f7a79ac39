"""How what is asked next is put to the person: the words, the options, and the label of the prompt."""

from __future__ import annotations

from dataclasses import replace

from faultfinder.dialogue import present
from faultfinder.dialogue.flow import (
    actions_left,
    can_be_asked,
    fact_of,
    item_of,
    latest,
    next_step,
    offered,
    on_the_plate,
)
from faultfinder.dialogue.safety_test import CANNOT, return_test_said
from faultfinder.dialogue.say import Ask, Line, Option, Said, Tone, caution, heading, note, options, question
from faultfinder.dialogue.summing_up import over_said, put_close
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
    AskUrgent,
    AskWhich,
    Over,
    Talk,
)
from faultfinder.dialogue.typed import name_of
from faultfinder.dialogue.urgent import put_urgent
from faultfinder.dialogue.words import minutes_text, say
from faultfinder.errors import Refused
from faultfinder.knowledge.bands import fact_values
from faultfinder.knowledge.model import Need, Observation
from faultfinder.reasoning.decision.access_cost import minutes_to
from faultfinder.reasoning.decision.step import StepKind
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS
from faultfinder.safety.dangers import ASKED, stop_text
from faultfinder.trade.reading import format_quantity


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
        case AskUrgent():
            return put_urgent(talk, talk.current)
        case Over():
            return talk, over_said(talk), Ask("")
    raise AssertionError(job)


def symptom_word(talk: Talk, name: str, answer: str) -> str:
    """The word that a symptom is chosen by: its name, with the answer where there is more than one abnormal one."""
    return name if len(talk.job.pack.observations[name].answers) == 2 else f"{name}:{answer}"


def symptom_text(talk: Talk, name: str, answer: str) -> str:
    """A symptom as an option: its question, with the answer where there is more than one abnormal one."""
    item = talk.job.pack.observations[name]
    if len(item.answers) == 2:
        return item.ask
    return f"{item.ask} {present.answer_text(item, answer)}"


def fact_needed(talk: Talk, name: str) -> str:
    """Why a fact is asked for before a reading, and what stands for it where it is not known."""
    value = fact_values(talk.job.pack, talk.case.facts).get(name)
    fact = talk.job.pack.facts[name]
    shown = ""
    if isinstance(value, int | float):
        shown = say("fact_assumed", value=format_quantity(float(value), fact.unit))
    target = talk.chosen or next((step.target for step in [next_step(talk)] if step is not None), "")
    title = item_of(talk, target).ask if can_be_asked(talk, target) else ""
    return say("fact_needed", title=title.rstrip("?. "), assumed=shown)


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
    title = item_of(talk, target).ask if can_be_asked(talk, target) else pack.causes[target].remedy
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
    words = tuple(outcome.id for outcome in action.outcomes)
    if action_id in RETURN_TESTS:
        said[-len(words) :], words = return_test_said(talk, action_id), (CANNOT,)
    said[:0] = [caution(text) for text in safety.cautions_at(talk.gate, action_id, talk.job.pack.cautions)]
    return talk, said, Ask("reads" if words == (CANNOT,) else "confirm", words)


def put_test(talk: Talk, target: str, proof: bool) -> tuple[Talk, list[Said], Ask]:
    item = item_of(talk, target)
    said: list[Said] = [heading(say("prove_head"))] if proof else []
    for run in runs_to_show(talk, target) if proof else []:
        said.append(note(say("then_run", cause=talk.job.pack.causes[run.id].title)))
        said += present.instruction_said(talk, run, shown_before=True)
    said.append(present.test_question(item))
    try:
        instruction = safety.instruction_for_observation(talk.gate, item, talk.job.pack.cautions)
    except Refused as refusal:
        said.append(caution(str(refusal)))
    else:
        said += present.instruction_said(talk, instruction, shown_before=talk.shown == str(item.need))
    said += present.healthy_line(talk.case, item)
    step = next((step for step in offered(talk) if step.target == target), None)
    if step is not None and not proof:
        said.append(present.step_line(step))
    said += present.test_options(item)
    words = tuple(option.word for option in said if isinstance(option, Option))
    label = name_of(target) if isinstance(item, Observation) and item.reading else "answer"
    return talk, said, Ask(label, words)


def runs_to_show(talk: Talk, target: str) -> list[safety.Instruction]:
    """How the machine is run to prove what was put right: with a proof of it seen in use, or where it has none,
    with the complaint, once the machine may be in use again. One for each cause that says so."""
    if not safety.permits(talk.gate, Need.IN_USE):
        return []
    observations = talk.job.pack.observations
    runs = []
    for name in talk.job.put_right:
        cause = talk.job.pack.causes[name]
        seen = [proof for proof in cause.proof if observations[proof].need is Need.IN_USE]
        last = name == talk.job.put_right[-1]
        complaint = target in observations and observations[target].symptom
        if target in seen or (last and not seen and complaint):
            instruction = safety.instruction_for_run(talk.gate, cause, talk.job.pack.cautions)
            runs += [instruction] if instruction.how else []
    return runs


def put_remedy(talk: Talk, cause: str) -> tuple[Talk, list[Said], Ask]:
    item = talk.job.pack.causes[cause]
    said: list[Said] = [heading(item.remedy)]
    try:
        instruction = safety.instruction_for_remedy(talk.gate, item, talk.job.pack.cautions)
    except Refused as refusal:
        said.append(caution(str(refusal)))
        pairs = [("not_done", say("remedy_not_done"))]
    else:
        said += present.instruction_said(talk, instruction, shown_before=False)
        pairs = [("done", say("remedy_done")), ("not_done", say("remedy_not_done"))]
    said += [question(say("remedy_done_ask")), *options(pairs)]
    return talk, said, Ask("remedy", tuple(word for word, _ in pairs))
