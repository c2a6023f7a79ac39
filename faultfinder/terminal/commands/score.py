"""`faultfinder score PACK`: the tool against practice machines, to the end of every job; what the figures come to.

Arguments read from the namespace: pack, machines, first, wrong, vary, ways, level, processes, causes, json. The
same seeds give the same figures, whatever the number of processes. Status 1 when a safety rule was broken.
"""

from __future__ import annotations

import argparse
import dataclasses
import shutil
import sys
from collections.abc import Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

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
from faultfinder.terminal.console.render import wrap
from faultfinder.text.catalogue import say
from faultfinder.text.format import closing_words, percent

BAR = 30
MANY_CAUSES = 15


def add_arguments(command: argparse.ArgumentParser) -> None:
    """The arguments of `score`."""
    command.add_argument("pack", metavar="PACK", help=say("arguments_pack"))
    command.add_argument(
        "--machines",
        type=between(1, 100_000),
        default=100,
        help=say("arguments_how_many_simulated_machines"),
    )
    command.add_argument("--first", type=int, default=1, help=say("arguments_seed_first_next_follow"))
    command.add_argument(
        "--wrong", type=between(0, 0.3), default=0.0, help=say("arguments_share_wrong_answers_0")
    )
    command.add_argument(
        "--vary",
        type=between(0, 0.3),
        default=0.0,
        help=say("arguments_how_far_physics_varied"),
    )
    command.add_argument(
        "--level",
        choices=LEVELS,
        default="any",
        metavar="LEVEL",
        help=", ".join(LEVELS) + (" " + say("arguments_default_any")),
    )
    command.add_argument(
        "--ways",
        nargs="+",
        choices=WAYS,
        metavar="WAY",
        help=(say("arguments_ways_working_try") + " ") + ", ".join(WAYS),
    )
    processes = say("arguments_default_processes", processes=2)
    command.add_argument("--processes", type=between(1, 64), default=2, help=processes)
    command.add_argument("--causes", action="store_true", help=say("arguments_every_cause_not_only"))
    add_json(command)


def run(asked: argparse.Namespace) -> int:
    """Work through the machines and print the figures."""
    path = str(getattr(asked, "pack", "") or getattr(asked, "path", ""))
    pack = load_pack(path)
    load_practice(pack, path)
    ways = tuple(getattr(asked, "ways", None) or WAYS)
    options = Options(
        wrong=float(getattr(asked, "wrong", 0.0) or 0.0),
        vary=float(getattr(asked, "vary", 0.0) or 0.0),
        level=Level(getattr(asked, "level", "") or Level.ANY),
        ways=ways,
    )
    first = int(getattr(asked, "first", 1) or 1)
    seeds = range(first, first + int(getattr(asked, "machines", 100) or 100))
    processes = int(getattr(asked, "processes", 2) or 1)
    done: list[Trial] = []
    for count, each in enumerate(_all(path, seeds, options, processes), 1):
        done += each
        _progress(count, len(seeds))
    figures = summary(done, pack)
    if getattr(asked, "json", False):
        print_json({"first": first, "machines": len(seeds), **_mapping(options), **as_mapping(figures)})
    else:
        everything = bool(getattr(asked, "causes", False))
        width = max(24, shutil.get_terminal_size((110, 24)).columns)
        for line in lines(figures, options, seeds, everything):
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


def _progress(count: int, total: int) -> None:
    if not sys.stderr.isatty():
        return
    cells = min(BAR, shutil.get_terminal_size((76, 24)).columns - 2 * len(str(total)) - 5)
    filled = cells * count // total
    end = "\n" if count == total else ""
    sys.stderr.write(f"\r[{'#' * filled}{'.' * (cells - filled)}] {count}/{total}{end}")
    sys.stderr.flush()


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
        for way, (minutes, steps) in figures.paired.items():
            out += [
                "",
                say(
                    "score_tool_less_machine_by",
                    way_titles=say(f"score_way_{way}"),
                    minutes=_mean(minutes, True),
                    steps=_mean(steps, True),
                    minutes_share=percent(figures.minutes_share[way]),
                ),
            ]
        out += ["", *_claims(figures), "", *_causes(figures, everything)]
    return out


def _way_lines(way: WaySummary) -> list[str]:
    closed = ", ".join(f"{closing_words(name)} {count}" for name, count in sorted(way.closed.items()))
    silent = (
        say("score_silent_faults_found", silent_found=way.silent_found, silent=way.silent)
        if way.silent
        else say("score_no_silent_faults")
    )
    return [
        say(
            "score_machines_faults_show",
            way=say(f"score_way_{way.way}"),
            machines=way.machines,
            faults=way.faults,
        ),
        (
            "  "
            + say(
                "score_faults_found_those_behind",
                found=percent(way.found, 1),
                found_complained_of=percent(way.found_complained_of, 1),
                whole=percent(way.whole, 1),
                silent=silent,
            )
        ),
        (
            "  "
            + say(
                "score_first_named_fault_right",
                first_right=percent(way.first_right, 1),
                first_done_right=percent(way.first_done_right, 1),
            )
        ),
        (
            "  "
            + say(
                "score_parts_for_nothing_machine",
                parts_for_nothing=_mean(way.parts_for_nothing),
                work_for_nothing=_mean(way.work_for_nothing),
            )
        ),
        ("  " + say("score_minutes_steps", minutes=_mean(way.minutes), steps=_mean(way.steps))),
        (
            "  "
            + say(
                "score_closed_fit_for_use",
                closed=closed,
                grave_left=way.grave_left,
                still_told=way.still_told,
            )
        ),
        ("  " + say("score_violations_safety_rules", violations=way.violations)),
    ]


def _claims(figures: Summary) -> list[str]:
    out = [
        say(
            "score_claims_0_2_more",
            calibration_error=f"{figures.calibration_error:.3f}",
            log_loss=f"{figures.log_loss:.2f}",
            log_loss_before=f"{figures.log_loss_before:.2f}",
        )
    ]
    for each in figures.bins:
        out.append(
            "  "
            + say(
                "score_claims_claimed_true",
                low=f"{each.low:.2f}",
                high=f"{each.high:.2f}",
                count=f"{each.count:4d}",
                claimed=f"{each.claimed:.2f}",
                came_true=f"{each.came_true:.2f}",
            )
        )
    return out


def _causes(figures: Summary, everything: bool) -> list[str]:
    failing = [line for line in figures.causes if line.missed_seeds or line.for_nothing or everything]
    if not failing:
        return [say("score_no_cause_missed_put")]
    out = [say("score_where_fails_cause_found")]
    for line in failing if everything else failing[:MANY_CAUSES]:
        seeds = " ".join(line.missed_seeds[:6]) + (" ..." if len(line.missed_seeds) > 6 else "")
        out.append(
            "  "
            + say(
                "score_of",
                cause=line.cause,
                found=line.found,
                there=line.there,
                for_nothing=line.for_nothing,
                what=seeds or "-",
            )
        )
    if not everything and len(failing) > MANY_CAUSES:
        out.append("  " + say("score_more_causes", count=len(failing) - MANY_CAUSES))
    return out


def _mean(mean: Mean, signed: bool = False) -> str:
    sign = "+" if signed else ""
    return say(
        "score_95",
        value=f"{mean.value:{sign}.2f}",
        low=f"{mean.low:{sign}.2f}",
        high=f"{mean.high:{sign}.2f}",
    )


def _mapping(options: Options) -> dict[str, object]:
    return {"wrong": options.wrong, "vary": options.vary, "level": str(options.level)}


def as_mapping(figures: Summary) -> dict[str, object]:
    """The figures for programs: the keys may grow, never change."""
    return {
        "ways": {name: _plain(way) for name, way in figures.ways.items()},
        "paired": {
            way: {"minutes": _plain(minutes), "steps": _plain(steps)}
            for way, (minutes, steps) in figures.paired.items()
        },
        "minutes_share": dict(figures.minutes_share),
        "calibration_error": figures.calibration_error,
        "log_loss": figures.log_loss,
        "log_loss_before": figures.log_loss_before,
        "bins": [_plain(each) for each in figures.bins],
        "causes": [_plain(each) for each in figures.causes],
    }


def _plain(item: object) -> dict[str, object]:
    """A frozen value as a mapping, its own values likewise."""
    assert dataclasses.is_dataclass(item) and not isinstance(item, type)
    out: dict[str, object] = {}
    for each in dataclasses.fields(item):
        value = getattr(item, each.name)
        if dataclasses.is_dataclass(value):
            value = _plain(value)
        elif isinstance(value, tuple):
            value = list(value)
        elif hasattr(value, "items"):
            value = dict(value)
        out[each.name] = value
    return out
