"""The tasks of one season, template by template: units with their states, then all that is said of the job."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from datetime import date, timedelta

from msgspec import Struct

from tendwork.almanac.seasons import Season
from tendwork.orchard.named_templates import CHOOSE_VARIETIES, SEND_PROMISED_WOOD, WINTER_CHECK
from tendwork.orchard.outcomes import ARBORIST, SKIPPED, STILL_OPEN, default_outcome
from tendwork.orchard.records import Tick
from tendwork.orchard.standing_ticks import season_of_tick, template_of
from tendwork.orchard.unions import hints, tree_hints
from tendwork.orchard.vigour import growth_sentences
from tendwork.orchard.wood_wishes import TO_ASK_FOR
from tendwork.orchard.wording import NOBODY_NOTED, listed
from tendwork.planning.anchors import bases_of
from tendwork.planning.came_in import as_it_came_in, is_told, saved_words
from tendwork.planning.fit_days import WEEK_DAYS
from tendwork.planning.former_ids import ids_of
from tendwork.planning.held_back import HeldBack, outcomes_of
from tendwork.planning.job_minutes import Minutes
from tendwork.planning.left_out import trees_left_out
from tendwork.planning.record_events import SEEN_EVENTS
from tendwork.planning.repeats import first_and_window, is_kept_up, minutes_of, place_among_rounds
from tendwork.planning.results import Task, Unit, Window
from tendwork.planning.said_of_grafts import was_never_unwrapped, wrap_said_on
from tendwork.planning.states import ACTIONABLE, FINISHED, HELD, pressing, task_state, unit_state
from tendwork.planning.subject import Subject
from tendwork.planning.subjects import Subjects
from tendwork.planning.variety_ids import variety_id
from tendwork.planning.vocabulary import FAILS_LATE, GRAVE, TO_CUT, AdjustedTemplate, Template
from tendwork.planning.weather import weather_words
from tendwork.planning.windows import Opening, Openings, rounds_of
from tendwork.planning.wood_parcels import Origins, label_words
from tendwork.planning.wood_subjects import AGAIN
from tendwork.planning.works import Works
from tendwork.planning.wraps_on import FOUND_LATE_STEP, OVERDUE, OVERDUE_STEP

NEXT_SEASON_DAYS = 45  # how far past the end of a season its plan already shows the first jobs of the next
WRAPS_LOOKED_AT_FROM = timedelta(weeks=6)  # after setting: from then on a line about the wrap stands in every week
_NO_TICKS: dict[int, Tick] = {}
_RECORDED = {"variety": (("cut", "cut"),), "graft": (("off", "unwrapped"), ("slit it", "unwrapped"))}


def horizon(today: date) -> date:
    """The last day on which a job of a season to come opens that is shown already."""
    return today + timedelta(days=NEXT_SEASON_DAYS)


class TaskWriter:
    """Writes the tasks of one season for the plan of the `current` one; what can have no place there it skips."""

    def __init__(
        self,
        subjects: Subjects,
        openings: Openings,
        season: Season,
        current: Season,
        today: date,
        works: Works,
        held_back: HeldBack,
        minutes: Minutes,
        settled: Collection[str] = (),
    ) -> None:
        """`settled` are trees whose own tasks are not asked for."""
        self._said: dict[tuple[str, int], _Said] = {}
        self._settled = settled
        self._works = works
        self._held = held_back
        self._minutes = minutes
        self._subjects = subjects
        self._orchard = subjects.orchard
        self._openings = openings
        self._season = season
        self._current = current
        self._today = today
        self._ticked = {
            template_of(tick) for tick in self._orchard.standing.all() if season_of_tick(tick) == season.name
        }

    def tasks(self, template: Template, unsuited: tuple[date, ...]) -> Iterator[Task]:
        """The tasks that the template gives; on `unsuited` days the weather is against them."""
        without = trees_left_out(template, self._season.name)
        if without is None:
            return
        openings = self._openings.of(template, self._season)
        is_told = self._is_told_of(template)
        if not is_told and self._is_far_off(openings.not_before(self._subjects.buds_of(template.where))):
            return
        but_not = {*self._settled, *without} if without else self._settled
        found: list[tuple[Subject, Opening]] = []
        for subject in self._subjects.of(template, self._season, but_not):
            if not subject.matches and not self._was_ticked(template, subject):
                continue
            opening = openings.unit(subject)
            if opening is None or (template.takes_wraps_off and self._is_of_another_season(template, subject, opening)):
                continue
            found.append((subject, opening))
        shown = {subject.group for subject, opening in found if is_told or self._may_be_shown(opening)}
        groups: dict[str, Subject] = {}
        rounds: dict[tuple[str, int], list[Unit]] = {}
        suited = self._today not in unsuited
        for subject, opening in found:
            if subject.group not in shown:
                continue
            groups.setdefault(subject.group, subject)
            for number, unit in self._units(template, subject, opening, suited):
                if subject.matches or unit.state in ("done", SKIPPED) or unit.outcome == ARBORIST:
                    rounds.setdefault((subject.group, number), []).append(unit)
        for (group, number), units in rounds.items():
            before, after = rounds.get((group, number - 1), ()), rounds.get((group, number + 1), ())
            again, behind = place_among_rounds(before, units, after)
            kept_up = is_kept_up(before, units, after)
            yield self._task(template, groups[group], number, tuple(units), unsuited, again, behind, kept_up)

    def _is_told_of(self, template: Template) -> bool:
        """Whether its jobs of this season may be shown whatever their windows: a tick or the record speaks of them."""
        if self._season == self._current or template.takes_wraps_off or not self._ticked.isdisjoint(ids_of(template)):
            return True
        return bool(_recorded_words(template))

    def _may_be_shown(self, opening: Opening) -> bool:
        """Whether a job that nobody ticked may be shown for this unit; `_shown` decides about the whole of it."""
        if self._season.name > self._current.name:
            return not self._is_far_off(opening.window.opens)
        # What was lost lately is still told of in the week after the season's end.
        since = min(self._current.start, self._today - timedelta(days=WEEK_DAYS - 1))
        return any(window.lapses >= since for window in opening.rounds)

    def _is_far_off(self, opens: date) -> bool:
        return self._season.name > self._current.name and opens > horizon(self._today)

    def _is_of_another_season(self, template: Template, subject: Subject, opening: Opening) -> bool:
        """Whether a wrap comes off in another season than this: once, in the first that can be after it was put on.

        A rule that goes by the calendar alone has a window in every season.
        """
        set_on = subject.events.get("set")
        if set_on is None:
            return False
        before = self._openings.of(template, self._season.previous).unit(subject)
        return opening.window.lapses < set_on or (before is not None and before.window.lapses >= set_on)

    def _key(self, template: Template, group: str, number: int) -> str:
        return self._keys(template, group, number)[0]

    def _keys(self, template: Template, group: str, number: int) -> tuple[str, ...]:
        """The key of the job, and the one that it had while its template was named otherwise."""
        keys = (f"{identity}/{group}/{self._season.name}" for identity in ids_of(template))
        return tuple(key if number == 1 else f"{key}.{number}" for key in keys)

    def _was_ticked(self, template: Template, subject: Subject) -> bool:
        rounds = range(1, 1 + (1 if template.repeats is None else template.repeats.times))
        keys = (key for number in rounds for key in self._keys(template, subject.group, number))
        return any(self._orchard.standing.tick(key, subject.id) is not None for key in keys)

    def _units(
        self, template: Template, subject: Subject, opening: Opening, suited: bool
    ) -> Iterator[tuple[int, Unit]]:
        """The unit in each round of the job that is asked for, with the number of the round."""
        ticks = self._ticks(template, subject)
        windows: Iterable[Window] = opening.rounds
        if ticks:
            done_on = {number: tick.day for number, tick in ticks.items()}
            windows = rounds_of(opening.window, template.repeats, opening.until, done_on)
        height = self._works.height(template, subject)
        place = subject.place if subject.id != subject.group else ""
        species = subject.species[0] if len(subject.species) == 1 else ""
        since = subject.known_since
        said_on = since is not None and template.takes_wraps_off and wrap_said_on(self._orchard, subject.id)
        for number, of_rule in enumerate(windows, 1):
            tick = ticks.get(number)
            window, because = of_rule, opening.because if number == 1 else ()
            if since is not None and not is_told(template, tick, since):
                counts = as_it_came_in(template, of_rule, since, said_on)
                if counts is None:
                    continue
                window = counts
                if counts is not of_rule:
                    because = (*because, saved_words(of_rule, since))
            unit = Unit(
                id=subject.id,
                label=subject.label,
                state=unit_state(window, tick, self._today, suited),
                window=window,
                outcome="" if tick is None else tick.outcome,
                done_on=None if tick is None else tick.day,
                place=place,
                species=species,
                variety=subject.variety,
                above_reach=height == "above",
                height_unknown=height == "unknown",
                because=because,
                ticked_as=tick.unit if tick is not None and tick.unit != subject.id else "",
                task=tick.task if tick is not None and template_of(tick) not in ("", template.id) else "",
                minutes_noted=None if tick is None else tick.minutes,
                since=_seen_on(template, subject),
            )
            yield number, self._held.held(template, subject, unit)

    def _ticks(self, template: Template, subject: Subject) -> dict[int, Tick]:
        """What was ticked of this unit, or the record says by itself, by the number of the round.

        A wrap that came off by another job is off, though it was "not yet" off when it was looked at in this one. What
        was ticked before the last storm says nothing about this one.
        """
        standing = self._orchard.standing
        recorded = _recorded(template, subject)
        if recorded is None and subject.id not in standing.events and subject.formerly not in standing.events:
            return _NO_TICKS
        names = [name for name in (subject.id, subject.formerly) if name in standing.events]
        times = 1 if template.repeats is None else template.repeats.times
        keys = {number: self._keys(template, subject.group, number) for number in range(1, times + 1)}
        found = {number: [standing.tick(key, name) for key in own for name in names] for number, own in keys.items()}
        off = recorded is not None and template.takes_wraps_off
        since = _seen_on(template, subject) or date.min
        stand = {
            number: (
                tick
                for tick in held
                if tick is not None and tick.day >= since and not (off and tick.outcome == STILL_OPEN)
            )
            for number, held in found.items()
        }
        ticks = {number: next(held, recorded) for number, held in stand.items()}
        return {number: tick for number, tick in ticks.items() if tick is not None}

    def _growth(self, template: Template, subject: Subject) -> tuple[str, ...]:
        """Whom to shorten and whom to spare, where a job prunes the crown of one tree."""
        if template.part != "pruning" or template.each != "tree" or template.work_at != "crown":
            return ()
        grafts = tuple(self._orchard.grafts_of.get(subject.id, ()))
        return growth_sentences(self._orchard.growth, grafts, self._season.name, self._orchard.usual_vigour)

    def _task(
        self,
        template: Template,
        subject: Subject,
        number: int,
        units: tuple[Unit, ...],
        unsuited: tuple[date, ...],
        again: date | None,
        behind: bool,
        kept_up: bool,
    ) -> Task:
        about = pressing(units)
        first, window = first_and_window(about)
        to_do = () if first.state in FINISHED else about  # what is finished presses only where all of it is
        said = self._said_of(template, number)
        waits = (*ACTIONABLE, HELD)
        stays = template.takes_wraps_off
        overdue = stays and any(unit.state in waits and unit.window.is_overdue(self._today) for unit in units)
        steps = (OVERDUE_STEP, *template.steps, FOUND_LATE_STEP) if overdue else template.steps
        blighted = self._held.is_blighted(template, units, subject.group, self._season)
        minutes = self._minutes.of(template, subject.group, self._season.name)
        first_day = max(self._today, window.opens) if to_do else window.opens
        work = self._works.of(template, subject, about, self._season, window, first_day, blighted)
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
            minutes=minutes_of(about, minutes.setup, minutes.each),
            units=units,
            cautions=self._works.cautions(work, first_day, window.closes),
            tools=tuple(tool.id for tool in work.tools),
            steps=steps,
            outcomes=outcomes_of(template, work.tools, units),
            because=(
                *self._held.said(units),
                *self._wraps_never_off(template, units),
                *self._unions(template, subject, units),
                *self._labels(template, to_do),
                *first.because,
                *said.because,
                *self._growth(template, subject),
                *minutes.because,
            ),
            source=template.source,
            weather_words=said.weather,
            setup_minutes=minutes.setup,
            minutes_each=minutes.each,
            unsuited=unsuited,
            again=again,
            behind=behind,
            kept_up=kept_up,
            shown_from=self._shown_from(to_do) if stays else None,
            season=self._season.name,
            round=number,
            rounds=1 if template.repeats is None else template.repeats.times,
            why_opens=first.because[0] if len(first.because) > 1 else "",
            why_closes=first.because[1] if len(first.because) > 1 else "",
            adjusted=template.changed if isinstance(template, AdjustedTemplate) else "",
            default_outcome=said.default_outcome,
            stake=template.at_stake,
            loss=template.loss,
            visit=template.visit,
            kept_if_missed=said.kept_if_missed,
            not_now=self._held.not_now(template, units),
            mind=self._held.mind(template, work.tools, units, subject.group, self._season),
        )

    def _said_of(self, template: Template, number: int) -> _Said:
        """What is said of all jobs of a template alike, put into words once."""
        key = template.id, number
        if key not in self._said:
            weather, outcome = weather_words(template.weather), default_outcome(template.outcomes, template.each)
            self._said[key] = _Said(weather, outcome, _because(template, number, weather), _kept_if_missed(template))
        return self._said[key]

    def _shown_from(self, to_do: Iterable[Unit]) -> date | None:
        """The day from which a line about these wraps stands in every week."""
        set_on = [day for unit in to_do if (day := self._orchard.set_on.get(unit.id)) is not None]
        return min(set_on) + WRAPS_LOOKED_AT_FROM if set_on else None

    def _wraps_never_off(self, template: Template, units: tuple[Unit, ...]) -> tuple[str, ...]:
        """The winter check names the grafts of which nobody ever said that the wrap is off."""
        if template.id != WINTER_CHECK:
            return ()
        names = [f"{unit.label} ({unit.id})" for unit in units if was_never_unwrapped(self._orchard, unit.id)]
        return (f"No word that the wrap is off: {listed(names)}. Look there first.",) if names else ()

    def _unions(self, template: Template, subject: Subject, units: tuple[Unit, ...]) -> tuple[str, ...]:
        """What is known against the unions that a job is about: grafts yet to be made, or those of its own rule."""
        orchard, by_rule = self._orchard, template.where.union == FAILS_LATE
        if template.each == "tree":
            return tree_hints((orchard.trees[subject.id],), self._today) if by_rule else ()
        planned = (graft for graft in orchard.records.grafts if graft.state == "planned")
        if template.id == CHOOSE_VARIETIES:
            return hints(orchard.records, planned, self._today)
        to_do = {unit.id for unit in units if unit.state not in FINISHED}
        if template.each == "variety":
            known = (graft for graft in planned if graft.id in orchard.species)
            meant = [one for one in known if variety_id(one.variety, orchard.species[one.id]) in to_do]
        elif template.each == "graft":
            held = orchard.grafts_of.get(subject.group, ())
            meant = [one for one in held if one.id in to_do and (by_rule or one.state == "planned")]
        else:
            return ()
        return hints(orchard.records, meant, self._today)

    def _labels(self, template: Template, units: Iterable[Unit]) -> tuple[str, ...]:
        """What stands on the label of each bundle that is to be sent, and to whom it goes."""
        if template.id != SEND_PROMISED_WOOD:
            return ()
        going, records = {unit.id for unit in units}, self._orchard.records
        origins = Origins(records.trees)
        return tuple(
            f"For {bundle.promised_to or NOBODY_NOTED}, on the label: {label_words(bundle, origins)}."
            for bundle in records.wood
            if bundle.id in going and bundle.promised_sticks
        )


class _Said(Struct, frozen=True):
    weather: str
    default_outcome: str
    because: tuple[str, ...]
    kept_if_missed: bool


def _recorded_words(template: Template) -> tuple[tuple[str, str], ...]:
    """The outcomes of its jobs that the record may say by itself, each with the event that says it."""
    told = _RECORDED.get(template.each, ())
    return tuple(one for one in told if one[0] in template.outcomes)


def _seen_on(template: Template, subject: Subject) -> date | None:
    """The day on which the sign was noted that raises such a job, or from which wood is asked for or cut once more."""
    if template.where.wood in (TO_ASK_FOR, TO_CUT) and subject.matches:
        return subject.events.get(AGAIN)
    if SEEN_EVENTS.isdisjoint(subject.events):
        return None
    signs = (base.after for base in bases_of(template.opens) if base.after in SEEN_EVENTS)
    return max((subject.events[sign] for sign in signs if sign in subject.events), default=None)


def _recorded(template: Template, subject: Subject) -> Tick | None:
    """What the record says by itself: the variety's wood was cut this season, or the graft's wrap is off already."""
    for outcome, event in _RECORDED.get(template.each, ()):
        if event in subject.events and outcome in template.outcomes:
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


def _because(template: Template, number: int, wish: str) -> tuple[str, ...]:
    """What is to be known of a template's jobs beside the reasons for their windows."""
    sentences = []
    if template.repeats is not None:
        every = template.repeats.every_days
        if number > 1:
            sentences.append(f"Round {number} of {template.repeats.times}, {every} days after the one before.")
        else:
            sentences.append(f"Comes again every {every} days, {template.repeats.times} rounds in all.")
    if wish:
        sentences.append(f"Wants {wish}.")
    if template.note:
        sentences.append(template.note)
    return tuple(sentences)


def _kept_if_missed(template: Template) -> bool:
    """Whether a missed job keeps its line: a tree or a graft is at stake, and no round and no year brings it back.

    What opens by the calendar alone comes every year, and nobody knows whether its units were there the last time.
    """
    by_calendar = all(base.date is not None for base in bases_of(template.opens))
    return template.at_stake in GRAVE and template.repeats is None and not by_calendar
