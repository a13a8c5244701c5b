"""When varieties bloom beside others of their species, as published: one row for each variety in each list.

Only what a university, a station, an extension service, a learned society, a nursery or the trade press says; garden
pages and forums are left out. `days` is given where the source gives days, else `place` is a group or a word of its
list, and bloom_order.py says what that is in days.
"""

from __future__ import annotations

from msgspec import Struct


class Published(Struct, frozen=True):
    """What one list says of one variety: its place in the list, in the list's words, and days where it gives any."""

    species: str
    variety: str
    place: str
    source: str
    days: float | None = None


_NORTH_CAROLINA = "NC State HIL-302, 1998"
_VIRGINIA = "Virginia Tech tree-fruit blog, 2022"
_RHS = "RHS, 10 AGM apples, undated"
_BBC = "BBC Gardeners' World, 2021"
_LEAFLET = "a UK nursery's fruit leaflet, undated"
_WALCOT = "Walcot Nursery, undated"
_BERNWODE = "Bernwode Plants, undated"
_BROGDALE = "National Fruit Collection, Brogdale, on Fruit Forum 2013 to 2023"
_ONTARIO = "sweet cherries bloom within 3 days of each other, OMAFRA 02-037"

_NORTH_CAROLINA_APPLES = {
    "very early to early": ("Granny Smith",),
    "early": ("Lodi", "Tydeman's Red", "Paulared", "Liberty", "Spartan", "Empire", "Jonagold", "Idared"),
    "early to mid": ("Gala", "McIntosh", "Red Delicious"),
    "mid": ("Ginger Gold", "Cortland", "Golden Delicious", "Mutsu", "Stayman", "Winesap", "Fuji"),
    "late": ("York Imperial", "Rome Beauty"),
}

# Full flower, days after 'Czar', which is the middle one of the eight: means of 2013, 2019, 2022 and 2023.
_BROGDALE_PLUMS = {
    "Denniston's Superb": -4,
    "Pershore Yellow Egg": -1,
    "Czar": 0,
    "Farleigh Damson": 0,
    "Oullins Gage": 0,
    "Victoria": 0,
    "Cambridge Gage": 2,
    "Marjorie's Seedling": 7,
}

PUBLISHED: tuple[Published, ...] = (
    *(
        Published("apple", variety, word, _NORTH_CAROLINA)
        for word, varieties in _NORTH_CAROLINA_APPLES.items()
        for variety in varieties
    ),
    Published("apple", "Pink Lady", "early", _VIRGINIA),
    Published("apple", "Zestar", "early", _VIRGINIA),
    Published("apple", "Blenheim Orange", "group 3", _RHS),
    Published("apple", "Bramley's Seedling", "group 3", _RHS),
    Published("apple", "Egremont Russet", "group 2", _BBC),
    Published("apple", "Ribston Pippin", "group 2", _BBC),
    Published("apple", "Lord Lambourne", "group 2", _BBC),
    Published("apple", "Gala", "group 4", _BBC),
    Published("apple", "Newton Wonder", "group 5", _BBC),
    Published("apple", "Mother", "group 5", _BBC),
    Published("apple", "Adams's Pearmain", "group 2", _LEAFLET),
    Published("apple", "Fiesta", "group 3", _LEAFLET),
    Published("apple", "Winston", "group D", _WALCOT),
    Published("apple", "Chatley's Kernel", "group D", _WALCOT),
    Published("apple", "Akane", "with 'Adams's Pearmain'", "Apple Luscious orchard, British Columbia, undated", -4.0),
    Published("pear", "Beurre Hardy", "group C", _WALCOT),
    Published("pear", "Catillac", "group D", _WALCOT),
    Published("pear", "Doyenne du Comice", "group C", _BERNWODE),
    Published("pear", "Duchesse d'Angouleme", "group C", _BERNWODE),
    Published("pear", "Durondeau", "group B", _BERNWODE),
    Published("pear", "Emile d'Heyst", "group B", _BERNWODE),
    Published("pear", "Winter Nelis", "group C", "the nursery fruit-trees.com, undated"),
    Published("pear", "Winter Nelis", "group 4", "Future Forests, undated"),
    Published("pear", "Conference", "group 4", "Brogdale nursery, undated"),
    *(
        Published("plum", variety, f"{days:+d} days from 'Czar'" if days else "with 'Czar'", _BROGDALE, float(days))
        for variety, days in _BROGDALE_PLUMS.items()
    ),
    Published("sweet cherry", "Attika", "late", f"Van Well Nursery, undated; {_ONTARIO}", 1.5),
    Published("sweet cherry", "BlackGold", "late", f"Van Well Nursery, undated; {_ONTARIO}", 1.5),
    Published("sweet cherry", "Kiona", "late", f"Good Fruit Grower (L. Long), undated; {_ONTARIO}", 1.5),
    Published("sour cherry", "Balaton", "1 to 2 days after 'Montmorency'", "Van Well Nursery, undated", 1.5),
)
