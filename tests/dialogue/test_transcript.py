"""A record told again as the conversation it was."""

from __future__ import annotations

import pytest
from talking import BEGUN, chat, small_pack

from faultfinder.dialogue.transcript import retell
from faultfinder.job.events import PartUsed, PictureTaken

LINES = (*BEGUN, "inlet look clear", "flex look whole", "dk")
BESIDE = (PartUsed("fuse 13 A", 2), PictureTaken("picture-1.jpg", "00", "the plug"))
TYPED = ["part fuse 13 A x2", "photo picture-1.jpg the plug"]


@pytest.mark.slow
def test_pictures_and_parts_kept_at_whatever_question_do_not_stop_the_telling() -> None:
    """They stopped it once: no question of the conversation leads to them."""
    plain = [exchange.line for exchange in retell(small_pack(), chat(*LINES).events).told]
    for kept_at in range(len(LINES) + 1):
        before = chat(*LINES[:kept_at]).events
        events = (*before, *BESIDE, *chat(*LINES).events[len(before) :])
        told = retell(small_pack(), events)
        assert not told.differs
        lines = [exchange.line for exchange in told.told]
        assert [line for line in lines if line in TYPED] == TYPED
        assert [line for line in lines if line not in TYPED] == plain
