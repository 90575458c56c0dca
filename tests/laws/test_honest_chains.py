"""A told chain is a row of true sentences: each step imposes what it says."""

from __future__ import annotations

from hypothesis import assume, given

from readiness.job.instants import EARLIER, is_dated
from readiness.schedule.chains import chain
from readiness.schedule.forward import calendar_at, imposed
from readiness.schedule.network import INTO_FINISH
from tests.laws.random_jobs import Plan, asked_of, plans


@given(plans())
def test_each_step_of_a_chain_imposes_what_it_says(plan: Plan) -> None:
    job = asked_of(plan)
    assume(job is not None)
    assert job is not None
    outlook = job.outlook
    network, calendars, forecast = outlook.network, outlook.calendars, outlook.forecast
    for task in (job.site.board_start, *job.site.trips["first"].sprays.values()):
        if not is_dated(forecast.finish[task]):
            continue
        steps = chain(task, network, calendars, forecast, outlook.known.state)
        for step, following in zip(steps, (*steps[1:], None), strict=True):
            if step.link is None or following is None:
                assert following is None
                continue
            link = network.links[step.link]
            assert link.target == step.task
            assert link.source == following.task
            assert step.imposed == imposed(link, network, calendars, forecast)
            if step.task in outlook.known.state.begun or not is_dated(step.imposed):
                continue
            calendar = calendar_at(calendars, network.calendar[step.task])
            minutes = network.minutes[step.task]
            into_finish = link.kind in INTO_FINISH
            limits = (EARLIER, step.imposed) if into_finish else (step.imposed, EARLIER)
            start, finish = calendar.earliest(*limits, minutes)
            assert (start, finish) == (forecast.start[step.task], forecast.finish[step.task])
