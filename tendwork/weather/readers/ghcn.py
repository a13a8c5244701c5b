"""What the three layouts of GHCN-Daily share (NOAA NCEI, readme of GHCN-Daily)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from tendwork.errors import PersonError, located

ATTRIBUTION = "NOAA NCEI, Global Historical Climatology Network - Daily (Menne et al. 2012); US government data"
SERVICE_ATTRIBUTION = "NOAA National Centers for Environmental Information, daily summaries; US government data"

# The readme's quality flags; any of them, known or not, sets the value aside.
_QUALITY = {
    "D": "a duplicate",
    "G": "a gap in its distribution",
    "I": "inconsistent within itself",
    "K": "a streak of one value",
    "L": "a total of several days",
    "M": "too far off altogether",
    "N": "a zero for a missing value",
    "O": "an outlier of the climate",
    "R": "inconsistent with the days around it",
    "S": "inconsistent with the stations around it",
    "T": "inconsistent in time",
    "W": "too warm for snow",
    "X": "beyond any bounds",
    "Z": "found bad by hand",
}
_MORNING_ENDS = "1200"


def flagged_words(day: str, element: str, flag: str) -> str:
    """Why a value with the quality flag `flag` is set aside."""
    return f"{day}: {element} is flagged {flag} by the source, {_QUALITY.get(flag, 'for a reason not known here')}"


def observed_words(times: Iterable[str]) -> str:
    """A warning where most observation times ("0700") lie in the morning; common practice, no source."""
    given = Counter(time[:4] for time in times if time)
    mornings = sum(count for time, count in given.items() if time <= _MORNING_ENDS)
    if mornings * 2 <= given.total() or not given:
        return ""
    usual = given.most_common(1)[0][0]
    return f"The station is read in the morning (mostly at {usual[:2]}:{usual[2:]}): a maximum may be the day before's."


def several_stations(name: str, line: int, first: str, second: str) -> PersonError:
    """The refusal of a file in which a second station begins on `line`."""
    return located(
        name,
        f"a second station begins here, {second} after {first}",
        line=line,
        remedy="Keep the lines of one station in a file of their own",
    )
