"""Facts that are numbers, and the expressions that stand on them: class values, `let`, bands."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

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
from faultfinder.knowledge.model import Band, Fact, Kind, Mark, ReadingSpec
from faultfinder.knowledge.schema.keys import OBSERVATION
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.read import Entry, told_inside
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
        class_value = entry.values.name("class_value")
        if class_value is None:
            continue
        fact = facts[entry.id]
        what = f"{entry.id}: class_value"
        if fact.kind == "choice":
            if fact.choices:
                names.known_in("choice", class_value, what, fact.choices, fact.id)
            continue
        told = len(names.sink.problems)
        expression = _checked(class_value, what, numbers, (), names, valued=False)
        if expression is not None and not expression.names:
            _constant_class_value(facts, fact, expression, class_value, names)
        if len(names.sink.problems) > told:
            _stand_in(facts, entry.id)
    _tell_cycles(facts, names)
    return numbers


def _stand_in(facts: dict[str, Fact], name: str) -> None:
    """Gives a fact whose class value is faulty a harmless one, so that what stands on it is not told as well."""
    fact = facts[name]
    facts[name] = replace(fact, class_value=(fact.low + fact.high) / 2)


def _constant_class_value(
    facts: dict[str, Fact], fact: Fact, expression: Expression, at: Name, names: Names
) -> None:
    try:
        value = expression.evaluate({})
    except ExpressionError as error:
        names.sink.error(at.mark, "bad-expression", f"{fact.id}: class_value: {error.message}")
        return
    if fact.low < fact.high and not fact.low <= value <= fact.high:
        names.sink.error(
            at.mark,
            "number-out-of-range",
            f"{fact.id}: class_value {value:g} is outside its own range {fact.low:g} to {fact.high:g}",
        )
        return
    facts[fact.id] = replace(fact, class_value=value)


def _tell_cycles(facts: dict[str, Fact], names: Names) -> None:
    """Class values that wait for one another in a ring."""
    stand_on = {
        fact.id: names_in(fact.class_value)
        for fact in facts.values()
        if fact.kind == "number" and isinstance(fact.class_value, str)
    }
    for first, *others in rings(stand_on):
        waiting = " -> ".join([first, *reversed(others), first])
        message = f"class values wait for one another: {waiting}"
        names.sink.error(facts[first].mark, "fact-cycle", message)
        for name in (first, *others):
            _stand_in(facts, name)


def _parsed(text: Name, what: str, names: Names) -> Expression | None:
    """The expression, or None with the problem told at the letter where it stands."""
    try:
        return parse(text.text)
    except ExpressionError as error:
        mark = Mark(text.mark.file, text.mark.line, text.mark.column + error.offset)
        names.sink.error(mark, "bad-expression", f"{what}: {error.message}", error.hint)
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
                names.sink.error(
                    text.mark, "no-class-value", message, f"give {name} a class_value and a spread"
                )
        elif name.lower() in ENDLESS:
            names.sink.error(text.mark, "bad-expression", f'{what}: "{name}" is not a limit', f"write {OL}")
        elif names.choices.get(name):
            names.sink.error(text.mark, "wrong-fact", f"{what}: {name} is a choice, no number")
        else:
            names.unknown("fact", Name(name, text.mark), what, known)
    return expression


def _let_lost(entry: Entry, names: Names) -> None:
    """Where the names of let could not be read, whoever uses them is not told besides."""
    node = entry.values.node.get("let")
    if node is not None and not entry.values.has("let"):
        names.sink.lost |= (
            set(re.findall(r"[a-z][a-z0-9_]*", node.text)) if isinstance(node, Scalar) else set()
        )


def reading_spec(entry: Entry, kind: Kind, names: Names, numbers: Mapping[str, bool]) -> ReadingSpec | None:
    """What a reading is of and its bands; None for other kinds, where such keys are refused."""
    values, sink = entry.values, names.sink
    if kind is not Kind.READING:
        given = [key for key in ("quantity", "unit", "bands") if values.node.get(key) is not None]
        if len(given) > 1 and values.has("kind"):
            what = f"{entry.id}: kind is {kind}, and it has {' and '.join(given)}, which only a reading has"
            sink.error(values.mark("kind"), "key-not-here", what, "write kind: reading, or leave them out")
            return None
        for key in OBSERVATION.by_kind[kind].refused:
            if values.has(key) and values.has("kind"):
                sink.error(
                    values.mark(key), "key-not-here", f"{entry.id}: only a reading has {key}, not a {kind}"
                )
        return None
    lacking = [key for key in ("quantity", "unit", "bands") if values.node.get(key) is None]
    if len(lacking) == 3 and values.node.get("answers") is not None:
        what = f"{entry.id}: kind is reading, and it has answers in place of quantity, unit and bands"
        sink.error(
            values.mark("kind"), "missing-key", what, "write kind: look, sound, smell or told; or add them"
        )
        return None
    for key in OBSERVATION.by_kind[kind].needed:
        if values.node.get(key) is None and not told_inside(values.node, key, entry.id, sink):
            sink.error(
                entry.mark, "missing-key", f'{entry.id}: the key "{key}" is missing', "a reading needs it"
            )
    if values.has("bands") and values.count("bands") < 2:
        sink.error(
            values.mark("bands"),
            "few-answers",
            f"{entry.id}: a reading needs the healthy band and at least one more",
        )
    quantity, unit = values.text("quantity"), values.text("unit")
    if quantity and unit:
        _unit_known(entry, quantity, unit, names)
    _let_lost(entry, names)
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
    bands = []
    for name, (low, high) in values.pairs("bands"):
        for limit in (low, high):
            _checked(limit, f"{entry.id}: bands, {name.text}", numbers, lets, names)
        bands.append(Band(low.text, high.text, name.mark))
    expected, one_use = values.name("expected"), values.name("one_use_kwh")
    if expected is not None:
        _checked(expected, f"{entry.id}: expected", numbers, lets, names)
    if one_use is not None:
        known = (READING, *lets, *names.answers)
        _checked(one_use, f"{entry.id}: one_use_kwh", numbers, known, names, valued=False)
    logged = values.text("logged")
    if logged and quantity and quantity not in FIGURES[logged].quantities:
        of = " or ".join(QUANTITIES[name].title for name in FIGURES[logged].quantities)
        what = f'{entry.id}: logged: "{logged}" is {of}, not {QUANTITIES[quantity].title}'
        sink.error(values.mark("logged"), "logged-of-another-quantity", what)
    return ReadingSpec(
        quantity=quantity,
        unit=unit,
        let=tuple(lets.items()),
        bands=tuple(bands),
        expected=expected.text if expected is not None else "",
        one_use_kwh=one_use.text if one_use is not None else "",
        logged=logged,
    )


def _unit_known(entry: Entry, quantity: str, unit: str, names: Names) -> None:
    units = QUANTITIES[quantity].units
    if unit not in units:
        usual = list(dict.fromkeys(each.name for each in units.values()))
        sign = UNIT_SIGNS.get(unit)
        hint = (
            f"write {sign}"
            if sign in units
            else did_you_mean(unit, units) or "such as " + ", ".join(usual[:6])
        )
        names.sink.error(
            entry.values.mark("unit"),
            "unknown-unit",
            f'{entry.id}: "{unit}" is not a unit of {quantity}',
            hint,
        )
