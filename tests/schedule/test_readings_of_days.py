"""Days without a time are read to the disadvantage of readiness, never later than now."""

from __future__ import annotations

import pytest

from readiness.schedule.known import Known
from tests.builders import ROOMS, TRIP, Asked, asked, told

NOON = "2026-05-08 12:00"
HOURS = '[trades]\nelectrician = { hours = "Mon-Thu 06:00-10:00 11:00-17:00" }\n'
WIRES = (
    '[work]\nwires = {{ trade = "electrician", in = ["bath"], order = "before", '
    'takes = "2 d"{said} }}\n'
)


def job(said: str, as_of: str = NOON) -> Asked:
    """Return a job with one work of an electrician who is off on Fridays."""
    return asked(ROOMS + HOURS + WIRES.format(said=f", {said}") + TRIP, as_of)


def known(said: str, as_of: str = NOON) -> Known:
    """Return what is known of it."""
    return job(said, as_of).outlook.known


@pytest.mark.parametrize(
    ("said", "finished"),
    [
        ("done = 2026-05-07", "2026-05-07 17:00"),
        ("done = 2026-05-07T09:15:00", "2026-05-07 09:15"),
        ("done = 2026-05-03", "2026-05-04 00:00"),
        ("done = 2026-05-08", NOON),
        ("done = true", "earlier"),
    ],
)
def test_finished_means_the_end_of_the_trade_s_shift_and_never_later_than_now(
    said: str, finished: str
) -> None:
    """24:00 on a day off; without a day it lies before everything that has one."""
    assert told(job(said).finish("wires@bath")) == finished


@pytest.mark.parametrize(
    ("said", "start"),
    [
        ("begun = 2026-05-07", "2026-05-07 06:00"),
        ("begun = 2026-05-07T13:00:00", "2026-05-07 13:00"),
        ("begun = 2026-05-03", "2026-05-03 00:00"),
    ],
)
def test_begun_means_the_start_of_the_trade_s_shift(said: str, start: str) -> None:
    assert told(job(said).start("wires@bath")) == start


@pytest.mark.parametrize(
    ("booked", "early", "late"),
    [
        ("2026-05-12", "2026-05-12 06:00", "2026-05-12 06:00"),
        ("2026-05-12T09:30:00", "2026-05-12 09:30", "2026-05-12 09:30"),
        ('"2026-05-12 morning"', "2026-05-12 06:00", "2026-05-12 06:00"),
        ('"2026-05-12 afternoon"', "2026-05-12 11:00", "2026-05-12 11:00"),
        ('"2026-05-12 to 2026-05-14"', "2026-05-12 06:00", "2026-05-14 06:00"),
        ('"by 2026-05-13"', "earlier", "2026-05-13 06:00"),
    ],
)
def test_a_booking_leaves_open_what_was_left_open(booked: str, early: str, late: str) -> None:
    found = known(f"booked = {booked}")
    assert told(found.commitments["wires"].early) == early
    assert told(found.commitments["wires"].late) == late
    assert told(next(iter(found.state.bookings.values()))) == late


def test_the_afternoon_of_one_shift_begins_at_its_middle() -> None:
    text = HOURS.replace("06:00-10:00 11:00-17:00", "07:00-15:00")
    line = WIRES.format(said=', booked = "2026-05-12 afternoon"')
    found = asked(ROOMS + text + line + TRIP).outlook.known
    assert told(found.commitments["wires"].late) == "2026-05-12 11:00"


def test_not_after_is_reported_and_moves_nothing() -> None:
    found = job("not_after = 2026-05-11")
    assert told(found.start("wires@bath")) == "2026-05-11 06:00"
    assert "limit-missed" not in {finding.code for finding in found.findings()}
    missed = job("booked = 2026-05-13, not_after = 2026-05-11")
    assert told(missed.start("wires@bath")) == "2026-05-13 06:00"
    assert "limit-missed" in {finding.code for finding in missed.findings()}


def test_a_booking_that_logic_can_t_keep_is_told_as_broken() -> None:
    text = ROOMS + (
        '[work]\npipes = { trade = "plumber", in = ["bath"], takes = "2 d" }\n'
        'wires = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'booked = 2026-05-05, starts_after = [{ end_of = "pipes" }] }\n'
    )
    found = asked(text + TRIP)
    assert told(found.start("wires@bath")) == "2026-05-06 07:00"
    assert [f.subject for f in found.findings() if f.code == "booking-broken"] == ["wires"]
