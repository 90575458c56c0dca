"""What drives a task, and the told chain behind it."""

from __future__ import annotations

from readiness.schedule.calendar import Calendar
from readiness.schedule.chains import Drivers, Step, all_drivers, chain, drivers_of
from readiness.schedule.forward import forward
from readiness.schedule.network import Network, compiled
from readiness.schedule.state import Begun, Finished, Hold, State
from readiness.site.task import LinkKind
from tests.schedule.builders import DAY, MONDAY, link, task, weekly

EIGHT = MONDAY + 8 * 60
SIXTEEN = MONDAY + 16 * 60
BASE = weekly([(8 * 60, 16 * 60)], (0, 1, 2, 3, 4))
SHIFT: list[Calendar] = [BASE, BASE.without([(EIGHT, EIGHT + DAY)])]


def drivers(number: int, network: Network, state: State) -> Drivers:
    forecast = forward(network, SHIFT, state)
    found = drivers_of(number, network, SHIFT, forecast, state)
    at_once = all_drivers(network, SHIFT, forecast, state)
    assert (at_once.links[number], at_once.holds[number]) == found
    return found


def told(number: int, network: Network, state: State) -> tuple[Step, ...]:
    return chain(number, network, SHIFT, forward(network, SHIFT, state), state)


def test_every_link_that_gives_the_date_is_kept() -> None:
    """One imposes Monday evening, one Monday 16:00, one Tuesday 8:00: all give Tuesday 8:00."""
    tasks = [task(0, 480, 0), task(1, 700), task(2, 10, 0), task(3, 60, 0)]
    links = [link(0, 3), link(1, 3), link(2, 3, gap=1430, elapsed=True), link(2, 3)]
    state = State(bookings=dict.fromkeys(range(3), EIGHT))
    assert drivers(3, compiled(tasks, links, 0), state) == Drivers((0, 1, 2), ())


def test_as_of_a_booking_and_a_notice_can_drive_together() -> None:
    state = State(
        as_of=EIGHT - 60,
        held_by_as_of=frozenset({0}),
        bookings={0: EIGHT},
        notices={0: EIGHT - 3 * DAY + 600},
    )
    network = compiled([task(0, 60, 0)], [], 0)
    assert drivers(0, network, state) == Drivers((), (Hold.AS_OF, Hold.BOOKING, Hold.NOTICE))


def test_a_booking_before_the_date_does_not_drive() -> None:
    network = compiled([task(0, 480, 0), task(1, 60, 0)], [link(0, 1)], 0)
    state = State(bookings={0: EIGHT, 1: EIGHT + 300})
    assert drivers(1, network, state) == Drivers((0,), ())


def test_a_finish_limit_drives_if_it_decides() -> None:
    tasks = [task(0, 300, 0), task(1, 60, 0)]
    links = [link(0, 1, LinkKind.END_TO_END), link(0, 1, LinkKind.START_TO_START)]
    state = State(bookings={0: EIGHT})
    assert drivers(1, compiled(tasks, links, 0), state) == Drivers((0,), ())


def test_a_keep_out_drives_what_would_start_earlier_without_it() -> None:
    network = compiled([task(0, 60, 0), task(1, 60, 0)], [], 0).with_calendars([1, 1])
    state = State(bookings={0: EIGHT, 1: EIGHT + DAY + 60})
    assert drivers(0, network, state) == Drivers((), (Hold.BOOKING, Hold.KEEP_OUT))
    assert drivers(1, network, state) == Drivers((), (Hold.BOOKING,))


def test_what_is_finished_or_undated_is_driven_by_that_alone() -> None:
    network = compiled([task(0, 60, 0), task(1, 60, 0)], [link(0, 1)], 0)
    state = State(finished={1: Finished(EIGHT, EIGHT + 60)}, never=frozenset({0}))
    assert drivers(0, network, state) == Drivers((), (Hold.UNDATED,))
    assert drivers(1, network, state) == Drivers((), (Hold.SEEN,))


def test_what_has_begun_is_driven_by_what_was_seen_or_by_what_it_still_waits_for() -> None:
    network = compiled([task(0, 60, 0), task(1, 60, 0)], [link(0, 1)], 0)
    early = State(bookings={0: EIGHT}, begun={1: Begun(EIGHT - DAY, EIGHT, 30)})
    late = State(bookings={0: EIGHT}, begun={1: Begun(EIGHT - DAY, EIGHT + 200, 30)})
    assert drivers(1, network, early) == Drivers((0,), ())
    assert drivers(1, network, late) == Drivers((), (Hold.SEEN,))


def test_a_chain_is_told_back_to_what_no_link_drives() -> None:
    tasks = [task(0, 480, 0), task(1, 60), task(2, 60, 0)]
    network = compiled(tasks, [link(0, 1), link(1, 2)], 0)
    state = State(bookings={0: EIGHT})
    assert told(2, network, state) == (
        Step(2, 1, SIXTEEN + 60, ()),
        Step(1, 0, SIXTEEN, ()),
        Step(0, None, None, (Hold.BOOKING,)),
    )


def test_a_chain_takes_the_latest_instant_then_the_smallest_id() -> None:
    tasks = [task(0, 60, 0, "b"), task(1, 60, 0, "a"), task(2, 30, 0, "0"), task(3, 9, 0)]
    network = compiled(tasks, [link(0, 3), link(1, 3), link(2, 3)], 0)
    state = State(bookings=dict.fromkeys(range(3), EIGHT))
    assert [step.task for step in told(3, network, state)] == [3, 1]
    evening = State(bookings={0: SIXTEEN - 60, 1: SIXTEEN - 90, 2: EIGHT + DAY - 60})
    later = compiled([*tasks[:2], task(2, 60, None, "z"), tasks[3]], network.links, 0)
    assert [step.task for step in told(3, later, evening)] == [3, 2]


def test_a_chain_over_the_start_of_what_has_begun_ends_there() -> None:
    """Its start was seen; what its rest waits for is no part of the reason."""
    tasks = [task(0, 300, 0), task(1, 60, 0), task(2, 60, 0)]
    network = compiled(tasks, [link(0, 1), link(1, 2, LinkKind.START_TO_START)], 0)
    state = State(bookings={0: EIGHT}, begun={1: Begun(EIGHT - DAY, EIGHT, 30)})
    assert told(2, network, state) == (
        Step(2, 1, EIGHT - DAY, ()),
        Step(1, None, None, (Hold.SEEN,)),
    )


def test_a_finish_limit_at_night_drives_what_ends_in_the_first_minute_after_it() -> None:
    tasks = [task(0, 480, 0), task(1, 100), task(2, 60, 0)]
    links = [link(0, 1), link(1, 2, LinkKind.END_TO_END)]
    state = State(bookings={0: EIGHT, 2: EIGHT})
    assert drivers(2, compiled(tasks, links, 0), state) == Drivers((1,), ())


def test_a_gap_that_is_over_a_minute_before_the_start_does_not_drive() -> None:
    network = compiled([task(0, 60, 0), task(1, 60, 0)], [link(0, 1, gap=59)], 0)
    state = State(bookings={0: EIGHT, 1: EIGHT + 120})
    assert drivers(1, network, state) == Drivers((), (Hold.BOOKING,))
    exact = State(bookings={0: EIGHT, 1: EIGHT + 119})
    assert drivers(1, network, exact) == Drivers((0,), (Hold.BOOKING,))


def test_a_start_that_binds_no_more_drives_nothing() -> None:
    links = [link(0, 1, LinkKind.START_TO_START)]
    network = compiled([task(0, 60, 0), task(1, 60, 0)], links, 0)
    state = State(bookings={0: EIGHT + DAY}, begun={1: Begun(EIGHT - DAY, EIGHT, 30)})
    assert drivers(1, network, state) == Drivers((), (Hold.SEEN,))
