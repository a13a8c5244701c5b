"""A season's report as one HTML page that prints on A4 and on Letter."""

from __future__ import annotations

from tendwork.outputs.page import page
from tendwork.view.report_blocks import Items, ReportPage, Said, Strip, Table


def report_html(report: ReportPage) -> str:
    """The report as one HTML file that asks for nothing else."""
    parts = [(part.title, [(_kind(block), block) for block in part.blocks]) for part in report.parts]
    return page("report.html", report=report, parts=parts)


def _kind(block: Said | Items | Table | Strip) -> str:
    return type(block).__name__.lower()
