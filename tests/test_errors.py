"""A sentence for the person may quote a file: nothing in it acts on a terminal, and no line of it is endless."""

from __future__ import annotations

from tendwork.errors import LONGEST_LINE, PersonError, located


def test_what_a_sentence_quotes_is_shown_and_does_not_act() -> None:
    said = str(located("trees.csv", 'unknown column "\x1b[2J\u202e"', line=1, key="\x00i\x00d"))
    assert said == 'trees.csv, line 1, key "␀i␀d": unknown column "␛[2J?"'


def test_lines_of_a_sentence_stay_lines() -> None:
    assert str(PersonError("site.toml: one\nsite.toml: two")) == "site.toml: one\nsite.toml: two"


def test_an_endless_value_is_cut_in_the_middle_so_that_file_and_remedy_stay() -> None:
    said = str(located("trees.csv", f'"{"apple" * 10_000}" is not a species', line=2, remedy="Known: apple, pear."))
    assert len(said) == LONGEST_LINE
    assert said.startswith('trees.csv, line 2: "appleapple')
    assert said.endswith('" is not a species. Known: apple, pear.')
