"""Every number in the reasoning that somebody chose: what it means, its unit, where it comes from.

Each has a test that fails when it is moved by half (tests/reasoning/test_constants.py). What a rule file says of a
machine, and what a published method prescribes, stands with it and not here.
"""

from __future__ import annotations

MACHINES = 8192
"""Imagined machines that a step is planned on. Chosen: at a quarter of it choices differ from draw to draw."""
CANDIDATES = 6
"""First moves that are followed briefly, half of them to the end. Chosen: with more the plans on small machines get
no better."""
FOLLOWED = 12
"""Tests, and causes, that are weighed on the way to the end: the most promising, those with most at stake. Chosen for
the time."""
REMEDIES = 2
"""Remedies carried out one after another on the way to the end; what pays beyond them is reckoned at the end. Chosen
for the time: with more the plans get no better."""
THIN = 0.004
"""Share of the machines below which a branch is followed no further: what so few say is chance."""
SPLIT = 0.016
"""Share of the machines below which one answer of a question that sets several is not told apart further. Chosen."""
FEW = 0.0005
"""Share of the machines below which the answers of a test are weighed together: what so few say is chance. Chosen:
plans on practice machines get better by it."""
NODES = 180
"""Situations that are weighed for one choice at the most. Chosen for the time that it takes: with 300 plans on small
machines get no better."""
HALF = 0.5
"""Share of a chance, or of the minutes at stake, that a test must be able to take away to tell about a cause; of the
most that any test gains, which the one made next gains at least. Chosen."""
SLIGHT = 0.05
"""Minutes in the mean below which to leave a cause is not worth a thought: below what the draw can tell. Chosen."""

OUTSIDE_FIRST = 5.0
"""Minutes: while some test with the covers on saves more than this by itself, they stay on. Chosen: opening forfeits
nothing by waiting, and what was not seen before it costs the way back."""
GRAVE_FACTOR = 5.0
"""How many times `if_missed` counts where the hazard is fire or shock. Chosen (common practice, no source):
being wrong about it costs more than a second visit."""
GRAVE_SETTLED = 0.02
"""Chance below which a cause that can burn or shock is settled unless it was proved. Chosen."""
FOUND = 0.5
"""Chance above which a cause is named as found, and below which no part is fitted: of 36 remedies proposed
below it on practice machines one was right."""
STANDING = 3.0
"""How many times `if_missed` counts at least while a complaint that the cause would explain stands and nothing else
found explains it: who is left with it, or with a part that did not mend it, calls again for certain. Chosen on
practice machines."""
TIMES = 2
"""How often the same remedy is proposed at the most: what shows still after that, it does not mend. Chosen."""
TALK = 0.5
"""Minutes that putting a question takes besides its own; a step that gains less is not proposed. Chosen."""
RAISED = 2.0
"""A cause counts as raised by the answers when its chance is this many times what it was before them. Chosen."""
CONCERNED = 1.1
"""The same for what steps are chosen for. Chosen."""
LEFT_OPEN = 0.05
"""A cause below this chance is not named as left unsettled unless it is grave. Chosen."""
SETTLED = 0.1
"""What may have brought on a fault that was found is settled below this chance, or above one minus it. Chosen."""

MENTIONED = 0.3
"""Chance that an owner who calls over one thing speaks of another that shows as well. Chosen, low: many tell what
troubles them most and no more; at 0 a heater that nobody missed stands as high as before the call."""

ERROR_RATES = {0.0: 0.92, 0.03: 0.05, 0.10: 0.03}
"""Rates at which the person who answers may err, each with its chance before anything was answered. Chosen on
practice machines: right answers bring the mean from 0.0045 to 0.0005 in a job, one in twenty wrong mostly to between
0.01 and 0.08."""
DOUBTED = 0.01
"""Rate of errors, as far as the answers tell, above which a person is told that each answer counts a little less.
Chosen: twice what it is before anything was answered. Right answers reach it in one worked case of twelve, where
something rare was seen once; a person is told of it only where answers are in conflict as well."""
ENTRIES = 16_000
"""Entries of all tables of a run; where exact ones take more, weak links are deleted. Chosen for the time, 0.1 s:
some jobs are exact to forty answers, and what is deleted beyond it moves a chance by a ten-thousandth."""
