"""Numbers with their words."""

from tendwork.orchard.wording import counted


def test_words_are_counted_with_their_plural() -> None:
    said = [counted(number, word) for number in (0, 1, 2) for word in ("stick", "entry", "day")]
    assert said == ["0 sticks", "0 entries", "0 days", "1 stick", "1 entry", "1 day", "2 sticks", "2 entries", "2 days"]
