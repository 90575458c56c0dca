"""What the job file states, as far as it was so at one moment."""

from __future__ import annotations

import pytest

from readiness.diary.seen import EVERYWHERE
from tests.builders import ROOMS, TRIP, Asked, asked, told

WORK = (
    '[work]\nwires = { trade = "electrician", in = ["bath", "kitchen"], order = "before", '
    'takes = "2 d"%s }\n'
)


def seen(said: str, as_of: str, more: str = "") -> Asked:
    """Return a job at a moment."""
    return asked(ROOMS + WORK % said + more + TRIP, as_of)


@pytest.mark.parametrize(
    ("said", "as_of", "known"),
    [
        (", done = 2026-05-06", "2026-05-05 23:59", False),
        (", done = 2026-05-06", "2026-05-06 00:00", True),
        (", done = 2026-05-06T09:00:00", "2026-05-06 08:59", False),
        (", done = 2026-05-06T09:00:00", "2026-05-06 09:00", True),
        (", done = true", "2026-05-01 00:00", True),
        (", done = false", "2026-05-09 00:00", False),
    ],
)
def test_nothing_later_than_as_of_is_known(said: str, as_of: str, known: bool) -> None:  # noqa: FBT001
    assert ("wires" in seen(said, as_of).outlook.seen.done) == known


def test_begun_looks_answers_readings_pulls_and_stops_appear_when_they_were() -> None:
    more = (
        '[approvals]\nframe-look = { result = "passed", at = 2026-05-06, by = "Ada", '
        "requested = 2026-05-05T09:00:00 }\n"
        "[requirements]\n"
        '[obstructions]\ntub = { is = "tub", blocks = ["bath"], set = 2026-05-01, '
        "pulled = 2026-05-06 }\n"
        '[stops]\ns = { by = "Lee", role = "crew lead", reason = "wet", '
        "at = 2026-05-06T08:00:00, lifted = 2026-05-07T08:00:00 }\n"
    )
    before = seen(", begun = 2026-05-06", "2026-05-05 12:00", more).outlook.seen
    assert not before.begun
    assert [look.result for look in before.looks["frame-look"]] == [None]
    assert before.looks["frame-look"][0].requested is not None
    assert before.things["tub"].pulled is None
    assert not before.stops
    after = seen(", begun = 2026-05-06", "2026-05-06 12:00", more).outlook.seen
    assert set(after.begun) == {"wires"}
    assert after.looks["frame-look"][0].result is not None
    assert after.things["tub"].pulled is not None
    assert [stop.by for stop in after.stops] == ["Lee"]
    lifted = seen(", begun = 2026-05-06", "2026-05-07 08:00", more).outlook.seen
    assert not lifted.stops


def test_work_in_the_list_of_what_is_done_is_done_whatever_its_line_says_besides() -> None:
    text = 'done = ["wires"]\n' + ROOMS + WORK % ', done_in = ["bath"]' + TRIP
    job = asked(text)
    assert set(job.outlook.seen.done["wires"]) == {EVERYWHERE, "bath"}
    finished = job.outlook.known.state.finished
    assert {job.task("wires@bath"), job.task("wires@kitchen")} <= finished.keys()


def test_a_dated_line_tells_more_than_the_list() -> None:
    text = 'done = ["wires"]\n' + ROOMS + WORK % ", done = 2026-05-01" + TRIP
    job = asked(text)
    assert told(job.finish("wires@kitchen")) == "2026-05-01 15:00"


def test_agreed_wins_over_booked_and_each_keeps_its_line() -> None:
    """Two dates are refused where the file is read, so both name one day here."""
    found = seen(", booked = 2026-05-07, agreed = 2026-05-07", "2026-05-04 06:30").outlook.seen
    assert found.booked["wires"].agreed
    assert found.booked["wires"].booking.last.day == 7
    assert found.booked["wires"].origin.row.endswith("agreed")
