"""A typed text made plain: ASCII as far as it can be, nothing hidden in it, and safe to show back.

Unicode forms (ohm and micro signs, degree signs, dashes, full-width letters, squared units such as kilo-ohm in one
character) go through a small table and NFKC. Digits other than 0 to 9 and characters that cannot be seen are
refused: they come from a paste, and may be shown in another order than they are read.
"""

from __future__ import annotations

import unicodedata

from faultfinder.errors import BadAnswer
from faultfinder.text.catalogue import say
from faultfinder.text.format import quoted

LONGEST = 80
"""Characters in one reading (chosen): more is a paste that went wrong."""


class ReadingError(BadAnswer):
    """A reading that cannot be understood or that no machine can give.

    `suggestion` is what to type instead, where that is known.
    """

    def __init__(self, message: str, suggestion: str | None = None) -> None:
        super().__init__(message)
        self.suggestion = suggestion


_SAME = str.maketrans(
    {"−": "-", "–": "-", "—": "-", "‒": "-", "‐": "-", "‑": "-", "Ω": "ohm", "μ": "u", "°": "deg", "º": "deg"}
    | {"˚": "deg", "⁄": "/", "∕": "/", "′": "'", "″": '"', "’": "'", "”": '"', "≥": ">", "≤": "<", "…": "..."}
)


def shown(text: str) -> str:
    """The offending text, safe to print: no control characters, never long, cut between words."""
    short = text if len(text) <= 24 else quoted(text, 27)
    return '"' + "".join(char if char.isprintable() else f"<{ord(char):04X}>" for char in short) + '"'


def plain_text(text: str, wanted: str) -> str:
    """The text in ASCII as far as it can be; refuses what cannot be seen or is no plain digit."""
    if len(text) > LONGEST:
        raise ReadingError(say("typed_text_too_long_for_reading", text=shown(text), wanted=wanted))
    text = text.strip(" \t\r\n")
    for place, char in enumerate(text):
        category = unicodedata.category(char)
        if category in ("Cc", "Cf", "Cs", "Co", "Cn") and char != "\t":
            raise ReadingError(
                say(
                    "typed_text_has_character_cannot_seen",
                    text=shown(text),
                    char=f"{ord(char):04X}",
                    wanted=wanted,
                )
            )
        if (
            category in ("Nd", "Nl", "No")
            and not char.isascii()
            and not (char in "²³₂" and place > 0 and text[place - 1].isalpha())
        ):
            plain = unicodedata.normalize("NFKC", text)
            plain = "".join(
                str(unicodedata.digit(each))
                if not each.isascii() and unicodedata.digit(each, None) is not None
                else each
                for each in plain
            )
            raise ReadingError(
                say("typed_text_has_digits_other_than", text=shown(text), wanted=wanted),
                plain.strip() if plain.isascii() else None,
            )
    early = text.translate(_SAME)
    return " ".join(unicodedata.normalize("NFKC", early).translate(_SAME).split())
