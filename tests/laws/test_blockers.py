"""Blockers are exact: clearing all of them gives a yes, and clearing all but any one does not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import assume, event, given
from hypothesis.strategies import sampled_from

from readiness.facts.vocabulary import Gate
from readiness.gates.blockers import Holds
from tests.laws.random_jobs import CODES, Plan, asked_of, plans
from tests.laws.test_windows_and_flags import arrivals

if TYPE_CHECKING:
    from readiness.gates.blockers import Blocker
    from tests.builders import Asked

NOW = "2026-05-04T06:20:00"
WINDOW_WORDS = {"too early", "too late", "crossed", "not prepared", "on course", "ready"}
"""Words of a surface whose foam has not begun."""


def cleared(plan: Plan, blocker: Blocker, job: Asked) -> Plan:
    """Return the plan with the statements that clear one blocker."""
    names = {work.name for work in plan.works}
    if blocker.code == "keep-out":
        return replace(plan, early_day="")
    if blocker.code == "tub":
        return replace(plan, thing="")
    if blocker.code == "pile":
        return replace(plan, pile=False)
    if blocker.code in CODES:
        return replace(plan, answers=(*plan.answers, (blocker.code, "yes", NOW)))
    if blocker.code not in names:
        looks = tuple((blocker.code, surface, NOW) for surface in blocker.surfaces)
        return replace(plan, looks=(*plan.looks, *looks))
    if blocker.holds is Holds.LATE:
        begun = any(work.begun or work.done for work in plan.works if work.name == blocker.code)
        # Of what has begun there is no booking to strike; it is in nobody's way once it is free
        return plan.with_work(blocker.code, order="free" if begun else "after", booked="")
    tasks = [job.site.requirements[number].task for number in blocker.requirements]
    places = [job.site.tasks[task].place for task in tasks if task is not None]
    before = next(work.done_in for work in plan.works if work.name == blocker.code)
    return plan.with_work(blocker.code, done_in=tuple(dict.fromkeys((*before, *places))))


def forecast_again(blocker: Blocker, job: Asked, again: Asked) -> bool:
    """Say whether a blocker is there only because a cleared one let a committed work come sooner.

    Work that is booked for Tuesday and waits for pipes until Friday closes on Friday; once the
    pipes are told to be in, it comes on Tuesday.
    """
    before = {
        (surface, closer.task): closer.commit
        for surface in blocker.surfaces
        for closer in job.window(surface).closers
    }
    now = [
        closer.commit < before.get((surface, closer.task), closer.commit)
        for surface in blocker.surfaces
        for closer in again.window(surface).closers
        if closer in blocker.closers
    ]
    return any(now)


def _comes_sooner(blocker: Blocker, job: Asked, again: Asked) -> bool:
    """Say whether the task of a blocker is forecast sooner in the job that was asked again.

    The task is found by its id: where a thing is gone, those behind it have other indexes.
    """
    if blocker.task is None:
        return False
    name = job.site.tasks[blocker.task].id
    now = next((task.index for task in again.site.tasks if task.id == name), None)
    finish, before = again.outlook.forecast.finish, job.outlook.forecast.finish[blocker.task]
    return now is not None and finish[now] < before


@given(plans(), arrivals)
def test_clearing_all_blockers_gives_a_yes(plan: Plan, on: int) -> None:
    """With nothing forecast again."""
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    changed = plan
    for blocker in job.blockers(Gate.PROMISE, on):
        changed = cleared(changed, blocker, job)
    again = asked_of(changed)
    assert again is not None
    left = again.blockers(Gate.PROMISE, on)
    assert again.verdicts(Gate.PROMISE, on).is_yes == (not left)
    for blocker in left:
        assert forecast_again(blocker, job, again), blocker


@given(plans(), arrivals)
def test_clearing_all_but_one_does_not(plan: Plan, on: int) -> None:
    """Unless the one left waited for another and is now in time, or a look has shown it."""
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    blockers = job.blockers(Gate.PROMISE, on)
    for left in blockers:
        changed = plan
        for blocker in blockers:
            if blocker is not left:
                changed = cleared(changed, blocker, job)
        again = asked_of(changed)
        assert again is not None
        waited = left.holds is not Holds.LATE and _comes_sooner(left, job, again)
        shown = any(work.name == left.code and work.approval for work in plan.works)
        event("waited for another" if waited else "stands alone")
        assert waited or shown or not again.verdicts(Gate.PROMISE, on).is_yes, left


@given(plans(), arrivals, sampled_from((Gate.PROMISE, Gate.ROLL, Gate.GUN)))
def test_a_surface_has_a_flag_exactly_for_the_sides_that_something_holds_it_up_from(
    plan: Plan, on: int, gate: Gate
) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    blockers = job.blockers(gate, on)
    for surface, verdict in job.verdicts(gate, on).surfaces.items():
        if not verdict.counts or verdict.word.value not in WINDOW_WORDS:
            continue
        sides = {blocker.holds for blocker in blockers if surface in blocker.surfaces}
        flags = {
            Holds.EARLY: verdict.flags.early,
            Holds.LATE: verdict.flags.late,
            Holds.UNPREPARED: verdict.flags.unprepared,
        }
        event(verdict.word.value)
        assert sides == {side for side, is_set in flags.items() if is_set}
