"""Ways in which a file gets damaged: cut short, edited by hand, sent through the wrong program."""

from __future__ import annotations

from random import Random

_STRAY = [
    b'"',
    b",",
    b";",
    b"\t",
    b"\n",
    b"\r",
    b"\0",
    b"-",
    b".",
    b"9",
    b"0",
    b"x",
    b"{",
    b"]",
    b"\xff",
    b"\xc3",
    b" ",
    b"null",
]
_NUMBERS = [
    b"1e400",
    b"-9999",
    b"9999.9",
    b"nan",
    b"inf",
    b"--",
    b"1_0",
    b"99999999999999999999",
    b"\xd9\xa1",
    b"-0",
    b"1/2",
]


def damaged(content: bytes, random: Random) -> bytes:
    """`content` with one to three damages, the same ones for the same state of `random`."""
    for _ in range(random.choice((1, 1, 1, 2, 3))):
        content = random.choice(_DAMAGES)(content, random)
    return content


def _place(content: bytes, random: Random) -> int:
    return random.randrange(len(content) + 1)


def _cut_short(content: bytes, random: Random) -> bytes:
    return content[: _place(content, random)]


def _lose_the_beginning(content: bytes, random: Random) -> bytes:
    return content[_place(content, random) :]


def _lose_a_piece(content: bytes, random: Random) -> bytes:
    at = _place(content, random)
    return content[:at] + content[at + random.randrange(1, 40) :]


def _insert_something(content: bytes, random: Random) -> bytes:
    at = _place(content, random)
    return content[:at] + random.choice(_STRAY) + content[at:]


def _change_a_byte(content: bytes, random: Random) -> bytes:
    at = _place(content, random)
    return content[:at] + bytes([random.randrange(256)]) + content[at + 1 :]


def _repeat_a_line(content: bytes, random: Random) -> bytes:
    lines = content.split(b"\n")
    at = random.randrange(len(lines))
    return b"\n".join([*lines[:at], lines[at], *lines[at:]])


def _swap_two_lines(content: bytes, random: Random) -> bytes:
    lines = content.split(b"\n")
    one, other = random.randrange(len(lines)), random.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return b"\n".join(lines)


def _another_number(content: bytes, random: Random) -> bytes:
    digits = [at for at, byte in enumerate(content) if chr(byte).isdigit()]
    if not digits:
        return content
    at = random.choice(digits)
    return content[:at] + random.choice(_NUMBERS) + content[at + 1 :]


def _another_end_of_lines(content: bytes, random: Random) -> bytes:
    return content.replace(b"\n", random.choice((b"\r", b"\r\n", b"\n\n", b" \n")))


def _another_separator(content: bytes, random: Random) -> bytes:
    return content.replace(random.choice((b",", b";", b"\t", b'"')), random.choice((b",", b";", b" ", b"")))


_DAMAGES = (
    _cut_short,
    _lose_the_beginning,
    _lose_a_piece,
    _insert_something,
    _change_a_byte,
    _repeat_a_line,
    _swap_two_lines,
    _another_number,
    _another_end_of_lines,
    _another_separator,
)
