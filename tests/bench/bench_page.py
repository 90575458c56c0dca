"""How long `page` takes from a cold start, against `check` of the same job.

Invariant: both sides are whole processes, started alike, in turns.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.bench_cold_start import HOUSE, check_the_house, run
from tests.bench.ratio import compare, fails_when_delayed

LIMIT = 2.0


@pytest.fixture
def page_of_the_house(tmp_path: Path) -> list[str]:
    target = str(tmp_path / "page.html")
    return ["-m", "readiness", "page", str(HOUSE), "--for", "contractor", "--out", target]


def test_the_page_of_the_house_is_quick(page_of_the_house: list[str]) -> None:
    def page() -> None:
        assert run(*page_of_the_house) == 0

    compare("page of the house against check", page, check_the_house, limit=LIMIT, turns=9).check()


def test_the_bench_notices_a_delay(page_of_the_house: list[str]) -> None:
    fails_when_delayed(
        "page with a delay", lambda: run(*page_of_the_house), check_the_house, limit=LIMIT
    )
