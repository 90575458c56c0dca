"""Entries that change the structure of a job: trips, bays, what is sealed by hand, days off."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from readiness.diary import entries as kinds
from readiness.diary.amended import amended
from readiness.diary.line import SPEAKS_TO_NO_GATE
from readiness.diary.told import HANDLERS
from readiness.facts.vocabulary import Gate
from readiness.job.loading import load_job_text
from tests.builders import at, told, with_head
from tests.diary.builders import JOB, TABLES, after, history, said, words

ON = at("2026-05-08 07:00")
DONE = said("done", work="wires")
AMENDING = {
    "trip",
    "reserved",
    "off",
    "extra",
    "late",
    "takes",
    "crews",
    "first",
    "rigs",
    "lots",
}
"""Kinds that `amended` reads; `set` and `sealed` are read by both."""


def test_a_trip_added_takes_its_surfaces_from_the_others() -> None:
    second = said("trip", trip="second", surfaces=["kitchen"], lasts="2 h")
    found = after(DONE, second)
    assert found.site.trips["first"].surfaces == ("bath.outer",)
    assert found.site.trips["second"].surfaces == ("kitchen.outer",)
    back = said("trip", "2026-05-06T09:00:00", trip="first", surfaces=["all"])
    assert after(DONE, second, back).site.trips["first"].surfaces == ("bath.outer", "kitchen.outer")


def test_a_trip_added_can_be_dated_confirmed_and_sprayed() -> None:
    second = said("trip", trip="second", surfaces=["kitchen"])
    dated = said("dated", "2026-05-05T10:00:00", what="second", when="2026-05-12 07:00")
    found = after(DONE, second, dated)
    assert told(found.outlook.known.arrivals["second"]) == "2026-05-12 07:00"


def test_a_sheet_and_a_longer_keep_out_of_a_trip_count() -> None:
    longer = said("trip", trip="first", keep_out="48 h elapsed", sheet="sheet 7")
    assert after(longer).site.trips["first"].keep_out_minutes == 48 * 60


def test_reserved_bays_and_what_is_sealed_by_hand_leave_the_spraying() -> None:
    for entry in (
        said("reserved", trip="first", surfaces=["kitchen"], follow_up="after the duct"),
        said("sealed", surfaces=["kitchen"]),
    ):
        verdicts = after(said("done", work="wires", places=["bath"]), entry).verdicts(Gate.ROLL, ON)
        assert words(verdicts) == {"bath.outer": "ready", "kitchen.outer": "reserved"}
        assert verdicts.is_yes


def test_what_is_sealed_by_hand_keeps_its_passed_look() -> None:
    """Wired and looked at in the bath: sealing that by hand does not take the wires out again."""
    text = "[approvals]\nwiring-look = []\n" + JOB.replace(
        'takes = "16 h"', 'takes = "16 h", approval = "wiring-look"'
    )
    passed = said("result", approval="wiring-look", surfaces=["bath"], result="passed for part")
    sealed = said("sealed", "2026-05-06T09:00:00", surfaces=["bath"])
    for entries in ((passed,), (passed, sealed)):
        found = after(*entries, text=text)
        assert told(found.finish("wires@bath")) == "2026-05-05 09:00"
        assert told(found.start("wires@kitchen"))[:10] == "2026-05-08"
    damaged = said("change", "2026-05-06T10:00:00", what="a new outlet", surfaces=["bath"])
    assert told(after(passed, sealed, damaged, text=text).finish("wires@bath")) > "2026-05-08"


def test_a_look_asked_for_in_part_waits_for_the_work_of_its_own_surfaces_alone() -> None:
    """And the rest is looked at in a slot of its own; a plain request changes no structure."""
    text = "[approvals]\nwiring-look = []\n" + JOB.replace(
        'takes = "16 h"', 'takes = "16 h", approval = "wiring-look"'
    )
    asked: dict[str, Any] = {"approval": "wiring-look", "surfaces": ["bath"]}
    whole = after(said("requested", "2026-05-04T09:00:00", **asked), text=text)
    part = after(said("requested", "2026-05-04T09:00:00", part=True, **asked), text=text)
    assert [approval.part for approval in whole.site.approvals] == [0]
    assert [tuple(a.looks) for a in part.site.approvals] == [("bath.outer",), ("kitchen.outer",)]
    late = whole.finish("wiring-look@bath.outer")
    assert part.finish("wiring-look@bath.outer") < late == part.finish("wiring-look@kitchen.outer")
    written = '{ surfaces = ["bath"], requested = 2026-05-04T09:00:00, part = true }'
    stated = after(text=text.replace("wiring-look = []", f"wiring-look = [{written}]"))
    assert stated.finish("wiring-look@bath.outer") == part.finish("wiring-look@bath.outer")


def test_a_trade_that_comes_on_a_day_off_works_its_usual_shift() -> None:
    """Saturday 9 May: what would have begun on Monday begins then, and ends within the shift."""
    saturday = "2026-05-09 06:30"
    assert told(after(as_of=saturday).start("wires@bath")) == "2026-05-11 07:00"
    extra = said("extra", "2026-05-04T09:00:00", extra_trade="electrician", days=["2026-05-09"])
    assert told(after(extra, as_of=saturday).start("wires@bath")) == "2026-05-09 07:00"


def test_a_trade_that_stays_for_an_evening_ends_sooner() -> None:
    """Begun at two in the afternoon: over that evening, not the next morning."""
    two = "2026-05-05 14:00"
    room = "wires@bath"
    assert told(after(as_of=two).finish(room))[:10] == "2026-05-06"
    late = said("late", "2026-05-04T09:00:00", late_trade="electrician", until=["2026-05-05T23:00"])
    assert told(after(late, as_of=two).finish(room))[:10] == "2026-05-05"


def test_an_evening_of_a_day_off_or_before_the_end_of_the_shift_changes_nothing() -> None:
    for until in ("2026-05-09T20:00", "2026-05-05T13:00"):
        late = said("late", "2026-05-04T09:00:00", late_trade="electrician", until=[until])
        assert after(late).finish("wires@kitchen") == after().finish("wires@kitchen")


def test_a_work_takes_as_long_as_was_said_last() -> None:
    usual, fast = after(), after(said("takes", work="wires", takes="2 h"))
    assert fast.finish("wires@kitchen") < usual.finish("wires@kitchen")
    assert fast.finish("wires@kitchen") - fast.start("wires@bath") == 2 * 60


def test_a_second_crew_works_its_rooms_at_the_same_time() -> None:
    one, two = after(), after(said("crews", work="wires", crews=2))
    rooms = ("wires@bath", "wires@kitchen")
    assert len({one.start(room) for room in rooms}) == 2
    assert len({two.start(room) for room in rooms}) == 1


def test_a_second_rig_halves_the_spraying_and_nothing_else() -> None:
    """4 h: one for set-up, half of one for clean-up; of the 150 min between a rig takes 75."""
    one, two = after(), after(said("rigs", trip="first", rigs=2))
    assert [found.site.trips["first"].minutes for found in (one, two)] == [240, 165]
    trip = one.site.trips["first"]
    for task, minutes in ((trip.set_up, 60), (trip.clean_up, 30), (trip.keep_out, 24 * 60)):
        assert two.site.tasks[task].minutes == one.site.tasks[task].minutes == minutes
    back = said("rigs", "2026-05-06T09:00:00", trip="first", rigs=1)
    assert after(said("rigs", trip="first", rigs=2), back).site.trips["first"].minutes == 240


def test_rigs_share_the_longest_spraying_too_in_whole_minutes() -> None:
    """241 min usually, 303 at most: of 151 and 213 min a rig takes 76 and 107."""
    text = JOB.replace('lasts = "4 h"', 'lasts = "241 min", lasts_at_most = "303 min", rigs = 2')
    trip = after(text=text).site.trips["first"]
    assert (trip.minutes, trip.late_minutes) == (60 + 76 + 30, 60 + 107 + 30)


def test_each_surface_takes_a_minute_however_many_rigs_come() -> None:
    text = JOB.replace("4 h", "8 min")
    site = after(said("rigs", trip="first", rigs=50), text=text).site
    assert [site.tasks[task].minutes for task in site.trips["first"].sprays.values()] == [1, 1]


def test_the_places_that_come_first_are_worked_first_until_the_usual_order_is_told_again() -> None:
    kitchen = said("first", work="wires", places=["kitchen"])
    usual, turned = after(), after(kitchen)
    bath, both = usual.start("wires@bath"), usual.finish("wires@kitchen")
    assert (turned.start("wires@kitchen"), turned.finish("wires@bath")) == (bath, both)
    again = after(kitchen, said("first", "2026-05-06T09:00:00", work="wires"))
    assert (again.start("wires@bath"), again.finish("wires@kitchen")) == (bath, both)


def test_a_day_off_moves_the_work_of_that_trade() -> None:
    text = JOB.replace("[trips]", '[trades]\nelectrician = { phone = "555-0142" }\n[trips]')
    tuesday = "2026-05-05 06:30"
    assert told(after(text=text, as_of=tuesday).start("wires@bath")) == "2026-05-05 07:00"
    off = said("off", "2026-05-04T09:00:00", off_trade="electrician", days=["2026-05-05"])
    assert told(after(off, text=text, as_of=tuesday).start("wires@bath")) == "2026-05-06 07:00"


def test_a_job_without_such_entries_is_the_same_object() -> None:
    job, _ = load_job_text(with_head(JOB), "job.toml", TABLES)
    noon = datetime(2026, 5, 8, 12, tzinfo=UTC)
    notes = history(DONE, said("remark", text="hot")).until(noon)
    assert amended(job, notes) is job


def test_every_kind_of_entry_changes_something_or_is_known_to_change_nothing() -> None:
    """A new kind that nobody folds is noticed."""
    folded = {_kind_of(model) for model in HANDLERS}
    unread = set(SPEAKS_TO_NO_GATE)
    known = (getattr(kinds, name) for name in kinds.__all__)
    of_all = {
        _kind_of(model)
        for model in known
        if isinstance(model, type) and issubclass(model, kinds.Entry) and model is not kinds.Entry
    }
    assert of_all == folded | AMENDING | unread
    assert not folded & (AMENDING | unread)


def _kind_of(model: type) -> str:
    assert issubclass(model, kinds.Entry)
    return str(model.model_fields["kind"].default)
