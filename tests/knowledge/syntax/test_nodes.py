"""Reading rule text into nodes: places, plain words, and one clear line for every hostile file."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
import yaml
from rule_files import BASE, KNOWLEDGE_TESTS

from faultfinder.knowledge.model import Mark
from faultfinder.knowledge.problem import Sink
from faultfinder.knowledge.syntax import nodes
from faultfinder.knowledge.syntax.nodes import ListNode, MapNode, Node, Scalar, read_nodes

BOTH = pytest.mark.parametrize(
    "loader",
    [
        pytest.param(
            nodes.FAST_LOADER,
            id="libyaml",
            marks=pytest.mark.skipif(nodes.FAST_LOADER is None, reason="PyYAML was built without libyaml"),
        ),
        pytest.param(nodes.PURE_LOADER, id="pure"),
    ],
)


def read(text: str | bytes, loader: object = None) -> tuple[Node | None, list[str]]:
    sink = Sink()
    data = text if isinstance(text, bytes) else text.encode("utf-8")
    tree = read_nodes(data, "f", sink, loader=loader)
    return tree, [str(problem) for problem in sink.problems]


def plain(node: Node | None) -> object:
    """A tree as Python lists, dicts and texts."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, ListNode):
        return [plain(item) for item in node.items]
    if isinstance(node, MapNode):
        return {key.text: plain(value) for key, value in node.pairs}
    return None


@BOTH
def test_words_numbers_and_dates_all_stay_the_text_that_stands_there(loader: object) -> None:
    text = "a: [yes, no, on, off, 12:30, 010, 1e3, 2020-01-01, ~, null, true, .inf]\nyes: no\n"
    tree, problems = read(text, loader)
    assert problems == []
    words = ["yes", "no", "on", "off", "12:30", "010", "1e3", "2020-01-01", "~", "null", "true", ".inf"]
    assert plain(tree) == {"a": words, "yes": "no"}


@BOTH
def test_every_key_and_value_knows_its_line_and_column(loader: object) -> None:
    tree, _ = read("a: 1\nbb:\n  - x\n  - {c: 'd'}\nempty:\n", loader)
    assert isinstance(tree, MapNode)
    bb = tree.get("bb")
    assert isinstance(bb, ListNode) and isinstance(bb.items[1], MapNode)
    key, value = bb.items[1].pairs[0]
    assert (key.mark, value.mark) == (Mark("f", 4, 6), Mark("f", 4, 9))
    assert isinstance(value, Scalar) and not value.plain
    empty = tree.get("empty")
    assert empty == Scalar("", True, Mark("f", 5, 1))


def test_the_mark_of_a_path_is_the_value_or_the_key_of_a_mapping() -> None:
    from faultfinder.knowledge.syntax.nodes import mark_of

    tree, _ = read("a:\n  b:\n    c: deep\n")
    assert tree is not None
    assert mark_of(tree, ("a", "b", "c")) == Mark("f", 3, 8)
    assert mark_of(tree, ("a", "b")) == Mark("f", 2, 3)
    assert mark_of(tree, ("a", "nothing")) == Mark("f", 1, 1)


@BOTH
def test_windows_line_ends_and_a_byte_order_mark_change_nothing(loader: object) -> None:
    text = "a: |\n  x\n  y\nb: 1\n"
    unix, _ = read(text, loader)
    assert read(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode(), loader) == (unix, [])


HOSTILE = {
    "ten megabytes": (
        b"a: " + b"x" * 10_000_000,
        "f:1:1: error: the file has 10,000,003 bytes; at most 1,000,000",
    ),
    "binary": (b"\x89PNG\r\n\x1a\n\x00\x00", "f:1:1: error: the file is not UTF-8 text; save it as UTF-8"),
    "binary later": (b"a: 1\nb: \xff\xfe", "f:2:4: error: the file is not UTF-8 text"),
    "utf-16": ("a: 1".encode("utf-16"), "f:1:1: error: the file is not UTF-8 text"),
    "null byte": (b"a: \x00", "f:1:4: error: the character U+0000 cannot stand in a rule file"),
    "escape character": (b"a: \x1b[31mred", "f:1:4: error: the character U+001B"),
    "unicode line end": ("a: x\u2028y".encode(), "f:1:5: error: the character U+2028"),
    "right to left": ("a: x\u202ey".encode(), "f:1:5: error: the character U+202E"),
    "encoded surrogate": (b"a: \xed\xa0\x80", "f:1:4: error: the file is not UTF-8 text"),
    "escaped surrogate": (b'a: "\\ud800"', "f:1:4: error: half of a character (a lone surrogate); remove it"),
    "tab": (b"a:\n\tb: 1", "f:2:1: error: a tab character; use spaces"),
    "deep brackets": (b"[" * 5000, "f:1:13: error: nested more than 12 deep"),
    "deep braces": (b"{a: " * 5000, "f:1:49: error: nested more than 12 deep"),
    "deep blocks": (
        b"".join(b" " * n + b"a:\n" for n in range(500)),
        "f:13:13: error: nested more than 12 deep",
    ),
    "many parts": (b"- a\n" * 200_000, "f:149998:3: error: the file has more than 150,000 parts; split it"),
    "billion laughs": (b"a: &a [x]\nb: [*a, *a]", 'f:1:4: error: "&a": anchors and aliases are not read'),
    "alias of nothing": (b"a: *b", 'f:1:4: error: "*b": anchors and aliases are not read'),
    "alias to itself": (b"a: &a [*a]", 'f:1:4: error: "&a": anchors'),
    "python object": (
        b"a: !!python/object/apply:os.system [ls]",
        'f:1:4: error: a text that begins with "!" (a tag); put it in quotes',
    ),
    "binary tag": (
        b"a: !!binary aGk=",
        'f:1:4: error: a text that begins with "!" (a tag); put it in quotes',
    ),
    "two documents": (b"a: 1\n---\nb: 2", "f:2:1: error: a second document ('---') in one file"),
    "directive": (
        b"%YAML 1.1\n---\na: 1",
        "f:1:1: error: a line that begins with '%' (a directive); remove it",
    ),
    "tag directive": (
        b"%TAG ! tag:x,2000:\n---\na: 1",
        "f:1:1: error: a line that begins with '%' (a directive); remove it",
    ),
    "merge key": (b"a: {<<: *b}", 'f:1:9: error: "*b": anchors and aliases are not read'),
    "list as key": (b"[a]: b", "f:1:1: error: a key must be a word, not a list or mapping"),
    "same key": (b"a: 1\nb: 2\na: 3", 'f:3:1: error: "a" stands twice in one place; first on line 1'),
    "open quote": (b'a: 1\nb: "x', "f:2:4: error: the quote that opens here is never closed; close it"),
    "open bracket": (b"a: [x, y", "f:1:4: error: the bracket that opens here is not closed"),
    "bad escape": (
        b'a: "\\q"',
        "f:1:6: error: a backslash in double quotes that means nothing; use single quotes",
    ),
    "at sign": (b"a: @b", "f:1:4: error: a text may not begin with this character; put the text in quotes"),
    "percent": (b"a: %b", "f:1:4: error: a text may not begin with this character; put the text in quotes"),
    "backquote": (
        b"a: `b`",
        "f:1:4: error: a text may not begin with this character; put the text in quotes",
    ),
    "colon in text": (b"a: Note: this", "f:1:8: error: a second ':' where there can be none"),
    "list in list place": (b"a: - b", "f:1:4: error: a list item '-' where there can be none"),
    "block sign": (b"a: |x\n b", "f:1:5: error: "),
    "wrong indentation": (
        b"a: 1\n  b: 2\n",
        "f:2:3: error: this line stands further right than the one above, which has its value already",
    ),
    "less indentation": (
        b"a:\n    b: 1\n  c: 2\n",
        "f:3:3: error: the indentation does not fit the lines above",
    ),
}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "loader"),
    [
        (name, loader)
        for name in HOSTILE
        for loader in dict.fromkeys((nodes.FAST_LOADER or nodes.PURE_LOADER, nodes.PURE_LOADER))
        # Parts are counted once they are read, whoever reads them: by the quick one if there is one.
        if name != "many parts" or loader is not nodes.PURE_LOADER or nodes.FAST_LOADER is None
    ],
)
def test_a_hostile_file_gives_one_clear_line(name: str, loader: object) -> None:
    data, expected = HOSTILE[name]
    _, problems = read(data, loader)
    assert len(problems) == 1, problems
    assert problems[0].startswith(expected)
    assert "Error" not in problems[0] and len(problems[0]) < 250


@BOTH
def test_a_slipped_drawing_is_told_with_its_mend(loader: object) -> None:
    text = "p:\n  drawing: |\n       o--o\n     A      B\n  words: x\n"
    assert read(text, loader)[1] == [
        "f:4:6: error: this line starts further left than the first line of its text (which opens on line 2); "
        "write |3 in place of | on line 2 [yaml-syntax]"
    ]
    tree, problems = read(text.replace("|", "|3"), loader)
    assert problems == []
    assert plain(tree) == {"p": {"drawing": "  o--o\nA      B\n", "words": "x"}}


@BOTH
def test_an_empty_file_is_nothing_and_no_problem_here(loader: object) -> None:
    assert read("", loader) == (None, [])
    assert read("# only a remark\n", loader) == (None, [])


@BOTH
def test_a_question_mark_inside_brackets_belongs_to_its_text(loader: object) -> None:
    tree, problems = read("a: {ask: Is it worn?, b: [What?, '?']}\n", loader)
    assert (plain(tree), problems) == ({"a": {"ask": "Is it worn?", "b": ["What?", "?"]}}, [])


@BOTH
def test_what_people_typed_into_a_record_may_be_any_character_when_escaped(loader: object) -> None:
    text = r'a: "\ue000 \u202e? \x07"'
    tree, problems = read(text, loader)
    assert (plain(tree), problems) == ({"a": "\ue000 \u202e? \x07"}, [])
    sink = Sink()
    read_nodes(text.encode(), "f", sink, loader=loader, any_letters=False)
    assert [problem.code for problem in sink.problems] == ["strange-character"]


def mutations(text: str, source: random.Random, count: int) -> list[str]:
    """The text with a few characters changed, at random: deleted, doubled, replaced, lines moved."""
    signs = list(":-[]{}'\"|>&*!%@`#,? \n\\abc0.~") + ["\n  ", ": ", "- ", "\n- ", "é", "漢"]
    result = []
    for _ in range(count):
        changed = list(text)
        for _ in range(source.randint(1, 3)):
            at = source.randrange(len(changed))
            action = source.randrange(4)
            if action == 0:
                del changed[at : at + source.randint(1, 4)]
            elif action == 1:
                changed.insert(at, source.choice(signs))
            elif action == 2:
                changed[at] = source.choice(signs)
            else:
                start = source.randrange(len(changed))
                changed[at:at] = changed[start : start + source.randint(1, 30)]
        result.append("".join(changed))
    return result


@pytest.mark.slow
@pytest.mark.skipif(nodes.FAST_LOADER is None, reason="PyYAML was built without libyaml")
def test_both_parsers_give_the_same_tree_or_the_same_words_for_mutilated_files() -> None:
    """Law: which parser is installed never changes what a person is told, or what is loaded."""
    source = random.Random(20240611)
    texts = [BASE.read_text(encoding="utf-8")[:1500]]
    texts += [
        p.read_text(encoding="utf-8") for p in sorted((KNOWLEDGE_TESTS / "mistakes").glob("*.yaml"))[::9]
    ]
    for text in texts:
        for changed in mutations(text, source, 25):
            fast = read(changed, nodes.FAST_LOADER)
            pure = read(changed, nodes.PURE_LOADER)
            assert fast == pure, changed


@pytest.mark.slow
@pytest.mark.parametrize(
    "path", sorted((KNOWLEDGE_TESTS / "mistakes").glob("*.yaml")), ids=lambda path: path.stem
)
def test_both_parsers_read_every_seeded_mistake_alike(path: Path) -> None:
    assert read(path.read_bytes(), nodes.FAST_LOADER) == read(path.read_bytes(), nodes.PURE_LOADER)


def test_a_mutilated_file_never_ends_in_anything_but_problems() -> None:
    """Law: whatever bytes stand in a file, reading returns."""
    source = random.Random(7)
    for size in (1, 10, 200):
        for _ in range(150):
            data = bytes(source.randrange(256) for _ in range(size))
            tree, problems = read(data)
            assert tree is not None or problems or not data.strip() or data.lstrip()[:1] in b"#-.\n\r"


def test_events_of_the_parser_are_all_that_is_used() -> None:
    """No object is ever constructed: the loaders that are asked for have no constructor of values."""
    assert nodes.PURE_LOADER is yaml.BaseLoader
    assert nodes.FAST_LOADER in (None, getattr(yaml, "CBaseLoader", None))
