"""Fruit: a tasting in two key presses, what ripens when, what blooms together, and verdicts that the person gives."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from record_screens import TODAY, go, graft, open_screen, record_app, write
from settling import until

from tendwork.dashboard.widgets.row_list import RowList
from tendwork.errors import PersonError
from tendwork.orchard.records import Tasting, Variety

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio

SIZES = [(80, 24), (120, 40), (60, 20)]


def words_in(app, part: str) -> str:
    return app.screen.query_one(f"#{part}").render().plain


def chosen(app) -> str:
    return app.screen.query_one(RowList).chosen or ""


async def show_page(pilot, page: str) -> None:
    """Go right until the page is there."""
    for _ in range(7):
        if pilot.app.screen.page == page:
            return
        await go(pilot, "right")


@pytest.mark.parametrize("size", SIZES)
async def test_what_ripens_next_stands_first_with_its_scores(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "5")
        rows = record_app.screen.query_one(RowList).rows
        # On 11 April nothing is ripe; 1 September comes before 10 and 15 September and 5 October. Blue Lamp took only.
        assert list(rows) == ["g2", "g4", "g6", "g1", "g3"]
        assert words_in(record_app, "warnings") == "Nothing is ripe now."
        assert "Old [red]Lamp[/x]" in seen_on(record_app)


async def test_a_tasting_takes_two_key_presses(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "space", "4")
        assert record_app.state.records.tastings[-1] == Tasting(TODAY, "g2", "ripe", 4)
        assert record_app.notice.text == "Old [red]Lamp[/x] (g2) tasted."


async def test_the_lines_of_a_tasting_are_there_for_who_wants_them(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "space", "tab")
        await write(pilot, "unr")
        await go(pilot, "tab")
        await write(pilot, "coo")
        await go(pilot, "tab")
        await write(pilot, "5 days early")
        await go(pilot, "enter", "2")
        assert record_app.state.records.tastings[-1] == Tasting(TODAY, "g2", "unripe", 2, "cooking", "5 days early")


async def test_a_tasting_goes_back(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        before = record_app.state.records
        await go(pilot, "down", "space", "1", "u")
        assert record_app.state.records == before


async def test_a_suggestion_says_why_and_enter_on_the_verdict_takes_it(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        told = " ".join(words_in(record_app, "life_text").split())
        await go(pilot, "v", "enter")
        # 4, 5 and 4 of three crops: a mean of 4.3.
        assert told.startswith("Keep? 3 crops seen (2023, 2024 and 2025), mean score 4.3 of 5: good enough to keep.")
        assert graft(record_app, "g2").verdict == "keep"


async def test_the_person_may_decide_otherwise(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "v", "3")
        assert graft(record_app, "g2").verdict == "cut"


async def test_a_cut_verdict_is_next_winters_limb_and_goes_back(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "v", "3")
        await show_page(pilot, "Cut and free")
        listed = list(record_app.screen.query_one(RowList).rows)
        await go(pilot, "u")
        assert listed == ["to cut/g2", "to cut/g4"]
        assert list(record_app.screen.query_one(RowList).rows) == ["to cut/g4"]


async def test_the_verdict_page_says_what_would_be_missed_and_takes_the_suggestion(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Verdict")
        # Old Lamp is to be kept, Blue Lamp waited for; what is judged stands behind, whatever it scored.
        assert list(record_app.screen.query_one(RowList).rows) == ["g2", "g3", "g1", "g4", "g6"]
        assert words_in(record_app, "warnings") == (
            "On trial: 0 to cut, 1 to keep, 1 to wait for. You decide. Judged: 3."
        )
        told = " ".join(words_in(record_app, "life_text").split())
        assert told.startswith("Keep? 3 crops seen (2023, 2024 and 2025), mean score 4.3 of 5: good enough to keep.")
        assert "If it is cut, nothing else is ripe " in told
        await go(pilot, "v", "enter")
        assert graft(record_app, "g2").verdict == "keep"
        assert next(iter(record_app.screen.query_one(RowList).rows)) == "g3"


async def test_many_are_judged_at_once_on_the_verdict_page(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Verdict")
        await go(pilot, "m", "m", "v", "3")
        assert [graft(record_app, one).verdict for one in ("g2", "g3")] == ["cut", "cut"]
        await go(pilot, "u")
        assert [graft(record_app, one).verdict for one in ("g2", "g3")] == ["on trial", "on trial"]


async def test_tasting_gives_the_advice_of_the_verdict_page(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        tasting = {name: (row.advice, row.suggestion) for name, row in record_app.screen.rows.items()}
        await show_page(pilot, "Verdict")
        assert {name: (row.advice, row.suggestion) for name, row in record_app.screen.rows.items()} == tasting
        assert {advice for advice, _ in tasting.values()} == {"keep", "wait", ""}


async def test_a_page_stands_where_no_day_can_be_worked_out(record_app, monkeypatch) -> None:
    def fails(*_):
        raise PersonError("site.toml has no place.")

    async with record_app.run_test(size=(80, 24)) as pilot:
        monkeypatch.setattr(type(record_app._bench.plan), "ripening", fails)
        await open_screen(pilot, "5")
        assert record_app.notice.text == "When fruit is ripe cannot be worked out: site.toml has no place."
        await show_page(pilot, "Verdict")
        assert "When it ripens is not known" in " ".join(words_in(record_app, "life_text").split())


async def test_many_are_judged_at_once(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "m", "down", "m", "v", "2")
        assert [graft(record_app, one).verdict for one in ("g2", "g6", "g4")] == ["keep", "keep", "cut"]


async def test_the_ripening_chart_has_a_row_for_each_variety_and_names_the_gaps(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Ripening")
        screen = record_app.screen
        # Dull Lamp is to be cut, Green Lamp is planned and nothing is known of it; the others stand by their dates.
        assert [name.partition("/")[2] for name in screen.query_one(RowList).rows] == [
            "Blue Lamp", "Old [red]Lamp[/x]", "Long Lamp", "Ashmead's Kernel", "Green Lamp",
        ]  # fmt: skip
        legend, months, bare = words_in(record_app, "head").splitlines()
        assert legend.strip().startswith("■ on the tree, ═ in store")
        assert "Jul" in months
        # Blue Lamp only took, so the weeks from 21 June to that of the first day of Old Lamp are bare.
        weeks = next(column for column in screen.columns if column.name == "weeks")
        rows = list(screen.rows.values())
        first = next(at for at, where in enumerate(rows[1].where) if where)
        assert bare[2 + weeks.start :].startswith("×" * first)
        assert first in (9, 10)  # about 1 September, which is in the week of 30 August
        assert "on the way: Blue Lamp." in words_in(record_app, "warnings")


async def test_bloom_by_groups_says_who_has_a_partner(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Bloom")
        await go(pilot, "slash", *"dull", "enter", "b")
        await write(pilot, "3")
        await go(pilot, "enter")
        assert Variety("apple", "Dull Lamp", bloom="3") in record_app.state.records.varieties
        assert graft(record_app, "g4").note == ""
        told = " ".join(words_in(record_app, "life_text").split())
        assert "Together with Blue Lamp: bloom groups 2 and 3, same or adjacent." in told
        # The third is Ashmead's Kernel, of which only a hobby list says when it blooms.
        assert "Varieties in bloom: 3 with a partner in bloom" in words_in(record_app, "warnings")


async def test_what_takes_names_the_interval(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "What takes")
        told = words_in(record_app, "reading_text")
        # 5 of 6: Wilson's interval for 5 of 6 is 43.6 to 97.0 %.
        assert words_in(record_app, "warnings") == "5 of 6 grafts took."
        assert "Wilson score interval, 95 %" in told


async def test_the_filter_looks_through_a_page(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await go(pilot, "slash", *"keep pear", "enter")
        assert list(record_app.screen.query_one(RowList).rows) == ["g6"]


async def test_a_tasting_by_the_mouse_alone(record_app, press_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await press_on(pilot, "taste")
        await pilot.pause()
        await pilot.click("#scores", offset=(4, 2))
        await until(pilot, lambda: len(record_app.state.records.tastings) > 8)
        assert [(one.graft, one.score) for one in record_app.state.records.tastings[8:9]] == [("g2", 3)]


async def test_y_copies_the_chart(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Ripening")
        await go(pilot, "y")
        assert record_app.clipboard.startswith("Blue Lamp, apple\nRipe about ")


@pytest.mark.parametrize("size", SIZES)
async def test_the_head_and_the_gaps_stay_in_sight_and_the_chosen_variety_says_why(record_app, seen_on, size) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Ripening")
        await go(pilot, "end", "up")
        seen = " ".join(seen_on(record_app).split())
        assert "nothing ripe ×" in seen
        assert "■ on the tree" in seen
        told = " ".join(words_in(record_app, "life_text").split())
        assert chosen(record_app) == "apple/Ashmead's Kernel"
        assert told.startswith("Ripe about ")
        assert "- tasted ripe here on 12 Oct 2023 and 10 Oct 2024 - as you noted: ripe from 5 Oct" in told
        await go(pilot, "down")
        assert words_in(record_app, "life_text").startswith("When it ripens is not known.")


async def test_a_variety_of_the_picture_is_found_and_changed(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        await show_page(pilot, "Ripening")
        await go(pilot, "slash", *"green", "enter")
        assert list(record_app.screen.query_one(RowList).rows) == ["apple/Green Lamp"]
        await go(pilot, "e", "tab", "tab", "tab")
        await write(pilot, "09-05 to 09-20")
        await go(pilot, "ctrl+s")
        assert Variety("apple", "Green Lamp", ripens="09-05 to 09-20") in record_app.state.records.varieties
        row = record_app.screen.rows["apple/Green Lamp"]
        assert (row.dates.pick.month, row.dates.pick.day, row.bears) == (9, 5, False)


@pytest.mark.parametrize("page", ["Tasting", "Verdict", "Ripening", "Bloom", "Varieties", "Cut and free", "What takes"])
async def test_every_page_stands_without_any_record(record_app, page) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "5")
        record_app.state = type(record_app.state)(TODAY, "Bare", "", "metric")
        await show_page(pilot, page)
        await go(pilot, "enter", "escape", "space", "v", "m", "y")
        assert record_app.is_running


async def test_fruit_that_must_not_be_eaten_yet_says_so_and_is_asked_about_once_more(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        bench = record_app._bench
        spray = {"product": "Wash", "day": "2026-04-10", "days_to_return": "0", "days_to_harvest": "7"}
        bench.records.entries.note("sprays", "t1", spray, TODAY)
        ripe = {"state": "bearing", "ripens_from": "04-05", "ripens_to": "04-20"}
        bench.records.entries.change("grafts", ("g3",), ripe, TODAY)
        record_app.state = replace(record_app.state, records=bench.records.read())
        await open_screen(pilot, "5")
        await until(pilot, lambda: "Not to be eaten yet: Blue Lamp." in words_in(record_app, "warnings"))
        assert "not until 18 Apr" in seen_on(record_app)
        assert "none of its fruit is to be eaten" in " ".join(words_in(record_app, "life_text").split())
        before = len(record_app.state.records.tastings)
        await go(pilot, "space", "4")
        await until(pilot, lambda: "Give the score again" in words_in(record_app, "fault"))
        assert len(record_app.state.records.tastings) == before
        await go(pilot, "4")
        assert len(record_app.state.records.tastings) == before + 1
