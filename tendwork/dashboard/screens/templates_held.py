"""What the Templates screen shows: read whole from the workbench, and put into rows and a panel's lines."""

from __future__ import annotations

from datetime import date

from msgspec import Struct

from tendwork.almanac.seasons import Season, season_of
from tendwork.dashboard.screens.templates_draft import Draft
from tendwork.dashboard.screens.templates_fields import fields_of, in_force, site_fields
from tendwork.dashboard.widgets.template_list import SITE_ROW, TEMPLATE_STYLES
from tendwork.dashboard.widgets.template_panel import Shown
from tendwork.orchard.tree_names import tree_names
from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.planning.adjustments import words as adjustment_words
from tendwork.planning.vocabulary import Template
from tendwork.view.left_out import said_of_each
from tendwork.view.stake_words import missed_words
from tendwork.view.template_rows import (
    LeftOutSaid,
    TemplateGroup,
    TemplateRow,
    TemplateState,
    shift_words,
    states_of,
    template_groups,
)
from tendwork.view.template_words import (
    effort_words,
    laid_over,
    rounds_words,
    template_text,
    units_words,
    window_words,
    wish_words,
)
from tendwork.view.words import in_units
from tendwork.workbench.bench import Workbench

_SITE_ABOUT = (
    "The place against its temperatures. Colder, higher or behind moves the buds and the heat; what hangs on the "
    "calendar stays. One of the three counts: changing another lets go of it."
)


class Held(Struct, frozen=True):
    """The templates as written, what is adjusted, why some are absent this season, and `own`, site.toml's shift.

    `seen` is what is known of the place, as `unless_seen` may name it, `trees` the names of the trees by their ids.
    """

    templates: tuple[Template, ...] = ()
    adjustments: Adjustments = Adjustments()
    absences: dict[str, str] = {}
    own: SiteShift = SiteShift()
    season: Season = Season(0)
    units: str = "metric"
    seen: frozenset[str] = frozenset()
    trees: dict[str, str] = {}
    today: date = date.min

    def left_out(self, now: Adjustments) -> dict[str, LeftOutSaid]:
        """What is left out of each template, as `now` has it."""
        return said_of_each(self.templates, now, self.seen, self.season.name, self.trees, self.today)

    def is_unasked(self, template: Template) -> bool:
        """Whether a template is left out by its own rule, unless it is asked for."""
        return bool(template.unasked(self.seen))


def read_held(bench: Workbench, today: date) -> Held:
    """Read them; may take a moment. Raises PersonError."""
    site, colder, records = bench.site, bench.site.colder_by, bench.records.read()
    return Held(
        bench.templates.loaded().templates,
        bench.templates.adjustments(),
        bench.plan.absences(today),
        SiteShift() if colder is None else SiteShift(colder.degrees_c, colder.elevation_m, colder.days),
        season_of(today, site.south),
        site.units,
        bench.templates.known_here(today),
        tree_names(records.trees),
        today,
    )


def groups(held: Held, draft: Draft, words: str, only_left_out: bool = False) -> tuple[TemplateGroup, ...]:
    """The templates that have the person's words in them, as the draft adjusts them."""
    said = held.left_out(draft.now)
    return template_groups(
        held.templates, draft.saved, draft.now, held.absences, held.season, words, said, only_left_out
    )


def site_words(held: Held, draft: Draft) -> str:
    """The site against its temperatures, as the draft has it: "1.5 °C colder"; empty for no shift."""
    return shift_words(in_force(draft.now.site, held.own), held.units)


def _site_sentence(held: Held, draft: Draft) -> str:
    said = site_words(held, draft)
    return f"This site is {f'{said} than its temperatures' if said else 'as its temperatures say'}."


def site_row(held: Held, draft: Draft) -> TemplateRow:
    """The row of the site's shift."""
    states: list[TemplateState] = ["unsaved"] if draft.now.site != draft.saved.site else []
    states += ["adjusted"] if draft.now.site != SiteShift() else []
    waits_for = site_words(held, draft) or "as its temperatures say"
    return TemplateRow(SITE_ROW, "This site, colder or warmer", waits_for, tuple(states) or ("kept",), "")


def shown_site(held: Held, draft: Draft) -> Shown:
    """The panel of the site's shift."""
    about = [(_site_sentence(held, draft), "bold"), (_SITE_ABOUT, "")]
    if draft.now.site != draft.saved.site:
        about.insert(0, ("Not saved yet.", TEMPLATE_STYLES["unsaved"]))
    return Shown(SITE_ROW, tuple(about), site_fields(draft.now.site, held.own, held.units), ())


def shown_template(held: Held, draft: Draft, template: Template) -> Shown:
    """The panel of a template."""
    change = draft.now.template.get(template.id, Adjustment())
    laid, condition = laid_over(template, change), held.absences.get(template.id, "")
    left_out = held.left_out(draft.now).get(template.id, LeftOutSaid())
    states = states_of(template.id, draft.saved, draft.now, bool(condition), left_out.whole)
    lines = [
        ("Not saved yet." if "unsaved" in states else "", TEMPLATE_STYLES["unsaved"]),
        (left_out.words, "bold"),
        (in_units(adjustment_words(change), held.units), TEMPLATE_STYLES["adjusted"]),
        (f"Absent this season: {condition}" if "absent" in states else "", "bold"),
        (f"F{window_words(laid, held.season)[1:]}.", ""),
        (f"For {units_words(laid, held.units)}.", ""),
        (f"Wants {wish_words(laid, held.units)}; takes {effort_words(laid.effort, laid.each)}.", ""),
        (f"Comes {rounds_words(laid.repeats, held.season)}." if laid.repeats else "", ""),
        (f"If missed: {missed_words(laid.at_stake, laid.loss)}.", ""),
    ]
    below = [f"Note: {template.note}"] if template.note else []
    fields = fields_of(template, change, held.season, held.units, held.is_unasked(template))
    return Shown(template.id, tuple(line for line in lines if line[0]), fields, (*below, f"Source: {template.source}."))


def text_of(held: Held, draft: Draft, template: Template | None, columns: int) -> str:
    """A template, or the site's shift for None, as text to copy."""
    if template is None:
        return _site_sentence(held, draft)
    change = draft.now.template.get(template.id, Adjustment())
    said = held.left_out(draft.now).get(template.id, LeftOutSaid())
    return "\n".join(
        part
        for part in (
            template_text(laid_over(template, change), held.season, held.units, columns),
            f"  {said.words}" if said.words else "",
        )
        if part
    )
