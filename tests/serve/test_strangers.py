"""Whoever has no address learns nothing, and keeps nobody else from an answer.

Invariant: a real client asks a real process.
"""

from __future__ import annotations

import http.client
import re
import socket
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from tests.serve.server import Got, Server, ask, received, serving


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with serving(tmp_path_factory.mktemp("serve")) as made:
        made.start()
        yield made


@pytest.fixture(scope="module")
def token(server: Server) -> str:
    return server.share("electrician")


@pytest.fixture(scope="module")
def nothing(server: Server, token: str) -> Got:
    """How it is said that there is nothing."""
    del token
    got = server.get("/" + "a" * 32)
    assert (got.status, got.body) == (404, b"Not Found\n")
    return got


def same(got: Got, other: Got) -> bool:
    """Say whether two answers differ in nothing but the second at which they were given."""

    def without_date(one: Got) -> dict[str, str]:
        return {name: value for name, value in one.headers.items() if name != "date"}

    return (got.status, got.body) == (other.status, other.body) and without_date(
        got
    ) == without_date(other)


PATHS = (
    "/",
    "//",
    "/.",
    "/..",
    "/../../../../etc/passwd",
    "/..%2f..%2f..%2fetc%2fpasswd",
    "/%2e%2e/%2e%2e/etc/passwd",
    "/..%c0%af..%c0%afetc/passwd",
    "/....//....//etc/passwd",
    "/..\\..\\windows\\win.ini",
    "/%00",
    "/job.toml",
    "/job/job.toml",
    "/diary/",
    "/diary/ada.jsonl",
    "/state/readiness/shares.json",
    "/shares.json",
    "/.git/config",
    "/.env",
    "/index.html",
    "/robots.txt",
    "/favicon.ico",
    "/sitemap.xml",
    "/.well-known/caldav",
    "/electrician",
    "/electrician.ics",
    "/contractor.ics",
    "/openapi.json",
    "/docs",
    "/metrics",
    "/server-status",
    "/*",
    "/.ics",
    "/?token=a",
    "/%F0%9F%92%A9",
    "/" + "a" * 500,
)


@pytest.mark.parametrize("path", PATHS)
def test_no_path_leads_anywhere(server: Server, nothing: Got, path: str) -> None:
    """Every one gets the very same answer, so no list of them can be drawn up."""
    assert same(server.get(path), nothing)


NEARLY: dict[str, Callable[[str], str]] = {
    "one sign other": lambda t: t[:-1] + ("a" if t[-1] != "a" else "b"),
    "one sign short": lambda t: t[:-1],
    "one sign more": lambda t: t + "a",
    "capitals": str.upper,
    "in a folder": lambda t: f"x/{t}",
    "with a folder": lambda t: f"{t}/",
    "with two endings": lambda t: f"{t}.ics.ics",
    "with another ending": lambda t: f"{t}.html",
    "a sign written otherwise": lambda t: f"%{ord(t[0]):02x}{t[1:]}",
    "a dot before": lambda t: f"./{t}",
    "blanks behind": lambda t: f"{t}%20",
}


@pytest.mark.parametrize("change", NEARLY)
def test_nearly_right_is_wrong(server: Server, token: str, nothing: Got, change: str) -> None:
    assert server.get(f"/{token}").status == 200
    assert same(server.get("/" + NEARLY[change](token)), nothing)


def test_the_digest_in_the_file_opens_nothing(server: Server, token: str, nothing: Got) -> None:
    from readiness.desk.shares import digest_of

    assert same(server.get("/" + digest_of(token)), nothing)


@pytest.mark.parametrize(
    "method", ["POST", "PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "PROPFIND", "REPORT", "MKCOL"]
)
def test_nothing_can_be_sent_or_changed(server: Server, token: str, method: str) -> None:
    right, wrong = (server.get(path, method=method) for path in (f"/{token}", "/nobody"))
    assert right.status == 405
    assert right.headers["allow"] == "GET, HEAD"
    assert same(right, wrong), "a refusal does not tell a token from a guess"


@pytest.mark.parametrize("method", ["GET", "HEAD", "POST"])
def test_a_body_is_refused_unread(server: Server, token: str, method: str) -> None:
    got = server.get(f"/{token}", method=method, body=b"x")
    assert got.status == 413
    assert got.headers["connection"] == "close"


def test_a_large_body_is_not_waited_for(server: Server, token: str) -> None:
    """The head announces 10 GB and none of it comes; the answer is there all the same."""
    head = f"POST /{token} HTTP/1.1\r\nHost: x\r\nContent-Length: 10000000000\r\n\r\n"
    assert server.raw(head.encode()).startswith(b"HTTP/1.1 413 ")
    chunked = f"POST /{token} HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: chunked\r\n\r\n1\r\nx\r\n"
    assert server.raw(chunked.encode()).startswith(b"HTTP/1.1 413 ")


def test_a_long_line_is_refused(server: Server, token: str) -> None:
    assert server.get("/" + "a" * 600).status == 414
    assert server.get(f"/{token}?" + "a" * 600).status == 414
    answer = server.raw(b"GET /" + b"a" * 100_000)
    assert re.match(rb"HTTP/1\.1 (400|414) ", answer)


def test_a_long_head_is_refused(server: Server, token: str) -> None:
    got = server.get(f"/{token}", {f"x-{number}": "a" * 1_000 for number in range(20)})
    assert got.status in {400, 431}
    assert server.get(f"/{token}", {f"x-{number}": "a" * 100 for number in range(20)}).status == 200
    endless = b"GET / HTTP/1.1\r\nHost: x\r\n" + b"x: " + b"a" * 200_000
    assert re.match(rb"HTTP/1\.1 (400|431) ", server.raw(endless))


@pytest.mark.parametrize(
    "request_",
    [
        b"\x00\x01\x02\x03\r\n\r\n",
        b"GET\r\n\r\n",
        b"GET / HTTP/9.9\r\n\r\n",
        b"GET / HTTP/1.1\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: x\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nab",
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        b"GET / HTTP/1.1\r\nHost: x\r\nbad header\r\n\r\n",
    ],
)
def test_what_is_no_request_is_refused_without_a_word(server: Server, request_: bytes) -> None:
    """Bytes that are no HTTP, or HTTP that contradicts itself."""
    with socket.create_connection(("127.0.0.1", server.port), 30) as link:
        link.sendall(request_)
        link.shutdown(socket.SHUT_WR)
        answer = received(link)
    assert re.match(rb"HTTP/1\.1 4\d\d ", answer) or not answer
    for word in (b"uvicorn", b"h11", b"Python", b"Traceback", b"readiness", b"job.toml"):
        assert word not in answer


def test_an_absolute_or_foreign_host_changes_nothing(server: Server, token: str) -> None:
    """What a page shows of its own address is what the server was told, never what was asked."""
    page = server.get(f"/{token}", {"Host": "evil.example.com", "X-Forwarded-Host": "evil"})
    assert page.status == 200
    assert b"evil" not in page.body


def test_twenty_at_once_all_get_their_answer(server: Server, token: str) -> None:
    """Each on a connection of its own that stays open, pages and calendars by turns."""
    other = server.share("contractor")
    paths = [f"/{token}", f"/{token}.ics", f"/{other}", f"/{other}.ics"]
    first = [server.get(path).body for path in paths]

    def asks(number: int) -> int:
        client = http.client.HTTPConnection("127.0.0.1", server.port, timeout=30)
        right = 0
        with closing(client):
            for turn in range(20):
                at = (number + turn) % len(paths)
                got = ask(client, paths[at])
                right += (got.status, got.body) == (200, first[at])
        return right

    with ThreadPoolExecutor(20) as pool:
        assert list(pool.map(asks, range(20))) == [20] * 20


def seconds_until_hung_up(link: socket.socket, sent: bytes, *, reads: bool = True) -> float:
    """Return after how many seconds of sending the other side ends the connection; 20 is never."""
    began = time.monotonic()
    link.settimeout(0.2)
    while time.monotonic() - began < 20:
        try:
            link.sendall(sent)
            if reads and not link.recv(100):
                break
        except TimeoutError:
            continue
        except OSError:
            break
    return time.monotonic() - began


def test_who_never_finishes_asking_is_hung_up_on(tmp_path: Path) -> None:
    """A head that comes sign by sign, and one that stops; both end, others are answered."""
    with serving(tmp_path) as server:
        token = server.share("owner")
        server.start(change="connection.HEAD_SECONDS = 1.0")
        with ExitStack() as stack:
            links = [
                stack.enter_context(socket.create_connection(("127.0.0.1", server.port), 30))
                for _ in range(50)
            ]
            for link in links:
                link.sendall(b"GET / HTTP/1.1\r\nHost: x\r\n")
            assert server.get(f"/{token}").status == 200, "fifty who wait keep nobody out"
            with socket.create_connection(("127.0.0.1", server.port), 10) as silent:
                assert received(silent) == b"", "nor may one say nothing at all"
            assert seconds_until_hung_up(links[0], b"x") < 10, "no sign begins the wait anew"
            assert received(links[1]) == b""


def test_who_never_takes_the_answer_is_hung_up_on(tmp_path: Path) -> None:
    """Thousands of requests on one connection, not one answer read."""
    with serving(tmp_path) as server:
        token = server.share("contractor")
        server.start(change="connection.ANSWER_SECONDS = 1.0\napp.SHOWN = Rate(1e9, 1e9)")
        with socket.socket() as link:
            link.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4_096)
            link.connect(("127.0.0.1", server.port))
            request = f"GET /{token} HTTP/1.1\r\nHost: x\r\n\r\n".encode()
            assert seconds_until_hung_up(link, request * 50, reads=False) < 10
        assert server.get(f"/{token}").status == 200


def test_who_asks_too_often_has_to_wait(tmp_path: Path) -> None:
    """Guessing is slowed down for one address; who has a token is answered all the while."""
    with serving(tmp_path) as server:
        token, other = server.share("owner"), server.share("plumber")
        server.start(change="app.SHOWN = Rate(5, 0.01); app.REFUSED = Rate(3, 0.01)")
        guesses = [server.get(f"/guess-{number}") for number in range(6)]
        assert [got.status for got in guesses] == [404] * 3 + [429] * 3
        assert guesses[-1].body == b"Too Many Requests\n"
        assert 1 <= int(guesses[-1].headers["retry-after"]) <= 100
        shown = [server.get(f"/{token}").status for _ in range(7)]
        assert shown == [200] * 5 + [429] * 2
        assert server.get(f"/{other}").status == 200, "each token has a budget of its own"


def test_the_usual_limits_let_people_work(tmp_path: Path) -> None:
    """As delivered: a person who taps twenty times, and a guesser who is stopped."""
    with serving(tmp_path) as server:
        token = server.share("owner")
        server.start(change="")
        assert {server.get(f"/{token}").status for _ in range(20)} == {200}
        statuses = [server.get(f"/guess-{number}").status for number in range(60)]
        assert statuses[:20] == [404] * 20
        assert statuses[-1] == 429
