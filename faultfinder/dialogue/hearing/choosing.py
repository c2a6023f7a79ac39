"""Which of the options shown a line means: by number, by word, or by its text."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from faultfinder.dialogue.hearing.free_text import (
    FILLER,
    NO,
    YES,
    in_another_form,
    is_question,
    meaning_of,
    same_word,
    words_of,
)
from faultfinder.dialogue.say import Said, error
from faultfinder.dialogue.talk import Talk
from faultfinder.errors import FaultFinderError
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of, quoted
from faultfinder.trade.readings.reading import quantities_of

SHORTEST = 3
"""Letters of an option's text from which on it is known by them; chosen."""


NOTHING = (
    *("no", "nope", "nothing", "none of them", "none of these", "none of those", "none of the others"),
    *("nothing wrong", "no none", "nothing there", "all clear"),
)
"""Words for none of a list."""


AND = ("and", "&", "+", "plus")
"""What parts the words of a list, and is none of them."""
TURNING = frozenset("less no none not never without hardly".split())
"""Words that make of an option's text another thing than what stands behind them."""


class NotTaken(FaultFinderError):
    """A reply that cannot be taken; nothing is recorded."""


def is_option(talk: Talk, line: str) -> bool:
    """Whether the line is one of the words that the current question offers, or several of them where it takes
    several, whatever command it may be."""
    words = talk.asked.words
    parts = re.split(r"[\s,;]+", line.casefold().strip())
    return line.casefold() in words or (
        talk.asked.takes == "several" and all(part in words for part in parts)
    )


def by_text(talk: Talk, line: str, *, loosely: bool = False) -> str:
    """The word of the option whose text begins with what was typed, or holds it, or `loosely` has all its words; else
    the line itself."""
    texts = talk.asked.texts
    plain = " ".join(line.casefold().split()).rstrip(".")
    words = [word for word, _ in texts]
    if (
        len(plain) < SHORTEST
        or all(word in FILLER or word in NO for word in words_of(plain))
        or any(word.casefold().startswith(plain.replace(" ", "_")) for word in words)
    ):
        return line
    fits = {word: text.casefold() for word, text in texts}
    found = [word for word, text in fits.items() if text.startswith(plain)]
    if len(found) == 1:
        return found[0]
    for holds in (_holds, _has_all) if loosely else (_holds,):
        found = [word for word, text in fits.items() if holds(text, plain)]
        if loosely:
            # 'warm' is not 'Less warm than it was', nor is 'dead' none of these.
            found = [word for word in found if TURNING & set(words_of(fits[word])) <= set(words_of(plain))]
        if len(found) == 1:
            return found[0]
    return line


def _has_all(text: str, plain: str, alike: Callable[[str, str], bool] = in_another_form) -> bool:
    """Whether a text has all that was said, in other forms and another order: 'scorched plug' is 'Scorch marks on the
    plug'. A word that is only nearly one of the text's names nothing: 'power' is no powder."""
    said = [word for word in words_of(plain) if word not in FILLER]
    own_words = words_of(text)
    another = len(said) == 1 and plain not in NOTHING and said[0] not in own_words
    if another and not meaning_of(said[0]).isdisjoint(own_words):
        return False  # one word for another names nothing: 'crushed' is no bent door catch
    return any(len(word) > SHORTEST for word in said) and all(
        any(alike(own, word) for own in own_words) for word in said
    )


def nearest_text(talk: Talk, line: str) -> str:
    """The text of the one option that has nearly all the words of a line, to be asked back; empty for none."""
    plain = " ".join(line.casefold().split())
    found = [text for _, text in talk.asked.texts if _has_all(text.casefold(), plain, same_word)]
    return found[0] if len(found) == 1 else ""


def likeliest(texts: Sequence[tuple[str, str]], line: str) -> str:
    """The word of the one option, of (word, text), with which a line shares most words and whose text denies no more
    and no less than the line, to be asked back; empty for none. Of yes and no, the one that it begins with."""
    heard = words_of(line)
    turned = TURNING & set(heard)
    for word, own in (("no", NO), ("yes", YES)):
        if heard and heard[0] in own and word in dict(texts):
            return word
    said = [word for word in heard if word not in FILLER and word not in TURNING]
    if is_question(line):
        return ""
    shared = {
        word: sum(
            any(in_another_form(own, each) for own in words_of(text) if own not in FILLER)
            # what an answer is called by tells more than what its text has as well
            + 0.5 * any(in_another_form(own, each) for own in word.split("_") if own not in FILLER)
            for each in said
        )
        for word, text in texts
        if bool(turned) == bool(TURNING & set(words_of(text)))
        # 'not free' denies what is called so, whatever else its text denies
        and not (turned and word not in TURNING and any(in_another_form(word, each) for each in said))
    }
    most = max(shared.values(), default=0)
    best = [word for word, count in shared.items() if count == most]
    return best[0] if most and len(best) == 1 else ""


def _holds(text: str, plain: str) -> bool:
    """Whether a text holds these words as words."""
    return re.search(rf"\b{re.escape(plain)}\b", text) is not None


_SHORT = ("n", "no", "not", "y")
"""What by itself begins no other word: a bare 'no' is not 'normal', and no 'none' of how much."""


def option(line: str, words: tuple[str, ...]) -> str:
    """The word chosen by number or by its beginning. Raises NotTaken naming the choices."""
    text = line.casefold().strip().rstrip(".")
    if text.isdecimal() and text.isascii() and 1 <= int(text[:6]) <= len(words):
        return words[int(text[:6]) - 1]
    plain = text.replace(" ", "_")
    fits = [word for word in words if word.casefold() == plain] or [
        word
        for word in words
        if plain and word.casefold().startswith(plain) and (plain not in _SHORT or word in ("no", "yes"))
    ]
    if len(fits) == 1:
        return fits[0]
    raise _refused(line, words)


def _refused(line: str, words: tuple[str, ...]) -> NotTaken:
    shown = ", ".join(f"{number} {name_of(word)}" for number, word in enumerate(words, 1))
    return NotTaken(not_understood(line, say("choose", words=shown)))


def not_understood(line: str, hint: str = "") -> str:
    """That a line is not understood, and what to type instead; of an empty one only what to type."""
    return say("not_understood", text=quoted(line), hint=hint) if line.strip(" .") else hint


def several(line: str, words: tuple[str, ...]) -> list[str]:
    """The words chosen by numbers or words, parted by blanks, commas or 'and'."""
    parts = [part for part in re.split(r"[\s,;]+", line) if part and part.casefold() not in AND]
    if not parts:
        raise NotTaken(say("choose", words="numbers, or none"))
    chosen: dict[str, None] = {}
    for part in parts:
        try:
            chosen[option(part, words)] = None
        except NotTaken:
            # Of a sentence the first word alone says nothing of what was not understood.
            raise _refused(part if chosen or len(parts) == 1 else line, words) from None
    return list(chosen)


_APART = re.compile(r"\s*[,;&+]\s*|\s+(?:and|plus)\s+", re.IGNORECASE)
_NUMBERS = re.compile(r"((?:[0-9]{1,2}\s+)*[0-9]{1,2})(?:\s+(\D.*))?")
_OF_THE_NUMBERS = re.compile(r"(?:is|are|was|were|only|or|to)\b|\w*n'?t\b", re.IGNORECASE)
"""Words behind a number that say something of it: '3 are not there'."""


def options_and_words(talk: Talk, line: str) -> tuple[list[str], str]:
    """Options by number or text, and the words of one's own beside them: '1, 3 and it got hot' is 1, 3 and 'it got
    hot'. No options where a word may be about the numbers or none stands apart from them: 'not 1 and 3', '3 hoses',
    '1,3 A'."""
    chosen: list[str] = []
    words: list[str] = []
    for part in filter(None, (each.strip(" .!") for each in _APART.split(line.replace("\u2019", "'")))):
        found = _NUMBERS.fullmatch(part)
        numbers, rest = (found[1].split(), found[2] or "") if found else ([], part)
        if numbers and rest:
            behind = rest.split()[0]
            if quantities_of(f"{numbers[-1]} {behind}") or _about_them(rest):
                return [], line
            numbers, rest = (numbers, rest) if len(numbers) > 1 else ([], part)
        if (numbers and any(map(_about_them, words))) or rest.casefold() in NOTHING:
            return [], line
        chosen += numbers
        meant = by_text(talk, rest, loosely=True) if rest else ""
        if meant in talk.asked.words and meant not in ("none", "more"):
            chosen.append(meant)
        elif rest:
            words.append(rest)
    return (chosen, ", ".join(words)) if chosen and words else ([], line)


def _about_them(words: str) -> bool:
    """Whether words beside numbers may say something of them: they deny or hedge, or have a number themselves."""
    plain = words_of(words)
    return (
        not plain  # marks alone, as in '1 3 ?'
        or plain[0] == "none"
        or plain[0] in TURNING
        or plain[0] in NO
        or any(word.isdecimal() for word in plain)
        or _OF_THE_NUMBERS.match(words) is not None
    )


def beside_options(words: str) -> Said:
    """That of a line the options were taken and the words beside them were not."""
    return error(say("beside_options", text=quoted(words)))
