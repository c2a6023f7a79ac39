"""What a person is told: short, plain, generic, and what the published guidance asks for is in it."""

from __future__ import annotations

import re

import pytest

from faultfinder.job.audit import tells_to_bridge
from faultfinder.safety import actions, dangers, tables
from faultfinder.safety.actions import ACTIONS, CAUTIONS, RETURN_TESTS, Effect
from faultfinder.text.catalogue import say

TEXTS = {
    **{f"{action.id} text": action.text for action in ACTIONS.values()},
    **{f"{action.id} why": action.why for action in ACTIONS.values()},
    **{f"{action.id} {o.id}": o.text for action in ACTIONS.values() for o in action.outcomes},
    **{f"{action.id} {o.id} says": o.says for action in ACTIONS.values() for o in action.outcomes if o.says},
    **{f"caution {name}": actions.caution_text(name) for name in CAUTIONS},
    **{f"sign {sign.id}": sign.ask for sign in dangers.SIGNS.values()},
    **{f"told {sign.id}": sign.told for sign in dangers.SIGNS.values()},
    "flammable": say("caution_flammable"),
}
LONGER = {
    "notice": say("opening_notice"),
    "stop": say("stop_leave"),
    "gas": say("stop_gas"),
    "refrigerant": say("stop_refrigerant"),
    "voltage": say("stop_voltage"),
    "out of use": say("stop_out_of_use"),
}
APPLIANCES = re.compile(r"\b(dryer|oven|washer|washing|fridge|freezer|kettle|tumble)", re.I)


@pytest.mark.slow
@pytest.mark.parametrize("name", TEXTS)
def test_a_text_is_short_and_fits_a_narrow_screen(name: str) -> None:
    assert 0 < len(TEXTS[name]) <= 200
    assert max(map(len, TEXTS[name].split())) <= 20


@pytest.mark.slow
@pytest.mark.parametrize("name", [*TEXTS, *LONGER])
def test_a_text_names_no_appliance_and_bridges_nothing(name: str) -> None:
    text = {**TEXTS, **LONGER}[name]
    assert not APPLIANCES.search(text)
    assert not tells_to_bridge(text)
    assert text.isprintable() and text.isascii()


@pytest.mark.parametrize("name", LONGER)
def test_a_notice_fits_a_screenful(name: str) -> None:
    assert len(LONGER[name]) <= 320


def test_every_action_of_the_tables_exists_and_every_action_is_used() -> None:
    used = {action for way in tables.WAYS.values() for action in way} | set(RETURN_TESTS)
    assert used == set(ACTIONS)


def test_the_first_outcome_of_an_action_is_the_good_one() -> None:
    for action in ACTIONS.values():
        assert action.outcomes[0].effect in (Effect.HOLD, Effect.PASS)
        assert len({outcome.id for outcome in action.outcomes}) == len(action.outcomes) >= 2


def test_a_finding_says_what_to_do() -> None:
    for action in ACTIONS.values():
        for outcome in action.outcomes:
            if outcome.effect in (
                Effect.OUT_OF_USE,
                Effect.VOLTAGE,
                Effect.FAIL,
                Effect.SKIP,
                Effect.BEGIN_AGAIN,
            ):
                assert outcome.says
            assert (outcome.effect is Effect.OUT_OF_USE) == (
                outcome.sign in dangers.OUT_OF_USE or bool(outcome.sign)
            )


@pytest.mark.parametrize(
    ("where", "words", "source"),
    [
        ("caution instruments", "at most 4 mm of bare tip (2 mm is better)", "GS38 4th ed. para 9: C1-a"),
        ("caution instruments", "fused, finger guards", "GS38 para 9: C1-b, C1-c"),
        ("caution instruments", "CAT II or better", "GS38 para 9 footnote, CAT II for appliances: C1-c"),
        ("tester_here text", "a known source or proving unit", "GS38 paras 20 and 22: C1-e"),
        ("tester_here text", "A voltage stick or multimeter will not do", "GS38 practice: C2-b"),
        ("tester_proved text", "Check the tester on the known source", "EAWR 13/14, GS38 order: C2-a"),
        ("tester_proved_again text", "again", "EAWR 13/14, GS38 order; 29 CFR 1910.333: C2-a, C3-b"),
        (
            "key_kept text",
            "Keep the key",
            "EAWR practice, lock off and keep the key: C2-a; 1910.147(d): C3-a",
        ),
        (
            "plug_out text",
            "A door, a timer or a switch on the machine does not count",
            "1910.333(b)(2)(ii): C3-d",
        ),
        ("capacitors_discharged text", "below 50 V", "29 CFR 1910.333(a)(1): C3-c; discharge: C3-d"),
        (
            "capacitors_discharged text",
            "through a resistor",
            "29 CFR 1910.333(b)(2)(ii), stored energy: C3-d",
        ),
        ("return_testers_here text", "500 V insulation tester", "IET Code of Practice, 500 V d.c.: B1-b"),
        ("caution not_alone", "Not alone in the house with the covers off", "common practice, no source"),
        ("plug_in_sight text", "where you see it all the time", "common practice, no source"),
    ],
)
def test_the_published_guidance_is_in_the_words(where: str, words: str, source: str) -> None:
    """Each wording beside the guidance that it follows (row of the check values)."""
    assert words in TEXTS[where], source


def test_proving_dead_keeps_the_published_order() -> None:
    """EAWR reg. 13/14 with GS38 and EN 50110-1: cut off, secure, prove (tester, L-N, L-E, N-E, tester). C2-a, C4.
    29 CFR 1910.147(d): shut down, isolate, lock, release stored energy, verify. C3-a."""
    assert tables.WAYS["isolate", "isolator"] == ("switched_off", "isolator_locked", "key_kept")
    assert tables.WAYS["prove", ""][:5] == (
        "tester_proved",
        "dead_line_neutral",
        "dead_line_earth",
        "dead_neutral_earth",
        "tester_proved_again",
    )


def test_the_notice_puts_local_rules_and_licensed_people_first() -> None:
    for words in ("Local rules and the maker's instructions come first", "licensed people", "not competent"):
        assert words in say("opening_notice")
