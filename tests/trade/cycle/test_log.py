"""A logged cycle: columns found, oddities told, levels and heater times measured."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence

import pytest

from faultfinder.trade.cycle.columns import CycleLogError
from faultfinder.trade.cycle.csv_text import MOST_CHARACTERS, read_cycle_log
from faultfinder.trade.cycle.log import cycle_summary, heater_runs, levels_of

MOTOR, LOW, HIGH = 200.0, 1300.0, 2450.0

# (watts, seconds): standby, drum, heat, cut-out, heat, cut-out, heat, cool-down, standby.
CYCLE = (
    (1, 60),
    (MOTOR, 30),
    (HIGH, 1200),
    (MOTOR, 120),
    (HIGH, 300),
    (MOTOR, 120),
    (HIGH, 300),
    (MOTOR, 600),
    (1, 120),
)


def rows(pieces: Sequence[tuple[float, float]], step: float = 5.0, noise: float = 0.0, seed: int = 1) -> list:
    """(seconds, value) of a machine that goes through the pieces, sampled in the middle of each step."""
    chance = random.Random(seed)
    found = []
    start = 0.0
    for value, seconds in pieces:
        for place in range(round(seconds / step)):
            found.append((start + (place + 0.5) * step, value * (1 + chance.uniform(-noise, noise))))
        start += seconds
    return found


def csv_text(samples: Sequence[tuple[float, float]], header: str = "Time (s),Power (W)") -> str:
    return header + "\n" + "".join(f"{seconds:g},{value:.1f}\n" for seconds, value in samples)


def test_a_cycle_is_measured() -> None:
    log = read_cycle_log(csv_text(rows(CYCLE)))
    assert (log.quantity, log.unit, log.interval, log.notes, log.breaks) == ("power", "W", 5.0, (), ())
    told = cycle_summary(log)
    assert [round(level.value) for level in told.levels] == [1, 200, 2450]
    assert [round(level.seconds) for level in told.levels] == [180, 870, 1800]
    assert math.fsum(level.share for level in told.levels) == pytest.approx(1)
    assert told.heating_starts == 3
    assert told.heater_on == pytest.approx(1800)
    assert told.first_cut_out == pytest.approx(1200)
    assert told.cool_down == pytest.approx(600, abs=5)
    assert told.duty == pytest.approx(1800 / 2040)
    assert told.energy_wh == pytest.approx((1800 * HIGH + 870 * MOTOR + 180) / 3600, rel=1e-3)
    assert [(run.on, round(run.seconds)) for run in told.runs[1:-1]] == [
        (True, 1200),
        (False, 120),
        (True, 300),
        (False, 120),
        (True, 300),
    ]


@pytest.mark.slow
@pytest.mark.parametrize("step", [1.0, 2.0, 10.0, 30.0])
@pytest.mark.parametrize("noise", [0.0, 0.02])
def test_the_figures_hold_for_other_rates_and_with_noise(step: float, noise: float) -> None:
    told = cycle_summary(read_cycle_log(csv_text(rows(CYCLE, step, noise))))
    assert told.heating_starts == 3
    assert told.first_cut_out == pytest.approx(1200, abs=step)
    assert told.heater_on == pytest.approx(1800, abs=3 * step)
    assert max(level.value for level in told.levels) == pytest.approx(HIGH, rel=0.01)


def test_low_and_high_heat_are_both_heat_and_two_levels() -> None:
    log = read_cycle_log(csv_text(rows(((MOTOR, 60), (HIGH, 600), (LOW, 600), (MOTOR, 300), (0, 60)))))
    assert [round(level.value) for level in levels_of(log)] == [0, 200, 1300, 2450]
    assert [run.on for run in heater_runs(log)] == [False, True, False]
    assert cycle_summary(log).heater_on == pytest.approx(1200)


def test_one_section_open_shows_as_the_same_level_on_both_settings() -> None:
    """Common practice, no source: one level on high and on low alike."""
    log = read_cycle_log(
        csv_text(rows(((0.7, 60), (7.4, 600), (0.7, 60), (7.4, 600), (0.7, 120))), "time_s,current_A")
    )
    assert (log.quantity, log.unit) == ("current", "A")
    assert [round(level.value, 1) for level in levels_of(log)] == [0.7, 7.4]
    assert cycle_summary(log).energy_wh is None


def test_a_machine_that_never_heats_has_no_heater_times() -> None:
    told = cycle_summary(read_cycle_log(csv_text(rows(((1, 60), (MOTOR, 3600), (1, 60))))))
    assert (told.runs, told.heating_starts, told.heater_on) == ((), 0, 0)
    assert told.duty is told.first_cut_out is told.cool_down is None
    assert [round(level.value) for level in told.levels] == [1, 200]


def test_a_heater_that_never_goes_off_has_no_first_cut_out() -> None:
    told = cycle_summary(read_cycle_log(csv_text(rows(((MOTOR, 60), (HIGH, 1200))))))
    assert told.heating_starts == 1 and told.runs[-1].cut_short
    assert told.first_cut_out is None and told.cool_down is None and told.duty == pytest.approx(1)


def test_a_cool_down_that_runs_beyond_the_log_is_not_measured() -> None:
    assert cycle_summary(read_cycle_log(csv_text(rows(((HIGH, 600), (MOTOR, 300)))))).cool_down is None
    assert cycle_summary(read_cycle_log(csv_text(rows(((HIGH, 600), (0, 300)))))).cool_down == 0


def test_a_reversing_motor_makes_no_cut_out() -> None:
    turn = ((HIGH, 280), (MOTOR, 10), (HIGH, 290))
    told = cycle_summary(read_cycle_log(csv_text(rows(((MOTOR, 60), *turn, *turn, (MOTOR, 200), (0, 60))))))
    assert told.heating_starts == 1
    assert told.runs[1].mean == pytest.approx(HIGH)


def test_a_heater_on_one_watt_above_its_least_is_one() -> None:
    for watts, starts in ((399, 0), (401, 1)):
        told = cycle_summary(read_cycle_log(csv_text(rows(((0, 60), (watts, 600), (0, 60))))))
        assert told.heating_starts == starts, watts


HEADERS: list[tuple[str, str, Callable[[float, float], str]]] = [
    ("semicolons and decimal commas", "Zeit (s);Leistung (W)", lambda t, v: f"{t:.1f};{v:.1f}".replace(".", ",")),
    ("tabs", "Elapsed [s]\tActive Power [kW]", lambda t, v: f"{t}\t{v / 1000:.4f}"),
    ("minutes", "t/min,P/W", lambda t, v: f"{t / 60:.5f},{v:.1f}"),
    ("hours", "time_h,power_w", lambda t, v: f"{t / 3600:.7f},{v:.1f}"),
    ("clock", "Time,Power (W)", lambda t, v: f"{clock(t)},{v:.1f}"),
    ("quoted", '"Time","Power (W)"', lambda t, v: f'"{clock(t)}","{v:.1f}"'),
    ("date and time", "Date,Time,Volt (V),Power (W),PF", lambda t, v: f"31/01/2024,{clock(t)},231,{v:.1f},0.99"),
    ("iso", "Timestamp;Voltage;Current;Power (W)", lambda t, v: f"2024-01-31T{clock(t)}Z;231;9;{v:.1f}"),
    ("us dates", "DateTime,Max Power (W),Power (W)", lambda t, v: f"01/31/2024 {clock(t)},9999,{v:.1f}"),
    ("afternoon", "Time,Power (W)", lambda t, v: f"{half_day(t)},{v:.1f}"),
    ("over midnight with dates", "Date,Time,Power (W)", lambda t, v: f"{late(t)},{v:.1f}"),
    ("since 1970", "timestamp,power", lambda t, v: f"{1700000000 + t},{v:.1f}"),
    ("milliseconds", "timestamp,power", lambda t, v: f"{int((1700000000 + t) * 1000)},{v:.1f}"),
    ("units in cells", "Time,Power", lambda t, v: f"{clock(t)},{v / 1000:.4f} kW"),
    ("empty cells beside", "Time,Power factor,Power (W),Cost", lambda t, v: f"{clock(t)},,{v:.1f},"),
]  # fmt: skip


def clock(seconds: float) -> str:
    whole = int(seconds)
    return f"{10 + whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}.{round(seconds % 1 * 10)}"


def half_day(seconds: float) -> str:
    """From 11:50:00 AM on, the way a US logger writes it."""
    whole = 11 * 3600 + 50 * 60 + int(seconds)
    hours = whole // 3600
    return f"{(hours - 1) % 12 + 1}:{whole // 60 % 60:02d}:{whole % 60:02d} {'AM' if hours < 12 else 'PM'}"


def late(seconds: float) -> str:
    """From 23:50:00 on the last of January to the next day, two-digit years."""
    whole = 23 * 3600 + 50 * 60 + int(seconds)
    day = "31.01.24" if whole < 86400 else "01.02.24"
    whole %= 86400
    return f"{day},{whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


@pytest.mark.slow
@pytest.mark.parametrize(("header", "row"), [item[1:] for item in HEADERS], ids=[item[0] for item in HEADERS])
def test_columns_are_found_by_their_header(header: str, row: Callable[[float, float], str]) -> None:
    text = header + "\n" + "\n".join(row(*each) for each in rows(CYCLE)) + "\n"
    log = read_cycle_log(text)
    told = cycle_summary(log)
    assert log.interval == pytest.approx(5, abs=1e-3)
    assert told.first_cut_out == pytest.approx(1200, abs=1)
    assert [round(level.value) for level in told.levels] == [1, 200, 2450]
    assert {note.kind for note in log.notes} <= {"unit"}


ROWS_SAY: list[tuple[str, str, Callable[[float, float], str], str]] = [
    ("a unit beside", "No,Elapsed,Value,Unit", lambda t, v: f"1,{clock(t)},{v:.1f},W", "power"),
    ("a meter that ranges", "Time (s);Reading;Unit",
     lambda t, v: f"{t};{v * 1000:.0f};mW" if v < 300 else f"{t};{v / 1000:.4f};kW", "power"),
    ("amps beside", "Time (s);Messwert;Einheit", lambda t, v: f"{t};{v / 230:.4f};A".replace(".", ","), "current"),
    ("units in the cells", "Time,Reading", lambda t, v: f"{clock(t)},{v:.1f} W", "power"),
    ("a history of states", "point,state,changed", lambda t, v: state("power", t, v), "power"),
    ("several things in one log", "point,state,changed",
     lambda t, v: state("voltage", t, 231) + "\n" + state("power", t, v), "power"),
    ("volts and watts in turn", "Time,Value,Unit", lambda t, v: f"{clock(t)},231,V\n{clock(t)},{v:.1f},W", "power"),
    ("a time by another name", "begun,Power (W)", lambda t, v: f"2026-03-02 {clock(t)},{v:.1f}", "power"),
    ("thousands", "Time (s)\tPower (W)", lambda t, v: f'{t}\t"{v:,.1f}"', "power"),
    ("thousands in whole watts", "Time (s)\tWatts", lambda t, v: f"{t}\t{max(v, 10):,.0f}", "power"),
    ("month first over midnight", "Date/Time,Watts", lambda t, v: f"{late_us(t)},{v:.1f}", "power"),
]  # fmt: skip


def state(what: str, seconds: float, value: float) -> str:
    """A row of a log that keeps a row for each change, several measuring points in one file."""
    return f"laundry {what},{value:.1f},2026-03-02T{clock(seconds)}Z"


def late_us(seconds: float) -> str:
    """From 23:50:00 on the second of March, the month first: both readings of it are dates."""
    whole = 23 * 3600 + 50 * 60 + int(seconds)
    day = "03/02/2026" if whole < 86400 else "03/03/2026"
    whole %= 86400
    return f"{day} {whole // 3600:02d}:{whole // 60 % 60:02d}:{whole % 60:02d}"


@pytest.mark.slow
@pytest.mark.parametrize(
    ("header", "row", "quantity"), [item[1:] for item in ROWS_SAY], ids=[item[0] for item in ROWS_SAY]
)
def test_where_the_header_does_not_say_it_the_rows_do(
    header: str, row: Callable[[float, float], str], quantity: str
) -> None:
    log = read_cycle_log(header + "\n" + "\n".join(row(*each) for each in rows(CYCLE)) + "\n")
    told = cycle_summary(log)
    assert log.quantity == quantity and log.interval == pytest.approx(5, abs=1e-3)
    assert told.first_cut_out == pytest.approx(1200, abs=1)
    top = 2450 if quantity == "power" else 2450 / 230
    assert told.levels[-1].value == pytest.approx(top, rel=1e-3)
    assert {note.kind for note in log.notes} <= {"unit", "other"}
    assert log.unread == 0


def test_a_log_with_a_row_a_change_is_held_until_the_next() -> None:
    """A row where the value has moved by 20 W, else every ten minutes: the same figures as with a row every 5 s."""
    kept: list[tuple[float, float]] = []
    for seconds, value in rows(CYCLE, noise=0.01):
        if not kept or abs(value - kept[-1][1]) > 20 or seconds - kept[-1][0] >= 600:
            kept.append((seconds, value))
    log = read_cycle_log(csv_text(kept))
    assert len(kept) < 300 and log.breaks == ()
    assert [note.words for note in log.notes] == [
        "the log has a row only where the value changed; each holds until the next."
    ]
    told = cycle_summary(log)
    assert told.first_cut_out == pytest.approx(1200, abs=30)
    assert told.heating_starts == 3 and told.cool_down == pytest.approx(600, abs=30)
    assert told.energy_wh == pytest.approx((1800 * HIGH + 870 * MOTOR) / 3600, rel=0.03)


def test_a_steady_log_with_gaps_is_no_log_of_changes() -> None:
    samples = [each for place, each in enumerate(rows(CYCLE)) if place % 30 < 24]
    log = read_cycle_log(csv_text(samples))
    assert len(log.breaks) > 10 and {note.kind for note in log.notes} == {"gap"}


def test_what_could_not_be_read_is_counted() -> None:
    lines = csv_text(rows(CYCLE)).splitlines()
    lines[5:105] = ["22.5,---"] * 100
    log = read_cycle_log("\n".join(lines))
    assert (log.rows, log.unread) == (len(lines) - 1, 100)


def test_a_name_that_is_a_unit_says_it() -> None:
    for name, top in (("Watts", 2450), ("kW", 2450e3), ("A", 2450)):
        text = f"time,{name}\n" + "".join(f"{t},{v}\n" for t, v in ((0, 2.45), (5, 2.45), (10, 2.45)))
        log = read_cycle_log(text)
        assert log.notes == () and max(log.values) == pytest.approx(top / 1000), name


def test_clock_without_seconds_spreads_the_rows_of_a_minute() -> None:
    text = "Time,Power (W)\n" + "".join(f"{clock(t)[:5]},{v}\n" for t, v in rows(CYCLE))
    log = read_cycle_log(text)
    assert log.interval == pytest.approx(5)
    assert cycle_summary(log).first_cut_out == pytest.approx(1200, abs=6)


def test_a_header_may_say_minutes_and_seconds() -> None:
    text = "Elapsed (mm:ss),Power (W)\n" + "".join(
        f"{int(t) // 60}:{int(t) % 60:02d},{v}\n" for t, v in rows(CYCLE)
    )
    assert cycle_summary(read_cycle_log(text)).first_cut_out == pytest.approx(1200, abs=6)


def test_hours_and_minutes_without_a_word_of_it_are_hours() -> None:
    log = read_cycle_log("Elapsed,Power (W)\n0:00,200\n0:01,200\n0:02,200\n")
    assert log.seconds == (0, 60, 120)


@pytest.mark.parametrize("clock_text", ["10:60:00", "10:00:60", "10", "ten"])
def test_a_clock_that_cannot_be_is_no_time(clock_text: str) -> None:
    text = "Time (clock),Power (W)\n10:00:00,1\n10:00:05,1\n10:00:10,1\n" + clock_text + ",1\n"
    kinds = [note.kind for note in read_cycle_log(text).notes]
    assert kinds == (["reset"] if clock_text == "10" else ["row"])


def test_a_preamble_above_the_header_is_passed_over() -> None:
    preamble = "Data logger A; Start time: 10:00; Current range: 30 A\nInterval,5 s\n\n"
    assert read_cycle_log(preamble + csv_text(rows(CYCLE))).notes == ()


def test_a_column_can_be_named() -> None:
    text = "time_s,L1 (W),L2 (W)\n" + "".join(f"{t},{v},{2 * v}\n" for t, v in rows(CYCLE))
    with pytest.raises(CycleLogError, match="no header with a time and power or current"):
        read_cycle_log(text)
    assert max(read_cycle_log(text, "l2 (w)").values) == pytest.approx(2 * HIGH)
    with pytest.raises(CycleLogError, match="a time and 'L3'"):
        read_cycle_log(text, "L3")


def test_midnight_is_no_reset() -> None:
    times = [(86400 - 60 + 5 * place) % 86400 for place in range(30)]
    text = "Time,Power (W)\n" + "".join(
        f"{t // 3600:02d}:{t // 60 % 60:02d}:{t % 60:02d},{MOTOR}\n" for t in times
    )
    log = read_cycle_log(text)
    assert log.notes == () and log.seconds[-1] == 145


def test_a_gap_and_a_reset_are_told_with_their_line_and_break_the_runs() -> None:
    samples = rows(((MOTOR, 60), (HIGH, 600)))
    late = [(seconds + 400, value) for seconds, value in samples[60:]]
    log = read_cycle_log(csv_text([*samples[:60], *late]))
    assert [(note.line, note.kind, note.words) for note in log.notes] == [
        (62, "gap", "nothing was logged for 405 s.")
    ]
    assert log.breaks == (60,)
    told = cycle_summary(log)
    assert [run.cut_short for run in told.runs if run.on] == [True, True]
    assert told.first_cut_out is None

    restarted = read_cycle_log(csv_text([*samples[:60], *[(s - 200, v) for s, v in samples[60:]]]))
    assert [(note.line, note.kind, note.words) for note in restarted.notes] == [
        (62, "reset", "the clock goes back by 195 s: the logger was restarted.")
    ]
    assert list(restarted.seconds) == sorted(restarted.seconds)


def test_an_interval_of_just_five_times_the_usual_is_no_gap() -> None:
    def log_with(jump: float) -> tuple[int, ...]:
        samples = [(5.0 * place, MOTOR) for place in range(20)]
        return read_cycle_log(csv_text([*samples, *[(s + 95 + jump, v) for s, v in samples]])).breaks

    assert log_with(25) == () and log_with(25.1) == (20,)


def test_rows_that_cannot_be_read_are_told_and_the_rest_used() -> None:
    lines = csv_text(rows(CYCLE)).splitlines()
    lines[5] = "22.5,---"
    lines[6] = "gone,200"
    lines[7] = "32.5"
    lines[8] = "37.5,1e9"
    lines[9] = "42.5,-250"
    log = read_cycle_log("\n".join(lines))
    assert [(note.line, note.words) for note in log.notes] == [
        (6, "'---' is not a number; the row is left out."),
        (7, "'gone' is not a time; the row is left out."),
        (8, "the row is shorter than the header; left out."),
        (9, "'1e9' is not a number; the row is left out."),
        (10, "'-250' is not a number; the row is left out."),
        (11, "nothing was logged for 30 s."),
    ]


def test_many_bad_rows_are_counted_and_not_all_listed() -> None:
    text = csv_text(rows(CYCLE)) + "".join(f"{3000 + place},x\n" for place in range(1000))
    assert [note.words for note in read_cycle_log(text).notes] == [
        "1000 rows in all have no number in 'Power (W)'.",
        *["'x' is not a number; the row is left out."] * 3,
    ]


def test_the_noise_of_an_idle_clamp_is_nothing() -> None:
    assert read_cycle_log(csv_text([(0, -1), (5, -2), (10, -0.5)])).values == (0, 0, 0)


def test_a_unit_that_is_not_named_is_told() -> None:
    log = read_cycle_log("time,power\n0,1\n5,2\n10,3\n")
    assert [note.words for note in log.notes] == ["column 'power' names no unit; taken as W."]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "no header with a time and power or current, such as 'Time \\(s\\),Power \\(W\\)', was found"),
        ("a,b\n1,2\n", "the first line reads 'a,b'"),
        ("time,volts\n1,2\n", "no header"),
        ("Time (s),Power (W)\n", "only 0 rows of column 'Power \\(W\\)' can be read"),
        ("Time (s),Power (W)\n1,2\n2,3\n", "only 2 rows"),
        ("Time (s),Power (W)\nx,2\ny,3\n", "Line 2: 'x' is not a time"),
        ("Time (s),Power (W)\n1,2\n1,2\n1,2\n", "the time does not advance in the 3 rows"),
        ("\x1b[31mtime\x07,b\n", "no header"),
        ("x" * (MOST_CHARACTERS + 1), "at most 20000000 are read"),
    ],
)
def test_a_log_that_cannot_be_used_is_refused(text: str, message: str) -> None:
    with pytest.raises(CycleLogError, match=message) as refused:
        read_cycle_log(text)
    assert str(refused.value).isprintable()


@pytest.mark.slow
def test_fuzzed_logs_give_a_log_or_a_refusal_and_nothing_else() -> None:
    """Seeded: cells of a good log are torn, doubled, swapped; every log that is taken has rising times."""
    chance = random.Random(11)
    good = csv_text(rows(CYCLE, step=30))
    junk = [
        "",
        ",",
        ";",
        '"',
        "\x00",
        "1e999",
        "nan",
        "inf",
        "-",
        "12:00",
        "99:99:99",
        "2024-13-45 10:00",
        "\u202e",
        "🙂",
        "\r",
    ]
    taken = 0
    for _ in range(400):
        text = list(good)
        for _ in range(chance.randrange(1, 25)):
            place = chance.randrange(len(text))
            text[place] = chance.choice(junk) if chance.random() < 0.7 else text[place] * 3
        try:
            log = read_cycle_log("".join(text))
        except CycleLogError:
            continue
        taken += 1
        told = cycle_summary(log)
        assert list(log.seconds) == sorted(log.seconds) and all(map(math.isfinite, log.seconds))
        assert all(0 <= value <= 30e3 for value in log.values)
        assert 0 <= told.heater_on <= told.logged + 1e-6
    assert taken > 100
