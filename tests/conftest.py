"""For the whole suite: shipped packs are read once, the same evidence is reasoned about once, the garbage collector
comes less often, and it can be run in parts side by side.

Thousands of tests and whole packs stay in memory to the end, and a network makes lists by the million; looking
through all of it again and again took about a sixth of the time. Nothing that is checked hangs on when it comes.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import nullcontext
from pathlib import Path

import pytest
from reading_once import keep_what_is_never_edited
from reasoned_once import reasoning_once

REASONED_ANEW = ("reasoning", "reference")
"""Folders whose tests hold the reasoning itself: there everything is worked out each time."""


def pytest_configure(config: pytest.Config) -> None:
    keep_what_is_never_edited()


@pytest.fixture(autouse=True, scope="module")
def _reasoned_once(request: pytest.FixtureRequest) -> Iterator[None]:
    folder = request.path.relative_to(Path(__file__).parent).parts[0]
    with nullcontext() if folder in REASONED_ANEW else reasoning_once():
        yield


def pytest_collection_finish(session: pytest.Session) -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--part", metavar="K/N", help="every Nth file of tests, from the Kth on: one of N runs side by side"
    )


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leaves the files of other parts out. A file stays whole: its tests share what they read."""
    part = config.getoption("--part")
    if not part:
        return
    this, _, of = part.partition("/")
    if not (this.isdigit() and of.isdigit() and 1 <= int(this) <= int(of)):
        raise pytest.UsageError(f"--part is K/N, such as 1/2, not {part}")
    files = sorted({str(item.path) for item in items})
    mine = set(files[int(this) - 1 :: int(of)])
    others = [item for item in items if str(item.path) not in mine]
    config.hook.pytest_deselected(items=others)
    items[:] = [item for item in items if str(item.path) in mine]
