"""`tendwork watch`: the daily jobs without the dashboard."""

from __future__ import annotations

import gc
import sys
from datetime import UTC, datetime

import click

from tendwork.cli.printing import note_done
from tendwork.cli.session import Session, common, width


@click.command()
@common(reads=False)
@click.option("--once", is_flag=True, help="Do what is due now and leave, as a crontab line wants it.")
@click.option("--log", "only_tell", is_flag=True, help="Only tell what recent rounds did.")
@click.pass_obj
def watch(session: Session, once: bool, only_tell: bool) -> None:
    """Do the day's rounds until stopped.

    Copy the records, fetch, plan, deliver the morning sheet, warn of frost.
    """
    from tendwork.daily.jobs import DailyJobs
    from tendwork.daily.watch_lock import only_one
    from tendwork.folder.daily_log import read_log
    from tendwork.view.daily_log import entry_line, watch_log_text, watching_words

    if session.on is not None:
        raise click.UsageError("A watch goes by the clock, so --on has no meaning for it.")
    if only_tell:
        click.echo(watch_log_text(read_log(session.bench.path).entries, width()))
        return
    path, site = session.bench.path, session.bench.site
    session.bench.close()
    note_done("Done", ("`tendwork watch --log` tells what the watch did.",))
    gc.enable()
    with only_one(path):
        if once:
            done = DailyJobs(path, _now).look()
            for entry in done:
                click.echo(entry_line(entry), err=entry.failed)
            sys.exit(any(entry.failed for entry in done))
        from tendwork.daily.watching import Watching

        watching = Watching(lambda: map(entry_line, jobs.look()), click.echo)
        jobs = DailyJobs(path, _now, watching.stopping.is_set)
        click.echo(watching_words(site.name, "" if site.remind is None else site.remind.at))
        watching.run()
        click.echo("The watch has ended.")


def _now() -> datetime:
    return datetime.now(UTC)
