"""How quickly it is answered that nothing changed, against the same server with nothing to look up.

Invariant: both sides are processes of their own and are asked alike, byte by byte, over one open
connection; each answer is looked at.
"""

from __future__ import annotations

import re
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from readiness.serve.register import Register
from tests.bench.ratio import compare, elapsed_ms, fails_when_delayed
from tests.serve.server import serving

pytestmark = pytest.mark.bench

LIMIT = 2.0
"""At most twice the time: at least half the rate."""
REQUESTS = 400
SHARES = 20

BARE = """
import socket
import uvicorn

async def app(scope, receive, send):
    await send({"type": "http.response.start", "status": 304, "headers": [(b"etag", b'"a"')]})
    await send({"type": "http.response.body", "body": b""})

listening = socket.create_server(("127.0.0.1", 0))
print("port", listening.getsockname()[1], flush=True)
config = uvicorn.Config(app, ws="none", lifespan="off", loop="asyncio", http="h11",
                        interface="asgi3", log_config=None, log_level="critical",
                        access_log=False, server_header=False, proxy_headers=False)
uvicorn.Server(config).run(sockets=[listening])
"""


def asking(port: int, path: str, tag: str) -> tuple[Callable[[], None], socket.socket]:
    """Return what asks many times over one connection, and the connection."""
    link = socket.create_connection(("127.0.0.1", port), 30)
    link.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    request = f"GET {path} HTTP/1.1\r\nHost: x\r\nIf-None-Match: {tag}\r\n\r\n".encode()

    def ask() -> None:
        for _ in range(REQUESTS):
            link.sendall(request)
            answer = link.recv(65_536)
            while b"\r\n\r\n" not in answer:
                answer += link.recv(65_536)
            assert answer.startswith(b"HTTP/1.1 304 ")

    return ask, link


@contextmanager
def bare() -> Iterator[Callable[[], None]]:
    """Yield what asks the server that answers nothing else."""
    process = subprocess.Popen([sys.executable, "-c", BARE], stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        found = re.match(r"port (\d+)", process.stdout.readline())
        assert found
        ask, link = asking(int(found[1]), "/a", '"a"')
        with link:
            yield ask
    finally:
        process.terminate()
        process.communicate(timeout=20)


@contextmanager
def ours(folder: Path) -> Iterator[Callable[[], None]]:
    """Yield what asks ours: a calendar of the house, twenty shares in the file."""
    with serving(folder) as server:
        tokens = [server.share("contractor") for _ in range(SHARES)]
        server.start()
        path = f"/{tokens[-1]}.ics"
        ask, link = asking(server.port, path, server.get(path).headers["etag"])
        with link:
            yield ask


def test_not_changed_is_answered_at_half_the_rate_or_more(tmp_path: Path) -> None:
    with ours(tmp_path) as measured, bare() as against:
        compare("serve: not changed", measured, against, limit=LIMIT).check()


def test_the_bench_fails_when_it_is_slower(tmp_path: Path) -> None:
    with ours(tmp_path) as measured, bare() as against:
        fails_when_delayed("serve: not changed", measured, against, limit=LIMIT)


def quickest(find: Callable[[str], object], token: str) -> float:
    """Return the least time of many; whatever else the machine does only ever adds to it."""

    def ask() -> None:
        for _ in range(20):
            find(token)

    return min(elapsed_ms(ask) for _ in range(600))


def test_wrong_tokens_take_the_same_time(tmp_path: Path) -> None:
    """One sign wrong at the end against all of them wrong; the quicker way must not exist.

    Another way, which ends at the first difference over tokens as they are, is told apart.
    """
    with serving(tmp_path) as server:
        tokens = [server.share("owner") for _ in range(SHARES)]
        register = Register(server.shares)
        near = tokens[0][:-1] + ("a" if tokens[0][-1] != "a" else "b")
        found = quickest(register.find, near) / quickest(register.find, "z" * len(near))
        print(f"\nbench serve: nearly right against all wrong, ratio {found:.3f}")  # noqa: T201
        assert 0.95 < found < 1.05

        def sign_by_sign(token: str) -> bool:
            return any(all(map(str.__eq__, one, token)) for one in tokens)

        noticed = quickest(sign_by_sign, near) / quickest(sign_by_sign, "z" * len(near))
        assert noticed > 1.05
