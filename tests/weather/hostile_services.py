"""Weather services on this machine that answer as no service should: every behaviour is a small handler of a socket."""

from __future__ import annotations

import gzip
import json
import socket
import ssl
import struct
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache

TODAY = date(2026, 2, 25)
DAYS = 12
GOOD = json.dumps(
    {
        "utc_offset_seconds": 0,
        "timezone": "Europe/London",
        "daily_units": {"time": "iso8601", "temperature_2m_max": "°C", "temperature_2m_min": "°C"},
        "daily": {
            "time": [(TODAY + timedelta(days=step)).isoformat() for step in range(DAYS)],
            "temperature_2m_max": [9.0, 9.5, *[10.0] * (DAYS - 2)],
            "temperature_2m_min": [1.0, 1.5, *[2.0] * (DAYS - 2)],
        },
    },
    ensure_ascii=False,
).encode()
OK = b"HTTP/1.1 200 OK\r\nContent-Type: application/json\r\n"
CHUNKED = OK + b"Transfer-Encoding: chunked\r\n\r\n"
DRIP_S = 0.05
BLOCK = 65_536
_ENDLESS_GZIP_START = b"\x1f\x8b\x08\x00\x00\x00\x00\x00\x00\xff"
_EMPTY_DEFLATE_BLOCK = b"\x00\x00\x00\xff\xff"  # decodes to nothing, and may stand any number of times


@dataclass(frozen=True)
class Behaviour:
    """`ends` is a pattern of the sentence that it ends in, empty where the answer can be used.

    `waits`: it goes on until the deadline.
    """

    name: str
    act: Callable[[socket.socket], None]
    ends: str
    waits: bool
    scheme: str = "http"


BEHAVIOURS: list[Behaviour] = []
Act = Callable[[socket.socket], None]


def hostile(ends: str, *, waits: bool = False, scheme: str = "http", asked: bool = True) -> Callable[[Act], Act]:
    """Enter a handler into the list, under its name. `asked`: it begins when the request has come whole."""

    def entered(act: Act) -> Act:
        def acting(connection: socket.socket) -> None:
            if asked:
                _read_request(connection)
            act(connection)

        BEHAVIOURS.append(Behaviour(act.__name__.replace("_", " "), acting, ends, waits, scheme))
        return act

    return entered


def says(name: str, ends: str, sent: bytes) -> None:
    """Enter a service that sends `sent` and hangs up."""
    BEHAVIOURS.append(
        Behaviour(name, lambda connection: (_read_request(connection), connection.sendall(sent))[1], ends, False)
    )


def answer(body: bytes, *headers: bytes, status: bytes = b"200 OK") -> bytes:
    lines = [b"HTTP/1.1 " + status, *headers, b"Content-Length: %d" % len(body)]
    return b"\r\n".join(lines) + b"\r\n\r\n" + body


def _read_request(connection: socket.socket) -> bytes:
    request = b""
    while b"\r\n\r\n" not in request:
        part = connection.recv(BLOCK)
        if not part:
            raise OSError("the one who asks has left")
        request += part
    return request


def drip(connection: socket.socket, sent: bytes) -> None:
    for at in range(len(sent)):
        connection.sendall(sent[at : at + 1])
        time.sleep(DRIP_S)


def for_ever(connection: socket.socket, sent: bytes, pause_s: float = 0.0) -> None:
    while True:
        connection.sendall(sent)
        time.sleep(pause_s)


def wait_for_ever(connection: socket.socket) -> None:
    while connection.recv(BLOCK):
        pass


def reset(connection: socket.socket) -> None:
    connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    connection.close()


@cache
def gzip_bomb() -> bytes:
    """100 MB of zeros, packed to a thousandth."""
    return gzip.compress(bytes(100_000_000))


# What says nothing, or says it too slowly


@hostile("no whole answer within|did not answer in time", waits=True, asked=False)
def accepts_and_says_nothing(connection: socket.socket) -> None:
    wait_for_ever(connection)


@hostile("no whole answer within", waits=True)
def drips_its_status_line(connection: socket.socket) -> None:
    drip(connection, b"HTTP/1.1 200 " + b"O" * 10_000)


@hostile("no whole answer within", waits=True)
def drips_its_headers(connection: socket.socket) -> None:
    connection.sendall(OK)
    drip(connection, b"X-Long: " + b"a" * 10_000)


@hostile("no whole answer within", waits=True)
def drips_a_body_of_known_length(connection: socket.socket) -> None:
    connection.sendall(OK + b"Content-Length: 100000\r\n\r\n")
    drip(connection, b" " * 100_000)


@hostile("no whole answer within", waits=True)
def drips_a_chunked_body(connection: socket.socket) -> None:
    connection.sendall(CHUNKED)
    for_ever(connection, b"1\r\n \r\n", DRIP_S)


@hostile("no whole answer within", waits=True)
def drips_one_chunk_size(connection: socket.socket) -> None:
    connection.sendall(CHUNKED + b"1;")
    drip(connection, b"a" * 10_000)


@hostile("no whole answer within", waits=True)
def drips_trailers_after_the_body(connection: socket.socket) -> None:
    connection.sendall(CHUNKED + b"%x\r\n%s\r\n0\r\n" % (len(GOOD), GOOD))
    drip(connection, b"X-Trailer: " + b"a" * 10_000)


@hostile("no whole answer within", waits=True)
def drips_early_hints(connection: socket.socket) -> None:
    for_ever(connection, b"HTTP/1.1 103 Early Hints\r\n\r\n", DRIP_S)


@hostile("no whole answer within", waits=True)
def says_continue_without_end(connection: socket.socket) -> None:
    for_ever(connection, b"HTTP/1.1 100 Continue\r\n\r\n" * 1000)


@hostile("no whole answer within", waits=True)
def drips_packed_bytes_that_decode_to_nothing(connection: socket.socket) -> None:
    connection.sendall(OK + b"Content-Encoding: gzip\r\n\r\n" + _ENDLESS_GZIP_START)
    for_ever(connection, _EMPTY_DEFLATE_BLOCK, DRIP_S)


@hostile("no whole answer within|did not answer in time", waits=True)
def promises_more_bytes_and_waits(connection: socket.socket) -> None:
    connection.sendall(OK + b"Content-Length: %d\r\n\r\n%s" % (len(GOOD) + 1, GOOD))
    wait_for_ever(connection)


@hostile("no whole answer within|did not answer in time", waits=True, scheme="https", asked=False)
def says_nothing_to_a_tls_greeting(connection: socket.socket) -> None:
    wait_for_ever(connection)


@hostile("no whole answer within|did not answer in time", waits=True, scheme="https", asked=False)
def drips_its_tls_greeting(connection: socket.socket) -> None:
    connection.recv(BLOCK)
    drip(connection, b"\x16\x03\x03\x40\x00\x02\x00\x3f\xfc\x03\x03" + b"\x00" * 10_000)


@hostile("is busy or out of order|no whole answer within", waits=True)
def is_busy_for_ever_and_asks_for_a_little_patience(connection: socket.socket) -> None:
    connection.sendall(answer(b"", b"Retry-After: 1", status=b"503 Busy"))


@hostile("no whole answer within", waits=True)
def redirects_to_itself_slowly(connection: socket.socket) -> None:
    time.sleep(0.4)
    connection.sendall(answer(b"", b"Location: /v1/forecast", status=b"302 Found"))


# What is too much


@hostile("answers more than")
def sends_a_body_without_length_or_end(connection: socket.socket) -> None:
    connection.sendall(OK + b"\r\n")
    for_ever(connection, b" " * BLOCK)


@hostile("answers more than")
def sends_chunks_without_end(connection: socket.socket) -> None:
    connection.sendall(CHUNKED)
    for_ever(connection, b"%x\r\n%s\r\n" % (BLOCK, b" " * BLOCK))


@hostile("no whole answer within", waits=True)
def sends_chunks_of_one_byte_without_end(connection: socket.socket) -> None:
    connection.sendall(CHUNKED)
    for_ever(connection, b"1\r\n \r\n" * 10_000)


@hostile("cannot be reached")
def sends_one_chunk_size_without_end(connection: socket.socket) -> None:
    connection.sendall(CHUNKED + b"1;")
    for_ever(connection, b"a" * BLOCK)


@hostile("cannot be reached")
def sends_headers_without_end(connection: socket.socket) -> None:
    connection.sendall(OK)
    for_ever(connection, b"X-More: and more\r\n" * 1000)


@hostile("cannot be reached")
def sends_one_header_without_end(connection: socket.socket) -> None:
    connection.sendall(OK + b"X-Long: ")
    for_ever(connection, b"a" * BLOCK)


@hostile("cannot be reached")
def sends_trailers_without_end(connection: socket.socket) -> None:
    connection.sendall(CHUNKED + b"%x\r\n%s\r\n0\r\n" % (len(GOOD), GOOD))
    for_ever(connection, b"X-More: and more\r\n" * 1000)


@hostile("answers more than")
def sends_packed_bytes_without_end_that_decode_to_nothing(connection: socket.socket) -> None:
    connection.sendall(OK + b"Content-Encoding: gzip\r\n\r\n" + _ENDLESS_GZIP_START)
    for_ever(connection, _EMPTY_DEFLATE_BLOCK * 10_000)


@hostile("packed in a way that was not asked for")
def sends_deflated_bytes_without_end_that_decode_to_nothing(connection: socket.socket) -> None:
    connection.sendall(OK + b"Content-Encoding: deflate\r\n\r\n")
    for_ever(connection, _EMPTY_DEFLATE_BLOCK * 10_000)


@hostile("answers more than")
def sends_a_gzip_bomb(connection: socket.socket) -> None:
    bomb = gzip_bomb()
    connection.sendall(OK + b"Content-Encoding: gzip\r\nContent-Length: %d\r\n\r\n%s" % (len(bomb), bomb))


@hostile("packed in a way that was not asked for")
def sends_a_bomb_that_is_packed_three_times(connection: socket.socket) -> None:
    bomb = gzip.compress(gzip.compress(gzip_bomb()))
    headers = b"Content-Encoding: gzip, gzip, gzip\r\nContent-Length: %d\r\n\r\n" % len(bomb)
    connection.sendall(OK + headers + bomb)


# What breaks off


@hostile("cannot be reached", asked=False)
def resets_at_once(connection: socket.socket) -> None:
    reset(connection)


@hostile("cannot be reached")
def resets_when_asked(connection: socket.socket) -> None:
    reset(connection)


@hostile("cannot be reached")
def resets_within_its_headers(connection: socket.socket) -> None:
    connection.sendall(OK + b"X-")
    time.sleep(DRIP_S)
    reset(connection)


@hostile("cannot be reached")
def resets_within_its_body(connection: socket.socket) -> None:
    connection.sendall(OK + b"Content-Length: %d\r\n\r\n%s" % (len(GOOD), GOOD[:-9]))
    time.sleep(DRIP_S)
    reset(connection)


@hostile("cannot be reached", asked=False)
def hangs_up_at_once(connection: socket.socket) -> None:
    connection.shutdown(socket.SHUT_WR)


@hostile("cannot be reached", scheme="https", asked=False)
def speaks_plainly_where_tls_is_wanted(connection: socket.socket) -> None:
    connection.recv(BLOCK)
    connection.sendall(answer(GOOD))


@hostile("cannot be reached", scheme="https", asked=False)
def has_no_certificate(connection: socket.socket) -> None:
    with ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).wrap_socket(connection, server_side=True):
        pass


says("hangs up without a word", "cannot be reached", b"")
says("promises more bytes than come", "cannot be reached", OK + b"Content-Length: 99999\r\n\r\n" + GOOD)
says("promises fewer bytes than come", "JSON breaks off", OK + b"Content-Length: 20\r\n\r\n" + GOOD)
says("breaks off within a chunk", "cannot be reached", CHUNKED + b"ffff\r\n" + GOOD)
says("breaks off what it packed", "breaks off", answer(gzip.compress(GOOD)[:-30], b"Content-Encoding: gzip"))
says("packs badly", "cannot be unpacked", answer(b"\x1f\x8b\x08" + b"\xff" * 99, b"Content-Encoding: gzip"))
says("packs in a way of its own", "not asked for", answer(GOOD, b"Content-Encoding: br"))

# What is no HTTP

says("answers as HTTP 0.9 did", "cannot be reached", b"<html>Welcome</html>\n")
says("is a mail server", "cannot be reached", b"220 mail.example.org ESMTP\r\n")
says("sends noise", "cannot be reached", bytes(range(256)) * 20)
says("answers in HTTP 9.9", "", b"HTTP/9.9 200 OK\r\n\r\n" + GOOD)
says("gives two lengths", "cannot be reached", OK + b"Content-Length: 5\r\nContent-Length: 6\r\n\r\n" + GOOD)
says("gives a length below nothing", "cannot be reached", OK + b"Content-Length: -5\r\n\r\n" + GOOD)
says("gives a length of thirty digits", "cannot be reached", OK + b"Content-Length: 1%s\r\n\r\n" % (b"0" * 30) + GOOD)
says("gives a length of 5000 digits", "cannot be reached", OK + b"Content-Length: %s\r\n\r\n" % (b"1" * 5000) + GOOD)
says("gives a chunk size in words", "cannot be reached", CHUNKED + b"many\r\n" + GOOD)
says("gives a chunk size beyond memory", "cannot be reached", CHUNKED + b"F" * 16 + b"\r\n" + GOOD)
says("gives a status of 99", "cannot be reached", b"HTTP/1.1 099 Low\r\n\r\n")
says("gives a status of 999", "refuses the request", answer(b"", status=b"999 High"))
says("switches protocols", "cannot be reached|refuses", b"HTTP/1.1 101 Switching\r\nUpgrade: x\r\n\r\n" + GOOD)
says("steers the terminal in its reason", r"\(400\): \[2J", b"HTTP/1.1 400 \x1b[2J\x07\r\n\r\n")
says("steers the terminal in a header", "cannot be reached", OK + b"X-Evil: \x1b[2J\x00\r\n\r\n" + GOOD)
says("sets cookies that are none", "", answer(GOOD, b"Set-Cookie: \xff=;;;expires=Thu, 99 Foo 99999 99:99:99 GMT;=;"))
says("has a tag that no header can carry", "", answer(GOOD, b"ETag: \xff\xfe\xe9"))
says("writes in an unknown charset", "", answer(GOOD, b"Content-Type: application/json; charset=klingon"))

# What cannot be used, or only just

says("answers nothing", "JSON", answer(b""))
says("answers that there is nothing", "refuses the request", b"HTTP/1.1 204 No Content\r\n\r\n")
says("answers a part", "refuses the request", answer(GOOD[:50], status=b"206 Partial Content"))
says("answers a page", "JSON", answer(b"<html>Sign in</html>", b"Content-Type: text/html"))
says("calls its answer a picture", "", answer(GOOD, b"Content-Type: image/png"))
says("begins with a byte order mark", "", answer(b"\xef\xbb\xbf" + GOOD))
says("writes UTF-16", "JSON", answer(GOOD.decode().encode("utf-16")))
says("writes NUL bytes", "JSON", answer(b"\x00" * 999))
says("writes bytes that are no text", "JSON", answer(b"\xff\xfe\xc3(" * 99))
says("nests 100,000 deep", "JSON", answer(b"[" * 100_000 + b"]" * 100_000))
says("nests objects 100,000 deep", "JSON", answer(b'{"daily":' * 100_000))
says("answers a number without end", "JSON|daily", answer(b'{"daily": ' + b"9" * 10_000 + b"}"))
says("answers numbers beyond all bounds", "", answer(GOOD.replace(b"[9.0, 9.5,", b"[1e999, -Infinity,")))
says("answers what is no number", "", answer(GOOD.replace(b"[9.0, 9.5,", b"[NaN, NaN,")))
says("answers days beyond the calendar", "", answer(GOOD.replace(b'"2026-02-25"', b'"99999-02-25"')))
says("has an offset beyond all bounds", "", answer(GOOD.replace(b'ds": 0', b'ds": 1e999')))
says("confirms an answer that nobody has", "never", b"HTTP/1.1 304 Not Modified\r\n\r\n")

# What waits, and where it points

for written in (b"1e9", b"-5", b"nan", b"inf", b"999999999999", b"Fri, 31 Dec 9999 23:59:59 -2359", b"\xd9\xa3"):
    says(
        f"wants to be asked again after {written.decode()}",
        "is busy",
        answer(b"", b"Retry-After: " + written, status=b"503 Busy"),
    )
for written in (b"max-age=999999999", b"max-age=" + b"9" * 40, b"max-age=-1"):
    says(f"is fresh for {written.decode()}", "", answer(GOOD, b"Cache-Control: " + written))
for written in (b"Fri, 31 Dec 9999 23:59:59 -2359", b"Mon, 01 Jan 0001 00:00:00 +2359", b"0", b"\xff"):
    says(f"expires on {written.decode('latin-1')}", "", answer(GOOD, b"Expires: " + written))
says("redirects to itself", "sends the question round", answer(b"", b"Location: /v1/forecast", status=b"302 Found"))
for written in (b"http://[", b"\xff://", b"http://\x7f/", b"http://a" + b".a" * 200, b"//:99999/", b"x" * 70_000):
    name = written[:20].decode("latin-1")
    says(f"redirects to {name!r}", "Testing|Open-Meteo", answer(b"", b"Location: " + written, status=b"301 Moved"))
for written in (b"file:///etc/hosts", b"gopher://127.0.0.1/", b"https://127.0.0.1/", b"//192.0.2.1/", b"http://a@b@c/"):
    says(
        f"redirects to {written.decode()}",
        "not the server that you named",
        answer(b"", b"Location: " + written, status=b"301 Moved"),
    )
says("redirects without saying where", "refuses the request", answer(b"", status=b"301 Moved"))


@contextmanager
def misbehaving(behaviour: Behaviour) -> Iterator[str]:
    """The address of a service that does this to everyone who connects."""
    with socket.create_server(("127.0.0.1", 0)) as listener:

        def serve() -> None:
            while True:
                try:
                    connection, _ = listener.accept()
                except OSError:
                    return
                threading.Thread(target=meet, args=(connection,), daemon=True).start()

        def meet(connection: socket.socket) -> None:
            try:
                connection.settimeout(20)
                behaviour.act(connection)
                connection.shutdown(socket.SHUT_WR)
                wait_for_ever(connection)
            except OSError:
                pass  # the one who asks has left
            finally:
                connection.close()

        threading.Thread(target=serve, daemon=True).start()
        try:
            yield f"{behaviour.scheme}://127.0.0.1:{listener.getsockname()[1]}"
        finally:
            listener.shutdown(socket.SHUT_RDWR)


@contextmanager
def never_accepting() -> Iterator[str]:
    """The address of a service whose queue is full."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        listener.listen(0)
        waiting = [socket.socket() for _ in range(8)]
        for one in waiting:
            one.setblocking(False)
            one.connect_ex(listener.getsockname())
        try:
            yield f"http://127.0.0.1:{listener.getsockname()[1]}"
        finally:
            for one in waiting:
                one.close()
