"""The shipped pack and the description of its machines, read once."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultfinder.knowledge.load import find_pack, load_pack
from faultfinder.knowledge.model import Pack
from faultfinder.practice.description import Description
from faultfinder.practice.load import load_practice

PATH = str(find_pack("tumble_dryer"))


@pytest.fixture(scope="session")
def pack() -> Pack:
    return load_pack(PATH)


@pytest.fixture(scope="session")
def description(pack: Pack) -> Description:
    return load_practice(pack, PATH)


LAMP = Path(__file__).with_name("bench_lamp")


@pytest.fixture(scope="session")
def lamp() -> Pack:
    """A pack of eight observations, so that whole jobs take a moment."""
    return load_pack(LAMP)


@pytest.fixture(scope="session")
def lamp_machines(lamp: Pack) -> Description:
    return load_practice(lamp, LAMP)
