"""What is wrong with the practice folder of a pack: what keeps it from loading, and what it says for nothing."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

from faultfinder.errors import FaultFinderError
from faultfinder.knowledge.formulas.bands import fact_values, limits_and_expected
from faultfinder.knowledge.model import Mark, Observation, Pack
from faultfinder.knowledge.ordinary_file import read_ordinary
from faultfinder.knowledge.problem import ERROR, WARNING, Problem, RuleFileError, Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar, read_nodes
from faultfinder.practice.description import LUCK, USUAL, Description
from faultfinder.practice.load import FOLDER, build
from faultfinder.practice.making import draw_machine
from faultfinder.practice.reader import CODE, Reader, number_of, pairs_of, text_of
from faultfinder.practice.written import read_job
from faultfinder.reasoning.evidence.facts import read_facts

DOUBT = "practice-doubtful"
EXERCISES = "exercises"
_KEYS = {
    "observations": ("reads", "decimals", "noise"),
    "facts": ("is", "known", "when_asked", "step"),
    "cannot": ("when", "these", "says"),
}


def practice_problems(pack: Pack, folder: Path) -> list[Problem]:
    """Everything wrong with the practice folder inside a pack's own; nothing where there is none."""
    practice = folder / FOLDER
    if not practice.is_dir():
        return []
    sink = Sink()
    trees: list[MapNode] = []
    for file in sorted(practice.glob("*.yaml")):
        try:
            tree = read_nodes(read_ordinary(file), str(file), sink)
        except OSError as trouble:
            sink.problems.append(_of_file(file, f"it cannot be read: {trouble.strerror}"))
            continue
        if isinstance(tree, MapNode):
            trees.append(tree)
        elif not sink.has_errors:
            sink.problems.append(_of_file(file, "a practice file holds parts such as drawn: and faults:"))
    if not sink.has_errors:
        sink.problems += list(_doubtful(pack, trees))
        try:
            description = build(pack, trees)
        except RuleFileError as error:
            sink.problems += error.problems
        else:
            sink.problems += list(_exercises(pack, practice / EXERCISES, description))
            if not sink.has_errors:
                sink.problems += list(_of_sound_machines(pack, description))
    # What reads practice files also reads rules, and tells it by its own codes.
    return [
        replace(problem, code=CODE if problem.is_error else DOUBT)
        for problem in _without_echoes(sink.problems)
    ]


SOUND = 5
"""Machines without a fault that are held against the rules. Chosen: what all of them show is no chance."""


def _of_sound_machines(pack: Pack, description: Description) -> Iterator[Problem]:
    """Readings that lie in the same faulty band on every machine without a fault: the rules or the practice file are
    wrong. And looks of which only the healthy answer is said."""
    for name, note in description.appearances.items():
        item = pack.observations[name]
        if note.says and all(answer == item.healthy for answer, _ in note.says):
            message = f"{name}: only the healthy answer {item.healthy} is said, so nothing ever shows in it"
            yield _doubt(note.mark, message, "say when each other answer is given")
    shown: dict[str, dict[str, str]] = {}
    for number in range(SOUND):
        machine = draw_machine(pack, description, f"sound:{number}")
        try:
            values = fact_values(pack, read_facts(pack, machine.facts()))
        except FaultFinderError:
            continue  # a machine that the rules are not for: told where its facts are
        for name, text in machine.truth().items():
            item = pack.observations[name]
            if item.reading is not None:
                shown.setdefault(name, {})[_band_of(item, values, text)] = text
    for name, bands in shown.items():
        item = pack.observations[name]
        if item.reading is not None and len(bands) == 1 and item.healthy not in bands:
            band, text = next(iter(bands.items()))
            message = f"{name}: a machine without a fault reads {text} {item.reading.unit}, which is {band}"
            hint = "put right what it reads here, or the limits of the rules"
            yield _doubt(description.appearances[name].mark, message, hint)


def _band_of(item: Observation, values: Mapping[str, str | float], text: str) -> str:
    """The band that a reading without doubt lies in; the healthy one where it cannot be told, or where the practice
    file only works in another unit, a thousand times smaller or larger."""
    number = math.inf if text == "OL" else float(text.split(" ")[0])
    try:
        bounds, expected = limits_and_expected(item, values)
    except FaultFinderError:
        return item.healthy
    low, high = bounds[0]
    in_another_unit = expected and any(0.5 < number * factor / expected < 2 for factor in (1e-3, 1e3))
    if low <= number <= high or in_another_unit:
        return item.healthy
    inside = [a.id for a, (least, most) in zip(item.answers, bounds, strict=True) if least <= number <= most]
    return inside[0] if inside else item.healthy


_OF_A_PART = {"faults": "nothing is said of the cause", "observations": "nothing says how"}
"""Part of a practice file -> what is told of each thing that is missing in it."""


_MEANT = r'"(\w+)"\?$'
"""The name that a hint proposes stands at its end."""


def _without_echoes(problems: list[Problem]) -> list[Problem]:
    """Without what only follows from a name that is misspelt elsewhere, or was told on the same line as an error."""
    meant = {name for problem in problems for name in re.findall(_MEANT, problem.hint)}
    wrong = {(problem.mark.file, problem.mark.line) for problem in problems if problem.is_error}
    lost = [echo for part, echo in _OF_A_PART.items() if part in meant]
    left = []
    for problem in problems:
        echo = re.search(
            r'(?:nothing is said of the cause|nothing says how|leads to) "(\w+)"', problem.message
        )
        idle = re.search(r"^nothing uses (\w+)$", problem.message)
        if (echo and echo[1] in meant) or (idle and idle[1] in meant):
            continue
        if any(problem.message.startswith(each) for each in lost):
            continue
        if problem.is_error or (problem.mark.file, problem.mark.line) not in wrong:
            left.append(problem)
    return left


def _exercises(pack: Pack, folder: Path, description: Description) -> Iterator[Problem]:
    for file in sorted(folder.glob("*.yaml")) if folder.is_dir() else ():
        try:
            read_job(read_ordinary(file), str(file), pack, description)
        except RuleFileError as error:
            yield from error.problems
        except OSError as trouble:
            yield _of_file(file, f"it cannot be read: {trouble.strerror}")
        except (FaultFinderError, ArithmeticError, LookupError, ValueError) as error:
            # What a drawn figure cannot be worked with shows only once a machine is made of it.
            yield _of_file(file, f"no machine can be made of it: {error}".rstrip("."))


def _of_file(file: Path, message: str) -> Problem:
    return Problem(Mark(str(file), 1, 1), CODE, ERROR, message)


def _doubtful(pack: Pack, trees: list[MapNode]) -> Iterator[Problem]:
    """What can be read and says nothing, or what cannot be."""
    reader = Reader(pack, trees)
    for tree in trees:
        for key, value in tree.pairs:
            if key.text in _KEYS:
                yield from _unknown_keys(pack, key.text, value)
            for name, node in pairs_of(value):
                if key.text == "not_simulated":
                    yield from _not_simulated(pack, name, node)
                elif key.text == "drawn":
                    yield from _draws(name, node)
                elif key.text == "faults":
                    yield from _fault(name, node)
    both = set(reader.nodes["faults"]) & set(reader.nodes["not_simulated"])
    for cause in sorted(both):
        mark, message = reader.nodes["not_simulated"][cause][0].mark, "is described under faults, and here"
        yield _doubt(mark, f"{cause} {message} it is not simulated", "leave one out")
    yield from _words_drawn(pack, reader)
    used = set(pack.facts) | {name for tree in trees for name in _words(tree)}
    for section in ("constants", "quantities", "drawn"):
        for drawn, (key, _) in reader.nodes[section].items():
            if drawn not in used:
                yield _doubt(key.mark, f"nothing uses {drawn}", "let something stand on it, or leave it out")


def _doubt(mark: Mark, message: str, hint: str = "") -> Problem:
    return Problem(mark, DOUBT, WARNING, message, hint)


def _words(node: Node) -> Iterator[str]:
    """Names that stand anywhere but as a key: what only a fault changes is seen by nobody."""
    if isinstance(node, Scalar):
        for word in re.findall(r"[A-Za-z_][A-Za-z0-9_]*", node.text):
            yield word
            yield word.removeprefix(USUAL)
            yield word.removeprefix(LUCK)
    elif isinstance(node, ListNode):
        for item in node.items:
            yield from _words(item)
    else:
        for _, value in node.pairs:
            yield from _words(value)


def _words_drawn(pack: Pack, reader: Reader) -> Iterator[Problem]:
    """Words that are drawn of a fact and are none of its choices; words asked for by `by` that are never drawn."""
    picked: dict[str, dict[str, Mark]] = {}
    for name, (_, node) in reader.nodes["drawn"].items():
        for tree in _inside(node):
            for key, _ in pairs_of(tree.get("pick")):
                picked.setdefault(name, {}).setdefault(key.text, key.mark)
    for name, words in picked.items():
        fact = pack.facts.get(name)
        for word, mark in words.items():
            if fact is not None and fact.kind == "choice" and word not in (*fact.choices, "none"):
                yield _doubt(mark, f"{word} is not a choice of {name}", did_you_mean(word, fact.choices))
    for section in ("drawn", "quantities"):
        for _, node in reader.nodes[section].values():
            for tree in _inside(node):
                by = text_of(tree.get("by"))
                drawn = picked.get(by, {})
                for key, _ in tree.pairs if drawn else ():
                    if key.text not in ("by", "otherwise", *drawn):
                        yield _doubt(key.mark, f"{by} is never {key.text}", did_you_mean(key.text, drawn))


def _inside(node: Node) -> Iterator[MapNode]:
    """The mapping and all mappings in it."""
    if isinstance(node, MapNode):
        yield node
        for _, value in node.pairs:
            yield from _inside(value)


def _unknown_keys(pack: Pack, section: str, value: Node) -> Iterator[Problem]:
    rows = [(name.text, node) for name, node in pairs_of(value)]
    if isinstance(value, ListNode):
        rows = [("cannot", node) for node in value.items]
    for name, node in rows:
        known: tuple[str, ...] = _KEYS[section]
        item = pack.observations.get(name) if section == "observations" else None
        if section == "observations" and item is None:
            continue  # told as that
        for key, inner in pairs_of(node):
            if (
                item is not None
                and item.reading is None
                and isinstance(inner, Scalar)
                and key.text not in known
            ):
                continue  # an answer: told where it is none
            may_be = (*known, *(answer.id for answer in item.answers)) if item is not None else known
            if key.text not in may_be:
                hint = did_you_mean(key.text, may_be)
                yield _doubt(key.mark, f'{name}: "{key.text}" means nothing here', hint)
            elif (
                key.text in ("known", "when_asked", "noise")
                and isinstance(inner, Scalar)
                and not _is_share(inner)
            ):
                yield _doubt(inner.mark, f"{name}: {key.text} is a share from 0 to 1, not {inner.text}")
            elif key.text == "decimals" and isinstance(inner, Scalar) and inner.text not in "0123456":
                yield _doubt(inner.mark, f"{name}: decimals is a whole number from 0 to 6, not {inner.text}")


def _is_share(node: Node) -> bool:
    number = number_of(node)
    return number is not None and 0.0 <= number <= 1.0


def _not_simulated(pack: Pack, name: Scalar, why: Node) -> Iterator[Problem]:
    if name.text not in pack.causes:
        hint = did_you_mean(name.text, pack.causes)
        yield Problem(name.mark, CODE, ERROR, f'there is no cause "{name.text}"', hint)
    elif not text_of(why):
        yield _doubt(name.mark, f"{name.text}: why is it not simulated?", "say so in a few words")


def _draws(name: Scalar, node: Node) -> Iterator[Problem]:
    """Ranges that run backwards, and shares that are none."""
    ends = node if isinstance(node, ListNode) else node.get("log") if isinstance(node, MapNode) else None
    numbers = [number_of(item) for item in ends.items] if isinstance(ends, ListNode) else []
    if len(numbers) == 2 and None not in numbers and numbers[0] >= numbers[1]:  # type: ignore[operator]
        message = f"{name.text}: the range runs from {numbers[0]:g} to {numbers[1]:g}"
        yield _doubt(name.mark, message, "write the lower end first")
    if isinstance(node, MapNode):
        if isinstance(node.get("log"), ListNode) and numbers and (numbers[0] or 0) <= 0:
            yield _doubt(name.mark, f"{name.text}: a log range begins above 0")
        weights = [number_of(weight) for _, weight in pairs_of(node.get("pick"))]
        known = [weight for weight in weights if weight is not None]
        if weights and (not known or min(known) < 0 or sum(known) <= 0):
            yield _doubt(name.mark, f"{name.text}: the weights of pick must be 0 or more, and one above 0")
        if node.get("by") is not None:
            for key, inner in node.pairs:
                if key.text != "by":
                    yield from _draws(Scalar(f"{name.text}, {key.text}", True, key.mark), inner)


def _fault(name: Scalar, node: Node) -> Iterator[Problem]:
    for key, value in pairs_of(node):
        for other, chance in pairs_of(value) if key.text == "leads_to" else ():
            if isinstance(chance, Scalar) and not _is_share(chance):
                message = f"{name.text}: leads to {other.text} with a chance from 0 to 1, not {chance.text}"
                yield _doubt(chance.mark, message)
        if key.text == "weight" and isinstance(value, Scalar) and (number_of(value) or 0.0) < 0.0:
            yield _doubt(value.mark, f"{name.text}: weight is 0 or more, not {value.text}")
        if key.text == "intermittent" and isinstance(value, Scalar) and value.text not in ("yes", "no"):
            yield _doubt(value.mark, f"{name.text}: intermittent is yes or no, not {value.text}")
