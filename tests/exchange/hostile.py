"""Bad and hostile calendar files, each beside a good entry that must survive it where it can.

The cases are kinds of fault seen in the wild and in reports about calendar readers; the bytes are
our own. Each is a function, so that large ones are only made when they are used.
"""

from __future__ import annotations

from collections.abc import Callable

GOOD = (
    "BEGIN:VEVENT\r\nUID:good\r\nDTSTAMP:20260501T000000Z\r\nDTSTART:20260506T110000Z\r\n"
    "DTEND:20260506T190000Z\r\nSUMMARY:Other site\r\nEND:VEVENT\r\n"
)
HEAD = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//x//y//EN\r\n"
TAIL = "END:VCALENDAR\r\n"


def beside(text: str) -> bytes:
    """Return a calendar with the bad text and then the good entry."""
    return (HEAD + text + GOOD + TAIL).encode("utf-8", "surrogatepass")


def event(*lines: str, start: str = "DTSTART:20260506T120000Z") -> bytes:
    """Return a bad event beside the good one."""
    middle = "".join(f"{line}\r\n" for line in (start, *lines) if line)
    whole = f"BEGIN:VEVENT\r\nUID:bad\r\nDTSTAMP:20260501T000000Z\r\n{middle}END:VEVENT\r\n"
    return beside(whole)


def ruled(rule: str, start: str = "DTSTART:20260506T120000Z") -> bytes:
    return event("DURATION:PT1H", f"RRULE:{rule}", start=start)


def zoned(*parts: str, zone: str = "Site Local") -> bytes:
    """Return a zone made of parts, and an event that uses it."""
    inner = "".join(
        f"BEGIN:{name}\r\nDTSTART:19700101T000000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200\r\n"
        f"{part}\r\nEND:{name}\r\n"
        for name, part in zip(("STANDARD", "DAYLIGHT"), parts, strict=False)
    )
    return beside(
        f"BEGIN:VTIMEZONE\r\nTZID:{zone}\r\n{inner}END:VTIMEZONE\r\n"
        f"BEGIN:VEVENT\r\nUID:z\r\nDTSTAMP:20260501T000000Z\r\n"
        f"DTSTART;TZID={zone}:20260507T080000\r\nDURATION:PT1H\r\nEND:VEVENT\r\n"
    )


SURVIVED: dict[str, Callable[[], bytes]] = {
    "byte order mark": lambda: b"\xef\xbb\xbf" + beside(""),
    "line feeds only": lambda: beside("").replace(b"\r\n", b"\n"),
    "carriage returns only": lambda: beside("").replace(b"\r\n", b"\r"),
    "latin-1 byte": lambda: event("DURATION:PT1H", "SUMMARY:B@ro").replace(b"@", b"\xfc"),
    "cut character": lambda: event("DURATION:PT1H", "SUMMARY:B@").replace(b"@", b"\xc3\r\n \xbc"),
    "lone surrogate": lambda: event("DURATION:PT1H", "SUMMARY:\ud800"),
    "control signs": lambda: event("DURATION:PT1H", "SUMMARY:a\x00b\x07c\x1bd"),
    "other line ends in text": lambda: event("DURATION:PT1H", "SUMMARY:a\u2028b\x85c"),
    "every second": lambda: ruled("FREQ=SECONDLY"),
    "every minute from long ago": lambda: ruled("FREQ=MINUTELY", "DTSTART:19700101T000000Z"),
    "hourly from long ago": lambda: ruled("FREQ=HOURLY", "DTSTART:19000101T000000Z"),
    "daily from the year 1": lambda: ruled("FREQ=DAILY", "DTSTART:00010101T000000Z"),
    "daily from 1970": lambda: ruled("FREQ=DAILY", "DTSTART:19700101T000000Z"),
    "interval 0": lambda: ruled("FREQ=DAILY;INTERVAL=0"),
    "interval below 0": lambda: ruled("FREQ=DAILY;INTERVAL=-1"),
    "never true": lambda: ruled("FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=30"),
    "count of two thousand million": lambda: ruled("FREQ=DAILY;COUNT=2147483647"),
    "count beyond numbers": lambda: ruled(f"FREQ=DAILY;COUNT=1{'0' * 30}"),
    "made up frequency": lambda: ruled("FREQ=FORTNIGHTLY"),
    "other calendar scale": lambda: ruled("RSCALE=CHINESE;FREQ=YEARLY"),
    "count and until": lambda: ruled("FREQ=DAILY;COUNT=3;UNTIL=20260601T000000Z"),
    "two rules": lambda: event("DURATION:PT1H", "RRULE:FREQ=DAILY", "RRULE:FREQ=WEEKLY"),
    "thirty million moments": lambda: ruled(
        "FREQ=YEARLY;COUNT=1;BYHOUR="
        + ",".join(map(str, range(24)))
        + ";BYMINUTE="
        + ",".join(map(str, range(60)))
        + ";BYSECOND="
        + ",".join(map(str, range(60)))
    ),
    "long list": lambda: ruled("FREQ=YEARLY;BYYEARDAY=" + ",".join(map(str, range(1, 367)))),
    "rule taken away by itself": lambda: event(
        "DURATION:PT1H", "RRULE:FREQ=DAILY", "EXRULE:FREQ=DAILY"
    ),
    "many single dates": lambda: event(
        "DURATION:PT1H", "RDATE:" + ",".join(["20260507T120000Z"] * 3_000)
    ),
    "many lines of left out dates": lambda: event(
        "DURATION:PT1H", "RRULE:FREQ=DAILY", *["EXDATE:20260507T120000Z"] * 3_000
    ),
    "zone every minute": lambda: zoned("RRULE:FREQ=MINUTELY", "RRULE:FREQ=MINUTELY"),
    "zone every second": lambda: zoned("RRULE:FREQ=SECONDLY", "RRULE:FREQ=SECONDLY"),
    "zone every hour": lambda: zoned("RRULE:FREQ=HOURLY", "RRULE:FREQ=HOURLY"),
    "zone with interval 0": lambda: zoned(
        "RRULE:FREQ=YEARLY;INTERVAL=0", "RRULE:FREQ=YEARLY;INTERVAL=0"
    ),
    "zone daily": lambda: zoned("RRULE:FREQ=DAILY", "RRULE:FREQ=DAILY"),
    "zone with many dates": lambda: zoned("RDATE:" + ",".join(["19800101T000000"] * 5_000)),
    "zone of nothing": zoned,
    "zone with a bad offset": lambda: zoned("X-A:b").replace(b"+0200", b"+9999"),
    "zone with a bad date": lambda: zoned("X-A:b").replace(b"19700101T000000", b"yesterday"),
    "zone that says New York is elsewhere": lambda: zoned("X-A:b", zone="America/New_York"),
    "unknown zone": lambda: event("DURATION:PT1H", start="DTSTART;TZID=Nowhere:20260507T080000"),
    "empty zone": lambda: event("DURATION:PT1H", start="DTSTART;TZID=:20260507T080000"),
    "zone that climbs": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=../../etc/passwd:20260507T080000"
    ),
    "zone from the root": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=/etc/passwd:20260507T080000"
    ),
    "zone that is a folder": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=America:20260507T080000"
    ),
    "long zone": lambda: event(
        "DURATION:PT1H", start=f"DTSTART;TZID={'a' * 5_000}:20260507T080000"
    ),
    "zone on UTC": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=America/New_York:20260507T080000Z"
    ),
    "nested": lambda: beside("BEGIN:VEVENT\r\n" * 20_000 + "UID:n\r\n" + "END:VEVENT\r\n" * 20_000),
    "event inside an alarm": lambda: event(
        "DURATION:PT1H",
        "BEGIN:VALARM",
        "BEGIN:VEVENT",
        "UID:i",
        "END:VEVENT",
        "END:VALARM",
    ),
    "wrong end": lambda: beside("BEGIN:VEVENT\r\nUID:w\r\nEND:VTODO\r\nEND:VEVENT\r\n"),
    "stray end": lambda: beside("END:VALARM\r\n"),
    "end before start": lambda: event("DTEND:20260506T110000Z"),
    "day with a time as end": lambda: event(
        "DTEND:20260507T110000Z", start="DTSTART;VALUE=DATE:20260506"
    ),
    "end and length": lambda: event("DTEND:20260506T130000Z", "DURATION:PT1H"),
    "length below 0": lambda: event("DURATION:-PT1H"),
    "length beyond time": lambda: event("DURATION:P999999999W"),
    "length of many digits": lambda: event("DURATION:PT" + "9" * 60_000 + "H"),
    "to the end of time": lambda: event("DTEND:99991231T235959Z"),
    "daily at the end of time": lambda: ruled("FREQ=DAILY", "DTSTART:99991231T000000Z"),
    "year 0": lambda: event("DURATION:PT1H", start="DTSTART:00000101T000000Z"),
    "month 13": lambda: event("DURATION:PT1H", start="DTSTART:20261301T000000Z"),
    "30 February": lambda: event("DURATION:PT1H", start="DTSTART:20260230T000000Z"),
    "offset as time": lambda: event("DURATION:PT1H", start="DTSTART:20260506T120000-0500"),
    "dashes": lambda: event("DURATION:PT1H", start="DTSTART:2026-05-06T12:00:00"),
    "digits of another script": lambda: event("DURATION:PT1H", start="DTSTART:٢٠٢٦٠٥٠٦T١٢٠٠٠٠Z"),
    "no start": lambda: event("DURATION:PT1H", start=""),
    "two starts": lambda: event("DURATION:PT1H", "DTSTART:20260507T120000Z"),
    "huge number": lambda: event("DURATION:PT1H", f"SEQUENCE:1{'0' * 20}"),
    "number below 0": lambda: event("DURATION:PT1H", "SEQUENCE:-5"),
    "number in words": lambda: event("DURATION:PT1H", "SEQUENCE:two"),
    "related to itself": lambda: event("DURATION:PT1H", "RELATED-TO:bad"),
    "line without a colon": lambda: event("DURATION:PT1H", "nonsense"),
    "open quote": lambda: event("DURATION:PT1H", 'ATTENDEE;CN="x:mailto:a@example.com'),
    "many parameter values": lambda: event(
        "DURATION:PT1H", "ATTENDEE;X=" + ",".join(["1"] * 20_000) + ":mailto:a@example.com"
    ),
    "file as attachment": lambda: event("DURATION:PT1H", "ATTACH:file:///etc/passwd"),
    "bad alarm": lambda: event(
        "DURATION:PT1H", "BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:soon", "END:VALARM"
    ),
    "bad task": lambda: beside("BEGIN:VTODO\r\nUID:t\r\nDUE:soon\r\nEND:VTODO\r\n"),
    "bad period": lambda: beside(
        "BEGIN:VFREEBUSY\r\nUID:f\r\nDTSTAMP:20260501T000000Z\r\nFREEBUSY:soon/PT1H\r\n"
        "END:VFREEBUSY\r\n"
    ),
    "period that ends before it starts": lambda: event(
        "DURATION:PT1H", "RDATE;VALUE=PERIOD:20260507T120000Z/20260507T110000Z"
    ),
    "many blanks": lambda: event("DURATION:PT1H", "SUMMARY" + " " * 50_000 + ";X=1:a"),
    "many backslashes": lambda: event("DURATION:PT1H", "SUMMARY:" + "\\" * 60_000),
    "many unknown components": lambda: beside("BEGIN:X-A\r\nEND:X-A\r\n" * 15_000),
    "folded into single signs": lambda: event(
        "DURATION:PT1H", "SUMMARY:" + "\r\n ".join("a" * 30_000)
    ),
    "a line of three megabytes": lambda: event("DURATION:PT1H", "SUMMARY:" + "a" * 3_000_000),
    "until without a zone": lambda: ruled(
        "FREQ=DAILY;UNTIL=20260510T000000", "DTSTART;TZID=America/New_York:20260506T080000"
    ),
    "a million single dates": lambda: event(
        "DURATION:PT1H", "RDATE:" + ",".join(["20260507T120000Z"] * 250_000)
    ),
    "many zones": lambda: beside(
        "".join(
            f"BEGIN:VTIMEZONE\r\nTZID:Z{n}\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n"
            "TZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
            for n in range(6_000)
        )
    ),
    "zone after the event": lambda: beside(
        "BEGIN:VEVENT\r\nUID:z\r\nDTSTAMP:20260501T000000Z\r\n"
        "DTSTART;TZID=Site Local:20260507T080000\r\nDURATION:PT1H\r\nEND:VEVENT\r\n"
        "BEGIN:VTIMEZONE\r\nTZID:Site Local\r\nBEGIN:STANDARD\r\nDTSTART:19700101T000000\r\n"
        "TZOFFSETFROM:+0100\r\nTZOFFSETTO:+0100\r\nEND:STANDARD\r\nEND:VTIMEZONE\r\n"
    ),
    "offset as the name of a zone": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=UTC-05:00:20260507T080000"
    ),
    "zone of a maker": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=/x/y/America/New_York:20260507T080000"
    ),
    "zone with a control sign": lambda: event(
        "DURATION:PT1H", start="DTSTART;TZID=Ameri\x00ca:20260507T080000"
    ),
    "two calendars": lambda: beside("") + beside("").replace(b"UID:good", b"UID:other"),
    "no version": lambda: beside("").replace(b"VERSION:2.0\r\n", b""),
    "old version": lambda: beside("").replace(b"VERSION:2.0", b"VERSION:1.0"),
    "midnight at the end": lambda: event("DURATION:PT1H", start="DTSTART:20260506T240000Z"),
    "second 60": lambda: event("DURATION:PT1H", start="DTSTART:20260506T120060Z"),
    "names in small letters": lambda: event("duration:PT1H", start="dtstart:20260506T120000Z"),
    "a day with a time": lambda: event(
        "DURATION:PT1H", start="DTSTART;VALUE=DATE:20260506T120000Z"
    ),
    "a kind of value that is none": lambda: event(
        "DURATION:PT1H", start="DTSTART;VALUE=FOO:20260506T120000Z"
    ),
    "no identity": lambda: event("DURATION:PT1H").replace(b"UID:bad\r\n", b""),
    "identity of 60 kB": lambda: event("DURATION:PT1H").replace(
        b"UID:bad", b"UID:" + b"b" * 60_000
    ),
    "one identity twice": lambda: beside(GOOD.replace("UID:good", "UID:same") * 2),
    "a change of a series that is not there": lambda: event(
        "DURATION:PT1H", "RECURRENCE-ID:20260506T120000Z"
    ),
    "a picture of two megabytes": lambda: event(
        "DURATION:PT1H", "ATTACH;ENCODING=BASE64;VALUE=BINARY:" + "QUJD" * 500_000
    ),
    "a picture that is none": lambda: event(
        "DURATION:PT1H", "ATTACH;ENCODING=BASE64;VALUE=BINARY:%%%"
    ),
    "a script as address": lambda: event("DURATION:PT1H", "URL:javascript:alert(1)"),
    "an alarm for ever": lambda: event(
        "DURATION:PT1H",
        "BEGIN:VALARM",
        "ACTION:DISPLAY",
        "DESCRIPTION:x",
        "TRIGGER:-PT5M",
        "DURATION:PT1M",
        "REPEAT:2147483647",
        "END:VALARM",
    ),
    "a task that closes nothing": lambda: beside("BEGIN:VTODO\r\nUID:t\r\nEND:VTODO\r\n"),
    "a thousand daily rules": lambda: beside(
        GOOD.replace("UID:good", "UID:r").replace("SUMMARY", "RRULE:FREQ=DAILY\r\nSUMMARY") * 1_000
    ),
    "five thousand of one identity": lambda: beside(GOOD.replace("UID:good", "UID:e") * 5_000),
    "method twice": lambda: beside("").replace(
        b"VERSION:2.0\r\n", b"VERSION:2.0\r\nMETHOD:PUBLISH\r\nMETHOD:CANCEL\r\n"
    ),
}
"""The good entry is read in spite of the bad one."""

LOST: dict[str, Callable[[], bytes]] = {
    "empty": lambda: b"",
    "newlines": lambda: b"\n" * 4_900_000,
    "web page": lambda: b"<!DOCTYPE html><html>BEGIN:VCALENDAR</html>",
    "packed": lambda: b"\x1f\x8b" + b"\x00" * 50,
    "UTF-16": lambda: beside("").decode().encode("utf-16"),
    "six megabytes": lambda: beside("X-A:" + "a" * 6_000_000 + "\r\n"),
    "no calendar round it": GOOD.encode,
    "cut off": lambda: beside("")[:-60],
    "a million open events": lambda: HEAD.encode() + b"BEGIN:VEVENT\r\n" * 190_000,
}
"""Nothing of it can be read, and that is told."""
