"""The single statements of strength in a pack: all of them named, placed, and each taken out alone."""

from __future__ import annotations

from talking import SMALL, small_pack

from faultfinder.knowledge.analysis.link_strengths import Tie, place, strengths, without


def test_every_strength_written_in_the_pack_is_a_tie() -> None:
    found = strengths(small_pack())
    assert found[Tie("element_open", "element_resistance", "open")] == 0.98
    assert found[Tie("inlet_blocked", "cut_out_open")] == 0.30
    assert not [tie for tie in found if tie.answer == "no"]
    shows = sum(len(cause.shows) for cause in small_pack().causes.values())
    assert len(found) == shows + 1


def test_a_tie_says_what_it_states_and_where() -> None:
    shown = Tie("fan_worn", "noise", "squeal")
    brought = Tie("inlet_blocked", "cut_out_open")
    assert str(shown) == "fan_worn shows noise: squeal"
    assert str(brought) == "inlet_blocked brings on cut_out_open"
    lines = (SMALL / "fan_heater.yaml").read_text(encoding="utf-8").split("\n")
    assert "squeal: usually" in lines[place(small_pack(), shown).line - 1]
    assert "cut_out_open:" in lines[place(small_pack(), brought).line - 1]


def test_a_pack_without_a_tie_differs_in_nothing_else() -> None:
    pack = small_pack()
    before = strengths(pack)
    for tie in before:
        after = strengths(without(pack, tie))
        assert after == {other: strength for other, strength in before.items() if other != tie}
    assert strengths(pack) == before


def test_what_a_link_pushed_goes_to_the_healthy_answer() -> None:
    cut = without(small_pack(), Tie("fan_worn", "noise", "squeal"))
    assert cut.causes["fan_worn"].shows["noise"].pushes == (1.0, 0.0)
