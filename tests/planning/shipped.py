"""The shipped templates, cards and tools, and who of them speaks of a graft."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import msgspec

from tendwork.planning.vocabulary import TemplateFile

FOLDER = Path(__file__).parents[2] / "task_templates"
FILES = sorted(FOLDER.glob("*.toml"))
SPRING_METHODS = ("whip and tongue", "splice", "cleft", "bark", "side", "bridge")
BUD_METHODS = ("chip bud", "T-bud")
BENCH = "bench graft"
"""Jobs that it shares with other grafts name it beside their methods."""
WRAPS = (
    "budding rubber",
    "film",
    "PVC tape",
    "electrical tape",
    "polyethylene strip",
    "splicing tape",
    "masking tape",
    "raffia",
    "cloth",
    "string",
    "unknown",
)


@cache
def read(file: Path) -> TemplateFile:
    """What a file holds. One with a wrong word is named, before any test runs."""
    try:
        return msgspec.convert(tomllib.loads(file.read_text(encoding="utf-8")), TemplateFile)
    except (msgspec.ValidationError, tomllib.TOMLDecodeError) as fault:
        raise ValueError(f"task_templates/{file.name}: {fault}") from fault


TEMPLATES = [template for file in FILES for template in read(file).template]
CARDS = [card for file in FILES for card in read(file).card]
TOOLS = [tool for file in FILES for tool in read(file).tool]


def fits(words: tuple[str, ...] | None, word: str) -> bool:
    return words is None or word in words


def chosen(species: str, state: str, method: str, wrap: str = "") -> list[str]:
    """The ids of the graft templates that speak of such a graft, whatever its age."""
    return [
        t.id
        for t in TEMPLATES
        if t.each == "graft"
        and fits(t.where.species, species)
        and fits(t.where.state, state)
        and fits(t.where.method, method)
        and (t.where.wrap is None or wrap in t.where.wrap)
    ]


def offering(outcome: str, ids: list[str]) -> list[str]:
    return [t.id for t in TEMPLATES if t.id in ids and outcome in t.outcomes]
