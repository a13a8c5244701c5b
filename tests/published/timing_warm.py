"""Published timing statements for warm and mediterranean places, coded by us."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from timing_checks import BARK, POME_WOOD, WARM, Met, interval, overlaps, says, stated
from timing_orchard import Year

GULF, SOUTH = "Gulf Texas", "US South"


def wood_in_store_by_the_end_of_january(year: Year) -> Iterator[Met | str]:
    """Wood that is cut on its best day is in the cold by 31 January."""
    cut = year.window("Texas", POME_WOOD).best
    store = year.window("Texas", "store-wood", done_on=cut)
    yield "" if store.closes <= year.day("01-31") else f"wood cut on {cut} is stored by {store.closes}"
    yield Met("storing", store, year.day("11-01"), year.day("01-31"))


def bark_grafting_over_by_the_end_of_may(year: Year) -> Iterator[str]:
    window = year.window("Texas", BARK)
    inside = year.day("02-01") <= window.opens and window.closes <= year.day("05-31")
    yield "" if inside else f"bark grafting runs from {window.opens} to {window.closes}"


def three_weeks_before_a_spring_tie_is_cut(year: Year) -> Iterator[Met | str]:
    """A bud set on the best day of spring budding keeps its tie for 21 days."""
    for species, job in (("apple", "cut-bud-ties"), ("peach", "cut-bud-ties-peach")):
        budded = year.window(GULF, "spring-bud", species).best
        tie = year.window(GULF, job, species, done_on=budded)
        days = (tie.opens - budded).days
        yield "" if days == 21 else f"the tie of {species} budded on {budded} is cut after {days} days"
        yield Met(f"the tie of {species}", tie, budded + timedelta(days=21), budded + timedelta(days=21))


def dry_weeks_before_autumn_rain(year: Year) -> Iterator[Met | str]:
    """Six weeks before rain and never after 15 September: cuts that end so leave 42 days to the earliest rain meant."""
    for species, job in (("apricot", "summer-prune-apricot"), ("sweet cherry", "summer-prune-cherry")):
        window = year.window(WARM, job, species)
        yield "" if window.lapses <= year.day("09-15") else f"{species} may be cut until {window.lapses}"
        yield Met(f"cutting of {species}", window, year.day("05-01"), year.day("09-15"))


STATEMENTS = (
    stated(
        "O73 A",
        "Texas: wood is in store by late January",
        "..01-31",
        "Texas A&M Aggie Horticulture, Whip grafting, undated",
        wood_in_store_by_the_end_of_january,
        overlaps("Texas", POME_WOOD, "12-01", "01-31"),
    ),
    stated(
        "O75 A",
        "Texas: inlay bark grafts from early spring to the end of May; if the bark tears wait about a week",
        "..05-31",
        "Texas A&M AgriLife (Stein and Sauls), Texas Inlay Bark Graft, undated",
        bark_grafting_over_by_the_end_of_may,
        overlaps("Texas", BARK, "03-01", "05-31", "apple"),
        overlaps("Texas", BARK, "03-01", "05-31", "pear"),
        says(BARK, "wait about a week"),
    ),
    stated(
        "O77 A",
        "Gulf Texas: bark grafts from about 1 April into June",
        "04-01..06-15",
        "Galveston County Master Gardener (H. Auer), GC-310, undated",
        overlaps(GULF, BARK, "04-01", "06-15", "apple"),
        overlaps(GULF, "bark-plum-cherry", "04-01", "06-15", "plum"),
    ),
    stated(
        "O79 A",
        "Gulf Texas: wait three weeks after spring budding before the tie is cut",
        "+21 d",
        "Galveston County Master Gardener (H. Auer), GC-311, undated",
        three_weeks_before_a_spring_tie_is_cut,
    ),
    stated(
        "O81 A",
        "Sacramento: from later May take out strong inner uprights",
        "05-21..05-31",
        "UC Master Gardeners Sacramento, Monthly orchard tips, undated",
        overlaps(WARM, "water-sprouts-pome", "05-21", "05-31", "apple"),
        overlaps(WARM, "water-sprouts-pome", "05-21", "05-31", "pear"),
    ),
    stated(
        "O83 A",
        "California: apricot and cherry six weeks before rain, by 15 September at the latest",
        "..09-15; -42 d",
        "Visalia Times Delta (UC Master Gardeners), on pruning apricot and cherry, 2014",
        dry_weeks_before_autumn_rain,
        says("summer-prune-apricot", "six weeks before the autumn rain"),
        says("summer-prune-cherry", "six weeks before the autumn rain"),
    ),
    stated(
        "O85 B",
        "A Californian nursery: bud cherry in March and early April",
        "03-01..04-10",
        "Californian nursery (orderdavewilson.com), propagation calendar, undated",
        overlaps(WARM, "spring-bud-cherry", "03-01", "04-10", "sweet cherry"),
    ),
    stated(
        "O87 B",
        "A Californian nursery: bud apple from mid April through May",
        "04-11..05-31",
        "Californian nursery (orderdavewilson.com), propagation calendar, undated",
        overlaps(WARM, "spring-bud", "04-11", "05-31"),
    ),
    stated(
        "O89 B",
        "A Californian nursery: bud apple again in September",
        "09-01..09-30",
        "Californian nursery (orderdavewilson.com), propagation calendar, undated",
        overlaps(WARM, "bud-apple", "09-01", "09-30"),
    ),
    stated(
        "O91 B",
        "The southern United States: bud peach from mid to late June, cut the tie 8 to 10 days later",
        "06-11..06-30; +8..+10 d",
        "American Horticultural Manual, vol. 1, chapter 76, undated",
        overlaps(SOUTH, "bud-peach-apricot", "06-11", "06-30", "peach"),
        interval(SOUTH, "bud-peach-apricot", "cut-bud-ties-peach", 8, 10, "peach", also=("06-11", "07-10")),
    ),
)
