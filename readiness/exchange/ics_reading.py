"""Calendars and mails of others as plain values: replies, proposals and busy times.

Nothing that a file names is followed or opened, and nothing that it says is done: the values are
only shown to whoever decides.

Invariant: one piece that can't be read costs no other one; whatever is left out is told with its
line.
"""

from __future__ import annotations

import re
import warnings
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from email import message_from_bytes
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

import icalendar

from readiness.exchange.ics_gate import Gated, Loss, Piece, gated
from readiness.exchange.text import clean_line
from readiness.telling.heard import Answer, Busy, Heard

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

MOST_SERIES = 500
MOST_TIMES = 20_000
MOST_PARTS = 20
MOST_ZONES = 200
_LONGEST_TEXT = 300
_LEAKING = (
    ValueError,
    TypeError,
    KeyError,
    IndexError,
    AttributeError,
    AssertionError,
    OverflowError,
    OSError,
    RecursionError,
    NotImplementedError,
    ArithmeticError,
)
"""What the reader has been seen to raise at bad input."""
_FATAL = frozenset({"DTSTART", "DTEND", "DURATION", "RRULE", "RDATE", "EXDATE", "SEQUENCE", None})
_ANSWERING = frozenset({"REPLY", "COUNTER"})
_DAY = timedelta(days=1)
_MAIL_HEAD = re.compile(rb"^(?:FROM|RECEIVED|MIME-VERSION|X-[A-Z-]+|RETURN-PATH):", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Window:
    """The days of the job, and where it is."""

    first: datetime
    last: datetime
    zone: ZoneInfo


@dataclass
class _Found:
    losses: list[Loss] = field(default_factory=list)
    answers: list[Answer] = field(default_factory=list)
    busy: list[Busy] = field(default_factory=list)
    outside: int = 0
    series: int = 0
    times: int = 0


def read_calendars(content: bytes, window: Window) -> Heard:
    """Return what a calendar, or a mail that holds one, says."""
    found = _Found()
    for part in _calendars_in(content, found):
        _read(gated(part), window, found)
    return Heard(
        answers=tuple(found.answers),
        busy=tuple(sorted(found.busy, key=lambda busy: (busy.starts, busy.ends, busy.line))),
        losses=tuple((loss.line, clean_line(loss.what)) for loss in found.losses),
        outside=found.outside,
    )


def is_calendar(content: bytes) -> bool:
    """Say whether a file is a calendar, or a mail with one, and no message of lines."""
    head = content[:4_096].upper()
    in_mail = _MAIL_HEAD.search(head)
    return b"BEGIN:VCALENDAR" in head or bool(in_mail and b"TEXT/CALENDAR" in content.upper())


def _calendars_in(content: bytes, found: _Found) -> Iterator[bytes]:
    if content.removeprefix(b"\xef\xbb\xbf").lstrip()[:15].upper() == b"BEGIN:VCALENDAR":
        yield content
        return
    try:
        mail = message_from_bytes(content[:20_000_000])
        parts = [part for part in mail.walk() if part.get_content_type() == "text/calendar"]
        bodies = [part.get_payload(decode=True) for part in parts[:MOST_PARTS]]
    except (*_LEAKING, LookupError):
        bodies = []
    found.losses += [Loss(0, "holds no calendar")] if not bodies else []
    seen: set[bytes] = set()
    for body in bodies:
        if isinstance(body, bytes) and body not in seen:
            seen.add(body)
            yield body


def _read(passed: Gated, window: Window, found: _Found) -> None:
    found.losses += passed.losses
    icalendar.use_zoneinfo()  # type: ignore[no-untyped-call]
    zones = [piece for piece in passed.pieces if piece.name == "VTIMEZONE"]
    for piece in zones[:MOST_ZONES]:
        _learn_zone(piece, found)
    if len(zones) > MOST_ZONES:
        found.losses.append(Loss(zones[MOST_ZONES].line, f"only {MOST_ZONES} zones are read"))
    for piece in passed.pieces:
        if piece.name in {"VEVENT", "VFREEBUSY"}:
            _piece(piece, window, found)
        elif piece.name != "VTIMEZONE":
            found.losses.append(Loss(piece.line, f"{piece.name[:40]} is not read"))


def _learn_zone(piece: Piece, found: _Found) -> None:
    """Let the reader know a zone of the file's own; a name that is known keeps its own data."""
    if _is_known(next((line[5:] for _, line in piece.lines if line[:5].upper() == "TZID:"), "")):
        return
    try:
        head = "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-\r\n"
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            icalendar.Calendar.from_ical((head + piece.text() + "END:VCALENDAR\r\n").encode())
    except _LEAKING as error:
        found.losses.append(Loss(piece.line, f"VTIMEZONE can't be read ({_short(error)})"))


def _is_known(zone: str) -> bool:
    try:
        return bool(ZoneInfo(zone).key)
    except (*_LEAKING, LookupError):
        return False


def _piece(piece: Piece, window: Window, found: _Found) -> None:
    for whole in (True, False):
        try:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore")
                component: Any = icalendar.Component.from_ical(piece.text(whole=whole).encode())
                _take(component, piece, window, found)
        except _LEAKING as error:
            if not whole:
                what = f"{piece.name} can't be read ({_short(error)})"
                found.losses.append(Loss(piece.line, what))
        else:
            if not whole:
                what = f"{piece.name}: its alarms can't be read and are left out"
                found.losses.append(Loss(piece.line, what))
            return


def _short(error: BaseException) -> str:
    return clean_line(str(error))[:120] or type(error).__name__


def _take(component: Any, piece: Piece, window: Window, found: _Found) -> None:  # noqa: ANN401
    broken = sorted(str(name) for name, _ in component.errors if name in _FATAL)
    if broken:
        message = f"bad {', '.join(broken)}"
        raise ValueError(message)
    # Some values are taken and stumbled over only when they are used, so all are used here once.
    component.to_ical()
    if piece.name == "VFREEBUSY":
        periods = list(_periods(component, piece, window))
        found.busy += (busy for busy in periods if _overlaps(busy, window))
        return
    if piece.method in _ANSWERING:
        found.answers.append(_answer(component, piece, window))
        return
    times = list(_times(component, piece, window, found))
    found.outside += not times
    found.busy += times


def _periods(component: Any, piece: Piece, window: Window) -> Iterator[Busy]:  # noqa: ANN401
    for entry in _listed(component.get("FREEBUSY")):
        kind = str(entry.params.get("FBTYPE", "BUSY")).upper()
        if kind == "FREE":
            continue
        for start, end in [(entry.start, entry.end)]:
            yield Busy(piece.line, "", "", _moment(start, window, ""), _moment(end, window, ""))


def _listed(value: Any) -> list[Any]:  # noqa: ANN401
    if value is None:
        return []
    return list(value) if isinstance(value, list) else [value]


def _overlaps(busy: Busy, window: Window) -> bool:
    if busy.ends <= busy.starts:
        message = "ends before it starts"
        raise ValueError(message)
    return busy.starts < window.last and busy.ends > window.first


def _answer(event: Any, piece: Piece, window: Window) -> Answer:  # noqa: ANN401
    attendees = _listed(event.get("ATTENDEE"))
    proposed = None
    if piece.method == "COUNTER" and "DTSTART" in event:
        starts = _moment(event.decoded("DTSTART"), window, _zone_of(event, "DTSTART"))
        proposed = (starts, starts + _length(event, window, starts))
    stamp = event.decoded("DTSTAMP")
    return Answer(
        line=piece.line,
        method=piece.method,
        uid=str(event["UID"])[:255],
        sequence=int(event.get("SEQUENCE", 0)),
        stamp=stamp if stamp.tzinfo else stamp.replace(tzinfo=UTC),
        organizer=_address(event.get("ORGANIZER", "")),
        attendees=tuple(_address(each) for each in attendees),
        status=str(attendees[0].params.get("PARTSTAT", "")).upper()[:40] if attendees else "",
        comment=clean_line(str(event.get("COMMENT", "")))[:_LONGEST_TEXT],
        proposed=proposed,
    )


def _address(value: object) -> str:
    return clean_line(str(value)).casefold().removeprefix("mailto:")[:_LONGEST_TEXT]


def _times(event: Any, piece: Piece, window: Window, found: _Found) -> Iterator[Busy]:  # noqa: ANN401
    """Yield the times of an event inside the window that take its owner's time."""
    status, shown = str(event.get("STATUS", "")).upper(), str(event.get("TRANSP", "")).upper()
    if "DTSTART" not in event:
        message = "has no DTSTART"
        raise ValueError(message)
    start = event.decoded("DTSTART")
    zone = _zone_of(event, "DTSTART")
    first = _moment(start, window, zone)
    length = _length(event, window, first)
    if length <= timedelta():
        message = "ends before it starts, or at once"
        raise ValueError(message)
    if status == "CANCELLED" or shown == "TRANSPARENT" or piece.method == "CANCEL":
        return
    title, uid = clean_line(str(event.get("SUMMARY", "")))[:80], str(event.get("UID", ""))[:255]
    for starts in _starts(event, start, first, window, length, found):
        if starts < window.last and starts + length > window.first:
            yield Busy(piece.line, uid, title, starts, starts + length)


def _starts(  # noqa: PLR0913, PLR0917  one place for what a series is made of
    event: Any,  # noqa: ANN401
    start: date | datetime,
    first: datetime,
    window: Window,
    length: timedelta,
    found: _Found,
) -> Iterable[datetime]:
    """Return when an event starts, each time of a series that matters here."""
    if "RRULE" not in event and "RDATE" not in event:
        return [first]
    from dateutil.rrule import rrulestr

    found.series += 1
    if found.series > MOST_SERIES:
        message = f"only {MOST_SERIES} series are read"
        raise ValueError(message)
    zone = first.tzinfo
    begin = first.replace(tzinfo=None)
    last = (window.last.astimezone(zone)).replace(tzinfo=None) + _DAY
    out = {_wall(each, start, zone) for each in _dates(event, "EXDATE")}
    starts = {_wall(each, start, zone) for each in _dates(event, "RDATE")} | {begin}
    if "RRULE" in event:
        rule = re.sub(r"(UNTIL=[0-9]{8}T[0-9]{6})Z", r"\1", event["RRULE"].to_ical().decode())
        for moment in rrulestr(rule, dtstart=begin):
            found.times += 1
            if found.times > MOST_TIMES:
                message = f"repeats too often: only {MOST_TIMES} times of a file are read"
                raise ValueError(message)
            if moment > last:
                break
            if moment + length + _DAY > (window.first.astimezone(zone)).replace(tzinfo=None):
                starts.add(moment)
    return [each.replace(tzinfo=zone) for each in sorted(starts - out)]


def _dates(event: Any, name: str) -> Iterator[Any]:  # noqa: ANN401
    for group in _listed(event.get(name)):
        for each in group.dts:
            yield each.dt[0] if isinstance(each.dt, tuple) else each.dt


def _wall(value: date | datetime, start: date | datetime, zone: Any) -> datetime:  # noqa: ANN401
    if not isinstance(value, datetime):
        at = start.time() if isinstance(start, datetime) else time()
        return datetime.combine(value, at)
    return value.astimezone(zone).replace(tzinfo=None) if value.tzinfo else value


def _length(event: Any, window: Window, starts: datetime) -> timedelta:  # noqa: ANN401
    if "DTEND" in event:
        end = event.decoded("DTEND")
        if isinstance(end, datetime) != isinstance(event.decoded("DTSTART"), datetime):
            message = "starts on a day and ends at a time"
            raise ValueError(message)
        return _moment(end, window, _zone_of(event, "DTEND")) - starts
    if "DURATION" in event:
        length: timedelta = event.decoded("DURATION")
        return length
    return timedelta() if isinstance(event.decoded("DTSTART"), datetime) else _DAY


def _zone_of(event: Any, name: str) -> str:  # noqa: ANN401
    return str(event[name].params.get("TZID", ""))


def _moment(value: date | datetime, window: Window, zone: str) -> datetime:
    """Return a moment; a day begins at midnight at the site, a time without a zone is the site's.

    Raises:
        ValueError: The zone is not known, so that the hour would be a guess.
    """
    if not isinstance(value, datetime):
        return datetime.combine(value, time(), window.zone)
    if value.tzinfo is None:
        if zone:
            message = f"the time zone {zone[:60]!r} is not known: ask for the hour"
            raise ValueError(message)
        return value.replace(tzinfo=window.zone)
    if value.utcoffset() is None:
        message = "has no time zone that can be read"
        raise ValueError(message)
    return value
