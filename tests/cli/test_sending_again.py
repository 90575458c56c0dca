"""Sending again: what people have already keeps its number; what moves or falls away is told.

Every test sends from a job folder on disk and reads the files and the diary that it finds there.
"""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from readiness.desk import writing
from tests.desk.builders import Ran, entries, note, run
from tests.exchange.rfc_lines import Component, complaints, read
from tests.golden.small_job import SMALL_JOB

DANA = "Dana Ruiz, contractor"
SAM = "Sam Lee, contractor"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "alder"
    folder.mkdir()
    (folder / "job.toml").write_text(SMALL_JOB, encoding="utf-8")
    return folder


def send(job: Path, *words: str, at: str = "2026-05-04 06:30", by: str = DANA) -> Ran:
    return run("send", job, "--out", str(job / "out"), *words, at=at, by=by)


def files(job: Path) -> dict[str, bytes]:
    found = {path.name: path.read_bytes() for path in (job / "out").iterdir()}
    assert all(complaints(content) == [] for content in found.values())
    return found


def events(job: Path, trade: str) -> list[Component]:
    calendar = read(files(job)[f"{trade}.ics"])
    return [each for each in calendar.components if each.name == "VEVENT"]


def told(event: Component) -> tuple[str, str, str, str]:
    names = ("DTSTART", "SEQUENCE", "STATUS", "DTSTAMP")
    start, sequence, status, stamp = (event.first(name).value for name in names)
    return start, sequence, status, stamp


def edit(job: Path, old: str, new: str) -> None:
    file = job / "job.toml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new), encoding="utf-8")


def moved(job: Path) -> None:
    note(
        job, "slip", "cable", "2 working days", "--cause", "drums came late", at="2026-05-05 08:00"
    )


# --- unchanged ------------------------------------------------------------------------------


def test_an_unchanged_job_gives_the_same_bytes_on_another_day(job: Path) -> None:
    send(job)
    before, lines = files(job), entries(job)
    assert send(job, at="2026-05-05 09:10").code == 0
    assert files(job) == before
    assert entries(job) == lines, "nothing new, nothing written"


def test_an_unchanged_job_gives_the_same_bytes_after_new_year(job: Path) -> None:
    """A year is told beside the entry's own, not beside the year in which one asks."""
    edit(job, "2026-05-06", "2027-01-06")
    edit(job, "2026-05-11T07:00:00", "2027-01-11T07:00:00")
    send(job, at="2026-12-31 06:30")
    before, lines = files(job), entries(job)
    assert send(job, at="2027-01-01 06:30").code == 0
    assert files(job) == before
    assert entries(job) == lines, "nothing new, nothing written"
    assert b"before the foam Mon 11 Jan\\;" in before["electrician.ics"].replace(b"\r\n ", b"")


def test_what_was_sent_stands_in_the_diary_with_number_and_moment(job: Path) -> None:
    send(job)
    (sent,) = [line for line in entries(job) if line["kind"] == "sent"]
    kept = {each["uid"]: (each["sequence"], each["stamp"]) for each in sent["entries"]}
    assert len(kept) == sum(len(events(job, name[:-4])) for name in files(job))
    assert set(kept.values()) == {(0, "2026-05-04T10:30:00Z")}


def test_a_verdict_that_changes_changes_no_calendar(job: Path) -> None:
    """Weather and forecasts toggle verdicts; eight telephones must not hear of it."""
    send(job)
    before = files(job)
    note(job, "reading", "air", "30 F", at="2026-05-05 08:00")
    send(job, at="2026-05-05 09:00")
    assert files(job) == before


# --- moved, agreed, fallen away -------------------------------------------------------------


def test_what_moves_has_a_higher_number_and_a_later_moment(job: Path) -> None:
    send(job)
    moved(job)
    send(job, at="2026-05-05 09:00")
    first, _, second, keep_out = events(job, "electrician")
    assert told(second)[:3] == ("20260511T070000", "1", "CONFIRMED")
    assert told(first) == ("20260508T070000", "1", "CONFIRMED", "20260505T130000Z")
    assert told(keep_out)[1] == "0", "it did not move"


def test_an_agreement_raises_the_number_and_a_new_word_does_not(job: Path) -> None:
    edit(job, "agreed = 2026-05-06", "booked = 2026-05-06")
    send(job)
    edit(job, "booked = 2026-05-06", "agreed = 2026-05-06")
    send(job, at="2026-05-04 09:00")
    assert [told(each)[1:3] for each in events(job, "electrician")[:2]] == [("1", "CONFIRMED")] * 2
    edit(job, 'title = "Pull cable"', 'title = "Pull the cable"')
    send(job, at="2026-05-04 10:00")
    found = events(job, "electrician")[0]
    assert told(found)[1:] == ("1", "CONFIRMED", "20260504T140000Z")


def test_what_falls_away_is_cancelled_and_seen_for_a_while(job: Path) -> None:
    send(job)
    note(job, "struck", "cable", at="2026-05-04 08:00")
    send(job, at="2026-05-04 09:00")
    gone = [each for each in events(job, "electrician") if told(each)[2] == "CANCELLED"]
    assert [told(each)[:2] for each in gone] == [("20260506T070000", "1"), ("20260507T070000", "1")]
    assert gone[0].first("SUMMARY").value == "CANCELLED: Pull cable\\, Bath 1"
    before = files(job)
    send(job, at="2026-05-04 12:00")
    assert files(job) == before
    send(job, at="2026-05-19 09:00")
    assert not [each for each in events(job, "electrician") if told(each)[2] == "CANCELLED"]


def test_what_comes_back_goes_above_its_cancellation(job: Path) -> None:
    send(job)
    uid = events(job, "electrician")[0].first("UID").value
    note(job, "struck", "cable", at="2026-05-04 08:00")
    send(job, at="2026-05-04 09:00")
    note(job, "agreed", "cable", "2026-05-06", at="2026-05-04 10:00")
    send(job, at="2026-05-04 11:00")
    (back,) = [each for each in events(job, "electrician") if each.first("UID").value == uid]
    assert told(back)[:3] == ("20260506T070000", "2", "CONFIRMED")


def test_a_day_that_is_over_is_not_cancelled(job: Path) -> None:
    send(job)
    note(job, "struck", "cable", at="2026-05-08 08:00")
    ran = send(job, "--since-last", at="2026-05-08 09:00")
    assert not [each for each in events(job, "electrician") if told(each)[2] == "CANCELLED"]
    assert "Pull cable" not in ran.out


def test_a_clock_that_goes_back_does_not_take_a_moment_back(job: Path) -> None:
    send(job, at="2026-05-04 12:00")
    edit(job, 'title = "Pull cable"', 'title = "Pull the cable"')
    send(job, at="2026-05-04 06:30")
    assert told(events(job, "electrician")[0])[1:] == ("0", "CONFIRMED", "20260504T160001Z")


# --- crash and loss -------------------------------------------------------------------------


def test_a_crash_before_the_files_is_repaired_by_sending_again(
    job: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    send(job)
    moved(job)
    twin = job.parent / "twin"
    shutil.copytree(job, twin)
    send(twin, at="2026-05-05 09:00")

    def crash(*_: object, **__: object) -> None:
        raise RuntimeError("the power is gone")

    with monkeypatch.context() as patched:
        patched.setattr(writing, "write_files", crash)
        with pytest.raises(RuntimeError, match="power"):
            send(job, at="2026-05-05 09:00")
    assert told(events(job, "electrician")[0])[1] == "0", "the files are the old ones"
    send(job, at="2026-05-05 09:40")
    assert files(job) == files(twin)


def test_the_diary_is_written_before_the_files(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[int] = []
    write_files = writing.write_files

    def look(*words: object, **named: object) -> object:
        seen.append(len([line for line in entries(job) if line["kind"] == "sent"]))
        return write_files(*words, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(writing, "write_files", look)
    send(job)
    assert seen == [1]


def test_a_folder_that_cannot_be_used_leaves_the_diary_alone(job: Path) -> None:
    (job / "out").write_text("a file", encoding="utf-8")
    assert send(job).code == 3
    assert not (job / "diary").exists()


def test_a_lost_diary_makes_no_second_copy_and_no_lower_number(job: Path) -> None:
    """The numbers are read back from our own files."""
    send(job)
    moved(job)
    send(job, at="2026-05-05 09:00")
    before = {each.first("UID").value: told(each) for each in events(job, "electrician")}
    shutil.rmtree(job / "diary")
    edit(job, "agreed = 2026-05-06", "agreed = 2026-05-08")
    send(job, at="2026-05-05 10:00")
    after = {each.first("UID").value: told(each) for each in events(job, "electrician")}
    assert {uid: each[:3] for uid, each in after.items()} == {
        uid: each[:3] for uid, each in before.items()
    }
    assert all(after[uid][3] > each[3] for uid, each in before.items())


def test_a_lost_diary_deletes_nothing_silently(job: Path) -> None:
    send(job)
    shutil.rmtree(job / "diary")
    edit(job, "agreed = 2026-05-06\n", "")
    send(job, at="2026-05-05 10:00")
    gone = [each for each in events(job, "electrician") if told(each)[2] == "CANCELLED"]
    assert [told(each)[1] for each in gone] == ["1", "1"]


# --- one sender -----------------------------------------------------------------------------


def test_a_second_sender_is_refused_until_it_takes_over(job: Path) -> None:
    send(job)
    refused = send(job, by=SAM)
    assert refused.code == 3
    assert "Dana Ruiz sends the calendars of this job" in refused.err
    assert send(job, "--take-over", by=SAM).code == 0
    assert entries(job, "sam-lee")[-1]["took_over"] == "Dana Ruiz"
    assert send(job).code == 3


def test_two_copies_that_were_both_sent_from_are_told_and_outnumbered(job: Path) -> None:
    """Each copy moved the same work elsewhere, and gave it the same number.

    On the second day both happen to say the same, so there is nothing to outnumber.
    """
    send(job)
    other = job.parent / "other"
    shutil.copytree(job, other)
    note(job, "agreed", "cable", "2026-05-07", at="2026-05-04 08:00")
    send(job, at="2026-05-04 09:00")
    note(other, "agreed", "cable", "2026-05-08", at="2026-05-04 08:30", by=SAM)
    send(other, "--take-over", at="2026-05-04 09:30", by=SAM)
    assert told(events(other, "electrician")[0])[:2] == ("20260508T070000", "1")
    shutil.copy(other / "diary" / "sam-lee.jsonl", job / "diary")
    ran = send(job, "--take-over", at="2026-05-04 10:00")
    assert "Sent from two copies of this folder, by dana-ruiz and sam-lee: Pull cable" in (
        " ".join(ran.out.split())
    )
    assert [told(each)[:2] for each in events(job, "electrician")[:3]] == [
        ("20260508T070000", "2"),
        ("20260508T150000", "0"),
        ("20260511T070000", "1"),
    ]
    assert "two copies" not in send(job, at="2026-05-04 11:00").out


def test_two_at_once_do_not_cross(job: Path) -> None:
    from readiness.desk.desk import open_desk
    from readiness.desk.sending import turn

    with turn(open_desk(job)):
        ran = send(job)
    assert ran.code == 3
    assert "somebody is sending for this job right now" in ran.err
    assert not (job / "out").exists()
    assert send(job).code == 0


# --- in words -------------------------------------------------------------------------------


def test_since_last_tells_what_moved_and_why(job: Path) -> None:
    send(job)
    moved(job)
    ran = send(job, "--since-last", at="2026-05-05 09:00")
    assert ran.out.splitlines()[1:] == [
        "changed since Mon 4 May 06:30:",
        "",
        "Bao Electric, 555-0142",
        "  Pull cable, Bath 1 moves from Wed 6 to Fri 8: drums came late",
        "",
        "Settle these first:",
        *ran.out.splitlines()[7:],
    ]
    assert (
        "nothing has changed since Tue 5 May 09:00"
        in send(job, "--since-last", at="2026-05-05 09:30").out
    )


def test_since_last_without_a_folder_writes_nothing(job: Path) -> None:
    ran = run("send", job, "--since-last", at="2026-05-04 06:30")
    assert "nothing was sent before" in ran.out
    assert not (job / "diary").exists()


def test_since_last_tells_what_is_new_agreed_and_gone(job: Path) -> None:
    edit(job, "agreed = 2026-05-06", "booked = 2026-05-06")
    send(job)
    note(job, "agreed", "cable", "2026-05-06", at="2026-05-04 08:00")
    note(job, "agreed", "tub", "2026-05-14", at="2026-05-04 08:00")
    out = send(job, "--since-last", at="2026-05-04 09:00").out
    assert "Pull cable, Bath 1, Wed 6 May to Thu 7 May, is agreed now" in out
    assert "new: Set tub, Bath 1, Thu 14 May 07:00" in out
    note(job, "struck", "tub", at="2026-05-04 10:00")
    out = send(job, "--since-last", at="2026-05-04 11:00").out
    assert "Set tub, Bath 1 on Thu 14 falls away: no reason is written" in out


@pytest.mark.parametrize(
    ("to", "is_told"), [("2026-05-06 10:30", False), ("2026-05-06 11:30", True)]
)
def test_nobody_is_told_of_less_than_half_a_day(job: Path, to: str, *, is_told: bool) -> None:
    """The calendar itself is right at once, whatever people are told."""
    edit(job, 'takes = "2 d"\nagreed = 2026-05-06', 'takes = "2 h"\nagreed = "2026-05-06 07:30"')
    send(job)
    edit(job, '"2026-05-06 07:30"', f'"{to}"')
    ran = send(job, "--since-last", at="2026-05-04 09:00")
    assert ("Pull cable, Bath 1 moves from Wed 6 May 07:30" in ran.out) is is_told
    assert ("1 move of less than half a day not told" in ran.out) is not is_told
    assert told(events(job, "electrician")[0])[1] == "1"


def test_small_moves_add_up_and_can_be_asked_for(job: Path) -> None:
    edit(job, 'takes = "2 d"\nagreed = 2026-05-06', 'takes = "2 h"\nagreed = "2026-05-06 07:30"')
    send(job)
    edit(job, '"2026-05-06 07:30"', '"2026-05-06 10:30"')
    send(job, at="2026-05-04 09:00")
    assert "moves from Wed 6 May 07:30 to Wed 6 May 10:30" in (
        run("send", job, "--since-last", "--every-move", at="2026-05-04 09:30").out
    )
    edit(job, '"2026-05-06 10:30"', '"2026-05-06 12:30"')
    out = send(job, "--since-last", at="2026-05-04 10:00").out
    assert "moves from Wed 6 May 07:30 to Wed 6 May 12:30" in out


def test_a_later_end_of_a_keep_out_is_always_told(job: Path) -> None:
    """Somebody may be on the way in."""
    send(job)
    edit(job, 'keep_out = "24 h"', 'keep_out = "26 h"')
    out = send(job, "--since-last", at="2026-05-04 09:00").out
    assert "Keep-out, first trip ends not before Tue 12 May 19:00, was Tue 12 May 17:00" in out
    assert "not told" not in out


def test_stamps_are_in_utc_and_not_after_the_sending(job: Path) -> None:
    send(job)
    for name in files(job):
        for event in events(job, name[:-4]):
            stamp = datetime.strptime(told(event)[3], "%Y%m%dT%H%M%SZ").replace(tzinfo=UTC)
            assert stamp == datetime(2026, 5, 4, 10, 30, tzinfo=UTC)


DRILL = """
[work.drill]
title = "Drill joists"
trade = "plumber"
in = ["bath-1"]
takes = "1 d"
agreed = 2026-05-05
"""


def test_what_follows_another_one_is_told_to(job: Path) -> None:
    """Nobody wrote a reason for the cable: it waits for what slipped."""
    edit(
        job, "agreed = 2026-05-06\n", 'agreed = 2026-05-06\nstarts_after = [{ end_of = "drill" }]\n'
    )
    edit(job, "[work.tub]", f"{DRILL}\n[work.tub]")
    send(job)
    words = ("1 working day", "--cause", "plumber a day late")
    note(job, "slip", "drill", *words, at="2026-05-04 08:00")
    note(job, "agreed", "cable", "2026-05-07", at="2026-05-04 08:10")
    out = send(job, "--since-last", at="2026-05-04 09:00").out
    why = "Drill joists has moved (plumber a day late)"
    assert f"Pull cable, Bath 1 moves from Wed 6 to Thu 7: {why}" in " ".join(out.split())


def test_what_moved_for_nothing_else_has_no_reason(job: Path) -> None:
    send(job)
    note(job, "agreed", "cable", "2026-05-07", at="2026-05-04 08:10")
    out = send(job, "--since-last", at="2026-05-04 09:00").out
    assert "Pull cable, Bath 1 moves from Wed 6 to Thu 7: no reason is written" in out
