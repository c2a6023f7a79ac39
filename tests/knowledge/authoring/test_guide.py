"""The trainers' guide: its reference is what the tables say, and every example in it does what it says.

A comment before a block in the guide says what the block is: `file: PATH` a whole file, `add: PATH` more of it,
`edit: PATH` old lines, "# becomes", new lines; `check: PACK` and `try: PACK` what the command prints;
`example` loads beside the finished pack; `wrong: CODE` is refused with that code. `without: PATH: LINE` takes a
line out for the next block only.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from render_guide import GUIDE

from faultfinder.cli import main
from faultfinder.job.return_tests import FLEX_FACT
from faultfinder.job.state import SAFETY_FACTS
from faultfinder.knowledge.analysis.overview import totals_by_machine
from faultfinder.knowledge.authoring.guide import BEGIN, reference
from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack
from faultfinder.knowledge.schema.keys import TABLES
from faultfinder.knowledge.schema.strength_words import PROGRAM_FACTS
from faultfinder.report.measurements import PRICE_A_KWH, USES_A_WEEK
from faultfinder.terminal.commands.check import everything
from faultfinder.trade.functions import FUNCTIONS
from faultfinder.trade.readings.units import QUANTITIES

TEXT = GUIDE.read_text(encoding="utf-8")
_STEP = re.compile(r"<!-- (\w+)(?:: ([^\n]*?))? -->\n(?:```\w*\n(.*?)```)?", re.DOTALL)
STEPS = [(kind, argument or "", block or "") for kind, argument, block in _STEP.findall(TEXT.split(BEGIN)[0])]
EXAMPLES = [(kind, argument, block) for kind, argument, block in STEPS if kind in ("example", "wrong")]


def test_the_reference_is_what_the_tables_render() -> None:
    """If this fails: python tests/helpers/render_guide.py, and look at the difference."""
    assert TEXT[TEXT.index(BEGIN) :] == reference()


def test_the_reference_names_every_key_word_function_unit_and_code() -> None:
    text = reference()
    for table in TABLES:
        for key in table.keys:
            assert f"**`{key.name}`**" in text
    for name in (*FUNCTIONS, *QUANTITIES, *CODES):
        assert f"`{name}" in text


def test_the_facts_that_the_program_reads_by_itself_stand_in_the_guide() -> None:
    read = {*SAFETY_FACTS, FLEX_FACT, USES_A_WEEK, PRICE_A_KWH}
    assert read == set(PROGRAM_FACTS)
    assert all(f"`{fact}`" in TEXT for fact in read)
    for fact, choices in SAFETY_FACTS.items():
        assert f"| `{fact}` | {', '.join(f'`{choice}`' for choice in choices)} |" in TEXT


def test_the_guide_names_the_quantities_that_can_be_negative_and_those_no_meter_over_ranges_on() -> None:
    negative = [name for name, each in QUANTITIES.items() if each.low < 0]
    assert negative == ["temperature", "temperature_difference", "pressure"]
    assert "Temperature, temperature difference and pressure can be negative." in TEXT
    never_over = {name for name, each in QUANTITIES.items() if not each.over_range}
    assert never_over == {"sensor_constant", "humidity", "ratio", "length", "time", "area", "volume"}
    assert "Lengths, areas, volumes, times, shares and humidity are no meter's" in TEXT


def test_every_block_of_yaml_in_the_guide_is_one_that_is_run() -> None:
    assert "```text" not in TEXT and "```yml" not in TEXT
    blocks = re.findall(r"```yaml\n(.*?)```", TEXT.split(BEGIN)[0], re.DOTALL)
    run = {block for _, _, block in STEPS}
    assert [block for block in blocks if block not in run] == []
    assert len(blocks) > 15


def build(folder: Path, kind: str, argument: str, block: str) -> None:
    path = folder / argument
    if kind == "file":
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(block, encoding="utf-8")
    elif kind == "add":
        path.write_text(path.read_text(encoding="utf-8") + block, encoding="utf-8")
    elif kind == "edit":
        old, new = block.split("# becomes\n")
        text = path.read_text(encoding="utf-8")
        assert text.count(old) == 1, old
        path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.mark.slow
def test_the_tutorial_goes_as_it_says_from_an_empty_folder_to_a_tested_pack(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    shown = 0
    put_back: tuple[Path, str] | None = None
    for kind, argument, block in STEPS:
        build(tmp_path, kind, argument, block)
        if kind == "without":
            name, line = argument.split(": ", 1)
            path = tmp_path / name
            put_back = (path, path.read_text(encoding="utf-8"))
            path.write_text(put_back[1].replace(f"      {line}\n", ""), encoding="utf-8")
            assert path.read_text(encoding="utf-8") != put_back[1]
        if kind in ("check", "try"):
            main([kind, argument])
            assert capsys.readouterr().out == block
            shown += 1
            if put_back is not None:
                put_back[0].write_text(put_back[1], encoding="utf-8")
                put_back = None
    assert shown >= 6


@pytest.fixture(scope="module")
def toaster(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The finished pack of the tutorial."""
    folder = tmp_path_factory.mktemp("guide")
    for kind, argument, block in STEPS:
        build(folder, kind, argument, block)
    return folder / "toaster"


def test_the_finished_pack_of_the_tutorial_is_clean_and_sane(toaster: Path) -> None:
    pack, problems = check_pack(toaster)
    assert problems == [] and pack is not None
    assert all(1.0 <= totals.faults <= 2.5 for totals in totals_by_machine(pack))


@pytest.mark.slow
@pytest.mark.parametrize(("kind", "argument", "block"), EXAMPLES, ids=range(len(EXAMPLES)))
def test_an_example_beside_the_tutorial_does_what_the_guide_says_of_it(
    kind: str, argument: str, block: str, toaster: Path, tmp_path: Path
) -> None:
    for file in toaster.glob("*.yaml"):
        (tmp_path / file.name).write_bytes(file.read_bytes())
    (tmp_path / "example.yaml").write_text(block, encoding="utf-8")
    problems = check_pack(tmp_path)[1]
    if kind == "wrong":
        assert argument in [problem.code for problem in problems]
    else:
        assert [str(problem) for problem in problems if problem.code != "no-something-else"] == []


@pytest.mark.slow
def test_the_smallest_practice_model_is_complete_for_the_finished_pack(toaster: Path, tmp_path: Path) -> None:
    text = GUIDE.with_name("PRACTICE.md").read_text(encoding="utf-8")
    model = text[text.index("## The smallest complete model") :].split("```yaml\n")[1].split("```")[0]
    pack = tmp_path / "toaster"
    shutil.copytree(toaster, pack)
    (pack / "practice").mkdir()
    (pack / "practice" / "toaster.yaml").write_text(model, encoding="utf-8")
    assert [str(problem) for problem in everything(str(pack))[1]] == []
    assert main(["score", str(pack), "--machines", "3", "--processes", "1"]) == 0
