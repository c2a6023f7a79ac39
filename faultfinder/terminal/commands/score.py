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

from faultfinder.exits import Exit
from faultfinder.knowledge.load import load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.draw import Level
from faultfinder.practice.figures import Mean, Summary, WaySummary, summary
from faultfinder.practice.load import load_practice
from faultfinder.practice.score import WAYS, Options, Trial, trials
from faultfinder.terminal.console.printed import print_json
from faultfinder.terminal.console.render import wrap

BAR = 30
WAY_TITLES = {
    "tool": "the tool",
    "check_list": "the check list",
    "random": "at random",
    "knowing": "knowing the faults",
}
MANY_CAUSES = 15


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
        f"seeds {seeds.start} to {seeds.stop - 1}, {options.wrong:.0%} wrong answers, "
        f"physics varied by {options.vary:.0%}, level {options.level}"
    ]
    for each in figures.ways.values():
        out += ["", *_way_lines(each)]
    if "tool" in figures.ways:
        for way, (minutes, steps) in figures.paired.items():
            out += [
                "",
                f"the tool less {WAY_TITLES[way]}, machine by machine: minutes {_mean(minutes, True)}, "
                f"steps {_mean(steps, True)}; its minutes are {figures.minutes_share[way]:.0%} of them",
            ]
        out += ["", *_claims(figures), "", *_causes(figures, everything)]
    return out


def _way_lines(way: WaySummary) -> list[str]:
    closed = ", ".join(f"{name.replace('_', ' ')} {count}" for name, count in sorted(way.closed.items()))
    silent = f"silent faults found {way.silent_found} of {way.silent}" if way.silent else "no silent faults"
    return [
        f"{WAY_TITLES.get(way.way, way.way)}: {way.machines} machines, {way.faults} faults that show",
        f"  faults found {way.found:.1%}, of those behind the complaint {way.found_complained_of:.1%}; "
        f"every fault of the machine {way.whole:.1%}; {silent}",
        f"  first-named fault right {way.first_right:.1%}, what was put right first {way.first_done_right:.1%}",
        f"  parts for nothing a machine {_mean(way.parts_for_nothing)}, work for nothing "
        f"{_mean(way.work_for_nothing)}",
        f"  minutes {_mean(way.minutes)}, steps {_mean(way.steps)}",
        f"  closed: {closed}; fit for use with a grave fault in it: {way.grave_left}; left with something of the "
        f"complaint still so: {way.still_told}",
        f"  violations of the safety rules: {way.violations}",
    ]


def _claims(figures: Summary) -> list[str]:
    out = [
        f"claims of 0.2 and more at the end: mean error {figures.calibration_error:.3f}; log loss a machine "
        f"{figures.log_loss:.2f}, after the complaint alone {figures.log_loss_before:.2f}"
    ]
    for each in figures.bins:
        out.append(
            f"  {each.low:.2f}-{each.high:.2f}: {each.count:4d} claims, {each.claimed:.2f} claimed, "
            f"{each.came_true:.2f} true"
        )
    return out


def _causes(figures: Summary, everything: bool) -> list[str]:
    failing = [line for line in figures.causes if line.missed_seeds or line.for_nothing or everything]
    if not failing:
        return ["no cause was missed or put right for nothing"]
    out = ["where it fails: cause, found of there, put right for nothing, seeds missed"]
    for line in failing if everything else failing[:MANY_CAUSES]:
        seeds = " ".join(line.missed_seeds[:6]) + (" ..." if len(line.missed_seeds) > 6 else "")
        out.append(f"  {line.cause}: {line.found} of {line.there}, {line.for_nothing}, {seeds or '-'}")
    if not everything and len(failing) > MANY_CAUSES:
        out.append(f"  and {len(failing) - MANY_CAUSES} more (--causes)")
    return out


def _mean(mean: Mean, signed: bool = False) -> str:
    sign = "+" if signed else ""
    return f"{mean.value:{sign}.2f} (95 %: {mean.low:{sign}.2f} to {mean.high:{sign}.2f})"


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
