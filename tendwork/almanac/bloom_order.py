"""How many days a variety usually blooms after its species, and how sure that is, from the published lists.

- A British group, 1 to 7 or A to G, is so many days as bloom_groups.py says.
- North Carolina's words have no days. "Early", "mid" and "late" count as a group each (common practice, no source), and
  the species stands between early and mid, the middle of that list, where it has 'McIntosh', whose sums the apple's
  stages are from.
- Plums are counted from 'Czar', the middle one of those at Brogdale; sour cherries from 'Montmorency', the standard
  one (common practice, no source).
- The spreads: at Brogdale a plum's lead moved by a standard deviation of about two days between years ('Cambridge Gage'
  5, 3, 0 and 0 days after 'Czar'); a group is four days wide and lists put 'Gala' and 'Blenheim Orange' a group apart.

The days are those of an English spring. Where the heat comes faster they are fewer: the order is squeezed in a late
spring (Brogdale 2013, 2023), and in Ontario all sweet cherries bloom within three days.
"""

from __future__ import annotations

from msgspec import Struct

from tendwork.almanac.published_bloom import PUBLISHED, Published
from tendwork.bloom_groups import days_of_group
from tendwork.variety_names import OTHER_NAMES, Key, variety_key

_DAYS_OF_WORD = {"very early to early": -4.0, "early": -2.0, "early to mid": 0.0, "mid": 2.0, "late": 6.0}
_GIVEN_DAYS_SD, _GROUP_SD = 2.0, 3.0
# The rate of log heat at apple's full bloom in East Malling, by this program from normals that are from memory.
_ENGLISH_LOG_RATE = 0.045


class BloomOrder(Struct, frozen=True):
    """Days in an English spring by which a variety is in full bloom after its species, their sd, and the reason."""

    days: float
    sd_days: float
    words: str

    def days_at(self, share: float, log_rate: float | None = None) -> float:
        """The days at the stage with this share of the heat to full bloom, where heat goes at `log_rate` a day.

        Before bloom they are fewer in proportion: what needs a tenth more heat needs that at every stage, and the
        earlier ones take fewer days (common practice, no source). Without a rate they are those of an English spring.
        """
        squeezed = 1.0 if log_rate is None else min(1.0, _ENGLISH_LOG_RATE / log_rate)
        return self.days * min(1.0, share) * squeezed


def bloom_order(species: str, variety: str) -> BloomOrder | None:
    """What is published of a variety under any of its names, or of all with the same reason; None where nothing is.

    Case, spaces, accents, hyphens and quotes in the name do not matter.
    """
    return _ORDERS.get(variety_key(species, variety))


def name_of_order(order: BloomOrder) -> str:
    """A name that stands for all varieties of which the same is published, for `bloom_order` to take."""
    return order.words


def _order_of(rows: list[Published]) -> BloomOrder:
    """The days that a list gives, or else the mean of what the groups of the lists are."""
    given = [row for row in rows if row.days is not None]
    days = [_days(row) for row in given or rows]
    mean = sum(days) / len(days)
    places = "; ".join(f"{_place_words(row.place)}, {row.source}" for row in given or rows)
    return BloomOrder(mean, _GIVEN_DAYS_SD if given else _GROUP_SD, f"{_when(mean)} ({places})")


def _days(row: Published) -> float:
    if row.days is not None:
        return row.days
    if row.place in _DAYS_OF_WORD:
        return _DAYS_OF_WORD[row.place]
    group = row.place.removeprefix("group ")
    number = int(group) if group.isdigit() else ord(group) - ord("A") + 1
    return days_of_group(number)


def _place_words(place: str) -> str:
    return f"bloom {place}" if place.startswith("group") else place


def _when(days: float) -> str:
    if days == 0:
        return "usually in full bloom with its species"
    count = f"{abs(days):g} day{'s' if abs(days) != 1 else ''}"
    return f"usually in full bloom {count} {'later' if days > 0 else 'earlier'} than its species"


def _orders() -> dict[Key, BloomOrder]:
    rows: dict[tuple[str, str], list[Published]] = {}
    for row in PUBLISHED:
        rows.setdefault((row.species, row.variety), []).append(row)
    orders = {}
    for (species, variety), held in rows.items():
        order = _order_of(held)
        for name in (variety, *OTHER_NAMES.get((species, variety), ()), name_of_order(order)):
            orders[variety_key(species, name)] = order
    return orders


_ORDERS = _orders()
