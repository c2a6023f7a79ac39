"""The scenarios of the demo jobs: invented machines, invented people, invented values."""

from __future__ import annotations

from make_demos import Scenario

from faultfinder.job.events import Expect

SCENARIOS = [
    Scenario(
        name="three_faults",
        about="Vented machine: slow since it was pushed back after decorating, then cold; and it squeals.\n"
        "Three faults: the hose is crushed, which overheated the heater until the thermal cut-out opened;\n"
        "and the tension pulley runs dry. An invented scenario.",
        opening=[
            "takes ages, and since last week it blows cold air; it squeals too",
            "none",
            "vented, plug, 240V 2400W class 1",
        ],
        shows={
            "no_heat_felt": ("yes", "cutout_open", "no"),
            "heat_felt_on_high": ("none", "cutout_open", "hot"),
            "takes_too_long": ("yes", "cutout_open", "no"),
            "outlet_airflow": ("weak", "vent_hose_crushed", "strong"),
            "outlet_air_speed": ("2 m/s", "vent_hose_crushed", "7 m/s"),
            "hose_off_trial": ("better", "vent_hose_crushed", "no_change"),
            "air_gain_hose_off": ("90 %", "vent_hose_crushed", "4 %"),
            "hose_crushed_seen": ("yes", "vent_hose_crushed", "no"),
            "pushed_back_seen": ("yes", "machine_pushed_back", "no"),
            "cutout_resistance": ("OL", "cutout_open", "0.2 ohm"),
            "heater_chain_resistance": ("OL", "cutout_open", "24 ohm"),
            "current_on_high": ("0.9 A", "cutout_open", "9.4 A"),
            "current_on_low": ("0.9 A", "cutout_open", "6.2 A"),
            "power_on_high": ("190 W", "cutout_open", "2.3 kW"),
            "load_temperature": ("22 C", "cutout_open", "60 C"),
            "exhaust_temperature": ("22 C", "cutout_open", "62 C"),
            "noise_squeal": ("yes", "tension_pulley_worn", "no"),
            "tension_pulley_spun": ("rough", "tension_pulley_worn", "free"),
            "rhythm_fast": ("yes", "tension_pulley_worn", "no"),
            "noise_with_empty_drum": ("yes", "tension_pulley_worn", "no"),
        },
        expect=Expect(
            likely=(("vent_hose_crushed", 0.9), ("cutout_open", 0.9), ("tension_pulley_worn", 0.9)),
            unlikely=(("element_open", 0.1), ("support_rollers_worn", 0.2)),
            state="fit_for_use",
        ),
    ),
    Scenario(
        name="technician_readings",
        about="An experienced technician types readings only: 4.9 A on high, 0.9 A on low, and the ohms\n"
        "of both sections. The low section of the heater is open; the machine is left isolated until the part\n"
        "is there.\n"
        "An invented scenario.",
        opening=[
            "only half the heat",
            "none",
            "vented, plug, 230V 2600W, two sections, low section watts 1500, high section watts 920",
        ],
        typed=["4.9A on high; 0.9 A on low", "low section OL; high section 57R", "earth path 0.11", "end"],
        close="left_isolated",
        expect=Expect(
            likely=(("low_section_open", 0.95),),
            unlikely=(("element_open", 0.05), ("supply_voltage_low", 0.1)),
            state="left_isolated",
        ),
    ),
    Scenario(
        name="smoke_stops_the_job",
        about="Burning smell and smoke while somebody is at the door: the job stops at the danger list\n"
        "and ends with the machine left out of use. An invented scenario.",
        opening=["burning smell since this morning", "smoke_or_flame"],
        shows={"burning_smell_reported": "yes"},
        expect=Expect(state="left_isolated"),
    ),
    Scenario(
        name="condenser_block",
        about="Condenser machine: slow, and the room gets damp since a new pet moved in.\n"
        "The condenser block is clogged. An invented scenario.",
        opening=[
            "takes much longer and the windows steam up",
            "none",
            "condenser 230V 2300W class 1 plug",
        ],
        shows={
            "takes_too_long": ("yes", "condenser_block_clogged", "no"),
            "room_damp": ("yes", "condenser_block_clogged", "no"),
            "condenser_block_look": ("clogged", "condenser_block_clogged", "clean"),
            "container_water_share": ("48 %", "condenser_block_clogged", "85 %"),
            "water_lost_per_hour": ("0.7 kg", "condenser_block_clogged", "1.6 kg"),
        },
        expect=Expect(
            likely=(("condenser_block_clogged", 0.9),), unlikely=(("overload", 0.2),), state="fit_for_use"
        ),
    ),
    Scenario(
        name="ends_early",
        about="Vented machine with moisture sensing: says it is done while the load is still damp.\n"
        "The moisture strips are coated with softener. An invented scenario.",
        opening=[
            "stops after a few minutes and says done, clothes come out wet",
            "none",
            "vented 230V plug, control electronic, senses moisture yes",
        ],
        shows={
            "ends_early": ("yes", "moisture_strips_coated", "no"),
            "damp_at_end": ("yes", "moisture_strips_coated", "no"),
            "moisture_strips_look": ("coated", "moisture_strips_coated", "clean"),
            "moisture_strip_short_test": ("4.7k", "moisture_strips_coated", "3 ohm"),
            "wet_towel_trial": ("ends_soon", "moisture_strips_coated", "keeps_going"),
        },
        expect=Expect(
            likely=(("moisture_strips_coated", 0.5),),
            state="fit_for_use",
        ),
    ),
]
