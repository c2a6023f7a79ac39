"""One event, one line: there and back unchanged, and every mistake told with its place."""

from __future__ import annotations

import dataclasses
import random
import typing

import pytest

from faultfinder.job import events as happened
from faultfinder.job.events import BECAUSE, DECLINED, EVENTS, Answered, Event, Expect, Noted
from faultfinder.job.record.event_codec import parse_line, plain_text, to_line

LETTERS = "ab_9 \t\n\r\"'\\{}[],:#&*!|>%@`-?=~"
LETTERS += "\u00e9\u03a9\u2028\u2029\u0085\x00\x07\x1b\x7f\x9b\u202e\u200b\ufeff\U0001f525"


def a_text(choose: random.Random) -> str:
    words = (
        "yes",
        "null",
        "~",
        "",
        "1",
        "-",
        "1e5",
        "0x1f",
        "12:30",
        "a",
        "33R",
        "- a",
        "a: b",
        "a #b",
        " a ",
    )
    if choose.random() < 0.4:
        return choose.choice(words)
    return "".join(choose.choice(LETTERS) for _ in range(choose.randrange(1, 12)))


def a_value(choose: random.Random, field: dataclasses.Field[typing.Any], hint: typing.Any) -> typing.Any:
    if field.name == "at":
        return choose.choice(("", "2031-05-14T09:30:00", "2031-05-14T09:30:00+02:00"))
    if hint is bool:
        return choose.random() < 0.5
    if hint is int:
        return choose.randrange(9)
    if hint is float or hint == (float | None):
        return choose.choice((0.0, -3.5, 12.0, 0.125, 1e6))
    if hint == tuple[str, ...]:
        return tuple(a_text(choose) for _ in range(choose.randrange(1, 4)))
    if hint == happened.Chances:
        return tuple((f"cause_{n}", round(choose.random(), 3)) for n in range(choose.randrange(1, 3)))
    return a_text(choose)


def an_event(choose: random.Random) -> Event:
    kind = choose.choice(sorted(set(EVENTS.values()), key=lambda each: each.__name__))
    hints = typing.get_type_hints(kind)
    values = {}
    for field in dataclasses.fields(kind):
        if field.name == "at" and kind is Expect:
            continue  # nothing that is expected happens at a time
        if field.default is dataclasses.MISSING or choose.random() < 0.5:
            values[field.name] = a_value(choose, field, hints[field.name])
    if "because" in values:
        values["because"] = choose.choice(DECLINED if kind is happened.Declined else BECAUSE)
    event = kind(**values)
    return event if event != Expect() else Expect(state="left_isolated")


@pytest.mark.slow
def test_every_event_comes_back_as_it_was_whatever_its_texts_hold() -> None:
    """3,000 events with hostile texts: printable lines, one line each, the same event again."""
    choose = random.Random(5)
    kinds = set()
    for _ in range(3_000):
        event = an_event(choose)
        line = to_line(event)
        assert line.isprintable() and "\n" not in line
        back = parse_line(line)
        assert back.problems == () and back.event == event and back.checked, line
        assert parse_line(to_line(event, check=False)) == dataclasses.replace(back, checked=False)
        kinds.add(type(event))
    assert kinds == set(EVENTS.values())


@pytest.mark.slow
def test_every_character_that_there_is_comes_back() -> None:
    for first in range(1, 0x110000, 4096):
        text = "".join(map(chr, range(first, min(first + 4096, 0x110000))))
        whole = "".join("\ufffd" if 0xD800 <= ord(each) <= 0xDFFF else each for each in text)
        for part in range(0, len(text), 1024):
            assert parse_line(to_line(Noted(text[part : part + 1024]))).event == Noted(
                whole[part : part + 1024]
            )


def test_half_a_character_is_kept_as_a_sign_of_it() -> None:
    assert parse_line(to_line(Noted("a\ud800b"))).event == Noted("a\ufffdb")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        (
            "- {anser: x, is: yes}",
            '4: error: there is no event "anser"; the first word of a line names the event; '
            'did you mean "answer"? [unknown-event]',
        ),
        (
            "- {answer: x, reeds: 33R}",
            '15: error: "answer" has no key "reeds"; did you mean "reads"? [unknown-key]',
        ),
        ("- {pause: abc}", '11: error: "pause" must be a number, not "abc" [wrong-type]'),
        ("- {pause: .nan}", '11: error: "pause" must be a number, not ".nan" [wrong-type]'),
        ("- {pause: 1_0}", '11: error: "pause" must be a number, not "1_0" [wrong-type]'),
        ("- {pause: 1e999}", '11: error: "pause" must be a number, not "1e999" [wrong-type]'),
        ("- {opened: p, format: 1.5}", '23: error: "format" must be a whole number, not "1.5" [wrong-type]'),
        ("- {answer: x, is: [a]}", '19: error: "is" must be a text [wrong-type]'),
        ("- {answer: x, is: }", '15: error: "is" has no value; write "" for an empty text [missing-value]'),
        ("- {confirm: {a: b}}", '13: error: "confirm" must be a text [wrong-type]'),
        ("- {skip: x}", '3: error: "skip" needs the key "because" [missing-key]'),
        (
            "- {skip: x, because: cannot_hear}",
            '22: error: "because" must be one of dont_know, cannot_here, no_instrument, not_competent, '
            'not "cannot_hear"; did you mean "cannot_here"? [wrong-value]',
        ),
        (
            "- {put_right: x, inside: maybe}",
            '26: error: "inside" must be one of yes, no, not "maybe" [wrong-value]',
        ),
        (
            "- {note: x, at: yesterday}",
            '17: error: "at" must be a time such as 2031-05-14T09:30:00, not "yesterday" [wrong-value]',
        ),
        ("- {likely: {a: 2}}", '16: error: "a" must be a probability from 0 to 1 [wrong-type]'),
        ("- {likely: a}", '12: error: "likely" must be a mapping {cause: probability} [wrong-type]'),
        (
            "- {answer: x, answer: y}",
            '15: error: "answer" stands twice in one place; first on line 7 [duplicate-key]',
        ),
        ("{answer: x}", "1: error: a record line must read '- {event: ..., ...}' [not-an-event]"),
        ("- [answer]", "1: error: a record line must read '- {event: ..., ...}' [not-an-event]"),
        ("- {}", "1: error: an event with nothing in it [not-an-event]"),
        ("", "1: error: an empty line where an event should stand [empty]"),
    ],
)
def test_a_mistake_is_told_with_its_place(line: str, told: str) -> None:
    (problem,) = parse_line(line, "job.yaml", 7).problems
    assert str(problem) == f"job.yaml:7:{told}"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("- {note: &a x}", "anchor"),
        ("- {note: *a}", "anchor"),
        ("- {note: !!python/object:os.system x}", "tag"),
        ("- {note: [[[[[[[[[[[[[[[[x]]]]]]]]]]]]]]]]}", "too-deep"),
        ("- {note: x", "yaml-syntax"),
        ("- {note: \x1b[31mx}", "strange-character"),
        ("- {note: \u202ex}", "strange-character"),
        ("- {note: \ud800}", "not-utf8"),
        ('- {note: "\\ud800"}', "strange-character"),
        ("- {note: x, check: 00000000}", "damaged"),
        ("- {note: x, check: 123}", "unknown-key"),
    ],
)
def test_hostile_lines_are_refused(line: str, code: str) -> None:
    read = parse_line(line)
    assert read.event is None and [problem.code for problem in read.problems] == [code]


@pytest.mark.slow
def test_no_line_whatever_makes_the_reader_fall_over() -> None:
    """10,000 lines made by damaging good ones: an event or problems, never both, never an exception."""
    choose = random.Random(11)
    for _ in range(10_000):
        line = to_line(an_event(choose), check=choose.random() < 0.2)
        for _ in range(choose.randrange(1, 4)):
            place = choose.randrange(len(line) + 1)
            line = line[:place] + choose.choice((*LETTERS, "")) + line[place + choose.randrange(3) :]
        read = parse_line(line)
        assert (read.event is None) == bool(read.problems)


def test_the_check_is_the_crc_of_the_line_without_it() -> None:
    """CRC-32 of the 35 characters `- {answer: takes_too_long, is: yes}`, as zlib gives it."""
    assert (
        to_line(Answered("takes_too_long", "yes")) == "- {answer: takes_too_long, is: yes, check: 1064b063}"
    )


def test_shown_text_cannot_drive_a_terminal_nor_deceive() -> None:
    assert plain_text("a\x1b[2Jb\x07\x9b1m\u202egnp.x\ud800\x00") == "a?[2Jb??1m?gnp.x??"
    assert plain_text("tab\there\nnext\r") == "tab here next "
    assert plain_text("one\ntwo\x1b") == "one two?"
    assert (
        plain_text("33 \u03a9, 72 \u00b0C, K\u00fcche, \U0001f525\u2028")
        == "33 \u03a9, 72 \u00b0C, K\u00fcche, \U0001f525 "
    )


def test_an_expectation_that_expects_nothing_is_no_line() -> None:
    for text in ("- {found: []}", "- {first_step_one_of: []}", "- {state: ''}"):
        (problem,) = parse_line(text).problems
        assert problem.code == "missing-value" and "expects nothing" in problem.message
    assert parse_line("- {minutes_at_most: 0}").event == Expect(minutes_at_most=0.0)
