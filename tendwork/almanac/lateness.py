"""How much later than its species a variety is here: what is published of it, moved by the sightings that name it."""

from __future__ import annotations

from datetime import timedelta

from msgspec import Struct

from tendwork.almanac.bloom_order import BloomOrder, bloom_order
from tendwork.almanac.learning import Learned, Lesson, offset
from tendwork.almanac.requirements import SPREAD, share_of_bloom
from tendwork.almanac.results import SeenStage
from tendwork.species import bbch


class Lateness(Struct, frozen=True):
    """Of one variety in one season: `lessons` are its own, `log_rate` is how fast heat goes at the time of bloom."""

    learned: Learned
    lessons: tuple[Lesson, ...]
    order: BloomOrder | None
    log_rate: float

    @property
    def sd_days(self) -> float:
        """How unsure it is before any sighting."""
        return SPREAD.variety_days if self.order is None else self.order.sd_days

    def at(self, share: float) -> float:
        """Days by which the stage with this share of the heat to full bloom comes later; negative is earlier."""
        published = 0.0 if self.order is None else self.order.days_at(share, self.log_rate)
        return offset(self.learned, self.lessons, published, self.sd_days)

    def words(self, days: float, name: str = "this variety") -> tuple[str, ...]:
        """Where `days`, those of one stage, come from."""
        words = []
        count = len(self.lessons)
        if count and round(days):
            springs = f"{count} spring{'s' if count != 1 else ''} of sightings of it here"
            words.append(f"{name} is {_count_words(days)} than its species, learned from {springs}")
        if self.order is not None:
            words.append(f"{'published: ' if self.lessons else f'{name} is '}{self.order.words}")
        return tuple(words)


def as_of_species(sighting: SeenStage) -> SeenStage:
    """A sighting of a variety on the day on which its species would usually be seen so."""
    order = bloom_order(sighting.species, sighting.variety)
    share = share_of_bloom(sighting.species, bbch(sighting.species, sighting.stage))
    if order is None or share is None:
        return sighting
    day = sighting.day - timedelta(days=round(order.days_at(share)))
    return SeenStage(day, sighting.species, sighting.stage, sighting.variety)


def _count_words(days: float) -> str:
    count = abs(round(days))
    return f"{count} day{'s' if count != 1 else ''} {'later' if days > 0 else 'earlier'}"
