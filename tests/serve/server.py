"""A server as people run it: a process of its own, on a free port of this machine.

Invariant: its shares, settings and job are made for one test, and the process is gone afterwards.
"""

from __future__ import annotations

import http.client
import os
import queue
import re
import shutil
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from readiness.desk.shares import make_shares, take_back
from tests.conftest import ROOT

PATIENCE_SECONDS = 30.0
"""A guard, not a measure."""

START = """
import sys
import readiness.serve.app as app
import readiness.serve.connection as connection
from readiness.serve.limits import Rate
{change}
from readiness.__main__ import main
sys.argv = ["readiness", *sys.argv[1:]]
main()
"""
KEY = re.compile(r'^key\s*=\s*"(\w+)"', re.MULTILINE)
WITHOUT_LIMITS = "app.SHOWN = app.REFUSED = Rate(1e9, 1e9)"


@dataclass(frozen=True)
class Got:
    """An answer."""

    status: int
    headers: Mapping[str, str]
    body: bytes


@dataclass
class Server:
    """One server, its job and its shares."""

    folder: Path
    sample: str = "two-storey-house"
    url: str = ""
    port: int = 0
    process: subprocess.Popen[str] | None = None
    told: list[str] = field(default_factory=list)
    _lines: queue.Queue[str] = field(default_factory=queue.Queue)

    @property
    def job(self) -> Path:
        return self.folder / "job"

    @property
    def job_file(self) -> Path:
        return self.job / "job.toml"

    @property
    def shares(self) -> Path:
        return self.folder / "state" / "readiness" / "shares.json"

    @property
    def environment(self) -> dict[str, str]:
        return {
            **os.environ,
            "XDG_STATE_HOME": str(self.folder / "state"),
            "XDG_CONFIG_HOME": str(self.folder / "config"),
            "PYTHONPATH": str(ROOT),
        }

    def copy_job(self, text: str | None = None) -> None:
        shutil.copytree(ROOT / "sample_jobs" / self.sample, self.job)
        if text is not None:
            self.job_file.write_text(text, encoding="utf-8")

    @property
    def key(self) -> str:
        found = KEY.search(self.job_file.read_text(encoding="utf-8"))
        assert found
        return found[1]

    def share(self, role: str) -> str:
        """Share with a role and return its token."""
        (made,) = make_shares(self.shares, self.key, [role], "2026-06-09")
        return made.token

    def take_back(self, token: str) -> None:
        from readiness.desk.shares import digest_of, read_shares

        ids = [one.id for one in read_shares(self.shares) if one.digest == digest_of(token)]
        assert ids
        take_back(self.shares, ids)

    def run(self, *words: str) -> str:
        """Run another command of ours beside the server."""
        done = subprocess.run(
            [sys.executable, "-m", "readiness", *words],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            check=False,
            timeout=PATIENCE_SECONDS,
        )
        assert done.returncode in {0, 4}, done.stderr
        return done.stdout

    def start(self, *words: str, change: str = WITHOUT_LIMITS) -> None:
        program = START.format(change=change)
        self.process = subprocess.Popen(
            [sys.executable, "-c", program, "serve", str(self.job), "--port", "0", *words],
            cwd=ROOT,
            env=self.environment,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        threading.Thread(target=self._read, daemon=True).start()
        self.url = self.wait_for(r"serving (https?://\S+);")[1]
        self.port = int(self.wait_for(r"port (\d+) ")[1])

    def _read(self) -> None:
        assert self.process is not None
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self._lines.put(line)

    def wait_for(self, pattern: str) -> re.Match[str]:
        """Return where the server tells something, waiting for it if it has not yet."""
        until = time.monotonic() + PATIENCE_SECONDS
        while True:
            found = re.search(pattern, "".join(self.told))
            if found is not None:
                return found
            left = until - time.monotonic()
            try:
                self.told.append(self._lines.get(timeout=max(left, 0.01)))
            except queue.Empty:
                raise AssertionError(f"{pattern} was not told:\n{''.join(self.told)}") from None

    def all_told(self) -> str:
        """Return everything that was told by now."""
        with suppress(queue.Empty):
            while True:
                self.told.append(self._lines.get_nowait())
        return "".join(self.told)

    def get(
        self,
        path: str,
        headers: Mapping[str, str] | None = None,
        *,
        method: str = "GET",
        body: bytes | None = None,
    ) -> Got:
        """Ask once, on a connection of its own."""
        client = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_SECONDS)
        with closing(client):
            return ask(client, path, headers, method=method, body=body)

    def raw(self, request: bytes) -> bytes:
        """Send bytes as they are and return all that comes back until the other side ends."""
        with socket.create_connection(("127.0.0.1", self.port), PATIENCE_SECONDS) as link:
            link.sendall(request)
            return received(link)

    def stop(self) -> None:
        if self.process is None:
            return
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait(10)
        assert self.process.stdout is not None
        self.process.stdout.close()


def ask(
    client: http.client.HTTPConnection,
    path: str,
    headers: Mapping[str, str] | None = None,
    *,
    method: str = "GET",
    body: bytes | None = None,
) -> Got:
    """Ask once on an open connection."""
    client.request(method, path, body=body, headers=dict(headers or {}))
    answer = client.getresponse()
    content = answer.read()
    found = {name.casefold(): value for name, value in answer.getheaders()}
    return Got(answer.status, found, content)


def received(link: socket.socket) -> bytes:
    """Return all that comes until the other side ends the connection."""
    parts = []
    with suppress(ConnectionResetError):
        while part := link.recv(65_536):
            parts.append(part)
    return b"".join(parts)


@contextmanager
def serving(folder: Path, text: str | None = None) -> Iterator[Server]:
    """Yield a server that is not started yet, its job in place; stop it afterwards."""
    server = Server(folder)
    server.copy_job(text)
    try:
        yield server
    finally:
        server.stop()
