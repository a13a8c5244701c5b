"""Adjusting templates and the site's shift: what a change would move, and keeping it."""

from __future__ import annotations

from datetime import date

import msgspec

from tendwork.almanac.seasons import season_of
from tendwork.errors import PersonError, located
from tendwork.folder.adjustments import read_adjustments, refuse_values, write_adjustments
from tendwork.folder.file_lock import alone_at
from tendwork.folder.files import real_place
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.orchard.records import Records
from tendwork.orchard.wording import listed
from tendwork.planning.absence import absence
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift, adjusted, carried, clashes
from tendwork.planning.anchors import Anchors
from tendwork.planning.indexed_records import Orchard
from tendwork.planning.planner import plan
from tendwork.planning.preview import Preview, losses, moves
from tendwork.planning.results import Plan
from tendwork.planning.subjects import Subjects
from tendwork.planning.vocabulary import Template
from tendwork.workbench.adjustment_acts import adjusted_words, keep_act
from tendwork.workbench.known_here import known_here
from tendwork.workbench.plan_inputs import site_limits_of
from tendwork.workbench.plan_making import AlmanacCache
from tendwork.workbench.window_checks import refuse_backwards


def preview(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: tuple[Template, ...],
    before: Adjustments,
    after: Adjustments,
    today: date,
) -> Preview:
    """Plan the season with both, on the same records, and compare.

    Raises PersonError where a value, a window's order or a temperature file must be mended.
    """
    refuse_values(after)
    refuse_backwards(folder, almanac_cache, templates, before, after, today)
    records = folder.records.read()
    old = planned(folder, almanac_cache, templates, before, records, today)
    new = planned(folder, almanac_cache, templates, after, records, today)
    left_out = {name for name in {**before.template, **after.template} if _leaves_out(name, before, after)}
    return Preview(moves(old, new), losses(old, new, left_out))


def _leaves_out(template: str, before: Adjustments, after: Adjustments) -> bool:
    """Whether it is said of a template that it, or some of its jobs, are left out."""
    was, now = before.template.get(template, Adjustment()), after.template.get(template, Adjustment())
    return now.off or (was.asked and not now.asked) or now.left_out != was.left_out


def planned(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: tuple[Template, ...],
    adjustments: Adjustments,
    records: Records,
    today: date,
) -> Plan:
    """The plan as these adjustments would make it; nothing is kept. Raises PersonError."""
    held = almanac_cache.cached(records, adjustments.site, today)
    rules = adjusted(templates, adjustments, known_here(folder, records, today))
    ripe = held.ripening.of(records)
    return plan(site_limits_of(folder.site), records, held.almanac, rules, today, held.openings, ripe=ripe)


def changed(adjustments: Adjustments, template: str, values: dict[str, object]) -> Adjustments:
    """The adjustments with these values of one template changed; a template back at its own values drops out."""
    now = adjustments.template.get(template, Adjustment())
    after = msgspec.structs.replace(now, **values)
    others = {name: change for name, change in adjustments.template.items() if name != template}
    kept = others if after == Adjustment() else {**others, template: after}
    return Adjustments(adjustments.site, kept)


def reset(adjustments: Adjustments, template: str | None) -> Adjustments:
    """Without the changes of one template, or without all changes and the site's shift."""
    if template is None:
        return Adjustments()
    kept = {name: change for name, change in adjustments.template.items() if name != template}
    return Adjustments(adjustments.site, kept)


def shifted(adjustments: Adjustments, shift: SiteShift) -> Adjustments:
    """The adjustments with another shift of the site."""
    return Adjustments(shift, adjustments.template)


def laid_on(standing: Adjustments, before: Adjustments, after: Adjustments, file: str) -> Adjustments:
    """`standing`, with the values in which `after` differs from `before`.

    Raises PersonError, naming `file`, where one of these stands there otherwise than in both: somebody changed it.
    """
    clash = clashes(before, after, standing)
    if clash:
        what = f"{listed(clash)} {'has' if len(clash) == 1 else 'have'} been changed there meanwhile"
        raise located(file, what, remedy="Nothing was changed; look at what stands there now, and do it again.")
    return carried(before, after, standing)


def save(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: tuple[Template, ...],
    before: Adjustments,
    after: Adjustments,
    today: date,
    undoing: bool = False,
) -> None:
    """Write what changes from `before` to `after` into adjustments.toml as it stands: changed values only.

    Raises PersonError for a value or a template that cannot be, and for what somebody else has changed meanwhile. What
    the file holds of a template that has gone since stays, without effect.
    """
    file = folder.adjustments_path
    with alone_at(real_place(file)):
        standing = read_adjustments(file)
        laid = laid_on(standing, before, after, file.name)
        refuse_values(laid)
        known = {template.id for template in templates} | set(standing.template)
        for name in laid.template:
            if name not in known:
                raise PersonError(f'There is no template "{name}". `tendwork adjust` lists them.')
        if laid != after:  # what another changed beside it was not there when the change was looked at
            refuse_backwards(folder, almanac_cache, templates, standing, laid, today)
        write_adjustments(file, laid)
    if laid != standing:
        keep_act(folder, adjusted_words(standing, laid), standing, laid, undoing)


def absences(
    folder: OrchardFolder,
    almanac_cache: AlmanacCache,
    templates: tuple[Template, ...],
    adjustments: Adjustments,
    today: date,
) -> dict[str, str]:
    """For each template in force without a task this season, the condition that keeps its jobs away.

    Raises PersonError.
    """
    records = folder.records.read()
    held = almanac_cache.cached(records, adjustments.site, today)
    limits = site_limits_of(folder.site)
    season = season_of(today, limits.south)
    in_force = adjusted(templates, adjustments, known_here(folder, records, today))
    subjects = Subjects(Orchard(records, in_force, limits.south, today), held.ripening.of(records))
    anchors = Anchors(held.almanac, season)
    found = {template.id: absence(template, subjects, anchors, season) for template in in_force}
    return {name: why for name, why in found.items() if why}
