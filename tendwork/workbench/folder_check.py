"""The check of all the files of an orchard folder: what is wrong in them, and what the person should look at."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from tendwork.folder.adjustments import check_adjustments
from tendwork.folder.check import folder_faults
from tendwork.folder.location import locate
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.templates import check_templates
from tendwork.orchard.faults import impossible_asking
from tendwork.orchard.tree_doubts import doubts_of_trees
from tendwork.orchard.tree_names import twin_sentences
from tendwork.orchard.unions import hints, late_trees, tree_hints
from tendwork.orchard.variety_checks import twice_in_place, twice_sentences, variety_hints
from tendwork.orchard.wood_doubts import wood_doubts
from tendwork.planning.adjustments import Adjustments
from tendwork.planning.gaps import heights_not_noted, open_questions
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.results import STILL_ON
from tendwork.planning.said_of_grafts import wrap_is_asked
from tendwork.planning.vocabulary import Template
from tendwork.view.wraps import gap_sentences
from tendwork.workbench.doubting import doubtful_words, usual_date_words


def check_folder(path: Path | None, today: date) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(faults, warnings) of all the folder's files, one sentence each. Raises PersonError if it cannot be read."""
    from tendwork.folder.daily_log import log_faults
    from tendwork.folder.variety_lists import variety_reference
    from tendwork.workbench.plan_making import AlmanacCache
    from tendwork.workbench.temperature_fetching import service_faults
    from tendwork.workbench.window_checks import window_faults

    folder = locate(path)
    unheard: tuple[str, ...] = ()
    doubtful: tuple[str, ...] = ()
    twins: tuple[str, ...] = ()
    twice: tuple[str, ...] = ()
    loaded, _ = check_templates(folder / "templates")
    adjustments, _ = check_adjustments(folder / "adjustments.toml")
    faults = (*folder_faults(folder), *log_faults(folder))
    if not faults:
        opened = OrchardFolder.open(folder)
        faults = (*service_faults(opened), *window_faults(opened, AlmanacCache(opened), loaded, adjustments, today))
        held = opened.records.read()
        twice = (*twice_sentences(held), *(fault.words for fault in impossible_asking(held)))
        twins = (*twin_sentences(held.trees), *variety_hints(held, variety_reference()), *twice_in_place(held))
        orchard = Orchard(held, loaded.templates, opened.site.south, today)
        asked = _wraps_asked(opened, orchard, loaded.templates, adjustments, today)
        unheard = (
            *asked,
            *wood_doubts(held, held.wood),
            *gap_sentences(open_questions(orchard, today)),
            *gap_sentences(heights_not_noted(orchard), today),
            *doubts_of_trees(held),
            *hints(held, held.grafts, today),
            *tree_hints(late_trees(held, today), today),
        )
        if not faults:
            doubtful = (*usual_date_words(opened, held, today), *doubtful_words(opened, held, today))
    known = {template.id for template in loaded.templates}
    idle = [
        f'adjustments.toml: there is no template "{identity}", so its change has no effect.'
        for identity in adjustments.template
        if identity not in known
    ]
    trees = None if faults else {tree.id for tree in held.trees}
    idle += [
        f'adjustments.toml: there is no tree "{entry.tree}", for which {identity} is left out.'
        for identity, change in adjustments.template.items()
        for entry in change.left_out
        if trees is not None and entry.tree and entry.tree not in trees
    ]
    return (*faults, *twice), (*loaded.warnings, *idle, *twins, *unheard, *doubtful)


def _wraps_asked(
    folder: OrchardFolder, orchard: Orchard, templates: tuple[Template, ...], adjustments: Adjustments, today: date
) -> tuple[str, ...]:
    """The wraps that may be off long since: a plan knows it, which is made only where a wrap came in without a word."""
    if not any(wrap_is_asked(orchard, graft) for graft in orchard.known_since):
        return ()
    from tendwork.workbench.adjusting import planned
    from tendwork.workbench.plan_making import AlmanacCache

    made = planned(folder, AlmanacCache(folder), templates, adjustments, folder.records.read(), today)
    return gap_sentences(gap for gap in made.gaps if gap.kind == STILL_ON)
