"""The commands are tested here, each run inside this process reading its pack as ever, but each file only once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from reading_once import reading_once


@pytest.fixture(autouse=True, scope="module")
def _packs_read_once() -> Iterator[None]:
    with reading_once():
        yield
