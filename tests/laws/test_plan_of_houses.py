"""Plans of house jobs made by chance: accepted by the checker, never later than the solver's."""

from __future__ import annotations

import pytest

from readiness.planning.plan_levels import Level
from readiness.planning.plan_told import PlanTold
from readiness.planning.whole_plan import whole_plan
from tests.planning.house_jobs import house
from tests.planning.plan_checker import dates_of, faults

FEW = ((0, 1), (4, 2), (9, 1))
MANY = tuple((number, trips) for number in range(20) for trips in (1, 2))


def look(number: int, trips: int) -> None:
    """Hold the plan of a house against the checker and against what the solver thought of.

    Raises:
        AssertionError: A date is wrong or later.
    """
    outlook = house(number, trips).case().outlook
    timed = whole_plan(outlook).timed
    assert timed is not None
    # Two trips that people wrote and nothing forces apart are told as not proven
    open_levels = {each.level for each in timed.solved.standings if not each.is_proven}
    assert open_levels == ({Level.TRIPS} if trips > 1 else set())
    assert faults(dates_of(PlanTold(outlook, timed))) == []
    for leg_number, leg in enumerate(timed.planned.legs):
        for part, task in enumerate(leg.tasks):
            assert timed.forecast.finish[task] <= timed.solved.end(leg_number, part)
            assert timed.forecast.start[task] <= timed.solved.start(leg_number, part)


@pytest.mark.parametrize(("number", "trips"), FEW)
def test_the_plan_of_a_house_made_by_chance_is_accepted_and_proven(number: int, trips: int) -> None:
    """Links, slots, crews, rooms and keep-outs by other code; every level proven."""
    look(number, trips)


@pytest.mark.long
@pytest.mark.parametrize(("number", "trips"), MANY)
def test_the_plans_of_forty_houses_are_accepted_and_proven(number: int, trips: int) -> None:
    """Twenty houses with one trip, and the same with two."""
    look(number, trips)
