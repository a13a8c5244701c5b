"""Small numbers and places in words, where digits would stand beside a score of 5 and be taken for one."""

from __future__ import annotations

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_PLACES = (
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth", "eleventh",
    "twelfth",
)  # fmt: skip


def number_word(number: int) -> str:
    """ "three", "13"."""
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def place_word(place: int) -> str:
    """ "first", "twelfth", "21st", "112th"."""
    if place <= len(_PLACES):
        return _PLACES[place - 1]
    ending = "th" if place // 10 % 10 == 1 else {1: "st", 2: "nd", 3: "rd"}.get(place % 10, "th")
    return f"{place}{ending}"
