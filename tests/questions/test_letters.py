"""What each is told: only dates that people set, what goes before, what follows, whom to call."""

from __future__ import annotations

import pytest

from readiness.questions.letters import LettersAnswer, letters
from readiness.telling.calendar_entries import Entry
from tests.builders import AS_OF, real

JOB = """\
name = "Cedar Lane 3"
key = "5b0e77a1"
site = { time_zone = "America/New_York", holidays = false, address = "3 Cedar Lane", \
contact = "Doyle Homes", phone = "555-0140" }

[rooms]
bath = { is = "bath" }
kitchen = { is = "kitchen" }

[surfaces]
bath.outer = { is = "wall above grade", area = "100 sq ft" }
kitchen.outer = { is = "wall above grade", area = "100 sq ft" }

[trades]
electrician = { name = "Bao Electric", phone = "555-0141" }
spray = { name = "Pell Foam", phone = "555-0142" }
"""
TRIP = """
[trips]
first = { agreed = 2026-05-11T07:00:00, lasts = "1 d" }
"""
CABLE = """
[work.cable]
title = "Pull cable"
trade = "electrician"
in = ["bath", "kitchen"]
order = "before"
takes = "2 d"
"""


def told(text: str, as_of: str = AS_OF) -> LettersAnswer:
    return letters(real(JOB + text, as_of).case)


def entries(answer: LettersAnswer, trade: str) -> tuple[Entry, ...]:
    return next((letter.entries for letter in answer.letters if letter.file == f"{trade}.ics"), ())


def shown(found: tuple[Entry, ...]) -> list[str]:
    return [f"{each.starts:%m-%d %H:%M} {each.ends:%m-%d %H:%M} {each.title}" for each in found]


def test_agreed_work_is_one_entry_a_day() -> None:
    answer = told(CABLE + "agreed = 2026-05-06")
    assert shown(entries(answer, "electrician")) == [
        "05-06 07:00 05-06 15:30 Pull cable, Bath, Kitchen; 3 Cedar Lane (day 1 of 2)",
        "05-07 07:00 05-07 15:30 Pull cable, Bath, Kitchen; 3 Cedar Lane (day 2 of 2)",
    ]
    assert all(each.agreed and each.busy for each in entries(answer, "electrician"))
    assert {each.place for each in entries(answer, "electrician")} == {"3 Cedar Lane"}


def test_booked_work_asks_for_a_call() -> None:
    (first, _) = entries(told(CABLE + "booked = 2026-05-06"), "electrician")
    assert first.title.startswith("To confirm: Pull cable")
    assert first.says[0] == "On paper only. Not agreed yet: please call."
    assert not first.agreed


@pytest.mark.parametrize("dated", ["", "not_before = 2026-05-06", "begun = 2026-05-01"])
def test_what_nobody_has_dated_is_not_sent(dated: str) -> None:
    """A forecast is not sent, whatever it says; the reason is told instead."""
    answer = told(CABLE + dated)
    assert answer.letters == ()
    cable = next(each for each in answer.unsent if each.item == "cable")
    assert cable.title == "Pull cable"
    assert cable.who.phone == "555-0141"
    assert "without" in cable.reason if "begun" in dated else "no agreed or booked" in cable.reason


def test_finished_work_is_not_missed() -> None:
    assert [each.item for each in told(CABLE + "done = true").unsent] == ["trip:not-planned"]


def test_a_trip_that_nobody_has_dated_is_not_sent() -> None:
    answer = told("")
    assert [each.item for each in answer.unsent] == ["trip:not-planned"]


def test_the_forecast_does_not_move_what_was_set() -> None:
    """Two days of other work before it make the agreed day impossible; it stands all the same."""
    late = """
[work.drill]
title = "Drill joists"
trade = "framer"
in = ["bath"]
takes = "5 d"
"""
    text = CABLE + 'agreed = 2026-05-06\nstarts_after = [{ end_of = "drill" }]' + late
    assert entries(told(text), "electrician")[0].starts.day == 6


def test_the_deadline_is_the_agreed_arrival() -> None:
    answer = told(CABLE + "agreed = 2026-05-06" + TRIP)
    first = entries(answer, "electrician")[0]
    assert (
        first.title
        == "Pull cable, Bath, Kitchen; before the foam Mon 11 May; 3 Cedar Lane (day 1 of 2)"
    )
    assert "Done by: Mon 11 May 07:00, when the foam crew arrives (first trip)" in first.says


def test_each_entry_tells_before_after_and_whom_to_call() -> None:
    drill = """
[work.drill]
title = "Drill joists"
trade = "framer"
in = ["bath"]
takes = "1 d"
"""
    text = CABLE + 'agreed = 2026-05-06\nstarts_after = [{ end_of = "drill" }]' + drill + TRIP
    first = entries(told(text), "electrician")[0]
    assert "Must be done first: Drill joists (Framer)" in first.says
    assert "Waits for this: the foam, first trip" in first.says
    assert first.says[-1] == "Call: Doyle Homes, 555-0140"


def test_what_is_finished_is_not_waited_for() -> None:
    drill = '\n[work.drill]\ntitle = "Drill"\ntrade = "framer"\nin = ["bath"]\ntakes = "1 d"'
    drill += "\ndone = true"
    text = CABLE + 'agreed = 2026-05-06\nstarts_after = [{ end_of = "drill" }]' + drill
    assert not any("Drill" in line for line in entries(told(text), "electrician")[0].says)


def test_the_contractor_sees_everything_and_is_told_whom_to_call() -> None:
    answer = told(CABLE + "agreed = 2026-05-06" + TRIP)
    mine = entries(answer, "contractor")
    assert [each.title for each in mine] == [
        (
            "Bao Electric: Pull cable, Bath, Kitchen; before the foam Mon 11 May"
            "; 3 Cedar Lane (day 1 of 2)"
        ),
        (
            "Bao Electric: Pull cable, Bath, Kitchen; before the foam Mon 11 May"
            "; 3 Cedar Lane (day 2 of 2)"
        ),
        (
            "Pell Foam: Confirm by Fri 8 May 15:30: the rig comes Mon 11 May 07:00, first trip"
            "; 3 Cedar Lane"
        ),
        "Pell Foam: Spray foam, Bath outer, Kitchen outer (first trip); 3 Cedar Lane",
        "KEEP OUT until released, not before Tue 12 May 17:00, as of Mon 4 May 06:30: Cedar Lane 3",
    ]
    assert mine[0].says[-1] == "Call: Bao Electric, 555-0141"
    assert not any(each.busy for each in mine)
    assert answer.letters[-1].file == "contractor.ics"


def test_identities_are_unique_and_stay_when_dates_and_titles_move() -> None:
    before = told(CABLE + "agreed = 2026-05-06" + TRIP)
    after = told(
        CABLE.replace("Pull cable", "Run cable")
        + "booked = 2026-05-05"
        + TRIP.replace("11T", "12T")
    )
    uids = [each.uid for letter in before.letters for each in letter.entries]
    assert len(set(uids)) == len(uids)
    assert sorted(uids) == sorted(each.uid for letter in after.letters for each in letter.entries)


# --- keep-out ------------------------------------------------------------------------------


def keep_outs(answer: LettersAnswer, trade: str) -> list[Entry]:
    return [each for each in entries(answer, trade) if each.kind == "keep-out"]


def test_a_keep_out_lasts_until_its_late_end() -> None:
    """The longest stay that is written, then the sheet's time."""
    trip = TRIP.replace('"1 d"', '"1 d", lasts_at_most = "2 d", keep_out = "24 h", sheet = "A"')
    (keep_out,) = keep_outs(told(CABLE + trip), "electrician")
    assert f"{keep_out.starts:%m-%d %H:%M}" == "05-11 07:00"
    assert f"{keep_out.ends:%m-%d %H:%M}" == "05-13 17:00"
    assert keep_out.title == (
        "KEEP OUT until released, not before Wed 13 May 17:00, as of Mon 4 May 06:30: Cedar Lane 3"
    )


def test_a_keep_out_does_not_take_time() -> None:
    (keep_out,) = keep_outs(told(CABLE + TRIP), "electrician")
    assert not keep_out.busy
    assert keep_out.agreed


def test_a_keep_out_is_told_to_those_who_work_inside_its_zone() -> None:
    """The crew itself, inside work in the zone, and named trades without work; roofers are not."""
    roof = """
[work.shingles]
title = "Lay shingles"
trade = "roofer"
in = ["bath"]
takes = "1 d"
where = "outside"
"""
    kitchen = """
[work.sink]
title = "Set sink"
trade = "plumber"
in = ["kitchen"]
takes = "1 d"
"""
    inside = CABLE.replace('["bath", "kitchen"]', '["bath"]')
    trip = TRIP.replace("lasts", 'zone = ["bath"], surfaces = ["bath.outer"], lasts')
    answer = told(inside + roof + kitchen + trip)
    assert [letter.file for letter in answer.letters if keep_outs(answer, letter.file[:-4])] == [
        "electrician.ics",
        "owner.ics",
        "spray.ics",
        "contractor.ics",
    ]
    assert keep_outs(told(roof + TRIP), "electrician"), "a named trade without work may come by"


def test_a_keep_out_speaks_of_a_release_and_never_of_safety() -> None:
    for answer in (told(CABLE + TRIP), told(CABLE + TRIP, "2026-05-20 06:30")):
        for letter in answer.letters:
            for each in letter.entries:
                words = " ".join((each.title, *each.says)).lower()
                assert "safe" not in words
        (keep_out,) = keep_outs(answer, "electrician")
        assert keep_out.title.startswith("KEEP OUT until released")
        assert any("starts it again" in line for line in keep_out.says)
        assert any("planning figure" in line for line in keep_out.says)
        assert any("product data sheet" in line for line in keep_out.says)


def test_a_keep_out_past_its_late_end_runs_on_without_a_release() -> None:
    trip = TRIP.replace("lasts", "arrived = 2026-05-11T07:10:00, lasts")
    (keep_out,) = keep_outs(told(CABLE + trip, "2026-05-14 06:30"), "electrician")
    assert f"{keep_out.ends:%m-%d %H:%M}" == "05-16 00:00", "the end of tomorrow"
    assert keep_out.title == (
        "KEEP OUT until released, no release yet, as of Thu 14 May 06:30: Cedar Lane 3"
    )


def test_a_release_ends_the_keep_out() -> None:
    trip = TRIP.replace(
        "lasts",
        "arrived = 2026-05-11T07:10:00, released = 2026-05-12T18:00:00,"
        ' released_by = "A. Pell", lasts',
    )
    (keep_out,) = keep_outs(told(CABLE + trip, "2026-05-14 06:30"), "electrician")
    assert f"{keep_out.ends:%m-%d %H:%M}" == "05-12 18:00"
    assert keep_out.title == "Released Tue 12 May 18:00 by A. Pell: Cedar Lane 3"


def test_work_that_falls_into_a_keep_out_is_said_to() -> None:
    """The date that was agreed stands, with the warning in the entry and in the answer."""
    paint = """
[work.paint]
title = "Paint"
trade = "electrician"
in = ["bath"]
takes = "1 d"
agreed = 2026-05-12
"""
    answer = told(paint + TRIP)
    (entry,) = [each for each in entries(answer, "electrician") if each.kind == "work"]
    assert f"{entry.starts:%m-%d %H:%M}" == "05-12 07:00"
    assert any(line.startswith("Falls into the keep-out of the first trip") for line in entry.says)
    assert len(answer.warnings) == 1
    assert told(paint.replace("05-12", "05-13") + TRIP).warnings == ()


def test_only_the_days_inside_a_keep_out_are_warned_of() -> None:
    """Work before the foam that would run into it is no longer in time."""
    days = [
        each
        for each in entries(told(CABLE + "agreed = 2026-05-08" + TRIP), "electrician")
        if each.kind == "work"
    ]
    warned = [any(line.startswith("Falls into") for line in each.says) for each in days]
    assert [f"{each.starts:%m-%d}" for each in days] == ["05-08", "05-11"]
    assert warned == [False, True]


def test_work_outside_the_zone_is_not_warned_of() -> None:
    trip = TRIP.replace("lasts", 'zone = ["bath"], surfaces = ["bath.outer"], lasts')
    kitchen = CABLE.replace('["bath", "kitchen"]', '["kitchen"]').replace('"before"', '"free"')
    text = kitchen + "agreed = 2026-05-11"
    assert told(text + trip).warnings == ()
    assert len(told(text + TRIP).warnings) == 1


def test_other_work_goes_on_after_a_keep_out() -> None:
    """The end of a stay is counted round the keep-out that shuts it out."""
    free = CABLE.replace('"before"', '"free"') + "agreed = 2026-05-08"
    days = [each for each in entries(told(free + TRIP), "electrician") if each.kind == "work"]
    assert [f"{each.starts:%m-%d}" for each in days] == ["05-08", "05-13"]


def test_work_after_the_foam_waits_for_the_release() -> None:
    board = CABLE.replace('"before"', '"after"') + "agreed = 2026-05-13"
    first = entries(told(board + TRIP), "electrician")[1]
    assert (
        first.title
        == "Pull cable, Bath, Kitchen; only after the release; 3 Cedar Lane (day 1 of 2)"
    )
    assert "Must be done first: the release after the foam, first trip" in first.says


# --- other dates ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("booking", "says", "first", "count"),
    [
        ('"2026-05-06 afternoon"', "Agreed: in the afternoon.", "05-06 11:15", 3),
        ('"2026-05-06 09:00"', "Agreed.", "05-06 09:00", 3),
        (
            '"2026-05-05 to 2026-05-06"',
            "Agreed: start on any day from Tue 5 May to Wed 6 May.",
            "05-05 07:00",
            3,
        ),
        ('"by 2026-05-06"', "Agreed: start any day until Wed 6 May.", "05-06 07:00", 2),
    ],
)
def test_each_kind_of_booking(booking: str, says: str, first: str, count: int) -> None:
    found = entries(told(CABLE + f"agreed = {booking}"), "electrician")
    assert found[0].says[0] == says
    assert f"{found[0].starts:%m-%d %H:%M}" == first
    assert len(found) == count


def test_parts_done_before_the_start_shorten_a_stay_and_later_ones_do_not() -> None:
    """A stay does not shrink while it is worked; what was done long before is not done again."""
    done = CABLE + 'agreed = 2026-05-06\ndone_in = ["bath"]'
    assert len(entries(told(done), "electrician")) == 1
    assert len(entries(told(done, "2026-05-07 06:30"), "electrician")) == 2


def test_finished_work_stays_in_the_calendar_as_done() -> None:
    done = CABLE + "agreed = 2026-05-06\ndone = 2026-05-07"
    found = entries(told(done, "2026-05-10 06:30"), "electrician")
    assert len(found) == 2
    assert found[0].says[0] == "Done, as reported."


def test_work_that_was_done_before_its_date_is_not_sent() -> None:
    answer = told(CABLE + "agreed = 2026-05-06\ndone = 2026-05-01")
    assert answer.letters == ()
    assert [each.item for each in answer.unsent] == ["trip:not-planned"]


APPROVAL = """
[approvals.electrical-approval]
surfaces = ["bath.outer"]
"""


def test_a_look_is_sent_when_the_office_has_confirmed_its_time() -> None:
    text = CABLE + 'agreed = 2026-05-06\napproval = "electrical-approval"' + APPROVAL
    answer = told(text + "slot = 2026-05-08T10:00:00")
    (look,) = [each for each in entries(answer, "electrician") if each.kind == "look"]
    assert f"{look.starts:%m-%d %H:%M} {look.ends:%H:%M}" == "05-08 10:00 11:00"
    assert look.agreed
    assert not look.busy
    asked = told(text + "requested = 2026-05-03T10:00:00")
    assert not [each for each in entries(asked, "electrician") if each.kind == "look"]
    (unsent,) = [each for each in asked.unsent if each.item == "approval:electrical-approval"]
    assert unsent.reason == "requested, but the office has confirmed no time"


def test_a_dated_pull_and_its_return_are_sent() -> None:
    tub = """
[obstructions]
tub-1 = { is = "tub", blocks = ["bath.outer"], pull = 2026-05-08, reset = 2026-05-14 }
"""
    found = entries(told(tub + TRIP), "plumber")
    assert [(each.kind, f"{each.starts:%m-%d}") for each in found] == [
        ("pull", "05-08"),
        ("confirm work", "05-08"),
        ("keep-out", "05-11"),
        ("set again", "05-14"),
    ]


def test_the_agreed_board_start_is_the_boards_own_entry_or_a_day_of_the_contractor() -> None:
    text = JOB.replace("site =", "board = 2026-05-18\nsite =")
    (entry,) = entries(letters(real(text).case), "contractor")
    assert entry.title == "Board may start (agreed), Cedar Lane 3; 3 Cedar Lane"
    assert not entry.busy
    board = '\n[work.hang-board]\nin = ["bath"]\ntakes = "1 d"\n'
    answer = letters(real(text + board).case)
    (hang,) = shown(entries(answer, "drywall"))
    assert (
        hang == "05-18 07:00 05-18 15:30 Hang the board, Bath; only after the release; 3 Cedar Lane"
    )
    assert [each.kind for each in entries(answer, "contractor")] == ["work"]


def test_hot_work_near_foam_has_its_caution() -> None:
    hot = CABLE.replace('"before"', '"after"') + "agreed = 2026-05-13\nhot = true"
    first = entries(told(hot + TRIP), "electrician")[1]
    assert any(line.startswith("Hot work: bare foam burns.") for line in first.says)


def test_private_remarks_stay_at_home() -> None:
    """Notes, answers, waivers and sheets may hold door codes and health; none is ever sent."""
    text = (
        CABLE
        + 'agreed = 2026-05-06\nnote = "SECRET door code 4711"\n'
        + TRIP.replace("lasts", 'sheet = "SECRET sheet", lasts')
        + """
[answers]
call = { yes = ["scope-in-writing"], by = "SECRET owner has asthma", at = 2026-05-03 }
[readings]
wood = { is = "wood moisture", value = "12 %", at = 2026-05-03T10:00:00, by = "SECRET" }
[stops]
halt = { by = "SECRET", role = "owner", reason = "SECRET illness", at = 2026-05-03T10:00:00 }
"""
    )
    answer = told(text)
    assert answer.letters
    assert "SECRET" not in repr(answer)


# --- owner, links ---------------------------------------------------------------------------


def test_the_owner_is_told_when_to_be_out_and_who_says_when_to_return() -> None:
    (only,) = entries(told(CABLE + TRIP), "owner")
    assert only.title == (
        "Out from Mon 11 May 07:00; earliest return Tue 12 May 17:00, only after the crew lead's"
        " word"
    )
    assert not only.busy
    words = " ".join(only.says)
    assert "pets included" in words
    assert "product data sheet" in words
    assert "safe" not in words.lower()


def test_the_owner_has_no_time_of_return_while_no_release_is_in_sight() -> None:
    trip = TRIP.replace("lasts", "arrived = 2026-05-11T07:10:00, lasts")
    (only,) = entries(told(CABLE + trip, "2026-05-14 06:30"), "owner")
    assert only.title == (
        "Out from Mon 11 May 07:10; no return yet, as of Thu 14 May 06:30; the crew lead will say"
    )


def test_an_owner_of_the_job_file_gets_the_plain_calendar_only() -> None:
    text = JOB.replace("[trades]\n", '[trades]\nowner = { name = "A. Lind", phone = "555-0149" }\n')
    answer = letters(real(text + CABLE + TRIP).case)
    (letter,) = [each for each in answer.letters if each.file == "owner.ics"]
    assert letter.who.name == "A. Lind"
    assert len(letter.entries) == 1


DRILL = """
[work.drill]
title = "Drill joists"
trade = "electrician"
in = ["bath"]
takes = "1 d"
agreed = 2026-05-04
"""


@pytest.mark.parametrize(
    ("gap", "minutes"),
    [("", 0), (', gap = "3 h elapsed"', 180), (', gap = "1 d"', 24 * 60)],
)
def test_what_waits_is_tied_at_both_ends_with_its_gap(gap: str, minutes: int) -> None:
    """A working day is told as the time on the clock that it takes from where it begins."""
    text = CABLE + f'agreed = 2026-05-06\nstarts_after = [{{ end_of = "drill"{gap} }}]' + DRILL
    first, second, *_ = entries(told(text), "electrician")
    (on,) = [tie for tie in first.ties if tie.uid == second.uid]
    (back,) = [tie for tie in second.ties if tie.uid == first.uid]
    assert (on.kind, on.is_earlier, on.gap_minutes) == ("end to start", True, minutes)
    assert (back.kind, back.is_earlier, back.gap_minutes) == ("end to start", False, minutes)


def test_what_the_office_asked_for_last_stands_in_the_entry() -> None:
    text = CABLE + 'agreed = 2026-05-06\napproval = "electrical-approval"'
    failed = """
[approvals]
electrical-approval = [
    { surfaces = ["bath.outer"], result = "failed", at = 2026-05-03, correct = "nail plates" },
]
"""
    (line,) = [
        each
        for each in entries(told(text + failed), "electrician")[0].says
        if each.startswith("Condition of")
    ]
    assert line.endswith("nail plates (Bath outer)")
    later = '},\n    { result = "failed", at = 2026-05-04, correct = "box fill" },\n]'
    says = entries(told(text + failed.replace("},\n]", later)), "electrician")[0].says
    assert [each.partition(": ")[2] for each in says if each.startswith("Condition of")] == [
        "box fill (Bath outer)",
        "box fill (Kitchen outer)",
    ]


def test_the_contractor_is_called_at_the_site_where_no_other_number_is_written() -> None:
    text = CABLE.replace("[work", 'contractor = { email = "d@doyle.example.com" }\n\n[work')
    first = entries(told(text + "agreed = 2026-05-06"), "electrician")[0]
    assert first.says[-1] == "Call: Doyle Homes, 555-0140"
