"""What a season asks at eight places, kept as text: a change of any window is seen, and read, before it is kept."""

from __future__ import annotations

from difflib import unified_diff

import pytest
from plans_of_eight_places import PLACES, kept_file, plan_text

from tendwork.species import SPECIES


@pytest.fixture(scope="module")
def texts() -> dict[str, str]:
    return {name: plan_text(name) for name in PLACES}


@pytest.mark.parametrize("name", PLACES)
def test_the_plan_of_the_place_is_the_kept_one(name: str, texts: dict[str, str]) -> None:
    kept = kept_file(name).read_text(encoding="utf-8")
    changed = list(unified_diff(kept.splitlines(), texts[name].splitlines(), "kept", "now", lineterm="", n=0))
    lines = "\n".join(changed[:60])
    assert not changed, f"read it as a grower there, then: python tests/published/plans_of_eight_places.py\n{lines}"


@pytest.mark.parametrize("name", PLACES)
def test_every_species_has_work_at_every_place(name: str, texts: dict[str, str]) -> None:
    assert [species for species in SPECIES if f" {species}" not in texts[name]] == []
