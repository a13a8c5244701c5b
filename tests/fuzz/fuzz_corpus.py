"""What is mutated: the sample's files, the shipped templates one by one, the weather samples, and small ones."""

from __future__ import annotations

import re
from pathlib import Path

from fuzz_ground import RECORDS
from hill import SITE

from tendwork.orchard.records import RECORD_KINDS, RecordKind

ROOT = Path(__file__).resolve().parents[2]
_SAMPLE = ROOT / "sample_config"

WHOLE_SITE = (
    SITE.replace("[normals]", 'units = "us"\nreach_m = 2.2\n\n[hours]\nsaturday = 4\nsunday = 2.5\n\n[normals]', 1)
    + """
[usual_dates]
apple = { "full bloom" = "05-08", "green tip" = "04-01" }

[colder_by]
degrees_c = 1.5

[[temperatures]]
file = "temperatures/*.csv"
units = "us"

[remind]
at = "06:30"
command = ["mail", "-s", "Orchard", "me"]
calendar_file = "season.ics"
"""
)
ADJUSTMENTS = """[site]
degrees_c = 1.5

[template.check-take]
opens_later_days = 3
closes_later_days = -2
lapses_later_days = 4
dry = true
min_c = 5.0
max_c = "none"
frost_free_nights = 2
setup_minutes = 10.0
minutes_each = 2.5
species = ["apple", "pear"]

[template.check-wood]
every_days = 10
times = 3

[template.thin-fruit]
off = true
best_later_days = 5
"""
WHOLE_TEMPLATE = """[[template]]
id = "own-round"
title = "Look at the lamps"
part = "upkeep"
each = "graft"
opens = { latest_of = [{ after = "set", days = 21 }, { date = "02-01" }] }
best = { stage = "full bloom", weeks = 2 }
closes = { earliest_of = [{ stage = "green tip", heat = 300 }, { date = "09-30", days = 3 }] }
lapses = { date = "10-15" }
repeats = { every_days = 14, times = 6, until = { date = "10-01" } }
where = { species = ["apple"], state = ["set", "bearing"], above_m = 0.5, age_years = [0, 40], method = ["cleft"] }
weather = { dry = true, min_c = 5, max_c = 25, frost_free_nights = 1 }
effort = { setup_minutes = 3, minutes_each = 2.5 }
tools = ["knife"]
cautions = ["knife"]
steps = ["Look.", "Look again."]
outcomes = ["took", "failed", "not yet"]
note = "invented"
work_at = "ground"

[[card]]
id = "own-card"
title = "Own card"
line = "Take care."
points = ["One."]
defer = "Ask."
source = "common practice"
"""
HOUSE_TEMPERATURES = "date,tmin_c,tmax_c\n" + "".join(
    f"2026-{month:02d}-{day:02d},{month - 4}.5,{month + 8}\n" for month in (1, 2, 3) for day in range(1, 28, 3)
)


def _read(folder: Path, pattern: str) -> tuple[bytes, ...]:
    return tuple(path.read_bytes() for path in sorted(folder.glob(pattern)))


def _templates() -> tuple[bytes, ...]:
    pieces: list[bytes] = [WHOLE_TEMPLATE.encode()] * 3
    for content in _read(ROOT / "task_templates", "*.toml"):
        pieces += [
            piece for piece in re.split(rb"(?=^\[\[template\]\])", content, flags=re.M) if b"[[template]]" in piece
        ]
    return tuple(pieces)


def _records(kind: str) -> tuple[bytes, ...]:
    lines = (_SAMPLE / f"{kind}.csv").read_bytes().splitlines(keepends=True)
    return (b"".join(lines[:12]), *[RECORDS[kind].encode()] * 4)


SITES = (WHOLE_SITE.encode(), SITE.encode(), *_read(_SAMPLE, "site.toml"))
TEMPLATES = _templates()
ADJUSTED = (ADJUSTMENTS.encode(), ADJUSTMENTS.replace("degrees_c", "elevation_m").encode())
RECORDS_OF: dict[RecordKind, tuple[bytes, ...]] = {kind: _records(kind) for kind in RECORD_KINDS if kind in RECORDS}
WEATHER = _read(ROOT / "tests" / "weather" / "samples", "*")
HOUSE = (HOUSE_TEMPERATURES.encode(),)
NOTES = (
    b"""fetch_tried_at = 2026-05-05T06:00:00Z
fetch_failures = 2

[days]
sheet = [2026-05-04, 2026-05-05]

[under_way]
round = "sheet"
at = 2026-05-05T06:30:00Z

[[log]]
at = 2026-05-05T06:00:00Z
round = "fetch"
words = "nothing came"
failed = true
times = 2
""",
    b"""["temperatures/added.csv"]
service = "open-meteo"
place = "52.1,-3.0"
answered_at = 2026-05-05T06:00:00Z
attribution = ["somebody"]
whole_from = 2026-01-01
whole_to = 2026-05-04

["temperatures/forecast.csv"]
answered_at = 2026-05-01T06:00:00Z
""",
)
