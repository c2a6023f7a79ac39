"""The shipped pack and the description of its machines, read once."""

from __future__ import annotations

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
