"""The kinds of problem that reading and building a pack can tell, with their levels; the checks have their own.

What each means, with its examples, stands in authoring/pages.yaml.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.knowledge.problem import ERROR, WARNING

_OF_FILES = """
    no-such-pack no-files unreadable too-big not-utf8 strange-character tab yaml-syntax anchor tag document too-deep
    bad-key duplicate-key
"""
_OF_KEYS_AND_VALUES = """
    unknown-key missing-key missing-value wrong-shape bad-number number-out-of-range bad-word bad-name too-long
    key-not-here remedy-in-use unknown-act open-live
"""
_OF_NAMES_AND_LINKS = """
    no-pack duplicate-id unknown-name logged-of-another-quantity plate-rule wrong-fact few-answers which-answer
    link-to-healthy sum-over-one shares-not-one healthy-danger bad-expression fact-cycle no-class-value unknown-unit
"""
_BESIDE_THE_RULES = "case-line practice"
_DOUBTS = """
    empty-file cut-text typed-quotes passed-over access-unsaid case-doubtful practice-doubtful accept-unneeded
    accept-no-reason
"""
_ERRORS = _OF_FILES + _OF_KEYS_AND_VALUES + _OF_NAMES_AND_LINKS + _BESIDE_THE_RULES
READING_CODES: Mapping[str, str] = MappingProxyType(
    dict.fromkeys(_ERRORS.split(), ERROR) | dict.fromkeys(_DOUBTS.split(), WARNING)
)
