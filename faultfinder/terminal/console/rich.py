"""The face for a person at a terminal: completion, history and colour, one prompt at a time, no full screen."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

from prompt_toolkit import PromptSession
from prompt_toolkit.completion import CompleteEvent, Completer, Completion
from prompt_toolkit.document import Document
from prompt_toolkit.formatted_text import FormattedText
from prompt_toolkit.history import InMemoryHistory
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.shortcuts import CompleteStyle, print_formatted_text
from prompt_toolkit.styles import Style

from faultfinder.dialogue.commands import LEADING
from faultfinder.dialogue.say import Ask, Said, Tone
from faultfinder.terminal.console.render import carried, lines

if TYPE_CHECKING:
    from prompt_toolkit.input import Input
    from prompt_toolkit.output import Output

STYLE = Style.from_dict(
    {
        "heading": "bold underline",
        "question": "bold",
        "caution": "bold ansiyellow",
        "stop": "bold reverse ansired",
        "error": "ansired",
        "change": "ansicyan",
        "note": "italic",
        "prompt": "bold",
        "status": "reverse",
    }
)


def fitting(status: str, columns: int) -> str:
    """The status as far as it fits on one line, part by part; the first parts are what matters most."""
    while len(status) > columns and ", " in status:
        status = status.rpartition(", ")[0]
    return status


class Words(Completer):
    """Completes answers, commands and the names of observations by the letters typed, anywhere in a name; after a
    command the name that follows it."""

    def __init__(self) -> None:
        self.words: tuple[str, ...] = ()
        self.names: Mapping[str, tuple[str, ...]] = {}

    def get_completions(self, document: Document, complete_event: CompleteEvent) -> Iterable[Completion]:
        typed = document.text_before_cursor.rsplit(";", 1)[-1].lstrip().casefold()
        lead = max((lead for lead in LEADING if typed.startswith(lead)), key=len, default="")
        typed = typed[len(lead) :].lstrip()
        if not typed:
            return
        parts = typed.split()
        names = self.names.get(LEADING.get(lead, ""), ())
        for word in dict.fromkeys((*(() if lead else self.words), *names)):
            plain = word.casefold()
            own = plain.replace("_", " ").split()
            if plain.startswith(typed) or all(any(p.startswith(part) for p in own) for part in parts):
                yield Completion(word, start_position=-len(typed))


class RichFace:
    """Asks through prompt_toolkit; input and output can be given, as tests do."""

    def __init__(
        self,
        input: Input | None = None,
        output: Output | None = None,
        *,
        colour: bool = True,
        completions: bool = True,
    ) -> None:
        self._words = Words()
        depth = None if colour else ColorDepth.DEPTH_1_BIT
        self._depth = depth
        self._session: PromptSession[str] = PromptSession(
            input=input,
            output=output,
            history=InMemoryHistory(),
            completer=self._words if completions else None,
            complete_while_typing=False,
            complete_style=CompleteStyle.READLINE_LIKE,
            color_depth=depth,
            style=STYLE if colour else None,
            enable_suspend=True,
        )

    @property
    def lines(self) -> int:
        """Lines of the screen."""
        return int(self._session.output.get_size().rows)

    def show(self, said: Sequence[Said]) -> None:
        output = self._session.output
        encoding = output.encoding() or "utf-8"
        columns = output.get_size().columns
        for tone, line in lines(said, columns):
            style = f"class:{tone}" if tone is not Tone.PLAIN else ""
            print_formatted_text(
                FormattedText([(style, carried(line, encoding))]),
                output=output,
                style=STYLE,
                color_depth=self._depth,
            )

    def ask(self, ask: Ask) -> str:
        """The next line. Raises EOFError at Ctrl-D on an empty line, KeyboardInterrupt at Ctrl-C."""
        self._words.words, self._words.names = ask.words, ask.names
        output = self._session.output
        status = carried(fitting(ask.status, output.get_size().columns - 2), output.encoding() or "utf-8")
        return self._session.prompt(
            [("class:prompt", f"{ask.label}> ")],
            bottom_toolbar=[("class:status", f" {status} ")] if status else None,
        )
