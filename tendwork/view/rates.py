"""What one's own grafts say about what takes, as plain text and as JSON."""

from __future__ import annotations

from typing import Any

from tendwork.orchard.records import Records
from tendwork.orchard.take_rates import INTERVAL, Trial, rate_words, take_rates, trials
from tendwork.view.json_shape import json_rows
from tendwork.view.text import padded, plain, wrapped

TAKES_BY = ("species", "method", "wrap", "week", "wood age")


def takes_text(tried: tuple[Trial, ...], width: int) -> str:
    """A table for each thing that one can choose, and the name of the interval."""
    if not tried:
        return "No graft is known to have taken or failed yet. Tick the take checks."
    lines = []
    for by in TAKES_BY:
        rates = take_rates(tried, by)
        lines += [f"By {by}", *(f"  {padded(plain(rate.of), 20)}  {rate_words(rate)}" for rate in rates), ""]
    note = f"In brackets the {INTERVAL}: where the true rate lies, as far as so few grafts can say."
    return "\n".join([*lines, *wrapped(note, width)])


def rates_shape(records: Records) -> dict[str, Any]:
    """`rates --json`: for each thing that one can choose how many of those tried took, with the interval's name."""
    tried = trials(records)
    return {"interval": INTERVAL, **{by.replace(" ", "_"): json_rows(take_rates(tried, by)) for by in TAKES_BY}}
