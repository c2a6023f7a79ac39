"""`table`: fits the screen it is given, says in letters what it says in shades, and is one page without a script."""

from __future__ import annotations

import argparse
import json
from html.parser import HTMLParser
from pathlib import Path

import pytest
from prompt_toolkit.utils import get_cwidth
from talking import SMALL, small_pack

import faultfinder
from faultfinder.exits import Exit
from faultfinder.knowledge.authoring.strength_table import Group, StrengthTable, strength_table
from faultfinder.knowledge.load import load_pack
from faultfinder.terminal.commands import table
from faultfinder.terminal.commands.table_page import (
    DARK_INK,
    LIGHT_INK,
    background,
    contrast,
    letter,
    page,
    per_cent,
)

DRYER = Path(faultfinder.__file__).resolve().parent.parent / "rules" / "tumble_dryer"


def asked(*words: str) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    table.add_arguments(parser)
    return parser.parse_args(words)


@pytest.fixture(scope="module")
def small() -> StrengthTable:
    return strength_table(small_pack())


@pytest.fixture(scope="module")
def large() -> StrengthTable:
    return strength_table(load_pack(DRYER))


@pytest.mark.slow
@pytest.mark.parametrize("width", [40, 80, 120])
def test_no_line_runs_past_the_edge_of_the_screen(large: StrengthTable, width: int) -> None:
    for line in table.lines(large, large.blocks, width):
        assert get_cwidth(line) <= width, line


@pytest.mark.slow
@pytest.mark.parametrize("width", [40, 120])
def test_every_cause_is_in_it(large: StrengthTable, width: int) -> None:
    text = " ".join(" ".join(table.lines(large, large.blocks, width)).split())
    for cause in large.pack.causes.values():
        assert cause.title[:28].rstrip() in text


def test_a_narrow_screen_gets_a_list_strongest_first(small: StrengthTable) -> None:
    drawn = table.lines(small, small.blocks, 40)
    start = drawn.index("Cut-out open")
    assert drawn[start + 1].startswith("  ██ ")
    fan = drawn.index("Fan bearing worn")
    assert [line[2:4] for line in drawn[fan + 1 : fan + 4] if line.startswith("  ") and line[2] != " "] == [
        "██",
        "▓▓",
    ]


def test_a_shade_follows_the_words_of_strength() -> None:
    assert [table.shade(strength) for strength in (0.01, 0.07, 0.30, 0.60, 0.80, 0.98)] == list(" ░▒▓██")
    assert table.shade(0.6, table.PLAIN_SHADES) == "x"


def test_what_comes_only_through_something_else_is_drawn_half(small: StrengthTable) -> None:
    row = next(line for line in table.lines(small, small.blocks, 120) if "Inlet blocked" in line)
    assert "▒ " in row and "██" in row


@pytest.mark.slow
@pytest.mark.parametrize("width", [40, 120])
def test_figures_say_in_per_cent_what_the_shades_say(large: StrengthTable, width: int) -> None:
    drawn = table.lines(large, large.blocks, width, table.FIGURES)
    assert not set("".join(drawn)) & set(table.SHADES[1:])
    assert all(get_cwidth(line) <= width for line in drawn)
    row = next(line for line in drawn if "Fluff filter clogged" in line)
    clogged = large.cell("filter_clogged", "filter_look")
    assert clogged is not None and (width == 40 or f"{per_cent(clogged.strength)} " in row)
    assert any("71'" in line for line in drawn)


@pytest.mark.slow
def test_every_column_has_a_number_of_its_own_above_and_below(large: StrengthTable) -> None:
    drawn = table.lines(large, large.blocks, 120)
    heads = [line.split() for line in drawn if line.strip() and set(line) <= set("0123456789 ")]
    assert heads and all(head == [str(n) for n in range(1, len(head) + 1)] for head in heads)
    assert sum(len(head) for head in heads) == sum(len(block.observations) for block in large.blocks)


def test_a_name_that_is_cut_says_so(large: StrengthTable) -> None:
    drawn = table.lines(large, large.blocks, 80)
    assert any(line.startswith("   Filter not seated or its fra.. ") for line in drawn)
    assert any(
        "   Filter not seated or its frame bent " in line for line in table.lines(large, large.blocks, 160)
    )


def test_a_figure_on_its_shade_can_be_read_at_every_strength() -> None:
    for hundredth in range(101):
        ground = background(hundredth / 100)
        assert max(contrast(ink, ground) for ink in (DARK_INK, LIGHT_INK)) >= 4.5
    # The two ends of the scale, by the definition of the ratio.
    assert contrast(DARK_INK, LIGHT_INK) == pytest.approx(21.0) and contrast(DARK_INK, DARK_INK) == 1.0


def test_look_alikes_stand_together_under_a_letter(small: StrengthTable) -> None:
    groups = (Group(("fan_worn", "inlet_blocked")), Group(("flex_damaged", "element_open"), "dead_things"))
    marked = StrengthTable(small.pack, small.blocks, small.cells, groups)
    drawn = table.lines(marked, marked.blocks, 120)
    assert any(line.startswith("A  Fan bearing worn") for line in drawn)
    assert drawn[-2:] == [
        "  A Fan bearing worn; Inlet blocked with fluff",
        "  B Flex damaged; Element broken (on purpose: dead_things)",
    ]
    assert '<b class="mark">B</b>' in page(marked, marked.blocks)


def test_letters_go_on_after_z() -> None:
    assert [letter(number) for number in (0, 25, 26, 51, 52)] == ["A", "Z", "AA", "AZ", "BA"]


class _Outline(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.seen: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.append(tag)
        self.attributes += attrs
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


@pytest.mark.slow
def test_the_page_is_whole_and_loads_nothing(large: StrengthTable) -> None:
    outline = _Outline()
    text = page(large, large.blocks)
    outline.feed(text)
    assert outline.open == [] and "script" not in outline.seen and "link" not in outline.seen
    assert "default-src 'none'" in text and "http:" not in text and "https:" not in text
    assert not [
        name for name, value in outline.attributes if name in ("src", "onclick") or "url(" in (value or "")
    ]
    assert outline.seen.count("table") == len(large.blocks)
    rows = sum(len(block.causes) + 1 for block in large.blocks)
    assert outline.seen.count("tr") == rows


def test_texts_of_a_pack_cannot_break_out_of_the_page(tmp_path: Path) -> None:
    rules = (SMALL / "fan_heater.yaml").read_text(encoding="utf-8")
    path = tmp_path / "fan_heater.yaml"
    path.write_text(rules.replace("Fan bearing worn", 'Worn <script>"x"&'), encoding="utf-8")
    made = strength_table(load_pack(path))
    text = page(made, made.blocks)
    assert "<script" not in text and "Worn &lt;script&gt;&quot;x&quot;&amp;" in text


@pytest.mark.slow
def test_a_figure_is_never_a_false_0_or_100(large: StrengthTable) -> None:
    assert ">0</td>" not in page(large, large.blocks) and ">100</td>" not in page(large, large.blocks)


def test_the_page_is_written_where_it_is_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "table.html"
    assert table.run(asked(str(SMALL), "--html", str(target))) == Exit.OK
    assert target.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert capsys.readouterr().out == f"written: {target}\n"
    assert table.run(asked(str(SMALL), "--html", "-")) == Exit.OK
    assert capsys.readouterr().out == target.read_text(encoding="utf-8")


def test_a_script_gets_the_figures(capsys: pytest.CaptureFixture[str]) -> None:
    assert table.run(asked(str(SMALL), "--json")) == Exit.OK
    found = json.loads(capsys.readouterr().out)
    cell = found["sub_systems"][0]["causes"]["element_open"]["element_resistance"]
    assert cell == {"strength": 0.98, "answer": "open", "direct": True}


def test_an_unknown_sub_system_is_told_with_the_known_ones(capsys: pytest.CaptureFixture[str]) -> None:
    assert table.run(asked(str(SMALL), "--only", "fan_heatr")) == Exit.WRONG_USE
    assert "fan_heater" in capsys.readouterr().err
