"""Words that work at any prompt: help, how, why, likely, steps, what if, correct, danger, end and their like."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from faultfinder.dialogue.agenda import offers
from faultfinder.dialogue.hearing.line_parser import NotUnderstood, Typed, read_line
from faultfinder.dialogue.hearing.names import begins, named, plain_words
from faultfinder.dialogue.hearing.work_told import work_told
from faultfinder.dialogue.prompts.card import MEASURE, card_to_measure
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.correct import AskCorrect, AskFactAnew, AskNewAnswer, correction, new_answer
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import fact_events
from faultfinder.dialogue.prompts.remedy import AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.which import typed_pieces
from faultfinder.dialogue.say import Line, Option, Said, error, heading, note, under
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.showing.cause_reasons import why_cause
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after, case_of
from faultfinder.dialogue.undoing import undone
from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.job import events as happened
from faultfinder.knowledge.model import Cause
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.discrimination import telling
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.reasoning.inference.reasons import unexplained
from faultfinder.safety import gate as safety
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, minutes_text, name_of, percent, quoted

TESTS = 6
"""Tests named that would show a cause, or rule it out; chosen: a screen of a phone."""
ITEM, FAULT, WORD = "item", "fault", "word"
"""Kinds of names that may follow a command."""


@dataclass(frozen=True, slots=True)
class Command:
    """A word that works at any prompt.

    do: takes what stands behind it. words: how it is typed, the first for completion; like: a pattern for what else
    means it. more: something may stand behind it, `name` says a name of which kind. tells: it only tells something,
    what was asked stands. verb: it goes with what stands behind it. customers: a customer says its bare words as
    well; never: no customer begins a sentence with its first word.
    """

    do: Callable[[Talk, str], Reply]
    words: tuple[str, ...]
    more: bool = False
    name: str = ""
    tells: bool = False
    verb: bool = False
    customers: bool = False
    never: bool = False
    like: re.Pattern[str] | None = None

    def __call__(self, talk: Talk, line: str) -> Reply:
        text = " ".join(line.split())
        plain = text.casefold().replace("\u2019", "'")
        said = (word for word in self.words if re.match(rf"{re.escape(word)}(?![^\W_])", plain))
        return self.do(talk, text if self.verb else text[len(max(said, key=len, default="")) :].strip())

    def is_meant(self, text: str) -> bool:
        """Whether a line in small letters is this command."""
        if text in self.words or (self.like is not None and self.like.fullmatch(text)):
            return True
        return self.more and any(text.startswith(f"{word} ") for word in self.words)


def _typed(line: str) -> str:
    return " ".join(line.casefold().replace("\u2019", "'").split())


def find(line: str) -> Command | None:
    """The command that the line is, or None."""
    text = _typed(line)
    text = text.rstrip(" ?!.") or text
    return next((command for command in COMMANDS if command.is_meant(text)), None)


def always(line: str) -> bool:
    """Whether the line is a command even where free words are asked for: a command's own words and no more of them,
    or one that no customer begins a sentence with."""
    text, command = _typed(line), find(line)
    if command is None:
        return False
    if command.do is _DONT_KNOW or (command.never and text.split(" ", 1)[0] == command.words[0]):
        return True
    return text == "help more" or any(text in each.words for each in COMMANDS if not each.customers)


ALWAYS = (
    *("how", "why", "likely", "steps", "reading", "what_if"),
    *("dk", "undo", "correct", "danger", "stop", "more"),
)
"""What the help tells to work at any prompt, at most a line of a phone each."""
RARER = ("do", "shows", "rule_out", "explain", "plate", "note", "about", "photo", "part", "rules", "end")


def _help(talk: Talk, about: str) -> Reply:
    """What the question at hand takes, then the words that work at any prompt; 'help more': the rarer ones."""
    more = "more" in about.casefold().split()
    said: list[Said] = [] if more else [Line(talk.current.help(talk))]
    said.append(heading(say("help_more_head" if more else "help_head")))
    return talk, [], said + [Line(say(f"help_word_{word}"), indent=1) for word in (RARER if more else ALWAYS)]


def _likely(talk: Talk, line: str) -> Reply:
    said = present.bar_lines(talk.case, count=8)
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
    said: list[Said] = [heading(say("steps_head"))]
    for number, step in enumerate(offers.doable(talk), 1):
        minutes, worth = minutes_text(step.minutes), minutes_text(step.worth)
        key = "step_line_last" if step.last else "step_line"
        text = say(key, title=step.title.rstrip("?."), minutes=minutes, worth=worth)
        said.append(Option(number, f"do {number}", text))
    return talk, [], said


def _do(talk: Talk, number: str) -> Reply:
    if number in ("", "it", "it now", "now") and isinstance(talk.current, AskRemedy | AskRemedyDone):
        if "do" not in talk.asked.words:
            return talk, [], [note(say("do_then_done"))]
        return talk.current.take(talk, "do")
    doable = offers.doable(talk)
    if not (number.isdecimal() and number.isascii() and 1 <= int(number[:4]) <= len(doable)):
        raise UnknownName(say("no_step"))
    return _going_to(talk, doable[int(number) - 1].target), [], []


def _going_to(talk: Talk, target: str) -> Talk:
    """The talk with that chosen, whether it was declined before or not."""
    return replace(talk, chosen=target, wanted=None, declined=talk.declined - {target}, current=Over())


def _why(talk: Talk, about: str) -> Reply:
    if about := about.strip(" ?"):
        return talk, [], why_cause(talk.case, cause_named(talk, about))
    return talk, [], talk.current.why(talk) or present.bar_lines(talk.case)


def _how(talk: Talk, line: str) -> Reply:
    """The steps of what is asked for; where there are none, what may be typed."""
    said = talk.current.told_how(talk)
    if not said:
        return _help(talk, "")
    events = talk.current.advised(talk)
    return after(talk, events), events, said


def cause_named(talk: Talk, text: str) -> str:
    """The likeliest cause whose title or id has words that begin with the typed ones. Raises UnknownName."""
    words, now = plain_words(text), talk.case.confidence()
    own = {each.id: plain_words(f"{each.id} {each.title}") for each in talk.pack.causes.values()}
    fits = [name for name in own if words and begins(words, own[name])]
    if not fits:
        titles = [cause.title for cause in talk.pack.causes.values()]
        raise UnknownName(say("no_fault_called", text=text, hint=did_you_mean(text, titles)).strip())
    return max(fits, key=lambda name: (now[name], -len(own[name])))


def _meant(talk: Talk, about: str) -> str:
    """The cause that is named, or that 'it' stands for: what is being put right, what the question at hand is most
    about, else the likeliest one."""
    if about.casefold().strip(" ?.") not in ("", "it", "this", "that"):
        return cause_named(talk, about.rstrip("?."))
    if cause := talk.current.about(talk):
        return cause
    now = talk.case.confidence()
    return max(now, key=lambda name: now[name])


def _told_by(rule_out: bool, talk: Talk, about: str) -> Reply:
    """What else would show a cause, or rule it out: the open tests with the answer that raises it most, or lowers it
    most; what is likeliest to come first."""
    cause = _meant(talk, about)
    rows = [
        say(
            "show_line",
            name=name_of(each.observation),
            answer=present.answer_text(talk.pack.observations[each.observation], each.answer),
            chance=percent(each.chance),
            after=percent(each.after),
        )
        for each in telling(talk.case, cause, TESTS, lower=rule_out)
    ]
    head = f"{present.cause_title(talk.case, cause)}: {percent(talk.case.confidence()[cause])}"
    none = say("rule_out_none" if rule_out else "show_none")
    return talk, [], under(head, rows) if rows else [heading(head), Line(none)]


def _explain(talk: Talk, about: str) -> Reply:
    word = about.rstrip("?").strip()
    if word.casefold() in ("it", "this", "that", "that for", "this for", "meant"):
        return _how(talk, about)
    wanted = _letters(word)
    glossary = {_letters(name): (name, text) for name, text in talk.pack.glossary.items()}
    near = (pair for name, pair in glossary.items() if wanted and (wanted in name or name in wanted))
    if (found := glossary.get(wanted) or next(near, None)) is not None:
        return talk, [], [Line(f"{found[0]}: {found[1]}")]
    hint = did_you_mean(word, list(talk.pack.glossary))
    return talk, [], [error(f"{say('explain_unknown', word=quoted(word))} {hint}".strip())]


def _letters(text: str) -> str:
    """The letters and figures of a term: 'cut-out', 'cut out' and 'cutout' are one."""
    return "".join(plain_words(text))


def _danger(talk: Talk, line: str) -> Reply:
    return replace(talk, dangers_done=False, current=AskDangers()), [], []


def _correct(talk: Talk, about: str) -> Reply:
    """Which answer, fact or safety reading is wrong: by its name, with what it really is, or from a list."""
    if not about:
        if (slip := _slip_taken_back(talk)) is not None:
            return slip
        none = [] if talk.case.answers else [note(say("correct_none"))]
        return (talk if none else replace(talk, current=AskCorrect())), [], [*none]
    if (found := _named_answer(talk, about)) is not None:
        name, value = found
        asked = correction(talk, name, value)
        return (
            new_answer(talk, name, value)
            if value and isinstance(asked.current, AskNewAnswer)
            else (asked, [], [])
        )
    if (reply := _fact_anew(talk, about)) is not None:
        return reply
    if several := named([given.observation for given in offers.latest(talk)], plain_words(about)):
        return replace(talk, current=AskCorrect(only=tuple(several))), [], []
    raise UnknownName(say("correct_what", text=quoted(about)))


def _named_answer(talk: Talk, about: str) -> tuple[str, str] | None:
    """(observation, the new answer or '') of what was answered, by the letters of its name."""
    answered = [given.observation for given in offers.latest(talk)]
    fits = named(answered, plain_words(about))
    if len(fits) == 1:
        return fits[0], ""
    pieces = read_line([talk.pack.observations[name] for name in answered], about)
    if len(pieces) == 1 and isinstance(pieces[0], Typed):
        return pieces[0].observation, pieces[0].answer
    return None


def _fact_anew(talk: Talk, about: str) -> Reply | None:
    """A fact said anew, or asked for again, by its name."""
    fits = named(talk.pack.facts, plain_words(about))
    if len(fits) == 1:
        return replace(talk, current=AskFactAnew(fits[0])), [], []
    try:
        return _facts_changed(talk, about, Over())
    except FaultFinderError:
        return None


def _facts_changed(talk: Talk, known: str, current: Prompt) -> Reply:
    """Facts of the machine as they are said now. Raises NotTaken for what is none."""
    events = fact_events(talk, known)
    now = replace(after(talk, events), current=current)
    said = [Line(say("machine_taken", known=known)), *present.contradictions_said(now.case, talk.case)]
    return offers.changes(now, talk.case.confidence(), events, said)


def _undo(talk: Talk, line: str) -> Reply:
    """What the last line told, taken back; what was confirmed at the gate is not. Ticks in a list come first."""
    if (before := talk.current.before_last(talk)) is not None:
        return replace(talk, current=before), [], [note(say("ticks_back"))]
    if (slip := _slip_taken_back(talk)) is not None:
        return slip
    return undone(talk)


def _put_right(talk: Talk, about: str) -> Reply:
    """A remedy asked for by its name."""
    cause = _cause_meant(talk, about, or_found=True)
    if _asked_about(talk) == cause:
        return talk, [], []
    return _going_to(talk, cause), [], []


def _said_done(talk: Talk, line: str) -> Reply:
    """A remedy said to be done, by its name; with the parts named, where the words tell which."""
    told = re.sub(r"^(?:done:|i have) *", "", line.casefold())
    about = re.sub(r"^(?:replaced|changed|mended|repaired)\b[ :]*", "", told)
    current = talk.current
    asked = isinstance(current, AskRemedy | AskRemedyDone)
    if not about and asked:
        return current.take(talk, line.casefold().rstrip(":"))
    cause = _cause_meant(talk, about)
    item = talk.pack.causes[cause]
    heard = work_told(item, told) is not None
    if asked and _asked_about(talk) == cause:
        return current.take(talk, told if heard else "done")
    now = _going_to(talk, cause)
    if heard and safety.permits(talk.gate, safety.remedy_need(item)) and not item.hand_to:
        return AskRemedy(cause).take(replace(now, chosen=""), told)
    return now, [], []


def _asked_about(talk: Talk) -> str:
    """The cause whose remedy is asked about just now; empty for none."""
    return talk.current.cause if isinstance(talk.current, AskRemedy | AskRemedyDone) else ""


def _cause_meant(talk: Talk, about: str, *, or_found: bool = False) -> str:
    """The one cause of this machine that words mean, by its title, remedy and parts: the one asked about, where they
    may mean it; `or_found`: else the only one of them that stands as found. Raises
    UnknownName for none and for several."""
    about = re.sub(
        r"^(?:replaced|changed|cleaned|cleared|mended|repaired|the)\s+", "", about.strip(" :"), flags=re.I
    )
    if not about:
        raise UnknownName(say("put_right_what"))
    words = [word for word in plain_words(about) if word not in ("the", "it", "a", "new")]
    causes = [
        cause
        for cause in talk.pack.causes.values()
        if words and possible(cause.applies, talk.case.facts) and _speak_of(words, cause)
    ]
    titled = [each for each in causes if _letters(each.title).startswith(_letters(about))]
    causes = [each for each in titled if _letters(each.title) == _letters(about)] or titled or causes
    if (asked := _asked_about(talk)) in [cause.id for cause in causes]:
        return asked
    if not causes:
        raise UnknownName(say("put_right_unknown", text=quoted(about)))
    if len(causes) > 1:
        now = talk.case.confidence() if or_found else {}
        if len(standing := [cause for cause in causes if now.get(cause.id, 0.0) > FOUND]) == 1:
            return standing[0].id
        # Never numbered: a number is an option of the prompt that still stands.
        titles = choices(say("put_right_one", title=cause.title) for cause in causes[:4])
        raise UnknownName(say("put_right_which", text=quoted(about), titles=titles))
    return causes[0].id


def _speak_of(words: list[str], cause: Cause) -> bool:
    """Whether each word is one of the cause's, or either begins the other."""
    own = plain_words(f"{cause.id} {cause.title} {cause.remedy} {' '.join(cause.parts)}")
    return all(any(each.startswith(word) or word.startswith(each) for each in own) for word in words)


def _note(talk: Talk, text: str) -> Reply:
    event = happened.Noted(text)
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


def _dealt_with(talk: Talk, rest: str) -> Reply:
    """What the rules do not know any more: what was done about it, by its name."""
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


def _skip(because: str, talk: Talk, line: str) -> Reply:
    return talk.current.skip(talk, because)


def _what_if(talk: Talk, text: str) -> Reply:
    pieces = typed_pieces(talk, text, getattr(talk.current, "target", None))
    typed = [piece for piece in pieces if isinstance(piece, Typed)]
    if not typed or len(typed) < len(pieces):
        because = (piece.because for piece in pieces if isinstance(piece, NotUnderstood) and piece.because)
        example = say("not_understood", text=quoted(text), hint=say("what_if_example"))
        raise UnknownName(next(because, example))
    case = case_of(talk.job, work_out=talk.work_out)
    for piece in typed:
        # As it would be once recorded: what is looked at or measured again counts beside what it was before.
        again = case.counts_beside(talk.job.pack.observations[piece.observation])
        case.record(piece.observation, piece.answer, again=again)
    shown = present.bar_lines(case, talk.case.confidence()) or [Line(say("what_if_same"))]
    return talk, [], [note(say("what_if")), *shown]


def _plate(talk: Talk, text: str) -> Reply:
    if text:
        return _facts_changed(talk, text, talk.current)
    known = ", ".join(f"{name_of(name)} {name_of(value)}" for name, value in talk.job.facts.items())
    return talk, [], [Line(say("plate_known", known=known or say("nothing_known")))]


_NO_MEANS = re.compile(
    r"(?:no|haven'?t got|have no|have not got|got no|without|don'?t have)(?: a| an| any| my| the)? "
    r"(?:earth |insulation |voltage )?(?:meter|multimeter|clamp|clamp meter|tester|testers|tool|tools|instrument|"
    r"megger|thermometer|scales?|gauge|torch|part|parts|spare)s?(?: (?:here|with me|today|on me))?"
    r"|(?:can'?t|cannot|could not|couldn'?t|can not|unable to)"
    r"(?: (?:get|reach|do|see(?! (?:any|an?(?! thing)|much|no)\b)|measure|test|check)\b.*)?"
    r"|not competent|no access"
)
_UNKNOWN = re.compile(
    r"(?:i )?(?:don'?t|do not) ?(?:know)?(?: that| this| sorry)?|dunno|no (?:idea|clue)(?: sorry)?|idk"
    r"|(?:i'?m |i am )?not sure|unsure"
)
_CANNOT, _DONT_KNOW = partial(_skip, "cannot_here"), partial(_skip, "dont_know")


def _or(words: str) -> tuple[str, ...]:
    return tuple(words.split(", "))


UNDO = Command(_undo, _or("undo, back, undo that, take that back"))
"""The one that takes back."""
_HOW = "how do i do that, how do i do this, how do i do it, how do i, how to, show me how"
_DONE = "i have replaced, replaced, changed, mended, repaired"
_SHOWS = "shows, what else would show, what else shows, what would show"
_EXPLAIN = "explain, what is a, what is an, what is, what's"
COMMANDS = (
    Command(
        _CANNOT,
        _or("can't, cant, cannot, can't here, can't do that here, no instrument"),
        like=_NO_MEANS,
    ),
    Command(_DONT_KNOW, _or("dk, unknown"), like=_UNKNOWN),
    Command(_help, _or("help, h"), more=True, tells=True),
    Command(_how, ("how", "?", *_or(_HOW)), tells=True),
    Command(_why, ("why",), more=True, name=FAULT, tells=True),
    Command(_likely, _or("likely, faults"), tells=True, customers=True),
    Command(_steps, ("steps",), tells=True),
    Command(_do, ("do",), more=True),
    Command(_what_if, ("what if",), more=True, name=ITEM, tells=True),
    Command(partial(_told_by, False), _or(_SHOWS), more=True, name=FAULT, tells=True),
    Command(partial(_told_by, True), _or("rule out, rule it out"), more=True, name=FAULT, tells=True),
    Command(_explain, _or(_EXPLAIN), more=True, name=WORD, tells=True, never=True),
    Command(_danger, ("danger",)),
    Command(_correct, _or("correct, change"), more=True),
    UNDO,
    Command(_put_right, ("put right",), more=True, customers=True),
    Command(_said_done, ("done:", *_or(_DONE)), more=True, verb=True, customers=True),
    Command(_note, ("note",), more=True, never=True),
    Command(_plate, ("plate",), more=True, never=True),
    Command(_measure, _or("measure, measure it, measure it after all, measure after all")),
    Command(_dealt_with, ("dealt with",), more=True),
    Command(_end, _or("end, finish, close job, close the job")),
    Command(_stop, _or("stop, quit, exit")),
)
WORDS = tuple(command.words[0] for command in COMMANDS if not command.verb)
"""The commands, for completion."""
LEADING: Mapping[str, str] = {
    f"{word} ": command.name for command in COMMANDS if command.name for word in command.words
}
"""What stands before a name -> which kind of name follows it."""
