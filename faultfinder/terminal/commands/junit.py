"""The worked cases as a JUnit report: the XML that servers which build and test on every change read."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence

from faultfinder.job.cases.worked import CaseRun, WorkedCase
from faultfinder.terminal.console.printed import shown


def junit_text(pack: str, runs: Sequence[CaseRun], unreadable: Sequence[WorkedCase]) -> str:
    """One test suite of the pack's cases: one that cannot be read is an error, one that does not hold a failure."""
    failed = sum(not run.holds for run in runs)
    suite = ET.Element(
        "testsuite",
        name=pack,
        tests=str(len(runs) + len(unreadable)),
        failures=str(failed),
        errors=str(len(unreadable)),
    )
    for run in runs:
        case = ET.SubElement(suite, "testcase", classname=pack, name=run.case.name, file=run.case.file)
        for failure in run.failures:
            told = ET.SubElement(case, "failure", message=shown(str(failure)))
            told.text = shown(f"{run.case.file}:{failure.line}: {failure}")
    for each in unreadable:
        case = ET.SubElement(suite, "testcase", classname=pack, name=each.name, file=each.file)
        for problem in each.problems:
            ET.SubElement(case, "error", message=shown(str(problem)))
    ET.indent(suite)
    return ET.tostring(suite, encoding="unicode", xml_declaration=True) + "\n"
