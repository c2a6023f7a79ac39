"""A proof that reads wrong: said at once and taken again; what it proves does not count as put right until it reads
right, and the machine is not called fit for use.

What the customer tells is no proof in this sense: it is tried again before the end (prompts/trial.py).
"""

from __future__ import annotations

from dataclasses import dataclass

from faultfinder.dialogue.say import Said, caution
from faultfinder.dialogue.talk import Talk
from faultfinder.knowledge.model import Kind
from faultfinder.reasoning.case import Case
from faultfinder.reasoning.constants import FOUND, TIMES
from faultfinder.reasoning.evidence.facts import possible
from faultfinder.safety.instructions import has_instruction
from faultfinder.text.catalogue import say
from faultfinder.text.format import name_of

WORTH_A_WORD = 0.05
"""Chance from which a fault behind a failed proof is offered again; chosen."""


@dataclass(frozen=True, slots=True)
class Failed:
    """A proof that read wrong after the repair of this cause."""

    cause: str
    proof: str


def failed(talk: Talk) -> list[Failed]:
    """The proofs that read wrong when they were last taken after the repair that they prove; latest repair first."""
    causes = talk.case.pack.causes
    out: dict[str, Failed] = {}
    for cause in dict.fromkeys(reversed(talk.job.put_right)):
        for proof in (proof for name in (cause, *causes[cause].also_mends) for proof in causes[name].proof):
            if proof not in out and reads_wrong(talk.case, proof):
                out[proof] = Failed(cause, proof)
    return list(out.values())


def reads_wrong(case: Case, proof: str) -> bool:
    """Whether a proof was taken since the repair and does not read as it should."""
    item, given = case.pack.observations[proof], case.latest(proof)
    if item.kind is Kind.TOLD or given is None or given.kind is Kind.TOLD:
        return False
    if given.epoch < case.last_changed(proof) or case.last_changed(proof) == 0:
        return False
    judged = case.judged(given)
    return judged.answer != item.healthy and not judged.on_the_edge


def to_repeat(talk: Talk) -> Failed | None:
    """A failed proof that something bearing on it was changed after, and that can be had: taken again."""
    for each in failed(talk):
        item = talk.pack.observations[each.proof]
        if talk.case.askable(item) and talk.case.available(item) and each.proof not in talk.declined:
            return each
    return None


def to_take(talk: Talk) -> str:
    """A failed proof that can be taken here, for whoever wants to call the machine fit for use; empty for none."""
    for item in (talk.pack.observations[each.proof] for each in failed(talk)):
        reachable = (
            possible(item.applies, talk.case.facts) and talk.case.need_of(item) not in talk.case.unreachable
        )
        if reachable and item.id not in talk.case.skipped:
            return item.id
    return ""


def brought_back(talk: Talk) -> str:
    """The likeliest fault behind a failed proof that was not offered since: the one that was to be put right, or a
    neighbour that shows in the same, neither of them a third time; empty for none."""
    now = talk.case.confidence()
    for each in failed(talk):
        near = [
            name
            for name in (each.cause, *now)
            if now.get(name, 0.0) > WORTH_A_WORD
            and (name == each.cause or name in talk.case.behind(each.proof))
            and not talk.pack.causes[name].hand_to
            and has_instruction(talk.pack.causes[name])
            and talk.pack.causes[name].remedy_need not in talk.case.unreachable
            and name not in talk.declined
            and name not in talk.offered_again
            and talk.job.put_right.count(name) < TIMES
        ]
        if near and each.proof not in talk.offered_again:
            return max(dict.fromkeys(near), key=lambda name: now[name])
    return ""


def wrong_again(talk: Talk, name: str, before: Case) -> tuple[bool, list[Said]]:
    """After an answer to this observation: whether it is a proof to be taken again at once, and what is said of a
    proof that reads wrong. Where another fault that was found accounts for it, it is taken again once that is put
    right."""
    if not reads_wrong(talk.case, name):
        return False, []
    cause = next(each.cause for each in failed(talk) if each.proof == name)
    earlier = before.latest(name)
    item, title = before.pack.observations[name], before.pack.causes[cause].title
    if earlier is not None and earlier.epoch >= before.last_changed(name) and not before.askable(item):
        return False, [caution(say("proof_wrong_twice", name=name_of(name), cause=title))]
    now = talk.case.confidence()
    others = [
        other
        for other, chance in now.items()
        if chance > FOUND and other != cause and other in talk.case.behind(name)
    ]
    if others:
        title = before.pack.causes[max(others, key=lambda other: now[other])].title
        return False, [caution(say("proof_wrong_other", name=name_of(name), title=title))]
    measured = item.reading is not None
    key = "proof_wrong_part" if before.pack.causes[cause].parts and measured else "proof_wrong"
    return True, [caution(say(key, name=name_of(name)))]
