"""A small real orchard folder under the fuzz, and all that is made of one plan of it."""

from __future__ import annotations

import json
import re
from datetime import date
from functools import cache
from pathlib import Path

import msgspec
from hill import SITE

from tendwork.almanac.almanac import Almanac
from tendwork.almanac.seasons import Season, season_of
from tendwork.folder.fields import KINDS
from tendwork.folder.loaded_templates import LoadedTemplates
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.site import Site, read_site
from tendwork.folder.templates import load_templates
from tendwork.folder.variety_lists import variety_reference
from tendwork.orchard.records import Records
from tendwork.orchard.varieties import VarietyBook
from tendwork.outputs.calendar import calendar_of
from tendwork.outputs.cutting_page import cutting_html, cutting_page_of, cutting_text
from tendwork.outputs.events import CalendarSite, events_of
from tendwork.outputs.labels import bundle_labels, labels_html, labels_of, labels_text
from tendwork.outputs.report_page import report_html
from tendwork.outputs.sheet import sheet_of
from tendwork.outputs.sheet_page import sheet_html, sheet_text
from tendwork.planning.adjustments import Adjustments
from tendwork.planning.choosing import Wishes, propose
from tendwork.planning.cutting_list import cutting_list
from tendwork.planning.fruit_spans import fruit_spans
from tendwork.planning.fruit_years import FruitYears, fruit_years
from tendwork.planning.graft_asking import wood_needs
from tendwork.planning.ripening_dates import RipeDates, ripening_dates
from tendwork.planning.season_learned import season_learned
from tendwork.planning.season_report import season_report
from tendwork.planning.wood_offers import wood_offers
from tendwork.planning.wood_parcels import wood_parcels
from tendwork.planning.work_bars import wishes_on
from tendwork.view import json_shape
from tendwork.view.choosing import proposal_shape, proposal_text
from tendwork.view.days import days_text
from tendwork.view.fruit import fruit_page, fruit_shape
from tendwork.view.plain import season_text, stages_text, trees_text, week_text, why_text
from tendwork.view.rates import rates_shape
from tendwork.view.report_blocks import report_text
from tendwork.view.report_shape import report_shape
from tendwork.view.season_report import report_page
from tendwork.view.varieties import varieties_text
from tendwork.view.wood import wood_page, wood_page_shape
from tendwork.view.wood_swaps import ask_text, offer_text, pack_text
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_cache import PlannedDay
from tendwork.workbench.plan_inputs import seen_of
from tendwork.workbench.plan_making import AlmanacCache, plan_day

NOW = date(2026, 5, 6)
DAYS = (date(2026, 2, 3), NOW, date(2026, 10, 31), date(2024, 2, 29))
RECORDS = {
    "trees": """id,name,species,stock,planted,place,height_m
t1,Old apple,apple,M25,1990,gate,5.5
t2,Wall pear,pear,Quince A,2001,,
""",
    "wood": """id,variety,species,sticks,cut_on,from,kept,promised_to,promised_sticks,note
w1,Green Lamp,apple,3,2026-01-10,an invented friend,fridge,a neighbour,1,
""",
    "grafts": """id,tree,variety,method,wrap,state,set_on,height_m,wood,chill,ripens_from,ripens_to,verdict
g1,t1,Red Lamp,cleft,PVC tape,set,2026-04-10,2.5,w1,60,09-01,10-20,on trial
g3,t1,Green Lamp,cleft,budding rubber,planned,,1.2,,,,,
g4,t2,Long Lamp,whip and tongue,raffia,bearing,2021-04-14,1,,,12-20,01-10,keep
""",
    "sightings": """date,species,tree,stage,note
2026-03-20,apple,t1,green tip,seen from the gate
2025-04-20,apple,,full bloom,
2026-03-15,pear,t2,green tip,
""",
    "tastings": """date,graft,ripe,score,use,note
2025-09-20,g4,ripe,4,keeping,sharp
2025-10-20,g1,too early,2,,
""",
    "lives": """graft,variety,method,wrap,seal,state,set_on,ended_on,wood,verdict,note
g1,Older Lamp,cleft,raffia,wax,failed,2023-04-10,2023-06-01,,on trial,dried out
g4,Oldest Lamp,side,PVC tape,,removed,2015-04-10,2020-02-01,,cut,
""",
    "troubles": """date,tree,trouble,note
2025-06-14,t2,fire blight,one shoot
2026-05-01,t1,leaf curl,
""",
    "sprays": """date,tree,product,days_to_return,days_to_harvest,note
2026-05-04,t1,An invented wash,2,14,
2025-04-04,t2,An invented oil,,,the label is gone
""",
    "varieties": """species,variety,also,bloom,pollen,ripens,keeps,vigour,chill,use,source,note
apple,Older Lamp,"Lamp Rouge, Rubin",3,triploid,09-15 to 10-02,Mar,strong,52.5,cider,a neighbour,
pear,Long Lamp,,+4 days,,Bing -12,,,,,,
""",
    "ticks": """date,task,unit,outcome,note,undone
2026-05-08,check-take/t1/2026,g1,took,,
2026-02-01,prune-apple/t1/2026,t1,done,a note,
2026-05-09,check-take/t1/2026,g1,not yet,,yes
""",
}
_CARD = 'title = "x"\nline = "x"\npoints = ["x"]\ndefer = "x"\nsource = "x"\n'
_RAW = re.compile(r"[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


class HeldFolder(OrchardFolder):
    """The folder with records that stand in no file."""

    def __init__(self, path: Path, site: Site, held: Records) -> None:
        super().__init__(path, site)
        self._held = held

    @property
    def records(self) -> HeldFolder:  # type: ignore[override]
        return self

    def read(self) -> Records:
        return self._held


class FuzzGround:
    """A folder with two trees, its cards and a few templates, and a place for the file under the fuzz."""

    def __init__(self, place: Path) -> None:
        self.place = place
        self.path = place / "orchard"
        Workbench.begin(self.path, name="Test hill", timezone="Europe/London", latitude=52.1, longitude=-3.0).close()
        (self.path / "site.toml").write_text(SITE, encoding="utf-8")
        bench = Workbench.open(self.path)
        for kind in ("trees", "wood", "grafts", "sightings", "tastings", "lives", "troubles", "sprays", "varieties"):
            text = RECORDS[kind]
            file = place / f"{kind}.csv"
            file.write_text(text, encoding="utf-8")
            bench.records.bring(file, kind, date(2026, 11, 1))
        self.records = bench.records.read()
        bench.close()
        self.site = read_site(SITE)
        self.folder = OrchardFolder.open(self.path)
        self.all_templates = load_templates(None)
        wanted = {"check-take", "cut-scion-wood", "wrap-off"}
        few = tuple(held for at, held in enumerate(self.all_templates.templates) if held.id in wanted or at % 6 == 0)
        self.templates = LoadedTemplates(few, self.all_templates.cards)
        self.cards_only = place / "cards"
        self.cards_only.mkdir()
        cards = "".join(f'[[card]]\nid = "{name}"\n{_CARD}' for name in self.all_templates.cards)
        (self.cards_only / "cards.toml").write_text(cards, encoding="utf-8")
        self._own_shelf = AlmanacCache(HeldFolder(self.path, self.site, self.records))

    def look_at(
        self,
        day: date,
        site: Site | None = None,
        records: Records | None = None,
        templates: LoadedTemplates | None = None,
        adjustments: Adjustments | None = None,
    ) -> PlannedDay:
        """Plan one day and make every text of it. Raises whatever the product raises."""
        site, records = site or self.site, records or self.records
        templates = templates or self.templates
        folder = HeldFolder(self.path, site, records)
        almanac_cache = self._almanac_cache(folder, site)
        made = plan_day(folder, almanac_cache, templates, adjustments or Adjustments(), day, "", None, None)
        almanac = almanac_cache.cached(records, (adjustments or Adjustments()).site, day).almanac
        lists = variety_reference()

        def dates_of(season: Season) -> tuple[RipeDates, ...]:
            return ripening_dates(records, lists, almanac, site.south, day, season)

        show(made, day, site, records, templates, fruit_years(dates_of, day, site.south))
        show_season(made, day, site, records, almanac, dates_of(season_of(day, site.south)))
        return made

    @cache  # noqa: B019
    def made_now(self) -> PlannedDay:
        """One plan, for what needs any."""
        return self.look_at(NOW)

    def _almanac_cache(self, folder: HeldFolder, site: Site) -> AlmanacCache:
        """One almanac for each day serves all cases that leave the site alone."""
        return AlmanacCache(folder) if site is not self.site else self._own_shelf


def show_season(
    made: PlannedDay, day: date, site: Site, records: Records, almanac: Almanac, dates: tuple[RipeDates, ...]
) -> None:
    """Make the report of the season of one plan as text, page and shape."""
    season, reference = season_of(day, site.south), variety_reference()
    learned = season_learned(records, reference, seen_of(records), almanac, almanac, season, day)
    spans = fruit_spans(records, dates, VarietyBook(records, reference))
    report = season_report(records, season, day, made.plan.tasks, spans, almanac, learned)
    page = report_page(report, site.name, site.units)
    assert_inert(report_text(page))
    report_html(page)
    json.dumps(report_shape(report))


def show(
    made: PlannedDay,
    day: date,
    site: Site,
    records: Records,
    templates: LoadedTemplates,
    years: FruitYears,
) -> None:
    """Make every text and shape of one plan; no raw control character may be in what a terminal gets."""
    season = Season(made.plan.season, site.south)
    sheet = sheet_of(made.week.tasks, day, templates.cards, site.name, site.units)
    lines = cutting_list(records, day, site.south)
    cutting = cutting_page_of(lines, day, site.name, site.units)
    proposal = propose(records, day, site.south, years.of_season(day).dates, Wishes(), variety_reference())
    needs = wood_needs(proposal, {})
    texts = [
        week_text(made.week.tasks, day, site.name, made.words, 80),
        days_text(made.week, 80),
        season_text(made.plan, made.stages, season, 80),
        stages_text(made.stages, day, 80),
        trees_text(records, 80, day),
        wood_page(records, day, 14, 80, site.south),
        ask_text(wishes_on(records, day, site.south), {}, day, 80),
        offer_text(wood_offers(records, day, site.south), 80),
        pack_text(wood_parcels(records, day, site.south), records, None, day, 80),
        cutting_text(cutting),
        fruit_page(records, day, site.units, 80, years, variety_reference()),
        proposal_text(proposal, needs, records.trees, day, site.south, site.units, 80),
        varieties_text(records, variety_reference(), 80),
        sheet_text(sheet),
        *(why_text(task, templates.cards, day, 80) for task in made.plan.tasks[:4]),
    ]
    for text in texts:
        assert_inert(text)
    labels = labels_of(records)
    assert_inert(labels_text((*labels, *bundle_labels(records, lines, day))).replace("\t", " "))
    shapes = (
        json_shape.week_shape(made.week, day, made.frost),
        json_shape.season_shape(made.plan),
        json_shape.stages_shape(made.stages, day, made.plan.season),
        json_shape.trees_shape(records, day),
        wood_page_shape(records, day, 14, site.south),
        fruit_shape(records, day, years, variety_reference()),
        proposal_shape(proposal, needs, day, site.south),
        rates_shape(records),
    )
    for shape in shapes:
        msgspec.json.decode(msgspec.json.encode(shape))
    sheet_html(sheet).encode()
    labels_html(labels, site.name).encode()
    cutting_html(cutting).encode()
    place = CalendarSite(site.name, site.timezone, units=site.units, south=site.south)
    events = events_of(made.plan, made.week.tasks, place, templates.cards)
    if events:
        calendar_of(events, day, place, b"", "season.ics")


def assert_inert(text: str) -> None:
    found = _RAW.search(text)
    assert found is None, f"a raw {found[0]!r} in {text[max(found.start() - 40, 0) : found.end() + 40]!r}"


def records_with(base: Records, kind: str, records: tuple[object, ...]) -> Records:
    assert kind in KINDS
    return msgspec.structs.replace(base, **{kind: records})
