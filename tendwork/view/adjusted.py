"""Templates, what is adjusted in them, and what a change would move: as words and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import groupby
from typing import Any

import msgspec

from tendwork.planning.adjustments import Adjustment, Adjustments, SiteShift
from tendwork.planning.adjustments import words as adjustment_words
from tendwork.planning.preview import Loss, Move, Preview
from tendwork.planning.vocabulary import PARTS, STAKES, Template
from tendwork.view.text import padded, plain, wrapped
from tendwork.view.words import counted, span_words

_NONE: dict[str, str] = {}


def adjustments_text(
    adjustments: Adjustments,
    templates: Iterable[Template],
    absences: Mapping[str, str],
    width: int,
    left_out: Mapping[str, str] = _NONE,
) -> str:
    """Every template by part of the year, with what is adjusted in it and what keeps its jobs away this season.

    `left_out` says by template what is left out of it.
    """
    lines = wrapped(shift_sentence(adjustments.site), width)
    lines += wrapped(f"Beside each rule what is at stake if its job is missed: {', '.join(STAKES)}, ? unsaid.", width)
    ordered = sorted(templates, key=lambda template: PARTS.index(template.part))
    for part, group in groupby(ordered, key=lambda template: template.part):
        lines += ["", part.capitalize()]
        for template in group:
            change = adjustments.template.get(template.id, Adjustment())
            stake = template.at_stake or "?"
            lines.append(f"  {padded(template.id, 26)} {padded(stake, 6)} {plain(template.title)}")
            out = left_out.get(template.id, "Left out." if change.off else "")
            for sentence in (out, adjustment_words(change), absences.get(template.id, "")):
                lines += wrapped(sentence, width, "      ") if sentence else []
    return "\n".join(lines)


def shift_sentence(shift: SiteShift) -> str:
    """How the site is set against its temperatures."""
    for value, low, high, unit in (
        (shift.degrees_c, "warmer than", "colder than", "°C"),
        (shift.elevation_m, "lower than", "higher than", "m"),
        (shift.days, "ahead of what", "behind what", "days"),
    ):
        if value is not None:
            amount = f"{abs(value):g} {unit.removesuffix('s') if abs(value) == 1 else unit}"
            return f"The site is taken as {amount} {high if value >= 0 else low} its temperatures say."
    return "The site's shift is the one of site.toml."


def preview_text(preview: Preview, width: int) -> str:
    """A table of every window that moves: before, after, by how many days, and what enters or leaves this week."""
    if not preview.moves:
        return "No window of this season moves."
    lines = [f"{counted(len(preview.moves), 'window')} of this season would move."]
    if preview.losses:
        lines += wrapped(losses_sentence(preview.losses), max(width - 1, 40))
    for move in preview.moves:
        lines.append(
            padded(f"  {plain(move.title)}, {plain(move.place) or 'the orchard'}", max(width - 1, 40)).rstrip()
        )
        before, after = ends_words(move)
        lines.append(f"      {before} -> {after}{by_words(move)}{week_words(move)}")
    return "\n".join(lines)


def ends_words(move: Move) -> tuple[str, str]:
    """The window before and after the change."""
    absent = "not there" if move.gone else "out of sight"
    before = "not there" if move.before is None else span_words(*move.before)
    return before, absent if move.after is None else span_words(*move.after)


def losses_sentence(losses: Iterable[Loss]) -> str:
    """ "This takes jobs away: Choose varieties (the only one), Rub off shoots (1 of its 4)."; empty where none."""
    said = [f"{plain(loss.title)} ({_gone_words(loss)})" for loss in losses]
    return f"This takes jobs away: {', '.join(said)}." if said else ""


def unmeant(losses: Iterable[Loss]) -> tuple[Loss, ...]:
    """The losses to ask about: jobs that go although their template is not left out."""
    return tuple(loss for loss in losses if not loss.left_out)


def _gone_words(loss: Loss) -> str:
    if loss.left:
        return f"{loss.gone} of its {loss.gone + loss.left}"
    return "the only one" if loss.gone == 1 else f"all {loss.gone}"


def by_words(move: Move) -> str:
    """By how many days its opening moves."""
    if move.days is None:
        return ""
    if move.days == 0:
        return ", opens the same day"
    return f", {counted(abs(move.days), 'day')} {'later' if move.days > 0 else 'earlier'}"


def week_words(move: Move) -> str:
    """Whether it enters or leaves this week."""
    return f", {move.week} this week" if move.week else ""


def preview_shape(preview: Preview, saved: bool) -> dict[str, Any]:
    """`adjust --json` with a change."""
    return {
        "saved": saved,
        "moves": [msgspec.to_builtins(move) for move in preview.moves],
        "losses": [msgspec.to_builtins(loss) for loss in preview.losses],
    }


def adjustments_shape(
    adjustments: Adjustments,
    templates: Iterable[Template],
    absences: Mapping[str, str],
    left_out: Mapping[str, str] = _NONE,
) -> dict[str, Any]:
    """`adjust --json` without a change."""
    return {
        "adjustments": msgspec.to_builtins(adjustments),
        "templates": [
            {
                "id": item.id,
                "title": item.title,
                "part": item.part,
                "stake": item.at_stake,
                "loss": item.loss,
                "absent": absences.get(item.id, ""),
                "left_out": left_out.get(item.id, ""),
            }
            for item in templates
        ],
    }
