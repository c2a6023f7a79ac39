"""How things are put to a person: tests, remedies, safety actions, facts, and what an answer changed."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from faultfinder.dialogue.say import (
    Bar,
    Drawing,
    Line,
    Option,
    Said,
    Tone,
    caution,
    heading,
    note,
    options,
    question,
)
from faultfinder.dialogue.showing.reading import against, likeliest_two, unknown_behind
from faultfinder.dialogue.talk import Talk
from faultfinder.knowledge.formulas.bands import expected_value, fact_values, facts_behind, limits
from faultfinder.knowledge.formulas.plate import contradictions, relied_on
from faultfinder.knowledge.model import Access, Cause, Fact, Observation, Question
from faultfinder.knowledge.model import answer_text as answer_text
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.step import Step
from faultfinder.reasoning.evidence.answers import Given, Judged
from faultfinder.safety.dangers import told_at_once
from faultfinder.safety.gate import Instruction, access_words
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, format_quantity, format_span, minutes_text, name_of, percent

_STEP = re.compile(r"[0-9]{1,2}\. ")
LIKELY = 3
"""How many faults are shown after an answer; chosen for a small screen."""
LEAST_SHOWN = 0.03
SO_FAR = 4
"""Answers that are told when a job is taken up again; chosen."""
ALWAYS, MOVED = 1, 0.05
"""After an answer that moved anything: how many are shown in any case, and from which change on others are."""


def cause_title(case: Case, name: str) -> str:
    return case.pack.causes[name].title if name in case.pack.causes else name_of(name)


def clash_line(case: Case, fits_least: str) -> Said:
    """That answers do not fit together, with what to think of where the one that fits least is taken again; where it
    was already, nobody is sent to it a third time."""
    item = case.pack.observations[fits_least]
    twice = [given.observation for given in case.answers].count(fits_least) > 1
    if twice and not case.may_take_again(item):
        return caution(say("conflict_twice", name=name_of(fits_least)))
    return caution(say("conflict" if item.reading is not None else "conflict_seen", name=name_of(fits_least)))


def bar_lines(case: Case, before: dict[str, float] | None = None, count: int = LIKELY) -> list[Said]:
    """The likeliest faults now. After an answer, with what they were: the few likeliest, and what it moved, up or
    down; nothing where it moved nothing that shows."""
    now = case.confidence()
    order = sorted(now, key=lambda name: -now[name])
    shown = [name for name in order[:count] if now[name] >= LEAST_SHOWN]
    if before is not None:
        moved = {name: abs(now[name] - before.get(name, now[name])) for name in order}
        if all(move < MOVED for move in moved.values()):
            return []
        first = shown[:ALWAYS]
        most = sorted((name for name in order if moved[name] >= MOVED), key=lambda name: -moved[name])
        kept = {*first, *[name for name in most if name not in first][: count - len(first)]}
        shown = [name for name in order if name in kept]
    if not shown:
        return [Line(say("likely_none"))]
    said: list[Said] = [heading(say("likely_head"))]
    said += [Bar(cause_title(case, name), now[name], before.get(name) if before else None) for name in shown]
    return said


def so_far(talk: Talk) -> list[Said]:
    """For whoever takes a job up again: the complaint, the last answers, and what was put right."""
    said: list[Said] = []
    if talk.job.complaint:
        said.append(Line(say("so_far_complaint", text=talk.job.complaint)))
    if last := talk.case.answers[-SO_FAR:]:
        shown = [
            say("so_far_answer", name=name_of(given.observation), answer=as_given(talk.case, given))
            for given in last
        ]
        said.append(Line(say("so_far_last", count=len(talk.case.answers), answers="; ".join(shown))))
    if talk.job.put_right:
        titles = "; ".join(cause_title(talk.case, name) for name in talk.job.put_right)
        said.append(Line(say("so_far_done", causes=titles)))
    return said


def once_more(case: Case, observation: Observation) -> list[Said]:
    """That it was answered before, where it is put a second time."""
    given = case.latest(observation.id)
    if given is None or not case.may_take_again(observation):
        return []
    return [note(say("once_more", before=as_given(case, given)))]


def as_given(case: Case, given: Given) -> str:
    """An answer's text, or a reading as it was typed."""
    if given.reading is not None:
        return given.text
    return answer_text(case.pack.observations[given.observation], given.answer or given.text)


def status(talk: Talk) -> str:
    """One line: the access state, a danger that stands, minutes so far, how far the job is."""
    if talk.job.closed is not None:
        return ""
    covers = talk.gate.access is Access.AS_FOUND and talk.gate.covers_off
    parts = [say("status_covers_off" if covers else f"status_{talk.gate.access}")]
    if talk.gate.stop:
        parts.append(say("status_stop"))
    elif talk.gate.signs:
        parts.append(say("status_danger"))
    parts.append(minutes_text(max(1.0, talk.job.minutes)))
    if talk.machine_done and not talk.case.outside:
        parts.append(_how_far(talk))
    return ", ".join(parts)


def _how_far(talk: Talk) -> str:
    """How far the job is, in words: what is looked for, being proved, or looked at once more."""
    now = talk.case.confidence()
    likely = [name for name, chance in now.items() if chance > FOUND]
    done = len(dict.fromkeys(talk.job.put_right))
    key = "status_found" if likely else "status_looking"
    text = say(key, count=len(likely))
    return f"{text}, {say('status_mended', count=done)}" if done else text


def access_text(talk: Talk) -> str:
    if talk.gate.access is Access.AS_FOUND and talk.gate.covers_off:
        return say("access_covers_off_not_isolated")
    return access_words(talk.gate.access)


def instruction_said(instruction: Instruction) -> list[Said]:
    """The instruction as the gate gave it, with its cautions."""
    said: list[Said] = [caution(text) for text in (*instruction.cautions, *instruction.own)]
    if instruction.how:
        said.append(Line(steps_text(instruction.how), Tone.HOW))
    if instruction.probes:
        said.append(Drawing(instruction.probes.drawing, instruction.probes.words))
    return said


def steps_text(text: str) -> str:
    """An instruction with a line for each numbered step, however its rule file breaks the lines."""
    lines: list[str] = []
    for line in text.strip().split("\n"):
        words = line.strip()
        if lines and lines[-1] and words and not _STEP.match(words):
            lines[-1] += " " + words
        elif words or (lines and lines[-1]):
            lines.append(words)
    return "\n".join(line for line in lines if line)


def test_options(item: Observation | Question) -> list[Option]:
    """The numbered answers; none for a reading, which is typed."""
    if isinstance(item, Question):
        others = [("none", say("none_of_the_others"))] if item.several else []
        return options([*answers_of(item), *others])
    return options(answers_of(item)) if item.reading is None else []


def answers_of(item: Observation | Question) -> tuple[tuple[str, str], ...]:
    """What may be answered, as (word, text)."""
    if isinstance(item, Question):
        return tuple((choice.id, choice.text) for choice in item.choices)
    return tuple((answer.id, answer_text(item, answer.id)) for answer in item.answers)


def answer_texts(item: Observation | Question) -> list[str]:
    return [text for _, text in answers_of(item)]


def healthy_line(case: Case, item: Observation | Question) -> list[Said]:
    """What a healthy machine of this make-up reads, and what had to be assumed for it."""
    if isinstance(item, Question) or item.reading is None:
        return []
    values, unit = fact_values(case.pack, case.facts), item.reading.unit
    band = format_span(*limits(item, values)[0], unit)
    expected = expected_value(item, values)
    if expected is not None and math.isfinite(expected):
        text = say("healthy_expected", expected=format_quantity(expected, unit), band=band)
    else:
        text = say("healthy_reads", band=band)
    if used := facts_behind(case.pack, item, case.facts):
        text += " " + say("from_facts", facts=facts_text(case, used))
    return [Line(text)]


def facts_text(case: Case, names: tuple[str, ...]) -> str:
    """Facts as 'volts 240 V, high section watts 1400 W (assumed)'."""
    values = fact_values(case.pack, case.facts)
    pack, _ = relied_on(case.pack, case.facts)
    parts = []
    for name in names:
        value, fact, given = values.get(name), case.pack.facts[name], case.facts.get(name)
        if not isinstance(value, int | float):
            continue
        text = f"{name_of(name)} {format_quantity(float(value), fact.unit)}"
        if given is None:
            text += f" {say('fact_worked_out')}" if pack.facts[name] is not fact else " (assumed)"
        elif given != value:
            text += f" ({say('set_aside', given=format_quantity(float(given), fact.unit))})"
        parts.append(text)
    return ", ".join(parts)


def contradictions_said(case: Case, before: Case | None = None) -> list[Said]:
    """Facts that do not go together, and which count; those that were so `before` are not said again."""
    old = contradictions(before.pack, before.facts) if before is not None else ()
    out: list[Said] = []
    for found in contradictions(case.pack, case.facts):
        if found not in old:
            facts = ", ".join(_fact_text(case, name) for name in (found.watts, *found.others))
            out.append(caution(say("plate_contradicts", facts=facts, words=found.check.words)))
    return out


def _fact_text(case: Case, name: str) -> str:
    """A given fact as 'volts 240 V'."""
    value = case.facts[name]
    shown = value if isinstance(value, str) else format_quantity(value, case.pack.facts[name].unit)
    return f"{name_of(name)} {shown}"


def fact_said(fact: Fact) -> list[Said]:
    said: list[Said] = [question(fact.ask)]
    if fact.how:
        said.append(Line(steps_text(fact.how), Tone.HOW))
    if fact.where:
        said.append(note(say("fact_where", where=fact.where)))
    return [*said, *fact_options(fact)]


def fact_options(fact: Fact) -> list[Option]:
    return options(fact.choices.items()) if fact.kind == "choice" else []


def minutes_line(step: Step, *, worth: bool = False) -> Line:
    """What a step takes; with the reasons, what it saves as well."""
    minutes = minutes_text(step.minutes)
    if worth and not step.last:
        return note(say("step_minutes", minutes=minutes, worth=minutes_text(step.worth)))
    return note(say("step_last" if step.last else "step_minutes_only", minutes=minutes))


def why_step(case: Case, step: Step) -> list[Said]:
    """What each answer to the step would do, in one sentence each."""
    if (asked := case.pack.questions.get(step.target)) is not None:
        return [heading(say("why_head")), *_why_choices(case, asked)]
    said: list[Said] = [heading(say("why_head"))]
    observation = case.pack.observations.get(step.target)
    for each in step.reasons:
        title = cause_title(case, each.cause)
        if not each.answer:
            said.append(Line(say("why_cause", cause=title, chance=percent(each.before))))
            continue
        answer = answer_text(observation, each.answer) if observation else each.answer
        said.append(_why_line(title, answer, each.chance, each.before, each.after))
    return said


CHOICES_SAID = 4
"""Choices of a question whose effect is told; chosen."""


def _why_choices(case: Case, question_: Question) -> list[Said]:
    """What ticking each choice would do: the likeliest first."""
    now, outlook = case.confidence(), case.outlook(question_.observations)
    rows = []
    for choice in question_.choices:
        for name, answer in choice.sets.items():
            chance, after = outlook.get(name, {}).get(answer, (0.0, {}))
            changed = max(after, key=lambda cause: abs(after[cause] - now.get(cause, 0.0)), default="")
            if changed:
                title = cause_title(case, changed)
                rows.append((chance, _why_line(title, choice.text, chance, now[changed], after[changed])))
                break
    return [line for _, line in sorted(rows, key=lambda row: -row[0])[:CHOICES_SAID]]


def _why_line(cause: str, answer: str, chance: float, before: float, after: float) -> Line:
    how_likely, was, would_be = percent(chance), percent(before), percent(after)
    text = say("why_separates", answer=answer, chance=how_likely, cause=cause, before=was, after=would_be)
    return Line(text, indent=2)


def judged_line(case: Case, observation: Observation, judged: Judged) -> Line:
    """What an answer was taken as; a reading also against what it ought to have been."""
    name, answer = name_of(observation.id), answer_text(observation, judged.answer)
    text, beside = judged.given.text, against(case, observation, judged, with_band=False)
    if judged.given.reading is None:
        told = say("answer_taken", name=name, answer=answer)
    elif judged.on_the_edge:
        answers = choices(f"{each} ({percent(share)})" for each, share in likeliest_two(observation, judged))
        if unknown := unknown_behind(case, observation):
            told = say("reading_unsure", name=name, text=text, facts=unknown, answers=answers, against=beside)
        else:
            told = say("reading_edge", name=name, text=text, answers=answers, against=beside)
    else:
        told = say("reading_says", name=name, text=text, answer=answer, against=beside)
    return Line(told, Tone.CHANGE)


def sign_lines(signs: Sequence[str]) -> list[Said]:
    """What is told at once when danger signs are met, each text once."""
    return [Line(text, Tone.CAUTION) for text in told_at_once(signs)]


def remedy_said(case: Case, cause: Cause, *, parts: bool) -> list[Said]:
    """Whether to put a cause right; with the parts it takes, where the answers do not name them."""
    chance = percent(case.confidence()[cause.id])
    said: list[Said] = [
        question(say("remedy_ask", cause=cause.title, chance=chance)),
        Line(say("remedy_what", remedy=cause.remedy, minutes=minutes_text(cause.minutes))),
    ]
    if cause.parts and parts:
        said.append(Line(say("remedy_parts", parts=", ".join(cause.parts))))
    return said


def also_said(case: Case, cause: Cause) -> list[Said]:
    """What the remedy of a cause puts right as well, of what this machine can have."""
    titles = [cause_title(case, name) for name in cause.also_mends if name in case.applicable]
    return [Line(say("remedy_also", causes="; ".join(titles)))] if titles else []
