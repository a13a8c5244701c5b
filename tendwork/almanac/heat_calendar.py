"""When a heat sum is reached: running sums over the known days and over each way the weather may go on, kept.

Templates ask this for every graft and every anchor, so the sums are made once, each question is a few searches
in them, and its answer is kept.
"""

from __future__ import annotations

from bisect import bisect_left
from datetime import date, timedelta

from tendwork.almanac.days import Days
from tendwork.almanac.heat import sine_sums
from tendwork.almanac.results import Reached
from tendwork.almanac.temperature import LONGEST_INTERPOLATED_DAYS

BASE_C = 5.0
_STEP_BACK_DAYS = 400
_DAY = timedelta(days=1)


class HeatCalendar:
    """Degree-days above 5 °C, single sine without a ceiling, from the day after a start."""

    def __init__(self, days: Days, late_days: int = 0) -> None:
        """`late_days` is how far the place is behind its temperatures."""
        self._days = days
        self._late = timedelta(days=late_days)
        self._last_known = days.last_known
        self._first = days.last_known
        self._known: list[float] = [0.0]
        self._found: dict[tuple[date, float], Reached] = {}
        self._coming: list[list[float]] = []

    def after(self, start: date, degree_days_c: float) -> Reached:
        """Median day and 80 % range; None where the horizon of about two years does not hold the sum."""
        key = (start, degree_days_c)
        if key not in self._found:
            self._found[key] = self._after(start, degree_days_c)
        return self._found[key]

    def _after(self, start: date, degree_days_c: float) -> Reached:
        begin = start - self._late
        if begin < self._last_known:
            self._reach_back(begin)
            before = self._known[(begin - self._first).days]
            goal = before + degree_days_c
            if self._known[-1] >= goal:
                day = self._first + timedelta(days=bisect_left(self._known, goal)) + self._late
                return Reached(day, day, day)
            traces = self._traces()
            return self._ends(traces, [goal - self._known[-1]] * len(traces))
        passed = (begin - self._last_known).days
        traces = self._traces()
        return self._ends(traces, [sums[min(passed, len(sums) - 1)] + degree_days_c for sums in traces])

    def between(self, start: date, end: date) -> float | None:
        """Degree-days of the days after `start` through `end`, the middle of the ways where days are still to come.

        None where neither days nor normals are known of it (a few missing days are no matter), and beyond the horizon.
        """
        if end <= start:
            return 0.0
        begin, finish = start - self._late, end - self._late
        if self._days.climate_is_guessed:
            missing = self._days.count_missing(begin + _DAY, finish)
            if missing > LONGEST_INTERPOLATED_DAYS or missing == (finish - begin).days:
                return None
        heat = 0.0
        if begin < self._last_known:
            self._reach_back(begin)
            until = min(finish, self._last_known)
            heat = self._known[(until - self._first).days] - self._known[(begin - self._first).days]
            begin = until
        if finish <= self._last_known:
            return heat
        first, last = (begin - self._last_known).days, (finish - self._last_known).days
        if finish > self._days.horizon:
            return None
        further = sorted(sums[last] - sums[first] for sums in self._traces())
        return heat + further[round((len(further) - 1) / 2)]

    def _ends(self, traces: list[list[float]], goals: list[float]) -> Reached:
        ends = []
        for sums, goal in zip(traces, goals, strict=True):
            index = bisect_left(sums, goal)
            if index < len(sums):
                ends.append(index)
        if len(ends) * 2 <= len(goals) and len(ends) != 1:
            return Reached(None, None, None)
        ends.sort()
        middle, low, high = (
            self._last_known + timedelta(days=ends[round(share * (len(ends) - 1))]) + self._late
            for share in (0.5, 0.1, 0.9)
        )
        return Reached(middle, low, high)

    def _reach_back(self, begin: date) -> None:
        """Running sums through the last known day, from `begin` or earlier; the last of them is 0.

        They are added up backwards, so that no sum that was asked for changes, not in its last bit, when an earlier
        day is asked for.
        """
        if begin >= self._first:
            return
        self._first = begin - timedelta(days=_STEP_BACK_DAYS)
        known = self._days.known(self._first + timedelta(days=1), self._last_known)
        since = sine_sums(known.tmin_c[::-1], known.tmax_c[::-1], BASE_C)
        self._known = [*(-heat for heat in reversed(since)), 0.0]

    def _traces(self) -> list[list[float]]:
        """Running sums of each way the weather may go on; the first of each is 0, on the last known day."""
        if not self._coming:
            coming = self._days.to_come(self._last_known + _DAY, self._days.horizon)
            self._coming = [[0.0, *sine_sums(trace.tmin_c, trace.tmax_c, BASE_C)] for trace in coming]
        return self._coming
