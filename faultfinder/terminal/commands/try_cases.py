"""`faultfinder try`: the worked cases of a pack, what came out differently and why, and what no case exercises."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from faultfinder.arguments import add_json
from faultfinder.exits import Exit
from faultfinder.job.cases.coverage import Coverage, coverage
from faultfinder.job.cases.files import find_cases, read_cases
from faultfinder.job.cases.mutations import changes, noticed
from faultfinder.job.cases.worked import CaseRun, Failure, Pull, WorkedCase, leans_on, run_case
from faultfinder.knowledge.analysis.link_strengths import Tie, place
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Mark, Pack
from faultfinder.knowledge.schema.nearest_name import did_you_mean
from faultfinder.reasoning.inference.reasons import odds_factor
from faultfinder.terminal.commands.junit import junit_text
from faultfinder.terminal.console.printed import aside, print_json, shown, tell
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
    only, least = say("try_cases_only_cases_whose_name"), say("try_cases_fail_where_less_exercised")
    parser.add_argument("--only", action="append", default=[], metavar="WORD", help=only)
    parser.add_argument("--pack", default="", help=say("try_cases_run_cases_over_pack"))
    parser.add_argument("--missing", action="store_true", help=say("try_cases_list_all_no_case"))
    parser.add_argument("--leans", action="store_true", help=say("try_cases_say_each_case_holds"))
    parser.add_argument(
        "--least", action="append", default=[], metavar="KIND=PERCENT", type=_least, help=least
    )
    parser.add_argument("--junit", default="", metavar="FILE", help=say("try_cases_write_junit_report_for"))
    parser.add_argument("--mutate", action="store_true", help=say("try_cases_change_each_link_limit"))
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
    cases = read_cases(found.cases)
    if asked.only:
        cases = [case for case in cases if any(word in case.name for word in asked.only)]
    if not cases:
        names = [path.stem for path in found.cases]
        hint = did_you_mean(asked.only[0], names)
        return _wrong(say("try_cases_no_worked_case_has", names=choices(asked.only), hint=hint).rstrip())
    unreadable = [case for case in cases if not case.readable]
    for case in unreadable:
        for problem in case.problems:
            aside(problem)
    pack = load_pack(asked.pack or found.pack)
    runs = []
    leaning: dict[str, Tie | None] = {}
    cases = [case for case in cases if case.readable]
    for case in cases:
        each = run_case(pack, case)
        runs.append(each)
        if asked.leans and each.holds:
            leaning[each.case.name] = leans_on(pack, each.case)
        if not asked.json:
            _tell_run(pack, each, asked.quiet)
            if each.case.name in leaning:
                _tell_leaning(pack, each.case, leaning[each.case.name], asked.quiet)
    if asked.junit:
        text = junit_text(pack.name, runs, unreadable)
        if asked.junit == "-":
            print(text, end="")
        else:
            Path(asked.junit).write_text(text, encoding="utf-8")
    if asked.mutate:
        return _mutated(pack, [each.case for each in runs if each.holds], asked)
    exercised = coverage(pack, runs)
    below = [
        (part, least)
        for kind, least in asked.least
        for part in exercised
        if part.kind == kind and part.percent < least
    ]
    failed = sum(not each.holds for each in runs)
    if asked.json:
        print_json({**as_mapping(runs, leaning), "coverage": coverage_mapping(exercised)})
    else:
        tell_coverage(exercised, whole=asked.missing, part_of_them=bool(asked.only) or len(found.cases) == 1)
        several = sum(len(case.present) > 1 for case in cases)
        told = say("try_cases_count_failed", failed=failed) if failed else say("try_cases_all_hold")
        tell("try_cases_with_several_faults", count=counted(len(runs), "case"), several=several, failed=told)
        for part, least in below:
            tell("try_cases_failed_exercised_at_least", percent=part.percent, kind=part.kind, least=least)
    if unreadable:
        return _wrong(counted(len(unreadable), "unreadable_case"))
    return Exit.PROBLEMS if failed or below else Exit.OK


def _mutated(pack: Pack, cases: Sequence[WorkedCase], asked: argparse.Namespace) -> int:
    """Each change of the pack held against the cases that hold; what none notices is listed."""
    tried: dict[str, list[tuple[Mark, str, bool]]] = {}
    for change in changes(pack, cases):
        tried.setdefault(change.kind, []).append((change.mark, change.what, noticed(change)))
    rows: dict[str, dict[str, Any]] = {}
    for kind, each in tried.items():
        unseen = [(mark, what) for mark, what, seen in each if not seen]
        total, count = len(each), len(each) - len(unseen)
        rows[kind] = {"noticed": count, "total": total, "unnoticed": _placed(unseen)}
        if not asked.json:
            share = 100 * count // total
            tell("try_cases_changes_noticed", kind=kind, count=count, total=total, what=share)
            _tell_missing("try_cases_no_case_notices", unseen, whole=asked.missing)
    if asked.json:
        print_json(rows)
    return Exit.OK


def _tell_missing(key: str, missing: Sequence[tuple[Mark, str]], *, whole: bool) -> None:
    """What no case has, each with its place: the first few of it, or all."""
    listed = missing if whole else missing[:MISSING_SHOWN]
    for mark, what in listed:
        tell(key, 4, file=mark.file, line=mark.line, what=what)
    if len(listed) < len(missing):
        tell("try_cases_more_missing_lists_them", 4, count=len(missing) - len(listed))


def _placed(missing: Sequence[tuple[Mark, str]]) -> list[dict[str, Any]]:
    return [{"what": what, "file": mark.file, "line": mark.line} for mark, what in missing]


def _wrong(message: str) -> int:
    aside(f"faultfinder try: {message}")
    return Exit.WRONG_USE


# -- for a person ----------------------------------------------------------------------------------------


def _tell_run(pack: Pack, result: CaseRun, quiet: bool) -> None:
    """A line for a case that holds; for one that fails, each difference with its place and what pulled."""
    for problem in result.case.problems:
        print(shown(str(problem)))
    if result.holds:
        if not quiet:
            tell("try_cases_holds", name=result.case.name)
        return
    for failure in result.failures:
        tell("try_cases_failed", file=result.case.file, line=failure.line, failure=failure)
        for pull in failure.pulls[:PULLS_SHOWN]:
            _tell_pull(pack, pull)
        if len(failure.pulls) > PULLS_SHOWN:
            tell("try_cases_more_pull_less", 4, count=len(failure.pulls) - PULLS_SHOWN)
        if failure.besides:
            named = ", ".join(f"{name} {chance:.2f}" for name, chance in failure.besides[:BESIDES_SHOWN])
            tell("try_cases_likely_besides", 4, causes=named)


def _tell_leaning(pack: Pack, case: WorkedCase, tie: Tie | None, quiet: bool) -> None:
    """Without which link a case fails, under the line of one that holds; where nothing is said of such cases, only
    of those that lean on none."""
    if tie is not None and not quiet:
        mark = place(pack, tie)
        tell("try_cases_leans_on", 4, tie=tie, file=mark.file, line=mark.line)
    elif tie is None:
        head = f"{case.file}: " if quiet else "    "
        print(shown(head + say("try_cases_leans_on_no_one")))


def _tell_pull(pack: Pack, pull: Pull) -> None:
    """What one answer does to the odds: 'odds x 17: start_response is hums', and through which other cause."""
    tell(
        "try_cases_odds",
        4,
        decibans=odds_factor(pull.decibans),
        observation=pull.observation,
        answer=pull.answer,
        through=(" " + say("try_cases_through", title=pack.causes[pull.through].title))
        if pull.through
        else "",
    )


def tell_coverage(exercised: Coverage, *, whole: bool, part_of_them: bool = False) -> None:
    """A line a kind, and the first things that no case exercises, or all of them."""
    if part_of_them and not whole:
        return
    tell("try_cases_exercised")
    for part in exercised:
        count = part.covered
        tell("try_cases_of", 2, kind=part.kind, covered=count, total=part.total, percent=part.percent)
        _tell_missing("try_cases_no_case_for", part.missing, whole=whole)


# -- for a program ---------------------------------------------------------------------------------------


def as_mapping(runs: Sequence[CaseRun], leaning: Mapping[str, Tie | None]) -> dict[str, Any]:
    """The runs as plain data; of cases that were tried for it, the link that each leans on."""
    leans = {name: {"leans_on": None if tie is None else str(tie)} for name, tie in leaning.items()}
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
                **leans.get(each.case.name, {}),
            }
            for each in runs
        ],
    }


def _failure_mapping(failure: Failure) -> dict[str, Any]:
    pulls = [{**asdict(pull), "decibans": round(pull.decibans, 2)} for pull in failure.pulls]
    return {**asdict(failure), "pulls": pulls, "besides": dict(failure.besides)}


def coverage_mapping(exercised: Coverage) -> dict[str, Any]:
    """Coverage as plain data."""
    return {
        part.kind: {
            "total": part.total,
            "exercised": part.covered,
            "percent": part.percent,
            "missing": _placed(part.missing),
        }
        for part in exercised
    }
