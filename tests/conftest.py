"""For the whole suite: the garbage collector comes less often.

Thousands of tests and whole packs stay in memory to the end, and a network makes lists by the million; looking
through all of it again and again took about a sixth of the time. Nothing that is checked hangs on when it comes.
"""

from __future__ import annotations

import gc

import pytest


def pytest_collection_finish(session: pytest.Session) -> None:
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
