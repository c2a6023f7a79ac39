"""`faultfinder compare`: two versions of a pack over all their cases and a fixed set of practice machines."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from faultfinder.arguments import add_json
from faultfinder.exits import Exit
from faultfinder.job.cases.differences import CaseOutcome, Difference, Edit, Moved, difference, edits, joined
from faultfinder.job.cases.files import NoCases, find_cases, read_cases
from faultfinder.job.cases.worked import Failure, WorkedCase
from faultfinder.knowledge.load import find_pack, load_pack
from faultfinder.terminal.commands.compare_machines import Result, Worked, worked_through
from faultfinder.terminal.console.printed import aside, print_json, shown, tell
from faultfinder.terminal.console.progress import Progress
from faultfinder.text.catalogue import say
from faultfinder.text.format import counted, percent

MACHINES = 6
"""Practice machines worked through unless another number is asked for; each takes some seconds. Chosen."""
EDITS_SHOWN = 20
MOVES_SHOWN = 4
SLIGHT_SHOWN = 8
"""Cases told in which nothing fails, nothing is found or lost and no step changes; the others in one line a cause.
Chosen."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `compare`."""
    machines = say("compare_practice_machines_work_through", machines=MACHINES)
    parser.add_argument("old", help=say("compare_old_pack"))
    parser.add_argument("new", help=say("compare_new_pack"))
    parser.add_argument("--machines", type=int, default=MACHINES, metavar="N", help=machines)
    parser.add_argument("--steps", action="store_true", help=say("compare_also_what_proposed_at"))
    parser.add_argument("--all", action="store_true", help=say("compare_list_every_case_comes"))
    add_json(parser)


def run(asked: argparse.Namespace) -> int:
    """Status 0 when no case that held fails and no machine is left worse, 1 when one does, 2 for wrong use."""
    old, new = load_pack(asked.old), load_pack(asked.new)
    cases = joined(_cases(asked.old), _cases(asked.new))
    troubles = [str(problem) for case in cases for problem in case.problems if problem.is_error]
    troubles += [] if cases else [say("compare_faultfinder_compare_neither_version")]
    for trouble in troubles:
        aside(trouble)
    if troubles:
        return Exit.WRONG_USE
    edited = edits(old, new)
    tried = (difference(old, new, case, steps_too=asked.steps) for case in (cases if edited else []))
    found = [each for each in tried if each is not None]
    count = max(0, asked.machines) if edited else 0
    machines: list[Worked] = []
    with Progress(say("working"), terminal_only=True) as progress:
        for each in worked_through(old, new, find_pack(asked.new), count):
            machines.append(each)
            progress.at(say("compare_machine", number=len(machines), count=count))
    if asked.json:
        print_json(as_mapping(edited, cases, found, machines))
    else:
        told(edited, cases, found, machines, whole=asked.all, looked_for=count)
    worse = any(each.broken for each in found) or any(left_worse(each) for each in machines)
    return Exit.PROBLEMS if worse else Exit.OK


def _cases(path: str | Path) -> list[WorkedCase]:
    try:
        return read_cases(find_cases(path).cases)
    except NoCases:
        return []


def left_worse(each: Worked) -> bool:
    """Whether a fault that was found is found no more, or a safety rule is broken that was not."""
    if each.old is None or each.new is None:
        return False
    lost = set(each.old.found) - set(each.new.found)
    return bool(lost) or len(each.new.violations) > len(each.old.violations)


# -- for a person ----------------------------------------------------------------------------------------


def told(
    edited: Sequence[Edit],
    cases: Sequence[WorkedCase],
    found: Sequence[Difference],
    machines: Sequence[Worked],
    *,
    whole: bool = False,
    looked_for: int = 0,
) -> None:
    """What was edited, then each case and machine that comes out differently, then the counts. whole: also every
    case in which chances only move a little. looked_for: how many machines were to be worked through."""
    if not edited:
        tell("compare_nothing_bears_on_reasoning")
        return
    print(f"{counted(len(edited), 'edit')}:")
    for edit in edited[:EDITS_SHOWN]:
        print(shown(f"  {edit_text(edit)}"))
    if len(edited) > EDITS_SHOWN:
        tell("compare_more_json_lists_them", 2, count=len(edited) - EDITS_SHOWN)
    telling = [each for each in found if not each.slight]
    slight = sorted((each for each in found if each.slight), key=lambda each: -_most(each))
    listed = len(slight) if whole or len(slight) <= SLIGHT_SHOWN + 1 else SLIGHT_SHOWN
    telling.sort(key=lambda each: (not each.broken, not each.mended, each.case.name))
    for each in (*telling, *slight[:listed]):
        _tell_case(each)
    if listed < len(slight):
        _tell_slight(slight[listed:])
    for machine in machines:
        if machine.differs:
            print(shown(machine_text(machine)))
    if not machines and looked_for:
        tell("compare_no_practice_machines_new")
    broken, mended = sum(each.broken for each in found), sum(each.mended for each in found)
    tell(
        "compare_come_out_differently_hold",
        count=len(found),
        cases=counted(len(cases), "case"),
        broken=broken,
        mended=mended,
        otherwise=len(found) - broken - mended,
    )
    if machines:
        count = counted(len(machines), "practice_machine")
        tell("compare_come_out_differently", differing=sum(each.differs for each in machines), count=count)


def edit_text(edit: Edit) -> str:
    """'x shows y: yes: 0.3 -> 0.6', 'cause x: new' or 'cause x: gone'."""
    if not edit.old:
        key = "compare_edit_there" if edit.new == "there" else "compare_edit_new"
        return say(key, what=edit.what, new=edit.new)
    if not edit.new:
        return say("compare_edit_gone", what=edit.what)
    return f"{edit.what}: {edit.old} -> {edit.new}"


def _tell_case(each: Difference) -> None:
    key = "holds_no_more" if each.broken else "holds_now" if each.mended else "differs"
    print(shown(f"{each.case.file}: {say(f'compare_{key}')}"))
    for failure in _only_in(each.new, each.old):
        tell("at_line", 4, line=failure.line, words=failure)
    for failure in _only_in(each.old, each.new):
        tell("compare_before_line", 4, line=failure.line, failure=failure)
    for moved in each.moved[:MOVES_SHOWN]:
        print(shown(f"    {moved_text(moved)}"))
    if len(each.moved) > MOVES_SHOWN:
        tell("compare_more_moved", 4, count=len(each.moved) - MOVES_SHOWN)
    for before, after in zip(each.old.first_steps, each.new.first_steps, strict=False):
        if before != after:
            tell("compare_next_step", 4, before=before, after=after)
    if each.new.trouble:
        print(shown(f"    {each.new.trouble}"))


def _most(each: Difference) -> float:
    """The largest move of a chance."""
    return max((abs(moved.new - moved.old) for moved in each.moved), default=0.0)


def _tell_slight(rest: Sequence[Difference]) -> None:
    """One line a cause for cases that are not told one by one."""
    moves: dict[str, list[Moved]] = {}
    for each in rest:
        for moved in each.moved:
            moves.setdefault(moved.cause, []).append(moved)
    tell("compare_more_cases_in_which", count=len(rest))
    for cause, of in sorted(moves.items(), key=lambda each: -len(each[1])):
        old, new = _from_to([moved.old for moved in of]), _from_to([moved.new for moved in of])
        tell("compare_cause_in_cases", 4, cause=cause, count=len(of), old=old, new=new)


def _from_to(chances: Sequence[float]) -> str:
    low, high = percent(min(chances)), percent(max(chances))
    return low if low == high else say("figure_from_to", low=low, high=high)


def moved_text(moved: Moved) -> str:
    """'belt_worn: 21 % -> 60 %, found now'."""
    text = f"{moved.cause}: {percent(moved.old)} -> {percent(moved.new)}"
    if not moved.crossed:
        return text
    return say("compare_found_now" if moved.new > moved.old else "compare_found_no_more", text=text)


def _only_in(one: CaseOutcome, other: CaseOutcome) -> list[Failure]:
    known = {(failure.line, failure.what) for failure in other.failures}
    return [failure for failure in one.failures if (failure.line, failure.what) not in known]


def machine_text(machine: Worked) -> str:
    """One line of a practice machine: its faults, what was found of them and in how many minutes."""
    title = f"{machine.seed} ({', '.join(machine.faults)})"
    if machine.old is None or machine.new is None:
        return say("compare_cannot_worked_through_over", title=title, trouble=machine.trouble)
    old, new = machine.old, machine.new
    nothing = [name for name in new.for_nothing if name not in old.for_nothing]
    parts = [say("compare_minutes", old=f"{old.minutes:.0f}", new=f"{new.minutes:.0f}")]
    parts += [say("compare_no_longer_finds", name=name) for name in old.found if name not in new.found]
    parts += [say("compare_finds_now", name=name) for name in new.found if name not in old.found]
    parts += [say("compare_puts_right_for_nothing", name=name) for name in nothing]
    parts += [f"{old.closed} -> {new.closed}"] if old.closed != new.closed else []
    parts += [say("compare_breaks", rule=rule) for rule in new.violations if rule not in old.violations]
    return f"{title}: {'; '.join(parts)}"


# -- for a program ---------------------------------------------------------------------------------------


def as_mapping(
    edited: Sequence[Edit],
    cases: Sequence[WorkedCase],
    found: Sequence[Difference],
    machines: Sequence[Worked],
) -> dict[str, Any]:
    """All of it as plain data."""
    return {
        "edits": [asdict(edit) for edit in edited],
        "cases": len(cases),
        "differences": [
            {
                "case": each.case.name,
                "file": each.case.file,
                "held": not each.old.failures,
                "holds": not each.new.failures,
                "failures": [{"line": f.line, "what": str(f)} for f in each.new.failures],
                "moved": [asdict(moved) for moved in each.moved],
                "next_steps": {"old": each.old.first_steps, "new": each.new.first_steps},
                "trouble": each.new.trouble,
            }
            for each in found
        ],
        "machines": [
            {
                "seed": each.seed,
                "faults": each.faults,
                "differs": each.differs,
                "trouble": each.trouble,
                "old": _result_mapping(each.old),
                "new": _result_mapping(each.new),
            }
            for each in machines
        ],
    }


def _result_mapping(one: Result | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {"found": one.found, "minutes": one.minutes, "for_nothing": one.for_nothing, "closed": one.closed}
