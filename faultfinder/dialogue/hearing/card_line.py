"""What is typed at a safety list: numbers of what is done, figures that were read, and what is not so.

'1 2 3' ticks, '2 wet' finds, '230 0 0 0 230' are the tester's values in order, '0.08 200M 3 4' does both. A figure
goes to the action whose unit it has; where two could be meant it is asked back. Nothing is ticked by a word for all.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.hearing.free_text import GOOD, words_of
from faultfinder.dialogue.hearing.names import is_over
from faultfinder.job.return_tests import judged, limit_for, limit_said, limit_text
from faultfinder.knowledge.model import Pack
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS, Effect
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of, quoted
from faultfinder.trade.readings.reading import parse_reading, quantities_of
from faultfinder.trade.readings.spoken import in_figures
from faultfinder.trade.readings.typed_text import ReadingError

DEAD = ("dead_line_neutral", "dead_line_earth", "dead_neutral_earth")
SOURCE = ("tester_proved", "tester_proved_again")
STORED = ("capacitors_discharged", "board_waited")
LIVE_FROM = 1.0
"""Volts from which on there is voltage: a two-pole tester shows 0 where there is none; chosen."""
SOURCE_FROM = 50.0
"""Volts that a known source must show at the least, to prove a tester for the mains; chosen."""
SOURCE_SAME = 0.8
"""Share of what the source showed before that it must show again; chosen."""
STORED_BELOW = 50.0
"""Volts below which a capacitor counts as discharged: 29 CFR 1910.333(a)(1)."""
LARGEST_EARTH = 20.0
"""Ohm: a bare figure above this is no earth path, and is asked back with its unit; chosen."""
_LABELS = (
    (r"\bl(?:ine)?\s*(?:-|/|to|and)?\s*n(?:eutral)?\b", "dead_line_neutral"),
    (r"\bl(?:ine)?\s*(?:-|/|to|and)?\s*(?:e(?:arth)?|g(?:round)?|pe)\b", "dead_line_earth"),
    (r"\bn(?:eutral)?\s*(?:-|/|to|and)?\s*(?:e(?:arth)?|g(?:round)?|pe)\b", "dead_neutral_earth"),
    (r"\b(?:again|after)\b", "tester_proved_again"),
    (r"\b(?:known\s+)?source(?:\s+before)?\b|\bproving unit\b|\bbefore\b", "tester_proved"),
    (r"\binsulation\b|\binsul\b|\bir\b", "insulation"),
    (r"\bearth\b|\bcontinuity\b", "earth"),
    (r"\bcaps?\b|\bcapacitors?\b", "capacitors_discharged"),
    (r"\bboard\b", "board_waited"),
)
_BAD_WORDS: Mapping[str, tuple[str, ...]] = {
    "voltage_found": ("voltage", "voltage found", "live"),
    "tester_fails": ("tester fails", "tester dead", "no reading"),
    "not_sure": ("not sure", "unsure", "dont know", "don't know"),
    "cannot": ("cannot", "can't", "cant", "cannot look it up", "not possible"),
    "not_yet": ("not yet", "still hot", "hot", "still turning", "no"),
    "not_here": ("not here", "dont have", "don't have", "no tester"),
    "above_50_v": ("above 50", "still charged"),
    "damaged": ("damaged", "broken", "cracked", "frayed", "loose"),
    "wet": ("wet", "damp", "water"),
    "scorched": ("scorched", "scorch marks", "burnt", "brown", "browned"),
    "applies": ("applies", "a notice applies", "recall", "recalled"),
    "failed": ("failed", "fail", "outside the limit"),
    "skipped": (
        *("skipped", "skip", "cannot", "can't", "cant", "no tester", "no instrument", "not here"),
        *("cannot measure", "can't measure", "cannot measure it here"),
    ),
    "none_there": ("none", "none there", "there is none", "no capacitor", "no board", "nil"),
}
"""What people say for an outcome."""
_GOOD_WORDS = ("done", "yes", "ok", "y", "here", "fine", "good", "true", "dry", "whole", "tick", "x")


class TwoOfThem(NotTaken):
    """A figure that two actions of the card could mean: asked back, and taken for nothing else."""


@dataclass(frozen=True, slots=True)
class Tick:
    """One action answered, not written down yet. limit: what a return test was held against."""

    action: str
    outcome: str
    reads: str = ""
    limit: str = ""

    @property
    def effect(self) -> Effect:
        outcome = ACTIONS[self.action].outcome(self.outcome)
        assert outcome is not None
        return outcome.effect

    @property
    def bad(self) -> bool:
        return self.effect not in (Effect.HOLD, Effect.PASS) or self.outcome in ("not_here", "cannot")


@dataclass(frozen=True, slots=True)
class Item:
    """One action of a card. takes: 'tick', 'value' or 'value or none'. limit, source: of a return test, in words."""

    number: int
    action: str
    takes: str
    unit: str = ""
    limit: str = ""
    source: str = ""
    tick: Tick | None = None


_OF_TESTS = frozenset(
    "earth earthing insulation ir megger meggered pat test tests tested continuity bond bonding both all".split()
)
_PASSED = GOOD | frozenset("pass passed passes done".split())


def passed_unmeasured(items: Sequence[Item], line: str) -> str:
    """What to type instead, where a line calls a return test of the card good and gives no value of it ('earth and
    insulation fine', 'all tests passed'); empty for any other line."""
    open_tests = [item for item in items if item.tick is None and item.action in RETURN_TESTS]
    words = {word for token in line.casefold().split() for word in words_of(token)}
    if not open_tests or words.isdisjoint(_OF_TESTS) or words.isdisjoint(_PASSED):
        return ""
    return say("card_measured", form=form_of(open_tests))


def form_of(items: Sequence[Item]) -> str:
    """How these are typed, in words and numbers: 'the ohms, the megohms with M, 3 4 5'. Never with figures: what
    stands there could be typed as if it had been measured."""
    parts = []
    for kind, group in groupby(items, _typed_as):
        here = list(group)
        numbers = " ".join(str(item.number) for item in here)
        parts.append(say(f"form_{kind}", count=len(here)) if kind else numbers)
    return ", ".join(parts)


def _typed_as(item: Item) -> str:
    """What of an item is typed: the kind of its value; empty for its number."""
    if item.takes != "value":
        return ""
    return "volts" if item.unit == "V" else "ohms" if item.action.startswith("earth") else "megohms"


def card_items(
    actions: Sequence[str], ticks: Sequence[Tick], pack: Pack, facts: Mapping[str, str]
) -> tuple[Item, ...]:
    """The actions as they are numbered on the card."""
    held = {tick.action: tick for tick in ticks}
    return tuple(_item(n, action, held.get(action), pack, facts) for n, action in enumerate(actions, 1))


def _item(number: int, action: str, tick: Tick | None, pack: Pack, facts: Mapping[str, str]) -> Item:
    if action in RETURN_TESTS:
        of = limit_for(action, pack, facts)
        limit = limit_text(action, of)
        source = say("return_limit", limit=limit_said(limit), source=of.source)
        source += " " + say("return_strictest") if of.strictest else ""
        return Item(number, action, "value", of.unit, limit, source, tick)
    if action in (*SOURCE, *DEAD):
        return Item(number, action, "value", "V", tick=tick)
    if action in STORED:
        return Item(number, action, "value or none", "V", tick=tick)
    return Item(number, action, "tick", tick=tick)


def read_card_line(items: Sequence[Item], line: str, pack: Pack, facts: Mapping[str, str]) -> list[Tick]:
    """What a line ticks. Raises NotTaken for a line that says nothing of the card, or could say two things."""
    return _Reader(items, pack, facts).read(line)


def _tokens(line: str) -> list[str]:
    """The line in pieces: numbers of items ('3:' and '3' alike), figures with their units, words; labels of actions
    as '@action'."""
    text = line.replace("\u2013", "-")
    text = re.sub(
        r"(?:still |over |above )50 ?v(?:olts)?(?: or more)?", "above_50_v", text, flags=re.IGNORECASE
    )
    text = in_figures(text)
    for pattern, action in _LABELS:
        text = re.sub(pattern, f" @{action} ", text, flags=re.IGNORECASE)
    text = re.sub(r"\s*(?:\+-|\+/-|\u00b1)\s*", "+-", text)
    text = re.sub(r"(\d)\s*[:=]", r"\1: ", text)
    text = re.sub(r"(?<![0-9,.])0,([0-9]+)(?![0-9,])", r"0.\1", text)
    out: list[str] = []
    for part in re.split(r"[\s,;]+", text):
        figure, before = _FIGURE.match(part), out[-1] if out else "@"
        if not part or part in ("and", "is", "reads", "&", "+"):
            continue
        if _NO_UNIT_YET.fullmatch(before) and _UNIT.fullmatch(part):
            out[-1] += f" {part}"
        elif not figure and not _FIGURE.match(before):
            out[-1] += f" {part.casefold()}"
        else:
            out.append(part if figure else part.casefold())
    return out


_FIGURE = re.compile(r"[@<>0-9]|\.[0-9]|ol\b|o\.l", re.IGNORECASE)
_BARE = re.compile(r"[<>]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)")
"""A number without a unit."""
_NO_UNIT_YET = re.compile(r"[<>]?[0-9.]+(?:\+-[0-9.]+)?")
_UNIT = re.compile(r"v|volts?|ohms?|r|m|megohms?|megs?|mohms?|k|kohms?|mv|milliohms?|gohms?|g", re.IGNORECASE)


class _Reader:
    """Reads a card's line piece by piece; `at` is the action that was named last."""

    def __init__(self, items: Sequence[Item], pack: Pack, facts: Mapping[str, str]) -> None:
        self.items = items
        self.pack = pack
        self.facts = facts
        self.ticks: dict[str, Tick] = {}
        self.figures: list[str] = []
        self.at: Item | None = None
        self.said_which = False
        self.all_values = all(item.takes == "value" for item in items)

    def read(self, line: str) -> list[Tick]:
        for token in _tokens(line):
            self._token(token)
        self._close()
        self._deal_out()
        if not self.ticks:
            raise NotTaken(self._refusal(""))
        return list(self.ticks.values())

    def _token(self, token: str) -> None:
        if token.startswith("@"):
            self.at = self._labelled(token[1:])
            return
        takes_figure = self.at is not None and self.at.takes != "tick"
        number = re.fullmatch(r"([0-9]{1,2})(:?)", token)
        if number and not number[2]:
            # Behind '2:' stands what it reads; where all take figures a bare number is one.
            behind = self.said_which and takes_figure
            number = None if behind or self.all_values or not self._has(int(number[1])) else number
        if number:
            self._close()
            if not self._has(int(number[1])):
                raise NotTaken(self._refusal(number[1]))
            self.at, self.said_which = self.items[int(number[1]) - 1], bool(number[2])
        elif not _FIGURE.match(token):
            self._word(token)
        elif self.at is None:
            self.figures.append(token)
        elif takes_figure:
            self._tick(self._judged(self.at, token))
            self.at = None
        else:
            raise NotTaken(say("card_no_figure", number=self.at.number, text=token))

    # -- numbers ---------------------------------------------------------------------------------------

    def _has(self, number: int) -> bool:
        return 1 <= number <= len(self.items)

    def _labelled(self, name: str) -> Item:
        fits = [item for item in self.items if item.action == name or item.action.startswith(f"{name}_")]
        if name == "tester_proved" and fits and any(item.action in self.ticks for item in fits[:1]):
            fits = fits[1:]
        if not fits:
            raise NotTaken(self._refusal(name_of(name)))
        self._close()
        return fits[0]

    def _close(self) -> None:
        """An action that was named and nothing said of it is done; one that takes a figure waits for it."""
        item, self.at = self.at, None
        if item is not None and item.action not in self.ticks and item.takes != "value":
            self._done(item)

    def _done(self, item: Item) -> None:
        self._tick(Tick(item.action, ACTIONS[item.action].outcomes[0].id))

    def _tick(self, tick: Tick) -> None:
        if self.ticks.setdefault(tick.action, tick) != tick:
            number = next(item.number for item in self.items if item.action == tick.action)
            raise NotTaken(say("card_twice", number=number))

    # -- words -----------------------------------------------------------------------------------------

    def _word(self, token: str) -> None:
        plain = token.strip(" .!")
        if self.at is None and self.figures and plain in _BAD_WORDS["skipped"]:
            # '0.05 cannot': the figure came first, and so it stands for the first of them.
            self._deal_out()
            self.figures = []
        still = [self.at] if self.at is not None else self._open()
        if plain in _GOOD_WORDS:
            # By itself it ticks nothing but the last action that is left; never one that takes a figure.
            if self.at is not None and self.at.takes != "value":
                self._close()
            elif self.at is None and len(still) == 1 and still[0].takes == "tick":
                self._done(still[0])
            else:
                raise NotTaken(self._refusal(plain))
            return
        for item in still:
            if outcome := _outcome(item, plain):
                self._tick(Tick(item.action, outcome))
                self.at = None
                return
        raise NotTaken(self._refusal(token))

    def _open(self) -> list[Item]:
        return [item for item in self.items if item.tick is None and item.action not in self.ticks]

    def _refusal(self, text: str) -> str:
        form = form_of([item for item in self.items if item.tick is None])
        return say("card_not_so" if text else "card_each", text=quoted(text), form=form)

    # -- figures ---------------------------------------------------------------------------------------

    def _deal_out(self) -> None:
        """Figures that nobody named an action for go to those that take one, in order, where only one dealing is
        possible."""
        if not self.figures:
            return
        takers = [item for item in self._open() if item.takes != "tick"]
        if self.all_values and self.items[0].unit == "V":
            for item, text in zip(self._dealt_volts(takers), self.figures, strict=True):
                self._tick(self._judged(item, text))
            return
        for text in self.figures:
            fits = [item for item in takers if self._could_be(item, text)]
            if not fits:
                raise NotTaken(self._refusal(text))
            if len({item.unit for item in fits}) > 1 and not _BARE.fullmatch(text):
                raise TwoOfThem(say("card_which", text=text))
            item = fits[0]
            takers.remove(item)
            self._tick(self._judged(item, text))

    def _dealt_volts(self, takers: list[Item]) -> list[Item]:
        """Whose volts these are: all that are left, in order; three are the three pairs; two the source, before and
        after."""
        count = len(self.figures)
        if count > 1 and self.figures == [str(number) for number in range(1, count + 1)]:
            # '1 2 3': the numbers of the card, and no volts of a tester.
            raise NotTaken(say("card_shows", form=form_of(takers)))
        if count == len(takers):
            return takers
        pairs = [item for item in takers if item.action in DEAD]
        source = [item for item in takers if item.action in SOURCE]
        if count == len(pairs) and count > 1:
            return pairs
        if count == len(source) == 2 and all(_volts(text) >= SOURCE_FROM for text in self.figures):
            return source
        if count == 1 + len(pairs) and source and _volts(self.figures[0]) >= SOURCE_FROM:
            return [source[0], *pairs]
        raise NotTaken(say("card_values", count=count, form=form_of(takers)))

    def _could_be(self, item: Item, text: str) -> bool:
        """Whether a figure has the unit of an action; a bare one where it could be its size."""
        if item.unit == "V":
            return not quantities_of(text) or "voltage" in quantities_of(text)
        bare = _BARE.fullmatch(text) is not None
        if item.action.startswith("insulation"):
            return bare or not re.search(r"(?<![a-z])ohms?$|[0-9. ]r[0-9]*$|milli", text.casefold())
        if bare:
            return float(text.lstrip("<>")) <= LARGEST_EARTH
        return not re.search(r"[0-9. ]M$|[0-9. ]M[oO]|meg", text)

    def _judged(self, item: Item, text: str) -> Tick:
        """The tick of a figure. Raises NotTaken where it cannot be read."""
        try:
            if item.action in RETURN_TESTS:
                return self._return_test(item, text)
            volts = _volts(text)
        except ReadingError as problem:
            raise NotTaken(str(problem)) from problem
        reads = f"{volts:g} V"
        if item.action in DEAD:
            outcome = "dead" if volts < LIVE_FROM else "voltage_found"
        elif item.action in STORED:
            outcome = "done" if volts < STORED_BELOW else "above_50_v"
        else:
            before = self.ticks.get("tester_proved") or next(
                (each.tick for each in self.items if each.action == "tester_proved"), None
            )
            least = SOURCE_FROM
            if item.action == "tester_proved_again" and before is not None and before.reads:
                least = max(least, SOURCE_SAME * float(before.reads.split()[0]))
            outcome = "done" if volts >= least else "tester_fails"
        return Tick(item.action, outcome, reads)

    def _return_test(self, item: Item, text: str) -> Tick:
        if item.action.startswith("insulation"):
            text = re.sub(r"(?<=[0-9.])\s*(?:m|megs?|megohms?|mohms?)$", " Mohm", text, flags=re.IGNORECASE)
        text = re.sub(r"\s*milli-?\s?ohms?$", " mohm", text, flags=re.IGNORECASE)
        text = "OL" if is_over(text) else text
        event = judged(self.pack, self.facts, item.action, text)
        return Tick(item.action, event.outcome, event.reads, event.limit)


def _volts(text: str) -> float:
    value = parse_reading(re.sub(r"\s*(volts?|v)$", " V", text, flags=re.IGNORECASE), "voltage", "V").value
    if not math.isfinite(value):
        raise ReadingError(say("card_volts", text=text))
    return abs(value)


def _outcome(item: Item, plain: str) -> str:
    """The outcome of an action that a word means; never the good one of an action that takes a figure."""
    good, *others = ACTIONS[item.action].outcomes
    for outcome in others if item.takes == "value" else (good, *others):
        words = (outcome.id, name_of(outcome.id), outcome.text.casefold(), *_BAD_WORDS.get(outcome.id, ()))
        if plain in words and outcome.id != "passed":
            return outcome.id
    return ""
