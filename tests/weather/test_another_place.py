"""What a fetch does where site.toml names another place than before: no day goes before there is a better one."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path

import pytest
from fetching_hill import FIRST, FORECAST, PAST, TODAY, Hill
from invented_service import answering

from tendwork.errors import PersonError

DAY = timedelta(days=1)


def moved(hill: Hill) -> None:
    """The person gives another height."""
    site = (hill.path / "site.toml").read_text().replace("elevation_m = 240", "elevation_m = 260")
    (hill.path / "site.toml").write_text(site)


def test_another_place_in_the_site_file_is_fetched_whole_again(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
        hill.asked()
        moved(hill)
        said = hill.fetch()
        assert len(hill.asked()) == 8
    assert "names another place" in " ".join(said.words)


def test_another_place_costs_nothing_that_is_held_while_the_network_is_unplugged(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
    before = hill.days(PAST)
    for kept in (orchard_path / "cache" / "weather").iterdir():
        kept.unlink()
    moved(hill)
    hill.fetch_recent()
    assert hill.days(PAST) == before


def test_another_place_takes_no_day_away_that_the_service_does_not_give_again(orchard_path: Path) -> None:
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch()
    before = hill.days(PAST)
    with answering(warmer_c=1.0) as service:
        site = (orchard_path / "site.toml").read_text()
        (orchard_path / "site.toml").write_text(re.sub(r'url = ".*"', f'url = "{service.url}"', site))
        moved(hill)
        said = " ".join(hill.fetch_recent().words)
    after = hill.days(PAST)
    assert "all days are asked for again" in said
    assert "stays, each day until there is one of this place" in said
    assert after.keys() == before.keys()
    assert after[FIRST] == before[FIRST]
    assert after[TODAY - DAY] != before[TODAY - DAY]


def test_another_place_and_a_disk_without_room_take_no_day_away(
    orchard_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(file: Path, *_: object) -> None:
        raise PersonError(f"{file}: cannot be written (no space left on device); what stood there stays")

    with answering(warmer_c=1.0) as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
        held = [(orchard_path / name).read_bytes() for name in (PAST, FORECAST)]
        moved(hill)
        with monkeypatch.context() as full:
            full.setattr("tendwork.workbench.temperature_fetching.write_rows", no_room)
            with pytest.raises(PersonError, match="no space left"):
                hill.fetch_recent()
        assert [(orchard_path / name).read_bytes() for name in (PAST, FORECAST)] == held
        assert "names another place" in " ".join(hill.fetch_recent().words)  # it is asked again when there is room


def test_days_of_a_forecast_that_the_person_added_stay_where_a_service_gives_none(orchard_path: Path) -> None:
    before, after = TODAY - 3 * DAY, TODAY + 40 * DAY
    with answering() as service:
        hill = Hill(orchard_path, service)
        hill.fetch_recent()
        rows = (orchard_path / FORECAST).read_text().replace("tmax_c\n", f"tmax_c\n{before},-7,7\n")
        (orchard_path / FORECAST).write_text(f"{rows}{after},-6,6\n")
        moved(hill)
        said = " ".join(hill.fetch_recent().words)
    assert (hill.days(FORECAST)[before], hill.days(FORECAST)[after]) == ((-7, 7), (-6, 6))
    assert "Kept of before: 1 later day." in said
