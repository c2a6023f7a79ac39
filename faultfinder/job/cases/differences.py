"""Two versions of a pack held against each other: what was edited, and what comes out differently in the cases."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from typing import Any

from faultfinder.errors import FaultFinderError
from faultfinder.job.cases.replay import chances_of
from faultfinder.job.cases.worked import Failure, WorkedCase, run_case
from faultfinder.job.events import Expect
from faultfinder.job.state import fold, replayed
from faultfinder.knowledge.analysis.link_strengths import strengths
from faultfinder.knowledge.model import Band, Cause, Fact, Observation, Pack, Question, ReadingSpec
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
    for kind, items in _ITEMS.items():
        before, after = (dict.fromkeys(getattr(pack, items), "there") for pack in (old, new))
        found += _changed(kind, before, after)
    return found + _changed("", _figures(old), _figures(new))


_ITEMS = {
    "cause": "causes",
    "state": "states",
    "observation": "observations",
    "question": "questions",
    "fact": "facts",
}
_FOR_PEOPLE = frozenset(
    "ask where how title text remedy remedy_steps then_run parts advice look_again how_steps why probes say "
    "said".split()
)
_TOLD_ELSEWHERE = frozenset("mark sub_system answers shows brought_on_by".split())
"""Places, and what stands among the strengths and the background."""
_CALLED = {
    "need": "access",
    "remedy_need": "remedy's access",
    "hand_to": "handed to",
    "bands": "limits",
    "let": "limits, let",
}
_ALWAYS = ("applies", "only_if", "when")
"""Conditions that hold always where there is none."""


def _figures(pack: Pack) -> dict[str, str]:
    """Everything that the reasoning and the choice of steps rest on, as text; no text for people is among it."""
    figures = {str(tie): f"{strength:g}" for tie, strength in strengths(pack).items()}
    for name in ("access_minutes", "meter", "outside"):
        figures[f"pack: {_spaced(name)}"] = _written(getattr(pack, name), name)
    plate = [f"{r.watts} {r.ohms} {r.amps} {r.volts} {r.less} {' '.join(r.parts)}" for r in pack.plate]
    figures["pack: plate"] = "; ".join(" ".join(each.split()) for each in plate) or "none"
    for items in (pack.facts, pack.causes, pack.observations, pack.questions):
        for item in items.values():
            figures |= {f"{item.id}: {_spaced(name)}": text for name, text in _of_an_item(item).items()}
    return figures


def _spaced(name: str) -> str:
    return _CALLED.get(name, name.replace("_", " "))


def _of_an_item(item: Fact | Cause | Observation | Question | ReadingSpec) -> dict[str, str]:
    """Every field of an item that is not for people, as text."""
    figures: dict[str, str] = {}
    for name, value in _fields(item).items():
        if isinstance(value, ReadingSpec):
            figures |= _of_an_item(value)
        elif isinstance(item, Fact) and name == "choices":
            figures[name] = " or ".join(item.choices) or "none"
        elif isinstance(item, Observation) and name == "background":
            shares = zip(item.answers, item.background, strict=True)
            figures[name] = ", ".join(f"{answer.id} {share:.4g}" for answer, share in shares)
        elif name == "let":
            figures[name] = "; ".join(map(" = ".join, value)) or "none"
        elif name != "id":
            figures[name] = _written(value, name)
    return figures


def _fields(item: Any) -> dict[str, Any]:
    names = (each.name for each in fields(item))
    return {name: getattr(item, name) for name in names if name not in _FOR_PEOPLE | _TOLD_ELSEWHERE}


def _written(value: Any, name: str = "", between: str = ", ") -> str:
    """A value in words; `name`: of the field, for what an empty one is called."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:g}"
    if isinstance(value, Band):
        return f"{value.low} to {value.high}"
    if is_dataclass(value):
        return ": ".join(_written(each, its_name) for its_name, each in _fields(value).items())
    if isinstance(value, Mapping):
        value = tuple(f"{key}: {_written(each, between=' or ')}" for key, each in value.items())
    if isinstance(value, tuple):
        between = "; " if value and is_dataclass(value[0]) else between
        value = between.join(_written(each) for each in value)
    return str(value or ("always" if name in _ALWAYS else "none"))


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
