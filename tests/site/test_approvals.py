"""Looks cover surfaces: a task each, one slot for a trip, and only for what is hidden there."""

from __future__ import annotations

import pytest

from readiness.facts.vocabulary import Gate
from tests.builders import ROOMS, TRIP, Asked, asked, at, facts, told

SOUND = ROOMS + 'kitchen.sound = { is = "sound wall", area = "100 sq ft" }\n'
WIRES = (
    '[work]\nwires = {{ trade = "electrician", in = ["bath", "kitchen"], takes = "2 d", '
    'approval = "wiring-look", order = "before"{more} }}\n'
)
LOOKS = "[approvals]\nwiring-look = []\nframe-look = []\n"
ON = at("2026-05-11 07:00")


def job(
    *, work: str = "", looks: str = LOOKS, rest: str = TRIP, as_of: str = "2026-05-04 06:30"
) -> Asked:
    """Return a job with one stay of wiring in two rooms and two kinds of looks."""
    return asked(ROOMS + WIRES.format(more=work) + looks + rest, as_of)


def test_a_surface_needs_only_the_looks_at_work_hidden_in_it_and_the_framing_there() -> None:
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'approval = "wiring-look", order = "before" }\n'
    )
    site = asked(SOUND + text + LOOKS + TRIP).site
    looks = {(approval.id, surface) for approval in site.approvals for surface in approval.looks}
    assert looks == {
        ("wiring-look", "bath.outer"),
        ("frame-look", "bath.outer"),
        ("frame-look", "kitchen.outer"),
    }


def test_all_looks_of_one_trip_lie_in_one_slot_after_all_of_its_work() -> None:
    found = job()
    assert told(found.finish("wires@bath")) == "2026-05-04 15:00"
    for place in ("bath.outer", "kitchen.outer"):
        assert told(found.start(f"wiring-look@{place}")) == "2026-05-06 08:00"
        assert told(found.finish(f"wiring-look@{place}")) == "2026-05-06 16:30"
        assert told(found.start(f"frame-look@{place}")) == "2026-05-07 08:00"


def test_looks_of_another_trip_wait_only_for_its_own_work() -> None:
    trips = '[trips]\nearly = { surfaces = ["bath.outer"] }\nmain = { surfaces = ["kitchen"] }\n'
    found = job(rest=trips)
    assert told(found.start("wiring-look@bath.outer")) == "2026-05-05 08:00"
    assert told(found.start("wiring-look@kitchen.outer")) == "2026-05-06 08:00"


def test_an_approval_for_part_lets_only_the_named_surfaces_go() -> None:
    looks = (
        '[approvals]\nframe-look = []\nwiring-look = { surfaces = ["bath.outer"], '
        'result = "passed for part", at = 2026-05-01, by = "Ada" }\n'
    )
    found = job(looks=looks)
    assert found.state("wiring-look", Gate.ROLL, ON, "bath.outer") == "met"
    assert found.state("wiring-look", Gate.PROMISE, ON, "kitchen.outer") == "expected"
    assert found.state("wires", Gate.ROLL, ON, "bath") == "met"
    assert found.state("wires", Gate.ROLL, ON, "kitchen") == "expected"


def test_an_approval_of_one_surface_says_nothing_of_the_same_work_at_another() -> None:
    """Framing of the whole house, approved on one wall only: it is shown there and not beyond."""
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath", "kitchen"], together = true, '
        'takes = "2 d", approval = "wiring-look", order = "before", booked = 2026-05-20 }\n'
        '[approvals]\nwiring-look = { surfaces = ["bath.outer"], result = "passed for part", '
        'at = 2026-05-01, by = "Ada" }\n'
        '[trips]\nfirst = { booked = 2026-05-11, surfaces = ["bath.outer"] }\n'
        'main = { booked = 2026-05-12, surfaces = ["kitchen.outer"] }\n'
    )
    found = asked(ROOMS + text)
    assert told(found.finish("wires")) == "2026-05-21 15:00"
    early = found.verdicts(Gate.PROMISE, ON, "first")
    assert early.word.value == "on course"
    assert found.window("bath.outer").opens <= at("2026-05-01 16:30")
    main = found.verdicts(Gate.PROMISE, at("2026-05-12 07:00"), "main")
    assert main.word.value == "too early"
    assert told(found.window("kitchen.outer").opens)[:10] == "2026-05-22"


def test_a_passed_look_shows_that_the_work_it_covers_was_finished_by_then() -> None:
    looks = (
        '[approvals]\nframe-look = []\nwiring-look = { result = "passed", at = 2026-05-01, '
        'by = "Ada" }\n'
    )
    found = job(looks=looks)
    assert told(found.finish("wires@kitchen")) == "2026-05-01 16:30"
    assert found.state("wires", Gate.ROLL, ON, "kitchen") == "met"


def test_not_required_shows_nothing_of_the_work() -> None:
    looks = (
        '[approvals]\nframe-look = []\nwiring-look = { result = "not required here", '
        'at = 2026-05-01, by = "the office" }\n'
    )
    found = job(looks=looks)
    assert told(found.finish("wires@kitchen")) == "2026-05-05 15:00"
    assert found.state("wiring-look", Gate.ROLL, ON, "kitchen.outer") == "met"
    assert found.state("wires", Gate.ROLL, ON, "kitchen") == "expected"


def test_the_notice_runs_beside_the_work() -> None:
    """Earliest slot = the later of work complete and request + notice, not their sum."""
    offices = '[offices]\nbuilding = { notice = "3 d" }\n'
    asked_for = "[approvals]\nwiring-look = { requested = 2026-05-04T06:00:00 }\n"
    found = job(looks=offices + asked_for)
    assert told(found.start("wiring-look@bath.outer")) == "2026-05-07 08:00"
    earlier = asked_for.replace("05-04", "04-30")
    found = job(looks=offices + earlier)
    assert told(found.start("wiring-look@bath.outer")) == "2026-05-06 08:00"


@pytest.mark.parametrize(
    ("requested", "notice", "cut_off", "first"),
    [
        ("2026-05-04T10:00:00", "1 d", "15:00", "2026-05-05"),
        ("2026-05-04T15:00:00", "1 d", "15:00", "2026-05-05"),
        ("2026-05-04T15:01:00", "1 d", "15:00", "2026-05-06"),
        ("2026-05-08T16:00:00", "1 d", "15:00", "2026-05-12"),
        ("2026-05-09T10:00:00", "1 d", "15:00", "2026-05-12"),
        ("2026-05-08T10:00:00", "2 d", "15:00", "2026-05-12"),
        ("2026-05-04T10:00:00", "8 h", "", "2026-05-06"),
        ("2026-05-04T07:00:00", "8 h", "", "2026-05-05"),
        ("2026-05-04T10:00:00", "24 h elapsed", "", "2026-05-06"),
    ],
)
def test_notice_counts_office_days_after_the_request_or_office_hours(
    requested: str, notice: str, cut_off: str, first: str
) -> None:
    """Office hours 8:00 to 16:30; after cut-off a request counts for the next office day."""
    office = f'[offices]\nbuilding = {{ notice = "{notice}", cut_off = "{cut_off}" }}\n'
    if not cut_off:
        office = office.replace(', cut_off = ""', "")
    looks = f"[approvals]\nwiring-look = {{ requested = {requested} }}\n"
    found = job(work=", done = 2026-04-30", looks=office + looks, as_of="2026-05-10 12:00")
    notices = found.outlook.known.state.notices[found.task("wiring-look@bath.outer")]
    # as_of holds what has not begun, so the notice is read by itself
    slots = found.outlook.frame.calendars[
        found.site.tasks[found.task("wiring-look@bath.outer")].calendar or 0
    ]
    assert told(slots.earliest(notices, notices, 1)[0])[:10] == first


def test_offices_come_on_their_visiting_days_and_the_result_counts_at_the_end_of_the_slot() -> None:
    office = '[offices]\nbuilding = { visits = "Tue,Thu 09:00-12:00 13:00-16:00" }\n'
    found = job(looks=office + "[approvals]\nwiring-look = []\n")
    assert told(found.start("wiring-look@bath.outer")) == "2026-05-07 09:00"
    assert told(found.finish("wiring-look@bath.outer")) == "2026-05-07 12:00"
    assert found.window("bath.outer").opens == at("2026-05-07 12:00")


def test_a_confirmed_slot_replaces_the_notice() -> None:
    office = '[offices]\nbuilding = { visits = "Tue,Thu 09:00-12:00 13:00-16:00" }\n'
    slot = (
        "[approvals]\nwiring-look = { requested = 2026-05-04T06:00:00, "
        "slot = 2026-05-05T13:00:00 }\n"
    )
    found = job(work=", done = 2026-05-01", looks=office + slot)
    assert told(found.finish("wiring-look@bath.outer")) == "2026-05-05 16:00"


def test_a_confirmed_hour_within_a_slot_is_that_slot() -> None:
    """The office says Tuesday at ten: it is Tuesday's look and not Wednesday's."""
    slot = "[approvals]\nwiring-look = { slot = 2026-05-05T10:00:00 }\n"
    found = job(work=", done = 2026-05-01", looks=slot)
    assert told(found.finish("wiring-look@bath.outer")) == "2026-05-05 16:30"


def test_a_slot_inside_a_keep_out_is_refused() -> None:
    """The look at the foam can't be had while nobody may be inside; the next slot is taken."""
    rest = "[approvals]\nfoam-look = { slot = 2026-05-12T08:00:00 }\n" + TRIP
    found = asked(ROOMS + rest)
    assert told(found.finish("first:release")) == "2026-05-12 15:00"
    assert told(found.start("foam-look@bath.outer")) == "2026-05-13 08:00"
    assert "slot-refused" in {finding.code for finding in found.findings()}
    later = rest.replace("12T08", "13T08")
    found = asked(ROOMS + later)
    assert told(found.start("foam-look@bath.outer")) == "2026-05-13 08:00"
    assert "slot-refused" not in {finding.code for finding in found.findings()}


FAILED = (
    '[approvals]\nwiring-look = [{ requested = 2026-04-28T09:00:00, result = "failed", '
    'at = 2026-05-01, by = "Ada"%s }]\n'
)


def test_corrections_sleep_until_a_look_has_failed() -> None:
    correction = "wiring-look:correction@bath.outer"
    found = job(work=", done = 2026-04-27", looks="[approvals]\nwiring-look = []\n")
    assert found.outlook.network.minutes[found.task(correction)] == 0
    found = job(work=", done = 2026-04-27", looks=FAILED % "")
    assert found.outlook.network.minutes[found.task(correction)] == 240
    assert found.state("wiring-look", Gate.ROLL, ON, "bath.outer") == "open"


def test_a_correction_that_nobody_has_begun_is_not_before_now() -> None:
    found = job(work=", done = 2026-04-27", looks=FAILED % "")
    assert told(found.start("wiring-look:correction@bath.outer")) == "2026-05-04 07:00"


def test_a_failed_look_needs_a_new_request() -> None:
    """What was asked for before it failed does not count for the look that must come again."""
    old = job(
        work=", done = 2026-04-27",
        looks=FAILED.replace("[{", "[{ requested = 2026-04-28T09:00:00 }, {") % "",
    )
    assert told(old.start("wiring-look@bath.outer")) == "2026-05-05 08:00"
    hours = '[offices]\nbuilding = { notice = "3 d" }\n'
    old = job(
        work=", done = 2026-04-27",
        looks=hours + FAILED.replace("[{", "[{ requested = 2026-04-28T09:00:00 }, {") % "",
    )
    assert told(old.start("wiring-look@bath.outer")) == "2026-05-07 08:00"
    again = FAILED.replace(" }]", " }, { requested = 2026-05-01T14:00:00 }]") % ""
    new = job(work=", done = 2026-04-27", looks=hours + again)
    assert told(new.start("wiring-look@bath.outer")) == "2026-05-06 08:00"


def test_the_result_seen_last_stands_wherever_it_is_written() -> None:
    """Failed on Thursday and passed on Friday, written the other way round."""
    rows = (
        '[approvals]\nwiring-look = [{ result = "passed", at = 2026-05-01, by = "Ada" }, '
        '{ result = "failed", at = 2026-04-30, by = "Ada" }]\n'
    )
    found = job(looks=rows)
    assert found.state("wiring-look", Gate.ROLL, ON, "bath.outer") == "met"


def test_a_look_at_what_runs_in_front_of_the_foam_is_told_after_the_release() -> None:
    """A pass from before the foam says nothing of the wires that were run after it."""
    text = (
        '[work]\nwires = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'approval = "wiring-look", order = "after" }\n'
        'meter = { trade = "electrician", in = ["bath"], takes = "1 d", '
        'approval = "wiring-look", order = "before" }\n'
    )
    looks = (
        '[approvals]\nwiring-look = [{ result = "failed", at = 2026-04-29, by = "Ada" }, '
        '{ result = "passed", at = 2026-05-01, by = "Ada" }%s]\n'
    )
    gone = (
        "[trips]\nfirst = { booked = 2026-05-05, arrived = 2026-05-05T07:00:00, "
        'sprayed = ["all"], last_foam = 2026-05-05T14:00:00, cleaned = 2026-05-05T15:00:00, '
        'released = 2026-05-06T16:00:00, released_by = "Lee" }\n'
    )
    front = "wiring-look:in front of the foam@bath.outer"
    found = asked(ROOMS + text + looks % "" + gone, "2026-05-08 06:30")
    assert found.task("wiring-look@bath.outer") in found.outlook.known.state.finished
    assert found.task(front) not in found.outlook.known.state.finished
    passed = ', { result = "passed", at = 2026-05-07, by = "Ada" }'
    found = asked(ROOMS + text + looks % passed + gone, "2026-05-08 06:30")
    assert found.task(front) in found.outlook.known.state.finished


def test_a_missed_slot_needs_a_new_request() -> None:
    """Nobody came on Tuesday and nobody has asked since: the notice runs from now."""
    office = '[offices]\nbuilding = { notice = "2 d" }\n'
    slot = (
        "[approvals]\nwiring-look = { requested = 2026-05-01T09:00:00, "
        "slot = 2026-05-05T08:00:00 }\n"
    )
    found = job(work=", done = 2026-05-01", looks=office + slot, as_of="2026-05-06 07:00")
    assert told(found.start("wiring-look@bath.outer")) == "2026-05-08 08:00"


def test_a_slot_that_has_begun_is_still_today_s() -> None:
    slot = "[approvals]\nwiring-look = { slot = 2026-05-05T10:00:00 }\n"
    found = job(work=", done = 2026-05-01", looks=slot, as_of="2026-05-05 09:00")
    assert told(found.finish("wiring-look@bath.outer")) == "2026-05-05 16:30"


def test_a_look_waits_only_for_the_looks_that_come_before_its_kind() -> None:
    kinds = facts(
        approvals={
            "pipe-look": {
                "title": "Look at the pipes",
                "office": "building",
                "correction_trade": "plumber",
                "why": "they vanish",
            }
        }
    )
    text = (
        '[work]\npipes = { trade = "plumber", in = ["bath"], order = "before", takes = "1 d", '
        'approval = "pipe-look" }\n'
        'wires = { trade = "electrician", in = ["bath"], order = "before", takes = "1 d", '
        'approval = "wiring-look" }\n'
        "[approvals]\npipe-look = []\nwiring-look = []\nframe-look = []\n"
    )
    links = asked(ROOMS + text + TRIP, tables=kinds).links()
    frame = "frame-look:work complete:first"
    assert ("wiring-look@bath.outer", frame) in links
    assert ("pipe-look@bath.outer", frame) not in links
    assert ("frame-look@bath.outer", "pipe-look:work complete:first") not in links
