"""The checked content of a rule pack: frozen data, no behaviour beyond look-up.

Vocabulary: a *cause* is a fault that can be put right; a *state* is a condition that several causes bring
about and several observations show, and is no fault itself; an *observation* is anything that can be told,
seen, heard, smelt or measured, with answers ordered from the healthy one to the one that wins over all
others; a *fact* is what the rating plate, a part's marking or the set-up says. All texts are for people.
Every item keeps its `Mark`, so that any later message can name the line it came from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from faultfinder.text.format import name_of


@dataclass(frozen=True, slots=True)
class Mark:
    """Where a value stands: file as the user named it, line and column counted from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"

    def moved(self, letters: int) -> Mark:
        """The place so many letters further on, on the same line."""
        return Mark(self.file, self.line, self.column + letters)


NOWHERE = Mark("", 0, 0)


class Kind(StrEnum):
    """How an observation is made."""

    TOLD = "told"
    LOOK = "look"
    SOUND = "sound"
    SMELL = "smell"
    READING = "reading"


class Access(StrEnum):
    """The access states of a job; what each means stands in safety/."""

    AS_FOUND = "as_found"
    IN_USE = "in_use"
    ISOLATED = "isolated"
    OPEN_UNPROVED = "open_unproved"
    OPEN_DEAD = "open_dead"


class Need(StrEnum):
    """What access an observation or a remedy asks for. There is no 'open and live' to ask for.

    ANYWHERE: answered from memory or by telephone. COVERS_ON: a look or touch from outside, whatever the
    state. IN_USE: the machine runs, covers on. ISOLATED: plug out, covers may stay on. OPEN_DEAD: covers
    off, proved dead.
    """

    ANYWHERE = "anywhere"
    COVERS_ON = "covers_on"
    IN_USE = "in_use"
    ISOLATED = "isolated"
    OPEN_DEAD = "open_dead"


class Hazard(StrEnum):
    FIRE = "fire"
    SHOCK = "shock"
    BURN = "burn"
    MOVING = "moving_parts"
    NONE = "none"

    @property
    def grave(self) -> bool:
        """Whether leaving the fault can burn a house or kill: counted and settled more strictly."""
        return self in (Hazard.FIRE, Hazard.SHOCK)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of an instruction: what it does (an act of knowledge/instructions/acts.py) and its wording."""

    act: str
    text: str
    mark: Mark = NOWHERE
    stated: bool = True
    """Whether the author said which act it is; else it was placed from its words (instructions/placing.py)."""


def numbered(steps: tuple[Step, ...]) -> str:
    """The steps as people read them: one a line, numbered where there are several."""
    texts = [" ".join(step.text.split()) for step in steps]
    if len(texts) < 2:
        return "".join(texts)
    return "\n".join(f"{number}. {text}" for number, text in enumerate(texts, 1))


@dataclass(frozen=True, slots=True)
class Usual:
    """Shares of the machines that have each choice of a fact, on machines where `when` holds; they add up to 1."""

    when: Mapping[str, tuple[str, ...]]
    shares: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing known about this machine or its set-up before any diagnosis.

    kind: 'choice' (one of `choices`) or 'number' (in `unit`, within `low`..`high`).
    class_value: what to assume while unknown, a number, a choice id, or an expression on other facts.
    spread: one standard deviation of the class value as a fraction of it (0 for choices).
    usual: how many machines have which choice, the first row that holds counting; none: nothing is said of it.
    required: the first conversation asks for it and 'unknown' is not enough to go on (the type of machine).
    """

    id: str
    ask: str
    kind: str
    choices: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    where: str = ""
    how: str = ""
    class_value: str | float | None = None
    spread: float = 0.0
    usual: tuple[Usual, ...] = ()
    required: bool = False
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer or band of an observation."""

    id: str
    text: str
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class Band:
    """Limits of a reading's band, in the observation's unit: source text of two expressions."""

    low: str
    high: str
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """What a reading is of and how its bands follow from the facts; `bands` aligned with the answers."""

    quantity: str
    unit: str
    let: tuple[tuple[str, str], ...]
    bands: tuple[Band, ...]
    expected: str = ""
    """Expression for what a healthy machine reads (shown to people), or empty for the healthy band."""
    one_use_kwh: str = ""
    """Expression for the energy of one use of the machine, from this `reading`, facts, `let` and the ids of other
    readings; empty where it does not follow from the reading."""
    logged: str = ""
    """The figure of a logged cycle that gives this reading (see trade/cycle/figures.py), or empty."""

    @property
    def limit_texts(self) -> list[str]:
        """The expressions that the limits are worked out from: `let`, then both ends of each band."""
        lets = [text for _, text in self.let]
        return lets + [limit for band in self.bands for limit in (band.low, band.high)]

    @property
    def expressions(self) -> list[str]:
        """Every expression of the reading."""
        return [text for text in (*self.limit_texts, self.expected, self.one_use_kwh) if text]


@dataclass(frozen=True, slots=True)
class Probes:
    """Where the meter goes: a drawing at most 38 columns wide and the same in words."""

    drawing: str
    words: str


SETS_THE_SCENE = 0.05
"""Share of sound machines from which on what they show only sets the scene of a complaint; chosen by us."""


@dataclass(frozen=True, slots=True)
class Observation:
    """Anything that can be told, seen, heard, smelt or measured.

    answers: healthy first, the one that wins over all others last.
    background: chance of each answer without any known cause, aligned with `answers`, summing to 1.
    reliability: chance that a given answer is the true one; the rest is shared among the others.
    only_if: earlier observation id -> answers under which this one can be asked; no evidence itself.
    in_vain_after: observation id -> answers after which this one is not asked until something was put right.
    danger: answer id -> danger sign id (see safety/).
    unsafe: answers that are a hazard in themselves -> observations of which one must be measured good before the
    finding is tried again (none: trying it again is enough).
    tried_by: observations of which one, made and healthy, shows that what is unsafe of it is gone; empty: itself.
    return_test: id of the return test that it is, measured in the same way and state; empty for most.
    said: the customer's own words for it.
    """

    id: str
    kind: Kind
    ask: str
    answers: tuple[Answer, ...]
    background: tuple[float, ...]
    reliability: float
    need: Need
    minutes: float
    how_steps: tuple[Step, ...] = ()
    why: str = ""
    probes: Probes | None = None
    instruments: tuple[str, ...] = ()
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    only_if: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    in_vain_after: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    said: tuple[str, ...] = ()
    danger: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    unsafe: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    tried_by: tuple[str, ...] = ()
    measure_first: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Answers after which these are looked at or measured before anything else, as long as all is well."""
    return_test: str = ""
    symptom: bool = False
    """Whether a customer complains of it: offered when the job begins."""
    last_round: bool = False
    """Whether it is looked at before every closing, whatever it promises."""
    closes_with: tuple[str, ...] = ()
    """What was complained of: one of these is looked at or measured before the job is closed as fit for use."""
    computed_from: tuple[str, ...] = ()
    """The observations that it is worked out from, or whose fact it asks once more."""
    reading: ReadingSpec | None = None
    sub_system: str = ""
    mark: Mark = NOWHERE

    @property
    def how(self) -> str:
        """Its steps as a text; empty where the question says it all."""
        return numbered(self.how_steps)

    @property
    def healthy(self) -> str:
        return self.answers[0].id

    @property
    def sets_the_scene(self) -> bool:
        """Whether so many sound machines show it (it was moved) that nobody is called over it."""
        return self.background[0] < 1.0 - SETS_THE_SCENE

    def index(self, answer_id: str) -> int:
        """Position of an answer, healthy = 0. Raises KeyError for an unknown one."""
        for position, answer in enumerate(self.answers):
            if answer.id == answer_id:
                return position
        raise KeyError(answer_id)


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer to a question that sets several observations."""

    id: str
    text: str
    sets: Mapping[str, str]
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class Question:
    """One question that sets several observations at once (`asks:` in a rule file).

    several: several choices may be ticked; 'none of the others' sets what was not ticked to healthy.
    last_round: put before every closing, whatever it promises.
    """

    id: str
    kind: Kind
    ask: str
    choices: tuple[Choice, ...]
    several: bool
    need: Need
    minutes: float
    how_steps: tuple[Step, ...] = ()
    why: str = ""
    instruments: tuple[str, ...] = ()
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    only_if: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    in_vain_after: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    symptom: bool = False
    last_round: bool = False
    sub_system: str = ""
    mark: Mark = NOWHERE

    @property
    def how(self) -> str:
        """Its steps as a text; empty where the question says it all."""
        return numbered(self.how_steps)

    @property
    def observations(self) -> tuple[str, ...]:
        """Ids of all observations it may set, in order of first mention."""
        return tuple(dict.fromkeys(name for choice in self.choices for name in choice.sets))

    def left_out(self, observation: Observation) -> list[str]:
        """The abnormal answers to the observation that no choice stands for. Only where there are none is what was
        not ticked healthy."""
        offered = {choice.sets.get(observation.id) for choice in self.choices}
        return [answer.id for answer in observation.answers[1:] if answer.id not in offered]


@dataclass(frozen=True, slots=True)
class Link:
    """What a present cause or state pushes an observation to: a distribution over its answers."""

    observation: str
    pushes: tuple[float, ...]
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class State:
    """A condition brought about by several causes and shown by several observations; no fault."""

    id: str
    title: str
    brought_on_by: Mapping[str, float]
    shows: Mapping[str, Link]
    accounts_for: str = ""
    sub_system: str = ""
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class Cause:
    """A fault that can be put right (or handed on).

    how_common: chance that it arises by itself, over all jobs on machines it applies to (the leak).
    brought_on_by: cause or state id -> chance that it, when present, brings this on.
    minutes: to put right; if_missed: minutes lost by a return visit; part_costs: in minutes of labour.
    takes: chance that the remedy works. returns: chance that it is back after the machine has run, put right while
    what brings it on most is still there. proof: observations that prove the repair. also_mends: other causes that
    the remedy puts right as well, each with its own `takes`.
    remedy: short name of the work; remedy_steps: the instruction; then_run: the run after it, covers on and return
    tests passed, for a proof in use. Both are shown only through the safety gate.
    touches_electrics: the remedy touches an electrical part although covers stay on (plug, flex, fuse).
    """

    id: str
    title: str
    how_common: float
    hazard: Hazard
    remedy: str
    minutes: float
    if_missed: float
    shows: Mapping[str, Link]
    remedy_steps: tuple[Step, ...] = ()
    remedy_need: Need = Need.OPEN_DEAD
    touches_electrics: bool = False
    parts: tuple[str, ...] = ()
    part_costs: float = 0.0
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    brought_on_by: Mapping[str, float] = field(default_factory=lambda: MappingProxyType({}))
    proof: tuple[str, ...] = ()
    takes: float = 0.95
    also_mends: tuple[str, ...] = ()
    returns: float = 0.0
    hand_to: str = ""
    advice: str = ""
    look_again: float = 0.0
    """Uses of the machine after which to look again for it; 0: nothing to say."""
    group: str = ""
    """Name of the look-alike group it stands in on purpose, where nothing tells its members apart."""
    after_our_work: bool = False
    """Arises only once somebody has had the machine open in this job (`our_own_work`)."""
    then_run: tuple[Step, ...] = ()
    sub_system: str = ""
    mark: Mark = NOWHERE

    @property
    def remedy_how(self) -> str:
        """The steps of the remedy as a text."""
        return numbered(self.remedy_steps)


@dataclass(frozen=True, slots=True)
class Outside:
    """A machine the pack is not for: facts that say so, and what to tell the person."""

    when: Mapping[str, tuple[str, ...]]
    say: str
    mark: Mark = NOWHERE


@dataclass(frozen=True, slots=True)
class PlateRule:
    """Facts that go together: `watts` against `ohms` (cold; less the watts of `less`) or `amps` at `volts`, or
    against the watts of `parts`. All are ids of facts."""

    watts: str
    volts: str = ""
    ohms: str = ""
    amps: str = ""
    less: str = ""
    parts: tuple[str, ...] = ()
    mark: Mark = NOWHERE

    @property
    def names(self) -> tuple[str, ...]:
        """Every fact that it speaks of."""
        alone = (self.watts, self.volts, self.ohms, self.amps, self.less)
        return (*(name for name in alone if name), *self.parts)


@dataclass(frozen=True, slots=True)
class Pack:
    """A whole rule pack, checked: read-only mappings by id, in the order of the files."""

    name: str
    title: str
    version: str
    summary: str
    facts: Mapping[str, Fact]
    causes: Mapping[str, Cause]
    states: Mapping[str, State]
    observations: Mapping[str, Observation]
    questions: Mapping[str, Question]
    outside: tuple[Outside, ...]
    glossary: Mapping[str, str]
    instruments: Mapping[str, str]
    """Instrument id -> what it is called and what it must be fit for."""
    access_minutes: Mapping[Access, float]
    """Minutes to get into each access state from the one before it."""
    meter: Mapping[str, tuple[float, float]]
    """Quantity -> (relative, absolute in base unit) standard uncertainty of an ordinary meter and leads."""
    fingerprint: str
    """Hash of the rule text: a replay against changed rules is told from this."""
    plate: tuple[PlateRule, ...] = ()
    """Which plate facts must go together (see knowledge/formulas/plate.py)."""
    cautions: Mapping[str, tuple[str, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """Act -> what to take care of on this appliance, shown before such a step (see instructions/acts.py)."""


def answer_text(observation: Observation, answer: str) -> str:
    """An answer's text; the id in plain words where the rules give none."""
    text = observation.answers[observation.index(answer)].text
    return name_of(text) if text == answer else text
