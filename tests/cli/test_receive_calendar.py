"""`receive` of calendars: replies are judged by number, moment and person; busy days become off."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.test_send_mail import JOB, event_in, mails
from tests.cli.test_sending_again import send
from tests.desk.builders import Ran, entries, note, run

DANA = "Dana Ruiz, contractor"
BAO = "mailto:bao@bao.example.com"
DOYLE = "mailto:doyle@doyle.example.com"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "alder"
    folder.mkdir()
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    send(folder, "--mail")
    return folder


def uid_of(job: Path) -> str:
    return str(event_in(mails(job)["electrician-cable.eml"])["UID"])


def reply(
    uid: str,
    *,
    status: str = "ACCEPTED",
    sequence: int = 0,
    stamp: str = "20260504T120000Z",
    attendee: str = BAO,
    organizer: str = DOYLE,
    method: str = "REPLY",
    more: str = "",
) -> str:
    """Return a reply as in RFC 5546, section 4.2.2, with names of our own."""
    return (
        f"BEGIN:VCALENDAR\r\nPRODID:-//x//y//EN\r\nMETHOD:{method}\r\nVERSION:2.0\r\n"
        f"BEGIN:VEVENT\r\nATTENDEE;PARTSTAT={status}:{attendee}\r\nORGANIZER:{organizer}\r\n"
        f"UID:{uid}\r\nSEQUENCE:{sequence}\r\nREQUEST-STATUS:2.0;Success\r\nDTSTAMP:{stamp}\r\n"
        f"{more}END:VEVENT\r\nEND:VCALENDAR\r\n"
    )


def receive(job: Path, text: str, *words: str, at: str = "2026-05-04 09:00") -> Ran:
    file = job.parent / "reply.ics"
    file.write_bytes(text.encode())
    return run("receive", job, str(file), *words, at=at, by=DANA)


def replied(job: Path) -> list[tuple[str, int]]:
    lines = [line for line in entries(job) if line["kind"] == "replied"]
    return [(line["answer"], line["sequence"]) for line in lines]


def test_a_reply_is_shown_and_written_on_a_yes(job: Path) -> None:
    text = reply(uid_of(job))
    assert "received, and nothing stands against it (taken)" in receive(job, text, "--show").out
    assert replied(job) == []
    assert receive(job, text, "--yes").code == 0
    assert replied(job) == [("ACCEPTED", 0)]


def test_accepted_means_received_and_confirms_nothing(job: Path) -> None:
    before = run("check", job, at="2026-05-04 09:00").out
    receive(job, reply(uid_of(job)), "--yes")
    assert run("check", job, at="2026-05-04 09:00").out == before


def test_a_reply_in_a_mail_is_found(job: Path) -> None:
    text = (
        "From: bao@bao.example.com\r\nTo: doyle@doyle.example.com\r\nSubject: Accepted\r\n"
        "MIME-Version: 1.0\r\nContent-Type: text/calendar; method=REPLY; charset=UTF-8\r\n\r\n"
    )
    file = job.parent / "reply.eml"
    file.write_bytes((text + reply(uid_of(job), status="DECLINED")).encode())
    ran = run("receive", job, str(file), "--yes", at="2026-05-04 09:00", by=DANA)
    assert "declined; call them (taken)" in ran.out
    assert replied(job) == [("DECLINED", 0)]


@pytest.mark.parametrize(
    ("changed", "outcome"),
    [
        ({"organizer": "mailto:evil@evil.example.com"}, "(not ours)"),
        ({"organizer": ""}, "(not ours)"),
        ({"attendee": "mailto:stranger@x.example.com"}, "(uninvited)"),
        ({"more": f"ATTENDEE;PARTSTAT=ACCEPTED:{DOYLE}\r\n"}, "(uninvited)"),
        ({"sequence": 7}, "(ahead)"),
    ],
    ids=[
        "forged organizer",
        "no organizer",
        "uninvited",
        "two who answer",
        "a number never given",
    ],
)
def test_a_forged_reply_changes_nothing(job: Path, changed: dict[str, str], outcome: str) -> None:
    """RFC 5546, section 6.1: the organizer, the attendee and the number may all be made up."""
    ran = receive(job, reply(uid_of(job), **changed), "--yes")  # type: ignore[arg-type]
    assert outcome in ran.out
    assert replied(job) == []


def test_a_reply_to_nothing_of_ours_is_told(job: Path) -> None:
    ran = receive(job, reply("somebody-elses"), "--yes")
    assert "an answer to no entry of ours (unknown)" in ran.out


def test_a_reply_to_an_older_version_is_stale(job: Path) -> None:
    uid = uid_of(job)
    note(job, "agreed", "cable", "2026-05-07", at="2026-05-04 08:00")
    send(job, "--mail", at="2026-05-04 08:30")
    assert "it answers an older version; ask again (stale)" in receive(job, reply(uid), "--yes").out
    assert replied(job) == []
    receive(job, reply(uid, sequence=1), "--yes")
    assert replied(job) == [("ACCEPTED", 1)]


def test_a_reply_to_what_was_cancelled_since_is_stale(job: Path) -> None:
    """RFC 5546, section 4.2.9: what is older than a cancellation is ignored."""
    uid = uid_of(job)
    note(job, "struck", "cable", at="2026-05-04 08:00")
    send(job, "--mail", at="2026-05-04 08:30")
    assert "(stale)" in receive(job, reply(uid), "--yes").out
    assert replied(job) == []


def test_of_replies_out_of_order_the_later_moment_counts(job: Path) -> None:
    uid = uid_of(job)
    receive(job, reply(uid, status="DECLINED", stamp="20260504T123000Z"), "--yes")
    late = receive(job, reply(uid, status="ACCEPTED", stamp="20260504T120000Z"), "--yes")
    assert "(stale)" in late.out
    again = receive(job, reply(uid, status="DECLINED", stamp="20260504T123000Z"), "--yes")
    assert "(already known)" in again.out
    assert replied(job) == [("DECLINED", 0)]


def test_another_time_is_a_proposal_and_moves_nothing(job: Path) -> None:
    text = reply(
        uid_of(job),
        method="COUNTER",
        more="DTSTART:20260507T110000Z\r\nDTEND:20260507T193000Z\r\nCOMMENT:Wed is full\r\n",
    )
    ran = receive(job, text, "--yes")
    assert "proposes Thu 7 May 07:00 to Thu 7 May 15:30" in ran.out
    assert '("Wed is full"); nothing is moved by it' in ran.out
    assert replied(job) == [("COUNTER", 0)]
    before = (job / "out" / "electrician.ics").read_bytes()
    send(job, at="2026-05-04 10:00")
    assert (job / "out" / "electrician.ics").read_bytes() == before


def test_a_proposal_may_name_everybody(job: Path) -> None:
    """RFC 5546, section 4.2.4: the one who invites stands in it too."""
    more = f"ATTENDEE;ROLE=CHAIR:{DOYLE}\r\nDTSTART:20260507T110000Z\r\nDTEND:20260507T193000Z\r\n"
    ran = receive(job, reply(uid_of(job), method="COUNTER", more=more), "--yes")
    assert "bao@bao.example.com: proposes Thu 7 May 07:00" in ran.out
    assert replied(job) == [("COUNTER", 0)]
    stranger = "mailto:stranger@x.example.com"
    text = reply(uid_of(job), method="COUNTER", attendee=stranger, more=more)
    ran = receive(job, text, "--yes")
    assert "(uninvited)" in ran.out


def busy(*events: str) -> str:
    inner = "".join(
        f"BEGIN:VEVENT\r\nDTSTAMP:20260501T000000Z\r\n{each}END:VEVENT\r\n" for each in events
    )
    return f"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n{inner}END:VCALENDAR\r\n"


FROM_BAO = ("--from", "Bo Tan, electrician")


def test_busy_days_become_days_off_after_a_yes(job: Path) -> None:
    text = busy(
        "UID:a\r\nSUMMARY:Other site\r\nDTSTART;VALUE=DATE:20260513\r\n"
        "DTEND;VALUE=DATE:20260515\r\n",
        "UID:b\r\nSUMMARY:Dentist\r\nDTSTART:20260512T130000Z\r\nDTEND:20260512T140000Z\r\n",
    )
    ran = receive(job, text, "--yes", *FROM_BAO)
    assert "day off: Wed 13 May: Other site" in ran.out
    assert "day off: Thu 14 May: Other site" in ran.out
    assert "Tue 12 May: Dentist, 60 minutes of the shift: no day off" in ran.out
    (off,) = [line for line in entries(job) if line["kind"] == "off"]
    assert (off["off_trade"], off["days"]) == ("electrician", ["2026-05-13", "2026-05-14"])


def test_our_own_entries_that_come_back_are_left_out_and_shown(job: Path) -> None:
    """An electrician's export brings our entries back, by identity or only as busy times."""
    own = (job / "out" / "electrician.ics").read_text(encoding="utf-8")
    ran = receive(job, own, "--yes", *FROM_BAO)
    assert "our own entry, left out: Pull cable, Bath 1, Wed 6 May 07:00" in ran.out
    times = (
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\nBEGIN:VFREEBUSY\r\nUID:f\r\n"
        "DTSTAMP:20260501T000000Z\r\nFREEBUSY:20260506T110000Z/20260506T193000Z\r\n"
        "FREEBUSY:20260513T110000Z/PT8H\r\nFREEBUSY;FBTYPE=FREE:20260514T110000Z/PT8H\r\n"
        "END:VFREEBUSY\r\nEND:VCALENDAR\r\n"
    )
    ran = receive(job, times, "--yes", *FROM_BAO)
    assert "our own entry, left out: Pull cable, Bath 1, Wed 6 May 07:00" in ran.out
    assert [line["days"] for line in entries(job) if line["kind"] == "off"] == [["2026-05-13"]]


def test_busy_times_of_nobody_change_nothing(job: Path) -> None:
    text = busy("UID:a\r\nDTSTART;VALUE=DATE:20260513\r\n")
    ran = receive(job, text, "--yes")
    assert "busy times of nobody in particular" in ran.out
    assert not [line for line in entries(job) if line["kind"] == "off"]


def test_what_cannot_be_read_is_told_with_its_line(job: Path) -> None:
    text = busy(
        "UID:a\r\nDTSTART;VALUE=DATE:20260513\r\n",
        "UID:b\r\nDTSTART:20260512T130000Z\r\nDURATION:PT1H\r\nRRULE:FREQ=SECONDLY\r\n",
    )
    ran = receive(job, text, "--yes", *FROM_BAO)
    assert "not read: line 14: VEVENT: RRULE: repeats SECONDLY" in ran.err
    assert "day off: Wed 13 May" in ran.out


def test_a_file_that_takes_too_long_is_given_up(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The last line of defence: should a file get past the gate and hold the reader up."""
    from readiness.desk import receiving_calendars

    def never_ends(*_: object) -> None:
        while True:
            pass

    monkeypatch.setattr(receiving_calendars, "LONGEST_READING_SECONDS", 0.2)
    monkeypatch.setattr(receiving_calendars, "read_calendars", never_ends)
    ran = receive(job, busy("UID:a\r\nDTSTART;VALUE=DATE:20260513\r\n"), "--yes")
    assert ran.code == 3
    assert "s to read" in ran.err
