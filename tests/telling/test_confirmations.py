"""By when a word is wanted: entries of their own, on working days, about dates that people set."""

from __future__ import annotations

import pytest

from readiness.diary.sending_entries import SentEntry
from readiness.diary.sent import SentState
from readiness.questions.letters import LettersAnswer, letters
from readiness.telling.calendar_entries import ASKING, Entry
from readiness.telling.confirmations import ABOUT_WORDS
from tests.builders import AS_OF, problems, real
from tests.questions.test_letters import CABLE, JOB, TRIP, entries

DRILL = """
[work.drill]
title = "Drill joists"
trade = "framer"
in = ["bath"]
takes = "1 d"
"""


def told(text: str, as_of: str = AS_OF) -> LettersAnswer:
    return letters(real(JOB + text, as_of).case)


def asking(answer: LettersAnswer, recipient: str) -> list[Entry]:
    kinds = {"confirm the rig", "confirm work", "answer an offer"}
    return [each for each in entries(answer, recipient) if each.kind in kinds]


def test_a_trade_says_by_when_its_work_before_the_foam_is_done() -> None:
    """Two days ahead, on the last working day before: Monday's arrival is asked for on Friday."""
    (entry,) = asking(told(CABLE + "agreed = 2026-05-06" + TRIP), "electrician")
    assert entry.title == (
        "Confirm by Fri 8 May 15:30: yours is done before the foam Mon 11 May, first trip"
        "; 3 Cedar Lane"
    )
    assert f"{entry.ends:%m-%d %H:%M}" == "05-08 15:30"
    assert entry.says[0] == "Done, or done by then for certain: Pull cable?"
    assert "says that it arrived, and nothing more" in entry.says[1]
    assert entry.standing == "answer wanted"
    assert not entry.busy


def test_what_has_no_date_yet_is_asked_about_too() -> None:
    text = CABLE + 'agreed = 2026-05-06\nstarts_after = [{ end_of = "drill" }]' + DRILL + TRIP
    (entry,) = asking(told(text), "framer")
    assert entry.says[0] == "Done, or done by then for certain: Drill joists?"
    assert "Waits for this: Pull cable (Electrician)" in entry.says


def test_what_is_done_is_not_asked_about() -> None:
    assert asking(told(CABLE + "done = true" + TRIP), "electrician") == []


def test_what_was_asked_falls_away_with_the_work_that_is_done() -> None:
    """It is cancelled as a question; that the trip stands is said, so that nobody stays at home."""
    before = told(CABLE + "agreed = 2026-05-06" + TRIP)
    (asked,) = asking(before, "electrician")
    kept = SentEntry(
        uid=asked.uid,
        to="electrician",
        item=asked.item,
        of=asked.kind,
        short=asked.short,
        place=asked.place,
        starts=asked.starts,
        ends=asked.ends,
        agreed=asked.agreed,
        sequence=0,
        stamp=asked.stamp,
    )
    case = real(JOB + CABLE + "done = true" + TRIP).case
    (gone,) = asking(letters(case, SentState(entries={kept.uid: kept})), "electrician")
    assert gone.title == "CANCELLED: Confirm your work before the foam, first trip"
    assert "The work and the dates stand." in gone.says[0]
    assert {each.value for each in ABOUT_WORDS} == ASKING


def test_a_day_on_paper_is_told_as_such() -> None:
    (entry,) = asking(told(CABLE + "booked = 2026-05-06" + TRIP), "electrician")
    assert "Pull cable (on paper only)?" in entry.says[0]


def test_the_crew_confirms_the_rig_and_the_contractor_knows_whom_to_hear_first() -> None:
    answer = told(CABLE + "agreed = 2026-05-06" + TRIP)
    (crew,), (mine,) = asking(answer, "spray"), asking(answer, "contractor")
    assert crew.title == (
        "Confirm by Fri 8 May 15:30: the rig comes Mon 11 May 07:00, first trip; 3 Cedar Lane"
    )
    assert mine.title == f"Pell Foam: {crew.title}"
    assert "Hear first from: Bao Electric, 555-0141" in mine.says
    assert not any(line.startswith("Hear") for line in crew.says)


def test_a_confirmed_rig_is_said_to_be() -> None:
    trip = TRIP.replace("lasts", 'confirmed = 2026-05-03, confirmed_by = "R. Pell", lasts')
    (entry,) = asking(told(CABLE + trip), "spray")
    assert entry.title.startswith("Confirmed by R. Pell: the rig comes Mon 11 May 07:00")
    assert entry.standing == "agreed"


def test_nothing_is_to_be_confirmed_once_the_rig_is_there() -> None:
    trip = TRIP.replace("lasts", "arrived = 2026-05-11T07:10:00, lasts")
    answer = told(CABLE + "agreed = 2026-05-06" + trip, "2026-05-11 09:00")
    assert [asking(answer, each) for each in ("electrician", "spray", "contractor")] == [[]] * 3


@pytest.mark.parametrize("recipient", ["contractor", "spray"])
def test_an_offer_stands_until_it_ends(recipient: str) -> None:
    trip = TRIP.replace(
        "agreed = 2026-05-11T07:00:00",
        "offered = [2026-05-12T07:00:00, 2026-05-11T07:00:00],"
        " offer_holds_until = 2026-05-05T17:00:00",
    )
    (entry,) = asking(told(CABLE + trip), recipient)
    assert entry.title == (
        "Answer by Tue 5 May 17:00: days kept free for the first trip; 3 Cedar Lane"
    )
    assert f"{entry.ends:%m-%d %H:%M}" == "05-05 17:00"
    assert entry.says[0] == "Offered: Mon 11 May 07:00, Tue 12 May 07:00"


def test_an_offer_that_was_taken_is_no_longer_asked_about() -> None:
    trip = TRIP.replace(
        "lasts",
        "offered = [2026-05-11T07:00:00], offer_holds_until = 2026-05-05T17:00:00, lasts",
    )
    assert [each.kind for each in asking(told(CABLE + trip), "spray")] == ["confirm the rig"]


# --- looks that a trade waits for, rigs, conditions, the way back ---------------------------

LOOKED = """
[offices]
town = { name = "Town office", phone = "555-0149", visits = "Mon-Fri 09:00-12:00", notice = "1 d", \
conditions = ["cable in foam: leave a foot of slack"] }

[approvals]
framing-approval = { requested = 2026-05-04T06:00:00, slot = 2026-05-07T09:00:00 }
"""


def test_the_crew_has_the_look_that_the_foam_waits_for() -> None:
    answer = told(CABLE + "agreed = 2026-05-06" + TRIP + LOOKED)
    (look,) = [each for each in entries(answer, "spray") if each.kind == "look"]
    assert look.title.startswith("Approval of framing: Town office comes to see")
    assert "Waits for this: the foam, first trip" in look.says
    assert not look.busy


def test_a_rig_has_a_calendar_of_its_own() -> None:
    """Its trips, keep-outs and words, and the looks that it waits for; no trade's work."""
    trips = """
[trips]
first = { agreed = 2026-05-11T07:00:00, lasts = "1 d", rig = "2", surfaces = ["bath.outer"] }
second = { agreed = 2026-05-18T07:00:00, lasts = "1 d", rig = "blue", surfaces = ["kitchen.outer"] }
"""
    answer = told(CABLE + "agreed = 2026-05-06" + trips + LOOKED)
    two, blue, crew = (entries(answer, each) for each in ("rig-2", "rig-blue", "spray"))
    assert [each.kind for each in two] == ["look", "confirm the rig", "spray", "keep-out"]
    assert {each.item.partition(":")[2][:6] for each in blue if each.kind != "look"} == {"second"}
    assert not {each.uid for each in two} & {each.uid for each in (*blue, *crew)}
    names = [letter.who.name for letter in answer.letters if letter.file == "rig-2.ics"]
    assert names == ["Pell Foam, rig 2"]
    assert answer.letters[-1].file == "contractor.ics"


def test_a_rig_is_not_called_like_a_trade() -> None:
    text = JOB.replace("[trades]", '[trades]\nrig-2 = { name = "Odd" }') + TRIP.replace(
        "lasts", 'rig = "2", lasts'
    )
    assert any("rig-2" in each for each in problems(text))


def test_a_condition_of_the_office_stands_in_the_work_it_looks_at() -> None:
    work = CABLE + 'agreed = 2026-05-06\napproval = "electrical-approval"'
    asked = LOOKED + "electrical-approval = { requested = 2026-05-04T06:00:00 }\n"
    first = entries(told(work + TRIP + asked), "electrician")[0]
    assert first.kind == "work"
    assert "Condition of Town office: cable in foam: leave a foot of slack" in first.says


def test_who_comes_back_knows_what_to_look_at() -> None:
    """On the keep-out, and on what is done after the release; only what the job has."""
    text = CABLE + "agreed = 2026-05-06" + TRIP + '\n[work.boxes-opened]\nin = ["bath"]\n'
    answer = told(text)
    lines = [line for each in entries(answer, "electrician") for line in each.says]
    back = "Check when you are back: Open the boxes and take the tape off: no foam in any of them"
    assert lines.count(back) == 1
    (keep_out,) = [each for each in entries(answer, "electrician") if each.kind == "keep-out"]
    assert back in keep_out.says
    assert sum(line.startswith("Check when") for line in keep_out.says) == 2
    assert not any(
        "Check when" in line
        for who in ("spray", "owner")
        for e in entries(answer, who)
        for line in e.says
    )
