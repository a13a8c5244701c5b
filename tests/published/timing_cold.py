"""Published timing statements for cold continental and mountain places, coded by us."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from timing_checks import BARK, CLEFT, COLD, POME_WOOD, Met, a_round_in_each, overlaps, stated
from timing_orchard import Year


def wood_cut_four_to_seven_weeks_before_bark_grafting(year: Year) -> Iterator[Met]:
    """Wood is cut 28 to 49 days before the best day of bark grafting."""
    graft_day = year.window(COLD, BARK).best
    earliest, latest = graft_day - timedelta(days=49), graft_day - timedelta(days=28)
    yield Met(f"wood for the bark graft of {graft_day}", year.window(COLD, POME_WOOD), earliest, latest)


def no_giving_up_before_june(year: Year) -> Iterator[Met | str]:
    """The job that ends with giving up opens in June, and not within 65 days, for a graft of 27 March."""
    grafted = year.day("03-27")
    last_look = year.window("Wyoming", "last-look-at-sleepers", done_on=grafted)
    least = max(year.day("06-01"), grafted + timedelta(days=65))
    yield "" if last_look.opens >= least else f"the last look opens on {last_look.opens}, before {least}"
    yield Met("the last look", last_look, least, None)


STATEMENTS = (
    stated(
        "O01 B",
        "Alaska: cut apple wood from 15 February to 15 April",
        "02-15..04-15",
        "Alaska Pioneer Fruit Growers, Alaska Fruit Calendar, undated",
        overlaps("Alaska", POME_WOOD, "02-15", "04-15"),
    ),
    stated(
        "O03 B",
        "Alaska: bridge bark gnawed by rodents from 10 to 30 May",
        "05-10..05-30",
        "Alaska Pioneer Fruit Growers, Alaska Fruit Calendar, undated",
        overlaps("Alaska", "bridge-gnawed-bark", "05-10", "05-30"),
    ),
    stated(
        "O05 B",
        "Alaska: dormant pruning of apple about 30 April",
        "04-30",
        "Alaska Pioneer Fruit Growers, Alaska Fruit Calendar, undated",
        overlaps("Alaska", "winter-prune-pome", "04-30", "04-30"),
    ),
    stated(
        "O07 A",
        "Michigan: bridge apple once the bark slips, about late April",
        "04-21..04-30",
        "Michigan State University Extension, Bridge grafting girdled fruit tree trunks, undated",
        overlaps(COLD, "bridge-gnawed-bark", "04-21", "04-30"),
    ),
    stated(
        "O09 A",
        "Michigan: wood for bark grafts of apple is cut four to seven weeks before",
        "28..49 d",
        "Michigan State University Extension (R. Perry), Selecting and storing scion wood for grafting, 2014",
        wood_cut_four_to_seven_weeks_before_bark_grafting,
    ),
    stated(
        "O11 A",
        "Vermont: cut apple wood from late February through March",
        "02-21..03-31",
        "Ask Extension, Vermont, question 275665, 2015",
        overlaps(COLD, POME_WOOD, "02-21", "03-31"),
    ),
    stated(
        "O13 B",
        "Boston: graft apple and pear from 15 April to 15 May, as the buds begin to swell",
        "04-15..05-15",
        "The Practical Fruit Grower, 19th century",
        overlaps(COLD, CLEFT, "04-15", "05-15", "apple"),
        overlaps(COLD, CLEFT, "04-15", "05-15", "pear"),
    ),
    stated(
        "O15 B",
        "Hudson Valley: bark graft in early May, when leaves just show",
        "05-01..05-10",
        "Mother Earth News (L. Reich), excerpt on grafting, undated",
        overlaps(COLD, BARK, "05-01", "05-10"),
    ),
    stated(
        "O17 C",
        "New York: in August cut back what shades the grafts",
        "08-01..08-31",
        "A Cornell plant-disease specialist's demonstration, Grafting an apple tree, 2009",
        overlaps(COLD, "let-in-light", "08-01", "08-31"),
    ),
    stated(
        "O19 B",
        "Wisconsin: fit guards in November, take them off in spring",
        "11-01..11-30; 03-15..05-15",
        "Wisconsin teaching garden (madison.com), garden calendar, 2013",
        overlaps(COLD, "fit-guards", "11-01", "11-30", planted=2022),
        overlaps(COLD, "take-guards-off", "03-15", "05-15", planted=2022),
    ),
    stated(
        "O21 A",
        "Wyoming: of an apple grafted on 27 March do not despair before about June",
        "not before 06-01; +65 d",
        "Laramie Garden Club, notes of a University of Wyoming Extension class, 2021",
        no_giving_up_before_june,
    ),
    stated(
        "O23 A",
        "Utah: bud in August, while the bark slips",
        "08-01..08-31",
        "Utah State University Extension (K. Heaton), Fruit Tree Grafting, undated",
        overlaps("Utah", "bud-apple", "08-01", "08-31"),
        overlaps("Utah", "bud-pear-plum-cherry", "08-01", "08-31", "plum"),
        overlaps("Utah", "bud-peach-apricot", "08-01", "08-31", "peach"),
    ),
    stated(
        "O25 A",
        "Utah: summer prune apple from late July to early August",
        "07-21..08-10",
        "Utah State University Extension, When to prune, undated",
        overlaps("Utah", "summer-prune-apple", "07-21", "08-10"),
    ),
    stated(
        "O27 A",
        "Iowa: suckers as they appear, through the growing season",
        "every month from 05 to 09",
        "Iowa State University Extension, Managing suckers around trees, 2022",
        a_round_in_each(
            COLD,
            "suckers",
            ("05-01", "05-31"),
            ("06-01", "06-30"),
            ("07-01", "07-31"),
            ("08-01", "08-31"),
            ("09-01", "09-30"),
        ),
    ),
    stated(
        "O29 A",
        "Norway at 60° N: summer prune apple in the second half of August",
        "08-16..08-31",
        "Ystaas, Acta Horticulturae 322, 1992",
        overlaps("Norway", "summer-prune-apple", "08-16", "08-31"),
    ),
)
