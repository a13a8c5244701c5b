"""Stone fruit is pruned before it grows where winters are dry or cold, and where they are wet nobody is asked to.

Minnesota: March, before growth (University of Minnesota Extension, Growing stone fruits, undated); Britain: never
from September to May (Amateur Gardening, on silver leaf, 2017). Normals are from memory, rounded.
"""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest

from tendwork.almanac.winters import winter_of
from tendwork.errors import PersonError
from tendwork.workbench.bench import Workbench

TODAY = date(2027, 1, 15)
LATE_WINTER = "late-winter-prune-stone"
MINNESOTA = (
    "minimum_c = [-13.5, -11.5, -4.5, 2.5, 9, 14.5, 17.5, 16, 11.5, 4.5, -3, -10]\n"
    "maximum_c = [-4.5, -2, 5, 13.5, 20.5, 26, 28.5, 27, 22, 14, 5, -2.5]\n"
)
ENGLAND = (
    "minimum_c = [2, 2, 3, 4.5, 7.5, 10.5, 12.5, 12.5, 10, 7.5, 4.5, 2.5]\n"
    "maximum_c = [8, 8.5, 11.5, 14.5, 18, 21, 23.5, 23, 19.5, 15.5, 11, 8.5]\n"
)


def bench_of(place: Path, *more: str, normals: str = "", latitude: float = 45.0) -> Workbench:
    """A new orchard with a grown tree of every stone fruit."""
    bench = Workbench.begin(place / "orchard", name="Any", timezone="UTC", latitude=latitude, longitude=0.0)
    bench.close()
    said = [f'name = "Any"\ntimezone = "UTC"\nlatitude = {latitude}\nlongitude = 0.0', *more]
    said += [f"[normals]\n{normals}"] if normals else []
    (place / "orchard" / "site.toml").write_text("\n".join(said) + "\n", encoding="utf-8")
    table = place / "trees.csv"
    kinds = ("plum", "japanese plum", "sour cherry", "peach", "apricot", "sweet cherry")
    rows = "".join(f"t{number},{kind},{kind},2005\n" for number, kind in enumerate(kinds))
    table.write_text(f"id,name,species,planted\n{rows}", encoding="utf-8")
    bench = Workbench.open(place / "orchard")
    bench.records.bring(table, "trees", TODAY)
    return bench


def cut_before_growth(bench: Workbench) -> set[str]:
    tasks = bench.plan.of(TODAY).plan.tasks
    return {unit.species for task in tasks if task.template == LATE_WINTER for unit in task.units}


def test_a_newcomer_in_minnesota_is_asked_for_what_is_cut_before_growth_and_one_in_england_for_nothing(
    tmp_path: Path,
) -> None:
    minnesota, england = tmp_path / "minnesota", tmp_path / "england"
    minnesota.mkdir()
    england.mkdir()
    assert cut_before_growth(bench_of(minnesota, normals=MINNESOTA)) == {
        "plum", "japanese plum", "sour cherry", "apricot",
    }  # fmt: skip
    in_england = bench_of(england, normals=ENGLAND, latitude=51.3)
    assert cut_before_growth(in_england) == set()
    (said,) = (line for line in in_england.templates.left_out(TODAY) if line.template == LATE_WINTER)
    assert (said.by, "silver leaf" in said.reason) == ("default", True)


@pytest.mark.parametrize(("winter", "normals", "asked"), [("dry-cold", ENGLAND, True), ("wet", MINNESOTA, False)])
def test_what_the_person_says_of_the_winter_goes_before_the_normals(
    tmp_path: Path, winter: str, normals: str, asked: bool
) -> None:
    bench = bench_of(tmp_path, f'winter = "{winter}"', normals=normals)
    assert bool(cut_before_growth(bench)) == asked
    assert any(line.template == LATE_WINTER for line in bench.templates.left_out(TODAY)) != asked


def test_without_normals_the_days_on_file_decide(tmp_path: Path) -> None:
    bench = bench_of(tmp_path)
    assert cut_before_growth(bench) == set()  # nothing is known: the advice that does least harm
    days = (date(2024, 1, 1) + timedelta(days=step) for step in range(1096))
    rows = "".join(
        f"{day},{-14 if day.month in (12, 1, 2) else 6},{-4 if day.month in (12, 1, 2) else 18}\n" for day in days
    )
    (tmp_path / "orchard" / "temperatures").mkdir(exist_ok=True)
    (tmp_path / "orchard" / "temperatures" / "added.csv").write_text("date,tmin_c,tmax_c\n" + rows, encoding="utf-8")
    bench.close()
    assert cut_before_growth(Workbench.open(tmp_path / "orchard")) != set()


def test_it_can_be_taken_in_and_left_out_like_any_other(tmp_path: Path) -> None:
    bench = bench_of(tmp_path, normals=ENGLAND)
    bench.templates.take_in(LATE_WINTER, today=TODAY)
    assert cut_before_growth(bench) != set()
    bench.templates.leave_out(LATE_WINTER, today=TODAY)
    assert cut_before_growth(bench) == set()


def test_the_coldest_month_decides_in_either_half_of_the_world() -> None:
    assert winter_of((2.0,) * 11 + (-6.0,)) == "dry-cold"
    assert winter_of((15.0,) * 6 + (-5.9,) + (15.0,) * 5) == "wet"
    assert winter_of(None) == "wet"


def test_another_word_for_the_winter_is_refused_with_those_that_there_are(tmp_path: Path) -> None:
    with pytest.raises(PersonError, match="must be one of wet, dry-cold"):
        bench_of(tmp_path, 'winter = "mild"')
