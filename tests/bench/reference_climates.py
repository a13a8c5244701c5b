"""Climates and usual full-bloom dates for setting heat requirements. All FROM MEMORY: they set priors and test nothing.

Normals are monthly means of the daily minimum and maximum in °C, January first; bloom is the day of the year on which a
species is usually in full bloom there. Dates are good to perhaps four days, normals to one degree.
"""

from __future__ import annotations

# name: (latitude, minima, maxima, bloom)
CLIMATES: dict[str, tuple[float, str, str, dict[str, int]]] = {
    "Bonn": (
        50.6,
        "-0.4 -0.4 1.8 4.2 8.2 11.2 13 12.6 9.6 6.8 3.4 0.8",
        "5 6.3 10.6 15.2 19.4 22.3 24.4 24.2 20 14.8 9 5.6",
        {"apple": 117, "pear": 107, "sweet cherry": 105, "plum": 105, "peach": 97, "apricot": 90},
    ),
    "Geisenheim": (
        50.0,
        "-0.8 -0.5 2.2 5 9.2 12.3 14.3 13.9 10.4 6.7 3 0.4",
        "4.4 6.4 11.2 16.3 20.5 23.6 25.9 25.5 20.8 14.7 8.6 5",
        {"apple": 113, "sweet cherry": 102, "peach": 93, "apricot": 86},
    ),
    "East Malling": (
        51.3,
        "1.3 1.2 2.6 4 7 10 12.2 12 9.8 7.3 4 1.9",
        "7.4 7.9 10.6 13.6 16.8 19.9 22.3 22.2 19.1 15.1 10.8 7.9",
        {"apple": 122, "pear": 109, "sweet cherry": 107, "plum": 103},
    ),
    "Angers": (
        47.5,
        "2.7 2.6 4.5 6.2 9.9 12.7 14.6 14.4 11.8 9.3 5.4 3.1",
        "8.6 9.7 13.4 16.1 19.9 23.4 25.8 25.7 22.3 17.5 12 8.9",
        {"apple": 108, "pear": 96, "sweet cherry": 96},
    ),
    "Trento": (
        46.1,
        "-2.5 -0.5 3.7 7.3 12 15.5 17.5 17.2 13.3 8.5 3 -1.5",
        "6.3 9.3 14.9 19 23.6 27.4 29.8 29.1 24.3 18 11 6.6",
        {"apple": 104, "pear": 97, "sweet cherry": 98},
    ),
    "Belgrade": (
        44.8,
        "-1 -0.2 3.8 8.3 13 16.5 18 18 13.6 9.2 4.8 0.6",
        "4.8 7.2 13 18.4 23.6 26.8 28.8 29 24 18.4 11.4 5.6",
        {"apple": 107, "pear": 98, "sweet cherry": 97, "plum": 97, "japanese plum": 88, "apricot": 82, "peach": 90},
    ),
    "Wenatchee": (
        47.4,
        "-4.5 -2.7 0.6 4.3 8.6 12.3 15.4 15 10.7 4.8 -0.4 -4.3",
        "1.3 5.6 12 17 22 26 31 30.6 25.2 16.8 7.4 1.2",
        {"apple": 115, "pear": 108, "sweet cherry": 105, "peach": 101, "apricot": 92},
    ),
    "Geneva NY": (
        42.9,
        "-8.6 -8.2 -4.2 1.7 7.6 13 15.6 14.8 10.8 5 0.4 -5",
        "-0.3 0.9 5.8 13.3 20 25 27.3 26.3 22 15 8.3 2",
        {"apple": 130, "pear": 126, "sweet cherry": 121, "peach": 125, "apricot": 117},
    ),
    "Kentville NS": (
        45.1,
        "-9.5 -9 -4.8 0.5 5.6 10.8 14 13.8 9.8 4.8 0.8 -5.2",
        "-0.8 -0.5 3.7 9.7 16.6 21.8 24.8 24.4 20.2 13.9 8 2.4",
        {"apple": 149, "pear": 146},
    ),
    "Nîmes": (
        43.8,
        "2.6 3.3 6 8.8 12.6 16.3 19 18.6 15.4 12.2 6.8 3.5",
        "10.8 12.4 16.2 18.8 23.2 27.8 31.3 30.8 26.1 20.6 14.5 11.2",
        {"apple": 97, "pear": 88, "sweet cherry": 90, "peach": 74, "apricot": 72},
    ),
    "Zaragoza": (
        41.6,
        "2.7 3.5 6.3 8.4 12.2 16 18.7 18.8 15.4 11.3 6.3 3.2",
        "10.5 13.1 17.3 19.6 24.1 29.3 32.4 31.7 27.1 21.4 14.8 10.8",
        {"apple": 98, "pear": 88, "sweet cherry": 89, "peach": 73, "apricot": 71, "plum": 86, "japanese plum": 71},
    ),
    "Davis CA": (
        38.5,
        "3.4 5 6.6 8 11 13.6 14.8 14.3 13 10 6 3.2",
        "12.6 16 19.4 23 27.6 31.6 34 33.6 31.4 26 18 12.6",
        {"apple": 96, "pear": 83, "sweet cherry": 89, "peach": 66, "apricot": 64, "plum": 76, "japanese plum": 62},
    ),
    "Meknes": (
        33.9,
        "4.7 5.6 7.2 8.5 11.3 14.8 18 18.2 16.2 13.2 8.9 6.2",
        "15.2 16.6 19 20.7 25 29.6 34 33.8 30 25 19.5 16",
        {"apple": 103, "pear": 90, "peach": 65},
    ),
}
