"""What spraying anyway would mean, and what it costs by the job's own prices."""

from __future__ import annotations

from readiness.questions.anyway import AnywayAnswer, anyway
from tests.builders import ROOMS, TRIP, asked

WORK = """
[work]
wiring = { trade = "electrician", in = ["bath", "kitchen"], order = "before", takes = "20 d" }
hanging = { trade = "framer", in = ["bath"], order = "before", takes = "20 d" }
"""
DEEP = ROOMS.replace('area = "100 sq ft"', 'area = "100 sq ft", depth = "3 in"')
COSTS = '[costs]\ncurrency = "USD"\ncut_out = 4\nfoam = 1.5\ntrip = 850\n'


def answer(costs: str, rooms: str = DEEP) -> AnywayAnswer:
    """Return what spraying anyway on the booked day would mean."""
    return anyway(asked(rooms + WORK + TRIP + costs).case)


def test_a_line_costs_its_own_foam_and_the_sum_takes_each_surface_once() -> None:
    """100 sq ft to cut at 4 and 300 board feet at 1.50 are 850 for each surface."""
    told = answer(COSTS)
    prices: dict[str, list[float | None]] = {line.who.id: [] for line in told.lines}
    for line in told.lines:
        prices[line.who.id].append(line.price)
    assert sum(price or 0 for price in prices["framer"]) == 850
    assert sum(price or 0 for price in prices["electrician"]) == 2 * 850
    assert told.price == 2 * 850 + 850
    assert told.missing_prices == ()


def test_without_own_prices_none_is_told_and_what_is_missing_is() -> None:
    told = answer("[costs]\nfoam = 1.5\n")
    assert told.price is None
    assert all(line.price is None for line in told.lines)
    assert told.missing_prices == ("cut_out", "trip")


def test_without_a_depth_there_is_no_price_either() -> None:
    told = answer(COSTS, rooms=ROOMS)
    assert told.price is None
    assert told.missing_prices == ("depth",)
