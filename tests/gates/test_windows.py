"""Spray windows, sentence by sentence: what opens one, what closes one, and what does neither."""

from __future__ import annotations

from readiness.facts.vocabulary import Gate
from tests.builders import ROOMS, TRIP, asked, at, told

ON = at("2026-05-11 07:00")
BEFORE = (
    '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d" }\n'
)


def after(more: str, name: str = "tub", places: str = '"bath"') -> str:
    """Return a line of work after the foam."""
    return (
        f'{name} = {{ trade = "plumber", in = [{places}], order = "after", takes = "1 d"{more} }}\n'
    )


def test_a_window_opens_with_the_last_thing_it_waits_for() -> None:
    job = asked(ROOMS + BEFORE + TRIP)
    assert told(job.window("bath.outer").opens) == "2026-05-04 15:00"
    assert job.site.tasks[job.window("bath.outer").opens_by or 0].id == "wires@bath"


def test_what_waits_for_nothing_is_open_from_the_start() -> None:
    window = asked(ROOMS + BEFORE + TRIP).window("kitchen.outer")
    assert told(window.opens) == "earlier"
    assert window.opens_by is None


def test_work_without_a_booking_closes_nothing() -> None:
    job = asked(ROOMS + "[work]\n" + after("") + TRIP)
    assert told(job.window("bath.outer").last_start) == "never"
    assert told(job.window("bath.outer").closes) == "never"


def test_booked_work_leaves_room_for_the_whole_trip_and_its_keep_out() -> None:
    """Trip 7:00 to 15:00, keep-out until 15:00 the next day: the tub at 15:00 just fits."""
    job = asked(ROOMS + "[work]\n" + after(", booked = 2026-05-13T07:00:00") + TRIP)
    window = job.window("bath.outer")
    assert told(window.closes) == "2026-05-13 07:00"
    # The latest leaving is the 12th at 7:00, which is the 11th at 15:00 for the crew
    assert told(window.last_start) == "2026-05-11 07:00"
    assert told(job.window("kitchen.outer").last_start) == "never"


def test_the_pessimistic_duration_of_the_trip_counts() -> None:
    trip = TRIP.replace('lasts = "1 d"', 'lasts = "1 d", lasts_at_most = "2 d"')
    job = asked(ROOMS + "[work]\n" + after(", booked = 2026-05-13T07:00:00") + trip)
    assert told(job.window("bath.outer").last_start) == "2026-05-08 07:00"


def test_the_early_end_of_an_uncertain_booking_closes() -> None:
    booked = ', booked = "2026-05-13 to 2026-05-15"'
    job = asked(ROOMS + "[work]\n" + after(booked) + TRIP)
    assert told(job.window("bath.outer").closes) == "2026-05-13 07:00"


def test_the_late_end_of_an_uncertain_booking_opens() -> None:
    wires = BEFORE.replace("takes", 'booked = "2026-05-06 to 2026-05-07", takes')
    assert told(asked(ROOMS + wires + TRIP).window("bath.outer").opens) == "2026-05-07 15:00"


def test_the_trip_s_own_booking_moves_neither_edge() -> None:
    for day in ("11", "25"):
        trip = TRIP.replace("05-11", f"05-{day}")
        text = BEFORE + after(", booked = 2026-05-13T07:00:00")
        window = asked(ROOMS + text + trip).window("bath.outer")
        assert told(window.opens) == "2026-05-04 15:00"
        assert told(window.last_start) == "2026-05-11 07:00"


def test_a_commit_waits_for_what_the_foam_does_not_hold_up() -> None:
    """Booked for the 13th, it waits for pipes until the 14th: the window closes no earlier."""
    text = (
        '[work]\npipes = { trade = "plumber", in = ["bath"], order = "free", takes = "1 d", '
        "booked = 2026-05-13 }\n"
        + after(', booked = 2026-05-13, starts_after = [{ end_of = "pipes" }]')
    )
    trip = TRIP.replace("05-11", "05-18")
    assert told(asked(ROOMS + text + trip).window("bath.outer").closes) == "2026-05-14 07:00"


def test_a_commit_counts_what_is_committed_behind_the_foam_and_not_its_forecast() -> None:
    """Paint is booked and lining is not: paint's commit does not wait for the lining."""
    text = (
        "[work]\n"
        + after("", "lining")
        + after(', booked = 2026-05-13, starts_after = [{ end_of = "lining" }]', "paint")
    )
    assert told(asked(ROOMS + text + TRIP).window("bath.outer").closes) == "2026-05-13 07:00"
    booked = text.replace('takes = "1 d" }', 'takes = "1 d", booked = 2026-05-14 }', 1)
    window = asked(ROOMS + booked + TRIP).window("bath.outer")
    assert {told(closer.commit) for closer in window.closers} == {
        "2026-05-14 07:00",
        "2026-05-15 07:00",
    }


def test_last_start_counts_the_unbooked_work_between_the_foam_and_the_commit() -> None:
    """The lining takes a day between release and paint, though nobody has booked it."""
    text = (
        "[work]\n"
        + after("", "lining")
        + after(', booked = 2026-05-14, starts_after = [{ end_of = "lining" }]', "paint")
    )
    window = asked(ROOMS + text + TRIP).window("bath.outer")
    # Lining on the 13th; release by the 13th at 7:00; so leaving by the 12th at 7:00
    assert told(window.last_start) == "2026-05-11 07:00"
    assert window.last_by is not None
    assert window.last_by.stay == "paint"


def test_the_least_latest_arrival_need_not_be_that_of_the_earliest_commit() -> None:
    text = (
        "[work]\n"
        + after(", booked = 2026-05-13", "tub")
        + after("", "lining").replace("1 d", "3 d")
        + after(', booked = 2026-05-14, starts_after = [{ end_of = "lining" }]', "paint")
    )
    window = asked(ROOMS + text + TRIP).window("bath.outer")
    assert told(window.closes) == "2026-05-13 07:00"
    assert window.last_by is not None
    assert window.last_by.stay == "paint"
    assert window.last_start == min(closer.latest for closer in window.closers)
    assert window.last_start < max(closer.latest for closer in window.closers)


def test_once_a_stay_has_begun_all_its_parts_are_committed() -> None:
    """Nobody booked the tubs, but the plumber is at the first of them: the second comes next."""
    line = 'tubs = { trade = "plumber", in = ["hall", "bath"], order = "after", takes = "4 d"%s }\n'
    rooms = ROOMS.replace("[surfaces]", "hall = {}\n[surfaces]")
    job = asked(rooms + "[work]\n" + line % "" + TRIP)
    assert told(job.window("bath.outer").closes) == "never"
    begun = asked(rooms + "[work]\n" + line % ", begun = 2026-05-01" + TRIP)
    assert told(begun.window("bath.outer").closes) == "2026-05-05 07:00"


def test_a_stay_that_is_finished_elsewhere_commits_nobody_to_the_rest() -> None:
    """The tub in the kitchen is in; nobody has booked the one in the bath."""
    line = (
        'tubs = { trade = "plumber", in = ["kitchen", "bath"], order = "after", takes = "2 d", '
        'done_in = ["kitchen"] }\n'
    )
    job = asked(ROOMS + "[work]\n" + line + TRIP)
    assert told(job.window("bath.outer").closes) == "never"
    assert job.verdicts(Gate.PROMISE, ON).surfaces["kitchen.outer"].flags.late


def test_the_head_of_an_idle_crew_of_a_begun_stay_is_committed_from_now() -> None:
    line = (
        'tubs = { trade = "plumber", in = ["kitchen", "bath"], order = "after", takes = "2 d", '
        "crews_on = 2, begun = 2026-05-01 }\n"
    )
    window = asked(ROOMS + "[work]\n" + line + TRIP).window("bath.outer")
    assert told(window.closes) == "2026-05-04 07:00"


def test_what_has_begun_closes_at_its_actual_start() -> None:
    job = asked(ROOMS + "[work]\n" + after(", begun = 2026-05-01T09:00:00") + TRIP)
    window = job.window("bath.outer")
    assert told(window.closes) == "2026-05-01 09:00"
    assert window.closers[0].begun
    assert job.verdicts(Gate.PROMISE, ON).word.value == "too late"


THING = '[obstructions]\ntub-1 = { is = "tub", blocks = ["bath.outer"]%s }\n'


def test_a_thing_that_will_be_set_closes_when_it_is_set() -> None:
    window = asked(ROOMS + THING % ", set = 2026-05-13T07:00:00" + TRIP).window("bath.outer")
    assert told(window.closes) == "2026-05-13 07:00"
    assert told(window.last_start) == "2026-05-11 07:00"


def test_a_thing_that_stands_closes_for_ever_until_its_pull_is_dated() -> None:
    job = asked(ROOMS + THING % "" + TRIP)
    assert job.verdicts(Gate.PROMISE, ON).word.value == "too late"
    assert told(job.window("bath.outer").opens) == "earlier"
    assert told(job.start("first:spray@bath.outer")) == "never"
    assert told(job.start("board start")) == "never"
    assert told(job.finish("first:release")) == "never"


def test_a_dated_pull_opens_and_a_dated_reset_closes() -> None:
    dated = THING % ", set = 2026-05-01, pull = 2026-05-06"
    window = asked(ROOMS + dated + TRIP).window("bath.outer")
    assert told(window.opens) == "2026-05-06 11:00"
    assert told(window.closes) == "never"
    reset = dated.replace("05-06", "05-06, reset = 2026-05-13T07:00:00")
    window = asked(ROOMS + reset + TRIP).window("bath.outer")
    assert told(window.last_start) == "2026-05-11 07:00"


def test_a_pulled_thing_does_neither() -> None:
    pulled = THING % ", set = 2026-05-01, pulled = 2026-05-02"
    window = asked(ROOMS + pulled + TRIP).window("bath.outer")
    assert told(window.closes) == "never"
    assert window.opens <= at("2026-05-04 06:30")


def test_a_thing_that_a_work_sets_closes_with_that_work() -> None:
    thing = THING % ', set_by = "tub"'
    tub = 'tub = { trade = "plumber", in = ["bath"], order = "free", takes = "1 d"%s }\n'
    free = asked(ROOMS + "[work]\n" + tub % "" + thing + TRIP)
    assert told(free.window("bath.outer").closes) == "never"
    line = after(", booked = 2026-05-13T07:00:00")
    booked = asked(ROOMS + "[work]\n" + line + thing + TRIP)
    assert told(booked.window("bath.outer").closes) == "2026-05-13 07:00"
    booked_free = asked(ROOMS + "[work]\n" + tub % ", booked = 2026-05-13T07:00:00" + thing + TRIP)
    assert told(booked_free.window("bath.outer").closes) == "2026-05-13 07:00"
    done = asked(
        ROOMS
        + "[work]\n"
        + line.replace("booked = 2026-05-13T07:00:00", "done = 2026-05-01")
        + thing
        + TRIP
    )
    assert done.verdicts(Gate.PROMISE, ON).flags.late


def test_an_empty_window_names_both_culprits() -> None:
    wires = BEFORE.replace("takes", "booked = 2026-05-12, takes")
    window = asked(ROOMS + wires + after(", booked = 2026-05-13T07:00:00") + TRIP).window(
        "bath.outer"
    )
    assert window.is_empty
    assert window.opens_by is not None
    assert window.last_by is not None
    assert window.last_by.stay == "tub"


def test_costs_from_is_the_latest_arrival_that_keeps_the_agreed_board_date() -> None:
    """Board on the 18th at 7:00: released by then, at the planned pace and not the slowest."""
    board = "board = 2026-05-18T07:00:00\n"
    trip = TRIP.replace('lasts = "1 d"', 'lasts = "1 d", lasts_at_most = "3 d"')
    job = asked(board + ROOMS + trip)
    assert told(job.outlook.target) == "2026-05-18 07:00"
    assert told(job.window("bath.outer").costs_from) == "2026-05-15 07:00"


def test_board_may_start_by_a_day_means_the_start_of_the_job_s_shift() -> None:
    board = 'board = "by 2026-05-18"\n'
    assert told(asked(board + ROOMS + TRIP).outlook.target) == "2026-05-18 07:00"


def test_without_an_agreed_date_costs_run_from_the_earliest_start() -> None:
    """Wires end on the 4th, so the trip could come on the 5th at the earliest."""
    window = asked(ROOMS + BEFORE + TRIP).window("bath.outer")
    assert told(window.costs_from) == "2026-05-05 07:00"
    later = asked(ROOMS + BEFORE + TRIP.replace("05-11", "05-20")).window("bath.outer")
    assert told(later.costs_from) == "2026-05-05 07:00"


def test_a_waived_wait_does_not_open() -> None:
    waiver = (
        '[waivers]\nw = { requirement = "wires", surfaces = ["bath.outer"], trip = "first", '
        'role = "contractor", by = "Ada", reason = "one cable only", at = 2026-05-03 }\n'
    )
    window = asked(ROOMS + BEFORE + waiver + TRIP).window("bath.outer")
    assert told(window.opens) == "earlier"


def test_an_unbooked_trip_shuts_nobody_out() -> None:
    """Free work inside waits for a booked keep-out, not for one that nobody has booked."""
    text = (
        '[work]\npaint = { trade = "contractor", in = ["bath"], order = "free", takes = "1 d", '
        "not_before = 2026-05-11 }\n"
    )
    booked = asked(ROOMS + text + TRIP)
    assert told(booked.start("paint@bath")) == "2026-05-13 07:00"
    open_trip = asked(ROOMS + text + '[trips]\nfirst = { lasts = "1 d" }\n')
    assert told(open_trip.start("paint@bath")) == "2026-05-11 07:00"


def test_a_keep_out_does_not_move_with_the_forecast() -> None:
    """Wires are late and the foam with them; the booked day stays shut, and is told as broken."""
    text = (
        BEFORE.replace("takes", "booked = 2026-05-13, takes")
        + 'paint = { trade = "contractor", in = ["kitchen"], order = "free", takes = "1 d", '
        "not_before = 2026-05-11 }\n"
    )
    job = asked(ROOMS + text + TRIP)
    assert told(job.start("paint@kitchen")) == "2026-05-13 07:00"
    assert told(job.finish("first:release")) > "2026-05-14"
    assert "trip-booking-broken" in {finding.code for finding in job.findings()}


def test_a_keep_out_shuts_out_inside_work_of_its_zone_that_is_not_upstream() -> None:
    text = (
        '[work]\npaint = { trade = "contractor", in = ["bath"], order = "free", takes = "1 d", '
        "not_before = 2026-05-11%s }\n"
    )
    zone = '[trips]\nfirst = { booked = 2026-05-11T07:00:00, lasts = "1 d", zone = ["kitchen"] }\n'
    assert told(asked(ROOMS + text % "" + zone).start("paint@bath")) == "2026-05-11 07:00"
    outside = text % ', where = "outside"'
    assert told(asked(ROOMS + outside + TRIP).start("paint@bath")) == "2026-05-11 07:00"
    upstream = (text % "").replace("free", "before")
    assert told(asked(ROOMS + upstream + TRIP).start("paint@bath")) == "2026-05-11 07:00"


def test_a_keep_out_is_planned_with_its_late_end() -> None:
    """Two days at most and a day of keep-out: the place is shut until Wednesday at 15:00."""
    text = (
        '[work]\npaint = { trade = "contractor", in = ["bath"], order = "free", takes = "1 d", '
        "not_before = 2026-05-11 }\n"
    )
    trip = TRIP.replace('lasts = "1 d"', 'lasts = "1 d", lasts_at_most = "2 d"')
    assert told(asked(ROOMS + text + trip).start("paint@bath")) == "2026-05-14 07:00"
    sheet = trip.replace("lasts =", 'keep_out = "72 h elapsed", lasts =', 1)
    assert told(asked(ROOMS + text + sheet).start("paint@bath")) == "2026-05-18 07:00"


def test_a_stay_done_together_is_shut_out_if_any_of_its_places_is() -> None:
    text = (
        '[work]\npaint = { trade = "contractor", in = ["kitchen", "bath"], together = true, '
        'order = "free", takes = "1 d", not_before = 2026-05-11 }\n'
    )
    trip = '[trips]\nfirst = { booked = 2026-05-11T07:00:00, lasts = "1 d", zone = ["%s"] }\n'
    rooms = ROOMS.replace("[surfaces]", "hall = {}\n[surfaces]") + (
        'hall.outer = { is = "wall above grade", area = "100 sq ft" }\n'
    )
    assert told(asked(rooms + text + trip % "kitchen").start("paint")) == "2026-05-13 07:00"
    assert told(asked(rooms + text + trip % "hall").start("paint")) == "2026-05-11 07:00"


def test_the_longest_way_from_the_foam_to_a_commit_counts() -> None:
    """Studs go up first; then lining takes three days and tape one, and paint waits for both."""
    studs = after("", "studs")
    lining = after(', starts_after = [{ end_of = "studs" }]', "lining").replace("1 d", "3 d")
    tape = after(', starts_after = [{ end_of = "studs" }]', "tape")
    both = ', booked = 2026-05-28, starts_after = [{ end_of = "lining" }, { end_of = "tape" }]'
    long = ', booked = 2026-05-28, starts_after = [{ end_of = "lining" }]'

    def last_start(*lines: str) -> int:
        return asked(ROOMS + "[work]\n" + "".join(lines) + TRIP).window("bath.outer").last_start

    first = last_start(studs, lining, tape, after(both, "paint"))
    early = tape.replace("tape", "cloth")
    turned = last_start(studs, early, lining, after(both.replace("tape", "cloth"), "paint"))
    assert first == turned == last_start(studs, lining, after(long, "paint"))
    assert told(first) == "2026-05-20 07:00"
