"""Where a key of a TOML text stands."""

from __future__ import annotations

from time import process_time

import pytest

from tendwork.errors import PersonError
from tendwork.folder.site import read_site
from tendwork.folder.toml_text import line_of

TEXT = '''# id = "in a comment"
note = """
id = "in a string"
"""
[[template]]
id = "first"
opens = { after = "set", days = 3 }
[[template]]
steps = ["days = 9"]
opens.stage = "pink"
closes = { latest_of = [
  { date = "01-02" },
  { stage = "pink", heat = 3 },
] }
[template.where]
state = ["set"]
[[card]]
"quoted id" = "x"
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("note",), 2),
        (("template", 0, "id"), 6),
        (("template", 0, "opens", "days"), 7),
        (("template", 1), 8),
        (("template", 1, "opens", "stage"), 10),
        (("template", 1, "closes", "latest_of", 1, "heat"), 13),
        (("template", 1, "where", "state", 0), 16),
        (("card", 0, "quoted id"), 18),
        (("template", 1, "title"), None),
        (("template", 1, "days"), None),
    ],
)
def test_a_key_is_found_where_it_stands(path: tuple[str | int, ...], line: int | None) -> None:
    assert line_of(TEXT, path) == line


def test_a_million_characters_of_faults_are_told_at_once_though_without_lines() -> None:
    text = "".join(f"k{number} = 1\n" for number in range(80_000))
    began = process_time()
    with pytest.raises(PersonError, match="unknown key"):
        read_site(text)
    assert process_time() - began < 20
