"""English, the language that every other falls back on."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.text.english import conversation, figures, readings, report

SENTENCES: Mapping[str, str] = MappingProxyType(
    {key: text for each in (conversation, figures, readings, report) for key, text in each.SENTENCES.items()}
)
"""Key -> sentence; names in braces are filled in. A test sees to it that no key stands in two modules."""
