"""Which cautions stand beside a job. They are worked out from the work, never listed: a list has holes.

What is in the hand (the table of tools), how high the work is, what is done, and the weather of its days each bring
their cards. A height that nobody recorded is not low: its cards stand "if you leave the ground". A template names only
what none of this implies.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Literal

from msgspec import Struct

from tendwork.orchard.wording import listed
from tendwork.planning.results import Caution, Unit, each_once
from tendwork.planning.vocabulary import Template, Tool
from tendwork.planning.work_weather import Asked

IF_YOU_LEAVE = "if you leave the ground"
OTHER_TOOL = "other-tool"
_NAMED = 2  # so many units are named where a reason is about them
_WIPES, _BLEACH, _EYES = "alcohol wipes", "bleach mix", "eye protection"
_CARE_PARTS = ("wood", "preparing", "grafting", "second chance", "pruning", "fruit")

Height = Literal["low", "above", "unknown"]


class Work(Struct, frozen=True):
    """What the rules look at: the template, its `tools`, the units that are still to do, and the days' weather.

    `in_leaf`: the job's days touch the time from green tip to leaf fall, or nobody knows.
    """

    template: Template
    tools: tuple[Tool, ...]
    units: tuple[Unit, ...]
    reach_m: float
    asked: tuple[Asked, ...] = ()
    in_leaf: bool = True

    @property
    def height(self) -> Height:
        """How high the work may go."""
        return height_of(self.units)

    @property
    def is_outdoors(self) -> bool:
        return self.template.work_at != "indoors"

    def used_for(self, use: str) -> Tool | None:
        """The first tool that is used so."""
        return next((tool for tool in self.tools if use in tool.uses), None)


def height_of(units: Iterable[Unit]) -> Height:
    """How high the work on these units may go: the highest of them decides, and unknown stands above low."""
    height: Height = "low"
    for unit in units:
        if unit.above_reach:
            return "above"
        if unit.height_unknown:
            height = "unknown"
    return height


def tools_of(
    template: Template, table: Mapping[str, Tool], may_be_aloft: bool = False, blighted: bool = False
) -> tuple[Tool, ...]:
    """What to take: the template's tools and what goes with them, once each; one that no table has brings its own card.

    A blade that cuts wood needs something to clean it: alcohol, or bleach where fire blight was seen, since alcohol
    kills some of it but not all (Iowa State University Extension, University of Minnesota Extension).
    """
    found: dict[str, Tool] = {}

    def take(name: str) -> None:
        names = [name]
        while names:
            tool = _tool_named(names.pop(0), table)
            if tool.id not in found:
                found[tool.id] = tool
                names = [*tool.bring, *names]

    for name in template.tools:
        take(name)
    for tool in tuple(found.values()) if may_be_aloft else ():
        for name in tool.aloft:
            take(name)
    cuts = any("cuts wood" in tool.uses for tool in found.values())
    if cuts and not any("cleans blades" in tool.uses for tool in found.values()):
        take(_WIPES)
    if blighted and found.pop(_WIPES, None) is not None:
        take(_BLEACH)
    if cuts and may_be_aloft:
        take(_EYES)
    return tuple(found.values())


def _tool_named(name: str, table: Mapping[str, Tool]) -> Tool:
    """The tool of that name, in whatever capitals; one that no table has brings a card that says so."""
    return table.get(name) or table.get(name.strip().casefold()) or Tool(name, (OTHER_TOOL,) if table else ())


def cautions_of(work: Work) -> tuple[Caution, ...]:
    """Each caution of the work once, what can kill first."""
    return each_once((*aloft_too(work), *on_the_ground(work)))


def on_the_ground(work: Work) -> Iterator[Caution]:
    """What its work asks wherever it is done; which units it is about makes no difference."""
    yield from _in_the_hand(work)
    yield from _done(work)
    yield from (Caution(card, "its template names it") for card in work.template.cautions)
    if work.is_outdoors:
        yield from (Caution(asked.card, asked.because, by_season=asked.by_season) for asked in work.asked)
    if _touches_sprays(work):
        yield Caution("sprays", "what you work among may have been sprayed")


def aloft_too(work: Work) -> Iterator[Caution]:
    """What never goes up a ladder, and then the ladder, so that nobody reads first how to stand for such work."""
    if work.height == "low":
        return
    known = work.height == "above"
    units = [unit for unit in work.units if (unit.above_reach if known else unit.height_unknown)]
    only = "" if known else IF_YOU_LEAVE
    reach = f"above your reach of {work.reach_m:g} m"
    names = _names(units, work.template.each)
    because = f"{names} {'is' if len(units) == 1 else 'are'} {reach}" if known else f"no height is noted of {names}"
    if not known and (work.template.each == "variety" or work.template.work_at == "limb"):
        because = f"it may be {reach}, and no height is noted that says otherwise"
    if (saw := work.used_for("saws")) is not None:
        yield Caution("saw-aloft", f"you take the {saw.id}, and {because}", only)
    elif (pole := work.used_for("reaches up")) is not None:
        yield Caution("saw-aloft", f"the {pole.id} is for work from the ground, and {because}", only)
    if (tool := work.used_for("needs both hands")) is not None:
        yield Caution("both-hands", f"work with the {tool.id} needs both hands, and {because}", only)
    yield Caution("ladder", because, only)
    yield Caution("power-lines", "a ladder is put up", only)
    if (blade := work.used_for("cuts wood")) is not None:
        yield Caution("eyes", f"you cut overhead with the {blade.id}", only)


def _in_the_hand(work: Work) -> Iterator[Caution]:
    for tool in work.tools:
        asks = next((other.id for other in work.tools if tool.id in other.bring), "")
        because = f"{tool.id} goes with the {asks}" if asks else f"you take the {tool.id}"
        yield from (Caution(card, because) for card in tool.cautions)
    cards = {card for tool in work.tools for card in tool.cautions}
    if {"hot-wax", "alcohol"} <= cards:
        yield Caution("alcohol-near-wax", "you take both alcohol and wax")


def _done(work: Work) -> Iterator[Caution]:
    blade = work.used_for("cuts wood")
    if blade is not None:
        yield Caution("clean-blades", f"you cut living wood with the {blade.id}")
    if "takes wood" in work.template.acts:
        yield Caution("plant-health", "you take wood or buds from a tree")
    if "carries wood" in work.template.acts:
        yield Caution("plant-health", "wood goes from one garden to another")
    if "lifts" in work.template.acts:
        yield Caution("lifting", "there is something heavy to lift or carry")


def _touches_sprays(work: Work) -> bool:
    """Whether it is work in or under trees: what is done to them at any time, the rest while they are in leaf."""
    template = work.template
    if not work.is_outdoors or template.each == "wood" or template.part == "planning":
        return False
    return template.part in _CARE_PARTS or work.in_leaf


def _names(units: Sequence[Unit], each: str) -> str:
    """ "Clapp (g3)", "Clapp (g3), Fiesta (g4) and 3 more"; what is no graft has its name alone."""
    names = [f"{unit.label} ({unit.id})" if each == "graft" else unit.label for unit in units]
    more = len(names) - _NAMED
    return listed(names) if more <= 0 else listed([*names[:_NAMED], f"{more} more"])
