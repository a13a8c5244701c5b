"""The sightings by species and season, with a word about those that cannot be used or contradict each other."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.results import SeenStage
from tendwork.almanac.seasons import Season, season_of
from tendwork.species import STAGES, bbch, stage_named

_LEAVES_MAY_FALL = timedelta(days=120)


class SeenSeason(Struct, frozen=True):
    """One species in one season: the days on which each stage was seen, and whether the order of the buds is broken."""

    days: dict[str, tuple[date, ...]]
    broken: bool

    def middle(self, stage: str) -> date:
        days = self.days[stage]
        return days[(len(days) - 1) // 2]

    def without(self, stage: str) -> SeenSeason:
        """The same had nobody seen this stage."""
        return SeenSeason({other: days for other, days in self.days.items() if other != stage}, self.broken)


_NOTHING_SEEN = SeenSeason({}, False)
_ANY_OTHER = "(any other)"


class Sightings:
    """All sightings up to `today`; `words` says what was left out and what does not agree."""

    def __init__(self, seen: Iterable[SeenStage], today: date, south: bool) -> None:
        self.words: list[str] = []
        self._by_season: dict[str, dict[Season, list[SeenStage]]] = {}
        self._named: dict[str, set[str]] = {}
        later = 0
        for sighting in sorted(seen, key=lambda entry: (entry.day, entry.species, entry.stage, entry.variety)):
            stage = stage_named(sighting.species, sighting.stage) if sighting.species in STAGES else None
            if sighting.day > today:
                later += 1
            elif stage is not None:
                season = season_seen(sighting.day, stage, south)
                named = SeenStage(sighting.day, sighting.species, stage, sighting.variety)
                self._by_season.setdefault(sighting.species, {}).setdefault(season, []).append(named)
                if sighting.variety:
                    self._named.setdefault(sighting.species, set()).add(sighting.variety)
        if later:
            self.words.append(
                f"{later} sighting{'s lie' if later != 1 else ' lies'} after {today.isoformat()} and "
                f"{'are' if later != 1 else 'is'} not used."
            )
        for species, seasons in self._by_season.items():
            for season, found in seasons.items():
                if _broken(found):
                    self.words.append(f"The sightings of {species} in season {season.name} contradict each other.")

    def species(self) -> tuple[str, ...]:
        """Those with sightings."""
        return tuple(self._by_season)

    def seasons(self, species: str) -> tuple[Season, ...]:
        """The seasons with sightings of the species, oldest first."""
        return tuple(self._by_season.get(species, ()))

    def of(self, species: str, season: Season, variety: str = "") -> SeenSeason:
        """What was seen of a species in a season. For a variety: of itself and of the species as a whole.

        For the species: what was seen of it as a whole, or else of its varieties.
        """
        found = self._by_season.get(species, {}).get(season, [])
        chosen = [entry for entry in found if entry.variety in ("", variety)]
        return gathered(chosen or ([] if variety else found))

    def of_varieties_alone(self, species: str, season: Season) -> list[SeenStage]:
        """The sightings, oldest first, of a season in which nobody saw the species as a whole; else none."""
        found = self._by_season.get(species, {}).get(season, [])
        return [] if any(not entry.variety for entry in found) else found

    def teaching(self, species: str, season: Season, as_of_species: Callable[[SeenStage], SeenStage]) -> SeenSeason:
        """As `of` for the species, but where only its varieties were seen, each of them `as_of_species`."""
        seen = self.of(species, season)
        found = self.of_varieties_alone(species, season)
        return SeenSeason(gathered([as_of_species(entry) for entry in found]).days, seen.broken) if found else seen

    def names(self, species: str, variety: str) -> bool:
        """Whether a sighting names the variety."""
        return variety in self._named.get(species, ())

    def was_seen(self, species: str, season: Season, stage: str) -> bool:
        """Whether the stage was seen that season on whatever variety."""
        return any(entry.stage == stage for entry in self._by_season.get(species, {}).get(season, ()))

    def standing_for(self, species: str, variety: str) -> str:
        """A name that is seen and computed as this variety is: all that no sighting names are alike."""
        named = self._named.get(species)
        if not variety or not named:
            return ""
        return variety if variety in named else _ANY_OTHER

    def of_variety(self, species: str, season: Season, variety: str) -> SeenSeason:
        """What was seen of this variety alone."""
        found = self._by_season.get(species, {}).get(season, [])
        return gathered([entry for entry in found if entry.variety == variety])


def season_seen(day: date, stage: str, south: bool) -> Season:
    """The season whose buds a sighting is about: leaves fall into the beginning of the next."""
    season = season_of(day, south)
    return season.previous if stage == "leaf fall" and day < season.start + _LEAVES_MAY_FALL else season


def gathered(found: Sequence[SeenStage]) -> SeenSeason:
    """The sightings of one species in one season."""
    if not found:
        return _NOTHING_SEEN
    days: dict[str, list[date]] = {}
    for entry in found:
        days.setdefault(entry.stage, []).append(entry.day)
    return SeenSeason({stage: tuple(sorted(seen)) for stage, seen in days.items()}, _broken(found))


def _broken(found: Sequence[SeenStage]) -> bool:
    """Whether, of one variety, a later stage was seen only before an earlier one was."""
    varieties = {entry.variety for entry in found}
    for variety in varieties:
        latest: dict[int, date] = {}
        earliest: dict[int, date] = {}
        for entry in found:
            if entry.variety == variety:
                code = bbch(entry.species, entry.stage)
                latest[code] = max(entry.day, latest.get(code, entry.day))
                earliest[code] = min(entry.day, earliest.get(code, entry.day))
        codes = sorted(latest)
        for position, code in enumerate(codes):
            if any(latest[later] < earliest[code] for later in codes[position + 1 :]):
                return True
    return False
