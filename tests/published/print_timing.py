"""Prints what the plan says beside each published statement: `python tests/published/print_timing.py`.

For each statement and each of two plan days: its window, the advised day, the published span, and by how many days the
advised day lies outside it.
"""

from __future__ import annotations

from datetime import date

import timing_cold
import timing_mild
import timing_warm
from timing_checks import NEAR_DAYS, Statement, found
from timing_orchard import JANUARY, Year

STATEMENTS = (*timing_cold.STATEMENTS, *timing_mild.STATEMENTS, *timing_warm.STATEMENTS)
FIRST_DAY = date(2026, 11, 1)


def lines_of(statement: Statement, year: Year) -> list[str]:
    """A line for each finding, with a mark where it does not do."""
    lines = []
    for finding in found(statement, year):
        if isinstance(finding, str):
            lines.append(f"!! {finding}")
            continue
        window = finding.window
        far = finding.advised and abs(finding.days_off) > NEAR_DAYS
        mark = "!!" if finding.fault else "! " if far else "  "
        last = "" if finding.last is None else f"{finding.last:%m-%d}"
        lines.append(
            f"{mark} {window.opens:%m-%d} {window.best:%m-%d} {window.closes:%m-%d} | {finding.first:%m-%d}..{last:5} "
            f"| {finding.days_off:+4d} {finding.what}"
        )
    return lines


def main() -> None:
    for today in (JANUARY, FIRST_DAY):
        year = Year(today=today)
        print(f"\nplan of {today}: opens best closes | span | days off")
        for statement in STATEMENTS:
            for line in lines_of(statement, year):
                print(f"{statement.id} {statement.grade} {line}")


if __name__ == "__main__":
    main()
