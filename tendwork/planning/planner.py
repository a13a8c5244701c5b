"""plan(): every task of the season, computed from the records, the almanac and the templates. Nothing is stored."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.orchard.named_templates import WINTER_CHECK
from tendwork.orchard.outcomes import ARBORIST, SKIPPED, STILL_OPEN, default_outcome
from tendwork.orchard.records import Records, Tick
from tendwork.orchard.standing_ticks import season_of_tick, template_of
from tendwork.orchard.vigour import growth_sentences
from tendwork.orchard.wording import listed
from tendwork.planning.anchors import SeasonAlmanac, bases_of
from tendwork.planning.cautions import Height, cautions_of
from tendwork.planning.fit_days import USUAL_MINUTES, WEEK_DAYS, week_days
from tendwork.planning.gaps import gaps
from tendwork.planning.held_back import HeldBack, outcomes_of
from tendwork.planning.repeats import minutes_of, place_among_rounds, window_of
from tendwork.planning.results import Plan, Task, Unit, Window
from tendwork.planning.states import ACTIONABLE, HELD, pressing, task_state, unit_state
from tendwork.planning.subjects import Orchard, Subject
from tendwork.planning.vocabulary import GRAVE, PARTS, AdjustedTemplate, Template, Tool
from tendwork.planning.weather import suits, weather_words
from tendwork.planning.windows import Opening, Openings, own_opens, rounds_of
from tendwork.planning.works import Works
from tendwork.planning.wraps_on import FOUND_LATE_STEP, OVERDUE, OVERDUE_STEP, wraps_on

NEXT_SEASON_DAYS = 45  # how far past the end of a season its plan already shows the first jobs of the next
_FAR_DAYS = 180  # a job moved by more may leave the season beside its own behind
WRAPS_LOOKED_AT_FROM = timedelta(weeks=6)  # after setting: from then on a line about the wrap stands in every week
_RECORDED = {"variety": (("cut", "cut"),), "graft": (("off", "unwrapped"), ("slit it", "unwrapped"))}


class SiteLimits(Struct, frozen=True):
    """What the planner must know of the site: hemisphere, the person's reach from the ground in metres, and the hours.

    `minutes_by_weekday` is Monday first; `latitude_deg` gives the daylight, without it every minute counts as light.
    """

    south: bool = False
    reach_m: float = 2.0
    minutes_by_weekday: tuple[float, ...] = USUAL_MINUTES
    latitude_deg: float | None = None


def plan(
    limits: SiteLimits,
    records: Records,
    almanac: SeasonAlmanac,
    templates: Iterable[Template],
    today: date,
    openings: Openings | None = None,
    tools: Mapping[str, Tool] | None = None,
) -> Plan:
    """The tasks of today's season, with what is still alive of the last and what opens soon in the next.

    Sorted by opening, part and key, so that the same input gives the same list. `openings`, kept from an earlier plan
    by the same almanac, spare time and change nothing. `tools` is the table of what the templates' tools bring.
    """
    if openings is None or openings.almanac is not almanac:
        openings = Openings(almanac)
    season = season_of(today, limits.south)
    rules = tuple(templates)
    orchard = Orchard(records, rules, limits.south, today)
    held_back = HeldBack(orchard.records, limits.south, today)
    tasks: list[Task] = []
    writers: dict[Season, _Writer] = {}
    old = _seasons_of_old_wraps(orchard, season, today)
    given_away = _seasons_given_away(orchard, season)
    works = Works(almanac, tools or {}, limits.south, limits.reach_m)
    for template in rules:
        unsuited = _unsuited(template, almanac, today)
        near = _seasons_of(template, season)
        older = (*given_away.get(template.id, ()), *(old if template.takes_wraps_off else ()))
        for which in sorted({*older, *near}, key=lambda one: one.name):
            if which not in writers:
                writers[which] = _Writer(orchard, openings, which, today, works, held_back)
            writer = writers[which]
            tasks += [task for task in writer.tasks(template, unsuited) if _shown(task, writer.season, season, today)]
    tasks.sort(key=lambda task: (task.window.opens, PARTS.index(task.part), task.key))
    return Plan(
        today,
        season.name,
        tuple(tasks),
        week_days(today, limits.minutes_by_weekday, limits.latitude_deg),
        wraps_on(orchard, tasks, today, almanac.heat_between),
        gaps(orchard, rules, openings, today),
    )


def _seasons_of(template: Template, season: Season) -> tuple[Season, ...]:
    """The seasons whose jobs may stand in `season`: its neighbours, and one beyond if the jobs are moved so far."""
    near = (season.previous, season, season.following)
    later_days = template.opens.days - own_opens(template).days
    if later_days > _FAR_DAYS:
        return (season.previous.previous, *near)
    return (*near, season.following.following) if later_days < -_FAR_DAYS else near


def _shown(task: Task, own: Season, season: Season, today: date) -> bool:
    if own == season:
        return True
    if own.name < season.name:
        return (
            task.window.opens >= season.start
            or (task.window.worth_until >= season.start and task.state in (*ACTIONABLE, HELD))
            or (task.is_lost and _is_lately(task.window.lapses, today))
            or any(unit.outcome == ARBORIST for unit in task.units)
            or any(unit.done_on is not None and _is_lately(unit.done_on, today) for unit in task.units)
        )
    return task.window.stays or task.window.opens <= today + timedelta(days=NEXT_SEASON_DAYS)


def _is_lately(day: date, today: date) -> bool:
    """Whether what was done, or lost, on a day of the season before still stands in the week, so that it is seen."""
    return day > today - timedelta(days=WEEK_DAYS)


def _seasons_of_old_wraps(orchard: Orchard, season: Season, today: date) -> tuple[Season, ...]:
    """The seasons before the previous one from which a wrap is still on, or came off lately."""
    set_on = set()
    for graft in orchard.records.grafts:
        fate = orchard.wrap_fates[graft.id]
        if graft.set_on is not None and (fate.on or (fate.day is not None and _is_lately(fate.day, today))):
            set_on.add(graft.set_on)
    first = min((season_of(day, orchard.south).name for day in set_on), default=season.name)
    return tuple(Season(name, orchard.south) for name in range(first, season.previous.name))


def _seasons_given_away(orchard: Orchard, season: Season) -> dict[str, set[Season]]:
    """By the template, the seasons before `season` of jobs that wait for an arborist, however long ago."""
    found: dict[str, set[Season]] = {}
    for tick in orchard.standing.that_say(ARBORIST):
        name = season_of_tick(tick)
        if name is not None and name < season.name:
            found.setdefault(template_of(tick), set()).add(Season(name, orchard.south))
    return found


def _unsuited(template: Template, almanac: SeasonAlmanac, today: date) -> tuple[date, ...]:
    week = (today + timedelta(days=step) for step in range(WEEK_DAYS))
    return tuple(day for day in week if suits(template.weather, day, almanac) is False)


class _Writer:
    """Writes the tasks of one season."""

    def __init__(
        self, orchard: Orchard, openings: Openings, season: Season, today: date, works: Works, held_back: HeldBack
    ) -> None:
        self._works = works
        self._held = held_back
        self._orchard = orchard
        self._openings = openings
        self.season = season
        self._today = today

    def tasks(self, template: Template, unsuited: tuple[date, ...]) -> Iterator[Task]:
        """The tasks that the template gives; on `unsuited` days the weather is against them."""
        rounds: dict[tuple[str, int], list[Unit]] = {}
        groups: dict[str, Subject] = {}
        suited = self._today not in unsuited
        openings = self._openings.of(template, self.season)
        for subject in self._orchard.subjects(template, self.season):
            if not subject.matches and not self._was_ticked(template, subject):
                continue
            opening = openings.unit(subject)
            if opening is None or (template.takes_wraps_off and self._is_of_another_season(template, subject, opening)):
                continue
            groups.setdefault(subject.group, subject)
            for number, unit in self._units(template, subject, opening, suited):
                if subject.matches or unit.state in ("done", SKIPPED) or unit.outcome == ARBORIST:
                    rounds.setdefault((subject.group, number), []).append(unit)
        for (group, number), units in rounds.items():
            before, after = rounds.get((group, number - 1), ()), rounds.get((group, number + 1), ())
            again, behind = place_among_rounds(before, units, after)
            yield self._task(template, groups[group], number, tuple(units), unsuited, again, behind)

    def _is_of_another_season(self, template: Template, subject: Subject, opening: Opening) -> bool:
        """Whether a wrap comes off in another season than this: once, in the first that can be after it was put on.

        A rule that goes by the calendar alone has a window in every season.
        """
        set_on = subject.events.get("set")
        if set_on is None:
            return False
        before = self._openings.of(template, self.season.previous).unit(subject)
        return opening.window.lapses < set_on or (before is not None and before.window.lapses >= set_on)

    def _key(self, template: Template, group: str, number: int) -> str:
        key = f"{template.id}/{group}/{self.season.name}"
        return key if number == 1 else f"{key}.{number}"

    def _was_ticked(self, template: Template, subject: Subject) -> bool:
        rounds = range(1, 1 + (1 if template.repeats is None else template.repeats.times))
        keys = (self._key(template, subject.group, number) for number in rounds)
        return any(self._orchard.standing.tick(key, subject.id) is not None for key in keys)

    def _units(
        self, template: Template, subject: Subject, opening: Opening, suited: bool
    ) -> Iterator[tuple[int, Unit]]:
        ticks = self._ticks(template, subject)
        windows: Iterable[Window] = opening.rounds
        if ticks:
            done_on = {number: tick.day for number, tick in ticks.items()}
            windows = rounds_of(opening.window, template.repeats, opening.until, done_on)
        height = self._works.height(template, subject)
        for number, window in enumerate(windows, 1):
            because = opening.because if number == 1 else ()
            unit = self._unit(subject, window, ticks.get(number), because, suited, height)
            yield number, self._held.held(template, subject, unit)

    def _ticks(self, template: Template, subject: Subject) -> dict[int, Tick]:
        """What was ticked of this unit, or the record says by itself, by the number of the round.

        A wrap that came off by another job is off, though it was "not yet" off when it was looked at in this one.
        """
        recorded = _recorded(template, subject)
        standing = self._orchard.standing
        names = [name for name in (subject.id, subject.formerly) if name in standing.events]
        if recorded is None and not names:
            return {}
        times = 1 if template.repeats is None else template.repeats.times
        keys = {number: self._key(template, subject.group, number) for number in range(1, times + 1)}
        found = {number: [standing.tick(key, name) for name in names] for number, key in keys.items()}
        off = recorded is not None and template.takes_wraps_off
        stand = {
            number: (tick for tick in held if tick is not None and not (off and tick.outcome == STILL_OPEN))
            for number, held in found.items()
        }
        ticks = {number: next(held, recorded) for number, held in stand.items()}
        return {number: tick for number, tick in ticks.items() if tick is not None}

    def _growth(self, template: Template, subject: Subject) -> tuple[str, ...]:
        """Whom to shorten and whom to spare, where a job prunes the crown of one tree."""
        if template.part != "pruning" or template.each != "tree" or template.work_at != "crown":
            return ()
        grafts = tuple(self._orchard.grafts_of.get(subject.id, ()))
        return growth_sentences(self._orchard.growth, grafts, self.season.name)

    def _unit(
        self,
        subject: Subject,
        window: Window,
        tick: Tick | None,
        because: tuple[str, ...],
        suited: bool,
        height: Height,
    ) -> Unit:
        return Unit(
            id=subject.id,
            label=subject.label,
            state=unit_state(window, tick, self._today, suited),
            window=window,
            outcome="" if tick is None else tick.outcome,
            done_on=_done_on(tick),
            place=subject.place if subject.id != subject.group else "",
            species=subject.species[0] if len(subject.species) == 1 else "",
            variety=subject.variety,
            above_reach=height == "above",
            height_unknown=height == "unknown",
            because=because,
            ticked_as=tick.unit if tick is not None and tick.unit != subject.id else "",
        )

    def _task(
        self,
        template: Template,
        subject: Subject,
        number: int,
        units: tuple[Unit, ...],
        unsuited: tuple[date, ...],
        again: date | None,
        behind: bool,
    ) -> Task:
        about = pressing(units)
        first = min(about, key=lambda unit: (unit.window.closes, unit.window.opens))
        to_do = [unit for unit in about if unit.state not in ("done", SKIPPED)]
        waits = (*ACTIONABLE, HELD)
        overdue = any(unit.state in waits and unit.window.is_overdue(self._today) for unit in units)
        steps = (OVERDUE_STEP, *template.steps, FOUND_LATE_STEP) if overdue else template.steps
        window = window_of(units)
        blighted = self._held.is_blighted(template, units, subject.group, self.season)
        first_day = max(self._today, window.opens) if to_do else window.opens
        work = self._works.of(template, subject, about, self.season, window, first_day, blighted)
        return Task(
            key=self._key(template, subject.group, number),
            template=template.id,
            title=f"{OVERDUE}: {template.title[:1].lower()}{template.title[1:]}" if overdue else template.title,
            part=template.part,
            each=template.each,
            subject=subject.group,
            place=_task_place(subject),
            window=window,
            state=task_state(units),
            minutes=minutes_of(units, template.effort.setup_minutes, template.effort.minutes_each),
            units=units,
            cautions=cautions_of(work),
            tools=tuple(tool.id for tool in work.tools),
            steps=steps,
            outcomes=outcomes_of(template, work.tools, units),
            because=(
                *self._held.said(units),
                *self._wraps_never_off(template, units),
                *_because(template, first, number),
                *self._growth(template, subject),
            ),
            source=template.source,
            weather_words=weather_words(template.weather),
            setup_minutes=template.effort.setup_minutes,
            minutes_each=template.effort.minutes_each,
            unsuited=unsuited,
            again=again,
            behind=behind,
            shown_from=min((day for unit in to_do if (day := self._shown_from(unit)) is not None), default=None),
            season=self.season.name,
            round=number,
            rounds=1 if template.repeats is None else template.repeats.times,
            why_opens=first.because[0] if first.because else "",
            why_closes=first.because[1] if first.because else "",
            adjusted=template.changed if isinstance(template, AdjustedTemplate) else "",
            default_outcome=default_outcome(template.outcomes, template.each),
            not_now=self._held.not_now(template, units),
            mind=self._held.mind(template, work.tools, units, subject.group, self.season),
            stake=template.at_stake,
            loss=template.loss,
            kept_if_missed=_kept_if_missed(template),
        )

    def _shown_from(self, unit: Unit) -> date | None:
        set_on = self._orchard.set_on.get(unit.id)
        return None if set_on is None or not unit.window.stays else set_on + WRAPS_LOOKED_AT_FROM

    def _wraps_never_off(self, template: Template, units: tuple[Unit, ...]) -> tuple[str, ...]:
        """The winter check names the grafts of which nobody ever said that the wrap is off."""
        if template.id != WINTER_CHECK:
            return ()
        names = [f"{unit.label} ({unit.id})" for unit in units if self._orchard.was_never_unwrapped(unit.id)]
        return (f"No word that the wrap is off: {listed(names)}. Look there first.",) if names else ()


def _kept_if_missed(template: Template) -> bool:
    """Whether a missed job keeps its line: a tree or a graft is at stake, and no round and no year brings it back.

    What opens by the calendar alone comes every year, and nobody knows whether its units were there the last time.
    """
    by_calendar = all(base.date is not None for base in bases_of(template.opens))
    return template.at_stake in GRAVE and template.repeats is None and not by_calendar


def _done_on(tick: Tick | None) -> date | None:
    return None if tick is None else tick.day


def _recorded(template: Template, subject: Subject) -> Tick | None:
    """What the record says by itself: the variety's wood was cut this season, or the graft's wrap is off already."""
    for outcome, event in _RECORDED.get(template.each, ()):
        if outcome in template.outcomes and event in subject.events:
            return Tick("", subject.id, subject.events[event], outcome)
    return None


def _task_place(subject: Subject) -> str:
    if not subject.group_name:
        return ""
    return (
        f"{subject.group_name}, {subject.place}"
        if subject.id == subject.group and subject.place
        else subject.group_name
    )


def _because(template: Template, unit: Unit, number: int) -> tuple[str, ...]:
    sentences = list(unit.because)
    if template.repeats is not None:
        every = template.repeats.every_days
        if number > 1:
            sentences.append(f"Round {number} of {template.repeats.times}, {every} days after the one before.")
        else:
            sentences.append(f"Comes again every {every} days, {template.repeats.times} rounds in all.")
    wish = weather_words(template.weather)
    if wish:
        sentences.append(f"Wants {wish}.")
    if template.note:
        sentences.append(template.note)
    return tuple(sentences)
