"""Facts that are numbers, and the expressions that stand on them: class values, `let`, bands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from faultfinder.knowledge.build.fields import told_missing
from faultfinder.knowledge.build.names import Names
from faultfinder.knowledge.build.rings import rings
from faultfinder.knowledge.formulas.expression import (
    FUNCTIONS,
    OL,
    Expression,
    ExpressionError,
    names_in,
    parse,
)
from faultfinder.knowledge.model import Band, Fact, Kind, ReadingSpec
from faultfinder.knowledge.schema.keys import OBSERVATION
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.read import Entry
from faultfinder.knowledge.schema.typo_hints import number_meant
from faultfinder.knowledge.schema.value_types import Name
from faultfinder.knowledge.syntax.nodes import Scalar
from faultfinder.trade.cycle.figures import FIGURES
from faultfinder.trade.readings.units import QUANTITIES

UNIT_SIGNS = {
    "\u03a9": "ohm",
    "\u2126": "ohm",
    "k\u03a9": "kohm",
    "M\u03a9": "Mohm",
    "\u00b0C": "C",
    "\u00b0F": "F",
    "\u00b5F": "uF",
    "\u03bcF": "uF",
}
"""Signs of the trade -> how a rule file writes the unit, in letters that every keyboard has."""
ENDLESS = frozenset({"ol", "inf", "infinite", "infinity", "endless", "max", "open"})
"""What people write where they mean OL; a fact of such a name is looked for first."""
READING = "reading"
"""The name of the reading itself in `one_use_kwh`."""


def number_facts(facts: dict[str, Fact], entries: Iterable[Entry], names: Names) -> Mapping[str, bool]:
    """Number fact id -> whether it always has a value (a class value, or required).

    Checks every class value and replaces plain numbers in `facts` by their value.
    """
    numbers = {
        fact.id: fact.class_value is not None or fact.required
        for fact in facts.values()
        if fact.kind == "number"
    }
    for entry in entries:
        class_value, fact = entry.values.name("class_value"), facts[entry.id]
        if class_value is None:
            continue
        what = f"{entry.id}: class_value"
        if fact.kind == "choice":
            if fact.choices:
                names.has("choice", class_value, what, fact.id)
            continue
        told = len(names.sink.problems)
        expression = _checked(class_value, what, numbers, (), names, valued=False)
        if expression is not None and not expression.names:
            facts[fact.id] = _constant(fact, expression, class_value, names)
        if len(names.sink.problems) > told:
            facts[fact.id] = _stand_in(fact)
    _tell_cycles(facts, names)
    return numbers


def _stand_in(fact: Fact) -> Fact:
    """One with a harmless value in place of a faulty class value, so that what stands on it is not told as well."""
    return replace(fact, class_value=(fact.low + fact.high) / 2)


def _constant(fact: Fact, expression: Expression, at: Name, names: Names) -> Fact:
    """The fact with the number that its class value is; what is wrong with it is told."""
    try:
        value = expression.evaluate({})
    except ExpressionError as error:
        names.sink.error(at.mark, "bad-expression", f"{fact.id}: class_value: {error.message}")
        return fact
    if fact.low < fact.high and not fact.low <= value <= fact.high:
        span = f"{fact.low:g} to {fact.high:g}"
        message = f"{fact.id}: class_value {value:g} is outside its own range {span}"
        names.sink.error(at.mark, "number-out-of-range", message)
    return replace(fact, class_value=value)


def _tell_cycles(facts: dict[str, Fact], names: Names) -> None:
    """Class values that wait for one another in a ring."""
    stand_on = {
        fact.id: names_in(fact.class_value)
        for fact in facts.values()
        if fact.kind == "number" and isinstance(fact.class_value, str)
    }
    for first, *others in rings(stand_on):
        waiting = " -> ".join([first, *reversed(others), first])
        names.sink.error(facts[first].mark, "fact-cycle", f"class values wait for one another: {waiting}")
        facts.update({name: _stand_in(facts[name]) for name in (first, *others)})


def _parsed(text: Name, what: str, names: Names) -> Expression | None:
    """The expression, or None with the problem told at the letter where it stands."""
    try:
        return parse(text.text)
    except ExpressionError as error:
        mark = text.mark.moved(error.offset)
        rough = number_meant(text.text) if not text.text[:1].isdigit() else ""
        hint = rough if rough.startswith("write ") and rough[6:7].isdigit() else error.hint
        names.sink.error(mark, "bad-expression", f"{what}: {error.message}", hint)
        return None


def _checked(
    text: Name,
    what: str,
    numbers: Mapping[str, bool],
    others: Iterable[str],
    names: Names,
    *,
    valued: bool = True,
) -> Expression | None:
    """The expression, what is wrong with it told: a name that is neither a number fact nor one of the others; and,
    where it must have a value, a fact that could stay without any: the reading could not be judged then."""
    expression = _parsed(text, what, names)
    known = [*others, *numbers]
    for name in expression.names if expression is not None else ():
        if name in known:
            names.named[("", name)] += 1
            if valued and numbers.get(name) is False:
                message = f"{what}: {name} may be unknown and has no class value, so the limit has none"
                hint = f"give {name} a class_value and a spread"
                names.sink.error(text.mark, "no-class-value", message, hint)
        elif name.lower() in ENDLESS:
            names.sink.error(text.mark, "bad-expression", f'{what}: "{name}" is not a limit', f"write {OL}")
        elif names.choices.get(name):
            names.sink.error(text.mark, "wrong-fact", f"{what}: {name} is a choice, no number")
        else:
            names.unknown("fact", Name(name, text.mark), what, known)
    return expression


def reading_spec(entry: Entry, kind: Kind, names: Names, numbers: Mapping[str, bool]) -> ReadingSpec | None:
    """What a reading is of and its bands; None for other kinds, where such keys are refused."""
    values, sink = entry.values, names.sink
    if not _keys_of_kind(entry, kind, names):
        return None
    if values.has("bands") and values.count("bands") < 2:
        message = f"{entry.id}: a reading needs the healthy band and at least one more"
        sink.error(values.mark("bands"), "few-answers", message)
    quantity, unit = values.text("quantity"), values.text("unit")
    if quantity and unit:
        _unit_known(entry, quantity, unit, names)
    lets = _lets(entry, names, numbers)
    bands = []
    for name, (low, high) in values.pairs("bands"):
        for limit in (low, high):
            _checked(limit, f"{entry.id}: bands, {name.text}", numbers, lets, names)
        bands.append(Band(low.text, high.text, name.mark))

    def checked(key: str, others: Iterable[str], valued: bool) -> str:
        text = values.name(key)
        if text is not None:
            _checked(text, f"{entry.id}: {key}", numbers, others, names, valued=valued)
        return text.text if text is not None else ""

    expected = checked("expected", lets, True)
    one_use_kwh = checked("one_use_kwh", (READING, *lets, *names.answers), False)
    logged = values.text("logged")
    if logged and quantity and quantity not in FIGURES[logged].quantities:
        of = " or ".join(QUANTITIES[name].title for name in FIGURES[logged].quantities)
        message = f'{entry.id}: logged: "{logged}" is {of}, not {QUANTITIES[quantity].title}'
        sink.error(values.mark("logged"), "logged-of-another-quantity", message)
    return ReadingSpec(quantity, unit, tuple(lets.items()), tuple(bands), expected, one_use_kwh, logged)


def _keys_of_kind(entry: Entry, kind: Kind, names: Names) -> bool:
    """Whether it is a reading; what its kind may not have, or lacks, is told."""
    values, sink = entry.values, names.sink
    of_reading = ("quantity", "unit", "bands")
    given = [key for key in of_reading if values.node.get(key) is not None]
    if kind is not Kind.READING:
        if len(given) > 1 and values.has("kind"):
            what = f"{entry.id}: kind is {kind}, and it has {' and '.join(given)}, which only a reading has"
            sink.error(values.mark("kind"), "key-not-here", what, "write kind: reading, or leave them out")
            return False
        for key in filter(values.has, OBSERVATION.by_kind[kind].refused if values.has("kind") else ()):
            what = f"{entry.id}: only a reading has {key}, not a {kind}"
            sink.error(values.mark(key), "key-not-here", what)
        return False
    if not given and values.node.get("answers") is not None:
        what = f"{entry.id}: kind is reading, and it has answers in place of quantity, unit and bands"
        hint = "write kind: look, sound, smell or told; or add them"
        sink.error(values.mark("kind"), "missing-key", what, hint)
        return False
    told_missing(entry, OBSERVATION.by_kind[kind].needed, "a reading needs it", names)
    return True


def _lets(entry: Entry, names: Names, numbers: Mapping[str, bool]) -> dict[str, str]:
    """The names of `let` with their expressions, each checked."""
    values, sink = entry.values, names.sink
    node = values.node.get("let")
    if isinstance(node, Scalar) and not values.has("let"):
        # Where the names of let could not be read, whoever uses them is not told besides.
        sink.lost |= set(re.findall(r"[a-z][a-z0-9_]*", node.text))
    lets: dict[str, str] = {}
    all_lets = {name.text for name, _ in values.pairs("let")}
    for name, text in values.pairs("let"):
        what = f"{entry.id}: let, {name.text}"
        if name.text in numbers or name.text in FUNCTIONS or name.text == OL:
            sink.error(name.mark, "duplicate-id", f"{what} has the name of a fact or function", "rename it")
            continue
        below = [each for each in names_in(text.text) if each in all_lets and each not in lets]
        for each in below:
            hint = "let is read from above: put it first" if each != name.text else "use another name"
            sink.error(text.mark, "unknown-name", f"{what}: {each} stands below it", hint)
        _checked(text, what, numbers, [*lets, *below], names)
        lets[name.text] = text.text
    return lets


def _unit_known(entry: Entry, quantity: str, unit: str, names: Names) -> None:
    units = QUANTITIES[quantity].units
    if unit in units:
        return
    if (sign := UNIT_SIGNS.get(unit)) in units:
        hint = f"write {sign}"
    else:
        usual = list(dict.fromkeys(each.name for each in units.values()))
        hint = did_you_mean(unit, units) or "such as " + ", ".join(usual[:6])
    message = f'{entry.id}: "{unit}" is not a unit of {quantity}'
    names.sink.error(entry.values.mark("unit"), "unknown-unit", message, hint)
