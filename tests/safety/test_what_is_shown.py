"""What a person really sees on the way through a job, held against the published guidance.

A job on each shipped pack is walked from the opening to the machine back in use: isolated, opened, proved dead, a
part replaced inside, tested, closed. Each row names the guidance that asks for the words; `by practice` where it is
common practice without a source. Whether the words stand in a table says nothing: they must be shown, and in time.

GS38: HSE Guidance Note GS38, 4th edition (2015). HSG85: HSE, Electricity at work: safe working practices, 3rd
edition (2013). EAWR: Electricity at Work Regulations 1989. EN 50110-1: the five safety rules. 29 CFR: OSHA. IET: Code
of Practice for in-service inspection and testing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

import pytest
from program_walk import PACKS, Here, all_well, begun, the_machine
from proposer import few
from reading_once import shipped
from talking import text

from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.complaint import AskComplaint, AskSymptoms
from faultfinder.dialogue.prompts.dangers import AskDangers
from faultfinder.dialogue.prompts.machine import AskFact, AskMachine
from faultfinder.dialogue.prompts.remedy import AskRemedy, AskRemedyDone
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.test import AskTest
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.say import Drawing
from faultfinder.dialogue.talk import Over
from faultfinder.job.record.record import header
from faultfinder.knowledge.model import Need
from faultfinder.report.findings import report_of
from faultfinder.report.model import CUSTOMER, WORKSHOP
from faultfinder.report.text import markdown
from faultfinder.safety.actions import ACTIONS

HOW = "\n-- and when asked how --\n"


@cache
def walked(name: str, connection: str = "plug") -> tuple[list[tuple[str, str]], Here]:
    """(what was asked for, all that was shown with it) of each turn of a whole job, and its end. Of a card each
    action stands by itself, with the turn that brought the card."""
    pack = shipped(name)
    here = begun(pack, few)
    shown = [("opening", text(here.turn.said))]
    mended = False
    for _ in range(200):
        talk = here.turn.talk
        match talk.current:
            case Over():
                return shown, here
            case AskComplaint():
                line = ""
            case AskMachine():
                line = f"{the_machine(pack)}; connection {connection}".replace(
                    "connection plug; connection", "connection"
                )
                line = "; ".join(dict.fromkeys(part.strip() for part in line.split(";")))
                if connection != "plug":
                    line = line.replace("connection plug; ", "")
            case AskSymptoms() | AskDangers() | AskRound():
                line = "none"
            case AskFact("connection", _):
                line = connection
            case AskFact(fact, _):
                line = next(iter(pack.facts[fact].choices), "unknown")
            case AskRemedy(cause):
                inside = pack.causes[cause].remedy_need is Need.OPEN_DEAD
                line = here.turn.ask.words[0] if inside and not mended else "later"
                mended = mended or line == "done"
            case AskRemedyDone():
                line, mended = "done", True
            case AskCard(_, actions):
                line = all_well(actions)
            case AskTrial():
                line = "gone"
            case AskTest(target, _):
                item = pack.observations.get(target)
                line = item.healthy if item is not None and item.reading is None else "dk"
                if mended:
                    line = "end"
            case AskClose():
                line = "fit_for_use"
            case _:
                line = here.turn.ask.words[0]
        here = here.typed(line, thorough=True)
        asked, said = here.turn.talk.current, text(here.turn.said)
        if isinstance(asked, AskCard):
            told = text(here.turn.talk.current.told_how(here.turn.talk))
            shown += [(action, f"{said}{HOW}{told}") for action in asked.actions]
        else:
            shown.append((type(asked).__name__, said))
    raise AssertionError(f"no end: {here.turn.talk.current}")


def place(shown: Iterable[tuple[str, str]], words: str) -> int:
    """The turn in which the words are first shown, counted from 0; -1 where they never are."""
    return next((n for n, (_, said) in enumerate(shown) if re.search(words, said)), -1)


TIPS = "GS38 para 9"
DEAD = "EAWR reg. 13 and 14, GS38: tester, L-N, L-E, N-E, tester"
ROWS = (
    # (what must be shown, before which action at the latest, the guidance)
    ("Local rules and the maker's instructions come first", "opening", "by practice; a country's law comes first"),
    ("Gas, refrigerant circuits and fixed wiring are for licensed people", "opening", "law in most countries"),
    ("'not competent' is a good answer", "opening", "EAWR reg. 16: persons to be competent"),
    ("Switch the machine off and wait until everything stands still", "plug_out", "29 CFR 1910.147(d)(2): shutdown"),
    ("Pull the plug out of the socket", "plug_out", "EAWR reg. 13; EN 50110-1 rule 1; 29 CFR 1910.147(d)(3)"),
    ("A door, a timer or a switch on the machine does not count", "plug_out", "29 CFR 1910.333(b)(2)(ii)"),
    ("where you see it all the time and nobody can push it in", "plug_in_sight", "EN 50110-1 rule 2: secured"),
    ("two-pole voltage tester and a known source or proving unit", "tester_here", "GS38 paras 20 and 22"),
    ("A voltage stick or multimeter will not do", "tester_here", "GS38 practice"),
    ("CAT II or better", "tester_here", "GS38 para 9 footnote: CAT II for appliances"),
    ("fused, finger guards", "tester_here", TIPS),
    (r"at most 4 mm of bare tip \(2 mm is better\)", "tester_here", TIPS),
    ("no cracks", "tester_here", "GS38: leads whole; by practice"),
    ("Not alone in the house with the covers off", "covers_off", "EAWR reg. 14 practice: accompanied"),
    ("an earth continuity tester and a 500 V insulation tester", "covers_off", "IET: 500 V d.c."),
    ("A multimeter's ohms range is neither", "covers_off", "IET practice"),
    ("Air the room", "covers_off", "by practice"),
    ("the edges of sheet metal cut", "covers_off", "by practice"),
    ("Panels, drums and machines are heavy", "covers_off", "by practice"),
    ("Check the tester on the known source", "tester_proved", DEAD),
    ("line to neutral", "dead_line_neutral", DEAD),
    ("line to earth", "dead_line_earth", DEAD),
    ("neutral to earth", "dead_neutral_earth", DEAD),
    ("Check the tester on the known source again", "tester_proved_again", DEAD + "; 1910.333(b)(2)(iv)"),
    ("Discharge every capacitor through a resistor", "capacitors_discharged", "29 CFR 1910.333(b)(2)(ii)"),
    ("never with a screwdriver", "capacitors_discharged", "by practice"),
    ("below 50 V", "capacitors_discharged", "29 CFR 1910.333(a)(1): 50 V"),
    ("wait the maker's time", "board_waited", "by practice"),
    ("Hot parts have cooled", "parts_cooled", "by practice"),
    ("Everything that turns is at rest and cannot start or drop", "parts_at_rest", "29 CFR 1910.147(d)(5)"),
    ("Never bridge or leave out a protective device", "inside_clear", "by practice"),
    ("no tool, screw or rag left inside", "covers_on", "by practice"),
    ("measure earth from the earth pin", "covers_on", "IET: earth continuity"),
    ("insulation to earth at the heater and motor terminals, 500 V", "covers_on", "IET: insulation at 500 V d.c."),
    ("measure earth from the plug's earth pin", "supply_on", "IET"),
    ("line and neutral together to earth, 500 V", "supply_on", "IET"),
    ("Look at plug, flex and socket", "supply_on", "IET: the visual check comes first"),
    ("maker's safety notices for this model", "supply_on", "by practice"),
    ("Hands and hair clear", "supply_on", "by practice"),
)  # fmt: skip


OF_A_PACK = (
    ("tumble_dryer", "Never use a vacuum cleaner near fluff that may smoulder", "covers_off", "by practice"),
    ("tumble_dryer", "wear a mask, and brush gently", "covers_off", "by practice"),
    ("electric_oven", "it may be asbestos", "covers_off", "by practice"),
)
"""What belongs to one appliance stands in its pack, and is shown as early."""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "words", "before", "source"),
    [*((name, *row) for name in PACKS for row in ROWS), *OF_A_PACK],
    ids=lambda value: value[:24] if " " in value else None,
)
def test_the_guidance_is_shown_and_in_time(name: str, words: str, before: str, source: str) -> None:
    shown, _ = walked(name)
    at = place(shown, words)
    assert at >= 0, f"never shown: {words} ({source})"
    latest = next(n for n, (label, _) in enumerate(shown) if label == before)
    assert at <= latest, f"shown in turn {at}, and {before} was turn {latest} ({source})"


ON_THE_CARD = (
    # What is read without asking for more, on the card of the action.
    ("Machine off, all stands still", "plug_out"),
    ("a door, timer or switch won't do", "plug_out"),
    ("Plug in sight, none can push it in", "plug_in_sight"),
    ("two-pole tester, known source", "tester_here"),
    ("no stick, no multimeter", "tester_here"),
    ("earth and 500 V insulation testers", "covers_off"),
    ("CAT II or better, fused, finger guards", "covers_off"),
    ("Gloves", "covers_off"),
    ("Not alone in the house", "covers_off"),
    ("Tester on the known source", "dead_line_neutral"),
    ("Line to neutral", "dead_line_neutral"),
    ("Line to earth", "dead_line_earth"),
    ("Neutral to earth", "dead_neutral_earth"),
    ("Tester on the known source again", "tester_proved_again"),
    ("through a resistor, never a screwdriver: below 50 V", "capacitors_discharged"),
    ("maker's time waited, below 50 V", "board_waited"),
    ("Hot parts cooled", "parts_cooled"),
    ("at rest, cannot start or drop", "parts_at_rest"),
    ("Earth pin to heater, motor, casing: at most", "covers_on"),
    ("Heater and motor terminals to earth, 500 V: at least", "covers_on"),
    ("no tool, screw or rag inside", "covers_on"),
    ("earth pin to casing: at most", "supply_on"),
    ("ine and neutral together to earth, switched on, 500 V: at least", "supply_on"),
    ("Plug, flex, socket: dry, whole", "supply_on"),
    ("safety notices looked up", "supply_on"),
    ("Hands and hair clear", "supply_on"),
)


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_what_matters_stands_on_the_card_itself_the_first_time(name: str) -> None:
    shown, _ = walked(name)
    for words, before in ON_THE_CARD:
        latest = next(n for n, (label, _) in enumerate(shown) if label == before)
        assert any(words in said.split(HOW)[0] for _, said in shown[: latest + 1]), words


@pytest.mark.parametrize("name", PACKS)
def test_every_action_is_confirmed_by_itself_and_in_the_published_order(name: str) -> None:
    """EN 50110-1 rules 1 to 3; 29 CFR 1910.147(d): off, isolated, secured, stored energy released, proved."""
    shown, _ = walked(name)
    order = [label for label, _ in shown if label in ACTIONS]
    wanted = (
        "switched_off", "plug_out", "plug_in_sight", "tester_here", "return_testers_here", "covers_off",
        "tester_proved", "dead_line_neutral", "dead_line_earth", "dead_neutral_earth", "tester_proved_again",
        "capacitors_discharged", "board_waited", "parts_cooled", "parts_at_rest", "earth_inside", "insulation_inside",
        "inside_clear", "covers_on", "earth_at_plug", "insulation_at_plug",
    )  # fmt: skip
    opening = order[order.index("switched_off") :]
    assert tuple(opening[: len(wanted)]) == wanted
    assert all(said.count("Confirm") <= 1 for _, said in shown)


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_an_isolator_is_locked_off_and_its_key_kept(name: str) -> None:
    """EAWR reg. 13 practice and 29 CFR 1910.147(d)(4): lock, notice, key with the worker."""
    shown, _ = walked(name, "isolator")
    for words in (
        "lock it off. It is the right one",
        "Keep the key in your pocket",
        "a notice: do not switch on",
    ):
        assert place(shown, words) >= 0
    assert place(shown, "Pull the plug out") == -1


@pytest.mark.slow
@pytest.mark.parametrize("name", PACKS)
def test_the_notice_stands_at_the_start_of_the_job_in_the_record_and_in_both_reports(name: str) -> None:
    shown, end = walked(name)
    report = report_of(shipped(name), end.events, workshop=True)
    written = [
        shown[0][1],
        header().replace("\n# ", " "),
        markdown(report, CUSTOMER),
        markdown(report, WORKSHOP),
    ]
    for said in written:
        plain = " ".join(said.split())
        assert "Local rules and the maker's instructions come first" in plain
        assert "Gas, refrigerant circuits and fixed wiring are for licensed people" in plain


def test_no_remedy_or_test_tells_to_use_a_vacuum_cleaner_without_the_warning() -> None:
    """Every step that speaks of one is of the act that carries the caution; no other text speaks of one."""
    for name in PACKS:
        pack = shipped(name)
        asked = [*pack.observations.values(), *pack.questions.values()]
        steps = [step for item in asked for step in item.how_steps]
        steps += [step for cause in pack.causes.values() for step in (*cause.remedy_steps, *cause.then_run)]
        told = [step for step in steps if re.search(r"(?i)vacuum|hoover", step.text)]
        forbidden = [step for step in told if re.search(r"(?i)no vacuum", step.text)]
        assert all(step.act == "vacuum" for step in told if step not in forbidden)
        assert not told or any("smoulder" in text for text in pack.cautions["vacuum"])
        # Names, advice and reports are read without the gate: they speak of brushes.
        open_texts = [f"{item.ask} {item.why}" for item in asked]
        open_texts += [f"{cause.title} {cause.remedy} {cause.advice}" for cause in pack.causes.values()]
        assert not any(re.search("(?i)vacuum|hoover", text) for text in open_texts)


def test_a_drawing_is_never_all_that_is_said() -> None:
    """Where the probes go is said in words too, for those who cannot see it."""
    for name in PACKS:
        for item in shipped(name).observations.values():
            if item.probes is not None:
                assert item.probes.words.strip() and Drawing(item.probes.drawing, item.probes.words).words
