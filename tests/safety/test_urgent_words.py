"""Urgent words are heard first at every prompt; what denies them, and the words of the trade, are not misheard."""

from __future__ import annotations

from collections.abc import Sequence

import pytest
from talking import BEGUN, OPEN, OPENED, Chat, chat, text

from faultfinder.dialogue.prompts.close import AskStopped
from faultfinder.dialogue.prompts.dangers import AskUrgent
from faultfinder.dialogue.say import Ask, Said
from faultfinder.job import events as happened
from faultfinder.safety.urgent import heard
from faultfinder.terminal.console.alarm import left_for_danger
from faultfinder.terminal.startup import ask_pack

GAS, SMOKE, SMELL = "gas_smell", "smoke_or_flame", "burning_smell_now"
SHOCK, WATER = "tingle", "water_on_live_parts"

SAID = (
    ("I smell gas", GAS), ("GAS!!", GAS), ("there's gas in here", GAS), ("i smell gsa", GAS),
    ("gas oven smells", GAS), ("gas dryer is leaking", GAS), ("rotten eggs", GAS),
    ("smoke", SMOKE), ("its on fire", SMOKE), ("smoek", SMOKE), ("somke coming out", SMOKE), ("flames", SMOKE),
    ("its smokin", SMOKE), ("there are sparks", SMOKE), ("sparking at the back", SMOKE), ("it is glowing", SMOKE),
    ("no gas but smoke", SMOKE), ("the machine is not on there is smoke", SMOKE), ("cannot see for smoke", SMOKE),
    ("smoke alarm went off", SMOKE), ("no, smoke", SMOKE), ("fier", SMOKE), ("smouldering fluff", SMOKE),
    ("it smells of burning", SMELL), ("burnt smell", SMELL), ("its burning", SMELL), ("burning plastic", SMELL),
    ("got a shock", SHOCK), ("it shocked me", SHOCK), ("schock", SHOCK), ("it bit me", SHOCK), ("it tingles", SHOCK),
    ("smokee", SMOKE), ("sm0ke", SMOKE), ("fumes from the back", SMOKE), ("bang and flash", SMOKE),
    ("burning", SMELL), ("burning!", SMELL), ("i got a jolt", SHOCK), ("gave me a buzz", SHOCK),
    ("got a kick off it", SHOCK),
    ("water on the plug", WATER), ("the socket is wet", WATER), ("water dripping on the wires", WATER),
)  # fmt: skip
NOT_SAID = (
    "no smoke", "no smoke or fire", "smoke test", "i dont smell gas", "not on fire", "it is not on fire", "no sparks",
    "never any sparks", "without smoke", "no sign of fire", "gas fitter", "energy gas", "shock absorber",
    "the fire service has left", "none", "dk", "7.4A high", "earth path 0.05", "the water leaks on the floor",
    "outlet weak", "spark plug", "fire extinguisher here", "didn't get a shock", "", "200 Mohm", "the casing is blue",
)  # fmt: skip


@pytest.mark.parametrize(("line", "sign"), SAID)
def test_it_is_heard_in_plain_words_and_with_slips(line: str, sign: str) -> None:
    assert sign in heard(line)


@pytest.mark.parametrize("line", NOT_SAID)
def test_what_is_denied_or_a_word_of_the_trade_is_not_misheard(line: str) -> None:
    assert heard(line) == ()


PROMPTS: tuple[tuple[str, ...], ...] = (
    (),
    ("it is cold",),
    BEGUN[:1],
    BEGUN[:2],
    BEGUN,
    (*BEGUN, "correct"),
    (*BEGUN, "end"),
    OPENED,
    (*OPENED, "1 2"),
    (*OPENED, OPEN[0]),
    (*OPENED, *OPEN),
)


@pytest.mark.slow
@pytest.mark.parametrize("before", PROMPTS, ids=len)
@pytest.mark.parametrize("line", ["I smell gas", "its on fire", "smoke everywhere"])
def test_at_every_prompt_it_is_heard_first_and_one_yes_stops_the_job(
    before: tuple[str, ...], line: str
) -> None:
    talking = chat(*before)
    heard_back = talking.say(line)
    assert isinstance(talking.current, AskUrgent) and "STOP" in heard_back
    if "gas" in line:
        assert "Touch no switch" in heard_back
    talking.say("yes")
    assert talking.talk.gate.stop and isinstance(talking.current, AskStopped)
    assert any(isinstance(event, happened.DangerSeen) for event in talking.events)


@pytest.mark.slow
@pytest.mark.parametrize("before", PROMPTS, ids=len)
def test_a_false_alarm_costs_one_answer_and_nothing_else(before: tuple[str, ...]) -> None:
    talking = chat(*before)
    current, events = talking.current, list(talking.events)
    talking.say("note the customer once smelt gas", "no")
    assert not talking.talk.gate.signs and not talking.talk.gate.stop
    assert type(talking.current) is type(current)
    assert [event for event in talking.events[len(events) :] if isinstance(event, happened.Noted)]


def test_what_was_earlier_is_out_of_use_and_the_complaint_goes_on() -> None:
    talking = chat("there was smoke last week and it stays cold", "earlier")
    assert talking.talk.gate.signs == ("burning_smell_earlier",) and not talking.talk.gate.stop
    assert "stays cold" in talking.talk.job.complaint and not talking.talk.dangers_done


def test_an_answer_that_is_offered_is_an_answer() -> None:
    talking = chat("stays cold")
    talking.say("smoke_or_flame")
    assert talking.talk.gate.stop and not isinstance(talking.current, AskUrgent)


def test_more_urgent_words_instead_of_yes_are_no_denial() -> None:
    talking = Chat(chat(*BEGUN).turn)
    talking.say("smoke")
    assert "gas" in talking.say("and I smell gas").casefold()
    talking.say("yes")
    assert set(talking.talk.gate.signs) >= {GAS, SMOKE} and text(talking.turn.said)


class Typing:
    """A face that types these lines and remembers what it was shown."""

    def __init__(self, *lines: str) -> None:
        self.lines, self.shown = list(lines), ""

    def show(self, said: Sequence[Said]) -> None:
        self.shown += text(said)

    def ask(self, ask: Ask) -> str:
        if not self.lines:
            raise EOFError
        return self.lines.pop(0)


@pytest.mark.slow
@pytest.mark.parametrize("line", ["I smell gas", "its on fire", "smoke!!", "got a shock"])
def test_urgent_words_are_heard_where_the_machine_is_chosen(line: str) -> None:
    meant = Typing(line, "yes")
    assert ask_pack(meant) is None
    assert "STOP" in meant.shown or "Cut its supply" in meant.shown
    alarm = Typing(line, "no", "tumble")
    folder = ask_pack(alarm)
    assert folder is not None and folder.name == "tumble_dryer", "a false alarm costs one answer"
    assert left_for_danger(Typing("tumble", "", "yes"), line), "what is neither yes nor no is asked again"
    assert not left_for_danger(Typing("tumble", "No."), line)
    assert not left_for_danger(Typing(), "2") and left_for_danger(Typing(), line), "silence counts as meant"


def test_a_machine_that_runs_on_gas_is_no_alarm_by_itself() -> None:
    assert heard("its a gas heater", ["electric", "heater"]) == ()
    assert heard("gas", ["heater"]) == heard("gas heater smells", ["heater"]) == (GAS,)
    assert heard("the gas heater is leaking", ["heater"]) == heard("gas heater") == (GAS,)
