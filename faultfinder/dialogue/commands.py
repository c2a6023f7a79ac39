"""Words that work at any prompt: help, how, why, likely, steps, what if, correct, danger, end and their like."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.line_parser import Typed, read_line
from faultfinder.dialogue.hearing.pieces import typed_pieces
from faultfinder.dialogue.hearing.work_told import work_told
from faultfinder.dialogue.prompts.card import MEASURE, card_to_measure
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.correct import AskCorrect, AskFactAnew, AskNewAnswer, new_answer
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.line_answers import fact_events
from faultfinder.dialogue.prompts.remedy import AskRemedy, AskRemedyDone
from faultfinder.dialogue.say import Line, Said, error, heading, note
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.showing.cause_reasons import why_cause
from faultfinder.dialogue.showing.help_text import help_said
from faultfinder.dialogue.talk import Over, Reply, Talk, after, case_of
from faultfinder.dialogue.undoing import undone
from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.decision.discrimination import telling
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.reasons import unexplained
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import minutes_text, name_of, percent

TESTS = 6
"""Tests named that would show a cause, or rule it out; chosen: a screen of a phone."""
Command = Callable[[Talk, str], Reply]


def find(line: str) -> Command | None:
    """The command that the line is, or None."""
    text = " ".join(line.casefold().replace("\u2019", "'").split())
    text = text.rstrip(" ?!.") or text
    if _CANNOT.fullmatch(text):
        return _CANNOT_HERE
    if _UNKNOWN.fullmatch(text):
        return _DONT_KNOW
    for words, command in _TABLE:
        for word in words:
            if text == word or (text.startswith(word + " ") and command in _WITH_WORDS):
                return command
    return None


def always(line: str) -> bool:
    """Whether the line is a command even where free words are asked for: a command's own words and no more of them,
    or one that no customer begins a sentence with."""
    text = " ".join(line.casefold().replace("\u2019", "'").split())
    if text.split(" ", 1)[0] in _NEVER_SAID or find(line) is _DONT_KNOW:
        return True
    return text == "help more" or any(text in words for words, command in _TABLE if command not in _OF_A_JOB)


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
    said = present.bar_items(talk, count=8)
    said.append(heading(say("sets_head")))
    for faults, chance in talk.case.explanations(3):
        titles = " + ".join(present.cause_title(talk.case, name) for name in sorted(faults))
        text = say("set_line", chance=percent(chance), titles=titles or say("set_none"))
        said.append(Line(text, indent=2))
        if left := unexplained(talk.case, faults):
            said.append(Line(say("set_leaves", names=", ".join(map(name_of, left))), indent=4))
    said.append(note(say("status", minutes=minutes_text(talk.job.minutes), access=present.access_text(talk))))
    return talk, [], said


def _steps(talk: Talk, line: str) -> Reply:
    return talk, [], offers.steps_said(talk)


def _do(talk: Talk, line: str) -> Reply:
    number = _rest(line, "do")
    if number in ("", "it", "it now", "now") and isinstance(talk.current, AskRemedy | AskRemedyDone):
        if "do" in talk.asked.words:
            return talk.current.take(talk, "do")
        return talk, [], [note(say("do_then_done"))]
    doable = offers.doable(talk)
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
    about = _rest(line, "why").strip(" ?")
    if about:
        return talk, [], why_cause(talk.case, cause_named(talk, about))
    return talk, [], talk.current.why(talk) or present.bar_items(talk)


def _how(talk: Talk, line: str) -> Reply:
    """The steps of what is asked for; where there are none, what may be typed."""
    said = talk.current.told_how(talk)
    if not said:
        return _help(talk, line)
    events = talk.current.advised(talk)
    return after(talk, events), events, said


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
        raise UnknownName(say("no_fault_called", text=text, hint=did_you_mean(text, titles)).strip())
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
    if cause := talk.current.about(talk):
        return cause
    now = talk.case.confidence()
    return max(now, key=lambda name: now[name])


def _told_by(talk: Talk, cause: str, *, rule_out: bool) -> list[Said]:
    """The open tests with the answer that raises a cause most, or lowers it most; what is likeliest to come first."""
    now = talk.case.confidence()[cause]
    rows = [
        say(
            "show_line",
            name=name_of(each.observation),
            answer=present.answer_text(talk.job.pack.observations[each.observation], each.answer),
            chance=percent(each.chance),
            after=percent(each.after),
        )
        for each in telling(talk.case, cause, TESTS, lower=rule_out)
    ]
    none = say("rule_out_none" if rule_out else "show_none")
    title = present.cause_title(talk.case, cause)
    said: list[Said] = [heading(f"{title}: {percent(now)}")]
    return said + ([Line(text, indent=2) for text in rows] or [Line(none)])


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
    """Which answer, fact or safety reading is wrong: by its name, with what it really is, or from a list."""
    about = _rest(line, "correct", "change")
    if not about and (slip := _slip_taken_back(talk)) is not None:
        return slip
    if about and (found := _named_answer(talk, about)) is not None:
        name, value = found
        if value:
            return new_answer(talk, name, value)
        return replace(talk, current=AskNewAnswer(name)), [], []
    if about and (reply := _fact_anew(talk, about)) is not None:
        return reply
    if about:
        raise UnknownName(say("correct_what", text=about[:40]))
    if not talk.case.answers:
        return talk, [], [note(say("correct_none"))]
    return replace(talk, current=AskCorrect()), [], []


def _named_answer(talk: Talk, about: str) -> tuple[str, str] | None:
    """(observation, the new answer or '') of what was answered, by the letters of its name."""
    answered = {
        given.observation: talk.job.pack.observations[given.observation] for given in offers.latest(talk)
    }
    words = re.findall(r"[^\W_]+", about.casefold())
    fits = [
        name
        for name in answered
        if all(any(own.startswith(word) for own in name.split("_")) for word in words)
    ]
    fits = [name for name in fits if name.split("_") == words] or fits
    if len(fits) == 1:
        return fits[0], ""
    pieces = read_line(list(answered.values()), about)
    if len(pieces) == 1 and isinstance(pieces[0], Typed):
        return pieces[0].observation, pieces[0].answer
    return None


def _fact_anew(talk: Talk, about: str) -> Reply | None:
    """A fact said anew, or asked for again, by its name."""
    facts = talk.job.pack.facts
    words = re.findall(r"[^\W_]+", about.casefold())
    fits = [n for n in facts if all(any(own.startswith(word) for own in n.split("_")) for word in words)]
    exact = [name for name in fits if name.split("_") == words] or fits
    if len(exact) == 1:
        return replace(talk, current=AskFactAnew(exact[0])), [], []
    try:
        events = fact_events(talk, about)
    except FaultFinderError:
        return None
    return _facts_changed(talk, events, about)


def _facts_changed(talk: Talk, events: list[Event], known: str) -> Reply:
    before, case = talk.case.confidence(), talk.case
    now = after(talk, events)
    said: list[Said] = [Line(say("machine_taken", known=known)), *present.contradictions_said(now.case, case)]
    now, out = offers.changes(replace(now, current=Over()), before, said)
    return now, events, out


def _undo(talk: Talk, line: str) -> Reply:
    """What the last line told, taken back; what was confirmed at the gate is not. Ticks in a list come first."""
    if (before := talk.current.before_last(talk)) is not None:
        return replace(talk, current=before), [], [note(say("ticks_back"))]
    if (slip := _slip_taken_back(talk)) is not None:
        return slip
    return undone(talk)


def _put_right(talk: Talk, line: str) -> Reply:
    """A remedy by its name: asked for, or said to be done."""
    plain = line.casefold().strip()
    about = _rest(line, "put right", "done:", "i have replaced", "replaced", "changed", "mended", "repaired")
    about = re.sub(
        r"^(replaced|changed|cleaned|cleared|mended|repaired|the)\s+", "", about.strip(" :"), flags=re.I
    )
    if not about:
        if isinstance(talk.current, AskRemedy | AskRemedyDone):
            return talk.current.take(talk, plain.rstrip(":"))
        raise UnknownName(say("put_right_what"))
    causes = _causes_meant(talk, about)
    if not causes:
        raise UnknownName(say("put_right_unknown", text=about[:40]))
    current = talk.current
    if isinstance(current, AskRemedy | AskRemedyDone) and current.cause in causes:
        return _said_done(talk, current, plain) if not plain.startswith("put right") else (talk, [], [])
    if len(causes) > 1:
        titles = "; ".join(talk.job.pack.causes[name].title for name in causes[:4])
        raise UnknownName(say("put_right_which", titles=titles))
    now = replace(talk, current=Over(), chosen=causes[0], wanted=None, declined=talk.declined - {causes[0]})
    item = talk.job.pack.causes[causes[0]]
    text = re.sub(r"^(?:done:|i have) *", "", plain)
    at_hand = safety.permits(talk.gate, safety.remedy_need(item)) and not item.hand_to
    if at_hand and not plain.startswith("put right") and work_told(item, text) is not None:
        return AskRemedy(causes[0]).take(replace(now, chosen=""), text)
    return now, [], []


def _said_done(talk: Talk, current: AskRemedy | AskRemedyDone, line: str) -> Reply:
    """The remedy asked about, said to be done; with the parts named, where the words tell which."""
    item = talk.job.pack.causes[current.cause]
    text = re.sub(r"^(?:done:|i have) *", "", line)
    return current.take(talk, text if work_told(item, text) is not None else "done")


def _causes_meant(talk: Talk, about: str) -> list[str]:
    """The causes that words mean: by their titles, remedies and parts; those of this machine only."""
    words = [
        word for word in re.findall(r"[^\W_]+", about.casefold()) if word not in ("the", "it", "a", "new")
    ]
    out = []
    for cause in talk.job.pack.causes.values():
        if not possible(cause.applies, talk.case.facts):
            continue
        own = set(
            re.findall(
                r"[^\W_]+", f"{cause.id} {cause.title} {cause.remedy} {' '.join(cause.parts)}".casefold()
            )
        )
        if words and all(
            any(each.startswith(word) or word.startswith(each) for each in own) for word in words
        ):
            out.append(cause.id)
    titled = [n for n in out if _letters(talk.job.pack.causes[n].title).startswith(_letters(about))]
    return titled or out


def _note(talk: Talk, line: str) -> Reply:
    event = happened.Noted(_rest(line, "note"))
    return after(talk, [event]), [event], [note(say("noted"))]


def _slip_taken_back(talk: Talk) -> Reply | None:
    """A return test that failed by the line before was a slip of the finger: taken back, and asked for again. None
    where the last thing done was none, or where a reading failed it: that one is corrected, and lifts both."""
    if talk.job.before_failure is None or talk.job.tests[-1].of:
        return None
    test = talk.job.tests[-1].test
    event = happened.TakenBack(test)
    now = replace(after(talk, [event]), current=Over())
    return now, [event], [Line(say("slip", test=name_of(test)))]


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


def _measure(talk: Talk, line: str) -> Reply:
    """A return test that was put off or failed is measured after all."""
    if card_to_measure(talk.gate) is None:
        return talk, [], [note(say("measure_none"))]
    return replace(talk, chosen=MEASURE, wanted=None, current=Over()), [], []


def _end(talk: Talk, line: str) -> Reply:
    return replace(talk, current=AskClose(), chosen="end"), [], []


def _stop(talk: Talk, line: str) -> Reply:
    return replace(talk, current=Over(), chosen="stop"), [], []


def _skip(because: str) -> Command:
    def skip(talk: Talk, line: str) -> Reply:
        return talk.current.skip(talk, because)

    return skip


def _what_if(talk: Talk, line: str) -> Reply:
    text = _rest(line, "what if", "if")
    current = getattr(talk.current, "target", None)
    pieces = typed_pieces(talk, text, current)
    if not pieces or not all(isinstance(piece, Typed) for piece in pieces):
        raise UnknownName(say("not_understood", text=text[:40], hint=say("what_if_example")))
    before = talk.case.confidence()
    case = case_of(talk.job, work_out=talk.work_out)
    for piece in pieces:
        assert isinstance(piece, Typed)
        case.record(piece.observation, piece.answer)
    tried = replace(talk, case=case)
    shown = present.bar_items(tried, before) or [Line(say("what_if_same"))]
    return talk, [], [note(say("what_if")), *shown]


def _plate(talk: Talk, line: str) -> Reply:
    text = _rest(line, "plate", "machine")
    if not text:
        known = ", ".join(f"{name_of(name)} {name_of(value)}" for name, value in talk.job.facts.items())
        return talk, [], [Line(say("plate_known", known=known or say("nothing_known")))]
    before, case = talk.case.confidence(), talk.case
    events = fact_events(talk, text)
    talk = after(talk, events)
    said = [Line(say("machine_taken", known=text)), *present.contradictions_said(talk.case, case)]
    talk, out = offers.changes(talk, before, said)
    return talk, events, out


_CANNOT = re.compile(
    r"(?:no|haven'?t got|have no|have not got|got no|without|don'?t have)(?: a| an| any| my| the)? "
    r"(?:earth |insulation |voltage )?(?:meter|multimeter|clamp|clamp meter|tester|testers|tool|tools|instrument|"
    r"megger|thermometer|scales?|gauge|torch|part|parts|spare)s?(?: (?:here|with me|today|on me))?"
    r"|(?:can'?t|cannot|could not|couldn'?t|can not|unable to)(?: (?:get|reach|do|see|measure|test|check)\b.*)?"
    r"|not competent|no access"
)
_UNKNOWN = re.compile(
    r"(?:i )?(?:don'?t|do not) ?(?:know)?(?: that| this| sorry)?|dunno|no (?:idea|clue)(?: sorry)?|idk"
    r"|(?:i'?m |i am )?not sure|unsure"
)
_CANNOT_HERE, _DONT_KNOW = _skip("cannot_here"), _skip("dont_know")

_TABLE: tuple[tuple[tuple[str, ...], Command], ...] = (
    (("help", "h"), _help),
    (
        (
            "how",
            "?",
            "how do i do that",
            "how do i do this",
            "how do i do it",
            "how do i",
            "how to",
            "show me how",
        ),
        _how,
    ),
    (("why",), _why),
    (("likely", "faults"), _likely),
    (("steps",), _steps),
    (("do",), _do),
    (("dk", "don't know", "dont know", "i don't know", "unknown"), _DONT_KNOW),
    (("can't", "cant", "cannot", "can't here", "can't do that here", "no instrument"), _CANNOT_HERE),
    (("what if",), _what_if),
    (("shows", "what else would show", "what else shows", "what would show"), _shows),
    (("rule out", "rule it out"), _rule_out),
    (("explain", "what is", "what's"), _explain),
    (("danger",), _danger),
    (("correct", "change"), _correct),
    (("undo", "back", "undo that", "take that back"), _undo),
    (("put right", "done:", "i have replaced", "replaced", "changed", "mended", "repaired"), _put_right),
    (("note",), _note),
    (("plate",), _plate),
    (("measure", "measure it", "measure it after all", "measure after all"), _measure),
    (("dealt with",), _dealt_with),
    (("end",), _end),
    (("stop", "quit", "exit"), _stop),
)
_WITH_WORDS = (
    _help,
    _why,
    _do,
    _what_if,
    _shows,
    _rule_out,
    _explain,
    _note,
    _plate,
    _correct,
    _put_right,
    _dealt_with,
)
_NEVER_SAID = ("note", "plate", "explain")
"""First words of lines that are commands even where a customer's own words are asked for."""
_OF_A_JOB = (_put_right, _likely)
"""Commands whose bare words a customer says as well."""
TELLING = (_help, _how, _why, _likely, _steps, _what_if, _shows, _rule_out, _explain)
"""Those that only tell something: what was asked stands."""
UNDO: Command = _undo
"""The one that takes back."""
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
