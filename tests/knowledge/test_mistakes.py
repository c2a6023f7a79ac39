"""Seeded mistakes, one a file: each is found, with exactly the words and the place that its first lines expect.

A file stands beside the clean pack base.yaml; with `# alone` on its first line it is a whole pack.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from rule_files import BASE, KNOWLEDGE_TESTS, beside_base, told, write_pack

from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack

MISTAKES = sorted((KNOWLEDGE_TESTS / "mistakes").glob("*.yaml"))
EXPECT = "# expect "


def expected_of(text: str, name: str) -> list[str]:
    """The problems a mistake expects; a file is named only where it is another one."""
    lines = [line.removeprefix(EXPECT) for line in text.split("\n") if line.startswith(EXPECT)]
    return [line if ".yaml:" in line.split(" ")[0] else f"{name}.yaml:{line}" for line in lines]


@pytest.mark.slow
def test_there_are_at_least_sixty_mistakes() -> None:
    assert len(MISTAKES) >= 60


OF_A_FOLDER = {
    "accept-unneeded",
    "accept-no-reason",
    "no-symptom",
    "no-such-pack",
    "no-files",
    "unreadable",
    "too-big",
    "not-utf8",
    "passed-over",
}
"""What no single text can show: test_load.py, test_nodes.py, test_accepted.py or a larger pack do."""


@pytest.mark.slow
def test_every_kind_of_problem_has_a_mistake() -> None:
    seeded = {
        line.rsplit("[", 1)[1].rstrip("]")
        for path in MISTAKES
        for line in expected_of(path.read_text(encoding="utf-8"), path.stem)
    }
    edits = yaml.safe_load((KNOWLEDGE_TESTS / "seeded_edits.yaml").read_text(encoding="utf-8"))
    seeded |= {line.rsplit("[", 1)[1].rstrip("]") for edit in edits for line in edit["told"]}
    assert set(CODES) - OF_A_FOLDER == seeded


@pytest.mark.slow
def test_the_clean_pack_raises_nothing() -> None:
    pack, problems = check_pack(BASE)
    assert problems == []
    assert pack is not None


@pytest.mark.slow
@pytest.mark.parametrize("path", MISTAKES, ids=lambda path: path.stem)
def test_a_seeded_mistake_is_told_in_the_expected_words_and_keeps_the_pack_from_loading_if_it_is_an_error(
    path: Path, tmp_path: Path
) -> None:
    text = path.read_text(encoding="utf-8")
    if text.startswith("# alone\n"):
        place = write_pack(tmp_path / "pack", lamp=text) / "lamp.yaml"
        expected = expected_of(text, "lamp")
    else:
        place = beside_base(tmp_path / "pack", text, "mistake")
        expected = expected_of(text, "mistake")
    pack, problems = check_pack(place)
    assert told(place, problems) == expected
    assert (pack is None) == any(problem.is_error for problem in problems)
