"""Published timing statements for mild maritime places and central Europe, coded by us."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from timing_checks import (
    BARK,
    CENTRAL,
    CLEFT,
    MARITIME,
    POME_WOOD,
    STONE_WOOD,
    WHIP,
    Met,
    a_round_in_each,
    interval,
    kept_out_of,
    overlaps,
    says,
    stated,
)
from timing_orchard import Year

COAST, NORTH_WEST_WASHINGTON, NORTH_EAST_ENGLAND = "Pacific North West", "north-west Washington", "north-east England"
TAKEN_OFF = "remove-cut-verdicts-stone"


def growth_within_a_month(year: Year) -> Iterator[Met | str]:
    """The take check of a graft set on its best day opens, and is best, within 30 days."""
    grafted = year.window(COAST, WHIP).best
    look = year.window(COAST, "check-take", done_on=grafted)
    days = (look.best - grafted).days
    yield "" if grafted <= look.opens and days <= 30 else f"the take check is best after {days} days"
    yield Met("the take check", look, grafted, grafted + timedelta(days=30))


def bark_grafting_while_trees_bloom(year: Year) -> Iterator[Met]:
    bloom = year.stage(CENTRAL, "full bloom")
    yield Met("bark grafting in bloom", year.window(CENTRAL, BARK), bloom, bloom)


def bark_grafting_from_mid_april(year: Year) -> Iterator[Met | str]:
    window = year.window(CENTRAL, BARK)
    yield "" if window.closes <= year.day("06-15") else f"bark grafting closes on {window.closes}"
    yield Met("bark grafting", window, year.day("04-11"), None)


def buds_headed_back_in_mid_march(year: Year) -> Iterator[Met]:
    for species in ("apple", "pear", "plum", "sweet cherry"):
        window = year.window(MARITIME, "head-back-above-bud", species, done_on=last_august(year))
        yield Met(f"cutting back of {species}", window, year.day("03-11"), year.day("03-20"))


def last_august(year: Year) -> date:
    return date(year.season.name - 1, 8, 5)


def stakes_while_shoots_are_short(year: Year) -> Iterator[Met]:
    """No date is published; by common practice shoots of 10 to 15 cm stand within four weeks of petal fall."""
    window = year.window(CENTRAL, "stake-bud-shoots", done_on=last_august(year))
    petal_fall = year.stage(CENTRAL, "petal fall")
    yield Met("staking", window, petal_fall, petal_fall + timedelta(days=28), advised=False)


STATEMENTS = (
    stated(
        "O31 B",
        "Wisley: cut wood in December or January",
        "12-01..01-31",
        "RHS Wisley student notes of a class by J. Arbury, 2016",
        overlaps(MARITIME, POME_WOOD, "12-01", "01-31"),
    ),
    stated(
        "O33 C",
        "England: whip and tongue in February and March",
        "02-01..03-31",
        "gardeningdata.co.uk, Whip and tongue grafting, undated",
        overlaps(MARITIME, WHIP, "02-01", "03-31"),
    ),
    stated(
        "O35 B",
        "England: chip bud apple, pear, plum, cherry, apricot and peach from mid July to the end of August",
        "07-11..08-31",
        "Real English Fruit (W. Seabrook), Chip budding, undated",
        overlaps(MARITIME, "bud-apple", "07-11", "08-31", "apple"),
        overlaps(MARITIME, "bud-pear-plum-cherry", "07-11", "08-31", "pear"),
        overlaps(MARITIME, "bud-pear-plum-cherry", "07-11", "08-31", "plum"),
        overlaps(MARITIME, "bud-pear-plum-cherry", "07-11", "08-31", "sweet cherry"),
        overlaps(MARITIME, "bud-peach-apricot", "07-11", "08-31", "apricot"),
        overlaps(MARITIME, "bud-peach-apricot", "07-11", "08-31", "peach"),
    ),
    stated(
        "O37 B",
        "England: cut back above last summer's buds about mid March",
        "03-11..03-20",
        "Real English Fruit (W. Seabrook), Chip budding, undated",
        buds_headed_back_in_mid_march,
    ),
    stated(
        "O39 A",
        "England: summer prune apple from mid to late August",
        "08-11..08-31",
        "RHS (J. Arbury), Summer pruning fruit trees, undated",
        overlaps(MARITIME, "summer-prune-apple", "08-11", "08-31"),
    ),
    stated(
        "O41 B",
        "North-east England: summer prune apple in early September",
        "09-01..09-10",
        "Hartlepool Mail, on summer pruning, undated",
        overlaps(NORTH_EAST_ENGLAND, "summer-prune-apple", "09-01", "09-10"),
    ),
    stated(
        "O43 B",
        "Britain: prune plum and cherry in June and July, never while silver-leaf spores fly",
        "06-01..07-31; never 09-01..05-31",
        "Amateur Gardening, on silver leaf, 2017",
        overlaps(MARITIME, "summer-prune-plum", "06-01", "07-31", "plum"),
        overlaps(MARITIME, "summer-prune-cherry", "06-01", "07-31", "sweet cherry"),
        *(
            kept_out_of(MARITIME, first, last, species, *cuts, TAKEN_OFF)
            for first, last in (("11-01", "05-31"), ("09-01", "10-31"))
            for species, *cuts in (
                ("plum", "summer-prune-plum"),
                ("sweet cherry", "summer-prune-cherry", "water-sprouts-stone"),
            )
        ),
    ),
    stated(
        "O45 B",
        "Southern England: plums of up to three years lightly in spring, grown ones in July",
        "04-01..05-31; 07-01..07-31",
        "Petersfield council group, on pruning plums, 2024",
        overlaps(MARITIME, "prune-young-plum", "04-01", "05-31", "plum", planted=2025),
        overlaps(MARITIME, "summer-prune-plum", "07-01", "07-31", "plum"),
    ),
    stated(
        "O47 A",
        "Lane County, Oregon: cut wood from 15 February to 1 March",
        "02-15..03-01",
        "Oregon State University Extension, Lane County, This week, 2010",
        overlaps(COAST, POME_WOOD, "02-15", "03-01"),
    ),
    stated(
        "O49 B",
        "North-west Washington: in June stake young shoots and cut suckers",
        "06-01..06-30",
        "NW Fruit, Fruit Tree Care Calendar, undated",
        a_round_in_each(NORTH_WEST_WASHINGTON, "suckers", ("06-01", "06-30")),
        interval(NORTH_WEST_WASHINGTON, WHIP, "tie-in-new-shoots", 0, 200, also=("06-01", "06-30")),
    ),
    stated(
        "O51 B",
        "Portland: choose one shoot when the longest has 15 to 20 cm, about the end of May",
        "05-21..05-31; 15..20 cm",
        "Home Orchard Society, Grafting aftercare, undated",
        interval(COAST, WHIP, "choose-one-shoot", 0, 200, also=("05-21", "05-31")),
        says("choose-one-shoot", "15 to 20 cm"),
    ),
    stated(
        "O53 B",
        "Portland: grafts begin to grow within a month",
        "+0..+30 d",
        "Home Orchard Society, Grafting aftercare, undated",
        growth_within_a_month,
    ),
    stated(
        "O55 C",
        "A Washington farm: pear braced a little over a month after bark grafting, late May to early June",
        "+28..+42 d; 05-21..06-10",
        "Washington orchard blog (grousemtfarm), on bark grafts, 2014",
        interval("Washington foothills", BARK, "brace-grafts", 28, 42, "pear", also=("05-21", "06-10")),
    ),
    stated(
        "O57 A",
        "Bavaria: whip grafts of apple and pear mostly in March",
        "03-01..03-31",
        "LWG Bavarian Garden Academy, Edelreiser schneiden und lagern, 2023",
        overlaps(CENTRAL, WHIP, "03-01", "03-31", "apple"),
        overlaps(CENTRAL, WHIP, "03-01", "03-31", "pear"),
    ),
    stated(
        "O59 B",
        "Franconia: cut stone-fruit wood from mid December to 6 January",
        "12-11..01-06",
        "infranken.de, on preparing scions, undated",
        overlaps(CENTRAL, STONE_WOOD, "12-11", "01-06", "plum"),
        overlaps(CENTRAL, STONE_WOOD, "12-11", "01-06", "sweet cherry"),
    ),
    stated(
        "O61 B",
        "Leipzig: bark graft in late April and early May with wood cut from early December to mid January",
        "04-21..05-10; 12-01..01-20",
        "Leipzig allotment association, Umveredeln, undated",
        overlaps(CENTRAL, BARK, "04-21", "05-10"),
        overlaps(CENTRAL, POME_WOOD, "12-01", "01-20"),
    ),
    stated(
        "O63 B",
        "South-west Germany: bark graft pome fruit from about mid April",
        "04-11..",
        "4laendergarten.eu, Neue Sorte auf altem Baum, undated",
        bark_grafting_from_mid_april,
    ),
    stated(
        "O65 B",
        "Coburg: graft about 20 April, while trees bloom, with wood cut around New Year",
        "in bloom; 04-20",
        "Kreisverband für Gartenbau Coburg, grafting days, 2011 and 2014",
        overlaps(CENTRAL, BARK, "04-20", "04-20"),
        overlaps(CENTRAL, POME_WOOD, "12-26", "01-06"),
        bark_grafting_while_trees_bloom,
    ),
    stated(
        "O67 B",
        "Germany: stake the shoot of a bud at 10 to 15 cm",
        "10..15 cm",
        "Kleingartenmagazin (T. Neder), on budding, 2018",
        says("stake-bud-shoots", "10 to 15 cm"),
        stakes_while_shoots_are_short,
    ),
    stated(
        "O69 B",
        "Germany: look for labels and ties that grow in, in January and February",
        "01-01..02-28",
        "Lohrberg blog, espalier guide, chapter 13, undated",
        overlaps(CENTRAL, "check-labels-and-ties", "01-01", "02-28"),
    ),
    stated(
        "O71 B",
        "France: cleft graft with stored wood in early March, cherry in April",
        "03-01..03-10; cherry 04-01..04-30",
        "Hortus Focus, on cleft grafting, 2017",
        overlaps(CENTRAL, CLEFT, "03-01", "03-10"),
        overlaps(CENTRAL, "cleft-plum-cherry", "04-01", "04-30", "sweet cherry"),
    ),
)
