"""Summer buds in hot places: a window in which a usual day is cool enough for the job's own limit.

Italy buds peach from 15 August to 8 September (agricoltorenelmondo.it, undated, C), a Californian nursery fall-buds in
September (orderdavewilson.com, propagation calendar, undated, B); no budding above 32 °C (NCSU text, copy, undated).
Normals are from memory, rounded: inputs, never oracles.
"""

from __future__ import annotations

from datetime import timedelta

import pytest
from timing_orchard import Year, almanac_of

HOT = ("warm", "Sicily", "Texas", "Gulf Texas", "US South")
JOBS = {
    "bud-pear-plum-cherry": ("pear", "plum", "sweet cherry"),
    "bud-quince-medlar": ("quince", "medlar"),
    "bud-peach-late": ("peach", "apricot", "japanese plum"),
    "bud-apple": ("apple",),
}
YEAR = Year()
NEAR_C = 0.2


@pytest.mark.parametrize("site", HOT)
@pytest.mark.parametrize("job", JOBS)
def test_the_window_reaches_into_september_and_a_usual_day_at_its_end_is_no_hotter_than_it_allows(
    site: str, job: str
) -> None:
    limit_c = YEAR.templates[job].weather.max_c
    assert limit_c is not None
    for species in JOBS[job]:
        window = YEAR.window(site, job, species)
        assert window.closes >= YEAR.day("09-08")
        usual = almanac_of(site, YEAR.today).usual_day(window.closes)
        assert usual is not None
        assert usual[1] <= limit_c + NEAR_C, species


@pytest.mark.parametrize("job", JOBS)
def test_the_advised_day_of_dormant_buds_is_after_the_worst_heat(job: str) -> None:
    for species in JOBS[job]:
        assert YEAR.window("warm", job, species).best >= YEAR.day("08-25")


def test_a_peach_bud_that_missed_june_has_a_late_window_in_italy_and_says_where_it_is_for() -> None:
    """Italy: from 15 August to 8 September."""
    window = YEAR.window("Sicily", "bud-peach-late", "peach")
    assert YEAR.day("08-15") <= window.opens <= window.best <= YEAR.day("09-08") <= window.closes
    assert "long and hot" in YEAR.templates["bud-peach-late"].left_out


@pytest.mark.parametrize("site", ["maritime", "Loire", "central European", "Hudson Valley", "Manitoba"])
def test_elsewhere_pear_and_plum_are_budded_as_before(site: str) -> None:
    """England, France: from mid July, plum about 25 July; Manitoba: July."""
    window = YEAR.window(site, "bud-pear-plum-cherry", "plum")
    assert YEAR.day("07-10") <= window.opens <= YEAR.day("07-15")
    assert abs(window.best - YEAR.day("07-25")) <= timedelta(days=4)
