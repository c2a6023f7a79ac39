"""faultfinder: rules in, safe next steps and a proved repair out. The public names are loaded when first used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from faultfinder.errors import FaultFinderError
    from faultfinder.knowledge.load import RuleFileError, load_pack
    from faultfinder.reasoning.case import Case

__all__ = ["Case", "FaultFinderError", "RuleFileError", "load_pack"]

_HOME = {
    "Case": "faultfinder.reasoning.case",
    "FaultFinderError": "faultfinder.errors",
    "RuleFileError": "faultfinder.knowledge.load",
    "load_pack": "faultfinder.knowledge.load",
}


def __getattr__(name: str) -> Any:
    if name in _HOME:
        from importlib import import_module

        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'faultfinder' has no attribute '{name}'")
