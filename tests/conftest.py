"""What every test stands on: the root of the checkout, and runs that repeat.

Invariant: no test reaches the network, and none depends on the time zone, the terminal or the
settings of whoever runs it.
"""

from __future__ import annotations

import os
import socket
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest

from tests.starter import starting

ROOT = Path(__file__).resolve().parent.parent

hypothesis.settings.register_profile(
    "landing",
    deadline=None,
    derandomize=True,
    max_examples=60,
    print_blob=True,
)
hypothesis.settings.register_profile("wide", deadline=None, max_examples=1_000, print_blob=True)
hypothesis.settings.load_profile(os.environ.get("READINESS_HYPOTHESIS", "landing"))


@pytest.fixture(scope="session")
def root() -> Path:
    """Return the folder that holds the package, the samples and the documentation."""
    return ROOT


@pytest.fixture(scope="session")
def started() -> Iterator[tuple[str, ...]]:
    """Return the words that stand for `python -m readiness` where it is called very often."""
    with starting() as words:
        yield words


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """Refuse to connect anywhere but to this machine."""
    connect = socket.socket.connect

    def refuse(self: socket.socket, address: object) -> None:
        if self.family in {socket.AF_INET, socket.AF_INET6}:
            host = str(address[0]) if isinstance(address, tuple) else str(address)
            if host not in {"127.0.0.1", "::1", "localhost"}:
                message = f"a test tried to reach {host}"
                raise AssertionError(message)
        connect(self, address)  # type: ignore[arg-type]

    monkeypatch.setattr(socket.socket, "connect", refuse)


@pytest.fixture(autouse=True)
def plain_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    """Take away what a terminal or a user's settings would change in the output."""
    for name in ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR", "CLICOLOR_FORCE"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("PYTHONUTF8", "1")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark everything in `bench_*.py` as a bench, so that no bench slips into a landing."""
    for item in items:
        if item.path.name.startswith("bench_"):
            item.add_marker(pytest.mark.bench)
