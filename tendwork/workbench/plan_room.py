"""The room for the plan: made when it is asked for, kept as long as nothing that it hangs on changes."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from tendwork.errors import PersonError
from tendwork.workbench.plan_cache import KeptPlans, PlannedDay, WeekSummary, note_looked, token_of

if TYPE_CHECKING:
    from collections.abc import Callable

    from tendwork.almanac.seasons import Season
    from tendwork.folder.orchard_folder import OrchardFolder
    from tendwork.planning.adjustments import Adjustments
    from tendwork.planning.preview import Preview
    from tendwork.planning.results import Plan, Task
    from tendwork.planning.ripening_dates import RipeDates
    from tendwork.planning.visits import Visit
    from tendwork.workbench.plan_cache import EarlierPlan
    from tendwork.workbench.plan_making import AlmanacCache
    from tendwork.workbench.templates_room import TemplatesRoom


class PlanRoom:
    """Plans by day: today's is kept on the disk, others are made to be looked at."""

    def __init__(self, folder: OrchardFolder, templates: TemplatesRoom, almanacs: Callable[[], AlmanacCache]) -> None:
        self._folder = folder
        self._templates = templates
        self._almanacs = almanacs
        self._plans = KeptPlans(folder)
        self._last: WeekSummary | None = None
        self._told = ""

    def of(self, today: date) -> PlannedDay:
        """The plan as of `today` with its week, buds, frost and words. Raises PersonError where it cannot be."""
        token, last = self._token(today), self._last
        if isinstance(last, PlannedDay) and last.token == token:
            return last
        kept = self._plans.newest()
        if kept is None or kept.token != token:
            kept = self._made(today, token, kept, self._plans.earlier(today))
            self._plans.keep(kept)
            self._almanacs().keep_progress()
        self._last = kept
        return kept

    def summary(self, today: date) -> WeekSummary:
        """The same without the whole plan, which is left unread where it is kept. Raises PersonError."""
        token = self._token(today)
        if self._last is None or self._last.token != token:
            made = self._plans.week(token)
            if made is None:
                return self.of(today)
            self._last = made
        return self._last

    def looked(self, today: date) -> None:
        """Note that the person looked at the week today: not what the daily jobs plan ahead, but what is shown."""
        note_looked(self._folder, today)

    def last(self) -> PlannedDay | None:
        """The newest plan kept for this folder, which may be of another day; None if there is none."""
        if not isinstance(self._last, PlannedDay):
            self._last = self._plans.newest()
        return self._last if isinstance(self._last, PlannedDay) else None

    def last_plan(self) -> Plan | None:
        """The newest plan alone."""
        last = self.last()
        return None if last is None else last.plan

    def answering(self, today: date) -> Plan | None:
        """The plan of `today`, or where it cannot be made the newest one: what is recorded may answer a job of it."""
        try:
            return self.of(today).plan
        except PersonError:
            return self.last_plan()

    def last_summary(self) -> WeekSummary | None:
        """The same without the whole plan: what is read soonest."""
        if self._last is None:
            self._last = self._plans.week()
        return self._last

    def as_of(self, day: date) -> PlannedDay:
        """The plan of another day, to look at: it is not kept. Raises PersonError."""
        return self._made(day, self._token(day), None, None, is_looked_at=True)

    def task(self, key: str, today: date) -> Task:
        """The task with this key, or the only one whose key starts so. Raises PersonError with the nearest keys.

        Where the week has it as one line with other repeats of the same job, it is that line.
        """
        from tendwork.planning.named_task import task_named

        planned = self.of(today)
        if all(task.key != key for task in planned.plan.tasks) and (why := self._templates.why_not_there(key, today)):
            raise PersonError(why)
        own = task_named(planned.plan.tasks, key)
        joined = (line for line in planned.week.tasks if line.key == own.key and any(unit.task for unit in line.units))
        return next(joined, own)

    def visit(self, key: str, today: date) -> Visit | None:
        """The visit of the week with this key, where it joins several jobs. Raises PersonError without a plan."""
        from tendwork.planning.visits import visits_of

        named = (visit for visit in visits_of(self.summary(today).week.tasks, today) if visit.key == key)
        return next((visit for visit in named if len(visit.parts) > 1), None)

    def jobs(self, key: str, today: date) -> tuple[Task, ...]:
        """What the visit with this key does now, or the one task of this key. Raises PersonError as `task` does."""
        visit = self.visit(key, today)
        return (self.task(key, today),) if visit is None else visit.now

    def line(self, key: str, today: date) -> Task:
        """The task with this key, or the line of the week that it is a repeat of. Raises PersonError."""
        task = self.task(key, today)
        week = self.of(today).week
        return next((line for line in week.tasks if any(unit.task == task.key for unit in line.units)), task)

    def task_and_day(self, key: str, today: date) -> tuple[Task, date]:
        """The same for a key of any season that can be planned, and the day as of which the task is shown.

        That is today for what stands in today's plan. Raises PersonError.
        """
        from tendwork.almanac.seasons import season_of
        from tendwork.planning.named_task import task_named
        from tendwork.workbench.season_finding import day_in_season_of

        south, day = self._folder.site.south, None
        if all(task.key != key for task in self.of(today).plan.tasks):
            day = day_in_season_of(key, today, south, self._folder.records.read())
        if day is None:
            return self.task(key, today), today
        return task_named(self.as_of(day).plan.tasks, key, f"season {season_of(day, south).name}"), day

    def preview(self, after: Adjustments, today: date) -> Preview:
        """What these adjustments would move this season, against those in force. Raises PersonError."""
        from tendwork.workbench.adjusting import preview

        templates = self._templates.loaded().templates
        return preview(self._folder, self._almanacs(), templates, self._templates.adjustments(), after, today)

    def ripening(self, today: date, season: Season | None = None) -> tuple[RipeDates, ...]:
        """When each variety is to be picked in a season, else this one, if anything is known. Raises PersonError."""
        from tendwork.folder.variety_lists import variety_reference
        from tendwork.planning.ripening_dates import ripening_dates

        records, site = self._folder.records.read(), self._folder.site
        almanacs = self._almanacs()
        almanac = almanacs.cached(records, self._templates.adjustments().site, today).almanac
        found = ripening_dates(records, variety_reference(), almanac, site.south, today, season)
        almanacs.keep_progress()
        return found

    def absences(self, today: date) -> dict[str, str]:
        """For each template without a task this season, the condition that keeps its jobs away."""
        from tendwork.workbench.adjusting import absences

        present = {task.template for task in self.of(today).plan.tasks}
        templates = self._templates.loaded().templates
        found = absences(self._folder, self._almanacs(), templates, self._templates.adjustments(), today)
        return {template: why for template, why in found.items() if template not in present}

    def changed(self) -> bool:
        """Whether another process wrote what the last plan was not made from; each content is told only once.

        So a file that cannot be planned from is not tried again until it is mended.
        """
        if self._last is None:
            return False
        token = token_of(self._folder, self._last.day)
        is_new = token not in (self._last.token, self._told)
        self._told = token
        return is_new

    def _token(self, today: date) -> str:
        """The token of what stands in the folder, of which the site that is held is a part. Raises PersonError."""
        token = token_of(self._folder, today)
        while self._folder.renew_site():  # it was edited since it was read: what is planned next is of the new one
            token = token_of(self._folder, today)
        return token

    def _made(
        self,
        today: date,
        token: str,
        before: WeekSummary | None,
        earlier: EarlierPlan | None,
        is_looked_at: bool = False,
    ) -> PlannedDay:
        from tendwork.workbench.plan_making import plan_day

        templates, adjustments = self._templates.loaded(), self._templates.adjustments()
        almanacs = self._almanacs()
        return plan_day(self._folder, almanacs, templates, adjustments, today, token, before, earlier, is_looked_at)
