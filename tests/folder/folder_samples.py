"""Records of an invented orchard, whose names try what a screen, a database or a spreadsheet could stumble over."""

from __future__ import annotations

import tempfile
from datetime import date
from pathlib import Path

from tendwork.folder.fields import KINDS
from tendwork.folder.records_db import RecordStore
from tendwork.folder.schema import APPLICATION_ID, STEPS
from tendwork.orchard.records import Graft, Records, Sighting, Tasting, Tick, Tree, Wood

AWKWARD_NAMES = (
    "Early [bold]Bracket[/bold]",
    'The "Quoted" One',
    "Semi;colon, and comma",
    "O'Hara'; DROP TABLE grafts; --",
    "=SUM(A1:A9)",
    "-Minus",
    "@at",
    "תפוח ירוק",
    "\u202eright-to-left override",
    "大きなりんご",
    "Ærlig Ærø 🍎",
    "\\x1b[31m written out",
    "e\u0301 as two characters",
)

FULL = Records(
    trees=(
        Tree("t1", "Old [oak]side", "apple", "MM106", 1998, "top terrace"),
        Tree("t2", "大木", "sweet cherry"),
    ),
    grafts=(
        *(
            Graft(f"g{place}", "t1", name, "cleft", "raffia", state="set", set_on=date(2026, 4, place), facing=place)
            for place, name in enumerate(AWKWARD_NAMES, start=1)
        ),
        Graft("g99", "t2", "Late", height_m=2.5, out_m=0.1, chill=62.5, ripens_from=(9, 1), ripens_to=(2, 29)),
    ),
    wood=(Wood("w1", "Late", "sweet cherry", 6, date(2026, 1, 20), "a neighbour", "cellar", "Ann", 2, "labelled"),),
    sightings=(
        Sighting(date(2026, 3, 20), "apple", "green tip", "t1"),
        Sighting(date(2026, 3, 19), "apple", "silver tip", note="early"),
    ),
    ticks=(
        Tick("grafting/t1/2026", "g1", date(2026, 4, 1), "set"),
        Tick("grafting/t1/2026", "g1", date(2026, 4, 2), "set", undone=True),
    ),
    tastings=(Tasting(date(2026, 9, 3), "g1", "ripe", 4, "fresh", "sharp"),),
)


def fill(store: RecordStore, records: Records) -> None:
    """Put all records in with one act."""
    with store.act("everything") as act:
        for record in (record for kind in KINDS for record in getattr(records, kind)):
            act.add(record)


def write_fixture() -> None:
    """Keep FULL as the newest schema holds it, so that later ones can be tried on it. One that is there is kept."""
    number = len(STEPS)
    target = Path(__file__).parent / "fixtures" / f"records-schema-{number}.sql"
    if target.exists():
        raise SystemExit(f"{target.name} is there already. If it was never released, remove it and run this again.")
    with tempfile.TemporaryDirectory() as folder, RecordStore.open(Path(folder) / "records.db", create=True) as store:
        fill(store, FULL)
        lines = [*store._connection.iterdump(), f"PRAGMA application_id = {APPLICATION_ID};"]
    head = f"-- Records of an invented orchard as schema {number} kept them. A released fixture is never edited.\n"
    with target.open("x", encoding="utf-8") as fixture:
        fixture.write(head)
        fixture.write("\n".join([*lines, f"PRAGMA user_version = {number};", ""]))


if __name__ == "__main__":
    write_fixture()
