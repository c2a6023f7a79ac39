"""What can happen in a job: one frozen value an event, and the keys it has in a record.

A record line is a flow mapping whose first key names the event: `{answer: takes_too_long, is: yes}`. The table is
this file itself: an event's `KEY` is its first key, which holds its first field; every other field stands under
its own name (`value` under `is`); a field with a default may be left out. Types are read from the annotations.
There is no clock in here: `at`, which every event may have and which stands last, is an ISO time that the caller
supplies, or empty.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
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
    """Something that happened. KEY: the first key of its line. FREE: its field that a person writes freely, and that
    may therefore name somebody (`job/workshop/forget.py`). at: when."""

    KEY: ClassVar[str] = ""
    FREE: ClassVar[str] = ""
    at: str = field(default="", kw_only=True)

    def __init_subclass__(cls, key: str = "", free: str = "") -> None:
        # Called once more, without the words, when the slots are made: what was set stays.
        cls.KEY, cls.FREE = key or cls.KEY, free or cls.FREE


@dataclass(frozen=True, slots=True)
class Opened(Event, key="opened"):
    """The job begins, with this pack; version and fingerprint tell a later replay whether the rules changed."""

    pack: str
    version: str = ""
    fingerprint: str = ""
    format: int = FORMAT


@dataclass(frozen=True, slots=True)
class MeterUsed(Event, key="meter"):
    """The accuracy of the person's own meter, range by range (see trade/readings/meter.py); empty: an ordinary meter.

    It stands in the record, so that readings weigh the same wherever the job is taken up again.
    """

    ranges: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SeenBefore(Event, key="seen"):
    """How common faults are, blended with what the workshop has seen (see history.py).

    jobs: how many were counted; weight: how many the rules' own numbers counted for. The chances themselves stand in
    the record, so that the job comes out the same wherever it is taken up again.
    """

    jobs: int
    weight: float
    chances: Chances


@dataclass(frozen=True, slots=True)
class FactGiven(Event, key="fact"):
    """A fact of the machine, as typed; the word `unknown` takes it back."""

    fact: str
    value: str


@dataclass(frozen=True, slots=True)
class Complaint(Event, key="complaint", free="text"):
    """The complaint in the customer's own words: kept, and no evidence by itself."""

    text: str


@dataclass(frozen=True, slots=True)
class DangerSeen(Event, key="danger"):
    """A danger sign of the two lists was met."""

    sign: str


@dataclass(frozen=True, slots=True)
class Confirmed(Event, key="confirm"):
    """A numbered safety action was answered; reads: what the tester showed, where that was typed."""

    action: str
    outcome: str = "done"
    reads: str = ""


@dataclass(frozen=True, slots=True)
class TakenBack(Event, key="take_back"):
    """A safety action that had been confirmed was not so after all."""

    action: str


@dataclass(frozen=True, slots=True)
class ReturnTested(Event, key="return_test"):
    """A return test, with what was measured and the limit it was held against, where known."""

    test: str
    outcome: str
    reads: str = ""
    limit: str = ""
    of: str = ""
    """The observation whose reading counted for the test, where one did."""


@dataclass(frozen=True, slots=True)
class Answered(Event, key="answer"):
    """An observation: an answer id, or a reading as typed (`reads`), or both where the band was told at the time.

    access: the state it was made in, or 'not confirmed here' for what was brought; empty: told. inside: it can only
    be made with the covers off. how: `told` where somebody only said so of a thing to look at or measure. meant: what
    it meant for safety by the rules of that time, danger signs and `unsafe`: rules that came later forget none of it.
    """

    observation: str
    value: str = ""
    reads: str = ""
    access: str = ""
    inside: bool = False
    how: str = ""
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Chosen(Event, key="choice"):
    """One question that sets several observations: the choices ticked. The word `none` among them says that what
    was not ticked is healthy; without it that stays unknown."""

    question: str
    value: tuple[str, ...]
    access: str = ""
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Skipped(Event, key="skip"):
    """An observation was passed over; `because` is one of BECAUSE."""

    observation: str
    because: str


@dataclass(frozen=True, slots=True)
class Without(Event, key="without"):
    """An instrument is not here: everything that needs it is passed over."""

    instrument: str


@dataclass(frozen=True, slots=True)
class Corrected(Event, key="correct"):
    """An earlier answer was wrong: this one stands instead; the old one stays in the record."""

    observation: str
    value: str = ""
    reads: str = ""
    meant: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Withdrawn(Event, key="withdraw"):
    """An earlier answer is taken back and nothing put in its place; of a question, all that was chosen."""

    observation: str


PROVING_RUN = "run"
"""The `work` of an instruction that tells to run the machine after a repair."""


@dataclass(frozen=True, slots=True)
class Advised(Event, key="advice"):
    """An instruction was shown: of an observation or question, the remedy of a cause, or the run that proves it
    (work: PROVING_RUN); `access`: its need."""

    item: str
    access: str
    work: str = ""


@dataclass(frozen=True, slots=True)
class RemedyStarted(Event, key="remedy"):
    """Work on a remedy begins; a pause of its stated minutes is no absence."""

    cause: str
    minutes: float = 0.0
    work: str = ""


@dataclass(frozen=True, slots=True)
class RemedyLeft(Event, key="not_done"):
    """The remedy that was begun was not carried out."""

    cause: str


@dataclass(frozen=True, slots=True)
class Declined(Event, key="declined"):
    """A remedy is not carried out in this job; `because` is one of DECLINED: it cannot be done here, or it is handed
    to a licensed person."""

    cause: str
    because: str


@dataclass(frozen=True, slots=True)
class PutRight(Event, key="put_right"):
    """The remedy of a cause was carried out. `access` and `inside` as in Answered; `electrical`: it touched an
    electrical part; `minutes`: what it really took, 0 where nobody said."""

    cause: str
    access: str = ""
    inside: bool = False
    electrical: bool = False
    work: str = ""
    minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class Reassembled(Event, key="reassembled"):
    """The machine is together again after work on it: from here on our own work may be a fault."""

    value: bool = True


@dataclass(frozen=True, slots=True)
class RanAgain(Event, key="ran_again"):
    """The machine was run after something was put right: what is left may have brought it on again."""

    value: bool = True


@dataclass(frozen=True, slots=True)
class Paused(Event, key="pause"):
    """Nobody was at it for so many minutes (negative: the clock went back); `allowed`: by the work."""

    minutes: float
    allowed: float = 0.0


@dataclass(frozen=True, slots=True)
class Resumed(Event, key="resumed"):
    """The job was left and taken up again, or handed over."""

    why: str


@dataclass(frozen=True, slots=True)
class Noted(Event, key="note", free="text"):
    """A remark for the record."""

    text: str


@dataclass(frozen=True, slots=True)
class DealtWith(Event, key="dealt_with", free="done"):
    """Something in the record that these rules do not know any more was looked at again or put right: its name in the
    record, and what was done about it, in words."""

    name: str
    done: str


@dataclass(frozen=True, slots=True)
class PictureTaken(Event, key="picture", free="words"):
    """A picture of this moment: the tail of its file's name (`picture-1.jpg`, behind the record's own name), the
    SHA-256 of its bytes in hexadecimal digits, and what was said of it."""

    file: str
    hash: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class PartUsed(Event, key="part"):
    """A part that was fitted or used up, called as the person called it; count 0 takes it back."""

    part: str
    count: float = 1.0


@dataclass(frozen=True, slots=True)
class Restarted(Event, key="restart_after_stop", free="reason"):
    """Work was taken up again after a stop, on purpose, for this reason."""

    reason: str


@dataclass(frozen=True, slots=True)
class Closed(Event, key="closed"):
    """The job ends: fit_for_use, left_isolated or handed_over; with what was found and what stayed unsettled."""

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


_ALL = [each for each in vars().values() if isinstance(each, type) and issubclass(each, Event) and each.KEY]
_EXPECT_KEYS = [each.name for each in fields(Expect) if each.name != "at"]
EVENTS: Mapping[str, type[Event]] = MappingProxyType(
    {**{each.KEY: each for each in _ALL}, **dict.fromkeys(_EXPECT_KEYS, Expect)}
)
"""First key of a line -> what it is."""


def opening(events: Iterable[Event]) -> Opened | None:
    """How the job begins; None where its record does not say."""
    return next((event for event in events if isinstance(event, Opened)), None)
