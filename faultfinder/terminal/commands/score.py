"""`faultfinder score PACK`: the tool against practice machines, to the end of every job; what the figures come to.

The same seeds give the same figures, whatever the number of processes. Status 1 when a safety rule was broken.
"""

from __future__ import annotations

import argparse
import dataclasses
import shutil
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import Any

from faultfinder.arguments import add_json, between
from faultfinder.exits import Exit
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.draw import LEVELS, Level
from faultfinder.practice.figures import Mean, Summary, WaySummary, summary
from faultfinder.practice.load import load_practice
from faultfinder.practice.score import WAYS, Options, Trial, trials
from faultfinder.terminal.console.printed import print_json
from faultfinder.terminal.console.progress import Progress
from faultfinder.terminal.console.render import wrap
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words, percent

MANY_CAUSES = 15


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `score`."""
    command.add_argument("pack", metavar="PACK", help=say("arguments_pack"))
    share = between(0, 0.3)
    machines, vary = say("arguments_how_many_simulated_machines"), say("arguments_how_far_physics_varied")
    levels = f"{', '.join(LEVELS)} {say('arguments_default_any')}"
    ways = f"{say('arguments_ways_working_try')} {', '.join(WAYS)}"
    processes = say("arguments_default_processes", processes=2)
    command.add_argument("--machines", type=between(1, 100_000), default=100, help=machines)
    command.add_argument("--first", type=int, default=1, help=say("arguments_seed_first_next_follow"))
    command.add_argument("--wrong", type=share, default=0.0, help=say("arguments_share_wrong_answers_0"))
    command.add_argument("--vary", type=share, default=0.0, help=vary)
    command.add_argument("--level", choices=LEVELS, default="any", metavar="LEVEL", help=levels)
    command.add_argument("--ways", nargs="+", choices=WAYS, default=WAYS, metavar="WAY", help=ways)
    command.add_argument("--processes", type=between(1, 64), default=2, help=processes)
    command.add_argument("--causes", action="store_true", help=say("arguments_every_cause_not_only"))
    add_json(command)


def run(asked: argparse.Namespace) -> int:
    """Work through the machines and print the figures."""
    pack = load_pack(asked.pack)
    load_practice(pack, asked.pack)
    options = Options(asked.wrong, asked.vary, Level(asked.level), tuple(asked.ways))
    seeds = range(asked.first, asked.first + asked.machines)
    done: list[Trial] = []
    with Progress(say("working"), terminal_only=True) as progress:
        for count, each in enumerate(_all(asked.pack, seeds, options, asked.processes), 1):
            done += each
            progress.at(f"{count}/{len(seeds)}")
    figures = summary(done, pack)
    if asked.json:
        asked_for = {name: getattr(asked, name) for name in ("first", "machines", "wrong", "vary", "level")}
        print_json({**asked_for, **_fields(figures)})
    else:
        width = max(24, shutil.get_terminal_size((110, 24)).columns)
        for line in lines(figures, options, seeds, asked.causes):
            indent = line[: len(line) - len(line.lstrip())]
            print("\n".join(wrap(line, width, indent, indent + "  ")))
    return Exit.PROBLEMS if any(each.violations for each in figures.ways.values()) else Exit.OK


# -- the work ----------------------------------------------------------------------------------------------


def _all(path: str, seeds: Iterable[int], options: Options, processes: int) -> Iterator[list[Trial]]:
    work = [(path, seed, options) for seed in seeds]
    if processes <= 1:
        yield from map(_one, work)
        return
    # Processes are started afresh: nothing of this one's terminal or threads goes with them.
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
        try:
            yield from pool.map(_one, work, chunksize=1)
        except BaseException:
            # Interrupted, or a fault of our own: what was not begun is not waited for.
            pool.shutdown(wait=False, cancel_futures=True)
            raise


def _one(work: tuple[str, int, Options]) -> list[Trial]:
    path, seed, options = work
    if path not in _PACKS:
        loaded = load_pack(path)
        _PACKS[path] = loaded, load_practice(loaded, path)
    pack, description = _PACKS[path]
    return trials(pack, description, seed, options)


_PACKS: dict[str, tuple[Pack, Description]] = {}
"""What a process has read already."""


# -- what is printed -----------------------------------------------------------------------------------------


def lines(figures: Summary, options: Options, seeds: range, everything: bool = False) -> list[str]:
    """The figures as lines of text."""
    out = [
        say(
            "score_seeds_wrong_answers_physics",
            start=seeds.start,
            stop=seeds.stop - 1,
            wrong=percent(options.wrong),
            vary=percent(options.vary),
            level=options.level,
        )
    ]
    for each in figures.ways.values():
        out += ["", *_way_lines(each)]
    if "tool" in figures.ways:
        for way, less in figures.paired.items():
            out += [
                "",
                say(
                    "score_tool_less_machine_by",
                    way_titles=say(f"score_way_{way}"),
                    minutes=_mean(less.minutes, True),
                    steps=_mean(less.steps, True),
                    minutes_share=percent(figures.minutes_share[way]),
                ),
            ]
        out += ["", *_claims(figures), "", *_causes(figures, everything)]
    return out


def _way_lines(way: WaySummary) -> list[str]:
    closed = ", ".join(f"{closing_words(name)} {count}" for name, count in sorted(way.closed.items()))
    key = "score_silent_faults_found" if way.silent else "score_no_silent_faults"
    silent = say(key, silent_found=way.silent_found, silent=way.silent)
    shares = {name: percent(getattr(way, name), 1) for name in SHARES}
    means = {name: _mean(getattr(way, name)) for name in MEANS}
    values = {**_fields(way), **shares, **means, "way": say(f"score_way_{way.way}")}
    head, *rest = (say(key, **{**values, "silent": silent, "closed": closed}) for key in OF_A_WAY)
    return [head, *(f"  {line}" for line in rest)]


SHARES = ("found", "found_complained_of", "whole", "first_right", "first_done_right")
MEANS = ("parts_for_nothing", "work_for_nothing", "minutes", "steps")
OF_A_WAY = (
    "score_machines_faults_show",
    "score_faults_found_those_behind",
    "score_first_named_fault_right",
    "score_parts_for_nothing_machine",
    "score_minutes_steps",
    "score_closed_fit_for_use",
    "score_violations_safety_rules",
)
"""The lines told of a way of working, and which of its figures are shares, and means."""


def _claims(figures: Summary) -> list[str]:
    error, loss = f"{figures.calibration_error:.3f}", f"{figures.log_loss:.2f}"
    before = f"{figures.log_loss_before:.2f}"
    out = [say("score_claims_0_2_more", calibration_error=error, log_loss=loss, log_loss_before=before)]
    for each in figures.bins:
        low, high, claimed, true = (f"{n:.2f}" for n in (each.low, each.high, each.claimed, each.came_true))
        text = say(
            "score_claims_claimed_true",
            low=low,
            high=high,
            count=f"{each.count:4d}",
            claimed=claimed,
            came_true=true,
        )
        out.append(f"  {text}")
    return out


def _causes(figures: Summary, everything: bool) -> list[str]:
    failing = [line for line in figures.causes if line.missed_seeds or line.for_nothing or everything]
    if not failing:
        return [say("score_no_cause_missed_put")]
    out = [say("score_where_fails_cause_found")]
    for line in failing if everything else failing[:MANY_CAUSES]:
        seeds = " ".join(line.missed_seeds[:6]) + (" ..." if len(line.missed_seeds) > 6 else "")
        cause, found, there, nothing = line.cause, line.found, line.there, line.for_nothing
        text = say("score_of", cause=cause, found=found, there=there, for_nothing=nothing, what=seeds or "-")
        out.append(f"  {text}")
    if not everything and len(failing) > MANY_CAUSES:
        out.append("  " + say("score_more_causes", count=len(failing) - MANY_CAUSES))
    return out


def _mean(mean: Mean, signed: bool = False) -> str:
    value, low, high = (f"{each:{'+' if signed else ''}.2f}" for each in (mean.value, mean.low, mean.high))
    return say("score_95", value=value, low=low, high=high)


def _fields(item: Summary | WaySummary) -> dict[str, Any]:
    """By the names that programs know them by: these may grow, never change."""
    return {each.name: getattr(item, each.name) for each in dataclasses.fields(item)}
