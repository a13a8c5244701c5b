"""What has changed since the day before is told at every opening of a day, whoever planned it first."""

from __future__ import annotations

import shutil
from datetime import date, timedelta
from pathlib import Path
from zlib import compress, decompress

import msgspec
import pytest
from click.testing import CliRunner

from tendwork.cli import cli
from tendwork.planning.adjustments import Adjustment, Adjustments
from tendwork.view.news import job_sentence
from tendwork.workbench.bench import Workbench
from tendwork.workbench.plan_cache import CACHE_FILE, EARLIER_FILE

DAY = date(2026, 3, 12)
NEXT = DAY + timedelta(days=1)


@pytest.fixture(scope="module")
def begun(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An orchard of one invented apple, with the plan of DAY kept."""
    place = tmp_path_factory.mktemp("news")
    bench = Workbench.begin(place / "orchard", name="Bank", timezone="UTC", latitude=52.1, longitude=-3.0)
    trees = place / "trees.csv"
    trees.write_text("id,name,species,stock,planted,place\nt1,Old,apple,seedling,1990,gate\n", encoding="utf-8")
    bench.records.bring(trees, "trees", DAY)
    bench.plan.of(DAY)
    bench.close()
    return place / "orchard"


@pytest.fixture
def folder(begun: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(begun, tmp_path / "orchard"))


def opened(folder: Path, day: date, *edits) -> Workbench:
    """A new process: the folder opened, things done in it, and the plan of `day` made."""
    bench = Workbench.open(folder)
    for edit in edits:
        edit(bench)
    bench.plan.of(day)
    bench.close()
    return bench


def since(folder: Path, day: date) -> date | None:
    changed = opened(folder, day).plan.summary(day).changed
    return None if changed is None else changed.since


def test_the_first_day_has_nothing_to_compare_with(folder: Path) -> None:
    assert since(folder, DAY) is None


def test_a_second_opening_of_a_day_still_tells_what_changed_since_the_day_before(folder: Path) -> None:
    opened(folder, NEXT)
    assert since(folder, NEXT) == DAY


def test_a_plan_made_again_for_a_sighting_still_tells_what_changed_since_the_day_before(folder: Path) -> None:
    opened(folder, NEXT)
    opened(folder, NEXT, lambda bench: bench.records.saw("apple", "green tip", NEXT))
    changed = opened(folder, NEXT).plan.summary(NEXT).changed
    assert changed is not None
    assert changed.since == DAY
    assert any(news.is_sighting and news.day == NEXT for news in changed.stages)


def test_after_some_days_it_is_told_since_the_newest_of_them(folder: Path) -> None:
    opened(folder, NEXT)
    assert since(folder, NEXT + timedelta(days=3)) == NEXT


def test_a_day_looked_at_in_between_does_not_lose_the_day_before(folder: Path) -> None:
    opened(folder, NEXT)
    opened(folder, DAY - timedelta(days=20))
    assert since(folder, NEXT) == DAY


def test_an_adjustment_of_today_is_news_with_its_reason(folder: Path) -> None:
    later = Adjustments(template={"suckers": Adjustment(opens_later_days=9, closes_later_days=9)})
    opened(folder, NEXT, lambda bench: bench.templates.adjust(Adjustments(), later, NEXT))
    changed = opened(folder, NEXT).plan.summary(NEXT).changed
    assert changed is not None
    told = [job_sentence(news, NEXT) for news in changed.jobs]
    assert any(
        "moved 9 days later" in words and "Adjusted for this site: opens 9 days later" in words for words in told
    )


@pytest.mark.parametrize("content", [b"", b"\xc1", b"no plan at all"])
def test_a_damaged_earlier_plan_is_none(folder: Path, content: bytes) -> None:
    opened(folder, NEXT)
    (folder / "cache" / EARLIER_FILE).write_bytes(content)
    opened(folder, NEXT, lambda bench: bench.records.saw("apple", "green tip", NEXT))
    assert since(folder, NEXT) is None


def test_the_plan_of_another_version_says_of_which_day_it_was_and_that_no_more_is_known(folder: Path) -> None:
    kept = folder / "cache" / CACHE_FILE
    token, day, *packed, tasks = msgspec.msgpack.decode(kept.read_bytes())
    fewer_fields = [[task[:5] for task in msgspec.msgpack.decode(decompress(part))] for part in tasks]
    tasks = [compress(msgspec.msgpack.encode(part)) for part in fewer_fields]
    kept.write_bytes(msgspec.msgpack.encode([token, day, *packed, tasks]))
    later = date(DAY.year + 1, DAY.month, DAY.day)
    words = opened(folder, later).plan.summary(later).words
    assert any(word.startswith(f"What has changed since {DAY.isoformat()} is not known") for word in words)
    assert any(word.startswith(f"No plan was made here from {DAY.isoformat()}") for word in words)
    assert since(folder, later) is None


def test_week_says_in_a_line_what_changed(folder: Path) -> None:
    opened(folder, NEXT, lambda bench: bench.records.saw("apple", "green tip", NEXT))
    shown = CliRunner().invoke(cli, ["week", "--orchard", str(folder), "--on", NEXT.isoformat()])
    assert "Since yesterday: apple green tip" in " ".join(shown.output.split())
