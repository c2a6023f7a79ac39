"""What a typed line is taken for: names and answers, units that fit several quantities, and the open question."""

from __future__ import annotations

from dataclasses import replace

import pytest
from reading_once import shipped

from faultfinder.dialogue.hearing.line_parser import NotUnderstood, Typed, Which, read_line
from faultfinder.knowledge.model import Answer, Band, Kind, Need, Observation, ReadingSpec
from faultfinder.reasoning.evidence.answers import understand


def reading(name: str, quantity: str, unit: str, top: str = "50") -> Observation:
    return Observation(
        id=name,
        kind=Kind.READING,
        ask=f"{name}?",
        answers=(Answer("normal", "As it should be"), Answer("high", "Too much")),
        background=(0.99, 0.01),
        reliability=0.99,
        need=Need.COVERS_ON,
        minutes=1.0,
        reading=ReadingSpec(quantity, unit, (), (Band("0", top), Band(top, "OL"))),
    )


SHARE = reading("heat_share", "ratio", "%")
DAMP = reading("room_humidity", "humidity", "%")
RUN = reading("vent_length", "length", "m")
LOAD = reading("load_minutes", "time", "min")
HEATER = reading("heater_ohms", "resistance", "ohm")
LOW_HEATER = reading("low_heater_ohms", "resistance", "ohm")
AIR = reading("outlet_air", "temperature", "C")
ALL = (SHARE, DAMP, RUN, LOAD, HEATER, LOW_HEATER, AIR)


@pytest.mark.parametrize(
    "line, fitting",
    [
        ("55 %", ("heat_share", "room_humidity")),
        ("5 m", ("vent_length", "load_minutes")),
        ("33 ohm", ("heater_ohms", "low_heater_ohms")),
    ],
)
def test_a_nameless_reading_whose_unit_fits_several_is_asked_about(
    line: str, fitting: tuple[str, ...]
) -> None:
    assert read_line(ALL, line) == [Which(line, line, fitting)]


@pytest.mark.parametrize(
    "line, known, found",
    [
        ("55 %", (DAMP, RUN, HEATER), "room_humidity"),
        ("5 m", (SHARE, RUN, HEATER), "vent_length"),
        ("5 m", (SHARE, LOAD, HEATER), "load_minutes"),
        ("72 C", ALL, "outlet_air"),
        ("0.3 mm", ALL, "vent_length"),
        ("1h50", ALL, "load_minutes"),
    ],
)
def test_a_nameless_reading_goes_to_the_only_one_its_unit_fits(
    line: str, known: tuple[Observation, ...], found: str
) -> None:
    assert read_line(known, line) == [Typed(found, line)]


@pytest.mark.parametrize(
    "line, current",
    [
        ("55 %", SHARE),
        ("55 %", DAMP),
        ("5 m", RUN),
        ("5 m", LOAD),
        ("33", HEATER),
        ("33 ohm", LOW_HEATER),
        ("OL", HEATER),
    ],
)
def test_a_nameless_reading_that_fits_the_open_question_answers_it(line: str, current: Observation) -> None:
    assert read_line(ALL, line, current.id) == [Typed(current.id, line)]


def test_a_reading_of_another_quantity_than_the_open_question_goes_where_it_fits() -> None:
    assert read_line(ALL, "72 C", "heater_ohms") == [Typed("outlet_air", "72 C")]
    assert read_line(ALL, "55 %", "heater_ohms") == [Which("55 %", "55 %", ("heat_share", "room_humidity"))]


@pytest.mark.parametrize("line", ["-33 ohm", "-33"])
def test_a_reading_that_no_machine_gives_is_refused_in_the_words_of_the_open_question(line: str) -> None:
    (found,) = read_line(ALL, line, "heater_ohms")
    assert isinstance(found, NotUnderstood)
    assert "from 0" in found.because and "ohm" in found.because
    assert read_line(ALL, line) == [NotUnderstood(line, "")]


def test_several_readings_on_a_line_are_each_taken_for_themselves() -> None:
    assert read_line(ALL, "heat share 55 %; 5 m; 33", "vent_length") == [
        Typed("heat_share", "55 %"),
        Typed("vent_length", "5 m"),
        Typed("vent_length", "33"),
    ]
    assert read_line(ALL, "55,5 %", "room_humidity") == [Typed("room_humidity", "55,5 %")]


YES_NO = Observation(
    id="takes_too_long",
    kind=Kind.TOLD,
    ask="Does it take longer than it used to?",
    answers=(Answer("no", "No"), Answer("yes", "Yes")),
    background=(0.9, 0.1),
    reliability=0.9,
    need=Need.ANYWHERE,
    minutes=0.5,
)
STAT = reading("cycling_thermostat_ohms", "resistance", "ohm")
CURRENT = reading("current_on_high", "current", "A")


def test_a_name_by_itself_is_yes_where_the_question_is_whether_it_is_so() -> None:
    assert read_line([*ALL, YES_NO], "takes too long") == [Typed("takes_too_long", "yes")]
    assert read_line([*ALL, YES_NO], "takes too long no") == [Typed("takes_too_long", "no")]


def test_a_name_by_itself_asks_for_its_reading_even_where_its_end_is_an_answer() -> None:
    (found,) = read_line([*ALL, CURRENT], "current on high")
    assert found == NotUnderstood(
        "current on high", "What does it read? Type it after the name: current on high 12.5 A."
    )
    assert read_line([*ALL, CURRENT], "current on high high") == [Typed("current_on_high", "high")]


def test_the_end_of_a_long_word_is_enough() -> None:
    assert read_line([*ALL, STAT], "stat OL") == [Typed("cycling_thermostat_ohms", "OL")]


@pytest.mark.parametrize(
    "line, meant",
    [
        ("hgih heater 33", ()),
        ("heatr 33", ("heater_ohms", "low_heater_ohms")),
        ("outlte air 72 C", ("outlet_air",)),
        ("xyzzy 33", ()),
    ],
)
def test_a_misspelt_name_is_offered_and_never_applied(line: str, meant: tuple[str, ...]) -> None:
    (found,) = read_line(ALL, line)
    if meant:
        assert isinstance(found, Which) and found.observations == meant and found.piece == line
    else:
        assert found == NotUnderstood(line)


AIR_SPEED = reading("outlet_air_speed", "speed", "m/s")
BOARD = Observation(
    id="module_seen",
    kind=Kind.LOOK,
    ask="How does the module look?",
    answers=(Answer("sound", "Sound"), Answer("badly_burnt", "Badly burnt, black")),
    background=(0.99, 0.01),
    reliability=0.95,
    need=Need.OPEN_DEAD,
    minutes=1.0,
)


def test_the_letters_of_a_unit_are_no_name() -> None:
    assert read_line([BOARD, AIR_SPEED], "air 2.1 m/s") == [Typed("outlet_air_speed", "2.1 m/s")]


def test_a_figure_is_not_refused_in_the_words_of_what_is_only_looked_at() -> None:
    """'module 6 m' fits the length by its unit and a word of its question, not what is seen at the module."""
    length = replace(RUN, ask="Length of the run up to the module?")
    assert read_line([BOARD, length], "module 6 m") == [Typed("vent_length", "6 m")]


def test_an_answer_may_be_typed_with_blanks() -> None:
    assert read_line([BOARD], "module badly burnt") == [Typed("module_seen", "badly burnt")]
    assert understand(BOARD, "Badly burnt", 0).answer == "badly_burnt"


def test_the_unit_overrules_a_name_that_fits_another_quantity_better() -> None:
    length = replace(RUN, ask="Length of the run, hose and duct?")
    share = replace(SHARE, id="gain_hose_off")
    assert read_line([share, length], "hose 6 m") == [Typed("vent_length", "6 m")]
    assert read_line([share, length], "hose 6 %") == [Typed("gain_hose_off", "6 %")]
    (found,) = read_line([share], "hose 6 m")
    assert isinstance(found, NotUnderstood) and "is a length (m); a ratio in % is wanted" in found.because


def test_a_unit_behind_a_number_belongs_to_it() -> None:
    low = replace(CURRENT, id="current_on_low", ask="Amps on low?")
    share = replace(SHARE, id="low_to_high_current", ask="Amps on low as a share of those on high?")
    for line in ("7.4 A low", "low 7.4 A", "7.4A low", "low 7.4 amps"):
        (found,) = read_line([share, low], line)
        assert isinstance(found, Typed) and found.observation == "current_on_low", line
    assert read_line([share, low], "low high 64 %") == [Typed("low_to_high_current", "64 %")]


def test_a_unit_in_words_belongs_to_the_number_wherever_it_stands() -> None:
    fuse = replace(CURRENT, id="fuse_rating", ask="Rating of the fuse in amps?")
    high = replace(CURRENT, ask="Line current on high?")
    assert read_line([fuse, high], "amps high 7.4") == [Typed("current_on_high", "7.4 amps")]
    assert read_line([fuse, high], "7.4 high Amps") == [Typed("current_on_high", "7.4 amps")]
    # By itself it is any of them, and not the one whose question has the word in it.
    assert read_line([fuse, high], "amps 7.4") == [
        Which("7.4 amps", "7.4 amps", ("fuse_rating", "current_on_high"))
    ]
    # A word of a name stays one.
    assert read_line(ALL, "load minutes 55") == [Typed("load_minutes", "55")]


def test_readings_may_be_parted_by_commas_and_a_decimal_comma_stays_one() -> None:
    found = read_line(ALL, "heat share 55 %, vent length 5 m")
    assert found == [Typed("heat_share", "55 %"), Typed("vent_length", "5 m")]
    assert read_line(ALL, "heat share 55,5 %") == [Typed("heat_share", "55,5 %")]


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("insulation 0.2 Mohm", "0.2 Mohm"),
        ("0.2 Mohm insulation", "0.2 Mohm"),
        ("insulation Amps 5", None),
        ("outlet 60 Degc", None),
    ],
)
def test_a_prefix_keeps_its_case_behind_a_name(line: str, answer: str | None) -> None:
    """A milliohm is no megohm: IEC 80000-1 tells prefixes apart by case."""
    insulation = reading("insulation", "resistance", "Mohm", top="1")
    (piece,) = read_line((*ALL, insulation), line)
    if answer is None:
        assert not isinstance(piece, Typed) or piece.observation != "insulation"
    else:
        assert piece == Typed("insulation", answer)


@pytest.mark.parametrize(
    "word", ["no", "yes", "not", "none", "ok", "is", "now", "at", "on", "to", "in", "it"]
)
def test_a_small_word_before_a_bare_number_names_no_reading(word: str) -> None:
    """Each begins a word of some question; the number would be put down for that."""
    asked = [
        replace(item, ask="Does it take longer on high now? Note is yes, no, none, notes, okay")
        for item in ALL
    ]
    (piece,) = read_line(asked, f"{word} 0.05")
    assert isinstance(piece, NotUnderstood)


@pytest.mark.slow
@pytest.mark.parametrize(
    "line, meant",
    [
        ("6.7A high 3.9A low", [("current_on_high", "6.7A"), ("current_on_low", "3.9A")]),
        ("6,7 A high 3,9 A low", [("current_on_high", "6,7 A"), ("current_on_low", "3,9 A")]),
        ("ntc OL", [("thermistor_resistance", "OL")]),
        ("pump humming", [("pump_heard", "hums")]),
        ("flap ok", [("flap_stuck_seen", "no")]),
        ("wall duct blocked solid", [("wall_duct_seen", "blocked")]),
        ("heater to earth 0.3 meg", [("element_insulation", "0.3 Mohm")]),
    ],
)
def test_people_have_their_own_forms(line: str, meant: list[tuple[str, str]]) -> None:
    known = list(shipped("tumble_dryer").observations.values())
    assert read_line(known, line) == [Typed(name, answer) for name, answer in meant]


@pytest.mark.slow
@pytest.mark.parametrize("line", ["earth pin to case 0.05", "hose ok", "machine ok", "fan ok", "not broken"])
def test_what_may_be_several_things_is_not_taken_for_one(line: str) -> None:
    known = list(shipped("tumble_dryer").observations.values())
    assert not any(isinstance(piece, Typed) for piece in read_line(known, line))
