"""The kinds of problem that reading and building a pack can tell, with their levels; the checks have their own.

What each means, with its examples, stands in authoring/pages.yaml.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from faultfinder.knowledge.problem import ERROR, WARNING

READING_CODES: Mapping[str, str] = MappingProxyType(
    {
        # What is wrong with a file as a file.
        "no-such-pack": ERROR,
        "no-files": ERROR,
        "unreadable": ERROR,
        "too-big": ERROR,
        "not-utf8": ERROR,
        "strange-character": ERROR,
        "tab": ERROR,
        "yaml-syntax": ERROR,
        "anchor": ERROR,
        "tag": ERROR,
        "document": ERROR,
        "too-deep": ERROR,
        "bad-key": ERROR,
        "duplicate-key": ERROR,
        "empty-file": WARNING,
        "cut-text": WARNING,
        "typed-quotes": WARNING,
        "passed-over": WARNING,
        # What is wrong with keys and values.
        "unknown-key": ERROR,
        "missing-key": ERROR,
        "missing-value": ERROR,
        "wrong-shape": ERROR,
        "bad-number": ERROR,
        "number-out-of-range": ERROR,
        "bad-word": ERROR,
        "bad-name": ERROR,
        "too-long": ERROR,
        "key-not-here": ERROR,
        "remedy-in-use": ERROR,
        "unknown-act": ERROR,
        "open-live": ERROR,
        # What is wrong with names and how things hang together.
        "no-pack": ERROR,
        "duplicate-id": ERROR,
        "unknown-name": ERROR,
        "logged-of-another-quantity": ERROR,
        "plate-rule": ERROR,
        "wrong-fact": ERROR,
        "few-answers": ERROR,
        "which-answer": ERROR,
        "link-to-healthy": ERROR,
        "sum-over-one": ERROR,
        "shares-not-one": ERROR,
        "healthy-danger": ERROR,
        "access-unsaid": WARNING,
        "bad-expression": ERROR,
        "fact-cycle": ERROR,
        "no-class-value": ERROR,
        "unknown-unit": ERROR,
        # Besides the rules.
        "case-line": ERROR,
        "case-doubtful": WARNING,
        "practice": ERROR,
        "practice-doubtful": WARNING,
        "accept-unneeded": WARNING,
        "accept-no-reason": WARNING,
    }
)
