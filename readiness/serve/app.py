"""One request in, one answer out: who may see what, and nothing said to anybody else.

Every refusal of one kind is the same bytes, whatever was asked for, and a path that names nothing
costs the same comparisons as a token that is nearly right.
Invariant: the only thing that is ever sent to whoever has no token is one of a few fixed sentences.
"""

from __future__ import annotations

import asyncio
import time
import traceback
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from http import HTTPStatus
from math import ceil
from typing import TYPE_CHECKING, Any

from readiness.job.problems import JobFileError
from readiness.serve.limits import Budgets, Rate
from readiness.serve.sheets import has_already, takes_packed
from readiness.serve.shelf import NothingToShowError, Shelf, Wanted

if TYPE_CHECKING:
    from collections.abc import Awaitable, Callable, Mapping, Sequence

    from readiness.serve.register import Register
    from readiness.serve.sheets import Sheet

LONGEST_PATH = 512
LARGEST_HEAD_BYTES = 16_384
SUFFIX = b".ics"
RETRY_SECONDS = 300
"""After this a job that is being mended may be asked for again."""

POLICY = (
    b"default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; "
    b"frame-ancestors 'none'"
)
CACHING = (b"cache-control", b"private, no-cache")
SECURITY = (
    CACHING,
    (b"content-security-policy", POLICY),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), geolocation=(), microphone=()"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"x-robots-tag", b"noindex, nofollow, noarchive"),
)
"""Go with every answer: a token stands in the address, which must not travel on.

Only "not changed" goes without: what was sent with the page holds for it (RFC 9110, 15.4.5).
"""

SHOWN = Rate(at_once=60, per_second=2)
"""With one token: a calendar asks every hour, a person taps again and again."""
REFUSED = Rate(at_once=30, per_second=0.2)
"""From one address, without a token that opens anything."""

Headers = list[tuple[bytes, bytes]]


@dataclass(frozen=True, slots=True)
class Answer:
    """What goes back."""

    status: int
    headers: Headers
    body: bytes = b""


@dataclass(frozen=True, slots=True)
class _Asked:
    """One request, as far as it matters."""

    method: str
    path: bytes
    query: bytes
    client: str
    headers: Mapping[bytes, bytes]
    head_bytes: int

    @property
    def has_body(self) -> bool:
        """Say whether it brings a body."""
        length = self.headers.get(b"content-length", b"0").strip()
        return length.strip(b"0") != b"" or b"transfer-encoding" in self.headers


@dataclass(slots=True)
class App:
    """The jobs that are shown and the shares that open them."""

    shelves: Sequence[Shelf]
    register: Register
    tell: Callable[[str], None]
    _shown: Budgets = field(init=False)
    _refused: Budgets = field(init=False)
    _worker: ThreadPoolExecutor = field(init=False)
    _told: str = field(init=False, default="")

    def __post_init__(self) -> None:
        """Begin with full budgets, and one worker: what is asked twice at once is made once."""
        self._shown = Budgets(SHOWN)
        self._refused = Budgets(REFUSED)
        self._worker = ThreadPoolExecutor(1, "shelf")

    async def __call__(
        self,
        scope: Mapping[str, Any],
        receive: Callable[[], Awaitable[Any]],
        send: Callable[[dict[str, Any]], Awaitable[None]],
    ) -> None:
        """Answer one request, as ASGI 3 has it."""
        del receive
        asked = _asked(scope)
        try:
            answer = await self._answer(asked)
        except Exception:  # noqa: BLE001  whatever it is, a stranger is told nothing of it
            self.tell(f"a fault of this program\n{traceback.format_exc()}")
            answer = refusal(HTTPStatus.INTERNAL_SERVER_ERROR)
        start = {"type": "http.response.start", "status": answer.status, "headers": answer.headers}
        await send(start)
        await send({"type": "http.response.body", "body": answer.body})

    async def _answer(self, asked: _Asked) -> Answer:
        refused = _malformed(asked)
        if refused is not None:
            return refused
        is_calendar = asked.path.endswith(SUFFIX)
        token = asked.path[1:].removesuffix(SUFFIX).decode("latin-1")
        try:
            share = self.register.find(token)
        except JobFileError as error:
            self._tell_once(f"nothing is shown until this is mended:\n{error}")
            return _unavailable()
        now = time.monotonic()
        if share is None:
            wait = self._refused.wait(asked.client, now)
            return _too_often(wait) if wait else refusal(HTTPStatus.NOT_FOUND)
        if wait := self._shown.wait(share.id, now):
            return _too_often(wait)
        shelf = next((one for one in self.shelves if one.job == share.job), None)
        if shelf is None:
            return refusal(HTTPStatus.NOT_FOUND)
        try:
            sheet = await self._sheet(shelf, Wanted(share.role, is_calendar, token))
        except NothingToShowError:
            return _unavailable()
        return refusal(HTTPStatus.NOT_FOUND) if sheet is None else as_taken(sheet, asked.headers)

    async def _sheet(self, shelf: Shelf, wanted: Wanted) -> Sheet | None:
        try:
            return shelf.ready(wanted)
        except KeyError:
            loop = asyncio.get_running_loop()
            return await loop.run_in_executor(self._worker, shelf.made, wanted)

    def _tell_once(self, told: str) -> None:
        if told != self._told:
            self._told = told
            self.tell(told)


def _asked(scope: Mapping[str, Any]) -> _Asked:
    pairs: list[tuple[bytes, bytes]] = list(scope["headers"])
    headers: dict[bytes, bytes] = {}
    for name, value in pairs:
        headers[name] = headers[name] + b", " + value if name in headers else value
    return _Asked(
        method=scope["method"],
        path=scope["raw_path"],
        query=scope["query_string"],
        client=(scope["client"] or ("",))[0],
        headers=headers,
        head_bytes=sum(len(name) + len(value) + 4 for name, value in pairs),
    )


def _malformed(asked: _Asked) -> Answer | None:
    """Return the refusal of what no reader of ours asks, or None."""
    if asked.has_body:
        return refusal(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, (b"connection", b"close"))
    if asked.method not in {"GET", "HEAD"}:
        return refusal(HTTPStatus.METHOD_NOT_ALLOWED, (b"allow", b"GET, HEAD"))
    if len(asked.path) + len(asked.query) > LONGEST_PATH:
        return refusal(HTTPStatus.REQUEST_URI_TOO_LONG)
    if asked.head_bytes > LARGEST_HEAD_BYTES:
        return refusal(HTTPStatus.REQUEST_HEADER_FIELDS_TOO_LARGE)
    return None


def refusal(status: HTTPStatus, *more: tuple[bytes, bytes]) -> Answer:
    """Return a refusal; it says nothing but its own name."""
    body = f"{status.phrase}\n".encode()
    headers = [
        *SECURITY,
        (b"content-type", b"text/plain; charset=utf-8"),
        (b"content-length", str(len(body)).encode()),
        *more,
    ]
    return Answer(status, headers, body)


def _too_often(wait: float) -> Answer:
    return refusal(HTTPStatus.TOO_MANY_REQUESTS, (b"retry-after", str(ceil(wait)).encode()))


def _unavailable() -> Answer:
    retry = (b"retry-after", str(RETRY_SECONDS).encode())
    return refusal(HTTPStatus.SERVICE_UNAVAILABLE, retry)


def as_taken(sheet: Sheet, headers: Mapping[bytes, bytes]) -> Answer:
    """Return a sheet as a reader takes it, or only its tag if it has it already."""
    packed = takes_packed(headers.get(b"accept-encoding", b"").decode("latin-1"))
    form = sheet.packed if packed else sheet.plain
    tag, vary = (b"etag", form.tag.encode()), (b"vary", b"accept-encoding")
    known = headers.get(b"if-none-match")
    if known is not None and has_already(form.tag, known.decode("latin-1")):
        return Answer(HTTPStatus.NOT_MODIFIED, [CACHING, tag, vary])
    length = (b"content-length", str(len(form.body)).encode())
    found: Headers = [*SECURITY, tag, vary, (b"content-type", sheet.kind), length]
    if packed:
        found.append((b"content-encoding", b"gzip"))
    return Answer(HTTPStatus.OK, found, form.body)
