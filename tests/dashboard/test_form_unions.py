"""A form says what is known against a union before it is saved, and saves it all the same."""

from __future__ import annotations

import pytest
from record_screens import go, graft, open_screen, record_app, words_in, write

__all__ = ["record_app"]

pytestmark = pytest.mark.anyio


async def test_a_planned_graft_is_warned_of_in_the_form_and_may_be_saved(record_app, seen_on) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "a")
        await write(pilot, "Late one")
        await go(pilot, "enter")
        assert words_in(record_app, "mind") == ""
        await go(pilot, *("tab",) * 20)  # round to the variety again; then back up to the species
        while record_app.focused.id != "species":
            await go(pilot, "tab")
        await write(pilot, "quince")
        await go(pilot, "enter")
        assert words_in(record_app, "mind") == "Quince on an apple limb does not take (from memory, no source)."
        assert "Quince on an apple limb does not take" in seen_on(record_app)
        await go(pilot, "ctrl+s")
        added = graft(record_app, "g8")
        assert (added.tree, added.variety, added.species, added.state) == ("t1", "Late one", "quince", "planned")
        assert "Quince on an apple limb does not take" in record_app.notice.text


@pytest.mark.parametrize("size", [(80, 24), (60, 20)])
async def test_a_tree_on_a_stock_that_may_fail_is_warned_of_whole_until_it_is_bridged(
    record_app, seen_on, size
) -> None:
    async with record_app.run_test(size=size) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "n")
        await write(pilot, "Young pear")
        await go(pilot, "enter")
        await write(pilot, "pear")
        await go(pilot, "enter")
        await write(pilot, "Quince C")
        await go(pilot, "enter")
        assert record_app.focused.id == "interstem"
        assert words_in(record_app, "mind").startswith("Pear on Quince C takes with some varieties")
        shown = seen_on(record_app)
        assert shown.count("Pear on Quince C") == 1
        assert "Comice." in shown  # the last word of the sentence
        await write(pilot, "Comice")
        await go(pilot, "enter")
        assert words_in(record_app, "mind") == ""
        await go(pilot, "ctrl+s")
        added = record_app.state.records.trees[-1]
        assert (added.name, added.stock, added.interstem) == ("Young pear", "Quince C", "Comice")


async def test_a_change_of_the_stock_is_warned_of_too(record_app) -> None:
    async with record_app.run_test(size=(80, 24)) as pilot:
        await open_screen(pilot, "3")
        await go(pilot, "home", "e")
        while record_app.focused.id != "stock":
            await go(pilot, "tab")
        await write(pilot, "Quince A")
        await go(pilot, "tab")
        assert words_in(record_app, "mind").startswith("Apple on Quince A does not take")
