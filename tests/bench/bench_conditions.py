"""How long `conditions` with an hourly forecast takes from a cold start, against `check`.

Invariant: both sides are whole processes, started alike, in turns.
"""

from __future__ import annotations

from tests.bench.bench_cold_start import HOUSE, check_the_house, run
from tests.bench.ratio import compare, fails_when_delayed

LIMIT = 1.5


def conditions_of_the_house() -> None:
    forecast = str(HOUSE / "forecast.csv")
    assert run("-m", "readiness", "conditions", str(HOUSE), "--forecast", forecast) in {0, 4}


def test_conditions_of_the_house_start_quickly() -> None:
    compare(
        "conditions of the house from a cold start",
        conditions_of_the_house,
        check_the_house,
        limit=LIMIT,
        turns=7,
    ).check()


def test_the_bench_notices_a_delay() -> None:
    fails_when_delayed(
        "conditions with a delay", conditions_of_the_house, check_the_house, limit=LIMIT
    )
