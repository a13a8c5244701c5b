"""Graft: what is proposed for next spring, and all that a person may wish of it, by key presses and by mouse."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from from_always import write_from_always
from msgspec.structs import replace
from record_screens import go, graft, open_screen, words_in, write
from settling import settled
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.dashboard.screens.graft import CandidateList, GraftScreen, PlaceList
from tendwork.dashboard.screens.graft_limits import GraftLimitsScreen
from tendwork.dashboard.screens.menu import MenuScreen
from tendwork.dashboard.widgets.crown_view import CrownPlan
from tendwork.planning.choosing import Wishes
from tendwork.planning.graft_picks import Pick
from tendwork.workbench.bench import Workbench
from tendwork.workbench.records_room import RecordsRoom

pytestmark = pytest.mark.anyio

TODAY = date(2026, 11, 20)
SIZES = [(80, 24), (120, 40), (60, 20), (200, 50)]
# An invented orchard. What is kept is ripe 1 to 28 September, so 22 of the 27 weeks are bare. First, Second and Third
# fill four, two and one of them.
TREES = "id,name,species,stock,planted\nt1,Hill [/b] apple,apple,seedling,1970\nt2,Gate apple,apple,seedling,1990\n"
GRAFTS = (
    "id,tree,variety,method,state,set_on,facing,height_m,out_m,ripens_from,ripens_to,verdict\n"
    + "".join(
        f"g{n},t{1 if n < 22 else 2},Kept [red]Lamp,cleft,bearing,2015-04-10,{n * 12},2,{n / 10},09-01,09-28,keep\n"
        for n in range(10, 28)
    )
    + "".join(f"g{n},t1,Lost {n},cleft,removed,2015-04-10,{(n - 40) * 40},2,2,,,cut\n" for n in (41, 42, 43))
    + "g44,t1,Dull Lamp,cleft,bearing,2015-04-10,200,2,2,,,cut\n"
    + "g51,t2,Lost 51,cleft,removed,2015-04-10,200,2,2,,,cut\n"
)
VARIETIES = """species,variety,ripens
apple,First [/x] Summer,06-28 to 07-25
apple,Second Summer,08-02 to 08-15
apple,Third Summer,08-23 to 09-05
apple,Spare Pippin,09-05 to 09-10
apple,Unknown Psalm,
"""
WOOD = "id,variety,species,sticks,cut_on,from\nw1,Riddle,apple,3,2026-11-10,A. Friend\n"
BARE, PLACES, PROPOSED = 22, 5, 5


def begun(place: Path, **texts: str) -> Path:
    """An orchard of these CSV files, by their kinds."""
    bench = Workbench.begin(place / "orchard", name="Hill", timezone="UTC", latitude=52.1, longitude=-3.0)
    for kind, text in texts.items():
        bench.records.bring(write_from_always(place / f"{kind}.csv", kind, text), kind, TODAY)
    bench.close()
    return place / "orchard"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("choosing")
    return begun(place, trees=TREES, wood=WOOD, varieties=VARIETIES, grafts=GRAFTS)


@pytest.fixture
def on_the_folder(monkeypatch: pytest.MonkeyPatch) -> Callable[[Path], Dashboard]:
    """A dashboard on a folder, which makes no plan: the screen lives on the records alone."""
    monkeypatch.setattr(Dashboard, "replan", lambda *_: None)
    return lambda folder: Dashboard(Workbench.open(folder), TODAY)


@pytest.fixture
def graft_app(made: Path, tmp_path: Path, on_the_folder) -> Dashboard:
    return on_the_folder(Path(shutil.copytree(made, tmp_path / "orchard")))


def screen(app: Dashboard) -> GraftScreen:
    assert isinstance(app.screen, GraftScreen)
    return app.screen


def proposed(app: Dashboard) -> dict[str, str]:
    """What is proposed, by place."""
    shown = screen(app).made
    assert shown is not None
    return {line.place.id: line.candidate.variety for line in shown.proposal.lines}


def pinned(app: Dashboard) -> set[str]:
    shown = screen(app).made
    assert shown is not None
    return {line.place.id for line in shown.proposal.lines if line.pinned}


def forbids(app: Dashboard) -> tuple[Pick, ...]:
    return screen(app).wishes.forbids


async def choose(pilot: Pilot, place: str) -> None:
    """Put the cursor on a place."""
    screen(pilot.app).choose(f"place/{place}")
    await settled(pilot)


async def choose_candidate(pilot: Pilot, place: str, variety: str) -> None:
    """Go to the candidates for a place, with the cursor on one of them."""
    await choose(pilot, place)
    await go(pilot, "enter")
    pilot.app.screen.query_one(CandidateList).choose(f"candidate/apple/{variety}")
    await settled(pilot)


@pytest.mark.parametrize("size", SIZES)
async def test_the_season_stands_on_top_and_each_place_has_a_mark_and_a_word(graft_app, seen_on, size) -> None:
    async with graft_app.run_test(size=size) as pilot:
        await open_screen(pilot, "8")
        said = words_in(graft_app, "season")
        assert f"27 weeks from 21 Jun to 26 Dec: now {BARE} without ripe fruit" in said
        assert f"with these {PROPOSED} new grafts, once they bear, 15." in said
        assert "of grafting" in said
        assert len(proposed(graft_app)) == PROPOSED
        shown = seen_on(graft_app)
        assert "Hill [/b] apple (t1): apple" in shown
        assert "○ proposed" in shown
        assert "id   graft" in shown  # the names of the columns stand above them


async def test_the_reason_of_the_chosen_line_stands_below_in_a_sentence(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        place = next(place for place, variety in proposed(graft_app).items() if variety == "Second Summer")
        await choose(pilot, place)
        assert words_in(graft_app, "title").startswith(f"{place} on ")
        assert "Fills 2 weeks in which no other fruit is ripe" in words_in(graft_app, "life_text")


async def test_enter_on_a_place_and_on_a_candidate_pins_the_candidate_there(graft_app, seen_on) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose_candidate(pilot, "g44", "Unknown Psalm")
        assert "Unknown Psalm (apple) for g44" in words_in(graft_app, "title")
        assert "Goes nowhere" in words_in(graft_app, "life_text")
        await go(pilot, "enter")
        assert proposed(graft_app)["g44"] == "Unknown Psalm"
        assert pinned(graft_app) == {"g44"}
        assert "Unknown Psalm at g44 is pinned: " in graft_app.notice.text
        assert isinstance(graft_app.focused, PlaceList)
        assert "◆ pinned" in seen_on(graft_app)
        assert "1 pinned" in words_in(graft_app, "season")


async def test_what_a_pin_costs_in_weeks_is_said(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "minus", "minus", "minus")
        assert set(proposed(graft_app).values()) == {"First [/x] Summer", "Second Summer"}
        place = next(place for place, variety in proposed(graft_app).items() if variety.startswith("First"))
        await choose_candidate(pilot, place, "Third Summer")
        await go(pilot, "enter")
        # Of First (4 weeks) and Second (2), First stays; Third (1) takes the place of Second: 2 - 1 = 1 week more.
        assert "is pinned: 1 week more without ripe fruit" in graft_app.notice.text
        assert "out: Second Summer" in graft_app.notice.text


async def test_space_pins_what_is_proposed_and_lets_it_go_again(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g42")
        await go(pilot, "space")
        assert pinned(graft_app) == {"g42"}
        await go(pilot, "space")
        assert pinned(graft_app) == set()
        assert "is not pinned any more" in graft_app.notice.text


async def test_x_forbids_a_place_and_again_allows_it(graft_app, seen_on) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g51")
        await go(pilot, "x")
        assert "g51" not in proposed(graft_app)
        assert "⊘ forbidden" in seen_on(graft_app)
        assert "g51 is forbidden: " in graft_app.notice.text
        await go(pilot, "x")
        assert "g51" in proposed(graft_app)
        assert forbids(graft_app) == ()


async def test_x_on_a_candidate_forbids_it_everywhere(graft_app, seen_on) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose_candidate(pilot, "g41", "First [/x] Summer")
        await go(pilot, "x")
        assert "First [/x] Summer" not in proposed(graft_app).values()
        assert "4 weeks more without ripe fruit" in graft_app.notice.text
        assert "⊘ forbidden" in seen_on(graft_app)


async def test_d_forbids_a_variety_at_one_place_alone(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g41")
        variety = proposed(graft_app)["g41"]
        await go(pilot, "d")
        assert forbids(graft_app) == (Pick(variety, "g41"),)
        assert proposed(graft_app).get("g41") != variety
        await choose_candidate(pilot, "g41", variety)
        assert words_in(graft_app, "title").endswith("for g41: forbidden")
        await go(pilot, "d")
        assert forbids(graft_app) == ()


async def test_a_pin_takes_back_what_forbids_it(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g41")
        await go(pilot, "x")
        await choose_candidate(pilot, "g41", "Riddle")
        await go(pilot, "space")
        assert proposed(graft_app)["g41"] == "Riddle"
        assert forbids(graft_app) == ()


async def test_a_swap_says_what_it_costs_before_it_is_done(graft_app, seen_on) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        before = proposed(graft_app)
        await choose(pilot, "g41")
        await go(pilot, "m")
        assert isinstance(graft_app.screen, MenuScreen)
        assert f"g42, {before['g42']}: costs nothing" in seen_on(graft_app)
        await go(pilot, "1")
        after = proposed(graft_app)
        assert (after["g41"], after["g42"]) == (before["g42"], before["g41"])
        assert pinned(graft_app) == {"g41", "g42"}
        assert "are swapped: as many weeks without ripe fruit as before" in graft_app.notice.text


async def test_minus_and_plus_count_the_new_grafts(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "minus")
        assert len(proposed(graft_app)) == PROPOSED - 1
        assert "at most 4 new grafts" in words_in(graft_app, "season")
        assert "1 graft fewer" in graft_app.notice.text
        await go(pilot, "plus")
        assert screen(graft_app).wishes == Wishes()
        await go(pilot, "plus")
        assert graft_app.notice.text == "There is no limit to the number."


async def test_the_form_takes_grafts_and_hours_and_refuses_what_is_no_number(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "n")
        assert isinstance(graft_app.screen, GraftLimitsScreen)
        await write(pilot, "two")
        await go(pilot, "ctrl+s")
        assert "no number of grafts" in words_in(graft_app, "fault")
        await go(pilot, "backspace", "backspace", "backspace", "2", "enter")
        await write(pilot, "40")
        await go(pilot, "enter")
        assert screen(graft_app).wishes == Wishes(2, 40.0)
        assert len(proposed(graft_app)) == 2
        assert "there is time for" in graft_app.notice.text
        assert "fit into 40 h" in words_in(graft_app, "season")


async def test_what_cannot_be_is_said_and_the_last_wish_taken_back(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g41")
        await go(pilot, "space")
        kept = proposed(graft_app)
        await go(pilot, "n", "0", "ctrl+s")
        assert graft_app.notice.trouble
        assert "Your last wish was taken back." in graft_app.notice.text
        assert screen(graft_app).wishes == Wishes(pins=(Pick(kept["g41"], "g41"),))
        assert proposed(graft_app) == kept


async def test_what_does_not_stand_at_a_place_is_pinned_only_once_that_was_read(tmp_path, on_the_folder) -> None:
    cherry = VARIETIES + "sweet cherry,Black Lamp,07-01 to 07-10\n"
    app = on_the_folder(begun(tmp_path, trees=TREES, varieties=cherry, grafts=GRAFTS))
    async with app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g41")
        await go(pilot, "enter", "end")
        assert words_in(app, "title") == "Black Lamp (sweet cherry) for g41: cannot"
        await go(pilot, "space")
        assert "does not take on Hill [/b] apple (apple), or not for long." in app.notice.text
        assert pinned(app) == set()
        await go(pilot, "space")
        assert proposed(app)["g41"] == "Black Lamp"


async def test_accepting_plans_the_grafts_in_one_act_and_undo_brings_all_back(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g44")
        await go(pilot, "space")
        lines, wishes, before = proposed(graft_app), screen(graft_app).wishes, graft_app.state.records
        await go(pilot, "a")
        planned = [one for one in graft_app.state.records.grafts if one.state == "planned"]
        assert sorted(one.variety for one in planned) == sorted(lines.values())
        assert graft(graft_app, "g41").variety == lines["g41"]
        assert graft_app.notice.text.startswith("5 grafts planned as proposed: ")
        assert screen(graft_app).wishes == Wishes()
        assert proposed(graft_app) == {}
        assert "No place is free and no limb is judged cut." in words_in(graft_app, "title")
        await go(pilot, "u")
        assert graft_app.state.records == before
        assert screen(graft_app).wishes == wishes
        assert proposed(graft_app) == lines


async def test_grafts_other_than_those_shown_are_not_planned_but_shown(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        now = proposed(graft_app)
        shown = screen(graft_app).made
        # as if another process had written since: what stands on the screen lacks its first line
        older = replace(shown.proposal, lines=shown.proposal.lines[1:])
        screen(graft_app).made = replace(shown, proposal=older)
        screen(graft_app).show_proposal()
        before = graft_app.state.records
        assert proposed(graft_app) != now
        await go(pilot, "a")
        assert "The records changed since: " in graft_app.notice.text
        assert graft_app.state.records == before
        assert proposed(graft_app) == now


async def test_undo_takes_the_last_wish_back_before_any_act(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        before = graft_app.state.records
        await go(pilot, "minus", "minus", "u")
        assert screen(graft_app).wishes == Wishes(new=4)
        assert "Your last wish is undone: " in graft_app.notice.text
        await go(pilot, "u")
        assert screen(graft_app).wishes == Wishes()
        assert graft_app.state.records == before


async def test_z_drops_all_wishes_and_undo_brings_them_back(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "space", "minus", "z")
        assert screen(graft_app).wishes == Wishes()
        await go(pilot, "u")
        assert screen(graft_app).wishes.new == 4
        assert pinned(graft_app) == {"g41"}


async def test_wishes_stay_while_the_person_is_on_another_screen(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "space")
        await open_screen(pilot, "3")
        await open_screen(pilot, "8")
        assert pinned(graft_app) == {"g41"}


async def test_a_pin_whose_place_went_is_dropped_and_the_others_stay(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g41")
        await go(pilot, "space")
        await choose(pilot, "g42")
        await go(pilot, "space")
        await graft_app.attempt(lambda bench, today: bench.records.entries.remove("grafts", ("g41",), today))
        await settled(pilot)
        assert pinned(graft_app) == {"g42"}
        assert "so these wishes are dropped: " in graft_app.notice.text
        assert "at g41." in graft_app.notice.text


@pytest.fixture
def held_up(monkeypatch: pytest.MonkeyPatch) -> Callable[[], tuple[threading.Event, list[Wishes]]]:
    """From when it is called on, proposals wait for the event; the wishes that were begun with are listed."""

    def hold() -> tuple[threading.Event, list[Wishes]]:
        go_on, begun_with, proposal = threading.Event(), [], RecordsRoom.proposal

        def slow(room: RecordsRoom, wishes: Wishes, today: date) -> object:
            begun_with.append(wishes)
            assert go_on.wait(20)
            return proposal(room, wishes, today)

        monkeypatch.setattr(RecordsRoom, "proposal", slow)
        return go_on, begun_with

    return hold


async def test_of_many_wishes_at_once_the_newest_alone_is_shown_and_those_between_are_not_begun(
    graft_app, held_up
) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        go_on, begun_with = held_up()
        for _ in range(3):
            await pilot.press("minus")
            await pilot.pause()
        go_on.set()
        await settled(pilot)
        assert len(proposed(graft_app)) == 2
        assert "At most 2 new grafts: " in graft_app.notice.text
        assert "3 grafts fewer" in graft_app.notice.text
        assert [wishes.new for wishes in begun_with] == [4, 2]


async def test_keys_work_while_a_proposal_is_calculated(graft_app, held_up) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        go_on, _ = held_up()
        await pilot.press("minus", "down")
        await pilot.pause()
        assert words_in(graft_app, "title").startswith("g42 on")
        assert len(proposed(graft_app)) == PROPOSED
        await pilot.press("a")
        await pilot.pause()
        assert "is being calculated" in graft_app.notice.text
        go_on.set()
        await settled(pilot)
        assert len(proposed(graft_app)) == PROPOSED - 1
        assert not [one for one in graft_app.state.records.grafts if one.state == "planned"]


async def test_a_mouse_alone_chooses_a_place_pins_a_candidate_and_accepts(graft_app, press_on) -> None:
    async with graft_app.run_test(size=(120, 40)) as pilot:
        await open_screen(pilot, "8")
        places, candidates = graft_app.screen.query_one(PlaceList), graft_app.screen.query_one(CandidateList)
        await pilot.click(places, offset=(6, places.rows.index("place/g44")))
        await settled(pilot)
        assert words_in(graft_app, "title").startswith("g44 on")
        spare = candidates.rows.index("candidate/apple/Spare Pippin")
        await pilot.click(candidates, offset=(6, spare))
        await settled(pilot)
        assert words_in(graft_app, "title").startswith("Spare Pippin (apple) for g44")
        await pilot.click(candidates, offset=(6, spare))
        await settled(pilot)
        assert proposed(graft_app)["g44"] == "Spare Pippin"
        await pilot.click(places, offset=(0, places.rows.index("place/g51")))
        await settled(pilot)
        assert pinned(graft_app) == {"g44", "g51"}
        await press_on(pilot, "a accept", "KeyLine")
        await settled(pilot)
        assert graft_app.notice.text.startswith("5 grafts planned as proposed: ")


async def test_the_names_of_the_parts_can_be_pressed_on_a_narrow_screen(graft_app, press_on, seen_on) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await press_on(pilot, "Candidates", "PageLine")
        await settled(pilot)
        assert "nothing ripe" in seen_on(graft_app)
        await press_on(pilot, "Crown", "PageLine")
        await settled(pilot)
        assert isinstance(graft_app.focused, CrownPlan)
        await press_on(pilot, "Places", "PageLine")
        await settled(pilot)
        assert isinstance(graft_app.focused, PlaceList)


async def test_the_crown_shows_the_chosen_place_as_it_would_be_and_leads_from_place_to_place(graft_app) -> None:
    async with graft_app.run_test(size=(120, 40)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g42")
        assert f"{proposed(graft_app)['g42']} (g42), planned" in words_in(graft_app, "crown_text")
        await go(pilot, "p")
        assert isinstance(graft_app.focused, CrownPlan)
        graft_app.screen.query_one(CrownPlan).post_message(CrownPlan.Chosen("g43"))
        await settled(pilot)
        assert graft_app.screen.query_one(PlaceList).chosen == "place/g43"
        graft_app.screen.query_one(CrownPlan).post_message(CrownPlan.Chosen("g12"))
        await settled(pilot)
        assert graft_app.screen.query_one(PlaceList).chosen == "place/g43"
        assert "Kept [red]Lamp (g12), bearing" in words_in(graft_app, "crown_text")
        await go(pilot, "escape")
        assert isinstance(graft_app.focused, PlaceList)


async def test_the_filter_and_the_order_are_of_the_candidates(graft_app) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "slash", "s", "p", "a", "r", "e", "enter")
        candidates = graft_app.screen.query_one(CandidateList)
        assert list(candidates.rows) == ["candidate/apple/Spare Pippin"]
        await go(pilot, "escape", "o")
        names = [row.removeprefix("candidate/apple/") for row in candidates.rows]
        assert names == sorted(names, key=str.casefold)
        assert len(names) == 6


async def test_the_weeks_of_a_candidate_stand_in_ascii_on_the_plain_console(graft_app, seen_on) -> None:
    graft_app.ascii_only = True
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await choose(pilot, "g41")
        await go(pilot, "enter")
        line = next(line for line in seen_on(graft_app).splitlines() if " Second Summer" in line)
        assert "......##..................." in line
        assert " o g" in line


async def test_the_whole_proposal_is_read_and_copied(graft_app, seen_on) -> None:
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        await go(pilot, "space", "w")
        assert "What to graft next spring: 5 grafts proposed." in seen_on(graft_app)
        await go(pilot, "w")
        said = screen(graft_app).view_text()
        assert "1 pinned." in said
        assert "Nothing is written until you accept it with a." in said.replace("\n", " ")
        assert screen(graft_app).copied_text().startswith("g41 on Hill [/b] apple: ")


async def test_without_a_place_it_is_said_how_one_comes_to_be(tmp_path, on_the_folder) -> None:
    kept = "\n".join(line for line in GRAFTS.splitlines() if "removed" not in line and "Dull" not in line) + "\n"
    app = on_the_folder(begun(tmp_path, trees=TREES, varieties=VARIETIES, grafts=kept))
    async with app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        assert words_in(app, "title") == "No place is free and no limb is judged cut."
        assert "Judge a graft cut with v in Trees (3)" in words_in(app, "life_text")
        await go(pilot, "space", "x", "d", "m", "enter", "a")
        assert "There is nothing to accept: no graft is proposed." in app.notice.text


async def test_without_a_candidate_it_is_said_how_one_comes_to_be(tmp_path, on_the_folder) -> None:
    app = on_the_folder(begun(tmp_path, trees=TREES, grafts=GRAFTS.replace(",keep\n", ",on trial\n")))
    async with app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "8")
        assert "No graft is proposed." in words_in(app, "season")
        await go(pilot, "right")
        assert words_in(app, "title") == "There is no variety to graft."
        assert "with a in Wood (4)" in words_in(app, "life_text")


async def test_nothing_is_calculated_until_the_screen_is_opened(graft_app, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    proposal = RecordsRoom.proposal
    monkeypatch.setattr(RecordsRoom, "proposal", lambda *args: (asked.append(1), proposal(*args))[1])
    async with graft_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        assert asked == []
        await open_screen(pilot, "8")
        assert asked == [1]
