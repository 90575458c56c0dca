"""The command line, run as a user would run it."""

from __future__ import annotations

import subprocess
from collections.abc import Callable

import pytest

from tests.conftest import ROOT

Run = Callable[..., subprocess.CompletedProcess[str]]


@pytest.fixture
def run(started: tuple[str, ...]) -> Run:
    """Return what runs one command from the root of the checkout."""

    def run_it(*words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [*started, *words], cwd=ROOT, capture_output=True, text=True, check=False, timeout=60
        )

    return run_it
