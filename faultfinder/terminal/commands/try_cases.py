"""`faultfinder try`: the worked cases of a pack, what came out differently and why, and what no case exercises."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from faultfinder.arguments import add_json
from faultfinder.exits import Exit
from faultfinder.job.cases.coverage import Coverage, Part, coverage
from faultfinder.job.cases.files import find_cases, read_cases
from faultfinder.job.cases.mutations import Mutation, changes, tried
from faultfinder.job.cases.worked import CaseRun, Failure, Pull, WorkedCase, leans_on, run_cases
from faultfinder.knowledge.analysis.link_strengths import Tie, place
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.inference.reasons import odds_factor
from faultfinder.terminal.commands.junit import junit_text
from faultfinder.terminal.console.printed import print_json, shown
from faultfinder.text.catalogue import say
from faultfinder.text.format import choices, counted

PULLS_SHOWN = 6
"""Answers told for one failure; the rest pull less. Chosen."""
BESIDES_SHOWN = 3
MISSING_SHOWN = 5
"""Things that no case exercises told of each kind, unless all are asked for. Chosen."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `try`."""
    parser.add_argument("path", help=say("try_cases_packs_folder_file_name"))
    parser.add_argument(
        "--only",
        action="append",
        default=[],
        metavar="WORD",
        help=say("try_cases_only_cases_whose_name"),
    )
    parser.add_argument("--pack", default="", help=say("try_cases_run_cases_over_pack"))
    parser.add_argument("--missing", action="store_true", help=say("try_cases_list_all_no_case"))
    parser.add_argument("--leans", action="store_true", help=say("try_cases_say_each_case_holds"))
    parser.add_argument(
        "--least",
        action="append",
        default=[],
        metavar="KIND=PERCENT",
        type=_least,
        help=say("try_cases_fail_where_less_exercised"),
    )
    parser.add_argument("--junit", default="", metavar="FILE", help=say("try_cases_write_junit_report_for"))
    parser.add_argument(
        "--mutate",
        action="store_true",
        help=say("try_cases_change_each_link_limit"),
    )
    parser.add_argument("--quiet", action="store_true", help=say("try_cases_say_nothing_cases_hold"))
    add_json(parser)


KINDS = ("causes", "answers", "bands", "links")


def _least(text: str) -> tuple[str, int]:
    kind, _, percent = text.partition("=")
    if kind not in KINDS or not percent.isdigit() or int(percent) > 100:
        kinds = ", ".join(KINDS)
        raise argparse.ArgumentTypeError(say("try_cases_write_one_per_cent", text=text, kinds=kinds))
    return kind, int(percent)


def run(asked: argparse.Namespace) -> int:
    """Status 0 when all hold, 1 when one does not, 2 when there is nothing to run or a case cannot be read.

    What can be read is run all the same.
    """
    found = find_cases(asked.path)
    cases = _chosen(read_cases(found.cases), asked.only)
    if not cases:
        names = [path.stem for path in found.cases]
        hint = did_you_mean(asked.only[0], names)
        return _wrong(say("try_cases_no_worked_case_has", names=choices(asked.only), hint=hint).rstrip())
    unreadable = [case for case in cases if not case.readable]
    for case in unreadable:
        for problem in case.problems:
            print(shown(str(problem)), file=sys.stderr)
    pack = load_pack(asked.pack or found.pack)
    runs = []
    leaning: dict[str, Tie | None] = {}
    cases = [case for case in cases if case.readable]
    for each in run_cases(pack, cases):
        runs.append(each)
        if asked.leans and each.holds:
            leaning[each.case.name] = leans_on(pack, each.case)
        if not asked.json:
            tell(pack, each, asked.quiet)
            if each.case.name in leaning:
                _tell_leaning(pack, each.case, leaning[each.case.name], asked.quiet)
    if asked.junit:
        _write_junit(asked.junit, junit_text(pack.name, runs, unreadable))
    if asked.mutate:
        return _mutated(pack, [each.case for each in runs if each.holds], asked)
    exercised = coverage(pack, runs)
    below = [
        (part, least)
        for kind, least in asked.least
        for part in exercised.parts
        if part.kind == kind and part.percent < least
    ]
    failed = sum(not each.holds for each in runs)
    if asked.json:
        print_json({**as_mapping(runs, leaning), "coverage": coverage_mapping(exercised)})
    else:
        tell_coverage(exercised, whole=asked.missing, part_of_them=bool(asked.only) or len(found.cases) == 1)
        several = sum(len(case.present) > 1 for case in cases)
        print(
            say(
                "try_cases_with_several_faults",
                count=counted(len(runs), "case"),
                several=several,
                failed=_holds(failed),
            )
        )
        for part, least in below:
            print(
                say("try_cases_failed_exercised_at_least", percent=part.percent, kind=part.kind, least=least)
            )
    if unreadable:
        return _wrong(counted(len(unreadable), "unreadable_case"))
    return Exit.PROBLEMS if failed or below else Exit.OK


def _write_junit(file: str, text: str) -> None:
    if file == "-":
        print(text, end="")
    else:
        Path(file).write_text(text, encoding="utf-8")


def _mutated(pack: Pack, cases: Sequence[WorkedCase], asked: argparse.Namespace) -> int:
    """Each change of the pack held against the cases that hold; what none notices is listed."""
    noticed: dict[str, int] = {}
    missed: dict[str, list[Mutation]] = {}
    for each in tried(changes(pack, cases)):
        kind = each.change.kind
        noticed[kind] = noticed.get(kind, 0) + bool(each.noticed_by)
        if not each.noticed_by:
            missed.setdefault(kind, []).append(each.change)
    if asked.json:
        print_json({kind: _changes_mapping(count, missed.get(kind, [])) for kind, count in noticed.items()})
        return Exit.OK
    for kind, count in noticed.items():
        unseen = missed.get(kind, [])
        total = count + len(unseen)
        print(
            say("try_cases_changes_noticed", kind=kind, count=count, total=total, what=100 * count // total)
        )
        for change in unseen if asked.missing else unseen[:MISSING_SHOWN]:
            print(
                shown(
                    "    "
                    + say(
                        "try_cases_no_case_notices",
                        file=change.mark.file,
                        line=change.mark.line,
                        what=change.what,
                    )
                )
            )
        if not asked.missing and len(unseen) > MISSING_SHOWN:
            print("    " + say("try_cases_more_missing_lists_them", count=len(unseen) - MISSING_SHOWN))
    return Exit.OK


def _changes_mapping(noticed: int, missed: Sequence[Mutation]) -> dict[str, Any]:
    unseen = [{"what": each.what, "file": each.mark.file, "line": each.mark.line} for each in missed]
    return {"noticed": noticed, "total": noticed + len(missed), "unnoticed": unseen}


def _chosen(cases: Sequence[WorkedCase], words: Sequence[str]) -> list[WorkedCase]:
    return [case for case in cases if not words or any(word in case.name for word in words)]


def _holds(failed: int) -> str:
    return say("try_cases_count_failed", failed=failed) if failed else say("try_cases_all_hold")


def _wrong(message: str) -> int:
    print(shown(f"faultfinder try: {message}"), file=sys.stderr)
    return Exit.WRONG_USE


# -- for a person ----------------------------------------------------------------------------------------


def tell(pack: Pack, result: CaseRun, quiet: bool = False) -> None:
    """A line for a case that holds; for one that fails, each difference with its place and what pulled."""
    for problem in result.case.problems:
        print(shown(str(problem)))
    if result.holds:
        if not quiet:
            print(shown(say("try_cases_holds", name=result.case.name)))
        return
    for failure in result.failures:
        print(shown(say("try_cases_failed", file=result.case.file, line=failure.line, failure=failure)))
        for pull in failure.pulls[:PULLS_SHOWN]:
            print(shown("    " + pull_text(pack, pull)))
        if len(failure.pulls) > PULLS_SHOWN:
            print("    " + say("try_cases_more_pull_less", count=len(failure.pulls) - PULLS_SHOWN))
        if failure.besides:
            named = ", ".join(f"{name} {chance:.2f}" for name, chance in failure.besides[:BESIDES_SHOWN])
            print(shown("    " + say("try_cases_likely_besides", causes=named)))


def _tell_leaning(pack: Pack, case: WorkedCase, tie: Tie | None, quiet: bool) -> None:
    """Under the line of a case that holds; where nothing is said of such cases, only those that lean on none."""
    if not quiet:
        print(shown(leaning_text(pack, tie)))
    elif tie is None:
        print(shown(f"{case.file}: {leaning_text(pack, tie).strip()}"))


def leaning_text(pack: Pack, tie: Tie | None) -> str:
    """Without which link a case fails, and where that stands."""
    if tie is None:
        return "    " + say("try_cases_leans_on_no_one")
    mark = place(pack, tie)
    return "    " + say("try_cases_leans_on", tie=tie, file=mark.file, line=mark.line)


def pull_text(pack: Pack, pull: Pull) -> str:
    """What one answer does to the odds: 'odds x 17: start_response is hums', and through which other cause."""
    through = (" " + say("try_cases_through", title=pack.causes[pull.through].title)) if pull.through else ""
    return say(
        "try_cases_odds",
        decibans=odds_factor(pull.decibans),
        observation=pull.observation,
        answer=pull.answer,
        through=through,
    )


def tell_coverage(exercised: Coverage, *, whole: bool, part_of_them: bool = False) -> None:
    """A line a kind, and the first things that no case exercises, or all of them."""
    if part_of_them and not whole:
        return
    print(say("try_cases_exercised"))
    for part in exercised.parts:
        print(
            "  "
            + say(
                "try_cases_of",
                kind=part.kind,
                covered=part.covered,
                total=part.total,
                percent=part.percent,
            )
        )
        listed = part.missing if whole else part.missing[:MISSING_SHOWN]
        for each in listed:
            print(
                shown(
                    "    "
                    + say("try_cases_no_case_for", file=each.mark.file, line=each.mark.line, what=each.what)
                )
            )
        if len(listed) < len(part.missing):
            print("    " + say("try_cases_more_missing_lists_them", count=len(part.missing) - len(listed)))


# -- for a program ---------------------------------------------------------------------------------------


def as_mapping(runs: Sequence[CaseRun], leaning: Mapping[str, Tie | None]) -> dict[str, Any]:
    """The runs as plain data; of cases that were tried for it, the link that each leans on."""
    return {
        "holds": all(each.holds for each in runs),
        "cases": [
            {
                "name": each.case.name,
                "file": each.case.file,
                "present": each.case.present,
                "expectations": each.case.expectations,
                "holds": each.holds,
                "failures": [_failure_mapping(failure) for failure in each.failures],
                **_leaning_mapping(each.case.name, leaning),
            }
            for each in runs
        ],
    }


def _leaning_mapping(name: str, leaning: Mapping[str, Tie | None]) -> dict[str, str | None]:
    if name not in leaning:
        return {}
    tie = leaning[name]
    return {"leans_on": str(tie) if tie is not None else None}


def _failure_mapping(failure: Failure) -> dict[str, Any]:
    return {
        "line": failure.line,
        "what": failure.what,
        "expected": failure.expected,
        "got": failure.got,
        "pulls": [
            {
                "observation": pull.observation,
                "answer": pull.answer,
                "decibans": round(pull.decibans, 2),
                "through": pull.through,
            }
            for pull in failure.pulls
        ],
        "besides": dict(failure.besides),
    }


def coverage_mapping(exercised: Coverage) -> dict[str, Any]:
    """Coverage as plain data."""
    return {part.kind: _part_mapping(part) for part in exercised.parts}


def _part_mapping(part: Part) -> dict[str, Any]:
    return {
        "total": part.total,
        "exercised": part.covered,
        "percent": part.percent,
        "missing": [
            {"what": each.what, "file": each.mark.file, "line": each.mark.line} for each in part.missing
        ],
    }
