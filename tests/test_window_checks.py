"""`check` and `adjust` on windows that close before they open, in a real folder."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

Run = Callable[..., subprocess.CompletedProcess[str]]


OWN = """[[template]]
id = "mine"
title = "Mine"
part = "upkeep"
each = "tree"
opens = {opens}
closes = {closes}
"""


def own(orchard: Path, opens: str, closes: str) -> None:
    (orchard / "templates").mkdir(exist_ok=True)
    (orchard / "templates" / "own.toml").write_text(OWN.format(opens=opens, closes=closes))


def test_check_refuses_a_template_that_closes_before_it_opens_with_its_line(run: Run, orchard_path: Path) -> None:
    own(orchard_path, '{ date = "06-10" }', '{ date = "06-01" }')
    done = run("check")
    assert done.returncode == 1
    assert 'templates/own.toml, line 7, key "template.closes": comes before opens: 1 Jun is before' in done.stdout
    assert "Move one of the two." in done.stdout
    assert run("week").returncode == 1


def test_check_lets_a_window_over_the_new_year_be(run: Run, orchard_path: Path) -> None:
    own(orchard_path, '{ date = "12-20" }', '{ date = "01-10" }')
    assert run("check").returncode == 0


def test_check_finds_with_the_almanac_what_the_file_alone_does_not_show(run: Run, orchard_path: Path) -> None:
    own(orchard_path, '{ stage = "full bloom" }', '{ date = "02-01" }')
    done = run("check", "--on", "2026-05-05")
    assert done.returncode == 1
    assert 'templates/own.toml, line 7, key "template.closes": comes before opens this season (Old apple): 1 Feb' in (
        done.stdout
    )
    assert run("week", "--on", "2026-05-05").returncode == 0  # the job stays: other years may be right


def test_an_adjustment_that_turns_a_window_round_is_refused_and_nothing_is_written(
    run: Run, orchard_path: Path
) -> None:
    own(orchard_path, '{ date = "06-01" }', '{ date = "06-10" }')
    for words in (("--opens-later", "10"), ("--closes-later", "-10"), ("--lapses-later", "-10")):
        done = run("adjust", "mine", *words, "--on", "2026-05-05")
        if words[0] == "--lapses-later":
            assert done.returncode == 0  # it names no lapse of its own to move
            continue
        assert done.returncode == 1
        assert '"Mine" (mine): as adjusted, closes comes before opens' in done.stderr
        assert "Nothing was changed." in done.stderr
        assert not (orchard_path / "adjustments.toml").exists()
    assert run("adjust", "mine", "--opens-later", "9", "--on", "2026-05-05").returncode == 0


def test_check_names_an_adjustment_in_the_file_that_turns_a_window_round(run: Run, orchard_path: Path) -> None:
    own(orchard_path, '{ date = "06-01" }', '{ date = "06-10" }')
    (orchard_path / "adjustments.toml").write_text("[template.mine]\nopens_later_days = 20\n")
    done = run("check")
    assert done.returncode == 1
    assert 'adjustments.toml, line 1, key "template.mine": "mine" as adjusted, closes comes before opens' in done.stdout
    other = run("adjust", "check-take", "--later", "2", "--on", "2026-05-12")
    assert other.returncode == 0


def test_limits_that_no_day_can_keep_are_refused_as_in_a_template_and_nothing_is_written(
    run: Run, orchard_path: Path
) -> None:
    own(orchard_path, '{ date = "06-01" }', '{ date = "06-10" }')
    done = run("adjust", "mine", "--min-c", "30", "--max-c", "10", "--on", "2026-05-05")
    assert done.returncode == 1
    assert '"Mine" (mine): as adjusted, weather.min_c 30 is above max_c, 10.' in done.stderr
    assert not (orchard_path / "adjustments.toml").exists()
    (orchard_path / "adjustments.toml").write_text("[template.mine]\nmin_c = 30\nmax_c = 10\n")
    assert 'key "template.mine": "mine" as adjusted, weather.min_c 30 is above max_c, 10' in run("check").stdout
