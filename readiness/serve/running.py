"""Opens the door and keeps it open until somebody ends the program.

Invariant: nothing but this machine reaches it unless another host is named; no address that was
asked for, and so no token, is written into a log.
"""

from __future__ import annotations

import signal
import socket
from ipaddress import ip_address
from typing import TYPE_CHECKING

import uvicorn

from readiness.job.problems import JobFileError, Problem
from readiness.serve.app import LARGEST_HEAD_BYTES
from readiness.serve.connection import Connection

if TYPE_CHECKING:
    from readiness.serve.app import App

MOST_CONNECTIONS = 200
IDLE_SECONDS = 15
LAST_SECONDS = 3
"""For answers under way when the program is ended."""


def door(host: str, port: int) -> socket.socket:
    """Return a socket that listens.

    Raises:
        JobFileError: The host is not known here, or the port is taken.
    """
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        return socket.create_server((host, port), family=family, backlog=MOST_CONNECTIONS)
    except (OSError, OverflowError) as error:
        why = getattr(error, "strerror", None) or str(error)
        what = f"nothing can be served there ({why})"
        hint = "choose another one with --port, or leave --host out"
        raise JobFileError([Problem(f"{host}:{port}", None, "", what, hint=hint)]) from None


def is_only_here(listening: socket.socket) -> bool:
    """Say whether nothing but this machine reaches a door."""
    return ip_address(str(listening.getsockname()[0]).partition("%")[0]).is_loopback


def serve(app: App, listening: socket.socket) -> None:
    """Answer until the program is ended, by ctrl+c from the first moment on."""
    config = uvicorn.Config(
        app,
        http=Connection,
        ws="none",
        lifespan="off",
        loop="asyncio",
        interface="asgi3",
        log_config=None,
        log_level="critical",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_CONNECTIONS,
        timeout_keep_alive=IDLE_SECONDS,
        timeout_graceful_shutdown=LAST_SECONDS,
        h11_max_incomplete_event_size=LARGEST_HEAD_BYTES,
    )
    server = uvicorn.Server(config)

    def end(*_: object) -> None:
        server.should_exit = True

    # The server listens to ctrl+c only once its loop runs; what comes sooner must not tear that up
    signal.signal(signal.SIGINT, end)
    server.run(sockets=[listening])
