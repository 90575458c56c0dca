"""What spraying anyway would mean, and what it costs by the job's own prices."""

from __future__ import annotations

from datetime import date

from readiness.desk.desk import open_desk
from readiness.questions.anyway import AnywayAnswer, anyway
from tests.builders import ROOMS, TRIP, asked
from tests.conftest import ROOT

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


def test_for_a_walk_that_is_missing_a_look_is_lost_and_no_foam_is_cut() -> None:
    """The walk with the owner puts nothing behind the foam; so it has no price either."""
    folder = ROOT / "sample_jobs" / "garden-room-addition"
    told = anyway(open_desk(folder).case(), date(2026, 8, 25))
    walk = next(line for line in told.lines if "Walk the open walls" in line.says)
    assert walk.possible
    assert walk.then.startswith("that look at what the foam hides is lost on")
    assert walk.then.endswith("no foam is cut for it")
    assert walk.price is None
    assert walk.square_feet == 0
    cut = [line for line in told.lines if "cuts foam open" in line.then]
    assert cut
    assert all(line.price is not None for line in cut)
