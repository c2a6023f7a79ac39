"""What a command was asked, as its parser would hand it over with only these words typed."""

from __future__ import annotations

import argparse
from importlib import import_module

from faultfinder.arguments import module_of


def asked(command: str, **given: object) -> argparse.Namespace:
    """The defaults of the command's arguments, with those given in their place."""
    parser = argparse.ArgumentParser(add_help=False)
    import_module(module_of(command)).add_arguments(parser)
    return argparse.Namespace(**{**{action.dest: action.default for action in parser._actions}, **given})
