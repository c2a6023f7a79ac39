"""Writes the reference part of rules/GUIDE.md anew from the checker's tables: python tests/helpers/render_guide.py"""

from __future__ import annotations

from pathlib import Path

from faultfinder.knowledge.authoring.guide import BEGIN, reference

GUIDE = Path(__file__).resolve().parent.parent.parent / "rules" / "GUIDE.md"


def main() -> None:
    written_by_hand = GUIDE.read_text(encoding="utf-8").split(BEGIN)[0]
    GUIDE.write_text(written_by_hand + reference(), encoding="utf-8")


if __name__ == "__main__":
    main()
