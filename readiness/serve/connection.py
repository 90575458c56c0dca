"""One connection, with an end to waiting: who sends or takes too slowly is hung up on.

The server library waits for the head of a request as long as the other side likes; some hundred of
those would keep everybody else out.
Invariant: from its first byte a request has its head within `HEAD_SECONDS`, and its answer is taken
within `ANSWER_SECONDS`, or the connection ends.
"""

from __future__ import annotations

import asyncio
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

HEAD_SECONDS = 10.0
ANSWER_SECONDS = 60.0


class Connection(H11Protocol):
    """A connection of the server library that does not wait for ever."""

    def __init__(self, *args: Any, **options: Any) -> None:  # noqa: ANN401  as the library has it
        super().__init__(*args, **options)
        self._deadline: asyncio.TimerHandle | None = None
        self._waits_for_head = True

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the head of the first request."""
        super().connection_made(transport)
        self._wait(HEAD_SECONDS)

    def data_received(self, data: bytes) -> None:
        """Take what came; a head that is whole makes room for the wait for its answer."""
        super().data_received(data)
        self._look()

    def on_response_complete(self) -> None:
        """Stop waiting; how long a connection may idle is the library's own business."""
        super().on_response_complete()
        self._stop()
        if self.conn.their_state is not h11.IDLE or self.conn.trailing_data[0]:
            self._look()

    def _look(self) -> None:
        """Begin a wait if it is another one than is going on."""
        waits_for_head = self.conn.their_state is h11.IDLE
        if waits_for_head != self._waits_for_head or self._deadline is None:
            self._waits_for_head = waits_for_head
            self._wait(HEAD_SECONDS if waits_for_head else ANSWER_SECONDS)

    def connection_lost(self, exc: Exception | None) -> None:
        """Stop waiting."""
        self._stop()
        super().connection_lost(exc)

    def _wait(self, seconds: float) -> None:
        self._stop()
        self._deadline = self.loop.call_later(seconds, self._hang_up)

    def _stop(self) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None

    def _hang_up(self) -> None:
        self._deadline = None
        self.transport.abort()
