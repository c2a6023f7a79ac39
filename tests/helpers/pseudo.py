"""A language made from English, to see which words of the program are not from its catalogue: every letter carries an
accent, every sentence stands in brackets, and what is filled in stays as it is."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from string import Formatter
from types import ModuleType

from faultfinder.text.catalogue import speak
from faultfinder.text.english import SENTENCES

NAME = "pseudo"
_ACCENTS = str.maketrans(
    "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ",
    "áƀćďéƒǵĥíĵķĺɱńóƥɋŕśţúṽŵẋýžÁɃĆĎÉƑǴĤÍĴĶĹṀŃÓƤɊŔŚŢÚṼŴẊÝŽ",
)


def accented(sentence: str) -> str:
    """The sentence with its letters changed and its placeholders as they were."""
    out = []
    for text, name, spec, conversion in Formatter().parse(sentence):
        out.append(text.translate(_ACCENTS).replace("{", "{{").replace("}", "}}"))
        if name is not None:
            out.append(
                "{" + name + (f"!{conversion}" if conversion else "") + (f":{spec}" if spec else "") + "}"
            )
    return f"[{''.join(out)}]"


@cache
def _module() -> ModuleType:
    module = ModuleType(f"faultfinder.text.{NAME}")
    vars(module)["SENTENCES"] = {key: accented(text) for key, text in SENTENCES.items()}
    return module


@contextmanager
def spoken() -> Iterator[str]:
    """The language is there, by the name that is given, and said; afterwards English again."""
    sys.modules[f"faultfinder.text.{NAME}"] = _module()
    try:
        speak(NAME)
        yield NAME
    finally:
        del sys.modules[f"faultfinder.text.{NAME}"]
        speak()
