"""The pages as a browser prints them, on A4 and on Letter; only where a browser and poppler's pdfinfo are installed."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from output_jobs import CARDS, TODAY, busy_week

from tendwork.folder.templates import load_templates
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.outputs.cards_page import card_sheet_html, card_sheet_of
from tendwork.outputs.labels import labels_html, labels_of
from tendwork.outputs.sheet import sheet_of
from tendwork.outputs.sheet_page import sheet_html

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), "")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not (BROWSER and shutil.which("pdfinfo")), reason="needs a browser and pdfinfo"),
]


def pages(page: str, size: str, folder: Path) -> int:
    (folder / "page.html").write_text(page.replace("@page {", f"@page {{ size: {size};"), "utf-8")
    flags = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
    printed = folder / "page.pdf"
    subprocess.run(
        [BROWSER, *flags, f"--print-to-pdf={printed}", str(folder / "page.html")],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    told = subprocess.run(["pdfinfo", str(printed)], check=True, capture_output=True, text=True).stdout
    return int(re.search(r"Pages:\s+(\d+)", told)[1])  # type: ignore[index]


@pytest.mark.parametrize("size", ["A4", "letter"])
def test_a_heavy_week_of_twenty_five_jobs_prints_on_two_pages(size: str, tmp_path: Path) -> None:
    page = sheet_html(sheet_of(busy_week(), TODAY, CARDS, "Larkstone Bank (invented)"))
    assert pages(page, size, tmp_path) == 2


@pytest.mark.parametrize("size", ["A4", "letter"])
def test_a_light_week_prints_on_one_page(size: str, tmp_path: Path) -> None:
    assert pages(sheet_html(sheet_of(busy_week(8), TODAY, CARDS, "Larkstone Bank (invented)")), size, tmp_path) == 1


@pytest.mark.parametrize("size", ["A4", "letter"])
def test_all_caution_cards_print_on_both_sides_of_a_sheet_of_paper(size: str, tmp_path: Path) -> None:
    sheet = card_sheet_of(load_templates(None).cards.values(), "Larkstone Bank (invented)")
    assert pages(card_sheet_html(sheet), size, tmp_path) == 2


@pytest.mark.parametrize("size", ["A4", "letter"])
def test_a_page_of_labels_is_a_sheet_of_paper(size: str, tmp_path: Path) -> None:
    grafts = tuple(Graft(f"g{number}", "t1", "Candlemas Keeper") for number in range(71))
    labels = labels_of(Records((Tree("t1", "Old Tom", "apple"),), grafts))
    assert pages(labels_html(labels, "Test hill"), size, tmp_path) == 3
