"""More to do, less time or less knowledge never makes anything earlier, open or better."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from hypothesis import assume, given
from hypothesis import strategies as st

from readiness.facts.vocabulary import Gate
from tests.laws.random_jobs import SURFACES, Plan, Work, asked_of, days, plans
from tests.laws.test_windows_and_flags import arrivals

if TYPE_CHECKING:
    from tests.builders import Asked


def known(job: Asked | None) -> Asked:
    """Return a job whose works do not wait for each other."""
    assume(job is not None)
    assert job is not None
    return job


@given(plans(), st.integers(1, 3), st.sampled_from((("bath",), ("kitchen",), ("bath", "kitchen"))))
def test_more_work_before_the_foam_never_opens_earlier(
    plan: Plan, length: int, rooms: tuple[str, ...]
) -> None:
    less = known(asked_of(plan))
    more = Work("w9", "framer", rooms, "before", length)
    fuller = known(asked_of(replace(plan, works=(*plan.works, more))))
    for surface in SURFACES:
        assert fuller.window(surface).opens >= less.window(surface).opens


@given(plans(), st.lists(days, min_size=1, max_size=3, unique=True))
def test_a_day_off_never_makes_an_early_date_earlier(plan: Plan, off: list[str]) -> None:
    usual = known(asked_of(plan)).outlook.forecast
    shorter = known(asked_of(replace(plan, off=tuple(off)))).outlook.forecast
    for before, after in zip(usual.nodes, shorter.nodes, strict=True):
        assert after >= before


def leading_to_board(job: Asked) -> set[int]:
    """Return the tasks from which a path of open tasks leads to the board start."""
    finished = job.outlook.known.state.finished
    found, waiting = {job.site.board_start}, [job.site.board_start]
    while waiting:
        task = waiting.pop()
        for link in job.site.links:
            if link.target == task and link.source not in finished and link.source not in found:
                found.add(link.source)
                waiting.append(link.source)
    return found


@given(plans(), st.lists(days, min_size=1, max_size=3, unique=True))
def test_a_day_off_never_makes_a_late_date_later_against_an_agreed_board(
    plan: Plan, off: list[str]
) -> None:
    agreed = replace(plan, head=plan.head + "board = 2026-05-26\n")
    usual = known(asked_of(agreed))
    shorter = known(asked_of(replace(agreed, off=tuple(off))))
    for task in leading_to_board(usual):
        assert shorter.outlook.late.start[task] <= usual.outlook.late.start[task]
        assert shorter.outlook.late.finish[task] <= usual.outlook.late.finish[task]


@given(plans(), days, days)
def test_a_later_booking_of_work_after_the_foam_never_closes_earlier(
    plan: Plan, one: str, other: str
) -> None:
    work = Work("w9", "plumber", ("bath", "kitchen"), "after", 1)
    early, late = (
        known(asked_of(replace(plan, works=(*plan.works, replace(work, booked=day)))))
        for day in sorted((one, other))
    )
    for surface in SURFACES:
        assert early.window(surface).closes <= late.window(surface).closes
        assert early.window(surface).last_start <= late.window(surface).last_start


@st.composite
def told_of_before(draw: st.DrawFn) -> tuple[Plan, Plan]:
    """Draw a plan with one trip, and the same with more known of what belongs before the foam."""
    plan = replace(draw(plans()), early=())
    more = plan
    for work in plan.works:
        if work.order == "before" and not work.done and draw(st.booleans()):
            more = more.with_work(work.name, done_in=work.rooms)
    passed = {(look, surface) for look, surface, _ in plan.looks}
    for look in ("wiring-look", "frame-look"):
        for surface in SURFACES:
            if (look, surface) not in passed and draw(st.booleans()):
                more = replace(more, looks=(*more.looks, (look, surface, "2026-05-04T06:00:00")))
    if "set = 2026-05-01" in plan.thing and draw(st.booleans()):
        more = replace(more, thing="set = 2026-05-01, pulled = 2026-05-02")
    return plan, more


@given(told_of_before(), arrivals, st.sampled_from((Gate.PROMISE, Gate.ROLL, Gate.GUN)))
def test_knowing_more_of_what_belongs_before_never_makes_a_verdict_worse(
    pair: tuple[Plan, Plan], on: int, gate: Gate
) -> None:
    """Read the other way round: taking such evidence away never makes one better."""
    less, more = (known(asked_of(plan)) for plan in pair)
    before, after = less.verdicts(gate, on), more.verdicts(gate, on)
    assert after.is_yes >= before.is_yes
    for surface in SURFACES:
        assert after.surfaces[surface].flags.early <= before.surfaces[surface].flags.early
