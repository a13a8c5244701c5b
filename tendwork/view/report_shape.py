"""`report --json`. A contract: names, ISO dates, stable order; text exactly as recorded, null where not known."""

from __future__ import annotations

from datetime import date
from typing import Any

from tendwork.almanac.season_weather import Bloom, BloomDay, YearWeather
from tendwork.orchard.rough_dates import Noted, date_text
from tendwork.planning.season_grafts import Loss, SeasonGrafts, Tally
from tendwork.planning.season_learned import SeasonLearned
from tendwork.planning.season_report import SeasonReport
from tendwork.planning.season_wood import SeasonWood
from tendwork.planning.season_work import SeasonWork
from tendwork.view.season_report import summary_sentences

Shape = dict[str, Any]


def report_shape(report: SeasonReport) -> Shape:
    """All of it, the summary in words too."""
    season = report.season
    return {
        "today": report.today.isoformat(),
        "season": season.name,
        "from": season.start.isoformat(),
        "to": season.end.isoformat(),
        "over": report.is_over,
        "summary": list(summary_sentences(report)),
        **_grafts(report.grafts),
        "crops": _crops(report),
        "wood": _wood(report.wood),
        **_work(report.work),
        "weather": _year(report.weather),
        "other_years": [_year(other) for other in report.others],
        "full_bloom": [_bloom(bloom) for bloom in report.bloom],
        "learned": _learned(report.learned),
    }


def _grafts(grafts: SeasonGrafts) -> Shape:
    return {
        "set": {
            **_tally(grafts.total),
            "by_method": [_named(one, "method") for one in grafts.by_method],
            "by_wood_from": [_named(one, "from") for one in grafts.by_giver],
            "by_wood_age": [_named(one, "age") for one in grafts.by_wood_age],
            "by_year_alone": grafts.by_year_alone,
        },
        "lost": [_loss(loss) for loss in grafts.losses],
        "gone_on_days_not_noted": [_loss(loss) for loss in grafts.undated],
        "signs": [
            {"sign": sign.what, "seen": [{"tree": tree, "date": day.isoformat()} for tree, day in sign.seen]}
            for sign in grafts.signs
        ],
    }


def _tally(tally: Tally) -> Shape:
    return {"set": tally.set, "took": tally.took, "failed": tally.failed, "not_known": tally.unknown}


def _named(tally: Tally, name: str) -> Shape:
    return {name: tally.of, **_tally(tally)}


def _loss(loss: Loss) -> Shape:
    return {
        "graft": loss.graft,
        "tree": loss.tree,
        "variety": loss.variety,
        "how": loss.kind,
        "date": _noted(loss.day),
        "set_on": _noted(loss.set_on),
        "note": loss.note,
        "signs_before": [{"sign": what, "date": day.isoformat()} for what, day in loss.signs],
    }


def _crops(report: SeasonReport) -> Shape:
    crops = report.crops
    return {
        "tastings": crops.tastings,
        "varieties": crops.varieties,
        "first": [
            {
                "graft": one.graft,
                "tree": one.tree,
                "species": one.species,
                "variety": one.variety,
                "date": one.day.isoformat(),
                "set_on": _noted(one.set_on),
                "score": one.score,
                "may_have_borne_before": one.may_be_older,
            }
            for one in crops.first_crops
        ],
        "scores": [
            {"species": one.species, "variety": one.variety, "score": one.score, "tastings": one.tastings}
            for one in crops.scores
        ],
        "weeks": [
            {
                "from": week.starts.isoformat(),
                "on_tree": list(week.tree),
                "in_store": list(week.store),
                "tasted_ripe": list(week.tasted),
            }
            for week in crops.weeks
        ],
        "gaps": [{"from": gap.first.isoformat(), "to": gap.last.isoformat(), "weeks": gap.weeks} for gap in crops.gaps],
    }


def _wood(wood: SeasonWood) -> Shape:
    return {
        "received": [
            {
                "from": one.who,
                "species": one.species,
                "variety": one.variety,
                "cut_on": one.day.isoformat(),
                "sticks_left": one.sticks,
                "grafts": one.grafts,
                "took": one.took,
            }
            for one in wood.received
        ],
        "given": [
            {
                "to": one.who,
                "species": one.species,
                "variety": one.variety,
                "sticks_promised": one.sticks,
                "sent_on": _day(one.sent_on),
            }
            for one in wood.given
        ],
        "asked_for": [
            {
                "from": one.who,
                "species": one.species,
                "variety": one.variety,
                "sticks": one.sticks,
                "answer": one.answer,
            }
            for one in wood.awaited
        ],
        "own": {"bundles": wood.own_bundles, "sticks_left": wood.own_sticks},
        "thanks": [{"to": one.who, "gave": list(one.gave), "took": list(one.took)} for one in wood.thanks],
    }


def _work(work: SeasonWork) -> Shape:
    jobs = work.jobs
    return {
        "hours": [
            {
                "from": one.first.isoformat(),
                "to": one.last.isoformat(),
                "minutes_noted": round(one.noted, 2),
                "minutes_planned": round(one.planned, 2),
                "ticks_of_neither": one.unknown,
            }
            for one in work.hours
        ],
        "jobs": {
            "ticks": work.ticks,
            "all": jobs.total,
            "done": jobs.done,
            "done_late": jobs.late,
            "skipped": jobs.skipped,
            "missed": jobs.missed,
            "missed_with_tree_or_graft_at_stake": jobs.grave,
            "missed_in_part": jobs.partly,
            "still_to_do": jobs.still_to_do,
        },
        "missed": [
            {
                "template": one.template,
                "title": one.title,
                "stake": one.stake,
                "loss": one.loss,
                "missed": one.missed,
                "units": one.units,
                "trees": list(one.trees),
            }
            for one in work.missed
        ],
    }


def _year(year: YearWeather) -> Shape:
    return {
        "season": year.season,
        "days": year.days,
        "days_missing": year.missing,
        "last_frost": _day(year.last_frost),
        "spring_days_missing": year.spring_missing,
        "coldest_c": None if year.coldest_c is None else round(year.coldest_c, 1),
        "coldest_on": _day(year.coldest_on),
        "days_above_30_c": year.hot_days,
        "degree_days_above_5_c": [
            {"to": heat.to.isoformat(), "sum": None if heat.degree_days_c is None else round(heat.degree_days_c, 1)}
            for heat in year.heat
        ],
    }


def _bloom(bloom: Bloom) -> Shape:
    return {
        "species": bloom.species,
        "this": None if bloom.own is None else _bloom_day(bloom.own),
        "others": [_bloom_day(one) for one in bloom.others],
        "days_later_than_middle": bloom.days_late,
    }


def _bloom_day(one: BloomDay) -> Shape:
    return {"season": one.season, "date": one.day.isoformat(), "seen": one.seen}


def _learned(learned: SeasonLearned) -> Shape:
    return {
        "season": learned.following,
        "sightings": learned.sightings,
        "stages": [
            {
                "species": move.species,
                "stage": move.stage,
                "sightings": move.sightings,
                "before": move.before.isoformat(),
                "after": move.after.isoformat(),
                "days": move.days,
            }
            for move in learned.stages
        ],
        "tastings": learned.tastings,
        "picking_dates": [
            {
                "species": move.species,
                "variety": move.variety,
                "tastings": move.tastings,
                "before": _day(move.before),
                "after": move.after.isoformat(),
                "days": move.days,
            }
            for move in learned.picks
        ],
    }


def _day(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def _noted(noted: Noted | None) -> str | None:
    return None if noted is None else date_text(noted)
