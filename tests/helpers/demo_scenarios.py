"""The scenarios of the demo jobs: invented machines, invented people, invented values."""

from __future__ import annotations

from make_demos import Scenario

from faultfinder.job.events import Expect

SCENARIOS = [
    Scenario(
        name="three_faults",
        about="Vented machine: slow since it was pushed back after decorating, then cold, and it squeals.\n"
        "Three faults: the hose is crushed, which overheated the heater until the thermal cut-out opened;\n"
        "and the rear drum bearing is worn. An invented scenario.",
        opening=[
            "takes ages, and since last week no heat; it squeals too",
            "more",
            "no_heat_felt:yes takes_too_long:yes noise_squeal:yes",
            "none",
            "vented",
            "electric",
            "single_phase",
            "connection plug; volts 240; total watts 2400 W; protection class_i",
        ],
        shows={
            "outlet_airflow": ("weak", "vent_hose_crushed", "strong"),
        },
        expect=Expect(likely=(("vent_hose_crushed", 0.9), ("cutout_open", 0.9))),
    ),
]
