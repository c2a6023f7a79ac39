"""Two versions of a pack held against each other: what was edited, and what comes out differently in the cases."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from faultfinder.errors import FaultFinderError
from faultfinder.job.cases.replay import chances_of
from faultfinder.job.cases.worked import Failure, WorkedCase, run_case
from faultfinder.job.events import Expect
from faultfinder.job.state import fold, replayed
from faultfinder.knowledge.analysis.link_strengths import strengths
from faultfinder.knowledge.model import Cause, Fact, Observation, Pack, Question
from faultfinder.reasoning.constants import FOUND
from faultfinder.reasoning.decision.step import StepKind

MOVED = 0.05
"""A chance that moved by less is not told. Chosen."""


# -- what was edited -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Edit:
    """One thing that reads differently: what, and how it was and is; empty where it was not, or is no more."""

    what: str
    old: str
    new: str


def edits(old: Pack, new: Pack) -> list[Edit]:
    """What bears on the reasoning and was changed: items, strengths, and everything in `_figures`."""
    found = [Edit("version", old.version, new.version)] if old.version != new.version else []
    for kind, before, after in (
        ("cause", _names(old.causes), _names(new.causes)),
        ("state", _names(old.states), _names(new.states)),
        ("observation", _names(old.observations), _names(new.observations)),
        ("question", _names(old.questions), _names(new.questions)),
        ("fact", _names(old.facts), _names(new.facts)),
    ):
        found += _changed(kind, before, after)
    found += _changed("", _figures(old), _figures(new))
    return found


def _names(items: Mapping[str, object]) -> dict[str, str]:
    return dict.fromkeys(items, "there")


def _figures(pack: Pack) -> dict[str, str]:
    """Everything that the reasoning and the choice of steps rest on, as text; no text for people is among it."""
    figures = {str(tie): f"{strength:g}" for tie, strength in strengths(pack).items()}
    figures |= _of_the_pack(pack)
    for fact in pack.facts.values():
        figures |= {f"{fact.id}: {what}": text for what, text in _of_a_fact(fact).items()}
    for cause in pack.causes.values():
        figures |= {f"{cause.id}: {what}": text for what, text in _of_a_cause(cause).items()}
    asked: list[Observation | Question] = [*pack.observations.values(), *pack.questions.values()]
    for item in asked:
        figures |= {f"{item.id}: {what}": text for what, text in _of_what_is_asked(item).items()}
    return figures


def _of_the_pack(pack: Pack) -> dict[str, str]:
    outside = [_conditions(rule.when) for rule in pack.outside]
    plate = [f"{r.watts} {r.ohms} {r.amps} {r.volts} {r.less} {' '.join(r.parts)}" for r in pack.plate]
    return {
        "pack: minutes of access": ", ".join(f"{state} {n:g}" for state, n in pack.access_minutes.items()),
        "pack: meter": ", ".join(f"{name} {a:g} {b:g}" for name, (a, b) in pack.meter.items()) or "ordinary",
        "pack: outside": "; ".join(outside) or "none",
        "pack: plate": "; ".join(" ".join(each.split()) for each in plate) or "none",
    }


def _of_a_fact(fact: Fact) -> dict[str, str]:
    kind = (
        f"{fact.low:g} to {fact.high:g} {fact.unit}" if fact.kind == "number" else " or ".join(fact.choices)
    )
    value = "none" if fact.class_value is None else f"{fact.class_value}, spread {fact.spread:g}"
    return {
        "values": kind,
        "class value": value,
        "usual": "; ".join(
            f"{_conditions(row.when)}: " + ", ".join(f"{name} {part:g}" for name, part in row.shares.items())
            for row in fact.usual
        )
        or "nothing",
        "required": _yes(fact.required),
        "applies": _conditions(fact.applies),
    }


def _of_a_cause(cause: Cause) -> dict[str, str]:
    return {
        "how common": f"{cause.how_common:g}",
        "minutes": f"{cause.minutes:g}, {cause.if_missed:g} if missed",
        "part": f"{cause.part_costs:g} minutes",
        "hazard": str(cause.hazard),
        "remedy's access": str(cause.remedy_need) + ", touches electrics" * cause.touches_electrics,
        "proof": ", ".join(cause.proof) or "none",
        "takes": f"{cause.takes:g}",
        "also mends": ", ".join(cause.also_mends) or "nothing",
        "returns": f"{cause.returns:g}",
        "handed to": cause.hand_to or "nobody",
        "group": cause.group or "none",
        "after our work": _yes(cause.after_our_work),
        "applies": _conditions(cause.applies),
    }


def _of_what_is_asked(item: Observation | Question) -> dict[str, str]:
    figures = {
        "kind": str(item.kind),
        "access": str(item.need),
        "minutes": f"{item.minutes:g}",
        "instruments": ", ".join(item.instruments) or "none",
        "applies": _conditions(item.applies),
        "only if": _conditions(item.only_if),
        "in vain after": _conditions(item.in_vain_after),
        "symptom": _yes(item.symptom),
        "last round": _yes(item.last_round),
    }
    if isinstance(item, Question):
        sets = [f"{each.id} {_conditions({n: (a,) for n, a in each.sets.items()})}" for each in item.choices]
        return {
            **figures,
            "choices": "; ".join(sets),
            "several": _yes(item.several),
        }
    shares = zip(item.answers, item.background, strict=True)
    figures["background"] = ", ".join(f"{a.id} {share:.4g}" for a, share in shares)
    figures["reliability"] = f"{item.reliability:g}"
    figures["return test"] = item.return_test or "none"
    figures["closes with"] = ", ".join(item.closes_with) or "nothing"
    figures["measured first"] = (
        ", ".join(f"{answer} ({', '.join(tests)})" for answer, tests in item.measure_first.items())
        or "nothing"
    )
    figures["computed from"] = ", ".join(item.computed_from) or "none"
    figures["unsafe"] = (
        ", ".join(f"{answer} ({' or '.join(tests)})" for answer, tests in item.unsafe.items()) or "none"
    )
    figures["tried by"] = ", ".join(item.tried_by) or "itself"
    figures["danger"] = ", ".join(f"{answer} {sign}" for answer, sign in item.danger.items()) or "none"
    if item.reading is not None:
        spec = item.reading
        lets = [f"{name} = {text}" for name, text in spec.let]
        bands = [f"{band.low} to {band.high}" for band in spec.bands]
        figures["limits"] = "; ".join([*lets, *bands])
        figures["unit"] = f"{spec.quantity} in {spec.unit}"
        figures["expected"] = spec.expected or "the healthy band"
        figures["logged"] = spec.logged or "nothing"
        figures["one use"] = spec.one_use_kwh or "nothing"
    return figures


def _yes(flag: bool) -> str:
    return "yes" if flag else "no"


def _conditions(conditions: Mapping[str, tuple[str, ...]]) -> str:
    return ", ".join(f"{name}: {' or '.join(allowed)}" for name, allowed in conditions.items()) or "always"


def _changed(kind: str, before: Mapping[str, str], after: Mapping[str, str]) -> list[Edit]:
    """What differs; of a figure whose item is new or gone, the item alone is told."""
    found = []
    for what in {**before, **after}:
        was, now = before.get(what, ""), after.get(what, "")
        if was != now and (kind or (was and now) or ": " not in what or " shows " in what):
            found.append(Edit(f"{kind} {what}".strip(), was, now))
    return found


# -- what comes out differently --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CaseOutcome:
    """What a case comes to over one version. trouble: why it could not be worked out."""

    failures: tuple[Failure, ...]
    chances: Mapping[str, float]
    first_steps: tuple[str, ...]
    """The step proposed where the case says which may come first; with `steps` at its end too."""
    minutes: float
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Moved:
    """A cause's chance at the end of a case: as it was, as it is."""

    cause: str
    old: float
    new: float

    @property
    def crossed(self) -> bool:
        """Whether it is named as found in one version and not in the other."""
        return (self.old > FOUND) != (self.new > FOUND)


@dataclass(frozen=True, slots=True)
class Difference:
    """A case that comes out differently."""

    case: WorkedCase
    old: CaseOutcome
    new: CaseOutcome
    moved: tuple[Moved, ...]

    @property
    def broken(self) -> bool:
        """It held, and does so no more."""
        return not self.old.failures and bool(self.new.failures)

    @property
    def mended(self) -> bool:
        return bool(self.old.failures) and not self.new.failures

    @property
    def slight(self) -> bool:
        """Chances move, and that is all: the same failures, the same findings, the same steps."""
        failing = [{(f.line, f.what) for f in each.failures} for each in (self.old, self.new)]
        crossed = any(moved.crossed for moved in self.moved)
        return failing[0] == failing[1] and not (crossed or self.steps_differ or self.new.trouble)

    @property
    def steps_differ(self) -> bool:
        return self.old.first_steps != self.new.first_steps


def outcome(pack: Pack, case: WorkedCase, *, steps_too: bool = False) -> CaseOutcome:
    """Run a case and note what it comes to. steps_too: also what is proposed at its end, which takes several times
    as long. Raises nothing for what stands in the case."""
    result = run_case(pack, case, explain=False)
    steps: list[str] = []
    try:
        for position, event in enumerate(case.events):
            if isinstance(event, Expect) and event.first_step_one_of:
                steps.append(_first_step(pack, case, position))
        chances = chances_of(result.end)
        if steps_too:
            steps.append(_first_step(pack, case, len(case.events)))
    except FaultFinderError as error:
        return CaseOutcome(result.failures, {}, tuple(steps), result.state.minutes, str(error))
    return CaseOutcome(result.failures, chances, tuple(steps), result.state.minutes)


def _first_step(pack: Pack, case: WorkedCase, position: int) -> str:
    state, _ = fold(pack, case.events[:position])
    steps = (step for step in replayed(state).steps() if step.kind is not StepKind.CHANGE_ACCESS)
    return next((f"{step.kind} {step.target}" for step in steps), "nothing more")


def difference(
    old: Pack, new: Pack, case: WorkedCase, least: float = MOVED, *, steps_too: bool = False
) -> Difference | None:
    """The case over both versions; None where it comes out alike. least: a chance that moves less is alike."""
    before, after = outcome(old, case, steps_too=steps_too), outcome(new, case, steps_too=steps_too)
    moved = [
        Moved(name, before.chances.get(name, 0.0), after.chances.get(name, 0.0))
        for name in {**before.chances, **after.chances}
    ]
    told = tuple(each for each in moved if abs(each.new - each.old) >= least or each.crossed)
    told = tuple(sorted(told, key=lambda each: -abs(each.new - each.old)))
    found = Difference(case, before, after, told)
    failing = [[(f.line, f.what) for f in each.failures] for each in (before, after)]
    if told or found.steps_differ or failing[0] != failing[1] or before.trouble != after.trouble:
        return found
    return None


def joined(old: Iterable[WorkedCase], new: Iterable[WorkedCase]) -> list[WorkedCase]:
    """The cases of both versions by name; where both have one, the new one."""
    return list({**{case.name: case for case in old}, **{case.name: case for case in new}}.values())
