"""A proposal of what to graft where as rows: the places by tree, and the candidates for one of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Literal

from msgspec import Struct
from msgspec.structs import replace

from tendwork.orchard.crown import place_words
from tendwork.orchard.fruit_year import month_day_of
from tendwork.orchard.records import Graft
from tendwork.orchard.ripening import HIGH_SUMMER, WEEKS
from tendwork.orchard.rough_dates import MONTHS
from tendwork.planning.choosing import Line, Proposal, Wishes
from tendwork.planning.graft_candidates import WOOD_FROM, Candidate
from tendwork.planning.graft_picks import Pick, pick_name
from tendwork.planning.graft_places import OpenPlace, TreeRoom
from tendwork.planning.season_cover import weeks_of
from tendwork.view.symbols import Mark
from tendwork.view.table import MARK, Column, lay_columns, row_line
from tendwork.view.text import display_width, padded, plain
from tendwork.view.words import counted, in_units

ChoiceState = Literal["pinned", "proposed", "forbidden", "empty"]
CHOICE_MARKS: dict[ChoiceState, Mark] = {
    "pinned": Mark("◆", "!", "pinned by you"),
    "proposed": Mark("○", "o", "proposed"),
    "forbidden": Mark("⊘", "x", "forbidden by you"),
    "empty": Mark("·", ".", "empty: nothing is proposed"),
}
WeekRole = Literal["fills", "ripe", "none", "bare", "filled"]
WEEK_MARKS: dict[WeekRole, Mark] = {
    "fills": Mark("■", "#", "ripe in a week in which nothing that you keep is"),
    "ripe": Mark("□", "o", "ripe beside what you keep"),
    "none": Mark("·", ".", "not ripe"),
    "bare": Mark("×", "x", "still nothing ripe"),
    "filled": Mark("●", "=", "filled by what is proposed"),
}
CANDIDATE_ORDERS = ("here", "variety", "ripe", "wood", "score")
_PLACE_COLUMNS = ("id", "variety", MARK, "state", "method", "place", "was")
_CANDIDATE_COLUMNS = ("variety", MARK, "where", "season", "here", "wood", "from", "score")
_MOST_VARIETY_COLUMNS, _MOST_ID_COLUMNS, _MOST_FROM_COLUMNS, _MOST_PLACE_COLUMNS = 26, 10, 18, 46
_LATEST = WEEKS * 2  # sorts after every week


class PlaceChoice(Struct, frozen=True):
    """A place with what is proposed there, or, without a place, a tree as the heading of its places."""

    room: TreeRoom | None
    tree: str
    heading: str = ""
    place: OpenPlace | None = None
    state: ChoiceState = "empty"
    line: Line | None = None

    @property
    def id(self) -> str:
        """The row's own id, since a tree and a place may share one."""
        return f"tree/{self.tree}" if self.place is None else f"place/{self.place.id}"


class CandidateRow(Struct, frozen=True):
    """A candidate: the place it goes to, if any, why it goes nowhere, and how it fits `here`, the place in question.

    `misfit` is the number of things that speak against it there, None where it cannot stand there or must not.
    """

    number: int
    candidate: Candidate
    state: ChoiceState
    at: str
    why: str
    here: str
    misfit: int | None
    is_here: bool
    weeks: tuple[WeekRole, ...]

    @property
    def id(self) -> str:
        return f"candidate/{self.candidate.species}/{self.candidate.variety}"

    @property
    def words(self) -> str:
        """What a filter looks through."""
        one = self.candidate
        return f"{one.variety} {one.species} {one.source} {one.giver} {self.state} {self.at} {self.here}".casefold()


def place_choices(proposal: Proposal, wishes: Wishes) -> tuple[PlaceChoice, ...]:
    """Every place under its tree, in the order of the proposal."""
    lines = {line.place.id: line for line in proposal.lines}
    shut = {forbid.place for forbid in wishes.forbids if not forbid.variety}
    rooms = {room.tree: room for room in proposal.places.rooms}
    rows: list[PlaceChoice] = []
    for place in proposal.places.places:
        room = rooms.get(place.tree)
        if not rows or rows[-1].tree != place.tree:
            rows.append(PlaceChoice(room, place.tree, _tree_words(place, room)))
        line = lines.get(place.id)
        state: ChoiceState = "forbidden" if place.id in shut else "empty"
        if line is not None:
            state = "pinned" if line.pinned else "proposed"
        rows.append(PlaceChoice(room, place.tree, "", place, state, line))
    return tuple(rows)


def candidate_rows(proposal: Proposal, wishes: Wishes, place: str) -> tuple[CandidateRow, ...]:
    """Every candidate, and how it fits the place of this id; what suits it best and fills most weeks comes first."""
    goes = {line.candidate.key: line for line in proposal.lines}
    why_not = {one.key: why for why, held in proposal.not_chosen.items() for one in held}
    ids = [one.id for one in proposal.places.places]
    here = ids.index(place) if place in ids else None
    rows = []
    for number, one in enumerate(proposal.candidates.candidates):
        line, choice = goes.get(one.key), proposal.task.choices[number]
        state: ChoiceState = "empty" if line is None else "pinned" if line.pinned else "proposed"
        name = pick_name(one, proposal.candidates.candidates)
        if line is None and Pick(name) in wishes.forbids:
            state = "forbidden"
        is_here = line is not None and line.place.id == place
        misfit = None if here is None else choice.misfits[here]
        barred = any(
            forbid.variety in ("", name) and forbid.place in ("", place)
            for forbid in wishes.forbids
            if here is not None
        )
        fits = (
            "proposed"
            if is_here
            else "forbidden"
            if barred
            else _fits(misfit, here is not None and here in choice.likes)
        )
        rows.append(
            CandidateRow(
                number,
                one,
                state,
                "" if line is None else line.place.id,
                why_not.get(one.key, ""),
                fits if here is not None else "",
                misfit,
                is_here,
                _weeks(proposal, number),
            )
        )
    return tuple(rows)


def candidates_in_order(rows: Iterable[CandidateRow], order: str, backwards: bool = False) -> tuple[CandidateRow, ...]:
    """The candidates in an order of CANDIDATE_ORDERS."""

    def key(row: CandidateRow) -> tuple[object, ...]:
        one = row.candidate
        ripe = next((week for week, role in enumerate(row.weeks) if role in ("fills", "ripe")), _LATEST)
        own: tuple[object, ...] = ()
        if order == "here":
            worst = _LATEST if row.misfit is None else row.misfit
            own = not row.is_here, worst, row.here != "suits well", -row.weeks.count("fills")
        elif order == "ripe":
            own = (ripe,)
        elif order == "wood":
            own = (WOOD_FROM.index(one.source),)
        elif order == "score":
            own = (-(one.score or 0),)
        return (*own, one.variety.casefold(), one.species)

    return tuple(sorted(rows, key=key, reverse=backwards))


def crown_grafts(grafts: Iterable[Graft], lines: Iterable[Line]) -> tuple[Graft, ...]:
    """The grafts of a crown as they would be: what is proposed stands as planned at its place."""
    proposed = {line.place.id: line.candidate.variety for line in lines}
    return tuple(
        replace(graft, variety=proposed[graft.id], state="planned") if graft.id in proposed else graft
        for graft in grafts
    )


def place_columns(rows: Iterable[PlaceChoice], width: int) -> tuple[Column, ...]:
    """The columns of the places that there is room for."""
    held = [row for row in rows if row.place is not None]
    ids = max((display_width(plain(row.place.id)) for row in held if row.place), default=2)
    varieties = max((display_width(_proposed_words(row)) for row in held), default=0)
    was = max((display_width(_was_words(row)) for row in held), default=3)
    wanted = {
        "id": min(ids, _MOST_ID_COLUMNS),
        "variety": min(max(varieties, 12), 20),
        MARK: 1,
        "state": 9,
        "method": 15,
        "was": min(was, 24),
        "place": _MOST_PLACE_COLUMNS,
    }
    return lay_columns(wanted, _PLACE_COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def place_cells(row: PlaceChoice, columns: tuple[Column, ...], units: str, ascii_only: bool) -> str:
    """The row of a place in these columns."""
    assert row.place is not None
    cells = {
        "id": row.place.id,
        "variety": _proposed_words(row),
        MARK: shown(CHOICE_MARKS[row.state], ascii_only),
        "state": row.state,
        "method": "" if row.line is None else row.place.method,
        "place": in_units(place_words(row.place.place), units) or "place not noted",
        "was": _was_words(row),
    }
    return row_line(columns, cells)


def candidate_columns(rows: Iterable[CandidateRow], width: int) -> tuple[Column, ...]:
    """The columns of the candidates that there is room for; their season stands before all that explains them."""
    held = tuple(rows)
    varieties = max((display_width(plain(row.candidate.variety)) for row in held), default=0)
    where = max((display_width(plain(_where_words(row))) for row in held), default=0)
    giver = max((display_width(plain(row.candidate.giver)) for row in held), default=0)
    wanted = {
        "variety": min(max(varieties, 12), max(width - WEEKS - 28, 12), _MOST_VARIETY_COLUMNS),
        "season": WEEKS,
        MARK: 1,
        "where": min(max(where, 5), 14),
        "here": 11,
        "wood": 14,
        "score": 5,
        "from": min(max(giver, 4), _MOST_FROM_COLUMNS),
    }
    return lay_columns(wanted, _CANDIDATE_COLUMNS, width, "variety", _MOST_VARIETY_COLUMNS)


def candidate_cells(row: CandidateRow, columns: tuple[Column, ...], ascii_only: bool) -> str:
    """The row of a candidate in these columns."""
    one = row.candidate
    cells = {
        "variety": one.variety,
        MARK: shown(CHOICE_MARKS[row.state], ascii_only),
        "where": _where_words(row),
        "season": week_strip(row.weeks, ascii_only) if one.fruit is not None else "not known when ripe",
        "here": row.here,
        "wood": one.source,
        "from": one.giver,
        "score": "" if one.score is None else f"{one.score:.1f}",
    }
    return row_line(columns, cells)


def season_roles(proposal: Proposal) -> tuple[WeekRole, ...]:
    """The whole season: which weeks stay bare, and which of the bare ones the proposal fills."""
    return tuple(
        "bare" if week in proposal.after else "filled" if week in proposal.before else "none" for week in range(WEEKS)
    )


def season_cells(proposal: Proposal, columns: tuple[Column, ...], ascii_only: bool) -> str:
    """The line under the heads of the candidates: the weeks in which nothing is ripe, above those of each."""
    cells = {column.name: "" for column in columns} | {"variety": "nothing ripe"}
    cells["season"] = week_strip(season_roles(proposal), ascii_only).replace(shown(WEEK_MARKS["none"], ascii_only), " ")
    return row_line(columns, cells)


def week_strip(weeks: Iterable[WeekRole], ascii_only: bool) -> str:
    """A mark for each week."""
    return "".join(shown(WEEK_MARKS[role], ascii_only) for role in weeks)


def month_line(south: bool) -> str:
    """The names of the months above the weeks, each over the first week that begins in it and has room for it."""
    months = [month_day_of(HIGH_SUMMER + week * 7, south)[0] for week in range(WEEKS)]
    starts = [week for week in range(WEEKS) if not week or months[week] != months[week - 1]]
    line = ""
    for start, following in zip(starts, [*starts[1:], WEEKS], strict=True):
        name = MONTHS[months[start] - 1]
        if following - start > len(name):
            line = padded(line, start) + name
    return padded(line, WEEKS)


def season_days(south: bool) -> tuple[date, date]:
    """The first and the last day of the season, in some year."""
    first, last = (month_day_of(HIGH_SUMMER + days, south) for days in (0, WEEKS * 7 - 1))
    return date(2001, *first), date(2001, *last)


def shown(mark: Mark, ascii_only: bool) -> str:
    """A mark as the terminal can show it."""
    return mark.ascii if ascii_only else mark.symbol


def _tree_words(place: OpenPlace, room: TreeRoom | None) -> str:
    named = f"{place.tree_name} ({place.tree}): {place.species}"
    if room is None:
        return plain(named)
    planned = f"{counted(room.planned, 'graft')} planned or set, " if room.planned else ""
    return plain(f"{named}; {planned}room for {room.room or 'no'} more")


def _proposed_words(row: PlaceChoice) -> str:
    if row.line is None:
        return ""
    one = row.line.candidate
    same = row.place is None or one.species == row.place.species
    return plain(one.variety if same else f"{one.variety} ({one.species})")


def _was_words(row: PlaceChoice) -> str:
    if row.place is None:
        return ""
    return plain(f"was {row.place.was}" if row.place.free_now else f"to cut: {row.place.was}")


def _where_words(row: CandidateRow) -> str:
    if row.state in ("pinned", "proposed"):
        return f"{row.at} pinned" if row.state == "pinned" else row.at
    return "forbidden" if row.state == "forbidden" else "nowhere"


def _fits(misfit: int | None, is_liked: bool) -> str:
    if misfit is None:
        return "cannot"
    if misfit:
        return f"{misfit} against"
    return "suits well" if is_liked else "suits"


def _weeks(proposal: Proposal, number: int) -> tuple[WeekRole, ...]:
    own = set(weeks_of(proposal.task.choices[number].span))
    return tuple("none" if week not in own else "fills" if week in proposal.before else "ripe" for week in range(WEEKS))
