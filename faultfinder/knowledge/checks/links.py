"""Links: what brings what on, what shows in what, and behind which gates it can be asked."""

from __future__ import annotations

from collections.abc import Iterator

from faultfinder.knowledge.analysis.machines import reached, together
from faultfinder.knowledge.analysis.pushes import adds_up_only, only_pair, unreached
from faultfinder.knowledge.analysis.view import View
from faultfinder.knowledge.build.rings import rings
from faultfinder.knowledge.checks.registry import error, warning
from faultfinder.knowledge.model import Cause, Observation, Question
from faultfinder.knowledge.problem import Objection


@error("bringing-ring", "leave out the weakest of these links")
def bring_one_another_on_in_a_ring(view: View) -> Iterator[Objection]:
    for ring in rings({name: item.brought_on_by for name, item in view.bringers.items()}):
        mark = view.mark(ring[0], "brought_on_by", ring[-1])
        shown = " brings on ".join([*ring, ring[0]])
        yield Objection(mark, f"a ring: {shown}")


@warning("certain")
def chance_of_0_or_1_is_written_as_a_number(view: View) -> Iterator[Objection]:
    for name, item in view.bringers.items():
        for bringer, chance in item.brought_on_by.items():
            if chance in (0.0, 1.0):
                yield _certain(view, name, chance, "brought_on_by", bringer)
        for observation, link in item.shows.items():
            answers = view.pack.observations[observation].answers[1:]
            for answer, push in zip(answers, link.pushes[1:], strict=True):
                path = ("shows", observation, answer.id)
                if push == 1.0 or (push == 0.0 and view.written(name, *path) is not None):
                    yield _certain(view, name, push, *path)
            if not any(link.pushes[1:]) and view.written(name, "shows", observation) is not None:
                yield _certain(view, name, 0.0, "shows", observation)
    for seen in view.pack.observations.values():
        for answer, chance in zip(seen.answers[1:], seen.background[1:], strict=True):
            if chance in (0.0, 1.0) and view.written(seen.id, "background", answer.id) is not None:
                yield _certain(view, seen.id, chance, "background", answer.id)
        if seen.reliability == 1.0:
            yield _certain(view, seen.id, 1.0, "reliability")


def _certain(view: View, item: str, chance: float, *path: str) -> Objection:
    word = "0.99" if path[0] == "reliability" else "always" if chance else "never, or a small number"
    says = f"{path[0]} is {chance:g}: no later answer can mend it"
    return view.objection(item, *path, says=says, hint=f"write {word}")


@warning("only-if-never", "loosen only_if or applies")
def can_never_be_asked(view: View) -> Iterator[Objection]:
    for item in view.asked:
        why = _why_never(view, item)
        if why:
            says = f"can never be asked: {why}"
            yield view.objection(item.id, "only_if", says=says)


def _why_never(view: View, item: Observation | Question) -> str:
    """Why all gates in front of a question cannot be open at once, or nothing."""
    needed: dict[str, tuple[str, ...]] = {}
    applies = item.applies
    waiting: list[tuple[str, Observation | Question]] = [(item.id, item)]
    passed: set[str] = set()
    while waiting:
        name, gated = waiting.pop()
        for gate, answers in gated.only_if.items():
            both = tuple(a for a in needed.get(gate, answers) if a in answers)
            if not both:
                return f"{gate} would have to be {' or '.join(needed[gate])} and {' or '.join(answers)}"
            needed[gate] = both
            if gate == item.id:
                return f"{name} waits for it" if name != item.id else "it waits for itself"
            if gate in passed:
                continue
            passed.add(gate)
            observation = view.pack.observations[gate]
            joined = together(applies, observation.applies)
            if joined is None:
                return f"{gate} is asked on other machines"
            applies = joined
            waiting.append((gate, observation))
    return ""


@warning("in-vain-healthy", "name the answers after which it cannot be done")
def never_asked_of_a_sound_machine(view: View) -> Iterator[Objection]:
    for item in view.asked:
        for gate, answers in item.in_vain_after.items():
            if gate in view.pack.observations and view.pack.observations[gate].healthy in answers:
                healthy = view.pack.observations[gate].healthy
                says = f"is not asked after {gate} {healthy}, which a sound machine answers"
                yield view.objection(item.id, "in_vain_after", says=says)


@warning("never-together", "compare the applies: of both")
def link_between_different_machines(view: View) -> Iterator[Objection]:
    pack = view.pack
    for name, item in view.bringers.items():
        cause = pack.causes.get(name)
        ends: list[tuple[tuple[str, ...], Observation | Cause, str]] = [
            (("shows", o), pack.observations[o], f"shows {o}, which is asked") for o in item.shows
        ]
        ends += [
            (("brought_on_by", c), pack.causes[c], f"{c} arises")
            for c in item.brought_on_by
            if c in pack.causes
        ]
        if cause is not None:
            ends += [(("proof",), pack.observations[o], f"proof {o} is asked") for o in cause.proof]
        for path, other, says in ends:
            if together(cause.applies if cause is not None else {}, other.applies) is None:
                yield view.objection(name, *path, says=f"{says} on other machines only")


@warning("lone-state", "name the causes that do", whole=True)
def nothing_brings_the_state_about(view: View) -> Iterator[Objection]:
    for state in view.pack.states.values():
        if not state.brought_on_by:
            yield view.objection(state.id, "brought_on_by", says="nothing brings it about")


@warning("nothing-shows", whole=True)
def no_observation_can_show_it(view: View) -> Iterator[Objection]:
    showing = {name for name, item in view.bringers.items() if item.shows}
    shown = reached(
        showing, lambda name: (b for b in view.bringers[name].brought_on_by if b in view.bringers)
    )
    for name, item in view.bringers.items():
        if name not in shown:
            hint = f'what does a machine with "{item.title}" do?'
            yield view.objection(name, "shows", says="no observation can show it", hint=hint)


@warning("untouched-observation", "let a cause show it, or leave it out", whole=True)
def no_cause_touches_the_observation(view: View) -> Iterator[Objection]:
    touched = {observation for item in view.bringers.values() for observation in item.shows}
    gates = {gate for item in view.asked for gate in item.only_if}
    for item in view.pack.observations.values():
        if item.id not in touched and item.id not in gates and not item.danger:
            yield view.objection(item.id, says="no cause or state shows it")


@warning("unreached-answer", "add the link that is missing, or leave the answer out", whole=True)
def no_cause_leads_to_the_answer(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        for answer in unreached(view, observation) if not adds_up_only(view, observation) else ():
            mark = view.answer_mark(observation, answer)
            yield Objection(mark, f'{observation.id}: no cause leads to "{answer}"')


@warning("adds-up", whole=True)
def faults_add_up_to_an_answer(view: View) -> Iterator[Objection]:
    """The strongest-wins rule cannot reach it."""
    for observation in view.pack.observations.values():
        if adds_up_only(view, observation):
            last = observation.answers[-1].id
            message = f'{observation.id}: no single cause leads to "{last}", but several may add up to it'
            hint = "ask with asks: what each fault does by itself, or add the missing link"
            yield Objection(view.answer_mark(observation, last), message, hint)
        elif (pair := only_pair(view, observation)) is not None:
            first, second = pair
            message = (
                f'{observation.id}: with the faults behind "{first}" and behind "{second}" at once neither is seen, '
                f'but the rules would expect "{second}"'
            )
            hint = "ask with asks: what each fault does by itself"
            yield Objection(view.answer_mark(observation, second), message, hint)


HIGH_BACKGROUND = 0.6
"""Chosen: above it is hardly the trouble that is asked for."""


@warning("weak-link", "say how often the fault shows it, or leave the link out", whole=True)
def link_is_no_stronger_than_what_sound_machines_show(view: View) -> Iterator[Objection]:
    for name, item in view.bringers.items():
        for link in item.shows.values():
            observation = view.pack.observations[link.observation]
            background = observation.background[1:]
            # What is asked only once something has shown has the background of what showed.
            if observation.only_if or max(background, default=0.0) > HIGH_BACKGROUND:
                continue
            if all(
                push == 0.0 or push > seen for push, seen in zip(link.pushes[1:], background, strict=True)
            ):
                continue
            pushed, seen = sum(link.pushes[1:]), sum(background)
            if 0.0 < pushed <= seen:
                often = f"{pushed:.3g}, and on sound machines in {seen:.3g}"
                message = f"{name}: {link.observation} is abnormal with it in {often}"
                yield Objection(view.key_mark(name, "shows", link.observation), message)


@warning(
    "high-background",
    "write the chance of the abnormal answer; if it is so, turn the answers round: healthy first",
)
def abnormal_answer_is_usual(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        most = max(observation.background[1:], default=0.0)
        if most > HIGH_BACKGROUND and view.given(observation.id, "background"):
            answer = observation.answers[observation.background.index(most, 1)].id
            says = f"{most:.2g} of all sound machines give this abnormal answer"
            yield view.objection(observation.id, "background", answer, says=says)


WORTHLESS = 0.65
"""Reliability below which an answer is a guess. Chosen."""


@warning("worthless-answer", "people are right nine times in ten; leave it out where you do not know better")
def answers_are_guesses(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if observation.reliability < WORTHLESS:
            says = f"with reliability {observation.reliability:g} its answers tell next to nothing"
            yield view.objection(observation.id, "reliability", says=says)


@warning("gate-shut", whole=True)
def the_cause_never_opens_the_gate(view: View) -> Iterator[Objection]:
    for observation in view.pack.observations.values():
        if _why_never(view, observation):
            continue
        for gate, answers in observation.only_if.items():
            if gate not in view.pack.observations or view.pack.observations[gate].healthy in answers:
                continue
            for name, item in view.bringers.items():
                if observation.id in item.shows and not _opens(view, name, gate, answers):
                    wanted = f"{gate} {' or '.join(answers)}"
                    message = f"{name}: {observation.id} is asked only after {wanted}, which it never shows"
                    hint = f"let it show {gate} as well, or leave the link out"
                    yield Objection(view.key_mark(name, "shows", observation.id), message, hint)


def _opens(view: View, name: str, gate: str, answers: tuple[str, ...]) -> bool:
    """Whether a cause or state, what it brings on or what brings it on, leads to one of the answers."""
    about = reached({name}, lambda it: (*view.brought_on.get(it, ()), *view.bringers[it].brought_on_by))
    observation = view.pack.observations[gate]
    links = [view.bringers[each].shows[gate] for each in about if gate in view.bringers[each].shows]
    return any(link.pushes[observation.index(answer)] > 0 for link in links for answer in answers)
