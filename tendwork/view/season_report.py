"""The season's report in words: three sentences first, then each part, with what is not noted said where it is so."""

from __future__ import annotations

from tendwork.orchard.rough_dates import middle_day
from tendwork.orchard.wording import counted, listed
from tendwork.planning.season_report import SeasonReport
from tendwork.view.report_blocks import ReportPage
from tendwork.view.report_crops import crops_part, weeks_part
from tendwork.view.report_days import season_day
from tendwork.view.report_grafts import losses_part, takes_part, wood_part
from tendwork.view.report_weather import bloom_part, learned_part, weather_part
from tendwork.view.report_work import hours_part, hours_words, jobs_part
from tendwork.view.text import plain
from tendwork.view.words import full_day

_NAMED = 3


def report_page(report: SeasonReport, site_name: str, units: str) -> ReportPage:
    """The report as it is shown, printed and copied; temperatures in the person's units."""
    season = report.season
    span = f"{full_day(season.start)} to {full_day(season.end)}"
    as_of = full_day(report.today)
    span += f", with what was tasted of its crop since; as of {as_of}." if report.is_over else f"; so far, {as_of}."
    return ReportPage(
        site_name=plain(site_name),
        title=f"season {season.name}",
        span=span,
        summary=tuple(map(plain, summary_sentences(report))),
        parts=(
            takes_part(report),
            losses_part(report),
            crops_part(report),
            weeks_part(report),
            wood_part(report),
            hours_part(report),
            jobs_part(report),
            weather_part(report, units),
            bloom_part(report),
            learned_part(report),
        ),
    )


def summary_sentences(report: SeasonReport) -> tuple[str, str, str]:
    """The year in three sentences: grafts, fruit, and weather with the work."""
    return _grafts_sentence(report), _fruit_sentence(report), _year_sentence(report)


def _grafts_sentence(report: SeasonReport) -> str:
    total, losses = report.grafts.total, report.grafts.losses
    if total.set:
        all_known = f"{total.took} took" if total.took < total.set else "all took" if total.set > 1 else "it took"
        said = f"{counted(total.set, 'graft')} {_were(total.set)} set in season {report.season.name}: {all_known}"
        said += f", {total.failed} failed" if total.failed else ""
        said += f", of {total.unknown} it is not known yet" if total.unknown else ""
    else:
        said = f"No graft is noted as set in season {report.season.name}"
    older = [loss for loss in losses if loss.set_on is None or middle_day(loss.set_on) not in report.season]
    if older:
        lost = "1 older one was" if len(older) == 1 else f"{len(older)} older ones were"
        said += f"; {lost} lost"
    elif not losses:
        said += "; no loss is noted"
    return f"{said}."


def _fruit_sentence(report: SeasonReport) -> str:
    crops = report.crops
    with_fruit = sum(week.has_fruit for week in crops.weeks)
    if crops.weeks and crops.weeks[0].starts > report.today:
        there_is = "fruit is to come"
    elif any(week.has_fruit and week.starts > report.today for week in crops.weeks):
        there_is = "there was fruit, or will be,"
    else:
        there_is = "there was fruit"
    weeks = f"{there_is} in {with_fruit} of {len(crops.weeks)} weeks"
    weeks += " from high summer to midwinter"
    if not with_fruit:
        weeks = "of no week is it known that there was fruit"
    if not crops.tastings:
        return f"No tasting is noted; {weeks}."
    said = f"{counted(crops.varieties, 'variety')} {_were(crops.varieties)} tasted"
    if crops.scores:
        names = [one.variety for one in crops.best]
        more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
        best = (", ".join(names[:_NAMED]) + more) if more else listed(names)
        said += f", the best of them {best} ({crops.best[0].score} of 5)"
    young = sum(not crop.may_be_older for crop in crops.first_crops)
    said += f"; {counted(young, 'graft')} bore for the first time" if young else ""
    return f"{said}; {weeks}."


def _year_sentence(report: SeasonReport) -> str:
    parts = []
    bloom = next((one for one in report.bloom if one.own is not None), None)
    if bloom is not None and bloom.own is not None:
        said = f"{bloom.species.capitalize()} was in full bloom on {season_day(bloom.own.day, report.season)}"
        late = bloom.days_late
        if late is not None:
            off = f"{counted(abs(late), 'day')} {'later' if late > 0 else 'earlier'} than "
            said += f", {off if late else ''}the middle day of {counted(len(bloom.others), 'other year')}"
        parts.append(said)
    jobs = report.work.jobs
    if jobs.total and report.work.ticks:
        said = f"of {counted(jobs.total, 'job')} {jobs.done or 'none'} {_were(jobs.done or 1)} done and"
        said += f" {jobs.missed or 'none'} missed"
        grave = "" if jobs.grave == jobs.missed else f"{jobs.grave} of these "
        parts.append(said + (f", {grave}with a tree or a graft at stake" if jobs.grave else ""))
    else:
        parts.append("no job was ticked")
    hours = hours_words(report)
    parts.append(f"the work took {hours}" if hours else "no hours are known")
    said = "; ".join(parts)
    return f"{said[:1].upper()}{said[1:]}."


def _were(number: int) -> str:
    return "was" if number == 1 else "were"
