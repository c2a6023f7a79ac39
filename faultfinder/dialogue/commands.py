"""Words that work at any prompt: help, why, likely, steps, what if, correct, danger, end and their like."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from faultfinder.dialogue import flow, present
from faultfinder.dialogue.helping import help_said
from faultfinder.dialogue.safety_test import slip_taken_back, test_to_measure
from faultfinder.dialogue.say import Line, Said, error, heading, note
from faultfinder.dialogue.talk import (
    AskAction,
    AskClose,
    AskCorrect,
    AskDangers,
    AskFact,
    AskGo,
    AskHandOver,
    AskPlate,
    AskRemedy,
    AskRemedyDone,
    AskTest,
    Over,
    Talk,
    after,
)
from faultfinder.dialogue.typed import Typed, name_of
from faultfinder.dialogue.words import say
from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.model import Fact
from faultfinder.knowledge.suggest import did_you_mean
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.facts import read_fact
from faultfinder.reasoning.inference.reasons import odds_factor, reasons, state_between, unexplained
from faultfinder.safety.actions import ACTIONS

NOTICED = 0.02
"""A change of a chance that is worth a line; chosen."""
REASONS = 8
"""Reasons told for one cause; chosen: a screen of a phone."""

Reply = tuple[Talk, list[Event], list[Said]]
Command = Callable[[Talk, str], Reply]


def find(line: str) -> Command | None:
    """The command that the line is, or None."""
    text = " ".join(line.casefold().split())
    for words, command in _TABLE:
        for word in words:
            if text == word or (text.startswith(word + " ") and command in _WITH_WORDS):
                return command
    return None


def always(line: str) -> bool:
    """Whether the line is a command even where free words are asked for."""
    return " ".join(line.casefold().split()) in ("help", "help more", "?", "stop")


def _rest(line: str, *words: str) -> str:
    """The line without its command."""
    text = " ".join(line.split())
    for word in sorted(words, key=len, reverse=True):
        if text.casefold().startswith(word):
            return text[len(word) :].strip()
    return text


def _help(talk: Talk, line: str) -> Reply:
    return talk, [], help_said(talk, more="more" in line.casefold().split())


def _likely(talk: Talk, line: str) -> Reply:
    said = present.bar_items(talk, count=12)
    said.append(heading(say("sets_head")))
    for faults, chance in talk.case.explanations(3):
        titles = " + ".join(present.cause_title(talk.case, name) for name in sorted(faults))
        text = say("set_line", chance=present.percent(chance), titles=titles or say("set_none"))
        said.append(Line(text, indent=2))
        if left := unexplained(talk.case, faults):
            said.append(Line(say("set_leaves", names=", ".join(map(name_of, left))), indent=4))
    return talk, [], [*said, present.status(talk)]


def _steps(talk: Talk, line: str) -> Reply:
    return talk, [], flow.steps_said(talk)


def _do(talk: Talk, line: str) -> Reply:
    number = _rest(line, "do")
    doable = flow.doable(talk)
    if not (number.isdecimal() and number.isascii() and 1 <= int(number[:4]) <= len(doable)):
        raise UnknownName(say("no_step"))
    step = doable[int(number) - 1]
    return (
        replace(
            talk, chosen=step.target, wanted=None, declined=talk.declined - {step.target}, current=Over()
        ),
        [],
        [],
    )


def _why(talk: Talk, line: str) -> Reply:
    about = _rest(line, "why")
    if about:
        return talk, [], why_cause(talk.case, cause_named(talk, about))
    match talk.current:
        case AskAction(action, _):
            return talk, [], [Line(ACTIONS[action].why)]
        case AskTest(target, _) | AskGo(_, target):
            item = flow.item_of(talk, target)
            step = next((step for step in flow.offered(talk) if step.target == target), None)
            said: list[Said] = [Line(item.why)] if item.why else []
            if step is not None and step.reasons:
                said += present.why_step(talk.case, step)
            elif not said:
                said.append(Line(say("why_proof")))
            return talk, [], said
        case AskRemedy(cause):
            return talk, [], why_cause(talk.case, cause)
    return talk, [], present.bar_items(talk)


def why_cause(case: Case, cause: str) -> list[Said]:
    """What speaks for and against a cause, strongest first."""
    title = present.cause_title(case, cause)
    said: list[Said] = [heading(f"{title}: {present.percent(case.confidence()[cause])}")]
    found = reasons(case, cause)
    if not found:
        said.append(Line(say("why_nothing")))
    for reason in found[:REASONS]:
        text = say(
            "why_for" if reason.decibans > 0 else "why_against",
            odds=odds_factor(reason.decibans),
            name=name_of(reason.observation),
            answer=name_of(reason.answer),
        )
        if reason.through and reason.through != cause:
            text += f"; {_accounted(case, reason.observation, reason.through)}"
        said.append(Line(text, indent=2))
    return said


def _accounted(case: Case, observation: str, by: str) -> str:
    """That another cause already accounts for what was seen, by its state's own words where it has one."""
    state = state_between(case, by, observation)
    what = case.pack.states[state].accounts_for if state is not None else say("why_it")
    return say("why_accounted", cause=present.cause_title(case, by), what=what)


def cause_named(talk: Talk, text: str) -> str:
    """The cause whose title or id begins with the typed words. Raises UnknownName."""
    words = re.findall(r"[^\W_]+", text.casefold())
    best: list[tuple[int, str]] = []
    for cause in talk.job.pack.causes.values():
        own = re.findall(r"[^\W_]+", f"{cause.id} {cause.title}".casefold())
        if words and all(any(w.startswith(word) for w in own) for word in words):
            best.append((len(own), cause.id))
    if not best:
        titles = [cause.title for cause in talk.job.pack.causes.values()]
        raise UnknownName(f"No fault is called '{text}'. {did_you_mean(text, titles)}".strip())
    now = talk.case.confidence()
    return max(best, key=lambda pair: (now[pair[1]], -pair[0]))[1]


def _shows(talk: Talk, line: str) -> Reply:
    """What else would show a cause: the open tests with the best ratio for it."""
    words = ("shows", "what else would show", "what else shows", "what would show")
    return talk, [], _told_by(talk, _meant(talk, _rest(line, *words)), rule_out=False)


def _rule_out(talk: Talk, line: str) -> Reply:
    """What would rule a cause out."""
    about = _rest(line, "rule out", "rule it out", "rule")
    return talk, [], _told_by(talk, _meant(talk, about), rule_out=True)


def _meant(talk: Talk, about: str) -> str:
    """The cause that is named, or that 'it' stands for: what is being put right, what the question at hand is most
    about, else the likeliest one."""
    if about.casefold().strip(" ?.") not in ("", "it", "this", "that"):
        return cause_named(talk, about.rstrip("?."))
    match talk.current:
        case AskRemedy(cause) | AskRemedyDone(cause) | AskHandOver(cause):
            return cause
        case AskTest(target, _) | AskGo(_, target):
            step = next((step for step in flow.offered(talk) if step.target == target), None)
            if step is not None and step.reasons:
                return step.reasons[0].cause
    now = talk.case.confidence()
    return max(now, key=lambda name: now[name])


def _told_by(talk: Talk, cause: str, *, rule_out: bool) -> list[Said]:
    """The open tests with the answer that raises a cause most, or lowers it most; what is likeliest to come first."""
    now = talk.case.confidence()[cause]
    rows: list[tuple[float, str]] = []
    for name, answers in talk.case.outlook().items():
        if name not in talk.job.pack.observations:
            continue
        changes = {
            answer: (now - after.get(cause, now) if rule_out else after.get(cause, now) - now, chance)
            for answer, (chance, after) in answers.items()
        }
        answer, (change, chance) = max(changes.items(), key=lambda pair: pair[1][0])
        if change > NOTICED:
            text = say(
                "show_line",
                name=name_of(name),
                answer=present.answer_text(talk.job.pack.observations[name], answer),
                chance=present.percent(chance),
                after=present.percent(now - change if rule_out else now + change),
            )
            rows.append((change * chance, text))
    rows.sort(reverse=True)
    none = say("rule_out_none" if rule_out else "show_none")
    title = present.cause_title(talk.case, cause)
    said: list[Said] = [heading(f"{title}: {present.percent(now)}")]
    return said + ([Line(text, indent=2) for _, text in rows[:6]] or [Line(none)])


def _explain(talk: Talk, line: str) -> Reply:
    word = _rest(line, "explain", "what is a", "what is an", "what is", "what's").rstrip("?").strip()
    wanted = _letters(word)
    glossary = {_letters(name): (name, text) for name, text in talk.job.pack.glossary.items()}
    found = glossary.get(wanted) or next(
        (pair for name, pair in glossary.items() if wanted and (wanted in name or name in wanted)), None
    )
    if found is None:
        hint = did_you_mean(word, list(talk.job.pack.glossary))
        return talk, [], [error(f"{say('explain_unknown', word=word[:40])} {hint}".strip())]
    return talk, [], [Line(f"{found[0]}: {found[1]}")]


def _letters(text: str) -> str:
    """The letters and figures of a term: 'cut-out', 'cut out' and 'cutout' are one."""
    return "".join(re.findall(r"[^\W_]+", text.casefold()))


def _danger(talk: Talk, line: str) -> Reply:
    return replace(talk, dangers_done=False, current=AskDangers()), [], []


def _correct(talk: Talk, line: str) -> Reply:
    if (slip := slip_taken_back(talk)) is not None:
        return slip
    if not talk.case.answers:
        return talk, [], [note(say("correct_none"))]
    return replace(talk, current=AskCorrect()), [], []


def _note(talk: Talk, line: str) -> Reply:
    event = happened.Noted(_rest(line, "note"))
    job = replace(talk.job, notes=(*talk.job.notes, event.text))
    return replace(talk, job=job), [event], [note(say("noted"))]


def _end(talk: Talk, line: str) -> Reply:
    return replace(talk, current=AskClose(), chosen="end"), [], []


def _measure(talk: Talk, line: str) -> Reply:
    """A return test that was put off or failed is measured after all."""
    now = replace(talk, chosen=flow.MEASURE, wanted=None, current=Over())
    if test_to_measure(now) is None:
        return talk, [], [note(say("measure_none"))]
    return now, [], []


def _dealt_with(talk: Talk, line: str) -> Reply:
    """What the rules do not know any more: what was done about it, by its name."""
    rest = _rest(line, "dealt with")
    names = sorted((each.name for each in talk.job.still_lost), key=len, reverse=True)
    plain = name_of(rest.casefold())
    name = next((each for each in names if plain.startswith(name_of(each).casefold())), "")
    if not name:
        return talk, [], [note(say("dealt_with_none", names=", ".join(names[::-1]) or "-"))]
    event = happened.DealtWith(name, rest[len(name) :].strip(" :,"))
    return after(talk, [event]), [event], [note(say("dealt_with", name=name_of(name)))]


def _stop(talk: Talk, line: str) -> Reply:
    return replace(talk, current=Over(), chosen="stop"), [], []


def _skip(because: str) -> Command:
    def skip(talk: Talk, line: str) -> Reply:
        from faultfinder.dialogue.talk import after

        match talk.current:
            case AskTest(target, _):
                event: Event = happened.Skipped(target, because)
                ending = talk.chosen if talk.chosen.startswith("close:") else ""
                now = replace(after(talk, [event]), chosen=ending, wanted=None)
                return now, [event], [note(say("skipped", name=name_of(target)))]
            case AskFact(fact, False):
                return replace(talk, facts_asked=talk.facts_asked | {fact}), [], []
            case AskPlate():
                return replace(talk, plate_done=True), [], []
            case AskGo(_, target):
                return replace(talk, declined=talk.declined | {target}, chosen="", wanted=None), [], []
            case AskAction(action, _):
                way_out = next(
                    (o.id for o in ACTIONS[action].outcomes if o.id in ("cannot", "skipped", "not_sure")),
                    None,
                )
                if way_out is None:
                    raise UnknownName("Answer this one with its number.")
                from faultfinder.dialogue.working import action_reply

                return action_reply(talk, action, way_out)
            case AskRemedy(cause):
                return replace(talk, declined=talk.declined | {cause}, chosen=""), [], []
        raise UnknownName("Answer this one with its number or word.")

    return skip


def _what_if(talk: Talk, line: str) -> Reply:
    from faultfinder.dialogue.taking import typed_pieces

    text = _rest(line, "what if", "if")
    current = talk.current.target if isinstance(talk.current, AskTest) else None
    pieces = typed_pieces(talk, text, current)
    if not pieces or not all(isinstance(piece, Typed) for piece in pieces):
        raise UnknownName(say("not_understood", text=text[:40], hint="For example: what if high section OL"))
    before = talk.case.confidence()
    from faultfinder.dialogue.talk import case_of

    case = case_of(talk.job, work_out=talk.work_out)
    for piece in pieces:
        assert isinstance(piece, Typed)
        case.record(piece.observation, piece.answer)
    tried = replace(talk, case=case)
    shown = present.bar_items(tried, before) or [Line(say("what_if_same"))]
    return talk, [], [note(say("what_if")), *shown]


def _plate(talk: Talk, line: str) -> Reply:
    from faultfinder.dialogue.taking import plate_events
    from faultfinder.dialogue.talk import after

    text = _rest(line, "plate")
    if not text:
        known = ", ".join(f"{name_of(name)} {value}" for name, value in talk.job.facts.items())
        return talk, [], [Line(say("plate_known", known=known or "nothing"))]
    before, case = talk.case.confidence(), talk.case
    events = plate_events(talk, text)
    talk = after(talk, events)
    said = [Line(say("plate_taken", known=text)), *present.contradictions_said(talk.case, case)]
    talk, out = flow.changes(talk, before, said)
    return talk, events, out


_LONGEST_NAME = 8
"""Words in the name of a fact; chosen."""


def fact_and_value(facts: Mapping[str, Fact], piece: str) -> tuple[str, str] | None:
    """Which fact a typed 'name value' means; the name by the beginnings of its words, and where that fits several,
    by which of them could have the value ('high 1500 W' are no ohms). None: no one fact fits."""
    tokens = piece.replace("=", " ").replace(":", " ").split()
    for size in range(min(len(tokens) - 1, _LONGEST_NAME), 0, -1):
        name = [word for token in tokens[:size] for word in re.findall(r"[^\W_]+", token.casefold())]
        fits = [fact for fact in facts if name and _name_fits(fact, name)]
        exact = [fact for fact in fits if fact.split("_") == name]
        value = " ".join(tokens[size:])
        fits = exact or fits
        if len(fits) > 1:
            fits = [fact for fact in fits if _could_be(facts[fact], value)]
        if len(fits) == 1:
            return fits[0], value
    return None


def _could_be(fact: Fact, value: str) -> bool:
    try:
        read_fact(fact, value)
    except FaultFinderError:
        return False
    return True


def _name_fits(fact: str, name: list[str]) -> bool:
    own = fact.split("_")
    return all(any(word.startswith(part) for word in own) for part in name)


_TABLE: tuple[tuple[tuple[str, ...], Command], ...] = (
    (("help", "?", "h"), _help),
    (("why",), _why),
    (("likely", "faults"), _likely),
    (("steps",), _steps),
    (("do",), _do),
    (("dk", "don't know", "dont know", "i don't know", "unknown"), _skip("dont_know")),
    (("can't", "cant", "cannot", "can't here", "can't do that here", "no instrument"), _skip("cannot_here")),
    (("what if",), _what_if),
    (("shows", "what else would show", "what else shows", "what would show"), _shows),
    (("rule out", "rule it out"), _rule_out),
    (("explain", "what is", "what's"), _explain),
    (("danger",), _danger),
    (("correct", "back"), _correct),
    (("note",), _note),
    (("plate",), _plate),
    (("dealt with",), _dealt_with),
    (("measure", "measure it", "measure it after all", "measure after all"), _measure),
    (("end",), _end),
    (("stop", "quit", "exit"), _stop),
)
_WITH_WORDS = (_help, _why, _do, _what_if, _shows, _rule_out, _explain, _note, _plate, _dealt_with)
WORDS = tuple(dict.fromkeys(words[0] for words, _ in _TABLE))
"""The commands, for completion."""
ITEM, FAULT, WORD = "item", "fault", "word"
LEADING: Mapping[str, str] = {
    word + " ": kind
    for command, kind in (
        (_what_if, ITEM),
        (_why, FAULT),
        (_shows, FAULT),
        (_rule_out, FAULT),
        (_explain, WORD),
    )
    for words, other in _TABLE
    if other is command
    for word in words
}
"""What stands before a name -> which kind of name follows it."""
