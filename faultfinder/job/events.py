"""What can happen in a job: one frozen value an event, and the keys it has in a record.

A record line is a flow mapping whose first key names the event: `{answer: takes_too_long, is: yes}`. The table is
this file itself: an event's `KEY` is its first key, which holds its first field; every other field stands under
its own name (`value` under `is`); a field with a default may be left out. Types are read from the annotations.
There is no clock in here: `at`, which every event may have and which stands last, is an ISO time that the caller
supplies, or empty.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import ClassVar

FORMAT = 1
"""The version of the record's own language, written by `opened`."""

Chances = tuple[tuple[str, float], ...]
"""(cause id, probability) pairs, in the order written."""

REMOVED = "(removed)"
"""What stands for a free text that was taken out with the person whom it may name."""
BECAUSE = ("dont_know", "cannot_here", "no_instrument", "not_competent")
DECLINED = ("cannot", "licensed")
ACCESS_NOT_CONFIRMED = "not confirmed here"
ACCESS_LOGGED = "logged, covers on"
"""The access of a reading that came from a logged cycle: nobody was led to it, and no cover was off."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened. KEY: the first key of its line. at: when."""

    KEY: ClassVar[str] = ""
    at: str = field(default="", kw_only=True)


@dataclass(frozen=True, slots=True)
class Opened(Event):
    """The job begins, with this pack; version and fingerprint tell a later replay whether the rules changed."""

    KEY: ClassVar[str] = "opened"
    pack: str
    version: str = ""
    fingerprint: str = ""
    format: int = FORMAT


@dataclass(frozen=True, slots=True)
class MeterUsed(Event):
    """The accuracy of the person's own meter, range by range (see trade/readings/meter.py); empty: an ordinary meter.

    It stands in the record, so that readings weigh the same wherever the job is taken up again.
    """

    KEY: ClassVar[str] = "meter"
    ranges: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SeenBefore(Event):
    """How common faults are, blended with what the workshop has seen (see history.py).

    jobs: how many were counted; weight: how many the rules' own numbers counted for. The chances themselves stand in
    the record, so that the job comes out the same wherever it is taken up again.
    """

    KEY: ClassVar[str] = "seen"
    jobs: int
    weight: float
    chances: Chances


@dataclass(frozen=True, slots=True)
class FactGiven(Event):
    """A fact of the machine, as typed; the word `unknown` takes it back."""

    KEY: ClassVar[str] = "fact"
    fact: str
    value: str


@dataclass(frozen=True, slots=True)
class Complaint(Event):
    """The complaint in the customer's own words: kept, and no evidence by itself."""

    KEY: ClassVar[str] = "complaint"
    text: str


@dataclass(frozen=True, slots=True)
class DangerSeen(Event):
    """A danger sign of the two lists was met."""

    KEY: ClassVar[str] = "danger"
    sign: str


@dataclass(frozen=True, slots=True)
class Confirmed(Event):
    """A numbered safety action was answered; reads: what the tester showed, where that was typed."""

    KEY: ClassVar[str] = "confirm"
    action: str
    outcome: str = "done"
    reads: str = ""


@dataclass(frozen=True, slots=True)
class TakenBack(Event):
    """A safety action that had been confirmed was not so after all."""

    KEY: ClassVar[str] = "take_back"
    action: str


@dataclass(frozen=True, slots=True)
class ReturnTested(Event):
    """A return test, with what was measured and the limit it was held against, where known."""

    KEY: ClassVar[str] = "return_test"
    test: str
    outcome: str
    reads: str = ""
    limit: str = ""
    of: str = ""
    """The observation whose reading counted for the test, where one did."""


@dataclass(frozen=True, slots=True)
class Answered(Event):
    """An observation: an answer id, or a reading as typed (`reads`), or both where the band was told at the time.

    access: the state it was made in, or 'not confirmed here' for what was brought; empty: told. inside: it can only
    be made with the covers off. how: `told` where somebody only said so of a thing to look at or measure. meant: what
    it meant for safety by the rules of that time, danger signs and `unsafe`: rules that came later forget none of it.
    """

    KEY: ClassVar[str] = "answer"
    observation: str
    value: str = ""
    reads: str = ""
    access: str = ""
    inside: bool = False
    how: str = ""
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Chosen(Event):
    """One question that sets several observations: the choices ticked. The word `none` among them says that what
    was not ticked is healthy; without it that stays unknown."""

    KEY: ClassVar[str] = "choice"
    question: str
    value: tuple[str, ...]
    access: str = ""
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Skipped(Event):
    """An observation was passed over; `because` is one of BECAUSE."""

    KEY: ClassVar[str] = "skip"
    observation: str
    because: str


@dataclass(frozen=True, slots=True)
class Without(Event):
    """An instrument is not here: everything that needs it is passed over."""

    KEY: ClassVar[str] = "without"
    instrument: str


@dataclass(frozen=True, slots=True)
class Corrected(Event):
    """An earlier answer was wrong: this one stands instead; the old one stays in the record."""

    KEY: ClassVar[str] = "correct"
    observation: str
    value: str = ""
    reads: str = ""
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Withdrawn(Event):
    """An earlier answer is taken back and nothing put in its place; of a question, all that was chosen."""

    KEY: ClassVar[str] = "withdraw"
    observation: str


PROVING_RUN = "run"
"""The `work` of an instruction that tells to run the machine after a repair."""


@dataclass(frozen=True, slots=True)
class Advised(Event):
    """An instruction was shown: of an observation or question, the remedy of a cause, or the run that proves it
    (work: PROVING_RUN); `access`: its need."""

    KEY: ClassVar[str] = "advice"
    item: str
    access: str
    work: str = ""


@dataclass(frozen=True, slots=True)
class RemedyStarted(Event):
    """Work on a remedy begins; a pause of its stated minutes is no absence."""

    KEY: ClassVar[str] = "remedy"
    cause: str
    minutes: float = 0.0
    work: str = ""


@dataclass(frozen=True, slots=True)
class RemedyLeft(Event):
    """The remedy that was begun was not carried out."""

    KEY: ClassVar[str] = "not_done"
    cause: str


@dataclass(frozen=True, slots=True)
class Declined(Event):
    """A remedy is not carried out in this job; `because` is one of DECLINED: it cannot be done here, or it is handed
    to a licensed person."""

    KEY: ClassVar[str] = "declined"
    cause: str
    because: str


@dataclass(frozen=True, slots=True)
class PutRight(Event):
    """The remedy of a cause was carried out. `access` and `inside` as in Answered; `electrical`: it touched an
    electrical part; `minutes`: what it really took, 0 where nobody said."""

    KEY: ClassVar[str] = "put_right"
    cause: str
    access: str = ""
    inside: bool = False
    electrical: bool = False
    work: str = ""
    minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class Reassembled(Event):
    """The machine is together again after work on it: from here on our own work may be a fault."""

    KEY: ClassVar[str] = "reassembled"
    value: bool = True


@dataclass(frozen=True, slots=True)
class RanAgain(Event):
    """The machine was run after something was put right: what is left may have brought it on again."""

    KEY: ClassVar[str] = "ran_again"
    value: bool = True


@dataclass(frozen=True, slots=True)
class Paused(Event):
    """Nobody was at it for so many minutes (negative: the clock went back); `allowed`: by the work."""

    KEY: ClassVar[str] = "pause"
    minutes: float
    allowed: float = 0.0


@dataclass(frozen=True, slots=True)
class Resumed(Event):
    """The job was left and taken up again, or handed over."""

    KEY: ClassVar[str] = "resumed"
    why: str


@dataclass(frozen=True, slots=True)
class Noted(Event):
    """A remark for the record."""

    KEY: ClassVar[str] = "note"
    text: str


@dataclass(frozen=True, slots=True)
class DealtWith(Event):
    """Something in the record that these rules do not know any more was looked at again or put right: its name in the
    record, and what was done about it, in words."""

    KEY: ClassVar[str] = "dealt_with"
    name: str
    done: str


@dataclass(frozen=True, slots=True)
class PictureTaken(Event):
    """A picture of this moment: the tail of its file's name (`picture-1.jpg`, behind the record's own name), the
    SHA-256 of its bytes in hexadecimal digits, and what was said of it."""

    KEY: ClassVar[str] = "picture"
    file: str
    hash: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class PartUsed(Event):
    """A part that was fitted or used up, called as the person called it; count 0 takes it back."""

    KEY: ClassVar[str] = "part"
    part: str
    count: float = 1.0


@dataclass(frozen=True, slots=True)
class Restarted(Event):
    """Work was taken up again after a stop, on purpose, for this reason."""

    KEY: ClassVar[str] = "restart_after_stop"
    reason: str


@dataclass(frozen=True, slots=True)
class Closed(Event):
    """The job ends: fit_for_use, left_isolated or handed_over; with what was found and what stayed unsettled."""

    KEY: ClassVar[str] = "closed"
    state: str
    found: tuple[str, ...] = ()
    not_looked_at: tuple[str, ...] = ()
    minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class Expect(Event):
    """What must hold at this point of a demo or a worked case. Any of these keys may begin the line."""

    likely: Chances = ()
    unlikely: Chances = ()
    first_step_one_of: tuple[str, ...] = ()
    minutes_at_most: float | None = None
    found: tuple[str, ...] = ()
    state: str = ""


EXPECT_KEYS = ("likely", "unlikely", "first_step_one_of", "minutes_at_most", "found", "state")
_ALL = [each for each in vars().values() if isinstance(each, type) and issubclass(each, Event) and each.KEY]
EVENTS: Mapping[str, type[Event]] = MappingProxyType(
    {**{each.KEY: each for each in _ALL}, **dict.fromkeys(EXPECT_KEYS, Expect)}
)
"""First key of a line -> what it is."""
FREE_TEXT: Mapping[type[Event], str] = MappingProxyType(
    {Complaint: "text", Noted: "text", Restarted: "reason", DealtWith: "done", PictureTaken: "words"}
)
"""Event -> its field that a person writes freely, and that may therefore name somebody (`job/workshop/forget.py`)."""
