"""What is typed at a safety card: every action by itself, figures where a tester shows them, no word for all."""

from __future__ import annotations

import itertools
import random
import re
from dataclasses import replace

import pytest
from program_walk import one_answer
from talking import BEGUN, OPEN, Chat, chat, small_pack, text

from faultfinder.dialogue.hearing.card_line import DEAD, SOURCE, card_items, form_of, read_card_line
from faultfinder.dialogue.hearing.choosing import NotTaken
from faultfinder.dialogue.prompts.card import GROUPS, AskCard, group_of
from faultfinder.dialogue.prompts.close import AskStopped
from faultfinder.job import events as happened
from faultfinder.knowledge.model import Access, Need
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS

PROVING = ("tester_proved", *DEAD, "tester_proved_again")
FACTS = {"protection": "class_i"}


def read(line: str, actions: tuple[str, ...] = PROVING) -> dict[str, str]:
    """Action -> outcome of what a line ticks."""
    items = card_items(actions, (), small_pack(), FACTS)
    return {tick.action: tick.outcome for tick in read_card_line(items, line, small_pack(), FACTS)}


ALL_DEAD = dict(zip(PROVING, ("done", "dead", "dead", "dead", "done"), strict=True))


@pytest.mark.parametrize(
    "line",
    [
        "230 0 0 0 230",
        "230, 0, 0, 0, 230",
        "230V 0V 0V 0V 230V",
        "230 V; 0 V; 0 V; 0 V; 229 V",
        "1: 230, 2: 0, 3: 0, 4: 0, 5: 230",
        "source 230 L-N 0 L-E 0 N-E 0 again 230",
        "before 230, ln 0, le 0, ne 0, after 230",
        "12V",
    ],
)
def test_the_testers_values_are_read_in_order_or_by_their_names(line: str) -> None:
    if line == "12V":
        with pytest.raises(NotTaken):
            read(line)
    else:
        assert read(line) == ALL_DEAD


def test_three_values_are_the_three_pairs_and_two_the_source() -> None:
    assert read("0 0 0") == dict.fromkeys(DEAD, "dead")
    assert read("231 230") == dict.fromkeys(SOURCE, "done")


@pytest.mark.parametrize(
    "line", ["0", "0 0 0 230", "done", "yes", "ok", "dead", "1 2 3 4 5 6", "", "all", "0 0"]
)
def test_figures_that_do_not_say_whose_they_are_are_asked_back(line: str) -> None:
    try:
        ticks = read(line)
    except NotTaken:
        return
    # Two of them can only be the source, and that it shows nothing is told.
    assert ticks == dict.fromkeys(SOURCE, "tester_fails")


@pytest.mark.slow
def test_any_voltage_stops_the_job_whatever_else_stands_on_the_line() -> None:
    """EAWR reg. 14; whatever the pair, however little, in turn or out of it."""
    for pair, volts in itertools.product(DEAD, ("1", "6", "24", "48", "230", "400 V")):
        talking = chat(*BEGUN, "inlet look clear; flex look whole", OPEN[0])
        number = PROVING.index(pair) + 1
        talking.say(f"{number}: {volts}")
        assert isinstance(talking.current, AskStopped), (pair, volts)
        assert "voltage_when_isolated" in talking.talk.gate.signs
        talking = chat(*BEGUN, "inlet look clear; flex look whole", OPEN[0])
        figures = ["230", "0", "0", "0", "230"]
        figures[number - 1] = volts
        talking.say(" ".join(figures) if " " not in volts else ", ".join(figures))
        assert isinstance(talking.current, AskStopped), (pair, volts)


@pytest.mark.slow
@pytest.mark.parametrize("line", ["0 0 0 0 0", "230 0 0 0 0", "230 0 0 0 3", "24 0 0 0 230", "230 0 0 0 150"])
def test_a_tester_that_does_not_show_its_source_proves_nothing(line: str) -> None:
    talking = chat(*BEGUN, "inlet look clear; flex look whole", OPEN[0])
    heard = talking.say(line)
    assert "Treat the machine as live" in heard
    assert talking.talk.gate.access is Access.OPEN_UNPROVED
    assert talking.current == AskCard(talking.current.need, PROVING)  # type: ignore[attr-defined]


def opened() -> Chat:
    return chat(*BEGUN, "inlet look clear; flex look whole", *OPEN)


def closing() -> Chat:
    """At the card that closes an open machine."""
    talking = opened()
    talking.say("26.4", "end", "fit_for_use")
    assert isinstance(talking.current, AskCard) and talking.current.name == "close"
    return talking


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "outcomes"),
    [
        ("0.08 200M 3 4", ("passed", "passed")),
        ("0.08 200 3 4", ("passed", "passed")),
        ("0.08 ohm, 200 Mohm, 3, 4", ("passed", "passed")),
        ("200M 0.08 3 4", ("passed", "passed")),
        ("earth 0.05 insulation 50 meg 3 4", ("passed", "passed")),
        ("1: 0.09 2: OL 3 4", ("passed", "passed")),
        ("1: 80 milliohm 2: 20 3 4", ("passed", "passed")),
        ("0,08 200M 3 4", ("passed", "passed")),
        ("2.4 200M 3 4", ("failed",)),
        ("0.08 0.3M 3 4", ("passed", "failed")),
        ("1: OL 2: 200M 3 4", ("failed",)),
    ],
)
def test_return_tests_take_what_was_measured(line: str, outcomes: tuple[str, ...]) -> None:
    talking = closing()
    talking.say(line)
    tests = [event for event in talking.events if isinstance(event, happened.ReturnTested)]
    assert tuple(event.outcome for event in tests) == outcomes
    assert all(event.reads and event.limit for event in tests)


@pytest.mark.slow
@pytest.mark.parametrize(
    "line",
    [
        "1 2 3 4",
        "passed passed 3 4",
        "1 passed",
        "within the limit",
        "yes",
        "200m 3 4",
        "OL 3 4",
        "0.08",
    ],
)
def test_a_return_test_is_not_passed_by_a_word_or_a_doubtful_figure(line: str) -> None:
    talking = closing()
    before = len(talking.events)
    talking.say(line)
    assert len(talking.events) == before
    assert talking.talk.gate.access is Access.OPEN_DEAD


@pytest.mark.slow
def test_an_incomplete_card_changes_nothing_in_any_order() -> None:
    choose = random.Random(7)
    for _ in range(40):
        talking = chat(*BEGUN, "inlet look clear; flex look whole")
        card = talking.current
        assert isinstance(card, AskCard)
        numbers = list(range(1, len(card.actions) + 1))
        choose.shuffle(numbers)
        before, gate = len(talking.events), talking.talk.gate
        for number in numbers[:-1]:
            talking.say(str(number))
            assert talking.talk.gate == gate and len(talking.events) == before
        talking.say("why", "?", "likely")
        talking.say(str(numbers[-1]))
        confirmed = [e.action for e in talking.events if isinstance(e, happened.Confirmed)]
        assert confirmed[-len(card.actions) :] == list(card.actions)


def test_every_bad_answer_to_every_action_is_understood_by_its_number() -> None:
    """And none of them leaves the machine in a state that it would be in had all gone well."""
    for _, actions in GROUPS:
        for number, action in enumerate(actions, 1):
            for outcome in ACTIONS[action].outcomes[1:]:
                line = one_answer(number, action, outcome.id)
                ticked = read(line, actions)
                assert ticked.get(action) in (outcome.id, None) and ticked, (line, ticked)
                if action not in ticked:
                    raise AssertionError(line)


def test_each_action_stands_on_one_card() -> None:
    on_cards = [action for _, actions in GROUPS for action in actions]
    assert sorted(on_cards) == sorted(ACTIONS)
    assert all(group_of(action) for action in ACTIONS)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("line", "sign"),
    [("wet", "wet_found"), ("2 scorched", "scorching"), ("1: damaged", "supply_parts_damaged")],
)
def test_a_finding_on_a_card_counts_at_once(line: str, sign: str) -> None:
    talking = chat(*BEGUN, "end", "fit_for_use")
    current = talking.current
    assert isinstance(current, AskCard) and "plug_flex_whole" in current.actions
    number = current.actions.index("plug_flex_whole") + 1
    heard = talking.say(line.replace("1:", f"{number}:").replace("2 ", f"{number} "))
    assert sign in talking.talk.gate.signs, text(talking.turn.said)
    assert "Do not run" in heard


@pytest.mark.slow
@pytest.mark.parametrize("found", ["scorched", "damaged", "wet"])
def test_what_is_found_again_on_a_card_closes_that_way_and_the_card_does_not_come_by_itself(
    found: str,
) -> None:
    """A socket that stays scorched is answered with the truth each time: the same card came without end."""
    talking = chat(*BEGUN)
    for _ in range(3):
        talking.say("end", "fit_for_use")
        while isinstance(current := talking.current, AskCard) and current.name != "use":
            talking.say(" ".join(str(number) for number in range(1, len(current.actions) + 1)))
        assert isinstance(current, AskCard)
        talking.say(f"{current.actions.index('plug_flex_whole') + 1} {found}")
        current = talking.current
        assert not (isinstance(current, AskCard) and current.name == "use")
    assert talking.talk.job.closed is None
    talking.say("end", "left isolated")
    if isinstance(card := talking.current, AskCard):
        talking.say(" ".join(str(number) for number in range(1, len(card.actions) + 1)))
    assert talking.talk.job.closed is not None and talking.talk.job.closed.state == "left_isolated"


def test_the_way_back_asks_for_figures_and_never_for_a_verdict() -> None:
    for test in RETURN_TESTS:
        (item,) = card_items((test,), (), small_pack(), FACTS)
        assert item.takes == "value"
        for word in ("passed", "within the limit", "ok", "yes", "done"):
            with pytest.raises(NotTaken):
                read_card_line([item], word, small_pack(), FACTS)


@pytest.mark.parametrize("need, told", [(Need.IN_USE, True), (Need.OPEN_DEAD, False)])
def test_who_is_led_inside_on_the_way_to_a_run_is_told_why(need: Need, told: bool) -> None:
    """An inside reading that was brought asks for the return tests; the card named the test that is run."""
    said, _ = AskCard(need, ("covers_off",)).put(chat(*BEGUN).turn.talk)
    assert ("tested inside before it runs" in text(said)) is told


def test_what_was_never_shown_is_shown_in_full_with_its_cautions_whatever_stood_on_the_card_before() -> None:
    """Who only pulled the plug first was shown the covers in short, and never told of gloves, leads and company."""
    talking = chat(*BEGUN, "inlet look clear; flex look whole")
    opening = AskCard(Need.OPEN_DEAD, ("tester_here", "return_testers_here", "covers_off"))
    isolated = replace(talking.talk, cards=frozenset({"switched_off", "plug_out", "plug_in_sight"}))
    said, _ = opening.put(isolated)
    for words in ("CAT II", "Not alone", "Gloves", "(no stick, no multimeter)"):
        assert words in text(said)
    said, _ = opening.put(replace(isolated, cards=isolated.cards | set(opening.actions)))
    assert "Gloves" not in text(said) and "(no stick, no multimeter)" not in text(said)


def test_a_card_names_the_minutes_of_the_test_as_its_own_question_does_and_keeps_the_question_mark() -> None:
    """It was 3 minutes on the card that opens, 15 on the next: what was left of the way was told as the test's."""
    talking = chat(*BEGUN, "inlet look clear; flex look whole")
    heads = []
    for line in OPEN:
        heads.append(re.search(r"Next \(([^)]*)\): (.*?)[.?] ", text(talking.turn.said)))
        talking.say(line)
    assert len({head.groups() for head in heads if head}) == 1 and all(heads)


@pytest.mark.parametrize("group", [actions for _, actions in GROUPS])
def test_what_a_card_shows_to_type_holds_no_reading(group: tuple[str, ...]) -> None:
    """Copied as it stands it ticks at the most what is ticked by its number, and measures nothing."""
    items = card_items(group, (), small_pack(), FACTS)
    form = form_of(items)
    numbers = {str(item.number) for item in items if item.takes != "value"}
    assert set(re.findall("[0-9.]+", re.sub("of all [0-9]+", "", form))) == numbers
    if any(item.takes == "value" for item in items):
        with pytest.raises(NotTaken):
            read_card_line(items, form, small_pack(), FACTS)


@pytest.mark.parametrize(
    "line", ["earth and insulation fine", "IR good", "megger passed", "both ok", "0.05 and insulation clear"]
)
def test_a_return_test_called_good_without_its_figure_passes_nothing(line: str) -> None:
    talking = chat(*BEGUN)
    talking.turn = replace(
        talking.turn,
        talk=replace(talking.talk, current=AskCard(Need.OPEN_DEAD, ("earth_inside", "insulation_inside"))),
    )
    assert "only with what was measured. Type the ohms, the megohms with M." in talking.say(line)
    assert not talking.turn.events
