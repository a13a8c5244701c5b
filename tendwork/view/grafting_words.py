"""What the form of a grafting day offers and says: varieties, what is planned, wood counted down, and what takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from tendwork.orchard.methods import is_summer_bud
from tendwork.orchard.records import Graft, Records, Tree
from tendwork.orchard.series import bundle_for, planned_for, species_to_set, sticks_after
from tendwork.orchard.take_rates import Trial, choice_sentence
from tendwork.orchard.variety_keys import variety_keys
from tendwork.orchard.wood_age import usable, wood_age
from tendwork.planning.work_bars import barred_on
from tendwork.view.form_words import field_text
from tendwork.view.text import plain
from tendwork.view.wood import age_words, bar_words
from tendwork.view.words import counted

SERIES = ("variety", "method", "wrap", "seal", "wood", "facing", "height_m", "out_m")
ALWAYS_NEW = ("variety", "facing", "height_m", "out_m")  # what a next graft of the series is asked for
_RATED = {"method": "method", "wrap": "wrap", "wood": "wood age"}


def series_varieties(records: Records, tree: Tree, today: date, south: bool) -> tuple[str, ...]:
    """The varieties to graft on a tree: those planned there first, then those with good wood of its species."""
    planned = [graft.variety for graft in records.grafts if (graft.tree, graft.state) == (tree.id, "planned")]
    barred = barred_on(records, today, south)
    good = [bundle for bundle in records.wood if bundle.id not in barred and usable(bundle, today)]
    held = [bundle.variety for bundle in good if bundle.species == tree.species]
    return tuple(dict.fromkeys((*planned, *sorted(held, key=str.casefold))))


def following_variety(records: Records, tree: Tree, last: str) -> str:
    """The variety to go on with: the last one, unless none of it is planned any more while others are."""
    planned = [graft.variety for graft in records.grafts if (graft.tree, graft.state) == (tree.id, "planned")]
    return last if not planned or planned_for(records, tree, last) is not None else planned[0]


def series_wood(records: Records, tree: Tree, variety: str, today: date, south: bool) -> tuple[str, ...]:
    """The bundles of a variety that are good to graft from."""
    barred, species = barred_on(records, today, south), species_to_set(records, tree, variety)
    keys = variety_keys(records)
    wanted = keys.of(species, variety)
    return tuple(
        bundle.id
        for bundle in records.wood
        if keys.of(bundle.species, bundle.variety) == wanted and bundle.id not in barred and usable(bundle, today)
    )


def planned_texts(graft: Graft, units: str) -> dict[str, str]:
    """What is planned of a graft, as texts of the form."""
    texts = {name: field_text(name, getattr(graft, name), units) for name in SERIES}
    return {name: text for name, text in texts.items() if text}


def series_words(records: Records, tree: Tree, texts: Mapping[str, str], today: date, south: bool) -> str:
    """What this graft would be and which wood it would take: "planned as g40; from w10, fresh: 4 sticks, 3 after"."""
    variety, method = texts.get("variety", ""), texts.get("method", "")
    if not variety:
        return ""
    planned = planned_for(records, tree, variety)
    told = [f"planned as {planned.id}" if planned else "not planned"]
    species = species_to_set(records, tree, variety, texts.get("wood", ""))
    told += [f"{species} on {tree.species}"] if species != tree.species else []
    chosen = texts.get("wood", "") or (planned.wood if planned else "")
    bundle = next((bundle for bundle in records.wood if bundle.id == chosen), None)
    barred = barred_on(records, today, south)
    is_bud = is_summer_bud(Graft("", tree.id, variety, method, wood=chosen))
    if bundle is None and not is_bud:
        bundle = bundle_for(records, variety, species, today, barred)
    if bundle is None:
        told.append("a fresh bud of this summer" if is_bud else "no good wood of it is held")
    else:
        left = sticks_after(records, bundle, method, today)
        promised = f", {bundle.promised_sticks} promised" if bundle.promised_sticks else ""
        age = age_words(wood_age(bundle, today)).split(",")[0]
        told.append(f"from {bundle.id}, {age}: {counted(bundle.sticks, 'stick')}, {left} after this one{promised}")
        if bundle.id in barred:
            told.append(bar_words(bundle, barred[bundle.id], today))
    return plain("; ".join(told))


def rates_words(tried: Sequence[Trial], species: str, field: str) -> str:
    """What one's own grafts say about the choice that a field of the form asks for; empty for the other fields."""
    return plain(choice_sentence(tried, species, _RATED[field])) if field in _RATED else ""
