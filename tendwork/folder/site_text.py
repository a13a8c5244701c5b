"""The site.toml that a new orchard begins with: what the person said, and every other key as a comment to be woken."""

from __future__ import annotations

# Examples, from a mild place in each half of the world.
_MINIMUM_C = [1, 1, 2, 4, 7, 10, 12, 12, 9, 7, 3, 2]
_MAXIMUM_C = [7, 7, 10, 13, 16, 19, 21, 21, 18, 14, 10, 7]
_NORTHERN_BLOOM, _SOUTHERN_BLOOM = "05-08", "10-08"

_OTHER_KEYS = """
# Everything below has a sensible default. Take the # away from what you want to say yourself.

# elevation_m = 240
# units = "metric"            # or "us": shown in °F, inches and feet; files stay metric
# reach_m = 2.0               # what you reach with both feet on the ground; above it cautions for height stand
# winter = "wet"              # or "dry-cold": when stone fruit is pruned; without it the usual nights decide

# [hours]                     # hours for the orchard, by weekday
# monday = 0.5
# saturday = 4
# sunday = 2

# [normals]                   # monthly means of the daily minimum and maximum, January first
# minimum_c = {minimum_c}
# maximum_c = {maximum_c}

# [usual_dates]               # what you know by heart: the middle of about ten years
# apple = { "full bloom" = "{full_bloom}" }

# [colder_by]                 # this place against the temperature series: degrees_c, elevation_m or days
# degrees_c = 1.2

# [[temperatures]]            # best first
# file = "temperatures/*.csv"

# [[temperatures]]            # nothing is sent to anybody unless you name a service
# service = "open-meteo"

# [remind]                    # what `tendwork watch` delivers in the morning
# at = "06:30"
# command = ["mail", "-s", "Orchard", "me"]
# sheet_file = "sheet.txt"    # .html for a page to print
# calendar_file = "jobs.ics"
"""


def site_text(name: str, timezone: str, latitude: float, longitude: float) -> str:
    """The text of a new site.toml, with examples of its own half of the world."""
    import tomli_w

    said = {"name": name, "timezone": timezone, "latitude": latitude, "longitude": longitude}
    half = 6 if latitude < 0 else 0
    examples = {
        "{minimum_c}": str(_MINIMUM_C[half:] + _MINIMUM_C[:half]),
        "{maximum_c}": str(_MAXIMUM_C[half:] + _MAXIMUM_C[:half]),
        "{full_bloom}": _SOUTHERN_BLOOM if half else _NORTHERN_BLOOM,
    }
    other_keys = _OTHER_KEYS
    for name, example in examples.items():
        other_keys = other_keys.replace(name, example)
    return tomli_w.dumps(said) + other_keys
