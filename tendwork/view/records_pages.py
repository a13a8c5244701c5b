"""The pages of records that the commands print: the wood with its balance, the fruit, and what takes."""

from __future__ import annotations

from datetime import date
from typing import Any

from tendwork.orchard.bloom_overlap import bloom_overlaps
from tendwork.orchard.records import Records
from tendwork.orchard.ripening import ripening, ripening_gaps, ripening_weeks
from tendwork.orchard.take_rates import INTERVAL, take_rates, trials
from tendwork.orchard.verdicts import cut_list, empty_places, suggestions
from tendwork.orchard.wood_balance import wood_balance
from tendwork.planning.work_bars import barred_on
from tendwork.view.json_shape import Shape, wood_shape
from tendwork.view.records_fruit import barred_fruit, bloom_text, places_text, ripening_text, verdicts_text
from tendwork.view.records_rows import json_rows
from tendwork.view.records_takes import TAKES_BY
from tendwork.view.records_wood import balance_text, bar_words, bundles_text
from tendwork.view.text import plain, wrapped
from tendwork.view.wood_table import bundles, wood_warnings
from tendwork.view.words import counted


def wood_page(records: Records, today: date, check_every_days: int | None, width: int, south: bool) -> str:
    """What presses, every bundle with its age and checks, and the balance of each variety."""
    if not records.wood and not any(graft.state == "planned" for graft in records.grafts):
        return "No wood is recorded yet. `tendwork bring wood.csv --as wood` brings it in."
    total = sum(bundle.sticks for bundle in records.wood)
    lines = [f"{counted(len(records.wood), 'bundle')}, {counted(total, 'stick')}"]
    for sentence in wood_warnings(records, today, bundles(records, today, check_every_days, south)):
        lines += wrapped(sentence, width, "! ")
    parts = [bundles_text(records, today, check_every_days, width, south)] if records.wood else []
    balances = wood_balance(records, today, barred_on(records, today, south))
    return "\n\n".join(["\n".join(lines), *parts, balance_text(balances, width)])


def wood_page_shape(records: Records, today: date, check_every_days: int | None, south: bool) -> Shape:
    """`wood --json`: the bundles, beside each its age and checks, the balances, and what presses."""
    held = bundles(records, today, check_every_days, south)
    beside = [
        {
            "state": bundle.state,
            "age_days": bundle.age.age_days,
            "days_left": bundle.age.days_left,
            "checks": json_rows(bundle.checks),
            "check_due": None if bundle.due is None else bundle.due.isoformat(),
            "barred": None if bundle.bar is None else bar_words(bundle.wood, bundle.bar, today),
        }
        for bundle in held
    ]
    wood = wood_shape(records)["wood"]
    return {
        "wood": [bundle | more for bundle, more in zip(wood, beside, strict=True)],
        "balance": json_rows(wood_balance(records, today, barred_on(records, today, south))),
        "warnings": list(wood_warnings(records, today, held)),
    }


def fruit_page(records: Records, today: date, south: bool, units: str, width: int) -> str:
    """What ripens when and the gaps, what the tastings speak for, what comes off and is free, what blooms together."""
    cut = "\n".join(
        line
        for graft in cut_list(records)
        for line in wrapped(plain(f"{graft.variety} ({graft.id}) on {graft.tree}"), width)
    )
    parts = (
        (
            "Ripe week by week",
            ripening_text(ripening(records, south), south, width, barred=barred_fruit(records, today, south)),
        ),
        ("On trial", verdicts_text(suggestions(records, today, south), width)),
        ("To cut", cut or "No graft is judged to be cut."),
        ("Places", places_text(empty_places(records), width, units)),
        ("Bloom", _known_bloom(records, width)),
    )
    return "\n\n".join(f"{name}\n{text}" for name, text in parts)


def fruit_shape(records: Records, today: date, south: bool) -> Shape:
    """`fruit --json`: spans, weeks and gaps of ripening, suggestions, grafts to cut, places, pairs in bloom."""
    spans = ripening(records, south)
    weeks = ripening_weeks(spans, south)
    return {
        "ripening": json_rows(spans),
        "weeks": json_rows(weeks),
        "gaps": json_rows(ripening_gaps(weeks, south)),
        "suggestions": json_rows(suggestions(records, today, south)),
        "to_cut": [graft.id for graft in cut_list(records)],
        "places": json_rows(empty_places(records)),
        "bloom": json_rows(bloom_overlaps(records)),
        "barred": json_rows(barred_fruit(records, today, south)),
    }


def rates_shape(records: Records) -> dict[str, Any]:
    """`rates --json`: for each thing that one can choose how many of those tried took, with the interval's name."""
    tried = trials(records)
    return {"interval": INTERVAL, **{by.replace(" ", "_"): json_rows(take_rates(tried, by)) for by in TAKES_BY}}


def _known_bloom(records: Records, width: int) -> str:
    """The pairs of which something is known, and of how many nothing is."""
    pairs = bloom_overlaps(records)
    known = [pair for pair in pairs if pair.verdict != "not known"]
    lines = [bloom_text(known, width)] if known or not pairs else []
    unknown = len(pairs) - len(known)
    return "\n".join([*lines, *([f"Of {counted(unknown, 'pair')} nothing is known."] if unknown else [])])
