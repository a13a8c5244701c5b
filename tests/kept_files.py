"""Every file that tendwork keeps, every way to name one, and what stood in a folder before and after."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

ADJUSTED = "[template.check-take]\nminutes_each = 3.0\n"
ROUNDS = "[days]\nsheet = [2026-05-04]\n"
OWN_RULE = """[[template]]
id = "own-gate"
title = "Oil the gate"
part = "upkeep"
each = "site"
opens = { date = "03-02" }
closes = { date = "03-30" }
effort = { setup_minutes = 5 }
steps = ["One drop."]
"""
_WITH_TEXT = {
    "adjustments.toml": ADJUSTED,
    "rounds.toml": ROUNDS,
    "ABOUT.txt": "An orchard.\n",
    "templates/own.toml": OWN_RULE,
    "temperatures/added.csv": "date,tmin_c,tmax_c\n2026-04-01,1,9\n",
    "temperatures/sources.toml": '["temperatures/added.csv"]\nattribution = ["A station"]\n',
    "backups/records-2026-05-01.db": "a copy",
    "cache/kept.msgpack": "a plan",
    ".watch.lock": "locked",
    ".adjustments.lock": "locked",
    "temperatures/.lock": "locked",
}


def fill(orchard: Path, settings: Path) -> tuple[Path, ...]:
    """Make one of each file that tendwork keeps beside records and site, and say which there are."""
    for name, text in _WITH_TEXT.items():
        file = orchard / name
        file.parent.mkdir(exist_ok=True)
        file.write_text(text, encoding="utf-8")
    settings.parent.mkdir(exist_ok=True)
    settings.write_text('colours = "orchard clear"\n', encoding="utf-8")
    return (orchard / "records.db", orchard / "site.toml", *(orchard / name for name in _WITH_TEXT), settings)


def ways_to(kept: Path, orchard: Path, place: Path) -> Iterator[tuple[str, str]]:
    """(kind, name) of each way to name a kept file. `place` is a new folder for links; names lead from `orchard`."""
    place.mkdir()
    yield "whole", str(kept)
    yield "from here", os.path.relpath(kept, orchard)
    yield "with a dot", os.path.join(".", os.path.relpath(kept, orchard))
    yield "there and back", str(kept.parent / ".." / kept.parent.name / kept.name)
    (place / "link.html").symlink_to(kept)
    yield "link", str(place / "link.html")
    (place / "folder").symlink_to(kept.parent)
    yield "linked folder", str(place / "folder" / kept.name)
    os.link(kept, place / "other.html")
    yield "hard link", str(place / "other.html")
    (place / "link-to-link").symlink_to(place / "folder" / kept.name)
    yield "link to a link", str(place / "link-to-link")
    if kept.is_relative_to(orchard):
        within = kept.relative_to(orchard)
        yield "capitals", str(orchard / within.parent / within.name.upper())
        yield "dots behind", str(orchard / f"{within}.")
        yield "beside it", str(kept) + "-wal" if kept.name == "records.db" else str(orchard / "records.db-journal")


def content_of(*folders: Path) -> dict[str, bytes]:
    """What every file holds; what is made to share an open database is no content."""
    return {
        str(file): os.readlink(file).encode() if file.is_symlink() else file.read_bytes()
        for folder in folders
        for file in sorted(folder.rglob("*"))
        if (file.is_file() or file.is_symlink()) and not file.name.endswith(("-shm", ".lock"))
    }
