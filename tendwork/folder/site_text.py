"""The site.toml that a new orchard begins with: what the person said, and every other key as a comment to be woken."""

from __future__ import annotations

_OTHER_KEYS = """
# Everything below has a sensible default. Take the # away from what you want to say yourself.

# elevation_m = 240
# units = "metric"            # or "us": shown in °F, inches and feet; files stay metric
# reach_m = 2.0               # what you reach with both feet on the ground; above it cautions for height stand

# [hours]                     # hours for the orchard, by weekday
# monday = 0.5
# saturday = 4
# sunday = 2

# [normals]                   # monthly means of the daily minimum and maximum, January first
# minimum_c = [1, 1, 2, 4, 7, 10, 12, 12, 9, 7, 3, 2]
# maximum_c = [7, 7, 10, 13, 16, 19, 21, 21, 18, 14, 10, 7]

# [usual_dates]               # what you know by heart: the middle of about ten years
# apple = { "full bloom" = "05-08" }

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
    """The text of a new site.toml."""
    import tomli_w

    said = {"name": name, "timezone": timezone, "latitude": latitude, "longitude": longitude}
    return tomli_w.dumps(said) + _OTHER_KEYS
