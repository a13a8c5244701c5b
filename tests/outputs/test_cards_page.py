"""All caution cards on one sheet: nothing of them is left out, the general caution and each source stand once."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from test_output_commands import said

from tendwork.cli.outputs import sheet
from tendwork.folder.templates import load_templates
from tendwork.outputs.cards_page import card_sheet_html, card_sheet_of, card_sheet_text
from tendwork.outputs.caution import GENERAL_CAUTION
from tendwork.planning.vocabulary import Card
from tendwork.view.text import display_width

CARDS = tuple(load_templates(None).cards.values())
SHEET = card_sheet_of(CARDS, "Test hill")
NASTY = "<script>alert(1)</script> & {{ 7*7 }} \x1b[2J\u202e漢字"
# What both sides of a sheet of Letter hold, measured with Chromium at the sheet's own sizes (test_printing.py does it
# where a browser is): 16,160 characters of cards in three columns fit, 16,440 go over; A4 has room for 270 more.
ROOM_CHARACTERS = 16_160


class Page(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.said = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        del attrs
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.said += data


def words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_every_word_of_a_card_stands_on_the_page_and_in_the_text(card: Card) -> None:
    page, text = words(Page(card_sheet_html(SHEET)).said), words(card_sheet_text(SHEET).replace("\n- ", "\n"))
    for said_of in (card.line, *card.points, *card.first_aid, card.defer):
        assert words(said_of) in page
        assert words(said_of) in text
    assert card.title in page
    assert card.title.upper() in text


def test_the_general_caution_stands_once() -> None:
    assert words(Page(card_sheet_html(SHEET)).said).count(GENERAL_CAUTION) == 1
    assert words(card_sheet_text(SHEET)).count(GENERAL_CAUTION) == 1


def test_each_source_stands_once_and_what_has_none_says_so() -> None:
    assert len(set(SHEET.sources)) == len(SHEET.sources)
    assert "UF/IFAS Polk County, 2019" in SHEET.sources
    assert sum("undated" in source for source in SHEET.sources) == 0
    assert "Clean blades (wiping)" in SHEET.unsourced
    assert words(Page(card_sheet_html(SHEET)).said).count("Merck Manual, tetanus table") == 1


def test_the_text_keeps_to_eighty_columns() -> None:
    long = Card("x", "y" * 90, "漢字" * 60, ("z" * 200,), "a label", "s" * 100, ("z" * 200,))
    assert max(map(display_width, card_sheet_text(card_sheet_of((*CARDS, long), "Hill")).splitlines())) <= 80


def test_a_card_of_one_s_own_is_shown_as_text_whatever_it_holds() -> None:
    own = Card("x", NASTY, NASTY, (NASTY,), NASTY, NASTY, (NASTY,))
    page = Page(card_sheet_html(card_sheet_of((own,), NASTY)))
    assert "script" not in page.tags
    assert "{{ 7*7 }}" in page.said
    assert "\x1b" not in page.said
    assert "\x1b" not in card_sheet_text(card_sheet_of((own,), NASTY))


def test_the_page_fetches_nothing() -> None:
    page = card_sheet_html(SHEET)
    assert not re.search(r"https?://|@import|url\(|<script|<link", page)


def test_first_aid_is_marked_and_stands_after_the_points() -> None:
    knife = next(card for card in CARDS if card.id == "knife")
    text, page = card_sheet_text(SHEET), card_sheet_html(SHEET)
    assert f"First aid:\n- {knife.first_aid[0][:40]}" in text
    assert words(text).index(knife.points[-1]) < words(text).index(knife.first_aid[0])
    marked = re.findall(r'<div class="aid">.*?</div>', page, re.DOTALL)
    assert len(marked) == text.count("\nFirst aid:\n") == sum(bool(card.first_aid) for card in CARDS)
    assert knife.first_aid[0] in marked[0]
    assert knife.points[-1] not in marked[0]
    assert re.search(r"\.aid {[^}]*font-weight: bold", page)


def test_the_shipped_cards_leave_room_on_one_sheet_of_paper() -> None:
    parts = ((card.title, card.line, *card.points, *card.first_aid, card.defer) for card in SHEET.cards)
    assert sum(len(part) for card in parts for part in card) <= ROOM_CHARACTERS


def test_the_sheet_can_be_read_from_a_wall() -> None:
    sizes = {name: float(size) for name, size in re.findall(r"(\S+) { font-size: ([\d.]+)pt", card_sheet_html(SHEET))}
    assert sizes["body"] >= 7.5
    assert sizes[".line"] >= 9


def test_the_command_prints_the_cards_and_writes_the_page(orchard_path: Path, tmp_path: Path) -> None:
    text = said(sheet, orchard_path, "--cards")
    assert text.startswith("Test hill: caution cards\n")
    assert "KNIVES AND CLEFT TOOLS" in text
    file = tmp_path / "cards.html"
    assert said(sheet, orchard_path, "--cards", "--html", str(file)) == f"Wrote {file}.\n"
    assert "Knives and cleft tools" in file.read_text("utf-8")


def test_a_card_of_the_person_s_own_stands_on_the_sheet(orchard_path: Path) -> None:
    (orchard_path / "templates").mkdir(exist_ok=True)
    (orchard_path / "templates" / "own.toml").write_text(
        '[[card]]\nid = "geese"\ntitle = "Geese"\nline = "They bite."\npoints = ["Walk round."]\n'
        'defer = "Local codes."\nsource = "common practice"\n'
    )
    assert "GEESE\nThey bite.\n- Walk round." in said(sheet, orchard_path, "--cards")
