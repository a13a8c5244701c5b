"""Temperatures by real key presses and mouse: heat, chill, days, frost, and where it all comes from."""

from __future__ import annotations

from datetime import date

import pytest
from loopback_service import Reply, serving

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.widgets.course_picture import CoursePicture
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

pytestmark = pytest.mark.anyio

TODAY = date(2026, 4, 22)
SIZES = [(80, 24), (120, 40), (200, 60), (60, 20)]


@pytest.fixture
def visit(at_rest, press):
    """Goes to Temperatures and presses keys there."""

    async def visit(pilot, *keys: str) -> None:
        await at_rest(pilot)
        await press(pilot, "7")
        await pilot.pause(0.1)
        await at_rest(pilot)
        await press(pilot, *keys)

    return visit


@pytest.mark.parametrize("size", SIZES)
async def test_heat_its_picture_and_today_stand_on_the_first_page(sample, visit, seen_on, size) -> None:
    async with sample.run_test(size=size) as pilot:
        await visit(pilot)
        shown = seen_on(sample)
        assert "Heat 186 degree-days above 5 °C since 1 Jan" in shown
        assert [mark for mark in "░▒╌●○" if mark not in shown] == []
        assert "Tue 21 Apr" in shown
        assert shown.count("Wed 22 Apr") == 2  # in the top line, and among the days
        assert {len(line) for line in shown.splitlines()} == {size[0]}


async def test_c_shows_chill_and_again_heat(sample, visit, press, seen_with) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "c")
        assert "Chill 126 portions since 1 Nov" in await seen_with(pilot, "Chill 126")
        await press(pilot, "c")
        assert "Heat 186" in await seen_with(pilot, "Heat 186")


async def test_a_wide_screen_shows_both_at_once(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(120, 40)) as pilot:
        await visit(pilot)
        shown = seen_on(sample)
        assert "Heat 186" in shown
        assert "Chill 126" in shown


async def test_minus_shows_the_whole_course_and_plus_the_time_near_today(sample, visit, press, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "minus")
        whole = seen_on(sample)
        await press(pilot, "plus")
        assert "Oct" in whole
        assert "Oct" not in seen_on(sample)


async def test_b_shows_the_buds_of_the_next_species(sample, visit, press, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot)
        assert " apple ──" in seen_on(sample)
        await press(pilot, "b")
        assert " pear  ──" in seen_on(sample)


async def test_end_scrolls_to_what_the_marks_mean(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "end")
        await pilot.pause(0.6)
        assert "all other seasons" in seen_on(sample)


async def test_the_page_tells_for_each_species_how_many_days_are_right_for_callus(sample, visit, seen_on) -> None:
    async with sample.run_test(size=(120, 60)) as pilot:
        await visit(pilot)
        shown = seen_on(sample)
        assert "Of the next 14 days, those with a maximum right" in shown
        assert "at 7 to 21 °C" in shown


async def test_y_copies_pictures_and_words_as_text(sample, visit) -> None:
    async with sample.run_test(size=(120, 40)) as pilot:
        await visit(pilot, "y")
        lines = sample.clipboard.splitlines()
        assert lines[0].startswith("Heat: 186 degree-days")
        assert "The season so far" in lines
        assert max(map(len, lines)) <= 80


async def test_the_pictures_change_by_mouse_alone(sample, visit, seen_with, press_on) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot)
        await press_on(pilot, "chill or heat")
        assert "Chill 126" in await seen_with(pilot, "Chill 126")


async def test_a_smaller_terminal_gets_a_smaller_picture(sample, visit, at_rest) -> None:
    async with sample.run_test(size=(120, 40)) as pilot:
        await visit(pilot)
        await pilot.resize_terminal(80, 24)
        await at_rest(pilot)
        picture = sample.screen.query_one("#heat", CoursePicture)
        assert picture.region.right <= 80
        assert not sample.screen.query_one("#chill").display


async def test_an_orchard_without_temperatures_says_how_to_bring_them_in(app, visit, seen_on) -> None:
    async with app.run_test(size=(120, 40)) as pilot:
        await visit(pilot)
        shown = " ".join(seen_on(app).replace("▌", " ").split())
        assert "No temperatures are held." in shown


async def test_a_file_that_cannot_be_read_is_one_sentence(sample, visit, monkeypatch) -> None:
    def refuse(_: date) -> None:
        raise PersonError("temperatures/own.csv: line 3: no date.")

    async with sample.run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(sample._bench.temperatures, "known", refuse)
        await visit(pilot)
        assert (sample.notice.text, sample.notice.trouble) == ("temperatures/own.csv: line 3: no date.", True)


async def test_the_names_of_files_are_inert(sample_folder, visit, seen_on) -> None:
    folder = sample_folder
    held = folder / "temperatures" / "invented.csv"
    held.rename(held.with_name("[red]b[@click=app.leave].csv"))
    app = Dashboard(Workbench.open(folder), TODAY)
    async with app.run_test(size=(120, 60)) as pilot:
        await visit(pilot)
        assert "[red]b[@click=app.leave].csv: 4555 days" in seen_on(app)


async def test_without_colours_frost_and_ranges_are_still_told(sample_folder, visit, seen_on, monkeypatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = Dashboard(Workbench.open(sample_folder), TODAY)
    async with app.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "home")
        await pilot.pause(0.6)
        shown = seen_on(app)
        assert "-0.3 °C" in shown
        assert "▒" in shown


async def test_g_without_a_service_says_how_to_name_one_and_sends_nothing(sample, visit) -> None:
    async with sample.run_test(size=(80, 24)) as pilot:
        await visit(pilot, "g", "g")
        assert sample.notice.trouble
        assert "names no weather service, so nothing was asked and nothing was sent" in sample.notice.text


async def test_g_says_what_is_sent_where_and_asks_when_pressed_again(sample_folder, visit, press, seen_on) -> None:
    folder = sample_folder
    with serving(Reply(status=404)) as service:
        with (folder / "site.toml").open("a", encoding="utf-8") as site:
            site.write(f'\n[[temperatures]]\nservice = "open-meteo"\nurl = "{service.url}"\n')
        app = Dashboard(Workbench.open(folder), TODAY)
        async with app.run_test(size=(80, 24)) as pilot:
            await visit(pilot, "g")
            assert "g once more to ask. Open-Meteo is sent the coordinates" in app.notice.text
            assert service.requests == []
            await press(pilot, "g")
            assert len(service.requests) == 1
            assert "Open-Meteo" in seen_on(app)
