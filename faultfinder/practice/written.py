"""A practice machine that a trainer writes by hand, in YAML -> a job.

practice:
  title: The hose behind the wall
  seed: 12                        # everything not said here is drawn by it
  machine: {type: vented, total_watts: 2400}
  faults:
    vent_hose_crushed: {hose_open: 0.2}    # {} leaves how bad it is to chance
    cutout_open: {}
  comes_and_goes: 0.5             # share of the time the faults are there
  complaint: {takes_too_long: yes}         # default: what such an owner would notice
  says: It takes twice as long since the kitchen was done.
"""

from __future__ import annotations

import math
import random

from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.problem import RuleFileError, Sink
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.knowledge.schema.typo_hints import number_meant
from faultfinder.knowledge.syntax.nodes import MapNode, Node, Scalar, read_nodes
from faultfinder.practice.description import Description
from faultfinder.practice.draw import PracticeJob, what_is_known, what_is_told
from faultfinder.practice.machine import Machine, PracticeError, PresentFault
from faultfinder.practice.making import draw_fault, draw_machine, with_present_share
from faultfinder.practice.reader import CODE, named, number_of, pairs_of, text_of

KEYS = ("title", "seed", "machine", "faults", "comes_and_goes", "complaint", "says")
MAPPINGS = ("machine", "faults", "complaint")


def read_job(data: bytes, file: str, pack: Pack, description: Description) -> PracticeJob:
    """The job that a file describes. Raises RuleFileError with everything that is wrong in it."""
    sink = Sink()
    tree = read_nodes(data, file, sink)
    start = Mark(file, 1, 1)
    node = tree.get("practice") if isinstance(tree, MapNode) else None
    if not sink.has_errors and not isinstance(node, MapNode):
        sink.error(start, CODE, "the file has no 'practice:' with a machine in it")
    if sink.has_errors or not isinstance(node, MapNode):
        raise RuleFileError(sink.problems)
    for key, value in node.pairs:
        if key.text not in KEYS:
            sink.error(key.mark, CODE, f'there is no key "{key.text}" here', did_you_mean(key.text, KEYS))
        elif isinstance(value, MapNode) is not (key.text in MAPPINGS):
            what = "names and what becomes of them" if key.text in MAPPINGS else "one value"
            sink.error(key.mark, CODE, f"{key.text} holds {what}")
    seed = text_of(node.get("seed")) or "written"
    words, numbers = _settled(node, pack, description, sink)
    machine = draw_machine(pack, description, seed, words=words, numbers=numbers)
    chance = random.Random(f"written:{seed}")
    machine = machine.with_faults(_faults(node, machine, chance, sink))
    complaint = _complaint(node, machine, chance, sink)
    if sink.has_errors:
        raise RuleFileError(sink.problems)
    if not complaint:
        sink.error(start, CODE, "with these faults the owner has nothing to complain of", "add complaint:")
        raise RuleFileError(sink.problems)
    known = what_is_known(machine, chance)
    title, says = text_of(node.get("title")), text_of(node.get("says"))
    return PracticeJob(machine, complaint, known, seed, title, says)


def _settled(
    node: MapNode, pack: Pack, description: Description, sink: Sink
) -> tuple[dict[str, str], dict[str, float]]:
    """What the file says of the machine: words by their choices, numbers by themselves."""
    words: dict[str, str] = {}
    numbers: dict[str, float] = {}
    for name, value in pairs_of(node.get("machine")):
        text = text_of(value)
        if name.text not in description.drawn:
            hint = did_you_mean(name.text, description.drawn)
            sink.error(name.mark, CODE, f'a machine has no "{name.text}"', hint)
            continue
        fact = pack.facts.get(name.text)
        if fact is not None and fact.kind == "choice":
            if text not in fact.choices:
                hint = did_you_mean(text, fact.choices)
                sink.error(name.mark, CODE, f'"{text}" is not a choice of {name.text}', hint)
            words[name.text] = text
            continue
        number = _number(value)
        if number is None:
            sink.error(name.mark, CODE, f'"{text}" is not a number', number_meant(text))
        elif fact is not None and not fact.low <= number <= fact.high:
            sink.error(name.mark, CODE, f"{name.text} is from {fact.low:g} to {fact.high:g}, not {text}")
        else:
            numbers[name.text] = number
    return words, numbers


def _number(node: Node) -> float | None:
    number = number_of(node)
    return number if number is not None and math.isfinite(number) else None


def _faults(node: MapNode, machine: Machine, chance: random.Random, sink: Sink) -> list[PresentFault]:
    going = node.get("comes_and_goes") or Scalar("1", True, node.mark)
    share = _number(going)
    if share is None or not 0.0 < share <= 1.0:
        sink.error(going.mark, CODE, "comes_and_goes is a share between 0 and 1")
        share = 1.0
    faults = []
    for name, value in pairs_of(node.get("faults")):
        try:
            fault = draw_fault(machine, name.text, chance)
        except PracticeError as error:
            known = machine.description.faults
            hint = "" if name.text in known else did_you_mean(name.text, known)
            sink.error(name.mark, CODE, str(error).rstrip("."), hint)
            continue
        faults.append(with_present_share(_as_written(fault, value, name.mark, sink), share))
    if not faults and not sink.has_errors:
        sink.error(node.mark, CODE, "the machine has no faults", "name one cause or more under faults")
    return faults


def _as_written(fault: PresentFault, node: Node, mark: Mark, sink: Sink) -> PresentFault:
    """The fault, with what the file settles of how bad it is."""
    if not isinstance(node, MapNode):
        sink.error(mark, CODE, f"{fault.cause} holds what it changes, or {{}}")
    settled = named(node)
    known = {name for name, _, _ in fault.changes}
    changes = []
    for name, does, drawn in fault.changes:
        number = _number(settled[name]) if name in settled else None
        if name in settled and number is None:
            sink.error(settled[name].mark, CODE, f"{name} is a number")
        changes.append((name, does, drawn) if number is None else (name, "is", number))
    for name in settled:
        if name not in known:
            sink.error(mark, CODE, f'{fault.cause} does nothing to "{name}"', did_you_mean(name, known))
    return PresentFault(fault.cause, tuple(changes), fault.present_share)


def _complaint(node: MapNode, machine: Machine, chance: random.Random, sink: Sink) -> dict[str, str]:
    written = pairs_of(node.get("complaint"))
    if not written:
        return what_is_told(machine, chance) if not sink.has_errors else {}
    told: dict[str, str] = {}
    for name, value in written:
        text = text_of(value)
        observation = machine.pack.observations.get(name.text)
        if observation is None:
            hint = did_you_mean(name.text, machine.pack.observations)
            sink.error(name.mark, CODE, f'there is no observation "{name.text}"', hint)
            continue
        known = [answer.id for answer in observation.answers]
        if text not in known:
            sink.error(name.mark, CODE, f'"{text}" is not an answer to {name.text}: {", ".join(known)}')
        elif not observation.symptom:
            said = [each.id for each in machine.pack.observations.values() if each.symptom]
            hint = did_you_mean(name.text, said)
            sink.error(name.mark, CODE, f"{name.text} is not a symptom, so nobody calls about it", hint)
        else:
            told[name.text] = text
    return told
