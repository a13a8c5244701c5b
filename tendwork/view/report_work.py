"""The parts of a report about the work: hours, and jobs done, late and missed."""

from __future__ import annotations

from tendwork.orchard.rough_dates import MONTHS
from tendwork.orchard.wording import counted
from tendwork.planning.season_report import SeasonReport
from tendwork.planning.season_work import Hours, MissedJob
from tendwork.view.report_blocks import Block, Items, Part, Said, Table
from tendwork.view.text import plain
from tendwork.view.words import minutes_words

_PLACES = 3
_MOST_MISSED = 12


def hours_part(report: SeasonReport) -> Part:
    """Noted and planned minutes by quarter; which is which is said."""
    hours = report.work.hours
    noted, planned = (sum(getattr(one, kind) for one in hours) for kind in ("noted", "planned"))
    unknown = sum(one.unknown for one in hours)
    if not noted and not planned and not unknown:
        return Part("Hours", (Said("Nothing noted: nothing was ticked as done in this season."),))
    rows = [
        (_quarter_words(one), _minutes(one.noted), _minutes(one.planned), _minutes(one.noted + one.planned))
        for one in hours
    ]
    blocks: list[Block] = [
        Table(
            ("Part of the year", "noted", "planned", "together"),
            (*rows, ("all", _minutes(noted), _minutes(planned), _minutes(noted + planned))),
        ),
        Said(
            "Noted: minutes that were written down with a tick. Planned: of what was ticked without minutes, what the"
            " rule of the job gives, each job set up once a day; nobody measured these."
        ),
    ]
    if unknown:
        blocks.append(Said(f"Of {counted(unknown, 'tick')} neither is known: no rule in force has the job."))
    return Part("Hours", tuple(blocks))


def hours_words(report: SeasonReport) -> str:
    """ "64 h, 3 h of them noted and the rest planned"; empty where nothing is known."""
    noted, planned = (sum(getattr(one, kind) for one in report.work.hours) for kind in ("noted", "planned"))
    if not noted and not planned:
        return ""
    if not planned:
        return f"{_minutes(noted)} as noted"
    return f"about {_minutes(noted + planned)}, " + (
        f"{_minutes(noted)} of it noted, the rest as planned" if noted else "as planned, since no minutes were noted"
    )


def jobs_part(report: SeasonReport) -> Part:
    """Counts of jobs, and what was missed that mattered."""
    jobs = report.work.jobs
    if not jobs.total:
        return Part("Jobs", (Said("Nothing noted: no rule asked for a job in this season."),))
    if not report.work.ticks:
        said = "Nothing noted: no job of this season was ticked, so what was done and what was missed is not known."
        return Part("Jobs", (Said(said),))
    still = "still to do on its last day" if report.is_over else "still to do or to come"
    rows = (
        ("done", jobs.done, f"{jobs.late or 'none'} of them late" if jobs.done else ""),
        ("skipped", jobs.skipped, ""),
        ("missed", jobs.missed, f"{jobs.partly} of them done in part" if jobs.partly else ""),
        (still, jobs.still_to_do, ""),
        ("in all", jobs.total, ""),
    )
    lines = tuple(
        f"{number} {name}{f', {more}' if more else ''}" for name, number, more in rows if number or name == "done"
    )
    blocks: list[Block] = [Items(lines)]
    if report.work.missed:
        blocks.append(Said("Missed, with a tree or a graft at stake:"))
        shown = [plain(_missed_words(one)) for one in report.work.missed[:_MOST_MISSED]]
        rest = report.work.missed[_MOST_MISSED:]
        shown += [f"and {sum(one.missed for one in rest)} more by {counted(len(rest), 'other rule')}."] * bool(rest)
        blocks.append(Items(tuple(shown)))
    elif jobs.missed:
        blocks.append(Said("None of what was missed had a tree or a graft at stake."))
    blocks.append(
        Said(
            "Each round of a repeating job counts as one; of what was at stake the last round alone, as the next one"
            " serves for any other. A job is late where it was done after it closed."
        )
    )
    return Part("Jobs", tuple(blocks))


def _missed_words(one: MissedJob) -> str:
    places = ", ".join(one.trees[:_PLACES]) + (
        f" and {len(one.trees) - _PLACES} more" if len(one.trees) > _PLACES else ""
    )
    where = f", {places}" if places else ""
    loss = f", or {one.loss}" if one.loss else ""
    return f"{one.title}{where}: {one.missed} of {one.units} missed; {one.stake} at stake{loss}."


def _quarter_words(one: Hours) -> str:
    return f"{MONTHS[one.first.month - 1]} {one.first.year} to {MONTHS[one.last.month - 1]} {one.last.year}"


def _minutes(minutes: float) -> str:
    return minutes_words(minutes)
