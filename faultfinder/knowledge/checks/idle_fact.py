"""A fact that nothing uses."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.formulas.expression import ExpressionError, parse
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.strength_words import PROGRAM_FACTS


def check(view: View) -> Iterator[Objection]:
    used = set(PROGRAM_FACTS) | _named(view.pack) | _computed(view.pack)
    for fact in view.pack.facts:
        if fact not in used:
            hint = "let a limit or applies: use it, or leave it out"
            yield Objection(view.fact_mark(fact), f"{fact}: nothing uses this fact", hint)


def _named(pack: Pack) -> set[str]:
    """Facts that something asks for by name."""
    named: set[str] = set()
    for items in (pack.causes, pack.observations, pack.questions, pack.facts):
        for item in items.values():
            named |= set(item.applies)
    named |= {fact for rule in pack.outside for fact in rule.when}
    for rule in pack.plate:
        named |= {rule.watts, rule.ohms, rule.amps, rule.volts, rule.less, *rule.parts}
    return named


def _computed(pack: Pack) -> set[str]:
    """Facts that stand in an expression."""
    texts = [fact.class_value for fact in pack.facts.values() if isinstance(fact.class_value, str)]
    for observation in pack.observations.values():
        spec = observation.reading
        if spec is not None:
            texts += [text for _, text in spec.let]
            texts += [limit for band in spec.bands for limit in (band.low, band.high)]
            texts += [spec.expected or "", spec.one_use_kwh or ""]
    found: set[str] = set()
    for text in texts:
        try:
            found |= set(parse(text).names)
        except ExpressionError:
            continue
    return found
