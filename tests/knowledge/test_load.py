"""Loading a pack by folder, file or name: what comes out, what is told, and that it cannot be changed."""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
from dataclasses import FrozenInstanceError, fields
from pathlib import Path
from types import MappingProxyType

import pytest
from rule_files import BASE, beside_base, codes, told, write_pack

from faultfinder import RuleFileError, load_pack
from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.knowledge.analysis.overview import order_in_words, totals_by_machine
from faultfinder.knowledge.authoring.accepted import accept
from faultfinder.knowledge.checks import CODES
from faultfinder.knowledge.load import check_pack, find_pack, shipped_packs
from faultfinder.knowledge.model import Access, Hazard, Kind, Need
from faultfinder.knowledge.problem import PackNotFound, Problem
from faultfinder.knowledge.schema.keys import DEFAULT_ACCESS_MINUTES

PACKAGE = Path(find_pack.__code__.co_filename).resolve().parent.parent


@pytest.mark.slow
def test_a_folder_a_file_and_a_shipped_name_all_load(tmp_path: Path) -> None:
    folder = write_pack(tmp_path / "kettle", base=BASE.read_bytes())
    assert load_pack(folder).name == "kettle"
    assert load_pack(str(folder / "base.yaml")).name == "base"
    for name in shipped_packs():
        assert load_pack(name).name == name


@pytest.mark.slow
def test_every_shipped_pack_is_clean() -> None:
    assert shipped_packs()
    for folder in shipped_packs().values():
        texts = {str(file): file.read_text() for file in folder.glob("*.yaml")}
        assert accept(check_pack(folder)[1], texts, CODES).left == ()


def test_a_pack_that_is_not_there_is_told_with_the_nearest_name(tmp_path: Path) -> None:
    name = next(iter(shipped_packs()))
    with pytest.raises(PackNotFound) as caught:
        load_pack(name[:-1])
    expected = (
        f'{name[:-1]}:1:1: error: there is no rule pack "{name[:-1]}"; did you mean "{name}"? [no-such-pack]'
    )
    assert str(caught.value) == expected
    assert isinstance(caught.value, RuleFileError) and isinstance(caught.value, UnknownName)
    (tmp_path / "kettle").mkdir()
    with pytest.raises(RuleFileError, match='did you mean "kettle"'):
        load_pack(tmp_path / "ketle")


@pytest.mark.parametrize("path", ["a\0b", "x" * 5000, "", "nothing/at/all"])
def test_a_path_that_cannot_be_gives_a_problem_and_no_traceback(path: str) -> None:
    if path == "":
        with pytest.raises(FaultFinderError):
            load_pack(path + "/nowhere/at/all")
        return
    with pytest.raises(RuleFileError):
        load_pack(path)
    pack, problems = check_pack(path)
    assert pack is None and len(problems) == 1


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    assert [line.split("error: ")[1] for line in told(tmp_path)] == [
        "the folder has no rule files; rule files end in .yaml [no-files]"
    ]


def test_a_folder_named_like_a_file_and_a_pipe_are_told_and_not_waited_for(tmp_path: Path) -> None:
    folder = write_pack(tmp_path, base=BASE.read_bytes())
    (folder / "more.yaml").mkdir()
    os.mkfifo(folder / "pipe.yaml")
    assert told(folder) == [
        "more.yaml:1:1: error: this is not a file [unreadable]",
        "pipe.yaml:1:1: error: this is not a file [unreadable]",
    ]


def test_other_files_hidden_files_and_sub_folders_are_left_alone(tmp_path: Path) -> None:
    folder = write_pack(tmp_path, base=BASE.read_bytes())
    (folder / ".draft.yaml").write_text("nonsense: [", encoding="utf-8")
    (folder / "notes.txt").write_text("nonsense: [", encoding="utf-8")
    (folder / "cases").mkdir()
    (folder / "cases" / "one.yaml").write_text("- {nonsense: 1}", encoding="utf-8")
    assert told(folder) == []


def test_every_problem_of_every_file_comes_in_one_run_sorted_by_place(tmp_path: Path) -> None:
    folder = write_pack(
        tmp_path,
        base=BASE.read_bytes(),
        a="causes:\n  x: {title: X, hazrd: none}\n",
        b='observations:\n  y: {kind: look, ask: "Y}\n',
        c="states:\n  z: {title: Z, brought_on_by: {scale_thick: oftn}, shows: {slow_to_boil: 2}}\n",
    )
    assert told(folder) == [
        "a.yaml:2:3: error: x: 5 keys are missing; "
        "a cause needs how_common, remedy, minutes, if_missed, shows [missing-key]",
        'a.yaml:2:17: error: x: a cause has no key "hazrd"; did you mean "hazard"? [unknown-key]',
        "b.yaml:2:24: error: the quote that opens here is never closed; close it [yaml-syntax]",
        'c.yaml:2:46: error: z: brought_on_by, scale_thick: unknown word "oftn"; did you mean "often"? [bad-word]',
        "c.yaml:2:75: error: z: shows, slow_to_boil is 2, but must be 0 to 1; "
        "2 in a hundred is 0.02 [number-out-of-range]",
    ]


def test_a_name_that_may_stand_in_an_unreadable_file_is_not_told_as_unknown(tmp_path: Path) -> None:
    text = "states:\n  z: {title: Z, brought_on_by: {from_the_other_file: often}, shows: {slow_to_boil: often}}\n"
    folder = write_pack(tmp_path, base=BASE.read_bytes(), good=text, bad="causes: [")
    assert codes(folder) == ["yaml-syntax"]


def test_the_error_carries_its_problems_sorted_and_says_each_on_a_line(tmp_path: Path) -> None:
    folder = beside_base(tmp_path, "causes: 5\nstates: 6\n")
    with pytest.raises(RuleFileError) as caught:
        load_pack(folder)
    problems = caught.value.problems
    assert [p.mark.line for p in problems] == [1, 2] and all(isinstance(p, Problem) for p in problems)
    assert str(caught.value).split("\n") == [str(p) for p in problems]
    assert problems[0].as_mapping() == {
        "file": str(folder / "snippet.yaml"),
        "line": 1,
        "column": 9,
        "level": "error",
        "code": "wrong-shape",
        "message": 'causes must be a mapping from ids, not "5"',
        "hint": "",
    }


def test_strict_makes_warnings_count(tmp_path: Path) -> None:
    folder = beside_base(tmp_path, "observations:\n  odd: {kind: look, ask: Odd?, answers: yes_no}\n")
    assert load_pack(folder).observations["odd"].ask == "Odd?"
    with pytest.raises(RuleFileError, match="no cause or state shows it"):
        load_pack(folder, strict=True)


def test_the_fingerprint_changes_with_any_rule_text_and_not_with_the_place(tmp_path: Path) -> None:
    first = load_pack(write_pack(tmp_path / "one", base=BASE.read_bytes())).fingerprint
    again = load_pack(write_pack(tmp_path / "two", base=BASE.read_bytes())).fingerprint
    other = load_pack(write_pack(tmp_path / "three", base=BASE.read_bytes() + b"# a remark\n")).fingerprint
    assert first == again != other


def test_nothing_of_a_pack_can_be_changed() -> None:
    pack = load_pack(BASE)
    with pytest.raises(FrozenInstanceError):
        pack.title = "x"  # type: ignore[misc]
    for field in fields(pack):
        value = getattr(pack, field.name)
        assert isinstance(value, MappingProxyType | tuple | str), field.name
    cause = pack.causes["element_open"]
    for mapping in (cause.shows, cause.applies, cause.brought_on_by, pack.observations["leaks_seen"].danger):
        assert isinstance(mapping, MappingProxyType)
    with pytest.raises(TypeError):
        pack.causes["x"] = cause  # type: ignore[index]


def test_what_is_written_comes_out_as_the_model_says() -> None:
    pack = load_pack(BASE)
    assert (pack.title, pack.version, pack.outside[0].when) == (
        "Electric kettle",
        "1.0",
        {"heating": ("gas",)},
    )
    cause = pack.causes["scale_thick"]
    assert cause.hazard is Hazard.NONE and cause.remedy_need is Need.COVERS_ON and cause.sub_system == "base"
    assert cause.shows["scale_seen"].pushes == pytest.approx((0.05, 0.15, 0.8))
    assert cause.shows["slow_to_boil"].pushes == pytest.approx((0.4, 0.6))
    assert pack.causes["element_open"].brought_on_by == {"scale_thick": 0.3}
    assert pack.causes["flex_damaged"].applies == {"type": ("corded",)}
    assert pack.states["heat_none"].brought_on_by == {"element_open": 0.98, "cut_out_open": 0.98}
    assert cause.mark.line == BASE.read_text(encoding="utf-8").split("\n").index("  scale_thick:") + 1
    observation = pack.observations["element_resistance"]
    assert observation.reading is not None and observation.reading.bands[1].low == "1.2 * expected"
    assert observation.probes is not None and observation.probes.drawing == "A o--[element]--o B"
    assert [answer.text for answer in observation.answers] == ["Normal", "High", "Open"]


def test_what_is_left_out_has_the_defaults_of_the_guide() -> None:
    pack = load_pack(BASE)
    told_thing, looked_at = pack.observations["stays_cold"], pack.observations["scale_seen"]
    assert [(a.id, a.text) for a in told_thing.answers] == [("no", "No"), ("yes", "Yes")]
    assert (told_thing.kind, told_thing.need, told_thing.minutes) == (Kind.TOLD, Need.ANYWHERE, 0.5)
    assert (looked_at.need, looked_at.minutes, looked_at.reliability) == (Need.COVERS_ON, 1.0, 0.95)
    assert told_thing.background == pytest.approx((0.99, 0.01))
    assert looked_at.background == pytest.approx((0.99, 0.005, 0.005))
    cause = pack.causes["element_open"]
    assert (cause.takes, cause.part_costs, cause.remedy_need) == (0.98, 40.0, Need.OPEN_DEAD)
    assert pack.causes["scale_thick"].part_costs == 0.0
    assert pack.access_minutes == DEFAULT_ACCESS_MINUTES
    assert pack.access_minutes[Access.OPEN_UNPROVED] == 8.0


def test_a_background_given_for_one_answer_leaves_the_others_their_share(tmp_path: Path) -> None:
    text = (
        "observations:\n  lid: {kind: look, ask: Lid?, answers: {a: A, b: B, c: C}, background: {b: 0.2}}\n"
    )
    pack = load_pack(beside_base(tmp_path, text))
    assert pack.observations["lid"].background == pytest.approx((0.795, 0.2, 0.005))


def test_answers_in_words_say_which_one_wins() -> None:
    pack = load_pack(BASE)
    assert order_in_words(pack.observations["stays_cold"]) == '"No" is healthy; "Yes" wins over it'
    expected = '"Bare metal" is healthy; then "A white film"; "A crust" wins over all others'
    assert order_in_words(pack.observations["scale_seen"]) == expected


def test_totals_are_listed_by_machine_most_common_first() -> None:
    totals = totals_by_machine(load_pack(BASE))
    assert [t.machine for t in totals] == ["type: corded", "type: cordless"]
    assert totals[0].causes[0][0] == "scale_thick"
    assert totals[0].faults == pytest.approx(sum(chance for _, chance in totals[0].causes))


@pytest.mark.slow
def test_a_package_that_carries_its_packs_finds_them_by_name(tmp_path: Path) -> None:
    """As an installed wheel lies on the disk: the packs at faultfinder/_rules, no checkout around."""
    site = tmp_path / "site"
    shutil.copytree(PACKAGE, site / "faultfinder", ignore=shutil.ignore_patterns("__pycache__", "_rules"))
    shutil.copytree(BASE.parent.parent.parent / "rules", site / "faultfinder" / "_rules")
    (site / "rules").mkdir()
    code = "from faultfinder.knowledge.load import shipped_packs; print(*shipped_packs().values())"
    run = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(site), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert str(site / "faultfinder" / "_rules" / "tumble_dryer") in run.stdout.split()


@pytest.mark.parametrize("name", ["more.yaml.txt", "More.YAML", "more.yml.txt"])
def test_a_file_whose_name_hides_it_from_the_reader_is_told(tmp_path: Path, name: str) -> None:
    folder = beside_base(tmp_path / "pack", "# nothing\n")
    (folder / "snippet.yaml").unlink()
    (folder / name).write_text("causes: {}\n", encoding="utf-8")
    assert told(folder) == [
        f"{name}:1:1: warning: the file is not read: its name does not end in .yaml; "
        "name it more.yaml [passed-over]"
    ]


@pytest.mark.slow
@pytest.mark.parametrize("name", ["base.yaml~", "base.yaml.bak", ".base.yaml.swp", "README.md", "notes.txt"])
def test_copies_that_editors_keep_and_other_texts_are_left_alone(tmp_path: Path, name: str) -> None:
    folder = write_pack(tmp_path / "pack", base=BASE.read_bytes())
    (folder / name).write_text("causes: {}\n", encoding="utf-8")
    assert told(folder) == []


def swapped(text: str, source: random.Random) -> str:
    """The text with a few whole words exchanged, dropped or replaced."""
    words = re.findall(r"[A-Za-z_]\w*|\d[\d.]*|[^\w\s]|\s+", text)
    for _ in range(source.randint(1, 3)):
        at = source.randrange(len(words))
        kind = source.randrange(3)
        if kind == 0:
            words[at] = words[source.randrange(len(words))]
        elif kind == 1:
            words[at] = source.choice(
                ["0", "1", "-1", "1e9", "{}", "[]", "''", "OL", "yes", "{a: 1}", "[a]", "~", "x"]
            )
        else:
            del words[at]
    return "".join(words)


@pytest.mark.slow
def test_a_pack_with_words_exchanged_at_random_gives_problems_with_a_place_and_never_anything_else(
    tmp_path: Path,
) -> None:
    """Law: whatever a rule file says, checking returns; without a pack exactly when there is an error."""
    source = random.Random(1903)
    text = BASE.read_text(encoding="utf-8")
    for _ in range(80):
        file = write_pack(tmp_path, base=swapped(text, source)) / "base.yaml"
        pack, problems = check_pack(file)
        assert (pack is None) == any(problem.is_error for problem in problems)
        for problem in problems:
            assert problem.mark.line >= 1 and problem.mark.column >= 1
            assert "\n" not in str(problem) and problem.code in CODES


@pytest.mark.parametrize(
    ("kind", "limits"),
    [
        ("look", "answers: {a: A, b: B}\n    bands: {x: [0, 1], y: [1, 2], z: [2, OL]}"),
        ("look", "bands: {x: [0, 1], y: [1, OL]}"),
        ("reading", "answers: {a: A, b: B}\n    quantity: resistance\n    unit: ohm"),
    ],
)
def test_answers_and_bands_mixed_up_are_told_and_nothing_else_happens(
    kind: str, limits: str, tmp_path: Path
) -> None:
    """What a link was read by and what the observation has must be the same, even in a pack that does not load."""
    text = f"""
observations:
  odd_thing:
    kind: {kind}
    ask: Is it odd
    {limits}
causes:
  odd_cause:
    title: Odd
    how_common: rare
    hazard: none
    remedy: Mend it
    minutes: 5
    if_missed: 60
    shows: {{odd_thing: often}}
"""
    assert codes(beside_base(tmp_path, text))
