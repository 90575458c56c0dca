"""How long `check` takes from a cold start, against importing what it cannot do without.

Invariant: both sides are whole processes, started alike, in turns.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.bench.ratio import compare, fails_when_delayed
from tests.conftest import ROOT

LIMIT = 1.5
NEEDED = "from pydantic import BaseModel; import click, networkx, holidays, dateutil"
HOUSE = ROOT / "sample_jobs" / "two-storey-house"


def run(*words: str) -> int:
    """Run one fresh interpreter, quietly, and return its exit code."""
    return subprocess.run(
        [sys.executable, *words],
        cwd=ROOT,
        env={**os.environ, "PYTHONDONTWRITEBYTECODE": ""},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    ).returncode


def check_the_house() -> None:
    assert run("-m", "readiness", "check", str(HOUSE)) in {0, 4}


def import_what_it_needs() -> None:
    assert run("-c", NEEDED) == 0


@pytest.fixture(autouse=True)
def _sample_is_there() -> None:
    assert Path(HOUSE, "job.toml").is_file()


def test_check_of_the_house_starts_quickly() -> None:
    compare(
        "check of the house from a cold start",
        check_the_house,
        import_what_it_needs,
        limit=LIMIT,
        turns=11,
    ).check()


def test_the_bench_notices_a_delay() -> None:
    fails_when_delayed("check with a delay", check_the_house, import_what_it_needs, limit=LIMIT)
