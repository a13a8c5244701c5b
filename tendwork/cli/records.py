"""The commands about records beside the plan: the fruit, what takes, and undoing."""

from __future__ import annotations

import click

from tendwork.cli.session import Session, common, print_json, say_done, width


@click.command()
@click.option("--varieties", is_flag=True, help="Only what is known of each variety, and who says so.")
@common()
@click.pass_obj
def fruit(session: Session, varieties: bool, as_json: bool) -> None:
    """What ripens when, what to keep and what to cut.

    Also which places in the crowns are free, and what blooms together.
    """
    from tendwork.planning.fruit_years import fruit_years
    from tendwork.view.fruit import fruit_page, fruit_shape
    from tendwork.view.varieties import varieties_text

    bench, today = session.bench, session.today
    records, reference = bench.records.read(), bench.records.variety_reference()
    if varieties and not as_json:
        click.echo(varieties_text(records, reference, width()))
        return
    years = fruit_years(lambda season: bench.plan.ripening(today, season), today, bench.site.south)
    if as_json:
        print_json(fruit_shape(records, today, years, reference))
    else:
        click.echo(fruit_page(records, today, bench.site.units, width(), years, reference))


@click.command()
@common()
@click.pass_obj
def rates(session: Session, as_json: bool) -> None:
    """How many of your grafts took.

    By species, method, wrap, week and age of the wood.
    """
    from tendwork.orchard.take_rates import trials
    from tendwork.view.rates import rates_shape, takes_text

    records = session.bench.records.read()
    if as_json:
        print_json(rates_shape(records))
    else:
        click.echo(takes_text(trials(records), width()))


@click.command()
@common()
@click.pass_obj
def wraps(session: Session, as_json: bool) -> None:
    """Every wrap that is still on, the oldest first.

    With the warmth since it was set, the job that takes it off, and what is not noted of grafts.
    """
    from tendwork.view.wraps import wraps_shape, wraps_text

    bench, today = session.bench, session.today
    summary = bench.plan.summary(today)
    if as_json:
        print_json(wraps_shape(summary.wraps, summary.gaps, today))
    else:
        click.echo(wraps_text(summary.wraps, summary.gaps, today, width(), bench.site.units))


@click.command()
@common(reads=False)
@click.pass_obj
def undo(session: Session) -> None:
    """Undo the last thing done, whatever it was.

    Again, the one before it.
    """
    say_done(session.bench.records.undo(session.today))
