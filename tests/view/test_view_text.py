"""Display widths and the inert showing of text from files."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import get_character_cell_size

from tendwork.view.text import clipped, display_width, padded, plain, wrapped

ANY_TEXT = st.text(max_size=60)


# Unicode Standard Annex #11, East Asian Width: these code points are W or F, and so take two columns.
@pytest.mark.parametrize("character", ["一", "あ", "한", "Ａ", "、"])
def test_wide_and_fullwidth_characters_take_two_columns(character: str) -> None:
    assert display_width(character) == 2


def test_a_combining_mark_takes_no_column() -> None:
    assert display_width("e\u0301") == 1


@pytest.mark.parametrize("block", [range(0x20, 0x7F), range(0xA1, 0x250), range(0x370, 0x700), range(0x3041, 0x30FF)])
def test_widths_agree_with_the_library_that_paints_the_screen(block: range) -> None:
    letters = [chr(code) for code in block if unicodedata.category(chr(code))[0] in "LNS"]
    assert [display_width(letter) for letter in letters] == [get_character_cell_size(letter) for letter in letters]


def test_an_escape_code_is_shown_as_a_picture() -> None:
    assert plain("\x1b[31mred\x07") == "␛[31mred␇"


def test_a_line_break_in_a_name_becomes_a_blank() -> None:
    assert plain("Old\nTom\t2") == "Old Tom 2"


def test_a_c1_control_is_shown_as_a_question_mark() -> None:
    assert plain("a\x9b31mb") == "a?31mb"


# Unicode Standard Annex #9, section 2: the explicit directional formatting characters and the implicit marks.
@pytest.mark.parametrize("control", [chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E)])
def test_a_bidi_control_is_shown_as_a_question_mark(control: str) -> None:
    assert plain(f"a{control}b") == "a?b"


def test_a_lone_surrogate_is_shown_as_a_question_mark() -> None:
    assert plain("\udc80") == "?"


def test_letters_of_any_script_and_brackets_stay_as_they_are() -> None:
    names = 'Ashmead\'s [/x] תפוח 林檎 Kräuter "Reine" سیب‌ها'
    assert plain(names) == names


@given(ANY_TEXT)
def test_plain_text_holds_no_control_and_can_be_encoded(text: str) -> None:
    shown = plain(text)
    shown.encode("utf-8")
    assert not any(unicodedata.category(character) == "Cc" for character in shown)


@given(ANY_TEXT)
def test_showing_text_twice_changes_nothing_more(text: str) -> None:
    assert plain(plain(text)) == plain(text)


@given(ANY_TEXT, st.integers(0, 40))
def test_padded_text_takes_exactly_its_columns(text: str, columns: int) -> None:
    assert display_width(padded(plain(text), columns)) == columns


def test_clipped_text_says_that_something_is_left_out() -> None:
    assert clipped("Ashmead's Kernel", 9) == "Ashmead'…"


def test_text_set_to_the_right_has_its_blanks_in_front() -> None:
    assert padded("20 min", 8, right=True) == "  20 min"


@given(ANY_TEXT, st.integers(12, 60))
def test_no_wrapped_line_is_wider_than_the_page(text: str, columns: int) -> None:
    assert all(display_width(line) <= columns for line in wrapped(plain(text), columns, "- "))


@given(st.lists(st.text("abc林", min_size=1, max_size=8), max_size=20))
def test_wrapping_loses_no_word(words: list[str]) -> None:
    assert " ".join(wrapped(" ".join(words), 20)).split() == words


def test_later_lines_hang_under_the_first_word() -> None:
    assert wrapped("one two three", 10, "- ") == ["- one two", "  three"]
