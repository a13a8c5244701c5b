"""Own and adjusted templates held against the almanac of the folder: no window may close before it opens."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from tendwork.almanac.seasons import season_of
from tendwork.errors import PersonError, located
from tendwork.folder.files import read_text
from tendwork.folder.loaded_templates import LoadedTemplates
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.folder.toml_text import line_of
from tendwork.orchard.records import SIGNS
from tendwork.planning.adjustments import Adjustments, adjusted
from tendwork.planning.anchors import Anchors
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import Template
from tendwork.planning.window_order import Disorder, always_out_of_order, out_of_order, probes
from tendwork.workbench.plan_making import AlmanacCache, species_of

_MOVE = "Move one of the two."


def window_faults(
    folder: OrchardFolder, almanac_cache: AlmanacCache, loaded: LoadedTemplates, adjustments: Adjustments, today: date
) -> tuple[str, ...]:
    """A sentence for each window of an own or adjusted template that is out of order this season, with its line.

    Raises PersonError.
    """
    own = loaded.own
    faults = [
        own[template.id].fault(wrong.words, wrong.remedy or _MOVE, wrong.key)
        for template, wrong in _disorders(
            folder, almanac_cache, (template for template in loaded.templates if template.id in own), adjustments, today
        )
    ]
    changed = _adjusted_disorders(folder, almanac_cache, loaded.templates, adjustments, today)
    text = read_text(folder.adjustments_path, folder.adjustments_path.name) if changed else ""
    for template, wrong in changed:
        place = ("template", template.id)
        faults.append(
            str(
                located(
                    folder.adjustments_path.name,
                    f'"{template.id}" {_adjusted_words(wrong)}',
                    line=line_of(text, place),
                    key=".".join(place),
                    remedy=_MOVE,
                )
            )
        )
    return tuple(faults)


def refuse_backwards(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: tuple[Template, ...],
    before: Adjustments,
    after: Adjustments,
    today: date,
) -> None:
    """Raise PersonError where the adjustments `after` put a window out of order that `before` leave in order."""
    standing = {
        (template.id, wrong.key)
        for template, wrong in _adjusted_disorders(folder, almanac_cache, templates, before, today)
    }
    for template, wrong in _adjusted_disorders(folder, almanac_cache, templates, after, today):
        if (template.id, wrong.key) not in standing:
            what = f'"{template.title}" ({template.id}): {_adjusted_words(wrong)}'
            raise PersonError(f"{what}. {_MOVE} Nothing was changed.")


def _adjusted_words(wrong: Disorder) -> str:
    return f"as adjusted, {'.'.join(wrong.key)} {wrong.words}"


def _adjusted_disorders(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: Iterable[Template],
    adjustments: Adjustments,
    today: date,
) -> list[tuple[Template, Disorder]]:
    """What the adjustments put out of order; what is so without them is not theirs."""
    plain = tuple(template for template in templates if template.id in adjustments.template)
    if not plain:
        return []
    before = {
        (template.id, wrong.key) for template, wrong in _disorders(folder, almanac_cache, plain, adjustments, today)
    }
    return [
        (template, wrong)
        for template, wrong in _disorders(
            folder, almanac_cache, adjusted(plain, adjustments, SIGNS), adjustments, today
        )
        if (template.id, wrong.key) not in before
    ]


def _disorders(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: Iterable[Template],
    adjustments: Adjustments,
    today: date,
) -> Iterator[tuple[Template, Disorder]]:
    rules = tuple(templates)
    if not rules:
        return
    records = folder.records.read()
    season = season_of(today, folder.site.south)
    held = almanac_cache.cached(records, adjustments.site, today)
    subjects = Subjects(Orchard(records, rules, folder.site.south, today), held.ripening.of(records))
    anchors = Anchors(held.almanac, season)
    for template in rules:
        always = {wrong.key: wrong for wrong in always_out_of_order(template)}
        units = [subject for subject in subjects.of(template, season) if subject.matches]
        wrongs = always or {
            wrong.key: wrong
            for wrong in out_of_order(template, units or probes(template, species_of(records)), anchors)
        }
        for wrong in wrongs.values():
            yield template, wrong
