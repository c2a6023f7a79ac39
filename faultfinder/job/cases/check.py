"""What is wrong with the worked cases of a pack, without running them: a line that cannot be taken, one that says
nothing, and one that contradicts another. Nothing here reads or writes a file."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from faultfinder.errors import FaultFinderError
from faultfinder.job import events as happened
from faultfinder.job.cases.worked import CANNOT_FAIL, WorkedCase
from faultfinder.job.events import Event, Expect
from faultfinder.job.state import JobState, apply, begin
from faultfinder.knowledge.analysis.machines import Machine, machines, possible
from faultfinder.knowledge.formulas.bands import fact_values, limits
from faultfinder.knowledge.model import Mark, Observation, Pack, Question
from faultfinder.knowledge.problem import ERROR, WARNING, Problem
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.evidence.answers import understand
from faultfinder.text.format import listed

TAKEN = "case-line"
"""A line of a case that cannot be read or taken."""
DOUBT = "case-doubtful"
"""A line that says nothing, or contradicts another."""


@dataclass(slots=True)
class _Look:
    """A case as it is gone through: its text by line, what was told of it, and what stood where."""

    pack: Pack
    case: WorkedCase
    text: Sequence[str]
    facts: Mapping[str, str]
    known: Known
    found: list[Problem] = field(default_factory=list)
    answered: dict[str, int] = field(default_factory=dict)
    answers: dict[str, str] = field(default_factory=dict)
    given: dict[str, int] = field(default_factory=dict)

    def wrong(self, line: int, word: str, message: str, hint: str = "") -> None:
        """A line that cannot be taken."""
        self.found.append(Problem(self.mark(line, word), TAKEN, ERROR, message, hint))

    def doubt(self, line: int, word: str, message: str, hint: str = "") -> None:
        """A line that says nothing, or contradicts another."""
        self.found.append(Problem(self.mark(line, word), DOUBT, WARNING, message, hint))

    def mark(self, line: int, word: str) -> Mark:
        """Where a word stands on an event's lines; its first line where it is not found."""
        pattern = re.compile(rf"(?<![\w]){re.escape(word)}(?![\w])") if word else None
        for number in range(line, len(self.text) + 1):
            here = self.text[number - 1]
            if number > line and here[:1] not in (" ", "\t"):
                break
            at = pattern.search(here) if pattern is not None else None
            if at is not None:
                return Mark(self.case.file, number, at.start() + 1)
        return Mark(self.case.file, line, 1)


@dataclass(frozen=True, slots=True)
class Known:
    """What the cases of a pack share. names: those that a case may give its pack: its own, and the one that several
    cases agree on (a copied folder). sorts: every sort of machine that the pack is for."""

    names: frozenset[str]
    sorts: tuple[Machine, ...]


def known_of(pack: Pack, cases: Sequence[WorkedCase]) -> Known:
    """What the cases of a pack share, worked out once."""
    opened = Counter(
        event.pack for case in cases for event in case.events if isinstance(event, happened.Opened)
    )
    usual = [name for name, times in opened.most_common(1) if times > 1]
    return Known(frozenset((pack.name, *usual)), tuple(machines(pack)))


def case_problems(pack: Pack, case: WorkedCase, text: str, known: Known) -> list[Problem]:
    """Everything wrong with one case. text: its file as it stands; known: from `known_of`."""
    facts = {
        e.fact: e.value for e in case.events if isinstance(e, happened.FactGiven) and e.value != "unknown"
    }
    look = _Look(pack, case, text.split("\n"), facts, known)
    for problem in case.problems:
        level = problem.level if problem.code not in ("other-format", "clock-back") else WARNING
        code = TAKEN if level == ERROR else DOUBT
        hint = problem.hint or _named(pack, problem.message)
        look.found.append(Problem(problem.mark, code, level, problem.message, hint))
    state = begin(pack)
    for line, event in zip(case.lines, case.events, strict=True):
        if not isinstance(event, happened.Opened) and line == case.lines[0]:
            message = "a case begins with the pack that it is for"
            look.wrong(line, "", message, f"write {{opened: {pack.name}}}")
        if isinstance(event, Expect):
            _expected(look, line, event)
        else:
            state = _taken(look, line, event, state)
    if case.readable:
        _whole(look)
    return look.found


_OTHER_WORDS = {
    "answer: NAME, reads: ...": "reading measured measure measurement result",
    "answer: NAME, is: ...": "symptom observation observed look saw",
    "likely: {CAUSE: 0.8}": "expect expected should_be cause fault probable",
    "choice: NAME, is: ...": "question asked",
    "fact: NAME, is: ...": "machine plate type",
    "put_right: CAUSE": "repair repaired mended fixed replaced",
    "minutes_at_most: 30": "minutes time max_minutes",
    "first_step_one_of: [NAME]": "first_step first next_step",
}
"""How a line says it -> other words for what happens."""


def _named(pack: Pack, message: str) -> str:
    """How a line is written that begins with what was answered in place of saying that it was."""
    found = re.search(r'there is no event "([a-z0-9_]+)"', message)
    if found is None:
        return ""
    name = found[1]
    known = {**dict.fromkeys(pack.facts, "fact"), **dict.fromkeys(pack.observations, "answer")}
    if name in known:
        return f"write {{{known[name]}: {name}, is: ...}}"
    return next((f"write {{{line}}}" for line, words in _OTHER_WORDS.items() if name in words.split()), "")


def twins(cases: Sequence[WorkedCase]) -> Iterator[Problem]:
    """Cases that say the same as one before them, remarks aside."""
    first: dict[tuple[Event, ...], str] = {}
    for case in cases:
        remarks = happened.Complaint | happened.Noted
        said = tuple(event for event in case.events if not isinstance(event, remarks))
        if len(said) > 1 and said in first:
            message = f"the case says the same as {first[said]}"
            mark = Mark(case.file, case.lines[0], 1)
            yield Problem(mark, DOUBT, WARNING, message, "say what is different, or leave one out")
        first.setdefault(said, case.name)


# -- line by line ----------------------------------------------------------------------------------------


def _taken(look: _Look, line: int, event: Event, state: JobState) -> JobState:
    """The job after an event; what cannot be taken is told and left out."""
    pack = look.pack
    match event:
        case happened.Opened(opened):
            if opened not in look.known.names:
                message = f'the case is for the pack "{opened}", and this is {pack.name}'
                look.doubt(line, opened, message, f"write {{opened: {pack.name}}}")
        case happened.FactGiven(name, value):
            _fact(look, line, name, value)
        case happened.Answered(name) if name in pack.observations:
            _asked(look, line, pack.observations[name])
            if event.value:
                look.answers[name] = event.value
            _band(look, line, event, pack.observations[name])
        case happened.Chosen(name) if name in pack.questions:
            _asked(look, line, pack.questions[name])
        case happened.PutRight() | happened.Reassembled() | happened.RanAgain():
            look.answered.clear()
        case _:
            pass
    try:
        return apply(state, event)
    except FaultFinderError as error:
        word, hint = _culprit(look, event)
        message, _, own_hint = str(error).partition("; ")
        look.wrong(line, word, message.rstrip("."), hint or own_hint)
        return state


def _culprit(look: _Look, event: Event) -> tuple[str, str]:
    """The word of an event that cannot be taken, and what was meant, as far as that can be said."""
    pack = look.pack
    match event:
        case happened.FactGiven(name, value):
            return (name, did_you_mean(name, pack.facts)) if name not in pack.facts else (value, "")
        case happened.Answered(name) | happened.Corrected(name):
            if name in pack.questions:
                return name, "it is a question of several: write choice"
            if name not in pack.observations:
                return name, did_you_mean(name, pack.observations)
            observation = pack.observations[name]
            answers = [answer.id for answer in observation.answers]
            if event.value and event.value not in answers:
                hint = "a reading is written reads" if observation.reading is not None else ""
                return event.value, hint or did_you_mean(event.value, answers)
            if event.reads and observation.reading is None:
                return "reads", f"it is not a reading: write is, with one of {', '.join(answers)}"
            return event.reads or name, ""
        case happened.Chosen(name):
            if name in pack.observations:
                return name, "it is one observation: write answer"
            if name not in pack.questions:
                return name, did_you_mean(name, pack.questions)
            known = [choice.id for choice in pack.questions[name].choices]
            wrong = next((value for value in event.value if value not in (*known, "none")), name)
            return wrong, did_you_mean(wrong, known)
        case happened.PutRight(name):
            return name, did_you_mean(name, pack.causes) if name not in pack.causes else ""
    return "", ""


def _fact(look: _Look, line: int, name: str, value: str) -> None:
    fact = look.pack.facts.get(name)
    if name in look.given:
        message = f"{name} is given a second time"
        look.doubt(line, name, message, f"the first stands on line {look.given[name]}")
    look.given.setdefault(name, line)
    if fact is not None and not possible(fact.applies, look.facts):
        look.doubt(line, name, f"this machine has no {name}", _where(fact.applies, look.facts))


def _asked(look: _Look, line: int, item: Observation | Question) -> None:
    if item.id in look.answered:
        message = f"{item.id} is answered a second time, which replaces line {look.answered[item.id]}"
        look.doubt(line, item.id, message, "leave one out")
    look.answered[item.id] = line
    if not possible(item.applies, look.facts):
        message = f"{item.id} cannot be asked on this machine"
        look.doubt(line, item.id, message, _where(item.applies, look.facts))
    for gate, answers in item.only_if.items():
        if gate in look.answers and look.answers[gate] not in answers:
            message = (
                f"{item.id} is asked only after {gate} {' or '.join(answers)}, and it is {look.answers[gate]}"
            )
            look.doubt(line, item.id, message, "leave it out, or put the other answer right")


def _where(applies: Mapping[str, tuple[str, ...]], facts: Mapping[str, str]) -> str:
    """Which fact speaks against it."""
    for fact, choices in applies.items():
        if facts.get(fact, choices[0]) not in choices:
            return f"it needs {fact} {' or '.join(choices)}, and here it is {facts[fact]}"
    return ""


def _band(look: _Look, line: int, event: happened.Answered, observation: Observation) -> None:
    """An answer and a reading on one line that do not fit one another."""
    if not (event.value and event.reads) or observation.reading is None:
        return
    try:
        reading = understand(observation, event.reads, 0, None).reading
        facts = {name: float(text) if _is_number(text) else text for name, text in look.facts.items()}
        bounds = limits(observation, fact_values(look.pack, facts))
    except (FaultFinderError, ValueError):
        return
    bands = {answer.id: bound for answer, bound in zip(observation.answers, bounds, strict=True)}
    if reading is None or reading.over_range or event.value not in bands:
        return
    low, high = bands[event.value]
    if not low <= reading.value <= high:
        message = f"{event.reads} is not {event.value}: that runs from {low:g} to {high:g} {observation.reading.unit}"
        look.doubt(line, event.value, message, "leave is out: the reading says it")


def _is_number(text: str) -> bool:
    return re.fullmatch(r"[0-9.]+", text) is not None


# -- what must come out ----------------------------------------------------------------------------------


def _expected(look: _Look, line: int, event: Expect) -> None:
    pack = look.pack
    for name, _ in event.likely:
        _cause(look, line, name)
    for name, _ in event.unlikely:
        _cause(look, line, name, absent=True)
    unlikely = dict(event.unlikely)
    for name, least in event.likely:
        if least <= 0.0:
            hint = "write the least it must reach"
            look.doubt(line, name, f"likely {name}: {least:g} always holds", hint)
        most = unlikely.get(name)
        if most is not None and least > most:
            message = f"{name} cannot be both at least {least:g} and at most {most:g}"
            look.doubt(line, name, message, "leave one out")
        elif least >= 1.0:
            message = f"likely {name}: {least:g} can never hold: nothing is certain"
            look.doubt(line, name, message, "write 0.99 at most")
    for name, most in event.unlikely:
        cause = pack.causes.get(name)
        if most >= 1.0:
            look.doubt(line, name, f"unlikely {name}: {most:g} always holds", "write the most it may keep")
        elif most <= 0.0 and cause is not None and possible(cause.applies, look.facts):
            message = f"unlikely {name}: {most:g} can never hold: nothing is ruled out for good"
            look.doubt(line, name, message, "write 0.01 or more")
    known = [*pack.observations, *pack.questions, *pack.causes]
    for name in event.first_step_one_of:
        if name not in known:
            message = f'"{name}" is nothing that can be asked or put right'
            look.wrong(line, name, message, did_you_mean(name, known))
        elif name not in pack.causes and name in look.answered:
            message = f"{name} was answered on line {look.answered[name]}, so it cannot be the next step"
            look.doubt(line, name, message, "name what comes next")
    for name in event.found:
        _cause(look, line, name)
    if event.minutes_at_most is not None and event.minutes_at_most <= 0.0:
        message = f"minutes_at_most {event.minutes_at_most:g} can hardly hold"
        look.doubt(line, "minutes_at_most", message, "write the most it may have taken")


def _cause(look: _Look, line: int, name: str, *, absent: bool = False) -> None:
    """Tells of a name that is no cause; and of one that cannot arise on this machine, where it is to be found."""
    pack = look.pack
    if name not in pack.causes:
        other = "a state" if name in pack.states else "an observation" if name in pack.observations else ""
        hint = f"{name} is {other}: name the cause" if other else did_you_mean(name, pack.causes)
        look.wrong(line, name, f'there is no cause "{name}"', hint)
    elif not absent and not possible(pack.causes[name].applies, look.facts):
        message = f"{name} cannot arise on this machine"
        look.doubt(line, name, message, _where(pack.causes[name].applies, look.facts))


def _whole(look: _Look) -> None:
    """What a case as a whole lacks."""
    case = look.case
    if not case.events:
        return
    first = case.lines[0]
    if not case.expectations:
        look.doubt(case.lines[-1], "", CANNOT_FAIL.split(";")[0], "end it with likely or the like")
        return
    last = max(at for at, event in enumerate(case.events) if isinstance(event, Expect))
    for line, event in zip(case.lines[last + 1 :], case.events[last + 1 :], strict=True):
        if not isinstance(event, happened.Noted | happened.Closed):
            message = "nothing is expected after this line, so it is judged by nothing"
            look.doubt(line, "", message, "move it up, or say what must come out of it")
            break
    sorts = [each for each in look.known.sorts if all(look.facts.get(k, v) == v for k, v in each.items())]
    missing = [
        fact.id
        for fact in look.pack.facts.values()
        if fact.required and fact.id not in look.given and possible(fact.applies, look.facts)
        if fact.kind == "number" or len({each.get(fact.id) for each in sorts}) > 1
    ]
    if missing:
        is_not = "fact {} is" if len(missing) == 1 else "facts {} are"
        message = f"the required {is_not.format(listed(missing))} not given, so every sort of machine stays possible"
        hint = "write " + ", ".join(f"{{fact: {name}, is: ...}}" for name in missing)
        look.doubt(first, "", message, hint)
