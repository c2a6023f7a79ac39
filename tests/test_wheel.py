"""The packs travel inside the wheel and are found from an installed one as from a checkout."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from faultfinder import load_pack

TOP = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The project's wheel, built by its own backend."""
    folder = tmp_path_factory.mktemp("wheel")
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            f"from hatchling.build import build_wheel; print(build_wheel({str(folder)!r}))",
        ],
        cwd=TOP,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return next(folder.glob("*.whl"))


@pytest.mark.slow
def test_the_packs_and_the_data_of_the_package_are_in_the_wheel(wheel: Path) -> None:
    names = zipfile.ZipFile(wheel).namelist()
    assert "faultfinder/_rules/tumble_dryer/pack.yaml" in names
    # What the package reads beside its modules.
    beside = [
        path
        for path in (TOP / "faultfinder").rglob("*")
        if path.is_file() and path.suffix not in (".py", ".pyc")
    ]
    assert beside and {str(path.relative_to(TOP)) for path in beside} <= set(names)


@pytest.mark.slow
def test_a_pack_is_found_from_an_installed_wheel(wheel: Path, tmp_path: Path) -> None:
    """Unpacked where pip would put it, away from the checkout."""
    site = tmp_path / "site"
    zipfile.ZipFile(wheel).extractall(site)
    code = (
        "import faultfinder; print(len(faultfinder.load_pack('tumble_dryer').causes), faultfinder.__file__)"
    )
    env = {key: value for key, value in os.environ.items() if key != "PYTHONPATH"}
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={**env, "PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    count, where = done.stdout.split(maxsplit=1)
    assert int(count) > 50
    assert where.startswith(str(site))


@pytest.mark.slow
def test_a_pack_is_found_from_the_checkout() -> None:
    assert load_pack("tumble_dryer").title
