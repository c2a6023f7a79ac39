"""What texts tell people to do, and the acts of the steps: nothing that the access of an item does not allow."""

from __future__ import annotations

import re
from collections.abc import Iterator

from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.checks.registry import error, warning
from faultfinder.knowledge.instructions import unsafe_text
from faultfinder.knowledge.instructions.acts import ACTS, SHOWN_IN, allowed
from faultfinder.knowledge.instructions.deeds import (
    BEHIND_A_COVER,
    Found,
    against_act,
    against_need,
    never_right,
)
from faultfinder.knowledge.instructions.unsafe_text import open_and_running, sentences
from faultfinder.knowledge.instructions.verbs import has_cue, head_verbs, strange_verb
from faultfinder.knowledge.instructions.words import WORK
from faultfinder.knowledge.model import Cause, Need, Observation, State, Step
from faultfinder.knowledge.problem import Objection
from faultfinder.knowledge.schema.value_types import quoted


@error("bridging", "no protective device is ever bridged, as a test or a remedy; measure across it")
def gets_round_a_protective_device(view: View) -> Iterator[Objection]:
    for said in view.said:
        sentence = unsafe_text.bridging(said.text, said.subject)
        if sentence is not None:
            yield Objection(said.mark, f"{said.item}: {quoted(sentence)} gets round a protective device")


@error("never-done", "it is never done, as a test or a remedy; look, or measure dead")
def tells_what_nobody_may_do(view: View) -> Iterator[Objection]:
    for said in view.said:
        found = never_right(said.text, said.subject)
        if found is not None and unsafe_text.bridging(said.text, said.subject) is None:
            yield Objection(said.mark, f"{said.item}: {quoted(found.sentence)} {found.deed.says}")


@error("act-not-here")
def act_may_not_be_shown_with_this_access(view: View) -> Iterator[Objection]:
    for item, key, need, step in view.steps():
        if not step.stated or allowed(step.act, need):
            continue
        where = key
        hint = "what is done with the supply cut goes under remedy_how"
        if key != "then_run":
            where = f"{key} with {'remedy_need' if key == 'remedy_how' else 'access'} {need}"
            needs = [need for need in Need if SHOWN_IN[need] <= ACTS[step.act].states]
            hint = f"it may be shown with {' or '.join(needs)}; give that its own observation"
            if key == "remedy_how" and needs == [Need.IN_USE]:
                hint = "the run after the work goes under then_run, covers on"
        yield Objection(step.mark, f'{item.id}: a step of "{step.act}" is not for {where}', hint)


@error("act-against-words")
def words_do_something_else_than_the_act(view: View) -> Iterator[Objection]:
    for item, _, need, step in view.steps():
        if (step.stated and not allowed(step.act, need)) or told_otherwise(step.text, need):
            continue
        told = contradiction(step, need)
        if told is not None:
            yield Objection(step.mark, f"{item.id}: {told[0]}", told[1])


def contradiction(step: Step, need: Need) -> tuple[str, str] | None:
    """What the words of a step do that it must not do, and what to write instead; or None. A step whose act its
    author states is held against that act, a plain one against every act that this access allows."""
    act = step.act if step.stated else None
    found = against_need(step.text, need) if act is None else against_act(step.text, act, need)
    if found is not None:
        but = f"the step says {act}" if act and act not in found.deed.acts else f"the access is {need}"
        return f"{quoted(found.sentence)} {found.deed.says}, but {but}", _own_step(found, need)
    for sentence in sentences(step.text):
        for verb in head_verbs(sentence):
            begins = f'{quoted(sentence)} begins with "{verb}", but'
            if verb not in WORK:
                continue
            if act is not None and act not in WORK[verb]:
                return f"{begins} the step says {act}", f"a step of its own; {_can_be(verb)}"
            if act is None and not any(allowed(each, need) for each in WORK[verb]):
                return f"{begins} the access is {need}", _can_be(verb)
    return None


def _can_be(verb: str) -> str:
    return f"{verb} can be: {', '.join(act for act in ACTS if act in WORK[verb])}"


def _own_step(found: Found, need: Need) -> str:
    deed = found.deed
    if deed.never:
        return "there is no 'covers off and live' to work in"
    if need in deed.needs:
        acts = [act for act in ACTS if act in deed.acts]
        return f"give it a step of its own: {', '.join(acts[:4])}"
    needs = " or ".join(each for each in Need if each in deed.needs)
    return f"that is for {needs}: give it an observation of its own"


@warning("act-unplaced")
def no_word_speaks_of_the_act(view: View) -> Iterator[Objection]:
    for item, _, need, step in view.steps():
        if not allowed(step.act, need) or told_otherwise(step.text, need) or contradiction(step, need):
            continue
        strange = strange_verb(step.text)
        if not has_cue(step.text, step.act):
            message = f"{item.id}: no word of {quoted(step.text)} says {step.act}"
        elif strange:
            message = f'{item.id}: "{strange}" in {quoted(step.text)} is not a verb known for {step.act}'
        else:
            continue
        example = f"write it as in: {ACTS[step.act].example}"
        yield Objection(
            step.mark, message, example if step.stated else f"say what it does: - {step.act}: ..."
        )


@error("unsafe-access")
def does_more_than_its_access_allows(view: View) -> Iterator[Objection]:
    for item in view.items():
        if isinstance(item, State):
            continue
        key, need = ("remedy_need", item.remedy_need) if isinstance(item, Cause) else ("access", item.need)
        for path, text in view.texts(item):
            if path[0] == "then_run" and (beyond := _beyond(text, Need.IN_USE)) is not None:
                says = f"{quoted(beyond[0])} {beyond[1]}, but then_run is done in use, covers on"
                yield view.objection(
                    item.id, *path, says=says, hint="what needs it open goes under remedy_how"
                )
            if path[0] not in ("how", "why", "remedy_how", "remedy", "probes", "ask"):
                continue
            found = _beyond(text, need, is_ask=path[0] == "ask")
            if found is None and path[0] == "remedy" and isinstance(item, Cause) and not item.remedy_steps:
                found = _inside(text, need)
            if found is not None:
                sentence, what, how = found
                says = f"{quoted(sentence)} {what}, but {key} is {need}"
                yield view.objection(item.id, *path, says=says, hint=f"{key}: {how}")


def _inside(text: str, need: Need) -> tuple[str, str, str] | None:
    """The same of a remedy that is said in a few words only: work on a part behind a cover."""
    found = against_need(text, need) if need not in (Need.OPEN_DEAD, Need.ANYWHERE) else None
    if found is None or found.deed.says != BEHIND_A_COVER:
        return None
    return found.sentence, found.deed.says, "open_dead; or say in remedy_how how it is reached from outside"


def _beyond(text: str, need: Need, *, is_ask: bool = False) -> tuple[str, str, str] | None:
    """The sentence of a text that does more than an access allows, what it does, and the access that allows it."""
    if need is Need.OPEN_DEAD:
        return None
    if need is not Need.ISOLATED and (sentence := unsafe_text.probing(text)) is not None:
        return sentence, "puts probes on electrical parts", "open_dead, or isolated at the pulled plug"
    if need is Need.ISOLATED and not is_ask and (sentence := unsafe_text.probing_inside(text)) is not None:
        return sentence, "measures inside the machine", "open_dead; isolated is for the pulled plug"
    if (sentence := unsafe_text.opening(text)) is not None:
        return sentence, "takes off a cover", "open_dead; or say that it needs no tool"
    return None


def told_otherwise(text: str, need: Need) -> bool:
    """Whether another check refuses a step for its words already: one mistake is told once."""
    beside = unsafe_text.bridging(text) or never_right(text) or open_and_running(text)
    return bool(beside) or _beyond(text, need) is not None


@error("live-work", "look with covers on while it runs, or measure with covers off and dead")
def runs_or_feeds_an_open_machine(view: View) -> Iterator[Objection]:
    for said in view.said:
        sentence = open_and_running(said.text)
        if sentence is not None:
            yield Objection(said.mark, f"{said.item}: {quoted(sentence)} works on an open, live machine")


@error("licensed-work", "add hand_to: licensed")
def work_on_refrigerant_or_gas_is_not_handed_on(view: View) -> Iterator[Objection]:
    for cause in view.pack.causes.values():
        for path, text in view.texts(cause) if not cause.hand_to else ():
            sentence = unsafe_text.licensed_work(text) if path[0].startswith("remedy") else None
            if sentence is not None:
                says = f"{quoted(sentence)} is licensed work"
                yield view.objection(cause.id, *path, says=says)


@warning(
    "electrics-unsaid",
    "write touches_electrics: yes, so that earth and insulation are measured after it; or no",
)
def electrical_work_at_the_pulled_plug_is_not_called_so(view: View) -> Iterator[Objection]:
    """Nothing would be measured before it runs again."""
    for cause in view.pack.causes.values():
        if cause.remedy_need is not Need.ISOLATED or view.given(cause.id, "touches_electrics"):
            continue
        found = _ELECTRICAL_WORK.search(cause.remedy)
        if found is not None:
            says = f"the remedy is work on an electrical part ({found[1].lower()})"
            yield view.objection(cause.id, "remedy", says=says)


_ELECTRICAL_WORK = re.compile(
    r"\b(?:replac|renew|fit|refit|repair|mend|tighten|chang|shorten|rewir|re-wir|wir|swap)[a-z]*\b[^.;,]{0,25}?"
    r"\b(plugs?|flex|cord|mains cable|cable|wires?|wiring|terminals?|fuse|element|heater|terminal block)\b"
    r"(?! (?:flap|filter|tie|cover))",
    re.IGNORECASE,
)


@warning("access-strict", "access: covers_on; or say what is opened")
def open_machine_without_need(view: View) -> Iterator[Objection]:
    for item in view.asked:
        probes = isinstance(item, Observation) and item.probes is not None
        if item.need is not Need.OPEN_DEAD or not item.how or probes:
            continue
        if all(map(_outside, item.how_steps)) and unsafe_text.stays_outside(
            f"{item.ask} {item.how} {item.why}"
        ):
            says = "its instruction stays outside the machine"
            yield view.objection(item.id, "access", says=says)


def _outside(step: Step) -> bool:
    """Whether a step could stand with covers on; what is wrong anywhere is no reason for an easier access."""
    need = Need.COVERS_ON
    if step.stated and not allowed(step.act, need):
        return False
    return not told_otherwise(step.text, need) and contradiction(step, need) is None


@warning("no-how", "add how: with steps of one action each")
def open_machine_or_meter_without_a_word_how(view: View) -> Iterator[Objection]:
    for item in view.asked:
        reading = isinstance(item, Observation) and item.reading is not None
        if item.how or not (reading or item.need is Need.OPEN_DEAD):
            continue
        if isinstance(item, Observation) and item.probes is not None and item.probes.words:
            continue
        what = "it is measured" if reading else "it is done behind the cover"
        yield view.objection(item.id, says=f"nothing says how {what}")
