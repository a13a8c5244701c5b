"""One question over the wire: within its time, to no other server than the one named, and no more bytes than agreed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, NamedTuple

from msgspec import Struct

from tendwork.errors import PersonError
from tendwork.weather.fetching.failures import Outage, Refusal, quoted

if TYPE_CHECKING:
    import httpx

MOST_REDIRECTS = 3
_GZIP_WINDOW = 31  # zlib's word for: the largest window, in gzip's wrapping


class Limits(Struct, frozen=True):
    """How long and how much, in seconds and bytes.

    `whole_s` bounds one question, from looking up the name to the last byte, with all its redirects, attempts and the
    waits between them. `largest_bytes` bounds what comes over the wire, and again what it is when unpacked.
    """

    connect_s: float = 5.0
    silence_s: float = 15.0
    whole_s: float = 120.0
    largest_bytes: int = 5_000_000  # ten times the largest answer that a service gives for one place
    attempts: int = 3
    longest_wait_s: float = 60.0


USUAL_LIMITS = Limits()


class Delivered(NamedTuple):
    """What came: the response whose body has been read, and that body, unpacked."""

    response: httpx.Response
    body: bytes


def deliver(title: str, url: str, headers: Mapping[str, str], limits: Limits, seconds: float) -> Delivered:
    """Ask `url` once, and be done within `seconds`.

    Raises Outage, or PersonError where asking again gains nothing. Needs a thread in which no event loop runs.
    """
    import asyncio

    import httpx

    try:
        return asyncio.run(_delivered(title, url, headers, limits, seconds))
    except httpx.TimeoutException as error:
        raise Outage(f"{title} did not answer in time") from error
    except TimeoutError as error:
        raise Outage(f"{title} gave no whole answer within {limits.whole_s:g} seconds") from error
    except (httpx.UnsupportedProtocol, httpx.InvalidURL, UnicodeError) as error:
        raise Refusal(f"{title} cannot be asked at {quoted(url)}: {quoted(str(error))}") from error
    except (httpx.HTTPError, OSError, ValueError) as error:  # ValueError: such as a length of 5000 digits
        raise Outage(f"{title} cannot be reached ({quoted(str(error)) or type(error).__name__})") from error


async def _delivered(title: str, url: str, headers: Mapping[str, str], limits: Limits, seconds: float) -> Delivered:
    import asyncio

    import httpx

    from tendwork.unwaited import UnwaitedThreads

    asyncio.get_running_loop().set_default_executor(UnwaitedThreads())
    async with asyncio.timeout(seconds), _client(title, limits) as client:
        at = httpx.URL(url)
        for _ in range(MOST_REDIRECTS + 1):
            async with client.stream("GET", at, headers={**headers, "Accept-Encoding": "gzip"}) as response:
                if not response.has_redirect_location:
                    return Delivered(response, await _body(title, response, limits.largest_bytes))
                at = _redirected(title, at, response.headers["location"])
    raise PersonError(f"{title} sends the question round, more than {MOST_REDIRECTS} times")


def _client(title: str, limits: Limits) -> httpx.AsyncClient:
    import httpx

    try:
        return httpx.AsyncClient(timeout=httpx.Timeout(limits.silence_s, connect=limits.connect_s))
    except (ValueError, ImportError, OSError, httpx.InvalidURL) as error:
        raise Refusal(
            f"{title} cannot be asked, since the proxy or the certificates that this computer names cannot be used "
            f"({quoted(str(error))}). Mend or unset HTTP_PROXY, HTTPS_PROXY, ALL_PROXY, SSL_CERT_FILE or SSL_CERT_DIR"
        ) from error


def _redirected(title: str, here: httpx.URL, location: str) -> httpx.URL:
    """Where `location` leads from `here`. Raises PersonError for another server: the person agreed to this one only."""
    import httpx

    try:
        there = here.join(location)
    except (httpx.InvalidURL, ValueError) as error:
        raise Outage(f"{title} redirects to what is no address: {quoted(location)}") from error
    if (there.scheme, there.host, there.port) != (here.scheme, here.host, here.port):
        server = quoted(f"{there.scheme}://{there.netloc.decode('ascii', 'replace').rpartition('@')[2]}")
        raise PersonError(
            f"{title} redirects to {server}, which is not the server that you named, so nothing was sent there. In the "
            "network of an inn or a train, sign in first; if the service has moved and you trust the new server, "
            "write it in site.toml as the url of this service"
        )
    return there


async def _body(title: str, response: httpx.Response, largest_bytes: int) -> bytes:
    import asyncio
    import zlib

    packing = response.headers.get("content-encoding", "").strip().lower()
    if packing not in ("", "identity", "gzip", "x-gzip"):
        raise Outage(f"{title} answers packed in a way that was not asked for ({quoted(packing)})")
    unpacker = zlib.decompressobj(_GZIP_WINDOW) if packing.endswith("gzip") else None
    received, body = 0, bytearray()
    async for part in response.aiter_raw():
        received += len(part)
        try:
            body += part if unpacker is None else unpacker.decompress(part, largest_bytes + 1 - len(body))
        except zlib.error as error:
            raise Outage(f"{title} answers what cannot be unpacked") from error
        if max(received, len(body)) > largest_bytes:
            raise Outage(f"{title} answers more than {largest_bytes / 1e6:g} MB")
        await asyncio.sleep(0)  # one read may bring very many small parts, and the deadline must get its turn
    if unpacker is not None and received and not unpacker.eof:
        raise Outage(f"{title} answers what breaks off")
    return bytes(body)
