"""When the daily jobs are due by the clock of the place, as APScheduler's triggers say it.

A trigger is asked from the day's midnight on, never from when it last fired: asked so, it leaves out a day on which its
time falls into a change of the clock at midnight (Havana, Beirut). What was done is not for a trigger to know; the days
on which a job was begun are handed in.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from tendwork.site_clock import zone

DAY = timedelta(days=1)


class Timetable:
    """The times of day, "HH:MM", from which the jobs of a day are due in a time zone.

    A time that daylight saving skips comes as much later as the clock is put on; of one that comes twice it is the
    first. Raises ValueError for a zone that is not known or for what is no time of day.
    """

    def __init__(self, timezone: str, times: Mapping[str, str]) -> None:
        from apscheduler.triggers.cron import CronTrigger

        self._zone = zone(timezone)
        self._triggers: dict[str, Any] = {
            job: CronTrigger(hour=int(at[:2]), minute=int(at[3:]), timezone=self._zone) for job, at in times.items()
        }

    def next_due(self, job: str, now: datetime, begun: Collection[date] = ()) -> datetime:
        """The moment, in UTC, from which a job is due on the first day from today on on which it was not begun."""
        day = now.astimezone(self._zone).date()
        while day in begun:
            day += DAY
        due: datetime = self._triggers[job].get_next_fire_time(None, datetime.combine(day, time(), self._zone))
        return due.astimezone(UTC)

    def is_due(self, job: str, now: datetime, begun: Collection[date] = ()) -> bool:
        """Whether a job is due now: its time of today has come, and it was not begun today."""
        return self.next_due(job, now, begun) <= now
