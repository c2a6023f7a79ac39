"""The report as a page and as Markdown: nothing in a text acts, nothing is loaded, and the charts say what is so."""

from __future__ import annotations

import json
import random
import re
import shutil
import subprocess
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from types import MappingProxyType
from xml.etree import ElementTree

import pytest
from reporting import events, report_of_file
from talking import small_pack

from faultfinder.job import events as happened
from faultfinder.knowledge.model import Pack
from faultfinder.report.drawing import chart, window
from faultfinder.report.findings import report_of
from faultfinder.report.json import mapping
from faultfinder.report.model import CUSTOMER, FORMS, WORKSHOP, Band, Measured, Report, Taken
from faultfinder.report.page import page
from faultfinder.report.text import escaped, markdown

VOID = {"meta", "br", "hr", "img", "link", "input"}
HOSTILE = (
    "<script>document.title='taken'</script>",
    "</style><img src=x onerror=alert(1)>",
    '" onload="alert(1)',
    "' style='x:expression(1)",
    "&lt;b&gt; &#60;script&#62; &amp;",
    "<!-- --> <![CDATA[ ]]> <?php ?>",
    "javascript:alert(1) http://evil.example www.evil.example",
    "[a](http://evil.example) ![b](x) `c` **d** __e__ ~~f~~ | g |",
    "# heading\n- list\n1. one\n> quote\n```\ncode\n```",
    "\x1b[2J\x1b]0;title\x07\x9b31m\x00\x7f",
    "\u202egnp.exe\u2066\u200b\ufeff",
    "\ud800 lone",
    "a" * 3000,
    "{title} {0} %s %(x)s {{",
)


class Reader(HTMLParser):
    """Tags with their attributes, and the text outside the style sheet; says where tags do not close in order."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open and self.open[-1] == tag, (tag, self.open)
        self.open.pop()

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text.append(data)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    return reader


def hostile_pack(text: str) -> Pack:
    """The small pack with this text wherever a rule author writes one."""
    pack = small_pack()
    causes = {
        name: replace(cause, title=text, remedy=text, parts=(text,), advice=text)
        for name, cause in pack.causes.items()
    }
    observations = {
        name: replace(item, ask=text, answers=tuple(replace(answer, text=text) for answer in item.answers))
        for name, item in pack.observations.items()
    }
    facts = {
        name: replace(fact, ask=text, choices=MappingProxyType(dict.fromkeys(fact.choices, text)))
        for name, fact in pack.facts.items()
    }
    return replace(
        pack,
        title=text,
        causes=MappingProxyType(causes),
        observations=MappingProxyType(observations),
        facts=MappingProxyType(facts),
        instruments=MappingProxyType(dict.fromkeys(pack.instruments, text)),
    )


def hostile_report(text: str) -> Report:
    told = [
        happened.Opened("small_pack", text, text),
        happened.Complaint(text),
        happened.Noted(text),
        *events(
            "fact: supply, is: single_phase",
            "without: multimeter",
            "skip: noise, because: cannot_here",
            "answer: no_heat, is: yes",
            "answer: inlet_look, is: blocked",
            "answer: element_resistance, reads: OL",
            "danger: tingle",
            "put_right: element_open",
        ),
        happened.ReturnTested("earth_inside", "failed", text, text),
        happened.Answered("element_resistance", "", "26R5"),
        happened.Answered(text, text),
    ]
    return report_of(hostile_pack(text), told, job=text, workshop=True, problems=[text])


def test_the_page_loads_nothing_runs_nothing_and_forbids_itself_to() -> None:
    for name in ("element", "isolated"):
        reader = read(page(report_of_file(name, WORKSHOP), WORKSHOP))
        tags = {tag for tag, _ in reader.tags}
        assert not tags & {
            "script",
            "link",
            "img",
            "iframe",
            "object",
            "embed",
            "form",
            "a",
            "base",
            "use",
            "image",
        }
        for _, attributes in reader.tags:
            assert not {"src", "href", "style", "srcset", "xlink:href", "action"} & set(attributes)
            assert not any(attribute.startswith("on") for attribute in attributes)
        policy = [a["content"] for tag, a in reader.tags if tag == "meta" and a.get("http-equiv")]
        assert policy == ["default-src 'none'; style-src 'unsafe-inline'"]
        style = re.search(r"<style>(.*?)</style>", page(report_of_file(name)), re.S)
        assert style and "url(" not in style[1] and "@import" not in style[1]


@pytest.mark.slow
@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_text_is_only_text_in_the_page(text: str) -> None:
    plain = read(page(hostile_report("harmless"), WORKSHOP))
    reader = read(page(hostile_report(text), WORKSHOP))
    assert [tag for tag, _ in reader.tags if tag not in ("li", "ul")] == [
        tag for tag, _ in plain.tags if tag not in ("li", "ul")
    ]
    assert [sorted(a) for tag, a in reader.tags if tag != "li"] == [
        sorted(a) for tag, a in plain.tags if tag != "li"
    ]


@pytest.mark.slow
@pytest.mark.parametrize("text", HOSTILE)
@pytest.mark.parametrize("form", FORMS)
def test_no_control_and_no_direction_mark_leaves_in_any_form(text: str, form: str) -> None:
    written = hostile_report(text)
    for out in (markdown(written, form), page(written, form)):
        strange = {c for c in out if not c.isprintable() and c != "\n"}
        assert strange == set()
        out.encode("utf-8")
    json.dumps(mapping(written, form), allow_nan=False).encode("ascii")


@pytest.mark.slow
@pytest.mark.parametrize("text", HOSTILE)
def test_a_hostile_text_is_only_text_in_markdown(text: str) -> None:
    """Every line still begins as one of ours does, and no sign that acts stands without its backslash."""
    for line in markdown(hostile_report(text), WORKSHOP).splitlines():
        assert re.match(r"(#{1,2} |- |  - |> \*\*|>$|$|\S)", line)
        words = re.sub(r"^(#{1,2} |- |  - |> \*\*|>$)", "", line).removesuffix("**")
        assert not re.match(r"(#|[-+] |\d+[.)] |>)", words), line
        bare = re.sub(r"\\.", "", words)
        assert not set("`*[]<>|~&") & set(bare), line
        assert "://" not in words and "www." not in words


def test_escaping_leaves_ordinary_texts_alone() -> None:
    for text in (
        "23.8 to 29.1 ohm, about 26.4 ohm",
        "small_pack",
        "21.7 decibans",
        "no. 5 (late)",
        "-4 C",
        "1.5 ohm",
    ):
        assert escaped(text) == text
    assert escaped("1. one") == "1\\. one"
    assert escaped("- one") == "\\- one"
    assert escaped("_one_ a_b") == "\\_one\\_ a_b"


def test_a_text_reads_the_same_in_the_page_as_it_was_given() -> None:
    text = "5 < 6 & \"7\" 'eight' </b>"
    reader = read(page(report_of(small_pack(), [happened.Complaint(text)])))
    assert any(text in piece for piece in reader.text)


def test_every_sentence_of_the_markdown_stands_in_the_page() -> None:
    """The page leaves out only what its drawing says in full, and that is in the drawing's own words."""
    for form in FORMS:
        written = report_of_file("element", form)
        text = "".join(read(page(written, form)).text)
        for line in markdown(written, form).splitlines():
            words = re.sub(r"\\(.)", r"\1", re.sub(r"^(#+ |- |  - |> \*\*|>)", "", line).removesuffix("**"))
            title = re.fullmatch(r"(.*) \((healthy .*)\)", words)
            for piece in title.groups() if title else (words,):
                assert piece in text, piece


@pytest.mark.slow
def test_random_records_make_pages_that_are_well_formed() -> None:
    """Records of random events, good and bad, in both forms: seeded."""
    chance = random.Random(20260302)
    pack = small_pack()
    for _ in range(40):
        told = []
        for _ in range(chance.randint(0, 12)):
            item = chance.choice(list(pack.observations.values()))
            kind = chance.randint(0, 5)
            if kind <= 2 and item.reading:
                typed = chance.choice(
                    ["OL", "0", "1e-3", "26", "26R5", "4k7", "0.2 Mohm", "OL@200", "rubbish"]
                )
                told.append(happened.Answered(item.id, "", typed))
            elif kind <= 2:
                told.append(happened.Answered(item.id, chance.choice(item.answers).id))
            elif kind == 3:
                told.append(happened.PutRight(chance.choice(list(pack.causes))))
            elif kind == 4:
                told.append(happened.Corrected(item.id, chance.choice(item.answers).id))
            else:
                told.append(happened.Withdrawn(item.id))
        written = report_of(pack, told)
        for form in FORMS:
            read(page(written, form))
            for svg in re.findall(r"<svg.*?</svg>", page(written, form), re.S):
                ElementTree.fromstring(svg)


# -- charts ---------------------------------------------------------------------------------------------


def measured(low: float, high: float, *values: float, on_edge: bool = False) -> Measured:
    takes = tuple(
        Taken("", n, str(value), value, "normal", "Normal", low <= value <= high, on_edge, "High", 0.0)
        for n, value in enumerate(values)
    )
    bands = (Band("normal", "Normal", low, high), Band("high", "High", high, float("inf")))
    return Measured("x", "A reading", "ohm", None, bands, takes)


def shapes(svg: str) -> list[str]:
    """What is drawn on the rows: 'dot', 'ring', 'diamond', 'arrow right' or 'arrow left', in order."""
    out = []
    for each in ElementTree.fromstring(svg):
        if each.tag == "circle":
            out.append("ring" if each.get("fill") == "#fff" else "dot")
        elif each.tag == "polygon":
            points = [float(point.split(",")[0]) for point in (each.get("points") or "").split()]
            if len(points) == 4:
                out.append("diamond")
            else:
                out.append("arrow right" if points[0] > points[1] else "arrow left")
    return out


INF = float("inf")


@pytest.mark.parametrize(
    ("low", "high", "value", "shape"),
    [
        (23.8, 29.1, 26.0, "dot"),
        (23.8, 29.1, 30.0, "diamond"),
        (23.8, 29.1, 20.0, "diamond"),
        (23.8, 29.1, INF, "arrow right"),
        (23.8, 29.1, 5000.0, "arrow right"),
        (2380.0, 2910.0, 0.1, "arrow left"),
        (0.0, 2.0, 0.3, "dot"),
        (0.0, 2.0, INF, "arrow right"),
        (1e6, INF, 5e7, "arrow right"),
        (1e6, INF, 9e5, "diamond"),
        (1e6, INF, 1.5e6, "dot"),
        (-INF, 60.0, 55.0, "dot"),
        (-INF, 60.0, -10.0, "dot"),
        (-5.0, 5.0, 0.0, "dot"),
    ],
)
def test_a_mark_says_by_its_shape_where_the_reading_lies(
    low: float, high: float, value: float, shape: str
) -> None:
    svg = chart(measured(low, high, value))
    assert shapes(svg) == [shape]


def test_a_reading_on_the_edge_is_a_ring() -> None:
    assert shapes(chart(measured(1.0, 2.0, 2.0, on_edge=True))) == ["ring"]


def test_old_and_new_stand_on_rows_of_their_own_in_order() -> None:
    svg = chart(measured(23.8, 29.1, INF, 26.0))
    assert shapes(svg) == ["arrow right", "dot"]
    words = [each.text or "" for each in ElementTree.fromstring(svg) if each.tag == "text"]
    assert [word for word in words if word.startswith(("as found", "after the work"))] == [
        "as found: OL, normal",
        "after the work: 26 ohm, as it should be",
    ]


def test_the_mark_lies_on_the_right_side_of_each_limit() -> None:
    """The scale never turns or folds: seeded figures keep their order on it."""
    chance = random.Random(7)
    for _ in range(300):
        low, high = sorted(chance.uniform(-50, 500) for _ in range(2))
        values = [chance.uniform(-100, 1000) for _ in range(4)]
        scale = window(low, high, values)
        assert scale is not None
        for value in values:
            for limit in (low, high):
                if scale.holds(value):
                    assert (scale.x(value) < scale.x(limit)) == (value < limit)
        assert scale.low <= low and scale.high >= high


def test_nothing_is_drawn_outside_the_drawing() -> None:
    chance = random.Random(8)
    for _ in range(200):
        low = chance.choice([0.0, -INF, chance.uniform(0, 100)])
        high = INF if chance.random() < 0.2 and low > 0 else max(low, 0.0) + chance.uniform(0.1, 100)
        svg = chart(measured(low, high, chance.uniform(0, 300), chance.choice([INF, 1.0, 1e9])))
        box = ElementTree.fromstring(svg).get("viewBox", "").split()
        width, height = float(box[2]), float(box[3])
        for each in ElementTree.fromstring(svg).iter():
            for name in ("x", "x1", "x2", "cx"):
                if name in each.attrib:
                    assert 0 <= float(each.attrib[name]) <= width
            for name in ("y", "y1", "y2", "cy"):
                if name in each.attrib:
                    assert 0 <= float(each.attrib[name]) <= height


def test_a_reading_without_limits_or_figures_has_no_drawing() -> None:
    assert chart(replace(measured(1.0, 2.0, 1.5), bands=())) == ""
    assert chart(replace(measured(1.0, 2.0), takes=())) == ""
    assert window(-INF, INF, [1.0]) is None


def test_the_drawing_tells_a_screen_reader_what_it_shows() -> None:
    svg = chart(report_of_file("element").readings[0])
    assert ElementTree.fromstring(svg).get("aria-label") == (
        "Resistance of the element, cold: healthy 23.8 to 29.1 ohm, about 26.4 ohm. "
        "as found: OL, open; after work 1: 26.1 ohm, as it should be"
    )


# -- mapping --------------------------------------------------------------------------------------------


def test_the_mapping_is_plain_json_and_has_evidence_for_the_workshop_only() -> None:
    written = report_of_file("element", WORKSHOP)
    customer, workshop = mapping(written, CUSTOMER), mapping(written, WORKSHOP)
    assert customer["evidence"] is None and workshop["evidence"]["standings"]
    assert json.loads(json.dumps(workshop, allow_nan=False)) == workshop
    assert workshop["readings"][0]["takes"][0]["value"] == "OL"
    assert workshop["readings"][0]["takes"][1]["value"] == 26.1
    assert (workshop["format"], workshop["form"]) == (1, "workshop")


# -- in a real browser ----------------------------------------------------------------------------------

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


@pytest.mark.slow
@pytest.mark.skipif(BROWSER is None, reason="no headless browser here")
def test_a_browser_runs_nothing_of_a_hostile_report_and_prints_it(tmp_path: Path) -> None:
    assert BROWSER is not None
    written = hostile_report(HOSTILE[0] + HOSTILE[1])
    path = tmp_path / "report.html"
    path.write_text(page(written, WORKSHOP), encoding="utf-8")
    base = [
        BROWSER,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        f"--user-data-dir={tmp_path / 'profile'}",
        f"--crash-dumps-dir={tmp_path}",
    ]
    dumped = subprocess.run([*base, "--dump-dom", path.as_uri()], capture_output=True, timeout=60, check=True)
    html = dumped.stdout.decode("utf-8")
    assert "<title>taken</title>" not in html
    assert "<script" not in html.casefold() and "<img" not in html.casefold()
    printed = tmp_path / "report.pdf"
    subprocess.run(
        [*base, "--no-pdf-header-footer", f"--print-to-pdf={printed}", path.as_uri()],
        capture_output=True,
        timeout=60,
        check=True,
    )
    data = printed.read_bytes()
    assert data.startswith(b"%PDF")
    # A4 in points.
    assert re.search(rb"/MediaBox \[0 0 59[45][.\d]* 84[12][.\d]*\]", data)
