"""Which dates stand in a job, and what was seen of each work, look, trip and pull?

Whoever keeps dates in a table of their own wants what people set and saw, and no forecast among it.

Invariant: a date here was set by a person; what is forecast stays in the other answers.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from readiness.diary.seen import EVERYWHERE
from readiness.gates.due_calls import word_of_arrival
from readiness.telling.case import Case
from readiness.telling.look_papers import LookPaper, look_papers
from readiness.telling.teller import Who

if TYPE_CHECKING:
    from collections.abc import Iterable

    from readiness.job.bookings import Booking
    from readiness.site.site import Thing, TripTasks
    from readiness.site.stays import Stay

BOARD_ID = "board"


class RowKind(StrEnum):
    """What a row is about, which decides what may be said of it."""

    WORK = "work"
    TRIP = "trip"
    APPROVAL = "approval"
    PULL = "pull"
    BOARD = "board"


@dataclass(frozen=True, slots=True)
class DateRow:
    """What people have set and seen of one thing."""

    kind: RowKind
    name: str
    """Id of the work, trip, approval or thing."""
    title: str
    who: Who
    places: tuple[str, ...]
    first: date | datetime | None
    """First day, or the moment where an hour was set; None without one, or with `by` a day."""
    half: str
    """`morning` or `afternoon` of the first day, where only that was set."""
    last: date | None
    """Last day, the first one again where only one was set."""
    seen: str
    """What was seen of it, in words; empty if nothing was."""
    by: str
    """Who says so: of what was seen, else with whom the date was agreed; empty if unknown."""

    @property
    def id(self) -> str:
        """Return the name that tells it from every other row of the job."""
        if self.kind in (RowKind.WORK, RowKind.BOARD):
            return self.name
        return f"{self.kind.value}:{self.name}"


@dataclass(frozen=True, slots=True)
class DatesAnswer:
    """The answer to "which dates stand?"."""

    job: str
    as_of: datetime
    time_zone: str
    rows: tuple[DateRow, ...]
    """Works, approvals, trips, pulls and the start of board, in the order of the site."""


def dates(case: Case) -> DatesAnswer:
    """Return the dates that people have set in a job, and what they have seen."""
    as_of = case.teller.moment(case.outlook.seen.as_of)
    assert as_of is not None  # noqa: S101  as_of is a real instant
    site = case.site
    pulls = (thing for thing in site.things.values() if thing.pull is not None)
    return DatesAnswer(
        job=site.job.name,
        as_of=as_of,
        time_zone=site.zone,
        rows=(
            *(_work(case, stay) for stay in site.stays.values()),
            *_approvals(case),
            *(_trip(case, trip) for trip in site.trips.values()),
            *(_pull(case, thing) for thing in pulls),
            *_board(case),
        ),
    )


def _work(case: Case, stay: Stay) -> DateRow:
    booked = case.outlook.seen.booked.get(stay.id)
    who = case.teller.who(stay.trade)
    seen, by = _seen_of_work(case, stay.id)
    if not seen and booked is not None and booked.agreed:
        by = booked.by or who.name
    parts = case.site.stay_tasks[stay.id].parts
    places = dict.fromkeys(case.site.tasks[part].place for part in parts)
    return DateRow(
        RowKind.WORK,
        stay.id,
        stay.title,
        who,
        case.teller.surfaces(places),
        *_span(booked.booking if booked is not None else None),
        seen,
        by,
    )


def _span(booking: Booking | None) -> tuple[date | datetime | None, str, date | None]:
    if booking is None:
        return None, "", None
    first: date | datetime | None = booking.first
    if booking.first is not None and booking.at is not None:
        first = datetime.combine(booking.first, booking.at)
    return first, booking.half or "", booking.last


def _seen_of_work(case: Case, work: str) -> tuple[str, str]:
    """Return how far a work is, and who says so."""
    known, seen = case.outlook.known, case.outlook.seen
    parts = case.site.stay_tasks[work].parts
    if any(part in known.contested for part in parts):
        return "contested", ""
    finished = [part for part in parts if part in known.state.finished]
    said = seen.done.get(work, {})
    by = ", ".join(dict.fromkeys(fact.by for fact in said.values() if fact.by))
    if finished and len(finished) == len(parts):
        days = [_day(fact.on) for fact in said.values() if fact.on is not None]
        whole = EVERYWHERE in said or len(said) >= len(parts)
        return (f"done {max(days)}" if days and whole else "done"), by
    if finished:
        places = dict.fromkeys(case.site.tasks[part].place for part in finished)
        return f"done {', '.join(case.teller.surfaces(places))}", by
    begun = seen.begun.get(work)
    if begun is None:
        return "", ""
    return ("begun" if begun.share is None else f"begun {begun.share:.0%}".replace("%", " %")), ""


def _day(day: date | datetime) -> date:
    return day.date() if isinstance(day, datetime) else day


def _approvals(case: Case) -> Iterable[DateRow]:
    """Yield one row for each kind of approval, whatever trips it is wanted for."""
    by_kind: dict[str, list[LookPaper]] = {}
    for look in look_papers(case):
        by_kind.setdefault(look.code, []).append(look)
    for code, looks in by_kind.items():
        slots = [look.slot for look in looks if look.slot is not None]
        slot = min(slots).replace(tzinfo=None) if slots else None
        yield DateRow(
            RowKind.APPROVAL,
            code,
            looks[0].title,
            looks[0].office,
            tuple(dict.fromkeys(name for look in looks for name in look.surfaces)),
            slot,
            "",
            slot.date() if slot is not None else None,
            _results(looks),
            ", ".join(dict.fromkeys(look.by for look in looks if look.by)),
        )


def _results(looks: list[LookPaper]) -> str:
    """Return what the office said, place by place where it differs."""
    told = [look for look in looks if look.result]
    if len({(look.result, look.on) for look in looks}) == 1:
        return _result(told[0]) if told else ""
    return "; ".join(f"{_result(look)} {', '.join(look.surfaces)}" for look in told)


def _result(look: LookPaper) -> str:
    return f"{look.result} {look.on}" if look.on is not None else look.result


def _trip(case: Case, trip: TripTasks) -> DateRow:
    news = case.outlook.seen.trips.get(trip.id)
    word = word_of_arrival(case.outlook, trip.id)
    confirmed = word.by if word is not None and word.yes else ""
    arrival = news.arrival if news is not None else None
    seen = ""
    if news is not None:
        steps = (
            ("released", news.released),
            ("cleaned up", news.cleaned),
            ("sprayed", news.last_foam),
            ("arrived", news.arrived),
        )
        seen = next((word for word, at in steps if at is not None), "")
    return DateRow(
        RowKind.TRIP,
        trip.id,
        f"Spray: the {trip.name} trip",
        case.teller.who("crew lead"),
        case.teller.surfaces(trip.surfaces),
        arrival,
        "",
        _day(arrival) if arrival is not None else None,
        seen,
        confirmed,
    )


def _pull(case: Case, thing: Thing) -> DateRow:
    placed = case.outlook.seen.things[thing.id]
    pulled = placed.pulled
    return DateRow(
        RowKind.PULL,
        thing.id,
        f"Pull the {thing.title}",
        case.teller.who(thing.kind.pull_trade),
        (case.teller.place(thing.place),),
        placed.pull,
        "",
        _day(placed.pull) if placed.pull is not None else None,
        f"pulled {_day(pulled)}" if pulled is not None else "",
        placed.by if pulled is not None else "",
    )


def _board(case: Case) -> Iterable[DateRow]:
    """Yield when board may start, if anybody has set it."""
    board = case.outlook.seen.board
    if board is not None:
        who = case.teller.who("contractor")
        by = (board.by or who.name) if board.agreed else ""
        places = (case.teller.place(case.site.tasks[case.site.board_start].place),)
        span = _span(board.booking)
        yield DateRow(RowKind.BOARD, BOARD_ID, "Board may start", who, places, *span, "", by)
