"""Words that were given up for plainer ones, or for the field's own, do not come back into code, guides or rules."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PLACES = ("tendwork", "tests", "task_templates", "sample_config", "README.md", "DEVELOPERS.md")
RETIRED = {
    "reckon": r"(?<!everywhere\.)reckon",  # the id of a key in a person's own file, which is still read
    "anew": r"\banew\b|_anew\b",
    "lest": r"\blest\b",
    "thereof": r"\bthereof\b",
    "of late": r"\bof late\b(?! jobs)",
    "Glance": r"\bGlance\b",
    "Shelf": r"\bShelf\b",
    "Deed": r"\bDeed\b",
    "day_words": r"\bday_words\b",
    "deed_bars": r"\bdeed_bars\b",
}


def texts() -> list[Path]:
    found = [ROOT / place for place in PLACES if place.endswith(".md")]
    for place in (place for place in PLACES if not place.endswith(".md")):
        found += [
            file
            for file in (ROOT / place).rglob("*")
            if file.suffix in (".py", ".md", ".toml", ".tcss", ".csv", ".txt")
        ]
    return [file for file in found if file != Path(__file__).resolve()]


@pytest.mark.parametrize("word", RETIRED)
def test_a_retired_word_stands_nowhere(word: str) -> None:
    pattern = re.compile(RETIRED[word], re.IGNORECASE if word.islower() else 0)
    found = [
        f"{file.relative_to(ROOT)}:{number}: {line.strip()[:80]}"
        for file in texts()
        for number, line in enumerate(file.read_text(encoding="utf-8", errors="replace").splitlines(), 1)
        if pattern.search(line)
    ]
    assert found == []
