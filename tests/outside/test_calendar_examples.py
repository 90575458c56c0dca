"""Examples that the standards print, keyed again: what is an answer, what is busy, what neither.

Sources: RFC 6047, section 4.2, seen in the text of the RFC. RFC 5546, sections 4.1 and 4.2, RFC
5545, sections 3.3.11 and 3.6.4, and RFC 9253, section 4, from public test suites and manuals that
quote them; the texts of those RFCs themselves were not at hand. The zone and the series of RFC 5545
are in `test_calendar_readers.py` and `test_recurring_days_off.py`.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import icalendar
import pytest

from readiness.exchange.ics_reading import Window, read_calendars
from readiness.telling.calendar_entries import Tie
from readiness.telling.heard import Answer, Heard
from tests.exchange.builders import entry, file_of

WINDOW = Window(
    datetime(1997, 6, 1, tzinfo=UTC), datetime(1998, 12, 31, tzinfo=UTC), ZoneInfo("UTC")
)
MEETING = "calsrv.example.com-873970198738777@example.com"


def example(method: str, *lines: str, component: str = "VEVENT") -> bytes:
    head = ["BEGIN:VCALENDAR", "PRODID:-//Example/ExampleCalendarClient//EN"]
    head += [f"METHOD:{method}"] if method else []
    tail = [f"END:{component}", "END:VCALENDAR", ""]
    whole = [*head, "VERSION:2.0", f"BEGIN:{component}", *lines, *tail]
    return "\r\n".join(whole).encode()


def read(content: bytes) -> Heard:
    return read_calendars(content, WINDOW)


def answer_in(content: bytes) -> Answer:
    heard = read(content)
    assert heard.losses == ()
    assert heard.busy == ()
    (answer,) = heard.answers
    return answer


def utc(text: str) -> datetime:
    return datetime.strptime(text, "%Y-%m-%d %H:%M").replace(tzinfo=UTC)


def test_a_reply_to_a_request_is_an_answer() -> None:
    """RFC 5546, section 4.2.2."""
    answer = answer_in(
        example(
            "REPLY",
            "ATTENDEE;PARTSTAT=ACCEPTED:mailto:b@example.com",
            "ORGANIZER:mailto:a@example.com",
            f"UID:{MEETING}",
            "SEQUENCE:0",
            "REQUEST-STATUS:2.0;Success",
            "DTSTAMP:19970612T190000Z",
        )
    )
    assert answer.status == "ACCEPTED"
    assert (answer.organizer, answer.attendees) == ("a@example.com", ("b@example.com",))
    assert (answer.uid, answer.sequence) == (MEETING, 0)
    assert answer.stamp == utc("1997-06-12 19:00")


def test_a_counter_names_everybody_and_proposes_a_time() -> None:
    """RFC 5546, section 4.2.4."""
    answer = answer_in(
        example(
            "COUNTER",
            "ORGANIZER:mailto:a@example.com",
            "ATTENDEE;ROLE=CHAIR;PARTSTAT=ACCEPTED:mailto:a@example.com",
            "ATTENDEE;RSVP=TRUE;CUTYPE=INDIVIDUAL:mailto:b@example.com",
            "ATTENDEE;RSVP=TRUE;CUTYPE=INDIVIDUAL:mailto:c@example.com",
            "DTSTART:19970701T160000Z",
            "DTEND:19970701T170000Z",
            "DTSTAMP:19970612T190000Z",
            "SUMMARY:Discuss the Merits of the election results",
            "LOCATION:Blue Conference Room",
            "COMMENT:This time works much better and I think the big conference ",
            " room is too big",
            "UID:calsrv.example.com-873970198738777a@example.com",
            "SEQUENCE:0",
        )
    )
    assert answer.method == "COUNTER"
    assert answer.attendees == ("a@example.com", "b@example.com", "c@example.com")
    assert answer.proposed == (utc("1997-07-01 16:00"), utc("1997-07-01 17:00"))
    assert answer.comment.endswith("the big conference room is too big")


def test_a_name_that_is_folded_in_two_is_put_together() -> None:
    """RFC 5546, section 4.2.5: the fold goes through the name of a parameter."""
    answer = answer_in(
        example(
            "REPLY",
            "ORGANIZER:mailto:a@example.com",
            "ATTENDEE;PARTSTAT=DELEGATED;DELEGATED-",
            ' TO="mailto:e@example.com":mailto:c@example.com',
            f"UID:{MEETING}",
            "SEQUENCE:0",
            "REQUEST-STATUS:2.0;Success",
            "DTSTAMP:19970611T190000Z",
        )
    )
    assert (answer.status, answer.attendees) == ("DELEGATED", ("c@example.com",))


DUKES = ("UID:0981234-1234234-23@example.com", "ORGANIZER:mailto:a@example.com")


def test_a_published_event_takes_time_from_when_it_has_an_end() -> None:
    """RFC 5546, sections 4.1.1 (no end: it takes none, which is told) and 4.1.2."""
    start = ("DTSTART:19970701T200000Z", "DTSTAMP:19970611T190000Z")
    minimal = read(example("PUBLISH", *DUKES, *start, "SUMMARY:ST. PAUL SAINTS"))
    assert minimal.busy == ()
    assert ["at once" in what for _, what in minimal.losses] == [True]
    (busy,) = read(
        example(
            "PUBLISH",
            *DUKES,
            "DTSTAMP:19970612T190000Z",
            "DTSTART:19970701T210000Z",
            "DTEND:19970701T230000Z",
            "SEQUENCE:1",
            "SUMMARY:ST. PAUL SAINTS -VS- DULUTH-SUPERIOR DUKES",
        )
    ).busy
    assert (busy.starts, busy.ends) == (utc("1997-07-01 21:00"), utc("1997-07-01 23:00"))


@pytest.mark.parametrize(
    "lines",
    [
        (*DUKES, "COMMENT:DUKES forfeit the game", "SEQUENCE:2", "DTSTAMP:19970613T190000Z"),
        (
            "ORGANIZER:mailto:a@example.com",
            "ATTENDEE:mailto:b@example.com",
            "COMMENT:You're off the hook for this meeting",
            f"UID:{MEETING}",
            "DTSTAMP:19970613T193000Z",
            "SEQUENCE:1",
        ),
    ],
    ids=["4.1.3", "4.2.10"],
)
def test_a_cancellation_takes_no_time(lines: tuple[str, ...]) -> None:
    """RFC 5546: neither has a start; nothing of ours is changed by it."""
    heard = read(example("CANCEL", *lines))
    assert (heard.busy, heard.answers) == ((), ())


def test_a_day_of_every_year_is_a_whole_day() -> None:
    """RFC 5546, section 4.1.5."""
    days = [
        busy.starts
        for busy in read(
            example(
                "PUBLISH",
                *DUKES,
                "DTSTAMP:19970614T190000Z",
                "DTSTART;VALUE=DATE:19970714",
                "RRULE:FREQ=YEARLY;INTERVAL=1",
                "SUMMARY: Bastille Day",
            )
        ).busy
    ]
    assert days == [utc("1997-07-14 00:00"), utc("1998-07-14 00:00")]


def test_a_time_with_a_digit_too_many_is_told() -> None:
    """RFC 5546, section 4.2.1 as it is quoted: its end has seven digits."""
    heard = read(
        example(
            "REQUEST",
            "ORGANIZER:mailto:a@example.com",
            "DTSTAMP:19970611T190000Z",
            "DTSTART:19970701T200000Z",
            "DTEND:19970701T2100000Z",
            f"UID:{MEETING}",
        )
    )
    assert heard.busy == ()
    assert heard.losses == ((9, "VEVENT: DTEND: '19970701T2100000Z' is no date"),)


def test_published_busy_times_are_busy() -> None:
    """RFC 5545, section 3.6.4, the third example."""
    heard = read(
        example(
            "",
            "UID:19970901T115957Z-76A912@example.com",
            "DTSTAMP:19970901T120000Z",
            "ORGANIZER:jsmith@example.com",
            "DTSTART:19980313T141711Z",
            "DTEND:19980410T141711Z",
            "FREEBUSY:19980314T233000Z/19980315T003000Z",
            "FREEBUSY:19980316T153000Z/19980316T163000Z",
            "FREEBUSY:19980318T030000Z/19980318T040000Z",
            "URL:http://www.example.com/calendar/busytime/jsmith.ifb",
            component="VFREEBUSY",
        )
    )
    assert heard.losses == ()
    assert [busy.starts for busy in heard.busy] == [
        utc("1998-03-14 23:30"),
        utc("1998-03-16 15:30"),
        utc("1998-03-18 03:00"),
    ]
    assert {busy.ends - busy.starts for busy in heard.busy} == {timedelta(hours=1)}


def test_a_text_of_three_lines_is_written_as_one() -> None:
    """RFC 5545, section 3.3.11."""
    says = ("Project XYZ Final Review", "Conference Room - 3B", "Come Prepared.")
    text = file_of(entry(says=says)).decode().replace("\r\n ", "")
    assert (
        "DESCRIPTION:Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.\r\n" in text
    )


MAIL = """\
From: foo1@example.com
To: foo2@example.com
Subject: Phone Conference
Mime-Version: 1.0
Content-Type: multipart/alternative; boundary="01BD3665.3AF0D360"

--01BD3665.3AF0D360
Content-Type: text/plain; charset=us-ascii
Content-Transfer-Encoding: 7bit

This is an alternative representation of a "text/calendar"
MIME object.

When: 7/1/1997 10:00AM PDT - 7/1/97 10:30AM PDT

--01BD3665.3AF0D360
Content-Type: text/calendar; method=REQUEST; charset=US-ASCII
Content-Transfer-Encoding: 7bit

BEGIN:VCALENDAR
PRODID:-//Example/ExampleCalendarClient//EN
METHOD:REQUEST
VERSION:2.0
BEGIN:VEVENT
ORGANIZER:mailto:foo1@example.com
ATTENDEE;ROLE=CHAIR;PARTSTAT=ACCEPTED:mailto:foo1@example.com
ATTENDEE;RSVP=YES;CUTYPE=INDIVIDUAL:mailto:foo2@example.com
DTSTAMP:19970611T190000Z
DTSTART:19970701T170000Z
DTEND:19970701T173000Z
SUMMARY:Phone Conference
UID:calsvr.example.com-8739701987387771
SEQUENCE:0
STATUS:CONFIRMED
END:VEVENT
END:VCALENDAR

--01BD3665.3AF0D360
"""


def test_the_calendar_in_a_mail_of_two_parts_is_read() -> None:
    """RFC 6047, section 4.2; its last boundary is not closed, and RSVP=YES is no value of today."""
    (busy,) = read(MAIL.encode()).busy
    assert (busy.title, busy.uid) == ("Phone Conference", "calsvr.example.com-8739701987387771")
    assert (busy.starts, busy.ends) == (utc("1997-07-01 17:00"), utc("1997-07-01 17:30"))


def test_the_earlier_one_points_to_the_later_with_the_gap() -> None:
    """RFC 9253, section 4 (when painting is complete, carpet laying can begin), 5 and 6.2.

    The reader of ours is the published `icalendar`.
    """
    paint, carpet = entry(item="paint"), entry("2026-05-16 07:00", item="carpet")
    on = Tie(carpet.uid, "end to start", is_earlier=True, gap_minutes=24 * 60)
    back = Tie(paint.uid, "end to start", is_earlier=False, gap_minutes=24 * 60)
    content = file_of(replace(paint, ties=(on,)), replace(carpet, ties=(back,)))
    events = {str(each["UID"]): each for each in icalendar.Calendar.from_ical(content).events}
    (first,), (second,) = (events[each.uid].related_to for each in (paint, carpet))
    assert (str(first), first.RELTYPE) == (carpet.uid, icalendar.RELTYPE.FINISHTOSTART)
    assert (str(second), second.RELTYPE) == (paint.uid, icalendar.RELTYPE.DEPENDS_ON)
    assert first.GAP == second.GAP == timedelta(days=1)
