"""Backward steps with failures and delays undo the forward ones, and short tables are noticed."""

from __future__ import annotations

import random

import numpy as np
import pytest

from readiness.job.durations import Duration
from readiness.job.instants import NEVER
from readiness.planning.trials import Change, Subject, Wait, _tried_in, tried
from readiness.planning.trials_drawn import Spread, Stretch, Uncertain
from readiness.planning.trials_latest import Closing
from readiness.planning.trials_pass import MOST_FAILURES, Chances, Office, Passing, again_of
from readiness.planning.trials_steps import BEFORE, Value
from readiness.planning.trials_tables import BEYOND, SlotTable, tables_of
from readiness.schedule.calendar import Calendar
from readiness.schedule.network import compiled
from readiness.schedule.notice import Asking
from readiness.schedule.slots import Slots
from readiness.schedule.state import State
from tests.builders import ROOMS, TRIP, asked
from tests.schedule.builders import DAY, MONDAY, link, nine_calendars, task

TRIALS = 60
LOW, HIGH = MONDAY - 40 * DAY, MONDAY + 120 * DAY


def slots(low: int, high: int) -> list[tuple[int, int]]:
    """Return the office's slots: two on Tuesdays, one on Fridays."""
    first, last = (low - MONDAY) // DAY - 1, (high - MONDAY) // DAY + 1
    found = [
        (MONDAY + day * DAY + opened, MONDAY + day * DAY + opened + 150)
        for day in range(first, last)
        for on, opened in ((1, 540), (1, 780), (4, 600))
        if day % 7 == on
    ]
    return [slot for slot in found if low <= slot[0] < high]


def closing(calendar: Calendar, minutes: int) -> Closing:
    """Return one task on a calendar behind a trip that plays no part."""
    network = compiled([task(0, minutes, 0)], [], None)
    calendars = (calendar,)
    tables = tables_of(calendars, {0}, nine_calendars()[0], (LOW, HIGH))
    again = None
    job = asked(ROOMS + TRIP)
    if isinstance(calendar, Slots):
        table = tables.of[0]
        assert isinstance(table, SlotTable)
        hours = job.site.calendars[job.site.job_calendar]
        office = Office(Asking(Duration.parse("1 d"), "", hours), nine_calendars(30)[0], 300)
        again = {0: again_of(office, table, LOW)}
    passing = Passing(network, calendars, State(), tables, None, again)
    return Closing(passing, job.site.trips["first"], frozenset(), (), {}, {}, frozenset(), NEVER)


def minutes_of(chooser: random.Random) -> np.ndarray[tuple[int], np.dtype[np.int32]]:
    """Return a limit for each trial, in the middle of the tables."""
    found = [chooser.randrange(60 * DAY, 100 * DAY) for _ in range(TRIALS)]
    return np.array(found, dtype=np.int32)


def holds(value: Value, limit: Value) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Say trial by trial whether a value is no later than a limit."""
    return np.broadcast_to(np.asarray(value) <= np.asarray(limit), (TRIALS,))


@pytest.mark.parametrize("seed", range(20))
def test_a_look_that_fails_is_in_time_exactly_up_to_its_latest_limits(seed: int) -> None:
    chooser = random.Random(seed)
    behind = closing(Slots(slots, LOW, HIGH), 1)
    failures = np.array([chooser.randrange(MOST_FAILURES + 1) for _ in range(TRIALS)], np.int32)
    chances = Chances({}, {}, {0: failures})
    wanted = (minutes_of(chooser), minutes_of(chooser))
    latest = behind._worked_back(0, wanted, chances)
    for moved in (0, 1, chooser.randrange(2, 3 * DAY)):
        for limits in ((latest[0] + moved, BEFORE), (BEFORE, latest[1] + moved)):
            start, finish = behind.passing.timed(0, limits, chances)
            in_time = holds(start, wanted[0]) & holds(finish, wanted[1])
            assert in_time.tolist() == [moved == 0] * TRIALS


@pytest.mark.parametrize("seed", range(20))
def test_a_start_held_up_is_in_time_exactly_up_to_its_latest_limits(seed: int) -> None:
    chooser = random.Random(seed)
    behind = closing(chooser.choice(nine_calendars(30)), chooser.randrange(1, 900))
    delay = np.array([chooser.choice((0, 480, 960)) for _ in range(TRIALS)], np.int32)
    chances = Chances({}, {0: delay}, {})
    wanted = (minutes_of(chooser), minutes_of(chooser))
    latest = behind._worked_back(0, wanted, chances)
    for moved in (0, 1, chooser.randrange(2, 3 * DAY)):
        start, finish = behind.passing.timed(0, (latest[0] + moved, BEFORE), chances)
        in_time = holds(start, wanted[0]) & holds(finish, wanted[1])
        assert in_time.tolist() == [moved == 0] * TRIALS


def spread_out() -> Subject:
    """Return three works in a row, the last of them between a day and a hundred."""
    calendars = tuple(nine_calendars(4))
    tasks = [task(index, 480, index) for index in range(3)]
    return Subject(
        network=compiled(tasks, [link(0, 1), link(1, 2)], 0),
        calendars=calendars,
        state=State(as_of=MONDAY, held_by_as_of=frozenset(range(3))),
        within=frozenset(range(3)),
        waits=(Wait(2, 5, 0, elapsed=False, fixed=None),),
        uncertain=Uncertain(spreads=(Spread("w", (Stretch(2, 480, 480, 48_000),)),)),
        group={index: index for index in range(3)},
        groups=3,
        offices={},
    )


def test_tables_that_are_too_short_are_noticed_and_made_longer() -> None:
    subject = spread_out()
    asked_for = ((100, 1), (_unchanged(),))
    assert _tried_in(subject, (MONDAY - DAY, MONDAY + 20 * DAY), *asked_for) is None
    outcome = tried(subject, 100, 1)[0]
    assert outcome.opens.max() < NEVER
    long = _tried_in(subject, (MONDAY - DAY, MONDAY + 900 * DAY), *asked_for)
    assert long is not None
    assert long[0].opens.tolist() == outcome.opens.tolist()


def test_a_finish_without_end_in_the_longest_tables_has_no_date() -> None:
    """What lies past the last table that is tried is `NEVER`, not a date at its end."""
    cut = _tried_in(
        spread_out(), (MONDAY - DAY, MONDAY + 20 * DAY), (100, 1), (_unchanged(),), at_last=True
    )
    assert cut is not None
    assert NEVER in cut[0].opens
    assert all(at == NEVER or at <= MONDAY + 20 * DAY for at in cut[0].opens.tolist())
    assert BEYOND > 20 * DAY


def _unchanged() -> Change:

    return Change()
