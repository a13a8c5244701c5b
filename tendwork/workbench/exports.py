"""What leaves the workbench for paper and for the phone: the week's sheet, the labels, the calendar file, a view."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from tendwork.errors import PersonError
from tendwork.folder.files import exists, read_bytes
from tendwork.folder.outward import StandsThere, way_out, write_outward
from tendwork.outputs.cards_page import CardSheet, card_sheet_html, card_sheet_of
from tendwork.outputs.cutting_page import CuttingPage, cutting_html, cutting_page_of
from tendwork.outputs.labels import Label, bundle_labels, labels_html, labels_of
from tendwork.outputs.page import MARK
from tendwork.outputs.sheet import Sheet, sheet_of
from tendwork.planning.cutting_list import cutting_list
from tendwork.planning.work_bars import barred_on
from tendwork.view.words import counted
from tendwork.workbench.bench import Workbench

if TYPE_CHECKING:
    from tendwork.view.report_blocks import ReportPage


def sheet(bench: Workbench, today: date) -> Sheet:
    """The sheet of the week from `today`. Raises PersonError."""
    summary = bench.plan.summary(today)
    return sheet_of(summary.week.tasks, today, summary.cards, bench.site.name, bench.site.units, summary.wraps)


def write_sheet(bench: Workbench, file: Path, today: date) -> str:
    """Write the sheet as an HTML page, whole or not at all, and say so. Raises PersonError."""
    from tendwork.outputs.sheet_page import sheet_html

    return _write_page(bench, file, lambda: sheet_html(sheet(bench, today)))


def card_sheet(bench: Workbench) -> CardSheet:
    """The sheet of all caution cards in force, with the person's own. Raises PersonError."""
    return card_sheet_of(bench.templates.loaded().cards.values(), bench.site.name)


def write_card_sheet(bench: Workbench, file: Path) -> str:
    """Write the caution cards as an HTML page, whole or not at all, and say so. Raises PersonError."""
    return _write_page(bench, file, lambda: card_sheet_html(card_sheet(bench)))


def labels(bench: Workbench) -> tuple[Label, ...]:
    """A label for each tree and graft. Raises PersonError where there is none."""
    found = labels_of(bench.records.read())
    if not found:
        raise PersonError("There is no tree to label yet. `tendwork bring trees.csv --as trees` brings them in.")
    return found


def write_labels(bench: Workbench, file: Path) -> str:
    """Write the labels as an HTML page, whole or not at all, and say so. Raises PersonError."""
    return _write_page(bench, file, lambda: labels_html(labels(bench), bench.site.name))


def wood_labels(bench: Workbench, today: date) -> tuple[Label, ...]:
    """A label for each bundle that is to be cut or lies here. Raises PersonError where there is none."""
    records = bench.records.read()
    south = bench.site.south
    barred = barred_on(records, today, south)
    found = bundle_labels(records, cutting_list(records, today, south), today, barred)
    if not found:
        raise PersonError("No wood is to be cut and none lies here, so there is no bundle to label.")
    return found


def write_wood_labels(bench: Workbench, file: Path, today: date) -> str:
    """Write the labels of bundles as an HTML page, whole or not at all, and say so. Raises PersonError."""
    return _write_page(bench, file, lambda: labels_html(wood_labels(bench, today), bench.site.name))


def cutting(bench: Workbench, today: date) -> CuttingPage:
    """What wood is to be cut, tree by tree. Raises PersonError."""
    site = bench.site
    return cutting_page_of(cutting_list(bench.records.read(), today, site.south), today, site.name, site.units)


def write_cutting(bench: Workbench, file: Path, today: date) -> str:
    """Write the cutting list as an HTML page, whole or not at all, and say so. Raises PersonError."""
    return _write_page(bench, file, lambda: cutting_html(cutting(bench, today)))


def season_page(bench: Workbench, year: int | None, today: date) -> ReportPage:
    """The report of a season as it is shown; without a year that of the last crop. Raises PersonError."""
    from tendwork.view.season_report import report_page

    return report_page(bench.plan.season_report(year, today), bench.site.name, bench.site.units)


def write_season_page(bench: Workbench, file: Path, year: int | None, today: date) -> str:
    """Write a season's report as an HTML page, whole or not at all, and say so. Raises PersonError."""
    from tendwork.outputs.report_page import report_html

    return _write_page(bench, file, lambda: report_html(season_page(bench, year, today)))


def wood_words(bench: Workbench, about: str, today: date, width: int) -> str:
    """Text to copy about wood: what to "ask" of whom, what to "offer", or what to "pack". Raises PersonError."""
    from tendwork.planning.wood_offers import wood_offers
    from tendwork.planning.wood_parcels import wood_parcels
    from tendwork.planning.work_bars import wishes_on
    from tendwork.view.wood_swaps import ask_text, closing_days, offer_text, pack_text, reminding_days

    records, south = bench.records.read(), bench.site.south
    if about == "ask":
        wishes, tasks = wishes_on(records, today, south), bench.plan.of(today).plan.tasks
        closes = closing_days(tasks, wishes, records, today)
        return ask_text(wishes, closes, today, width, reminding_days(tasks, today))
    if about == "offer":
        return offer_text(wood_offers(records, today, south), width)
    card = bench.templates.loaded().cards.get("plant-health")
    return pack_text(wood_parcels(records, today, south), records, card, today, width)


def write_calendar(bench: Workbench, file: Path, today: date) -> str:
    """Write the season's visits and jobs as a calendar over the one written before, and say so. Raises PersonError."""
    from tendwork.outputs.calendar import MARK, calendar_of
    from tendwork.outputs.events import CalendarSite, events_of

    site = bench.site
    remind = {} if site.remind is None else {"remind_at": site.remind.at}
    place = CalendarSite(site.name, site.timezone, units=site.units, south=site.south, **remind)
    mark = MARK.encode()
    way_out(bench.path, file, mark)
    previous = read_bytes(file) if exists(file) else b""
    planned = bench.plan.of(today)
    events = events_of(planned.plan, planned.week.tasks, place, planned.cards)
    write_outward(bench.path, file, calendar_of(events, today, place, previous, str(file)), mark)
    return f"Wrote {file}: {counted(len(events), 'event')}."


def write_view(orchard: Path, file: Path, text: str, over: bool) -> bool:
    """Write a view into a file that a person names; False where another stands there, unless it may go `over` that.

    Raises PersonError.
    """
    try:
        write_outward(orchard, file, f"{text.rstrip()}\n".encode("utf-8", "replace"), over=over)
    except StandsThere:
        return False
    return True


def _write_page(bench: Workbench, file: Path, page: Callable[[], str]) -> str:
    """Write a page that is made only where it can be written."""
    way_out(bench.path, file, MARK.encode())
    write_outward(bench.path, file, page().encode(), MARK.encode())
    return f"Wrote {file}."
