"""The law of the two edges: too early means before the opening, too late after the last start."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st

from readiness.facts.vocabulary import Category, Gate
from tests.builders import at
from tests.laws.random_jobs import Plan, asked_of, plans

arrivals = st.tuples(st.integers(5, 20), st.sampled_from(("07:00", "10:30", "15:00"))).map(
    lambda pair: at(f"2026-05-{pair[0]:02} {pair[1]}")
)


@given(plans(), arrivals, st.sampled_from(("first", "early")))
def test_flags_at_the_promise_gate_are_the_two_edges(plan: Plan, on: int, trip: str) -> None:
    """For surfaces all of whose `before` requirements have an item."""
    job = asked_of(plan)
    assume(job is not None and trip in job.site.trips)
    assert job is not None
    verdicts = job.verdicts(Gate.PROMISE, on, trip)
    never = job.outlook.known.state.never
    for surface in job.site.trips[trip].surfaces:
        flags, window = verdicts.surfaces[surface].flags, job.window(surface)
        requirements = [job.site.requirements[n] for n in job.site.requirements_at[surface]]
        without_item_failing = any(
            not verdicts.standings[r.index].passes
            for r in requirements
            if r.category is Category.BEFORE and r.task is None
        )
        stands = any(r.task in never for r in requirements)
        assert flags.early == (on < window.opens or without_item_failing)
        assert flags.late == (on > window.last_start or stands)


@given(plans(), arrivals)
def test_the_verdict_is_yes_exactly_when_nothing_holds_it_up(plan: Plan, on: int) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    for gate in (Gate.PROMISE, Gate.ROLL, Gate.GUN):
        assert job.verdicts(gate, on).is_yes == (not job.blockers(gate, on))
