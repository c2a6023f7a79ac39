"""The tables that stand as YAML beside a module: lists of words, keys of the rule language, patterns."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

import yaml


def beside(package: str | None, name: str) -> Any:
    """What NAME.yaml in a package says, every scalar as text."""
    text = files(package or __package__).joinpath(f"{name}.yaml").read_text(encoding="utf-8")
    return yaml.load(text, Loader=getattr(yaml, "CBaseLoader", yaml.BaseLoader))
