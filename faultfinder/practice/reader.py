"""The trees of practice files -> Description, part by part; what does not fit is gathered with its place."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from faultfinder.knowledge.formulas.expression import Expression, ExpressionError, parse_with
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.typo_hints import number_meant
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar
from faultfinder.practice.description import (
    LUCK,
    USUAL,
    ActionNote,
    Appearance,
    Around,
    Between,
    ByWord,
    Cannot,
    Change,
    Condition,
    Description,
    FactNote,
    FaultNote,
    Pick,
    SolverCall,
    Spec,
)
from faultfinder.practice.solvers import FUNCTIONS, SOLVERS
from faultfinder.safety.actions import ACTIONS

CODE = "practice"
"""What is wrong with a practice file is told under this code."""
SECTIONS = (
    "drawn",
    "constants",
    "quantities",
    "solved",
    "faults",
    "not_simulated",
    "observations",
    "facts",
    "cannot",
    "actions",
    "check_list",
)
HOW = ("is", "times", "plus", "at_most", "at_least")
NOISE = MappingProxyType({"told": 0.10, "look": 0.06, "sound": 0.12, "smell": 0.15, "reading": 0.0})
"""Share by which a person misjudges a degree, by kind of observation; chosen."""
_FAULT_KEYS = ("one_of", "leads_to", "returns_when", "intermittent", "weight")


class Reader:
    """Takes the trees of some files key by key; `description` then says what they come to, `sink` what is wrong."""

    def __init__(self, pack: Pack, trees: Iterable[MapNode]) -> None:
        self.pack = pack
        self.sink = Sink()
        self.nodes: dict[str, dict[str, tuple[Scalar, Node]]] = {section: {} for section in SECTIONS}
        self.uses: list[tuple[Expression, Mark]] = []
        self.check_list: list[Scalar] = []
        self.at: dict[str, Mark] = {}
        """Where each part begins."""
        self.cannot: list[Cannot] = []
        for tree in trees:
            for key, value in tree.pairs:
                self._take(key, value)

    def wrong(self, mark: Mark, message: str, hint: str = "") -> None:
        self.sink.error(mark, CODE, message, hint)

    def there_is(self, what: str, name: Scalar, known: Iterable[str], where: str = "") -> bool:
        """Whether a name is one of those known; what is none is told, with the one that may have been meant."""
        names = list(known)
        if name.text not in names:
            hint = did_you_mean(name.text, names)
            self.wrong(name.mark, f'there is no {what} "{name.text}"{where}', hint)
        return name.text in names

    def _take(self, key: Scalar, value: Node) -> None:
        self.at.setdefault(key.text, key.mark)
        if not self.there_is("part", key, SECTIONS, " in a practice file"):
            return
        if key.text == "check_list":
            self.check_list += list(_scalars(value))
        elif key.text == "cannot":
            self.cannot += [self.cannot_be(item, key.mark) for item in _items(value)]
        elif not isinstance(value, MapNode):
            self.wrong(key.mark, f"{key.text} holds names and what they are")
        else:
            known = self.nodes[key.text]
            for name, node in value.pairs:
                if name.text in known:
                    self.wrong(name.mark, f'"{name.text}" stands twice under {key.text}')
                known[name.text] = (name, node)

    def description(self) -> Description:
        def each(section: str, read: Callable[[Scalar, Node], Any]) -> Mapping[str, Any]:
            nodes = self.nodes[section]
            return MappingProxyType({name: read(key, node) for name, (key, node) in nodes.items()})

        return Description(
            each("drawn", lambda key, node: self.spec(node, key.mark)),
            each("constants", lambda key, node: self.number(node, key.mark)),
            each("quantities", lambda key, node: self.spec(node, key.mark)),
            each("solved", self.solver_call),
            each("faults", self.fault),
            each("not_simulated", lambda key, node: text_of(node)),
            each("observations", self.appearance),
            each("facts", self.fact),
            tuple(self.cannot),
            each("actions", self.action),
            tuple(item.text for item in self.check_list),
        )

    # -- small things ----------------------------------------------------------------------------------

    def number(self, node: Node | None, mark: Mark) -> float:
        text = text_of(node)
        mark = node.mark if text and node is not None else mark
        try:
            return float(text)
        except ValueError:
            self.wrong(mark, f'"{text}" is not a number', number_meant(text))
            return 0.0

    def expression(self, text: str, mark: Mark) -> Expression:
        try:
            expression = parse_with(text, FUNCTIONS)
        except ExpressionError as error:
            self.wrong(mark, f'"{text}": {error.message}', error.hint)
            return parse_with("0", FUNCTIONS)
        self.uses.append((expression, mark))
        return expression

    def spec(self, node: Node, mark: Mark) -> Spec:
        if isinstance(node, Scalar):
            try:
                return float(node.text)
            except ValueError:
                return self.expression(node.text, node.mark)
        if isinstance(node, ListNode):
            if len(node.items) != 2:
                self.wrong(mark, "a range is two numbers: [low, high]")
                return 0.0
            return Between(self.number(node.items[0], mark), self.number(node.items[1], mark))
        return self.rule(node, mark)

    def rule(self, node: MapNode, mark: Mark) -> Spec:
        values = named(node)
        if "by" in values:
            word = text_of(values.pop("by"))
            specs = {name: self.spec(value, mark) for name, value in values.items()}
            rules = {("" if name == "otherwise" else name): spec for name, spec in specs.items()}
            return ByWord(word, MappingProxyType(rules))
        if isinstance(picked := values.get("pick"), MapNode):
            chosen = [(_value(key.text), self.number(weight, key.mark)) for key, weight in picked.pairs]
            return Pick(tuple(value for value, _ in chosen), tuple(weight for _, weight in chosen))
        if isinstance(ends := values.get("log"), ListNode) and len(ends.items) == 2:
            return Between(self.number(ends.items[0], mark), self.number(ends.items[1], mark), log=True)
        if isinstance(middle := values.get("around"), Scalar):
            return Around(self.expression(middle.text, middle.mark), self.number(values.get("spread"), mark))
        has = "by, pick, log, or around and spread"
        self.wrong(mark, f"a value is a number, an expression, [low, high], or has {has}")
        return 0.0

    def condition(self, text: str, mark: Mark) -> Condition:
        parts = []
        for part in text.split(" or "):
            tests = []
            for test in part.split(" and "):
                sides = re.split(r"\s+(above|below)\s+", test.strip())
                if len(sides) != 3:
                    hint = "write: something above (or below) a number"
                    self.wrong(mark, f'"{test}" is not a condition', hint)
                    continue
                left, side, right = sides
                tests.append((self.expression(left, mark), side == "above", self.expression(right, mark)))
            parts.append(tuple(tests))
        return Condition(text, tuple(parts))

    # -- the parts -------------------------------------------------------------------------------------

    def solver_call(self, key: Scalar, node: Node) -> SolverCall:
        given: dict[str, Spec] = {}
        solver, at = "", node
        seen = set()
        while isinstance(at, MapNode):
            for name, value in at.pairs:
                if name.text not in ("with", "like") and name.text not in given:
                    given[name.text] = self.spec(value, name.mark)
            solver = text_of(at.get("with")) or solver
            like = at.get("like")
            if not isinstance(like, Scalar) or like.text in seen:
                break
            seen.add(like.text)
            at = self.nodes["solved"].get(like.text, (key, like))[1]
        known = SOLVERS.get(solver)
        if known is None:
            self.wrong(key.mark, f'"{key.text}" names no solver', "with: " + ", ".join(SOLVERS))
        else:
            for each in sorted(set(known.needs) - set(given)):
                self.wrong(key.mark, f'"{key.text}" is not given {each}')
            for each in sorted(set(given) - set(known.needs)):
                self.wrong(key.mark, f"{solver} takes no {each}", did_you_mean(each, known.needs))
        return SolverCall(key.text, solver, MappingProxyType(given))

    def changes(self, node: Node | None, mark: Mark) -> tuple[Change, ...]:
        if not isinstance(node, MapNode):
            self.wrong(mark, "what a fault does: names and what becomes of them")
            return ()
        return tuple(self.change(name, value) for name, value in node.pairs if name.text not in _FAULT_KEYS)

    def change(self, name: Scalar, value: Node) -> Change:
        if isinstance(value, MapNode) and len(value.pairs) == 1 and value.pairs[0][0].text in HOW:
            how, inner = value.pairs[0]
            return Change(name.text, how.text, self.spec(inner, name.mark))
        return Change(name.text, "is", self.spec(value, name.mark))

    def fault(self, key: Scalar, node: Node) -> FaultNote:
        self.there_is("cause", key, self.pack.causes)
        if not isinstance(node, MapNode):
            self.wrong(key.mark, "a fault changes names")
            return FaultNote(key.text, ())
        always = self.changes(node, key.mark)
        ways: list[tuple[Change, ...]] = [always]
        if isinstance(several := node.get("one_of"), ListNode):
            ways = [(*always, *self.changes(item, key.mark)) for item in several.items]
        leads = {name.text: self.number(value, name.mark) for name, value in pairs_of(node.get("leads_to"))}
        back = node.get("returns_when")
        weight = node.get("weight")
        return FaultNote(
            key.text,
            tuple(ways),
            MappingProxyType(leads),
            self.condition(back.text, back.mark) if isinstance(back, Scalar) else None,
            text_of(node.get("intermittent")) == "yes",
            self.number(weight, key.mark) if weight is not None else 1.0,
            key.mark,
        )

    def appearance(self, key: Scalar, node: Node) -> Appearance:
        self.there_is("observation", key, self.pack.observations)
        observation = self.pack.observations.get(key.text)
        if not isinstance(node, MapNode):
            self.wrong(key.mark, "an observation reads a number or says answers")
            return Appearance(key.text, None, (), 0.0, 1)
        noise = NOISE[observation.kind.value] if observation else 0.0
        decimals = 1
        reads: Expression | None = None
        says = []
        for name, value in node.pairs:
            if name.text == "noise":
                noise = self.number(value, name.mark)
            elif name.text == "decimals":
                decimals = int(self.number(value, name.mark))
            elif name.text == "reads" and isinstance(value, Scalar):
                reads = self.expression(value.text, value.mark)
            elif isinstance(value, Scalar):
                if observation and name.text not in {answer.id for answer in observation.answers}:
                    known = [answer.id for answer in observation.answers]
                    hint = did_you_mean(name.text, [*known, "reads", "decimals", "noise"])
                    self.wrong(name.mark, f'"{name.text}" is not an answer to {key.text}', hint)
                    continue
                says.append((name.text, self.condition(value.text, value.mark)))
        if observation and reads is not None and observation.reading is None:
            self.wrong(key.mark, f"{key.text} is not a reading")
        return Appearance(key.text, reads, tuple(says), noise, decimals, key.mark)

    def fact(self, key: Scalar, node: Node) -> FactNote:
        self.there_is("fact", key, self.pack.facts)
        fact = self.pack.facts.get(key.text)
        values = named(node)
        text = text_of(values.get("is")) or key.text
        word = text if fact is not None and fact.kind == "choice" else ""
        value = None if word else self.expression(text, key.mark)
        known = self.number(values["known"], key.mark) if "known" in values else 1.0
        when_asked = self.number(values["when_asked"], key.mark) if "when_asked" in values else 0.0
        step = self.number(values["step"], key.mark) if "step" in values else 0.0
        return FactNote(key.text, word, value, known, when_asked, step)

    def cannot_be(self, node: Node, mark: Mark) -> Cannot:
        values = named(node)
        when, says = values.get("when"), values.get("says")
        if not isinstance(when, Scalar) or not isinstance(says, Scalar):
            self.wrong(mark, "each entry of cannot has when, these and says")
            return Cannot(Condition("", ()), frozenset(), "")
        these = list(_scalars(values.get("these", Scalar("", True, mark))))
        for item in these:
            self.there_is("observation", item, (*self.pack.observations, *self.pack.questions))
        return Cannot(self.condition(when.text, when.mark), frozenset(item.text for item in these), says.text)

    def action(self, key: Scalar, node: Node) -> ActionNote:
        self.there_is("action", key, ACTIONS)
        action = ACTIONS.get(key.text)
        outcomes: list[tuple[str, Condition]] = []
        tells: tuple[str, ...] = ()
        for name, value in pairs_of(node):
            if name.text == "tells":
                tells = tuple(item.text for item in _scalars(value))
                for item in _scalars(value):
                    self.there_is("observation", item, self.pack.observations)
            elif isinstance(value, Scalar):
                if action is not None and action.outcome(name.text) is None:
                    self.wrong(name.mark, f'"{name.text}" is not an outcome of {key.text}')
                outcomes.append((name.text, self.condition(value.text, value.mark)))
        return ActionNote(key.text, tuple(outcomes), tells)

    # -- what hangs on all of it -----------------------------------------------------------------------

    def check_names(self, d: Description) -> None:
        known = {*d.drawn, *d.constants, *d.quantities}
        for call in d.solved.values():
            if call.solver in SOLVERS:
                known |= {f"{call.id}_{name}" for name in SOLVERS[call.solver].gives}
        for expression, mark in self.uses:
            for name in expression.names:
                plain = name.removeprefix(USUAL)
                if plain not in known and not name.startswith(LUCK):
                    self.wrong(mark, f'nothing gives "{name}"', did_you_mean(plain, known))
        for fault in d.faults.values():
            for way in fault.ways:
                for change in way:
                    if change.name not in {*d.drawn, *d.constants}:
                        near = did_you_mean(change.name, {*d.drawn, *d.constants})
                        hint = near or "draw it, as 0 where only this fault changes it"
                        message = f'{fault.id} changes "{change.name}", which is not drawn'
                        self.wrong(fault.mark, message, hint)
            for other in fault.leads_to:
                if other not in d.faults:
                    hint = did_you_mean(other, d.faults)
                    self.wrong(fault.mark, f'{fault.id} leads to "{other}", which is not a fault here', hint)
        start = Mark(next((mark.file for mark in self.at.values()), ""), 1, 1)
        faults_at, looks_at = self.at.get("faults", start), self.at.get("observations", start)
        for cause in self.pack.causes:
            if cause not in d.faults and cause not in d.not_simulated:
                message = f'nothing is said of the cause "{cause}"'
                self.wrong(faults_at, message, "describe it, or not_simulated")
        hint = "say what it reads, or when each answer is given"
        for name in self.pack.observations:
            if name not in d.appearances:
                self.wrong(looks_at, f'nothing says how "{name}" looks', hint)
        for item in self.check_list:
            if item.text not in self.pack.observations and item.text not in self.pack.questions:
                hint = did_you_mean(item.text, {*self.pack.observations, *self.pack.questions})
                self.wrong(item.mark, f'check_list names "{item.text}", which cannot be asked', hint)


def text_of(node: Node | None) -> str:
    """What stands there, where it is one value; else nothing."""
    return node.text if isinstance(node, Scalar) else ""


def pairs_of(node: Node | None) -> tuple[tuple[Scalar, Node], ...]:
    """The names and what they hold, where there are any."""
    return tuple(node.pairs) if isinstance(node, MapNode) else ()


def named(node: Node | None) -> dict[str, Node]:
    """The same by name."""
    return {name.text: value for name, value in pairs_of(node)}


def number_of(node: Node | None) -> float | None:
    """The number that stands there; None for anything else."""
    try:
        return float(text_of(node))
    except ValueError:
        return None


def _items(node: Node) -> tuple[Node, ...]:
    return node.items if isinstance(node, ListNode) else (node,)


def _scalars(node: Node) -> Iterator[Scalar]:
    if isinstance(node, ListNode):
        for item in node.items:
            yield from _scalars(item)
    elif isinstance(node, Scalar):
        yield node


def _value(text: str) -> float | str:
    try:
        return float(text)
    except ValueError:
        return text
