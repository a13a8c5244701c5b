"""A small mutator: a good file and a seed give a file that somebody's editor, disk or spite could have made of it."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

from nasty_values import EVERYTHING

_TOKEN = re.compile(rb'"[^"\n]*"|[\w.+-]+|[^\s\w]')
_LINE = re.compile(rb"[^\n]*\n|[^\n]+$")


def mutated(content: bytes, others: tuple[bytes, ...], chance: Random) -> bytes:
    """`content` after one to four changes; `others` lend lines. The same `chance` gives the same bytes."""
    for _ in range(chance.choice((1, 1, 1, 2, 2, 3, 4))):
        content = chance.choice(_CHANGES)(content, others, chance)
    return content


def _flip(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    changed = bytearray(content)
    for _again in range(chance.choice((1, 1, 2, 8))):
        if changed:
            changed[chance.randrange(len(changed))] ^= 1 << chance.randrange(8)
    return bytes(changed)


def _swap_token(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    tokens = list(_TOKEN.finditer(content))
    if not tokens:
        return content
    token = chance.choice(tokens)
    new = chance.choice(EVERYTHING).encode("utf-8", "surrogatepass")
    if token[0][:1] == b'"' and chance.random() < 0.8:
        new = b'"' + re.sub(rb'[\\"]', rb"\\\g<0>", new) + b'"'
    return content[: token.start()] + new + content[token.end() :]


def _trade_tokens(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    tokens = list(_TOKEN.finditer(content))
    if len(tokens) < 2:
        return content
    one, other = sorted(chance.sample(tokens, 2), key=re.Match.start)
    return content[: one.start()] + other[0] + content[one.end() : other.start()] + one[0] + content[other.end() :]


def _change_lines(content: bytes, others: tuple[bytes, ...], chance: Random) -> bytes:
    lines = _LINE.findall(content) or [b""]
    at, to = chance.randrange(len(lines)), chance.randrange(len(lines))
    way = chance.randrange(5)
    if way == 0:
        del lines[at]
    elif way == 1:
        lines.insert(to, lines[at])
    elif way == 2:
        lines[at], lines[to] = lines[to], lines[at]
    elif way == 3:
        lines.insert(at, chance.choice(_LINE.findall(chance.choice(others)) or [b""]))
    else:
        lines[at] = lines[at].rstrip(b"\n")
    return b"".join(lines)


def _cut(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    at = chance.randrange(len(content) + 1)
    return content[:at] if chance.random() < 0.7 else content[at:]


def _insert(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    at = chance.randrange(len(content) + 1)
    new = chance.choice(EVERYTHING).encode("utf-8", "surrogatepass")
    return content[:at] + new * chance.choice((1, 1, 1, 50)) + content[at:]


def _encode(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    text = content.decode("utf-8", "replace")
    way = chance.randrange(6)
    if way == 0:
        return b"\xef\xbb\xbf" + content
    if way == 5:
        return content.replace(b"\n", chance.choice((b"\r\n", b"\r", b"\n\r", b"\x0b")))
    name = ("utf-16", "utf-16-be", "latin-1", "cp1252")[way - 1]
    return text.encode(name, "replace")


def _number(content: bytes, _: tuple[bytes, ...], chance: Random) -> bytes:
    numbers = list(re.finditer(rb"-?\d+(\.\d+)?", content))
    if not numbers:
        return content
    number = chance.choice(numbers)
    value = float(number[0]) if len(number[0]) < 20 else 0.0
    new = chance.choice(
        (f"{value * 1e9:.0f}", f"{-value:g}", f"{value + 1:g}", f"{value / 7}", f"{value * 12:g}", "366")
    )
    return content[: number.start()] + new.encode() + content[number.end() :]


_CHANGES: tuple[Callable[[bytes, tuple[bytes, ...], Random], bytes], ...] = (
    _flip, _swap_token, _swap_token, _swap_token, _trade_tokens, _change_lines, _change_lines, _cut, _insert, _encode,
    _number, _number,
)  # fmt: skip
