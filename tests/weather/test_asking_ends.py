"""Asking ends in time and nowhere else: names looked up for ever, waits and attempts together, redirects, proxies."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import threading
import time
from datetime import date

import pytest
from loopback_service import Reply, serving

from tendwork.errors import PersonError
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.web import Web

TODAY = date(2026, 2, 25)
URL = "http://weather.invalid/v1/forecast"
NEVER_FOUND = """
import signal, socket, sys, threading, time
signal.signal(signal.SIGINT, signal.default_int_handler)  # which a shell in the background has ignored
socket.getaddrinfo = lambda *_, **__: time.sleep(60)
from datetime import date
from tendwork.errors import PersonError
from tendwork.weather.fetching.transfer import Limits
from tendwork.weather.fetching.web import Web
web = Web("Testing", limits=Limits(whole_s=float(sys.argv[1]), attempts=1, connect_s=50))
print("ASKING", flush=True)
try:
    web.ask("topic", "http://weather.invalid/", {}, lambda told: told, date(2026, 2, 25))
except PersonError as error:
    print(error)
"""


def ask(url: str, **limits: float) -> str:
    return Web("Testing", limits=Limits(**limits)).ask("topic", url, {"latitude": "51"}, lambda told: told.text, TODAY)


def test_a_name_that_is_looked_up_for_ever_is_given_up_in_time(monkeypatch: pytest.MonkeyPatch) -> None:
    done = threading.Event()
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_, **__: done.wait(30))
    began = time.monotonic()
    with pytest.raises(PersonError, match=r"gave no whole answer within 0\.5 seconds"):
        ask(URL, whole_s=0.5)
    assert time.monotonic() - began < 2
    done.set()


def test_a_name_that_is_looked_up_for_ever_does_not_hold_up_the_end_of_the_program() -> None:
    began = time.monotonic()
    done = subprocess.run([sys.executable, "-c", NEVER_FOUND, "0.5"], capture_output=True, text=True, timeout=50)
    assert time.monotonic() - began < 20
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.endswith("Testing gave no whole answer within 0.5 seconds. Try again later\n")


@pytest.mark.skipif(sys.platform == "win32", reason="a signal cannot be sent so there")
def test_an_interrupt_ends_the_asking_at_once() -> None:
    asking = subprocess.Popen(
        [sys.executable, "-c", NEVER_FOUND, "40"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert asking.stdout is not None
    assert asking.stdout.readline() == "ASKING\n"
    time.sleep(1.0)
    asking.send_signal(signal.SIGINT)
    began = time.monotonic()
    _, error = asking.communicate(timeout=30)
    assert time.monotonic() - began < 10
    assert error.rstrip().endswith("KeyboardInterrupt")


def test_a_name_that_does_not_exist_is_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def unknown(*_: object, **__: object) -> None:
        raise socket.gaierror(-2, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    with pytest.raises(PersonError, match=r"Testing cannot be reached \(.*Name or service not known\)"):
        ask(URL, attempts=1)


@pytest.mark.parametrize("host", ["a" * 64 + ".example", "xn--" + "9" * 80, "..", "a b", "\x1b[2J"])
def test_a_name_that_can_be_none_is_one_sentence(host: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def unknown(name: str | bytes, *_: object, **__: object) -> None:
        if isinstance(name, str):
            name.encode("idna")  # as the true one does
        raise socket.gaierror(-2, "Name or service not known")

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    with pytest.raises(PersonError) as caught:
        ask(f"http://{host}/", attempts=1, whole_s=2.0)
    assert str(caught.value).isprintable()


def test_waits_between_attempts_count_in_the_whole() -> None:
    with serving(Reply(status=503, headers={"Retry-After": "2"})) as service:
        began = time.monotonic()
        with pytest.raises(PersonError, match="asks to be left alone for 2 seconds"):
            ask(service.url, whole_s=3.5, attempts=50)
        assert time.monotonic() - began < 3.5
    assert len(service.requests) == 2


def test_attempts_share_one_time() -> None:
    with serving(Reply("1" * 1000, drip_s=0.05)) as service:
        began = time.monotonic()
        with pytest.raises(PersonError, match=r"gave no whole answer within 0\.7 seconds"):
            ask(service.url, whole_s=0.7, attempts=9, longest_wait_s=0.0)
        assert time.monotonic() - began < 2.2


def test_nothing_is_sent_to_another_server_that_a_service_redirects_to() -> None:
    with serving(Reply("1")) as other, serving(Reply(status=302)) as service:
        service.replies[0].headers["Location"] = f"{other.url}/v1/forecast?latitude=51"
        with pytest.raises(PersonError) as caught:
            ask(service.url)
        assert (len(service.requests), other.requests) == (1, [])
    assert f"redirects to {other.url}, which is not the server that you named, so nothing was sent there" in str(
        caught.value
    )
    assert "write it in site.toml as the url of this service" in str(caught.value)


def test_three_redirects_within_the_server_are_followed_and_no_more() -> None:
    hops = [Reply(status=307, headers={"Location": f"/{hop}"}) for hop in range(4)]
    with serving(*hops[:3], Reply("1")) as service:
        assert ask(service.url) == "1"
        assert [request.path for request in service.requests] == ["/", "/0", "/1", "/2"]
    with serving(*hops, Reply("1")) as service:
        with pytest.raises(PersonError, match="sends the question round, more than 3 times"):
            ask(service.url)
        assert len(service.requests) == 4


@pytest.mark.parametrize("proxy", ["socks5://127.0.0.1:1", "what:ever", "http://[", "ftp://127.0.0.1", "http://\x1b:1"])
def test_a_proxy_that_cannot_be_used_is_one_sentence(proxy: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ALL_PROXY", proxy)
    with pytest.raises(PersonError, match=r"Testing cannot be asked, since the proxy|Testing cannot be reached"):
        ask("http://127.0.0.1:1/", attempts=1, whole_s=3.0)


def test_certificates_that_are_not_there_are_one_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SSL_CERT_FILE", "/nowhere/at/all.pem")
    with pytest.raises(PersonError, match="Mend or unset HTTP_PROXY"):
        ask("https://127.0.0.1:1/", attempts=1)


def test_asking_works_in_a_thread_beside_a_running_event_loop() -> None:
    import asyncio

    async def beside() -> str:
        return await asyncio.to_thread(ask, service.url)

    with serving(Reply("1")) as service:
        assert asyncio.run(beside()) == "1"
