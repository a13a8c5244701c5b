"""No test of the weather package reaches beyond this machine."""

from __future__ import annotations

import socket

import pytest


@pytest.fixture(autouse=True)
def nothing_beyond_loopback(monkeypatch: pytest.MonkeyPatch) -> None:
    connect = socket.socket.connect

    def only_loopback(self: socket.socket, address: object) -> None:
        host = address[0] if isinstance(address, tuple) else address
        assert host in ("127.0.0.1", "::1"), f"a test wanted to reach {host}"
        connect(self, address)  # type: ignore[arg-type]

    monkeypatch.setattr(socket.socket, "connect", only_loopback)
    for name in ("http_proxy", "https_proxy", "all_proxy", "HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY"):
        monkeypatch.delenv(name, raising=False)
