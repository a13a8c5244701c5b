"""Where the date of a bud stage comes from, in words."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp

from tendwork.almanac.days import Days
from tendwork.almanac.development import first_day, last_day
from tendwork.almanac.learning import Learned
from tendwork.almanac.lessons import WELL_HELD
from tendwork.almanac.place import UsualDate
from tendwork.almanac.requirements import MODEL_WORDS, heat_to_bloom
from tendwork.almanac.seasons import Season
from tendwork.almanac.stage_habits import StageHabits

NOTHING_TAUGHT = "nothing is known of it here yet, so the published heat stands, and the range is wide"
_NONE_HELD = 0.005


def of_need(species: str, share: float, learned: Learned) -> list[str]:
    """What full bloom needs by the model believed most, and how much of it the stage does."""
    best = learned.best
    belief = learned.beliefs[best]
    heat = heat_to_bloom(species)[best] * exp(belief.log_factor)
    words = [
        f"full bloom needs about {heat:.0f} growing degree hours, {MODEL_WORDS[best]} "
        f"(of {len(MODEL_WORDS)} ways to count, this one is believed most: {belief.weight:.0%})"
    ]
    if share < 1:
        words.append(f"this stage comes with about {share:.0%} of them")
    elif share > 1:
        words.append(f"this stage comes with about {share - 1:.0%} of them more")
    return words


def of_learning(learned: Learned, told: Sequence[UsualDate], kin: Sequence[str], kin_days: float) -> list[str]:
    """What sightings, usual dates and other species have taught; nothing where nothing has."""
    words = []
    parts = []
    if learned.springs:
        parts.append(f"{_count(learned.springs, 'spring')} of sightings")
    if learned.usual_dates:
        dates = " and ".join(f"{usual.stage} {usual.month:02d}-{usual.day:02d}" for usual in told)
        parts.append(f"the usual date{'s' if learned.usual_dates != 1 else ''} in site.toml ({dates})")
    if parts:
        factor = exp(learned.beliefs[learned.best].log_factor)
        change = abs(factor - 1)
        more = "more" if factor > 1 else "less"
        need = f"{change:.0%} {more} heat than published" if change >= _NONE_HELD else "no other heat than published"
        words.append(f"learned here from {' and '.join(parts)}: the buds need {need}")
    if round(kin_days):
        late = "later" if kin_days > 0 else "earlier"
        words.append(f"what is known here of {_listed(kin)} moves it {_count(abs(round(kin_days)), 'day')} {late}")
    return words


def of_habit(habits: StageHabits, share: float) -> list[str]:
    """How a stage was seen to lie before bloom here."""
    days = round(habits.days_at(share))
    if not days:
        return []
    late = "later" if days > 0 else "earlier"
    springs = _count(habits.springs, "spring")
    return [f"this stage comes {_count(abs(days), 'day')} {late} here than bloom foretells, learned from {springs}"]


def of_days(days: Days, season: Season) -> list[str]:
    """What is not known of the season's weather."""
    words = []
    share = days.measured_share(first_day(season), last_day(season))
    if share < _NONE_HELD:
        words.append(f"no days of the season are held; all of them stand at {days.normals_from}")
    elif share < WELL_HELD:
        words.append(f"only {share:.0%} of the season's days are held; the others stand at {days.normals_from}")
    if days.looks_like_fahrenheit():
        words.append("the temperatures look like °F taken for °C, so no date here can be trusted")
    return words


def of_weather_to_come(days: Days, ways: int) -> tuple[str, ...]:
    words = f"the weather to come is taken in {ways} ways"
    change = round(10 * days.warming_c_a_year, 1)
    if not change:
        return (words,)
    direction = "warmer" if change > 0 else "colder"
    levelled = f"past seasons are levelled to today: the place becomes {abs(change)} °C {direction} in ten years"
    return (words, levelled)


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'s' if number != 1 else ''}"


def _listed(names: Sequence[str]) -> str:
    return " and ".join(names) if len(names) < 3 else f"{', '.join(names[:-1])} and {names[-1]}"
