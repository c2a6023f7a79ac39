"""What a typed line says of observations: which of them it means, and the taking of it once that is clear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import ClassVar

from faultfinder.dialogue.agenda import offers, proofs
from faultfinder.dialogue.hearing.choosing import NotTaken, not_understood, option
from faultfinder.dialogue.hearing.line_parser import NotUnderstood, Piece, Typed, Which, read_line
from faultfinder.dialogue.say import Ask, Line, Said, Tone, caution, choice, note, question
from faultfinder.dialogue.showing import present
from faultfinder.dialogue.showing.reading import drawn
from faultfinder.dialogue.talk import Over, Prompt, Reply, Talk, after
from faultfinder.job import events as happened
from faultfinder.job.events import ACCESS_NOT_CONFIRMED, Event
from faultfinder.job.return_tests import counted, limit_said
from faultfinder.knowledge.model import Need, Observation
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety import gate as safety
from faultfinder.safety.gate import in_words
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of, quoted, with_answer


def typed_pieces(talk: Talk, line: str, current: str | None = None) -> list[Piece]:
    """What a typed line says of observations that apply to this machine."""
    items = [item for item in talk.pack.observations.values() if possible(item.applies, talk.case.facts)]
    return read_line(items, line, current)


def typed_one(talk: Talk, line: str, current: str | None = None) -> Typed | None:
    """The one observation with its answer that a line says and no more; None for none."""
    pieces = typed_pieces(talk, line, current)
    return pieces[0] if len(pieces) == 1 and isinstance(pieces[0], Typed) else None


def elsewhere(talk: Talk, line: str, refusal: NotTaken, current: str | None = None) -> list[Piece]:
    """What the line says of other observations, where it is no answer to the question. Raises the refusal, or why
    a reading that was named does not fit."""
    found = typed_pieces(talk, line, current)
    if found and all(isinstance(piece, Typed | Which) for piece in found):
        return found
    for piece in found:
        if isinstance(piece, NotUnderstood) and piece.because:
            raise NotTaken(piece.because)
    raise refusal


def access_of(talk: Talk, need: Need) -> str:
    """How the access of an answer is recorded: nothing for what needs none, else confirmed here or not."""
    if need is Need.ANYWHERE:
        return ""
    return str(talk.gate.access) if safety.permits(talk.gate, need) else ACCESS_NOT_CONFIRMED


YES = ("yes", "y", "ok", "yep", "yeah", "right")
MOST = 6
"""Observations that are offered to choose from; chosen: a screen of a phone. More are none in particular."""
NONE_OF_THEM = ("no", "n", "none", "nope", "neither")


@dataclass(frozen=True, slots=True)
class AskWhich(Prompt):
    """Which observation a typed line meant. before: what was asked when it was typed; a line that chooses none of
    them may answer that."""

    which: Which
    before: Prompt | None = None
    kind: ClassVar[str] = "which"
    stays: ClassVar[bool] = True

    def put(self, talk: Talk) -> tuple[list[Said], Ask]:
        pairs = [(name, self._as_meant(talk, name)) for name in self.which.observations]
        key = "which_one" if len(pairs) > 1 else "which_this"
        return choice([question(say(key, text=self.which.piece))], say("label_which"), pairs)

    def _as_meant(self, talk: Talk, name: str) -> str:
        """What would be written down."""
        item, answer = talk.pack.observations[name], self.which.answer
        known = _answer_said(item, answer)
        return with_answer(item.ask.rstrip("."), present.answer_text(item, known) if known else answer)

    def take(self, talk: Talk, line: str) -> Reply:
        plain = line.casefold().strip(" .!")
        if plain in NONE_OF_THEM:
            return self.skip(talk, "")
        only = self.which.observations[0] if len(self.which.observations) == 1 else ""
        try:
            name = only if only and plain in YES else option(line, self.which.observations)
        except NotTaken as listed:
            yes_or_no = NotTaken(not_understood(line, say("which_yes_or_no")))
            refusal = yes_or_no if only else listed
            if self.before is None:
                raise refusal from None
            try:
                return self.before.take(replace(talk, current=self.before), line)
            except NotTaken:
                raise refusal from None
        now, events, said = take(replace(talk, current=Over()), [Typed(name, self.which.answer)])
        return self._back(talk, now), events, said

    def skip(self, talk: Talk, because: str) -> Reply:
        return self._back(talk, replace(talk, current=Over())), [], [note(say("nothing_taken"))]

    def _back(self, talk: Talk, now: Talk) -> Talk:
        """Back to a list that was begun when the line was typed."""
        return self.before.gone_on(talk, now) if self.before is not None else now


def take(talk: Talk, pieces: Sequence[Piece], unheard: str = "") -> Reply:
    """Take what was typed; all of a line or, where something is not understood, nothing of it: that is said, by
    `unheard` where there is no reason to tell."""
    if not pieces:
        raise NotTaken(unheard)
    for piece in pieces:
        if isinstance(piece, NotUnderstood):
            plain = not_understood(piece.piece, say("type_help"))
            raise NotTaken(piece.because or unheard or plain)
        meant = (piece.observation,) if isinstance(piece, Typed) else piece.observations
        for name in meant:
            if _unmeasured(talk, name, piece.answer):
                raise NotTaken(say("test_unmeasured", name=name_of(name)))
    for piece in pieces:
        if isinstance(piece, Which):
            if len(piece.observations) > MOST:
                raise NotTaken(say("which_too_many", text=quoted(piece.piece)))
            asked = talk.current.before if isinstance(talk.current, AskWhich) else talk.current
            return replace(talk, current=AskWhich(piece, asked)), [], []
    # 'no, clean' says one thing twice.
    typed = list(dict.fromkeys(piece for piece in pieces if isinstance(piece, Typed)))
    before = talk.case.confidence()
    events: list[Event] = []
    said: list[Said] = []
    now = talk
    wrong = ""
    for piece in typed:
        earlier = now.case
        now, happening, told = answered_one(now, piece)
        again, of_it = proofs.wrong_again(now, piece.observation, earlier)
        wrong = piece.observation if again and not wrong else wrong
        events += happening
        said += [*told, *of_it]
    # Whoever is ending the job goes on looking only if some of what was complained of is left.
    answered = [piece.observation for piece in typed]
    symptoms = [name for name in answered if now.pack.observations[name].symptom]
    ending = bool(talk.ending) and not any(offers.still_there(now, name) for name in symptoms)
    if ending and (repeated := offers.finding_to_repeat(now)) in answered:
        # Looked at again for the ending and there still: not asked a third time, the ending is chosen anew.
        ending = False
        said.append(caution(say("finding_stands", name=name_of(repeated))))
    elif ending and (repeated := proofs.to_take(now)) in answered:
        ending = False
        said.append(caution(say("proof_stands_still", names=name_of(repeated))))
    # Whether to go where it was going is chosen anew.
    now = replace(now, chosen=wrong or (talk.chosen if ending else ""), wanted=None, current=Over())
    return offers.changes(now, before, events, said)


def _answer_said(item: Observation, text: str) -> str:
    """The answer that a text is, by its name or in full; empty for none, as for a reading."""
    return next((each.id for each in item.answers if text.casefold() in (each.id, each.text.casefold())), "")


def _unmeasured(talk: Talk, name: str, answer: str) -> bool:
    """Whether what is a return test is called good without a value: it passes by what was measured alone."""
    item = talk.pack.observations[name]
    return bool(item.return_test) and _answer_said(item, answer) == item.healthy


def answered_one(talk: Talk, piece: Typed) -> Reply:
    """One observation answered."""
    item = talk.pack.observations[piece.observation]
    answer = _answer_said(item, piece.answer)
    access = access_of(talk, item.need)
    reads = "" if answer else piece.answer
    inside = item.need is Need.OPEN_DEAD
    event = happened.Answered(item.id, answer, reads=reads, access=access, inside=inside)
    before = talk.gate.signs
    talk = after(talk, [event])
    given = talk.case.latest(item.id)
    assert given is not None
    judged = talk.case.judged(given)
    said: list[Said] = [present.judged_line(talk.case, item, judged), *drawn(talk.case, item, judged)]
    if access == ACCESS_NOT_CONFIRMED:
        said.append(note(say("not_confirmed")))
    events: list[Event] = [event]
    sign = item.danger.get(judged.answer)
    if sign and not (answer and item.danger.get(answer)):
        events.append(happened.DangerSeen(sign))
        talk = after(talk, events[1:])
    signs = [sign] if sign else [each for each in talk.gate.signs if each not in before]
    said += present.sign_lines(signs)
    test = counted(talk.pack, talk.job.facts, talk.gate, item, reads)
    if test is not None:
        # A reading that is a return test which is owed counts as one: it is not asked twice.
        talk = after(talk, [test])
        events.append(test)
        said += judged_said(test.test, test.outcome, test.reads, test.limit)
    return talk, events, said


def judged_said(test: str, outcome: str, reads: str, limit: str) -> list[Said]:
    """The value of a return test beside its limit, and what that comes to."""
    words, judged, told = in_words((test,)), say(f"judged_{outcome}"), limit_said(limit)
    return [Line(say("return_judged", test=words, reads=reads, outcome=judged, limit=told), Tone.CHANGE)]
