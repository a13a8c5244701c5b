"""Whatever a service does, the asking ends in time, in one sentence or a good answer, and in bounded memory."""

from __future__ import annotations

import re
import threading
import time
import tracemalloc
from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import msgspec
import pytest
from hostile_services import BEHAVIOURS, DAYS, TODAY, Behaviour, gzip_bomb, misbehaving, never_accepting

from tendwork.errors import PersonError
from tendwork.weather.fetching import Spot
from tendwork.weather.fetching.open_meteo import OpenMeteo
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.web import Web

HILL = Spot(52.12349, -3.05678, "Europe/London", elevation_m=240.4)
LIMITS = Limits(connect_s=4.0, silence_s=4.0, whole_s=8.0, largest_bytes=1_000_000, attempts=2, longest_wait_s=0.1)
SHORT = Limits(connect_s=0.4, silence_s=0.6, whole_s=0.8, largest_bytes=2_000_000_000, attempts=2, longest_wait_s=0.5)
SLACK_S = 1.0  # for a machine that is busy with other things
MOST_MEMORY_BYTES = 8 * LIMITS.largest_bytes
USUALLY = (
    "drips its headers",
    "says continue without end",
    "drips packed bytes that decode to nothing",
    "sends a gzip bomb",
    "sends a bomb that is packed three times",
    "sends one header without end",
    "resets within its body",
    "gives a length of 5000 digits",
    "nests 100,000 deep",
    "redirects to //192.0.2.1/",
)
TOO_MUCH = [behaviour for behaviour in BEHAVIOURS if re.search("without end|bomb", behaviour.name)]
counts: dict[str, int] = {}


@pytest.fixture(scope="module", autouse=True)
def counted() -> Iterator[None]:
    began = time.monotonic()
    yield
    told = ", ".join(f"{count} {what}" for what, count in sorted(counts.items()))
    print(f"\nhostile services: {told}; {time.monotonic() - began:.1f} s")


def ask(url: str, limits: Limits) -> int:
    """How many days the service gives."""
    web = Web("Open-Meteo", limits=limits)
    return len(OpenMeteo(web, url).fetch(HILL, TODAY, TODAY + timedelta(days=DAYS - 1), TODAY).rows)


def outcome(url: str, limits: Limits) -> str:
    """The sentence that the asking ends in, empty for an answer. It must end within its time."""
    ended: list[str | Exception] = []

    def run() -> None:
        try:
            assert ask(url, limits) >= DAYS - 2
            ended.append("")
        except PersonError as error:
            ended.append(str(error))
        except Exception as error:
            ended.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(limits.whole_s + SLACK_S)
    assert ended, f"still asking after {limits.whole_s + SLACK_S} s"
    if isinstance(ended[0], Exception):
        raise ended[0]
    return ended[0]


def listed(behaviours: list[Behaviour], slow: Callable[[Behaviour], bool]) -> list[Any]:
    return [
        pytest.param(behaviour, id=behaviour.name, marks=[pytest.mark.slow] if slow(behaviour) else [])
        for behaviour in behaviours
    ]


@pytest.mark.parametrize("behaviour", listed(BEHAVIOURS, lambda behaviour: behaviour.name not in USUALLY))
def test_a_hostile_service_is_done_with_in_time_in_one_sentence_or_an_answer(
    behaviour: Behaviour, capfd: pytest.CaptureFixture[str]
) -> None:
    with misbehaving(behaviour) as url:
        sentence = outcome(url, SHORT if behaviour.waits else LIMITS)
    assert re.search(behaviour.ends, sentence), sentence
    assert bool(sentence) == bool(behaviour.ends), sentence
    assert "\n" not in sentence
    assert sentence.isprintable()
    assert capfd.readouterr().err == ""
    kind = "ended by their deadline" if behaviour.waits else "refused" if behaviour.ends else "good answers"
    counts[kind] = counts.get(kind, 0) + 1


def test_a_service_that_never_accepts_is_given_up() -> None:
    with never_accepting() as url:
        assert re.search("no whole answer within|did not answer in time", outcome(url, SHORT))


@pytest.mark.parametrize("behaviour", listed(TOO_MUCH, lambda behaviour: behaviour.name != "sends a gzip bomb"))
def test_what_is_too_much_takes_no_more_memory_than_a_few_of_the_largest_answers(behaviour: Behaviour) -> None:
    limits = msgspec.structs.replace(LIMITS, attempts=1, whole_s=2.0)
    gzip_bomb()  # which the service, in this same process, packs only once
    with misbehaving(behaviour) as url:
        outcome(url, limits)  # once for what is only loaded once, such as certificates
        tracemalloc.start()
        try:
            outcome(url, limits)
            most = tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()
    assert most < MOST_MEMORY_BYTES
