"""Findings that forbid 'fit for use', in each shipped pack: the job ends 'left isolated', with a notice to print.

Which findings do is data in the rules: a cause whose hazard is fire or shock, and an answer that names a danger sign.
A machine with an earth path, an insulation, a scorched plug and so on must not be used: IET Code of Practice for
in-service inspection and testing (fail); EAWR 1989 reg. 4; the rest common practice, no source.
"""

from __future__ import annotations

import random
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from program_walk import begun, one_answer
from proposer import drawn, unadvised
from reading_once import shipped
from talking import text

from faultfinder.dialogue.agenda.offers import unsafe
from faultfinder.dialogue.converse import lost_to_the_rules, reply, start
from faultfinder.dialogue.prompts.card import AskCard
from faultfinder.dialogue.prompts.close import AskClose
from faultfinder.dialogue.prompts.round import AskRound
from faultfinder.dialogue.prompts.trial import AskTrial
from faultfinder.dialogue.talk import Over, Turn, after
from faultfinder.errors import Refused
from faultfinder.job import events as happened
from faultfinder.job.events import Event
from faultfinder.job.findings import not_to_be_run, open_findings
from faultfinder.job.state import JobState, apply, begin, fold
from faultfinder.knowledge.load import RuleFileError, find_pack, load_pack
from faultfinder.knowledge.model import Access, Need, Pack
from faultfinder.knowledge.schema.strength_words import DANGER_SIGNS, SAFETY_CHOICES
from faultfinder.reasoning.case import Case
from faultfinder.report.findings import report_of
from faultfinder.report.model import CUSTOMER
from faultfinder.report.text import markdown
from faultfinder.safety.actions import ACTIONS, RETURN_TESTS
from faultfinder.safety.dangers import NAMED_BY_RULES
from faultfinder.safety.gate import CONNECTIONS, Gate, confirm, facts_known, may_close, owed_tests

DRYER = {
    "type": "vented",
    "energy": "electric",
    "supply": "single_phase",
    "connection": "plug",
    "protection": "class_i",
}
OVEN = {
    "energy": "electric",
    "connection": "plug",
    "fan": "ring",
    "control": "mechanical",
    "self_cleaning": "no",
}
WASHER = {
    "build": "front",
    "connection": "plug",
    "motor_kind": "brushed",
    "inlets": "cold",
    "water_stop": "no",
    "plug_fuse": "no",
}
MACHINES = {"tumble_dryer": DRYER, "electric_oven": OVEN, "washing_machine": WASHER}

UNFIT = (
    # (what, pack, what is typed)
    ("earth path open", "tumble_dryer", ("earth path OL",)),
    ("earth path too high", "tumble_dryer", ("earth path 2.4 ohm",)),
    ("insulation down", "tumble_dryer", ("insulation resistance 0.2 Mohm",)),
    ("insulation of the heater down", "tumble_dryer", ("element insulation 0.1 Mohm",)),
    ("insulation of the compressor down", "tumble_dryer", ("hp compressor insulation 0.1 Mohm",)),
    ("leakage over the limit", "tumble_dryer", ("leakage current 9 mA",)),
    ("plug scorched", "tumble_dryer", ("plug seen browned",)),
    ("socket scorched", "tumble_dryer", ("socket seen scorched",)),
    ("mains terminal burnt", "tumble_dryer", ("mains terminal seen yes",)),
    ("heater terminals burnt", "tumble_dryer", ("heater terminals look burnt",)),
    ("lint at the heater", "tumble_dryer", ("heater dust seen yes",)),
    ("thermostat welded", "tumble_dryer", ("heat cuts out never", "thermostat opens at OL")),
    ("cut-out found bridged", "tumble_dryer", ("cutout seen bridged",)),
    ("wrong fuse, or metal in its place", "tumble_dryer", ("fuse rating 100 A",)),
    ("flex damaged", "tumble_dryer", ("flex seen damaged",)),
    ("earth path open", "electric_oven", ("earth continuity OL",)),
    ("insulation down", "electric_oven", ("oven insulation 0.01 Mohm",)),
    ("an element down to earth", "electric_oven", ("bottom insulation 0.01 Mohm",)),
    ("leakage over the limit", "electric_oven", ("earth leakage 40 mA",)),
    ("plug burnt", "electric_oven", ("plug seen yes",)),
    ("flex damaged", "electric_oven", ("flex seen yes",)),
    ("terminal block burnt", "electric_oven", ("terminal block seen burnt",)),
    ("element tag burnt", "electric_oven", ("tags seen yes",)),
    ("thermostat welded", "electric_oven", ("heats when off yes", "thermostat at off 0.1 ohm")),
    ("relay welded", "electric_oven", ("heats when off yes", "relay at rest 0.1 ohm")),
    ("cut-out found bridged", "electric_oven", ("cutout seen bridged",)),
    ("wire in the loom burnt", "electric_oven", ("loom seen yes",)),
    ("earth path open", "washing_machine", ("earth continuity OL",)),
    ("insulation down", "washing_machine", ("machine insulation 0.01 Mohm",)),
    ("heater down to earth", "washing_machine", ("heater insulation 0.01 Mohm",)),
    ("motor down to earth", "washing_machine", ("motor insulation 0.01 Mohm",)),
    ("pump down to earth", "washing_machine", ("pump insulation 0.01 Mohm",)),
    ("leakage over the limit", "washing_machine", ("earth leakage 22 mA",)),
    ("plug burnt", "washing_machine", ("plug seen yes",)),
    ("flex damaged", "washing_machine", ("flex seen yes",)),
    ("heater tag burnt", "washing_machine", ("heater tags seen burnt",)),
    ("heater's relay welded", "washing_machine", ("far too hot yes", "heat relay at rest 0.1 ohm")),
    ("drum turns with the door open", "washing_machine", ("opens while turning yes",)),
    ("door lock stuck closed", "washing_machine", ("lock contact at rest 0.2 ohm",)),
    ("motor's triac shorted", "washing_machine", ("motor triac at rest 0.4 ohm",)),
    ("wiring rubbed through", "washing_machine", ("loom seen yes",)),
)  # fmt: skip

each_finding = pytest.mark.parametrize(
    ("what", "name", "typed"), UNFIT, ids=lambda value: value if isinstance(value, str) else ""
)


def ready(name: str, what: tuple[str, ...]) -> tuple[Turn, list[Event]]:
    """A job on a machine in use, all well so far, to which the finding is then brought."""
    pack = shipped(name)
    facts = dict(MACHINES[name])
    if any("compressor" in line for line in what):
        facts["type"] = "heat_pump"
    if any("relay" in line for line in what):
        facts["control"] = "electronic"
    job, events = begin(pack), []
    looked = ("dangers_answered", "plug_flex_whole", "casing_whole", "notices_looked_up", "supply_on")
    first: list[Event] = [
        happened.Complaint("slow"),
        *(happened.FactGiven(fact, value) for fact, value in facts.items() if fact in pack.facts),
        *(happened.Confirmed(action) for action in looked),
    ]
    for event in first:
        job = apply(job, event)
        events.append(event)
    turn = start(job, resumed=True, work_out=unadvised)
    for line in ("end", *what):
        events += turn.events
        turn = reply(turn.talk, line)
        assert turn.events or line == "end", (line, text(turn.said))
    events += turn.events
    return turn, events


@pytest.mark.slow
@each_finding
def test_the_finding_forbids_fit_for_use_and_leaves_a_notice(
    what: str, name: str, typed: tuple[str, ...]
) -> None:
    turn, events = ready(name, typed)
    fit = _ended(turn, "fit_for_use")
    assert fit is None or not isinstance(fit.talk.current, Over), what
    end = _ended(turn, "left_isolated", events)
    assert end is not None and end.talk.job.closed is not None, what
    assert end.talk.job.closed.state == "left_isolated"
    said = text(end.said)
    assert "DO NOT USE THIS MACHINE." in said and "out of use until it is repaired and tested" in said
    report = markdown(report_of(shipped(name), events, job="x"), CUSTOMER)
    assert "DO NOT USE THIS MACHINE." in report and "It must not be used" in report


MEASURED_RUNNING = ("leakage over the limit", "drum turns with the door open")
"""What is seen on a machine that runs; what is found at rest needs no run to be found again."""


@pytest.mark.slow
@each_finding
def test_over_what_was_found_on_it_at_rest_the_machine_is_not_run(
    what: str, name: str, typed: tuple[str, ...]
) -> None:
    """Until what may be behind it is put right; then its proof may need a run."""
    talk = ready(name, typed)[0].talk
    assert (Need.IN_USE in talk.case.unreachable) == (what not in MEASURED_RUNNING)
    assert (
        all(step.access is not Access.IN_USE for step in talk.case.next_steps(5)) or what in MEASURED_RUNNING
    )
    causes = talk.job.pack.causes.values()
    for finding in open_findings(talk.job):
        behind = [cause.id for cause in causes if finding.observation in cause.shows and not cause.hand_to]
        if not behind:
            return  # what is handed on stays as it is
        talk = after(talk, [happened.PutRight(behind[0])])
    assert not not_to_be_run(talk.job, talk.case)


def _ended(turn: Turn, closing: str, into: list[Event] | None = None) -> Turn | None:
    """The job ended like this by somebody who confirms everything but measures nothing; None where it is refused."""
    asked = 0
    for _ in range(60):
        match turn.talk.current:
            case Over():
                return turn
            case AskCard(_, actions):
                line = ", ".join(
                    f"{n}: skipped" if a in RETURN_TESTS else one_answer(n, a, ACTIONS[a].outcomes[0].id)
                    for n, a in enumerate(actions, 1)
                )
            case AskTrial():
                line = "gone"
            case AskRound():
                line = "none"
            case AskClose():
                asked += 1
                line = closing
            case _:
                line = "end"
        if asked > 3:
            return None
        turn = reply(turn.talk, line)
        if into is not None:
            into += turn.events
    return None


@pytest.mark.slow
def test_without_a_finding_the_same_machine_is_fit_for_use() -> None:
    """So that the refusals above are due to the findings."""
    for name in MACHINES:
        turn, _ = ready(name, ())
        end = _ended(turn, "fit_for_use")
        assert end is not None and end.talk.job.closed is not None, name
        assert "DO NOT USE" not in text(end.said)


def test_what_the_rules_may_name_is_what_safety_knows() -> None:
    assert set(DANGER_SIGNS) == set(NAMED_BY_RULES)
    for sign, words in DANGER_SIGNS.items():
        assert ("leave now" in words) == (NAMED_BY_RULES[sign].level == "leave_now")


def test_every_grave_cause_forbids_fit_for_use_while_it_is_likely() -> None:
    """Whatever the adviser makes of a case: a likely cause whose hazard is fire or shock stands against it."""
    for name in MACHINES:
        pack = shipped(name)
        grave = [cause.id for cause in pack.causes.values() if cause.hazard.grave]
        assert len(grave) >= 15
        for seed in range(12):
            here = begun(pack, drawn(seed))
            likely = [n for n, p in here.turn.talk.case.confidence().items() if p > 0.5]
            assert set(unsafe(here.turn.talk)) == {pack.causes[n].title for n in likely if n in grave}


PLANTED = (
    "Bridge it and see whether it heats.",
    "Link out both terminals for the test.",
    "Fit a jumper across the cut-out and run it.",
    "By-pass the thermostat.",
    "Short it out for a moment.",
    "Wedge the door switch in and look.",
    "With the cut-out bridged, measure the current.",
)


@pytest.mark.slow
@pytest.mark.parametrize("name", MACHINES)
@pytest.mark.parametrize("key", ["remedy_how", "how", "advice", "remedy"])
def test_a_rule_that_gets_round_a_protective_device_is_refused_wherever_it_stands(
    name: str, key: str, tmp_path: Path
) -> None:
    """One such sentence planted in a text of each kind about a cut-out, a thermostat or an earth: the pack does not
    load. What only warns of it loads: the shipped packs are full of that."""
    home = tmp_path / name
    shutil.copytree(find_pack(name), home, ignore=shutil.ignore_patterns("cases", "practice"))
    choose = random.Random(f"{name} {key}")
    texts = [
        (file, block.start() + found.start(), found.group())
        for file in sorted(home.glob("*.yaml"))
        for block in re.finditer(r"^  \w+:\n(?:    .*\n|\n)+", file.read_text(), re.MULTILINE)
        if re.search(
            r"^    (title|ask): .*(cut-?out|thermostat|door (switch|lock))", block.group(), re.I | re.M
        )
        for found in re.finditer(rf"^    {key}:(?: .*)?\n(?:      .*\n)*", block.group(), re.MULTILINE)
    ]
    assert texts
    sentences = PLANTED[:: 1 if key == "remedy_how" else 3]
    while sentences:
        # Each in a text of its own, so that one reading of the pack tells of all of them.
        whole = {file: file.read_text() for file in sorted(home.glob("*.yaml"))}
        planted = []
        for sentence, (file, place, old) in zip(sentences, choose.sample(texts, len(texts)), strict=False):
            longer = old.rstrip() + (
                f"\n      - note: {sentence}" if old.startswith(f"    {key}:\n") else f" {sentence}"
            )
            if key == "remedy":
                longer = f"    remedy: {sentence}"  # a name, and short
            planted.append((file, place, old, longer))
        sentences = sentences[len(planted) :]
        for file, place, old, longer in sorted(planted, reverse=True):
            now = file.read_text()
            file.write_text(now[:place] + longer + "\n" + now[place + len(old) :])
        with pytest.raises(RuleFileError) as refused:
            load_pack(home)
        found = [each.mark for each in refused.value.problems if each.code == "bridging"]
        for file, _, _, longer in planted:
            before = file.read_text().partition(longer)[0].count("\n")
            lines = range(before + 1, before + 2 + longer.count("\n"))
            assert any(mark.file == str(file) and mark.line in lines for mark in found), longer
        for file, clean in whole.items():
            file.write_text(clean)


@pytest.mark.slow
def test_the_shipped_packs_only_warn_of_it() -> None:
    for name in MACHINES:
        texts = " ".join(file.read_text() for file in find_pack(name).glob("*.yaml"))
        assert re.search("(?i)never bridge|found bridged|never wire past", texts), name
        load_pack(name)


def test_the_choices_that_the_checker_allows_are_those_that_the_gate_knows() -> None:
    """A pack with others would ask how its machine is connected for ever."""
    assert SAFETY_CHOICES["connection"] == CONNECTIONS


# -- findings that are a hazard in themselves -----------------------------------------------------------------

EVERY = [
    (name, item, answer)
    for name in MACHINES
    for item in [each.id for each in shipped(name).observations.values() if each.unsafe]
    for answer in shipped(name).observations[item].unsafe
]


def told(name: str, *givens: tuple[str, str], facts: dict[str, str] | None = None) -> JobState:
    """A job with these answers, each given as it stands in the rules."""
    job = begin(shipped(name))
    for fact, value in (facts or MACHINES[name]).items():
        if fact in job.pack.facts:
            job = apply(job, happened.FactGiven(fact, value))
    for observation, answer in givens:
        job = apply(job, happened.Answered(observation, answer))
    return job


def as_good(job: JobState) -> JobState:
    """The same job, were its gate to have no objection: in use, nothing owed."""
    return replace(job, gate=replace(Gate(connection="plug"), access=Access.IN_USE))


def _fit(job: JobState) -> bool:
    try:
        apply(as_good(job), happened.Closed("fit_for_use"))
    except Refused:
        return False
    return True


def healthy(name: str, observation: str) -> tuple[str, str]:
    return observation, shipped(name).observations[observation].healthy


def _dealt_with(name: str, observation: str, answer: str) -> list[tuple[str, str]]:
    tests = shipped(name).observations[observation].unsafe[answer]
    return [*(healthy(name, test) for test in tests[:1]), _again(name, observation)]


def _again(name: str, observation: str) -> tuple[str, str]:
    tried = shipped(name).observations[observation].tried_by
    return healthy(name, tried[0] if tried else observation)


@pytest.mark.slow
@pytest.mark.parametrize(("name", "observation", "answer"), EVERY)
def test_every_unsafe_finding_alone_forbids_fit_for_use_until_it_is_looked_at_again_and_gone(
    name: str, observation: str, answer: str
) -> None:
    found = (observation, answer)
    assert _fit(told(name, healthy(name, observation)))
    assert not _fit(told(name, found))
    assert _fit(told(name, found, *_dealt_with(name, observation, answer)))
    if shipped(name).observations[observation].unsafe[answer]:
        assert not _fit(told(name, found, _again(name, observation))), "gone without the test that sees it"
        again = _dealt_with(name, observation, answer)[::-1]
        assert not _fit(told(name, found, *again)), "tried before the test, and not after it"


@pytest.mark.slow
@pytest.mark.parametrize("name", MACHINES)
def test_of_every_pair_of_unsafe_findings_each_stands_by_itself(name: str) -> None:
    pairs = [
        (one, other) for one in EVERY for other in EVERY if one[0] == name == other[0] and one[1] < other[1]
    ]
    assert len(pairs) > 100
    for (_, one, bad), (_, other, worse) in pairs:
        both = told(name, (one, bad), (other, worse))
        assert {finding.observation for finding in open_findings(both)} == {one, other}
        dealt = _dealt_with(name, one, bad)
        half = told(name, (one, bad), (other, worse), *dealt)
        if _again(name, one) == _again(name, other):
            # One run under heat tries them all, where the measurement before it sees both.
            tests = shipped(name).observations[other].unsafe[worse]
            seen = not tests or any(test in tests for test, _ in dealt[:-1])
            assert {finding.observation for finding in open_findings(half)} == (set() if seen else {other})
            continue
        assert {finding.observation for finding in open_findings(half)} == {other}
        assert not _fit(half)


def test_a_finding_taken_back_stands_until_it_is_made_anew_and_a_corrected_one_never_was() -> None:
    job = told("tumble_dryer", ("heat_cuts_out", "never"))
    back = apply(job, happened.Withdrawn("heat_cuts_out"))
    assert not _fit(back)
    assert _fit(apply(back, happened.Answered("heat_cuts_out", "goes_off")))
    assert _fit(apply(job, happened.Corrected("heat_cuts_out", "goes_off")))


def test_a_reading_is_judged_by_its_band_and_told_goodness_is_no_measurement() -> None:
    job = apply(told("tumble_dryer"), happened.Answered("plug_rise", reads="80 C"))
    assert not _fit(job)
    assert _fit(apply(job, happened.Answered("plug_rise", reads="9 C")))
    trip = told("tumble_dryer", ("trip_moment", "on_heat"))
    said = apply(trip, happened.Answered("element_insulation", "normal", how="told"))
    assert not _fit(apply(said, happened.Answered("heat_held", "no")))


def test_what_is_brought_where_nobody_was_led_may_be_a_finding_and_clears_none() -> None:
    """Typed at once behind it, 'it goes off' was tried by nobody: not on a machine whose supply is cut."""
    there, brought = "in_use", happened.ACCESS_NOT_CONFIRMED
    job = told("tumble_dryer")
    found = apply(job, happened.Answered("heat_cuts_out", "never", access=brought))
    assert not _fit(found)
    assert not _fit(apply(found, happened.Answered("heat_cuts_out", "goes_off", access=brought)))
    assert _fit(apply(found, happened.Answered("heat_cuts_out", "goes_off", access=there)))
    hot = apply(job, happened.Answered("heat_off_temperature", reads="95 C", access=there))
    for access, gone in ((happened.ACCESS_LOGGED, False), (brought, False), (there, True)):
        again = happened.Answered("heat_off_temperature", reads="61 C", access=access)
        assert _fit(apply(hot, again)) is gone, "a log may be of last week"
    assert _fit(apply(found, happened.Corrected("heat_cuts_out", "goes_off"))), (
        "a slip of the finger never was"
    )
    trip = apply(job, happened.Answered("trip_moment", "on_heat"))
    measured = apply(trip, happened.Answered("element_insulation", reads="200 Mohm", access=brought))
    assert not _fit(apply(measured, happened.Answered("heat_held", "no", access=there)))


TRIPS = (("trip_moment", "on_heat"), ("trip_device", "rcd"), ("trips_supply", "yes"))


@pytest.mark.parametrize("trip", TRIPS)
def test_after_a_trip_it_is_tried_hot_for_longer_than_it_took(trip: tuple[str, str]) -> None:
    """Saying that it is gone is not trying it; one that trips again stands, and so does one tried before the test
    that sees through a relay."""
    measured = [healthy("tumble_dryer", "element_insulation")] if trip[0] != "trips_supply" else []
    for said in shipped("tumble_dryer").observations[trip[0]].answers:
        assert not _fit(told("tumble_dryer", trip, *measured, (trip[0], said.id))), said.id
    held, trips = healthy("tumble_dryer", "heat_held"), ("heat_held", "yes")
    assert _fit(told("tumble_dryer", trip, *measured, held))
    assert not _fit(told("tumble_dryer", trip, *measured, held, trips))
    assert not _fit(told("tumble_dryer", held, trip, *measured)), "tried before it tripped"
    by_word = apply(told("tumble_dryer", trip, *measured), happened.Answered(*held, how="told"))
    assert not _fit(by_word)
    if measured:
        assert not _fit(told("tumble_dryer", trip, healthy("tumble_dryer", "insulation_resistance"), held))
        assert _fit(told("tumble_dryer", trip, healthy("tumble_dryer", "leakage_current"), held))


@pytest.mark.slow
def test_the_conversation_refuses_and_leads_to_the_finding() -> None:
    turn, _ = ready("tumble_dryer", ("heat cuts out never", "plug rise 80 C"))
    for _ in range(3):
        if isinstance(turn.talk.current, AskClose):
            break
        turn = reply(turn.talk, "end")
    heard = reply(turn.talk, "fit_for_use")
    assert "look at it again" in text(heard.said)
    assert heard.talk.job.closed is None


@pytest.mark.slow
def test_a_leaking_heater_is_not_cleared_at_the_plug() -> None:
    """After a device that trips on heat good insulation at the plug leaves it likely: an open relay hides it (common
    practice, no source)."""
    pack = shipped("tumble_dryer")
    case = Case(pack)
    for fact, value in DRYER.items():
        case.set_fact(fact, value)
    for name, answer in (("trips_supply", "yes"), ("trip_device", "rcd"), ("trip_moment", "on_heat")):
        case.record(name, answer)
    before = case.confidence()["element_to_earth"]
    case.record("insulation_resistance", "200 Mohm")
    relay = case.confidence()["element_to_earth"]
    assert before > 0.5 and relay > 0.3
    case.record("insulation_dial_on_heat", "200 Mohm")
    assert case.confidence()["element_to_earth"] < relay, "a dial on heat reaches most of them"


def test_of_leaking_heaters_the_plug_shows_half_and_with_the_dial_on_heat_nine_of_ten() -> None:
    pack = shipped("tumble_dryer")
    shows = pack.causes["element_to_earth"].shows
    seen = 1.0 - shows["insulation_resistance"].pushes[0]
    assert seen == pytest.approx(0.5)
    missed = (1.0 - seen) * shows["insulation_dial_on_heat"].pushes[0]
    assert 1.0 - missed == pytest.approx(0.9)
    dial = pack.observations["insulation_dial_on_heat"]
    assert dial.applies["control"] == ("timer",) and set(dial.only_if["insulation_resistance"]) == {
        "good",
        "doubtful",
    }


def test_a_machine_with_a_test_owed_or_a_finding_is_isolated_before_it_is_handed_over() -> None:
    in_use = replace(Gate(connection="plug"), access=Access.IN_USE)
    assert may_close(in_use, "handed_over")
    for gate, found in ((replace(in_use, touched=True), ()), (in_use, ("plug hot",))):
        assert not may_close(gate, "handed_over", found)
        assert may_close(replace(gate, access=Access.ISOLATED), "handed_over", found)
    assert may_close(replace(in_use, connection="fixed", touched=True), "handed_over")


def test_a_failed_earth_test_is_not_wiped_by_a_class_said_later() -> None:
    gate = replace(Gate(connection="plug"), access=Access.ISOLATED, touched=True)
    failed = confirm(gate, "earth_at_plug", "failed")
    later = facts_known(failed, {"connection": "plug", "protection": "class_ii"})
    assert "earth_at_plug" in owed_tests(later)
    later = confirm(later, "insulation_at_plug", "passed")
    assert later.signs and owed_tests(later) == ("earth_at_plug",)
    assert not owed_tests(confirm(later, "earth_at_plug", "passed"))


def test_a_corrected_reading_lifts_its_own_lock_and_no_other() -> None:
    job = apply(told("tumble_dryer"), happened.Answered("insulation_resistance", reads="0.2 Mohm"))
    job = apply(job, happened.DangerSeen("earth_or_insulation_bad"))
    assert job.gate.signs
    right = apply(job, happened.Corrected("insulation_resistance", reads="200 Mohm"))
    assert not right.gate.signs and _fit(right)
    other = apply(job, happened.DangerSeen("tingle"))
    assert apply(other, happened.Corrected("insulation_resistance", reads="200 Mohm")).gate.signs == (
        "tingle",
    )


# -- a pack that was changed under way ------------------------------------------------------------------------


def renamed(pack: Pack, **names: str) -> Pack:
    """The pack with observations or causes called otherwise."""
    causes = {names.get(key, key): replace(each, id=names.get(key, key)) for key, each in pack.causes.items()}
    items = {
        names.get(key, key): replace(each, id=names.get(key, key)) for key, each in pack.observations.items()
    }
    return replace(pack, causes=causes, observations=items, fingerprint="another")


def test_a_new_version_of_a_pack_forgets_no_danger_and_no_repair() -> None:
    pack = shipped("tumble_dryer")
    before = [
        happened.Answered("heat_cuts_out", "never"),
        happened.PutRight(
            "element_open", access="open_dead", inside=True, electrical=True, work="Replace it"
        ),
    ]
    job, troubles = fold(renamed(pack, heat_cuts_out="heat_goes_off", element_open="heater_open"), before)
    assert len(troubles) == 2 and len(job.still_lost) == 2
    assert job.gate.opened and "rules_changed" in job.gate.signs
    written, said = lost_to_the_rules(job)
    assert written == [happened.DangerSeen("rules_changed")]
    assert "Replace it" in text(said) and "heat_cuts_out" in text(said)
    live = apply(apply(job, happened.Resumed("taken up again")), written[0])
    again, _ = fold(job.pack, [*before, happened.Resumed("taken up again"), *written])
    assert again == live, "the record alone leads to the same"
    tested = replace(again.gate, signs=(), opened=False, access=Access.IN_USE)
    assert tested.forgotten and not may_close(tested, "fit_for_use"), "no test deals with what was forgotten"
    assert not may_close(tested, "handed_over")
    assert may_close(replace(tested, access=Access.ISOLATED), "handed_over")
    assert not may_close(again.gate, "fit_for_use")
