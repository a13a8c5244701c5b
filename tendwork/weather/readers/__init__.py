"""Files of daily temperatures, read from what people really have.

`read_temperatures` tells the format and reads it; `merge` lays what was read into the days that are held.
"""

from __future__ import annotations

from tendwork.weather.readers.merging import merge
from tendwork.weather.readers.reading import DatedMinMax, Reading
from tendwork.weather.readers.sniffing import read_temperatures
from tendwork.weather.readers.usual import Usual, usual_of

__all__ = ["DatedMinMax", "Reading", "Usual", "merge", "read_temperatures", "usual_of"]
