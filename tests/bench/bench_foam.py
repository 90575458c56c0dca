"""How long `foam` takes from a cold start, against `check` of the same house.

Invariant: both sides are whole processes, started alike, in turns.
"""

from __future__ import annotations

from tests.bench.bench_cold_start import HOUSE, check_the_house, run
from tests.bench.ratio import compare, fails_when_delayed

LIMIT = 1.5


def foam_of_the_house() -> None:
    assert run("-m", "readiness", "foam", str(HOUSE)) in {0, 4}


def test_foam_of_the_house_starts_quickly() -> None:
    compare(
        "foam of the house from a cold start",
        foam_of_the_house,
        check_the_house,
        limit=LIMIT,
        turns=7,
    ).check()


def test_the_bench_notices_a_delay() -> None:
    fails_when_delayed("foam with a delay", foam_of_the_house, check_the_house, limit=LIMIT)
