"""What stays the same whatever was seen: calendars long enough, and what waits for what."""

from __future__ import annotations

from readiness.schedule.frame import frame_of
from readiness.schedule.worktime import Worktime
from tests.builders import ROOMS, TRIP, asked, laid_out, told

WORK = (
    '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d" }\n'
    'tub = { trade = "plumber", in = ["bath"], order = "after", takes = "1 d" }\n'
    'paint = { trade = "contractor", in = ["bath"], takes = "1 d" }\n'
)


def test_up_and_downstream_of_a_trip() -> None:
    site = laid_out(ROOMS + WORK + TRIP)
    frame = frame_of(site)
    names = {task.index: task.id for task in site.tasks}
    upstream = {names[task] for task in frame.upstream["first"]}
    downstream = {names[task] for task in frame.downstream["first"]}
    assert "wires@bath" in upstream
    assert not upstream & {"tub@bath", "paint@bath", "board start"}
    assert {"tub@bath", "board start", "first:arrival", "first:release"} <= downstream
    assert not downstream & {"wires@bath", "paint@bath"}


def test_a_calendar_closed_twice_for_the_same_stretch_is_made_once() -> None:
    frame = frame_of(laid_out(ROOMS + WORK + TRIP))
    stretch = ((10, 20),)
    assert frame.closed(0, stretch) is frame.closed(0, stretch)
    assert frame.closed(0, ()) is frame.calendars[0]


def test_dates_beyond_the_compiled_stretch_are_found_on_demand() -> None:
    """A job of 2026 with a wait of ten years still has dates."""
    text = WORK.replace('"plumber"', '"plumber", not_before = 2036-05-05')
    job = asked(ROOMS + text + TRIP)
    assert told(job.start("tub@bath")) == "2036-05-05 07:00"
    timer = job.outlook.frame.calendars[0]
    assert isinstance(timer, Worktime)


def test_a_job_without_any_date_is_compiled_too() -> None:
    job = asked(ROOMS + WORK)
    assert told(job.finish("wires@bath")) == "2026-05-04 15:00"
    assert told(job.start("tub@bath")) > "2026-05-05"
