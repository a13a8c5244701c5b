"""A kept answer that is damaged, or that dates itself beyond belief, counts as none, and is asked for again."""

from __future__ import annotations

import json
import os
import random
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from loopback_service import Reply, serving

from tendwork.errors import PersonError
from tendwork.weather.fetching.cache import AnswerCache, Kept
from tendwork.weather.fetching.patience import fresh_until, http_date, is_fresh
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.web import Told, Web

TODAY = date(2026, 2, 25)
NOON = datetime(2026, 2, 25, 12, tzinfo=UTC)
STAMPS = {"ETag": '"a1"', "Cache-Control": "max-age=3600"}


def number(told: Told) -> int:
    try:
        return int(told.text)
    except ValueError as error:
        raise PersonError(f"{told.text} is no number") from error


def ask(url: str, folder: Path, now: datetime = NOON) -> int:
    limits = Limits(attempts=1, connect_s=2.0, silence_s=2.0)
    web = Web("Testing", cache=AnswerCache(folder), limits=limits, now=lambda: now)
    return web.ask("topic", url, {}, number, now.date())


def asked_again_after(change: Callable[[dict[str, Any]], object], folder: Path, now: datetime = NOON) -> bool:
    """Whether an answer that was fresh is asked for again, and without conditions, after `change` to what is kept."""
    with serving(Reply("1", headers=STAMPS)) as service:
        ask(service.url, folder)
        kept = json.loads((folder / "topic.json").read_text(encoding="utf-8"))
        change(kept)
        (folder / "topic.json").write_text(json.dumps(kept), encoding="utf-8")
        assert ask(service.url, folder, now) == 1
        return len(service.requests) == 2 and "if-none-match" not in service.requests[1].headers


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("answered_at", "2026-02-25T12:00:00"),
        ("answered_at", "2026-02-25T12:00:01Z"),
        ("answered_at", "9999-12-31T23:59:59-14:00"),
        ("answered_at", "0001-01-01T00:00:00+14:00"),
        ("answered_at", 1e300),
        ("answered_at", None),
        ("fresh_until", "2026-02-25T13:00:00"),
        pytest.param("fresh_until", 10**400, id="fresh_until-400 digits"),
        ("asked_on", "9999-12-31"),
        ("asked_on", "0001-01-01"),
        ("asked_on", "2026-02-27"),
        ("etag", "a\r\nX-Evil: 1"),
        ("etag", "é"),
        pytest.param("etag", "a" * 70_000, id="etag-70,000 letters"),
        ("last_modified", "\x00"),
        ("text", "no number"),
        ("text", ""),
        ("text", ["1"]),
        ("url", 7),
    ],
)
def test_a_kept_answer_with_a_wrong_value_counts_as_none(key: str, value: Any, tmp_path: Path) -> None:
    assert asked_again_after(lambda kept: kept.update({key: value}), tmp_path)


def test_a_kept_answer_that_is_as_it_was_is_not_asked_for_again(tmp_path: Path) -> None:
    assert not asked_again_after(lambda kept: kept, tmp_path)


def test_an_answer_is_fresh_for_a_day_at_most(tmp_path: Path) -> None:
    with serving(Reply("1", headers={"Cache-Control": "max-age=999999999"})) as service:
        ask(service.url, tmp_path)
        ask(service.url, tmp_path, NOON + timedelta(hours=23))
        assert len(service.requests) == 1
        ask(service.url, tmp_path, NOON + timedelta(hours=24))
        assert len(service.requests) == 2


def test_an_answer_from_before_the_clock_was_set_back_is_asked_for_again(tmp_path: Path) -> None:
    assert asked_again_after(lambda kept: kept, tmp_path, NOON - timedelta(days=1))


def test_an_answer_dated_in_the_future_does_not_stand_in_for_a_new_one(tmp_path: Path) -> None:
    with serving(Reply("1"), Reply(status=503)) as service:
        ask(service.url, tmp_path)
        with pytest.raises(PersonError, match="busy or out of order"):
            ask(service.url, tmp_path, NOON - timedelta(days=1))


@pytest.mark.parametrize(
    ("header", "now"),
    [("max-age=999999999", datetime(9990, 1, 1, tzinfo=UTC)), ("max-age=" + "9" * 50, NOON), ("max-age=-1", NOON)],
)
def test_no_age_is_too_large_to_count_with(header: str, now: datetime) -> None:
    until = fresh_until(header, "", now)
    assert until is None or until > now


def test_a_date_beyond_the_calendar_is_none() -> None:
    assert http_date("Fri, 31 Dec 9999 23:59:59 -2359") is None


def test_a_tag_that_no_request_can_carry_is_not_kept(tmp_path: Path) -> None:
    with serving(Reply("1", headers={"ETag": "\xe9"}), Reply("2")) as service:
        assert [ask(service.url, tmp_path) for _ in range(2)] == [1, 2]


DAMAGES: dict[str, Callable[[Path], object]] = {
    "empty": lambda path: path.write_bytes(b""),
    "no JSON": lambda path: path.write_bytes(b"{"),
    "no text": lambda path: path.write_bytes(b"\xff\xfe\x00" * 99),
    "half a letter": lambda path: path.write_bytes(path.read_bytes().replace(b'"1"', b'"\xc3"')),
    "half a pair": lambda path: path.write_bytes(path.read_bytes().replace(b'"1"', b'"\\ud800"')),
    "nested arrays": lambda path: path.write_bytes(b"[" * 1_000_000),
    "nested objects": lambda path: path.write_bytes(b'{"url":' * 1_000_000),
    "nested beside": lambda path: path.write_bytes(b'{"other":' + b"[" * 1_000_000),
    "huge": lambda path: path.write_bytes(path.read_bytes()) and os.truncate(path, 10**10),
    "a folder": lambda path: (path.unlink(), path.mkdir()),
    "a full folder": lambda path: (path.unlink(), path.mkdir(), (path / "in it").touch()),
    "a link to itself": lambda path: (path.unlink(), path.symlink_to(path)),
    "a link to nothing": lambda path: (path.unlink(), path.symlink_to(path.parent / "nothing")),
}
if hasattr(os, "mkfifo"):
    DAMAGES["a pipe"] = lambda path: (path.unlink(), os.mkfifo(path))
    DAMAGES["endless"] = lambda path: (path.unlink(), path.symlink_to("/dev/zero"))


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_counts_as_none(damage: str, tmp_path: Path) -> None:
    with serving(Reply("1", headers=STAMPS)) as service:
        ask(service.url, tmp_path)
        DAMAGES[damage](tmp_path / "topic.json")
        assert ask(service.url, tmp_path) == 1
        assert len(service.requests) == 2
        assert "if-none-match" not in service.requests[1].headers


def mangled_cases(folder: Path, seed: int, count: int) -> tuple[int, int]:
    """How many of `count` mangled files count as none, and how many as an answer, each of which can be true."""
    chance = random.Random(seed)
    cache = AnswerCache(folder)
    cache.put("topic", Kept("http://127.0.0.1/", "1", NOON, TODAY, '"a1"', "", NOON + timedelta(hours=1)))
    good = (folder / "topic.json").read_bytes()
    kept = 0
    for _ in range(count):
        content = bytearray(good)
        for _ in range(chance.randint(1, 3)):
            at = chance.randrange(len(content))
            content[at : at + chance.randint(0, 3)] = bytes(
                chance.choice((chance.randrange(256), *b'0129":{}[],\\-TZ')) for _ in range(chance.randint(0, 3))
            )
        (folder / "topic.json").write_bytes(content)
        answer = cache.get("topic", NOON)
        if answer is not None:
            kept += 1
            assert answer.answered_at <= NOON
            assert not is_fresh(answer.answered_at, answer.fresh_until, NOON + timedelta(days=1))
    return count - kept, kept


def test_mangled_files_count_as_none_or_can_be_true(tmp_path: Path) -> None:
    assert min(mangled_cases(tmp_path, 7, 500)) > 20


@pytest.mark.slow
def test_many_mangled_files_count_as_none_or_can_be_true(tmp_path: Path) -> None:
    none, kept = mangled_cases(tmp_path, 8, 10_000)
    print(f"\nmangled kept answers: {none} count as none, {kept} can be true")
    assert min(none, kept) > 500
