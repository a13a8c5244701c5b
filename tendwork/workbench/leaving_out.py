"""Leaving a template out and taking it in again: for good, for one tree, for this season. No tick is touched."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from shlex import quote

import msgspec

from tendwork.almanac.seasons import season_of
from tendwork.errors import PersonError, nearest
from tendwork.folder.adjustments import read_adjustments, write_adjustments
from tendwork.folder.file_lock import alone_at
from tendwork.folder.files import real_place
from tendwork.folder.orchard_folder import OrchardFolder
from tendwork.orchard.records import Records
from tendwork.orchard.tree_names import TreesByWord, tree_names
from tendwork.orchard.wording import listed
from tendwork.plain_text import plain
from tendwork.planning.adjustments import Adjustment, Adjustments
from tendwork.planning.left_out import OF_TREES, LeftOutLine, left_out_lines, lines_of, taken_in, without
from tendwork.planning.vocabulary import LeftOut, Template
from tendwork.view.left_out import all_left_out_words, left_out_sentence
from tendwork.workbench.adjusting import changed
from tendwork.workbench.adjustment_acts import keep_act
from tendwork.workbench.known_here import known_here

_NOTHING_CHANGED = "Nothing was changed."


def all_left_out(folder: OrchardFolder, templates: tuple[Template, ...], today: date) -> tuple[LeftOutLine, ...]:
    """What is left out now, by default and by the person. Raises PersonError."""
    seen = known_here(folder, folder.records.read(), today)
    season = season_of(today, folder.site.south).name
    return left_out_lines(templates, read_adjustments(folder.adjustments_path), seen, season)


def leave_out(
    folder: OrchardFolder, templates: tuple[Template, ...], name: str, tree: str, this_season: bool, today: date
) -> str:
    """Leave a template out and say so; `tree` is an id or a name, "" for all. Raises PersonError, changing nothing."""
    records, template = folder.records.read(), _named(templates, name)
    identity = _tree_of(records, tree)
    if identity and template.each not in OF_TREES:
        raise PersonError(
            f"{_called(template)} is no job of single trees: leave it out for this season, or for good, for all. "
            f"{_NOTHING_CHANGED}"
        )
    season = season_of(today, folder.site.south).name
    entry = LeftOut(identity, season if this_season else None, today)
    known = known_here(folder, records, today)
    unasked = bool(template.unasked(known))

    def leave(now: Adjustment) -> Adjustment:
        after = without(now, entry, unasked)
        if after == now or (unasked and not now.asked):
            said = all_left_out_words(lines_of(template, now, known, season), tree_names(records.trees), today)
            raise PersonError(f"{_called(template)} is left out already. {said} {_NOTHING_CHANGED}")
        return after

    whom = f" for {plain(tree_names(records.trees)[identity])}" if identity else ""
    span = f"in season {season}" if this_season else "for good"
    words = f"left out{whom} {span}: {plain(template.title)}"
    before, after = _write(folder, template, leave)
    keep_act(folder, words, before, after)
    return f"{words[:1].upper()}{words[1:]}."


def take_in(
    folder: OrchardFolder, templates: tuple[Template, ...], name: str, tree: str, today: date, undoing: bool = False
) -> str:
    """Bring a template back and say so; `tree` is an id or a name, "" for all. Raises PersonError, changing nothing."""
    records, template = folder.records.read(), _named(templates, name)
    names, season = tree_names(records.trees), season_of(today, folder.site.south).name
    known = known_here(folder, records, today)
    unasked = bool(template.unasked(known))
    found: list[str] = []

    def take(now: Adjustment) -> Adjustment:
        lines = lines_of(template, now, known, season)
        identity = _tree_of(records, tree, [entry.tree for entry in now.left_out])
        whole = [line for line in lines if not line.tree]
        if identity and whole:
            said = all_left_out_words(whole, names, today)
            raise PersonError(
                f"{_called(template)} cannot come back for one tree, as it is out for all. {said} "
                f"`tendwork take-in {template.id}` brings it back for all. {_NOTHING_CHANGED}"
            )
        after = taken_in(now, identity, unasked, today)
        if after == now:
            whom = f" for {plain(names.get(identity, identity))}" if identity else ""
            raise PersonError(f"{_called(template)} is not left out{whom}. {_NOTHING_CHANGED}")
        found.append(identity)
        return after

    before, after = _write(folder, template, take)
    whom = f" for {plain(names.get(found[0], found[0]))}" if found[0] else ""
    words = f"taken in again{whom}: {plain(template.title)}"
    keep_act(folder, words, before, after, undoing)
    now = after.template.get(template.id, Adjustment())
    left = left_out_sentence(lines_of(template, now, known, season), names, today)
    return " ".join(part for part in (f"{words[:1].upper()}{words[1:]}.", left) if part)


def why_not_there(folder: OrchardFolder, templates: tuple[Template, ...], key: str, today: date) -> str:
    """Why there is no task with this key, where its template is left out; empty where that is not the reason."""
    name, _, rest = key.partition("/")
    template = next((held for held in templates if held.id == name), None)
    if template is None:
        return ""
    subject, _, year = rest.partition("/")
    records, season = folder.records.read(), season_of(today, folder.site.south).name
    known = known_here(folder, records, today)
    now = read_adjustments(folder.adjustments_path).template.get(name, Adjustment())
    written = year.partition(".")[0]
    asked = int(written) if re.fullmatch(r"\d{4}", written) else season
    lines = [
        line
        for line in lines_of(template, now, known, season)
        if line.tree in ("", subject) and line.season in (None, asked)
    ]
    if not lines:
        return ""
    said = all_left_out_words(lines, tree_names(records.trees), today)
    option = "" if any(not line.tree for line in lines) else f" --tree {quote(subject)}"
    back = f"`tendwork take-in {name}{option}` brings it back."
    return f"There is no job {key}: {_called(template)} is left out. {said} {back}"


def _write(
    folder: OrchardFolder, template: Template, change: Callable[[Adjustment], Adjustment]
) -> tuple[Adjustments, Adjustments]:
    """Change what the file says of one template as it stands now, whole or not at all; what it said and says."""
    file = folder.adjustments_path
    with alone_at(real_place(file)):
        standing: Adjustments = read_adjustments(file)
        change_to = change(standing.template.get(template.id, Adjustment()))
        after = changed(standing, template.id, msgspec.structs.asdict(change_to))
        write_adjustments(file, after)
    return standing, after


def _named(templates: tuple[Template, ...], name: str) -> Template:
    known = {template.id: template for template in templates}
    if name not in known:
        raise PersonError(f'There is no template "{name}". {nearest(name, known) if name else ""}'.rstrip())
    return known[name]


def _tree_of(records: Records, word: str, gone: list[str] | None = None) -> str:
    """The id of the tree that a word means, "" for none; `gone` are trees that may be no more. Raises PersonError."""
    if not word or word in (gone or ()):
        return word
    meant = TreesByWord(records.trees).meant(word)
    if len(meant) > 1:
        raise PersonError(f'"{word}" may mean {listed(meant)}. Write the id of the one you mean. {_NOTHING_CHANGED}')
    if not meant:
        near = nearest(word, [tree.id for tree in records.trees]) if records.trees else "No tree is recorded."
        raise PersonError(f'There is no tree "{word}". {near} {_NOTHING_CHANGED}')
    return meant[0]


def _called(template: Template) -> str:
    return f'"{plain(template.title)}" ({template.id})'
