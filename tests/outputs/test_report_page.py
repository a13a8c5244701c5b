"""The report of a season on paper: the same words as on screen, all of it text, on A4 and on Letter."""

from __future__ import annotations

import re
from datetime import date
from html import unescape

import pytest
from msgspec.structs import replace
from page_tags import tags_of
from season_orchard import RECORDS, bare_report, made_report

from tendwork.orchard.records import Records
from tendwork.outputs.page import MARK
from tendwork.outputs.report_page import report_html
from tendwork.view.report_blocks import Items, ReportPage, Said, Strip, Table
from tendwork.view.season_report import report_page

PAGE = report_page(made_report(), "Test hill", "metric")
NASTY = "<script>alert(1)</script> & {{ 7*7 }} \x1b[2J"


def words_of(page: ReportPage) -> list[str]:
    """Every text that a report holds."""
    found = [page.site_name, page.title, page.span, *page.summary]
    for part in page.parts:
        found.append(part.title)
        for block in part.blocks:
            if isinstance(block, Said):
                found.append(block.text)
            elif isinstance(block, Items):
                found += block.items
            elif isinstance(block, Table):
                found += [cell for row in (block.head, *block.rows) for cell in row]
            elif isinstance(block, Strip):
                found += [block.text, block.means]
    return found


@pytest.mark.parametrize("page", [PAGE, report_page(bare_report(), "Test hill", "us")])
def test_the_page_holds_every_word_of_the_report(page: ReportPage) -> None:
    made = unescape(report_html(page))
    assert [words for words in words_of(page) if words not in made] == []


def test_the_page_asks_for_nothing_runs_nothing_and_is_known_as_one_of_ours() -> None:
    made = report_html(PAGE)
    assert MARK in made
    assert not set(tags_of(made)) & {"script", "link", "img", "iframe", "form"}
    assert not re.search(r"(?:src|href)=|url\(|@import|https?:", made)


def test_the_page_prints_on_any_paper_and_cuts_neither_tables_nor_lines_nor_headings() -> None:
    made = report_html(PAGE)
    assert re.search(r"@page \{[^}]*margin:", made)
    assert not re.search(r"@page \{[^}]*size:", made)  # the printer's own, A4 or Letter
    style: dict[str, str] = {}
    for found in re.finditer(r"([^{}]+)\{([^{}]*)\}", made):
        style.setdefault(found[1].strip(), found[2])
    for name in ("table", "tr", "li", "pre"):
        assert "break-inside: avoid" in style[name]
    assert "break-after: avoid" in style["h2"]
    assert "break-after: avoid" in style[".before-list"]
    assert "table-header-group" in style["thead"]
    # A4 less its margins is 182 mm wide, Letter 188; the strip of weeks is 67 signs of 8.6 pt, 0.6 of that wide each
    assert "max-width: 180mm" in style["body"]
    longest = max(
        len(line)
        for part in PAGE.parts
        for block in part.blocks
        if isinstance(block, Strip)
        for line in block.text.split("\n")
    )
    assert longest * 8.6 * 0.602 * 0.3528 < 180


def test_each_table_has_a_head_and_as_many_cells_in_every_row() -> None:
    made = report_html(PAGE)
    tables = re.findall(r"<table.*?</table>", made, re.DOTALL)
    assert len(tables) == sum(isinstance(block, Table) for part in PAGE.parts for block in part.blocks)
    for table in tables:
        cells = {row.count("<td>") for row in re.findall(r"<tr.*?</tr>", table) if "<td>" in row}
        assert cells == {table.count('<th scope="col">')}


def test_markup_in_a_name_stays_text() -> None:
    def named(name: str) -> Records:
        return replace(
            RECORDS,
            trees=tuple(replace(tree, name=f"{name}{tree.id}") for tree in RECORDS.trees),
            grafts=tuple(replace(graft, variety=f"{name}{graft.id}", note=name) for graft in RECORDS.grafts),
            wood=tuple(replace(bundle, variety=name) for bundle in RECORDS.wood),
        )

    def made(name: str) -> str:
        return report_html(report_page(made_report(named(name), today=date(2026, 12, 1)), name, "metric"))

    assert tags_of(made(NASTY)) == tags_of(made("x"))
    assert "49" not in re.findall(r"&amp; (\S+) ", made(NASTY))
    assert "\x1b" not in made(NASTY)
