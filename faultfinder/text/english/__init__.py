"""English, the language that every other falls back on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.text.english import (
    arguments,
    commands,
    conversation,
    figures,
    files,
    practice,
    readings,
    records,
    report,
    safety,
)

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        key: text
        for place in (
            arguments,
            commands,
            conversation,
            figures,
            files,
            practice,
            readings,
            records,
            report,
            safety,
        )
        for key, text in place.SENTENCES.items()
    }
)
"""Key -> sentence; names in braces are filled in. A test sees to it that no key stands in two modules."""
