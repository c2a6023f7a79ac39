"""Which pack a command means when none is named: the shipped one that understands everything it was given."""

from __future__ import annotations

from collections.abc import Sequence

from faultfinder.dialogue.queries.assess import split_given, take, understood
from faultfinder.errors import FaultFinderError, UnknownName
from faultfinder.knowledge.load import load_pack, shipped_packs
from faultfinder.knowledge.model import Pack
from faultfinder.reasoning.case import Case
from faultfinder.text.catalogue import say


def pack_for(named: str, given: Sequence[str] = ()) -> Pack:
    """The pack asked for, or the only shipped one that knows these facts and readings.

    Raises UnknownName where several do, and what the likeliest pack says of them where none does.
    """
    if named:
        return load_pack(named)
    fitting: list[Pack] = []
    trouble: list[tuple[int, FaultFinderError]] = []
    for folder in shipped_packs().values():
        pack = load_pack(folder)
        try:
            facts, findings = split_given(pack, given)
            take(Case(pack, facts), findings)
            fitting.append(pack)
        except FaultFinderError as problem:
            trouble.append((understood(pack, given), problem))
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        raise several(fitting)
    raise (
        max(trouble, key=lambda pair: pair[0])[1] if trouble else UnknownName(say("packs_no_pack_installed"))
    )


def several(fitting: Sequence[Pack]) -> UnknownName:
    """What is told where more than one pack understands all that was given."""
    names = ", ".join(pack.name for pack in fitting)
    return UnknownName(say("packs_several_packs_understand_name", names=names))
