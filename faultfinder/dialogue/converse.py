"""A conversation, line by line: (talk, line, time) -> (talk, events to write down, what to say).

Commands first, since they work at any prompt; then the answer to what was asked; then, where a test is asked or
a step is offered, any reading or finding by its name. What is not understood changes nothing and says so.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from faultfinder.dialogue import commands, flow, present
from faultfinder.dialogue.complaint import matched
from faultfinder.dialogue.return_tests import judged, limit_for, limit_text
from faultfinder.dialogue.say import Line, Option, Said, Tone, error, heading, note
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
    Over,
    Talk,
    Turn,
    WorkOut,
    after,
    case_of,
    connected,
    first_regret,
)
from faultfinder.dialogue.typed import NotUnderstood, Piece, Typed, Which, name_of, read_line
from faultfinder.dialogue.words import minutes_text, say
from faultfinder.errors import BadAnswer, FaultFinderError, Refused
from faultfinder.job import events as happened
from faultfinder.job.events import ACCESS_NOT_CONFIRMED, Event
from faultfinder.job.state import JobState, replayed
from faultfinder.knowledge.model import Need, Observation, Question
from faultfinder.reasoning.advise import FOUND
from faultfinder.reasoning.facts import possible, read_fact
from faultfinder.safety import gate as safety
from faultfinder.safety.actions import ACTIONS, OPENING_NOTICE, RETURN_TESTS
from faultfinder.safety.dangers import ASKED, told_at_once


class NotTaken(FaultFinderError):
    """A reply that cannot be taken; nothing is recorded."""


Reply = tuple[Talk, list[Event], list[Said]]

SHORTEST = 3
"""Letters of an option's text from which on it is known by them; chosen."""
MOST_TYPED = 4_000
"""Characters in one line; more is a paste that went wrong. A long note has 2,000. Chosen."""
SAYS_NOTHING = ("none", "nothing", "other", "unknown")
"""Choices that mean no one fact, when they stand alone."""
STAYING = (AskWhich, AskCorrect, AskNewAnswer, AskReason, AskSymptoms, AskClose)
"""Prompts that stand until they are answered; all others are chosen anew each time."""


# -- begin and go on ------------------------------------------------------------------------------------


def start(job: JobState, path: str = "", *, resumed: bool = False, work_out: WorkOut = replayed) -> Turn:
    """The opening of a conversation on a new job, or on one that is taken up again. `work_out`: see talk.py."""
    events: list[Event] = []
    talk = Talk(job, case_of(job, work_out=work_out), Over(), path, work_out=work_out)
    if resumed:
        events = [happened.Resumed("taken up again")]
        said: list[Said] = [heading(say("resumed", pack=job.pack.title, job=path))]
        answered = bool(job.complaint or job.given)
        talk = replace(talk, symptoms_done=answered, dangers_done=answered, plate_done=answered)
    else:
        said = [heading(say("title", pack=job.pack.title))]
    said.append(Line(OPENING_NOTICE, Tone.CAUTION))
    if path and not resumed:
        said.append(note(say("file", path=path)))
    if job.seen is not None:
        said.append(note(say("seen_used", jobs=job.seen.jobs, weight=f"{job.seen.weight:g}")))
    said.append(note(say("how_to")))
    talk = after(talk, events)
    if resumed and not talk.case.outside:
        talk = replace(talk, worst=max(talk.worst, first_regret(talk)))
        said += [*present.so_far(talk), *present.bar_items(talk)]
    return _turn(talk, events, said)


def reply(talk: Talk, line: str, at: datetime | None = None) -> Turn:
    """What a typed line leads to. Never raises for anything a person can type."""
    early, first = _pause(talk, at)
    talk = replace(after(talk, early), last_at=at)
    try:
        if len(line) > MOST_TYPED:
            raise NotTaken(say("too_long", count=f"{len(line):,}", most=f"{MOST_TYPED:,}"))
        # Half of a character (a pipe can bring it) cannot be kept: it counts as the sign for what is no character.
        talk, events, said = _understood(talk, re.sub("[\ud800-\udfff]", "\ufffd", line).strip())
    except FaultFinderError as refusal:
        if early:
            # What was asked may no longer stand after a pause: it is chosen anew.
            return _turn(replace(talk, current=Over()), early, [*first, error(str(refusal))])
        return Turn(talk, (), (error(str(refusal)),), talk.asked)
    return _turn(talk, [*early, *events], [*first, *said])


def stamped(events: Sequence[Event], at: datetime) -> list[Event]:
    """The events with the time they were taken at."""
    text = at.isoformat(timespec="seconds")
    return [event if isinstance(event, happened.Expect) else replace(event, at=text) for event in events]


def _turn(talk: Talk, events: list[Event], said: list[Said]) -> Turn:
    """Choose what is asked next and put it. Showing an instruction is an event of its own."""
    leaving = isinstance(talk.current, Over) and talk.chosen == "stop"
    if leaving:
        pass
    elif not isinstance(talk.current, STAYING) or (
        talk.gate.stop and not isinstance(talk.current, AskReason)
    ):
        talk, current = flow.next_current(talk)
        talk = replace(talk, current=current)
    talk, told, ask = flow.put(talk)
    advice = _advice(talk)
    if advice:
        talk = after(talk, advice)
        talk = replace(talk, shown=_shown_need(talk))
    texts = tuple((item.word, item.text) for item in told if isinstance(item, Option))
    ask = replace(ask, texts=texts, names=_names(talk))
    return Turn(replace(talk, asked=ask), (*events, *advice), (*said, *told), ask)


def _names(talk: Talk) -> Mapping[str, tuple[str, ...]]:
    """What may be typed beside the answers, for completion: what can be looked at here and the commands, and what may
    follow a command."""
    pack = talk.job.pack
    items = [name for name, item in pack.observations.items() if possible(item.applies, talk.case.facts)]
    faults = [cause.title for cause in pack.causes.values() if possible(cause.applies, talk.case.facts)]
    return {
        "": (*map(name_of, items), *commands.WORDS),
        commands.ITEM: tuple(map(name_of, items)),
        commands.FAULT: tuple(faults),
        commands.WORD: tuple(pack.glossary),
    }


def _advice(talk: Talk) -> list[Event]:
    match talk.current:
        case AskTest(target, _):
            need = flow.item_of(talk, target).need
            if need in (Need.ANYWHERE, Need.COVERS_ON):
                return []
            return [happened.Advised(target, str(need))]
        case AskRemedyDone(cause):
            need = safety.remedy_need(talk.job.pack.causes[cause])
            if safety.permits(talk.gate, need):
                return [happened.Advised(cause, str(need), work="remedy")]
    return []


def _shown_need(talk: Talk) -> str:
    if isinstance(talk.current, AskTest):
        return str(flow.item_of(talk, talk.current.target).need)
    return talk.shown


def _pause(talk: Talk, at: datetime | None) -> tuple[list[Event], list[Said]]:
    """A pause event when the last line lies too far back, or the clock went back."""
    if at is None or talk.last_at is None or talk.job.closed is not None:
        return [], []
    minutes = (at - talk.last_at).total_seconds() / 60.0
    remedy = talk.job.remedy
    allowed = remedy.minutes if remedy is not None else 0.0
    if isinstance(talk.current, AskTest):
        allowed = max(allowed, flow.item_of(talk, talk.current.target).minutes)
    if 0.0 <= minutes <= max(safety.PAUSE_MINUTES, allowed):
        return [], []
    key = "paused" if minutes > 0 else "clock_back"
    text = say(key, minutes=minutes_text(minutes)) if minutes > 0 else say(key)
    return [happened.Paused(round(minutes, 1), allowed)], [Line(text, Tone.CAUTION)]


# -- one line -------------------------------------------------------------------------------------------


def _understood(talk: Talk, line: str) -> Reply:
    if talk.job.closed is not None:
        raise NotTaken(say("closed", how=talk.job.closed.state, path=talk.path))
    command = None if _is_option(talk, line) else commands.find(line)
    if command is not None and not isinstance(talk.current, AskComplaint | AskReason):
        return command(talk, line)
    if command is not None and commands.always(line):
        return command(talk, line)
    line = _by_text(talk, line)
    match talk.current:
        case AskComplaint():
            return _complaint(talk, line)
        case AskSymptoms():
            return _symptoms(talk, line)
        case AskDangers():
            return _dangers(talk, line)
        case AskFact(fact, required):
            return _fact(talk, fact, required, line)
        case AskPlate():
            return _plate(talk, line)
        case AskGo(need, target):
            return _go(talk, need, target, line)
        case AskAction(action, _):
            return _action(talk, action, line)
        case AskTest(target, _):
            return _test(talk, target, line)
        case AskRemedy(cause):
            return _remedy(talk, cause, line)
        case AskRemedyDone(cause):
            return _remedy_done(talk, cause, line)
        case AskHandOver(cause):
            try:
                _option(line, ("ok",))
            except NotTaken as refusal:
                return _take(talk, _elsewhere(talk, line, refusal))
            return _handed(talk, cause)
        case AskWhich(which):
            name = _option(line, which.observations)
            return _take(replace(talk, current=Over()), [Typed(name, which.answer)])
        case AskCorrect():
            return _correct(talk, line)
        case AskNewAnswer(name):
            return _new_answer(talk, name, line)
        case AskStopped():
            return _stopped(talk, line)
        case AskReason():
            return _restart(talk, line)
        case AskClose():
            return _close(talk, line)
        case Over():
            raise NotTaken(say("not_understood", text=line, hint=""))
    raise AssertionError(talk.current)


def _is_option(talk: Talk, line: str) -> bool:
    """Whether the line is one of the words that the current question offers, whatever command it may be."""
    return line.casefold() in talk.asked.words


def _by_text(talk: Talk, line: str) -> str:
    """The word of the option whose text begins with what was typed, or holds it; else the line itself. `yes` to an
    action is that it is done."""
    texts = talk.asked.texts
    plain = " ".join(line.casefold().split()).rstrip(".")
    words = [word for word, _ in texts]
    if plain in ("yes", "y", "ok") and isinstance(talk.current, AskAction) and words[:1] == ["done"]:
        return "done"
    if len(plain) < SHORTEST or any(word.casefold().startswith(plain.replace(" ", "_")) for word in words):
        return line
    for fits in (str.startswith, _holds):
        found = [word for word, text in texts if fits(text.casefold(), plain)]
        if len(found) == 1:
            return found[0]
    return line


def _holds(text: str, plain: str) -> bool:
    return re.search(rf"\b{re.escape(plain)}\b", text) is not None


def _option(line: str, words: tuple[str, ...]) -> str:
    """The word chosen by number or by its beginning. Raises NotTaken naming the choices."""
    text = line.casefold().strip().rstrip(".")
    if text.isdecimal() and text.isascii() and 1 <= int(text[:6]) <= len(words):
        return words[int(text[:6]) - 1]
    plain = text.replace(" ", "_")
    fits = [word for word in words if word.casefold() == plain] or [
        word for word in words if plain and word.casefold().startswith(plain)
    ]
    if len(fits) == 1:
        return fits[0]
    shown = ", ".join(f"{number} {name_of(word)}" for number, word in enumerate(words, 1))
    raise NotTaken(say("not_understood", text=line[:40], hint=say("choose", words=shown)))


def _elsewhere(talk: Talk, line: str, refusal: NotTaken, current: str | None = None) -> list[Piece]:
    """What the line says of other observations, where it is no answer to the question. Raises the refusal, or why
    a reading that was named does not fit."""
    found = typed_pieces(talk, line, current)
    if found and all(isinstance(piece, Typed | Which) for piece in found):
        return found
    for piece in found:
        if isinstance(piece, NotUnderstood) and piece.because:
            raise NotTaken(piece.because)
    raise refusal


def _anything(talk: Talk, line: str, refusal: NotTaken) -> Reply:
    """Facts and readings mixed, parted by `;`, where a fact or the plate was asked for. Raises the refusal where a
    piece is neither."""
    events: list[Event] = []
    rest: list[str] = []
    for piece in (part.strip() for part in line.split(";")):
        fact = _fact_piece(talk, piece) if piece else None
        if fact is not None:
            events.append(fact)
        elif piece:
            rest.append(piece)
    now = after(talk, events)
    said = _facts_told(now, talk, events)
    if not rest:
        return now, events, said
    now, more, told = _take(now, _elsewhere(now, "; ".join(rest), refusal))
    return now, [*events, *more], [*said, *told]


def _fact_piece(talk: Talk, piece: str) -> happened.FactGiven | None:
    """A fact with its value, or a choice that only one fact has; None for anything else."""
    facts = talk.job.pack.facts
    choice = "_".join(piece.casefold().split())
    having = [fact.id for fact in facts.values() if choice in fact.choices]
    if len(having) == 1 and len(choice) > 3 and choice not in SAYS_NOTHING:
        return happened.FactGiven(having[0], choice)
    best = commands.fact_and_value(facts, piece)
    if best is None:
        return None
    name, value = best
    if facts[name].kind == "choice":
        value = _option(value, tuple(facts[name].choices))
    read_fact(facts[name], value)
    return happened.FactGiven(name, value)


def _facts_told(now: Talk, before: Talk, events: Sequence[Event]) -> list[Said]:
    known = ", ".join(f"{name_of(e.fact)} {e.value}" for e in events if isinstance(e, happened.FactGiven))
    said: list[Said] = [Line(say("plate_taken", known=known))] if known else []
    return [*said, *present.contradictions_said(now.case, before.case)]


def _several(line: str, words: tuple[str, ...]) -> list[str]:
    """The words chosen by numbers or words, parted by blanks or commas."""
    parts = [part for part in re.split(r"[\s,;]+", line) if part]
    if not parts:
        raise NotTaken(say("not_understood", text=line, hint=say("choose", words="numbers, or none")))
    return list(dict.fromkeys(_option(part, words) for part in parts))


# -- the beginning --------------------------------------------------------------------------------------


def _complaint(talk: Talk, line: str) -> Reply:
    if _all_readings(line) and all(isinstance(piece, Typed) for piece in typed_pieces(talk, line)):
        return _take(talk, typed_pieces(talk, line))
    symptoms = _symptom_list(talk)
    names = matched(symptoms, line) if line else []
    if names and isinstance(talk.current, AskSymptoms) and not talk.current.everything:
        # More words of the same customer: what they said before is still meant.
        names = list(dict.fromkeys([*(name for name, _ in talk.current.offered), *names]))
    offered = [item for name in names for item in symptoms if item.id == name] or symptoms
    pairs = tuple((item.id, answer.id) for item in offered for answer in item.answers[1:])
    current = AskSymptoms(pairs, everything=not names)
    events: list[Event] = [happened.Complaint(line)] if line else []
    talk = after(talk, events)
    talk = replace(talk, symptoms_done=False, current=current)
    if not pairs:
        return replace(talk, symptoms_done=True), events, []
    return talk, events, []


def _all_readings(line: str) -> bool:
    """Whether every piece of a line has a figure or OL in it: no customer talks like that."""
    return bool(line) and all(re.search(r"[0-9]|\bOL\b", piece, re.I) for piece in line.split(";"))


def _symptom_list(talk: Talk) -> list[Observation]:
    pack = talk.job.pack
    return [
        item
        for item in pack.observations.values()
        if item.symptom and possible(item.applies, talk.case.facts) and item.reading is None
    ]


def _symptoms(talk: Talk, line: str) -> Reply:
    assert isinstance(talk.current, AskSymptoms)
    shown = talk.current.offered
    if line.casefold() in ("more", "all") and not talk.current.everything:
        all_ = tuple((item.id, answer.id) for item in _symptom_list(talk) for answer in item.answers[1:])
        return replace(talk, current=AskSymptoms(all_, everything=True)), [], []
    pairs = {flow.symptom_word(talk, name, answer): (name, answer) for name, answer in shown}
    in_full = {f"{name}:{answer}": word for word, (name, answer) in pairs.items()}
    typed = " ".join(in_full.get(part, part) for part in line.split())
    events: list[Event] = []
    try:
        chosen = _several(typed, (*pairs, "none"))
    except NotTaken as refusal:
        if matched(_symptom_list(talk), line):
            return _complaint(talk, line)
        return _anything(talk, line, refusal)
    for word in chosen:
        if word != "none":
            name, answer = pairs[word]
            events.append(happened.Answered(name, answer, access=""))
            sign = talk.job.pack.observations[name].danger.get(answer)
            if sign:
                events.append(happened.DangerSeen(sign))
    dangers_done = talk.dangers_done
    talk = replace(after(talk, events), symptoms_done=True, current=Over(), dangers_done=dangers_done)
    told = [event.observation for event in events if isinstance(event, happened.Answered)]
    if not told:
        return talk, events, [Line(say("complaint_none"))]
    signs = [event.sign for event in events if isinstance(event, happened.DangerSeen)]
    said: list[Said] = [Line(say("complaint_taken", what=", ".join(name_of(name) for name in told)))]
    return talk, events, [*said, *sign_lines(signs)]


def _dangers(talk: Talk, line: str) -> Reply:
    try:
        chosen = _several(line, (*ASKED, "none"))
    except NotTaken as refusal:
        return _anything(talk, line, refusal)
    signs = [word for word in chosen if word != "none"]
    if not signs:
        events: list[Event] = []
        if any(action.id == "dangers_answered" for action in safety.open_actions(talk.gate)):
            events = [happened.Confirmed("dangers_answered")]
        key = "danger_no_more" if talk.gate.signs else "danger_none"
        return replace(after(talk, events), dangers_done=True), events, [Line(say(key))]
    return danger_reply(talk, signs)


def danger_reply(talk: Talk, signs: Sequence[str]) -> Reply:
    """Danger signs were met: they are written down, the pack's own symptoms for them too, and the person told."""
    events: list[Event] = [happened.DangerSeen(sign) for sign in signs]
    for item in talk.job.pack.observations.values():
        for answer, sign in item.danger.items():
            if (
                sign in signs
                and talk.case.latest(item.id) is None
                and possible(item.applies, talk.case.facts)
            ):
                if item.need is Need.ANYWHERE and item.reading is None:
                    events.append(happened.Answered(item.id, answer))
    now = replace(after(talk, events), dangers_done=True, wanted=None, chosen="", current=Over())
    return now, events, sign_lines(signs)


def sign_lines(signs: Sequence[str]) -> list[Said]:
    """What is told at once when danger signs are met, each text once."""
    return [Line(text, Tone.CAUTION) for text in told_at_once(signs)]


def _fact(talk: Talk, name: str, required: bool, line: str) -> Reply:
    fact = flow.fact_of(talk, name)
    asked = talk.facts_asked | {name}
    if not line or line.casefold() in ("unknown", "dk", "don't know", "dont know", "?"):
        if required:
            raise NotTaken(say("choose", words=", ".join(fact.choices) or fact.unit))
        return replace(talk, facts_asked=asked), [], []
    try:
        value = _option(line, tuple(fact.choices)) if fact.kind == "choice" else line
        read_fact(fact, value)
    except FaultFinderError as problem:
        return _anything(talk, line, NotTaken(str(problem).replace(name, name_of(name))))
    events: list[Event] = [happened.FactGiven(name, value)]
    now = replace(after(talk, events), facts_asked=asked)
    return now, events, present.contradictions_said(now.case, talk.case)


def _plate(talk: Talk, line: str) -> Reply:
    if not line or line.casefold() in SAYS_NOTHING:
        return replace(talk, plate_done=True), [], []
    hint = say("plate_example", example=flow.plate_example(talk))
    now, events, said = _anything(talk, line, NotTaken(say("not_understood", text=line[:40], hint=hint)))
    some = any(isinstance(event, happened.FactGiven) for event in events)
    return replace(now, plate_done=some), events, said


def plate_events(talk: Talk, line: str) -> list[Event]:
    """The facts of one typed line, parted by `;`: a name (its beginning will do) and a value. Raises NotTaken."""
    events: list[Event] = []
    for piece in (part.strip() for part in line.split(";")):
        if not piece:
            continue
        fact = _fact_piece(talk, piece)
        if fact is None:
            hint = say("plate_example", example=flow.plate_example(talk))
            raise NotTaken(say("not_understood", text=piece[:40], hint=hint))
        events.append(fact)
    return events


# -- access ---------------------------------------------------------------------------------------------


def _go(talk: Talk, need: Need, target: str, line: str) -> Reply:
    try:
        word = _option(line, ("yes", "no"))
    except NotTaken as refusal:
        return _take(talk, _elsewhere(talk, line, refusal))
    if word == "yes":
        total = len(talk.gate.held) + len(safety.way(connected(talk.gate), need))
        return replace(talk, wanted=need, chosen=target, way_total=total), [], []
    # Whoever does not want to go there is not asked for the next thing there at once.
    there = {step.target for step in flow.offered(talk) if flow.need_of_step(talk, step) is need}
    return replace(talk, declined=talk.declined | {target} | there, chosen="", wanted=None), [], []


def _action(talk: Talk, action_id: str, line: str) -> Reply:
    action = ACTIONS[action_id]
    measured: list[Said] = []
    event: Event
    if action_id in RETURN_TESTS:
        event, measured = _return_test(talk, action_id, line)
        word = event.outcome
    else:
        try:
            word = _option(line, tuple(outcome.id for outcome in action.outcomes))
        except NotTaken as refusal:
            return _take(talk, _elsewhere(talk, line, refusal))
        event = happened.Confirmed(action_id, word)
    outcome = action.outcome(word)
    assert outcome is not None
    before = talk.gate.access
    stuck = outcome.id in ("cannot", "applies", "not_yet")
    talk = after(talk, [event])
    said = measured + ([Line(outcome.says, Tone.CAUTION)] if outcome.says else [])
    if talk.gate.access is not before:
        said.append(note(say("arrived", access=present.access_text(talk))))
    if talk.gate.stop and talk.chosen == flow.CLOSE_STOPPED:
        if safety.asked_after_stop(talk.gate) is None:
            talk, events, _ = _closed_stopped(talk, [event])
            return talk, events, said
    elif outcome.id in ("cannot", "applies"):
        # This way is closed for now: what needed it is put aside, the reasoning goes on without it.
        declined = talk.declined | ({talk.chosen} if talk.chosen else set())
        talk = replace(talk, wanted=None, chosen="", declined=declined)
    elif not stuck and talk.wanted is not None and talk.wanted in talk.case.unreachable:
        talk = replace(talk, wanted=None, chosen="")
    return talk, [event], said


def _return_test(talk: Talk, test: str, line: str) -> tuple[happened.ReturnTested, list[Said]]:
    """A return test answered: by what was read, held against its limit, or by choice."""
    limit = limit_text(test, limit_for(test, talk.job.facts))
    try:
        word = _option(line, tuple(outcome.id for outcome in ACTIONS[test].outcomes))
    except NotTaken:
        word, reads, limit = judged(test, line, talk.job.facts)
        told = say("return_judged", test=name_of(test), reads=reads, outcome=word, limit=limit)
        return happened.ReturnTested(test, word, reads=reads, limit=limit), [Line(told, Tone.CHANGE)]
    return happened.ReturnTested(test, word, limit=limit), []


# -- tests and readings ---------------------------------------------------------------------------------


def typed_pieces(talk: Talk, line: str, current: str | None = None) -> list[Piece]:
    """What a typed line says of observations that apply to this machine."""
    items = [item for item in talk.job.pack.observations.values() if possible(item.applies, talk.case.facts)]
    return read_line(items, line, current)


def _test(talk: Talk, target: str, line: str) -> Reply:
    item = flow.item_of(talk, target)
    if isinstance(item, Question):
        return _question(talk, item, line)
    if item.reading is None:
        try:
            word = _option(line, tuple(answer.id for answer in item.answers))
        except NotTaken as refusal:
            return _take(talk, _elsewhere(talk, line, refusal, target))
        return _take(talk, [Typed(target, word)])
    return _take(talk, typed_pieces(talk, line, target) or [NotUnderstood(line)])


def _question(talk: Talk, item: Question, line: str) -> Reply:
    words = tuple(choice.id for choice in item.choices)
    try:
        chosen = _several(line, (*words, "none")) if item.several else [_option(line, words)]
    except NotTaken as refusal:
        return _take(talk, _elsewhere(talk, line, refusal))
    before = talk.case.confidence()
    event = happened.Chosen(item.id, tuple(chosen), access=_access(talk, item.need))
    events: list[Event] = [event]
    sets = talk.case.choices(item, chosen)
    pack = talk.job.pack
    signs = [sign for name, answer in sets.items() if (sign := pack.observations[name].danger.get(answer))]
    events += [happened.DangerSeen(sign) for sign in signs]
    talk = replace(after(talk, events), chosen="")
    said: list[Said] = [
        Line(
            say(
                "answer_taken",
                name=name_of(name),
                answer=present.answer_text(pack.observations[name], answer),
            ),
            Tone.CHANGE,
        )
        for name, answer in sets.items()
        if answer != pack.observations[name].healthy
    ]
    talk, out = flow.changes(talk, before, [*said, *sign_lines(signs)])
    return talk, events, out


def _access(talk: Talk, need: Need) -> str:
    """How the access of an answer is recorded: nothing for what needs none, else confirmed here or not."""
    if need is Need.ANYWHERE:
        return ""
    return str(talk.gate.access) if safety.permits(talk.gate, need) else ACCESS_NOT_CONFIRMED


def _take(talk: Talk, pieces: Sequence[Piece]) -> Reply:
    """Take what was typed; all of a line or, where something is not understood, nothing of it."""
    for piece in pieces:
        if isinstance(piece, NotUnderstood):
            raise NotTaken(piece.because or say("not_understood", text=piece.piece[:40], hint="Type help."))
    for piece in pieces:
        if isinstance(piece, Which):
            return replace(talk, current=AskWhich(piece)), [], []
    before = talk.case.confidence()
    events: list[Event] = []
    said: list[Said] = []
    now = talk
    for piece in pieces:
        assert isinstance(piece, Typed)
        now, happening, told = _answer(now, piece)
        events += happening
        said += told
    # Whoever is ending the job is asked for all of the complaint, and goes on looking only if some of it is left.
    answered = [piece.observation for piece in pieces if isinstance(piece, Typed)]
    ending = talk.chosen.startswith("close:") and not flow.still_complained_of(now, answered)
    now = replace(now, chosen=talk.chosen if ending else "", current=Over())
    now, out = flow.changes(now, before, said)
    if ending and not flow.complaints_to_ask(now):
        now, events = _closed_if_it_can_be(now, events, talk.chosen.removeprefix("close:"))
    return now, events, out


def _answer(talk: Talk, piece: Typed) -> Reply:
    item = talk.job.pack.observations[piece.observation]
    answer = next((a.id for a in item.answers if piece.answer.casefold() in (a.id, a.text.casefold())), "")
    access = _access(talk, item.need)
    reads = "" if answer else piece.answer
    inside = item.need is Need.OPEN_DEAD
    event = happened.Answered(item.id, answer, reads=reads, access=access, inside=inside)
    talk = after(talk, [event])
    given = talk.case.latest(item.id)
    assert given is not None
    judged = talk.case.judged(given)
    said: list[Said] = [present.judged_line(talk.case, item, judged)]
    if access == ACCESS_NOT_CONFIRMED:
        said.append(note(say("not_confirmed")))
    events: list[Event] = [event]
    sign = item.danger.get(judged.answer)
    if sign and not (answer and item.danger.get(answer)):
        events.append(happened.DangerSeen(sign))
        talk = after(talk, events[1:])
    if sign:
        said += sign_lines([sign])
    return talk, events, said


# -- remedies -------------------------------------------------------------------------------------------


def _remedy(talk: Talk, cause: str, line: str) -> Reply:
    try:
        word = _option(line, ("do", "later", "cannot"))
    except NotTaken as refusal:
        return _take(talk, _elsewhere(talk, line, refusal))
    if word == "do":
        event = happened.RemedyStarted(cause, talk.job.pack.causes[cause].minutes)
        return replace(after(talk, [event]), chosen=""), [event], []
    events: list[Event] = []
    if word == "cannot":
        events = [happened.Noted(f"not put right here: {talk.job.pack.causes[cause].title}")]
    return replace(after(talk, events), declined=talk.declined | {cause}, chosen=""), events, []


def _remedy_done(talk: Talk, cause: str, line: str) -> Reply:
    item = talk.job.pack.causes[cause]
    need = safety.remedy_need(item)
    words = ("done", "not_done") if safety.permits(talk.gate, need) else ("not_done",)
    try:
        word = _option(line, words)
    except NotTaken as refusal:
        return _take(talk, _elsewhere(talk, line, refusal))
    if word == "not_done":
        events: list[Event] = [happened.RemedyLeft(cause)]
        now = replace(after(talk, events), declined=talk.declined | {cause}, shown="")
        return now, events, []
    event = happened.PutRight(
        cause,
        access=_access(talk, need),
        inside=need is Need.OPEN_DEAD,
        electrical=item.touches_electrics,
        work=item.remedy,
    )
    talk = replace(after(talk, [event]), declined=frozenset(), chosen="", shown="")
    # Nothing was learnt by it: what is likely now is told with the proof.
    said: list[Said] = [Line(say("remedy_taken", remedy=item.remedy), Tone.CHANGE), present.status(talk)]
    return talk, [event], said


def _handed(talk: Talk, cause: str) -> Reply:
    item = talk.job.pack.causes[cause]
    event = happened.Noted(f"for a licensed person: {item.remedy}")
    return replace(after(talk, [event]), declined=talk.declined | {cause}), [event], []


# -- corrections ----------------------------------------------------------------------------------------


def _correct(talk: Talk, line: str) -> Reply:
    if not line:
        return replace(talk, current=Over()), [], []
    names = tuple(given.observation for given in flow.latest(talk))
    return replace(talk, current=AskNewAnswer(_option(line, names))), [], []


def _new_answer(talk: Talk, name: str, line: str) -> Reply:
    before = talk.case.confidence()
    item = talk.job.pack.observations[name]
    if not line:
        event: Event = happened.Withdrawn(name)
        told = say("taken_back", name=name_of(name))
    else:
        words = tuple(answer.id for answer in item.answers)
        try:
            event = happened.Corrected(name, _option(line, words))
        except NotTaken:
            if item.reading is None:
                raise
            event = happened.Corrected(name, reads=line)
        told = say("corrected", name=name_of(name))
    talk = replace(after(talk, [event]), current=Over())
    said: list[Said] = [Line(told, Tone.CHANGE)]
    events = [event]
    given = talk.case.latest(name) if line else None
    sign = item.danger.get(talk.case.judged(given).answer) if given is not None else None
    if sign:
        # An answer's own sign goes with the correction; a reading's only with the band that it falls into.
        if isinstance(event, happened.Corrected) and event.reads:
            events.append(happened.DangerSeen(sign))
            talk = after(talk, events[1:])
        said += sign_lines([sign])
    talk, out = flow.changes(talk, before, said)
    return talk, events, out


# -- stop and end ---------------------------------------------------------------------------------------


def _stopped(talk: Talk, line: str) -> Reply:
    if _option(line, ("close", "restart")) == "restart":
        # The flow would put the stop again; the reason is asked for instead.
        return replace(talk, current=AskReason()), [], []
    if safety.asked_after_stop(talk.gate) is None:
        return _closed_stopped(talk, [])
    return replace(talk, chosen=flow.CLOSE_STOPPED, current=Over()), [], []


def _closed_stopped(talk: Talk, events: list[Event]) -> Reply:
    return _closed(talk, events, "handed_over" if talk.gate.stop == "voltage" else "left_isolated")


def _restart(talk: Talk, line: str) -> Reply:
    if not line:
        # Thought better of: the stop stands, and is put again.
        return replace(talk, current=Over()), [], []
    event = happened.Restarted(line)
    return replace(after(talk, [event]), current=Over(), wanted=None, chosen=""), [event], []


def _close(talk: Talk, line: str) -> Reply:
    words = (*(word for word, _ in flow.CLOSINGS), "go_on")
    try:
        word = _option(line, words)
    except NotTaken as refusal:
        return _take(talk, _elsewhere(talk, line, refusal))
    if word == "go_on":
        return replace(talk, declined=frozenset(), chosen="", current=Over()), [], [note(say("how_to"))]
    why_not = safety.why_not_close(talk.gate, word, flow.unsafe(talk))
    wished = replace(talk, chosen=f"close:{word}")
    if not why_not:
        if word != "fit_for_use" or not flow.complaints_to_ask(talk):
            return _closed(talk, [], word)
        # The complaint is what the customer will look at first.
        return replace(wished, current=Over()), [], [note(say("complaint_gone"))]
    wished, current = flow.closing_way(wished)
    if isinstance(current, AskFact):
        return replace(wished, current=Over()), [], [note(why_not)]
    if isinstance(current, AskAction):
        total = flow.actions_left(wished.gate, current.need)
        return replace(wished, current=Over(), way_total=total), [], [note(why_not)]
    try:
        flow.on_the_way(talk.gate, flow.need_to_close(talk.gate, word))
    except Refused as refusal:
        raise NotTaken(f"{why_not} {refusal}") from refusal
    raise NotTaken(why_not)


def _closed_if_it_can_be(talk: Talk, events: list[Event], state: str) -> tuple[Talk, list[Event]]:
    """The job closed in that state where nothing stands against it any more; else as it is."""
    if safety.why_not_close(talk.gate, state, flow.unsafe(talk)):
        return talk, events
    try:
        talk, events, _ = _closed(talk, events, state)
    except NotTaken:
        pass  # the flow asks how the machine is left, and then says why not
    return talk, events


def _closed(talk: Talk, events: list[Event], state: str) -> Reply:
    done = None if talk.case.outside or talk.gate.stop else talk.case.done
    begin = {} if talk.case.outside else talk.case.found()
    found = [name for name, chance in begin.items() if chance > FOUND or name in talk.job.put_right]
    event = happened.Closed(
        state,
        found=tuple(sorted(found, key=lambda name: -begin[name])),
        not_looked_at=done.not_looked_at if done else (),
        minutes=round(talk.job.minutes, 1),
    )
    try:
        talk = after(talk, [event])
    except (BadAnswer, Refused) as problem:
        raise NotTaken(str(problem)) from problem
    return replace(talk, current=Over()), [*events, event], []
