"""An invented orchard for the screens of records, and what their tests do again and again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from from_always import write_from_always
from settling import settled
from textual.pilot import Pilot

from tendwork.dashboard.app import Dashboard
from tendwork.orchard.records import Graft
from tendwork.workbench.bench import Workbench

TODAY = date(2026, 4, 11)

TREES = """id,name,species,stock,planted,place
t1,Hill apple,apple,seedling,1970,top of the hill
t2,Barn [/b] pear,pear,quince,2008,barn wall
"""
GRAFTS = """id,tree,variety,method,wrap,seal,state,set_on,facing,height_m,out_m,wood,ripens_from,ripens_to,note,verdict
g1,t1,Ashmead's Kernel,cleft,raffia,wax,bearing,2015-04-10,0,3.0,2.0,,10-05,10-20,best keeper,keep
g2,t1,Old [red]Lamp[/x],cleft,raffia,wax,bearing,2016-04-10,90,2.5,2.0,,09-01,09-20,,on trial
g3,t1,Blue Lamp,bark,film,none,took,2025-04-20,180,1.2,2.0,,08-01,08-12,bloom group 2,on trial
g4,t1,Dull Lamp,side,film,none,bearing,2017-04-12,270,1.8,2.0,,09-10,09-25,bloom group 5,cut
g5,t1,Green Lamp,whip and tongue,PVC tape,wax,planned,,45,2.0,1.5,w1,,,,on trial
g6,t2,Long Lamp,whip and tongue,raffia,wax,bearing,2012-04-01,,,,,09-15,10-01,,keep
g7,t2,Short Lamp,chip bud,film,none,failed,2025-08-10,,,,,,,,on trial
"""
WOOD = """id,variety,species,sticks,cut_on,from,kept,promised_to,promised_sticks,note
w1,Green Lamp,apple,4,2026-01-20,R. Dale,fridge,P. Weir,1,
w2,Old [red]Lamp[/x],apple,2,2025-11-01,t1,sand pit,,0,thin
w3,Far Lamp,apple,3,,A. Holt,,,0,to come
"""
TASTINGS = """date,graft,ripe,score,use,note
2023-10-12,g1,ripe,5,eating,sharp
2024-10-10,g1,ripe,5,keeping,
2023-09-12,g4,ripe,2,juice,dull
2024-09-14,g4,ripe,2,juice,
2025-09-13,g4,ripe,2,juice,
2023-09-10,g2,ripe,4,eating,
2024-09-09,g2,ripe,5,eating,
2025-09-08,g2,ripe,4,eating,
"""


def make_folder(place: Path) -> Path:
    """The orchard's folder."""
    folder = place / "orchard"
    bench = Workbench.begin(folder, name="Hill", timezone="UTC", latitude=52.1, longitude=-3.0)
    for kind, text in (("trees", TREES), ("wood", WOOD), ("grafts", GRAFTS), ("tastings", TASTINGS)):
        file = write_from_always(place / f"{kind}.csv", kind, text)
        bench.records.bring(file, kind, TODAY)
    bench.close()
    return folder


@pytest.fixture
def record_app(record_folder: Path, monkeypatch: pytest.MonkeyPatch) -> Dashboard:
    """The dashboard on the orchard; no plan is made, since these screens live on the records alone."""
    monkeypatch.setattr(Dashboard, "replan", lambda *_: None)
    return Dashboard(Workbench.open(record_folder), TODAY)


def words_in(app: Dashboard, part: str) -> str:
    """What a part of the screen says."""
    return app.screen.query_one(f"#{part}").render().plain


def graft(app: Dashboard, identity: str) -> Graft:
    return next(graft for graft in app.state.records.grafts if graft.id == identity)


async def go(pilot: Pilot, *keys: str) -> None:
    """Press keys one after the other, each once the one before has done all it does; without keys, wait for that."""
    if not keys:
        await settled(pilot)
    for key in keys:
        await pilot.press(key)
        await settled(pilot)


async def open_screen(pilot: Pilot, key: str) -> None:
    """Go to a screen; a mode paints a moment later by design of the library."""
    await go(pilot, key)
    await pilot.pause(0.2)


async def write(pilot: Pilot, text: str) -> None:
    """Type into the line that has the cursor."""
    await pilot.press(*("space" if letter == " " else "minus" if letter == "-" else letter for letter in text))
    await pilot.pause()


async def plan_lost_lamp(pilot: Pilot) -> None:
    """Plan a graft of a variety of which there is no wood, on the first tree."""
    await open_screen(pilot, "3")
    await go(pilot, "a")
    await write(pilot, "Lost Lamp")
    await go(pilot, "ctrl+s")
