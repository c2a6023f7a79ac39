"""Hostile and broken input of every kind that the program reads, and valid input whose right answer is known.

    python tests/helpers/fuzz.py 100000          # so many inputs; some minutes
    python tests/helpers/fuzz.py --one KIND N    # one of them again, with what it leads to
    python tests/helpers/fuzz.py --big N ...     # these, ten million characters long, of every kind that can be

Each input is drawn by its kind and number alone. It must end in a right answer or a clear error (a FaultFinderError,
or problems with their place), within time and memory, and what is shown of it must not drive a terminal.
"""

from __future__ import annotations

import faulthandler
import math
import random
import re
import resource
import sys
import tempfile
import time
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import fuzz_around
from fuzz_inputs import BIG, CODE, MARKS, NUMBERS, SNIPPETS, YAML, as_bytes, binary, expression, spoiled
from talking import BEGUN, MORNING, OPEN, OPENED, SMALL, chat, small_pack

from faultfinder.dialogue.converse import reply, start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.machine import fact_events
from faultfinder.dialogue.queries.assess import assess
from faultfinder.dialogue.queries.trace import read_trace
from faultfinder.dialogue.say import Said
from faultfinder.dialogue.talk import Talk
from faultfinder.errors import FaultFinderError
from faultfinder.job.audit import audit
from faultfinder.job.cases.worked import WorkedCase, run_case
from faultfinder.job.history.history import closed_job
from faultfinder.job.history.index import job_key
from faultfinder.job.history.search import fitting, job_of
from faultfinder.job.record.event_codec import Place, parse_line, to_line
from faultfinder.job.record.lines import parse_record
from faultfinder.job.state import begin, fold
from faultfinder.knowledge.formulas.expression import parse
from faultfinder.knowledge.formulas.plate import contradictions
from faultfinder.knowledge.load import check_pack, load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.practice.load import load_practice
from faultfinder.practice.written import read_job
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.evidence.facts import read_fact
from faultfinder.report.findings import report_of
from faultfinder.report.text import markdown
from faultfinder.safety.actions import RETURN_TESTS
from faultfinder.terminal.commands.trace import decoded
from faultfinder.terminal.console.printed import shown
from faultfinder.terminal.console.render import lines
from faultfinder.trade.readings.meter import meter_from_text
from faultfinder.trade.readings.reading import parse_reading, quantities_of, split_readings
from faultfinder.trade.readings.units import QUANTITIES

SLOWEST, SLOWEST_BIG = 5.0, 30.0
"""Seconds that one input may take, and one of ten million characters (a log may have that many); chosen."""
MOST_MEMORY = 900.0
"""MB that the process may come to; chosen. Ten million characters as text take up to 40 of them a copy."""
LONGEST_MESSAGE = 700

TAKEN, REFUSED = "taken", "refused"


class Wrong(AssertionError):
    """An answer that is not right, or an error that is not clear."""


def expect(holds: bool, what: str) -> None:
    if not holds:
        raise Wrong(what)


@dataclass(frozen=True)
class Kind:
    """A kind of input. draw: an input by lot, with a check of the outcome where the right one is known. run: what
    the program makes of it; raises FaultFinderError where it refuses it. big: whether it can come as ten
    million characters; words of a command line cannot."""

    name: str
    weight: int
    draw: Callable[[random.Random], tuple[bytes, object]]
    run: Callable[[bytes, object], str]
    big: bool = True


def clear(message: str) -> None:
    """A message for people: something is said, in one screenful, and safe once it is shown."""
    expect(bool(message.strip()), "an error without a message")
    expect(len(message) <= LONGEST_MESSAGE, f"a message of {len(message)} characters: {message[:200]!r}")
    expect(
        all(letter.isprintable() or letter in "\n " for letter in shown(message)), f"not safe: {message!r}"
    )


def safe(said: tuple[Said, ...]) -> None:
    for _, line in lines(said, 76):
        expect(line.isprintable() or not line, f"what is shown could drive a terminal: {line!r}")


def text_of(data: bytes) -> str:
    """What a program gets from a terminal or a pipe for these bytes."""
    return data.decode("utf-8", "surrogateescape")


# -- rule files ------------------------------------------------------------------------------------------


@cache
def _rules() -> tuple[str, ...]:
    small = (SMALL / "fan_heater.yaml").read_text()
    shipped = Path(__file__).parents[2] / "rules"
    others = [path.read_text() for path in sorted(shipped.glob("*/*.yaml"))]
    return (small, *others)


PLACE: list[Path] = []
"""The folder that rule files are written to, the last one counts; whoever runs this gives one."""


def draw_rules(choose: random.Random) -> tuple[bytes, object]:
    small = _rules()[0]
    kind = choose.random()
    if kind < 0.05:
        # Remarks and blank lines change nothing.
        where = choose.choice(
            [
                place
                for place, letter in enumerate(small)
                if letter == "\n" and small[place + 1 : place + 2] == "\n"
            ]
            or [0]
        )
        return as_bytes(small[:where] + "\n# a remark\n" + small[where:] + "\n"), small_pack().causes.keys()
    if kind < 0.1:
        return binary(choose), None
    if kind < 0.2:
        return as_bytes("\n".join(choose.choices((*YAML, *MARKS), k=choose.randint(1, 8)))), None
    if kind < 0.3:
        return as_bytes(_nested(choose)), None
    if kind < 0.5:
        return as_bytes(_with_value(small, choose)), None
    return as_bytes(spoiled(small, choose, _rules())), None


def _nested(choose: random.Random) -> str:
    deep = choose.choice((5, 13, 40, 2000))
    opening, closing = choose.choice((("[", "]"), ("{a: ", "}"), ("- ", ""), ("a:\n", "")))
    if opening == "a:\n":
        return "".join(" " * n + "a:\n" for n in range(min(deep, 300)))
    return "causes: " + opening * deep + "x" + closing * deep


def _with_value(text: str, choose: random.Random) -> str:
    """Some value behind a key put another way: a number, code, a mark, a list where none is."""
    rows = text.split("\n")
    places = [n for n, row in enumerate(rows) if ": " in row and not row.lstrip().startswith("#")]
    for place in choose.sample(places, choose.choice((1, 1, 2, 4))):
        key = rows[place].split(": ")[0]
        value = choose.choice((*NUMBERS, *CODE, *YAML, "[]", "{}", "[a, b]", "{a: 1}", "", "yes"))
        rows[place] = f"{key}: {value}"
    return "\n".join(rows)


def run_rules(data: bytes, known: object) -> str:
    path = PLACE[-1] / "fan_heater.yaml"
    path.write_bytes(data)
    pack, problems = check_pack(path)
    ends = data.count(b"\n") + data.count(b"\r") + 2
    for problem in problems:
        clear(problem.message)
        expect(1 <= problem.mark.line <= ends and problem.mark.column >= 1, f"no such place: {problem}")
    if pack is None:
        expect(known is None, f"a good file is refused: {problems[:1]}")
        expect(any(problem.is_error for problem in problems), "refused, and not said why")
        return REFUSED
    if known is not None:
        expect(pack.causes.keys() == known, "the pack has other causes than were written")
    case = Case(pack)
    for name, chance in case.confidence().items():
        expect(0.0 <= chance <= 1.0, f"{name} has a chance of {chance}")
    return TAKEN


# -- records and worked cases ----------------------------------------------------------------------------


@cache
def _records() -> tuple[str, ...]:
    home = Path(__file__).parents[1] / "report" / "records"
    return tuple(path.read_text() for path in sorted(home.glob("*.yaml")))


def draw_record(choose: random.Random) -> tuple[bytes, object]:
    good = choose.choice(_records())
    kind = choose.random()
    if kind < 0.05:
        return as_bytes(good), parse_record(as_bytes(good)).events
    if kind < 0.1:
        return binary(choose), None
    if kind < 0.4:
        # By hand: the checks are gone, so that what is spoiled is read as it stands.
        if choose.random() < 0.5:
            good = _numbered(good)
        rows = [row.split(", check: ")[0] + "}" if ", check: " in row else row for row in good.split("\n")]
        return as_bytes(spoiled("\n".join(rows), choose, _records())), None
    if kind < 0.5:
        return as_bytes("\n".join(f"- {{{_event(choose)}}}" for _ in range(choose.randint(1, 12)))), None
    return as_bytes(spoiled(choose.choice((good, _numbered(good))), choose, _records())), None


@cache
def _numbered(text: str) -> str:
    """The record as it is written now, some lines of it turns of three."""
    events = parse_record(as_bytes(text)).events
    rows = [
        to_line(event, Place("5d1f", number, (3 - number % 3) % 3 if number + 3 < len(events) else 0))
        for number, event in enumerate(events, 1)
    ]
    return "\n".join(rows) + "\n"


TIMES = ("0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00", "2031-05-14T09:30:00", "0001-01-01")


def _event(choose: random.Random) -> str:
    """An event with the right keys and anything as their values."""
    shape = choose.choice(
        (
            "answer: {}, is: {}", "answer: {}, reads: {}", "fact: {}, value: {}", "fact: volts, value: {}",
            "danger: {}",
            "confirm: {}", "confirm: switched_off, outcome: {}",
            "return_test: earth_inside, outcome: {}, reads: {}",
            "pause: {}", "put_right: {}", "put_right: element_open", "closed: {}", "closed: fit_for_use",
            "note: {}",
            "advice: element_resistance, access: {}", "correct: no_heat, is: {}", "withdraw: {}",
            "skip: {}, because: {}",
            "resumed: {}", "restart_after_stop: {}", "meter: [{}]", "opened: {}, format: {}",
            "complaint: {}", "at: {}", "note: x, at: '{}'",
            "remedy: element_open, minutes: {}", "reassembled: {}", "likely: {{element_open: {}}}",
            "found: [{}]",
        )
    )  # fmt: skip
    words = (*TIMES, "no_heat", "yes", "element_open", "volts", "230", "plug_out", "done", "OL", *SNIPPETS)
    return shape.format(choose.choice(words), choose.choice(words))


def run_record(data: bytes, known: object) -> str:
    contents = parse_record(data, "job.yaml")
    for problem in contents.problems:
        clear(problem.message)
    if known is not None:
        expect(contents.events == known and not contents.damaged, "a good record is not read")
    pack = small_pack()
    _, troubles = fold(pack, contents.events)
    for _, why in troubles:
        clear(why)
    audit(contents.events, pack)
    listed = job_of(Path("job.yaml"), contents)
    fitting([listed], ("open",))
    closed_job(job_key(contents.events), contents.events)
    for event in contents.events:
        expect(parse_line(to_line(event)).event == event, f"what was read cannot be written again: {event}")
    if len(data) % 16 == 0:
        written = markdown(report_of(pack, contents.events, problems=[str(p) for p in contents.problems]))
        expect(all(c.isprintable() or c == "\n" for c in shown(written)), "the report is not safe to show")
    return REFUSED if contents.damaged or contents.torn else TAKEN


def draw_case(choose: random.Random) -> tuple[bytes, object]:
    good = (
        "- {answer: no_heat, is: yes}\n- {answer: element_resistance, reads: OL}\n"
        "- {likely: {element_open: 0.5}}\n- {unlikely: {fan_worn: 0.5}}\n"
    )
    if choose.random() < 0.1:
        return as_bytes(good), True
    rows = [f"- {{{_event(choose)}}}" for _ in range(choose.randint(0, 3))]
    return as_bytes(spoiled(good + "\n".join(rows), choose, _records())), None


def run_worked_case(data: bytes, holds: object) -> str:
    contents = parse_record(data, "case.yaml")
    case = WorkedCase("case", "case.yaml", contents.events, contents.lines, contents.problems)
    run = run_case(small_pack(), case, explain=len(data) % 4 == 0)
    for failure in run.failures:
        clear(str(failure))
    expect(holds is None or run.holds, f"a case that holds fails: {run.failures[:1]}")
    return TAKEN if case.readable else REFUSED


# -- logs and meters -------------------------------------------------------------------------------------


def draw_log(choose: random.Random) -> tuple[bytes, object]:
    step, power = choose.choice((1, 5, 10)), round(choose.uniform(200, 3000), 1)
    rows = [f"{n * step},{power}" for n in range(choose.randint(5, 80))]
    good = "time (s),power (W)\n" + "\n".join(rows) + "\n"
    kind = choose.random()
    if kind < 0.2:
        return as_bytes(good), (power, step)
    if kind < 0.3:
        return binary(choose), None
    if kind < 0.4:
        cells = [
            ",".join(choose.choices((*NUMBERS, *MARKS, "time", "power", "W", "s"), k=3)) for _ in range(12)
        ]
        return as_bytes("\n".join(cells)), None
    other = good.replace(",", choose.choice((";", "\t", "|", ","))).replace(".", choose.choice((",", ".")))
    return as_bytes(spoiled(other, choose)), None


def run_log(data: bytes, known: object) -> str:
    trace = read_trace(decoded(data))
    log = trace.log
    expect(all(map(math.isfinite, (*log.seconds, *log.values))), "a log with a value that is none")
    expect(all(b >= a for a, b in zip(log.seconds, log.seconds[1:], strict=False)), "time runs back")
    if isinstance(known, tuple):
        power, step = known
        expect(
            set(log.values) == {power} and log.interval == step,
            f"read as {log.values[:3]}, every {log.interval}",
        )
    return TAKEN


def draw_meter(choose: random.Random) -> tuple[bytes, object]:
    top, percent, digits = choose.choice((2, 20, 200)), round(choose.uniform(0.1, 3), 1), choose.randint(1, 9)
    good = f"# mine\nresistance up to {top} ohm: {percent} % + {digits} digits of 0.1 ohm\n"
    good += "current up to 10 A: 1.5 % + 5 digits of 0.01 A\n"
    if choose.random() < 0.2:
        return as_bytes(good), (top, percent, digits)
    return as_bytes(spoiled(good, choose)), None


def run_meter(data: bytes, known: object) -> str:
    meter = meter_from_text(text_of(data))
    if isinstance(known, tuple):
        span = meter.range_for("resistance", 1.0)
        expect(span is not None and (span.top, span.percent, span.digits) == known, f"read as {span}")
    for each in meter.ranges:
        half = each.top / 2
        reading = (
            parse_reading(half, each.quantity, QUANTITIES[each.quantity].base)
            if _inside(each.quantity, half)
            else None
        )
        if reading is not None:
            doubt = meter.standard_uncertainty(reading, each.quantity)
            expect(doubt >= 0.0 and math.isfinite(doubt), f"an uncertainty of {doubt}")
    return TAKEN


def _inside(quantity: str, value: float) -> bool:
    return QUANTITIES[quantity].low <= value <= QUANTITIES[quantity].high


@cache
def load_dryer() -> Pack:
    return load_pack("tumble_dryer")


# -- what is typed ---------------------------------------------------------------------------------------


@cache
def _prompts() -> tuple[Talk, ...]:
    """A conversation at each kind of prompt."""
    openings = (
        (), ("it is cold",), ("stays cold",), ("stays cold", "none"), BEGUN,
        OPENED, (*OPENED, "1 2"), (*OPENED, *OPEN[:1]), (*OPENED, *OPEN), (*OPENED, "end"), (*OPENED, "correct"),
        (*OPENED, "correct", "1"), ("stays cold", "1"), ("stays cold", "1", "restart"),
        (*BEGUN, "OL"),
        (*OPENED, *OPEN, "OL"), (*OPENED, *OPEN, "end", "fit"),
    )  # fmt: skip
    return (*(chat(*opening).talk for opening in openings), _at_the_return_tests())


def _at_the_return_tests() -> Talk:
    """An open machine, mended: earth and insulation are asked for."""
    talking = chat(*OPENED, *OPEN, "OL", "done", "26.4")
    for line in ("end", "fit_for_use", *["1"] * 20):
        current = talking.current
        if isinstance(current, AskCard) and current.actions[0] in RETURN_TESTS:
            return talking.talk
        talking.say("fit_for_use" if isinstance(current, AskClose) else line)
    raise AssertionError("no return test is asked for")


_TYPED = (
    "1", "none", "yes", "volts 230; watts 2000", "element resistance OL", "7.4A", "33R", "why",
    "what if air weak yes",
    "note hello", "correct", "shows element broken", "explain cut-out", "do 1", "plate volts 240", "end",
    "danger",
    "it stays cold and smells burnt", "0.12 ohm", "20 Mohm", "dk", "done", "dead",
    "element 23 ohm; cut out 0.1", "0.05 200M 3 4", "1: 0.05, 2: 200 Mohm", "0.05 cannot",
)  # fmt: skip


def draw_typed(choose: random.Random) -> tuple[bytes, object]:
    number = choose.randrange(len(_prompts()))
    kind = choose.random()
    if kind < 0.15:
        text = " ".join(choose.choices(SNIPPETS, k=choose.randint(1, 4)))
    elif kind < 0.25:
        command = choose.choice(("note", "what if", "plate", "why", "shows", "explain", "do", "correct"))
        text = f"{command} {choose.choice(SNIPPETS)} {choose.choice(_TYPED)}"
    elif kind < 0.3:
        text = choose.choice(("\x01", "\u202e", "é", "a ", "1;", "\ud800")) * choose.choice((500, 9_999))
    else:
        text = spoiled(choose.choice(_TYPED), choose, _TYPED)
    return as_bytes(text), number


def run_typed(data: bytes, number: object) -> str:
    assert isinstance(number, int | None)
    text = data.decode("utf-8", "surrogatepass" if len(data) < 50_000 else "replace")
    talk = _prompts()[number or 0]
    turn = reply(talk, text, talk.last_at or MORNING)
    safe(turn.said)
    for event in turn.events:
        line = to_line(event)
        back = parse_line(line)
        expect(back.event == event and back.checked, f"what was typed is not read back: {line[:200]!r}")
    return TAKEN if turn.events else REFUSED


def draw_given(choose: random.Random) -> tuple[bytes, object]:
    words = choose.choices(
        ("volts=230", "watts=2000", "supply=single_phase", "no_heat yes", "element OL", "33R", "a=b"), k=3
    )
    return as_bytes("\n".join(choose.choice((word, spoiled(word, choose, _TYPED))) for word in words)), None


def run_given(data: bytes, known: object) -> str:
    result = assess(small_pack(), text_of(data).split("\n"))
    expect(all(0 <= chance <= 1 for _, chance in result.likely), "a chance that is none")
    return TAKEN


def draw_reading(choose: random.Random) -> tuple[bytes, object]:
    kind = choose.choice(list(QUANTITIES.values()))
    unit = kind.units[kind.base]
    value = choose.uniform(max(kind.low, -50.0), min(kind.high, 900.0))
    text = f"{value:.3f} {kind.base}"
    if choose.random() < 0.2 and "%" not in text:
        return as_bytes(f"{kind.name}\n{text}"), round(
            value, 3
        ) if unit.factor == 1 and unit.offset == 0 else None
    if choose.random() < 0.4:
        return as_bytes(
            f"{kind.name}\n{choose.choice(NUMBERS)}{choose.choice(('', ' '))}{choose.choice(list(kind.units))}"
        ), None
    return as_bytes(f"{kind.name}\n{spoiled(text, choose)}"), None


def run_reading(data: bytes, known: object) -> str:
    name, _, text = text_of(data).partition("\n")
    kind = QUANTITIES.get(name, QUANTITIES["resistance"])
    quantities_of(text)
    for part in split_readings(text)[:20]:
        quantities_of(part)
    reading = parse_reading(text, kind.name, kind.base)
    expect(
        reading.over_range or kind.low <= reading.value <= kind.high,
        f"{reading.value} is outside the quantity",
    )
    expect(not math.isnan(reading.value), "a reading that is no number")
    if isinstance(known, float):
        expect(
            math.isclose(reading.value, known, rel_tol=1e-9, abs_tol=1e-9),
            f"{text!r} is read as {reading.value}",
        )
    return TAKEN


VALUES = {"volts": 230.0, "watts": 2000.0, "ohms": 26.45}


def draw_expression(choose: random.Random) -> tuple[bytes, object]:
    made = expression(choose, VALUES)
    if choose.random() < 0.4:
        return as_bytes(made.text), made.value
    if choose.random() < 0.4:
        return as_bytes(
            choose.choice((" ", "+", "*", "", "(")).join(
                choose.choices((*CODE, "volts", "2", "("), k=choose.randint(1, 3))
            )
        ), None
    return as_bytes(spoiled(made.text, choose, CODE)), None


def run_expression(data: bytes, known: object) -> str:
    text = text_of(data)
    try:
        value = parse(text).evaluate(VALUES)
    except FaultFinderError as error:
        clear(str(error))
        # Too long, too deep, a power too high: a valid one may be refused; but never one that is short and plain.
        sane = isinstance(known, float) and len(text) < 60 and abs(known) < 1e6 and "**" not in text
        expect(not sane, f"refused: {text} = {known}: {error}")
        return REFUSED
    expect(not math.isnan(value), "an expression that is no number")
    if isinstance(known, float):
        expect(math.isclose(value, known, rel_tol=1e-9, abs_tol=1e-12), f"{text} is {value}, not {known}")
    return TAKEN


def draw_plate(choose: random.Random) -> tuple[bytes, object]:
    pack = load_dryer()
    fact = choose.choice(list(pack.facts.values()))
    text = choose.choice(list(fact.choices) or [f"{choose.uniform(fact.low, fact.high):.3g} {fact.unit}"])
    if choose.random() < 0.3:
        return as_bytes(f"{fact.id}\n{text}"), fact.kind
    value = choose.choice((choose.choice(NUMBERS), choose.choice(SNIPPETS), spoiled(text, choose)))
    return as_bytes(f"{fact.id}\n{value}"), None


def run_plate(data: bytes, known: object) -> str:
    pack = load_dryer()
    name, _, text = text_of(data).partition("\n")
    fact = pack.facts.get(name, pack.facts["volts"])
    try:
        value = read_fact(fact, text)
    except FaultFinderError as error:
        clear(str(error))
        expect(known != "choice", f"{text} is refused: {error}")
        return REFUSED
    expect(isinstance(value, str) or fact.low <= value <= fact.high, f"{value} is outside the fact")
    contradictions(pack, {"volts": 230.0, "total_watts": 2400.0, name: value})
    fact_events(start(begin(pack)).talk, f"{name} {text}"[:300])
    return TAKEN


# -- folders, files and streams --------------------------------------------------------------------------


def draw_around(choose: random.Random) -> tuple[bytes, object]:
    around = fuzz_around.draw(choose)
    return repr(around).encode(), around


def run_around(data: bytes, known: object) -> str:
    assert isinstance(known, fuzz_around.Around)
    return TAKEN if fuzz_around.run(known, PLACE[-1], expect) == 0 else REFUSED


# -- practice machines -----------------------------------------------------------------------------------


@cache
def _exercises() -> tuple[str, ...]:
    home = Path(__file__).parents[2] / "rules" / "tumble_dryer"
    return tuple(
        path.read_text() for path in sorted(home.rglob("*.yaml")) if "practice:" in path.read_text()[:400]
    )


def draw_exercise(choose: random.Random) -> tuple[bytes, object]:
    good = choose.choice(
        (
            *_exercises(),
            "practice:\n  title: x\n  seed: 12\n  machine: {type: vented}\n  faults:\n    vent_hose_crushed: {}\n",
        )
    )
    return as_bytes(spoiled(good, choose)), None


def run_exercise(data: bytes, known: object) -> str:
    pack = load_dryer()
    read_job(data, "exercise.yaml", pack, load_practice(pack, "tumble_dryer"))
    return TAKEN


KINDS = (
    Kind("rule file", 14, draw_rules, run_rules),
    Kind("record", 16, draw_record, run_record),
    Kind("worked case", 6, draw_case, run_worked_case),
    Kind("log", 12, draw_log, run_log),
    Kind("meter file", 8, draw_meter, run_meter),
    Kind("typed line", 14, draw_typed, run_typed),
    Kind("given words", 4, draw_given, run_given, big=False),
    Kind("reading", 14, draw_reading, run_reading),
    Kind("expression", 16, draw_expression, run_expression),
    Kind("plate value", 10, draw_plate, run_plate),
    Kind("practice machine", 2, draw_exercise, run_exercise),
    Kind("surroundings", 4, draw_around, run_around, big=False),
)
BY_NAME = {kind.name: kind for kind in KINDS}


# -- running them ----------------------------------------------------------------------------------------


@dataclass
class Fuzzed:
    """What came out: how often each kind ended how, the slowest of each, and what went wrong."""

    outcomes: Counter[tuple[str, str]] = field(default_factory=Counter)
    slowest: dict[str, tuple[float, str]] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)
    memory: float = 0.0

    @property
    def inputs(self) -> int:
        return sum(self.outcomes.values())


def numbered(count: int, *, seed: int = 0, big: bool = True) -> Iterator[tuple[Kind, str]]:
    """Which inputs there are: kind and the name that each is drawn by."""
    if big:
        able = [kind for kind in KINDS if kind.big]
        for kind in able:
            yield from ((kind, f"big {number}") for number in range(len(BIG)))
        count -= len(able) * len(BIG)
    whole = sum(kind.weight for kind in KINDS)
    for kind in KINDS:
        yield from ((kind, f"{seed}.{number}") for number in range(max(1, count * kind.weight // whole)))


def input_of(kind: Kind, name: str) -> tuple[bytes, object]:
    """The input of that name; the same every time."""
    if name.startswith("big "):
        return BIG[int(name.split()[1])](), None
    return kind.draw(random.Random(f"{kind.name} {name}"))


def try_one(kind: Kind, name: str, into: Fuzzed) -> None:
    data, known = input_of(kind, name)
    began = time.perf_counter()
    try:
        outcome = kind.run(data, known)
    except FaultFinderError as error:
        outcome = REFUSED
        try:
            # A rule file's error is all of its problems, a line each.
            for line in str(error).splitlines() or [""]:
                clear(line)
            expect(known is None, f"a good input is refused: {error}")
        except Wrong as wrong:
            outcome = "FAULT"
            into.faults.append(f"{kind.name} {name}: {wrong}")
    except Exception as fault:
        outcome = "FAULT"
        into.faults.append(f"{kind.name} {name}: {type(fault).__name__}: {str(fault)[:300]}")
    took = time.perf_counter() - began
    if took > (SLOWEST_BIG if name.startswith("big ") else SLOWEST):
        outcome = "FAULT"
        into.faults.append(f"{kind.name} {name}: took {took:.1f} s")
    into.outcomes[kind.name, outcome] += 1
    if took > into.slowest.get(kind.name, (0.0, ""))[0]:
        into.slowest[kind.name] = took, name
    now = peak()
    if now > MOST_MEMORY and into.memory <= MOST_MEMORY:
        into.faults.append(f"{kind.name} {name}: {now:.0f} MB")
    into.memory = now


def peak() -> float:
    """The most memory that this process has had so far, in MB."""
    status = Path("/proc/self/status")
    if status.exists():
        # Where this is known it is better: what the other call tells begins with the process that started this one.
        found = re.search(r"^VmHWM:\s*([0-9]+) kB", status.read_text(encoding="ascii"), re.MULTILINE)
        if found is not None:
            return int(found[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def fuzz(count: int, *, seed: int = 0, big: bool = True) -> Fuzzed:
    """So many inputs of all kinds."""
    done = Fuzzed(memory=peak())
    for number, (kind, name) in enumerate(numbered(count, seed=seed, big=big)):
        if number % 200 == 0:
            # Where Python cannot even be interrupted (within one search, say) this tells where it hangs.
            faulthandler.dump_traceback_later(180, exit=True, file=sys.__stderr__)
        try_one(kind, name, done)
    faulthandler.cancel_dump_traceback_later()
    return done


def main(arguments: list[str]) -> int:
    if arguments[:1] == ["--one"]:
        kind = BY_NAME[" ".join(arguments[1:-1])]
        data, known = input_of(kind, arguments[-1])
        print(repr(data[:2000]), known, sep="\n")
        try:
            print(kind.run(data, known))
        except Exception:
            traceback.print_exc()
        return 0
    if arguments[:1] == ["--big"]:
        done = Fuzzed()
        for kind in KINDS:
            for number in arguments[1:] if kind.big else ():
                try_one(kind, f"big {number}", done)
        print(*map(shown, done.faults), f"{done.inputs} inputs", sep="\n")
        return 1 if done.faults else 0
    began = time.perf_counter()
    done = fuzz(int(arguments[0]) if arguments else 100_000)
    print(f"{done.inputs:,} inputs in {time.perf_counter() - began:.0f} s")
    for kind in KINDS:
        counts = {what: done.outcomes[kind.name, what] for what in (TAKEN, REFUSED, "FAULT")}
        took, name = done.slowest[kind.name]
        told = ", ".join(f"{what} {count:,}" for what, count in counts.items() if count or what != "FAULT")
        print(f"  {kind.name}: {told}; slowest {took:.2f} s ({name})")
    print(f"  peak memory {done.memory:.0f} MB; {len(done.faults)} faults")
    for fault in done.faults[:40]:
        print("  " + shown(fault))
    return 1 if done.faults else 0


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="fuzz-") as place:
        PLACE.append(Path(place))
        status = main(sys.argv[1:])
    sys.exit(status)
