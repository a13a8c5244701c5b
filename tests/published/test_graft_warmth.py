"""How warm a day may be for a spring graft, and what its steps say of warmth, cambium and a clean knife.

Growers' lists: apple and pear 7 to 21 °C (growingfruit.org 27655), damage above 30 °C (gb-online.co.uk); quince from 13
and peach 18 to 27 °C (growingfruit.org 70053, 27655). No handbook table by species was found: the limits between what
is good and what does harm are ours.
"""

from __future__ import annotations

import tomllib
from pathlib import Path

import msgspec
import pytest

from tendwork.almanac.callus import callus_range
from tendwork.planning.vocabulary import Template, TemplateFile

FILE = Path(__file__).parents[2] / "task_templates" / "grafting.toml"
GRAFTS = [
    template
    for template in msgspec.convert(tomllib.loads(FILE.read_text(encoding="utf-8")), TemplateFile).template
    if "set" in template.outcomes and template.where.species is not None
]
HARM_C = {
    "peach": 30.0,
    "apricot": 30.0,
    "plum": 28.0,
    "japanese plum": 28.0,
    "sweet cherry": 28.0,
    "sour cherry": 28.0,
}
every_graft = pytest.mark.parametrize("template", GRAFTS, ids=lambda template: template.id)


@every_graft
def test_a_day_that_is_warmer_than_good_is_told_and_one_that_does_harm_is_none(template: Template) -> None:
    limit = template.weather.max_c
    assert limit is not None
    species = template.where.species or ()
    good = {callus_range(one).highest_c for one in species}
    assert max(good) <= limit < min(HARM_C.get(one, 30.0) for one in species)
    words = " ".join(template.steps)
    assert f"{limit:g} °C" in words
    assert any(f"{one:g} °C" in words for one in good)


@every_graft
def test_the_knife_is_wiped_before_the_next_variety(template: Template) -> None:
    assert "wipe" in " ".join(template.steps).casefold()


@every_graft
def test_the_cambium_is_matched_and_said_to_be_what_it_is(template: Template) -> None:
    words = " ".join(template.steps)
    if template.where.method == ("bark",):
        assert "face to the wood" in words
    else:
        assert "cambium to cambium (the green layer under the bark)" in words


def test_the_steps_of_a_bridge_name_a_clean_knife() -> None:
    text = FILE.read_text(encoding="utf-8")
    assert "wipe the knife" in text[text.index('id = "bridge-gnawed-bark"') :]
