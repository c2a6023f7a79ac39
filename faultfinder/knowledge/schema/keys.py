"""The one table of every key of the rule language.

From it are made: loading (read.py), the offer of the nearest known key, the key reference in rules/GUIDE.md
(guide.py) and the editor schema (editor_schema.py). A key that is not here does not exist.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from faultfinder.knowledge.instructions.acts import ACTS
from faultfinder.knowledge.model import Access, Hazard, Kind, Need
from faultfinder.knowledge.schema.strength_words import (
    DANGER_SIGNS,
    HOW_COMMON,
    PART_COSTS,
    RELIABILITY,
    RETURN_TESTS,
    STRENGTH,
    TAKES,
)
from faultfinder.knowledge.schema.value_lists import Names, Pair, Texts
from faultfinder.knowledge.schema.value_mappings import Answers, Bands, Condition, MapTo, Shows
from faultfinder.knowledge.schema.value_steps import Steps
from faultfinder.knowledge.schema.value_types import (
    Drawing,
    Formula,
    Number,
    OneName,
    Shape,
    Text,
    Word,
    YesNo,
)
from faultfinder.trade.cycle.figures import FIGURES
from faultfinder.trade.readings.units import QUANTITIES


@dataclass(frozen=True, slots=True)
class Key:
    """One key: how its value reads, what it is for, and what holds when it is left out."""

    name: str
    shape: Shape | Table
    help: str
    required: bool = False
    default: str = ""
    several: bool = False
    """Whether `shape` is a table for each of several items: a mapping from id, or a list (see `listed`)."""
    listed: bool = False
    example: str = ""


@dataclass(frozen=True, slots=True)
class OfKind:
    """Keys that an item of one kind needs besides the required ones, and keys that it may not have."""

    needed: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """The keys that may stand together in one mapping. `of` is what it describes, with its article.

    by_kind: what the value of the key `kind` asks for besides.
    """

    name: str
    of: str
    keys: tuple[Key, ...]
    by_kind: Mapping[str, OfKind] = field(default_factory=lambda: MappingProxyType({}))

    def key(self, name: str) -> Key | None:
        for key in self.keys:
            if key.name == name:
                return key
        return None

    @property
    def names(self) -> list[str]:
        return [key.name for key in self.keys]


PROBABILITY = Number(0.0, 1.0, STRENGTH)
MINUTES = Number(0.0, 1440.0, unit="minutes")
APPLIES = Condition("fact", "choice")
ONLY_IF = Condition("observation", "answer")

NEEDS = Word(
    {
        Need.ANYWHERE: "from memory, by telephone",
        Need.COVERS_ON: "from outside, whatever the state",
        Need.IN_USE: "the machine runs, covers on",
        Need.ISOLATED: "plug out",
        Need.OPEN_DEAD: "covers off, proved dead",
    },
    {
        word: (
            "open-live",
            "there is no open machine that may be live to work in; behind a cover it is open_dead",
        )
        for word in ("open_unproved", "open_live", "live", "open", "covers_off", "in_use_open")
    },
)
REMEDY_NEEDS = Word(
    {need: text for need, text in NEEDS.meanings.items() if need != Need.IN_USE},
    {**NEEDS.refused, Need.IN_USE: ("remedy-in-use", "no remedy is done on a machine in use")},
)
HAZARDS = Word(
    {
        Hazard.FIRE: "can start a fire",
        Hazard.SHOCK: "can give a shock",
        Hazard.BURN: "can burn skin",
        Hazard.MOVING: "can catch fingers or fall",
        Hazard.NONE: "none of these",
    }
)
KINDS = Word(
    {
        Kind.TOLD: "what people report",
        Kind.LOOK: "seen or felt",
        Kind.SOUND: "heard",
        Kind.SMELL: "smelt",
        Kind.READING: "measured",
    }
)
QUESTION_KINDS = Word({kind: text for kind, text in KINDS.meanings.items() if kind != Kind.READING})

DEFAULT_ACCESS_MINUTES = {
    Access.AS_FOUND: 0.0,
    Access.IN_USE: 2.0,
    Access.ISOLATED: 2.0,
    Access.OPEN_UNPROVED: 8.0,
    Access.OPEN_DEAD: 5.0,
}
"""Minutes to get into each access state from the one before it. Chosen."""

DEFAULT_MINUTES = {Kind.TOLD: 0.5, Kind.LOOK: 1.0, Kind.SOUND: 1.0, Kind.SMELL: 1.0}
"""Minutes an observation takes where its rule does not say. Chosen."""

DEFAULT_ACCESS = {Kind.TOLD: Need.ANYWHERE}
"""Access where a rule does not say; all else is open_dead, the strictest, and the checker asks."""

DEFAULT_BACKGROUND = 0.01
"""Chance of an abnormal answer without any known cause, shared over the abnormal answers. Chosen."""

_KIND_RELIABILITY = ", ".join(f"{kind} {value:g}" for kind, value in RELIABILITY.items())
_KIND_MINUTES = ", ".join(f"{kind} {value:g}" for kind, value in DEFAULT_MINUTES.items())

OUTSIDE = Table(
    "outside",
    "a machine the pack is not for",
    (
        Key("when", APPLIES, "The facts that tell such a machine.", required=True, example="{energy: gas}"),
        Key("say", Text(), "What the person is told, and who can help.", required=True),
    ),
)

PLATE = Table(
    "plate",
    "plate facts that must go together",
    (
        Key(
            "watts",
            OneName("fact"),
            "The power that the others must fit.",
            required=True,
            example="total_watts",
        ),
        Key(
            "ohms",
            OneName("fact"),
            "Cold resistance of the element of that power; relied on before the watts.",
        ),
        Key("amps", OneName("fact"), "Current on the plate; the watts are relied on before it."),
        Key("volts", OneName("fact"), "Voltage at which they hold (with `ohms` or `amps`, required)."),
        Key(
            "less", OneName("fact"), "Watts that do not go through the element of `ohms`, such as a motor's."
        ),
        Key("parts", Names("fact"), "Watts that add up to it; what is marked on parts is relied on."),
    ),
)

PACK = Table(
    "pack",
    "the pack",
    (
        Key("title", Text(80), "What appliance the pack is for.", required=True, example="Room heater"),
        Key(
            "version",
            Text(20),
            "Goes up with every change that alters answers.",
            required=True,
            example='"1.0"',
        ),
        Key("summary", Text(), "One paragraph: which machines, which not."),
        Key(
            "access_minutes",
            MapTo("access states", MINUTES, {state: None for state in Access}),
            "Minutes to get into each access state from the one before it.",
            default=", ".join(f"{state} {value:g}" for state, value in DEFAULT_ACCESS_MINUTES.items()),
        ),
        Key(
            "meter",
            MapTo("quantities", Pair("relative", "absolute"), QUANTITIES),
            "Standard uncertainty of an ordinary meter and leads: relative, and absolute in the base unit.",
            default="by quantity, see the trade tables",
        ),
        Key("outside", OUTSIDE, "Machines the pack is not for.", several=True, listed=True),
        Key(
            "cautions",
            MapTo("acts", Texts(200), {act: None for act in ACTS}),
            "What to take care of on this appliance: shown with every step of that act; of `uncover` before "
            "the covers "
            "come off.",
            default="none",
            example="{move: [Two people.]}",
        ),
        Key("plate", PLATE, "Plate facts that must go together.", several=True, listed=True),
    ),
)

USUAL = Table(
    "usual",
    "usual shares of the choices",
    (
        Key(
            "when",
            APPLIES,
            "The machines that they hold for; the first row that does counts.",
            default="all that are left",
            example="{connection: plug}",
        ),
        Key(
            "shares",
            MapTo("choice ids", Number(0.0, 1.0)),
            "Share of the machines that have each choice; they add up to 1, a choice left out has none.",
            required=True,
            example="{plug: 0.9, fixed: 0.1}",
        ),
    ),
)

FACT = Table(
    "facts",
    "a fact",
    (
        Key("ask", Text(200), "The question.", required=True, example="Rated power on the plate"),
        Key(
            "kind",
            Word({"choice": "one of `choices`", "number": "in `unit`, within `range`"}),
            "What sort of answer.",
            required=True,
        ),
        Key(
            "choices",
            MapTo("choice ids", Text(200)),
            "The choices (for kind choice, where required).",
        ),
        Key("unit", Text(20), "Unit of the number (for kind number)."),
        Key(
            "range",
            Pair("lowest", "highest", ordered=True),
            "Allowed numbers (for kind number, where required).",
        ),
        Key("where", Text(80), "Where it stands: plate, part marking, service sheet."),
        Key("how", Text(), "How to find or tell it."),
        Key(
            "class_value",
            Formula("number, choice id, or expression on other facts"),
            "What to assume while it is unknown.",
            example="0.55 * total_watts",
        ),
        Key(
            "spread",
            Number(0.0, 2.0),
            "One standard deviation of the class value, as a fraction of it.",
            default="0",
        ),
        Key(
            "usual",
            USUAL,
            "How many machines have which choice: what arises on some of them only counts by their share until the "
            "choice is told.",
            default="what a choice asks for counts in full",
            several=True,
            listed=True,
        ),
        Key("required", YesNo(), "Whether the job cannot go on without it.", default="no"),
        Key("applies", APPLIES, "Only asked where these facts hold.", default="always"),
    ),
    MappingProxyType(
        {
            "choice": OfKind(("choices",), ("unit", "range", "spread")),
            "number": OfKind(("range",), ("choices", "usual")),
        }
    ),
)

CAUSE = Table(
    "causes",
    "a cause",
    (
        Key("title", Text(80), "The fault, in a few words.", required=True, example="Element open"),
        Key(
            "how_common",
            Number(0.0, 1.0, HOW_COMMON, inside=True),
            "Chance that it arises by itself, over all jobs on machines it can arise on, any complaint.",
            required=True,
        ),
        Key("hazard", HAZARDS, "What it can do to people while it is left.", required=True),
        Key("remedy", Text(60), "Short name of the work.", required=True),
        Key(
            "remedy_how",
            Steps(),
            "What is done, step by step; shown only when its access state is confirmed.",
        ),
        Key("remedy_need", REMEDY_NEEDS, "Access that the remedy asks for.", default="open_dead"),
        Key(
            "touches_electrics",
            YesNo(),
            "Whether the remedy touches an electrical part although covers stay on (plug, flex, fuse).",
            default="no",
        ),
        Key("parts", Texts(80), "Parts by function, never by maker.", default="none"),
        Key(
            "part_costs",
            Number(0.0, 10_000.0, PART_COSTS, unit="minutes of labour"),
            "Price of the parts.",
            default="nothing",
        ),
        Key("minutes", MINUTES, "To put it right, without access.", required=True),
        Key(
            "if_missed",
            Number(0.0, 10_000.0, unit="minutes"),
            "Lost by a return visit when it is missed.",
            required=True,
        ),
        Key(
            "applies", APPLIES, "Machines it can arise on. An unknown fact leaves it possible.", default="all"
        ),
        Key(
            "brought_on_by",
            MapTo("cause or state ids", PROBABILITY),
            "What brings it on when present, with the chance that it does. No cycles.",
            default="nothing",
        ),
        Key(
            "shows",
            Shows(PROBABILITY),
            "What it makes people see, hear and measure. May be `{}`.",
            required=True,
        ),
        Key("proof", Names("observation"), "Observations that prove the repair.", default="none"),
        Key(
            "takes",
            Number(0.0, 1.0, STRENGTH),
            "Chance that the remedy works, so that a proof that reads wrong afterwards is believed.",
            default=", ".join(f"{value:g} where {words}" for value, words in TAKES.values()),
        ),
        Key(
            "also_mends",
            Names("cause"),
            "Other causes that its remedy puts right as well, told when it is done: the set a part comes in, what "
            "is cleaned with it.",
            default="none",
            example="[cabinet_fluff]",
        ),
        Key(
            "returns",
            PROBABILITY,
            "Put right while what brings it on is left: the chance that it is back after the next run.",
            default="never",
        ),
        Key("hand_to", Word({"licensed": "a licensed person"}), "Who must do the remedy."),
        Key("advice", Text(), "What the customer should look after."),
        Key(
            "look_again",
            Number(0.0, 100_000.0, unit="uses"),
            "Uses of the machine after which to look again for it (the next service).",
            default="nothing is said",
        ),
        Key("group", OneName("group"), "Look-alikes that nothing separates on purpose share this name."),
        Key(
            "then_run",
            Steps(),
            "The run that proves it, shown only in use (covers on, return tests passed), with a proof seen in use.",
            default="none",
        ),
        Key("after_our_work", YesNo(), "Arises only once the machine was open in this job.", default="no"),
    ),
)

STATE = Table(
    "states",
    "a state",
    (
        Key("title", Text(80), "The condition, in a few words.", required=True, example="Air flow low"),
        Key("accounts_for", Text(120), "Ends the sentence: it already accounts for ...", default="the title"),
        Key(
            "brought_on_by",
            MapTo("cause or state ids", PROBABILITY),
            "The causes (or weaker: other states) that bring it about.",
            required=True,
        ),
        Key("shows", Shows(PROBABILITY), "What it makes people see, hear and measure.", required=True),
    ),
)

PROBES = Table(
    "probes",
    "the probes of a reading",
    (
        Key("drawing", Drawing(), "Where the probes go, as a text drawing."),
        Key("words", Text(), "The same in words.", required=True),
    ),
)

_SHARED = (
    Key("ask", Text(200), "The question.", required=True),
    Key("how", Steps(), "How to do it, step by step; shown only when its access state is confirmed."),
    Key("why", Text(), "One or two plain sentences for an apprentice."),
    Key(
        "access",
        NEEDS,
        "Access it asks for (a reading must say).",
        default="told anywhere; else open_dead, and the checker asks",
    ),
    Key("minutes", MINUTES, "How long it takes (a reading must say).", default=_KIND_MINUTES),
    Key("needs", Names("instrument"), "Instruments it takes.", default="none"),
    Key("applies", APPLIES, "Machines it can be asked on.", default="all"),
    Key("only_if", ONLY_IF, "Only asked after these answers; no evidence by itself.", default="always"),
    Key(
        "in_vain_after",
        ONLY_IF,
        "Not asked after these answers until something was put right: it cannot be done then. Told, it counts.",
        default="never",
    ),
    Key("symptom", YesNo(), "Whether customers complain of it: offered when the job begins.", default="no"),
    Key(
        "last_round",
        YesNo(),
        "Whether it is looked at before every closing, whatever it promises.",
        default="no",
    ),
)

READING_ONLY = (
    "quantity",
    "unit",
    "bands",
    "let",
    "expected",
    "both_ways",
    "one_use_kwh",
    "logged",
    "return_test",
)
"""Keys that only a reading may have."""

OBSERVATION = Table(
    "observations",
    "an observation",
    (
        Key("kind", KINDS, "How it is made.", required=True),
        *_SHARED,
        Key("answers", Answers(), "The answers (for a reading optional: texts for the bands)."),
        Key(
            "background",
            MapTo("abnormal answer ids", PROBABILITY),
            "Chance of an abnormal answer without any of the known causes.",
            default=f"{DEFAULT_BACKGROUND} shared over the abnormal answers",
        ),
        Key(
            "closes_with",
            Names("observation"),
            "For a symptom: a job that began with it is fit for use once one of these was looked at or measured "
            "in it, or two were said not to be possible; then the close says that nothing proves it cured.",
            default="nothing is asked for",
            example="[current_on_high, load_temperature]",
        ),
        Key(
            "computed_from",
            Names("observation"),
            "Observations that it is worked out from, or whose fact it asks once more: with them it counts as one "
            "answer less, not as one more.",
            default="none",
        ),
        Key("probes", PROBES, "Where the meter goes."),
        Key("said", Texts(), "The customer's own words for it.", default="none"),
        Key(
            "danger",
            MapTo("answer ids", Word(DANGER_SIGNS)),
            "Answers that are danger signs.",
            default="none",
        ),
        Key(
            "unsafe",
            MapTo("answer ids", Names("observation")),
            "Answers that are a hazard in themselves: with one of them the machine is not fit for use until it is "
            "looked at again and gone; and before that, where observations are named, until one of these is good.",
            default="none",
            example="{never: [], on_heat: [element_insulation]}",
        ),
        Key(
            "measure_first",
            MapTo("answer ids", Names("observation")),
            "Answers after which these are looked at or measured before anything else is planned, in this "
            "order, until one of them is not healthy; one that cannot be made is passed over. Once something was "
            "put right, no more.",
            default="none",
            example="{rcd: [insulation_resistance, leakage_current]}",
        ),
        Key(
            "tried_by",
            Names("observation"),
            "Observations that try an unsafe finding of this one again: it is gone once one of them is made, not "
            "only told, and healthy.",
            default="itself",
        ),
        Key(
            "reliability",
            Number(0.5, 1.0, inside=False),
            "Chance that an answer is the true one.",
            default=_KIND_RELIABILITY,
        ),
        Key(
            "quantity",
            Word({quantity: "" for quantity in QUANTITIES}),
            "What is measured (for a reading, required).",
        ),
        Key("unit", Text(20), "Unit of the bands (for a reading, required)."),
        Key("let", MapTo("names", Formula()), "Names for parts of the limits.", default="none"),
        Key("expected", Formula(), "What a healthy machine reads, for people.", default="the healthy band"),
        Key(
            "one_use_kwh",
            Formula(),
            "Energy of one use of the machine, from this `reading`, facts, `let` and ids of other readings.",
            default="nothing is said of cost",
            example="reading * power_on_high / 60000",
        ),
        Key(
            "logged",
            Word({name: figure.says for name, figure in FIGURES.items()}),
            "The figure of a logged cycle that gives this reading, covers on.",
            default="none",
        ),
        Key(
            "return_test",
            Word(RETURN_TESTS),
            "The test before the machine runs again that this reading is, made in the same way with the same "
            "instrument: its value counts for the test where it is owed, and its healthy band is the limit of earth; "
            "outside the limit of the test it is a danger sign.",
            default="none",
        ),
        Key("bands", Bands(), "Limits of the answers (for a reading, required)."),
        Key(
            "both_ways",
            YesNo(),
            "Confirms that faults which push the reading low and high at once show the later band.",
            default="no",
        ),
    ),
    MappingProxyType(
        {
            **{kind: OfKind(("answers",), READING_ONLY) for kind in Kind if kind is not Kind.READING},
            Kind.READING: OfKind(("quantity", "unit", "bands", "access", "minutes")),
        }
    ),
)

CHOICE = Table(
    "choices",
    "a choice",
    (
        Key("text", Text(200), "The choice in words.", required=True),
        Key("sets", MapTo("observation ids", OneName("answer")), "The answers it gives.", required=True),
    ),
)

QUESTION = Table(
    "asks",
    "a question that sets several observations",
    (
        Key("kind", QUESTION_KINDS, "How it is made.", required=True),
        *_SHARED,
        Key("choices", CHOICE, "The choices.", required=True, several=True),
        Key("several", YesNo(), "Whether more than one choice may be ticked.", default="no"),
    ),
)

INSTRUMENTS = MapTo("instrument ids", Text(300))
GLOSSARY = MapTo("words", Text(), free_keys=True)

FILE = Table(
    "file",
    "a rule file",
    (
        Key("pack", PACK, "What the pack is; in exactly one file."),
        Key("instruments", INSTRUMENTS, "Instrument id to what it is and must be fit for."),
        Key("glossary", GLOSSARY, "Words that an apprentice may not know."),
        Key("facts", FACT, "What the plate, a marking or the set-up says.", several=True),
        Key("causes", CAUSE, "Faults that can be put right.", several=True),
        Key("states", STATE, "Conditions that several causes bring about; no faults.", several=True),
        Key("observations", OBSERVATION, "What can be told, seen, heard, smelt or measured.", several=True),
        Key("asks", QUESTION, "Questions that set several observations at once.", several=True),
    ),
)

TABLES = (FILE, PACK, OUTSIDE, PLATE, FACT, USUAL, CAUSE, STATE, OBSERVATION, PROBES, QUESTION, CHOICE)
