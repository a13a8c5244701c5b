"""What is at stake in the shipped jobs, against what is published about missing them; each source beside its row."""

from __future__ import annotations

import pytest

from tendwork.folder.templates import load_templates
from tendwork.planning.vocabulary import STAKES

TEMPLATES = {template.id: template for template in load_templates(None).templates}

PUBLISHED = (
    ("bridge-gnawed-bark", "tree", "USDA Leaflet 508: a trunk girdled all round dies unless it is bridged"),
    ("see-to-gnawed-bark", "tree", "USDA Leaflet 508: a trunk girdled all round dies unless it is bridged soon"),
    ("after-storm", "graft", "veredeln.info, undated: a union broke in a summer storm at its first crop"),
    ("check-unions", "graft", "University of Kentucky, undated: unions break as trees begin to bear"),
    ("bridge-again", "tree", "USDA Leaflet 508: where a bridge fails, inarch suckers or seedlings"),
    (
        "fire-blight-watch",
        "tree",
        "WSU, Pruning fire blight, 2023: untreated trees died in New York, treated ones lived",
    ),
    ("fit-guards", "tree", "Dane County Extension teaching garden, 2019; PennLive, 2011: girdled by voles"),
    ("wraps-tape-pome", "graft", "tomtheappleman.co.uk, undated: a forgotten season of tape; growingfruit.org 4208"),
    ("wraps-raffia-cloth", "graft", "C. Baltet, L'art de greffer, p. 328: off before leaf fall, or it has strangled"),
    ("cut-bud-ties", "graft", "C. Baltet, L'art de greffer, p. 328"),
    ("wraps-film", "little", "growingfruit.org, Three Months After Spring Grafting: film weathers away by itself"),
    ("brace-grafts", "graft", "growingfruit.org 36107: apricot grafts snapped in a storm once the braces were off"),
    ("check-seals", "graft", "OMAFRA Factsheet 98-005, 1998: look for cracks twice in the first days"),
    ("rub-off-weekly", "graft", "Home Orchard Society, Grafting aftercare: stock growth starves the graft"),
    ("first-year-fruit", "graft", "graftingtree.com, on fruit on new grafts, undated"),
    ("check-labels-and-ties", "graft", "russelltreeexperts.com, 2019: tops yellow above string and wire, some snap"),
    ("collect-wood-stone", "year", "J. Schröder, infranken.de, undated: in February it is too late for cherry"),
    ("bud-apple", "year", "common practice, no source: the next chance is next spring"),
    ("head-back-above-bud", "year", "Real English Fruit (W. Seabrook), Chip budding, undated"),
    ("lasting-labels", "year", "common practice, no source"),
    (
        "summer-prune-plum",
        "little",
        "common practice, no source: it waits a year; harm is in wet-season cuts",
    ),
    ("summer-prune-cherry", "little", "common practice, no source: as plum"),
    ("summer-prune-apricot", "little", "common practice, no source: as plum"),
    ("summer-prune-peach", "little", "common practice, no source: the second cut of the year"),
    ("spring-prune-peach", "year", "common practice, no source: peach bears on last year's shoots alone"),
    ("late-winter-prune-stone", "little", "common practice, no source"),
    ("take-off-regrowth", "little", "common practice, no source"),
    ("take-off-nurse-limbs", "little", "common practice, no source: the third winter is soon enough"),
    ("fire-blight-every-third-day", "tree", "WSU, Pruning fire blight, 2023: as fire-blight-watch"),
    ("cut-out-blight-stubs", "tree", "University of Maryland, Ugly stub, 2023: the stub carries the canker"),
    (
        "prop-heavy-limbs",
        "graft",
        "K-State (U. Upham), 2003: a heavy limb breaks in its last month unless propped",
    ),
    ("thin-apple-pear", "little", "common practice, no source: small fruit, and a lean year after it"),
    ("choose-one-shoot", "little", "common practice, no source"),
    ("choose-one-shoot-stone", "little", "common practice, no source"),
    ("summer-prune-apple", "little", "Marini and Barden: no difference from winter pruning"),
    ("taste-apples", "little", "common practice, no source"),
    ("tidy-stubs", "little", "common practice, no source"),
    ("tidy-stubs-stone", "little", "common practice, no source"),
    ("clear-fallen-fruit", "little", "NAFEX, 2010: commercial orchards leave it"),
)


@pytest.mark.parametrize(("name", "stake", "source"), PUBLISHED, ids=lambda value: value.split(",")[0][:24])
def test_a_shipped_job_has_the_stake_that_is_published(name: str, stake: str, source: str) -> None:
    assert TEMPLATES[name].stake == stake, source


def test_every_shipped_job_says_its_stake_and_its_loss_in_words_that_follow_or() -> None:
    for template in TEMPLATES.values():
        assert template.stake in STAKES, template.id
        assert 8 <= len(template.loss) <= 40, template.id
        assert template.loss[0].islower(), template.id
        assert template.loss[-1].isalnum(), template.id
        assert not template.loss.startswith("or "), template.id


def test_every_wrap_that_neither_stretches_nor_perishes_has_the_graft_at_stake() -> None:
    hard = {"PVC tape", "electrical tape", "polyethylene strip", "raffia", "string", "cloth", "unknown"}
    for template in TEMPLATES.values():
        if template.takes_wraps_off and hard & {*(template.where.wrap or ())}:
            assert template.stake == "graft", template.id
