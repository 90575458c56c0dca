"""`send --mail`: one invitation or cancellation for each entry and person, ready and unsent."""

from __future__ import annotations

import re
import shutil
from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path

import icalendar
import pytest
import vobject

from tests.cli.test_sending_again import edit, send
from tests.desk.builders import note
from tests.golden.small_job import SMALL_JOB

JOB = SMALL_JOB.replace(
    "[trades]\n",
    '[trades]\ncontractor = { name = "Doyle Homes", email = "doyle@doyle.example.com" }\n',
).replace('phone = "555-0142"', 'phone = "555-0142", email = "bao@bao.example.com"')


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "alder"
    folder.mkdir()
    (folder / "job.toml").write_text(JOB, encoding="utf-8")
    return folder


def mails(job: Path) -> dict[str, EmailMessage]:
    found = {}
    for path in sorted((job / "out" / "mail").iterdir()):
        mail = message_from_bytes(path.read_bytes(), policy=policy.default)
        assert isinstance(mail, EmailMessage)
        found[path.name] = mail
    return found


def calendar_in(mail: EmailMessage) -> bytes:
    """Return the calendar part, checked against RFC 6047 section 2.4 on the way."""
    plain, part = mail.iter_parts()
    assert mail.get_content_type() == "multipart/alternative"
    assert plain.get_content_type() == "text/plain", "the readable text comes first"
    assert part.get_content_type() == "text/calendar"
    content = part.get_payload(decode=True)
    assert isinstance(content, bytes)
    method = part.get_param("method")
    assert f"METHOD:{method}\r\n".encode() in content
    assert part.get_content_charset() == "utf-8"
    assert content.count(b"BEGIN:VEVENT") == 1, "one UID for each request"
    return content


def event_in(mail: EmailMessage) -> icalendar.Event:
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    calendar = icalendar.Calendar.from_ical(calendar_in(mail))
    (event,) = calendar.events
    assert vobject.readOne(calendar_in(mail).decode()).vevent.uid.value == event["UID"]
    return event


def test_each_entry_of_a_trade_with_an_address_is_one_invitation(job: Path) -> None:
    ran = send(job, "--mail")
    assert sorted(mails(job)) == [
        "electrician-cable-day-2.eml",
        "electrician-cable.eml",
        "electrician-trip-first-confirm-electrician.eml",
        "electrician-trip-first-keep-out.eml",
    ]
    assert "no mail address: Reed Plumbing (plumber.ics)" in ran.err
    assert "4 mails are in" in ran.err
    assert "nothing was sent" in ran.err


def test_an_invitation_names_who_invites_and_who_is_invited(job: Path) -> None:
    send(job, "--mail")
    mail = mails(job)["electrician-cable.eml"]
    event = event_in(mail)
    assert str(event["ORGANIZER"]) == "mailto:doyle@doyle.example.com"
    assert str(event["ATTENDEE"]) == "mailto:bao@bao.example.com"
    assert dict(event["ATTENDEE"].params) == {
        "CN": "Bao Electric",
        "ROLE": "REQ-PARTICIPANT",
        "PARTSTAT": "NEEDS-ACTION",
        "RSVP": "TRUE",
    }
    assert (mail["To"], mail["From"]) == (
        "Bao Electric <bao@bao.example.com>",
        "Doyle Homes <doyle@doyle.example.com>",
    )
    assert b"BEGIN:VTIMEZONE" in calendar_in(mail)
    assert b"X-WR-CALNAME" not in calendar_in(mail)


def test_a_move_is_a_request_with_a_higher_number_and_a_strike_a_cancellation(job: Path) -> None:
    send(job, "--mail")
    uid = str(event_in(mails(job)["electrician-cable.eml"])["UID"])
    shutil.rmtree(job / "out" / "mail")
    note(job, "agreed", "cable", "2026-05-07", at="2026-05-04 08:00")
    send(job, "--mail", at="2026-05-04 09:00")
    assert sorted(mails(job)) == ["electrician-cable-day-2.eml", "electrician-cable.eml"]
    moved = event_in(mails(job)["electrician-cable.eml"])
    assert (str(moved["UID"]), moved["SEQUENCE"], str(moved["STATUS"])) == (uid, 1, "CONFIRMED")
    note(job, "struck", "cable", at="2026-05-04 10:00")
    send(job, "--mail", at="2026-05-04 11:00")
    content = calendar_in(mails(job)["electrician-cable.eml"])
    gone = event_in(mails(job)["electrician-cable.eml"])
    assert b"METHOD:CANCEL" in content
    assert (str(gone["UID"]), gone["SEQUENCE"], str(gone["STATUS"])) == (uid, 2, "CANCELLED")
    assert "RSVP" not in gone["ATTENDEE"].params


def test_sending_again_gives_the_same_mails_and_a_crash_loses_none(job: Path) -> None:
    send(job, "--mail")
    first = {path.name: path.read_bytes() for path in (job / "out" / "mail").iterdir()}
    diary = (job / "diary" / "dana-ruiz.jsonl").read_bytes()
    shutil.rmtree(job / "out")
    send(job, "--mail", at="2026-05-04 09:00")
    assert {path.name: path.read_bytes() for path in (job / "out" / "mail").iterdir()} == first
    assert (job / "diary" / "dana-ruiz.jsonl").read_bytes() == diary


def test_nobody_is_mailed_a_move_of_less_than_half_a_day(job: Path) -> None:
    edit(job, 'takes = "2 d"\nagreed = 2026-05-06', 'takes = "2 h"\nagreed = "2026-05-06 07:30"')
    send(job, "--mail")
    shutil.rmtree(job / "out" / "mail")
    edit(job, '"2026-05-06 07:30"', '"2026-05-06 09:30"')
    send(job, "--mail", at="2026-05-04 09:00")
    assert (
        "electrician-cable.eml" not in mails(job)
        or event_in(mails(job)["electrician-cable.eml"])["SEQUENCE"] == 0
    ), "a move of two hours is not mailed"
    send(job, "--mail", "--every-move", at="2026-05-04 10:00")
    assert event_in(mails(job)["electrician-cable.eml"])["SEQUENCE"] == 1


def test_what_was_never_mailed_is_not_cancelled_by_mail(job: Path) -> None:
    send(job)
    note(job, "struck", "cable", at="2026-05-04 08:00")
    send(job, "--mail", at="2026-05-04 09:00")
    assert sorted(mails(job)) == [
        "electrician-trip-first-confirm-electrician.eml",
        "electrician-trip-first-keep-out.eml",
    ]


def test_without_an_address_to_answer_to_nothing_is_written(job: Path) -> None:
    edit(job, ', email = "doyle@doyle.example.com"', "")
    ran = send(job, "--mail")
    assert ran.code == 3
    assert "trades.contractor.email" in ran.err
    assert not (job / "out").exists()
    assert not (job / "diary").exists()


def test_no_name_breaks_the_head_of_a_mail(job: Path) -> None:
    edit(job, '"Bao Electric"', '"Bao, \\"B\\" <x@y.example.com> Ünlü"')
    send(job, "--mail")
    mail = mails(job)["electrician-cable.eml"]
    assert [each.addr_spec for each in mail["To"].addresses] == ["bao@bao.example.com"]
    assert str(event_in(mail)["ATTENDEE"]) == "mailto:bao@bao.example.com"


NEW = "lee@lee.example.com"


def replaced(job: Path, old: str = "bao@bao.example.com", new: str = NEW) -> None:
    shutil.rmtree(job / "out" / "mail", ignore_errors=True)
    edit(job, f', email = "{old}"' if old else 'phone = "555-0142"', new)


def numbers(job: Path) -> list[tuple[str, str, int]]:
    """Return the method, the address and the number of each mail about the first day of cable."""
    found = []
    for name, mail in mails(job).items():
        if name.startswith("electrician-cable") and "day-2" not in name:
            method = next(mail.iter_parts(), None)
            assert method is not None
            part = list(mail.iter_parts())[1]
            event = event_in(mail)
            address = str(event["ATTENDEE"]).removeprefix("mailto:")
            found.append((str(part.get_param("method")), address, int(str(event["SEQUENCE"]))))
    return found


def test_whoever_is_asked_no_more_is_told_and_the_new_one_is_invited(job: Path) -> None:
    """RFC 5546, section 3.2.5: a cancellation for one attendee, without a status."""
    send(job, "--mail")
    replaced(job, new=f', email = "{NEW}"')
    send(job, "--mail", at="2026-05-04 09:00")
    assert numbers(job) == [
        ("CANCEL", "bao@bao.example.com", 1),
        ("REQUEST", NEW, 1),
    ]
    gone = mails(job)["electrician-cable-asked-no-more.eml"]
    event = event_in(gone)
    assert "STATUS" not in event
    assert str(event["SUMMARY"]) == "CANCELLED: Pull cable, Bath 1"
    assert gone["To"] == '"bao@bao.example.com" <bao@bao.example.com>'
    assert "no longer asked" in gone.get_body().get_content()  # type: ignore[union-attr]
    before = {name: (job / "out" / "mail" / name).read_bytes() for name in mails(job)}
    send(job, "--mail", at="2026-05-04 10:00")
    assert {name: (job / "out" / "mail" / name).read_bytes() for name in mails(job)} == before


def test_whoever_has_no_address_any_more_is_told_and_asked_again_above_it(job: Path) -> None:
    send(job, "--mail")
    replaced(job, new="")
    send(job, "--mail", at="2026-05-04 09:00")
    assert numbers(job) == [("CANCEL", "bao@bao.example.com", 1)]
    replaced(job, old="", new='phone = "555-0142", email = "bao@bao.example.com"')
    send(job, "--mail", at="2026-05-04 10:00")
    assert numbers(job) == [("REQUEST", "bao@bao.example.com", 2)]
    send(job, "--mail", at="2026-05-04 11:00")
    assert numbers(job) == [("REQUEST", "bao@bao.example.com", 2)]


def test_what_falls_away_is_cancelled_where_it_was_mailed(job: Path) -> None:
    """The address changed in between: the new one was never told of it."""
    send(job, "--mail")
    replaced(job, new=f', email = "{NEW}"')
    note(job, "struck", "cable", at="2026-05-04 08:00")
    send(job, "--mail", at="2026-05-04 09:00")
    assert numbers(job) == [("CANCEL", "bao@bao.example.com", 1)]
    assert "STATUS" in event_in(mails(job)["electrician-cable.eml"])


PRIVATE = {
    'address = "14 Alder Street"': 'address = "14 Alder Street, door code 4411"',
    'name = "Reed Plumbing"': 'name = "Reed: has asthma"',
    'title = "Pull cable"': 'title = "Pull cable for $900"',
}


def test_nothing_that_looks_private_leaves_the_house(job: Path) -> None:
    """Health, a way through a door and money, wherever people wrote them; not in what is sent."""
    for old, new in PRIVATE.items():
        edit(job, old, new)
    ran = send(job, "--mail", "--text")
    note(
        job,
        "slip",
        "cable",
        "1 working day",
        "--cause",
        "the owner is pregnant",
        at="2026-05-04 08:00",
    )
    ran_again = send(job, "--mail", "--text", "--since-last", at="2026-05-04 09:00")
    edit(job, "Pull cable for $900", "Pull cable")
    note(job, "struck", "cable", at="2026-05-04 10:00")
    send(job, "--mail", at="2026-05-04 11:00")
    told = ran.out + ran_again.out
    written = [path for path in (job / "out").rglob("*") if path.is_file()]
    assert {path.suffix for path in written} == {".ics", ".eml", ".txt"}
    for path in written:
        content = path.read_bytes()
        if path.suffix == ".eml":
            content += calendar_in(mails(job)[path.name])
        told += content.decode().replace("\r\n ", "")
    assert re.findall(r"4411|asthma|\$900|pregnant", told) == []
    assert "14 Alder Street\\, (call for this)" in told, "the street is told all the same"
    assert "moves from Wed 6 to Thu 7: (call for this)" in " ".join(told.split())


def test_a_rig_is_reached_through_its_crew(job: Path) -> None:
    edit(job, "[trips.first]", '[trips.first]\nrig = "2"')
    ran = send(job, "--mail")
    assert (job / "out" / "rig-2.ics").exists()
    assert "no mail address: Pell Foam (spray.ics)" in ran.err
    assert "rig-2.ics" not in ran.err
