"""A weather service on this machine that says what a test puts into its mouth, over real HTTP."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from urllib.parse import parse_qs, urlsplit


@dataclass
class Reply:
    """`broken`: fewer bytes come than are promised. `pause_s` lies before the first byte, `drip_s` between bytes."""

    body: str = ""
    status: int = 200
    headers: dict[str, str] = field(default_factory=dict)
    pause_s: float = 0.0
    drip_s: float = 0.0
    broken: bool = False


@dataclass
class Request:
    path: str
    query: dict[str, str]
    headers: dict[str, str]


class LoopbackService:
    """Replies are given in order; the last one is given for ever."""

    def __init__(self, url: str, replies: list[Reply]) -> None:
        self.url = url
        self.replies = replies
        self.requests: list[Request] = []

    def then(self, *replies: Reply) -> None:
        self.replies = list(replies)

    def next_reply(self) -> Reply:
        return self.replies.pop(0) if len(self.replies) > 1 else self.replies[0]


@contextmanager
def serving(*replies: Reply) -> Iterator[LoopbackService]:
    """A service that runs while the context does."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            parts = urlsplit(self.path)
            query = {key: values[0] for key, values in parse_qs(parts.query).items()}
            service.requests.append(
                Request(parts.path, query, {key.lower(): value for key, value in self.headers.items()})
            )
            reply = service.next_reply()
            body = reply.body.replace("BASE", service.url).encode()
            time.sleep(reply.pause_s)
            self.send_response(reply.status)
            for name, value in reply.headers.items():
                self.send_header(name, value)
            self.send_header("Content-Length", str(len(body) + 10 * reply.broken))
            self.end_headers()
            try:
                for at in range(0, len(body), 1 if reply.drip_s else max(1, len(body))):
                    self.wfile.write(body[at : at + (1 if reply.drip_s else len(body))])
                    self.wfile.flush()
                    time.sleep(reply.drip_s)
            except OSError:
                pass  # the one who asked has left

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    server.block_on_close = False
    service = LoopbackService(f"http://127.0.0.1:{server.server_port}", list(replies))
    threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()
    try:
        yield service
    finally:
        server.shutdown()
        server.server_close()
