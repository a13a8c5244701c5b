"""Names that are markup, links, escape codes, queries or formulas are names: wherever they come out they do nothing."""

from __future__ import annotations

import csv
import re
import shutil
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import msgspec
import pytest
from fuzz_ground import NOW, FuzzGround, assert_inert
from nasty_values import CONTROLS, FORMULAS, MARKUP, QUERIES

from tendwork.dashboard.app import Dashboard
from tendwork.folder.csv_files import csv_text, parse_csv
from tendwork.orchard.records import Graft, RecordKind, Records, Tasting, Tree, Wood
from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.outputs.labels import labels_html
from tendwork.outputs.sheet_page import sheet_html
from tendwork.plain_text import is_blank
from tendwork.view.json_shape import trees_shape
from tendwork.workbench.bench import Workbench
from tendwork.workbench.exports import labels, sheet

_NAMES = tuple(name for name in dict.fromkeys(MARKUP + QUERIES + FORMULAS + CONTROLS) if name.strip())
NAMES = tuple(f"a{name}b" if is_blank(name) else name for name in _NAMES)  # a name of which nothing is seen is refused
TAGS = set(re.findall(r"\w+", "html head meta title style body main header footer section article h1 h2 h3 p ul ol li"))
TAGS |= set(re.findall(r"\w+", "table thead tbody tr th td div span br b strong em small dl dt dd time hr caption i"))


def orchard_of(names: tuple[str, ...]) -> Records:
    """A tree for each name, with a graft and a bundle of that name on it, told about in that name."""
    trees, grafts, wood, tastings = [], [], [], []
    set_on, cut_on, tasted_on = date(2026, 4, 8), date(2026, 1, 8), date(2025, 9, 9)
    for at, name in enumerate(names):
        trees.append(Tree(f"nt{at}", name, "apple", stock=name, place=name))
        grafts.append(Graft(f"ng{at}", f"nt{at}", name, name, name, state="set", set_on=set_on, note=name))
        wood.append(Wood(f"nw{at}", name, "apple", 3, cut_on, name, name, name, note=name))
        tastings.append(Tasting(tasted_on, f"ng{at}", "ripe", 3, name, name))
    return Records(trees=tuple(trees), grafts=tuple(grafts), wood=tuple(wood), tastings=tuple(tastings))


@pytest.fixture(scope="module")
def ground(tmp_path_factory: pytest.TempPathFactory) -> FuzzGround:
    """A folder whose records database holds every such name."""
    ground = FuzzGround(tmp_path_factory.mktemp("inert"))
    bench = Workbench.open(ground.path)
    with bench._folder.records.act("such names") as act:
        for kind in ("trees", "grafts", "wood", "tastings"):
            for record in getattr(orchard_of(NAMES), kind):
                act.add(record)
    bench.close()
    return ground


@pytest.fixture(scope="module")
def bench(ground: FuzzGround) -> Workbench:
    return Workbench.open(ground.path)


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}


def test_a_database_keeps_such_names_as_they_are_and_stays_whole(bench: Workbench) -> None:
    assert {tree.name for tree in bench.records.read().trees} >= set(NAMES)
    assert bench._folder.records.faults() == ()


def test_every_text_for_a_terminal_shows_such_names_without_their_effect(ground: FuzzGround, bench: Workbench) -> None:
    ground.look_at(NOW, records=bench.records.read())


def test_such_names_make_no_element_on_a_page_to_print(bench: Workbench) -> None:
    for page in (sheet_html(sheet(bench, NOW)), labels_html(labels(bench), "=1+1 <script>")):
        read = _Page()
        read.feed(page)
        assert read.tags <= TAGS
        assert not {name for name in read.attributes if name.startswith("on") or name in ("href", "src")}


def test_such_names_make_no_line_in_a_calendar(bench: Workbench) -> None:
    place = CalendarSite("=1+1\r\nATTACH:x", "Europe/London")
    text = calendar_of(
        events_of(bench.plan.of(NOW).plan, bench.plan.of(NOW).week.tasks, place, bench.templates.loaded().cards),
        NOW,
        place,
    ).decode()
    assert_inert(text.replace("\r\n", "\n"))
    unfolded = text.replace("\r\n ", "")
    assert {re.split("[;:]", line)[0] for line in unfolded.split("\r\n") if line} <= {
        "BEGIN", "END", "PRODID", "VERSION", "CALSCALE", "NAME", "X-WR-CALNAME", "X-WR-TIMEZONE", "UID", "DTSTAMP",
        "LAST-MODIFIED", "SEQUENCE", "STATUS", "DTSTART", "DTEND", "SUMMARY", "TRANSP", "DESCRIPTION", "LOCATION",
        "CATEGORIES", "ACTION", "TRIGGER", "X-TENDWORK-ORCHARD", "X-TENDWORK-CONTENT",
    }  # fmt: skip


@pytest.mark.parametrize("kind", ["trees", "grafts", "wood", "tastings"])
def test_no_cell_of_a_csv_file_begins_like_a_formula_and_it_reads_back_the_same(kind: RecordKind) -> None:
    text = csv_text(kind, getattr(orchard_of(NAMES), kind))
    cells = [cell for row in csv.reader(text.splitlines()) for cell in row]
    assert not [cell for cell in cells if cell[:1] in tuple("=+-@|\t\r")]
    read = parse_csv(text, kind, "x.csv").records
    assert csv_text(kind, read) == text
    plain_names = tuple(name for name in NAMES if name.isprintable() and name == name.strip() and name)
    held = getattr(orchard_of(plain_names), kind)
    assert parse_csv(csv_text(kind, held), kind, "x.csv").records == held


@pytest.mark.parametrize("name", ["'=1+1", "''@x", "'", "-", "''", "'a", "＝1"])
def test_apostrophes_of_a_name_s_own_are_kept(name: str) -> None:
    (tree,) = parse_csv(csv_text("trees", [Tree("t1", name, "apple")]), "trees", "x.csv").records
    assert tree.name == name  # type: ignore[union-attr]


def test_such_names_come_through_json_letter_by_letter(bench: Workbench) -> None:
    shape = msgspec.json.decode(msgspec.json.encode(trees_shape(bench.records.read(), date(2026, 4, 20))))
    said = {value for tree in shape["trees"] for value in tree.values() if isinstance(value, str)}
    assert said >= {name for name in NAMES if name.isprintable()}


@pytest.mark.fuzz
@pytest.mark.anyio
@pytest.mark.parametrize("anyio_backend", ["asyncio"])
async def test_such_names_are_neither_links_nor_orders_on_any_screen(ground: FuzzGround, tmp_path: Path) -> None:
    folder = Path(shutil.copytree(ground.path, tmp_path / "orchard"))
    app = Dashboard(Workbench.open(folder), NOW)
    async with app.run_test(size=(120, 40)) as pilot:
        for key in "1234567":
            await pilot.press(key, "down", "down")
            await app.workers.wait_for_complete()
            await pilot.pause()
            for strip in app.screen._compositor.render_strips():
                assert_inert(strip.text)
                for segment in strip:
                    assert segment.style is None or segment.style.link is None
                    meta = segment.style.meta if segment.style else {}
                    orders = [str(order) for name, order in meta.items() if name.startswith("@")]
                    assert not [order for order in orders if "quit" in order]
        assert app._exception is None
