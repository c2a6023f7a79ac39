"""Print the customer's page of records with a headless Chromium and count its sheets: one side of A4 each.

`python tests/helpers/print_pages.py FOLDER [RECORD...]` from the top of the checkout (without records: every demo)
writes a page, a PDF and, where pdftoppm is there, a picture of each into FOLDER, prints the sheets counted from the
PDF, and ends with 1 where one is not a single A4 side. Needs `chromium` (Debian: apt-get install chromium
poppler-utils); look at the pictures as well.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

from faultfinder.exits import Exit
from faultfinder.job.record.record import read_record
from faultfinder.report.findings import report_of
from faultfinder.report.page import page
from faultfinder.terminal.commands.new_job import pack_of

DEMOS = Path(__file__).parents[2] / "transcripts_demo"
A4_POINTS = (594.96, 841.92)
"""A sheet of 210 mm by 297 mm as Chromium writes it (ISO 216:2007, table 1; 72 points an inch)."""


def sheets(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height in points of every sheet of a PDF whose page objects stand uncompressed, as Chromium's do."""
    boxes = re.findall(rb"/Type\s*/Page\b(?!s).*?/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)", pdf, re.S)
    return [(float(width), float(height)) for width, height in boxes]


def printed(html: Path, pdf: Path) -> list[tuple[float, float]]:
    """The sheets that a browser makes of a page."""
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if browser is None:
        raise SystemExit("There is no chromium here.")
    asked = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", f"--print-to-pdf={pdf}"]
    subprocess.run([browser, *asked, html.as_uri()], check=True, capture_output=True, timeout=300)
    return sheets(pdf.read_bytes())


def main(arguments: list[str]) -> int:
    folder = Path(arguments[0]).absolute()
    folder.mkdir(parents=True, exist_ok=True)
    status = Exit.OK
    for record in [Path(each) for each in arguments[1:]] or sorted(DEMOS.glob("*.yaml")):
        contents = read_record(record)
        written = report_of(pack_of(contents, record), contents.events, job=record.stem)
        html, pdf = folder / f"{record.stem}.html", folder / f"{record.stem}.pdf"
        html.write_text(page(written), encoding="utf-8")
        found = printed(html, pdf)
        right = len(found) == 1 and all(abs(a - b) < 2 for a, b in zip(found[0], A4_POINTS, strict=True))
        print(f"{record.stem}: {len(found)} sheet(s){'' if right else ', NOT ONE A4 SIDE'}")
        if shutil.which("pdftoppm"):
            subprocess.run(["pdftoppm", "-r", "70", "-png", str(pdf), str(folder / record.stem)], check=True)
        status = status if right else Exit.PROBLEMS
    return int(status)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
