"""Nasty inputs: a corpus, seeded ways to spoil a good text, and valid inputs whose right answer is known."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

NUMBERS = (
    "0", "-0", "-1", "1e309", "-1e309", "1e-400", "1e16", "9" * 400, "0." + "0" * 350 + "1", "nan", "NaN",
    ".nan",
    "inf", "-inf", ".inf", "Infinity", "0x1F", "0b1", "0o17", "1_000", "1,000,000", "1.2.3", "1e", "e5",
    "+-3", "--4",
    "٣", "１２", "½", "1²", "∞", "1e+999999999", "5E-324", "1.7976931348623157e308", "OL", "-OL", "OL@",
    "OL@1e999",
    ">", "<", "><1", "33 +- ", "33 +- -1", "1-", "1-2-3", "1 to 2 to 3", "1:2:3", "99h99", "4k7k", "k", "R",
    "4R7R",
)  # fmt: skip
"""Texts that stand where a number is wanted."""

MARKS = (
    "\u202e", "\u202d", "\u2066", "\u2069", "\u200f", "\u200b", "\u2028", "\u2029", "\x85", "\xa0",
    "\ufeff", "\ufffe",
    "\uffff", "\ud800", "\udfff", "\ue000", "\x00", "\x01", "\x1b[2J", "\x1b]0;x\x07", "\x9b31m", "\x7f",
    "\x08\x08",
    "\r", "\r\n", "\t", "\x0b", "\x0c", "a\u0301\u0301\u0301", "e" + "\u0301" * 300, "\U0001f9fa",
    "\U000e0041", "İ",
    "ß", "ſ", "ǆ", "ﷺ", "\u0e33", "\U00010ffff"[:1],
)  # fmt: skip
"""Letters that hide, turn the direction round, drive a terminal or are none."""

CODE = (
    "().__class__", "__import__('os').system('id')", "volts.real", "volts.__class__.__mro__", "lambda: 0",
    "(lambda:0)()",
    "9**9**9**9", "2**16**16", "10**-400", "exp(1000)", "exp(exp(exp(9)))", "sqrt(-1)", "log(0)", "1/0",
    "0**-1", "0/0",
    "(-8)**(1/3)", "(-8)**0.5", "1e308*10", "-" * 200 + "1",
    "(" * 200 + "1" + ")" * 200, "1" + "+1" * 140, "min()",
    "max(1)", "min(1,2,3,4,5,6,7,8,9)", "abs(1,2)", "sqrt()", "sqrt", "min(min(min(min(1,2),3),4),5)",
    "open('x')",
    "eval('1')", "[x for x in ()]", "{}", "{0}", "%s", "{volts}", "volts if 1 else 2", "a = 1", "a := 1",
    "1 if", "not 1",
    "True", "None", "volts**volts", "volts**volts**volts", "1e12**16", "OL", "-OL", "OL+1", "min(OL,1)",
    "nan", "inf",
    "1 2", "volts volts", "2volts", "volts2", "@", "volts!", "~1", "1//2", "1%2", "1<<9", "1j", "'1'",
    '"1"', "`id`",
    "$(id)", "$HOME", "; rm", "../../etc/passwd", "\\x00", "\\u202e",
)  # fmt: skip
"""Attacks on whatever evaluates: attribute access, calls, powers that explode, recursion, shells, paths."""

YAML = (
    "&a [*a]", "*a", "&a x", "!!python/object/apply:os.system [id]", "!!binary aGk=", "!x y", "<<: {a: 1}",
    "? a\n: b",
    "? [a]\n: b", "[[1]]: 2", "{a: 1}: 2", "%YAML 1.1", "%TAG ! x", "---", "...", "--- a\n--- b", "|",
    "|-\n  a", ">9",
    "|#x", "'", '"', '"\\ud800"', '"\\x1b[2J"', '"\\u202e"', '"\\0"', '"\\q"', "[", "]", "{", "}", "[,]",
    "{,}", "[a,]",
    "- - - - a", "a: b: c", "a:b", "a : b", ": a", ":", "-", "- ", "#", "a #b", "a: #b", "yes", "no", "on",
    "null", "~",
    "2001-01-01", "12:30", "0777", "a: 1\na: 2", "a:\n- 1\n b: 2", "\ta: 1", " a: 1\nb: 2", "a: |\n\tb",
    "a: [1,\n2", "@a",
    "`a", "a: @b", "a: %b",
)  # fmt: skip

SNIPPETS: tuple[str, ...] = (
    *NUMBERS,
    *MARKS,
    *CODE,
    *YAML,
    "",
    " ",
    "\n",
    ";",
    "; ; ;",
    "=",
    "a=b=c",
    "-" * 50,
)


_SIZE = 10_000_000
BIG: tuple[Callable[[], bytes], ...] = (
    lambda: b"a" * _SIZE,
    lambda: b"[" * _SIZE,
    lambda: b"{a: " * (_SIZE // 4),
    lambda: b"- " * (_SIZE // 2),
    lambda: b"\n" * _SIZE,
    lambda: b" " * _SIZE,
    lambda: b"," * _SIZE,
    lambda: b";" * _SIZE,
    lambda: b"1;" * (_SIZE // 2),
    lambda: b'"' * _SIZE,
    lambda: b"\x00" * _SIZE,
    lambda: b"\xff" * _SIZE,
    lambda: b"\xed\xa0\x80" * (_SIZE // 3),
    lambda: b"a,b\n" * (_SIZE // 4),
    lambda: b"time,power\n" + b"1,2\n" * (_SIZE // 4),
    lambda: b"- {note: x}\n" * (_SIZE // 12),
    lambda: "\u202e".encode() * (_SIZE // 3),
    lambda: b"9" * _SIZE,
    lambda: b"(" * 5_000 + b")" * 5_000,
    lambda: b"[" * 100_000,
    # Each name stands for nine of the one before.
    lambda: "\n".join(
        f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9 if n else ['1'])}]" for n in range(12)
    ).encode(),
)
"""Inputs of ten million characters, and those that grow when they are read; made when they are wanted."""


def binary(choose: random.Random) -> bytes:
    """Bytes of no text: noise, or the beginning of a file of another kind."""
    head = choose.choice(
        (b"", b"\x89PNG\r\n\x1a\n", b"\x1f\x8b\x08", b"PK\x03\x04", b"\x7fELF", b"%PDF-1.7", b"\xff\xfe")
    )
    return head + choose.randbytes(choose.randint(0, 300))


def spoiled(text: str, choose: random.Random, spare: Sequence[str] = ()) -> str:
    """A good text with some things wrong. `spare`: pieces of other good texts to put into it."""
    for _ in range(choose.choice((1, 1, 1, 2, 3, 6))):
        text = choose.choice(_WAYS)(text, choose, spare)
        if len(text) > 40_000:
            text = text[:40_000]
    return text


def _span(text: str, choose: random.Random, most: int = 60) -> tuple[int, int]:
    start = choose.randint(0, len(text))
    return start, min(len(text), start + choose.randint(0, most))


def _cut(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    start, end = _span(text, choose)
    return text[:start] + text[end:]


def _put_in(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    start, end = _span(text, choose, choose.choice((0, 0, 10)))
    return text[:start] + choose.choice(SNIPPETS) + text[end:]


def _twice(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    start, end = _span(text, choose, 200)
    return text[:end] + text[start:end] * choose.choice((1, 1, 2, 50)) + text[end:]


def _break_off(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    return text[: choose.randint(0, len(text))]


def _other_number(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    places = [place for place, letter in enumerate(text) if letter.isdigit()]
    if not places:
        return _put_in(text, choose, spare)
    place = choose.choice(places)
    end = place
    while end < len(text) and (text[end].isdigit() or text[end] == "."):
        end += 1
    return text[:place] + choose.choice(NUMBERS) + text[end:]


def _lines_moved(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    lines = text.split("\n")
    one, two = choose.randrange(len(lines)), choose.randrange(len(lines))
    lines[one], lines[two] = lines[two], lines[one]
    return "\n".join(lines)


def _indented(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    lines = text.split("\n")
    place = choose.randrange(len(lines))
    lines[place] = choose.choice((" ", "  ", "\t", "- ", "")) + lines[place].lstrip(
        " " * choose.randint(0, 4)
    )
    return "\n".join(lines)


def _grafted(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    if not spare:
        return _put_in(text, choose, spare)
    other = choose.choice(spare)
    start, end = _span(other, choose, 300)
    at = choose.randint(0, len(text))
    return text[:at] + other[start:end] + text[at:]


def _word_for_word(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    words = text.split(" ")
    one, two = choose.randrange(len(words)), choose.randrange(len(words))
    words[one] = words[two]
    return " ".join(words)


def _other_letter(text: str, choose: random.Random, spare: Sequence[str]) -> str:
    if not text:
        return choose.choice(SNIPPETS)
    place = choose.randrange(len(text))
    return (
        text[:place]
        + chr(choose.choice((choose.randrange(32, 127), choose.randrange(0x11000))))
        + text[place + 1 :]
    )


Spoil = Callable[[str, random.Random, Sequence[str]], str]
_WAYS: tuple[Spoil, ...] = (
    _cut, _put_in, _put_in, _twice, _break_off, _other_number, _other_number, _lines_moved, _indented, _grafted,
    _word_for_word, _other_letter,
)  # fmt: skip


def as_bytes(text: str) -> bytes:
    """The text as a file would hold it; half characters as the bytes that some programs write for them."""
    return text.encode("utf-8", "surrogatepass")


# -- valid expressions with their value ------------------------------------------------------------------


@dataclass(frozen=True)
class Sum:
    """An expression as text, and what it comes to by Python's own arithmetic; nan where it has no value."""

    text: str
    value: float


def expression(choose: random.Random, values: dict[str, float], depth: int = 0) -> Sum:
    """A random expression in the language of rule files; every part in brackets, so that no precedence matters."""
    kind = choose.random()
    if depth > 4 or kind < 0.25:
        number = round(choose.uniform(0, 50), choose.randint(0, 4))
        return Sum(f"{number!r}", number)
    if kind < 0.4:
        name = choose.choice(list(values))
        return Sum(name, values[name])
    if kind < 0.5:
        inner = expression(choose, values, depth + 1)
        return Sum(f"(-{inner.text})", -inner.value)
    left, right = expression(choose, values, depth + 1), expression(choose, values, depth + 1)
    if kind < 0.58:
        name = choose.choice(("min", "max"))
        value = math.nan
        if not (math.isnan(left.value) or math.isnan(right.value)):
            value = (min if name == "min" else max)(left.value, right.value)
        return Sum(f"{name}({left.text}, {right.text})", value)
    if kind < 0.64:
        small = Sum(f"{choose.randint(0, 4)}", 0.0)
        base = Sum(left.text, left.value)
        return Sum(f"({base.text}) ** {small.text}", base.value ** int(small.text))
    sign = choose.choice("+-*/")
    value = math.nan
    if not (math.isnan(left.value) or math.isnan(right.value)):
        if sign == "+":
            value = left.value + right.value
        elif sign == "-":
            value = left.value - right.value
        elif sign == "*":
            value = left.value * right.value
        elif right.value != 0:
            value = left.value / right.value
    return Sum(f"({left.text} {sign} {right.text})", value)
