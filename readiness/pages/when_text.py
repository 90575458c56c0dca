"""The answer of `when` as text: trips first, then the surfaces by room.

Invariant: a spray window is told by its first and last spray day; instants are in the JSON.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from readiness.pages.columns import wrapped
from readiness.pages.moments import both_instants, told

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from readiness.questions.when import SpanLine, WhenAnswer


WIDTH = 96


def when_text(answer: WhenAnswer) -> str:
    """Return the answer as text."""
    instants = answer.instants
    lines = [
        f"{answer.job}: "
        + both_instants(instants.as_of, instants.on, instants.time_zone, instants.gate)
    ]
    lines += _trips(answer)
    lines += _proposed(answer)
    lines += _changes(answer)
    lines += _surfaces(answer)
    return "\n".join(lines) + "\n"


def _trips(answer: WhenAnswer) -> Iterable[str]:
    year = answer.instants.as_of.year
    for trip in answer.trips:
        yield ""
        booked = "not booked"
        if trip.booked is not None:
            kind = "agreed" if trip.agreed else "booked"
            fit = "fits" if trip.booking_fits else "does not fit every surface"
            booked = f"{kind} for {told(trip.booked, year)}, which {fit}"
        yield f"{trip.name} trip, {len(trip.span.surfaces)} surfaces: {booked}"
        yield f"  {_span(trip.span, year)}"
        yield f"    opens after {trip.span.opens_by}"
        yield f"    closed by {trip.span.closes_by}"
        if trip.costs_from is not None:
            yield f"    from {told(trip.costs_from, year)} on a later arrival moves the board start"


def _span(span: SpanLine, year: int) -> str:
    if not span.fits:
        return "no day fits all its surfaces"
    first = _day(span.first_day, year)
    if span.last_day is None:
        return f"first spray day {first}; nothing booked sets a last one"
    return f"first spray day {first}, last {_day(span.last_day, year)}"


def _day(day: date | None, year: int) -> str:
    if day is None:
        return "no date"
    return f"{day:%a} {day.day} {day:%b}" + ("" if day.year == year else f" {day.year}")


def _proposed(answer: WhenAnswer) -> Iterable[str]:
    if not answer.proposed and not answer.conflicts:
        return
    year = answer.instants.as_of.year
    yield ""
    count = len(answer.proposed)
    yield f"Fewest trips that would do: {count}"
    for number, trip in enumerate(answer.proposed, 1):
        last = f", at the latest {told(trip.last_start, year)}" if trip.last_start else ""
        yield f"  {number}. arrive {told(trip.arrival, year)}{last}: {_names(trip.names)}"
    for conflict in answer.conflicts:
        yield f"  conflict: {conflict.name} {conflict.says}"


MOST_NAMES = 6


def _names(names: tuple[str, ...]) -> str:
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return ", ".join(names[:MOST_NAMES]) + more


def _changes(answer: WhenAnswer) -> Iterable[str]:
    """Yield the last day for a change, look by look, rooms with the same one together."""
    year = answer.instants.as_of.year
    together: dict[tuple[str, date | None], list[str]] = {}
    for line in answer.changes:
        together.setdefault((line.look, line.last_day), []).append(line.name)
    if together:
        yield ""
        yield "Last day to order a change without moving the spray, by the look that sees it again:"
    for (look, day), names in sorted(together.items(), key=lambda found: found[0][0]):
        last = "too late already" if day is None else _day(day, year)
        yield from wrapped(f"{look}: {last}: {_names(tuple(names))}", WIDTH, "    ", "  ")


def _surfaces(answer: WhenAnswer) -> Iterable[str]:
    year = answer.instants.as_of.year
    yield ""
    yield "Surfaces:"
    for line in answer.surfaces:
        yield f"  {line.name}: {_span(line.span, year)}"
        yield f"      after {line.span.opens_by}; {line.span.closes_by}"
