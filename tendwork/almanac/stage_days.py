"""The day on which a stage comes, from the need of full bloom: by its share of it, and by the heat between the two.

Shares of the need give stages their usual distances. Where chill is short the need is swollen, and so are the shares,
but the buds once moving take no more heat than elsewhere: that bounds how far a stage can lie from bloom.
"""

from __future__ import annotations

from math import log

from tendwork.almanac.development import Progress
from tendwork.almanac.requirements import heat_to_bloom, most_heat_from_bloom, share_in_model


def day_of_stage(progress: Progress, species: str, model: int, need: float, share: float) -> float | None:
    """Days from the season's first day on which the stage comes where full bloom needs `need`; None if not reached."""
    by_share = progress.day_reached(model, need * share_in_model(model, share))
    bloom = progress.day_reached(model, need)
    if bloom is None or share == 1:
        return by_share
    by_heat = progress.day_with_more_heat(bloom, most_heat_from_bloom(species, share))
    return _nearer_to_bloom(by_share, by_heat, share)


def day_after_seen(
    progress: Progress, species: str, model: int, need: float, share: float, seen_share: float, seen_index: int
) -> float | None:
    """The day on which a later stage comes, counted on from the day on which another was seen."""
    further = need * (share_in_model(model, share) - share_in_model(model, seen_share))
    by_share = progress.day_reached(model, progress.at(model, seen_index) + further)
    most = most_heat_from_bloom(species, share) - most_heat_from_bloom(species, seen_share)
    by_heat = progress.day_with_more_heat(float(seen_index), most)
    return by_heat if by_share is None else by_share if by_heat is None else min(by_share, by_heat)


def log_need_ratio(progress: Progress, species: str, model: int, share: float, index: int) -> float:
    """The logarithm of (what full bloom needs / the published need) where the stage comes on the day `index`."""
    published = heat_to_bloom(species)[model]
    by_share = log(max(progress.at(model, index), 1.0) / (published * share_in_model(model, share)))
    bloom = None if share == 1 else progress.day_with_more_heat(float(index), -most_heat_from_bloom(species, share))
    if bloom is None:
        return by_share
    by_heat = log(max(progress.at(model, bloom), 1.0) / published)
    return min(by_share, by_heat) if share < 1 else max(by_share, by_heat)


def _nearer_to_bloom(by_share: float | None, by_heat: float | None, share: float) -> float | None:
    if by_share is None or by_heat is None:
        return by_share if by_heat is None else by_heat
    return max(by_share, by_heat) if share < 1 else min(by_share, by_heat)
