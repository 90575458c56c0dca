"""Who may say what, and when: overrides, stops and their lifting, releases.

Invariant: what is refused is told with who may say it, or with what is missing first.
"""

from __future__ import annotations

from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from readiness.exchange.note_listener import NoteRefused
from readiness.gates.release import release_gaps
from readiness.job.instants import instant_of_local

if TYPE_CHECKING:
    from collections.abc import Mapping

    from readiness.desk.desk import Desk
    from readiness.desk.statement import Writer

CHECKED = frozenset({"override", "stop", "lift", "release"})
"""Kinds that not everybody may say at any time."""


def check_may_say(
    desk: Desk, entry: Mapping[str, Any], writer: Writer, at: date | datetime
) -> None:
    """Refuse what this writer may not say, or what is missing something first.

    Raises:
        NoteRefused: With who may say it, or with what is missing.
    """
    if entry["kind"] == "override":
        _check_override(desk, entry, writer)
    if entry["kind"] == "stop" and writer.role is None:
        message = "a stop needs the role of whoever stops"
        raise NoteRefused(message, 'write it like: --writer "NAME, crew lead"')
    if entry["kind"] == "lift":
        _check_lift(desk, writer)
    if entry["kind"] == "release":
        _check_release(desk, entry, at)


def _check_override(desk: Desk, entry: Mapping[str, Any], writer: Writer) -> None:
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
    if not any(stop.is_lifted_by(writer.role, writer.trade) for stop in stops):
        who = " and ".join(f"{stop.by} ({stop.trade or stop.role.value})" for stop in stops)
        message = f"stopped by {who}: only the same role lifts it"
        raise NoteRefused(message)


def _check_release(desk: Desk, entry: Mapping[str, Any], at: date | datetime) -> None:
    moment = at if isinstance(at, datetime) else datetime(at.year, at.month, at.day)  # noqa: DTZ001  wall clock
    case = desk.case()
    news = case.outlook.seen.trips.get(entry["trip"])
    if entry.get("residents") and (news is None or news.released is None):
        message = "residents come back after the workers at the earliest"
        raise NoteRefused(message, f"first: release {entry['trip']}")
    gaps = release_gaps(
        case.outlook,
        entry["trip"],
        instant_of_local(moment, desk.zone),
        residents=bool(entry.get("residents")),
    )
    if gaps:
        told = "; ".join(
            gap.says + (f", not before {case.teller.told(gap.until)}" if gap.until else "")
            for gap in gaps
        )
        raise NoteRefused("it can't be released yet: " + told)
