"""What a report is made of: frozen data, every text still raw. A renderer escapes and words it.

Figures are in the unit that stands beside them; a chance is 0..1; a reading or limit off the range is infinity.
"""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.text.catalogue import say


@dataclass(frozen=True, slots=True)
class FactLine:
    """A fact of the machine. given: it was told; else it is assumed, and some reading's limits stand on it."""

    fact: str
    ask: str
    value: str
    given: bool


@dataclass(frozen=True, slots=True)
class Taken:
    """One answer or reading of an observation, in the order taken.

    works: remedies that had been carried out before; last: these are all of the job. value: what the meter showed, in
    the observation's unit; None where a band was told. verdict: the answer's text. second: the next likeliest answer,
    where on the edge. doubt: standard uncertainty at the nearest limit. counts: it stands (not replaced, nor
    suspended, nor taken once more). beside: it was taken once more before anything was changed; it is evidence beside
    what was found then, which stands. was: what a correction took the place of. access: as in the record.
    """

    at: str
    works: int
    text: str
    value: float | None
    answer: str
    verdict: str
    healthy: bool
    on_edge: bool = False
    second: str = ""
    doubt: float = 0.0
    told: bool = False
    access: str = ""
    replaced: bool = False
    beside: bool = False
    suspended: bool = False
    was: str = ""
    last: bool = True

    @property
    def counts(self) -> bool:
        return not (self.replaced or self.suspended or self.beside)


@dataclass(frozen=True, slots=True)
class Band:
    """The limits of one answer on this machine, in the observation's unit."""

    answer: str
    text: str
    low: float
    high: float


class _Answered:
    """What was answered once or oftener."""

    __slots__ = ()
    observation: str
    takes: tuple[Taken, ...]

    @property
    def counted(self) -> tuple[Taken, ...]:
        """The takes that stand, in order."""
        return tuple(take for take in self.takes if take.counts)


@dataclass(frozen=True, slots=True)
class Measured(_Answered):
    """A reading with its limits, old against new. bands: healthy first. stands_on: facts behind the limits, as
    (text with value, whether it is assumed). safety: a fault that can burn or shock shows in it."""

    observation: str
    title: str
    unit: str
    expected: float | None
    bands: tuple[Band, ...]
    takes: tuple[Taken, ...]
    stands_on: tuple[tuple[str, bool], ...] = ()
    safety: bool = False


@dataclass(frozen=True, slots=True)
class Seen(_Answered):
    """Anything told, seen, heard or smelt, old against new."""

    observation: str
    ask: str
    kind: str
    symptom: bool
    takes: tuple[Taken, ...]


@dataclass(frozen=True, slots=True)
class Fault:
    """A fault found, or put right. chance: that it was there when the job began; now: that it is there now.

    proof: 'proved', 'still', 'other' (what shows still is another fault's), 'unproved', or empty where nothing was
    put right. how: what the proof rests on. proofs: the observations that the rules name for it. named: the record
    names it as found at its end.
    """

    cause: str
    title: str
    chance: float
    now: float
    put_right: bool
    hazard: str
    remedy: str
    parts: tuple[str, ...] = ()
    proof: str = ""
    how: tuple[str, ...] = ()
    proofs: tuple[str, ...] = ()
    named: bool = False
    brought_on_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Work:
    """A remedy that was carried out."""

    cause: str
    title: str
    remedy: str
    parts: tuple[str, ...]
    minutes: float
    at: str


@dataclass(frozen=True, slots=True)
class Undone:
    """A remedy advised and not done. why: 'licensed', 'cannot', 'left', 'again' or 'advised'."""

    cause: str
    title: str
    remedy: str
    parts: tuple[str, ...]
    chance: float
    hazard: str
    why: str


@dataclass(frozen=True, slots=True)
class Possible:
    """A fault that was neither found nor ruled out."""

    cause: str
    title: str
    chance: float
    hazard: str


@dataclass(frozen=True, slots=True)
class ReturnTest:
    """An electrical test before the machine is used again. outcome: passed, failed or skipped.

    works: remedies that had been carried out before; last: these are all of the job. source: where its limit stands,
    in words; empty where the record holds it against another limit than these rules would. taken_back: it was not so.
    """

    test: str
    outcome: str
    reads: str
    limit: str
    at: str
    works: int = 0
    last: bool = True
    source: str = ""
    taken_back: bool = False


@dataclass(frozen=True, slots=True)
class SignMet:
    """A danger sign met in the job. settled: it stands no more, since the return tests passed, or (lifted) since what
    it came of was corrected."""

    sign: str
    told: str
    at: str
    settled: bool
    lifted: bool = False


@dataclass(frozen=True, slots=True)
class Left:
    """How the machine was left. state: 'fit_for_use', 'left_isolated', 'handed_over', 'open', or 'refused' where the
    record says one (`recorded`) that cannot be. notice: the danger notice for the customer, or empty; why: its
    reasons. owed: return tests still to be made. access: the access state, in words. as_found: people had to leave it
    and nobody confirmed its supply cut, whatever `state` is called."""

    state: str
    recorded: str
    access: str
    notice: str = ""
    stopped: bool = False
    unsafe: tuple[str, ...] = ()
    owed: tuple[str, ...] = ()
    as_found: bool = False


@dataclass(frozen=True, slots=True)
class Service:
    """When to look again: after so many uses, at `week` a week (None: not known), which makes `by_date` (ISO date or
    empty)."""

    cause: str
    title: str
    uses: float
    week: float | None
    week_assumed: bool
    by_date: str


@dataclass(frozen=True, slots=True)
class Cost:
    """What the fault was costing: energy of one use in kWh, as it was and as it is or ought to be.

    measured: `healthy` is from a reading after the work, else it is what a healthy machine takes. week, price: uses
    a week and money a kWh, None where unknown; *_assumed: a class value of the rules.
    """

    observation: str
    title: str
    slow_kwh: float
    healthy_kwh: float
    extra_kwh: float
    measured: bool
    week: float | None = None
    week_assumed: bool = False
    kwh_a_year: float | None = None
    price: float | None = None
    price_assumed: bool = False
    money_a_year: float | None = None


@dataclass(frozen=True, slots=True)
class Weight:
    """One answer's weight for a cause in decibans: in the order answered, and what is lost with it alone left out.

    works: remedies that had been carried out before the answer."""

    observation: str
    ask: str
    works: int
    verdict: str
    decibans: float
    left_out: float
    through: str


@dataclass(frozen=True, slots=True)
class Standing:
    """Why a cause stands where it stands. prior: over all such machines, before any answer."""

    cause: str
    title: str
    prior: float
    begin: float
    now: float
    weights: tuple[Weight, ...]


@dataclass(frozen=True, slots=True)
class Evidence:
    """The workshop's part: every weight, the fault sets that explain it best, and the answer that fits least.

    exact: whether the weights are; else close to it.
    """

    standings: tuple[Standing, ...] = ()
    sets: tuple[tuple[tuple[str, ...], float], ...] = ()
    fits_least: str = ""
    exact: bool = True


@dataclass(frozen=True, slots=True)
class Rules:
    """The rules that the figures follow, and those the job was begun with."""

    pack: str
    version: str
    fingerprint: str
    begun_version: str = ""
    begun_fingerprint: str = ""
    seen_jobs: int = 0
    """Jobs seen by the workshop that are blended into how common faults are; 0: the rules' numbers alone."""
    seen_weight: float = 0.0

    @property
    def changed(self) -> bool:
        return bool(self.begun_fingerprint) and self.begun_fingerprint != self.fingerprint


@dataclass(frozen=True, slots=True)
class Part:
    """A part that was used. price: of one, stock: left in the list, each None where the list does not say."""

    part: str
    count: float
    price: float | None = None
    stock: float | None = None


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture with its moment. works: remedies carried out before. data: its bytes; empty where the file is gone
    or is no longer the one that was taken (`changed`)."""

    file: str
    words: str
    at: str
    works: int
    data: bytes = b""
    changed: bool = False


@dataclass(frozen=True, slots=True)
class Report:
    """A job written up; see findings.py."""

    title: str
    job: str
    began: str
    ended: str
    minutes: float
    reopened: int
    rules: Rules
    complaint: str
    outside: str
    exact: bool
    """Whether the chances are exact; else close to it, since too many answers depend on one another."""
    facts: tuple[FactLine, ...]
    found: tuple[Fault, ...]
    done: tuple[Work, ...]
    readings: tuple[Measured, ...]
    looks: tuple[Seen, ...]
    tests: tuple[ReturnTest, ...]
    left: Left
    not_done: tuple[Undone, ...]
    possible: tuple[Possible, ...]
    not_looked_at: tuple[Possible, ...]
    advice: tuple[str, ...]
    service: tuple[Service, ...]
    costs: tuple[Cost, ...]
    signs: tuple[SignMet, ...]
    skipped: tuple[tuple[str, str], ...]
    """(what, why: one of the record's words) of everything passed over."""
    without: tuple[str, ...]
    meter: tuple[str, ...]
    """The accuracy of the person's own meter, range by range; empty: an ordinary one."""
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    contradictions: tuple[str, ...]
    """Facts of the machine that do not go together, and which count."""
    problems: tuple[str, ...]
    """What is wrong with the record, and what in it could not be taken."""
    evidence: Evidence | None = None
    about: tuple[tuple[str, str], ...] = ()
    """Who and where, as (field, words); kept apart from the record, and in no export."""
    parts: tuple[Part, ...] = ()
    money: str = ""
    """What the prices are in, as the list of parts says."""
    clock_minutes: float = 0.0
    """Time by the entries of the record, absences left out."""
    pictures: tuple[Picture, ...] = ()
    unproved: tuple[str, ...] = ()
    """What was complained of, in a job that ended as fit for use without one of the readings that prove it cured."""


# -- what the forms are made of --------------------------------------------------------------------------


CUSTOMER, WORKSHOP = "customer", "workshop"
FORMS = (CUSTOMER, WORKSHOP)


@dataclass(frozen=True, slots=True)
class Item:
    """One line of a section, and what belongs under it."""

    text: str
    under: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A heading with its lines. key: the heading's key in the words. box: to be set apart (the danger notice).
    pictures: what a page shows under the lines, one each."""

    key: str
    items: tuple[Item, ...]
    foot: str = ""
    readings: tuple[Measured, ...] = ()
    box: bool = False
    pictures: tuple[Picture, ...] = ()

    @property
    def heading(self) -> str:
        return say(self.key)
