"""What no gate asks and people still want to know; it never changes a verdict."""

from __future__ import annotations

from readiness.facts.vocabulary import Gate
from tests.builders import ROOMS, TRIP, Asked, asked, at

ON = at("2026-05-11 07:00")
TWO = (
    '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
    'takes = "2 d"%s }\n'
    'alarm = { trade = "electrician", in = ["kitchen"], order = "before", '
    'takes = "1 d"%s }\n'
)


def codes(job: Asked) -> list[str]:
    """Return the codes of all findings."""
    return [finding.code for finding in job.findings()]


def test_more_tasks_at_once_than_crews_are_named() -> None:
    """The forecast stays logic only; a second crew ends the overlap, and so does a wait."""
    text = ROOMS + TWO % ("", "") + TRIP
    assert codes(asked(text)) == ["crew-overlap"]
    crews = "[trades]\nelectrician = { crews = 2 }\n"
    assert codes(asked(ROOMS + crews + TWO % ("", "") + TRIP)) == []
    waits = ', starts_after = [{ end_of = "wires" }]'
    assert codes(asked(ROOMS + TWO % ("", waits) + TRIP)) == []


def test_a_finding_changes_no_verdict() -> None:
    job = asked(ROOMS + TWO % ("", "") + TRIP)
    assert job.findings()
    assert job.verdicts(Gate.PROMISE, ON).is_yes


def test_work_done_before_what_it_waits_for_is_told() -> None:
    text = TWO % ("", ', done = 2026-05-01, starts_after = [{ end_of = "wires" }]')
    job = asked(ROOMS + text + TRIP)
    (finding,) = job.findings()
    assert finding.code == "done-too-soon"
    assert finding.subject == "alarm@kitchen"
    both = TWO % (
        ", done = 2026-05-01",
        ', done = 2026-05-01, starts_after = [{ end_of = "wires" }]',
    )
    assert codes(asked(ROOMS + both + TRIP)) == []


def test_a_trip_booked_before_its_last_surface_opens_is_told_as_broken() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], order = "before", '
        'takes = "1 d", booked = 2026-05-13 }\n'
    )
    (finding,) = asked(ROOMS + text + TRIP).findings()
    assert finding.code == "trip-booking-broken"
    assert (finding.at, finding.instead) == (at("2026-05-13 15:00"), ON)
    here = TRIP.replace("lasts", "arrived = 2026-05-11T07:00:00, lasts")
    assert codes(asked(ROOMS + text + here, "2026-05-11 07:00")) == []


def test_findings_come_by_date() -> None:
    text = TWO % (", booked = 2026-05-01", ", not_after = 2026-04-30")
    found = asked(ROOMS + text + TRIP).findings()
    assert len(found) > 1
    assert [finding.at for finding in found] == sorted(finding.at for finding in found)
