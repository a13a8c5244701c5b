"""Task templates, cards and tools: the shipped ones, and the person's own laid over them by id (own_rules.py)."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import msgspec
from msgspec import Struct

from tendwork.errors import PersonError, located, nearest
from tendwork.folder.data_files import TASK_TEMPLATES, data_folder
from tendwork.folder.files import read_text, real_place
from tendwork.folder.loaded_templates import LoadedTemplates, Place
from tendwork.folder.own_rules import sheds, stricter
from tendwork.folder.template_checks import allowed_words, card_faults, template_faults, tool_faults, unknown_keys
from tendwork.folder.toml_text import first_few, line_of, parse_toml, shape_fault
from tendwork.planning.vocabulary import STAKES, Card, Template, TemplateFile, Tool

_LAID_OVER = {
    "template": "replaces the shipped template; the cautions and tools of that one stay",
    "card": "adds to the shipped card, whose title and words stay",
    "tool": "adds to the shipped tool, whose cautions stay",
}


class _Placed(Struct, frozen=True):
    item: Template | Card | Tool
    place: Place

    def over(self, shipped: _Placed) -> _Placed:
        """This one of the person's own, with every caution of the shipped one still in it."""
        return msgspec.structs.replace(self, item=stricter(shipped.item, self.item))


def load_templates(own: Path | None, shipped: Path | None = None) -> LoadedTemplates:
    """The templates of the folder `own` laid over the shipped ones. Raises PersonError with the first few faults."""
    loaded, faults = check_templates(own, shipped)
    if faults:
        raise PersonError(first_few(faults))
    return loaded


def check_templates(own: Path | None, shipped: Path | None = None) -> tuple[LoadedTemplates, tuple[str, ...]]:
    """What could be read, and every fault of every file, one sentence each, with file, line and key."""
    faults: list[str] = []
    warnings: list[str] = []
    in_force: dict[tuple[str, str], _Placed] = {}
    mine: dict[tuple[str, str], _Placed] = {}
    for folder, is_own in ((shipped or data_folder(TASK_TEMPLATES), False), (own, True)):
        layer = _read_folder(folder, is_own, faults) if folder is not None else {}
        if is_own:
            laid_over = {key: placed for key, placed in layer.items() if key in in_force}
            for key, placed in laid_over.items():
                over = sheds(in_force[key].item, placed.item)
                faults += [placed.place.fault(what, remedy, (name,)) for name, what, remedy in over]
            warnings += [f'{placed.place.file}: "{key[1]}" {_LAID_OVER[key[0]]}' for key, placed in laid_over.items()]
            mine = layer = layer | {key: placed.over(in_force[key]) for key, placed in laid_over.items()}
        in_force |= layer
    cards = {placed.item.id: placed.item for placed in in_force.values() if isinstance(placed.item, Card)}
    tools = {placed.item.id: placed.item for placed in in_force.values() if isinstance(placed.item, Tool)}
    templates = []
    for placed in in_force.values():
        where = (placed.place.table, placed.place.index)
        if isinstance(placed.item, Template):
            templates.append(placed.item)
            faults += template_faults(placed.item, cards, placed.place.text, placed.place.file, where)
            warnings += _unknown_tools(placed.item, tools, placed)
            warnings += _unknown_jobs(placed.item, [name for table, name in in_force if table == "template"], placed)
            if placed.item.at_stake is None and mine.get((placed.place.table, placed.item.id)) is placed:
                warnings.append(_unsaid_stake(placed))
        elif isinstance(placed.item, Tool):
            faults += tool_faults(placed.item, cards, tools, placed.place.text, placed.place.file, where)
    own_places = {placed.item.id: placed.place for placed in mine.values() if isinstance(placed.item, Template)}
    return LoadedTemplates(tuple(templates), cards, tools, tuple(warnings), own_places), tuple(faults)


def _unknown_tools(template: Template, tools: dict[str, Tool], placed: _Placed) -> list[str]:
    """A sentence for each tool that no table has: its cautions are not known, which is not the same as none."""
    said = []
    for name in template.tools:
        if name not in tools and name.strip().casefold() not in tools:
            what = f'"{name}" stands in no table of tools, so its cautions are not known'
            add = f'Add [[tool]] with id = "{name}" and its cautions, an empty list where it needs none.'
            near = nearest(name, tools)
            remedy = f"{near} Or add" + add.removeprefix("Add") if near.startswith("Did") else add
            said.append(placed.place.fault(what, remedy, ("tools",)))  # its line is searched only now: it is slow
    return said


def _unknown_jobs(template: Template, known: list[str], placed: _Placed) -> list[str]:
    """A sentence for each job that no template has: it is never ticked, so it never lets a tree in."""
    any_of = template.where.any_of
    jobs = () if any_of is None or any_of.ticked is None else any_of.ticked.jobs
    path = ("where", "any_of", "ticked", "jobs")
    what = "is no template, so it lets no tree in"
    return [placed.place.fault(f'"{job}" {what}', nearest(job, known), path) for job in jobs if job not in known]


def _unsaid_stake(placed: _Placed) -> str:
    """The hint about a rule of the person's own that does not say what is lost: unknown is not little."""
    what = "does not say what is lost if the job is missed, so it is ordered as if this year's chance were"
    remedy = (
        f"Write one of {', '.join(STAKES)}, and loss = the same in a few words that follow "
        '"or", such as "the tape cuts in".'
    )
    place = placed.place
    line = line_of(place.text, (place.table, place.index, "id"))
    return str(located(place.file, what, line=line, key="template.stake", remedy=remedy))


def _read_folder(folder: Path, is_own: bool, faults: list[str]) -> dict[tuple[str, str], _Placed]:
    """All tables of a folder's files by (table, id); their faults are appended to `faults`."""
    layer: dict[tuple[str, str], _Placed] = {}
    try:
        real_place(folder)
    except PersonError as error:
        faults.append(str(error))
    for path in sorted(folder.glob("*.toml")):
        name = f"{folder.name}/{path.name}"
        try:
            text = read_text(path, name)
            document = parse_toml(text, name)
        except PersonError as error:
            faults.append(str(error))
            continue
        for placed in _read_document(document, text, name, faults):
            key = (placed.place.table, placed.item.id)
            earlier = layer.get(key)
            if earlier is not None:
                remedy = "Give one of them another id." if is_own else ""
                faults.append(placed.place.fault(f'"{key[1]}" stands in {earlier.place.file} already', remedy))
            else:
                layer[key] = placed
    return layer


def _read_document(document: dict[str, Any], text: str, file: str, faults: list[str]) -> list[_Placed]:
    faults += unknown_keys(document, TemplateFile, text, file, ())
    found: list[_Placed] = []
    kinds: tuple[tuple[str, type[Template] | type[Card] | type[Tool]], ...] = (
        ("template", Template),
        ("card", Card),
        ("tool", Tool),
    )
    for table, kind in kinds:
        entries = document.get(table, [])
        if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
            faults.append(
                str(located(file, f"must be written as [[{table}]]", line=line_of(text, (table,)), key=table))
            )
            continue
        for index, entry in enumerate(entries):
            try:
                item: Template | Card | Tool = msgspec.convert(entry, kind)
            except msgspec.ValidationError as error:
                faults.append(str(shape_fault(text, file, (table, index), error, allowed_words(error))))
                continue
            placed = _Placed(item, Place(file, text, table, index))
            if isinstance(item, Card):
                faults += card_faults(item, text, file, (table, index))
            found.append(placed)
    return found
