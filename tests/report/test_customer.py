"""The customer's page: plain words, the readings that matter, and never more than one side however long a job is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from reporting import INSIDE, report, report_of_file

from faultfinder.job.record.record import read_record
from faultfinder.knowledge.load import load_pack
from faultfinder.report.customer import FEW, LONGEST, READINGS, that_matter
from faultfinder.report.findings import report_of
from faultfinder.report.forms import sections
from faultfinder.report.model import Report
from faultfinder.report.text import markdown

DEMOS = sorted((Path(__file__).parents[2] / "transcripts_demo").glob("*.yaml"))
OPEN_ELEMENT = ("answer: no_heat, is: yes", "answer: element_resistance, reads: OL")


def demo(path: Path) -> Report:
    contents = read_record(path)
    return report_of(load_pack("tumble_dryer"), contents.events, job=path.stem)


@pytest.mark.slow
@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_the_page_of_a_demo_has_no_figure_of_chance_no_weight_and_no_rules_times(path: Path) -> None:
    text = markdown(demo(path))
    assert not re.search(r"decibans?|\d ?%|by the times in the rules|<1|\d min\b", text)


def test_what_is_found_is_told_before_what_is_left_and_the_notice_before_all() -> None:
    keys = [section.key for section in sections(report_of_file("isolated"))]
    assert keys[:2] == ["head_notice", "customer_use"]
    assert keys.index("head_found") < keys.index("customer_open") < keys.index("customer_not_seen")


def test_a_part_that_the_rules_propose_is_not_called_a_part_on_the_page() -> None:
    text = markdown(report(*OPEN_ELEMENT, "put_right: element_open"))
    assert "Replace the element" in text and "part" not in text.casefold().replace("part of", "")


def test_it_still_shows_only_where_it_does() -> None:
    done = (*OPEN_ELEMENT, "put_right: element_open")
    still = "still shows after the work"
    assert still in markdown(report(*done, "answer: element_resistance, reads: OL"))
    assert still not in markdown(report(*done, "answer: element_resistance, reads: 26R"))
    assert still not in markdown(report(*done))
    on_edge = (
        "fact: watts, is: 2000",
        "fact: volts, is: 230",
        *done,
        "answer: element_resistance, reads: 29.4",
    )
    assert still not in markdown(report(*on_edge))


def test_what_another_fault_explains_is_not_held_against_a_repair() -> None:
    """No heat goes on because of the cut-out, which is open too."""
    written = report(
        *OPEN_ELEMENT,
        "put_right: element_open",
        "answer: element_resistance, reads: 26R",
        "answer: no_heat, is: yes",
        "answer: cut_out_continuity, reads: OL",
    )
    assert "Element broken: put right, and shown to be right afterwards" in markdown(written)


def test_the_readings_that_matter_are_those_that_were_wrong_or_prove_or_keep_safe() -> None:
    written = report(
        *OPEN_ELEMENT,
        "answer: cut_out_continuity, reads: 0.3",
        "put_right: element_open",
        "answer: element_resistance, reads: 26R",
    )
    shown = that_matter(written)
    assert shown[0].observation == "element_resistance" and len(shown) <= READINGS


@pytest.mark.slow
def test_a_job_of_any_length_stays_on_one_side() -> None:
    """However much was typed: every list and text is cut, so that the page has a largest size."""
    pack = load_pack("tumble_dryer")
    lines = [f'complaint: "{"it squeals and bangs " * 150}"', *INSIDE]
    lines += [f"answer: {name}, is: {item.answers[-1].id}" for name, item in pack.observations.items()]
    lines += [f"put_right: {name}" for name in list(pack.causes)[:20]]
    written = report(*lines, pack=pack)
    assert len(written.done) > 2 * FEW
    told = [section for section in sections(written) if section.key != "head_notice"]
    assert len(told) <= 9
    for section in told:
        assert len(section.items) <= FEW + 1, section.key
        for item in section.items:
            assert len(item.text) <= 3.5 * LONGEST and len(item.under) <= 2, section.key
