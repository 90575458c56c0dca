"""Writes into the diary of a job: who may say what, and what changed by it.

Invariant: an entry is refused whole, with what is missing, or written whole; the job file is kept
beside it whenever its content is new.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from readiness.desk.desk import Desk, open_desk
from readiness.desk.diary_files import DiaryWriteError, append
from readiness.desk.files import DIARY_FOLDER, bytes_of
from readiness.exchange.note_listener import Listener, NoteRefused
from readiness.facts.vocabulary import Role
from readiness.gates.release import release_gaps
from readiness.job.durations import Duration
from readiness.job.instants import instant_of_local, moment_of
from readiness.job.problems import JobFileError, Problem
from readiness.job.words import understand
from readiness.job.written import MisreadError

if TYPE_CHECKING:
    from readiness.diary.entries import AnyEntry

OFFICIAL_STOPS = frozenset({Role.CONTRACTOR, Role.CREW_LEAD, Role.OFFICE, Role.DISPATCHER})


@dataclass(frozen=True, slots=True)
class Writer:
    """Whoever writes: whose file, whose words, in which role."""

    name: str
    role: Role | None
    """None is unknown: may remark, and say what was seen, but never override."""
    trade: str = ""

    @property
    def file_name(self) -> str:
        """Return the name of their diary file."""
        plain = "".join(sign if sign.isalnum() else "-" for sign in self.name.casefold())
        return "-".join(piece for piece in plain.split("-") if piece) or "nobody"


def writer_of(text: str) -> Writer:
    """Return the writer of `NAME, ROLE`; the role may be a trade of the job.

    Raises:
        NoteRefused: There is no name.
    """
    name, _, role = (piece.strip() for piece in text.partition(","))
    if not name:
        message = "the writer has no name"
        raise NoteRefused(message, 'write it like: --writer "Dana Ruiz, contractor"')
    folded = role.casefold()
    if not role:
        return Writer(name, None)
    if folded in set(Role):
        return Writer(name, Role(folded))
    return Writer(name, Role.TRADE, folded)


@dataclass(frozen=True, slots=True)
class Noted:
    """What was written."""

    entries: tuple[AnyEntry, ...]
    desk: Desk
    """The job as it is now."""


def listener_of(desk: Desk) -> Listener:
    """Return what is needed to understand lines for the diary of a job."""
    case = desk.case()
    site = case.site
    return Listener(
        job=site.job,
        facts=site.facts,
        works=tuple(site.stays),
        approvals=tuple(site.approval_kinds),
        requirements=tuple(dict.fromkeys(r.code for r in site.requirements if r.task is None)),
        trips=tuple(site.job.trips) or tuple(site.trips),
        read_when=lambda text: when_said(desk, text),
        later_by=lambda what, text: _later_by(desk, what, text),
    )


def when_said(desk: Desk, text: str) -> date | datetime:
    """Return the day or moment that words mean at the desk's clock.

    Raises:
        MisreadError: They have no reading, or two.
    """
    said = understand(text, moment_of(desk.clock(), desk.zone), desk.working_day)
    return datetime.combine(said.day, said.at) if said.at is not None else said.day


def _later_by(desk: Desk, what: str, text: str) -> date | datetime:
    """Return the booking of a work or trip moved by working days, calendar days or hours."""
    case = desk.case()
    if text.split() and text.split(maxsplit=1)[0][:4].isdigit() and "-" in text:
        return when_said(desk, text)
    duration = Duration.parse(text)
    booked = _booked(desk, what)
    if booked is None:
        message = f"{what} has no date to move; write the new one instead"
        raise MisreadError(text, "a day", message)
    if duration.clock or not duration.days:
        minutes = duration.minutes(case.site.calendars[case.site.job_calendar].day_minutes)
        return booked + timedelta(minutes=minutes)
    day = desk.working_day(booked.date(), int(duration.days))
    return datetime.combine(day, booked.time())


def _booked(desk: Desk, what: str) -> datetime | None:
    outlook = desk.case().outlook
    if what in outlook.known.arrivals:
        return moment_of(outlook.known.arrivals[what], desk.zone).replace(tzinfo=None)
    commitment = outlook.known.commitments.get(what)
    if commitment is None:
        return None
    return moment_of(commitment.late, desk.zone).replace(tzinfo=None)


def note(  # noqa: PLR0913  who, what, when, and how it is known
    desk: Desk,
    fields: list[dict[str, Any]],
    writer: Writer,
    *,
    seen: date | datetime | None = None,
    how: str = "",
    via: str = "",
) -> Noted:
    """Write entries and return them with the job as it is now.

    Args:
        desk: The open job.
        fields: Fields of each entry as `note_fields` gives them.
        writer: Who says so.
        seen: When it was so on site; None means now.
        how: How it is known, where the line itself does not say.
        via: How it reached the diary.

    Raises:
        NoteRefused: The writer may not say this, or something is missing first.
        JobFileError: The diary can't be written.
    """
    clock = desk.clock()
    now = moment_of(clock, desk.zone)
    at = seen if seen is not None else now.replace(tzinfo=None)
    for entry in fields:
        _check(desk, entry, writer, at)
    common = {
        "seen": at.isoformat(),
        "written": now.astimezone(UTC).isoformat().replace("+00:00", "Z"),
        "by": writer.name,
        "role": writer.role.value if writer.role else None,
        "trade": writer.trade,
        "via": via,
    }
    default_how = how or ("seen" if not via else "said")
    complete = [{"how": default_how, **entry, **common} for entry in fields]
    file = desk.file.parent / DIARY_FOLDER / f"{writer.file_name}.jsonl"
    try:
        written = append(file, [*_job_text(desk, common), *complete])
    except DiaryWriteError as error:
        hint = "nothing was written"
        raise JobFileError([Problem(str(error.file), None, "", error.why, hint=hint)]) from None
    after = open_desk(desk.file)
    return Noted(
        written[-len(fields) :], after if desk.stands_at is None else after.at(desk.stands_at)
    )


def _job_text(desk: Desk, common: dict[str, Any]) -> list[dict[str, Any]]:
    """Return the entry that keeps the job file, if its content is new to the diary."""
    content = bytes_of(desk.file)
    digest = hashlib.sha256(content).hexdigest()
    history = desk.diary.history
    known = history.lines if history is not None else ()
    last = next((line for line in reversed(known) if line.data["kind"] == "job-file"), None)
    if last is not None and last.data.get("sha256") == digest:
        return []
    text = content.decode("utf-8-sig", "replace")
    return [{**common, "kind": "job-file", "text": text, "sha256": digest, "how": "recorded"}]


def _check(desk: Desk, entry: dict[str, Any], writer: Writer, at: date | datetime) -> None:
    """Refuse what this writer may not say, or what is missing something first."""
    if entry["kind"] == "override":
        _check_override(desk, entry, writer)
    if entry["kind"] == "stop" and writer.role is None:
        message = "a stop needs the role of whoever stops"
        raise NoteRefused(message, 'write it like: --writer "NAME, crew lead"')
    if entry["kind"] == "lift":
        _check_lift(desk, writer)
    if entry["kind"] == "release":
        _check_release(desk, entry, at)


def _check_override(desk: Desk, entry: dict[str, Any], writer: Writer) -> None:
    code = entry["requirement"]
    demands = [r.demands for r in desk.case().site.requirements if r.code == code]
    if any(each.binding for each in demands):
        message = f"{code} is binding: nobody can waive it, neither a file nor a person"
        hint = "state evidence for it, or that the office does not require it, with who said so"
        raise NoteRefused(message, hint)
    allowed = {each.override for each in demands if each.override is not None}
    if writer.role not in allowed:
        may = " or ".join(sorted(role.value for role in allowed)) or "nobody"
        told = writer.role.value if writer.role else "a writer whose role is not known"
        message = f"{code} may be waived by the {may}, not by {told}"
        raise NoteRefused(message)


def _check_lift(desk: Desk, writer: Writer) -> None:
    stops = desk.case().outlook.seen.stops
    if not stops:
        message = "nobody has stopped this site"
        raise NoteRefused(message)
    if not any(stop.role is writer.role for stop in stops):
        who = " and ".join(f"{stop.by} ({stop.role.value})" for stop in stops)
        message = f"stopped by {who}: only the same role lifts it"
        raise NoteRefused(message)


def _check_release(desk: Desk, entry: dict[str, Any], at: date | datetime) -> None:
    moment = at if isinstance(at, datetime) else datetime(at.year, at.month, at.day)  # noqa: DTZ001  wall clock
    case = desk.case()
    gaps = release_gaps(case.outlook, entry["trip"], instant_of_local(moment, desk.zone))
    if gaps:
        told = "; ".join(
            gap.says + (f", not before {case.teller.told(gap.until)}" if gap.until else "")
            for gap in gaps
        )
        raise NoteRefused("it can't be released yet: " + told)
