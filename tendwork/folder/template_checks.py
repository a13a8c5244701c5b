"""What a template's shape alone cannot say: known words, whole anchors, cards that exist."""

from __future__ import annotations

import re
import types
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec

from tendwork.almanac.winters import DRY_COLD_WINTERS
from tendwork.errors import located, nearest
from tendwork.folder.site import month_and_day
from tendwork.folder.toml_text import Path, key_words, line_of, unknown_key
from tendwork.orchard.records import GRAFT_STATES, SIGNS, VERDICTS
from tendwork.plain_text import acts, is_blank, plain
from tendwork.planning.anchors import shift_days
from tendwork.planning.vocabulary import (
    Act,
    Anchor,
    AnyOf,
    Card,
    Each,
    Event,
    Part,
    Stake,
    Template,
    Ticked,
    Tool,
    UnionState,
    Use,
    Where,
    WoodNeed,
)
from tendwork.planning.window_order import always_out_of_order
from tendwork.species import SPECIES, STAGES, stage_named

_BRANCHES = ("latest_of", "earliest_of", "first_known")
_BASES = ("date", "stage", "after", *_BRANCHES)
MOST_MINUTES = 10000
_OF_A_TREE = ("tree", "graft")
# No job is moved by more than some years, lasts longer than some days, or asks for weather that no orchard has.
BOUNDS = {
    "days": (-1000, 1000),
    "weeks": (-150, 150),
    "heat": (0, 10000),
    "every_days": (1, 1000),
    "times": (1, 100),
    "setup_minutes": (0, MOST_MINUTES),
    "minutes_each": (0, MOST_MINUTES),
    "min_c": (-60, 60),
    "max_c": (-60, 60),
    "frost_free_nights": (0, 60),
    "frost_c": (-60, 60),
    "above_m": (0, 100),
}
LATER_DAYS = 400
"""A job that is moved by more than a year from a day that each season has stands in another season."""
_CARD_NEEDS = {
    "title": "Name the danger in a few words.",
    "line": "Write the sentence that is to stand beside the work.",
    "points": "Write at least one sentence in it; a shipped card of the same id keeps its own besides.",
    "defer": "Say who decides: a label, local codes, licensed practice.",
    "source": 'Name it with its year, or write "common practice".',
}
_RIPENS: tuple[Event, ...] = ("look", "ripe from", "ripens", "hangs", "eat", "eat later", "use by")
_EVENTS: dict[Each, tuple[Event, ...]] = {
    "tree": ("planted", "fire blight", "gnawed bark", "storm", *_RIPENS),
    "graft": (
        "planned",
        "set",
        "budded",
        "woken",
        "took",
        "failed",
        "unwrapped",
        "tasted",
        "verdict",
        *_RIPENS,
        "picked",
        "stored",
        "none left",
    ),
    "wood": ("cut", "received", "promised"),
    "variety": ("planned", "cut"),
    "site": (),
}
"""What can happen to a unit (planning/record_events.py, ripe_events.py, and wood_subjects.py of a variety): no other is
ever met."""
_OF_A_BUNDLE = ("species", "wood")
_ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


VISIT_NAMES = 'Write small letters, numbers and hyphens, such as "aftercare" or "walk".'


def is_visit_name(word: str) -> bool:
    """Whether a rule may name its visit so; empty for none."""
    return not word or _ID.fullmatch(word) is not None


def unknown_keys(table: dict[str, Any], kind: type, text: str, file: str, path: Path) -> list[str]:
    """The faults of keys that `kind` does not have, here and below; they are taken out, so that the rest decodes."""
    inside = _structs_inside(kind)
    faults = [str(unknown_key(text, file, (*path, key), inside)) for key in table if key not in inside]
    for key in [key for key in table if key not in inside]:
        del table[key]
    for key, value in table.items():
        inner = inside[key]
        if inner is None:
            continue
        if isinstance(value, dict):
            faults += unknown_keys(value, inner, text, file, (*path, key))
        elif isinstance(value, list):
            for index, entry in enumerate(value):
                if isinstance(entry, dict):
                    faults += unknown_keys(entry, inner, text, file, (*path, key, index))
    return faults


def allowed_words(error: msgspec.ValidationError) -> tuple[str, ...]:
    """The words allowed where msgspec met one that is not."""
    place = re.sub(r"\W+$", "", str(error).rpartition("`$")[2])
    closed = {
        "after": Event, "part": Part, "each": Each, "acts": Act, "uses": Use, "stake": Stake, "union": UnionState,
        "wood": WoodNeed,
    }  # fmt: skip
    words = closed.get(place.rpartition(".")[2], Event)
    return get_args(words)


def template_faults(template: Template, cards: Mapping[str, Card], text: str, file: str, path: Path) -> list[str]:
    """All faults of one template whose shape is right."""
    found = [*_faults(template, cards), *_word_faults(template, ("steps", "tools", "outcomes", "loss", "left_out"))]
    if not found:  # the order of anchors can be told only where each of them is whole
        found = [(wrong.key, wrong.words, wrong.remedy) for wrong in always_out_of_order(template)]
    return [_located(text, file, (*path, *place), what, remedy) for place, what, remedy in found]


def card_faults(card: Card, text: str, file: str, path: Path) -> list[str]:
    """All faults of one caution card whose shape is right."""
    found = (*_id_faults(card.id), *_empty_faults(card))
    return [_located(text, file, (*path, *place), what, remedy) for place, what, remedy in found]


def tool_faults(
    tool: Tool, cards: Mapping[str, Card], tools: Mapping[str, Tool], text: str, file: str, path: Path
) -> list[str]:
    """All faults of one tool whose shape is right."""
    found = [
        *_word_faults(tool, ("id",)),
        *_unknown_names(("cautions",), "caution card", tool.cautions, cards),
        *_unknown_names(("bring",), "tool", tool.bring, tools),
        *_unknown_names(("aloft",), "tool", tool.aloft, tools),
    ]
    return [_located(text, file, (*path, *place), what, remedy) for place, what, remedy in found]


Fault = tuple[Path, str, str]


def _faults(template: Template, cards: Mapping[str, Card]) -> Iterator[Fault]:
    yield from _id_faults(template.id)
    if is_blank(template.title):
        yield ("title",), "is empty", ""
    for name in ("opens", "best", "closes", "lapses"):
        anchor = getattr(template, name)
        if anchor is not None:
            yield from _anchor_faults(anchor, template.where.species or SPECIES, (name,))
    if (template.opens.date or template.opens.stage) and abs(shift_days(template.opens)) > LATER_DAYS:
        what = f"lies {abs(shift_days(template.opens))} days from its day, which is beyond every season"
        yield ("opens",), what, f"Write at most {LATER_DAYS} days."
    if not is_visit_name(template.visit):
        yield ("visit",), f'"{template.visit}" is not a name of a visit', VISIT_NAMES
    yield from _event_faults(template)
    yield from _where_faults(template.where)
    if template.each == "wood":
        for name in Where.__struct_fields__:
            if getattr(template.where, name) is not None and name not in (*_OF_A_BUNDLE, "any_of"):
                what = "is about grafts or trees, and this rule is of each bundle of wood, to which it says nothing"
                yield ("where", name), what, f"Use {' and '.join(_OF_A_BUNDLE)}, or take it out."
    if template.repeats is not None:
        yield from _bound_faults(template.repeats, ("repeats",))
        if template.repeats.until is not None:
            yield from _anchor_faults(template.repeats.until, template.where.species or SPECIES, ("repeats", "until"))
    yield from _bound_faults(template.effort, ("effort",))
    yield from _size_faults(template)
    yield from _bound_faults(template.weather, ("weather",))
    yield from _unknown_names(("cautions",), "caution card", template.cautions, cards)
    yield from _sign_faults(("unless_seen",), template.unless_seen, (*SIGNS, DRY_COLD_WINTERS))
    if template.unless_seen and not template.left_out:
        yield ("unless_seen",), "asks for what is asked for already", "Say in `left_out` why it is left out otherwise."
    for name in ("trained_flat", "follows"):
        if getattr(template.where, name) is not None and template.each != "tree":
            words = f'is for rules of each "tree", and this one is of each "{template.each}"'
            yield ("where", name), words, "Take it out."
    if template.where.any_of is not None:
        yield from _any_of_faults(template.where.any_of, template.each)
    if template.where.wood is not None and template.each not in ("wood", "variety"):
        what = f'is for rules of each "wood" or "variety", and this one is of each "{template.each}"'
        yield ("where", "wood"), what, "Use the other keys of where."
    if not template.outcomes:
        yield ("outcomes",), "must name at least one outcome", ""


def _event_faults(template: Template) -> Iterator[Fault]:
    """Events that never happen to what the rule is about, so that its job would never come."""
    known = _EVENTS[template.each]
    for path, event in _events_named(template):
        if event not in known:
            remedy = f"Write one of {', '.join(known)}." if known else "Write a date or a stage."
            yield path, f'"{event}" is nothing that happens to a {template.each}', remedy


def _events_named(template: Template) -> Iterator[tuple[Path, Event]]:
    until = None if template.repeats is None else template.repeats.until
    places: tuple[tuple[Path, Anchor | None], ...] = (
        *(((name,), getattr(template, name)) for name in ("opens", "best", "closes", "lapses")),
        (("repeats", "until"), until),
    )
    for path, anchor in places:
        if anchor is not None:
            yield from _events_in(anchor, path)


def _events_in(anchor: Anchor, path: Path) -> Iterator[tuple[Path, Event]]:
    if anchor.after is not None:
        yield (*path, "after"), anchor.after
    for name in _BRANCHES:
        for index, part in enumerate(getattr(anchor, name) or ()):
            yield from _events_in(part, (*path, name, index))


def _age_faults(years: tuple[int, int] | None, place: Path) -> Iterator[Fault]:
    """Seasons are counted back from this one, which is 0."""
    if years is not None and years[0] > years[1]:
        yield place, "must be the lower age first", ""
    elif years is not None and years[0] < 0:
        yield place, "must be seasons ago, 0 for this one: nothing is younger", "Write two numbers such as [0, 2]."


def _empty_faults(card: Card) -> Iterator[Fault]:
    """A card that says nothing where a caution should stand is worse than none."""
    for name, remedy in _CARD_NEEDS.items():
        value = getattr(card, name)
        if not value or any(map(is_blank, _parts(value))):
            yield (name,), "is empty" if not value or isinstance(value, str) else "holds an empty line", remedy
    if any(map(is_blank, card.first_aid)):
        yield ("first_aid",), "holds an empty line", "Write what to do, or take it out."


def _word_faults(struct: msgspec.Struct, names: tuple[str, ...]) -> Iterator[Fault]:
    """Texts of which nothing is seen, and such as hold what cannot be seen: two words would look like one."""
    for name in names:
        for text in _parts(getattr(struct, name) or ()):
            if is_blank(text):
                yield (name,), "is empty" if name == "id" else "holds an empty text", "Write a word, or take it out."
            elif acts(text):
                yield (name,), f'"{plain(text)}" holds a character that cannot be seen', "Write it again without it."


def _parts(value: str | tuple[str, ...]) -> tuple[str, ...]:
    return (value,) if isinstance(value, str) else value


def _unknown_names(path: Path, what: str, names: tuple[str, ...], known: Mapping[str, object]) -> Iterator[Fault]:
    for name in names:
        if name not in known:
            yield path, f'there is no {what} "{name}"', nearest(name, known)


def _id_faults(identity: str) -> Iterator[Fault]:
    if not _ID.fullmatch(identity):
        yield (
            ("id",),
            f'"{identity}" is not an id',
            'Write small letters, numbers and hyphens, such as "rub-off-shoots".',
        )


def _anchor_faults(anchor: Anchor, species: tuple[str, ...], path: Path) -> Iterator[Fault]:
    bases = [name for name in _BASES if getattr(anchor, name) is not None]
    if len(bases) != 1:
        yield path, f"must have exactly one of {', '.join(_BASES)}", f"It has {' and '.join(bases) or 'none of them'}."
    if anchor.date is not None and month_and_day(anchor.date) is None:
        yield (*path, "date"), f'"{anchor.date}" is not a month and day', 'Write one such as "12-15".'
    if anchor.stage is not None and not any(name in STAGES and stage_named(name, anchor.stage) for name in species):
        known = dict.fromkeys(row[0] for name in species for row in STAGES.get(name, ()))
        yield (*path, "stage"), f'"{anchor.stage}" is not a stage', nearest(anchor.stage, known)
    yield from _bound_faults(anchor, path)
    for name in _BRANCHES:
        parts = getattr(anchor, name)
        if parts == ():
            yield (*path, name), "must hold at least one anchor", ""
        if name == "first_known":
            yield from _never_used(parts or (), (*path, name))
        for index, part in enumerate(parts or ()):
            yield from _anchor_faults(part, species, (*path, name, index))


def _never_used(parts: tuple[Anchor, ...], path: Path) -> Iterator[Fault]:
    """Of the first that is known, nothing after a date: of all parts it alone has a day in every season."""
    for part in parts[:-1]:
        if part.date is not None and part.heat is None:
            what = f'what stands after date = "{part.date}" is never used, as that always has a day'
            yield path, what, "Put it last, or take out what follows."
            return


def _bound_faults(struct: msgspec.Struct, path: Path) -> Iterator[Fault]:
    for name, (low, high) in BOUNDS.items():
        value = getattr(struct, name, None)
        if value is not None and not low <= value <= high:
            yield (*path, name), f"must be between {low} and {high}", ""


def _size_faults(template: Template) -> Iterator[Fault]:
    """What is wrong with minutes by the size of a tree."""
    minutes, path = template.effort.minutes_by_size, ("effort", "minutes_by_size")
    if minutes is None:
        return
    if template.each not in _OF_A_TREE:
        yield (
            path,
            f'is for jobs of a tree or a graft, and this one is for each "{template.each}"',
            "Write minutes_each.",
        )
    if template.effort.minutes_each:
        yield path, "stands beside minutes_each", "Keep one of the two."
    if not all(0 <= one <= MOST_MINUTES for one in minutes):
        yield path, f"must be three numbers between 0 and {MOST_MINUTES}", ""
    elif not minutes[0] <= minutes[1] <= minutes[2]:
        remedy = "Write those of a small tree first, then of a middle-sized one, then of a large one."
        yield path, "must not become less for a larger tree", remedy


def _where_faults(where: Where) -> Iterator[Fault]:
    yield from (((("where", *place)), what, remedy) for place, what, remedy in _word_faults(where, ("method", "wrap")))
    yield from _bound_faults(where, ("where",))
    known = {"species": SPECIES, "state": GRAFT_STATES, "verdict": VERDICTS}
    for name, words in known.items():
        for word in getattr(where, name) or ():
            if word not in words:
                yield ("where", name), f'"{word}" is not known here', nearest(word, words)
    for name in ("age_years", "growing_years"):
        yield from _age_faults(getattr(where, name), ("where", name))


def _any_of_faults(signs: AnyOf, each: Each) -> Iterator[Fault]:
    place = ("where", "any_of")
    if each != "tree":
        yield place, f'is for rules of each "tree", and this one is of each "{each}"', "Use the other keys of where."
    if signs == AnyOf():
        yield place, "holds none of its signs, so that no tree would have one", "Write one, or take it out."
    for name in ("age_years", "seen_years"):
        yield from _age_faults(getattr(signs, name), (*place, name))
    if signs.seen_years is not None and not signs.seen:
        yield (*place, "seen_years"), "says when a sign was seen, and no sign is named", "Name it in `seen`."
    yield from _sign_faults((*place, "seen"), signs.seen, SIGNS)
    if signs.ticked is not None:
        yield from _ticked_faults(signs.ticked, (*place, "ticked"))


def _ticked_faults(wanted: Ticked, place: Path) -> Iterator[Fault]:
    if not wanted.jobs:
        yield (*place, "jobs"), "must name at least one template", ""
    if not 0 <= wanted.years[0] <= wanted.years[1]:
        yield (*place, "years"), "must be the lower number of seasons first, 0 for this one", ""
    if wanted.until is not None and month_and_day(wanted.until) is None:
        yield (*place, "until"), f'"{wanted.until}" is not a month and day', 'Write one such as "08-10".'


def _sign_faults(place: Path, signs: tuple[str, ...], known: tuple[str, ...]) -> Iterator[Fault]:
    for sign in signs:
        if sign not in known:
            yield place, f'"{sign}" is no trouble that rules speak of', nearest(sign, known)


def _located(text: str, file: str, path: Path, what: str, remedy: str) -> str:
    return str(located(file, what, line=line_of(text, path), key=key_words(path), remedy=remedy))


@cache
def _structs_inside(kind: type) -> dict[str, type | None]:
    """The fields of a Struct by name, and for each the Struct that it holds, if any."""
    return {name: _struct_in(hint) for name, hint in get_type_hints(kind).items()}


def _struct_in(hint: Any) -> type | None:
    """The Struct that a field holds, alone, optional or in a tuple."""
    if isinstance(hint, type) and issubclass(hint, msgspec.Struct):
        return hint
    if get_origin(hint) in (Union, types.UnionType, tuple):
        return next((found for found in map(_struct_in, get_args(hint)) if found is not None), None)
    return None
