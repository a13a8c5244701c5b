"""Varieties in Fruit: the page of what is known, its form, and the one key that notes a variety in bloom."""

from __future__ import annotations

from datetime import date

import pytest
from record_screens import TODAY, go, open_screen, record_app, words_in, write
from settling import until

from tendwork.dashboard.screens.form import FormScreen
from tendwork.dashboard.widgets.row_list import RowList
from tendwork.orchard.records import Sighting, Variety

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio

SIZES = [(80, 24), (120, 40), (60, 20)]


def told(app) -> str:
    return " ".join(words_in(app, "life_text").split())


async def to_page(pilot, page: str) -> None:
    await open_screen(pilot, "5")
    for _ in range(6):
        if pilot.app.screen.page == page:
            return
        await go(pilot, "right")


async def to_variety(pilot, page: str, *letters: str) -> None:
    await to_page(pilot, page)
    await go(pilot, "slash", *letters, "enter")


def varieties(app) -> dict[str, Variety]:
    return {one.variety: one for one in app.state.records.varieties}


@pytest.mark.parametrize("size", SIZES)
async def test_the_page_says_what_is_known_from_whom_and_what_is_not(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await to_page(pilot, "Varieties")
        # Seven grafts of seven varieties, one of which failed, and wood of one more.
        rows = record_app.screen.query_one(RowList).rows
        assert next(iter(rows)) == "apple/Ashmead's Kernel"
        assert len(rows) == 7
        assert "7 varieties: 5 noted by you" in words_in(record_app, "warnings")
        names = next(line for line in seen_on(record_app).splitlines() if "Bloom" in line).split()
        whole = "Tasting Verdict Ripening Bloom Varieties Cut and free What takes"
        assert " ".join(names).strip("… ") in whole  # no name of a page is cut off
        assert "Varieties" in names
        assert ("…" in names) == (size[0] < 66)
        assert "4 of 5 [hobby list: a forum grower (FB), undated]" in told(record_app)
        assert "Ripens: 10-05 to 10-20 [you, on g1]" in told(record_app)
        await go(pilot, "down", "down", "down")
        assert "Unknown: bloom, pollen, ripens, keeps, vigour, chill, use." in told(record_app)


async def test_a_form_notes_what_the_person_knows_which_goes_before_the_lists(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await to_variety(pilot, "Varieties", *"ashmead")
        await go(pilot, "e", "enter")
        await write(pilot, "2")
        await go(pilot, "enter")
        await write(pilot, "dip")
        await go(pilot, "ctrl+s")
        assert varieties(record_app)["Ashmead's Kernel"] == Variety(
            "apple", "Ashmead's Kernel", bloom="2", pollen="diploid"
        )
        assert "Bloom: group 2 [you] Pollen: diploid [you]" in told(record_app)
        assert "3 months [Mt Hood fruit orchard, undated]" in told(record_app)
        await go(pilot, "u")
        assert "Ashmead's Kernel" not in varieties(record_app)


async def test_what_cannot_be_is_said_in_the_form(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await to_variety(pilot, "Varieties", *"green")
        await go(pilot, "e", "enter")
        await write(pilot, "early")
        await go(pilot, "ctrl+s")
        assert isinstance(record_app.screen, FormScreen)
        fault = " ".join(words_in(record_app, "fault").split())
        assert (
            fault == 'Bloom "early" is neither a bloom group, such as 3 or C, nor days after its species, such as +4.'
        )
        await go(pilot, "escape")
        assert "Green Lamp" not in varieties(record_app)


async def test_a_variety_that_grows_nowhere_can_be_added_and_removed(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await to_page(pilot, "Varieties")
        await go(pilot, "a")
        await write(pilot, "Wish Lamp")
        await go(pilot, "tab", "tab")
        await write(pilot, "Hope")
        await go(pilot, "ctrl+s")
        assert varieties(record_app)["Wish Lamp"] == Variety("apple", "Wish Lamp", also="Hope")
        await go(pilot, "slash", *"hope", "enter", "x")
        assert "Wish Lamp" not in varieties(record_app)


async def test_by_the_mouse_alone(record_app, press_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await press_on(pilot, "Varieties")
        await until(pilot, lambda: record_app.screen.page == "Varieties")
        await pilot.pause()
        await press_on(pilot, "change")
        await until(pilot, lambda: isinstance(record_app.screen, FormScreen))


async def test_one_key_notes_a_variety_in_bloom_today_and_goes_back(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await to_variety(pilot, "Bloom", *"dull")
        before = record_app.state.records
        await go(pilot, "n")
        assert record_app.state.records.sightings == (Sighting(TODAY, "apple", "full bloom", "t1", "Dull Lamp"),)
        assert record_app.notice.text == "Dull Lamp seen in full bloom on Hill apple."
        assert "2026: in bloom 11 Apr, not seen whole." in told(record_app)
        await go(pilot, "n")
        assert len(record_app.state.records.sightings) == 1
        await go(pilot, "u")
        assert record_app.state.records == before


async def test_a_bloom_that_is_contradicted_is_said_and_asked_for_once_more(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        bench = record_app._bench  # petal fall was seen before
        bench.records.saw("apple", "petal fall", date(2026, 4, 5), tree="t1", sure=True)
        await to_variety(pilot, "Bloom", *"dull")
        await go(pilot, "n")
        assert "Press n again if you are sure of it." in record_app.notice.text
        assert len(bench.records.read().sightings) == 1
        await go(pilot, "n")
        assert len(bench.records.read().sightings) == 2


async def test_two_varieties_noted_on_one_day_bloom_together(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await to_variety(pilot, "Bloom", *"dull")
        await go(pilot, "n")
        await go(pilot, "slash", "end", *["backspace"] * 4, *"blue", "enter", "n")
        assert "Together with Dull Lamp: in bloom together in 1 of 1 year seen (2026)" in told(record_app)


async def test_from_a_tasting_the_variety_of_its_graft_is_changed(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "slash", *"keep pear", "enter", "e", "enter")
        await write(pilot, "C")
        await go(pilot, "ctrl+s")
        assert varieties(record_app)["Long Lamp"] == Variety("pear", "Long Lamp", bloom="C")


async def test_a_tasting_of_a_medlar_on_a_pear_is_of_the_medlar(record_app) -> None:
    fields = {"tree": "t2", "variety": "Nott", "species": "medlar", "state": "bearing"}
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        record_app.screen.act(lambda bench, today: bench.records.entries.add("grafts", fields, today))
        await until(pilot, lambda: any(one.variety == "Nott" for one in record_app.state.records.grafts))
        await go(pilot, "slash", *"nott", "enter", "e", "enter")
        await write(pilot, "4")
        await go(pilot, "ctrl+s")
        assert varieties(record_app)["Nott"] == Variety("medlar", "Nott", bloom="4")
