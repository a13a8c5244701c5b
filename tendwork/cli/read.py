"""The commands that read: the week, the season, the buds, the reasons, the records."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from tendwork.cli.session import Session, common, print_json, say, width

if TYPE_CHECKING:
    from tendwork.planning.visits import Visit


@click.command()
@click.option("--all", "is_all", is_flag=True, help="List also what can wait, where that is much.")
@common()
@click.pass_obj
def week(session: Session, as_json: bool, is_all: bool = False) -> None:
    """This week's jobs, the most pressing first."""
    bench, today = session.bench, session.today
    summary = bench.plan.summary(today)
    bench.plan.looked(today)
    if as_json:
        from tendwork.view.json_shape import week_shape
        from tendwork.view.wraps import known_on

        wraps = len(known_on(summary.wraps))
        print_json(week_shape(summary.week, today, summary.frost, summary.forecast_to, wraps))
    else:
        from tendwork.view.buds import frost_unknown_sentence
        from tendwork.view.days import days_text
        from tendwork.view.plain import week_text

        fitted = summary.week
        text = week_text(
            fitted.tasks,
            today,
            bench.site.name,
            (*summary.words, *frost_unknown_sentence(summary.frost_unknown)),
            width(),
            changed=summary.changed,
            back=summary.back,
            following=fitted.following,
            wraps=summary.wraps,
            gaps=summary.gaps,
            folds=not is_all,
        )
        click.echo(text)
        click.echo("\n" + days_text(summary.week, width()))


@click.command()
@common()
@click.pass_obj
def season(session: Session, as_json: bool) -> None:
    """Every job of the season with its window."""
    bench, today = session.bench, session.today
    plan = bench.plan.of(today).plan
    if as_json:
        from tendwork.view.json_shape import season_shape

        print_json(season_shape(plan))
    else:
        from tendwork.almanac.seasons import Season
        from tendwork.view.plain import season_text

        season = Season(plan.season, bench.site.south)
        click.echo(season_text(plan, bench.plan.of(today).stages, season, width()))


@click.command()
@click.option("--why", is_flag=True, help="Say what the next stage of each species is calculated from.")
@common()
@click.pass_obj
def stages(session: Session, why: bool, as_json: bool) -> None:
    """The bud stages of the season with their ranges."""
    bench, today = session.bench, session.today
    if as_json:
        from tendwork.view.json_shape import stages_shape

        print_json(stages_shape(bench.plan.of(today).stages, today, bench.plan.of(today).plan.season))
    else:
        from tendwork.view.plain import stages_text

        click.echo(stages_text(bench.plan.of(today).stages, today, width(), why=why))


@click.command()
@common()
@click.argument("task")
@click.pass_obj
def why(session: Session, task: str, as_json: bool) -> None:
    """Why a job stands where it stands, how it is done, who says so."""
    visit = session.bench.plan.visit(task, session.today)
    if visit is not None:
        _why_visit(session, visit, as_json)
        return
    found, day = session.bench.plan.task_and_day(task, session.today)
    if as_json:
        from tendwork.view.json_shape import task_shape

        print_json({**task_shape(found), "as_of": day})
    else:
        from tendwork.view.plain import as_of_words, why_text

        if day != session.today:
            click.echo(as_of_words(day, session.today, session.bench.site.south))
        click.echo(why_text(found, session.bench.templates.loaded().cards, day, width()))


def _why_visit(session: Session, visit: Visit, as_json: bool) -> None:
    """The same of each job that a visit joins."""
    if as_json:
        from tendwork.view.json_shape import task_shape, visit_shape

        tasks = [task_shape(part) for part in visit.parts]
        print_json({"visit": visit_shape(visit), "tasks": tasks, "as_of": session.today})
        return
    from tendwork.view.plain import why_visit_text

    click.echo(why_visit_text(visit.parts, session.bench.templates.loaded().cards, session.today, width()))


@click.command()
@common()
@click.pass_obj
def trees(session: Session, as_json: bool) -> None:
    """The trees and the grafts on them."""
    records = session.bench.records.read()
    if as_json:
        from tendwork.view.json_shape import trees_shape

        print_json(trees_shape(records, session.today))
    else:
        from tendwork.view.plain import trees_text

        click.echo(trees_text(records, width(), session.today, session.bench.site.units))


@click.command()
@click.option("--ask", is_flag=True, help="What to write to whom: wood to ask for, no answer yet.")
@click.option("--offer", is_flag=True, help="What wood you can offer, and what is promised to whom.")
@click.option("--pack", is_flag=True, help="What to pack for whom, with what stands on each label.")
@common()
@click.pass_obj
def wood(session: Session, as_json: bool, ask: bool, offer: bool, pack: bool) -> None:
    """The bundles of wood: what presses, how old, whether enough.

    With their checks, and the balance of every variety. What --ask, --offer and --pack print is to be copied; nothing
    is ever sent.
    """
    from tendwork.orchard.named_templates import CHECK_WOOD
    from tendwork.view.wood import wood_page, wood_page_shape

    wanted = [name for name, is_wanted in (("ask", ask), ("offer", offer), ("pack", pack)) if is_wanted]
    if len(wanted) > 1:
        raise click.UsageError(f"--{' and --'.join(wanted)} are texts of their own. Ask for one after the other.")
    if wanted and as_json:
        raise click.UsageError(f'--json has what --{wanted[0]} says under "{wanted[0]}". Leave --{wanted[0]} away.')
    bench, today = session.bench, session.today
    every_days, south = bench.templates.every_days(CHECK_WOOD), bench.site.south
    if as_json:
        print_json(wood_page_shape(bench.records.read(), today, every_days, south))
    elif wanted:
        from tendwork.workbench import exports

        click.echo(exports.wood_words(bench, wanted[0], today, width()))
    else:
        click.echo(wood_page(bench.records.read(), today, every_days, width(), south))


@click.command()
@common()
@click.pass_obj
def check(session: Session, as_json: bool) -> None:
    """Look through every file of the orchard, and say what is wrong."""
    faults, warnings = session.check()
    if as_json:
        print_json({"faults": faults, "warnings": warnings})
    else:
        for line in (*(f"warning: {line}" for line in warnings), *faults):
            say(line)
        if not faults:
            say("All well." if not warnings else "No faults.")
    if faults:
        sys.exit(1)
